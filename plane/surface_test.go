package plane

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

func surface(t rapid.TB, outer Ring, openings []Ring, f Falls) Surface {
	t.Helper()
	deck, err := Net(outer, openings, ChordToleranceM)
	if err != nil {
		t.Fatal(err)
	}
	s, err := SurfaceOf(deck, f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func takesOnly(edges ...int) func(int) bool {
	return func(e int) bool {
		for _, x := range edges {
			if x == e {
				return true
			}
		}
		return false
	}
}

// The middle deck of the roof on three levels: worked by hand, strip x 6 to 7 by
// 4 m falls to the short drip edge.
func TestMiddleDeckPartsItsWaterBetweenStepAndGutter(t *testing.T) {
	outer := RingOf(Point{0, 2}, Point{6, 2}, Point{7, 2}, Point{7, 6}, Point{5, 6}, Point{0, 6})
	s := surface(t, outer, []Ring{Rectangle(2, 3.5, 3.2, 4.3)}, Falls{Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 40}}})
	cs, err := Catchments(s, outer, takesOnly(0, 1), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(cs) != 2 || cs[0].Edge != 0 || cs[1].Edge != 1 {
		t.Fatalf("catchments %+v", cs)
	}
	near(t, "rain to the step", cs[0].RainM2(), 24, 1e-9)
	near(t, "its deck", cs[0].DeckM2, 24-0.96, 1e-9)
	near(t, "rain to the gutter", cs[1].RainM2(), 4, 1e-9)
	low, high := BoundsOf(cs[1].Area)
	near(t, "west side", low.X, 6, 1e-9)
	near(t, "east side", high.X, 7, 1e-9)
	near(t, "height at the top", s.HeightM(Point{1, 6}), 0.1, 1e-12)
	near(t, "true area", s.TrueArea(), 27.04*math.Hypot(1, 0.025), 1e-9)
}

// A rectangle of 5 by 4 m to an outlet near one corner: the far corner is
// √(4.6² + 3.6²) = 5.841 m away and 146 mm up at 1:40 (by Pythagoras).
func TestFallToAPointRisesAtItsRatioToEveryCorner(t *testing.T) {
	outer := Rectangle(0, 0, 5, 4)
	o := Point{0.4, 0.4}
	s := surface(t, outer, nil, Falls{Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}}, Point: o})
	for i, h := range s.CornerHeights(outer) {
		near(t, "corner height", h, outer[i].Distance(o)/40, 1e-9)
	}
	at, h := s.Highest()
	near(t, "distance", at.Distance(o), 5.841, 5e-4)
	near(t, "height mm", h*1000, 146, 0.5)
	near(t, "area of the facets", s.TrueArea(), 20, 20*0.5*(0.026*0.026))
	if s.LowAt.Distance(o) > 1e-9 {
		t.Errorf("lowest at %v", s.LowAt)
	}
	cs, err := Catchments(s, outer, takesOnly(), []Point{o})
	if err != nil || len(cs) != 1 || cs[0].Outlet != 0 {
		t.Fatalf("catchments %+v, %v", cs, err)
	}
	near(t, "all to the outlet", cs[0].RainM2(), 20, 1e-9)
}

// Outlets on the rim: at a corner, and in the middle of a side.
func TestFallToAPointOnTheRim(t *testing.T) {
	outer := Rectangle(0, 0, 5, 4)
	for _, o := range []Point{{0, 0}, {2.5, 0}} {
		s := surface(t, outer, nil, Falls{Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}}, Point: o})
		for i, h := range s.CornerHeights(outer) {
			near(t, "corner height", h, outer[i].Distance(o)/40, 1e-9)
		}
		cs, err := Catchments(s, outer, takesOnly(), []Point{o})
		if err != nil || len(cs) != 1 || cs[0].Outlet != 0 {
			t.Fatalf("outlet %v: %+v, %v", o, cs, err)
		}
		near(t, "all to the outlet", cs[0].RainM2(), 20, 1e-8)
	}
}

// Two planes of 1:40 square to each other: s_v = s/√2, 1:56.57 (by the geometry
// of the two planes; the trade tables give 1:56.6).
func TestSquareValleyFallsFlatterThanItsPlanes(t *testing.T) {
	outer := Rectangle(0, 0, 4, 4)
	s := surface(t, outer, nil, Falls{Kind: Valley, Line: [2]Point{{0, 0}, {4, 4}},
		Planes: []FallPlane{{Point{0, -1}, 40}, {Point{-1, 0}, 40}}})
	// Left of the diagonal is y > x: it must fall towards it, south; right falls west.
	near(t, "valley ratio", s.LineRatio(), 56.5685, 1e-3)
	near(t, "flattest", s.LeastRatio(), 56.5685, 1e-3)
	near(t, "far corner", s.HeightM(Point{4, 4}), 0.1, 1e-9)
	near(t, "low corner", s.HeightM(Point{0, 0}), 0, 1e-12)
	cs, err := Catchments(s, outer, takesOnly(), []Point{{0, 0}})
	if err != nil || len(cs) != 1 || cs[0].Outlet != 0 {
		t.Fatalf("catchments %+v, %v", cs, err)
	}
	near(t, "all runs down the valley", cs[0].RainM2(), 16, 1e-9)
}

func TestRidgeParts(t *testing.T) {
	outer := Rectangle(0, 0, 30, 20)
	s := surface(t, outer, nil, Falls{Kind: Ridge, Line: [2]Point{{0, 10}, {30, 10}},
		Planes: []FallPlane{{Point{0, 1}, 40}, {Point{0, -1}, 40}}})
	near(t, "ridge height", s.HeightM(Point{12, 10}), 0.25, 1e-12)
	if !math.IsInf(s.LineRatio(), 1) {
		t.Errorf("a level ridge falls 1:%g", s.LineRatio())
	}
	cs, err := Catchments(s, outer, takesOnly(0, 2), nil)
	if err != nil || len(cs) != 2 {
		t.Fatal(cs, err)
	}
	near(t, "south", cs[0].RainM2(), 300, 1e-9)
	near(t, "north", cs[1].RainM2(), 300, 1e-9)
}

func TestFallsThatCannotBeAreRefused(t *testing.T) {
	deck := []Polygon{{Outer: []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}}}
	for name, f := range map[string]Falls{
		"no ratio":         {Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 0}}},
		"no direction":     {Kind: OneWay, Planes: []FallPlane{{Point{}, 40}}},
		"one plane":        {Kind: Ridge, Line: [2]Point{{0, 2}, {4, 2}}, Planes: []FallPlane{{Point{0, 1}, 40}}},
		"falls to a ridge": {Kind: Ridge, Line: [2]Point{{0, 2}, {4, 2}}, Planes: []FallPlane{{Point{0, -1}, 40}, {Point{0, 1}, 40}}},
		"step at the hip":  {Kind: Hip, Line: [2]Point{{0, 0}, {4, 4}}, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{1, 0}, 60}}},
		"along a ridge":    {Kind: Ridge, Line: [2]Point{{0, 2}, {4, 2}}, Planes: []FallPlane{{Point{1, 0}, 40}, {Point{0, -1}, 40}}},
		"no line":          {Kind: Ridge, Line: [2]Point{{1, 2}, {1, 2}}, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{0, -1}, 40}}},
		"point, no ratio":  {Kind: ToPoint, Planes: []FallPlane{{}}, Point: Point{2, 2}},
		"point, two":       {Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}, {Ratio: 40}}, Point: Point{2, 2}},
		"far point":        {Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}}, Point: Point{40, 4}},
		"unknown":          {Kind: "cone"},
	} {
		if _, err := SurfaceOf(deck, f); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
	if _, err := SurfaceOf(nil, Falls{Kind: Level}); err == nil {
		t.Error("no deck: not refused")
	}
	// What is wrong is told as the roofer sees it; a line beside the deck leaves one plane.
	for kind, says := range map[FallKind]string{Ridge: "plane 0: at a ridge the planes fall away from", Valley: "plane 0: at a valley the planes fall towards"} {
		down := Point{0, 1}
		if kind == Ridge {
			down = Point{0, -1}
		}
		f := Falls{Kind: kind, Line: [2]Point{{0, 2}, {4, 2}}, Planes: []FallPlane{{down, 40}, {down, 40}}}
		if _, err := SurfaceOf(deck, f); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", kind, err)
		}
		f.Line, f.Planes = [2]Point{{0, 9}, {4, 9}}, []FallPlane{{down.Scale(-1), 40}, {down, 40}}
		if s, err := SurfaceOf(deck, f); err != nil || len(s.Facets) != 1 || math.Abs(s.TrueArea()-16*math.Hypot(1, 0.025)) > 1e-9 {
			t.Errorf("%s beside the deck: %v, %v", kind, s.Facets, err)
		}
	}
}

// particle walks down the heights in small steps, knowing nothing of facets: at
// each step to the lowest of the points around it that lie on the deck.
func particle(s Surface, outer Ring, deck []Polygon, p Point, takes func(int) bool) int {
	const step = 0.01
	for range 3000 {
		best, z := p, s.HeightM(p)-1e-9
		for k := range 64 {
			q := p.Add(turn(Point{step, 0}, float64(k)*2*math.Pi/64))
			if !ContainsAny(deck, q) {
				if i, _, _ := outer.Nearest(q); takes(i) {
					if h := s.Facets[s.facetAt(p)].HeightM(q); h < z {
						return i
					}
				}
				continue
			}
			if h := s.HeightM(q); h < z {
				best, z = q, h
			}
		}
		if best == p {
			return -1
		}
		p = best
	}
	return -1
}

// Catchments against particles on an L with an oblique fall, a rooflight and
// closed sides: independent of streamlines and facets.
func TestCatchmentsAgreeWithTracedParticles(t *testing.T) {
	outer := RingOf(Point{0, 0}, Point{3, 0}, Point{6, 0}, Point{6, 2.5}, Point{2.5, 2.5}, Point{2.5, 5}, Point{0, 5})
	for name, f := range map[string]Falls{
		"one way": {Kind: OneWay, Planes: []FallPlane{{Point{0.5, -1}, 40}}},
		"hip":     {Kind: Hip, Line: [2]Point{{0, 5}, {4, 1}}, Planes: []FallPlane{{Point{1, 0}, 40}, {Point{0, -1}, 40}}},
	} {
		t.Run(name, func(t *testing.T) {
			// Turned, so that no kerb is level: a particle would stop there.
			s := surface(t, outer, []Ring{Rectangle(1, 1, 1.7, 1.5).Turned(Point{1.3, 1.2}, 0.35)}, f)
			takes := takesOnly(0, 1, 2)
			cs, err := Catchments(s, outer, takes, nil)
			if err != nil {
				t.Fatal(err)
			}
			var sum float64
			for _, c := range cs {
				sum += c.RainM2()
			}
			near(t, "all water accounted for", sum, outer.Area(), 1e-7)
			rng := rand.New(rand.NewPCG(1, 2))
			tried := 0
			for tried < 30 {
				p := Point{rng.Float64() * 6, rng.Float64() * 5}
				in := -1
				for i, c := range cs {
					if ContainsAny(c.Area, p) && nearestSide(c.Area, p) > 0.06 {
						in = i
					}
				}
				if in < 0 {
					continue
				}
				tried++
				if got := particle(s, outer, s.Deck, p, takes); got != cs[in].Edge {
					t.Errorf("a particle from %v ends at edge %d, the catchment says %+v", p, got, cs[in].Drain)
				}
			}
		})
	}
}

// Whatever the outline, every square metre has one drain, and the drain of a
// catchment is that of any drop on it.
func TestCatchmentsLoseNoWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outer := validRing(t, false)
		if outer.SignedArea() < 0.5 {
			t.Skip("too small")
		}
		f := Falls{Kind: OneWay, Planes: []FallPlane{{turn(Point{1, 0}, rapid.Float64Range(-3, 3).Draw(t, "down")), 40}}}
		o := Point{10, 10}
		if rapid.Bool().Draw(t, "to point") {
			if deck := chordPolygon(outer, nil, ChordToleranceM); !deck.Contains(o) {
				t.Skip("the outlet is off the deck")
			}
			f = Falls{Kind: ToPoint, Planes: []FallPlane{{Ratio: 40}}, Point: o}
		}
		s := surface(t, outer, nil, f)
		odd := rapid.IntRange(0, 1).Draw(t, "odd")
		takes := func(e int) bool { return e%2 == odd }
		cs, err := Catchments(s, outer, takes, []Point{o})
		if err != nil {
			t.Fatal(err)
		}
		var sum, polygons float64
		for _, c := range cs {
			sum += c.RainM2()
			polygons += TotalArea(c.Area)
		}
		if math.Abs(sum-outer.Area()) > 1e-6 || math.Abs(polygons-outer.Area()) > 1e-5 {
			t.Fatalf("catchments of %v m², polygons of %v, deck of %v", sum, polygons, outer.Area())
		}
		p := Point{rapid.Float64Range(4, 16).Draw(t, "x"), rapid.Float64Range(4, 16).Draw(t, "y")}
		for _, c := range cs {
			for _, a := range c.Area {
				if a.Contains(p) && a.Distance(p) > 1e-4 {
					if d := s.Trace(p, outer, takes, []Point{o}); d != c.Drain {
						t.Fatalf("a drop at %v goes to %+v, its catchment to %+v", p, d, c.Drain)
					}
				}
			}
		}
	})
}

// The heights of the fan along a spoke and between: never flatter than 1:n, at
// most 1/cos 15° steeper.
func TestFanIsNowhereFlatterThanItsRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outer := validRing(t, false)
		deck := chordPolygon(outer, nil, ChordToleranceM)
		o := Point{10, 10}
		if !deck.Contains(o) {
			t.Skip("the outlet is off the deck")
		}
		s, err := SurfaceOf([]Polygon{deck}, Falls{Kind: ToPoint, Planes: []FallPlane{{Ratio: 60}}, Point: o})
		if err != nil {
			t.Fatal(err)
		}
		var area float64
		for _, f := range s.Facets {
			area += TotalArea(f.Area)
			g := f.Gradient.Length() * 60
			if g < 1-1e-9 || g > 1/math.Cos(math.Pi/12)+1e-9 {
				t.Fatalf("a facet falls 1:%g", 60/g)
			}
		}
		if math.Abs(area-deck.Area()) > 1e-5 {
			t.Fatalf("facets of %v m² on a deck of %v", area, deck.Area())
		}
		for i, h := range s.CornerHeights(outer) {
			if want := outer[i].Distance(o) / 60; math.Abs(h-want) > 1e-6 {
				t.Fatalf("corner %d at %v, want %v", i, h, want)
			}
		}
	})
}

// hall is a ridge roof of 600 m² with twelve rooflights.
func hall(t testing.TB) (Ring, Surface) {
	t.Helper()
	outer := Rectangle(0, 0, 30, 20)
	var lights []Ring
	for x := 1.9; x < 30; x += 5 {
		for _, y := range []float64{4.4, 14.4} {
			lights = append(lights, Rectangle(x, y, x+1.2, y+1.2))
		}
	}
	deck, err := Net(outer, lights, ChordToleranceM)
	if err != nil {
		t.Fatal(err)
	}
	s, err := SurfaceOf(deck, Falls{Kind: Ridge, Line: [2]Point{{0, 10}, {30, 10}}, Planes: []FallPlane{{Point{0, 1}, 40}, {Point{0, -1}, 40}}})
	if err != nil {
		t.Fatal(err)
	}
	return outer, s
}

// Worked by hand: 600 m² less twelve lights of 1.44 m², half to each side.
func TestHallWithTwelveRooflights(t *testing.T) {
	outer, s := hall(t)
	cs, err := Catchments(s, outer, takesOnly(0, 2), nil)
	if err != nil || len(cs) != 2 {
		t.Fatal(len(cs), err)
	}
	for _, c := range cs {
		near(t, "rain", c.RainM2(), 300, 1e-8)
		near(t, "deck", c.DeckM2, 300-6*1.44, 1e-8)
		near(t, "polygons", TotalArea(c.Area), c.DeckM2, 1e-6)
	}
}

func BenchmarkCatchmentsOfTheHall(b *testing.B) {
	for b.Loop() {
		outer, s := hall(b)
		if _, err := Catchments(s, outer, takesOnly(0, 2), nil); err != nil {
			b.Fatal(err)
		}
	}
}

// Corners that lie in one direction from the low point, also where the count of angles begins anew, make one spoke: by hand from (5, 2)
// 158.2°, 43.6° and 158.2° in parts of 30° at most, 6 + 2 + 6.
func TestSpokesOfAFan(t *testing.T) {
	for off, spokes := range map[float64]int{1e-5: 14, 1e-3: 15} {
		angles := fanAngles([]Polygon{{Outer: Loop{{0, 2 - off}, {10, 0}, {10, 4}, {0, 2 + off}}}}, Point{5, 2})
		if len(angles) != spokes {
			t.Errorf("corners %g m apart: %d spokes, by hand %d", 2*off, len(angles), spokes)
		}
		for i := range angles {
			if i > 0 && !(angles[i] > angles[i-1] && angles[i]-angles[i-1] <= math.Pi/6+1e-12) {
				t.Errorf("spoke %d at %v after %v", i, angles[i], angles[i-1])
			}
		}
	}
}

// Of corners equally low, and equally high, the first is told.
func TestLowestAndHighest(t *testing.T) {
	s := surface(t, Rectangle(0, 0, 4, 3), nil, Falls{Kind: OneWay, Planes: []FallPlane{{Point{0, -1}, 40}}})
	at, h := s.Highest()
	if s.LowAt != (Point{0, 0}) || at != (Point{4, 3}) || math.Abs(h-0.075) > 1e-12 {
		t.Errorf("lowest at %v, highest %v m at %v", s.LowAt, h, at)
	}
}
