package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// sawMM is how near a corner lies to a side of the blank to be on it: blanks are whole
// millimetres, rounded up.
const sawMM = 1.5

// manySides are more than straight cuts leave: then the outline has a curve in it.
const manySides = 12

// cutShape is a piece as it is marked on its blank, a rectangle from (0, 0), millimetres.
type cutShape struct {
	longMM, wideMM float64
	outline        []plane.Point
	holes          [][]plane.Point
}

// shapeOf brings a piece's outline into the coordinates of its blank: length along x.
func shapeOf(p settingout.Piece) cutShape {
	c := cutShape{longMM: float64(p.LengthMM), wideMM: float64(p.WidthMM)}
	along := p.Along.Unit()
	snap := func(v, most float64) float64 {
		switch {
		case v < sawMM:
			return 0
		case v > most-sawMM:
			return most
		}
		return v
	}
	local := func(pts []plane.Point) []plane.Point {
		var out []plane.Point
		for _, q := range pts {
			d := q.Sub(p.Corner)
			at := plane.Point{X: snap(d.Dot(along)*1000, c.longMM), Y: snap(d.Dot(along.Left())*1000, c.wideMM)}
			if len(out) == 0 || at.Distance(out[len(out)-1]) > sawMM {
				out = append(out, at)
			}
		}
		if n := len(out); n > 1 && out[0].Distance(out[n-1]) <= sawMM {
			out = out[:n-1]
		}
		return out
	}
	c.outline = local(p.Shape)
	for _, h := range p.Holes {
		c.holes = append(c.holes, local(h))
	}
	return c
}

// whole reports whether the piece is its blank.
func (c cutShape) whole() bool {
	if len(c.outline) < 3 || c.wideMM == 0 {
		return true
	}
	for _, q := range c.outline {
		if !(q.X == 0 || q.X == c.longMM) || !(q.Y == 0 || q.Y == c.wideMM) {
			return false
		}
	}
	return len(c.outline) == 4 && len(c.holes) == 0
}

// curved reports whether an arc is cut.
func (c cutShape) curved() bool { return len(c.outline) > manySides }

// sides are how much of the blank's lower, right, upper and left side is left, mm.
func (c cutShape) sides() (lower, right, upper, left float64) {
	for i, a := range c.outline {
		b := c.outline[(i+1)%len(c.outline)]
		long := a.Distance(b)
		switch {
		case a.Y == b.Y && a.Y == 0:
			lower += long
		case a.Y == b.Y && a.Y == c.wideMM:
			upper += long
		case a.X == b.X && a.X == 0:
			left += long
		case a.X == b.X && a.X == c.longMM:
			right += long
		}
	}
	return lower, right, upper, left
}

// words give the size to mark a piece by: "2417/1565 × 1220/581" where a straight cut
// slopes, the lengths of both long sides and of both ends.
func (c cutShape) words() string {
	plain := sizeWords(int(c.longMM), int(c.wideMM))
	if c.whole() || c.curved() || len(c.holes) > 0 {
		return plain
	}
	for _, q := range c.outline {
		if q.X != 0 && q.X != c.longMM && q.Y != 0 && q.Y != c.wideMM {
			return plain // a notch: no side gives its place
		}
	}
	lower, right, upper, left := c.sides()
	pair := func(a, b, full float64) (string, bool) {
		a, b = max(a, b), min(a, b)
		if a < full-0.5 {
			return "", false
		}
		if b > full-0.5 {
			return fmt.Sprintf("%.0f", full), true
		}
		return fmt.Sprintf("%.0f/%.0f", a, b), true
	}
	long, ok := pair(lower, upper, c.longMM)
	wide, also := pair(left, right, c.wideMM)
	if !ok || !also {
		return plain
	}
	return long + " × " + wide
}

// PieceSize is the size of a piece as it is marked, mm: "2440 × 1220", or with the
// lengths at both long sides and at both ends, "2417/1565 × 1220/581", where a straight
// cut slopes; 0 is a point.
func PieceSize(p settingout.Piece) string {
	if p.Kind != settingout.Board {
		return sizeWords(p.LengthMM, p.WidthMM)
	}
	return shapeOf(p).words()
}

// slopedWords explain such a size in a key.
const slopedWords = "two figures, as 2400/900: a slope is cut; the lengths at both long sides × at both ends, 0 is a point"

// slopedAmong reports whether some of the sizes are of pieces with a sloping cut.
func slopedAmong(sizes []LabelledShape) bool {
	return slices.ContainsFunc(sizes, func(l LabelledShape) bool { return strings.Contains(l.Sub, "/") })
}

// alikeKey is equal for pieces that are marked alike.
func (c cutShape) alikeKey() string {
	if c.whole() {
		return ""
	}
	var b strings.Builder
	for _, ring := range append([][]plane.Point{c.outline}, c.holes...) {
		least := 0
		for i, q := range ring {
			if q.X < ring[least].X-0.5 || math.Abs(q.X-ring[least].X) <= 0.5 && q.Y < ring[least].Y {
				least = i
			}
		}
		for i := range ring {
			q := ring[(least+i)%len(ring)]
			fmt.Fprintf(&b, ";%.0f,%.0f", q.X, q.Y)
		}
	}
	return b.String()
}

// turned is the shape lying across its stock.
func (c cutShape) turned() cutShape {
	turn := func(pts []plane.Point) []plane.Point {
		out := make([]plane.Point, len(pts))
		for i, q := range pts {
			out[i] = plane.Point{X: c.wideMM - q.Y, Y: q.X}
		}
		return out
	}
	out := cutShape{longMM: c.wideMM, wideMM: c.longMM, outline: turn(c.outline)}
	for _, h := range c.holes {
		out.holes = append(out.holes, turn(h))
	}
	return out
}

// cutMark is one figure that a piece with a slope or notch is marked by, and where it
// belongs, on paper.
type cutMark struct {
	words  string
	at     scene.Point // the middle of the side, or the corner
	in     scene.Point // inward
	along  scene.Point
	longMM float64 // room along the side, on paper
	rings  [][]scene.Point
}

// marks are the lengths of the straight sides that lie square to the blank, and the
// places of corners on its sides that no such length gives. to puts a point of the
// blank on paper.
func (c cutShape) marks(to func(plane.Point) scene.Point) []cutMark {
	const leastMM = 5.0
	if c.whole() {
		return nil
	}
	rings := make([][]scene.Point, 0, 1+len(c.holes))
	for _, r := range append([][]plane.Point{c.outline}, c.holes...) {
		var pts []scene.Point
		for _, q := range r {
			pts = append(pts, to(q))
		}
		rings = append(rings, pts)
	}
	least := leastMM
	if c.curved() {
		least = 60 // shorter ones may be chords of the curve
	}
	var out []cutMark
	square := func(a, b plane.Point) bool { return a.X == b.X || a.Y == b.Y }
	for i, a := range c.outline {
		b := c.outline[(i+1)%len(c.outline)]
		if square(a, b) && a.Distance(b) >= least {
			p, q := to(a), to(b)
			out = append(out, cutMark{words: fmt.Sprintf("%.0f", a.Distance(b)), at: p.Add(q).Scale(0.5), in: q.Sub(p).Unit().Left(),
				along: q.Sub(p).Unit(), longMM: p.Distance(q), rings: rings})
		}
		before := c.outline[(i+len(c.outline)-1)%len(c.outline)]
		if c.curved() || square(a, b) || square(before, a) {
			continue
		}
		if words := c.cornerWords(a); words != "" {
			middle := scene.Point(plane.Point{X: c.longMM / 2, Y: c.wideMM / 2}.Sub(a)).Unit()
			out = append(out, cutMark{words: words, at: to(a), in: middle, along: middle.Left(), rings: rings})
		}
	}
	return out
}

// cornerWords say where a corner between two slopes lies on the blank; nothing at the blank's own.
func (c cutShape) cornerWords(a plane.Point) string {
	onX, onY := a.X == 0 || a.X == c.longMM, a.Y == 0 || a.Y == c.wideMM
	switch {
	case onX && onY:
		return ""
	case onY:
		return fmt.Sprintf("at %.0f", a.X)
	case onX:
		return fmt.Sprintf("at %.0f", a.Y)
	}
	return fmt.Sprintf("at %.0f / %.0f", a.X, a.Y)
}

// A side shorter than dotMM on paper has no room for its figure: the leader to it begins with a
// dot, which other figures keep off by as much.
const dotMM = 0.8

// seatMarks finds room for the figures inside the pieces they belong to, keeps it, and
// returns their lettering, to be added when the pieces are drawn, with those that found
// none.
func (s *Sheet) seatMarks(marks []cutMark) (seated []scene.Item, left []cutMark) {
	var dots []scene.Point
	for _, m := range marks {
		if m.longMM > 0 && m.longMM < dotMM {
			dots = append(dots, m.at)
		}
	}
	for _, m := range marks {
		items := s.seatMark(m, dots)
		if items == nil {
			left = append(left, m)
			continue
		}
		s.Space.Add(items...)
		seated = append(seated, items...)
	}
	return seated, left
}

// seatMark letters a figure along its side or across it, near its middle and off the dots; nil
// where there is no room.
func (s *Sheet) seatMark(m cutMark, dots []scene.Point) []scene.Item {
	b := words(m.words)
	b.layer = "pieces"
	w, h := b.size()
	angle := 0.0
	if m.longMM > 0 {
		angle = scene.Readable(m.along.AngleDeg())
	}
	for _, turn := range [...]float64{0, 90} {
		off := h/2 + 0.2
		if turn > 0 || m.longMM == 0 {
			off = w/2 + 1
		}
		for _, shift := range [...]float64{0, 0.12, -0.12, 0.25, -0.25, 0.33, -0.33} {
			for _, deep := range [...]float64{0, 1.5, 3.5} {
				at, to := m.at.Add(m.along.Scale(shift*m.longMM)).Add(m.in.Scale(off+deep)), scene.Readable(angle+turn)
				q, wide := b.quad(at, to, 0), b.quad(at, to, dotMM)
				onDot := slices.ContainsFunc(dots, func(p scene.Point) bool { return holds(p, [][]scene.Point{wide[:]}) })
				if deep > 0 && m.longMM > 0 || onDot || !inside(q, m.rings) || !s.Space.FreeQuad(q) {
					continue
				}
				return b.items(at, to)
			}
		}
	}
	return nil
}
