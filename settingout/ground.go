package settingout

import (
	"fmt"
	"math"

	"github.com/peterstace/simplefeatures/geom"

	"gelwright/plane"
	"gelwright/roof"
)

// chordToleranceM is how far a chord may leave the arc it stands for.
const chordToleranceM = 0.002

// side is one straight stretch of the outline with the edge it belongs to.
type side struct {
	a, b plane.Point
	edge int
}

// sidesOf returns the outline, anticlockwise, as straight stretches.
func sidesOf(outline plane.Ring, toleranceM float64) []side {
	var out []side
	for i := range outline {
		e := outline.Edge(i)
		if e.Straight() {
			out = append(out, side{e.A, e.B, i})
			continue
		}
		n := 2
		r, a := e.Arc()
		if step := 2 * math.Acos(1-min(toleranceM, r/2)/r); step > 0 {
			n = min(max(int(math.Ceil(a/step)), 2), 512)
		}
		for k := 0; k < n; k++ {
			out = append(out, side{e.At(float64(k) / float64(n)), e.At(float64(k+1) / float64(n)), i})
		}
	}
	return out
}

// insetOutline moves every side inward by its own distance (m) and returns the
// loop through the new corners.
func insetOutline(sides []side, byM func(edge int) float64) loop {
	var out loop
	n := len(sides)
	for i := range sides {
		p, q := sides[(i+n-1)%n], sides[i]
		dp, dq := p.b.Sub(p.a).Unit(), q.b.Sub(q.a).Unit()
		hp, hq := byM(p.edge), byM(q.edge)
		corner := q.a
		if hp == 0 && hq == 0 {
			out = append(out, corner)
			continue
		}
		ap, aq := corner.Add(dp.Left().Scale(hp)), corner.Add(dq.Left().Scale(hq))
		cross := dp.Cross(dq)
		if math.Abs(cross) < 1e-6 {
			out = append(out, ap)
			if math.Abs(hp-hq) > 1e-9 {
				out = append(out, aq)
			}
			continue
		}
		t := aq.Sub(ap).Cross(dq) / cross
		out = append(out, ap.Add(dp.Scale(t)))
	}
	return tidy(out)
}

// netDeck returns the deck less its openings, its outline moved inward by byM,
// each opening grown by growM, and less the slots of movement joints.
func netDeck(d roof.Deck, byM func(edge int) float64, growM func(o roof.Opening) float64, slots []loop) (region, error) {
	outer := insetOutline(sidesOf(d.Outline, chordToleranceM), byM)
	if outer.area() <= 0 {
		return nil, fmt.Errorf("deck %q: the outline has no area or runs clockwise: give its corners anticlockwise", d.Name)
	}
	whole, err := polygonOf(outer)
	if err != nil {
		return nil, fmt.Errorf("deck %q: outline: %w", d.Name, err)
	}
	net := whole.AsGeometry()
	for _, o := range d.Openings {
		grow := growM(o)
		ring := o.Outline
		if ring.SignedArea() < 0 {
			ring = ring.Reversed()
		}
		l := insetOutline(sidesOf(ring, chordToleranceM), func(int) float64 { return -grow })
		hole, err := polygonOf(l)
		if err != nil {
			return nil, fmt.Errorf("deck %q, opening %q: %w", d.Name, o.Name, err)
		}
		net, err = geom.Difference(net, hole.AsGeometry())
		if err != nil {
			return nil, fmt.Errorf("deck %q, opening %q: cannot be taken out of the deck: %w", d.Name, o.Name, err)
		}
	}
	for _, l := range slots {
		slot, err := polygonOf(l)
		if err != nil {
			return nil, fmt.Errorf("deck %q, movement joint: %w", d.Name, err)
		}
		net, err = geom.Difference(net, slot.AsGeometry())
		if err != nil {
			return nil, fmt.Errorf("deck %q: a movement joint cannot be taken out of the deck: %w", d.Name, err)
		}
	}
	return regionOf(net), nil
}

func polygonOf(l loop) (geom.Polygon, error) {
	flat := make([]float64, 0, 2*len(l)+2)
	for _, p := range l {
		flat = append(flat, p.X, p.Y)
	}
	if len(l) > 0 {
		flat = append(flat, l[0].X, l[0].Y)
	}
	poly := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))})
	if err := poly.Validate(); err != nil {
		return poly, fmt.Errorf("the outline crosses or touches itself: %w", err)
	}
	return poly, nil
}

// regionOf turns the polygons of a geometry into loops with the interior on the left.
func regionOf(g geom.Geometry) region {
	var out region
	add := func(p geom.Polygon) {
		p = p.ForceCCW()
		for i := -1; i < p.NumInteriorRings(); i++ {
			ring := p.ExteriorRing()
			if i >= 0 {
				ring = p.InteriorRingN(i)
			}
			seq := ring.Coordinates()
			var l loop
			for k := 0; k+1 < seq.Length(); k++ {
				xy := seq.GetXY(k)
				l = append(l, plane.Point{X: xy.X, Y: xy.Y})
			}
			if l = tidy(l); len(l) >= 3 {
				out = append(out, l)
			}
		}
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
			out = append(out, regionOf(c.GeometryN(i))...)
		}
	}
	return out
}

// foldLines are the lines over which boards are bandaged wide: ridge, hip or valley.
// Movement joints part the deck before it comes to them.
func foldLines(d roof.Deck) [][2]plane.Point {
	var out [][2]plane.Point
	switch d.Falls.Kind {
	case plane.Ridge, plane.Hip, plane.Valley:
		if d.Falls.Line[0] != d.Falls.Line[1] {
			out = append(out, d.Falls.Line)
		}
	}
	return out
}

// bay is a part of the deck between fold lines.
type bay struct {
	region region
}

// baysOf splits a region at lines, leaving gapM between the sides.
func baysOf(r region, lines [][2]plane.Point, gapM float64) []bay {
	var bays []bay
	for _, p := range r.parts() {
		bays = append(bays, bay{p.region()})
	}
	for _, line := range lines {
		var next []bay
		n := line[1].Sub(line[0]).Unit().Left()
		c := n.Dot(line[0])
		for _, b := range bays {
			if !runsThrough(b.region, line) {
				next = append(next, b)
				continue
			}
			for _, half := range []region{b.region.halfPlane(n, c+gapM/2), b.region.halfPlane(n.Scale(-1), -c+gapM/2)} {
				for _, p := range half.parts() {
					next = append(next, bay{p.region()})
				}
			}
		}
		bays = next
	}
	return bays
}

// runsThrough reports whether the line has a stretch of 0.1 m or more inside the region.
func runsThrough(r region, line [2]plane.Point) bool {
	length := line[0].Distance(line[1])
	steps := int(math.Ceil(length/0.05)) + 1
	d := line[1].Sub(line[0]).Scale(1 / float64(steps))
	n := d.Unit().Left().Scale(0.01)
	run := 0
	for i := 0; i < steps; i++ {
		p := line[0].Add(d.Scale(float64(i) + 0.5))
		if r.contains(p.Add(n)) && r.contains(p.Sub(n)) {
			if run++; float64(run)*d.Length() >= 0.1 {
				return true
			}
		} else {
			run = 0
		}
	}
	return false
}
