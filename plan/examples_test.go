package plan_test

import (
	"context"
	"os"
	"path/filepath"
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
	p, err := plan.Make(context.Background(), plan.Input{Job: job, Catalogue: material.Generic()})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEveryExampleIsPlanned(t *testing.T) {
	for _, name := range examples(t) {
		p := planOf(t, example(t, name))
		t.Logf("%s: net %.2f m², %d boards, trim %.1f m, bandage %.1f m, mat %.1f m², resin %.1f kg, coat %.1f kg, %d buckets, %d checks, %d findings, %d figures", name,
			p.Totals.NetM2, p.Totals.Boards, p.Totals.TrimM, p.Totals.BandageM, p.Totals.MatM2, p.Totals.ResinKG, p.Totals.CoatKG, p.Totals.Buckets, len(p.Checks), len(p.Findings), len(p.Workings.Keys()))
		for _, x := range p.Passes {
			if x.Refusal != "" {
				t.Logf("   %s %s %d refused: %s", x.Deck, x.Kind, x.Layer, x.Refusal)
			}
		}
		for _, r := range p.Checks {
			if r.Verdict == "fail" {
				t.Logf("   FAIL %s [%s] %s", r.Key, r.Where, r.Finding)
			}
		}
	}
}
