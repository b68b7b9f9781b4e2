// Package rules holds the tests that keep the house rules true: the engine does
// no input or output, imports point one way, every package says what it knows.
package rules
