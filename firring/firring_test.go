package firring

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
)

func near(t rapid.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

func surface(t rapid.TB, outer plane.Ring, openings []plane.Ring, f plane.Falls) plane.Surface {
	t.Helper()
	deck, err := plane.Net(outer, openings, plane.ChordToleranceM)
	if err != nil {
		t.Fatal(err)
	}
	s, err := plane.SurfaceOf(deck, f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func south(ratio float64) plane.Falls {
	return plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: ratio}}}
}

func takes(edges ...int) func(int) bool {
	return func(e int) bool {
		for _, x := range edges {
			if x == e {
				return true
			}
		}
		return false
	}
}

// Worked by hand: 4 m at 1:40 rises 100 mm; 5 m at 400 mm centres from 0 gives
// joists at 0, 0.4, … 4.8: thirteen.
func TestOneWayFirringsAlongTheFall(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, south(40))
	p, err := Cut(s, Layout{BearingDeg: 90, SpacingMM: 400}, 10)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Pieces) != 13 {
		t.Fatalf("%d pieces", len(p.Pieces))
	}
	for _, x := range p.Pieces {
		near(t, "low end", x.FromMM, 10, 1e-9)
		near(t, "high end", x.ToMM, 110, 1e-9)
		near(t, "length", x.LengthM(), 4, 1e-9)
	}
	near(t, "greatest", p.Greatest.Value, 110, 1e-9)
	near(t, "least", p.Least.Value, 10, 1e-9)
}

func TestJoistsAcrossTheFallTakeLevelPackers(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, south(40))
	p, err := Cut(s, Layout{BearingDeg: 0, SpacingMM: 400, OffsetMM: 200}, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range p.Pieces {
		// Joist k lies 0.2 + 0.4 k m up the fall: 5 + 10 k mm high.
		near(t, "height", x.FromMM, 5+10*float64(x.Joist), 1e-6)
		if !x.Level() {
			t.Errorf("piece %+v is not level", x)
		}
	}
}

// A ridge along the middle of 6 m: 3 m at 1:60 is 50 mm, two pieces a joist.
func TestRidgePartsEachFirring(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 2, 6), []plane.Ring{plane.Rectangle(0.5, 1, 1.5, 2)}, plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{{X: 0, Y: 3}, {X: 2, Y: 3}},
		Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 60}, {Down: plane.Point{Y: -1}, Ratio: 60}}})
	p, err := Cut(s, Layout{BearingDeg: 90, SpacingMM: 600, OffsetMM: 400}, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "greatest", p.Greatest.Value, 50, 1e-6)
	// Joists at 0.4, 1.0 and 1.6; the middle one loses the 1 m of the opening.
	near(t, "timber", p.LengthM, 17, 1e-6)
	if len(p.Pieces) != 7 {
		t.Errorf("%d pieces", len(p.Pieces))
	}
}

func TestValleyAndHipKeepHeightsTogetherAtTheFold(t *testing.T) {
	line := [2]plane.Point{{X: 0, Y: 0}, {X: 4, Y: 4}}
	for _, f := range []plane.Falls{
		{Kind: plane.Valley, Line: line, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}, {Down: plane.Point{X: -1}, Ratio: 40}}},
		{Kind: plane.Hip, Line: line, Planes: []plane.FallPlane{{Down: plane.Point{X: -1}, Ratio: 40}, {Down: plane.Point{Y: -1}, Ratio: 40}}},
	} {
		s := surface(t, plane.Rectangle(0, 0, 4, 4), nil, f)
		p, err := Cut(s, Layout{BearingDeg: 90, SpacingMM: 400, OffsetMM: 200}, 5)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Pieces) != 20 {
			t.Fatalf("%s: %d pieces", f.Kind, len(p.Pieces))
		}
		for i := 0; i < len(p.Pieces); i += 2 {
			a, b := p.Pieces[i], p.Pieces[i+1]
			near(t, "fold", a.ToMM, b.FromMM, 1e-6)
			// On the diagonal at x = y: 25 mm a metre.
			near(t, "height at the fold", a.ToMM, 5+25*a.To.X, 1e-5)
		}
	}
}

// The mean of a plane over a rectangle is its middle: 4 m at 1:40 from 40 mm.
func TestTaperedBoards(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, south(40))
	b, err := TaperedBoards(s, 1.2, 0.6, 40)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", b.VolumeM3, 20*0.09, 1e-9)
	near(t, "mean", b.MeanMM, 90, 1e-6)
	near(t, "least", b.LeastMM, 40, 1e-9)
	near(t, "most", b.MostMM, 140, 1e-9)
	if len(b.Boards) != 5*7 {
		t.Errorf("%d boards", len(b.Boards))
	}
	near(t, "first board's high side", b.Boards[0].MostMM, 55, 1e-9)
}

func TestHeightsOnAGrid(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 2, 1), []plane.Ring{plane.Rectangle(0.9, 0.4, 1.1, 0.6)}, south(40))
	hs, err := Heights(s, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	if len(hs) != 14 { // 5 × 3 less the one in the opening
		t.Errorf("%d heights", len(hs))
	}
	for _, h := range hs {
		near(t, "height", h.MM, 25*h.At.Y, 1e-9)
	}
}

// From the far corner (5, 4) to the outlet (0.4, 0.4) it is 5.841 m: 146 mm at 1:40.
func TestHeightsAtCornersAndOutlet(t *testing.T) {
	point := plane.Point{X: 0.4, Y: 0.4}
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: point})
	hs := HeightsAt(s, []plane.Point{point, {X: 5, Y: 4}})
	near(t, "outlet", hs[0].MM, 0, 1e-9)
	near(t, "far corner", hs[1].MM, 146, 0.5)
	p, err := Cut(s, Layout{BearingDeg: 90, SpacingMM: 400, OffsetMM: 200}, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range p.Pieces {
		if x.FromMM < -1e-9 || x.ToMM < -1e-9 || max(x.FromMM, x.ToMM) > 146.1 {
			t.Errorf("piece %+v", x)
		}
	}
}

func TestLowPointMustBeAtADrain(t *testing.T) {
	outer := plane.Rectangle(0, 0, 5, 4)
	s := surface(t, outer, nil, south(40))
	if err := LowAtDrain(s, Drains{Outline: outer, Takes: takes(0)}); err != nil {
		t.Errorf("open low edge refused: %v", err)
	}
	var low ErrLowPoint
	if err := LowAtDrain(s, Drains{Outline: outer, Takes: takes(2)}); !errors.As(err, &low) || math.Abs(low.At.Y) > 1e-6 {
		t.Errorf("closed low edge: %v", err)
	}
	point := plane.Point{X: 0.4, Y: 0.4}
	s = surface(t, outer, nil, plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: point})
	if err := LowAtDrain(s, Drains{Outline: outer, Takes: takes(), Outlets: []plane.Point{point}}); err != nil {
		t.Errorf("outlet at the low point refused: %v", err)
	}
	if err := LowAtDrain(s, Drains{Outline: outer, Takes: takes(), Outlets: []plane.Point{{X: 3, Y: 3}}}); err == nil {
		t.Error("outlet away from the low point accepted")
	}
}

func spotsOn(outer plane.Ring, step float64, z func(plane.Point) float64) []roof.SpotHeight {
	low, high := outer.Bounds()
	var out []roof.SpotHeight
	for y := low.Y; y <= high.Y+1e-9; y += step {
		for x := low.X; x <= high.X+1e-9; x += step {
			p := plane.Point{X: x, Y: y}
			out = append(out, roof.SpotHeight{At: p, MM: z(p)})
		}
	}
	return out
}

func TestTrianglesReproduceAPlaneExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := rapid.Float64Range(-30, 30).Draw(t, "a"), rapid.Float64Range(-30, 30).Draw(t, "b"), rapid.Float64Range(-99, 99).Draw(t, "c")
		z := func(p plane.Point) float64 { return a*p.X + b*p.Y + c }
		spots := spotsOn(plane.Rectangle(0, 0, 3, 2), 0.5, z)
		for range rapid.IntRange(0, 20).Draw(t, "more") {
			p := plane.Point{X: rapid.Float64Range(0.01, 2.99).Draw(t, "x"), Y: rapid.Float64Range(0.01, 1.99).Draw(t, "y")}
			spots = append(spots, roof.SpotHeight{At: p, MM: z(p)})
		}
		l, err := LevelsOf(spots, 3)
		if err != nil {
			t.Fatal(err)
		}
		var area float64
		for _, k := range l.triangles {
			area += l.spots[k[1]].At.Sub(l.spots[k[0]].At).Cross(l.spots[k[2]].At.Sub(l.spots[k[0]].At)) / 2
		}
		near(t, "triangles cover the readings once", area, 6, 1e-6)
		q := plane.Point{X: rapid.Float64Range(0, 3).Draw(t, "qx"), Y: rapid.Float64Range(0, 2).Draw(t, "qy")}
		got, within := l.HeightMM(q)
		if !within {
			t.Fatalf("%v is beyond the readings", q)
		}
		// Two readings may lie within a millimetre and are averaged there.
		near(t, "height", got, z(q), 0.1)
	})
}

// bowl is a paraboloid of depth k mm and radius 1 m in the middle of a deck that
// falls away outside it.
func bowl(k float64) func(plane.Point) float64 {
	return func(p plane.Point) float64 {
		r := p.Distance(plane.Point{X: 2, Y: 2})
		if r <= 1 {
			return k * r * r
		}
		return k - 10*(r-1)
	}
}

var (
	square = plane.Rectangle(0, 0, 4, 4)
	deck   = []plane.Polygon{{Outer: []plane.Point{{}, {X: 4}, {X: 4, Y: 4}, {Y: 4}}}}
)

// A paraboloid of radius r and depth h holds π r² h / 2: 31.4 l at 20 mm.
func TestBowlHoldsTheParaboloidsVolume(t *testing.T) {
	const step = 0.025
	g, err := GridOf(deck, step, bowl(20))
	if err != nil {
		t.Fatal(err)
	}
	ponds, err := Ponds(g, Drains{Outline: square, Takes: takes(0, 1, 2, 3)}, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(ponds) != 1 {
		t.Fatalf("%d ponds", len(ponds))
	}
	p := ponds[0]
	// The rim on a grid is low by up to a cell's fall across it, 20·2·0.025/2 mm.
	near(t, "depth", p.DepthMM.Value, 20, 0.6)
	near(t, "litres", p.VolumeL.Value, math.Pi*10, 0.04*math.Pi*10)
	near(t, "area", p.AreaM2, math.Pi, 0.04*math.Pi)
	near(t, "area of the polygon", plane.TotalArea(p.Area), p.AreaM2, 1e-6)
	near(t, "deepest", p.Deepest.Distance(plane.Point{X: 2, Y: 2}), 0, 2*step)
	if !p.Certain || p.DepthMM.Low != p.DepthMM.Value-6 || p.DepthMM.High != p.DepthMM.Value+6 {
		t.Errorf("certainty %v, bounds %v to %v", p.Certain, p.DepthMM.Low, p.DepthMM.High)
	}
	if p.VolumeL.Low >= p.VolumeL.Value || p.VolumeL.High <= p.VolumeL.Value {
		t.Errorf("volume %v not within %v to %v", p.VolumeL.Value, p.VolumeL.Low, p.VolumeL.High)
	}
	again, err := Ponds(g, Drains{Outline: square, Takes: takes(), Outlets: []plane.Point{{X: 2, Y: 2}}}, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range again {
		if q.Deepest.Distance(plane.Point{X: 2, Y: 2}) < 1 {
			t.Errorf("an outlet in the bowl leaves %v mm in it", q.DepthMM.Value)
		}
	}
}

func TestPlaneHoldsNothingAndFillingIsMonotone(t *testing.T) {
	g, err := GridOf(deck, 0.1, func(p plane.Point) float64 { return 25 * p.Y })
	if err != nil {
		t.Fatal(err)
	}
	ponds, err := Ponds(g, Drains{Outline: square, Takes: takes(0)}, 0, 0)
	if err != nil || len(ponds) != 0 {
		t.Errorf("a plane holds %d ponds, %v", len(ponds), err)
	}
	if _, _, err := g.Filled(Drains{Outline: square, Takes: takes()}); err == nil {
		t.Error("a deck without a drain was filled")
	}
}

func TestFilledSurfacesDrainAndBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{StepM: 0.5, Columns: 8, Rows: 8, MM: make([]float64, 64)}
		for i := range g.MM {
			g.MM[i] = float64(rapid.IntRange(0, 20).Draw(t, "mm"))
		}
		d := Drains{Outline: square, Takes: takes(rapid.IntRange(0, 3).Draw(t, "edge"))}
		filled, toward, err := g.Filled(d)
		if err != nil {
			t.Fatal(err)
		}
		drains := map[int]bool{}
		for _, i := range g.drainCells(d) {
			drains[i] = true
		}
		var water float64
		for i := range g.MM {
			water += (filled.MM[i] - g.MM[i]) * g.StepM * g.StepM
			if filled.MM[i] < g.MM[i] {
				t.Fatalf("cell %d was lowered", i)
			}
			steps, at := 0, i
			for toward[at] >= 0 {
				if filled.MM[toward[at]] > filled.MM[at] {
					t.Fatalf("the way from %d climbs at %d", i, at)
				}
				at = toward[at]
				if steps++; steps > len(g.MM) {
					t.Fatalf("the way from %d has no end", i)
				}
			}
			if !drains[at] {
				t.Fatalf("the way from %d ends at %d, no drain", i, at)
			}
		}
		ponds, err := Ponds(g, d, 1, 0)
		if err != nil {
			t.Fatal(err)
		}
		var litres float64
		for _, p := range ponds {
			litres += p.VolumeL.Value
		}
		near(t, "water in ponds", litres, water, 1e-9)
	})
}

// On a cone of 50 mm a metre the 25 mm contour is a circle of 0.5 m.
func TestContoursOfACone(t *testing.T) {
	c := plane.Point{X: 2, Y: 2}
	g, err := GridOf(deck, 0.02, func(p plane.Point) float64 { return 50 * p.Distance(c) })
	if err != nil {
		t.Fatal(err)
	}
	lines, err := Contours(g, 25)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, l := range lines {
		if l.MM != 25 {
			continue
		}
		found++
		var length float64
		for i := 0; i+1 < len(l.Line); i++ {
			length += l.Line[i].Distance(l.Line[i+1])
			near(t, "radius", l.Line[i].Distance(c), 0.5, 1e-3)
		}
		near(t, "round", length, math.Pi, 0.01)
		if l.Line[0] != l.Line[len(l.Line)-1] {
			t.Error("the circle is not closed")
		}
	}
	if found != 1 {
		t.Errorf("%d lines at 25 mm", found)
	}
}

func TestCureLeavesTheDesignFallAndClearsEveryHump(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spots := spotsOn(square, 1, func(plane.Point) float64 { return rapid.Float64Range(0, 40).Draw(t, "mm") })
		l, err := LevelsOf(spots, 3)
		if err != nil {
			t.Fatal(err)
		}
		ratio := rapid.Float64Range(30, 80).Draw(t, "ratio")
		s := surface(t, square, nil, south(ratio))
		c, err := CureOf(l, s, Layout{BearingDeg: 90, SpacingMM: 400, OffsetMM: 50}, 0.6, 8)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for _, f := range c.Firrings {
			for i, st := range f.Stations {
				near(t, "sum", st.FoundMM+st.AddMM, st.FinishedMM, 1e-9)
				least = min(least, st.AddMM)
				if i == 0 {
					continue
				}
				last := f.Stations[i-1]
				fall := (st.FinishedMM - last.FinishedMM) / 1000 / (st.At.Y - last.At.Y)
				if fall < 1/ratio-1e-9 {
					t.Fatalf("fall %g, design %g", fall, 1/ratio)
				}
			}
		}
		if least < 8+3-1e-6 {
			t.Fatalf("only %g mm added at the lowest", least)
		}
	})
}

func TestCureOfALevelDeckIsThePlainFirring(t *testing.T) {
	l, err := LevelsOf(spotsOn(square, 2, func(plane.Point) float64 { return 100 }), 0)
	if err != nil {
		t.Fatal(err)
	}
	s := surface(t, square, nil, south(40))
	layout := Layout{BearingDeg: 90, SpacingMM: 600, OffsetMM: 200}
	c, err := CureOf(l, s, layout, 0.5, 10)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Cut(s, layout, 10)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lift", c.LiftMM.Value, 110, 1e-9)
	near(t, "most", c.MostMM, p.Greatest.Value, 1e-9)
}

func TestBadInputIsRefused(t *testing.T) {
	s := surface(t, square, nil, south(40))
	for name, err := range map[string]error{
		"spacing 0":      second(Cut(s, Layout{}, 0)),
		"spacing tiny":   second(Cut(s, Layout{SpacingMM: 0.001}, 0)),
		"least negative": second(Cut(s, Layout{SpacingMM: 400}, -1)),
		"NaN bearing":    second(Cut(s, Layout{SpacingMM: 400, BearingDeg: math.NaN()}, 0)),
		"board 0":        second(TaperedBoards(s, 0, 1, 0)),
		"grid 0":         second(Heights(s, 0)),
		"two spots":      second(LevelsOf([]roof.SpotHeight{{}, {At: plane.Point{X: 1}}}, 3)),
		"spots in line":  second(LevelsOf([]roof.SpotHeight{{}, {At: plane.Point{X: 1}}, {At: plane.Point{X: 2}}}, 3)),
		"spots disagree": second(LevelsOf([]roof.SpotHeight{{}, {MM: 30}, {At: plane.Point{X: 2}}}, 3)),
		"NaN spot":       second(LevelsOf([]roof.SpotHeight{{MM: math.NaN()}}, 3)),
	} {
		if err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}

func second[T any](_ T, err error) error { return err }
