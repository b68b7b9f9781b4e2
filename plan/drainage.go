package plan

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/drainage"
	"gelwright/roof"
)

// overflowSillMM is the sill of an overflow above the finished roof at the outlet where
// the file does not say (common practice: 20 to 30 mm).
const overflowSillMM = 30

// drainage checks falls, flows and overflow of one deck.
func (m *maker) drainage(i int, sagMM, spanM float64) {
	d, out := &m.job.Decks[i], &m.plan.Decks[i]
	base := drainage.Catchment{Name: d.Name, AreaM2: out.NetM2, Enclosed: true, BrimMM: brimMM(d, out), Design: out.LeastFall, WallWhy: m.wallWhy(d)}
	for e := range d.Edges {
		if takes(d, e) {
			base.Enclosed = false
		}
	}
	for k, o := range outletsOf(d) {
		base.OutletsMM = append(base.OutletsMM, o.DiameterMM)
		base.LevelsMM = append(base.LevelsMM, 1000*out.Surface.HeightM(o.At))
		saddle := math.Inf(1)
		if s, ok := m.spillFrom(i, o.At, k); ok {
			saddle = 1000 * s.levelM
		}
		base.SaddleMM = append(base.SaddleMM, saddle)
	}
	for _, p := range d.Penetrations {
		if p.Kind == "overflow" {
			base.OverflowMM += math.Max(p.WidthMM, p.DiameterMM)
			base.OverflowSillMM = overflowSillMM
		}
	}
	// The sag matters where joists run along the fall; across it the whole deck sinks alike
	// but for the ends, which sit on their bearings.
	fall := drainage.CheckFall(base, m.plan.Set, sagMM, spanM)
	out.Waters, out.Drains = m.waters(i), m.drains(i)
	if len(out.Pools) == 0 {
		// All water runs off: the lowest corner lies on a level line that leads to a drain.
		out.LowPointFault = ""
	}
	m.addCheck(fall, "")
	m.checkPools(i)
	for _, w := range out.Waters {
		base.StandsM2 += w.StandsM2
		if w.lost {
			continue // nothing carries it: said by the check of the pools or of the fall
		}
		c := base
		c.Name, c.AreaM2, c.OutletsMM, c.LevelsMM, c.SaddleMM = w.Name, w.AreaM2, nil, nil, nil
		if w.outletMM > 0 {
			c.OutletsMM = []float64{w.outletMM}
		}
		if w.edge >= 0 {
			c.GutterLengthM = d.Outline.Edge(w.edge).Length()
		}
		// Walls shed on the whole deck; each drain takes its share.
		if out.NetM2 > 0 {
			c.WallM2 = m.wallAboveM2(d) * math.Min(1, w.AreaM2/out.NetM2)
		}
		if c.WallM2 == 0 {
			c.WallWhy = ""
		}
		r := drainage.CheckCapacity(c, m.plan.Set)
		if w.StandsM2 > 0 {
			r.Finding += fmt.Sprintf("; %.1f m² of it stands in a pool first", w.StandsM2)
			if r.Verdict == check.Pass {
				r.Verdict = check.Caution
			}
		}
		m.addCheck(r, "")
	}
	// With the outlet blocked all that arrives must go over, what decks above shed too.
	over := base
	if arriving := 0.0; base.Enclosed {
		for _, w := range out.Waters {
			arriving += w.AreaM2
		}
		over.AreaM2 = math.Max(over.AreaM2, arriving)
	}
	over.WallM2 = m.wallAboveM2(d)
	m.addCheck(drainage.CheckOverflow(over, m.plan.Set), "deck "+d.Name)
}

// brimMM is the level above the lowest point of the deck at which water gets over
// its upstands, under its sills or over the kerb of an opening; 0 for no brim.
func brimMM(d *roof.Deck, out *Deck) float64 {
	brim := math.Inf(1)
	for i, e := range d.Edges {
		g := d.Outline.Edge(i)
		if e.HeightMM > 0 {
			brim = math.Min(brim, 1000*lowAlong(out.Surface, g, 0, 1)+e.HeightMM)
		}
		for _, t := range e.Thresholds {
			if l := g.Length(); l > 0 {
				brim = math.Min(brim, 1000*lowAlong(out.Surface, g, t.FromM/l, t.ToM/l)+t.UpstandMM)
			}
		}
	}
	for _, o := range d.Openings {
		for _, c := range o.Outline.Chords(0.01) {
			if o.KerbMM > 0 {
				brim = math.Min(brim, 1000*out.Surface.HeightM(c)+o.KerbMM)
			}
		}
	}
	if math.IsInf(brim, 1) {
		return 0
	}
	return brim
}

// waters sums the catchments of a deck by the edge or outlet they leave at, with
// what comes down from decks above.
func (m *maker) waters(i int) []Water {
	d := &m.job.Decks[i]
	out := []Water{}
	for n, w := range m.leavingFrom(i) {
		if e := w.edge; e >= 0 && (d.Edges[e].Condition == roof.StepDown || d.Edges[e].Condition == roof.BoxGutter) && m.below(i, e) >= 0 {
			continue // it goes on to the deck below
		}
		x := Water{Name: fmt.Sprintf("%s, %s", d.Name, w.what), AreaM2: w.area + m.fromAbove(i, n, nil), StandsM2: w.standing, edge: w.edge, lost: w.lost}
		if w.lost {
			x.StandsM2 = w.area
		}
		for _, o := range outletsOf(d) {
			if w.edge < 0 && o.Name == w.what {
				x.outletMM = o.DiameterMM
			}
		}
		out = append(out, x)
	}
	return out
}
