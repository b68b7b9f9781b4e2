package drawing

import (
	"math"
	"strings"

	"gelwright/scene"
)

// lines of lettering placed as one block.
type block struct {
	lines  []string
	high   float64
	first  float64 // height of the first line, when it differs
	bold   bool    // the first line only
	whole  bool    // bold in all lines
	lead   float64
	layer  string
	colour scene.Colour
}

func words(lines ...string) block {
	return block{lines: lines, high: scene.TextSmall, lead: scene.TextSmall * 1.6}
}

// items letters the block about its centre, turned by angleDeg.
func (b block) items(centre scene.Point, angleDeg float64) []scene.Item {
	var out []scene.Item
	n := len(b.lines)
	for i, l := range b.lines {
		up := (float64(n-1)/2 - float64(i)) * b.lead
		out = append(out, scene.Text{Meta: scene.Meta{Layer: b.layer}, At: centre.Add(scene.Point{Y: up}.Turned(angleDeg)), Content: l,
			HeightMM: b.height(i),
			Across:   scene.Middle, Up: scene.Middle, AngleDeg: angleDeg, Bold: b.boldAt(i), Colour: b.colour})
	}
	return out
}

// size of the block, mm, with a little air.
func (b block) size() (w, h float64) {
	for i, l := range b.lines {
		w = max(w, scene.Measure(l, b.height(i), b.boldAt(i)).WidthMM)
	}
	return w, float64(len(b.lines)-1)*b.lead + max(b.high, b.first) + 1
}

func (b block) boldAt(line int) bool { return b.bold && (line == 0 || b.whole) }

func (b block) height(line int) float64 {
	if line == 0 && b.first > 0 {
		return b.first
	}
	return b.high
}

// quad is the room of the block about a centre.
func (b block) quad(centre scene.Point, angleDeg, marginMM float64) [4]scene.Point {
	w, h := b.size()
	return quadAt(centre, w+2*marginMM, h+2*marginMM, angleDeg)
}

func quadAt(centre scene.Point, w, h, angleDeg float64) [4]scene.Point {
	c := func(x, y float64) scene.Point { return centre.Add(scene.Point{X: x, Y: y}.Turned(angleDeg)) }
	return [4]scene.Point{c(-w/2, -h/2), c(w/2, -h/2), c(w/2, h/2), c(-w/2, h/2)}
}

// inside reports whether a quadrangle lies wholly in an outline with holes:
// corners inside and edges not crossed, which the sampled sides show.
func inside(q [4]scene.Point, rings [][]scene.Point) bool {
	for i, a := range q {
		b := q[(i+1)%4]
		for k := range 6 {
			if !holds(a.Add(b.Sub(a).Scale(float64(k)/6)), rings) {
				return false
			}
		}
	}
	return true
}

// near yields places round a point, in rings that widen, the nearest first.
func near(p scene.Point, reachMM, stepMM float64) []scene.Point {
	out := []scene.Point{p}
	for r := stepMM; r <= reachMM; r += stepMM {
		n := int(math.Ceil(2 * math.Pi * r / stepMM))
		for k := range n {
			out = append(out, p.Add(scene.Point{X: r}.Turned(90+360*float64(k)/float64(n))))
		}
	}
	return out
}

// beside places a block near a point without a leader, or further off with one
// whose line crosses no lettering. It reports whether room was found.
func (s *Sheet) beside(p scene.Point, b block, clearMM, reachMM float64, allowed func(scene.Point) bool) bool {
	w, h := b.size()
	for _, d := range [...]scene.Point{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: 1, Y: -1}, {X: -1, Y: -1}, {X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		c := p.Add(scene.Point{X: d.X * (w/2 + clearMM), Y: d.Y * (h/2 + clearMM)})
		if d.X != 0 && d.Y != 0 {
			c = p.Add(scene.Point{X: d.X * (w/2 + clearMM*0.7), Y: d.Y * (h/2 + clearMM*0.7)})
		}
		if q := b.quad(c, 0, 0.4); s.Space.FreeQuad(q) && (allowed == nil || allowed(q[0]) && allowed(q[1]) && allowed(q[2]) && allowed(q[3])) {
			s.Add(b.items(c, 0)...)
			return true
		}
	}
	return s.leader(p, b, clearMM, reachMM, allowed)
}

// leader places a block where there is room and joins it to p with a thin line.
// With allowed, the block's centre and ends must lie where that holds.
func (s *Sheet) leader(p scene.Point, b block, clearMM, reachMM float64, allowed func(scene.Point) bool) bool {
	if s.tryLeader(p, b, clearMM, reachMM, allowed) {
		return true
	}
	if allowed == nil {
		s.Unplaced = append(s.Unplaced, strings.Join(b.lines, ", "))
	}
	return false
}

func (s *Sheet) tryLeader(p scene.Point, b block, clearMM, reachMM float64, allowed func(scene.Point) bool) bool {
	w, h := b.size()
	for _, c := range near(p, reachMM, 2.5) {
		if c.Distance(p) < clearMM+3 || !s.Space.FreeQuad(quadAt(c, w+1.4, h+1.4, 0)) {
			continue
		}
		if allowed != nil && !(allowed(c) && allowed(c.Add(scene.Point{X: w / 2})) && allowed(c.Sub(scene.Point{X: w / 2}))) {
			continue
		}
		from := c.Add(scene.Point{X: -w/2 - 0.6})
		if p.X > c.X {
			from = c.Add(scene.Point{X: w/2 + 0.6})
		}
		if math.Abs(p.X-c.X) < w/2 {
			from = c.Add(scene.Point{Y: math.Copysign(h/2+0.3, p.Y-c.Y)})
		}
		to := p.Add(from.Sub(p).Unit().Scale(max(clearMM-1, 0)))
		// The dot at the end is wider than the line.
		beyond := to.Add(to.Sub(from).Unit().Scale(0.6))
		aside := to.Sub(from).Unit().Left().Scale(0.6)
		if !s.Space.FreeLine(from, beyond) || !s.Space.FreeLine(to.Sub(aside), to.Add(aside)) {
			continue
		}
		s.Add(scene.Line(scene.Meta{Layer: b.layer, Class: "leader"}, scene.Pen(scene.Hairline), from, to))
		if clearMM == 0 {
			s.Add(scene.Shape{Meta: scene.Meta{Layer: b.layer}, Filled: true, Paths: []scene.Path{scene.Circle(p, 0.5)}})
		}
		s.Add(b.items(c, 0)...)
		return true
	}
	return false
}
