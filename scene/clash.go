package scene

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Clash is lettering that cannot be read: it lies on other lettering, on a line,
// or off the sheet.
type Clash struct {
	Text, With string
	At         Point
}

func (c Clash) String() string {
	return fmt.Sprintf("%q on %s at (%.1f, %.1f) mm", c.Text, c.With, c.At.X, c.At.Y)
}

// Clashes finds all lettering that overlaps other lettering or a drawn line, or
// leaves the sheet. Lettering may come within slackMM of a line. Items of class
// "backdrop" (a pale grid that lettering may lie on) do not count.
func (s *Scene) Clashes(slackMM float64) []Clash {
	o := ObstaclesOf(s)
	sheet := Box{Point{0, 0}, Point{s.WidthMM, s.HeightMM}, true}
	var out []Clash
	for i, t := range o.texts {
		for _, p := range t.quad {
			if p.X < sheet.Low.X || p.Y < sheet.Low.Y || p.X > sheet.High.X || p.Y > sheet.High.Y {
				out = append(out, Clash{t.content, "the edge of the sheet", p})
				break
			}
		}
		for _, u := range o.texts[i+1:] {
			if t.box.touches(u.box) && quadsOverlap(t.quad, u.quad, slackMM) {
				out = append(out, Clash{t.content, fmt.Sprintf("%q", u.content), t.quad[0]})
			}
		}
		for _, l := range o.lines {
			if t.box.touches(l.box) && lineInQuad(l.a, l.b, t.quad, slackMM) {
				out = append(out, Clash{t.content, "a line of " + l.name, t.quad[0]})
				break
			}
		}
	}
	return out
}

func (b Box) touches(c Box) bool {
	return b.Low.X <= c.High.X && c.Low.X <= b.High.X && b.Low.Y <= c.High.Y && c.Low.Y <= b.High.Y
}

type textBox struct {
	quad    [4]Point
	box     Box
	content string
}

type lineBox struct {
	a, b Point
	box  Box
	name string
}

// Obstacles is what is already drawn, for finding a free place for lettering.
type Obstacles struct {
	texts []textBox
	lines []lineBox
	// lettered lists the texts in each square of the sheet, wide those that take too many.
	lettered map[[2]int][]int
	wide     []int
	// cells lists the lines that may pass through each square of the sheet.
	cells map[[2]int][]int
	// Within, when set, is where lettering must stay.
	Within Box
}

// ObstaclesOf gathers the lettering and lines of a scene.
func ObstaclesOf(s *Scene) *Obstacles {
	o := &Obstacles{Within: Box{Point{0, 0}, Point{s.WidthMM, s.HeightMM}, true}}
	s.Walk(&gather{o: o})
	return o
}

// Add takes further items into account.
func (o *Obstacles) Add(items ...Item) {
	(&Scene{Items: items}).Walk(&gather{o: o})
}

// Keep bars lettering from a region without drawing anything there.
func (o *Obstacles) Keep(b Box) {
	q := [4]Point{b.Low, {b.High.X, b.Low.Y}, b.High, {b.Low.X, b.High.Y}}
	o.text(textBox{q, b, "a kept place"})
}

// Free reports whether the text would lie clear of everything, by marginMM.
func (o *Obstacles) Free(t Text, marginMM float64) bool {
	q := t.Quad(marginMM)
	return o.FreeQuad(q)
}

// FreeQuad is Free for any four corners.
func (o *Obstacles) FreeQuad(q [4]Point) bool {
	var b Box
	for _, p := range q {
		b = b.Take(p)
	}
	if o.Within.Set && (b.Low.X < o.Within.Low.X || b.Low.Y < o.Within.Low.Y || b.High.X > o.Within.High.X || b.High.Y > o.Within.High.Y) {
		return false
	}
	inText := func(i int) bool { t := &o.texts[i]; return b.touches(t.box) && quadsOverlap(q, t.quad, 0) }
	if slices.ContainsFunc(o.wide, inText) {
		return false
	}
	for _, c := range cellsOf(b) {
		if slices.ContainsFunc(o.lettered[c], inText) {
			return false
		}
		for _, i := range o.cells[c] {
			if l := &o.lines[i]; b.touches(l.box) && lineInQuad(l.a, l.b, q, 0) {
				return false
			}
		}
	}
	return true
}

// cellMM is the side of the squares in which lines are looked up.
const cellMM = 8.0

// cellsOf returns the squares that a box touches.
func cellsOf(b Box) [][2]int {
	x0, y0 := int(math.Floor(b.Low.X/cellMM)), int(math.Floor(b.Low.Y/cellMM))
	x1, y1 := int(math.Floor(b.High.X/cellMM)), int(math.Floor(b.High.Y/cellMM))
	var out [][2]int
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			out = append(out, [2]int{x, y})
		}
	}
	return out
}

// wideMM is the side of what is looked at everywhere in place of by squares.
const wideMM = 20 * cellMM

// text takes note of lettering in every square that its box touches.
func (o *Obstacles) text(t textBox) {
	i := len(o.texts)
	o.texts = append(o.texts, t)
	if w := t.box.High.Sub(t.box.Low); !(w.X <= wideMM && w.Y <= wideMM) {
		o.wide = append(o.wide, i)
		return
	}
	if o.lettered == nil {
		o.lettered = map[[2]int][]int{}
	}
	for _, c := range cellsOf(t.box) {
		o.lettered[c] = append(o.lettered[c], i)
	}
}

// line takes note of one line in every square it passes, in short steps, so that
// a long slanting one is not listed all over its box.
func (o *Obstacles) line(l lineBox) {
	if o.cells == nil {
		o.cells = map[[2]int][]int{}
	}
	i := len(o.lines)
	o.lines = append(o.lines, l)
	n := min(max(int(math.Ceil(l.a.Distance(l.b)/cellMM)), 1), 4096)
	step := l.b.Sub(l.a).Scale(1 / float64(n))
	for k := range n {
		a := l.a.Add(step.Scale(float64(k)))
		for _, c := range cellsOf(Box{}.Take(a).Take(a.Add(step))) {
			if at := o.cells[c]; len(at) == 0 || at[len(at)-1] != i {
				o.cells[c] = append(at, i)
			}
		}
	}
}

// FreeLine reports whether a line from a to b crosses no lettering.
func (o *Obstacles) FreeLine(a, b Point) bool {
	box := Box{}.Take(a).Take(b)
	for _, t := range o.texts {
		if box.touches(t.box) && lineInQuad(a, b, t.quad, 0) {
			return false
		}
	}
	return true
}

// Parts returns what is left of the line from a to b where it keeps marginMM away
// from lettering; parts shorter than 1 mm are left out.
func (o *Obstacles) Parts(a, b Point, marginMM float64) [][2]Point {
	type span struct{ from, to float64 }
	var gaps []span
	box := Box{}.Take(a).Take(b).Grown(marginMM)
	for _, t := range o.texts {
		if !box.touches(t.box) {
			continue
		}
		u, v := t.quad[1].Sub(t.quad[0]).Unit().Scale(marginMM), t.quad[3].Sub(t.quad[0]).Unit().Scale(marginMM)
		q := [4]Point{t.quad[0].Sub(u).Sub(v), t.quad[1].Add(u).Sub(v), t.quad[2].Add(u).Add(v), t.quad[3].Sub(u).Add(v)}
		if from, to, in := clipToQuad(a, b, q, 0); in {
			gaps = append(gaps, span{from, to})
		}
	}
	sort.Slice(gaps, func(i, j int) bool { return gaps[i].from < gaps[j].from })
	var out [][2]Point
	at, way := 0.0, b.Sub(a)
	keep := func(from, to float64) {
		if (to-from)*way.Length() >= 1 {
			out = append(out, [2]Point{a.Add(way.Scale(from)), a.Add(way.Scale(to))})
		}
	}
	for _, g := range gaps {
		keep(at, g.from)
		at = max(at, g.to)
	}
	keep(at, 1)
	return out
}

// gather is the visitor that fills Obstacles.
type gather struct {
	o     *Obstacles
	names []string
}

func (g *gather) Open(m Meta) { g.names = append(g.names, nameOf(m)) }
func (g *gather) Close()      { g.names = g.names[:len(g.names)-1] }

func nameOf(m Meta) string {
	for _, s := range []string{m.ID, m.Class, m.Title, m.Layer} {
		if s != "" {
			return s
		}
	}
	return "no name"
}

func (g *gather) Text(t Text) {
	q := t.Quad(0)
	var b Box
	for _, p := range q {
		b = b.Take(p)
	}
	g.o.text(textBox{q, b, t.Content})
}

func (g *gather) Shape(s Shape) {
	if s.Class == Backdrop || (s.Stroke.WidthMM == 0 && (!s.Filled || s.Fill.pale())) {
		return
	}
	name := nameOf(s.Meta)
	if name == "no name" && len(g.names) > 0 {
		name = g.names[len(g.names)-1]
	}
	for _, p := range s.Paths {
		pts := p.Points(0.1)
		if p.Closed {
			pts = append(pts, pts[0])
		}
		for i := 0; i+1 < len(pts); i++ {
			g.o.line(lineBox{pts[i], pts[i+1], Box{}.Take(pts[i]).Take(pts[i+1]), name})
		}
	}
}

// Backdrop is the class of items that lettering may lie on.
const Backdrop = "backdrop"

// pale fills leave black lettering readable.
func (c Colour) pale() bool {
	return 0.2126*float64(c.R)+0.7152*float64(c.G)+0.0722*float64(c.B) > 140
}

// quadsOverlap tests two convex quadrangles by separating axes; an overlap of
// slack or less does not count.
func quadsOverlap(a, b [4]Point, slack float64) bool {
	for _, q := range [2][4]Point{a, b} {
		for i := range 2 {
			axis := q[i+1].Sub(q[i]).Unit()
			a0, a1 := span(a[:], axis)
			b0, b1 := span(b[:], axis)
			if a1 <= b0+slack || b1 <= a0+slack {
				return false
			}
		}
	}
	return true
}

func span(pts []Point, axis Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range pts {
		d := p.Dot(axis)
		low, high = min(low, d), max(high, d)
	}
	return low, high
}

// lineInQuad reports whether the line a–b enters the rectangle shrunk by slack.
func lineInQuad(a, b Point, q [4]Point, slack float64) bool {
	_, _, in := clipToQuad(a, b, q, slack)
	return in
}

// clipToQuad returns between which shares of a–b the line runs inside the
// rectangle shrunk by slack (Liang and Barsky's clipping in the rectangle's axes).
func clipToQuad(a, b Point, q [4]Point, slack float64) (from, to float64, in bool) {
	u, v := q[1].Sub(q[0]), q[3].Sub(q[0])
	w, h := u.Length(), v.Length()
	u, v = u.Unit(), v.Unit()
	pa, pb := a.Sub(q[0]), b.Sub(q[0])
	t0, t1 := 0.0, 1.0
	clip := func(p, d, low, high float64) bool {
		if low >= high {
			return false
		}
		if math.Abs(d) < 1e-12 {
			return p > low && p < high
		}
		s, e := (low-p)/d, (high-p)/d
		if s > e {
			s, e = e, s
		}
		t0, t1 = max(t0, s), min(t1, e)
		return t0 < t1
	}
	d := pb.Sub(pa)
	in = clip(pa.Dot(u), d.Dot(u), slack, w-slack) && clip(pa.Dot(v), d.Dot(v), slack, h-slack)
	return t0, t1, in
}
