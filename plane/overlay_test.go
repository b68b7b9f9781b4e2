package plane

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// square is the polygon of an axis-parallel rectangle, with rectangles as holes.
func square(x0, y0, x1, y1 float64, holes ...Polygon) Polygon {
	p := Polygon{Outer: Loop(Rectangle(x0, y0, x1, y1).Chords(1))}
	for _, h := range holes {
		p.Holes = append(p.Holes, Loop(Rectangle(h.Outer[0].X, h.Outer[0].Y, h.Outer[2].X, h.Outer[2].Y).Reversed().Chords(1)))
	}
	return p
}

// Two decks of 2 × 4 m that share a strip of 1 m: of what an overlay might give for their union only the union is believed.
func TestAWrongUnionIsNotBelieved(t *testing.T) {
	two := []Polygon{square(0, 0, 2, 4), square(1, 0, 3, 4)}
	for _, c := range []struct {
		name string
		u    []Polygon
		want bool
	}{
		{"the union", []Polygon{square(0, 0, 3, 4)}, true},
		{"nothing", nil, false},
		{"one of them", two[:1], false},
		{"both, laid over each other", two, false},
		{"in three pieces, not joined", []Polygon{square(0, 0, 1, 4), square(1, 0, 2, 4), square(2, 0, 3, 4)}, false},
		{"1 mm short on the right", []Polygon{square(0, 0, 2.999, 4)}, false},
		{"1 mm more on the right", []Polygon{square(0, 0, 3.001, 4)}, false},
		{"a hole where there is none", []Polygon{square(0, 0, 3, 4, square(0.2, 1, 0.8, 3))}, false},
		{"a piece off both", []Polygon{square(0, 0, 3, 4), square(5, 5, 5.1, 5.1)}, false},
	} {
		if got := unionHolds(two, c.u); got != c.want {
			t.Errorf("%s: believed is %v", c.name, got)
		}
	}
	// Of one deck in another the union is the greater one; of two apart their areas add up.
	if !unionHolds([]Polygon{square(0, 0, 4, 4), square(1, 1, 2, 2)}, []Polygon{square(0, 0, 4, 4)}) {
		t.Error("a deck with a part of itself is not believed")
	}
	if apart := []Polygon{square(0, 0, 1, 1), square(3, 3, 4, 4)}; !unionHolds(apart, apart) {
		t.Error("two decks apart are not believed")
	}
}

// All corners and the middles of all sides of a deck lie on one with a light well of 2 × 3.8 m, but a point within it lies in the well.
func TestWhatLiesWithin(t *testing.T) {
	whole, well := square(0, 0, 4, 4), square(0, 0, 4, 4, square(1, 0.1, 3, 3.9))
	for _, c := range []struct {
		name    string
		p, a, b []Polygon
		want    bool
	}{
		{"itself", []Polygon{whole}, []Polygon{whole}, nil, true},
		{"round the well", []Polygon{well}, []Polygon{whole}, []Polygon{well}, true},
		{"over the well", []Polygon{whole}, []Polygon{well}, nil, false},
		{"in the first, over the well of the second", []Polygon{whole}, []Polygon{whole}, []Polygon{well}, false},
		{"in the second, over the well of the first", []Polygon{whole}, []Polygon{well}, []Polygon{whole}, false},
		{"0.02 mm over the edge", []Polygon{square(1, 1, 4.00002, 3)}, []Polygon{whole}, nil, false},
		// Rounding may put a corner 0.01 mm off.
		{"0.005 mm over the edge", []Polygon{square(1, 1, 4.000005, 3)}, []Polygon{whole}, nil, true},
		{"beside", []Polygon{square(5, 1, 6, 3)}, []Polygon{whole}, nil, false},
		{"nothing", nil, []Polygon{whole}, nil, true},
		{"in the second of two", []Polygon{square(6, 0, 7, 1)}, []Polygon{whole, square(5, 0, 8, 4)}, nil, true},
	} {
		if got := liesWithin(c.p, c.a, c.b); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Pieces that share a side are clear of each other, those that share 0.02 mm are not.
func TestWhatIsClearOf(t *testing.T) {
	deck := []Polygon{square(0, 0, 4, 4, square(1, 1, 3, 3))}
	for _, c := range []struct {
		name string
		p    Polygon
		want bool
	}{
		{"beside", square(4, 0, 6, 4), true},
		{"0.005 mm over it", square(3.999995, 1, 6, 3), true},
		{"0.02 mm over it", square(3.99998, 1, 6, 3), false},
		{"in its well", square(1, 1, 3, 3), true},
		{"off it", square(8, 0, 9, 4), true},
		{"on it", square(0.2, 0.2, 0.8, 3.8), false},
	} {
		if got := clearOf([]Polygon{c.p}, deck); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// What a joint leaves of a deck is all of it that the joint does not take.
func TestWhatCoversTheRest(t *testing.T) {
	deck, left, right := []Polygon{square(0, 0, 4, 4)}, []Polygon{square(0, 0, 2, 4)}, []Polygon{square(2, 0, 4, 4)}
	for _, c := range []struct {
		name    string
		b, rest []Polygon
		want    bool
	}{
		{"the other half", left, right, true},
		{"less than the other half", left, []Polygon{square(2, 0, 3.9, 4)}, false},
		{"nothing of half", left, nil, false},
		{"nothing of all", deck, nil, true},
		{"the wrong half", left, left, false},
		{"all of nothing taken", []Polygon{square(7, 7, 8, 8)}, deck, true},
	} {
		if got := coversRest(deck, c.b, c.rest); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A deck rounded to the coarsest grid has its area but for what the tolerance of an overlay allows, which is no more than a strip of
// two thousandths of a millimetre round it.
func TestHowMuchAnOverlayMayBeOff(t *testing.T) {
	near(t, "nothing", overlayTolerance(nil), 1e-9, 1e-15)
	near(t, "a deck of 4 × 4 m and its well of 2 × 2 m", overlayTolerance([]Polygon{square(0, 0, 4, 4, square(1, 1, 3, 3))}), 1e-9+2e-6*24, 1e-12)
	near(t, "two decks", overlayTolerance([]Polygon{square(0, 0, 1, 1), square(2, 0, 4, 2)}), 1e-9+2e-6*12, 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		p := chordPolygon(validRing(t, false), nil, 1)
		p = p.Turned(Point{}, rapid.Float64Range(0, 1).Draw(t, "turn"))
		if off := math.Abs(rounded(p, 1e-6).Area() - p.Area()); off > overlayTolerance([]Polygon{p}) {
			t.Fatalf("%v m² off", off)
		}
	})
}

// On a grid of a thousandth of a millimetre corners that fall together are one, and loops that have no area left go.
func TestPolygonsOnAGrid(t *testing.T) {
	l := Loop{{0, 0}, {1, 0}, {1, 4e-7}, {1, 1}, {0.2500004, 1}, {0, 1}, {0, 4e-7}}
	hole := func(side float64) Loop { return square(0.5, 0.5, 0.5+side, 0.5+side).Outer }
	got := rounded(Polygon{Outer: l, Holes: []Loop{hole(9e-6), hole(1.2e-5), hole(0.25)}}, 1e-6)
	if want := (Loop{{0, 0}, {1, 0}, {1, 1}, {0.25, 1}, {0, 1}}); len(got.Outer) != len(want) {
		t.Errorf("corners %v", got.Outer)
	} else {
		for i, p := range got.Outer {
			near(t, "corner", p.Distance(want[i]), 0, 1e-12)
		}
	}
	// A square of 0.009 mm is less than the 0.01 mm of what counts as empty, one of 0.012 mm more.
	if len(got.Holes) != 2 || len(got.Holes[0]) != 4 || math.Abs(got.Holes[1].Area()-0.0625) > 1e-9 {
		t.Errorf("holes %v", got.Holes)
	}
	if got := rounded(Polygon{Outer: hole(9e-6), Holes: []Loop{hole(0.25)}}, 1e-6); got.Outer != nil || got.Holes != nil {
		t.Errorf("nothing is left, and yet %v", got)
	}
	if got := rounded(square(0, 0, 2.0000004, 1), 1); got.Area() != 2 {
		t.Errorf("on a grid of a metre %v m²", got.Area())
	}
}

// What an overlay gives is put in order: decks and holes by their lowest leftmost corners, at which each loop begins; crumbs go.
func TestAreasAreInOrder(t *testing.T) {
	turned := func(l Loop, k int) Loop { return append(append(Loop{}, l[k:]...), l[:k]...) }
	crumb := square(7, 7, 7+9e-6, 7+9e-6)
	a := square(3, 0, 9, 9, square(7, 1, 8, 2), square(4, 5, 5, 6), crumb, square(4, 1, 5, 2))
	for i := range a.Holes {
		a.Holes[i] = turned(a.Holes[i], 2)
	}
	a.Outer = turned(a.Outer, 3)
	got := tidyPolygons([]Polygon{a, square(0, 5, 1, 6), crumb, square(0, 1, 1, 2), square(-9, -9, -9+1.2e-5, -9+1.2e-5)})
	want := []Point{{-9, -9}, {0, 1}, {0, 5}, {3, 0}}
	if len(got) != len(want) {
		t.Fatalf("%d decks: %v", len(got), got)
	}
	for i, p := range got {
		if p.Outer[0] != want[i] || len(p.Outer) != 4 {
			t.Errorf("deck %d begins at %v, want %v", i, p.Outer[0], want[i])
		}
	}
	holes := []Point{{4, 1}, {4, 5}, {7, 1}}
	if len(got[3].Holes) != len(holes) {
		t.Fatalf("holes %v", got[3].Holes)
	}
	for i, h := range got[3].Holes {
		if h[0] != holes[i] || h.SignedArea() > 0 {
			t.Errorf("hole %d: %v, want it to begin at %v", i, h, holes[i])
		}
	}
}

// Overlays are worked about a corner in whole metres, so that a national grid takes no digits.
func TestWhereOverlaysAreWorked(t *testing.T) {
	if got := originOf([]Polygon{square(10.7, -3.2, 12, 4), square(11, -2, 13, -1)}); got != (Point{10, -4}) {
		t.Errorf("about %v", got)
	}
	for _, none := range [][]Polygon{nil, {{Outer: Loop{{math.NaN(), 0}}}}, {{Outer: Loop{{0, math.Inf(-1)}}}}, {{Outer: Loop{{math.Inf(-1), 0}}}}} {
		if got := originOf(none); got != (Point{}) {
			t.Errorf("about %v for %v", got, none)
		}
	}
	far := Point{3_500_000.25, 5_800_000.75}
	a, b := square(0, 0, 4, 4).Moved(far), square(1, 1, 2, 6).Moved(far)
	in, err := Intersection([]Polygon{a}, []Polygon{b})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "on a national grid", TotalArea(in), 3, 1e-7)
	if len(in) != 1 || len(in[0].Outer) != 4 {
		t.Errorf("no corner is repeated: %v", in)
	}
	// Corners are rounded to a grid where there is one, and left as they are where there is none.
	for grid, want := range map[float64]float64{0: 1.2345678, 1e-6: 1.234568} {
		g, err := unionGeometry([]Polygon{square(0, 0, 1.2345678, 1)}, Point{}, grid)
		if err != nil {
			t.Fatal(err)
		}
		if _, high := BoundsOf(polygonsOf(g, Point{})); math.Abs(high.X-want) > 1e-12 {
			t.Errorf("on a grid of %g m: %v", grid, high)
		}
	}
}

// A loop runs anticlockwise when it is made a polygon of, and none is made of one without area.
func TestLoopsThatEnclose(t *testing.T) {
	for _, l := range []Loop{{{0, 0}, {2, 0}, {2, 1}, {1, 3}, {0, 1}}, {{0, 1}, {1, 3}, {2, 1}, {2, 0}, {0, 0}}} {
		got := properLoop(append(Loop{}, l...))
		if len(got) != 1 || len(got[0].Outer) != 5 || math.Abs(got[0].Outer.SignedArea()-4) > 1e-12 {
			t.Errorf("%v: %v", l, got)
		}
	}
	for side, n := range map[float64]int{0.9e-7: 0, 1.1e-7: 1} {
		if got := properLoop(square(0, 0, side, side).Outer); len(got) != n {
			t.Errorf("a square of %g m: %v", side, got)
		}
	}
}
