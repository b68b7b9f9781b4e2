package mixing

import (
	"fmt"
	"math"

	"gelwright/plane"
)

// Cell is a stretch that is laid in one go: a mat strip between openings, or a
// field of top coat.
type Cell struct {
	// Name on the drawing: "strip 4.2".
	Name string `json:"name"`
	// Strip number in the order in which laps shed water; cells of a strip share it.
	Strip int `json:"strip"`
	// Shape on plan, m, at least three corners; Along is the direction the strip
	// runs, zero to take the shape's long axis.
	Shape []plane.Point `json:"shape"`
	Along plane.Point   `json:"along,omitzero"`
	// AreaM2 on the slope and ResinKG for all that this pass puts there: laminate,
	// laps and what the deck drinks.
	AreaM2  float64 `json:"area_m2"`
	ResinKG float64 `json:"resin_kg"`
	// Over are the cells, by their place in the input, on whose edges this one lies in
	// the flow of water: they are laid before it.
	Over []int `json:"over,omitempty"`
}

// AtRate returns the cells with resin at a rate in kg/m²: a top coat over them. It has
// no laps, so which cell lay over which no longer binds the order.
func AtRate(cells []Cell, kgPerM2 float64) []Cell {
	out := append([]Cell(nil), cells...)
	for i := range out {
		out[i].ResinKG, out[i].Over = out[i].AreaM2*kgPerM2, nil
	}
	return out
}

func checkCells(cells []Cell) error {
	if len(cells) == 0 {
		return fmt.Errorf("mixing: nothing to lay: give at least one cell")
	}
	for _, c := range cells {
		switch {
		case len(c.Shape) < 3 || !(polygonArea(c.Shape) > 1e-9):
			return fmt.Errorf("mixing: cell %q has no area on plan: give at least three corners, anticlockwise", c.Name)
		case !(c.AreaM2 > 0) || math.IsInf(c.AreaM2, 0):
			return fmt.Errorf("mixing: cell %q has area %g m²: give a positive area", c.Name, c.AreaM2)
		case !(c.ResinKG > 0) || math.IsInf(c.ResinKG, 0):
			return fmt.Errorf("mixing: cell %q takes %g kg of resin: give a positive mass", c.Name, c.ResinKG)
		}
		for _, p := range c.Shape {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
				return fmt.Errorf("mixing: cell %q has a corner that is no place", c.Name)
			}
		}
	}
	return checkOver(cells)
}

// polygonArea returns the absolute area, m², summed about the first corner.
func polygonArea(shape []plane.Point) float64 {
	sum := 0.0
	for i := 1; i+1 < len(shape); i++ {
		sum += shape[i].Sub(shape[0]).Cross(shape[i+1].Sub(shape[0]))
	}
	return math.Abs(sum) / 2
}

func centroid(shape []plane.Point) plane.Point {
	var c plane.Point
	sum := 0.0
	for i := 1; i+1 < len(shape); i++ {
		a, b := shape[i].Sub(shape[0]), shape[i+1].Sub(shape[0])
		w := a.Cross(b)
		c, sum = c.Add(a.Add(b).Scale(w/3)), sum+w
	}
	if sum == 0 {
		return shape[0]
	}
	return shape[0].Add(c.Scale(1 / sum))
}

// longAxis returns the unit direction of the shape's long axis, from its second
// moments of area; of opposite directions the one with x > 0, or y > 0 when x is 0.
func longAxis(shape []plane.Point) plane.Point {
	c := centroid(shape)
	var xx, yy, xy, sum float64
	for i := range shape {
		a, b := shape[i].Sub(c), shape[(i+1)%len(shape)].Sub(c)
		w := a.Cross(b)
		xx += w * (a.X*a.X + a.X*b.X + b.X*b.X) / 12
		yy += w * (a.Y*a.Y + a.Y*b.Y + b.Y*b.Y) / 12
		xy += w * (2*a.X*a.Y + a.X*b.Y + b.X*a.Y + 2*b.X*b.Y) / 24
		sum += w
	}
	if sum < 0 {
		xx, yy, xy = -xx, -yy, -xy
	}
	if math.Abs(xx-yy) < 1e-9*(xx+yy) && math.Abs(xy) < 1e-9*(xx+yy) {
		return plane.Point{X: 1}
	}
	angle := 0.5 * math.Atan2(2*xy, xx-yy)
	u := plane.Point{X: math.Cos(angle), Y: math.Sin(angle)}
	if u.X < -1e-9 || (math.Abs(u.X) <= 1e-9 && u.Y < 0) {
		u = u.Scale(-1)
	}
	return u
}

func (c Cell) axis() plane.Point {
	if c.Along.Length() > 0 {
		return c.Along.Unit()
	}
	return longAxis(c.Shape)
}

// reach returns the least and greatest projection of a shape on u.
func reach(shape []plane.Point, u plane.Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range shape {
		s := p.Dot(u)
		low, high = math.Min(low, s), math.Max(high, s)
	}
	return low, high
}

// below returns the part of a shape whose projection on u is at most s.
func below(shape []plane.Point, u plane.Point, s float64) []plane.Point {
	var out []plane.Point
	for i, p := range shape {
		q := shape[(i+1)%len(shape)]
		dp, dq := p.Dot(u)-s, q.Dot(u)-s
		if dp <= 0 {
			out = append(out, p)
		}
		if (dp < 0 && dq > 0) || (dp > 0 && dq < 0) {
			out = append(out, p.Add(q.Sub(p).Scale(dp/(dp-dq))))
		}
	}
	return out
}

// splitAt cuts a shape across u so that the first part, on the low side, holds the
// given fraction of its area.
func splitAt(shape []plane.Point, u plane.Point, fraction float64) (first, rest []plane.Point) {
	low, high := reach(shape, u)
	whole := polygonArea(shape)
	for range 60 {
		mid := (low + high) / 2
		if part := below(shape, u, mid); len(part) >= 3 && polygonArea(part) > fraction*whole {
			high = mid
		} else {
			low = mid
		}
	}
	s := (low + high) / 2
	return below(shape, u, s), below(shape, u.Scale(-1), -s)
}

// contact is where two shapes lie edge to edge.
type contact struct {
	lengthM float64
	ends    []plane.Point // ends of the stretches, on the first shape
}

// touching finds the stretches along which the edges of a and b run parallel within
// tolM of each other: a shared edge, or two sides of a lap.
func touching(a, b []plane.Point, tolM float64) contact {
	var c contact
	abreast(a, b, tolM, func(x sideBySide) {
		c.lengthM += x.to - x.from
		c.ends = append(c.ends, x.p.Add(x.u.Scale(x.from)), x.p.Add(x.u.Scale(x.to)))
	})
	return c
}

// sideBySide is an edge p–q of one shape and r–s of another that run side by side, over the
// stretch of p–q from from to to, m along the unit vector u.
type sideBySide struct {
	p, q, r, s, u plane.Point
	from, to      float64
}

// abreast visits the edges of a and b that run parallel within tolM of each other.
func abreast(a, b []plane.Point, tolM float64, visit func(sideBySide)) {
	for i := range a {
		p, q := a[i], a[(i+1)%len(a)]
		length := p.Distance(q)
		if length < 1e-9 {
			continue
		}
		u := q.Sub(p).Scale(1 / length)
		for j := range b {
			r, s := b[j].Sub(p), b[(j+1)%len(b)].Sub(p)
			v := s.Sub(r)
			if v.Length() < 1e-9 || math.Abs(u.Cross(v.Unit())) > 0.05 || math.Abs(u.Cross(r.Add(s).Scale(0.5))) > tolM {
				continue
			}
			from, to := math.Max(math.Min(r.Dot(u), s.Dot(u)), 0), math.Min(math.Max(r.Dot(u), s.Dot(u)), length)
			if to-from > 1e-6 {
				visit(sideBySide{p, q, b[j], b[(j+1)%len(b)], u, from, to})
			}
		}
	}
}

// nearest returns the point of a shape's outline closest to p, and its distance;
// a point inside is at distance 0 from itself.
func nearest(shape []plane.Point, p plane.Point) (plane.Point, float64) {
	best, distance := shape[0], math.Inf(1)
	inside := false
	for i, a := range shape {
		b := shape[(i+1)%len(shape)]
		ab := b.Sub(a)
		t := 0.0
		if l := ab.Dot(ab); l > 0 {
			t = math.Max(0, math.Min(1, p.Sub(a).Dot(ab)/l))
		}
		at := a.Add(ab.Scale(t))
		if d := at.Distance(p); d < distance {
			best, distance = at, d
		}
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	if inside {
		return p, 0
	}
	return best, distance
}
