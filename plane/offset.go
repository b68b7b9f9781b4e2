package plane

import (
	"fmt"
	"math"
)

// MitreLimit is how far a mitred corner may reach, in offset distances, before
// it is cut off square to its bisector.
const MitreLimit = 5

// offsetSide is a side with the interior on its left and the distance it moves.
type offsetSide struct {
	a, b Point
	byM  float64
}

// Inset returns the polygon with every side moved inward by distanceM ≥ 0,
// corners mitred. It may fall into several parts or vanish.
func (p Polygon) Inset(distanceM float64) ([]Polygon, error) {
	return offsetLoops(p, p.offsetSides(distanceM), true, MitreLimit)
}

// Outset returns the polygon with every side moved outward by distanceM ≥ 0,
// corners mitred; holes shrink and may close.
func (p Polygon) Outset(distanceM float64) ([]Polygon, error) {
	return offsetLoops(p, p.offsetSides(distanceM), false, MitreLimit)
}

func (p Polygon) offsetSides(distanceM float64) [][]offsetSide {
	var out [][]offsetSide
	for _, l := range p.Region() {
		var sides []offsetSide
		for i := range l {
			sides = append(sides, offsetSide{l[i], l[(i+1)%len(l)], distanceM})
		}
		out = append(out, sides)
	}
	return out
}

// InsetEdges moves each edge of an outline and its openings into the deck by its
// own distance ≥ 0, m: distanceM is asked with ring 0 for the outline and 1, 2, …
// for openings, and the edge's number in that ring. Arcs become chords within
// toleranceM. Where two edges of one straight line move differently, the step
// between them is square.
func InsetEdges(outer Ring, holes []Ring, toleranceM float64, distanceM func(ring, edge int) float64) ([]Polygon, error) {
	if faults := Validate(outer, holes); len(faults) > 0 {
		return nil, faults[0]
	}
	p := chordPolygon(outer, holes, toleranceM)
	var loops [][]offsetSide
	for k, r := range append([]Ring{outer}, holes...) {
		n := len(r)
		backwards := (r.SignedArea() < 0) == (k == 0)
		if backwards {
			r = r.Reversed()
		}
		var sides []offsetSide
		for i := range r {
			e, number := r.Edge(i), i
			if backwards {
				number = (2*n - 2 - i) % n
			}
			by := distanceM(k, number)
			points := Ring{r[i], {Point: e.B}}.Chords(toleranceM)
			points = points[:len(points)-1]
			points = append(points, e.B)
			for j := 0; j+1 < len(points); j++ {
				sides = append(sides, offsetSide{points[j], points[j+1], by})
			}
		}
		loops = append(loops, sides)
	}
	return offsetLoops(p, loops, true, MitreLimit)
}

// offsetLoops takes from the polygon (or adds to it) the rectangle that each
// side sweeps and, at each corner that opens, the kite between the two
// rectangles. mitreLimit +Inf leaves the kites whole.
func offsetLoops(p Polygon, loops [][]offsetSide, inward bool, mitreLimit float64) ([]Polygon, error) {
	var swept []Polygon
	hand := 1.0
	if !inward {
		hand = -1
	}
	for _, sides := range loops {
		for _, s := range sides {
			if !(s.byM >= 0) || math.IsInf(s.byM, 0) {
				return nil, fmt.Errorf("an edge cannot move by %g m: give a distance of zero or more, and choose inward or outward", s.byM)
			}
		}
		sides = realSides(sides)
		for i, s := range sides {
			next := sides[(i+1)%len(sides)]
			n := s.b.Sub(s.a).Unit().Left().Scale(hand)
			m := next.b.Sub(next.a).Unit().Left().Scale(hand)
			if s.byM > 0 {
				swept = append(swept, properLoop([]Point{s.a, s.b, s.b.Add(n.Scale(s.byM)), s.a.Add(n.Scale(s.byM))})...)
			}
			// A right turn opens a corner for sides that move left, a left turn for those that move right.
			if turned := s.b.Sub(s.a).Cross(next.b.Sub(next.a)) * hand; turned < 0 {
				swept = append(swept, kite(s.b, n, m, s.byM, next.byM, mitreLimit)...)
			}
		}
	}
	if len(swept) == 0 {
		return tidyPolygons([]Polygon{p.mapped(func(q Point) Point { return q })}), nil
	}
	if inward {
		return Difference([]Polygon{p}, swept)
	}
	return Union(append(swept, p))
}

// realSides drops sides too short to have a direction and lets the next begin
// where the last real one ended.
func realSides(sides []offsetSide) []offsetSide {
	var out []offsetSide
	for _, s := range sides {
		if s.a.Distance(s.b) < 1e-9 {
			continue
		}
		if len(out) > 0 {
			s.a = out[len(out)-1].b
		}
		out = append(out, s)
	}
	if len(out) > 0 {
		out[len(out)-1].b = out[0].a
	}
	return out
}

// kite returns what two sides leave between their rectangles at the corner v
// when it opens towards the side that they move to. n and m are the unit
// directions in which the sides move by d and e.
func kite(v, n, m Point, d, e, limit float64) []Polygon {
	cross := n.Cross(m)
	// Straight on or straight back nothing opens. Where one side stays the other's moved line ends on it.
	if math.Abs(cross) <= 1e-9 || d == 0 || e == 0 {
		return nil
	}
	a, b, reach := v.Add(n.Scale(d)), v.Add(m.Scale(e)), limit*max(d, e)
	// The mitre point q has q·n = d and q·m = e; near a hairpin it runs away.
	q := Point{d*m.Y - e*n.Y, e*n.X - d*m.X}.Scale(1 / cross)
	if q.Length() <= reach {
		return properLoop([]Point{v, a, v.Add(q), b})
	}
	return append(properLoop(Loop{v, a, b}), cutMitre(v, n, m, d, e, reach)...)
}

// cutMitre returns the part of the mitre beyond the chord a–b as far as reach
// along the bisector of the directions moved.
func cutMitre(v, n, m Point, d, e, reach float64) []Polygon {
	w := n.Add(m).Unit()
	// Points a + s·t on each moved line where w·p = reach.
	on := func(dir Point, by float64) (Point, bool) {
		t := dir.Left()
		if t.Dot(w) < 0 {
			t = t.Scale(-1)
		}
		k := t.Dot(w)
		if k < 1e-9 {
			return Point{}, false
		}
		return dir.Scale(by).Add(t.Scale((reach - by*dir.Dot(w)) / k)), true
	}
	p, ok1 := on(n, d)
	q, ok2 := on(m, e)
	if !ok1 || !ok2 {
		return nil
	}
	return properLoop([]Point{v.Add(n.Scale(d)), v.Add(p), v.Add(q), v.Add(m.Scale(e))})
}

// properLoop returns the loop as a polygon when it encloses something.
func properLoop(l Loop) []Polygon {
	a := l.SignedArea()
	if math.Abs(a) < 1e-14 {
		return nil
	}
	if a < 0 {
		for i, j := 0, len(l)-1; i < j; i, j = i+1, j-1 {
			l[i], l[j] = l[j], l[i]
		}
	}
	return []Polygon{{Outer: l}}
}
