package laying

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
	"gelwright/working"
)

// clock reads "08:30" as minutes after midnight.
func Clock(text string, otherwise float64) float64 {
	h, min, ok := strings.Cut(text, ":")
	hours, err1 := strconv.Atoi(h)
	minutes, err2 := strconv.Atoi(min)
	if !ok || err1 != nil || err2 != nil {
		return otherwise
	}
	return float64(hours*60 + minutes)
}

// coatM2PerManHour is how fast top coat goes down: 12 to 18 m² a man-hour (common
// practice, no source).
const coatM2PerManHour = 15

// Liquid is a resin or a top coat as it is mixed.
type Liquid struct {
	// Key of the catalogue.
	Key string
	mixing.Resin
}

// BucketsInput is the wet work of a roof and the day on which it is mixed.
type BucketsInput struct {
	// Work of the decks in the order in which they are laid; Apart where each is opened only
	// when the one above is signed off.
	Work  []steps.Made[WetWork]
	Apart bool
	Crew  roof.Crew
	Day   mixing.Day
	// Ground is what the films lie on and how warm it gets.
	Ground Ground
	// Laminates of the decks in the order of the file, TopCoat, Waste and where they were
	// written: for the totals' figures.
	Laminates []steps.Made[Laminate]
	TopCoat   roof.TopCoat
	Waste     roof.Waste
	Origin    roof.Origin
}

// Buckets is every pass with its buckets.
type Buckets struct {
	Passes []Pass
	// To mix in all, allowances counted.
	ResinKG, CoatKG, CatalystG float64
	Buckets                    int
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
}

// MakeBuckets plans every pass of wet work.
func MakeBuckets(ctx context.Context, in BucketsInput) (Buckets, error) {
	w := &bucketer{in: &in, next: 1}
	limit, err := mixing.ExperienceCap(in.Crew.Experience)
	if err != nil {
		return w.out, fmt.Errorf("crew.experience: %w", err)
	}
	w.out.Figure(limit.Keyed("crew.cap"))
	w.crew = mixing.Crew{People: in.Crew.People, LayM2PerManHour: in.Crew.LayM2PerManHour, MarginMin: in.Crew.MarginMin, CapKG: limit.Value, MaxBucketKG: in.Crew.MaxBucketKG}
	w.out.Films = Films{}
	w.wet = &chain{ctx: ctx, ground: &in.Ground, films: w.out.Films, day: in.Day, at: moment{1, in.Day.StartMin}}
	for i := range in.Work {
		if err := w.deck(&in.Work[i].Value); err != nil {
			return w.out, err
		}
	}
	w.totals()
	return w.out, nil
}

// deck plans the passes of one deck: details, mat by layer, top coat.
func (w *bucketer) deck(d *WetWork) error {
	first := w.wet.deck(w.in.Apart)
	from := &first
	resin, coat := w.in.Ground.Resin, w.in.Ground.Coat
	if len(d.Details) > 0 {
		in := mixing.Input{Key: "mix." + d.Deck + ".details", Name: "bandage and details", Resin: resin.Resin}
		if err := w.pass(Pass{Deck: d.Deck, Kind: "details", Resin: resin.Name}, in, d.Details, from); err != nil {
			return err
		}
		from = nil
		kg := 0.0
		for _, it := range d.Details {
			kg += it.KG
		}
		w.out.ResinKG += kg
	}
	for i, cells := range d.Layers {
		layer, area := i+1, 0.0
		for _, c := range cells {
			area += c.AreaM2
			w.out.ResinKG += c.ResinKG
		}
		in := mixing.Input{Key: fmt.Sprintf("mix.%s.mat%d", d.Deck, layer), Name: fmt.Sprintf("mat layer %d", layer), Cells: cells, Exits: d.Exits, Breaks: d.Breaks, Resin: resin.Resin}
		if err := w.pass(Pass{Deck: d.Deck, Kind: "mat", Layer: layer, AreaM2: area, Resin: resin.Name, Cells: cells}, in, nil, from); err != nil {
			return err
		}
		from = nil
	}
	for i, cells := range d.Coats {
		n, area := i+1, 0.0
		for _, c := range cells {
			area += c.AreaM2
			w.out.CoatKG += c.ResinKG
		}
		in := mixing.Input{Key: fmt.Sprintf("mix.%s.coat%d", d.Deck, n), Name: fmt.Sprintf("top coat %d", n), Cells: cells, Exits: d.Exits, Breaks: d.Breaks, Resin: coat.Resin}
		if err := w.pass(Pass{Deck: d.Deck, Kind: "top coat", Layer: n, AreaM2: area, Resin: coat.Name, Cells: cells}, in, nil, from); err != nil {
			return err
		}
	}
	return nil
}

// pass plans one pass, from when the crew is free and the ground bears it unless from says when.
func (w *bucketer) pass(pass Pass, in mixing.Input, items []mixing.Detail, from *begin) error {
	in.Crew, in.Day, in.FirstNumber = w.crew, w.in.Day, w.next
	if pass.Kind == "top coat" {
		in.Crew.LayM2PerManHour = coatM2PerManHour
	}
	if from == nil {
		b, err := w.wet.next()
		if err != nil {
			return fmt.Errorf("deck %q, %s: %w", pass.Deck, in.Name, err)
		}
		from = &b
	}
	p, began, err := w.wet.plan(*from, in, items)
	var refusal *cure.Refusal
	switch {
	case errors.As(err, &refusal):
		pass.Refusal, pass.Remedies = refusal.Finding, refusal.Remedies
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
		w.out.CatalystG += x.CatalystG
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
	in, out := w.in, &w.out
	var zones, coats []*working.Figure
	for i := range in.Laminates {
		zones = append(zones, in.Laminates[i].Value.Resin...)
		coats = append(coats, in.Laminates[i].Value.CoatArea)
	}
	zones = append(zones, in.Origin.Given("w", "left in buckets, sleeves and rollers", in.Waste.Resin, "%", "spec.waste_pct.resin"))
	coats = append(coats, in.Origin.Given("q", "top coat, each coat", in.TopCoat.KGPerM2, "kg/m²", "spec.top_coat.kg_per_m2"),
		in.Origin.Given("", "coats", float64(in.TopCoat.Coats), "", "spec.top_coat.coats"), in.Origin.Given("w", "left in buckets and sleeves", in.Waste.TopCoat, "%", "spec.waste_pct.top_coat"))
	out.Figure(working.Calc("M", "laminating resin to mix", out.ResinKG, "kg", "M = Σ zones × (1 + w/100)", runoff.Derived, zones...).Keyed("roof.resin"))
	out.Figure(working.Calc("Mc", "top coat to mix", out.CoatKG, "kg", "Mc = Σ area × rate × coats × (1 + w/100)", runoff.Derived, coats...).Keyed("roof.topcoat"))
	out.Figure(working.Calc("", "buckets in all", float64(out.Buckets), "", "count", runoff.Derived).Keyed("roof.buckets"))
	out.Figure(working.Calc("mk", "catalyst for all buckets", out.CatalystG, "g", "sum over the buckets of resin × dose", runoff.Derived).Keyed("roof.catalyst"))
}
