// Command stop plans a roof and prints the longest that it computed, as user CPU, between
// two looks whether the plan is still wanted: so long a reader who has asked again waits for
// nothing.
//
//	stop ROOF.yaml
package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/rooffile"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "stop ROOF.yaml")
		os.Exit(1)
	}
	if err := run(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "stop:", err)
		os.Exit(1)
	}
}

// looked is a context that remembers the longest computing between two looks at it.
type looked struct {
	context.Context
	last, longest time.Duration
}

func (l *looked) Err() error {
	now := computed()
	l.longest, l.last = max(l.longest, now-l.last), now
	return nil
}

// computed is how long this process has computed.
func computed() time.Duration {
	var r syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano())
}

func run(path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	job, faults, err := rooffile.Read(filepath.Base(path), text)
	if err != nil {
		return fmt.Errorf("%s: %w: %v", path, err, faults)
	}
	l := &looked{Context: context.Background(), last: computed()}
	if _, err := plan.Make(l, plan.Input{Job: job, Catalogue: material.Generic(), Weigh: true}); err != nil {
		return err
	}
	fmt.Println(l.longest)
	return nil
}
