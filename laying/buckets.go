package laying

import (
	"context"
	"errors"
	"fmt"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
	"gelwright/working"
)

// coatM2PerManHour is how fast top coat goes down: 12 to 18 m² a man-hour (common
// practice, no source).
const coatM2PerManHour = 15

// Liquid is a resin or a top coat as it is mixed.
type Liquid struct {
	// Key of the catalogue, and that of the catalyst it is mixed with, with its speed.
	Key, Catalyst, Speed string
	mixing.Resin
}

// With names the resin and its catalyst: "Waxed top coat, pigmented; slow catalyst".
func (l *Liquid) With() string {
	if l.Speed == "" {
		return l.Name
	}
	return l.Name + "; " + l.Speed + " catalyst"
}

// BucketsInput is the wet work of a roof and the day on which it is mixed.
type BucketsInput struct {
	// Work of the decks in the order in which they are laid; Apart where each is opened only
	// when the one above is signed off.
	Work  []steps.Made[WetWork]
	Apart bool
	Crew  roof.Crew
	// Day is the crew's hours and, without a forecast, the temperatures of every day.
	Day mixing.Day
	// Schedule says when each pass is laid; without a forecast the passes follow one another
	// on days like the one given.
	Schedule Schedule
	// Ground is what the films lie on and how warm it gets.
	Ground Ground
	// ResinToGlass, SoakKGPerM2, TopCoat and Waste are what the cells' resin was reckoned
	// by, Origin where they were written: for the figures.
	ResinToGlass, SoakKGPerM2 float64
	TopCoat                   roof.TopCoat
	Waste                     roof.Waste
	Origin                    roof.Origin
}

// Buckets is every pass with its buckets.
type Buckets struct {
	Passes []Pass
	// To mix in all, allowances counted.
	ResinKG, CoatKG, CatalystG float64
	Buckets                    int
	// Schedule is the one that was given, or what came of none, with the times of the buckets.
	Schedule Schedule
	// Films are the hardening runs that were asked for.
	Films Films
	check.Notes
}

// bucketer follows the crew through the passes of a roof.
type bucketer struct {
	in   *BucketsInput
	crew mixing.Crew
	wet  *chain
	out  Buckets
	next int // number of the next bucket
	// What the resin and the top coat of a cell were reckoned by.
	resinRates, coatRates []*working.Figure
}

// MakeBuckets plans every pass of wet work.
func MakeBuckets(ctx context.Context, in BucketsInput) (Buckets, error) {
	w := &bucketer{in: &in, next: 1}
	limit, err := mixing.ExperienceCap(in.Crew.Experience)
	if err != nil {
		return w.out, fmt.Errorf("crew.experience: %w", err)
	}
	w.out.Figure(limit.Keyed("crew.cap"))
	w.crew = mixing.Crew{People: in.Crew.People, LayM2PerManHour: in.Crew.LayM2PerManHour, MarginMin: in.Crew.MarginMin, CapKG: limit.Value,
		MaxBucketKG: in.Crew.MaxBucketKG, From: in.Origin}
	w.rates()
	w.out.Films = Films{}
	w.wet = &chain{ctx: ctx, ground: &in.Ground, films: w.out.Films, day: in.Day, at: moment{1, in.Day.StartMin}}
	for i := range in.Work {
		if err := w.deck(&in.Work[i].Value); err != nil {
			return w.out, err
		}
	}
	w.totals()
	w.out.Schedule = in.Schedule
	w.out.Schedule.hold(w.out.Passes)
	if err := w.out.Schedule.aged(ctx, &in.Ground, w.out.Films, w.out.Passes); err != nil {
		return w.out, err
	}
	w.out.Schedule.refuse(w.out.Passes)
	return w.out, nil
}

// gangs is into how many a crew parts for bandage and details, and how many pails it mixes in turn
// in a field: two or three men each, the one at the pail among them (common practice,
// no source).
func gangs(people int) int { return max(1, (people+1)/3) }

// rates are the figures that a cell's resin rests on.
func (w *bucketer) rates() {
	in := w.in
	w.resinRates = []*working.Figure{
		in.Origin.Given("R", "resin to glass by mass", in.ResinToGlass, "", "spec.resin_to_glass"),
		in.Origin.Given("s", "resin that the deck drinks", in.SoakKGPerM2, "kg/m²", "spec.deck_soak_kg_per_m2"),
		in.Origin.Given("w", "left in buckets, sleeves and rollers", in.Waste.Resin, "%", "spec.waste_pct.resin"),
	}
	w.coatRates = []*working.Figure{
		in.Origin.Given("q", "top coat, each coat", in.TopCoat.KGPerM2, "kg/m²", "spec.top_coat.kg_per_m2"),
		in.Origin.Given("w", "left in buckets and sleeves", in.Waste.TopCoat, "%", "spec.waste_pct.top_coat"),
	}
}

// deck plans the passes of one deck: details, mat by layer, top coat.
func (w *bucketer) deck(d *WetWork) error {
	first := w.wet.deck(w.in.Apart)
	from := &first
	resin, coat := w.in.Ground.Resin, w.in.Ground.Coat
	if len(d.Details) > 0 {
		in := mixing.Input{Key: "mix." + d.Deck + ".details", Name: "bandage and details", Resin: resin.Resin}
		pass := Pass{Deck: d.Deck, Kind: "details", Resin: resin.With()}
		for _, x := range d.Details {
			pass.ManMin += x.ManMinutes
		}
		if err := w.pass(pass, in, d.Details, from); err != nil {
			return err
		}
		from = nil
	}
	for i, cells := range d.Layers {
		layer, area := i+1, 0.0
		for _, c := range cells {
			area += c.AreaM2
		}
		in := mixing.Input{Key: fmt.Sprintf("mix.%s.mat%d", d.Deck, layer), Name: fmt.Sprintf("mat layer %d", layer), Cells: cells,
			Exits: d.Exits, Breaks: d.Breaks, Resin: resin.Resin}
		if err := w.pass(Pass{Deck: d.Deck, Kind: "mat", Layer: layer, AreaM2: area, Resin: resin.With(), Cells: cells}, in, nil,
			from); err != nil {
			return err
		}
		from = nil
	}
	for i, cells := range d.Coats {
		if err := w.coat(d, i+1, cells, coat); err != nil {
			return err
		}
	}
	return nil
}

// coat plans a coat: its edges cut in, then its field, on one day. Neither is mixed without the other.
func (w *bucketer) coat(d *WetWork, n int, cells []mixing.Cell, coat Liquid) error {
	was, chain := w.state(), *w.wet
	if err := w.edgesAndField(d, n, cells, coat, nil); err != nil {
		return err
	}
	if len(w.out.Passes) < was.passes+2 {
		return nil
	}
	edges, field := &w.out.Passes[was.passes], &w.out.Passes[was.passes+1]
	switch {
	case edges.Plan == nil:
	case field.Plan == nil:
		edges, refused := *edges, *field
		edges.Plan, edges.Begins, edges.KG = nil, "", 0
		edges.Refusal, edges.Remedies = "the field of its coat cannot be mixed: "+refused.Refusal, refused.Remedies
		w.back(was)
		*w.wet = chain
		w.out.Passes = append(w.out.Passes, edges, refused)
	case field.Plan.Mixes[0].Day > edges.Plan.LastDay():
		return w.together(d, n, cells, coat, was, chain)
	}
	return nil
}

// together plans a coat anew whose field would be rolled on a later day than its edges are cut in, long after their wax has
// closed: the edges wait for the morning of the field.
func (w *bucketer) together(d *WetWork, n int, cells []mixing.Cell, coat Liquid, was counted, chain chain) error {
	day := w.out.Passes[was.passes+1].Plan.Mixes[0].Day
	w.back(was)
	*w.wet = chain
	w.wet.straight = true
	defer func() { w.wet.straight = false }()
	return w.edgesAndField(d, n, cells, coat, &begin{moment{day, w.in.Day.StartMin},
		fmt.Sprintf("on the morning of day %d, with its field: what is left of day %d does not hold both", day, day-1)})
}

// edgesAndField plans the edges of a coat, from a time if one is given, and its field after them.
func (w *bucketer) edgesAndField(d *WetWork, n int, cells []mixing.Cell, coat Liquid, from *begin) error {
	was := len(w.out.Passes)
	if err := w.cutIn(d, n, coat, from); err != nil {
		return err
	}
	area := 0.0
	for _, c := range cells {
		area += c.AreaM2
	}
	in := mixing.Input{Key: fmt.Sprintf("mix.%s.coat%d", d.Deck, n), Name: fmt.Sprintf("top coat %d", n), Cells: cells, Exits: d.Exits,
		Breaks: d.Breaks, Resin: coat.Resin}
	pass := Pass{Deck: d.Deck, Kind: "top coat", Layer: n, AreaM2: area, Resin: coat.With(), Cells: cells}
	if k := len(w.out.Passes); k > was && w.out.Passes[k-1].Plan == nil {
		edges := &w.out.Passes[k-1]
		pass.FromC, pass.UpToC = edges.FromC, edges.UpToC
		pass.Refusal, pass.Remedies = "its edges cannot be cut in before it: "+edges.Refusal, edges.Remedies
		w.out.Passes = append(w.out.Passes, pass)
		return nil
	}
	return w.pass(pass, in, nil, nil)
}

// counted is how far the buckets were when a coat was begun.
type counted struct{ passes, figures, next, buckets int }

func (w *bucketer) state() counted {
	return counted{len(w.out.Passes), len(w.out.Figures), w.next, w.out.Buckets}
}

// back takes away what was planned since.
func (w *bucketer) back(to counted) {
	w.out.Passes, w.out.Figures = w.out.Passes[:to.passes], w.out.Figures[:to.figures]
	w.next, w.out.Buckets = to.next, to.buckets
}

// cutIn plans the edges of a coat, which are cut in before its field: every man with a brush, a pot
// and mixes of his own (common practice, no source).
func (w *bucketer) cutIn(d *WetWork, n int, coat Liquid, from *begin) error {
	items := d.CutIns[n-1]
	if len(items) == 0 {
		return nil
	}
	in := mixing.Input{Key: fmt.Sprintf("mix.%s.cutin%d", d.Deck, n), Name: fmt.Sprintf("cutting in, top coat %d", n), Resin: coat.Resin,
		CapL: CutInL, Gangs: w.crew.People}
	pass := Pass{Deck: d.Deck, Kind: CuttingIn, Layer: n, Resin: coat.With()}
	for _, x := range items {
		pass.ManMin += x.ManMinutes
	}
	capKG := min(w.crew.CapKG, mixing.DetailCapKG, CutInL*coat.DensityKGPerL)
	pass.ReadyMin = mixing.ReadyMin(items, capKG, in.Gangs)
	return w.pass(pass, in, items, from)
}

// pass plans one pass, from when the crew is free and the ground bears it unless from says when.
func (w *bucketer) pass(pass Pass, in mixing.Input, items []mixing.Detail, from *begin) error {
	in.Crew, in.Day, in.FirstNumber, in.Rates = w.crew, w.in.Day, w.next, w.resinRates
	if in.Gangs == 0 {
		in.Gangs = gangs(w.crew.People)
	}
	in.ShownDay = w.wet.shown[pass.coat()]
	if pass.Coat() {
		in.Rates = w.coatRates
		in.Crew.LayM2PerManHour = coatM2PerManHour
	}
	if in.Sessions = w.sessions(&pass); len(in.Sessions) > 0 {
		return w.add(pass, in, items, begin{})
	}
	if from == nil {
		b, err := w.wet.next()
		if err != nil {
			return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
		}
		from = &b
	}
	return w.add(pass, in, items, *from)
}

// add plans the buckets of a pass and adds it: in its sessions where it has any, else from
// when it can begin.
func (w *bucketer) add(pass Pass, in mixing.Input, items []mixing.Detail, from begin) error {
	pass.FromC, pass.UpToC, _ = mixable(in.Resin, in.Crew.MarginMin)
	p, began, err := w.wet.plan(from, in, items)
	var refusal *cure.Refusal
	switch {
	case errors.As(err, &refusal):
		pass.Refusal, pass.Remedies = refusal.Finding, w.remedies(&in, refusal)
	case err != nil:
		return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
	default:
		pass.Plan, pass.Begins = p, began.why
		w.note(&pass)
	}
	w.out.Passes = append(w.out.Passes, pass)
	if pass.Plan != nil {
		w.wet.done(&pass)
	}
	if k := len(w.out.Passes); k > 1 && pass.Kind == "top coat" && pass.Plan != nil {
		if e := &w.out.Passes[k-2]; e.Kind == CuttingIn && e.Plan != nil {
			if note := closes(e, &pass); note != "" {
				pass.Plan.Notes = append(pass.Plan.Notes, note)
			}
		}
	}
	return nil
}

// sessions are the settled hours of a pass. The edges of a coat are cut in in the hours of the
// coat, and its field follows when they are.
func (w *bucketer) sessions(pass *Pass) []mixing.Session {
	s := &w.in.Schedule
	if pass.Kind == CuttingIn {
		return s.sessions(passKey(pass.Deck, "top coat", pass.Layer))
	}
	out := s.sessions(pass.Key())
	if k := len(w.out.Passes); pass.Kind == "top coat" && k > 0 && w.out.Passes[k-1].Kind == CuttingIn {
		e := &w.out.Passes[k-1]
		for i := range out {
			out[i].BeginMin = max(out[i].BeginMin, e.until(out[i].Day, out[i].BeginMin))
		}
	}
	return out
}

// until is when the last bucket of a pass is rolled out that is mixed on a day from a minute
// on, in one go; 0 for none.
func (x *Pass) until(day int, from float64) float64 {
	end := 0.0
	if x.Plan == nil {
		return end
	}
	for k, m := range x.Plan.Mixes {
		if m.Day == day && m.MixAtMin >= from-1e-6 {
			end = max(end, outAt(x, k))
		}
	}
	return end
}

// note counts the buckets of a pass and notes their figures.
func (w *bucketer) note(pass *Pass) {
	w.next += len(pass.Plan.Mixes)
	w.out.Buckets += len(pass.Plan.Mixes)
	for _, f := range pass.Plan.Figures {
		w.out.Figure(f)
	}
	for _, x := range pass.Plan.Mixes {
		pass.KG += x.ResinKG
		for _, f := range x.Working {
			w.out.Figure(f)
		}
		for _, f := range x.Charge.Figures {
			w.out.Figure(f)
		}
	}
}

// totals notes what is to be mixed in all.
func (w *bucketer) totals() {
	out := &w.out
	resin, coat, grams, all := w.masses()
	of := func(sum *working.Formula, name, unit, key string, in []*working.Figure) float64 {
		if len(in) == 0 {
			return out.Figure(working.Measured(sum.Symbol(), name, 0, unit, "passes of the roof, which have none").Keyed(key)).Value
		}
		return out.Figure(sum.Figure(name, unit, runoff.Derived, in...).Keyed(key)).Value
	}
	out.ResinKG = of(resinOfPasses, "laminating resin to mix", "kg", "roof.resin", resin)
	out.CoatKG = of(coatOfPasses, "top coat to mix", "kg", "roof.topcoat", coat)
	of(bucketsInAll, "buckets in all", "", "roof.buckets", all)
	out.CatalystG = of(catalystOfBuckets, "catalyst for all buckets", "g", "roof.catalyst", grams)
}

var (
	resinOfPasses     = working.MustFormula("M = Σ M")
	coatOfPasses      = working.MustFormula("Mc = Σ M")
	bucketsInAll      = working.MustFormula("N = count(m)")
	catalystOfBuckets = working.MustFormula("mk = Σ g")
)

// masses lists resin and top coat by pass, catalyst and resin by bucket. A pass that could
// not be mixed takes its resin all the same.
func (w *bucketer) masses() (resin, coat, grams, buckets []*working.Figure) {
	for i := range w.out.Passes {
		p := &w.out.Passes[i]
		var m *working.Figure
		if p.Plan != nil && len(p.Plan.Figures) > 0 {
			m = p.Plan.Figures[0]
		} else {
			kg := 0.0
			for _, c := range p.Cells {
				kg += c.ResinKG
			}
			for _, d := range w.details(p) {
				kg += d.KG
			}
			m = working.Measured("M", fmt.Sprintf("%s of deck %s, which could not be mixed", p.Kind, p.Deck), kg, "kg",
				"cells of the pass, allowances counted")
		}
		if p.Coat() {
			coat = append(coat, m)
		} else {
			resin = append(resin, m)
		}
		if p.Plan == nil {
			continue
		}
		for _, x := range p.Plan.Mixes {
			buckets, grams = append(buckets, x.Charge.Figures[0]), append(grams, x.Charge.Figures[3])
		}
	}
	return resin, coat, grams, buckets
}

// details are the items of a pass of details.
func (w *bucketer) details(p *Pass) []mixing.Detail {
	for i := range w.in.Work {
		d := &w.in.Work[i].Value
		switch {
		case d.Deck != p.Deck:
		case p.Kind == "details":
			return d.Details
		case p.Kind == CuttingIn:
			return d.CutIns[p.Layer-1]
		}
	}
	return nil
}
