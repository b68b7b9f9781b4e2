package plane

import (
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
