package plane

import (
	"math"
	"testing"
)

// The curved bay of the acceptance roofs: chord 2.400, radius 1.500, sagitta 0.600.
func bay() Ring {
	// tan(106.26°/4) = sagitta / half chord = 0.6/1.2.
	return Ring{{Point{0, 0.6}, 0.5}, {Point{2.4, 0.6}, 0}, {Point{2.4, 0.9}, 0}, {Point{0, 0.9}, 0}}
}

func TestArcEdgeOfTheCurvedBay(t *testing.T) {
	r := bay()
	e := r.Edge(0)
	radius, angle := e.Arc()
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		// Acceptance roof R03, expected_geometry.
		{"radius", radius, 1.5},
		{"half-angle", angle / 2 * 180 / math.Pi, 53.13010235},
		{"centre x", e.Centre().X, 1.2},
		{"centre y", e.Centre().Y, 1.5},
		{"lowest point y", e.At(0.5).Y, 0},
		{"arc length", e.Length(), 2.7819},
		{"area", r.SignedArea(), 1.7264},
		{"perimeter", r.Perimeter(), 5.7819},
	} {
		if math.Abs(c.got-c.want) > 6e-5 {
			t.Errorf("%s = %.6f, want %.6f", c.name, c.got, c.want)
		}
	}
	low, high := r.Bounds()
	if math.Abs(low.Y) > 1e-12 || low.X != 0 || high != (Point{2.4, 0.9}) {
		t.Errorf("bounds %v %v", low, high)
	}
}

func TestCircleIsExactAndReversalOnlyTurnsTheSign(t *testing.T) {
	c := Circle(Point{3, 4}, 0.75)
	if got, want := c.SignedArea(), math.Pi*0.75*0.75; math.Abs(got-want) > 1e-12 {
		t.Errorf("area %v, want %v", got, want)
	}
	if got := c.Reversed().SignedArea(); math.Abs(got+c.Area()) > 1e-12 {
		t.Errorf("reversed area %v", got)
	}
	if got := bay().Reversed().SignedArea(); math.Abs(got+bay().Area()) > 1e-12 {
		t.Errorf("reversed bay %v", got)
	}
}

func TestChordsStayWithinTheTolerance(t *testing.T) {
	for _, tol := range []float64{0.02, 0.005, 0.0005} {
		points := bay().Chords(tol)
		e := bay().Edge(0)
		c, worst := e.Centre(), 0.0
		for i := 0; i+1 < len(points); i++ {
			a, b := points[i], points[i+1]
			if math.Abs(a.Distance(c)-1.5) > 1e-9 || math.Abs(b.Distance(c)-1.5) > 1e-9 {
				continue
			}
			worst = max(worst, 1.5-a.Add(b).Scale(0.5).Distance(c))
		}
		if worst == 0 || worst > tol {
			t.Errorf("tolerance %g: worst sagitta %g over %d points", tol, worst, len(points))
		}
	}
}

// Both forms of the area between arc and chord meet where one gives way to the other.
func TestFlatArcsHaveTheirArea(t *testing.T) {
	for _, c := range []struct{ bulge, tol float64 }{{0.0009999, 1e-9}, {0.0010001, 1e-9}} {
		e := Edge{Point{0, 0}, Point{1, 0}, c.bulge}
		// A parabola's segment is 2/3 of chord times rise; an arc differs by b²/5 of it.
		rise := c.bulge / 2
		near(t, "area", e.segmentArea(), 2.0/3*rise*(1+c.bulge*c.bulge/5), c.tol*rise)
	}
	r := Rectangle(0, 0, 2, 1)
	r[0].Bulge = 1e-200
	near(t, "next to nothing", r.SignedArea(), 2, 1e-12)
	near(t, "its middle", r.Edge(0).At(0.5).Distance(Point{1, 0}), 0, 1e-12)
}

// A circle reaches as far as its radius to all sides, wherever its two halves meet and whichever way it runs.
func TestBoundsOfACircle(t *testing.T) {
	for k := range 8 {
		c := Circle(Point{3, 4}, 0.75).Turned(Point{3, 4}, float64(k)*math.Pi/8+0.1)
		for _, r := range []Ring{c, c.Reversed()} {
			low, high := r.Bounds()
			if low.Distance(Point{2.25, 3.25}) > 1e-9 || high.Distance(Point{3.75, 4.75}) > 1e-9 {
				t.Errorf("turned by %d eighths: from %v to %v", k, low, high)
			}
		}
	}
}

// The chords of a ring repeat no point; an arc that is straight but for its name is one.
func TestChordsRepeatNoPoint(t *testing.T) {
	for _, r := range []Ring{bay(), Circle(Point{1, 2}, 3)} {
		points := r.Chords(0.01)
		for i, p := range points {
			if q := points[(i+1)%len(points)]; p.Distance(q) < 1e-3 {
				t.Errorf("point %d is repeated: %v", i, p)
			}
		}
	}
	if n := chordCount(Edge{A: Point{0, 0}, B: Point{1, 0}, Bulge: 1e-200}, 0.001); n != 1 {
		t.Errorf("%d chords", n)
	}
}
