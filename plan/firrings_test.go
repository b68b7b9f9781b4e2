package plan_test

import (
	"math"
	"strings"
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
						for _, c := range []plane.Point{f.From.Add(u.Left().Scale(h)).Add(u.Scale(h * math.Tan(f.SkewDeg[0]*math.Pi/180))),
							f.To.Add(u.Left().Scale(h)).Add(u.Scale(h * math.Tan(f.SkewDeg[1]*math.Pi/180)))} {
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

// The triangle's south-east edge falls 3 in 4 (36.87°): over half a joist of 63 mm that is
// 31.5 × 0.75 = 23.6 mm, by which the timber is longer than the firring's middle line. Its
// ten firrings are cut from 2.9825 m and nine from 2.7136 down to 0.3136 m by 0.3 m, 16.605 m
// in all. Every one's thin end is the skew one.
func TestSkewFirringsAreCutLonger(t *testing.T) {
	p := planned(t, "r05-triangle.yaml")
	d := p.Decks[0]
	if len(d.Firrings) != 10 {
		t.Fatalf("%d firrings", len(d.Firrings))
	}
	f := d.Firrings[1]
	if math.Abs(f.LengthM-2.690) > 1e-6 || math.Abs(f.CutM()-2.690-0.0315*0.75) > 1e-6 {
		t.Errorf("%s: %.4f m, cut from %.4f", f.Number, f.LengthM, f.CutM())
	}
	l := lineOf(p, "timber.firring")
	if l == nil || math.Abs(l.Net-16.605125) > 1e-6 {
		t.Errorf("the order has %+v", l)
	}
	for _, f := range d.Firrings {
		if f.FromMM < f.ToMM || !strings.Contains(f.Note, "thin end skew, 37° off square, longer on the right seen from the thin end") {
			t.Errorf("%s, %.0f to %.0f mm high: %q", f.Number, f.FromMM, f.ToMM, f.Note)
		}
	}
}

// On every firring of the examples the longest side of its shape is the timber it is cut
// from, and the side that its note calls the longer is the longer at that end.
func TestSkewEndsAsSaid(t *testing.T) {
	const wide = 0.05
	for _, name := range examples(t) {
		for _, d := range planned(t, name).Decks {
			for _, f := range d.Firrings {
				s := f.Shape(wide)
				u := f.To.Sub(f.From).Unit()
				if f.FromMM > f.ToMM {
					u = u.Scale(-1)
				}
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, c := range s {
					lo, hi = min(lo, u.Dot(c)), max(hi, u.Dot(c))
				}
				slack := 0.0
				for k := range f.SkewDeg {
					slack += math.Abs(math.Tan(f.SkewDeg[k]*math.Pi/180)) * 0.1
				}
				if hi-lo < f.LengthM-1e-9 || hi-lo > f.CutM()+slack+1e-9 {
					t.Errorf("%s %s: shape of %.4f m, cut from %.4f", name, f.Number, hi-lo, f.CutM())
				}
				// Corners from 0: right at From, right at To, left at To, left at From.
				thin, thick := [2]plane.Point{s[0], s[3]}, [2]plane.Point{s[1], s[2]}
				if f.FromMM > f.ToMM {
					thin, thick = [2]plane.Point{s[2], s[1]}, [2]plane.Point{s[3], s[0]}
				}
				for end, c := range map[string][2]plane.Point{"thin end": thin, "thick end": thick} {
					beyond := u.Dot(c[0]) - u.Dot(c[1]) // of the right corner, up the firring
					if end == "thin end" {
						beyond = -beyond
					}
					side := "right"
					if beyond < 0 {
						side = "left"
					}
					if _, after, ok := strings.Cut(f.Note, end+" skew, "); ok &&
						!strings.HasPrefix(after[strings.Index(after, "longer"):], "longer on the "+side) {
						t.Errorf("%s %s: %q, the %s's longer side is the %s", name, f.Number, f.Note, end, side)
					}
				}
			}
		}
	}
}
