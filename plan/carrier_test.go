package plan_test

import (
	"math"
	"strings"
	"testing"

	"gelwright/plane"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// Every carrier board of the examples is held on two lines of screws at least, and by as
// many screws as the uplift of the zones it lies in asks for: means over a zone would
// hide a board without any.
func TestEveryCarrierBoardIsHeld(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		if p.Job.Spec.Build != "warm" || p.Job.Spec.Insulation == nil {
			continue
		}
		for _, d := range p.Decks {
			count := map[string]int{}
			for _, f := range d.SetOut.Fixings {
				count[f.Board] = f.Edge + f.Field
			}
			for _, b := range d.SetOut.Of(settingout.Board) {
				n := count[b.Number]
				if n < 4 {
					t.Errorf("%s %s: %s, %d by %d mm, is held by %d screws", name, d.Name, b.Number, b.LengthMM, b.WidthMM, n)
				}
				need := 0.0
				for _, z := range d.Zones {
					part, err := plane.Intersection([]plane.Polygon{{Outer: b.Shape, Holes: b.Holes}}, z.Area)
					if err != nil {
						t.Fatal(err)
					}
					need += z.FastenersPerM2 * plane.TotalArea(part)
				}
				if float64(n) < need-1e-6 {
					t.Errorf("%s %s: %s needs %.1f screws and has %d", name, d.Name, b.Number, need, n)
				}
			}
		}
	}
}

// R02: boards 3.6 m wide on joists at 400 mm, of which the last stands on the east edge.
// The four boards lie along x; the one at the east end of the upper row reaches from 2.4
// to 3.6 m and crosses the joists at 2.4, 2.8, 3.2 and 3.6 m: four lines, of which the
// outer two stand 11.5 and 10 mm in from its ends.
func TestCarrierBoardsAreScrewedToTheEndJoist(t *testing.T) {
	d := planned(t, "r02-dormer.yaml").Decks[0]
	var at []float64
	for _, s := range d.Structural.Supports {
		at = append(at, s.From.X)
	}
	if len(at) != 10 || math.Abs(at[0]) > 1e-9 || math.Abs(at[9]-3.6) > 1e-9 {
		t.Errorf("the structural deck lies on joists at %v", at)
	}
	for _, f := range d.SetOut.Fixings {
		for _, b := range d.SetOut.Of(settingout.Board) {
			if b.Number != f.Board {
				continue
			}
			low, high := b.Bounds()
			lines := 0
			for _, x := range at {
				if x > low.X-0.02 && x < high.X+0.02 {
					lines++
				}
			}
			// Two near the ends of each line are counted as edge screws.
			if f.Edge != 2*lines {
				t.Errorf("%s, %.3f to %.3f m, has %d screws near its long edges on %d joists", b.Number, low.X, high.X, f.Edge, lines)
			}
		}
	}
}

// End joints of carrier boards lie on joists and their long edges across them, as those
// of the deck below do; nothing is nogged in insulation.
func TestCarrierBoardsMeetOnJoists(t *testing.T) {
	for _, name := range []string{"r02-dormer.yaml", "r08-winter.yaml", "r09-summer.yaml", "r11-three-levels.yaml"} {
		p := planned(t, name)
		for i, d := range p.Decks {
			if d.Structural == nil {
				continue
			}
			base := p.Job.Decks[i].Base
			low, _ := p.Job.Decks[i].Outline.Bounds()
			ends := 0
			for _, j := range d.SetOut.Joints {
				if j.Long || j.Support == "fold" {
					continue
				}
				ends++
				if off := math.Abs(math.Remainder(j.From.X-low.X-base.JoistOffsetMM/1000,
					base.JoistSpacingMM/1000)); off > base.JoistWidthMM/2000-0.015 {
					t.Errorf("%s %s: joint %s/%s stands %.0f mm off a joist", name, d.Name, j.A, j.B, off*1000)
				}
			}
			if ends == 0 {
				t.Errorf("%s %s: no end joints looked at", name, d.Name)
			}
			for _, b := range d.SetOut.Of(settingout.Board) {
				if math.Abs(b.Along.X) < 0.999 {
					t.Errorf("%s %s: %s lies along the joists", name, d.Name, b.Number)
				}
			}
			if n := len(d.SetOut.Of(settingout.Noggin)); n > 0 {
				t.Errorf("%s %s: %d noggins in insulation", name, d.Name, n)
			}
			for _, m := range d.SetOut.Materials {
				if strings.Contains(m.Name, "noggin") {
					t.Errorf("%s %s: %s is bought", name, d.Name, m.Name)
				}
			}
		}
	}
}

// The boards and noggins of the structural decks hold against the independent checker;
// their set-out has no trims and no mat to look at.
func TestStructuralDecksHold(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		for i, d := range p.Decks {
			if d.Structural == nil {
				continue
			}
			for _, f := range proof.CheckFrom(p.Job.Decks[i], p.Job.Spec, settingout.Given{}, *d.Structural) {
				kind, _, _ := strings.Cut(f.Code, ".")
				if kind == "boards" || kind == "noggin" || kind == "fixings" {
					t.Errorf("%s %s: %v", name, d.Name, f)
				}
			}
		}
	}
}
