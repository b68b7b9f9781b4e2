package plane

import (
	"fmt"
	"math"
	"sort"

	"github.com/peterstace/simplefeatures/geom"
)

// emptyM2 is the area below which a piece is rounding and not material: a
// square of 0.01 mm.
const emptyM2 = 1e-10

// Union returns the area covered by any of the polygons.
func Union(ps []Polygon) ([]Polygon, error) {
	if len(ps) == 0 {
		return nil, nil
	}
	from := originOf(ps)
	g, err := unionGeometry(ps, from)
	if err != nil {
		return nil, err
	}
	return tidyPolygons(polygonsOf(g, from)), nil
}

// Intersection returns the area covered both by one of a and by one of b.
func Intersection(a, b []Polygon) ([]Polygon, error) {
	return overlay("intersection", geom.Intersection, a, b)
}

// Difference returns the area of a that none of b covers.
func Difference(a, b []Polygon) ([]Polygon, error) {
	return overlay("difference", geom.Difference, a, b)
}

func overlay(name string, op func(a, b geom.Geometry) (geom.Geometry, error), a, b []Polygon) ([]Polygon, error) {
	from := originOf(a)
	ga, err := unionGeometry(a, from)
	if err != nil {
		return nil, err
	}
	gb, err := unionGeometry(b, from)
	if err != nil {
		return nil, err
	}
	g, err := op(ga, gb)
	if err != nil {
		return nil, fmt.Errorf("%s of areas: %w", name, err)
	}
	return tidyPolygons(polygonsOf(g, from)), nil
}

// originOf returns the whole-metre corner that overlays are worked about.
func originOf(ps []Polygon) Point {
	low, _ := BoundsOf(ps)
	if math.IsInf(low.X, 0) || math.IsNaN(low.X) || math.IsInf(low.Y, 0) || math.IsNaN(low.Y) {
		return Point{}
	}
	return Point{math.Floor(low.X), math.Floor(low.Y)}
}

func unionGeometry(ps []Polygon, from Point) (geom.Geometry, error) {
	var gs []geom.Geometry
	for _, p := range ps {
		if len(p.Outer) < 3 {
			continue
		}
		g := p.geometry(from)
		if err := g.Validate(); err != nil {
			return geom.Geometry{}, fmt.Errorf("an area is not a proper polygon: %w", err)
		}
		gs = append(gs, g)
	}
	switch len(gs) {
	case 0:
		return geom.Geometry{}, nil
	case 1:
		return gs[0], nil
	}
	g, err := geom.UnionMany(gs)
	if err != nil {
		return geom.Geometry{}, fmt.Errorf("union of areas: %w", err)
	}
	return g, nil
}

// tidyPolygons drops what is only rounding and puts the rest in a fixed order:
// by the low left corner, each loop starting at its lowest leftmost point.
func tidyPolygons(ps []Polygon) []Polygon {
	out := ps[:0]
	for _, p := range ps {
		if p.Area() <= emptyM2 {
			continue
		}
		startLow(p.Outer)
		holes := p.Holes[:0]
		for _, h := range p.Holes {
			if math.Abs(loopArea(h)) > emptyM2 {
				startLow(h)
				holes = append(holes, h)
			}
		}
		p.Holes = holes
		sort.SliceStable(p.Holes, func(i, j int) bool { return before(p.Holes[i][0], p.Holes[j][0]) })
		out = append(out, p)
	}
	sort.SliceStable(out, func(i, j int) bool { return before(out[i].Outer[0], out[j].Outer[0]) })
	return out
}

func before(a, b Point) bool {
	if a.X != b.X {
		return a.X < b.X
	}
	return a.Y < b.Y
}

// startLow turns a loop round in place so that it starts at its first point in order.
func startLow(l []Point) {
	at := 0
	for i := range l {
		if before(l[i], l[at]) {
			at = i
		}
	}
	if at == 0 {
		return
	}
	copy(l, append(append([]Point(nil), l[at:]...), l[:at]...))
}
