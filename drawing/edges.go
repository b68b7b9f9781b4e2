package drawing

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// mark is how an edge condition looks: a line beside the outline and groups of
// ticks between the two. No two conditions share both.
type mark struct {
	dash  scene.Dash
	ticks int
	wide  float64
}

var marks = map[roof.Condition]mark{
	roof.Drip:      {scene.Dashed, 1, scene.Medium},
	roof.Verge:     {scene.LongDash, 1, scene.Medium},
	roof.Kerb:      {scene.Solid, 1, scene.Medium},
	roof.Wall:      {scene.Solid, 3, scene.Heavy},
	roof.Parapet:   {scene.Solid, 2, scene.Medium},
	roof.Tuck:      {scene.Dashed, 2, scene.Medium},
	roof.BoxGutter: {scene.DoubleChain, 2, scene.Medium},
	roof.StepUp:    {scene.Chain, 3, scene.Medium},
	roof.StepDown:  {scene.Chain, 1, scene.Medium},
	roof.Joins:     {scene.Dotted, 1, scene.Medium},
}

// conditionWords say in the key what an edge name means.
var conditionWords = map[roof.Condition]string{
	roof.Drip:      "drip: water leaves here",
	roof.Verge:     "verge: low raised trim",
	roof.Kerb:      "kerb: raised edge",
	roof.Wall:      "wall: upstand, flashing",
	roof.Parapet:   "parapet: upstand, coping",
	roof.Tuck:      "tuck: under tiles or slates",
	roof.BoxGutter: "box gutter within the roof",
	roof.StepUp:    "step up to a higher deck",
	roof.StepDown:  "step down to a lower deck",
	roof.Joins:     "joins an existing laminate",
}

const (
	markOffsetMM = 1.6 // condition line outside the outline
	tickReachMM  = 2.6
)

// edgeWords name an edge on the plan: condition and the height that belongs to it.
func edgeWords(e roof.Edge) string {
	w := string(e.Condition)
	switch {
	case e.HeightMM > 0 && e.Condition.HasUpstand():
		w += fmt.Sprintf(", upstand %.0f", e.HeightMM)
	case e.HeightMM > 0:
		w += fmt.Sprintf(" %.0f high", e.HeightMM)
	}
	if e.To != "" {
		w += " (" + e.To + ")"
	}
	return w
}

// sheetEdge is an edge on paper.
func (s *Sheet) sheetEdge(e plane.Edge) plane.Edge {
	a, b := s.At(e.A), s.At(e.B)
	return plane.Edge{A: plane.Point(a), B: plane.Point(b), Bulge: e.Bulge}
}

// outward of an edge at fraction t: to the right of travel on an anticlockwise outline.
func outward(e plane.Edge, t float64) scene.Point {
	return scene.Point(e.Tangent(t).Left().Scale(-1))
}

// edgeMark draws the line and ticks of a condition beside the outline.
func (s *Sheet) edgeMark(deck string, i int, pe plane.Edge, c roof.Edge, ccw bool) {
	m, ok := marks[c.Condition]
	if !ok {
		m = mark{scene.Solid, 0, scene.Thin}
	}
	e := s.sheetEdge(pe)
	if !ccw {
		e = plane.Edge{A: e.B, B: e.A, Bulge: -e.Bulge}
	}
	long := e.Length()
	at := func(t, off float64) scene.Point { return scene.Point(e.At(t)).Add(outward(e, t).Scale(off)) }
	// The line stops short of the corners so that neighbours do not run together.
	in := min(1.5/long, 0.2)
	line := scene.Polyline(at(in, markOffsetMM), at(1-in, markOffsetMM))
	if !e.Straight() {
		_, angle := e.Arc()
		angle *= 1 - 2*in
		line.Vertices[0].Bulge = math.Copysign(math.Tan(angle/4), e.Bulge)
	}
	items := []scene.Item{scene.Shape{Paths: []scene.Path{line}, Stroke: scene.Stroke{WidthMM: m.wide, Dash: m.dash}}}
	var ticks []scene.Path
	groups := []float64{0.5}
	if long > 40 {
		groups = []float64{10 / long, 1 - 10/long}
	}
	for _, g := range groups {
		for k := range m.ticks {
			t := g + (float64(k)-float64(m.ticks-1)/2)*1.3/long
			lean := scene.Point(e.Tangent(t)).Scale(0.6)
			ticks = append(ticks, scene.Polyline(scene.Point(e.At(t)), at(t, tickReachMM).Add(lean)))
		}
	}
	if ticks != nil {
		items = append(items, scene.Shape{Paths: ticks, Stroke: scene.Pen(scene.Medium)})
	}
	title := fmt.Sprintf("Edge %d of %s: %s, %s mm", i+1, deck, edgeWords(c), scene.Millimetres(pe.Length()))
	s.Add(scene.Group{Meta: scene.Meta{ID: fmt.Sprintf("edge-%s-%d", slug(deck), i), Class: "edge " + slug(string(c.Condition)),
		Title: title, Layer: "edges"}, Items: items})
}

// edgeName writes the condition along its edge, outside if there is room, inside
// if not, else with a leader.
func (s *Sheet) edgeName(pe plane.Edge, c roof.Edge, ccw bool) {
	e := s.sheetEdge(pe)
	if !ccw {
		e = plane.Edge{A: e.B, B: e.A, Bulge: -e.Bulge}
	}
	b := s.words(edgeWords(c))
	b.layer = "edges"
	w, _ := b.size()
	for _, side := range [...]float64{1, -1} {
		if s.nameAlong(e, b, side, edgeNameOff(e, side, w)) {
			return
		}
	}
	mid := scene.Point(e.At(0.5)).Add(outward(e, 0.5).Scale(markOffsetMM))
	s.leader(mid, b, 0, 40, nil)
}

// edgeNameOff is how far from the edge a name so wide stands: outside of the ticks, or inside.
func edgeNameOff(e plane.Edge, side, wide float64) float64 {
	off := tickReachMM + 0.5 + scene.TextSmall/2 + 0.6
	if side < 0 {
		off = scene.TextSmall/2 + 1.8
	}
	if e.Straight() || (side > 0) != (e.Bulge < 0) {
		return off
	}
	// Along an arc the middle of straight lettering stands off, so that its ends clear the line.
	r, _ := e.Arc()
	if half := wide/2 + 1; half < r {
		off += r - math.Sqrt(r*r-half*half)
	}
	return off
}

// nameAlong letters an edge's name along it, from its middle outward; false where there is no room.
func (s *Sheet) nameAlong(e plane.Edge, b block, side, off float64) bool {
	w, _ := b.size()
	for _, extra := range [...]float64{0, 1.5} {
		for _, t := range [...]float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78} {
			if side > 0 && extra == 0 && e.Straight() && w > e.Length() {
				continue
			}
			angle := scene.Readable(scene.Point(e.Tangent(t)).AngleDeg())
			at := scene.Point(e.At(t)).Add(outward(e, t).Scale(side * (off + extra)))
			if s.Space.FreeQuad(quadAt(at, w+5, scene.TextSmall+1.4, angle)) || t == 0.78 && s.Space.FreeQuad(b.quad(at, angle, 0.3)) {
				s.Add(b.items(at, angle)...)
				return true
			}
		}
	}
	return false
}

// thresholds draws door sills as white blocks in the wall's line.
func (s *Sheet) thresholds(deck string, i int, pe plane.Edge, c roof.Edge, ccw bool) {
	for k, th := range c.Thresholds {
		a, b, n := s.sill(pe, th, ccw)
		out := n.Scale(tickReachMM)
		s.Add(scene.Shape{Meta: scene.Meta{ID: fmt.Sprintf("sill-%s-%d-%d", slug(deck), i, k), Class: "sill", Layer: "edges",
			Title: fmt.Sprintf("Door sill on edge %d of %s, %s to %s mm along it, upstand %.0f mm", i+1, deck, scene.Millimetres(th.FromM),
				scene.Millimetres(th.ToM), th.UpstandMM)},
			Paths: []scene.Path{scene.Polygon(a, b, b.Add(out), a.Add(out))}, Filled: true, Fill: scene.White, Stroke: scene.Pen(scene.Thick)})
	}
}

// sill returns the ends of a threshold on paper and the outward direction.
func (s *Sheet) sill(pe plane.Edge, th roof.Threshold, ccw bool) (a, b, outwards scene.Point) {
	l := pe.Length()
	t := func(m float64) float64 { return max(0, min(1, m/l)) }
	a, b = s.At(pe.At(t(th.FromM))), s.At(pe.At(t(th.ToM)))
	n := outward(pe, t((th.FromM+th.ToM)/2))
	if !ccw {
		n = n.Scale(-1)
	}
	return a, b, n
}

// nameThresholds letters sills inside the deck, along the wall.
func (s *Sheet) nameThresholds(pe plane.Edge, c roof.Edge, ccw bool) {
	for _, th := range c.Thresholds {
		a, b, n := s.sill(pe, th, ccw)
		mid := a.Add(b).Scale(0.5)
		w := s.words(fmt.Sprintf("sill, upstand %.0f", th.UpstandMM))
		w.layer = "edges"
		angle := scene.Readable(b.Sub(a).AngleDeg())
		done := false
		for _, off := range [...]float64{-3.2, tickReachMM + 2.4, -5} {
			if at := mid.Add(n.Scale(off)); s.Space.FreeQuad(w.quad(at, angle, 0.3)) {
				s.Add(w.items(at, angle)...)
				done = true
				break
			}
		}
		if !done {
			s.leader(mid, w, 1, 40, nil)
		}
	}
}

// slug makes a word fit for an id.
func slug(words string) string {
	out := make([]rune, 0, len(words))
	for _, r := range words {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			out = append(out, r)
		case r >= 'A' && r <= 'Z':
			out = append(out, r-'A'+'a')
		case len(out) > 0 && out[len(out)-1] != '-':
			out = append(out, '-')
		}
	}
	return string(out)
}

// keyFor lists the conditions that the roof has, in the order of roof.Conditions.
func keyFor(decks []roof.Deck) []KeyEntry {
	used := map[roof.Condition]bool{}
	for _, d := range decks {
		for _, e := range d.Edges {
			used[e.Condition] = true
		}
	}
	var out []KeyEntry
	for _, c := range roof.Conditions() {
		if !used[c] {
			continue
		}
		m := marks[c]
		sign := []scene.Item{
			scene.Line(scene.Meta{}, scene.Pen(scene.Thick), scene.Point{X: 0.5, Y: 1.6}, scene.Point{X: 14, Y: 1.6}),
			scene.Line(scene.Meta{}, scene.Stroke{WidthMM: m.wide, Dash: m.dash}, scene.Point{X: 0.5, Y: 3.2}, scene.Point{X: 14, Y: 3.2}),
		}
		for k := range m.ticks {
			x := 7.2 + (float64(k)-float64(m.ticks-1)/2)*1.3
			sign = append(sign, scene.Line(scene.Meta{}, scene.Pen(scene.Medium), scene.Point{X: x, Y: 1.6}, scene.Point{X: x + 0.6, Y: 4.2}))
		}
		out = append(out, KeyEntry{Words: conditionWords[c], Sign: sign})
	}
	return out
}
