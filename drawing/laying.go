package drawing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// layingOrder lists the strips of a layer as the buckets cover them, each where it is
// begun, and says which buckets cover each. It is empty where no bucket can be mixed.
func layingOrder(p *plan.Plan, deck string, layer int) (order []string, buckets map[string]string) {
	by := map[string][]string{}
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Deck != deck || x.Kind != "mat" || x.Layer != layer || x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			for _, part := range m.Parts {
				// A strip parted by those before it has cells "M4", "M4b".
				if strip := stripOf(part.Name); by[strip] == nil || by[strip][len(by[strip])-1] != fmt.Sprint(m.Number) {
					if by[strip] == nil {
						order = append(order, strip)
					}
					by[strip] = append(by[strip], fmt.Sprint(m.Number))
				}
			}
		}
	}
	buckets = map[string]string{}
	for strip, list := range by {
		word := "bucket "
		if len(list) > 1 {
			word = "buckets "
		}
		buckets[strip] = word + numberRuns(list)
	}
	return order, buckets
}

// with puts words behind a size, where there are any.
func with(size, words string) string {
	if words == "" {
		return size
	}
	return size + ", " + words
}

// inLayingOrder sorts the strips of a layer as they are laid: as the buckets begin them,
// or by the set-out's own order where no bucket can be mixed. A strip that no bucket
// covers comes first, and so lies beneath.
func inLayingOrder(strips []settingout.Piece, order []string) []settingout.Piece {
	out := slices.Clone(strips)
	slices.SortStableFunc(out, func(a, b settingout.Piece) int {
		if c := cmp.Compare(slices.Index(order, a.Number), slices.Index(order, b.Number)); c != 0 {
			return c
		}
		return cmp.Compare(a.Order, b.Order)
	})
	return out
}

// Ordinal counts 1st, 2nd, 3rd … from 1.
func Ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprint(n, end)
}

// step is a way from ground that is laid to the ground laid next, each as pieces by
// their place in a list.
type step struct{ from, to []int }

// stepArrows draws a short arrow for each step, across a side that the two grounds
// share; none where they do not touch or lettering leaves no room. Pieces are in the
// order they are drawn, the later over the earlier. It returns how many it drew.
func (s *Sheet) stepArrows(pieces []LabelledShape, steps []step) int {
	g := groundsOf(s, pieces)
	drawn := 0
	for _, t := range steps {
		if s.stepArrow(g, t) {
			drawn++
		}
	}
	return drawn
}

// grounds are pieces on paper, with their boxes.
type grounds struct {
	rings [][][]scene.Point
	boxes []scene.Box
}

func groundsOf(s *Sheet, pieces []LabelledShape) grounds {
	g := grounds{make([][][]scene.Point, len(pieces)), make([]scene.Box, len(pieces))}
	for i, p := range pieces {
		g.rings[i] = corners(p.paths(s))
		for _, q := range g.rings[i][0] {
			g.boxes[i] = g.boxes[i].Take(q)
		}
	}
	return g
}

// top is the piece that is seen at a point, -1 where there is none.
func (g grounds) top(p scene.Point) int {
	for i := len(g.rings) - 1; i >= 0; i-- {
		if b := g.boxes[i]; p.X >= b.Low.X && p.X <= b.High.X && p.Y >= b.Low.Y && p.Y <= b.High.Y && holds(p, g.rings[i]) {
			return i
		}
	}
	return -1
}

// clearOf reports whether every piece drawn after i keeps off a point.
func (g grounds) clearOf(p scene.Point, i int, offMM float64) bool {
	for k := i + 1; k < len(g.rings); k++ {
		if b := g.boxes[k].Grown(offMM); p.X >= b.Low.X && p.X <= b.High.X && p.Y >= b.Low.Y && p.Y <= b.High.Y &&
			clearance(p, g.rings[k]) > -offMM {
			return false
		}
	}
	return true
}

// stepArrow tries the sides of the ground laid next, the longest common one first, from
// its middle outward.
func (s *Sheet) stepArrow(g grounds, t step) bool {
	const everyMM, leastMM = 1.0, 2.0
	type side struct {
		at []scene.Point // places on it that the earlier ground lies beyond
		in scene.Point   // the way across
	}
	for _, half := range [...]float64{3.5, 2} {
		var sides []side
		for _, b := range t.to {
			ring := g.rings[b][0]
			for i, p := range ring {
				v := ring[(i+1)%len(ring)].Sub(p)
				d := side{in: v.Unit().Left()}
				for m := leastMM; m <= v.Length()-leastMM; m += everyMM {
					q := p.Add(v.Unit().Scale(m))
					if slices.Contains(t.from, g.top(q.Sub(d.in.Scale(half)))) && slices.Contains(t.to, g.top(q.Add(d.in.Scale(half)))) {
						d.at = append(d.at, q)
					}
				}
				if len(d.at) > 0 {
					sides = append(sides, d)
				}
			}
		}
		slices.SortStableFunc(sides, func(a, b side) int { return len(b.at) - len(a.at) })
		for _, d := range sides {
			for k := range d.at {
				// The middle, then by turns to either side of it.
				i := len(d.at)/2 + (k+1)/2*(1-2*(k%2))
				if i < 0 || i >= len(d.at) {
					continue
				}
				if s.freeArrow(d.at[i].Sub(d.in.Scale(half)), d.at[i].Add(d.in.Scale(half))) {
					return true
				}
			}
		}
	}
	return false
}

// freeArrow draws an arrow that keeps clear of lettering, or nothing.
func (s *Sheet) freeArrow(from, to scene.Point) bool {
	way := to.Sub(from).Unit()
	// The head is wider than the line.
	for _, aside := range [...]float64{0, 0.7, -0.7} {
		off := way.Left().Scale(aside)
		if !s.Space.FreeLine(from.Add(off), to.Add(off)) {
			return false
		}
	}
	s.Add(scene.Group{Meta: scene.Meta{Class: "order", Layer: "order"}, Items: []scene.Item{
		scene.Line(scene.Meta{}, scene.Pen(scene.Medium), from, to.Sub(way)),
		scene.Arrowhead(to, way.AngleDeg(), 3),
	}})
	return true
}

// arrowSign is the key's picture of a step.
func arrowSign() []scene.Item {
	return []scene.Item{scene.Line(scene.Meta{}, scene.Pen(scene.Medium), scene.Point{X: 3, Y: 2.5}, scene.Point{X: 9, Y: 2.5}),
		scene.Arrowhead(scene.Point{X: 10, Y: 2.5}, 0, 3)}
}

// bucketsApart says which buckets cover ground in places that do not touch.
func bucketsApart(x *laying.Pass, w *part) string {
	var list []string
	for _, m := range x.Plan.Mixes {
		here := false
		for _, c := range m.Parts {
			here = here || w.holds(c.Shape)
		}
		if places := apart(m.Parts); here && places > 1 {
			list = append(list, fmt.Sprint(m.Number))
		}
	}
	const most = 9
	switch n := len(list); {
	case n == 0:
		return ""
	case n > most:
		return "where a bucket covers places that do not touch, each bears its number"
	case n == 1:
		return "bucket " + list[0] + " covers places that do not touch; each bears its number"
	}
	return "buckets " + numberRuns(list) + " cover places that do not touch; each bears its bucket's number"
}

// touchM is how near two parts of a bucket are laid as one place.
const touchM = 0.05

// apart counts the places that the parts of a bucket make up.
func apart(parts []mixing.Part) int {
	group := make([]int, len(parts))
	for i := range group {
		group[i] = i
	}
	n := 0
	for i := range parts {
		if len(parts[i].Shape) > 0 {
			n++
		}
		for k := range i {
			if group[i] == group[k] || !touching(parts[i].Shape, parts[k].Shape) {
				continue
			}
			n--
			from, to := group[i], group[k]
			for j := range group {
				if group[j] == from {
					group[j] = to
				}
			}
		}
	}
	return n
}

// touching reports whether some corner of one outline lies on the other.
func touching(a, b plane.Loop) bool {
	on := func(a, b plane.Loop) bool {
		return slices.ContainsFunc(a, func(p plane.Point) bool { return b.Distance(p) < touchM })
	}
	return on(a, b) || on(b, a)
}

// tuck is a strip that is laid after another and yet goes under it.
type tuck struct{ over, under string }

// tucksOf lists the strips of a layer on a sheet of which the later goes under the earlier.
func tucksOf(p *plan.Plan, deck string, layer int, laid []settingout.Piece) []tuck {
	here := map[string]bool{}
	for _, m := range laid {
		here[m.Number] = true
	}
	var out []tuck
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Deck != deck || x.Kind != "mat" || x.Layer != layer || x.Plan == nil {
			continue
		}
		for _, k := range x.Plan.Tucked {
			t := tuck{stripOf(k.UpperName), stripOf(k.LowerName)}
			if here[t.over] && here[t.under] && !slices.Contains(out, t) {
				out = append(out, t)
			}
		}
	}
	return out
}

// stripOf is the strip that a cell "M4b" is of.
func stripOf(cell string) string {
	return strings.TrimRight(cell, "abcdefghijklmnopqrstuvwxyz")
}

// raise draws over after under.
func raise(shapes []LabelledShape, over, under string) {
	at := func(id string) int {
		return slices.IndexFunc(shapes, func(x LabelledShape) bool { return x.ID == id })
	}
	i, k := at(over), at(under)
	if i < 0 || k < i {
		return
	}
	x := shapes[i]
	copy(shapes[i:k], shapes[i+1:k+1])
	shapes[k] = x
}

// tuckWords says which strips are pushed under which.
func tuckWords(tucks []tuck) string {
	const most = 4
	var list []string
	for _, k := range tucks {
		if len(list) == most {
			list = append(list, "and others")
			break
		}
		list = append(list, k.under+" under "+k.over)
	}
	if list == nil {
		return ""
	}
	return "though laid later, push " + strings.Join(list, ", ") + ": leave that edge dry and lift it"
}
