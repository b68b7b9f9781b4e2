package drawing

import (
	"strings"
	"testing"

	"gelwright/internal/examples"
)

// A gutter is a deck of a few pieces in one row: three of its drawings stand one over the other, each piece as well lettered as
// on half a sheet, and the keys of all three are told once.
func TestAGutterHasThreeDrawingsASheet(t *testing.T) {
	p := examples.Plan(t, "r10-terrace")
	sheets, err := PlanSheets(p)
	if err != nil {
		t.Fatal(err)
	}
	var three, others int
	for _, s := range sheets {
		if s.Office || !strings.Contains(s.Scene.Title, "box gutter") {
			continue
		}
		if len(s.Halves) != bandsOnSheet {
			others++
			continue
		}
		three++
		for i, h := range s.Halves {
			if h.Scale != s.Scale || h.Format != band {
				t.Errorf("%s: drawing %d is at 1:%g on %q, its sheet at 1:%g", s.Scene.Title, i+1, h.Scale, h.Format.Name, s.Scale)
			}
		}
		if s.key.Low.Y < frameOf(s.Format).Low.Y+blockRows*blockRowMM || s.key.High.Y > frameOf(s.Format).High.Y-bandsOnSheet*band.HeightMM {
			t.Errorf("%s: its key %v does not stand between the drawings and the title block", s.Scene.Title, s.key)
		}
	}
	if three != 2 || others != 0 {
		t.Errorf("the gutter's six drawings stand on %d sheets of three and %d others; wanted are 2 and none", three, others)
	}
	for _, s := range sheets {
		if strings.Contains(s.Scene.Title, "deck main") && len(s.Halves) == bandsOnSheet {
			t.Errorf("%s: a deck that is not shallow stands in bands", s.Scene.Title)
		}
	}
}

// Bands are drawn only where they save a sheet, and show every number, size and dimension that halves do.
func TestBandsSaveASheetAndTellNoLess(t *testing.T) {
	for name, want := range map[string]int{"r02-dormer": 0, "r03-bay": 1, "r06-balcony": 2} {
		p := examples.Plan(t, name)
		sheets, err := PlanSheets(p)
		if err != nil {
			t.Fatal(err)
		}
		told := map[string]*Sheet{}
		for _, d := range planDrawings(p) {
			if s, err := d.make(seated(TitleOf(&p.Job, d.name), halves[0])); err == nil {
				told[d.name] = s
			}
		}
		got := 0
		for _, s := range sheets {
			if len(s.Halves) != bandsOnSheet {
				continue
			}
			got++
			for _, h := range s.Halves {
				half := told[h.title.Drawing]
				if half == nil {
					t.Fatalf("%s: %q is not drawn on half a sheet", name, h.title.Drawing)
				}
				if len(h.Unplaced) > len(half.Unplaced) || len(h.unsized) > len(half.unsized) || h.measured() < half.measured() {
					t.Errorf("%s: %q leaves out %d numbers, %d sizes and has %d dimensions; on half a sheet %d, %d and %d", name,
						h.title.Drawing, len(h.Unplaced), len(h.unsized), h.measured(), len(half.Unplaced), len(half.unsized), half.measured())
				}
			}
		}
		if got != want {
			t.Errorf("%s: %d sheets of three, wanted %d", name, got, want)
		}
	}
}
