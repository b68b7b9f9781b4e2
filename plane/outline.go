package plane

import "math"

// OutlineM is the sagitta of an Outline's chords, TouchM how near two of its sides may come and still count as touching, m.
const (
	OutlineM = 0.002
	TouchM   = 0.001
)

// mostChords bounds the chords of one outline, so that no survey can keep the checks busy for long.
const mostChords = 1024

// Outline is a ring made ready for many questions about a survey, coarser than Validate asks them: straight pieces, curves as
// chords.
type Outline []chord

// Outline returns the ring as an Outline.
func (r Ring) Outline() Outline {
	var out Outline
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
			out = append(out, chord{a: e.A, b: e.B, edge: i})
			continue
		}
		radius, angle := e.Arc()
		n := min(max(2, int(math.Ceil(angle/(2*math.Acos(max(0, 1-OutlineM/radius)))))), each)
		for k := range n {
			out = append(out, chord{a: e.At(float64(k) / float64(n)), b: e.At(float64(k+1) / float64(n)), edge: i})
		}
	}
	return out
}

// cross returns where two stretches cross, each well inside the other, or where they
// run on top of each other.
func cross(s, t chord) (Point, bool) {
	if max(s.a.X, s.b.X) < min(t.a.X, t.b.X) || max(t.a.X, t.b.X) < min(s.a.X, s.b.X) ||
		max(s.a.Y, s.b.Y) < min(t.a.Y, t.b.Y) || max(t.a.Y, t.b.Y) < min(s.a.Y, s.b.Y) {
		return Point{}, false
	}
	d, e, f := s.b.Sub(s.a), t.b.Sub(t.a), t.a.Sub(s.a)
	area := d.Cross(e)
	if math.Abs(area) <= 1e-9*d.Length()*e.Length() {
		return overlap(s, t)
	}
	u, v := f.Cross(e)/area, f.Cross(d)/area
	slackU, slackV := TouchM/max(d.Length(), TouchM), TouchM/max(e.Length(), TouchM)
	if u <= slackU || u >= 1-slackU || v <= slackV || v >= 1-slackV {
		return Point{}, false
	}
	return s.a.Add(d.Scale(u)), true
}

// Cross returns where two stretches cross, each well inside the other, or where they run on top of each other.
func Cross(s, t [2]Point) (Point, bool) {
	return cross(chord{a: s[0], b: s[1]}, chord{a: t[0], b: t[1]})
}

// overlap returns the middle of the stretch that two parallel chords share.
func overlap(s, t chord) (Point, bool) {
	d := s.b.Sub(s.a)
	length := d.Length()
	if length == 0 || math.Abs(t.a.Sub(s.a).Cross(d.Unit())) > TouchM {
		return Point{}, false
	}
	u := d.Unit()
	p, q := t.a.Sub(s.a).Dot(u), t.b.Sub(s.a).Dot(u)
	low, high := max(0, min(p, q)), min(length, max(p, q))
	if high-low <= TouchM {
		return Point{}, false
	}
	return s.a.Add(u.Scale((low + high) / 2)), true
}

// MeetsItself returns where an outline meets itself and the two edges that do.
func (r Outline) MeetsItself() (at Point, i, k int, found bool) {
	n := len(r)
	for x := range r {
		for y := x + 1; y < n; y++ {
			if y == x+1 || x == 0 && y == n-1 {
				// Neighbours share a corner; they may only double back.
				if p, back := doubled(r[x], r[y]); back {
					return p, r[x].edge, r[y].edge, true
				}
				continue
			}
			if p, hit := meets(r[x], r[y]); hit {
				return p, r[x].edge, r[y].edge, true
			}
		}
	}
	return Point{}, 0, 0, false
}

// doubled reports whether the second of two neighbours runs back over the first.
func doubled(s, t chord) (Point, bool) {
	if s.a.Distance(t.b) < TouchM {
		s, t = t, s
	}
	d, e := s.b.Sub(s.a), t.b.Sub(t.a)
	if d.Dot(e) < 0 && math.Abs(d.Cross(e)) <= 1e-9*d.Length()*e.Length() {
		return s.b, true
	}
	return Point{}, false
}

// meets reports whether two pieces that are no neighbours cross or touch: an outline
// may do neither.
func meets(s, t chord) (Point, bool) {
	if p, hit := cross(s, t); hit {
		return p, true
	}
	for _, end := range []Point{t.a, t.b} {
		if s.distance(end) < TouchM/10 {
			return end, true
		}
	}
	for _, end := range []Point{s.a, s.b} {
		if t.distance(end) < TouchM/10 {
			return end, true
		}
	}
	return Point{}, false
}

// distance returns how far a point is from a stretch, m.
func (c chord) distance(p Point) float64 { return p.Distance(nearestOn(c.a, c.b, p)) }

// Away returns the distance of a point to the outline, and whether it lies inside.
func (r Outline) Away(p Point) (distanceM float64, inside bool) {
	distanceM = math.Inf(1)
	for _, s := range r {
		distanceM = min(distanceM, s.distance(p))
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)*(s.b.X-s.a.X)/(s.b.Y-s.a.Y) {
			inside = !inside
		}
	}
	return distanceM, inside
}

// Holds reports whether the point lies inside, or on the outline within tolerance.
func (r Outline) Holds(p Point, toleranceM float64) bool {
	d, inside := r.Away(p)
	return inside || d <= toleranceM
}

// Reaches returns a point of the inner outline that lies outside r, if there is one.
func (r Outline) Reaches(inner Outline) (Point, bool) {
	for _, s := range inner {
		for _, p := range []Point{s.a, s.a.Add(s.b).Scale(0.5)} {
			if !r.Holds(p, 2*OutlineM) {
				return p, true
			}
		}
	}
	// A notch of the deck may reach into the piece with no corner of the piece outside.
	for _, t := range r {
		if d, in := inner.Away(t.a); in && d > 2*OutlineM {
			return t.a, true
		}
	}
	return Point{}, false
}

// Overlaps reports whether two outlines share more than a touch, and where.
func (r Outline) Overlaps(other Outline) (Point, bool) {
	for _, pair := range [][2]Outline{{r, other}, {other, r}} {
		if p, hit := pair[1].deepIn(pair[0]); hit {
			return p, true
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
	for _, pair := range [][2]Outline{{r, other}, {other, r}} {
		m := pair[0].middle()
		if d, in := pair[1].Away(m); in && d > 2*OutlineM && pair[0].Holds(m, 0) {
			return m, true
		}
	}
	return Point{}, false
}

// deepIn returns a corner or the middle of a side of the other outline that lies well inside r.
func (r Outline) deepIn(other Outline) (Point, bool) {
	for _, s := range other {
		for _, p := range []Point{s.a, s.a.Add(s.b).Scale(0.5)} {
			if d, in := r.Away(p); in && d > 2*OutlineM {
				return p, true
			}
		}
	}
	return Point{}, false
}

// Gap returns how near another outline comes to r, m, as far as corners and middles of sides tell.
func (r Outline) Gap(other Outline) float64 {
	least := math.Inf(1)
	for _, pair := range [][2]Outline{{other, r}, {r, other}} {
		for _, s := range pair[0] {
			for _, p := range []Point{s.a, s.a.Add(s.b).Scale(0.5)} {
				d, _ := pair[1].Away(p)
				least = min(least, d)
			}
		}
	}
	return least
}

// middle returns the mean of the corners.
func (r Outline) middle() Point {
	var sum Point
	for _, s := range r {
		sum = sum.Add(s.a)
	}
	return sum.Scale(1 / float64(max(1, len(r))))
}
