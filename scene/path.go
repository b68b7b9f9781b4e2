package scene

import "math"

// Point is a place on the sheet, mm from its lower left corner.
type Point struct{ X, Y float64 }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Scale returns p·k.
func (p Point) Scale(k float64) Point { return Point{p.X * k, p.Y * k} }

// Length returns the distance from the origin, mm.
func (p Point) Length() float64 { return math.Hypot(p.X, p.Y) }

// Distance returns the distance between two points, mm.
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

// Dot returns the scalar product.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross is positive when q lies to the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Turned returns p turned anticlockwise about the origin by deg degrees.
func (p Point) Turned(deg float64) Point {
	s, c := math.Sincos(deg * math.Pi / 180)
	return Point{c*p.X - s*p.Y, s*p.X + c*p.Y}
}

// AngleDeg returns the direction of p, degrees anticlockwise from +x.
func (p Point) AngleDeg() float64 { return math.Atan2(p.Y, p.X) * 180 / math.Pi }

// Vertex is a corner with the bulge of the segment that leaves it: the tangent
// of a quarter of the arc's angle, positive when the arc turns anticlockwise.
type Vertex struct {
	Point
	Bulge float64
}

// Path is a chain of straight and arc segments, open or closed.
type Path struct {
	Vertices []Vertex
	Closed   bool
}

// Polyline returns an open path through the points.
func Polyline(points ...Point) Path {
	p := Path{Vertices: make([]Vertex, len(points))}
	for i, q := range points {
		p.Vertices[i].Point = q
	}
	return p
}

// Polygon returns a closed path through the points.
func Polygon(points ...Point) Path {
	p := Polyline(points...)
	p.Closed = true
	return p
}

// Rect returns the closed rectangle between two opposite corners.
func Rect(x0, y0, x1, y1 float64) Path {
	return Polygon(Point{x0, y0}, Point{x1, y0}, Point{x1, y1}, Point{x0, y1})
}

// Circle returns a circle as two half circles.
func Circle(centre Point, radiusMM float64) Path {
	return Path{Closed: true, Vertices: []Vertex{
		{Point{centre.X - radiusMM, centre.Y}, 1},
		{Point{centre.X + radiusMM, centre.Y}, 1},
	}}
}

// Arc returns an open arc that starts at startDeg (anticlockwise from +x) and
// turns through sweepDeg, which may be negative and is less than a full turn.
func Arc(centre Point, radiusMM, startDeg, sweepDeg float64) Path {
	a := centre.Add(Point{radiusMM, 0}.Turned(startDeg))
	b := centre.Add(Point{radiusMM, 0}.Turned(startDeg + sweepDeg))
	return Path{Vertices: []Vertex{{a, math.Tan(sweepDeg * math.Pi / 720)}, {b, 0}}}
}

// Segment is one piece of a path.
type Segment struct {
	A, B  Point
	Bulge float64
}

// Segments returns the pieces in order; a closed path ends where it began.
func (p Path) Segments() []Segment {
	n := len(p.Vertices)
	if n < 2 {
		return nil
	}
	out := make([]Segment, 0, n)
	for i := 0; i+1 < n; i++ {
		out = append(out, Segment{p.Vertices[i].Point, p.Vertices[i+1].Point, p.Vertices[i].Bulge})
	}
	if p.Closed {
		out = append(out, Segment{p.Vertices[n-1].Point, p.Vertices[0].Point, p.Vertices[n-1].Bulge})
	}
	return out
}

// Circle returns centre, radius (mm), start angle and sweep (radians, positive
// anticlockwise) of an arc segment. It has no meaning for a straight one.
func (s Segment) Circle() (centre Point, radiusMM, startRad, sweepRad float64) {
	chord := s.B.Sub(s.A)
	c := chord.Length()
	b := s.Bulge
	centre = s.A.Add(s.B).Scale(0.5).Add(chord.Unit().Left().Scale(c * (1 - b*b) / (4 * b)))
	radiusMM = c * (1 + b*b) / (4 * math.Abs(b))
	v := s.A.Sub(centre)
	return centre, radiusMM, math.Atan2(v.Y, v.X), 4 * math.Atan(b)
}

// Length returns the length along the segment, mm.
func (s Segment) Length() float64 {
	if s.Bulge == 0 {
		return s.A.Distance(s.B)
	}
	_, r, _, sweep := s.Circle()
	return r * math.Abs(sweep)
}

// chords returns the points after A, the last being B, within toleranceMM of the arc.
func (s Segment) chords(toleranceMM float64) []Point {
	if s.Bulge == 0 || s.A == s.B {
		return []Point{s.B}
	}
	c, r, a0, sweep := s.Circle()
	step := 2 * math.Acos(1-math.Min(toleranceMM/r, 0.5))
	n := min(max(int(math.Ceil(math.Abs(sweep)/step)), 2), 720)
	out := make([]Point, 0, n)
	for k := 1; k < n; k++ {
		sin, cos := math.Sincos(a0 + sweep*float64(k)/float64(n))
		out = append(out, Point{c.X + r*cos, c.Y + r*sin})
	}
	return append(out, s.B)
}

// Points returns the path as points with arcs replaced by chords within
// toleranceMM. A closed path does not repeat its first point.
func (p Path) Points(toleranceMM float64) []Point {
	if len(p.Vertices) == 0 {
		return nil
	}
	out := []Point{p.Vertices[0].Point}
	for _, s := range p.Segments() {
		out = append(out, s.chords(toleranceMM)...)
	}
	if p.Closed && len(out) > 1 {
		out = out[:len(out)-1]
	}
	return out
}

// Reversed returns the path run the other way.
func (p Path) Reversed() Path {
	n := len(p.Vertices)
	out := Path{Vertices: make([]Vertex, n), Closed: p.Closed}
	for i := range p.Vertices {
		out.Vertices[i] = Vertex{p.Vertices[n-1-i].Point, -p.Vertices[(2*n-2-i)%n].Bulge}
	}
	return out
}

// SignedArea of a closed path in chords, mm²; positive when anticlockwise.
func (p Path) SignedArea() float64 {
	pts := p.Points(chordToleranceMM)
	var twice float64
	for i, a := range pts {
		twice += a.Cross(pts[(i+1)%len(pts)])
	}
	return twice / 2
}

// chordToleranceMM is finer than any pen of ISO 128.
const chordToleranceMM = 0.02

// Box is an upright rectangle on the sheet. The zero Box is empty.
type Box struct {
	Low, High Point
	Set       bool
}

// Take returns the box grown to hold p.
func (b Box) Take(p Point) Box {
	if !b.Set {
		return Box{p, p, true}
	}
	return Box{Point{min(b.Low.X, p.X), min(b.Low.Y, p.Y)}, Point{max(b.High.X, p.X), max(b.High.Y, p.Y)}, true}
}

// Join returns the box around both.
func (b Box) Join(c Box) Box {
	if !c.Set {
		return b
	}
	return b.Take(c.Low).Take(c.High)
}

// Width and Height in mm.
func (b Box) Width() float64  { return b.High.X - b.Low.X }
func (b Box) Height() float64 { return b.High.Y - b.Low.Y }

// Centre of the box.
func (b Box) Centre() Point { return b.Low.Add(b.High).Scale(0.5) }

// Grown returns the box with mm more on every side.
func (b Box) Grown(mm float64) Box {
	return Box{b.Low.Sub(Point{mm, mm}), b.High.Add(Point{mm, mm}), b.Set}
}
