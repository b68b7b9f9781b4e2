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

// coat plans a coat: its edges cut in, in turns with its field. Neither is mixed without the other.
func (w *bucketer) coat(d *WetWork, n int, cells []mixing.Cell, coat Liquid) error {
	field := Pass{Deck: d.Deck, Kind: "top coat", Layer: n, Resin: coat.With(), Cells: cells}
	for _, c := range cells {
		field.AreaM2 += c.AreaM2
	}
	in := mixing.Input{Key: fmt.Sprintf("mix.%s.coat%d", d.Deck, n), Name: fmt.Sprintf("top coat %d", n), Cells: cells, Exits: d.Exits,
		Breaks: d.Breaks, Resin: coat.Resin}
	if len(d.CutIns[n-1]) == 0 {
		return w.pass(field, in, nil, nil)
	}
	edges, cut := w.cutIn(d, n, coat, field.AreaM2)
	in.Edges = cut
	from, err := w.prepare(&field, &in, nil)
	if err != nil {
		return err
	}
	p, began, err := w.fewestJoints(from, in, edges.Turns)
	var refusal *cure.Refusal
	switch {
	case errors.As(err, &refusal):
		field.Refusal, field.Remedies = refusal.Finding, w.remedies(&in, refusal)
		edges.Refusal, edges.Remedies = "the field of its coat cannot be mixed: "+field.Refusal, field.Remedies
		w.out.Passes = append(w.out.Passes, edges, field)
		return nil
	case err != nil:
		return fmt.Errorf("deck %q, %s: %w", d.Deck, in.Name, err)
	}
	edges.FromC, edges.UpToC = field.FromC, field.UpToC
	edges.Plan, edges.Begins, field.Plan = p.Edges, began.why, p
	field.Decks = deckLimits(&field, &in.Resin, in.Crew.MarginMin)
	edges.Decks = field.Decks
	if len(in.Sessions) == 0 {
		field.Begins = "when the first edges are cut in, while they are wet or just gelled"
	}
	if note := inTurns(p.Edges, p); note != "" {
		edges.Plan.Notes = append(edges.Plan.Notes, note)
		field.Plan.Notes = append(field.Plan.Notes, "in turns with its edges, by the numbers of the buckets: see cutting in")
	}
	if note := closes(p.Edges); note != "" {
		edges.Plan.Notes, field.Plan.Notes = append(edges.Plan.Notes, note), append(field.Plan.Notes, note)
	}
	w.note(&edges)
	w.note(&field)
	w.out.Passes = append(w.out.Passes, edges, field)
	w.wet.done(&field)
	return nil
}

// mostMoreTurns is how many turns more than the fewest are tried where an edge of the field would close in between,
// worthATurnM what of taped joint one must save, m (assumed).
const (
	mostMoreTurns = 3
	worthATurnM   = 2
)

// fewestJoints plans a coat in the fewest turns that leave the least taped joint in its field: the shorter the turns, the
// shorter is what its wet edge waits while edges are cut in.
func (w *bucketer) fewestJoints(from begin, in mixing.Input, turns int) (*mixing.Plan, begin, error) {
	best, began, err := w.wet.plan(from, in, nil)
	if err != nil || turns < 2 {
		return best, began, err
	}
	for k := 1; k <= mostMoreTurns && best.PlannedM > worthATurnM; k++ {
		edges := *in.Edges
		edges.MoreTurns = k
		in.Edges = &edges
		p, b, err := w.wet.plan(from, in, nil)
		if err != nil {
			return nil, b, err
		}
		if p.PlannedM < best.PlannedM-worthATurnM && p.LastDay() <= best.LastDay() {
			best, began = p, b
		}
	}
	return best, began, nil
}

// cutIn are the edges of a coat, which are cut in before its field: every man with a brush, a pot
// and mixes of his own (common practice, no source).
func (w *bucketer) cutIn(d *WetWork, n int, coat Liquid, fieldM2 float64) (Pass, *mixing.Edges) {
	items := d.CutIns[n-1]
	out := &mixing.Edges{Key: fmt.Sprintf("mix.%s.cutin%d", d.Deck, n), Name: fmt.Sprintf("cutting in, top coat %d", n), Items: items,
		CapL: CutInL, Gangs: w.crew.People, TurnMin: cutInOpenMin}
	pass := Pass{Deck: d.Deck, Kind: CuttingIn, Layer: n, Resin: coat.With()}
	for _, x := range items {
		pass.ManMin += x.ManMinutes
	}
	people := float64(w.crew.People)
	capKG := min(w.crew.CapKG, mixing.DetailCapKG, CutInL*coat.DensityKGPerL)
	pass.ReadyMin = mixing.ReadyMin(items, capKG, w.crew.People)
	// Every turn begins with a fresh mix.
	field := fieldM2 / coatM2PerManHour / people * 60
	pass.Turns = mixing.Turns(max(pass.ManMin/people, pass.ReadyMin)+field, cutInOpenMin)
	pass.ReadyMin += mixing.PrepareMin * float64(pass.Turns-1)
	return pass, out
}

// pass plans one pass, from when the crew is free and the ground bears it unless from says when.
func (w *bucketer) pass(pass Pass, in mixing.Input, items []mixing.Detail, from *begin) error {
	begins, err := w.prepare(&pass, &in, from)
	if err != nil {
		return err
	}
	return w.add(pass, in, items, begins)
}

// prepare fills in what a pass is mixed by, and says when it begins.
func (w *bucketer) prepare(pass *Pass, in *mixing.Input, from *begin) (begin, error) {
	in.Crew, in.Day, in.FirstNumber, in.Rates = w.crew, w.in.Day, w.next, w.resinRates
	if in.Gangs == 0 {
		in.Gangs = gangs(w.crew.People)
	}
	in.ShownDay = w.wet.shown[pass.coat()]
	if pass.Coat() {
		in.Rates = w.coatRates
		in.Crew.LayM2PerManHour = coatM2PerManHour
	}
	pass.FromC, pass.UpToC, _ = mixable(in.Resin, in.Crew.MarginMin)
	if in.Sessions = w.in.Schedule.sessions(pass.Key()); len(in.Sessions) > 0 {
		return begin{}, nil
	}
	if from != nil {
		return *from, nil
	}
	b, err := w.wet.next()
	if err != nil {
		return b, fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
	}
	return b, nil
}

// add plans the buckets of a pass and adds it: in its sessions where it has any, else from
// when it can begin.
func (w *bucketer) add(pass Pass, in mixing.Input, items []mixing.Detail, from begin) error {
	p, began, err := w.wet.plan(from, in, items)
	var refusal *cure.Refusal
	switch {
	case errors.As(err, &refusal):
		pass.Refusal, pass.Remedies = refusal.Finding, w.remedies(&in, refusal)
	case err != nil:
		return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
	default:
		pass.Plan, pass.Begins = p, began.why
		pass.Decks = deckLimits(&pass, &in.Resin, in.Crew.MarginMin)
		w.note(&pass)
	}
	w.out.Passes = append(w.out.Passes, pass)
	if pass.Plan != nil {
		w.wet.done(&pass)
	}
	return nil
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
