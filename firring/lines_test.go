package firring

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
)

// A deck 5 m wide is no multiple of 400 mm: joists counted from its west side stand at
// 0, 0.4 … 4.8 whichever way along them one looks.
func TestJoistsAreCountedFromTheLowSide(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, south(40))
	for _, bearing := range []float64{90, 270, -90} {
		p, err := Cut(s, Layout{BearingDeg: bearing, SpacingMM: 400}, 10)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Pieces {
			near(t, "off the joist", math.Remainder(x.From.X, 0.4), 0, 1e-5)
			near(t, "place of joist", x.From.X, 0.4*float64(x.Joist), 1e-5)
		}
	}
	for _, bearing := range []float64{0, 180} {
		p, err := Cut(s, Layout{BearingDeg: bearing, SpacingMM: 600}, 10)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Pieces {
			near(t, "place of joist", x.From.Y, 0.6*float64(x.Joist), 1e-5)
		}
	}
}

// corners of a firring on plan.
func corners(p Piece, widthM float64) []plane.Point {
	u := p.To.Sub(p.From).Unit()
	var out []plane.Point
	for _, side := range []float64{1, -1} {
		h := side * (widthM/2 - 2*hairM)
		out = append(out, p.From.Add(u.Left().Scale(h)).Add(u.Scale(h*math.Tan(p.SkewDeg[0]*math.Pi/180)+1e-6)),
			p.To.Add(u.Left().Scale(h)).Add(u.Scale(h*math.Tan(p.SkewDeg[1]*math.Pi/180)-1e-6)))
	}
	return out
}

// The triangle 4 by 3 m with walls along both legs, joists 63 mm at 400 mm along y from
// its west side: 10 mm clear of the walls, the first firring from 10 to 73 mm, all
// ends on the hypotenuse cut at atan(3/4).
func TestFirringsLieWithinTheDeck(t *testing.T) {
	outer := plane.RingOf(plane.Point{}, plane.Point{X: 4}, plane.Point{Y: 3})
	within, err := plane.InsetEdges(outer, nil, plane.ChordToleranceM, func(_, edge int) float64 {
		if edge == 1 {
			return 0
		}
		return 0.01
	})
	if err != nil {
		t.Fatal(err)
	}
	s := surface(t, outer, nil, plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0.6, Y: 0.8}, Ratio: 40}}})
	l := LayoutOf(roof.Base{JoistBearingDeg: 90, JoistSpacingMM: 400, JoistWidthMM: 63})
	l.Within = within
	p, err := Cut(s, l, 20)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Pieces) != 10 {
		t.Fatalf("%d pieces", len(p.Pieces))
	}
	near(t, "first", p.Pieces[0].From.X, 0.0415, 1e-6)
	near(t, "set in", p.Pieces[0].AsideMM, 41.5, 1e-3)
	for _, x := range p.Pieces {
		near(t, "skew", x.SkewDeg[1], math.Atan2(3, 4)*180/math.Pi, 0.01)
		near(t, "start", x.From.Y, 0.01, 1e-6)
		near(t, "cut from", x.CutFromM, x.LengthM()+0.0315*0.75, 1e-4)
	}
}

func TestPropertyFirringsStayOnDeckAndJoist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(1.5, 6).Draw(t, "w"), rapid.Float64Range(1.5, 6).Draw(t, "h")
		cut, notch := rapid.Float64Range(0.1, w-0.5).Draw(t, "cut"), rapid.Float64Range(0.1, h-0.5).Draw(t, "notch")
		// An L with one slanting side.
		outer := plane.RingOf(plane.Point{}, plane.Point{X: w}, plane.Point{X: w, Y: h - notch}, plane.Point{X: w - cut, Y: h}, plane.Point{Y: h - 0.3})
		s := surface(t, outer, nil, plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: plane.Point{X: 0.4, Y: 0.4}})
		b := roof.Base{JoistBearingDeg: rapid.SampledFrom([]float64{0, 90, 180}).Draw(t, "bearing"), JoistSpacingMM: 400, JoistWidthMM: 47, JoistOffsetMM: rapid.Float64Range(0, 399).Draw(t, "offset")}
		l := LayoutOf(b)
		p, err := Cut(s, l, 20)
		if err != nil {
			t.Fatal(err)
		}
		deck := s.Deck
		for _, x := range p.Pieces {
			m := x.From.Add(x.To).Scale(0.5)
			off := math.Abs(math.Remainder(l.Across().Dot(m)-b.JoistOffsetMM/1000, 0.4))
			if off > 0.047 || math.Abs(off*1000-x.AsideMM) > 0.01 {
				t.Fatalf("firring at %v lies %.1f mm beside its joist, says %.1f", m, off*1000, x.AsideMM)
			}
			for _, c := range corners(x, 0.047) {
				if !plane.ContainsAny(deck, c) && deck[0].Distance(c) > 0.003 {
					t.Fatalf("firring %+v reaches %.1f mm off the deck", x, deck[0].Distance(c)*1000)
				}
			}
			for k := 0; k <= 10; k++ {
				f := float64(k) / 10
				at := x.From.Add(x.To.Sub(x.From).Scale(f))
				want := s.HeightM(at)
				if top := x.FromMM + (x.ToMM-x.FromMM)*f; math.Abs(top-20-1000*want) > max(x.OffMM, 0.05)+0.05 {
					t.Fatalf("firring %+v is %.2f mm off the surface at %v", x, top-20-1000*want, at)
				}
			}
		}
	})
}

// The deck of 5 by 4 m that falls to (0.4, 0.4) passes from plane to plane in slivers:
// none is cut by itself, and no joined piece is more than 2 mm off the fall.
func TestShortFirringsAreJoined(t *testing.T) {
	s := surface(t, plane.Rectangle(0, 0, 5, 4), nil, plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: plane.Point{X: 0.4, Y: 0.4}})
	p, err := Cut(s, LayoutOf(roof.Base{JoistBearingDeg: 90, JoistSpacingMM: 400, JoistWidthMM: 47}), 20)
	if err != nil {
		t.Fatal(err)
	}
	joined, sum := 0, 0.0
	for _, x := range p.Pieces {
		if x.Short() {
			t.Errorf("%+v is %.0f mm long", x, x.LengthM()*1000)
		}
		if x.OffMM > 2 {
			t.Errorf("%+v is %.1f mm off", x, x.OffMM)
		}
		if x.OffMM > 0 {
			joined++
		}
		sum += x.LengthM()
	}
	if joined == 0 {
		t.Error("nothing was joined")
	}
	near(t, "timber", sum, 13*4, 1e-3)
}

// Worked by hand: 60 mm at 1:20 up, then 1 m at 1:20 down. In one piece the fold would
// stand 60·1/1.06·0.1 = 5.7 mm proud; a piece of 100 mm is off by 60·40/100·0.1 = 2.4 mm.
func TestASharpFoldKeepsAPieceOfTheLeastLength(t *testing.T) {
	up := bit{stretch: stretch{t: [2]float64{0, 0.06}}, h: [2]float64{0, 3}, profile: []spot{{0, 0}, {0.06, 3}}}
	down := bit{stretch: stretch{t: [2]float64{0.06, 1.06}}, h: [2]float64{3, -47}, profile: []spot{{0.06, 3}, {1.06, -47}}}
	near(t, "in one", up.then(down).off(), 5.66, 0.01)
	got := mergeShort([]bit{up, down})
	if len(got) != 2 {
		t.Fatal(fmt.Sprint(got))
	}
	near(t, "first", got[0].length(), 0.1, 1e-9)
	near(t, "off", got[0].off(), 2.4, 1e-6)
	near(t, "second", got[1].length(), 0.96, 1e-9)
	near(t, "second's off", got[1].off(), 0, 1e-9)
	near(t, "heights meet", got[0].h[1], got[1].h[0], 1e-9)
}
