package tracing

import (
	"fmt"
	"math"
	"slices"

	"gelwright/plane"
)

// placing is where a block stands: x' = xx·x + xy·y + x0, y' = yx·x + yy·y + y0.
type placing struct{ xx, xy, yx, yy, x0, y0 float64 }

func (p placing) at(q plane.Point) plane.Point {
	return plane.Point{X: p.xx*q.X + p.xy*q.Y + p.x0, Y: p.yx*q.X + p.yy*q.Y + p.y0}
}

// after is p after q.
func (p placing) after(q placing) placing {
	return placing{p.xx*q.xx + p.xy*q.yx, p.xx*q.xy + p.xy*q.yy, p.yx*q.xx + p.yy*q.yx, p.yx*q.xy + p.yy*q.yy,
		p.xx*q.x0 + p.xy*q.y0 + p.x0, p.yx*q.x0 + p.yy*q.y0 + p.y0}
}

// turns is −1 where the placing turns the drawing over; round reports whether circles stay circles.
func (p placing) turns() float64 {
	if p.xx*p.yy-p.xy*p.yx < 0 {
		return -1
	}
	return 1
}

func (p placing) round() bool {
	a, b := math.Hypot(p.xx, p.yx), math.Hypot(p.xy, p.yy)
	return math.Abs(a-b) < 1e-6*(a+b) && math.Abs(p.xx*p.xy+p.yx*p.yy) < 1e-6*a*b
}

// collector gathers what a drawing holds.
type collector struct {
	d      *drawing
	only   string
	layers map[string]bool
	loops  []loop
	loose  []piece
	left   []Left
	taken  int
}

func (c *collector) named() []string {
	var out []string
	for l := range c.layers {
		out = append(out, l)
	}
	slices.Sort(out)
	return out
}

// deepest is how deep blocks may stand in blocks, and mostTaken how many entities may come of that.
const (
	deepest   = 16
	mostTaken = 200000
)

// silent are the kinds of entity that bear no outline and need no word: lettering, dimensions, points, hatching.
var silent = map[string]bool{"TEXT": true, "MTEXT": true, "DIMENSION": true, "POINT": true, "HATCH": true, "VIEWPORT": true, "ATTDEF": true,
	"ATTRIB": true, "LEADER": true, "SOLID": true}

// take takes entities where a block places them; the layer of the block stands for layer 0.
func (c *collector) take(list []entity, at placing, depth int, outer string) {
	for i := range list {
		e := &list[i]
		if c.taken++; c.taken > mostTaken {
			return
		}
		layer := e.text(8)
		if layer == "" || layer == "0" && outer != "" {
			layer = outer
		}
		if e.kind == "INSERT" {
			c.insert(e, at, depth, layer)
			continue
		}
		if silent[e.kind] {
			continue
		}
		c.layers[layer] = true
		if c.only != "" && layer != c.only {
			continue
		}
		here := at
		if e.get(230, 1) < 0 {
			// Drawn seen from below: its x runs the other way.
			here = at.after(placing{xx: -1, yy: 1})
		}
		if what := c.draw(e, here, layer); what != "" {
			c.left = append(c.left, Left{e.line, what})
		}
	}
}

// draw takes one entity; what it cannot take it names.
func (c *collector) draw(e *entity, at placing, layer string) string {
	switch e.kind {
	case "LINE":
		c.side(at, plane.Point{X: e.get(10, 0), Y: e.get(20, 0)}, plane.Point{X: e.get(11, 0), Y: e.get(21, 0)}, 0, layer, e.line)
		return ""
	case "LWPOLYLINE":
		return c.polyline(at, e.corners(), e.flag(70, 1), layer, e.line)
	case "POLYLINE":
		if e.flag(70, 16) || e.flag(70, 64) {
			return "a POLYLINE that is a mesh"
		}
		var ring plane.Ring
		for i := range e.vertices {
			if v := &e.vertices[i]; !v.flag(70, 16) {
				ring = append(ring, plane.Vertex{Point: plane.Point{X: v.get(10, 0), Y: v.get(20, 0)}, Bulge: v.get(42, 0)})
			}
		}
		return c.polyline(at, ring, e.flag(70, 1), layer, e.line)
	case "ARC", "CIRCLE":
		return c.arc(e, at, layer)
	}
	return fmt.Sprintf("%.30s is not understood", e.kind)
}

// corners of a LWPOLYLINE: each 10 begins one.
func (e *entity) corners() plane.Ring {
	var ring plane.Ring
	for i := range e.groups {
		g := &e.groups[i]
		x, ok := g.number()
		switch {
		case g.code == 10 && ok:
			ring = append(ring, plane.Vertex{Point: plane.Point{X: x}})
		case g.code == 20 && ok && len(ring) > 0:
			ring[len(ring)-1].Y = x
		case g.code == 42 && ok && len(ring) > 0:
			ring[len(ring)-1].Bulge = x
		}
	}
	return ring
}

func (c *collector) side(at placing, a, b plane.Point, bulge float64, layer string, line int) {
	p := piece{at.at(a), at.at(b), bulge * at.turns(), layer, line}
	if p.a.Distance(p.b) >= joinM {
		c.loose = append(c.loose, p)
	}
}

func (c *collector) polyline(at placing, ring plane.Ring, closed bool, layer string, line int) string {
	if len(ring) < 2 {
		return "a line of no length"
	}
	for i := range ring {
		if ring[i].Bulge != 0 && !at.round() {
			return "an arc in a block that is scaled unevenly"
		}
	}
	if n := len(ring); !closed && ring[0].Point.Distance(ring[n-1].Point)*math.Hypot(at.xx, at.yx) < joinM && n > 2 {
		ring, closed = ring[:n-1], true
	}
	if !closed {
		for i := range len(ring) - 1 {
			c.side(at, ring[i].Point, ring[i+1].Point, ring[i].Bulge, layer, line)
		}
		return ""
	}
	out := make(plane.Ring, len(ring))
	for i, v := range ring {
		out[i] = plane.Vertex{Point: at.at(v.Point), Bulge: v.Bulge * at.turns()}
	}
	c.loops = append(c.loops, loop{ring: out, layer: layer, line: line})
	return ""
}

// arc takes an ARC, anticlockwise from its first to its second angle, or a CIRCLE.
func (c *collector) arc(e *entity, at placing, layer string) string {
	if !at.round() {
		return "an arc in a block that is scaled unevenly"
	}
	centre, r := plane.Point{X: e.get(10, 0), Y: e.get(20, 0)}, e.get(40, 0)
	if r <= 0 {
		return "an arc without a radius"
	}
	point := func(deg float64) plane.Point {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return centre.Add(plane.Point{X: r * cos, Y: r * sin})
	}
	if e.kind == "CIRCLE" {
		ring := plane.Ring{{Point: at.at(point(0)), Bulge: at.turns()}, {Point: at.at(point(180)), Bulge: at.turns()}}
		c.loops = append(c.loops, loop{ring: ring, round: true, layer: layer, line: e.line})
		return ""
	}
	from, to := e.get(50, 0), e.get(51, 0)
	sweep := math.Mod(to-from, 360)
	if sweep <= 0 {
		sweep += 360
	}
	// No arc is more than half a circle.
	parts := 1
	if sweep > 180 {
		parts = 2
	}
	each := sweep / float64(parts)
	for i := range parts {
		start := from + float64(i)*each
		c.side(at, point(start), point(start+each), math.Tan(each/4*math.Pi/180), layer, e.line)
	}
	return ""
}

// insert places a block, in rows and columns where it says so.
func (c *collector) insert(e *entity, at placing, depth int, layer string) {
	b := c.d.blocks[e.text(2)]
	switch {
	case b == nil:
		c.left = append(c.left, Left{e.line, fmt.Sprintf("block %.40q is not in the file", e.text(2))})
		return
	case depth >= deepest:
		c.left = append(c.left, Left{e.line, "blocks within blocks too deep"})
		return
	}
	sin, cos := math.Sincos(e.get(50, 0) * math.Pi / 180)
	sx, sy := e.get(41, 1), e.get(42, 1)
	columns, rows := max(1, min(1000, int(e.get(70, 1)))), max(1, min(1000, int(e.get(71, 1))))
	for i := range columns {
		for k := range rows {
			dx, dy := float64(i)*e.get(44, 0), float64(k)*e.get(45, 0)
			turned := placing{cos, -sin, sin, cos, e.get(10, 0), e.get(20, 0)}
			set := turned.after(placing{xx: sx, yy: sy, x0: dx - sx*b.base.X, y0: dy - sy*b.base.Y})
			if e.get(230, 1) < 0 {
				set = (placing{xx: -1, yy: 1}).after(set)
			}
			c.take(b.entities, at.after(set), depth+1, layer)
		}
	}
}
