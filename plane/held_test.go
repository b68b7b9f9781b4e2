package plane

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Two planes may part along their line by 0.2 mm in a metre, for ratios are rounded; by more it is told in millimetres in a metre.
func TestHowFarPlanesMayPart(t *testing.T) {
	deck := []Polygon{{Outer: []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}}}
	hip := func(partMM float64) error {
		// Along the diagonal each plane falls by its gradient over √2: they part by the difference of gradients over √2.
		g := 1./40 - partMM/1000*math.Sqrt2
		_, err := SurfaceOf(deck, Falls{Kind: Hip, Line: [2]Point{{0, 0}, {4, 4}}, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{1, 0}, 1 / g}}})
		return err
	}
	if err := hip(0.195); err != nil {
		t.Errorf("0.195 mm in a metre is refused: %v", err)
	}
	if err := hip(0.205); err == nil {
		t.Error("0.205 mm in a metre is taken")
	}
	if err := hip(2.5); err == nil || !strings.Contains(err.Error(), "2.5 mm in a metre") {
		t.Errorf("2.5 mm in a metre is told as %v", err)
	}
}

// Sides count as parallel up to an angle whose sine is 0.05, 2.87°.
func TestWhatCountsAsParallel(t *testing.T) {
	low := Loop{{0, 0}, {1, 0}, {1, -1}, {0, -1}}
	for sine, parallel := range map[float64]bool{0: true, 0.049: true, 0.0515: false} {
		u := Point{math.Sqrt(1 - sine*sine), sine}
		high := Loop{{0, 0.001}, {0, 1}, {u.X, 1}, {u.X, 0.001 + u.Y}}
		met := 0
		low.Abreast(high, 0.1, func(SideBySide) { met++ })
		if (met > 0) != parallel {
			t.Errorf("at a sine of %g %d sides run side by side", sine, met)
		}
	}
}

// The point that is found in a hole lies beside the middle of its longest side.
func TestAPointWithinALoop(t *testing.T) {
	for _, l := range []Loop{{{0, 0}, {6, 0}, {6, 1}, {0, 1}}, {{0, 1}, {6, 1}, {6, 0}, {0, 0}}} {
		p := l.within()
		near(t, "along", p.X, 3, 1e-9)
		if y := p.Y; !(y > 0 && y < 2e-6 || y > 1-2e-6 && y < 1) {
			t.Errorf("a point within lies at %v", p)
		}
	}
}

// A circular segment by Euclid's area: (r²/2)(a − sin a). A quarter circle of radius 1 on a chord of √2 adds π/4 − 1/2.
func TestSegmentsOfArcs(t *testing.T) {
	quarter := Edge{A: Point{1, 0}, B: Point{0, 1}, Bulge: math.Tan(math.Pi / 8)}
	near(t, "a quarter", quarter.segmentArea(), math.Pi/4-0.5, 1e-12)
	half := Edge{A: Point{1, 0}, B: Point{-1, 0}, Bulge: 1}
	near(t, "a half", half.segmentArea(), math.Pi/2, 1e-12)
	near(t, "a half to the other hand", Edge{A: half.A, B: half.B, Bulge: -1}.segmentArea(), -math.Pi/2, 1e-12)
	// A flat arc: a sagitta of s on a chord c adds about 2/3·c·s (Archimedes' parabola).
	flat := Edge{A: Point{0, 0}, B: Point{2, 0}, Bulge: 0.0005}
	near(t, "a flat one", flat.segmentArea(), 2./3*2*0.0005, 1e-9)
}

// Water that runs along a closed edge goes down the first outlet within 150 mm that it passes, of equally near ones the first given;
// one farther off it does not see.
func TestOutletsAlongAClosedEdge(t *testing.T) {
	outer := Rectangle(0, 0, 4, 4)
	// Down and to the right: along the closed edge 0 the water runs to the right, and over edge 1.
	s := surface(t, outer, nil, Falls{Kind: OneWay, Planes: []FallPlane{{Point{1, -1}, 40}}})
	for name, c := range map[string]struct {
		outlets []Point
		want    Drain
	}{
		"none":               {nil, Drain{Edge: 1, Outlet: -1}},
		"out of reach":       {[]Point{{3, 0.157}}, Drain{Edge: 1, Outlet: -1}},
		"within reach":       {[]Point{{3, 0.143}}, Drain{Edge: -1, Outlet: 0}},
		"behind":             {[]Point{{0.5, 0.1}}, Drain{Edge: 1, Outlet: -1}},
		"behind and ahead":   {[]Point{{0.5, 0.1}, {3, 0.1}}, Drain{Edge: -1, Outlet: 1}},
		"the nearer ahead":   {[]Point{{3.5, 0.1}, {2.5, 0.1}}, Drain{Edge: -1, Outlet: 1}},
		"two equally far on": {[]Point{{3, 0.1}, {3, -0.1}}, Drain{Edge: -1, Outlet: 0}},
	} {
		if got := s.Trace(Point{1, 1}, outer, takesOnly(1), c.outlets); got != c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

// An empty outline has no nearest edge.
func TestNearestOfNothing(t *testing.T) {
	if edge, _, d := (Ring{}).Nearest(Point{1, 2}); edge != -1 || !math.IsInf(d, 1) {
		t.Errorf("edge %d at %v m", edge, d)
	}
}

// The comb of TestPartsOfAComb turned: however the line lies, three teeth are three pieces, and the back is one.
func TestPartsOfATurnedComb(t *testing.T) {
	comb := Region{{{0, 0}, {5, 0}, {5, 3}, {4, 3}, {4, 1}, {3, 1}, {3, 3}, {2, 3}, {2, 1}, {1, 1}, {1, 3}, {0, 3}}}
	for deg := 10.0; deg < 360; deg += 35 {
		a := deg * math.Pi / 180
		var turned Region
		for _, l := range comb {
			var to Loop
			for _, p := range l {
				to = append(to, turn(p, a))
			}
			turned = append(turned, to)
		}
		up := turn(Point{0, 1}, a)
		teeth, back := turned.HalfPlane(up, 1.5), turned.HalfPlane(up.Scale(-1), -1.5)
		if len(teeth) != 3 || len(back) != 1 {
			t.Errorf("turned by %g°: %d teeth and %d backs", deg, len(teeth), len(back))
		}
		for _, l := range teeth {
			near(t, "tooth", l.Area(), 1.5, 1e-9)
		}
		near(t, "back", back.Area(), 6.5, 1e-9)
	}
}

// A square is as long as wide, however it is turned: its axis is x, not what rounding makes of it.
func TestAxisOfATurnedSquare(t *testing.T) {
	for deg := 1.0; deg < 90; deg += 7 {
		l := Loop(Rectangle(3, 1, 5, 3).Turned(Point{-2, 1}, deg*math.Pi/180).Chords(1))
		if u := l.LongAxis(); u != (Point{1, 0}) {
			t.Errorf("turned by %g°: axis %v", deg, u)
		}
	}
}

// Each edge of a rectangle 5 × 3 moves by a distance of its own, whichever way the outline runs: by hand.
func TestEveryEdgeKeepsItsNumber(t *testing.T) {
	by := []float64{0.1, 0.2, 0.3, 0.4} // below, right, above, left of the outline that runs anticlockwise
	for name, c := range map[string]struct {
		r      Ring
		number map[int]int // of the same side in this outline
	}{
		"anticlockwise": {Rectangle(0, 0, 5, 3), map[int]int{0: 0, 1: 1, 2: 2, 3: 3}},
		// Its edges: below, left, above, right.
		"clockwise": {RingOf(Point{5, 0}, Point{0, 0}, Point{0, 3}, Point{5, 3}), map[int]int{0: 0, 1: 3, 2: 2, 3: 1}},
	} {
		in, err := InsetEdges(c.r, nil, ChordToleranceM, func(_, edge int) float64 {
			n, ok := c.number[edge]
			if !ok {
				t.Fatalf("%s: edge %d was asked for", name, edge)
			}
			return by[n]
		})
		if err != nil {
			t.Fatal(err)
		}
		low, high := BoundsOf(in)
		near(t, name+" left", low.X, 0.4, 1e-9)
		near(t, name+" below", low.Y, 0.1, 1e-9)
		near(t, name+" right", high.X, 4.8, 1e-9)
		near(t, name+" above", high.Y, 2.7, 1e-9)
	}
}

// A right triangle 3, 4, 5 run clockwise: with one edge moved in by 0.1 m what is left is a triangle of the same shape, by hand.
func TestEdgesOfATriangleKeepTheirNumbers(t *testing.T) {
	r := RingOf(Point{0, 0}, Point{0, 3}, Point{4, 0})
	for edge, length := range []float64{3, 5, 4} {
		in, err := InsetEdges(r, nil, ChordToleranceM, func(_, e int) float64 {
			if e == edge {
				return 0.1
			}
			return 0
		})
		if err != nil {
			t.Fatal(err)
		}
		left := 1 - 0.1/(2*6/length)
		near(t, "area", TotalArea(in), 6*left*left, 1e-9)
	}
}

// An arc whose sagitta, half the chord times the bulge, is under a thousandth of a millimetre counts as straight.
func TestFlatArcsCountAsStraight(t *testing.T) {
	for sagittaM, flat := range map[float64]bool{0: true, 0.95e-6: true, 1.05e-6: false, 1: false} {
		e := Edge{A: Point{1, 1}, B: Point{4, 5}, Bulge: sagittaM / 2.5}
		if e.flat() != flat {
			t.Errorf("a sagitta of %g m on 5 m: flat is %v", sagittaM, e.flat())
		}
	}
}

// Wherever the low point lies, the facets of a fan are the deck, no more and no less.
func TestAFanCoversTheDeck(t *testing.T) {
	outer := Rectangle(0, 0, 9, 4)
	for _, o := range []Point{{0, 0}, {9, 0}, {9, 4}, {0, 4}, {4.5, 2}, {9.3, 4.3}, {4, 4}} {
		s := surface(t, outer, nil, Falls{Kind: ToPoint, Point: o, Planes: []FallPlane{{Ratio: 40}}})
		sum := 0.0
		for _, f := range s.Facets {
			sum += TotalArea(f.Area)
		}
		near(t, "facets", sum, 36, 1e-6)
	}
}

// A fault names the edges that make it, and where: a spike at the middle of a side, at any place of the list of corners, and the two
// edges of a bow tie.
func TestFaultsNameTheirEdges(t *testing.T) {
	spiked := []Point{{0, 0}, {4, 0}, {4, 4}, {2, 4}, {2, 7}, {2, 4}, {0, 4}}
	for k := range spiked {
		r := RingOf(append(append([]Point{}, spiked[k:]...), spiked[:k]...)...)
		at := (4 - k + 7) % 7 // where the tip has come to
		n := 0
		for _, f := range Validate(r, nil) {
			if f.Kind != Spike {
				continue
			}
			n++
			if f.Edge != (at+6)%7 || f.OtherEdge != at || f.At != (Point{2, 7}) || f.Ring != 0 || f.OtherRing != 0 {
				t.Errorf("tip at corner %d: %+v", at, f)
			}
		}
		if n != 1 {
			t.Errorf("tip at corner %d: %d spikes", at, n)
		}
	}
	for _, f := range Validate(RingOf(Point{0, 0}, Point{4, 3}, Point{4, 0}, Point{0, 3}), nil) {
		if f.Edge != 0 || f.OtherEdge != 2 || !strings.HasPrefix(f.Error(), "the outline: edges 0 and 2 cross at (2.0000, 1.5000)") {
			t.Errorf("bow tie: %v", f)
		}
	}
}

// What is wrong with an opening is told with its edge, the edge or opening that it meets, and the place.
func TestFaultsOfOpeningsNameTheirEdges(t *testing.T) {
	deck := Rectangle(0, 0, 5, 4)
	for _, c := range []struct {
		holes []Ring
		want  Fault
		says  string
	}{
		{[]Ring{Rectangle(4, 1, 5, 2)}, Fault{Kind: HoleTouches, Ring: 1, Edge: 0, OtherRing: 0, OtherEdge: 1, At: Point{5, 1}}, "opening 0: edge 0 touches edge 1 of the outline"},
		{[]Ring{Rectangle(4, 1, 6, 2)}, Fault{Kind: HoleCrosses, Ring: 1, Edge: 0, OtherRing: 0, OtherEdge: 1, At: Point{5, 1}}, "opening 0: edge 0 crosses edge 1 of the outline"},
		{[]Ring{Rectangle(7, 1, 8, 2)}, Fault{Kind: HoleOutside, Ring: 1, At: Point{7, 1}}, "opening 0 lies outside the outline"},
		{[]Ring{Rectangle(1, 1, 2, 2), Rectangle(2, 1, 3, 2)}, Fault{Kind: HolesTouch, Ring: 2, Edge: 0, OtherRing: 1, OtherEdge: 0, At: Point{2, 1}}, "opening 1 touches opening 0"},
		{[]Ring{Rectangle(1, 1, 3, 3), Rectangle(2, 2, 4, 3.5)}, Fault{Kind: HolesOverlap, Ring: 2, Edge: 0, OtherRing: 1, OtherEdge: 1, At: Point{3, 2}}, "opening 1 overlaps opening 0"},
		{[]Ring{Rectangle(1, 1, 4, 3), Rectangle(2, 1.5, 3, 2)}, Fault{Kind: HolesOverlap, Ring: 2, OtherRing: 1, At: Point{2, 1.5}}, "opening 1 overlaps opening 0"},
		{[]Ring{Rectangle(2, 1.5, 3, 2), Rectangle(1, 1, 4, 3)}, Fault{Kind: HolesOverlap, Ring: 2, OtherRing: 1, At: Point{2, 1.5}}, "opening 1 overlaps opening 0"},
	} {
		got := Validate(deck, c.holes)
		if len(got) != 1 || got[0] != c.want || !strings.Contains(got[0].Error(), c.says) {
			t.Errorf("%v:\n%+v, want\n%+v", c.holes, got, c.want)
		}
	}
}

// A level kerb without outlet parts its water in the middle, one with two outlets half way between them: by hand on 6 × 3 m.
func TestALevelKerbPartsItsWater(t *testing.T) {
	outer := Rectangle(0, 0, 6, 3)
	s := surface(t, outer, nil, Falls{Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 40}}})
	for _, c := range []struct {
		outlets []Point
		want    map[Drain]float64
	}{
		{nil, map[Drain]float64{{Edge: 1, Outlet: -1}: 9, {Edge: 3, Outlet: -1}: 9}},
		{[]Point{{1, 0.1}, {4, 0.1}}, map[Drain]float64{{Edge: -1, Outlet: 0}: 7.5, {Edge: -1, Outlet: 1}: 10.5}},
	} {
		cs, err := Catchments(s, outer, takesOnly(1, 3), c.outlets)
		if err != nil {
			t.Fatal(err)
		}
		if len(cs) != len(c.want) {
			t.Errorf("%d catchments", len(cs))
		}
		for _, got := range cs {
			near(t, fmt.Sprintf("%+v", got.Drain), got.DeckM2, c.want[got.Drain], 1e-6)
		}
	}
}

// One facet of a fan spans 30° at most, so that it is no more than 3.5 % steeper than its spokes (1/cos 15° = 1.0353).
func TestFacetsOfAFan(t *testing.T) {
	for deg, facets := range map[float64]int{29: 1, 31: 2, 59: 2, 61: 3} {
		p := turn(Point{4, 0}, deg*math.Pi/180)
		s := surface(t, RingOf(Point{0, 0}, Point{4, 0}, p), nil, Falls{Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}}})
		if len(s.Facets) != facets {
			t.Errorf("%g°: %d facets, want %d", deg, len(s.Facets), facets)
		}
		for _, f := range s.Facets {
			if steep := 40 * f.Gradient.Length(); steep < 1 || steep > 1.0353 {
				t.Errorf("%g°: %g times as steep as its spokes", deg, steep)
			}
		}
	}
}

// From its centre every point of an arc is as far as its radius, in the middle of a full turn or not.
func TestNearestFromTheCentre(t *testing.T) {
	for _, bulge := range []float64{0.4, -0.4, 1, -2} {
		e := Edge{A: Point{1, 2}, B: Point{4, 3}, Bulge: bulge}
		r, _ := e.Arc()
		near(t, "distance", e.Nearest(e.Centre()).Distance(e.Centre()), r, 1e-12)
		// Beyond an end, that end is nearest.
		for end, p := range map[Point]Point{e.A: e.A.Sub(e.Tangent(0)), e.B: e.B.Add(e.Tangent(1))} {
			if bulge == 0.4 || bulge == -0.4 {
				if got := e.Nearest(p); got.Distance(end) > 1e-9 {
					t.Errorf("bulge %g: from %v the nearest is %v, not %v", bulge, p, got, end)
				}
			}
		}
	}
}

// The flattest plane decides, 1:60 beside 1:40; in a square valley the fold, 1:56.6 between planes of 1:40; a level deck has none.
func TestTheFlattestFall(t *testing.T) {
	outer := Rectangle(0, 0, 4, 4)
	ridge := [2]Point{{0, 2}, {4, 2}}
	for _, c := range []struct {
		f    Falls
		want float64
	}{
		{Falls{Kind: Level}, math.Inf(1)},
		{Falls{Kind: OneWay, Planes: []FallPlane{{Point{1, 0}, 40}}}, 40},
		{Falls{Kind: Ridge, Line: ridge, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{0, -1}, 60}}}, 60},
		{Falls{Kind: Valley, Line: [2]Point{{0, 0}, {4, 4}}, Planes: []FallPlane{{Point{0, -1}, 40}, {Point{-1, 0}, 40}}}, 40 * math.Sqrt2},
		{Falls{Kind: ToPoint, Point: Point{2, 2}, Planes: []FallPlane{{Ratio: 80}}}, 80},
	} {
		if got := surface(t, outer, nil, c.f).LeastRatio(); got != c.want && !(math.Abs(got-c.want) < 1e-9) {
			t.Errorf("%s: 1:%g, by hand 1:%g", c.f.Kind, got, c.want)
		}
	}
}

// An opening touches the outline when it lies within half the least distance of points, 0.05 mm.
func TestHowNearTouches(t *testing.T) {
	for gapMM, touches := range map[float64]bool{0.045: true, 0.055: false, 0.15: false} {
		faults := Validate(Rectangle(0, 0, 5, 4), []Ring{Rectangle(3, 1, 5-gapMM/1000, 2)})
		if got := len(faults) == 1 && faults[0].Kind == HoleTouches; got != touches {
			t.Errorf("%g mm beside the outline: %v", gapMM, faults)
		}
	}
}
