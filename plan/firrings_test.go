package plan_test

import (
	"math"
	"testing"

	"gelwright/plane"
)

// Every firring of the examples lies on a joist of the survey, counted from the low
// side as the structural deck's are, within the deck and clear of its walls, and none
// is shorter than 100 mm.
func TestFirringsLieOnTheJoists(t *testing.T) {
	seen := 0
	for _, name := range examples(t) {
		p := planned(t, name)
		for i, d := range p.Decks {
			survey := p.Job.Decks[i]
			if len(d.Firrings) == 0 || len(survey.Levels) > 0 || d.Structural == nil {
				continue
			}
			low, _ := survey.Outline.Bounds()
			half := survey.Base.JoistWidthMM / 2000
			for _, f := range d.Firrings {
				seen++
				// The examples' joists run along y.
				if off := math.Abs(math.Remainder(f.From.X-low.X-survey.Base.JoistOffsetMM/1000, survey.Base.JoistSpacingMM/1000)); off > 2*half {
					t.Errorf("%s %s: %s lies %.0f mm off its joist", name, d.Name, f.Number, off*1000)
				}
				nearest := math.Inf(1)
				for _, s := range d.Structural.Supports {
					nearest = min(nearest, math.Abs(s.From.X-f.From.X))
				}
				if nearest > 2*half {
					t.Errorf("%s %s: %s lies %.0f mm off every joist of the structural deck", name, d.Name, f.Number, nearest*1000)
				}
				if f.LengthM < 0.1-1e-6 {
					t.Errorf("%s %s: %s is %.0f mm long", name, d.Name, f.Number, f.LengthM*1000)
				}
				u := f.To.Sub(f.From).Unit()
				for _, side := range []float64{1, -1} {
					h := side * (half - 0.001)
					at := f.From.Add(f.To).Scale(0.5).Add(u.Left().Scale(h))
					if !plane.ContainsAny(d.Net, at) {
						t.Errorf("%s %s: half of %s hangs off the deck", name, d.Name, f.Number)
					}
					for e := range survey.Outline {
						gap := 0.0
						if survey.Edges[e].Condition.HasUpstand() {
							gap = p.Job.Spec.Board.WallGapMM / 1000
						}
						edge := survey.Outline.Edge(e)
						n := edge.Tangent(0).Left()
						for _, c := range []plane.Point{f.From.Add(u.Left().Scale(h)).Add(u.Scale(h * math.Tan(f.SkewDeg[0]*math.Pi/180))), f.To.Add(u.Left().Scale(h)).Add(u.Scale(h * math.Tan(f.SkewDeg[1]*math.Pi/180)))} {
							if off := n.Dot(c.Sub(edge.A)); convex(survey.Outline) && off < gap-0.002 {
								t.Errorf("%s %s: a corner of %s is %.1f mm off edge %d, the gap is %.0f", name, d.Name, f.Number, off*1000, e+1, gap*1000)
							}
						}
					}
				}
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d firrings seen", seen)
	}
}

func convex(r plane.Ring) bool {
	for i := range r {
		n := len(r)
		if r.Edge((i+n-1)%n).Tangent(1).Cross(r.Edge(i).Tangent(0)) < -1e-9 {
			return false
		}
	}
	return true
}
