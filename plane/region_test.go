package plane

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawDeck is an outline with a rooflight of 0.2 × 0.3 m about its middle, where it fits.
func drawDeck(t *rapid.T) Polygon {
	outer := validRing(t, false)
	p := chordPolygon(outer, nil, ChordToleranceM)
	hole := Rectangle(9.9, 9.9, 10.1, 10.2)
	if len(Validate(outer, []Ring{hole})) == 0 {
		p = chordPolygon(outer, []Ring{hole}, ChordToleranceM)
	}
	return p
}

// drawLine is a half plane that meets the decks of drawDeck, at times through a
// corner or along a side of p.
func drawLine(t *rapid.T, p Polygon) (n Point, c float64) {
	k := rapid.IntRange(0, len(p.Outer)-1).Draw(t, "corner")
	a, b := p.Outer[k], p.Outer[(k+1)%len(p.Outer)]
	angle := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "angle")
	switch rapid.SampledFrom([]string{"across", "corner", "side"}).Draw(t, "line") {
	case "corner":
		n = turn(Point{1, 0}, angle)
		return n, n.Dot(a)
	case "side":
		n = b.Sub(a).Unit().Left()
		return n, n.Dot(a)
	}
	n = turn(Point{1, 0}, angle)
	return n, n.Dot(Point{10, 10}) + rapid.Float64Range(-4, 4).Draw(t, "off")
}

// halfBox is a square of 60 m on the kept side of a half plane.
func halfBox(n Point, c float64) Polygon {
	foot, u := n.Scale(c), n.Left()
	foot = foot.Add(u.Scale(u.Dot(Point{10, 10})))
	a, b := foot.Sub(u.Scale(30)), foot.Add(u.Scale(30))
	return Polygon{Outer: Loop{b, a, a.Add(n.Scale(60)), b.Add(n.Scale(60))}}
}

func TestTheTwoSidesOfALineAreTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDeck(t)
		n, c := drawLine(t, p)
		one, other := p.Region().HalfPlane(n, c), p.Region().HalfPlane(n.Scale(-1), -c)
		if got := one.Area() + other.Area(); math.Abs(got-p.Area()) > 1e-6 {
			t.Fatalf("%v + %v is not %v m²", one.Area(), other.Area(), p.Area())
		}
		for _, side := range []struct {
			r    Region
			sign float64
		}{{one, 1}, {other, -1}} {
			for _, l := range side.r {
				for _, q := range l {
					if off := side.sign * (n.Dot(q) - c); off < -1e-9 {
						t.Fatalf("corner %v lies %v m on the wrong side", q, -off)
					}
				}
			}
		}
	})
}

// The overlay of simplefeatures is quite another algorithm.
func TestHalfPlaneAgreesWithTheOverlay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDeck(t)
		n, c := drawLine(t, p)
		got := p.Region().HalfPlane(n, c)
		want, err := Intersection([]Polygon{p}, []Polygon{halfBox(n, c)})
		if err != nil {
			t.Skip("the overlay gives up")
		}
		if math.Abs(got.Area()-TotalArea(want)) > 1e-5 {
			t.Fatalf("%v m², the overlay has %v", got.Area(), TotalArea(want))
		}
		parts := got.Parts()
		for range 20 {
			q := Point{rapid.Float64Range(3, 17).Draw(t, "x"), rapid.Float64Range(3, 17).Draw(t, "y")}
			if got.Distance(q) < 1e-5 || nearestSide(want, q) < 1e-5 {
				continue
			}
			in := ContainsAny(want, q)
			if got.Contains(q) != in || ContainsAny(parts, q) != in {
				t.Fatalf("%v: inside is %v, in the region %v, in its parts %v", q, in, got.Contains(q), ContainsAny(parts, q))
			}
		}
	})
}

func TestBandsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawDeck(t).Region()
		low, high := r.Bounds()
		axis := rapid.IntRange(0, 1).Draw(t, "axis")
		from, to := low.X, high.X
		if axis == 1 {
			from, to = low.Y, high.Y
		}
		n := rapid.IntRange(1, 7).Draw(t, "n")
		var sum float64
		for k := range n {
			a, b := from+(to-from)*float64(k)/float64(n), from+(to-from)*float64(k+1)/float64(n)
			band := r.Band(axis, a, b)
			sum += band.Area()
			if len(band) == 0 {
				continue
			}
			lo, hi := band.Bounds()
			if axis == 0 && (lo.X < a-1e-9 || hi.X > b+1e-9) || axis == 1 && (lo.Y < a-1e-9 || hi.Y > b+1e-9) {
				t.Fatalf("band %v to %v reaches from %v to %v", a, b, lo, hi)
			}
		}
		if math.Abs(sum-r.Area()) > 1e-6 {
			t.Fatalf("bands of %v m², deck of %v", sum, r.Area())
		}
	})
}

// A turned, mirrored or moved roof is cut into the same areas.
func TestCutsTurnWithTheRoof(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDeck(t)
		n, c := drawLine(t, p)
		angle := rapid.Float64Range(-4, 4).Draw(t, "turn")
		want := p.Region().HalfPlane(n, c).Area()
		turned := p.Turned(Point{}, angle).Region().HalfPlane(turn(n, angle), c).Area()
		if math.Abs(turned-want) > 1e-6 {
			t.Fatalf("turned: %v m², was %v", turned, want)
		}
		f := Frame{U: Point{-1, 0}, V: Point{0, 1}}
		mirrored := f.RegionIn(p.Region()).HalfPlane(f.In(n), c).Area()
		if math.Abs(mirrored-want) > 1e-6 {
			t.Fatalf("mirrored: %v m², was %v", mirrored, want)
		}
	})
}

func TestFramesGoInAndOut(t *testing.T) {
	l := Loop{{1, 1}, {4, 1}, {4, 3}}
	for _, c := range []struct {
		name     string
		f        Frame
		mirrored bool
		first    Point // of l in the frame
	}{
		{"a quarter turn", Frame{U: Point{0, 1}, V: Point{-1, 0}}, false, Point{1, -1}},
		{"from the right", Frame{U: Point{-1, 0}, V: Point{0, 1}}, true, Point{-1, 1}},
	} {
		if c.f.Mirrored() != c.mirrored {
			t.Errorf("%s: mirrored is %v", c.name, c.f.Mirrored())
		}
		if got := c.f.In(l[0]); got != c.first {
			t.Errorf("%s: %v in the frame, want %v", c.name, got, c.first)
		}
		in := c.f.LoopIn(l)
		near(t, c.name+": area in the frame", in.SignedArea(), 3, 1e-12)
		out := c.f.LoopOut(in)
		for i := range l {
			if out[i] != l[i] {
				t.Errorf("%s: corner %d comes back as %v", c.name, i, out[i])
			}
		}
	}
}

// A comb with three teeth of 1 × 2 m over a back of 5 × 1 m: above 1.5 m three pieces
// of 1 × 1.5 m from left to right, below one.
func TestPartsOfAComb(t *testing.T) {
	comb := Region{{{0, 0}, {5, 0}, {5, 3}, {4, 3}, {4, 1}, {3, 1}, {3, 3}, {2, 3}, {2, 1}, {1, 1}, {1, 3}, {0, 3}}}
	parts := comb.HalfPlane(Point{0, 1}, 1.5).Parts()
	if len(parts) != 3 {
		t.Fatalf("%d parts, want 3", len(parts))
	}
	for k, p := range parts {
		near(t, "area", p.Area(), 1.5, 1e-12)
		low, high := p.Bounds()
		near(t, "left", low.X, 2*float64(k), 1e-12)
		near(t, "right", high.X, 2*float64(k)+1, 1e-12)
		if len(p.Outer) != 4 {
			t.Errorf("tooth %d has %d corners", k, len(p.Outer))
		}
	}
	if low := comb.HalfPlane(Point{0, -1}, -1.5).Parts(); len(low) != 1 || math.Abs(low[0].Area()-6.5) > 1e-12 {
		t.Errorf("the back: %v", low)
	}
	// On the very line of the back its corners count as kept: what is kept is the teeth.
	near(t, "on the line of the back", areaOf(comb.HalfPlane(Point{0, 1}, 1).Parts()), 6, 1e-9)
}

// A light well of which a corner touches the left side of a deck of 4 × 3 m right where it is cut: above y = 1 it leaves 8 m² less
// half the well, 1.5, in one piece, whichever loop comes first and wherever it begins.
func TestCutThroughATouch(t *testing.T) {
	deck, well := Loop{{0, 0}, {4, 0}, {4, 3}, {0, 3}}, Loop{{0, 1}, {1.5, 2}, {3, 1}, {1.5, 0}}
	for k := range deck {
		a, b := append(append(Loop{}, deck[k:]...), deck[:k]...), append(append(Loop{}, well[k:]...), well[:k]...)
		for _, r := range []Region{{a, b}, {b, a}} {
			for _, side := range []struct{ n, c, m2 float64 }{{1, 1, 6.5}, {-1, -1, 2.5}} {
				got := r.HalfPlane(Point{0, side.n}, side.c)
				if len(got) != 1 || math.Abs(got[0].SignedArea()-side.m2) > 1e-12 {
					t.Errorf("from corner %d: %v", k, got)
				}
			}
		}
	}
}

// areaOf is TotalArea under a name of its own, so that a fault in one shows.
func areaOf(ps []Polygon) float64 {
	var sum float64
	for _, p := range ps {
		sum += p.Region().Area()
	}
	return sum
}

// A courtyard in a block in a courtyard in a block: each hole goes to the least loop
// round it, and what is less than a sliver goes.
func TestHolesGoToTheLoopRoundThem(t *testing.T) {
	square := func(low, high float64) Loop { return Loop{{low, low}, {high, low}, {high, high}, {low, high}} }
	hole := func(low, high float64) Loop { return Loop{{low, low}, {low, high}, {high, high}, {high, low}} }
	r := Region{square(0, 10), hole(1, 9), square(2, 8), hole(3, 7), square(20, 20.003), hole(2.1, 2.103)}
	parts := r.Parts()
	if len(parts) != 2 {
		t.Fatalf("%d parts, want 2", len(parts))
	}
	near(t, "outer block", parts[0].Area(), 100-64, 1e-9)
	near(t, "inner block", parts[1].Area(), 36-16, 1e-9)
	if len(parts[0].Holes) != 1 || len(parts[1].Holes) != 1 {
		t.Errorf("holes: %d and %d, want one each", len(parts[0].Holes), len(parts[1].Holes))
	}
	// Whichever comes first.
	for _, p := range (Region{r[2], r[3], r[0], r[1]}).Parts() {
		if len(p.Holes) != 1 || math.Abs(p.Area()-36) > 1e-9 && math.Abs(p.Area()-20) > 1e-9 {
			t.Errorf("%v m² with %d holes", p.Area(), len(p.Holes))
		}
	}
	// A little more than a sliver stays.
	if got := (Region{square(0, 0.0033)}).Parts(); len(got) != 1 {
		t.Error("a piece of 10.9 mm² was dropped")
	}
}

// Side by side parts are put from left to right, and those in one column from below.
func TestPartsAreInOrder(t *testing.T) {
	at := func(x, y float64) Loop { return Loop{{x, y}, {x + 1, y}, {x + 1, y + 1}, {x, y + 1}} }
	parts := Region{at(3, 0), at(0, 5), at(1e-10, 2), at(0, 8), at(5, 8), at(7, 3), at(5, 4), at(-3, 9), at(7, -3), at(5, 2)}.Parts()
	want := []Point{{-3, 9}, {1e-10, 2}, {0, 5}, {0, 8}, {3, 0}, {5, 2}, {5, 4}, {5, 8}, {7, -3}, {7, 3}}
	if len(parts) != len(want) {
		t.Fatalf("%d parts", len(parts))
	}
	for i, p := range parts {
		if p.Outer[0] != want[i] {
			t.Errorf("part %d at %v, want %v", i, p.Outer[0], want[i])
		}
	}
}

func TestTidyDropsWhatIsNoCorner(t *testing.T) {
	for _, c := range []struct {
		name string
		in   Loop
		want int
	}{
		{"square", Loop{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, 4},
		{"repeated points, also over the end", Loop{{0, 0}, {1, 0}, {1, 5e-8}, {1, 1}, {0, 1}, {0, 5e-8}}, 4},
		{"in the middle of sides, the last too", Loop{{0.5, 0}, {1, 0}, {1, 0.5}, {1, 1}, {0, 1}, {0, 0}}, 4},
		{"a hair off a side of 2 m, 0.04 µm", Loop{{0, 0}, {1, -4e-8}, {2, 0}, {2, 1}, {0, 1}}, 4},
		{"0.2 µm off a side of 2 m", Loop{{0, 0}, {1, -2e-7}, {2, 0}, {2, 1}, {0, 1}}, 5},
		{"0.2 µm between two points", Loop{{0, 0}, {1, 0}, {1 + 1e-7, 2e-7}, {1, 1}, {0, 1}}, 5},
		{"nothing", nil, 0},
		{"two points", Loop{{0, 0}, {1, 0}}, 2},
		{"one point", Loop{{1, 1}}, 1},
		{"three in a line", Loop{{0, 0}, {1, 0}, {2, 0}}, 2},
	} {
		was := append(Loop(nil), c.in...)
		if got := c.in.Tidy(); len(got) != c.want {
			t.Errorf("%s: %d corners, want %d: %v", c.name, len(got), c.want, got)
		}
		for i := range was {
			if was[i] != c.in[i] {
				t.Errorf("%s: the loop itself was changed", c.name)
			}
		}
	}
}

// A quarter disc, a half disc and a flat cap off a circle of 2 m, chords within a
// micrometre: the exact circular segment is R² acos((R−h)/R) − (R−h) √(2Rh − h²).
func TestHalfPlaneOfADiscIsACircularSegment(t *testing.T) {
	const radius = 2.0
	disc := Region{Loop(Circle(Point{1, -1}, radius).Chords(1e-6))}
	for _, h := range []float64{0.05, 0.3, 1, 2, 2.9, 3.99} {
		want := radius*radius*math.Acos((radius-h)/radius) - (radius-h)*math.Sqrt(2*radius*h-h*h)
		for _, angle := range []float64{0, 0.4, 2, -1.3} {
			n := turn(Point{1, 0}, angle)
			got := disc.HalfPlane(n, n.Dot(Point{1, -1})+radius-h).Area()
			near(t, "cap", got, want, 2e-5)
		}
	}
}

func TestAPlainCutCostsTwoAllocations(t *testing.T) {
	board := Region{{{0, 0}, {2.4, 0}, {2.4, 1.2}, {0, 1.2}}}
	if n := testing.AllocsPerRun(100, func() { board.HalfPlane(Point{1, 0}, 1) }); n > 2 {
		t.Errorf("%v allocations for one cut of a rectangle", n)
	}
	if n := testing.AllocsPerRun(100, func() { board.Contains(Point{1, 1}); board.Bounds() }); n > 0 {
		t.Errorf("%v allocations to ask where a rectangle is", n)
	}
}

// Where no side vanishes, moving the sides and mitring the corners is what the swept
// rectangles leave.
func TestMitredAgreesWithTheInset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "n")
		var r Ring
		for i := range n {
			l := rapid.Float64Range(2.5, 4).Draw(t, "l")
			r = append(r, Vertex{Point: Point{10, 10}.Add(turn(Point{l, 0}, 2*math.Pi*float64(i)/float64(n)))})
		}
		d := rapid.Float64Range(0.001, 0.2).Draw(t, "d")
		p := chordPolygon(r, nil, ChordToleranceM)
		in, err := p.Inset(d)
		if err != nil || len(in) != 1 {
			t.Fatalf("inset by %v: %d parts, %v", d, len(in), err)
		}
		got := Mitred(r.Sides(ChordToleranceM), func(int) float64 { return d })
		if math.Abs(got.SignedArea()-in[0].Area()) > 1e-6 {
			t.Fatalf("%v m², the inset has %v", got.SignedArea(), in[0].Area())
		}
	})
}

// Each edge of a rectangle by its own distance: worked by hand. Two edges in line that
// move differently keep a square step between them.
func TestMitredByEdge(t *testing.T) {
	by := []float64{0, 0.1, 0.2, -0.3}
	got := Mitred(Rectangle(0, 0, 5, 3).Sides(0.001), func(edge int) float64 { return by[edge] })
	near(t, "area", got.SignedArea(), (5-0.1+0.3)*(3-0.2), 1e-12)
	step := RingOf(Point{0, 0}, Point{2, 0}, Point{5, 0}, Point{5, 3}, Point{0, 3})
	got = Mitred(step.Sides(0.001), func(edge int) float64 { return map[int]float64{1: 0.5}[edge] })
	near(t, "step", got.SignedArea(), 15-0.5*3, 1e-12)
	if len(got) != 6 {
		t.Errorf("step: %d corners, want 6", len(got))
	}
	// One in, the other as far out.
	got = Mitred(step.Sides(0.001), func(edge int) float64 { return map[int]float64{0: -0.2, 1: 0.2}[edge] })
	near(t, "step both ways", got.SignedArea(), 15+0.2*2-0.2*3, 1e-12)
}

func TestSidesStayWithinTolerance(t *testing.T) {
	r := Ring{{Point: Point{0, 0}}, {Point: Point{3, 0}, Bulge: 0.4}, {Point: Point{3, 2}}, {Point: Point{0, 2}, Bulge: -0.2}}
	for _, tolerance := range []float64{0.0005, 0.002, 0.02} {
		sides := r.Sides(tolerance)
		count := map[int]int{}
		for i, s := range sides {
			count[s.Edge]++
			if next := sides[(i+1)%len(sides)]; s.B.Distance(next.A) > 1e-12 {
				t.Errorf("a gap after side %d", i)
			}
			e := r.Edge(s.Edge)
			if e.Straight() {
				continue
			}
			middle := s.A.Add(s.B).Scale(0.5)
			off := e.Nearest(middle).Distance(middle)
			// Not finer than asked by more than the rounding up to whole chords.
			if off > tolerance*(1+1e-9) {
				t.Errorf("side %d leaves its arc by %v m of %v", i, off, tolerance)
			}
			if n := count[s.Edge]; n > 8 && off < tolerance/2 {
				t.Errorf("side %d is needlessly short: %v m of %v", i, off, tolerance)
			}
		}
		if count[0] != 1 || count[2] != 1 {
			t.Errorf("straight edges in %d and %d sides", count[0], count[2])
		}
	}
	if n := len(Circle(Point{}, 1000).Sides(1e-9)); n != 2*mostChordsOfArc {
		t.Errorf("a circle of 1 km has %d sides", n)
	}
	// A tolerance over half the radius is taken for that: sides of 120°, of an arc of 286° three.
	if n := len((Ring{{Point: Point{-1, 0}, Bulge: 3}, {Point: Point{1, 0}}}).Sides(5)); n != 3+1 {
		t.Errorf("an arc of 286° and its chord have %d sides", n)
	}
	if n := len(Circle(Point{}, 0.001).Sides(1)); n < 4 {
		t.Errorf("a circle of 2 mm has %d sides", n)
	}
}

// Openings taken out of a deck, the first over its edge, two over each other: by hand
// 20 − 0.5 − (1 + 1 − 0.25). The overlay agrees on random decks.
func TestLoopsTakenOutOfALoop(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) Loop { return Loop(Rectangle(x0, y0, x1, y1).Chords(1)) }
	net, err := box(0, 0, 5, 4).Without([]Loop{box(-1, 1, 0.5, 2), box(1, 1, 2, 2), box(1.5, 1.5, 2.5, 2.5)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "net", net.Area(), 20-0.5-1.75, 1e-12)
	if parts := net.Parts(); len(parts) != 1 || len(parts[0].Holes) != 1 {
		t.Errorf("parts: %v", parts)
	}
	cut, err := box(0, 0, 5, 4).Without([]Loop{box(2, -1, 2.1, 5)})
	if err != nil || len(cut.Parts()) != 2 {
		t.Errorf("a joint across the deck leaves %v, %v", cut, err)
	}
	if none, err := box(1, 1, 2, 2).Without([]Loop{box(0, 0, 5, 4)}); err != nil || none.Area() != 0 {
		t.Errorf("all taken: %v, %v", none, err)
	}
	bowtie := Loop{{0, 0}, {1, 1}, {1, 0}, {0, 1}}
	if _, err := bowtie.Without(nil); err == nil {
		t.Error("a deck that crosses itself was taken")
	}
	if _, err := box(0, 0, 5, 4).Without([]Loop{box(1, 1, 2, 2), bowtie}); err == nil || !strings.Contains(err.Error(), "opening or joint 2 ") {
		t.Errorf("an opening that crosses itself: %v", err)
	}
	rapid.Check(t, func(t *rapid.T) {
		l := chordPolygon(validRing(t, false), nil, 1).Outer
		hole := Loop(Rectangle(9, 9, 11, 10.5).Turned(Point{10, 10}, rapid.Float64Range(-2, 2).Draw(t, "turn")).Chords(1))
		net, err := l.Without([]Loop{hole})
		if err != nil {
			t.Fatal(err)
		}
		want, err := Difference([]Polygon{{Outer: l}}, []Polygon{{Outer: hole}})
		if err != nil {
			t.Skip("the overlay gives up")
		}
		if math.Abs(net.Area()-TotalArea(want)) > 1e-6 {
			t.Fatalf("%v m², the overlay has %v", net.Area(), TotalArea(want))
		}
	})
}

// A hole that touches the side of the part it lies in is a hole of it, whichever of its
// sides comes first: a strip of mat that ended at a rooflight's edge was laid over it.
func TestHoleThatTouchesTheSideIsKept(t *testing.T) {
	hole := Loop{{X: 0.2, Y: 0.2}, {X: 0.2, Y: 1}, {X: 0.8, Y: 1}, {X: 0.8, Y: 0.2}}
	for k := range hole {
		turned := append(append(Loop{}, hole[k:]...), hole[:k]...)
		r := Region{Rectangle(0, 0, 1, 1).Chords(0.001), turned}
		parts := r.Parts()
		if len(parts) != 1 || math.Abs(parts[0].Area()-0.52) > 1e-9 {
			t.Errorf("from corner %d: %d parts, %v m²", k, len(parts), parts[0].Area())
		}
	}
}
