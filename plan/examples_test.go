package plan_test

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/steps"
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

// shared keeps what the tests of a run make of the same input: a step is a pure function of it,
// which [TestAChangeRunsOnlyWhatHangsOnIt] and [TestSameInputGivesTheSameBytes] hold.
var shared = steps.NewCache(4096)

// planOf is a plan with all that its papers need; what it has in common with others that were
// asked for is not made again.
func planOf(t testing.TB, job roof.Job) *plan.Plan {
	t.Helper()
	return anew(t, plan.Input{Job: job, Catalogue: material.Generic(), Weigh: true, Cache: shared})
}

// anew is a plan that must not fail.
func anew(t testing.TB, in plan.Input) *plan.Plan {
	t.Helper()
	p, err := plan.Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// planned is the plan of an example.
func planned(t testing.TB, name string) *plan.Plan {
	t.Helper()
	return planOf(t, example(t, name))
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
