package plane

import (
	"math"
	"slices"
)

// Nearest returns the point of the edge nearest to p, arcs exact.
func (e Edge) Nearest(p Point) Point {
	if e.flat() {
		return nearestOn(e.A, e.B, p)
	}
	c := e.Centre()
	r, a := e.Arc()
	start, d := e.A.Sub(c), p.Sub(c)
	turned := math.Atan2(start.Cross(d), start.Dot(d))
	if e.Bulge < 0 {
		turned = -turned
	}
	if turned < 0 {
		turned += 2 * math.Pi
	}
	if turned <= a && d.Length() > 0 {
		return c.Add(d.Unit().Scale(r))
	}
	if p.Distance(e.A) <= p.Distance(e.B) {
		return e.A
	}
	return e.B
}

// Nearest returns the edge of the ring nearest to p, the point on it, and the
// distance, m. Of equally near edges it takes the first. An empty ring gives −1.
func (r Ring) Nearest(p Point) (edge int, at Point, distanceM float64) {
	edge, distanceM = -1, math.Inf(1)
	for i := range r {
		q := r.Edge(i).Nearest(p)
		if d := q.Distance(p); d < distanceM {
			edge, at, distanceM = i, q, d
		}
	}
	return edge, at, distanceM
}

// Distance returns the distance from q to the nearest side, m, inside or out.
func (p Polygon) Distance(q Point) float64 {
	best := math.Inf(1)
	p.sides(func(a, b Point) { best = min(best, nearestOn(a, b, q).Distance(q)) })
	return best
}

// sideWithin reports whether a side lies within a distance of q, m, inside or out: whether Distance is no more. A side
// whose box lies farther off is not measured.
func (p Polygon) sideWithin(q Point, distanceM float64) bool {
	if p.Outer.sideWithin(q, distanceM) {
		return true
	}
	return slices.ContainsFunc(p.Holes, func(h Loop) bool { return h.sideWithin(q, distanceM) })
}

func (l Loop) sideWithin(q Point, distanceM float64) bool {
	if len(l) == 0 {
		return false
	}
	const slackM = 1e-9 // more than all roundings of a distance together
	r := distanceM + slackM
	a := l[len(l)-1]
	for _, b := range l {
		if min(a.X, b.X)-q.X <= r && q.X-max(a.X, b.X) <= r && min(a.Y, b.Y)-q.Y <= r && q.Y-max(a.Y, b.Y) <= r &&
			nearestOn(a, b, q).Distance(q) <= distanceM {
			return true
		}
		a = b
	}
	return false
}

// ClipLine returns the stretches of the line from a to b inside the polygon, in
// order from a. A stretch along a side counts as inside where the polygon lies
// to its right.
func (p Polygon) ClipLine(a, b Point) [][2]Point {
	d := b.Sub(a)
	l := d.Length()
	if l == 0 {
		return nil
	}
	n := d.Left().Scale(1 / l)
	var store [16]float64 // most lines cut few sides
	cuts := p.Outer.cutBy(store[:0], a, d, n, l)
	for _, h := range p.Holes {
		cuts = h.cutBy(cuts, a, d, n, l)
	}
	slices.Sort(cuts)
	var out [][2]Point
	for i := 0; i+1 < len(cuts); i += 2 {
		t, u := max(0, cuts[i]), min(1, cuts[i+1])
		if (u-t)*l > 1e-9 {
			out = append(out, [2]Point{a.Add(d.Scale(t)), a.Add(d.Scale(u))})
		}
	}
	return out
}

// cutBy adds where the line from a along d, of a length and with the normal n, cuts the sides, as shares of d.
func (l Loop) cutBy(cuts []float64, a, d, n Point, length float64) []float64 {
	if len(l) == 0 {
		return cuts
	}
	s := l[len(l)-1]
	hs := n.Dot(s.Sub(a))
	for _, e := range l {
		he := n.Dot(e.Sub(a))
		// A corner on the line counts as above it: every passage is counted once.
		if (hs >= 0) != (he >= 0) {
			q := s.Add(e.Sub(s).Scale(hs / (hs - he)))
			cuts = append(cuts, q.Sub(a).Dot(d)/(length*length))
		}
		s, hs = e, he
	}
	return cuts
}

// ClipLine returns the stretches of the line from a to b inside the true
// outline, arcs by chords within toleranceM.
func (r Ring) ClipLine(a, b Point, toleranceM float64) [][2]Point {
	return chordPolygon(r, nil, toleranceM).ClipLine(a, b)
}
