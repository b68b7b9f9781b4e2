package plane

import (
	"math"
	"sort"
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

// ClipLine returns the stretches of the line from a to b inside the polygon, in
// order from a. A stretch along a side counts as inside where the polygon lies
// to its left.
func (p Polygon) ClipLine(a, b Point) [][2]Point {
	d := b.Sub(a)
	l := d.Length()
	if l == 0 {
		return nil
	}
	n := d.Left().Scale(1 / l)
	cuts := []float64{}
	p.sides(func(s, e Point) {
		hs, he := n.Dot(s.Sub(a)), n.Dot(e.Sub(a))
		// A corner on the line counts as above it: every passage is counted once.
		if (hs >= 0) == (he >= 0) {
			return
		}
		q := s.Add(e.Sub(s).Scale(hs / (hs - he)))
		cuts = append(cuts, q.Sub(a).Dot(d)/(l*l))
	})
	sort.Float64s(cuts)
	var out [][2]Point
	for i := 0; i+1 < len(cuts); i += 2 {
		t, u := max(0, cuts[i]), min(1, cuts[i+1])
		if (u-t)*l > 1e-9 {
			out = append(out, [2]Point{a.Add(d.Scale(t)), a.Add(d.Scale(u))})
		}
	}
	return out
}

// ClipLine returns the stretches of the line from a to b inside the true
// outline, arcs by chords within toleranceM.
func (r Ring) ClipLine(a, b Point, toleranceM float64) [][2]Point {
	return chordPolygon(r, nil, toleranceM).ClipLine(a, b)
}
