package settingout

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// trimmers are the timbers round openings, in local coordinates: headers across the
// joists from face to face of those that pass the opening on either side, which carry
// the joists it cuts, and trimming pieces along the joists between the headers where no
// joist is near. An opening with slanting or curved sides is trimmed round its bounds.
// Their sizes are the engineer's.
func (n *nogginer) trimmers(b boarding, d roof.Deck) []Piece {
	var out []Piece
	for _, o := range d.Openings {
		gap := 0.0
		if o.Kind == "chimney" {
			gap = b.spec.WallGapMM / 1000
		}
		for _, s := range n.sidesToTrim(d, o) {
			if math.Abs(s.B.X-s.A.X) > math.Abs(s.B.Y-s.A.Y) {
				headers := n.header(s, o.Name, gap)
				if len(headers) > 0 && (len(out) == 0 || out[len(out)-1].Serves != o.Name) {
					n.intruding(s, o)
				}
				out = append(out, headers...)
			} else {
				out = append(out, n.trimming(s, o.Name, gap)...)
			}
		}
	}
	return out
}

// sidesToTrim returns an opening's sides, the opening on their left, in local
// coordinates; what lies on the deck's outline is carried there.
func (n *nogginer) sidesToTrim(d roof.Deck, o roof.Opening) []plane.Side {
	ring := o.Outline
	if ring.SignedArea() < 0 {
		ring = ring.Reversed()
	}
	var out []plane.Side
	square := true
	for i := range ring {
		e := ring.Edge(i)
		if e.Chord() < 0.05 {
			continue
		}
		a, b := n.f.In(e.A), n.f.In(e.B)
		if n.f.Mirrored() {
			a, b = b, a
		}
		slant := min(math.Abs(b.X-a.X), math.Abs(b.Y-a.Y))
		if !e.Straight() || slant > 0.02*e.Chord() {
			square = false
			break
		}
		if !alongOutline(d, e) {
			out = append(out, plane.Side{A: a, B: b})
		}
	}
	if square {
		return out
	}
	low, high := n.f.LoopIn(ring.Chords(chordToleranceM)).Bounds()
	right, left := plane.Point{X: high.X, Y: low.Y}, plane.Point{X: low.X, Y: high.Y}
	return []plane.Side{{A: low, B: right}, {A: right, B: high}, {A: high, B: left}, {A: left, B: low}}
}

// beside returns the joists that pass a side on its left and right, counted along the grid.
func (n *nogginer) beside(s plane.Side) (first, last float64) {
	const hair = 0.001
	first = math.Floor((min(s.A.X, s.B.X) + hair - n.g.first) / n.g.spacing)
	return first, math.Ceil((max(s.A.X, s.B.X) - hair - n.g.first) / n.g.spacing)
}

// intruding remarks on a joist whose middle passes an opening but whose side stands in it.
// A chimney stays where it is: the joist gives way.
func (n *nogginer) intruding(s plane.Side, o roof.Opening) {
	first, last := n.beside(s)
	left := n.g.first + first*n.g.spacing + n.g.width/2 - min(s.A.X, s.B.X)
	right := max(s.A.X, s.B.X) - (n.g.first + last*n.g.spacing - n.g.width/2)
	in := max(left, right)
	if in <= 0.001 {
		return
	}
	text := "the joist beside it stands %d mm in the opening: move the opening by as much, or have the joist cut back and trimmed"
	if o.Kind == "chimney" {
		text = "the joist beside it stands %d mm in the chimney: a joiner trims it round the chimney after a structural check"
	}
	n.out.find("opening.joist", o.Name, text, upMM(in))
}

// header is the timber behind a side that runs across the joists.
func (n *nogginer) header(s plane.Side, name string, gap float64) []Piece {
	first, last := n.beside(s)
	out := s.B.Sub(s.A).Unit().Left().Scale(-1)
	y := (s.A.Y+s.B.Y)/2 + out.Y*(gap+n.g.width/2)
	from := plane.Point{X: n.g.first + first*n.g.spacing + n.g.width/2, Y: y}
	to := plane.Point{X: n.g.first + last*n.g.spacing - n.g.width/2, Y: y}
	pieces := n.cut(from, to, "header", name)
	for i := range pieces {
		p := &pieces[i]
		note := "header, joist depth, doubled where the engineer says"
		if k := int(last-first) - 1; k > 0 {
			note += fmt.Sprintf("; carries %s the opening cuts", counted(k, "joist"))
		}
		if p.LengthMM < upMM(to.X-from.X)-2 {
			note += "; it ends at the deck's edge: bear it on the plate there"
		}
		p.Note = joinNote(p.Note, note)
	}
	return pieces
}

// trimming is the timber beside a side that runs along the joists, nothing where a joist
// is near enough to carry the boards' edge.
func (n *nogginer) trimming(s plane.Side, name string, gap float64) []Piece {
	out := s.B.Sub(s.A).Unit().Left().Scale(-1)
	x := (s.A.X + s.B.X) / 2
	for k := math.Floor((x-n.g.first)/n.g.spacing) - 1; k <= math.Ceil((x-n.g.first)/n.g.spacing)+1; k++ {
		beyond := (n.g.first + k*n.g.spacing - x) * out.X
		if beyond > -0.001 && beyond-n.g.width/2 <= offJoistM {
			return nil
		}
	}
	x += out.X * (gap + n.g.width/2)
	pieces := n.cut(plane.Point{X: x, Y: min(s.A.Y, s.B.Y) - gap}, plane.Point{X: x, Y: max(s.A.Y, s.B.Y) + gap}, "trimming piece", name)
	for i := range pieces {
		pieces[i].Note = joinNote(pieces[i].Note, "between the headers, joist depth")
	}
	return pieces
}
