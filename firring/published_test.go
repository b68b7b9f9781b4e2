package firring

import (
	"errors"
	"math"
	"testing"

	"gelwright/internal/published"
	"gelwright/plane"
	"gelwright/roof"
)

func TestSizesOfPractice(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "47 mm joists are usual (common practice)", Place: "UsualWidthMM", Got: UsualWidthMM, Want: 47},
		{Clause: "a firring under 100 mm cannot be nailed (common practice)", Place: "shortM", Got: shortM, Want: 0.1},
		{Clause: "2 mm is within the tolerance of the boards over it (common practice)", Place: "offMM", Got: offMM, Want: 2},
		{Clause: "an end within 1° of square is cut square (common practice)", Place: "squareDeg", Got: squareDeg, Want: 1},
		{Clause: "no end is cut beyond 75° (common practice)", Place: "steepDeg", Got: steepDeg, Want: 75},
		{Clause: "one skew cut follows an edge that bends 2 mm (common practice)", Place: "straightM", Got: straightM, Want: 0.002},
		{Clause: "an outlet within 150 mm is at the low point (common practice)", Place: "atOutletM", Got: atOutletM, Want: 0.15},
		{Clause: "a metre is 1000 mm", Place: "mmPerM", Got: mmPerM, Want: 1000},
	})
	if l := LayoutOf(roof.Base{JoistSpacingMM: 400, JoistBearingDeg: 90, JoistOffsetMM: 20}); l.WidthMM != 47 || l.SpacingMM != 400 || l.BearingDeg != 90 || l.OffsetMM != 20 {
		t.Errorf("%+v", l)
	}
	if l := LayoutOf(roof.Base{JoistWidthMM: 63}); l.WidthMM != 63 {
		t.Errorf("%+v", l)
	}
	for d, level := range map[float64]bool{0.049: true, -0.049: true, 0.051: false, -0.051: false} {
		if p := (Piece{FromMM: 20, ToMM: 20 + d}); p.Level() != level {
			t.Errorf("%g mm from level: %v", d, p.Level())
		}
	}
	for m, short := range map[float64]bool{0.0999: true, 0.1: false} {
		if p := (Piece{To: plane.Point{X: m}}); p.Short() != short {
			t.Errorf("%g m: %v", m, p.Short())
		}
	}
}

// Every board of a taper by hand, thin end, thick end and middle: 4 m at 1:40 from 40 mm rises 15 mm
// to a row of 0.6 m; the last row is 0.4 m, 130 to 140 mm. Boards lie where the deck lies.
func TestEveryBoardOfATaper(t *testing.T) {
	for _, at := range []plane.Point{{}, {X: 31, Y: -7}} {
		s := surface(t, plane.Rectangle(at.X, at.Y, at.X+5, at.Y+4), nil, south(40))
		taper, err := TaperedBoards(s, 1.2, 0.6, 40)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volume", taper.VolumeM3, 1.8, 1e-9)
		near(t, "mean of all", taper.MeanMM, 90, 1e-6)
		near(t, "thinnest of all", taper.LeastMM, 40, 1e-6)
		near(t, "thickest of all", taper.MostMM, 140, 1e-6)
		area := 0.0
		for _, b := range taper.Boards {
			low, high := 40+15*float64(b.Row), math.Min(40+15*float64(b.Row+1), 140)
			near(t, "thin end", b.LeastMM, low, 1e-6)
			near(t, "thick end", b.MostMM, high, 1e-6)
			near(t, "mean", b.MeanMM, (low+high)/2, 1e-6)
			area += plane.TotalArea(b.Area)
		}
		near(t, "area", area, 20, 1e-9)
		if n := len(taper.Boards); n != 35 || taper.Boards[34].Row != 6 || taper.Boards[34].Column != 4 {
			t.Errorf("%d boards, the last %+v", n, taper.Boards[n-1])
		}
	}
	// Over a ridge a board counts once for each plane, thickest at the fold: 20 mm less half a metre at 1:50.
	s := surface(t, plane.Rectangle(0, 0, 2, 2), nil, plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{{X: 0, Y: 1}, {X: 2, Y: 1}},
		Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 50}, {Down: plane.Point{Y: -1}, Ratio: 50}}})
	taper, err := TaperedBoards(s, 2, 2, 0)
	if err != nil || len(taper.Boards) != 2 {
		t.Fatalf("%+v %v", taper, err)
	}
	for _, b := range taper.Boards {
		near(t, "at the eaves", b.LeastMM, 0, 1e-6)
		near(t, "at the ridge", b.MostMM, 20, 1e-6)
		near(t, "mean", b.MeanMM, 10, 1e-6)
	}
	for _, bad := range [][3]float64{{0, 1, 1}, {1, 0, 1}, {1, 1, -1}, {math.Inf(1), 1, 1}, {1, 1, math.Inf(1)}, {0.01, 0.01, 1}} {
		if _, err := TaperedBoards(s, bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("boards of %v were laid", bad)
		}
	}
}

// The lowest point within 150 mm of an outlet is at it.
func TestHowNearAnOutletIsAtTheLowPoint(t *testing.T) {
	outer := plane.Rectangle(0, 0, 5, 4)
	s := surface(t, outer, nil, plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: plane.Point{X: 2, Y: 2}})
	for mm, at := range map[float64]bool{0: true, 0.149: true, 0.151: false} {
		err := LowAtDrain(s, Drains{Outline: outer, Takes: takes(), Outlets: []plane.Point{{X: 2 + mm, Y: 2}}})
		var low ErrLowPoint
		if at && err != nil || !at && !errors.As(err, &low) {
			t.Errorf("%g m off: %v", mm, err)
		}
	}
	if text := (ErrLowPoint{At: plane.Point{X: 1, Y: 2}, AreaM2: 3}).Error(); text != "water of 3.00 m² stands at (1.000, 2.000): turn the fall, open the edge, or put an outlet there" {
		t.Error(text)
	}
	if text := (ErrLowPoint{At: plane.Point{X: 1, Y: 2}}).Error(); text != "the lowest point of the deck, (1.000, 2.000), is at no outlet and no open edge: turn the fall or move the outlet" {
		t.Error(text)
	}
	d := DrainsOf(roof.Deck{Outline: outer, Edges: []roof.Edge{{Condition: roof.Drip}, {Condition: roof.Wall}}, Penetrations: []roof.Penetration{{Kind: "outlet", At: plane.Point{X: 1}}, {Kind: "pipe"}}})
	if !d.Takes(0) || d.Takes(1) || d.Takes(2) || len(d.Outlets) != 1 || d.Outlets[0].X != 1 {
		t.Errorf("%+v", d)
	}
}

// The skew of an end by hand: half a timber of 94 mm is 47 mm; 10 mm of it either way is 12.01°.
func TestSkewedEndsByHand(t *testing.T) {
	ends := func(l, m, r float64) func(off float64) [][2]float64 {
		return func(off float64) [][2]float64 {
			switch {
			case off > 0:
				return [][2]float64{{l, 3 + l}}
			case off < 0:
				return [][2]float64{{r, 3 + r}}
			}
			return [][2]float64{{m, 3 + m}}
		}
	}
	const half = 0.047 - hairM
	for _, c := range []struct {
		name     string
		l, m, r  float64
		from, to float64
		deg      float64
	}{
		{"square", 0, 0, 0, 0, 3, 0},
		{"10 mm either way", 0.01, 0, -0.01, 0, 3, math.Atan2(0.02, 2*half) * 180 / math.Pi},
		{"the other way", -0.01, 0, 0.01, 0, 3, -math.Atan2(0.02, 2*half) * 180 / math.Pi},
		{"0.98° is cut square, within", 0.0008, 0, -0.0008, 0.0008, 2.9992, 0},
		{"1.03° is cut skew", 0.000845, 0, -0.000845, 0, 3, math.Atan2(0.00169, 2*half) * 180 / math.Pi},
		{"74.9° is cut", 0.1738, 0, -0.1738, 0, 3, math.Atan2(0.3476, 2*half) * 180 / math.Pi},
		{"75.3° is not", 0.1788, 0, -0.1788, 0.1788, 2.8212, 0},
		{"bent by 1.9 mm", 0.0119, 0, -0.0081, 0, 3, math.Atan2(0.02, 2*half) * 180 / math.Pi},
		{"bent by 2.1 mm", 0.0121, 0, -0.0079, 0.0121, 2.9921, 0},
	} {
		got := Fit(0.094, ends(c.l, c.m, c.r))
		if len(got) != 1 {
			t.Fatalf("%s: %+v", c.name, got)
		}
		near(t, c.name+", from", got[0].From, c.from, 1e-9)
		near(t, c.name+", to", got[0].To, c.to, 1e-9)
		near(t, c.name+", skew at from", got[0].SkewDeg[0], c.deg, 1e-9)
		near(t, c.name+", skew at to", got[0].SkewDeg[1], c.deg, 1e-9)
	}
	near(t, "the timber it is cut from", Fitted{From: 0, To: 3, SkewDeg: [2]float64{45, -45}}.LongestM(0.1), 3.1, 1e-12)
	near(t, "a parallelogram", Fitted{From: 0, To: 3, SkewDeg: [2]float64{45, 45}}.LongestM(0.1), 3.1, 1e-12)
	near(t, "square ends", Fitted{From: 1, To: 3}.LongestM(0.1), 2, 1e-12)
	// A line without width is what the area gives.
	if got := Fit(0, ends(0.1, 0, 0)); len(got) != 1 || got[0].From != 0 || got[0].To != 3 {
		t.Errorf("%+v", got)
	}
	// Stretches taken out of others.
	for _, c := range []struct{ list, gone, want [][2]float64 }{
		{[][2]float64{{0, 4}}, [][2]float64{{1, 2}}, [][2]float64{{0, 1}, {2, 4}}}, {[][2]float64{{0, 4}}, [][2]float64{{-1, 1}}, [][2]float64{{1, 4}}}, {[][2]float64{{0, 4}}, [][2]float64{{3, 5}}, [][2]float64{{0, 3}}},
		{[][2]float64{{0, 4}}, [][2]float64{{0, 4}}, nil}, {[][2]float64{{0, 4}}, [][2]float64{{4, 5}}, [][2]float64{{0, 4}}}, {[][2]float64{{1, 4}}, [][2]float64{{0, 1}}, [][2]float64{{1, 4}}}, {[][2]float64{{0, 1}, {2, 3}}, [][2]float64{{0.5, 2.5}}, [][2]float64{{0, 0.5}, {2.5, 3}}},
	} {
		got := Without(c.list, c.gone)
		same := len(got) == len(c.want)
		for i := range got {
			same = same && got[i] == c.want[i]
		}
		if !same {
			t.Errorf("%v without %v: %v", c.list, c.gone, got)
		}
	}
}

// Levels by hand, beyond and within; readings at one place agree within twice their tolerance.
func TestLevelsByHand(t *testing.T) {
	spot := func(x, y, mm float64) roof.SpotHeight {
		return roof.SpotHeight{At: plane.Point{X: x, Y: y}, MM: mm}
	}
	l, err := LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80), spot(0, 0, 6)}, 3)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		x, y, mm float64
		within   bool
	}{{0, 0, 3, true}, {4, 0, 40, true}, {2, 2, 60, true}, {1, 1, 0.5*3 + 0.25*40 + 0.25*80, true}, {4, 4, 117, false}, {-1, 0, 3 - 9.25, false}} {
		mm, within := l.HeightMM(plane.Point{X: c.x, Y: c.y})
		near(t, "height", mm, c.mm, 1e-9)
		if within != c.within {
			t.Errorf("(%g, %g): within %v", c.x, c.y, within)
		}
	}
	// A third reading there is weighed as one of three.
	if l, err = LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80), spot(0, 0, 6), spot(0, 0, 6)}, 3); err != nil {
		t.Fatal(err)
	}
	mm, _ := l.HeightMM(plane.Point{})
	near(t, "the mean of three", mm, 4, 1e-9)
	if _, err := LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80), spot(0, 0, 6.1)}, 3); err == nil {
		t.Error("readings 6.1 mm apart at ± 3 mm agree")
	}
	// Two places a millimetre apart are one, 1.1 mm apart they are two.
	if l, _ = LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80), spot(0.0009, 0, 4)}, 3); len(l.spots) != 3 {
		t.Errorf("%d places", len(l.spots))
	}
	if l, _ = LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80), spot(0.00102, 0, 4)}, 3); len(l.spots) != 4 {
		t.Errorf("%d places", len(l.spots))
	}
	for _, tolerance := range []float64{-1, math.Inf(1), math.NaN()} {
		if _, err := LevelsOf([]roof.SpotHeight{spot(0, 0, 0), spot(4, 0, 40), spot(0, 4, 80)}, tolerance); err == nil {
			t.Errorf("a tolerance of %g was taken", tolerance)
		}
	}
}

// Middles of cells by hand, and which of them drain: those whose middle lies within three
// quarters of a cell of an open edge.
func TestCellsByHand(t *testing.T) {
	g, err := GridOf([]plane.Polygon{{Outer: []plane.Point{{X: 1, Y: 2}, {X: 3, Y: 2}, {X: 3, Y: 3.5}, {X: 1, Y: 3.5}}}}, 0.5, func(p plane.Point) float64 { return 10*p.X + p.Y })
	if err != nil || g.Columns != 4 || g.Rows != 3 {
		t.Fatalf("%+v %v", g, err)
	}
	for i, want := range map[int]plane.Point{0: {X: 1.25, Y: 2.25}, 3: {X: 2.75, Y: 2.25}, 4: {X: 1.25, Y: 2.75}, 11: {X: 2.75, Y: 3.25}} {
		if p := g.At(i); p.Distance(want) > 1e-12 || math.Abs(g.MM[i]-10*want.X-want.Y) > 1e-12 {
			t.Errorf("cell %d at %v, %g mm", i, p, g.MM[i])
		}
	}
	// An outline 0.12 m outside the first row's rim is 0.37 m from its middles, 0.13 m is 0.38; the corner cells are nearer to the sides.
	for out, n := range map[float64]int{0.12: 2, 0.13: 0} {
		if got := g.drainCells(Drains{Outline: plane.Rectangle(1, 2-out, 3, 3.5), Takes: takes(0)}); len(got) != n {
			t.Errorf("%g m outside: cells %v drain", out, got)
		}
	}
	for _, bad := range []float64{0, -1, 1e-4} {
		if _, err := GridOf([]plane.Polygon{{Outer: []plane.Point{{X: 1, Y: 2}, {X: 3, Y: 2}, {X: 3, Y: 3.5}, {X: 1, Y: 3.5}}}}, bad, nil); err == nil {
			t.Errorf("a grid of %g m was made", bad)
		}
	}
}
