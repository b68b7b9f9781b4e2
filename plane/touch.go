package plane

import "math"

// Contact is where two loops lie edge to edge.
type Contact struct {
	LengthM float64
	// Ends of the stretches, two by two, on the first loop.
	Ends []Point
}

// Touching finds the stretches along which the sides of two loops run parallel
// within withinM of each other: a shared side, or the two sides of a lap.
func (l Loop) Touching(other Loop, withinM float64) Contact {
	var c Contact
	l.Abreast(other, withinM, func(x SideBySide) {
		c.LengthM += x.To - x.From
		c.Ends = append(c.Ends, x.P.Add(x.U.Scale(x.From)), x.P.Add(x.U.Scale(x.To)))
	})
	return c
}

// SideBySide is a side P–Q of one loop and R–S of another that run side by side, over
// the stretch of P–Q from From to To, m along the unit vector U.
type SideBySide struct {
	P, Q, R, S, U Point
	From, To      float64
}

// parallelSine is the sine of the angle to which two sides count as parallel: 2.9°.
const parallelSine = 0.05

// Abreast visits the sides of two loops that run parallel within withinM of each other.
func (l Loop) Abreast(other Loop, withinM float64, visit func(SideBySide)) {
	for i := range l {
		p, q := l[i], l[(i+1)%len(l)]
		length := p.Distance(q)
		if length < 1e-9 {
			continue
		}
		u := q.Sub(p).Scale(1 / length)
		for j := range other {
			r, s := other[j].Sub(p), other[(j+1)%len(other)].Sub(p)
			v := s.Sub(r)
			if v.Length() < 1e-9 || math.Abs(u.Cross(v.Unit())) > parallelSine || math.Abs(u.Cross(r.Add(s).Scale(0.5))) > withinM {
				continue
			}
			from, to := max(min(r.Dot(u), s.Dot(u)), 0), min(max(r.Dot(u), s.Dot(u)), length)
			if to-from > 1e-6 {
				visit(SideBySide{p, q, other[j], other[(j+1)%len(other)], u, from, to})
			}
		}
	}
}

// Closest returns the point of the loop's area that is closest to q, and how far it is,
// m: a point inside is at distance 0 from itself.
func (l Loop) Closest(q Point) (Point, float64) {
	if l.Contains(q) {
		return q, 0
	}
	best, distance := l[0], math.Inf(1)
	l.sides(func(a, b Point) {
		at := nearestOn(a, b, q)
		if d := at.Distance(q); d < distance {
			best, distance = at, d
		}
	})
	return best, distance
}
