package plane

import "testing"

// A ridge along y = 3 on a deck of 10 × 6 m, water over both long edges. A rooflight of
// 1 × 2.5 m stands across it, from 0.5 m on the near side to 2 m on the far one: its
// lowest corners lie on the far side, and there goes all that falls on its lid.
func TestLidShedsAtItsLowestCorner(t *testing.T) {
	outer := Rectangle(0, 0, 10, 6)
	falls := Falls{Kind: Ridge, Line: [2]Point{{0, 3}, {10, 3}},
		Planes: []FallPlane{{Down: Point{0, 1}, Ratio: 40}, {Down: Point{0, -1}, Ratio: 40}}}
	over := func(edge int) bool { return edge == 0 || edge == 2 }
	for _, row := range []struct {
		name   string
		y0, y1 float64
		edge   int
	}{
		{"more of it beyond the ridge", 2.5, 5, 2},
		{"more of it before the ridge", 1, 3.5, 0},
		{"all of it before the ridge", 0.25, 2.75, 0},
	} {
		deck, err := Net(outer, []Ring{Rectangle(4, row.y0, 5, row.y1)}, ChordToleranceM)
		if err != nil {
			t.Fatal(err)
		}
		s, err := SurfaceOf(deck, falls)
		if err != nil {
			t.Fatal(err)
		}
		waters, err := Catchments(s, outer, over, nil)
		if err != nil {
			t.Fatal(err)
		}
		var rain float64
		for _, c := range waters {
			want := 0.0
			if c.Drain.Edge == row.edge {
				want = 2.5
			}
			near(t, row.name+": lid", c.OpeningM2, want, 1e-9)
			rain += c.RainM2()
		}
		near(t, row.name+": rain", rain, 60, 1e-6)
	}
	// A fall askew: of the four corners one is lowest, and an outlet beside it takes the lid.
	askew := Falls{Kind: OneWay, Planes: []FallPlane{{Down: Point{1, 0.2}, Ratio: 60}}}
	deck, err := Net(outer, []Ring{Rectangle(4, 2, 6, 4)}, ChordToleranceM)
	if err != nil {
		t.Fatal(err)
	}
	s, err := SurfaceOf(deck, askew)
	if err != nil {
		t.Fatal(err)
	}
	waters, err := Catchments(s, outer, func(edge int) bool { return edge == 1 }, []Point{{6.05, 4.05}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range waters {
		want := 0.0
		if c.Drain.Outlet == 0 {
			want = 4
		}
		near(t, "askew: lid", c.OpeningM2, want, 1e-9)
	}
}
