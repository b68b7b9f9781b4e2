// Package metrics counts what the server answers, in the form that Prometheus reads: how many requests of each route ended how,
// how long they took, how many wait, what the program uses, and which build it is. It names routes by their patterns, never by
// what was asked, so that it holds nobody's data.
package metrics
