package plane

import "math"

// Loop is a closed ring of points, straight from one to the next and from the last
// back to the first, which is not repeated. With the interior on the left, loops
// round an area run anticlockwise and loops round a hole clockwise.
type Loop []Point

// SignedArea returns the area, m²: positive for a loop that runs anticlockwise. It
// is summed about the first point, so that a survey far from the origin loses no
// digits.
func (l Loop) SignedArea() float64 {
	var twice float64
	for i := 1; i+1 < len(l); i++ {
		twice += l[i].Sub(l[0]).Cross(l[i+1].Sub(l[0]))
	}
	return twice / 2
}

// Bounds returns the least rectangle around the loop.
func (l Loop) Bounds() (low, high Point) {
	low, high = nowhere()
	for _, q := range l {
		low, high = low.least(q), high.most(q)
	}
	return low, high
}

// nowhere are the bounds of nothing: any point grows them.
func nowhere() (low, high Point) {
	return Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
}

func (p Point) least(q Point) Point { return Point{min(p.X, q.X), min(p.Y, q.Y)} }
func (p Point) most(q Point) Point  { return Point{max(p.X, q.X), max(p.Y, q.Y)} }

// Extent returns the least and greatest coordinate, m, along a unit direction.
func (l Loop) Extent(along Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, q := range l {
		t := along.Dot(q)
		low, high = min(low, t), max(high, t)
	}
	return low, high
}

// Contains reports whether q lies in the loop by the crossing rule, whichever way
// the loop runs; on a side either may be said.
func (l Loop) Contains(q Point) bool {
	if len(l) == 0 {
		return false
	}
	in, a := false, l[len(l)-1]
	for _, b := range l {
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
		a = b
	}
	return in
}

// Distance returns the distance from q to the nearest side, m, inside or out.
func (l Loop) Distance(q Point) float64 {
	best := math.Inf(1)
	l.sides(func(a, b Point) { best = min(best, nearestOn(a, b, q).Distance(q)) })
	return best
}

// sides calls f with every side in turn.
func (l Loop) sides(f func(a, b Point)) {
	for i, a := range l {
		f(a, l[(i+1)%len(l)])
	}
}

// samePointM is how far two points of a loop lie apart at least, m, and twice how
// far a corner lies off the chord between its neighbours.
const samePointM = 1e-7

// Tidy returns the loop without repeated points and without points in the middle
// of a straight side.
func (l Loop) Tidy() Loop { return append(make(Loop, 0, len(l)), l...).tidy() }

// tidy is Tidy in place.
func (l Loop) tidy() Loop {
	out := l[:0]
	for _, p := range l {
		if len(out) > 0 && out[len(out)-1].Distance(p) < samePointM {
			continue
		}
		out = append(out, p)
	}
	for len(out) > 1 && out[0].Distance(out[len(out)-1]) < samePointM {
		out = out[:len(out)-1]
	}
	for i := 0; i < len(out) && len(out) >= 3; {
		a, b, c := out[(i+len(out)-1)%len(out)], out[i], out[(i+1)%len(out)]
		if math.Abs(b.Sub(a).Cross(c.Sub(b))) < samePointM*a.Distance(c)*0.5 {
			out = append(out[:i], out[i+1:]...)
			if i > 0 {
				i--
			}
			continue
		}
		i++
	}
	return out
}

// startLow turns the loop round in place so that it starts at its first point in order.
func (l Loop) startLow() {
	at := 0
	for i := range l {
		if byPlace(l[i], l[at]) < 0 {
			at = i
		}
	}
	if at == 0 {
		return
	}
	copy(l, append(append(Loop(nil), l[at:]...), l[:at]...))
}

// Area returns the area, m², whichever way the loop runs.
func (l Loop) Area() float64 { return math.Abs(l.SignedArea()) }

// Centroid returns the centre of area. It may lie outside a bent loop.
func (l Loop) Centroid() Point { return Polygon{Outer: l}.Centroid() }

// LongAxis returns the unit direction of the loop's long axis, from its second moments
// of area; of opposite directions the one with x > 0, or y > 0 when x is 0. A loop as
// long as wide has the axis x.
func (l Loop) LongAxis() Point {
	c := l.Centroid()
	var xx, yy, xy, sum float64
	l.sides(func(p, q Point) {
		a, b := p.Sub(c), q.Sub(c)
		w := a.Cross(b)
		xx += w * (a.X*a.X + a.X*b.X + b.X*b.X) / 12
		yy += w * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12
		xy += w * (2*a.X*a.Y + a.X*b.Y + b.X*a.Y + 2*b.X*b.Y) / 24
		sum += w
	})
	if sum < 0 {
		xx, yy, xy = -xx, -yy, -xy
	}
	if math.Abs(xx-yy) < 1e-9*(xx+yy) && math.Abs(xy) < 1e-9*(xx+yy) {
		return Point{X: 1}
	}
	angle := 0.5 * math.Atan2(2*xy, xx-yy)
	u := Point{X: math.Cos(angle), Y: math.Sin(angle)}
	if u.X <= 1e-9 && u.Y < 0 { // half of an arc tangent never points to the left
		u = u.Scale(-1)
	}
	return u
}

// Below returns the part of the loop whose coordinate along u is at most s. A bent
// loop that falls apart stays one, its parts joined along the line: what was one piece
// of mat is cut and laid as one. Region.HalfPlane parts it.
func (l Loop) Below(u Point, s float64) Loop {
	var out Loop
	l.sides(func(p, q Point) {
		dp, dq := p.Dot(u)-s, q.Dot(u)-s
		if dp <= 0 {
			out = append(out, p)
		}
		if (dp < 0 && dq > 0) || (dp > 0 && dq < 0) {
			out = append(out, p.Add(q.Sub(p).Scale(dp/(dp-dq))))
		}
	})
	return out
}

// splitRounds halve a length until nothing is left of it.
const splitRounds = 60

// SplitAt cuts the loop across u so that the first part, on the low side, holds the
// given fraction (0 to 1) of its area.
func (l Loop) SplitAt(u Point, fraction float64) (first, rest Loop) {
	low, high := l.Extent(u)
	whole := l.Area()
	for range splitRounds {
		mid := (low + high) / 2
		if part := l.Below(u, mid); len(part) >= 3 && part.Area() > fraction*whole {
			high = mid
		} else {
			low = mid
		}
	}
	s := (low + high) / 2
	return l.Below(u, s), l.Below(u.Scale(-1), -s)
}
