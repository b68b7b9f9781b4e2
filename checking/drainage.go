package checking

import (
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/drainage"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/working"
)

// overflowSillMM is the sill of an overflow above the finished roof at the outlet where
// the file does not say (common practice: 20 to 30 mm).
const overflowSillMM = 30

// drainage checks falls, flows and overflow of one deck.
func (out *DeckChecks) drainage(in *DeckChecksInput, set country.Set, bears bearing) error {
	d, g, w := &in.Deck, &in.Geometry.Value, &in.Waters.Value.Decks[in.Index]
	base := in.catchment()
	// The sag matters where joists run along the fall; across it the whole deck sinks alike
	// but for the ends, which sit on their bearings.
	fall := drainage.CheckFall(base, set, bears.sagMM, bears.spanM)
	in.soften(&fall, func() bool { return drainage.CheckFall(base, set, 0, 0).Verdict != check.Fail })
	out.Answer(fall, "")
	if len(w.Pools) > 0 {
		out.Answer(runoff.CheckPools(d, w.Pools), "")
	}
	wallM2, arriving := wallAboveM2(d, in.Levels), 0.0
	for i := range w.Waters {
		arriving += w.Waters[i].AreaM2
		base.StandsM2 += w.Waters[i].StandsM2
		if !w.Waters[i].Lost { // what nothing carries is said by the check of the pools or of the fall
			out.Answer(in.capacity(base, &w.Waters[i], wallM2, set), "")
		}
	}
	// With the outlet blocked all that arrives must go over, what decks above shed too.
	over := base
	if base.Enclosed {
		over.AreaM2 = math.Max(over.AreaM2, arriving)
	}
	over.WallM2 = wallM2
	r := drainage.CheckOverflow(over, set)
	out.AnswerOn(d.Name, in.Several, r)
	for _, f := range r.Working {
		if strings.HasPrefix(f.Key, drainage.OverflowKey(over.Name)) {
			return out.blocked(d.Name, g.Surface, f)
		}
	}
	return nil // it does not stand, or nobody can say how deep
}

// catchment is the deck as the drainage rules see it.
func (in *DeckChecksInput) catchment() drainage.Catchment {
	d, g := &in.Deck, &in.Geometry.Value
	c := drainage.Catchment{Name: d.Name, AreaM2: g.NetM2, Enclosed: true, Guarded: true, Design: g.LeastFall,
		WallWhy: wallWhy(d, in.Levels)}
	if c.Brim = brim(d, g.Surface); c.Brim != nil {
		c.BrimMM = c.Brim.Value
	}
	for e := range d.Edges {
		if runoff.Takes(d, e) {
			c.Enclosed = false
		}
	}
	for k, o := range runoff.OutletsOf(d) {
		c.OutletsMM = append(c.OutletsMM, o.DiameterMM)
		c.LevelsMM = append(c.LevelsMM, 1000*g.Surface.HeightM(o.At))
		c.SaddleMM = append(c.SaddleMM, in.Waters.Value.Decks[in.Index].SaddlesMM[k])
	}
	for _, p := range d.Penetrations {
		if p.Kind == "overflow" {
			c.OverflowMM += math.Max(p.WidthMM, p.DiameterMM)
			c.OverflowSillMM = overflowSillMM
		}
	}
	return c
}

// capacity asks whether one drain takes what comes to it; c is the deck's catchment.
func (in *DeckChecksInput) capacity(c drainage.Catchment, w *runoff.Water, wallM2 float64, set country.Set) check.Result {
	c.Name, c.AreaM2, c.OutletsMM, c.LevelsMM, c.SaddleMM = w.Name, w.AreaM2, nil, nil, nil
	if w.OutletMM > 0 {
		c.OutletsMM, c.PipeMM = []float64{w.OutletMM}, w.OutletMM
		c.PipeWhy = "a pipe as wide as its outlet; the roof file does not say"
	}
	if w.Edge >= 0 {
		c.GutterLengthM = in.Deck.Outline.Edge(w.Edge).Length()
	}
	// Walls shed on the whole deck; each drain takes its share.
	if netM2 := in.Geometry.Value.NetM2; netM2 > 0 {
		c.WallM2 = wallM2 * math.Min(1, w.AreaM2/netM2)
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
	return r
}

var brimOver = working.MustFormula("zb = z + h")

// brim is the level above the lowest point of the deck, mm, at which water gets over its
// upstands, under its sills or over the kerb of an opening; nil for no brim.
func brim(d *roof.Deck, s plane.Surface) *working.Figure {
	var least *working.Figure
	over := func(what string, levelMM, heightMM float64) {
		if heightMM <= 0 || least != nil && levelMM+heightMM >= least.Value {
			return
		}
		least = brimOver.Figure("lowest brim above the lowest point of deck "+d.Name+", "+what, "mm", runoff.Derived,
			working.Measured("z", "lowest place along "+what, levelMM, "mm", "surface of the deck"),
			working.Measured("h", "height of "+what, heightMM, "mm", "edges and openings of the deck"))
	}
	for i, e := range d.Edges {
		g := d.Outline.Edge(i)
		over(fmt.Sprintf("edge %d", i+1), 1000*runoff.LowAlong(s, g, 0, 1), e.HeightMM)
		for _, t := range e.Thresholds {
			if l := g.Length(); l > 0 {
				over(fmt.Sprintf("the sill in edge %d", i+1), 1000*runoff.LowAlong(s, g, t.FromM/l, t.ToM/l), t.UpstandMM)
			}
		}
	}
	for _, o := range d.Openings {
		for _, c := range o.Outline.Chords(0.01) {
			over("the kerb of "+o.Name, 1000*s.HeightM(c), o.KerbMM)
		}
	}
	if least == nil {
		return nil
	}
	return least.Keyed("check.drainage.brim." + d.Name)
}
