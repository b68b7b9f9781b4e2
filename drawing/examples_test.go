package drawing_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"gelwright/drawing"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/scene/png"
)

// Every sheet of every example roof: no lettering on a line, on other lettering
// or off the sheet.
func TestEveryExampleIsLegible(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("..", "examples", "r*.yaml"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no example roofs: %v", err)
	}
	for _, path := range paths {
		name := filepath.Base(path)
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		job, _, err := rooffile.Read(name, raw)
		if err != nil {
			t.Fatal(err)
		}
		p, err := plan.Make(context.Background(), plan.Input{Job: job, Catalogue: material.Generic(), Weigh: true})
		if err != nil {
			t.Fatal(err)
		}
		sheets, err := drawing.Survey(&p.Job, 0)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		more, err := drawing.PlanSheets(p, len(sheets)+1, len(sheets)+drawing.PlanSheetCount(p))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		cuts, err := drawing.CuttingSheets(p, 1, drawing.CuttingSheetCount(p))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for i, s := range append(append(sheets, more...), cuts...) {
			for _, c := range s.Scene.Clashes(0.05) {
				t.Errorf("%s, %s: %v", name, s.Scene.Title, c)
			}
			if len(s.Unplaced) > 0 {
				t.Logf("%s, %s: no room for %q", name, s.Scene.Title, s.Unplaced)
			}
			if dir := os.Getenv("GELWRIGHT_SHOW"); dir != "" {
				picture, err := png.Bytes(s.Scene, 5)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%02d.png", name, i+1)), picture, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}
