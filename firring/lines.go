package firring

import (
	"math"
	"sort"

	"gelwright/plane"
)

const (
	// besideM is how far beside an edge a place is looked at to tell its side.
	besideM = 0.001
	// foldM is how far beside a fold a timber along it is looked at.
	foldM = 1e-5
)

// ground is where firrings may lie.
type ground struct {
	s      plane.Surface
	within []plane.Polygon
	widthM float64
}

func (l Layout) ground(s plane.Surface) ground {
	g := ground{s: s, within: l.Within, widthM: l.WidthMM / mmPerM}
	if g.within == nil {
		g.within = s.Deck
	}
	return g
}

// stretch is a part of a joist under one plane of the surface.
type stretch struct {
	facet plane.Facet
	// a is where the joist's line begins, u its direction; t are places along it, m.
	a, u plane.Point
	t    [2]float64
	skew [2]float64
	// aside is how far the line lies from the joist's middle, m.
	aside float64
}

func (x stretch) at(t float64) plane.Point { return x.a.Add(x.u.Scale(t)) }

// heights at both ends, mm.
func (x stretch) heights(leastMM float64) (from, to float64) {
	return leastMM + mmPerM*x.facet.HeightM(x.at(x.t[0])), leastMM + mmPerM*x.facet.HeightM(x.at(x.t[1]))
}

// on returns the stretches of a joist in order. Where an edge of the deck, or of an
// opening, runs beside the joist within half its width, the firring is set in from it.
func (g ground) on(j joist) []stretch {
	u := j.b.Sub(j.a).Unit()
	length := j.a.Distance(j.b)
	left := u.Left()
	chords := func(aside float64) [][2]float64 {
		var out [][2]float64
		a := j.a.Add(left.Scale(aside))
		for _, p := range g.within {
			for _, c := range p.ClipLine(a, a.Add(u.Scale(length))) {
				out = append(out, [2]float64{c[0].Sub(a).Dot(u), c[1].Sub(a).Dot(u)})
			}
		}
		return out
	}
	var out []stretch
	var taken [][2]float64
	lay := func(aside float64) {
		var now [][2]float64
		for _, f := range Fit(g.widthM, func(off float64) [][2]float64 { return Without(chords(aside+off), taken) }) {
			if f.To-f.From < leastPieceM {
				continue
			}
			now = append(now, [2]float64{f.From, f.To})
			out = append(out, g.planes(j.a.Add(left.Scale(aside)), u, f, aside)...)
		}
		taken = append(taken, now...)
	}
	lay(0)
	for _, aside := range g.asides(j, u, left) {
		lay(aside)
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].t[0] < out[b].t[0] })
	return out
}

// asides lists how far to the left of a joist's middle a firring lies against the edges
// that run beside it, nearest first.
func (g ground) asides(j joist, u, left plane.Point) []float64 {
	if !(g.widthM > 0) {
		return nil
	}
	var out []float64
	beside := func(p, q plane.Point) {
		d := q.Sub(p)
		if d.Length() < leastPieceM || math.Abs(d.Unit().Cross(u)) > math.Sin(squareDeg*math.Pi/180) {
			return
		}
		m := p.Add(q).Scale(0.5)
		off := left.Dot(m.Sub(j.a))
		if math.Abs(off) >= g.widthM/2-hairM {
			return
		}
		side := 1.0
		if !plane.ContainsAny(g.within, m.Add(left.Scale(besideM))) {
			side = -1
		}
		aside := off + side*g.widthM/2
		for _, o := range out {
			if math.Abs(o-aside) < 1e-4 {
				return
			}
		}
		out = append(out, aside)
	}
	for _, p := range g.within {
		for _, l := range p.Region() {
			for i := range l {
				beside(l[i], l[(i+1)%len(l)])
			}
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return math.Abs(out[a]) < math.Abs(out[b])-1e-9 })
	return out
}

// planes parts a timber at the folds of the surface.
func (g ground) planes(a, u plane.Point, f Fitted, aside float64) []stretch {
	var out []stretch
	left := [][2]float64{{f.From, f.To}}
	// A timber along a fold lies under the plane to its left, or else to its right.
	for _, off := range []float64{0, foldM} {
		from := a.Add(u.Left().Scale(off))
		for _, facet := range g.s.Facets {
			for _, area := range facet.Area {
				for _, c := range area.ClipLine(from.Add(u.Scale(f.From-1)), from.Add(u.Scale(f.To+1))) {
					lo, hi := c[0].Sub(from).Dot(u), c[1].Sub(from).Dot(u)
					for _, s := range left {
						x := stretch{facet: facet, a: a, u: u, t: [2]float64{max(lo, s[0]), min(hi, s[1])}, aside: aside}
						if x.t[1]-x.t[0] < hairM {
							continue
						}
						if x.t[0] < f.From+1e-6 {
							x.skew[0] = f.SkewDeg[0]
						}
						if x.t[1] > f.To-1e-6 {
							x.skew[1] = f.SkewDeg[1]
						}
						out = append(out, x)
					}
				}
			}
		}
		for _, x := range out {
			left = Without(left, [][2]float64{x.t})
		}
	}
	return out
}
