package plan_test

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
)

// example reads one of the example roof files.
func example(t testing.TB, name string) roof.Job {
	t.Helper()
	path := filepath.Join("..", "examples", name)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(name, raw)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

func examples(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join("..", "examples", "r*.yaml"))
	if err != nil || len(paths) != 12 {
		t.Fatalf("want twelve example roofs, got %d (%v)", len(paths), err)
	}
	names := make([]string, len(paths))
	for i, p := range paths {
		names[i] = filepath.Base(p)
	}
	return names
}

func planOf(t testing.TB, job roof.Job) *plan.Plan {
	t.Helper()
	p, err := plan.Make(context.Background(), plan.Input{Job: job, Catalogue: material.Generic(), Weigh: true})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// kept holds the plans of the examples: a plan is not changed after it is made, so
// the tests of a run share them.
var kept = struct {
	sync.Mutex
	plans map[string]*plan.Plan
}{plans: map[string]*plan.Plan{}}

func planned(t testing.TB, name string) *plan.Plan {
	t.Helper()
	kept.Lock()
	defer kept.Unlock()
	if kept.plans[name] == nil {
		kept.plans[name] = planOf(t, example(t, name))
	}
	return kept.plans[name]
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
