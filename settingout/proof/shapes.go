package proof

import (
	"math"

	"gelwright/plane"
	"gelwright/settingout"
)

// shape is a piece with its sides and bounds.
type shape struct {
	piece     settingout.Piece
	low, high plane.Point
	sides     []segment
}

type segment struct{ a, b plane.Point }

func (s segment) length() float64     { return s.a.Distance(s.b) }
func (s segment) middle() plane.Point { return s.a.Add(s.b).Scale(0.5) }

// distance from p to the segment.
func (s segment) distance(p plane.Point) float64 {
	d := s.b.Sub(s.a)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Distance(s.a)
	}
	t := min(max(p.Sub(s.a).Dot(d)/l2, 0), 1)
	return p.Distance(s.a.Add(d.Scale(t)))
}

// boxSlackM is more than all roundings of a distance together.
const boxSlackM = 1e-9

// nearer is the lesser of a distance and that from p; a segment whose box lies farther off is not measured.
func (s segment) nearer(p plane.Point, than float64) float64 {
	r := than + boxSlackM
	if min(s.a.X, s.b.X)-p.X > r || p.X-max(s.a.X, s.b.X) > r || min(s.a.Y, s.b.Y)-p.Y > r || p.Y-max(s.a.Y, s.b.Y) > r {
		return than
	}
	return min(than, s.distance(p))
}

func shapeOf(p settingout.Piece) shape {
	s := shape{piece: p, low: plane.Point{X: math.Inf(1), Y: math.Inf(1)}, high: plane.Point{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, l := range append([]plane.Loop{p.Shape}, p.Holes...) {
		for i, a := range l {
			s.sides = append(s.sides, segment{a, l[(i+1)%len(l)]})
			s.low = plane.Point{X: min(s.low.X, a.X), Y: min(s.low.Y, a.Y)}
			s.high = plane.Point{X: max(s.high.X, a.X), Y: max(s.high.Y, a.Y)}
		}
	}
	return s
}

// contains by the crossing rule over all sides, holes included.
func contains(sides []segment, p plane.Point) bool {
	in := false
	for _, s := range sides {
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)/(s.b.Y-s.a.Y)*(s.b.X-s.a.X) {
			in = !in
		}
	}
	return in
}

// index finds shapes near a point quickly: a grid of cells of one metre.
type index map[[2]int][]int

func indexOf(shapes []shape, margin float64) index {
	ix := index{}
	for i, s := range shapes {
		for x := int(math.Floor(s.low.X - margin)); x <= int(math.Floor(s.high.X+margin)); x++ {
			for y := int(math.Floor(s.low.Y - margin)); y <= int(math.Floor(s.high.Y+margin)); y++ {
				ix[[2]int{x, y}] = append(ix[[2]int{x, y}], i)
			}
		}
	}
	return ix
}

func (ix index) at(p plane.Point) []int {
	return ix[[2]int{int(math.Floor(p.X)), int(math.Floor(p.Y))}]
}

// ground is the deck as the checker sees it: sides of outline and openings.
type ground struct {
	outline  []segment
	openings [][]segment
}

// ringSides chords a ring finely, within a fifth of a millimetre of its arcs.
func ringSides(r plane.Ring) []segment {
	var out []segment
	for i := range r {
		e := r.Edge(i)
		n := 1
		if !e.Straight() {
			r, a := e.Arc()
			n = max(2, int(math.Ceil(a/(2*math.Acos(1-min(0.0002, r/2)/r)))))
		}
		// Corners are taken as they are: a side's end that is off the next one's start by
		// a rounding would leave a slit in the deck.
		from := e.A
		for k := 1; k <= n; k++ {
			to := e.B
			if k < n {
				to = e.At(float64(k) / float64(n))
			}
			out = append(out, segment{from, to})
			from = to
		}
	}
	return out
}

// open reports whether p lies on the deck, and how far it is from its boundary.
func (g ground) open(p plane.Point) (on bool, clear float64) {
	if !contains(g.outline, p) {
		return false, 0
	}
	clear = math.Inf(1)
	for _, s := range g.outline {
		clear = s.nearer(p, clear)
	}
	for _, o := range g.openings {
		if contains(o, p) {
			return false, 0
		}
		for _, s := range o {
			clear = s.nearer(p, clear)
		}
	}
	return true, clear
}

// toBoundary is the distance from p to outline or openings.
func (g ground) toBoundary(p plane.Point) float64 {
	d := math.Inf(1)
	for _, s := range g.outline {
		d = s.nearer(p, d)
	}
	for _, o := range g.openings {
		for _, s := range o {
			d = s.nearer(p, d)
		}
	}
	return d
}
