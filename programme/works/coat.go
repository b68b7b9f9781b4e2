package works

import (
	"fmt"
	"math"

	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/working"
)

// topCoat: spurs sanded and dust gone, edges taped and cut in, field rolled, in one go; a roof
// that takes longer than the day allows in stretches that end where a strip does.
func (m *maker) topCoat(d *plan.Deck, pass *laying.Pass, coat int) {
	t := m.coatParts(d, coat)
	field := t.field.Value
	// Sanding, coat and two hours for it to get safe fit into the day.
	parts := cellsOf(pass, field/math.Max(0.1, pass.AreaM2))
	room := math.Max(60, m.out.Hours.EndMin-m.out.Hours.StartMin-120)
	blocks := [][]programme.Part{nil}
	if all := t.sand.Value + t.mask.Value + t.cut.Value + field; all > room && len(parts) > 1 {
		blocks = blocksOver(parts, field/math.Ceil(all/room))
	} else {
		for _, b := range blocksOver(parts, math.Inf(1)) {
			blocks[0] = append(blocks[0], b...)
		}
	}
	total := 0.0
	for _, x := range parts {
		total += x.Min
	}
	name := "top coat" + m.of(d)
	if m.p.Job.Spec.TopCoat.Coats > 1 {
		name = fmt.Sprintf("top coat %d%s", coat, m.of(d))
	}
	for k, b := range blocks {
		share := 1.0
		if len(blocks) > 1 {
			min := 0.0
			for _, x := range b {
				min += x.Min
			}
			share = min / total
		}
		m.coatPart(d, coat, name, k, len(blocks), share, b)
	}
}

// coatTimes are the times of a whole coat.
type coatTimes struct{ sand, mask, cut, field *working.Figure }

// coatParts are the times of a whole coat: sanded and cleaned, its edges taped, cut in, rolled, with the
// aggregate scattered into the one that takes it.
func (m *maker) coatParts(d *plan.Deck, coat int) (t coatTimes) {
	area := working.Measured("A", "area to coat, whole deck", d.CoatM2, "m²", "plan")
	deck := working.Measured("Af", "area of deck "+d.Name, d.SlopeM2, "m²", "plan")
	coating := rate("top coat", m.own.CoatM2, m.r.CoatM2, "m²/man-hour")
	t.sand = timeSand.Figure("sanding and cleaning", "min", overRate, area,
		rate("sand and clean", m.own.AbradeM2, m.r.AbradeM2, "m²/man-hour"),
		m.crew())
	t.mask = timeMask.Figure("masking of the edges", "min", overRate, working.Measured("L", "edges of deck "+d.Name, d.EdgeM, "m", "plan"),
		rate("mask", m.own.MaskM, m.r.MaskM, "m/man-hour"), m.crew())
	by, ready := 0.0, 0.0
	if x := m.edges(d, coat); x != nil {
		by, ready = x.ManMin, x.ReadyMin
	}
	t.cut = timeCutIn.Figure("cutting in of edges and upstands by brush", "min", overRate,
		working.Measured("l", "cutting in", by, "man-minutes", "pieces that are cut in"), m.crew(),
		working.Measured("tm", "its mixes weighed and stirred, 2.5 min each", ready, "min", "mixes of half a litre"))
	t.field = timeField.Figure("rolling of the field", "min", overRate, deck, coating, m.crew())
	if m.p.Job.Spec.AggregateKGPerM2 > 0 && coat == m.p.Job.Spec.TopCoat.GritCoat() {
		t.field = timeScatter.Figure("rolling of the field with its aggregate", "min", overRate, deck, coating,
			rate("scatter", m.own.AggregateM2, m.r.AggregateM2, "m²/man-hour").As("ra"), m.crew())
	}
	return t
}

// edges is the pass in which a coat of a deck is cut in; nil where it has no edges.
func (m *maker) edges(d *plan.Deck, coat int) *laying.Pass {
	for i := range m.p.Passes {
		if x := &m.p.Passes[i]; x.Deck == d.Name && x.Kind == laying.CuttingIn && x.Layer == coat {
			return x
		}
	}
	return nil
}

// coatTime is the time of a part of a coat.
func (m *maker) coatTime(d *plan.Deck, coat int, name string, part float64) *working.Figure {
	t := m.coatParts(d, coat)
	return timeCoat.Figure("time for "+name, "min", overRate, t.sand, t.mask, t.cut, t.field,
		working.Measured("p", "part of the coat", part, "", "strips of the stretch"))
}

// coatPart adds one stretch of a top coat.
func (m *maker) coatPart(d *plan.Deck, coat int, name string, k, of int, part float64, buckets []programme.Part) {
	t := m.coatParts(d, coat)
	sand, mask, cut, field := t.sand.Value*part, t.mask.Value*part, t.cut.Value*part, t.field.Value*part
	first := cut
	if x := m.edges(d, coat); x != nil && x.Turns > 0 {
		first = math.Min(cut, t.cut.Value/float64(x.Turns)) // edges and field go in turns
	}
	lead := int(math.Ceil((sand+mask)/15 - 1e-9))
	full := float64(lead) * 15 / (sand + mask)
	s := programme.Stage{Key: fmt.Sprintf("%s.coat%d", d.Name, coat), Name: name, Kind: programme.TopCoat, Deck: d.Name, Limits: m.top,
		LeadLimits: m.dry, Smells: true, EdgesMin: first,
		Film: m.coat, SafeAt: programme.RainSafe, Lead: lead, Quarters: lead + max(1, int(math.Ceil((cut+field)/15-1e-9))),
		Parts: append([]programme.Part{{Name: "sand and clean", Min: sand * full}, {Name: "mask the edges", Min: mask * full},
			{Name: "cut in edges and upstands", Min: cut}}, buckets...),
		Hold: "hard: a finger-nail leaves no mark; spurs off, dust gone, dry"}
	if of > 1 {
		s.Key, s.Name = fmt.Sprintf("%s.%d", s.Key, k+1), fmt.Sprintf("%s, part %d of %d", name, k+1, of)
	}
	switch {
	case k > 0:
		s.Join = programme.Lag{Why: "ends and begins on a taped line at the end of a strip"}
	case coat == 1:
		s.Join = programme.Lag{Begin: programme.Sand, Least: programme.OverCoatFrom, Most: programme.OverCoatUntil,
			Why: "hard enough to coat, and not yet too old to bond"}
		s.Again = &programme.Lag{Begin: programme.Sand, Least: programme.OverCoatFrom}
		s.AgainQuarters = max(1, int(math.Ceil(60*d.CoatM2/float64(of)/m.r.AbradeM2/m.people/15)))
		s.AgainWhy = "abrade all over with 40 grit and wipe: the over-coating window has closed"
	default:
		s.Join = programme.Lag{Begin: programme.RainSafe, Least: programme.RainSafe, LeastMin: laying.OvernightMin,
			Why: "wax has surfaced: left overnight and abraded before the next coat"}
	}
	m.out.Figures = append(m.out.Figures, m.coatTime(d, coat, s.Name, part).Keyed("time."+s.Key))
	m.out.Stages = append(m.out.Stages, s)
}
