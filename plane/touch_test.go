package plane

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A board of 3 × 1 m and neighbours whose common edge is known by hand.
func TestTouching(t *testing.T) {
	board := Loop{{0, 0}, {3, 0}, {3, 1}, {0, 1}}
	box := func(x0, y0, x1, y1 float64) Loop { return Loop{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }
	for _, c := range []struct {
		name    string
		other   Loop
		within  float64
		lengthM float64
	}{
		{"the whole long side", box(0, 1, 3, 2), 0.001, 3},
		{"part of it, past the end", box(2, 1, 5, 2), 0.001, 1},
		{"the short side", box(3, -1, 4, 0.25), 0.001, 0.25},
		{"corner to corner", box(3, 1, 4, 2), 0.001, 0},
		{"0.12 m off, asked within 0.121", box(0, 1.12, 3, 2), 0.121, 3},
		{"0.12 m off, asked within 0.119", box(0, 1.12, 3, 2), 0.119, 0},
		// The ends lie over each other too, by 0.1 m each.
		{"0.1 m over, as a lap", box(0, 0.9, 3, 1.9), 0.12, 3.2},
		// And so do they askew, by 1.5 m × sin 2.5° less what the turn takes.
		{"2.5° askew, about its middle", box(0, 1, 3, 2).turnedAbout(Point{1.5, 1}, 2.5), 0.12, 3.0626},
		{"3.5° askew", box(0, 1, 3, 2).turnedAbout(Point{1.5, 1}, 3.5), 0.12, 0},
		{"far off", box(9, 9, 10, 10), 0.12, 0},
	} {
		got := board.Touching(c.other, c.within)
		near(t, c.name, got.LengthM, c.lengthM, 4e-3)
		if back := c.other.Touching(board, c.within); math.Abs(back.LengthM-got.LengthM) > 4e-3 {
			t.Errorf("%s: %v m, and %v m the other way round", c.name, got.LengthM, back.LengthM)
		}
		var ends float64
		for i := 0; i+1 < len(got.Ends); i += 2 {
			ends += got.Ends[i].Distance(got.Ends[i+1])
			if board.Distance(got.Ends[i]) > 1e-9 || board.Distance(got.Ends[i+1]) > 1e-9 {
				t.Errorf("%s: the ends %v do not lie on the board", c.name, got.Ends)
			}
		}
		near(t, c.name+": between the ends", ends, got.LengthM, 1e-9)
	}
}

func (l Loop) turnedAbout(centre Point, deg float64) Loop {
	return Polygon{Outer: l}.Turned(centre, deg*math.Pi/180).Outer
}

// A 4 × 2 m plate: from inside nothing, from beside it square to the side, from a
// corner's quarter to the corner.
func TestClosest(t *testing.T) {
	plate := Loop{{0, 0}, {4, 0}, {4, 2}, {0, 2}}
	for _, c := range []struct {
		q, at Point
		d     float64
	}{
		{Point{1, 1}, Point{1, 1}, 0},
		{Point{3, -2}, Point{3, 0}, 2},
		{Point{7, 6}, Point{4, 2}, 5},
		{Point{-0.5, 1.5}, Point{0, 1.5}, 0.5},
	} {
		at, d := plate.Closest(c.q)
		if at.Distance(c.at) > 1e-12 || math.Abs(d-c.d) > 1e-12 {
			t.Errorf("from %v: %v at %v m, want %v at %v", c.q, at, d, c.at, c.d)
		}
	}
}

// Second moments of a b × h rectangle are b³h/12 and bh³/12: the long axis is that of
// the longer side, however it is turned and whichever way it runs.
func TestLongAxisIsThatOfTheLongSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		long, short := rapid.Float64Range(1.1, 9).Draw(t, "long"), rapid.Float64Range(0.1, 1).Draw(t, "short")
		angle := rapid.Float64Range(-10, 10).Draw(t, "angle")
		r := Rectangle(7, -3, 7+long, -3+short).Turned(Point{2, 1}, angle)
		if rapid.Bool().Draw(t, "clockwise") {
			r = r.Reversed()
		}
		l, u := Loop(r.Chords(1)), turn(Point{1, 0}, angle)
		got := l.LongAxis()
		if math.Abs(got.Cross(u)) > 1e-6 || math.Abs(got.Length()-1) > 1e-12 {
			t.Fatalf("axis %v of a rectangle along %v", got, u)
		}
		if got.X < -1e-9 || math.Abs(got.X) <= 1e-9 && got.Y < 0 {
			t.Fatalf("of two directions the left one: %v", got)
		}
		low, high := l.Extent(got)
		if math.Abs(high-low-long) > 1e-6 {
			t.Fatalf("%v m along the axis of a side of %v", high-low, long)
		}
		if c := l.Centroid(); c.Distance(Point{7 + long/2, -3 + short/2}.about(Point{2, 1}, angle)) > 1e-9 {
			t.Fatalf("centre at %v", c)
		}
	})
	if u := (Loop{{0, 0}, {2, 0}, {2, 2}, {0, 2}}).LongAxis(); u != (Point{1, 0}) {
		t.Errorf("axis of a square: %v", u)
	}
	// A right triangle 3 × 1: Ix = bh³/36, Iy = b³h/36, Ixy = −b²h²/72 about its centre;
	// tan 2θ = 2·Ixy/(Ix − Iy), so its axis falls away from the right angle at
	// θ = ½ atan2(2·(−9/72), 27/36 − 3/36).
	u := Loop{{0, 0}, {3, 0}, {0, 1}}.LongAxis()
	near(t, "triangle", math.Atan2(u.Y, u.X), 0.5*math.Atan2(-2*9.0/72, 27.0/36-3.0/36), 1e-12)
}

func (p Point) about(centre Point, angle float64) Point {
	return centre.Add(turn(p.Sub(centre), angle))
}

func TestSplitAtParts(t *testing.T) {
	// An L of 3 × 1 and 1 × 2 m over its left end: below y = 1 lie 3 of 5 m².
	l := Loop{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 3}, {0, 3}}
	near(t, "below", l.Below(Point{0, 1}, 1).Area(), 3, 1e-12)
	near(t, "above", l.Below(Point{0, -1}, -1).Area(), 2, 1e-12)
	first, rest := l.SplitAt(Point{0, 1}, 0.8)
	near(t, "four fifths", first.Area(), 4, 1e-9)
	_, high := first.Extent(Point{0, 1})
	near(t, "cut at", high, 2, 1e-9)
	near(t, "the rest", rest.Area(), 1, 1e-9)
	// The tip of a triangle 2 m wide and 2 m high: a quarter of its area is half as high.
	tip, _ := Loop{{0, 0}, {1, 2}, {-1, 2}}.SplitAt(Point{0, 1}, 0.25)
	near(t, "a quarter", tip.Area(), 0.5, 1e-9)
	if _, high := tip.Extent(Point{0, 1}); math.Abs(high-1) > 1e-9 {
		t.Errorf("cut at %v", high)
	}
	// A U cut over its gap stays one loop.
	u := Loop{{0, 0}, {3, 0}, {3, 2}, {2, 2}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}
	near(t, "two legs", u.Below(Point{0, -1}, -1.5).Area(), 1, 1e-12)
}

// Whether a side lies within a distance is whether the distance to the nearest is no more.
func TestSideWithinIsDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) Point {
			return Point{rapid.Float64Range(-5, 5).Draw(t, name), rapid.Float64Range(-5, 5).Draw(t, name)}
		}
		loop := func(name string) (l Loop) {
			for range rapid.IntRange(3, 7).Draw(t, name) {
				l = append(l, at(name))
			}
			return l
		}
		p := Polygon{Outer: loop("outer"), Holes: []Loop{loop("hole")}}
		q := at("point")
		if rapid.Bool().Draw(t, "on a side") {
			q = p.Holes[0][0].Add(p.Holes[0][1].Sub(p.Holes[0][0]).Scale(rapid.Float64Range(0, 1).Draw(t, "share")))
		}
		d := p.Distance(q)
		for _, within := range []float64{d, d * 0.999, d * 1.001, d - 1e-12, 1e-5, 0.5, 3} {
			if got := p.sideWithin(q, within); got != (d <= within) {
				t.Fatalf("nearest side at %v m, within %v m: %v", d, within, got)
			}
		}
	})
}
