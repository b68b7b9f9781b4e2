package wind

import (
	"math"

	"gelwright/plane"
)

// ZoneArea is a zone drawn on the plan.
type ZoneArea struct {
	Zone Zone
	Area []plane.Polygon
}

// Depths returns the depths of the zones for a roof seen b across the wind and h high:
// e = min(b, 2h); strips e/10 deep, corners e/4 long, the inner zone to e/2
// (EN 1991-1-4 figure 7.6). h is the roof's height without a parapet.
func Depths(bM, hM float64) (eM, stripM, cornerM, innerM float64) {
	e := math.Min(bM, 2*hM)
	return e, e / 10, e / 4, e / 2
}

// ZonesOn draws the zones on any outline as the envelope of all wind directions: a
// strip e/10 deep along every edge is G, its ends within e/4 of a convex corner are F,
// what lies within e/2 of an edge is H, the rest is I. For a rectangle each direction's
// zones lie within these. e is taken with the greater side across the wind.
func ZonesOn(net []plane.Polygon, outline plane.Ring, s Site) ([]ZoneArea, error) {
	low, high := plane.BoundsOf(net)
	_, strip, corner, inner := Depths(math.Max(high.X-low.X, high.Y-low.Y), s.HeightM)
	whole, err := plane.PolygonOf(outline, nil, plane.ChordToleranceM)
	if err != nil {
		return nil, err
	}
	core, err := deeper(whole, strip)
	if err != nil {
		return nil, err
	}
	field, err := deeper(whole, inner)
	if err != nil {
		return nil, err
	}
	edge, err := plane.Difference(net, core)
	if err != nil {
		return nil, err
	}
	var near []plane.Polygon
	for _, c := range outline.Corners() {
		if c.Kind == plane.External {
			near = append(near, quad(outline, c.Vertex, corner))
		}
	}
	corners, err := plane.Intersection(edge, near)
	if err != nil {
		return nil, err
	}
	strips, err := plane.Difference(edge, near)
	if err != nil {
		return nil, err
	}
	middle, err := plane.Intersection(net, core)
	if err != nil {
		return nil, err
	}
	h, err := plane.Difference(middle, field)
	if err != nil {
		return nil, err
	}
	i, err := plane.Intersection(net, field)
	if err != nil {
		return nil, err
	}
	return []ZoneArea{{Corner, corners}, {Perimeter, strips}, {Inner, h}, {Field, i}}, nil
}

// deeper is what of a deck lies farther than depthM from its rim. A deck narrower than
// two such depths has nothing there, which the offset of an arc cannot always tell.
func deeper(whole plane.Polygon, depthM float64) ([]plane.Polygon, error) {
	low, high := whole.Bounds()
	if math.Min(high.X-low.X, high.Y-low.Y) <= 2*depthM {
		return nil, nil
	}
	return whole.Inset(depthM)
}

// quad covers everything within reach of a corner along its two edges.
func quad(outline plane.Ring, vertex int, reachM float64) plane.Polygon {
	n := len(outline)
	v := outline[vertex].Point
	back := outline.Edge((vertex + n - 1) % n).Tangent(1).Scale(-reachM)
	on := outline.Edge(vertex).Tangent(0).Scale(reachM)
	p := plane.Polygon{Outer: []plane.Point{v, v.Add(on), v.Add(on).Add(back), v.Add(back)}}
	if p.Area() < 0 {
		p.Outer[1], p.Outer[3] = p.Outer[3], p.Outer[1]
	}
	return p
}
