package plane

import (
	"math"
	"testing"
)

func kinds(fs []Fault) map[FaultKind]int {
	out := map[FaultKind]int{}
	for _, f := range fs {
		out[f.Kind]++
	}
	return out
}

// Corners nearer than 0.1 mm are one, and an outline less wide than 0.2 mm (its area less than 0.1 mm of its length all round) is none.
func TestHowFineAnOutlineMayBe(t *testing.T) {
	for mm, repeated := range map[float64]bool{0.09: true, 0.11: false} {
		r := RingOf(Point{0, 0}, Point{4, 0}, Point{4, mm / 1000}, Point{2, 3})
		fs := Validate(r, nil)
		if (kinds(fs)[RepeatedPoint] > 0) != repeated {
			t.Errorf("corners %g mm apart: %v", mm, fs)
		}
		if repeated && (fs[0].Edge != 2 || fs[0].OtherEdge != 1 || fs[0].At != r[2].Point) {
			t.Errorf("the repeated corner is 2, after edge 1: %+v", fs[0])
		}
	}
	for mm, none := range map[float64]bool{0.195: true, 0.205: false} {
		if fs := Validate(Rectangle(0, 0, 40, mm/1000), nil); (kinds(fs)[NoArea] > 0) != none {
			t.Errorf("%g mm wide: %v", mm, fs)
		} else if none && (fs[0].Edge != -1 || fs[0].OtherEdge != -1 || fs[0].Error() != "the outline encloses no area: check its corners") {
			t.Errorf("no edge is concerned: %+v", fs[0])
		}
	}
	// Whatever else is said of it, one corner is too few, and so are two without an arc.
	for _, r := range []Ring{nil, RingOf(Point{1, 1}), RingOf(Point{1, 1}, Point{2, 2})} {
		if fs := Validate(r, nil); len(fs) != 1 || fs[0].Kind != TooFewCorners || fs[0].Edge != -1 || fs[0].OtherEdge != -1 {
			t.Errorf("%d corners: %v", len(r), fs)
		}
	}
	if fs := Validate(Ring{{Point: Point{0, 0}, Bulge: 0.5}, {Point: Point{2, 0}}}, nil); len(fs) != 0 {
		t.Errorf("a segment of a circle: %v", fs)
	}
	for _, v := range []Vertex{{Point{math.NaN(), 0}, 0}, {Point{0, math.Inf(1)}, 0}, {Point{0, 0}, math.Inf(-1)}} {
		if fs := Validate(Ring{v, {Point: Point{2, 0}}, {Point: Point{2, 2}}}, nil); len(fs) != 1 || fs[0].Kind != NotANumber || fs[0].Edge != 0 {
			t.Errorf("%v: %v", v, fs)
		}
	}
}

// A side that runs back on the one before within 0.1 mm is a spike, whichever of the two is longer.
func TestHowSharpASpikeIs(t *testing.T) {
	for mm, spike := range map[float64]bool{0.09: true, 0.11: false} {
		for _, back := range []float64{2, 1} { // how far it runs back of 2 m
			h := mm / 1000 * 2 / back // so far off at the far end that the shorter of both is mm off
			r := RingOf(Point{0, 0}, Point{2, 0}, Point{2 - back, back / 2 * h}, Point{2 - back, 1}, Point{0, 1})
			if back == 2 {
				r = RingOf(Point{0, 0}, Point{2, 0}, Point{0, h}, Point{-1, 1}, Point{-1, 0.5})
			}
			if got := len(spikes(0, r)); (got == 1) != spike || got > 1 {
				t.Errorf("%g mm over %g m: %d spikes", mm, back, got)
			}
		}
	}
	// A right angle and a straight line are none, nor is an arc that runs back.
	if got := spikes(0, Ring{{Point: Point{0, 0}}, {Point: Point{2, 0}}, {Point: Point{4, 0}, Bulge: 1}, {Point: Point{2, 0.5}}, {Point: Point{0, 2}}}); len(got) != 0 {
		t.Errorf("%v", got)
	}
}

// A post that stands on a side, ends at it, or passes it by: of stretches across each other by hand.
func TestHowStretchesMeet(t *testing.T) {
	side := chord{a: Point{0, 0}, b: Point{4, 0}}
	for _, c := range []struct {
		name  string
		x     float64
		topMM float64
		want  FaultKind
	}{
		{"0.11 mm through", 2, 0.11, Crossing},
		// What is less than 0.1 mm through counts as none, and what ends within 0.05 mm as touching.
		{"0.09 mm through", 2, 0.09, ""},
		{"0.04 mm through", 2, 0.04, Touching},
		{"at it", 2, 0, Touching},
		{"0.04 mm short", 2, -0.04, Touching},
		{"0.06 mm short", 2, -0.06, ""},
		{"far short", 2, -500, ""},
		{"0.11 mm from the end", 0.00011, 700, Crossing},
		{"0.09 mm from the end", 0.00009, 700, ""},
		{"0.04 mm from the end", 0.00004, 700, Touching},
		{"0.11 mm from the other end", 3.99989, 700, Crossing},
		{"0.09 mm from the other end", 3.99991, 700, ""},
		{"0.04 mm beyond the end", -0.00004, 700, Touching},
		{"0.06 mm beyond the end", -0.00006, 700, ""},
		{"0.06 mm beyond the other end", 4.00006, 700, ""},
		{"0.04 mm beyond the other end", 4.00004, 700, Touching},
	} {
		for _, flip := range []func(Point) Point{
			func(p Point) Point { return p }, func(p Point) Point { return Point{p.Y, p.X} }, func(p Point) Point { return Point{-p.X, -p.Y} },
		} {
			s := chord{a: flip(side.a), b: flip(side.b)}
			post := chord{a: flip(Point{c.x, -1}), b: flip(Point{c.x, c.topMM / 1000})}
			turned := chord{a: post.b, b: post.a}
			for _, pair := range [][2]chord{{s, post}, {s, turned}, {post, s}, {turned, s}} {
				kind, at := meet(pair[0], pair[1])
				if kind != c.want {
					t.Errorf("%s: %q, want %q (%v)", c.name, kind, c.want, pair)
				}
				if kind == Crossing && at.Distance(flip(Point{c.x, 0})) > 1e-9 {
					t.Errorf("%s: crosses at %v", c.name, at)
				}
				if kind == Touching && at.Distance(flip(Point{c.x, 0})) > 5e-5 {
					t.Errorf("%s: touches at %v", c.name, at)
				}
			}
		}
	}
	// Side by side, 0.04 mm apart, they touch; 0.06 mm apart they do not.
	for mm, want := range map[float64]FaultKind{0.04: Touching, 0.06: ""} {
		if kind, _ := meet(side, chord{a: Point{3, mm / 1000}, b: Point{7, mm / 1000}}); kind != want {
			t.Errorf("%g mm beside: %q", mm, kind)
		}
	}
}

// Two stretches 0.04 mm apart do not touch where a way of 0.4 mm at most leads from one to the other: they are neighbours.
func TestNeighboursAcrossAShortStretch(t *testing.T) {
	for mm, want := range map[float64]bool{0.39: true, 0.41: false} {
		// A long stretch out, a short one in two parts, and a long one back; the way on is long.
		h := mm / 1000
		p := []Point{{0, 0}, {3, 0}, {3, h / 2}, {3, h}, {0, 2}, {-1, 1}}
		var cs []chord
		for i := range p {
			cs = append(cs, chord{a: p[i], b: p[(i+1)%len(p)], edge: i})
		}
		for turned := range cs {
			all := append(append([]chord{}, cs[turned:]...), cs[:turned]...)
			i, j := (0-turned+6)%6, (3-turned+6)%6
			if got := bridged(all, min(i, j), max(i, j)); got != want {
				t.Errorf("%g mm, from %d: %v", mm, turned, got)
			}
		}
		if bridged(cs, 0, 4) {
			t.Errorf("%g mm: stretches far apart are neighbours", mm)
		}
	}
}

// Nor is a fault told of them, but what crosses is one however near.
func TestNeighboursAreNoFault(t *testing.T) {
	ring := func(p ...Point) (cs []chord) {
		for i := range p {
			cs = append(cs, chord{a: p[i], b: p[(i+1)%len(p)], edge: i})
		}
		return cs
	}
	if got := selfFaults(0, nil, ring(Point{0, 0}, Point{3, 0}, Point{3, 0.00004}, Point{0, 2})); len(got) != 0 {
		t.Errorf("neighbours across 0.04 mm: %v", got)
	}
	got := selfFaults(2, nil, ring(Point{0, 0}, Point{3, 0}, Point{3.0002, 0.0002}, Point{2.9, -0.01}, Point{0, -2}))
	if len(got) == 0 || got[0].Kind != Crossing || got[0].Edge != 0 || got[0].OtherEdge != 2 || got[0].Ring != 2 || got[0].OtherRing != 2 {
		t.Errorf("a crossing across 0.28 mm: %v", got)
	}
}

// An opening of which some corners lie within the outline and others without is on both sides; those on it count for neither.
func TestOnWhichSideOfARing(t *testing.T) {
	ring := func(x0, y0, x1, y1 float64) []chord { return chordsOf(Rectangle(x0, y0, x1, y1)) }
	deck := ring(0, 0, 4, 4)
	for _, c := range []struct {
		name string
		a    []chord
		side int
		at   Point
	}{
		{"inside", ring(1, 1, 2, 2), 1, Point{}},
		{"outside", ring(5, 1, 6, 2), -1, Point{5, 1}},
		{"over the right side", ring(3, 1, 6, 2), 0, Point{4.5, 1}},
		{"inside, with a side on it", ring(3, 1, 4, 2), 1, Point{}},
		{"outside, with a side on it", ring(4, 1, 5, 2), -1, Point{4.5, 1}},
		{"the same", deck, 0, Point{0, 0}},
		{"0.09 mm over it", ring(3, 1, 4.00009, 2), 1, Point{}},
		{"0.11 mm over it", ring(3, 1, 4.00011, 2), 0, Point{4.00011, 1}},
	} {
		side, at := within(c.a, deck)
		if side != c.side || at.Distance(c.at) > 1e-9 {
			t.Errorf("%s: %d at %v, want %d at %v", c.name, side, at, c.side, c.at)
		}
	}
}

// The chords of an arc begin and end at its corners and lie within 0.2 mm of it, but not much nearer than they need.
func TestChordsForFaults(t *testing.T) {
	r := Ring{{Point: Point{0, 0}}, {Point: Point{3, 0}, Bulge: 0.4}, {Point: Point{3, 2}}, {Point: Point{0, 2}, Bulge: -0.2}}
	count := map[int]int{}
	cs := chordsOf(r)
	for i, c := range cs {
		count[c.edge]++
		if next := cs[(i+1)%len(cs)]; c.b != next.a && c.b.Distance(next.a) > 1e-12 || c.edge != next.edge && c.b != next.a {
			t.Errorf("a gap after stretch %d", i)
		}
	}
	if count[0] != 1 || count[2] != 1 {
		t.Errorf("straight edges in %d and %d stretches", count[0], count[2])
	}
	for _, k := range []int{1, 3} {
		// n chords of an arc of radius R and angle a leave it by R(1 − cos(a/2n)).
		radius, angle := r.Edge(k).Arc()
		off := func(n int) float64 { return radius * (1 - math.Cos(angle/2/float64(n))) }
		if n := count[k]; off(n) > 0.0002 || off(n-1) < 0.0002 {
			t.Errorf("edge %d in %d chords, %v m off, with one less %v m", k, n, off(n), off(n-1))
		}
	}
	// Two chords are the least, 4096 the most; a tolerance greater than the radius is taken for half of it: acos ½ is a sixth of a turn.
	if n := chordCount(r.Edge(1), 0.3); n != 2 {
		t.Errorf("%d chords", n)
	}
	if n := chordCount(Circle(Point{}, 1000).Edge(0), 1e-12); n != mostChordsOfEdge {
		t.Errorf("%d chords of half a circle of 1 km", n)
	}
	if n := chordCount(Edge{A: Point{-1, 0}, B: Point{1, 0}, Bulge: 3}, 5); n != 3 {
		t.Errorf("%d chords of an arc of 286°", n)
	}
}
