package main

import (
	"os"
	"runtime/debug"
)

// A plan lives for a second and then ends: collecting garbage less often costs a little
// memory and saves a third of the time. Beyond softLimitBytes it is collected as usual.
const (
	collectAtPercent = 400
	softLimitBytes   = 400 << 20
)

// tuneMemory sets how garbage is collected, unless the environment says it.
func tuneMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(collectAtPercent)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softLimitBytes)
	}
}

// A look at more than longLookDays holds the courses of its weather and what may begin in
// each of their quarters, some 650 MB for a year: below that nothing is won by collecting.
const (
	longLookDays  = 60
	longLookBytes = 1 << 30
)

// allowFor lets a long look take the memory it holds, unless the environment says otherwise.
func allowFor(days int) {
	if days > longLookDays && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(longLookBytes)
	}
}
