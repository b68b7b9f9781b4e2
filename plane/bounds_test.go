package plane

import (
	"math"
	"testing"
)

// Edges that turn by less than half a degree run on; beyond it there is a corner, to the left an external one.
func TestWhereACornerBegins(t *testing.T) {
	for turn, want := range map[float64]CornerKind{0.49: StraightOn, 0.51: External, -0.49: StraightOn, -0.51: Internal} {
		a := turn * math.Pi / 180
		r := RingOf(Point{0, 0}, Point{2, 0}, Point{2 + 2*math.Cos(a), 2 * math.Sin(a)}, Point{2, 4})
		for _, c := range r.Corners() {
			if c.Vertex == 1 && c.Kind != want {
				t.Errorf("a turn of %g° is %v, want %v", turn, c.Kind, want)
			}
		}
	}
}

// A low point may lie half a metre off the deck, as that of a gutter beside it does, and no further.
func TestHowFarOffTheLowPointMayLie(t *testing.T) {
	deck := []Polygon{{Outer: Loop{{0, 0}, {4, 0}, {4, 3}, {0, 3}}}}
	for off, ok := range map[float64]bool{0.49: true, 0.51: false} {
		_, err := SurfaceOf(deck, Falls{Kind: ToPoint, Point: Point{2, -off}, Planes: []FallPlane{{Ratio: 40}}})
		if (err == nil) != ok {
			t.Errorf("%g m off: %v", off, err)
		}
	}
}

// The middle of a side between two corners of a hole is where its water is asked for, and a stretch is halved, not parted otherwise.
func TestMiddleOfAStretch(t *testing.T) {
	mid, ok := equallyFar(Point{0, 0}, Point{10, 0}, Point{2, 3}, Point{6, 3})
	if !ok || math.Abs(mid.X-4) > 1e-9 || math.Abs(mid.Y) > 1e-9 {
		t.Errorf("equally far from (2, 3) and (6, 3) on y = 0: %v %v, want (4, 0)", mid, ok)
	}
	if _, ok := equallyFar(Point{0, 0}, Point{3, 0}, Point{2, 3}, Point{6, 3}); ok {
		t.Error("a place beyond the stretch was answered")
	}
}
