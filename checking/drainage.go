package checking

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/drainage"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
)

// overflowSillMM is the sill of an overflow above the finished roof at the outlet where
// the file does not say (common practice: 20 to 30 mm).
const overflowSillMM = 30

// drainage checks falls, flows and overflow of one deck.
func (out *DeckChecks) drainage(in *DeckChecksInput, set country.Set, sagMM, spanM float64) error {
	d, g, w := &in.Deck, &in.Geometry.Value, &in.Waters.Value.Decks[in.Index]
	base := drainage.Catchment{Name: d.Name, AreaM2: g.NetM2, Enclosed: true, BrimMM: brimMM(d, g.Surface), Design: g.LeastFall, WallWhy: wallWhy(d, in.Levels)}
	for e := range d.Edges {
		if runoff.Takes(d, e) {
			base.Enclosed = false
		}
	}
	for k, o := range runoff.OutletsOf(d) {
		base.OutletsMM = append(base.OutletsMM, o.DiameterMM)
		base.LevelsMM = append(base.LevelsMM, 1000*g.Surface.HeightM(o.At))
		base.SaddleMM = append(base.SaddleMM, w.SaddlesMM[k])
	}
	for _, p := range d.Penetrations {
		if p.Kind == "overflow" {
			base.OverflowMM += math.Max(p.WidthMM, p.DiameterMM)
			base.OverflowSillMM = overflowSillMM
		}
	}
	// The sag matters where joists run along the fall; across it the whole deck sinks alike
	// but for the ends, which sit on their bearings.
	out.Answer(drainage.CheckFall(base, set, sagMM, spanM), "")
	if len(w.Pools) > 0 {
		out.Answer(runoff.CheckPools(d, w.Pools), "")
	}
	wallM2 := wallAboveM2(d, in.Levels)
	for _, w := range w.Waters {
		base.StandsM2 += w.StandsM2
		if w.Lost {
			continue // nothing carries it: said by the check of the pools or of the fall
		}
		c := base
		c.Name, c.AreaM2, c.OutletsMM, c.LevelsMM, c.SaddleMM = w.Name, w.AreaM2, nil, nil, nil
		if w.OutletMM > 0 {
			c.OutletsMM = []float64{w.OutletMM}
		}
		if w.Edge >= 0 {
			c.GutterLengthM = d.Outline.Edge(w.Edge).Length()
		}
		// Walls shed on the whole deck; each drain takes its share.
		if g.NetM2 > 0 {
			c.WallM2 = wallM2 * math.Min(1, w.AreaM2/g.NetM2)
		}
		if c.WallM2 == 0 {
			c.WallWhy = ""
		}
		r := drainage.CheckCapacity(c, set)
		if w.StandsM2 > 0 {
			r.Finding += fmt.Sprintf("; %.1f m² of it stands in a pool first", w.StandsM2)
			if r.Verdict == check.Pass {
				r.Verdict = check.Caution
			}
		}
		out.Answer(r, "")
	}
	// With the outlet blocked all that arrives must go over, what decks above shed too.
	over := base
	if arriving := 0.0; base.Enclosed {
		for _, w := range w.Waters {
			arriving += w.AreaM2
		}
		over.AreaM2 = math.Max(over.AreaM2, arriving)
	}
	over.WallM2 = wallM2
	r := drainage.CheckOverflow(over, set)
	out.AnswerOn(d.Name, in.Several, r)
	if len(r.Working) == 0 {
		return nil // it does not stand, or nobody can say how deep
	}
	return out.blocked(d.Name, g.Surface, r.Working[0])
}

// brimMM is the level above the lowest point of the deck at which water gets over
// its upstands, under its sills or over the kerb of an opening; 0 for no brim.
func brimMM(d *roof.Deck, s plane.Surface) float64 {
	brim := math.Inf(1)
	for i, e := range d.Edges {
		g := d.Outline.Edge(i)
		if e.HeightMM > 0 {
			brim = math.Min(brim, 1000*runoff.LowAlong(s, g, 0, 1)+e.HeightMM)
		}
		for _, t := range e.Thresholds {
			if l := g.Length(); l > 0 {
				brim = math.Min(brim, 1000*runoff.LowAlong(s, g, t.FromM/l, t.ToM/l)+t.UpstandMM)
			}
		}
	}
	for _, o := range d.Openings {
		for _, c := range o.Outline.Chords(0.01) {
			if o.KerbMM > 0 {
				brim = math.Min(brim, 1000*s.HeightM(c)+o.KerbMM)
			}
		}
	}
	if math.IsInf(brim, 1) {
		return 0
	}
	return brim
}
