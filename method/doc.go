// Package method writes how the work is done: the acts of the job in order, each with its
// reason, its figures and its hold points, from what was planned for this roof.
package method
