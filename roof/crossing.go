package roof

import (
	"math"

	"gelwright/plane"
)

// chordM is the sagitta that curves are checked with, m.
const chordM = 0.002

// touchM is how near two pieces may come and still count as touching, m.
const touchM = 0.001

// segment is a straight piece of an outline and the edge it belongs to.
type segment struct {
	a, b plane.Point
	edge int
}

// mostChords bounds the chords of one outline, so that no survey can keep the
// checks busy for long.
const mostChords = 1024

// segments returns an outline as straight pieces, curves as chords.
func segments(r plane.Ring) []segment {
	var out []segment
	arcs := 0
	for _, v := range r {
		if v.Bulge != 0 {
			arcs++
		}
	}
	each := min(64, max(2, mostChords/max(1, arcs)))
	for i := range r {
		e := r.Edge(i)
		if e.Straight() {
			out = append(out, segment{e.A, e.B, i})
			continue
		}
		radius, angle := e.Arc()
		n := min(max(2, int(math.Ceil(angle/(2*math.Acos(max(0, 1-chordM/radius)))))), each)
		for k := range n {
			out = append(out, segment{e.At(float64(k) / float64(n)), e.At(float64(k+1) / float64(n)), i})
		}
	}
	return out
}

// cross returns where two segments cross, each well inside the other, or where they
// run on top of each other.
func cross(s, t segment) (plane.Point, bool) {
	if max(s.a.X, s.b.X) < min(t.a.X, t.b.X) || max(t.a.X, t.b.X) < min(s.a.X, s.b.X) ||
		max(s.a.Y, s.b.Y) < min(t.a.Y, t.b.Y) || max(t.a.Y, t.b.Y) < min(s.a.Y, s.b.Y) {
		return plane.Point{}, false
	}
	d, e, f := s.b.Sub(s.a), t.b.Sub(t.a), t.a.Sub(s.a)
	area := d.Cross(e)
	if math.Abs(area) <= 1e-9*d.Length()*e.Length() {
		return overlap(s, t)
	}
	u, v := f.Cross(e)/area, f.Cross(d)/area
	slackU, slackV := touchM/max(d.Length(), touchM), touchM/max(e.Length(), touchM)
	if u <= slackU || u >= 1-slackU || v <= slackV || v >= 1-slackV {
		return plane.Point{}, false
	}
	return s.a.Add(d.Scale(u)), true
}

// overlap returns the middle of the stretch that two parallel segments share.
func overlap(s, t segment) (plane.Point, bool) {
	d := s.b.Sub(s.a)
	length := d.Length()
	if length == 0 || math.Abs(t.a.Sub(s.a).Cross(d.Unit())) > touchM {
		return plane.Point{}, false
	}
	u := d.Unit()
	p, q := t.a.Sub(s.a).Dot(u), t.b.Sub(s.a).Dot(u)
	low, high := max(0, min(p, q)), min(length, max(p, q))
	if high-low <= touchM {
		return plane.Point{}, false
	}
	return s.a.Add(u.Scale((low + high) / 2)), true
}

// crossing returns where an outline meets itself and the two edges that do.
func crossing(r plane.Ring) (at plane.Point, i, k int, found bool) {
	all := segments(r)
	n := len(all)
	for x := range all {
		for y := x + 1; y < n; y++ {
			if y == x+1 || x == 0 && y == n-1 {
				// Neighbours share a corner; they may only double back.
				if p, back := doubled(all[x], all[y]); back {
					return p, all[x].edge, all[y].edge, true
				}
				continue
			}
			if p, hit := meets(all[x], all[y]); hit {
				return p, all[x].edge, all[y].edge, true
			}
		}
	}
	return plane.Point{}, 0, 0, false
}

// doubled reports whether the second of two neighbours runs back over the first.
func doubled(s, t segment) (plane.Point, bool) {
	if s.a.Distance(t.b) < touchM {
		s, t = t, s
	}
	d, e := s.b.Sub(s.a), t.b.Sub(t.a)
	if d.Dot(e) < 0 && math.Abs(d.Cross(e)) <= 1e-9*d.Length()*e.Length() {
		return s.b, true
	}
	return plane.Point{}, false
}

// meets reports whether two pieces that are no neighbours cross or touch: an outline
// may do neither.
func meets(s, t segment) (plane.Point, bool) {
	if p, hit := cross(s, t); hit {
		return p, true
	}
	for _, end := range []plane.Point{t.a, t.b} {
		if distance(end, s) < touchM/10 {
			return end, true
		}
	}
	for _, end := range []plane.Point{s.a, s.b} {
		if distance(end, t) < touchM/10 {
			return end, true
		}
	}
	return plane.Point{}, false
}

// distance returns how far a point is from a segment, m.
func distance(p plane.Point, s segment) float64 {
	d := s.b.Sub(s.a)
	l := d.Dot(d)
	if l == 0 {
		return p.Distance(s.a)
	}
	t := min(max(p.Sub(s.a).Dot(d)/l, 0), 1)
	return p.Distance(s.a.Add(d.Scale(t)))
}

// area is an outline made ready for many questions about points.
type area []segment

// away returns the distance of a point to the outline, and whether it lies inside.
func (r area) away(p plane.Point) (distanceM float64, inside bool) {
	distanceM = math.Inf(1)
	for _, s := range r {
		distanceM = min(distanceM, distance(p, s))
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)*(s.b.X-s.a.X)/(s.b.Y-s.a.Y) {
			inside = !inside
		}
	}
	return distanceM, inside
}

// holds reports whether the point lies inside, or on the outline within tolerance.
func (r area) holds(p plane.Point, toleranceM float64) bool {
	d, inside := r.away(p)
	return inside || d <= toleranceM
}

// outside returns a point of the inner outline that lies outside r, if there is one.
func (r area) outside(inner area) (plane.Point, bool) {
	for _, s := range inner {
		for _, p := range []plane.Point{s.a, s.a.Add(s.b).Scale(0.5)} {
			if !r.holds(p, 2*chordM) {
				return p, true
			}
		}
	}
	for _, s := range inner {
		for _, t := range r {
			if _, hit := cross(s, t); hit {
				// Running along the outline is no crossing.
				d, e := s.b.Sub(s.a).Unit(), t.b.Sub(t.a).Unit()
				if math.Abs(d.Cross(e)) > 1e-3 {
					for _, end := range []plane.Point{s.a, s.b} {
						if !r.holds(end, 2*chordM) {
							return end, true
						}
					}
				}
			}
		}
	}
	// A notch of the deck may reach into the piece with no corner of the piece outside.
	for _, t := range r {
		if d, in := inner.away(t.a); in && d > 2*chordM {
			return t.a, true
		}
	}
	return plane.Point{}, false
}

// overlaps reports whether two outlines share more than a touch, and where.
func (r area) overlaps(other area) (plane.Point, bool) {
	for _, pair := range [][2]area{{r, other}, {other, r}} {
		for _, s := range pair[0] {
			for _, p := range []plane.Point{s.a, s.a.Add(s.b).Scale(0.5)} {
				if d, in := pair[1].away(p); in && d > 2*chordM {
					return p, true
				}
			}
		}
	}
	for _, s := range r {
		for _, t := range other {
			d, e := s.b.Sub(s.a).Unit(), t.b.Sub(t.a).Unit()
			if p, hit := cross(s, t); hit && math.Abs(d.Cross(e)) > 1e-3 {
				return p, true
			}
		}
	}
	a, b := r.middle(), other.middle()
	if d, in := other.away(a); in && d > 2*chordM && r.holds(a, 0) {
		return a, true
	}
	if d, in := r.away(b); in && d > 2*chordM && other.holds(b, 0) {
		return b, true
	}
	return plane.Point{}, false
}

// middle returns the mean of the corners.
func (r area) middle() plane.Point {
	var sum plane.Point
	for _, s := range r {
		sum = sum.Add(s.a)
	}
	return sum.Scale(1 / float64(max(1, len(r))))
}
