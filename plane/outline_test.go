package plane

import (
	"math"
	"testing"
)

func box(x0, y0, x1, y1 float64) Outline { return Rectangle(x0, y0, x1, y1).Outline() }

// Two stretches cross when each goes more than 1 mm beyond the other, or when they lie within 1 mm of each other for more than 1 mm.
func TestHowStretchesOfAnOutlineCross(t *testing.T) {
	side := [2]Point{{0, 0}, {4, 0}}
	up := func(x, from, to float64) [2]Point { return [2]Point{{x, from}, {x, to}} }
	along := func(from, to, y float64) [2]Point { return [2]Point{{from, y}, {to, y}} }
	for _, c := range []struct {
		name string
		s    [2]Point
		hit  bool
		at   Point
	}{
		{"through the middle", up(2, -1, 1), true, Point{2, 0}},
		{"nearer one end", up(1, -1, 3), true, Point{1, 0}},
		{"1.1 mm beyond", up(2, -1, 0.0011), true, Point{2, 0}},
		{"0.9 mm beyond", up(2, -1, 0.0009), false, Point{}},
		{"1.1 mm below", up(2, -0.0011, 3), true, Point{2, 0}},
		{"0.9 mm below", up(2, -0.0009, 3), false, Point{}},
		{"1.1 mm from an end", up(0.0011, -1, 1), true, Point{0.0011, 0}},
		{"0.9 mm from an end", up(0.0009, -1, 1), false, Point{}},
		{"1.1 mm from the other end", up(3.9989, -1, 1), true, Point{3.9989, 0}},
		{"0.9 mm from the other end", up(3.9991, -1, 1), false, Point{}},
		{"past it", up(5, -1, 1), false, Point{}},
		{"above it", up(2, 1, 2), false, Point{}},
		{"below it", up(2, -2, -1), false, Point{}},
		{"on the left of it", up(-1, -1, 1), false, Point{}},
		{"aslant", [2]Point{{1, -1}, {3, 1}}, true, Point{2, 0}},
		{"along its right half", along(2, 6, 0), true, Point{3, 0}},
		{"along all of it and beyond", along(-1, 7, 0), true, Point{2, 0}},
		{"along its middle", along(1, 2, 0), true, Point{1.5, 0}},
		{"along its end, 1.1 mm", along(3.9989, 6, 0), true, Point{3.99945, 0}},
		{"along its end, 0.9 mm", along(3.9991, 6, 0), false, Point{}},
		{"along its beginning, 1.1 mm", along(-2, 0.0011, 0), true, Point{0.00055, 0}},
		{"beside it, end to end", along(4, 6, 0), false, Point{}},
		{"no length", [2]Point{{2, 0}, {2, 0}}, false, Point{}},
	} {
		turned := [2]Point{c.s[1], c.s[0]}
		for _, pair := range [][2][2]Point{{side, c.s}, {side, turned}, {c.s, side}, {turned, side}} {
			at, hit := Cross(pair[0], pair[1])
			if hit != c.hit || hit && at.Distance(c.at) > 1e-9 {
				t.Errorf("%s: %v at %v, want %v at %v", c.name, hit, at, c.hit, c.at)
			}
		}
	}
	// Two stretches along a slope of 3 in 4, one beside the other: within 1 mm they lie on top of each other.
	for mm, want := range map[float64]bool{0.9: true, -0.9: true, 1.1: false, -1.1: false} {
		off := Point{-0.6, 0.8}.Scale(mm / 1000)
		at, hit := Cross([2]Point{{0, 0}, {4, 3}}, [2]Point{Point{0.8, 0.6}.Add(off), Point{8, 6}.Add(off)})
		if hit != want || hit && at.Distance(Point{2.4, 1.8}) > 1e-9 {
			t.Errorf("%g mm beside: %v at %v", mm, hit, at)
		}
	}
}

// What runs over or into itself is told with the two edges and the place, whatever corner comes first.
func TestWhereAnOutlineMeetsItself(t *testing.T) {
	for _, c := range []struct {
		name  string
		r     Ring
		edges [2]int
		at    Point
	}{
		{"bow tie", RingOf(Point{0, 0}, Point{4, 3}, Point{4, 0}, Point{0, 3}), [2]int{0, 2}, Point{2, 1.5}},
		{"a corner on a side", RingOf(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 0}, Point{0, 4}), [2]int{0, 2}, Point{2, 0}},
		{"0.09 mm from a side", RingOf(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 0.00009}, Point{0, 4}), [2]int{0, 2}, Point{2, 0.00009}},
		{"0.11 mm from a side", RingOf(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 0.00011}, Point{0, 4}), [2]int{-1, -1}, Point{}},
		{"a deck", RingOf(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{0, 4}), [2]int{-1, -1}, Point{}},
		{"a triangle", RingOf(Point{0, 0}, Point{4, 0}, Point{0, 4}), [2]int{-1, -1}, Point{}},
		{"a circle", Circle(Point{1, 1}, 2), [2]int{-1, -1}, Point{}},
	} {
		n := len(c.r)
		for k := range c.r {
			r := append(append(Ring{}, c.r[k:]...), c.r[:k]...)
			at, i, j, found := r.Outline().MeetsItself()
			if found != (c.edges[0] >= 0) {
				t.Errorf("%s, from corner %d: %v at %v", c.name, k, found, at)
				continue
			}
			if !found {
				continue
			}
			// The edges as they were counted from the first corner.
			a, b := (i+k)%n, (j+k)%n
			touches := c.r[c.edges[1]].Point == c.at || c.r[(c.edges[1]+1)%n].Point == c.at
			if at.Distance(c.at) > 1e-3 || !touches && (min(a, b) != c.edges[0] || max(a, b) != c.edges[1]) ||
				touches && a != c.edges[0] && b != c.edges[0] {
				t.Errorf("%s, from corner %d: edges %d and %d at %v", c.name, k, a, b, at)
			}
		}
	}
}

// An L of 4 × 4 m without the quarter at its upper right: how far off a point is and on which side, by hand.
func TestHowFarOffAnOutline(t *testing.T) {
	l := RingOf(Point{0, 0}, Point{4, 0}, Point{4, 2}, Point{2, 2}, Point{2, 4}, Point{0, 4}).Outline()
	for _, c := range []struct {
		p      Point
		d      float64
		inside bool
	}{
		{Point{1, 1}, 1, true},
		{Point{3, 0.5}, 0.5, true},
		{Point{1.7, 3}, 0.3, true},
		{Point{3, 3}, 1, false},
		{Point{5, 3}, math.Sqrt2, false},
		{Point{-1, 1}, 1, false},
		{Point{-3, 8}, 5, false},
		{Point{5, 1}, 1, false},
	} {
		d, inside := l.Away(c.p)
		if math.Abs(d-c.d) > 1e-12 || inside != c.inside {
			t.Errorf("%v: %v m, inside %v", c.p, d, inside)
		}
		for tolerance, holds := range map[float64]bool{c.d * 0.99: c.inside, c.d * 1.01: true} {
			if l.Holds(c.p, tolerance) != holds {
				t.Errorf("%v is held within %v m: %v", c.p, tolerance, !holds)
			}
		}
	}
}

// A side that runs back over the one before it, or over part of it, doubles back; one that turns off by a thousandth does not.
func TestWhatDoublesBack(t *testing.T) {
	to := chord{a: Point{0, 0}, b: Point{4, 0}}
	for _, c := range []struct {
		name string
		s, t chord
		want bool
	}{
		{"half the way", to, chord{a: Point{4, 0}, b: Point{2, 0}}, true},
		{"and beyond", to, chord{a: Point{4, 0}, b: Point{-2, 0}}, true},
		{"straight on", to, chord{a: Point{4, 0}, b: Point{7, 0}}, false},
		{"a hair off", to, chord{a: Point{4, 0}, b: Point{1, 0.003}}, false},
		{"square", to, chord{a: Point{4, 0}, b: Point{4, 2}}, false},
		{"the last to the first", chord{a: Point{4, 0}, b: Point{2, 3}}, chord{a: Point{1, 0}, b: Point{4, 0}}, false},
		{"the last back over the first", chord{a: Point{4, 0}, b: Point{1, 0}}, chord{a: Point{3, 0}, b: Point{4, 0}}, true},
	} {
		at, got := doubled(c.s, c.t)
		if got != c.want || got && at != (Point{4, 0}) {
			t.Errorf("%s: %v at %v", c.name, got, at)
		}
	}
	if _, i, k, found := RingOf(Point{0, 0}, Point{4, 0}, Point{2, 0}, Point{2, 3}, Point{0, 3}).Outline().MeetsItself(); !found || i != 0 || k != 1 {
		t.Errorf("edges %d and %d, %v", i, k, found)
	}
}

// A piece reaches out of a deck when a corner or the middle of a side lies more than 4 mm outside, or a notch of the deck as far in it.
func TestWhatReachesOutOfAnOutline(t *testing.T) {
	deck := RingOf(Point{0, 0}, Point{6, 0}, Point{6, 4}, Point{3.1, 4}, Point{2.5, 1}, Point{2, 4}, Point{0, 4}).Outline()
	for _, c := range []struct {
		name  string
		inner Outline
		found bool
		at    Point
	}{
		{"within", box(0.2, 0.2, 1.5, 3), false, Point{}},
		{"at the edge", box(0, 0, 1.5, 3), false, Point{}},
		{"3.9 mm over", box(-0.0039, 1, 1, 2), false, Point{}},
		{"4.1 mm over", box(-0.0041, 1, 1, 2), true, Point{-0.0041, 1}},
		{"beside", box(7, 1, 8, 2), true, Point{7, 1}},
		{"with its middle over the notch", box(1, 0.5, 4.1, 3), true, Point{2.55, 3}},
		{"with the tip of the notch in it", box(0.2, 0.5, 5.5, 1.0041), true, Point{2.5, 1}},
		{"with 3.9 mm of the notch in it", box(0.2, 0.5, 5.5, 1.0039), false, Point{}},
	} {
		at, found := deck.Reaches(c.inner)
		if found != c.found || found && at.Distance(c.at) > 1e-9 {
			t.Errorf("%s: %v at %v, want %v at %v", c.name, found, at, c.found, c.at)
		}
	}
}

// Two openings overlap when one reaches more than 4 mm into the other, or when they cross, and either may be asked.
func TestWhatOverlaps(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b Outline
		want bool
	}{
		{"side by side", box(0, 0, 1, 1), box(1, 0, 2, 1), false},
		{"apart", box(0, 0, 1, 1), box(3, 0, 4, 1), false},
		{"3.9 mm over each other", box(0, 0, 1, 1), box(0.9961, 0, 2, 1), false},
		{"4.1 mm over each other", box(0, 0, 1, 1), box(0.9959, 0, 2, 1), true},
		{"corners over each other by 2 mm", box(0, 0, 1, 1), box(0.998, 0.998, 2, 2), true},
		{"corners over each other by 0.5 mm", box(0, 0, 1, 1), box(0.9995, 0.9995, 2, 2), false},
		{"a corner in the other", box(0, 0, 1, 1), box(0.5, 0.5, 2, 2), true},
		{"one in the other", box(0, 0, 4, 4), box(1, 1, 2, 2), true},
		{"the middle of a side in the other", box(0, 0, 4, 1), box(1.5, -1, 2.5, 3), true},
		{"a cross aside of the middles", box(0, 0, 4, 1), box(2.5, -1, 3.5, 4), true},
		{"the same", box(0, 0, 4, 1), box(0, 0, 4, 1), true},
	} {
		for _, pair := range [][2]Outline{{c.a, c.b}, {c.b, c.a}} {
			if at, got := pair[0].Overlaps(pair[1]); got != c.want {
				t.Errorf("%s: %v at %v", c.name, got, at)
			} else if got && (!c.a.Holds(at, 0.005) || !c.b.Holds(at, 0.005)) {
				t.Errorf("%s: the place %v is not in both", c.name, at)
			}
		}
	}
}

// The gap is from a corner to a side, or from the middle of a side.
func TestGapBetweenOutlines(t *testing.T) {
	deck := box(0, 0, 4, 4)
	for _, c := range []struct {
		other Outline
		want  float64
	}{
		{box(5, 1, 6, 2), 1},
		{box(7, 8, 9, 9), 5},
		{box(1, 1, 2, 3.5), 0.5},
		{box(4, 0, 5, 4), 0},
		{RingOf(Point{4.3, 2}, Point{6, 1}, Point{6, 3}).Outline(), 0.3},
	} {
		near(t, "gap", deck.Gap(c.other), c.want, 1e-12)
		near(t, "gap the other way", c.other.Gap(deck), c.want, 1e-12)
	}
	if d := deck.Gap(nil); !math.IsInf(d, 1) {
		t.Errorf("nothing is %v m off", d)
	}
}

// The chords of an outline lie within 2 mm of an arc, two at least, 64 at most, and all together no more than about a thousand.
func TestChordsOfAnOutline(t *testing.T) {
	r := Ring{{Point: Point{0, 0}}, {Point: Point{3, 0}, Bulge: 0.4}, {Point: Point{3, 2}}, {Point: Point{0, 2}, Bulge: -0.2}}
	count := map[int]int{}
	o := r.Outline()
	for i, c := range o {
		count[c.edge]++
		if next := o[(i+1)%len(o)]; c.b.Distance(next.a) > 1e-12 {
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
		if n := count[k]; off(n) > OutlineM || off(n-1) < OutlineM {
			t.Errorf("edge %d in %d chords, %v m off", k, n, off(n))
		}
	}
	if n := len(Circle(Point{}, 1000).Outline()); n != 128 {
		t.Errorf("a circle of 1 km in %d chords", n)
	}
	if n := len(Circle(Point{}, 0.001).Outline()); n != 4 {
		t.Errorf("a circle of 2 mm in %d chords", n)
	}
	var gear Ring // forty arcs: 1024/40 chords each
	for k := range 40 {
		gear = append(gear, Vertex{Point: turn(Point{1000, 0}, float64(k)*math.Pi/20), Bulge: 0.5})
	}
	if n := len(gear.Outline()); n != 40*25 {
		t.Errorf("forty arcs in %d chords", n)
	}
}
