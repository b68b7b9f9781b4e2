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
