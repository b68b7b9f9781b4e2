package plane

import (
	"math"
	"testing"
)

// A square of 4 m with a hole of 1 m: chords worked by hand, along the axes and along the diagonal.
func TestChordsOfARegion(t *testing.T) {
	r := Region{{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, {{1, 1}, {1, 2}, {2, 2}, {2, 1}}}
	h := math.Sqrt2 / 2
	for _, c := range []struct {
		name string
		dir  Point
		off  float64
		want [][2]float64
	}{
		{"x = 1.5", Point{Y: 1}, -1.5, [][2]float64{{0, 1}, {2, 4}}},
		{"x = 3", Point{Y: 1}, -3, [][2]float64{{0, 4}}},
		{"y = 1.5", Point{X: 1}, 1.5, [][2]float64{{0, 1}, {2, 4}}},
		{"y = 5", Point{X: 1}, 5, nil},
		{"y = 0, a side: its corners count as left of the line", Point{X: 1}, 0, nil},
		{"y = 4, a side: its corners count as left of the line", Point{X: 1}, 4, [][2]float64{{0, 4}}},
		{"y = x, through two corners of the hole", Point{X: h, Y: h}, 0, [][2]float64{{0, math.Sqrt2}, {2 * math.Sqrt2, 4 * math.Sqrt2}}},
		{"y = x + 3, a corner cut off", Point{X: h, Y: h}, 3 * h, [][2]float64{{3 * h, 5 * h}}},
	} {
		got := r.Along(c.dir, c.off)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i][0]-c.want[i][0]) > 1e-12 || math.Abs(got[i][1]-c.want[i][1]) > 1e-12 {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
	// To the left of the origin too; a stretch of less than a thousandth of a millimetre is none.
	left := Region{{{-4, 0}, {-1, 0}, {-1, 1}, {-4, 1}}, {{3, 0}, {3 + 5e-7, 0}, {3 + 5e-7, 1}, {3, 1}}, {{6, 0}, {6 + 2e-6, 0}, {6 + 2e-6, 1}, {6, 1}}}
	if got := left.Along(Point{X: 1}, 0.5); len(got) != 2 || got[0] != [2]float64{-4, -1} || math.Abs(got[1][0]-6) > 1e-12 {
		t.Errorf("%v", got)
	}
}
