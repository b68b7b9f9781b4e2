package settingout

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
)

// moved is a deck with every point moved; mirrored says that the move turns it over.
func moved(d roof.Deck, at func(plane.Point) plane.Point, mirrored bool) roof.Deck {
	way := func(v plane.Point) plane.Point { return at(v).Sub(at(plane.Point{})) }
	ring := func(r plane.Ring) plane.Ring {
		out := slices.Clone(r)
		if mirrored {
			out = r.Reversed()
		}
		for i := range out {
			out[i].Point = at(out[i].Point)
			if mirrored {
				out[i].Bulge = -out[i].Bulge
			}
		}
		return out
	}
	out := d
	out.Outline, out.Edges = ring(d.Outline), slices.Clone(d.Edges)
	if n := len(d.Edges); mirrored {
		for i := range out.Edges {
			out.Edges[i] = d.Edges[(2*n-2-i)%n]
		}
	}
	out.Openings = slices.Clone(d.Openings)
	for i := range out.Openings {
		out.Openings[i].Outline = ring(d.Openings[i].Outline)
	}
	out.Penetrations = slices.Clone(d.Penetrations)
	for i := range out.Penetrations {
		out.Penetrations[i].At = at(d.Penetrations[i].At)
	}
	out.Falls.Planes = slices.Clone(d.Falls.Planes)
	for i := range out.Falls.Planes {
		out.Falls.Planes[i].Down = way(d.Falls.Planes[i].Down)
	}
	out.Falls.Point, out.Exit = at(d.Falls.Point), at(d.Exit)
	out.Falls.Line = [2]plane.Point{at(d.Falls.Line[0]), at(d.Falls.Line[1])}
	if mirrored {
		out.Falls.Line[0], out.Falls.Line[1] = out.Falls.Line[1], out.Falls.Line[0]
	}
	return out
}

// ways are moves that change nothing about a roof but where and how it is drawn.
func ways() map[string]func(d roof.Deck) roof.Deck {
	turn := func(deg float64) func(d roof.Deck) roof.Deck {
		u := plane.Point{X: math.Cos(deg * math.Pi / 180), Y: math.Sin(deg * math.Pi / 180)}
		return func(d roof.Deck) roof.Deck {
			return moved(d, func(p plane.Point) plane.Point { return u.Scale(p.X).Add(u.Left().Scale(p.Y)) }, false)
		}
	}
	out := map[string]func(d roof.Deck) roof.Deck{
		"shifted 1 mm": func(d roof.Deck) roof.Deck {
			return moved(d, func(p plane.Point) plane.Point { return p.Add(plane.Point{X: 0.001, Y: -0.001}) }, false)
		},
		"shifted far": func(d roof.Deck) roof.Deck {
			return moved(d, func(p plane.Point) plane.Point { return p.Add(plane.Point{X: 123.457, Y: 0.333}) }, false)
		},
		"mirrored": func(d roof.Deck) roof.Deck {
			return moved(d, func(p plane.Point) plane.Point { return plane.Point{X: -p.X, Y: p.Y} }, true)
		},
		"turned over": func(d roof.Deck) roof.Deck {
			return moved(d, func(p plane.Point) plane.Point { return plane.Point{X: p.Y, Y: p.X} }, true)
		},
		"counted from its third corner": func(d roof.Deck) roof.Deck {
			d.Outline = append(slices.Clone(d.Outline[2:]), d.Outline[:2]...)
			d.Edges = append(slices.Clone(d.Edges[2:]), d.Edges[:2]...)
			return d
		},
	}
	for _, deg := range []float64{90, 180, 270, 33.3} {
		out[fmt.Sprintf("turned %g°", deg)] = turn(deg)
	}
	return out
}

// fallen gives a random roof one of the kinds of fall, with an outlet and an exit.
func fallen(d roof.Deck, r *rand.Rand, k int) roof.Deck {
	low, high := d.Outline.Bounds()
	mid := low.Add(high).Scale(0.5)
	d.Falls.Kind = []plane.FallKind{plane.OneWay, plane.Level, plane.ToPoint, plane.Ridge, plane.Valley}[k/5%5]
	d.Exit = plane.Point{X: low.X + (high.X-low.X)*r.Float64(), Y: low.Y - 0.3}
	switch d.Falls.Kind {
	case plane.Level:
		d.Falls.Planes = nil
	case plane.ToPoint:
		d.Falls.Planes, d.Falls.Point = nil, plane.Point{X: low.X + 0.7, Y: low.Y + 0.6}
		d.Penetrations = []roof.Penetration{{Name: "outlet", Kind: "outlet", At: d.Falls.Point}}
	case plane.Ridge, plane.Valley:
		d.Falls.Line = [2]plane.Point{{X: low.X - 0.1, Y: mid.Y + 0.137}, {X: high.X + 0.1, Y: mid.Y + 0.137}}
		up, down := plane.FallPlane{Down: plane.Point{Y: 1}, Ratio: 60}, plane.FallPlane{Down: plane.Point{Y: -1}, Ratio: 60}
		if d.Falls.Planes = []plane.FallPlane{up, down}; d.Falls.Kind == plane.Valley {
			d.Falls.Planes = []plane.FallPlane{down, up}
		}
	}
	return d
}

// matTotals are what a deck's mat comes to.
func matTotals(t *testing.T, d roof.Deck, spec roof.Spec) (cutM2, usedM2, lapM float64, pieces int) {
	t.Helper()
	w, err := begin(d, spec, Given{})
	if err == nil {
		err = w.whole()
	}
	if err == nil {
		err = setMat(context.Background(), d, spec, w.z, w.laid, &w.out)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range w.out.Materials {
		cutM2, usedM2 = cutM2+m.Bought, usedM2+m.Used
	}
	for _, p := range w.out.Pieces {
		if p.Kind == Mat || p.Kind == Patch {
			pieces++
			lapM += p.LapMM*float64(p.LengthMM) + p.EndLapMM*float64(p.WidthMM)
		}
	}
	return cutM2, usedM2, lapM / 1e6, pieces
}

// The same roof, however it is drawn, takes the same mat in as many pieces.
func TestMatHangsNotOnHowTheRoofIsDrawn(t *testing.T) {
	spec := usualSpec()
	spec.Layers, spec.SideLapMM, spec.EndLapMM = []float64{450, 450}, 50, 75
	roofs := 100
	if testing.Short() {
		roofs = 10
	}
	r := rand.New(rand.NewPCG(11, 12))
	wrong := 0
	for k := range roofs {
		d := fallen(randomRoof(r, k), r, k)
		cut, used, lap, pieces := matTotals(t, d, spec)
		for name, way := range ways() {
			c, u, l, n := matTotals(t, way(d), spec)
			// Each piece may come out a millimetre longer or wider.
			if slack := 0.002 * float64(pieces); math.Abs(c-cut) > slack || math.Abs(u-used) > slack || math.Abs(l-lap) > 0.01*lap || n != pieces {
				wrong++
				t.Errorf("roof %d, %s, %s: %.2f m² cut, %.2f used, %.3f m² of lap, %d pieces; was %.2f, %.2f, %.3f, %d", k, d.Falls.Kind, name, c, u, l, n,
					cut, used, lap, pieces)
			}
		}
	}
	t.Logf("%d of %d differ", wrong, roofs*len(ways()))
}
