package plane

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawRing makes a simple outline: corners round a centre in order of angle, so
// concave ones and needles come up, arcs on some edges.
func drawRing(t *rapid.T, arcs bool) Ring {
	n := rapid.IntRange(3, 9).Draw(t, "n")
	var r Ring
	for i := range n {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0.02, 0.98).Draw(t, "a")) / float64(n)
		l := rapid.Float64Range(0.3, 6).Draw(t, "l")
		v := Vertex{Point: Point{10 + l*math.Cos(a), 10 + l*math.Sin(a)}.Snap()}
		if arcs && rapid.IntRange(0, 3).Draw(t, "arc") == 0 {
			v.Bulge = rapid.Float64Range(-0.3, 0.6).Draw(t, "bulge")
		}
		r = append(r, v)
	}
	return r
}

// validRing draws until the outline is valid.
func validRing(t *rapid.T, arcs bool) Ring {
	r := drawRing(t, arcs)
	if len(Validate(r, nil)) > 0 {
		t.Skip("not an outline")
	}
	return r
}

func TestMovesAndMirrorsChangeNoQuantity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := validRing(t, true)
		by := Point{rapid.Float64Range(-50, 50).Draw(t, "dx"), rapid.Float64Range(-50, 50).Draw(t, "dy")}
		angle := rapid.Float64Range(-7, 7).Draw(t, "angle")
		d := rapid.Float64Range(0.01, 0.3).Draw(t, "d")
		inset := func(r Ring) float64 {
			p, err := PolygonOf(r, nil, ChordToleranceM)
			if err != nil {
				t.Fatal(err)
			}
			ps, err := p.Inset(d)
			if err != nil {
				t.Fatal(err)
			}
			return TotalArea(ps)
		}
		for name, q := range map[string]Ring{
			"moved":    r.Moved(by),
			"turned":   r.Turned(by, angle),
			"mirrored": r.Mirrored(by, by.Add(turn(Point{1, 0}, angle))),
		} {
			if math.Abs(q.SignedArea()-r.SignedArea()) > 1e-9*max(1, r.Area()) {
				t.Fatalf("%s: area %v, was %v", name, q.SignedArea(), r.SignedArea())
			}
			if math.Abs(q.Perimeter()-r.Perimeter()) > 1e-9 {
				t.Fatalf("%s: perimeter %v, was %v", name, q.Perimeter(), r.Perimeter())
			}
			if a, b := inset(q), inset(r); math.Abs(a-b) > 1e-6 {
				t.Fatalf("%s: inset %v, was %v", name, a, b)
			}
		}
	})
}

func TestMirroredEdgesKeepTheirImage(t *testing.T) {
	r := bay()
	n := len(r)
	m := r.Mirrored(Point{5, 0}, Point{5, 1})
	for i := range m {
		e, was := m.Edge(i), r.Edge((2*n-2-i)%n)
		near(t, "length", e.Length(), was.Length(), 1e-12)
		near(t, "start", e.A.X, 10-was.B.X, 1e-12)
		near(t, "middle", e.At(0.5).Y, was.At(0.5).Y, 1e-12)
	}
}

// The inset is what is at least d from the sides, but for what the mitres cut off
// at inner corners; the outset the reverse.
// farthest is how far a corner cut at the mitre limit can be, in offset distances:
// the cut is at most as wide as the hairpin, one distance to each side.
var farthest = math.Hypot(MitreLimit, 1)

func TestOffsetsKeepTheirDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := validRing(t, false)
		d := rapid.Float64Range(0.005, 0.8).Draw(t, "d")
		p, err := PolygonOf(r, nil, ChordToleranceM)
		if err != nil {
			t.Fatal(err)
		}
		in, err := p.Inset(d)
		if err != nil {
			t.Fatal(err)
		}
		out, err := p.Outset(d)
		if err != nil {
			t.Fatal(err)
		}
		if a, b, c := TotalArea(in), p.Area(), TotalArea(out); !(a < b && b < c) {
			t.Fatalf("areas %v, %v, %v", a, b, c)
		}
		for _, q := range in {
			for _, c := range q.Outer {
				if p.Distance(c) < d-1e-7 || !p.Contains(c) {
					t.Fatalf("inset corner %v is %v from the outline, want %v", c, p.Distance(c), d)
				}
			}
		}
		for _, q := range out {
			for _, c := range q.Outer {
				if l := p.Distance(c); p.Contains(c) || l < d-1e-7 || l > farthest*d+1e-7 {
					t.Fatalf("outset corner %v is %v from the outline, d %v", c, l, d)
				}
			}
		}
		x := Point{rapid.Float64Range(3, 17).Draw(t, "x"), rapid.Float64Range(3, 17).Draw(t, "y")}
		if p.Contains(x) && p.Distance(x) > farthest*d+1e-6 && !ContainsAny(in, x) {
			t.Fatalf("%v is %v inside and yet not in the inset", x, p.Distance(x))
		}
		if !p.Contains(x) && p.Distance(x) < d-1e-6 && !ContainsAny(out, x) {
			t.Fatalf("%v is %v outside and yet not in the outset", x, p.Distance(x))
		}
	})
}

// Rectangle 5 × 3 with 10 mm off three walls and nothing off the drip: worked by hand.
func TestEachEdgeMovesByItsOwn(t *testing.T) {
	wall := func(_, edge int) float64 {
		if edge == 0 {
			return 0
		}
		return 0.01
	}
	for name, r := range map[string]Ring{"anticlockwise": Rectangle(0, 0, 5, 3), "clockwise": RingOf(Point{5, 0}, Point{0, 0}, Point{0, 3}, Point{5, 3})} {
		in, err := InsetEdges(r, nil, ChordToleranceM, wall)
		if err != nil {
			t.Fatal(name, err)
		}
		near(t, name+" inset", TotalArea(in), 4.98*2.99, 1e-9)
	}
	// An opening grows by its own distances.
	got, err := InsetEdges(Rectangle(0, 0, 5, 3), []Ring{Rectangle(1, 1, 2, 2)}, ChordToleranceM, func(ring, edge int) float64 {
		if ring == 1 && edge%2 == 0 {
			return 0.1
		}
		return 0
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "opening", TotalArea(got), 15-1.2, 1e-9)
}

func TestOffsetsOfHardOutlines(t *testing.T) {
	frame := Polygon{Outer: []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, Holes: []Loop{{{1, 1}, {1, 3}, {3, 3}, {3, 1}}}}
	for _, c := range []struct {
		name  string
		p     Polygon
		d     float64
		area  float64
		parts int
	}{
		// The ring of 1 m is 0.2 m wide after 0.4 from both sides: 3.2² − 2.8².
		{"frame", frame, 0.4, 2.4, 1},
		{"frame gone", frame, 0.55, 0, 0},
		// A hole 0.2 m from the side meets the outline: the rest is a C, by hand
		// 3.8 × 3.8 less the grown hole 2.2 × 2.2, of which a strip of 0.1 × 2.2 is outside.
		{"hole meets the side", Polygon{Outer: frame.Outer, Holes: []Loop{{{0.1, 1}, {0.1, 3}, {2.1, 3}, {2.1, 1}}}}, 0.1, 3.8*3.8 - 2.1*2.2, 1},
		// Two squares joined by a neck of 0.1: parted at 0.06, each 1.88 wide.
		{"neck parts", Polygon{Outer: []Point{{0, 0}, {2, 0}, {2, 0.95}, {3, 0.95}, {3, 0}, {5, 0}, {5, 2}, {3, 2}, {3, 1.05}, {2, 1.05}, {2, 2}, {0, 2}}}, 0.06, 2 * 1.88 * 1.88, 2},
	} {
		got, err := c.p.Inset(c.d)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		near(t, c.name, TotalArea(got), c.area, 1e-9)
		if len(got) != c.parts {
			t.Errorf("%s: %d parts, want %d", c.name, len(got), c.parts)
		}
	}
	// A needle of 1 mm on 4 m, out by 50 mm: cut at five distances beyond the tip.
	needle := Polygon{Outer: []Point{{0, 0}, {4, 0}, {0, 0.001}}}
	out, err := needle.Outset(0.05)
	if err != nil {
		t.Fatal(err)
	}
	_, high := BoundsOf(out)
	near(t, "tip", high.X, 4+5*0.05, 1e-3)
	if _, err := needle.Inset(-1); err == nil {
		t.Error("a negative distance was taken")
	}
	if _, err := needle.Inset(math.NaN()); err == nil {
		t.Error("NaN was taken")
	}
}

func TestCornersOfTheTradesShapes(t *testing.T) {
	l := RingOf(Point{0, 0}, Point{2, 0}, Point{5, 0}, Point{5, 2}, Point{2, 2}, Point{2, 4}, Point{0, 4})
	for name, r := range map[string]Ring{"anticlockwise": l, "clockwise": l.Reversed()} {
		count := map[CornerKind]int{}
		for _, c := range r.Corners() {
			count[c.Kind]++
			near(t, name+" off square", c.OffSquareDeg, 0, 1e-9)
			want := 45.0
			if c.Kind == StraightOn {
				want = 0
			}
			near(t, name+" mitre", c.MitreDeg, want, 1e-9)
		}
		if count[External] != 5 || count[Internal] != 1 || count[StraightOn] != 1 {
			t.Errorf("%s: %v", name, count)
		}
	}
	// The bay: at (2.4, 0.6) the arc arrives 53.13° off the chord, so the turn into
	// the side going north is 36.87° and the interior angle 143.13°.
	c := bay().Corners()[1]
	near(t, "bay", c.InteriorDeg, 143.1301, 1e-4)
	near(t, "bay mitre", c.MitreDeg, 18.4349, 1e-4)
}

func TestExteriorAnglesSumToATurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := validRing(t, true)
		var sum float64
		for _, c := range r.Corners() {
			// A needle of an arc and a line can close within the tolerance of the check.
			if c.InteriorDeg < 2 || c.InteriorDeg > 358 {
				t.Skip("a needle")
			}
			sum += 180 - c.InteriorDeg
		}
		for i := range r {
			_, a := r.Edge(i).Arc()
			// A deep inward arc can turn the outline clockwise.
			sum += math.Copysign(a*180/math.Pi, r[i].Bulge*r.SignedArea())
		}
		if math.Abs(sum-360) > 1e-6 {
			t.Fatalf("%v°", sum)
		}
	})
}

func TestValidityOfArcsAndOpenings(t *testing.T) {
	deck := Rectangle(0, 0, 5, 4)
	crossing := Rectangle(0, 0, 5, 4)
	crossing[0].Bulge = -1.9 // bulges inward beyond the far side
	for _, c := range []struct {
		name  string
		outer Ring
		holes []Ring
		want  FaultKind
		at    Point
	}{
		{"circle", Circle(Point{2, 2}, 1), nil, "", Point{}},
		{"bay", bay(), nil, "", Point{}},
		{"two corners", RingOf(Point{0, 0}, Point{1, 0}), nil, TooFewCorners, Point{}},
		{"arc over the far side", crossing, nil, Crossing, Point{}},
		{"not a number", RingOf(Point{0, 0}, Point{math.NaN(), 0}, Point{1, 1}), nil, NotANumber, Point{}},
		{"round hole", deck, []Ring{Circle(Point{2, 2}, 1)}, "", Point{}},
		{"round hole touches", deck, []Ring{Circle(Point{4, 2}, 1)}, HoleTouches, Point{5, 2}},
		{"round hole crosses", deck, []Ring{Circle(Point{4.5, 2}, 1)}, HoleCrosses, Point{}},
		{"hole outside", deck, []Ring{Circle(Point{8, 2}, 1)}, HoleOutside, Point{}},
		{"holes overlap", deck, []Ring{Circle(Point{2, 2}, 1), Circle(Point{3, 2}, 1)}, HolesOverlap, Point{}},
		{"hole in hole", deck, []Ring{Circle(Point{2, 2}, 1), Circle(Point{2, 2}, 0.5)}, HolesOverlap, Point{}},
		{"same hole twice", deck, []Ring{Rectangle(1, 1, 2, 2), Rectangle(1, 1, 2, 2)}, HolesOverlap, Point{}},
		{"holes touch", deck, []Ring{Rectangle(1, 1, 2, 2), Rectangle(2, 1, 3, 2)}, HolesTouch, Point{}},
		{"outline pinched", RingOf(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 0}, Point{0, 4}), nil, Touching, Point{2, 0}},
		{"bow tie", RingOf(Point{0, 0}, Point{4, 3}, Point{4, 0}, Point{0, 3}), nil, Crossing, Point{2, 1.5}},
	} {
		faults := Validate(c.outer, c.holes)
		got := FaultKind("")
		if len(faults) > 0 {
			got = faults[0].Kind
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q (%v)", c.name, got, c.want, faults)
			continue
		}
		if c.at != (Point{}) && faults[0].At.Distance(c.at) > 2e-3 {
			t.Errorf("%s: at %v, want %v", c.name, faults[0].At, c.at)
		}
	}
}

func TestNearestAndClip(t *testing.T) {
	r := bay()
	// Below the arc's lowest point (1.2, 0): 0.4 m off, on edge 0.
	edge, at, d := r.Nearest(Point{1.2, -0.4})
	if edge != 0 || at.Distance(Point{1.2, 0}) > 1e-12 || math.Abs(d-0.4) > 1e-12 {
		t.Errorf("edge %d at %v, %v m", edge, at, d)
	}
	p := Polygon{Outer: []Point{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, Holes: []Loop{{{1, 1}, {1, 3}, {3, 3}, {3, 1}}}}
	got := p.ClipLine(Point{-1, 2}, Point{9, 2})
	if len(got) != 2 || got[0][1].Distance(Point{1, 2}) > 1e-12 || got[1][0].Distance(Point{3, 2}) > 1e-12 {
		t.Errorf("clip %v", got)
	}
	// A line that ends within it, and one that begins there.
	if got := p.ClipLine(Point{-1, 2}, Point{0.5, 2}); len(got) != 1 || got[0] != [2]Point{{0, 2}, {0.5, 2}} {
		t.Errorf("clip %v", got)
	}
	if got := p.ClipLine(Point{3.5, 2}, Point{9, 2}); len(got) != 1 || got[0][0].Distance(Point{3.5, 2}) > 1e-12 || got[0][1].Distance(Point{4, 2}) > 1e-12 {
		t.Errorf("clip %v", got)
	}
	// Through two corners; along a side where it lies to the right, and where it lies to the left.
	diamond := Polygon{Outer: Loop{{-1, 0}, {0, -1}, {1, 0}, {0, 1}}}
	if got := diamond.ClipLine(Point{-3, 0}, Point{3, 0}); len(got) != 1 || got[0][0].Distance(Point{-1, 0}) > 1e-12 || got[0][1].Distance(Point{1, 0}) > 1e-12 {
		t.Errorf("through two corners: %v", got)
	}
	if got := p.ClipLine(Point{-1, 4}, Point{9, 4}); len(got) != 1 || got[0][0].Distance(Point{0, 4}) > 1e-12 || got[0][1].Distance(Point{4, 4}) > 1e-12 {
		t.Errorf("along a side, the area to the right: %v", got)
	}
	if got := p.ClipLine(Point{-1, 0}, Point{9, 0}); len(got) != 0 {
		t.Errorf("along a side, the area to the left: %v", got)
	}
	// A stretch of more than a billionth of a metre is told, one of less is not.
	for wide, n := range map[float64]int{2e-9: 1, 5e-10: 0} {
		if got := (Polygon{Outer: Loop{{0, 0}, {wide, 0}, {wide, 1}, {0, 1}}}).ClipLine(Point{-5, 0.5}, Point{5, 0.5}); len(got) != n {
			t.Errorf("%g m wide: %v", wide, got)
		}
	}
	// In the middle of a square all sides are as near, and the first is told.
	if edge, at, d := Rectangle(0, 0, 2, 2).Nearest(Point{1, 1}); edge != 0 || at != (Point{1, 0}) || d != 1 {
		t.Errorf("edge %d at %v, %v m", edge, at, d)
	}
	near(t, "distance in the hole", p.Distance(Point{2, 2.5}), 0.5, 1e-12)
	if !p.Contains(p.Inner()) {
		t.Error("the inner point lies outside")
	}
}

func FuzzValidate(f *testing.F) {
	f.Add(0.0, 0.0, 4.0, 0.0, 4.0, 4.0, 0.3)
	f.Add(1e9, 0.0, -4.0, 1e-300, 4.0, 4.0, -1e9)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, bulge float64) {
		r := Ring{{Point{a, b}, bulge}, {Point{c, d}, 0}, {Point{e, g}, 0}}
		p, err := PolygonOf(r, nil, ChordToleranceM)
		if err == nil && !(p.Area() > 0) {
			t.Errorf("%v has area %v", r, p.Area())
		}
	})
}

// Sides shorter than a billionth of a metre have no direction: they go, and their neighbours meet.
func TestSidesThatHaveNoDirection(t *testing.T) {
	hair := Point{1e-10, 0}
	p := []Point{{0, 0}, {4, 0}, {4, 3}}
	got := realSides([]offsetSide{{p[0], p[1], 1}, {p[1], p[1].Add(hair), 2}, {p[1].Add(hair), p[2], 3}, {p[2], p[0].Add(hair), 4}, {p[0].Add(hair), p[0], 5}})
	want := []offsetSide{{p[0], p[1], 1}, {p[1], p[2], 3}, {p[2], p[0], 4}}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("side %d: %v, want %v", i, got[i], want[i])
		}
	}
	if got := realSides(nil); got != nil {
		t.Errorf("of nothing %v", got)
	}
}
