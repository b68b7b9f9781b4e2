package plane

// Moved returns the ring shifted by d.
func (r Ring) Moved(d Point) Ring {
	out := make(Ring, len(r))
	for i, v := range r {
		out[i] = Vertex{v.Point.Add(d), v.Bulge}
	}
	return out
}

// Turned returns the ring turned anticlockwise by angleRad about centre.
func (r Ring) Turned(centre Point, angleRad float64) Ring {
	out := make(Ring, len(r))
	for i, v := range r {
		out[i] = Vertex{centre.Add(turn(v.Point.Sub(centre), angleRad)), v.Bulge}
	}
	return out
}

// Mirrored returns the ring mirrored in the line through a and b, run the other
// way so that an anticlockwise outline stays anticlockwise. Edge i of the result
// is the image of edge n−2−i (modulo n). Equal a and b mirror nothing.
func (r Ring) Mirrored(a, b Point) Ring {
	u := b.Sub(a).Unit()
	if u == (Point{}) {
		return append(Ring(nil), r...)
	}
	out := make(Ring, len(r))
	for i, v := range r {
		d := v.Point.Sub(a)
		out[i] = Vertex{a.Add(u.Scale(2 * u.Dot(d))).Sub(d), -v.Bulge}
	}
	return out.Reversed()
}

// Moved returns the polygon shifted by d.
func (p Polygon) Moved(d Point) Polygon {
	return p.mapped(func(q Point) Point { return q.Add(d) })
}

// Turned returns the polygon turned anticlockwise by angleRad about centre.
func (p Polygon) Turned(centre Point, angleRad float64) Polygon {
	return p.mapped(func(q Point) Point { return centre.Add(turn(q.Sub(centre), angleRad)) })
}

func (p Polygon) mapped(f func(Point) Point) Polygon {
	var out Polygon
	for i, l := range p.Region() {
		m := make([]Point, len(l))
		for k, q := range l {
			m[k] = f(q)
		}
		if i == 0 {
			out.Outer = m
		} else {
			out.Holes = append(out.Holes, m)
		}
	}
	return out
}
