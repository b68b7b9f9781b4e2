package plane

import "math"

// Point is a place on the roof plan, in metres.
type Point struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Scale returns p·k.
func (p Point) Scale(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p × q: positive when q lies to the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Length returns the distance of p from the origin, m.
func (p Point) Length() float64 { return math.Hypot(p.X, p.Y) }

// Distance returns the distance between p and q, m.
func (p Point) Distance(q Point) float64 { return p.Sub(q).Length() }

// Unit returns p scaled to length 1; the zero point stays zero.
func (p Point) Unit() Point {
	l := p.Length()
	if l == 0 {
		return Point{}
	}
	return p.Scale(1 / l)
}

// Left returns p turned a quarter anticlockwise.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Edge is one side of an outline, from A to B. Bulge is the tangent of a quarter
// of the arc's included angle, as drawing exchange files use it: 0 is straight,
// positive curves to the right of the way from A to B (outward on an
// anticlockwise outline), 1 is a half circle.
type Edge struct {
	A, B  Point
	Bulge float64
}

// Straight reports whether the edge is a straight line.
func (e Edge) Straight() bool { return e.Bulge == 0 }

// flat reports whether the edge stays within a micrometre of its chord, where the
// centre of its arc is too far off to reckon with.
func (e Edge) flat() bool { return math.Abs(e.Bulge)*e.Chord()/2 < 1e-6 }

// Chord returns the straight distance between the ends, m.
func (e Edge) Chord() float64 { return e.A.Distance(e.B) }

// Arc returns the radius (m) and included angle (radians) of an arc edge.
// A straight edge has radius +Inf and angle 0.
func (e Edge) Arc() (radiusM, angleRad float64) {
	if e.Bulge == 0 {
		return math.Inf(1), 0
	}
	b := math.Abs(e.Bulge)
	angleRad = 4 * math.Atan(b)
	radiusM = e.Chord() * (1 + b*b) / (4 * b)
	return radiusM, angleRad
}

// Centre returns the centre of an arc edge. It has no meaning for a straight one.
func (e Edge) Centre() Point {
	mid := e.A.Add(e.B).Scale(0.5)
	along := e.B.Sub(e.A)
	// Sagitta s = b·c/2 to the right; the centre lies R − s to the left of the chord.
	b := e.Bulge
	d := e.Chord() * (1 - b*b) / (4 * b)
	return mid.Add(along.Unit().Left().Scale(d))
}

// Length returns the true length along the edge, m.
func (e Edge) Length() float64 {
	if e.Bulge == 0 {
		return e.Chord()
	}
	r, a := e.Arc()
	return r * a
}

// segmentArea returns the signed area between arc and chord, m²: positive where
// the arc adds to an anticlockwise outline.
func (e Edge) segmentArea() float64 {
	if e.Bulge == 0 {
		return 0
	}
	if b := e.Bulge; math.Abs(b) < 0.001 {
		// The series of the same, for a − sin a cancels in a flat arc.
		c := e.Chord()
		return c * c * b / 3 * (1 + b*b/5)
	}
	r, a := e.Arc()
	return math.Copysign(r*r*(a-math.Sin(a))/2, e.Bulge)
}

// At returns the point at fraction t (0 to 1) of the length of the edge.
//
// A point of an arc is found by the chord to it, of length c·sin(tφ)/sin φ with φ
// half the included angle: the centre of a very flat arc is too far off to use.
func (e Edge) At(t float64) Point {
	along := e.B.Sub(e.A)
	if e.Bulge == 0 {
		return e.A.Add(along.Scale(t))
	}
	half := 2 * math.Atan(e.Bulge)
	k := t
	if s := math.Sin(half); math.Abs(half) > 1e-7 {
		k = math.Sin(t*half) / s
	}
	return e.A.Add(turn(along.Scale(k), -(1-t)*half))
}

// Tangent returns the unit direction of travel at fraction t of the edge.
func (e Edge) Tangent(t float64) Point {
	return turn(e.B.Sub(e.A).Unit(), -(1-2*t)*2*math.Atan(e.Bulge))
}

// turn rotates v anticlockwise by angle (radians).
func turn(v Point, angle float64) Point {
	s, c := math.Sincos(angle)
	return Point{c*v.X - s*v.Y, s*v.X + c*v.Y}
}

// Vertex is a corner of an outline with the bulge of the edge that leaves it.
type Vertex struct {
	Point
	Bulge float64 `json:"bulge,omitempty"`
}

// Ring is a closed outline. Edge i runs from vertex i to vertex i+1, the last
// one back to vertex 0. The closing vertex is not repeated.
type Ring []Vertex

// RingOf returns a ring of straight edges through the points.
func RingOf(points ...Point) Ring {
	r := make(Ring, len(points))
	for i, p := range points {
		r[i].Point = p
	}
	return r
}

// Rectangle returns the ring of an axis-parallel rectangle.
func Rectangle(x0, y0, x1, y1 float64) Ring {
	return RingOf(Point{x0, y0}, Point{x1, y0}, Point{x1, y1}, Point{x0, y1})
}

// Circle returns a circle as two half-circle edges.
func Circle(centre Point, radiusM float64) Ring {
	return Ring{
		{Point: Point{centre.X - radiusM, centre.Y}, Bulge: 1},
		{Point: Point{centre.X + radiusM, centre.Y}, Bulge: 1},
	}
}

// Edge returns edge i.
func (r Ring) Edge(i int) Edge {
	a, b := r[i], r[(i+1)%len(r)]
	return Edge{A: a.Point, B: b.Point, Bulge: a.Bulge}
}

// SignedArea returns the exact area, m²: positive when anticlockwise. The corner
// sum is taken about the first corner, so that a survey far from the origin
// loses no digits.
func (r Ring) SignedArea() float64 {
	if len(r) == 0 {
		return 0
	}
	var twice, arcs float64
	o := r[0].Point
	for i := range r {
		e := r.Edge(i)
		twice += e.A.Sub(o).Cross(e.B.Sub(o))
		arcs += e.segmentArea()
	}
	return twice/2 + arcs
}

// Area returns the exact area, m².
func (r Ring) Area() float64 { return math.Abs(r.SignedArea()) }

// Perimeter returns the length of all edges, m.
func (r Ring) Perimeter() float64 {
	var sum float64
	for i := range r {
		sum += r.Edge(i).Length()
	}
	return sum
}

// Reversed returns the ring run the other way.
func (r Ring) Reversed() Ring {
	n := len(r)
	out := make(Ring, n)
	for i := range r {
		// Vertex i of the result is vertex n−1−i; its edge is the old edge n−2−i, reversed.
		out[i] = Vertex{Point: r[n-1-i].Point, Bulge: -r[(2*n-2-i)%n].Bulge}
	}
	return out
}

// Chords returns the ring as points, arcs replaced by chords that lie within
// toleranceM of the arc. Straight edges give their corners only.
func (r Ring) Chords(toleranceM float64) []Point {
	var out []Point
	for i := range r {
		e := r.Edge(i)
		out = append(out, e.A)
		if e.Straight() {
			continue
		}
		n := chordCount(e, toleranceM)
		for k := 1; k < n; k++ {
			out = append(out, e.At(float64(k)/float64(n)))
		}
	}
	return out
}

// mostChordsOfEdge bounds the chords of one arc.
const mostChordsOfEdge = 4096

// chordCount returns how many equal chords keep the sagitta below toleranceM.
func chordCount(e Edge, toleranceM float64) int {
	r, a := e.Arc()
	if toleranceM >= r {
		toleranceM = r / 2
	}
	step := 2 * math.Acos(1-toleranceM/r)
	if !(step > 0) {
		return 1
	}
	n := int(math.Ceil(a / step))
	return min(max(n, 2), mostChordsOfEdge)
}

// Bounds returns the least rectangle around the true outline, arcs included.
func (r Ring) Bounds() (low, high Point) {
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	take := func(p Point) {
		low = Point{min(low.X, p.X), min(low.Y, p.Y)}
		high = Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	for i := range r {
		e := r.Edge(i)
		take(e.A)
		if e.flat() {
			continue
		}
		c := e.Centre()
		radius, a := e.Arc()
		start := e.A.Sub(c)
		for _, q := range []Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			// Angle from the start to the quadrant point, in the direction of travel.
			turned := math.Atan2(start.Cross(q), start.Dot(q))
			if e.Bulge < 0 {
				turned = -turned
			}
			if turned < 0 {
				turned += 2 * math.Pi
			}
			if turned <= a {
				take(c.Add(q.Scale(radius)))
			}
		}
	}
	return low, high
}
