// Package examples plans the example roofs for tests: each once a run of a test binary,
// however many tests look at it. A plan is not changed after it is made, so they share it.
package examples

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
)

// made is one example's plan, worked out when it is first asked for.
type made struct {
	once sync.Once
	plan *plan.Plan
	err  error
}

var kept sync.Map // by name

// folder of the examples, seen from a package of the first row or deeper.
func folder(t testing.TB) string {
	t.Helper()
	for _, up := range []string{"..", "../..", "../../.."} {
		path := filepath.Join(filepath.FromSlash(up), "examples")
		if _, err := os.Stat(filepath.Join(path, "r01-garage.yaml")); err == nil {
			return path
		}
	}
	t.Fatal("no folder of examples above this package")
	return ""
}

// Names are the example roofs in order: "r01-garage". Short tests look at three: one deck,
// one with an arc, and one with two wings.
func Names(t testing.TB) []string {
	t.Helper()
	if testing.Short() {
		return []string{"r01-garage", "r03-bay", "r04-l-shape"}
	}
	return All(t)
}

// All are all example roofs in order.
func All(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(folder(t), "r*.yaml"))
	if err != nil || len(paths) != 12 {
		t.Fatalf("want twelve example roofs, got %d (%v)", len(paths), err)
	}
	names := make([]string, len(paths))
	for i, p := range paths {
		names[i] = filepath.Base(p[:len(p)-len(".yaml")])
	}
	return names
}

// Job reads an example's roof file.
func Job(t testing.TB, name string) roof.Job {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(folder(t), name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(name+".yaml", raw)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// Plan is an example's plan as its papers need it, made from the generic catalogue.
func Plan(t testing.TB, name string) *plan.Plan {
	t.Helper()
	x, _ := kept.LoadOrStore(name, new(made))
	m := x.(*made)
	m.once.Do(func() {
		m.plan, m.err = plan.Make(context.Background(), plan.Input{Job: Job(t, name), Catalogue: material.Generic(), Weigh: true})
	})
	if m.err != nil {
		t.Fatalf("%s: %v", name, m.err)
	}
	if m.plan == nil {
		t.Fatalf("%s was not planned", name)
	}
	return m.plan
}
