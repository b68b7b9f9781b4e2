package plan

import (
	"slices"

	"gelwright/plane"
	"gelwright/roof"
)

// leaving is the part of a deck that drains at one place.
type leaving struct {
	what   string
	edge   int // -1 for an outlet
	at     plane.Point
	stands bool
	// lost water finds no drain; depthMM is how deep it stands before it leaves.
	lost    bool
	depthMM float64
	// standing is the part of area that leaves only once a pool deeper than a trifle is full.
	standing float64
	area     float64
	part     plane.Catchment
}

// Water is what leaves the roof at one place, with the deck areas it comes from.
type Water struct {
	Name   string  `json:"name"`
	AreaM2 float64 `json:"area_m2"`
	// StandsM2 of it leaves only once a pool deeper than 5 mm is full, or never.
	StandsM2 float64 `json:"stands_m2,omitempty"`
	// outletMM is the outlet's diameter; edge the edge it leaves over, −1 for none.
	outletMM float64
	edge     int
	lost     bool
}

// Drain is the ground that drains to one edge or outlet.
type Drain struct {
	To     string          `json:"to"`
	AreaM2 float64         `json:"area_m2"`
	Area   []plane.Polygon `json:"area"`
}

// drains lists the parts of a deck for its drawing, by the same way as the flows.
func (m *maker) drains(i int) []Drain {
	var out []Drain
	for _, l := range m.routed(i) {
		if len(l.part.Area) > 0 {
			out = append(out, Drain{To: l.label(), AreaM2: l.area, Area: l.part.Area})
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
	cs, err := plane.Catchments(out.Surface, d.Outline, func(e int) bool { return takes(d, e) }, outlets)
	if err != nil {
		return []leaving{{what: "not known: " + err.Error(), edge: -1, area: out.NetM2, lost: true}}
	}
	var list []leaving
	for _, c := range cs {
		l := leaving{edge: -1, area: c.RainM2(), part: c, what: "not drained"}
		switch {
		case c.Stands():
			l.stands = true
		case c.Outlet >= 0 && c.Outlet < len(names):
			l.what, l.at = names[c.Outlet], outlets[c.Outlet]
		case c.Edge >= 0:
			l.edge = c.Edge
			l.what = edgeName(d, c.Edge)
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

// leavingFrom sums the routed parts of a deck by drain: standing water counts to the
// drain it spills to, for that is what the drain must carry once the pool is full.
// What nothing takes stays by itself.
func (m *maker) leavingFrom(i int) []leaving {
	var list []leaving
	for _, l := range m.routed(i) {
		if l.stands && !l.lost && l.depthMM > shallowMM {
			l.standing = l.area
		}
		k := slices.IndexFunc(list, func(x leaving) bool { return x.edge == l.edge && x.what == l.what && x.lost == l.lost })
		if k < 0 {
			list = append(list, l)
			continue
		}
		list[k].area += l.area
		list[k].standing += l.standing
		list[k].part.Area = append(append([]plane.Polygon(nil), list[k].part.Area...), l.part.Area...)
	}
	return slices.DeleteFunc(list, func(l leaving) bool { return l.area == 0 })
}

// fromAbove sums what decks above shed on to deck i and leaves it at drain n of
// leavingFrom(i): water that comes over a step is taken to leave where the drop lands.
// passed holds the decks the water has come through, so that decks which name each
// other do not send it round.
func (m *maker) fromAbove(i, n int, passed []int) float64 {
	sum := 0.0
	passed = append(append([]int(nil), passed...), i)
	for k := range m.job.Decks {
		if slices.Contains(passed, k) {
			continue
		}
		for j, w := range m.leavingFrom(k) {
			if w.edge < 0 {
				continue
			}
			c := m.job.Decks[k].Edges[w.edge].Condition
			if (c != roof.StepDown && c != roof.BoxGutter) || m.below(k, w.edge) != i {
				continue
			}
			sum += (w.area + m.fromAbove(k, j, passed)) * m.share(i, k, w.edge, n)
		}
	}
	return sum
}

// share is the part of what drops along an upper edge that leaves deck i at its drain
// n, by tracing a hundred drops along it.
func (m *maker) share(i, upper, upperEdge, n int) float64 {
	e := m.job.Decks[upper].Outline.Edge(upperEdge)
	out := e.Tangent(0.5).Left().Scale(-0.02)
	const drops = 100
	hit, all := 0, 0
	drains := m.leavingFrom(i)
	for drop := 0; drop < drops; drop++ {
		at := e.At((float64(drop) + 0.5) / drops).Add(out)
		for k, w := range drains {
			if plane.ContainsAny(w.part.Area, at) {
				all++
				if k == n {
					hit++
				}
				break
			}
		}
	}
	if all == 0 {
		// Nothing lands on the deck as drawn: all of it is counted once.
		if n == 0 {
			return 1
		}
		return 0
	}
	return float64(hit) / float64(all)
}
