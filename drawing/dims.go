package drawing

import (
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// chainPlan is the dimensions on one side of the figure: rows from the figure
// outward, each a set of stations in metres along the side.
type chainPlan struct {
	rows [][]float64
	// edge is the room on the other side: for edge names, or for slanting dimensions.
	edge float64
}

// sameM joins stations closer than this; the tape does not see less.
const sameM = 0.0015

func distinct(v []float64) []float64 {
	sort.Float64s(v)
	var out []float64
	for _, x := range v {
		if len(out) == 0 || x-out[len(out)-1] > sameM {
			out = append(out, x)
		}
	}
	return out
}

// maxStations is the most dimensions in one row that can still be read.
const maxStations = 36

// plansFor returns the rows under the figure (x) and on its left (y): openings
// and penetrations nearest, then the corners, then the whole.
func plansFor(decks []roof.Deck) (x, y chainPlan) {
	var corners, inner [2][]float64
	for _, d := range decks {
		low, high := d.Outline.Bounds()
		for _, v := range d.Outline {
			corners[0], corners[1] = append(corners[0], v.X), append(corners[1], v.Y)
		}
		corners[0] = append(corners[0], low.X, high.X)
		corners[1] = append(corners[1], low.Y, high.Y)
		for _, o := range d.Openings {
			a, b := o.Outline.Bounds()
			inner[0] = append(inner[0], a.X, b.X)
			inner[1] = append(inner[1], a.Y, b.Y)
		}
		for _, p := range d.Penetrations {
			inner[0] = append(inner[0], p.At.X)
			inner[1] = append(inner[1], p.At.Y)
		}
	}
	edge := 8.5
	for _, d := range decks {
		if slants(d.Outline) {
			edge = firstRowMM + 3
		}
	}
	make1 := func(k int) chainPlan {
		c := distinct(corners[k])
		var rows [][]float64
		if len(inner[k]) > 0 && len(c) > 1 {
			r := distinct(append(inner[k], c[0], c[len(c)-1]))
			if len(r) <= maxStations {
				rows = append(rows, r)
			}
		}
		if len(c) > 2 && len(c) <= maxStations {
			rows = append(rows, c)
		}
		if len(c) > 1 {
			rows = append(rows, []float64{c[0], c[len(c)-1]})
		}
		return chainPlan{rows, edge}
	}
	return make1(0), make1(1)
}

const (
	firstRowMM = 11.0
	rowMM      = 8.0
	footMM     = 7.5
)

// chains places the rows of one side. The scale is given so that their room can
// be asked for before the sheet is chosen.
func (c chainPlan) chains(scale float64, from scene.Point, startM, alongDeg, side float64) ([]scene.ChainDimension, float64) {
	var out []scene.ChainDimension
	off, foot := firstRowMM, footMM
	for _, row := range c.rows {
		d := scene.ChainDimension{Meta: scene.Meta{Layer: "dimensions", Class: "dimension"}, From: from, AlongDeg: alongDeg,
			OffsetMM: side * off, FootMM: side * foot}
		for i, m := range row {
			d.Stations = append(d.Stations, (m-startM)*1000/scale)
			if i > 0 {
				d.Labels = append(d.Labels, scene.Millimetres(m-row[i-1]))
			}
		}
		out = append(out, d)
		// Outer rows take up their extension lines beyond the lettering of the row
		// before, which they would cross otherwise.
		foot = off + d.RoomMM() + 0.4
		off += max(rowMM, d.RoomMM()+4.2)
	}
	return out, off
}

// room is how far outside the figure the rows reach, at the worst scale that
// would still be drawn: labels lift off the line as the scale gets smaller.
func (c chainPlan) room(scale float64) float64 {
	if len(c.rows) == 0 {
		return footMM + 4
	}
	_, off := c.chains(scale, scene.Point{}, c.rows[0][0], 0, -1)
	return off - 3
}

// dimensions draws the rows below and to the left of the figure.
func (s *Sheet) dimensions(low plane.Point, x, y chainPlan) {
	corner := s.At(low)
	cs, _ := x.chains(s.Scale, corner, low.X, 0, -1)
	for _, c := range cs {
		s.Add(c.Items()...)
	}
	cs, _ = y.chains(s.Scale, corner, low.Y, 90, 1)
	for _, c := range cs {
		s.Add(c.Items()...)
	}
}

// slanted draws the true length along edges that no row measures, and radius and
// length of arcs.
func (s *Sheet) slanted(d roof.Deck, ccw bool) {
	for i := range d.Outline {
		pe := d.Outline.Edge(i)
		e := s.sheetEdge(pe)
		if !ccw {
			e = plane.Edge{A: e.B, B: e.A, Bulge: -e.Bulge}
		}
		if !e.Straight() {
			s.arcDimension(pe, e)
			continue
		}
		if !slanting(pe) {
			continue
		}
		v := e.B.Sub(e.A)
		c := scene.ChainDimension{Meta: scene.Meta{Layer: "dimensions", Class: "dimension"}, From: scene.Point(e.A),
			AlongDeg: scene.Point(v).AngleDeg(),
			Stations: []float64{0, v.Length()}, Labels: []string{scene.Millimetres(pe.Length())}, OffsetMM: -firstRowMM, FootMM: -footMM}
		s.Add(c.Items()...)
	}
}

// slanting edges run neither along x nor along y, so that no row measures them.
func slanting(e plane.Edge) bool {
	v := e.B.Sub(e.A)
	return e.Straight() && math.Abs(v.X) > 0.01*v.Length() && math.Abs(v.Y) > 0.01*v.Length()
}

func slants(r plane.Ring) bool {
	for i := range r {
		if slanting(r.Edge(i)) {
			return true
		}
	}
	return false
}

// arcDimension writes radius and length of arc inside the curve.
func (s *Sheet) arcDimension(pe, e plane.Edge) {
	r, _ := pe.Arc()
	label := "R " + scene.Millimetres(r) + ", arc " + scene.Millimetres(pe.Length())
	centre := scene.Point(e.Centre())
	rr, _ := e.Arc()
	for _, t := range [...]float64{0.35, 0.65, 0.25, 0.75, 0.5, 0.15, 0.85} {
		dir := scene.Point(e.At(t)).Sub(centre)
		items := scene.Radius(scene.Meta{Layer: "dimensions", Class: "dimension"}, centre, rr, dir.AngleDeg(), label)
		if s.clear(items) {
			s.Add(items...)
			return
		}
	}
	b := words(label)
	b.layer = "dimensions"
	s.leader(scene.Point(e.At(0.35)), b, 0, 50, nil)
}

// clear reports whether the items' lettering would lie free and their lines
// cross no lettering.
func (s *Sheet) clear(items []scene.Item) bool {
	v := &clearVisitor{space: s.Space, ok: true}
	(&scene.Scene{Items: items}).Walk(v)
	return v.ok
}

type clearVisitor struct {
	space *scene.Obstacles
	ok    bool
}

func (v *clearVisitor) Open(scene.Meta) {}
func (v *clearVisitor) Close()          {}
func (v *clearVisitor) Text(t scene.Text) {
	v.ok = v.ok && v.space.Free(t, 0.3)
}
func (v *clearVisitor) Shape(x scene.Shape) {
	for _, p := range x.Paths {
		pts := p.Points(0.1)
		for i := 0; i+1 < len(pts); i++ {
			v.ok = v.ok && v.space.FreeLine(pts[i], pts[i+1])
		}
	}
}
