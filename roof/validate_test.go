package roof_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
)

// job returns a sound roof on any outline.
func job(outline plane.Ring) roof.Job {
	j := roof.Job{Name: "test", Date: "2026-05-12", Decks: []roof.Deck{{
		Name: "main", Outline: outline, Edges: make([]roof.Edge, len(outline)),
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}},
	}}}
	for i := range outline {
		j.Decks[0].Edges[i].Condition = roof.Kerb
	}
	j.TakeDefaults(nil)
	return j
}

func codes(j roof.Job) map[string]bool {
	out := map[string]bool{}
	for _, p := range j.Validate() {
		out[p.Code] = true
	}
	return out
}

// star returns an outline seen whole from its middle, so it cannot cross itself.
func star(t *rapid.T) plane.Ring {
	n := rapid.IntRange(3, 24).Draw(t, "corners")
	var r plane.Ring
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		radius := rapid.Float64Range(1, 6).Draw(t, "radius")
		r = append(r, plane.Vertex{Point: plane.Point{X: radius * math.Cos(a), Y: radius * math.Sin(a)}})
	}
	return r
}

func TestStarOutlinesAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := job(star(t))
		if p := j.Validate(); len(p) > 0 {
			t.Fatalf("%+v", p)
		}
	})
}

// Two neighbouring corners of a star swapped make the outline cross itself or run
// clockwise; either is refused. A deck of three corners only turns.
func TestSwappedCornersAreRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := star(t)
		i := rapid.IntRange(0, len(r)-1).Draw(t, "i")
		k := (i + 1) % len(r)
		r[i], r[k] = r[k], r[i]
		// A thin needle may stay sound after the swap: then its area changed by nothing.
		c := codes(job(r))
		if !c["outline.crosses"] && !c["outline.clockwise"] && !c["outline.small"] {
			if _, _, ok := simple(r); !ok {
				t.Fatalf("accepted %v", r)
			}
		}
	})
}

// simple is an independent test for crossings: every pair of edges by the signs of
// four triangles.
func simple(r plane.Ring) (int, int, bool) {
	side := func(a, b, c plane.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }
	n := len(r)
	for i := range n {
		for k := i + 2; k < n; k++ {
			if i == 0 && k == n-1 {
				continue
			}
			e, f := r.Edge(i), r.Edge(k)
			if side(e.A, e.B, f.A)*side(e.A, e.B, f.B) < -1e-6 && side(f.A, f.B, e.A)*side(f.A, f.B, e.B) < -1e-6 {
				return i, k, false
			}
		}
	}
	return 0, 0, true
}

func TestOpeningsMayTouchTheOutlineAndEachOther(t *testing.T) {
	deck := plane.Rectangle(0, 0, 5, 4)
	for _, c := range []struct {
		name     string
		openings []plane.Ring
		want     string
	}{
		{"inside", []plane.Ring{plane.Rectangle(1, 1, 2, 2)}, ""},
		{"a side on the outline", []plane.Ring{plane.Rectangle(0, 1, 1, 2)}, ""},
		{"in the corner", []plane.Ring{plane.Rectangle(0, 0, 1, 1)}, ""},
		{"round, touching", []plane.Ring{plane.Circle(plane.Point{X: 0.5, Y: 2}, 0.5)}, ""},
		{"side by side", []plane.Ring{plane.Rectangle(1, 1, 2, 2), plane.Rectangle(2, 1, 3, 2)}, ""},
		{"20 mm out", []plane.Ring{plane.Rectangle(-0.02, 1, 1, 2)}, "opening.outside"},
		{"across", []plane.Ring{plane.Rectangle(-1, 1, 6, 2)}, "opening.outside"},
		{"far off", []plane.Ring{plane.Rectangle(8, 8, 9, 9)}, "opening.outside"},
		{"overlap", []plane.Ring{plane.Rectangle(1, 1, 2, 2), plane.Rectangle(1.9, 1.5, 3, 1.8)}, "opening.overlap"},
		{"the same twice", []plane.Ring{plane.Rectangle(1, 1, 2, 2), plane.Rectangle(1, 1, 2, 2)}, "opening.overlap"},
		{"one in another", []plane.Ring{plane.Rectangle(1, 1, 3, 3), plane.Circle(plane.Point{X: 2, Y: 2}, 0.3)}, "opening.overlap"},
		{"a cross", []plane.Ring{plane.Rectangle(1, 1.5, 4, 2), plane.Rectangle(2, 0.5, 2.5, 3)}, "opening.overlap"},
	} {
		j := job(deck)
		for i, r := range c.openings {
			j.Decks[0].Openings = append(j.Decks[0].Openings, roof.Opening{Name: string(rune('A' + i)), Kind: "rooflight", Outline: r, KerbMM: 150})
		}
		got := codes(j)
		if c.want == "" && len(got) > 0 || c.want != "" && !got[c.want] {
			t.Errorf("%s: %v, want %q", c.name, got, c.want)
		}
	}
	// A notch of the deck reaches into the opening though no corner of it is outside.
	j := job(plane.RingOf(plane.Point{}, plane.Point{X: 5}, plane.Point{X: 5, Y: 4}, plane.Point{X: 3, Y: 4}, plane.Point{X: 2.5, Y: 1.5}, plane.Point{X: 2, Y: 4}, plane.Point{Y: 4}))
	j.Decks[0].Openings = []roof.Opening{{Name: "A", Kind: "rooflight", Outline: plane.Rectangle(1, 1, 4, 2), KerbMM: 150}}
	if !codes(j)["opening.outside"] {
		t.Error("the notch was not seen")
	}
}

func TestKerbHeights(t *testing.T) {
	for mm, want := range map[float64]struct{ problem, warning bool }{150: {false, false}, 149: {true, true}, 50: {true, true}, 49: {true, false}} {
		j := job(plane.Rectangle(0, 0, 5, 4))
		j.Decks[0].Openings = []roof.Opening{{Name: "A", Kind: "rooflight", Outline: plane.Rectangle(1, 1, 2, 2), KerbMM: mm}}
		p := j.Validate()
		if (len(p) > 0) != want.problem || len(p) > 0 && p[0].Warning != want.warning {
			t.Errorf("%g mm: %+v", mm, p)
		}
	}
}

func TestJobsMadeInCodeCannotBringItDown(t *testing.T) {
	nan := math.NaN()
	for _, j := range []roof.Job{
		{},
		{Decks: []roof.Deck{{}}},
		{Decks: []roof.Deck{{Outline: plane.Ring{{Point: plane.Point{X: nan}}, {}, {}}, Edges: make([]roof.Edge, 3)}}},
		{Decks: []roof.Deck{{Outline: plane.Rectangle(0, 0, 0, 0), Edges: make([]roof.Edge, 4)}}},
	} {
		if len(j.Validate()) == 0 {
			t.Errorf("accepted %+v", j)
		}
	}
}

// A survey of more detail than any roof has is refused and not worked on for minutes.
func TestTooMuchDetailIsRefused(t *testing.T) {
	many := func(cx, radius float64) plane.Ring {
		var r plane.Ring
		for i := range 500 {
			a := 2 * math.Pi * float64(i) / 500
			r = append(r, plane.Vertex{Point: plane.Point{X: cx + radius*math.Cos(a), Y: radius * math.Sin(a)}, Bulge: 0.003})
		}
		return r
	}
	j := job(many(0, 200))
	for i := range 100 {
		j.Decks[0].Openings = append(j.Decks[0].Openings, roof.Opening{Name: string(rune('A' + i)), Kind: "rooflight", Outline: many(float64(i)-50, 0.4), KerbMM: 150})
	}
	if !codes(j)["opening.detail"] {
		t.Error("accepted")
	}
}

// What no crew could build is refused with its place: slips of the unit and of the hand.
func TestNonsenseIsRefused(t *testing.T) {
	whole := plane.Rectangle(0, 0, 5, 4)
	hole := func(r plane.Ring) func(j *roof.Job) {
		return func(j *roof.Job) {
			j.Decks[0].Openings = []roof.Opening{{Name: "A", Kind: "rooflight", Outline: r, KerbMM: 150}}
		}
	}
	second := func(r plane.Ring, levelM float64) func(j *roof.Job) {
		return func(j *roof.Job) {
			other := job(r).Decks[0]
			other.Name, other.LevelM = "second", levelM
			j.Decks = append(j.Decks, other)
		}
	}
	for _, c := range []struct {
		name    string
		outline plane.Ring
		spoil   func(j *roof.Job)
		want    string
	}{
		{"joists that touch", whole, func(j *roof.Job) { j.Decks[0].Base = roof.Base{Kind: "joists", JoistSpacingMM: 100, JoistWidthMM: 400} }, "joists.width"},
		{"joists side by side", whole, func(j *roof.Job) { j.Decks[0].Base = roof.Base{Kind: "joists", JoistSpacingMM: 150, JoistWidthMM: 150} }, "joists.width"},
		{"joists", whole, func(j *roof.Job) { j.Decks[0].Base = roof.Base{Kind: "joists", JoistSpacingMM: 150, JoistWidthMM: 149} }, ""},
		{"a slit", whole, hole(plane.Rectangle(1, 1, 1.04, 2)), "opening.small"},
		{"1 mm wide", whole, hole(plane.Rectangle(1, 1, 1.001, 2)), "opening.small"},
		{"a small one", whole, hole(plane.Rectangle(1, 1, 1.06, 2)), ""},
		{"40 mm off the edge", whole, hole(plane.Rectangle(3, 1, 4.96, 2)), "opening.sliver"},
		{"at the edge", whole, hole(plane.Rectangle(3, 1, 5, 2)), ""},
		{"60 mm off the edge", whole, hole(plane.Rectangle(3, 1, 4.94, 2)), ""},
		{"all of it", whole, hole(whole), "opening.all"},
		{"a strip", plane.Rectangle(0, 0, 6, 0.09), nil, "outline.narrow"},
		{"a gutter", plane.Rectangle(0, 0, 6, 0.3), nil, ""},
		{"101 by 100 m", plane.Rectangle(0, 0, 101, 100), nil, "decks.large"},
		{"99 by 100 m", plane.Rectangle(0, 0, 99, 100), nil, ""},
		{"on the same ground", whole, second(plane.Rectangle(1, 1, 6, 3), 0.5), "decks.overlap"},
		{"the same deck twice", whole, second(whole, 0), "decks.overlap"},
		{"side by side", whole, second(plane.Rectangle(5, 0, 9, 4), 0), ""},
		{"a box gutter without a deck", whole, func(j *roof.Job) { j.Decks[0].Edges[2].Condition = roof.BoxGutter }, "edge.gutter"},
	} {
		j := job(c.outline)
		if c.spoil != nil {
			c.spoil(&j)
		}
		faults := map[string]bool{}
		for _, p := range j.Validate() {
			if !p.Warning {
				faults[p.Code] = true
				if p.Path == "" || p.Remedy == "" {
					t.Errorf("%s: %+v", c.name, p)
				}
			}
		}
		if c.want == "" && len(faults) > 0 || c.want != "" && !faults[c.want] {
			t.Errorf("%s: %v, want %q", c.name, faults, c.want)
		}
	}
	// One roof above another is looked at, not refused.
	j := job(whole)
	second(plane.Rectangle(1, 1, 3, 3), 2.6)(&j)
	if p := j.Validate(); len(p) != 1 || p[0].Code != "decks.overlap" || !p[0].Warning {
		t.Errorf("a roof above another: %+v", p)
	}
}
