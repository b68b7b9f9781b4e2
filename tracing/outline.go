package tracing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gelwright/plane"
)

// Outline is a closed outline and what lies within it, anticlockwise.
type Outline struct {
	// Layer or name that it bears in the file, and the line where it begins.
	Layer    string
	Line     int
	Ring     plane.Ring
	Openings []Opening
}

// Opening is an outline within an outline; of a circle Round is true.
type Opening struct {
	Layer string
	Line  int
	Ring  plane.Ring
	Round bool
}

// Left is something in the file that was left out.
type Left struct {
	Line int
	What string
}

// String names it with its line.
func (l Left) String() string { return fmt.Sprintf("line %d: %s", l.Line, l.What) }

// Traced is what a file gives.
type Traced struct {
	Outlines []Outline
	// Unit that the coordinates were taken in.
	Unit string
	Left []Left
}

// Fault is why a file gives no outline.
type Fault struct {
	Line            int
	Message, Remedy string
}

// Error says it in a sentence.
func (f *Fault) Error() string {
	text := f.Message
	if f.Line > 0 {
		text = fmt.Sprintf("line %d: %s", f.Line, text)
	}
	if f.Remedy != "" {
		text += ". " + f.Remedy
	}
	return text
}

// joinM is how near ends are that meet, and how long a side is at least.
const joinM = 0.001

// piece is one side as drawn, in metres.
type piece struct {
	a, b  plane.Point
	bulge float64
	layer string
	line  int
}

// loop is a closed outline before it is sorted into decks and openings.
type loop struct {
	ring  plane.Ring
	round bool
	layer string
	line  int
}

// most is how many sides a drawing may have: more is no roof.
const most = 5000

// sorted turns loops and loose pieces into outlines.
func sorted(loops []loop, loose []piece, left []Left) (Traced, error) {
	if len(loose) > most || len(loops) > most {
		return Traced{}, &Fault{0, fmt.Sprintf("the drawing has more than %d sides", most), "Take the roof's layer alone"}
	}
	chained, open := chain(loose)
	loops = append(loops, chained...)
	left = append(left, open...)
	whole, flat := sound(loops)
	left = append(left, flat...)
	t := Traced{}
	for i, l := range whole {
		if what := t.add(whole[:i], l); what != "" {
			left = append(left, Left{l.line, what})
		}
	}
	slices.SortStableFunc(left, func(a, b Left) int { return cmp.Compare(a.Line, b.Line) })
	t.Left = left
	if len(t.Outlines) == 0 {
		f := &Fault{0, "no closed outline was found", "Draw the roof's edge as one closed line"}
		if len(left) > 0 {
			f.Message += fmt.Sprintf("; of %d things left out the first is %s", len(left), left[0])
		}
		return t, f
	}
	t.settle()
	return t, nil
}

// sound are the loops that bound an area, anticlockwise, the largest first, and what is left out of the others.
func sound(loops []loop) (whole []loop, left []Left) {
	for _, l := range loops {
		if l.ring = tidy(l.ring); len(l.ring) < 2 || l.ring.Area() < 1e-4 {
			left = append(left, Left{l.line, "an outline of no area"})
			continue
		}
		if l.ring.SignedArea() < 0 {
			l.ring = l.ring.Reversed()
		}
		whole = append(whole, l)
	}
	slices.SortStableFunc(whole, func(a, b loop) int { return cmp.Compare(b.ring.Area(), a.ring.Area()) })
	return whole, left
}

// add takes a loop as a deck or as an opening in one, given all that are larger; why it does not is told.
func (t *Traced) add(larger []loop, l loop) string {
	if twin(larger, l) {
		return "an outline drawn twice"
	}
	if what := small(l); what != "" {
		return what
	}
	switch parent, depth := within(larger, l), nested(larger, l); depth {
	case 0:
		t.Outlines = append(t.Outlines, Outline{l.layer, l.line, l.ring, nil})
	case 1:
		for k := range t.Outlines {
			if o := &t.Outlines[k]; o.Line == parent.line && o.Ring.Area() == parent.ring.Area() {
				o.Openings = append(o.Openings, Opening{l.layer, l.line, l.ring, l.round})
			}
		}
	default:
		return "an outline within an opening"
	}
	return ""
}

// small says what is too small for an opening: a pipe, an arrow, a sign.
func small(l loop) string {
	const pipeM2, signM2 = 0.05, 0.02
	low, high := l.ring.Bounds()
	switch area := l.ring.Area(); {
	case l.round && area < pipeM2:
		return fmt.Sprintf("a circle of %.0f mm: if it is a pipe, give it under penetrations", 1000*(high.X-low.X))
	case area < signM2:
		return fmt.Sprintf("an outline of %.0f by %.0f mm: too small for an opening", 1000*(high.X-low.X), 1000*(high.Y-low.Y))
	}
	return ""
}

// settle moves all so that the lowest and leftmost corner is (0, 0), and rounds to a tenth of a millimetre.
func (t *Traced) settle() {
	low := plane.Point{X: math.Inf(1), Y: math.Inf(1)}
	for _, o := range t.Outlines {
		l, _ := o.Ring.Bounds()
		low.X, low.Y = min(low.X, l.X), min(low.Y, l.Y)
	}
	move := func(r plane.Ring) {
		for i := range r {
			p := r[i].Point.Sub(low)
			r[i].Point = plane.Point{X: 0 + math.Round(p.X*1e4)/1e4, Y: 0 + math.Round(p.Y*1e4)/1e4}
		}
	}
	for i := range t.Outlines {
		move(t.Outlines[i].Ring)
		for k := range t.Outlines[i].Openings {
			move(t.Outlines[i].Openings[k].Ring)
		}
	}
}

// tidy drops sides shorter than the joint and corners in the middle of a straight side.
func tidy(r plane.Ring) plane.Ring {
	var out plane.Ring
	for i := range r {
		if e := r.Edge(i); e.Chord() >= joinM {
			out = append(out, r[i])
		}
	}
	for again := true; again && len(out) > 3; {
		again = false
		for i := range out {
			before, after := out[(i+len(out)-1)%len(out)], out[(i+1)%len(out)]
			if before.Bulge != 0 || out[i].Bulge != 0 {
				continue
			}
			u := after.Point.Sub(before.Point)
			if off := math.Abs(u.Unit().Cross(out[i].Point.Sub(before.Point))); off < 1e-4 && out[i].Point.Sub(before.Point).Dot(u) > 0 &&
				after.Point.Sub(out[i].Point).Dot(u) > 0 {
				out = slices.Delete(out, i, i+1)
				again = true
				break
			}
		}
	}
	return out
}

func chords(r plane.Ring) plane.Loop { return plane.Loop(r.Chords(0.001)) }

// inside reports whether a lies in b, by its own inner point.
func inside(a, b loop) bool {
	c, around := chords(a.ring), chords(b.ring)
	return around.Contains(c[0].Add(c[1%len(c)]).Add(c[len(c)/2]).Scale(1.0/3)) && around.Contains(c[0].Add(c[len(c)/2]).Scale(0.5))
}

func nested(bigger []loop, l loop) int {
	n := 0
	for _, b := range bigger {
		if inside(l, b) {
			n++
		}
	}
	return n
}

// within is the smallest outline that l lies in.
func within(bigger []loop, l loop) loop {
	for i := len(bigger) - 1; i >= 0; i-- {
		if inside(l, bigger[i]) {
			return bigger[i]
		}
	}
	return loop{}
}

func twin(others []loop, l loop) bool {
	low, high := l.ring.Bounds()
	return slices.ContainsFunc(others, func(o loop) bool {
		a, b := o.ring.Bounds()
		return math.Abs(o.ring.Area()-l.ring.Area()) < 1e-4 && a.Distance(low) < joinM && b.Distance(high) < joinM &&
			math.Abs(o.ring.Perimeter()-l.ring.Perimeter()) < 2*joinM
	})
}

// chain joins loose pieces end to end into closed outlines; what stays open is named.
func chain(loose []piece) (closed []loop, open []Left) {
	used := make([]bool, len(loose))
	for i := range loose {
		if used[i] {
			continue
		}
		used[i] = true
		start, end := loose[i].a, loose[i].b
		ring := plane.Ring{{Point: loose[i].a, Bulge: loose[i].bulge}}
		for start.Distance(end) >= joinM || len(ring) == 1 {
			next, turned := meets(loose, used, end)
			if next < 0 {
				break
			}
			used[next] = true
			p := loose[next]
			if turned {
				p.a, p.b, p.bulge = p.b, p.a, -p.bulge
			}
			ring = append(ring, plane.Vertex{Point: p.a, Bulge: p.bulge})
			end = p.b
		}
		if start.Distance(end) < joinM && len(ring) > 1 {
			closed = append(closed, loop{ring: ring, layer: loose[i].layer, line: loose[i].line})
			continue
		}
		open = append(open, Left{loose[i].line, fmt.Sprintf("%d lines that do not close, from (%.3f, %.3f) to (%.3f, %.3f) m", len(ring), start.X,
			start.Y, end.X, end.Y)})
	}
	return closed, open
}

// meets is the unused piece that begins, or ends, at a point; nearest first.
func meets(loose []piece, used []bool, at plane.Point) (index int, turned bool) {
	index = -1
	near := joinM
	for i, p := range loose {
		if used[i] {
			continue
		}
		if d := p.a.Distance(at); d < near {
			index, turned, near = i, false, d
		}
		if d := p.b.Distance(at); d < near {
			index, turned, near = i, true, d
		}
	}
	return index, turned
}
