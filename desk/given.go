package desk

import (
	"context"
	"strings"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/firmfile"
	"gelwright/gelfile"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/programme/works"
	"gelwright/quantity"
	"gelwright/quantity/takeoff"
	"gelwright/roof"
	"gelwright/steps"
)

// Given is what a question about a roof is asked on.
type Given struct {
	Job roof.Job
	// Firm lays its own data over the catalogue and the job; nil for none.
	Firm *firmfile.Firm
	// Gel is a law learned from the firm's own gels; it stands before the data sheet.
	Gel *gelfile.Law
	// Cup and CoatCup are test cups of laminating resin and top coat, in place of the job's;
	// nil leaves the job's.
	Cup, CoatCup *roof.Cup
	// TempC, when set, is the temperature of deck and resin in place of the job's, °C.
	TempC *float64
	// Steps, when set, keeps what the steps of plans gave, so that a second question about the
	// same roof runs only what follows from what has changed; nil keeps nothing.
	Steps *steps.Cache
	// Weigh asks for the doses to be weighed for their drawing; see plan.Input.
	Weigh bool
	// Progress, when set, is told each step of a plan as it begins.
	Progress func(step string)
}

// KeptSteps is how many outputs of steps a program keeps that asks about one roof after
// another: a few roofs of several decks.
const KeptSteps = 256

// Catalogue is the generic catalogue with the firm's materials laid over it.
func Catalogue(firm *firmfile.Firm) material.Catalogue {
	cat := material.Generic()
	if firm == nil {
		return cat
	}
	return firm.Over(cat)
}

// Input lays firm, gels and temperature over catalogue and job.
func (g *Given) Input() (plan.Input, error) {
	in := plan.Input{Job: g.Job, Catalogue: Catalogue(g.Firm), TempC: g.TempC, Weigh: g.Weigh, Cache: g.Steps, Progress: g.Progress}
	for _, c := range []struct {
		given *roof.Cup
		at    *roof.Cup
	}{{g.Cup, &in.Job.Day.Cup}, {g.CoatCup, &in.Job.Day.CoatCup}} {
		if c.given != nil {
			*c.at = *c.given
		}
	}
	if f := g.Firm; f != nil {
		f.Fill(&in.Job)
		in.Keeps = f.Keeps
		in.Stock = takeoff.Stock{TrimLengthsM: f.Stock.TrimLengthsM, KerfMM: f.Stock.SawKerfMM, KeepOffcutM: f.Stock.KeepOffcutM}
		for _, o := range f.Offcuts {
			in.Stock.Offcuts = append(in.Stock.Offcuts,
				takeoff.Offcut{Item: o.Item, LengthM: o.LengthM, WidthM: o.WidthM, Count: o.Count, Where: o.Where})
		}
		if len(f.Prices) > 0 {
			in.Prices = quantity.Prices{}
			for _, p := range f.Prices {
				in.Prices[quantity.PriceKey{Material: p.Item, Quantity: p.Quantity}] = p.CostMinor
			}
		}
	}
	if law := g.Gel; law != nil {
		if _, err := in.Catalogue.Resin(law.ResinKey); err != nil {
			return in, &Error{Kind: Faulty, Place: "gel", Cause: err}
		}
		in.Gels = map[string]cure.Gel{law.ResinKey: law.Gel}
	}
	return in, nil
}

// Plan plans the roof.
func (g *Given) Plan(ctx context.Context) (*plan.Plan, error) {
	in, err := g.Input()
	if err != nil {
		return nil, err
	}
	return plan.Make(ctx, in)
}

// rates are the firm's rates of work.
func (g *Given) rates() works.Rates {
	if g.Firm == nil {
		return works.Rates{}
	}
	r := g.Firm.Rates
	return works.Rates{StripM2: r.StripM2PerManHour, BoardM2: r.BoardM2PerManHour, TrimM: r.TrimMPerManHour,
		BandageM: r.BandageMPerManHour, CoatM2: r.TopCoatM2PerManHour, AbradeM2: r.AbradeM2PerManHour,
		FlashingM: r.FlashingMPerManHour, InsulateM2: r.InsulateM2PerManHour,
		MaskM: r.MaskMPerManHour, RoughenM: r.RoughenMPerManHour, LayM2: g.Firm.Crew.LayM2PerManHour}
}

// Stands says no to a plan in which a pass of wet work has no bucket and, when strict, to
// one with a failed check.
func Stands(p *plan.Plan, strict bool) error {
	for _, x := range p.Passes {
		if x.Refusal != "" {
			return refuse("no bucket can be mixed for %s, deck %s: %s", x.Kind, x.Deck, x.Refusal)
		}
	}
	if !strict {
		return nil
	}
	var failed []string
	for _, r := range p.Checks {
		if r.Verdict == check.Fail {
			failed = append(failed, r.Key)
		}
	}
	if len(failed) > 0 {
		return refuse("%d checks fail: %s", len(failed), strings.Join(failed, ", "))
	}
	return nil
}
