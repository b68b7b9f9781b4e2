package plan

import (
	"fmt"

	"gelwright/plane"
	"gelwright/roof"
)

// leaving is the part of a deck that drains at one place.
type leaving struct {
	what string
	edge int // -1 for an outlet
	area float64
	part plane.Catchment
}

// Water is what leaves the roof at one place, with the deck areas it comes from.
type Water struct {
	Name   string  `json:"name"`
	AreaM2 float64 `json:"area_m2"`
}

// Drain is the ground that drains to one edge or outlet.
type Drain struct {
	To     string          `json:"to"`
	AreaM2 float64         `json:"area_m2"`
	Area   []plane.Polygon `json:"area"`
}

// drains lists the catchments of a deck for its drawing.
func (m *maker) drains(i int) []Drain {
	var out []Drain
	for _, l := range m.catchments(i) {
		if len(l.part.Area) > 0 {
			out = append(out, Drain{To: l.what, AreaM2: l.area, Area: l.part.Area})
		}
	}
	return out
}

// catchments parts one deck by where its water goes. A deck that has no fall, or
// nothing to take its water, drains as a whole to a place that is not known.
func (m *maker) catchments(i int) []leaving {
	if m.leave == nil {
		m.leave = make([][]leaving, len(m.job.Decks))
	}
	if m.leave[i] == nil {
		m.leave[i] = m.catch(i)
	}
	return m.leave[i]
}

func (m *maker) catch(i int) []leaving {
	d, out := &m.job.Decks[i], &m.plan.Decks[i]
	var outlets []plane.Point
	var names []string
	for _, p := range d.Penetrations {
		if p.Kind == "outlet" {
			outlets = append(outlets, p.At)
			names = append(names, p.Name)
		}
	}
	takes := func(e int) bool { return d.Edges[e].Condition.TakesWater() || d.Edges[e].Condition == roof.Joins }
	cs, err := plane.Catchments(out.Surface, d.Outline, takes, outlets)
	if err != nil {
		return []leaving{{what: "not known: " + err.Error(), edge: -1, area: out.NetM2}}
	}
	var list []leaving
	for _, c := range cs {
		l := leaving{edge: -1, area: c.RainM2(), part: c, what: "not drained"}
		switch {
		case c.Outlet >= 0 && c.Outlet < len(names):
			l.what = names[c.Outlet]
		case c.Edge >= 0:
			l.edge = c.Edge
			l.what = fmt.Sprintf("edge %d (%s)", c.Edge+1, d.Edges[c.Edge].Condition)
		}
		list = append(list, l)
	}
	return list
}

// below returns the deck that takes what leaves over an edge: the one named, or the
// highest lower deck whose outline the middle of the edge lies on or in.
func (m *maker) below(i, edge int) int {
	d := &m.job.Decks[i]
	if to := d.Edges[edge].To; to != "" {
		for k := range m.job.Decks {
			if m.job.Decks[k].Name == to {
				return k
			}
		}
	}
	e := d.Outline.Edge(edge)
	out := e.Tangent(0.5).Left().Scale(-0.02)
	at := e.At(0.5).Add(out)
	best := -1
	for k := range m.job.Decks {
		o := &m.job.Decks[k]
		if k == i || !plane.ContainsAny(m.plan.Decks[k].Net, at) {
			continue
		}
		lower := o.LevelM < d.LevelM || d.Edges[edge].Condition == roof.BoxGutter
		if lower && (best < 0 || o.LevelM > m.job.Decks[best].LevelM) {
			best = k
		}
	}
	return best
}

// fromAbove sums what decks above shed on to deck i and leaves it at edge: water that
// comes over a step is taken to leave where the drop lands.
func (m *maker) fromAbove(i, edge int) float64 {
	sum := 0.0
	for k := range m.job.Decks {
		if k == i {
			continue
		}
		for _, w := range m.catchments(k) {
			if w.edge < 0 {
				continue
			}
			c := m.job.Decks[k].Edges[w.edge].Condition
			if (c != roof.StepDown && c != roof.BoxGutter) || m.below(k, w.edge) != i {
				continue
			}
			area := w.area + m.fromAbove(k, w.edge)
			sum += area * m.share(i, k, w.edge, edge)
		}
	}
	return sum
}

// share is the part of what drops along an upper edge that leaves deck i at edge, by
// tracing a hundred drops along it.
func (m *maker) share(i, upper, upperEdge, edge int) float64 {
	e := m.job.Decks[upper].Outline.Edge(upperEdge)
	out := e.Tangent(0.5).Left().Scale(-0.02)
	const drops = 100
	hit, all := 0, 0
	for n := 0; n < drops; n++ {
		at := e.At((float64(n) + 0.5) / drops).Add(out)
		for _, w := range m.catchments(i) {
			if plane.ContainsAny(w.part.Area, at) {
				all++
				if w.edge == edge {
					hit++
				}
				break
			}
		}
	}
	if all == 0 {
		return 1
	}
	return float64(hit) / float64(all)
}
