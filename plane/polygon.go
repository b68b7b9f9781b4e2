package plane

import (
	"fmt"
	"math"

	"github.com/peterstace/simplefeatures/geom"
)

// ChordToleranceM is the usual distance, m, that chords may leave an arc: 1 mm is
// less than a saw kerf.
const ChordToleranceM = 0.001

// SnapM is the grid, m, that surveyed corners are rounded to: 0.1 mm.
const SnapM = 0.0001

// Polygon is an area with straight sides: the outer loop anticlockwise, holes
// clockwise, the interior always on the left, no closing point repeated.
// Coordinates are metres. The zero value is empty.
type Polygon struct {
	Outer Loop   `json:"outer"`
	Holes []Loop `json:"holes,omitempty"`
}

// PolygonOf returns the area inside outer and outside holes, arcs replaced by
// chords within toleranceM. Rings may run either way. An outline that is not
// valid is refused with its first fault; see Validate for all of them.
func PolygonOf(outer Ring, holes []Ring, toleranceM float64) (Polygon, error) {
	if faults := Validate(outer, holes); len(faults) > 0 {
		return Polygon{}, faults[0]
	}
	return chordPolygon(outer, holes, toleranceM), nil
}

// chordPolygon is PolygonOf without the check.
func chordPolygon(outer Ring, holes []Ring, toleranceM float64) Polygon {
	if outer.SignedArea() < 0 {
		outer = outer.Reversed()
	}
	p := Polygon{Outer: outer.Chords(toleranceM)}
	for _, h := range holes {
		if h.SignedArea() > 0 {
			h = h.Reversed()
		}
		p.Holes = append(p.Holes, h.Chords(toleranceM))
	}
	return p
}

// Net returns a deck less its openings, which may touch or cross its outline.
// The outline and every opening must be valid by themselves.
func Net(outer Ring, openings []Ring, toleranceM float64) ([]Polygon, error) {
	whole, err := PolygonOf(outer, nil, toleranceM)
	if err != nil {
		return nil, err
	}
	var holes []Polygon
	for i, o := range openings {
		h, err := PolygonOf(o, nil, toleranceM)
		if err != nil {
			return nil, fmt.Errorf("opening %d: %w", i, err)
		}
		holes = append(holes, h)
	}
	return Difference([]Polygon{whole}, holes)
}

// Region returns the polygon as loops, the outer one first.
func (p Polygon) Region() Region {
	return append(append(make(Region, 0, 1+len(p.Holes)), p.Outer), p.Holes...)
}

// sides calls f with every side, interior on its left.
func (p Polygon) sides(f func(a, b Point)) {
	p.Outer.sides(f)
	for _, h := range p.Holes {
		h.sides(f)
	}
}

// Area returns the area less the holes, m².
func (p Polygon) Area() float64 {
	sum := math.Abs(p.Outer.SignedArea())
	for _, h := range p.Holes {
		sum -= math.Abs(h.SignedArea())
	}
	return sum
}

// Perimeter returns the length of all sides, holes included, m.
func (p Polygon) Perimeter() float64 {
	var sum float64
	p.sides(func(a, b Point) { sum += a.Distance(b) })
	return sum
}

// Bounds returns the least rectangle around the polygon.
func (p Polygon) Bounds() (low, high Point) {
	return p.Outer.Bounds()
}

// Extent returns the least and greatest coordinate, m, along a unit direction.
func (p Polygon) Extent(along Point) (low, high float64) {
	return p.Outer.Extent(along)
}

// Contains reports whether q lies in the polygon; on a side either may be said.
func (p Polygon) Contains(q Point) bool {
	in := p.Outer.Contains(q)
	for _, h := range p.Holes {
		if h.Contains(q) {
			in = !in
		}
	}
	return in
}

// Centroid returns the centre of area. It may lie outside a bent or holed polygon.
func (p Polygon) Centroid() Point {
	if len(p.Outer) == 0 {
		return Point{}
	}
	o := p.Outer[0]
	var sum Point
	var twice float64
	p.sides(func(a, b Point) {
		a, b = a.Sub(o), b.Sub(o)
		c := a.Cross(b)
		sum = sum.Add(a.Add(b).Scale(c))
		twice += c
	})
	if twice == 0 {
		return o
	}
	return o.Add(sum.Scale(1 / (3 * twice)))
}

// A point inside is looked for on innerLines across, a little aside of even shares so that none runs along a side; a stretch
// must be innerBetter times longer to be taken for an earlier one.
const (
	innerLines  = 16
	innerAside  = 1e-4
	innerBetter = 1.0001
)

// Inner returns a point well inside the polygon: the middle of the longest
// stretch inside it on one of a few lines across it.
func (p Polygon) Inner() Point {
	low, high := p.Bounds()
	best, at := -1.0, p.Centroid()
	for k := 1; k < innerLines; k++ {
		y := low.Y + (high.Y-low.Y)*float64(k)/innerLines + (high.Y-low.Y)*innerAside
		for _, s := range p.ClipLine(Point{low.X - 1, y}, Point{high.X + 1, y}) {
			if l := s[0].Distance(s[1]); l > best*innerBetter {
				best, at = l, s[0].Add(s[1]).Scale(0.5)
			}
		}
	}
	return at
}

// TotalArea returns the sum of the areas, m².
func TotalArea(ps []Polygon) float64 {
	var sum float64
	for _, p := range ps {
		sum += p.Area()
	}
	return sum
}

// ContainsAny reports whether q lies in one of the polygons.
func ContainsAny(ps []Polygon, q Point) bool {
	for _, p := range ps {
		if p.Contains(q) {
			return true
		}
	}
	return false
}

// BoundsOf returns the least rectangle around all polygons.
func BoundsOf(ps []Polygon) (low, high Point) {
	low, high = nowhere()
	for _, p := range ps {
		l, h := p.Bounds()
		low, high = low.least(l), high.most(h)
	}
	return low, high
}

// Snap rounds a point to the grid of SnapM.
func (p Point) Snap() Point {
	return Point{math.Round(p.X/SnapM) * SnapM, math.Round(p.Y/SnapM) * SnapM}
}

// Snapped returns the ring with its corners on the grid of SnapM. Bulges stay.
func (r Ring) Snapped() Ring {
	out := make(Ring, len(r))
	for i, v := range r {
		out[i] = Vertex{v.Point.Snap(), v.Bulge}
	}
	return out
}

// NearOrigin returns the ring moved so that its bounds start in the first metre,
// and the move, in whole metres, that was taken off. Sums near the origin keep
// the digits that a national grid would eat.
func (r Ring) NearOrigin() (Ring, Point) {
	low, _ := r.Bounds()
	by := Point{math.Floor(low.X), math.Floor(low.Y)}
	if len(r) == 0 {
		by = Point{}
	}
	return r.Moved(by.Scale(-1)), by
}

// geometry turns the polygon, moved by −from, into one of simplefeatures.
func (p Polygon) geometry(from Point) geom.Geometry {
	var rings []geom.LineString
	for _, l := range p.Region() {
		if len(l) < 3 {
			continue
		}
		flat := make([]float64, 0, 2*len(l)+2)
		for i := 0; i <= len(l); i++ {
			q := l[i%len(l)].Sub(from)
			flat = append(flat, q.X, q.Y)
		}
		rings = append(rings, geom.NewLineString(geom.NewSequence(flat, geom.DimXY)))
	}
	return geom.NewPolygon(rings).AsGeometry()
}

// polygonsOf turns the areas of a geometry, moved by from, into polygons; points
// and lines, which cover nothing, are left out.
func polygonsOf(g geom.Geometry, from Point) []Polygon {
	var out []Polygon
	add := func(q geom.Polygon) {
		if q.IsEmpty() {
			return
		}
		q = q.ForceCCW()
		p := Polygon{Outer: pointsOf(q.ExteriorRing(), from)}
		for i := 0; i < q.NumInteriorRings(); i++ {
			p.Holes = append(p.Holes, pointsOf(q.InteriorRingN(i), from))
		}
		out = append(out, p)
	}
	switch {
	case g.IsPolygon():
		add(g.MustAsPolygon())
	case g.IsMultiPolygon():
		m := g.MustAsMultiPolygon()
		for i := 0; i < m.NumPolygons(); i++ {
			add(m.PolygonN(i))
		}
	case g.IsGeometryCollection():
		c := g.MustAsGeometryCollection()
		for i := 0; i < c.NumGeometries(); i++ {
			out = append(out, polygonsOf(c.GeometryN(i), from)...)
		}
	}
	return out
}

func pointsOf(l geom.LineString, from Point) Loop {
	seq := l.Coordinates()
	out := make(Loop, 0, seq.Length())
	for i := 0; i+1 < seq.Length(); i++ {
		xy := seq.GetXY(i)
		out = append(out, Point{xy.X, xy.Y}.Add(from))
	}
	return out
}
