package plan_test

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"gelwright/internal/rework"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/working"
)

// rootsOf are the figures of a plan, those of its checks included.
func rootsOf(p *plan.Plan) []*working.Figure {
	var out []*working.Figure
	for _, key := range p.Workings.Keys() {
		f, _ := p.Workings.Find(key)
		out = append(out, f)
	}
	for _, r := range p.Checks {
		out = append(out, r.Working...)
	}
	return out
}

// TestEveryPrintedFormulaGivesItsFigure: whoever works a formula out from the inputs as
// they are printed beside it gets the figure that is printed, but for rounding; and there
// is no formula without inputs.
func TestEveryPrintedFormulaGivesItsFigure(t *testing.T) {
	all := 0
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, fault := range p.Workings.Faults() {
			t.Errorf("%s: %v", name, fault)
		}
		faults, formulas := rework.Faults(rootsOf(p))
		for _, f := range faults {
			t.Errorf("%s: %s", name, f)
		}
		all += formulas
	}
	if all < 5000 {
		t.Errorf("%d formulas on twelve roofs", all)
	}
}

// TestRandomRoofsWorkOut: the same on roofs that nobody drew by hand.
func TestRandomRoofsWorkOut(t *testing.T) {
	base := example(t, "r01-garage.yaml")
	bounded(t, "12", func(r *rapid.T) {
		p, err := plan.Make(context.Background(), plan.Input{Job: drawJob(r, base), Catalogue: material.Generic()})
		if err != nil {
			r.Skip(err)
		}
		for _, fault := range p.Workings.Faults() {
			r.Errorf("%v", fault)
		}
		faults, _ := rework.Faults(rootsOf(p))
		for _, f := range faults {
			r.Error(f)
		}
	})
}

// TestResinAndCatalystAddUp: the masses of a roof are the sums of what they name, down to
// the cells of the buckets.
func TestResinAndCatalystAddUp(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, c := range []struct {
			key   string
			total float64
		}{{"roof.resin", p.Totals.ResinKG}, {"roof.topcoat", p.Totals.CoatKG}, {"roof.catalyst", p.Totals.CatalystG}, {"roof.buckets", float64(p.Totals.Buckets)}} {
			f, ok := p.Workings.Find(c.key)
			if !ok || f.Value != c.total || len(f.Inputs) == 0 {
				t.Errorf("%s: %s is %v in the workings with %d inputs, %v in the totals", name, c.key, f.Value, len(f.Inputs), c.total)
			}
		}
	}
}

// The mass of every pass that is mixed is the sum of its buckets, of the pieces one by one too.
func TestPassesAddUp(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, x := range p.Passes {
			if x.Plan == nil {
				continue
			}
			if len(x.Plan.Figures) != 1 {
				t.Errorf("%s: %s of deck %s has %d figures of its mass", name, x.Kind, x.Deck, len(x.Plan.Figures))
				continue
			}
			f := x.Plan.Figures[0]
			if len(f.Inputs) != len(x.Plan.Mixes) || math.Abs(f.Value-sum(x.Plan.Mixes)) > 1e-9 {
				t.Errorf("%s: %s of deck %s is %g kg in the workings of %d buckets, %d buckets hold %g", name, x.Kind, x.Deck, f.Value,
					len(f.Inputs), len(x.Plan.Mixes), sum(x.Plan.Mixes))
			}
		}
	}
}
