package plan_test

import (
	"context"
	"runtime"
	"syscall"
	"testing"
	"time"

	"gelwright/material"
	"gelwright/plan"
)

// asked is a context that remembers the longest time of computing between two looks at it.
type asked struct {
	context.Context
	last, longest time.Duration
	step, slowest string
}

// computed is the time that this process has computed: the machine may be busy with others.
func computed() time.Duration {
	var r syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano())
}

func (a *asked) Err() error {
	now := computed()
	if gap := now - a.last; gap > a.longest {
		a.longest, a.slowest = gap, a.step
	}
	a.last = now
	return nil
}

// A plan under way looks at its context often enough to be stopped within 50 ms.
func TestAPlanCanBeStoppedSoon(t *testing.T) {
	if testing.Short() {
		t.Skip("plans the hall alone on the machine")
	}
	runtime.GC()
	for _, name := range []string{"r04-l-shape.yaml", "r12-hall.yaml"} {
		a := &asked{Context: context.Background(), last: computed()}
		in := plan.Input{Job: example(t, name), Catalogue: material.Generic(), Weigh: true, Progress: func(s string) { a.step = s }}
		if _, err := plan.Make(a, in); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: longest %v, in %s", name, a.longest.Round(time.Millisecond), a.slowest)
		if a.longest > 50*time.Millisecond {
			t.Errorf("%s: computed for %v in %q without a look whether it is still wanted", name, a.longest, a.slowest)
		}
	}
}
