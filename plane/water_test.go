package plane

import (
	"slices"
	"testing"
)

// A deck of 6 × 4 m whose upper half falls down and to the right as 2 to 1, the lower as 1 to 1: they agree along y = 2, and water runs
// from one into the other. By hand: what leaves at (3, 0) comes by (1, 2) from (0, 4), what leaves at (6, 0) by (4, 2) from (3, 4).
func TestWaterRunsFromPlaneToPlane(t *testing.T) {
	outer := RingOf(Point{0, 0}, Point{3, 0}, Point{6, 0}, Point{6, 4}, Point{0, 4})
	upper := Facet{Area: []Polygon{square(0, 2, 6, 4)}, Gradient: Point{-0.02, 0.04}, z0: 0.08}
	lower := Facet{Area: []Polygon{{Outer: Loop{{0, 0}, {3, 0}, {6, 0}, {6, 2}, {0, 2}}}}, Gradient: Point{-0.02, 0.02}, z0: 0.12}
	near(t, "height at the fold", upper.HeightM(Point{4, 2}), lower.HeightM(Point{4, 2}), 1e-12)
	for _, facets := range [][]Facet{{upper, lower}, {lower, upper}} {
		s := Surface{Deck: []Polygon{square(0, 0, 6, 4)}, Facets: facets, falls: Falls{Kind: OneWay}}
		cs, err := Catchments(s, outer, takesOnly(0, 1, 2), nil)
		if err != nil {
			t.Fatal(err)
		}
		want := []float64{4 + 1, 6 + 6, 2 + 5}
		if len(cs) != len(want) {
			t.Fatalf("%d catchments: %+v", len(cs), cs)
		}
		for edge, m2 := range want {
			if cs[edge].Edge != edge {
				t.Errorf("catchment %d is of edge %d", edge, cs[edge].Edge)
			}
			near(t, "deck", cs[edge].DeckM2, m2, 1e-6)
			near(t, "area", TotalArea(cs[edge].Area), m2, 1e-5)
		}
		for p, edge := range map[Point]int{{0.2, 3.4}: 0, {0.9, 2.4}: 1, {0.2, 3.7}: 1, {3.2, 3.9}: 2, {2.9, 3.9}: 1, {5.9, 0.05}: 1, {5.9, 0.15}: 2} {
			if d := s.Trace(p, outer, takesOnly(0, 1, 2), nil); d != (Drain{Edge: edge, Outlet: -1}) {
				t.Errorf("a drop at %v goes to %+v, by hand to edge %d", p, d, edge)
			}
		}
	}
}

// Water that meets an opening goes round it, whatever edge is nearest: no side of an opening is an edge.
func TestWaterGoesRoundAnOpening(t *testing.T) {
	outer := Rectangle(0, 0, 6, 4)
	s := surface(t, outer, []Ring{Rectangle(5, 1, 5.8, 2)}, Falls{Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 40}}})
	cs, err := Catchments(s, outer, takesOnly(0, 1, 3), nil)
	if err != nil || len(cs) != 1 || cs[0].Edge != 0 {
		t.Fatalf("%v, %v", cs, err)
	}
	near(t, "all over the low edge", cs[0].RainM2(), 24, 1e-6)
}

// Of two corners of an opening equally low its lid sheds at the first, at the left: an outlet there takes it, one at the right does not.
func TestLidWithALevelLowSide(t *testing.T) {
	outer := Rectangle(0, 0, 10, 6)
	s := surface(t, outer, []Ring{Rectangle(4, 2, 6, 4)}, Falls{Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 40}}})
	for x, m2 := range map[float64]float64{3.95: 4, 6.05: 0} {
		cs, err := Catchments(s, outer, takesOnly(0), []Point{{x, 1.95}})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range cs {
			if c.Outlet == 0 {
				near(t, "lid", c.OpeningM2, m2, 1e-9)
			}
		}
	}
}

// Edges first, then outlets, then water that stands, from left to right and from below.
func TestOrderOfDrains(t *testing.T) {
	want := []Drain{{Edge: 0, Outlet: -1}, {Edge: 2, Outlet: -1}, {Edge: 10, Outlet: -1}, {Edge: -1, Outlet: 0}, {Edge: -1, Outlet: 1},
		{Edge: -1, Outlet: -1, At: Point{1, 5}}, {Edge: -1, Outlet: -1, At: Point{2, 1}}, {Edge: -1, Outlet: -1, At: Point{2, 3}}}
	for i := range want {
		for j := range want {
			if got := drainOrder(want[i], want[j]); got > 0 != (i > j) || got < 0 != (i < j) {
				t.Errorf("%+v against %+v: %d", want[i], want[j], got)
			}
		}
	}
	if !slices.IsSortedFunc(want, drainOrder) {
		t.Error("not in order")
	}
}

// A deck of 6 × 4 m that falls to the right, twice as much as down, its lower edge in two parts: where drops leave that fall on it to the
// left, by hand.
func TestWhereADropLeaves(t *testing.T) {
	outer := RingOf(Point{0, 0}, Point{3, 0}, Point{6, 0}, Point{6, 4}, Point{0, 4})
	s := surface(t, outer, nil, Falls{Kind: OneWay, Planes: []FallPlane{{Point{2, -1}, 40}}})
	for _, c := range []struct {
		name    string
		from    Point
		takes   []int
		outlets []Point
		want    Drain
	}{
		{"at once, over the first edge", Point{1, 0.2}, []int{0, 1, 2}, nil, Drain{Edge: 0, Outlet: -1}},
		{"on the edge itself", Point{1, 0}, []int{0, 1, 2}, nil, Drain{Edge: 0, Outlet: -1}},
		{"along a closed edge, over the next, not down along that", Point{1, 0.2}, []int{1, 2}, nil, Drain{Edge: 1, Outlet: -1}},
		{"along two closed edges", Point{1, 0.2}, []int{2}, nil, Drain{Edge: 2, Outlet: -1}},
		{"to the corner that is nowhere open", Point{1, 0.2}, nil, nil, Drain{Edge: -1, Outlet: -1, At: Point{6, 0}}},
		{"with an outlet far off", Point{1, 0.2}, nil, []Point{{1, 3}}, Drain{Edge: -1, Outlet: -1, At: Point{6, 0}}},
		{"with an outlet at the corner", Point{1, 2}, nil, []Point{{1, 3}, {6.1, -0.1}}, Drain{Edge: -1, Outlet: 1}},
	} {
		if got := s.Trace(c.from, outer, takesOnly(c.takes...), c.outlets); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	// On a level deck water stands where it falls, or is at an outlet.
	level := surface(t, outer, nil, Falls{Kind: Level})
	for _, c := range []struct {
		at   Point
		want Drain
	}{
		{Point{3, 2}, Drain{Edge: -1, Outlet: -1, At: Point{3, 2}}},
		{Point{5.1, 3}, Drain{Edge: -1, Outlet: 1}},
	} {
		if got := level.Trace(c.at, outer, takesOnly(0), []Point{{1, 1}, {5, 3}}); got != c.want {
			t.Errorf("level, %v: %+v, want %+v", c.at, got, c.want)
		}
	}
}

// A ray that runs along a side leaves by the side square to it, at its very end; one that begins on its way out leaves at once.
func TestRaysThatLeaveAtACorner(t *testing.T) {
	f := newFlow(Surface{Deck: []Polygon{square(0, 0, 3, 3)}, Facets: []Facet{{Area: []Polygon{square(0, 0, 3, 3)}, Gradient: Point{0, 0.02}}}},
		Rectangle(0, 0, 3, 3), takesOnly(), nil)
	for _, from := range []Point{{0, 0.7}, {3, 0.7}, {1, 0}, {0, 0}, {3, 0}, {2, 3}} {
		if side, q, ok := f.firstExit(from, Point{0, -1}, 0); !ok || q.Distance(Point{from.X, 0}) > 1e-12 || side.edge != 0 {
			t.Errorf("from %v: edge %d at %v, %v", from, side.edge, q, ok)
		}
	}
}

// Of edges, planes and outlets that are alike the first is taken.
func TestOfAlikeTheFirst(t *testing.T) {
	outer := Rectangle(0, 0, 6, 4)
	s := surface(t, outer, nil, Falls{Kind: OneWay, Planes: []FallPlane{{Point{1, -1}, 40}}})
	if v := newFlow(s, outer, takesOnly(0, 1), nil).waysFrom(Point{6, 0}); v.over != 0 {
		t.Errorf("from the corner over edge %d", v.over)
	}
	ridge := surface(t, outer, nil, Falls{Kind: Ridge, Line: [2]Point{{0, 2}, {6, 2}}, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{0, -1}, 40}}})
	if v := newFlow(ridge, outer, takesOnly(0, 2), nil).waysFrom(Point{0, 2}); v.facet != 0 {
		t.Errorf("from the end of the ridge down plane %d", v.facet)
	}
	if i := nearestOutlet([]int{0, 1, 2}, []Point{{5, 0}, {1, 0}, {-1, 0}}, Point{}); i != 1 {
		t.Errorf("outlet %d", i)
	}
	if i := nearestOutlet(nil, nil, Point{}); i != -1 {
		t.Errorf("outlet %d of none", i)
	}
}
