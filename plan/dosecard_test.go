package plan_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/plan"
)

// Card, buckets and the quick answer ask one rule, so for one resin, temperature and
// margin they name one dose. The quick answer, which is told how long laying takes, may
// only be stricter: it refuses where the card's earliest gel leaves fewer minutes.
func TestCardBucketsAndQuickAnswerAgree(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	margin := job.Crew.MarginMin
	c := material.Generic()
	var doses, refusals int
	for tempC := 5.0; tempC <= 35; tempC += 5 {
		p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: c, TempC: &tempC})
		if err != nil {
			t.Fatal(err)
		}
		with := map[string]material.Catalyst{}
		for resin, catalyst := range map[string]string{p.Job.Spec.Resin: p.Job.Spec.Catalyst, p.Job.Spec.CoatResin: p.Job.Spec.CoatCatalyst} {
			if with[resin], err = c.Catalyst(catalyst); err != nil {
				t.Fatal(err)
			}
		}
		job := p.Job
		for _, row := range p.DoseCard.Rows {
			for key, card := range map[string]laying.DoseAnswer{job.Spec.Resin: row.Laminate, job.Spec.CoatResin: row.Coat} {
				r, err := c.Resin(key)
				if err != nil {
					t.Fatal(err)
				}
				// The card is of a pail as warm as the deck, or of the warmest out of which it is laid.
				at := cure.Temps{ResinC: math.Min(row.TempC, card.PailC), DeckC: row.TempC}
				if card.Refused != "" {
					at = cure.At(row.TempC)
				}
				for _, lay := range []float64{4, 8, 15 - margin, 20} {
					a, err := cure.Dose(cure.Ask{Resin: r, Catalyst: with[key], At: at, NeedMin: lay, MarginMin: margin, KG: 1})
					var no *cure.Refusal
					switch {
					case err != nil && !errors.As(err, &no):
						t.Fatal(err)
					case card.Refused != "":
						refusals++
						if err == nil {
							t.Errorf("%s at %g °C, %g min: the card refuses (%s), the quick answer is %.2f %%", key, row.TempC, lay, card.Refused, a.Pct)
						}
					case err != nil:
						refusals++
						if card.LowMin >= math.Max(15, lay+margin) {
							t.Errorf("%s at %g °C, %g min: the card has %.2f %%, the quick answer refuses: %v", key, row.TempC, lay, card.Pct, err)
						}
					case lay+margin <= 15:
						doses++
						if a.Pct != card.Pct || a.CatalystML != card.MLPerKG || a.Gel.LowMin != card.LowMin {
							t.Errorf("%s at %g °C, %g min: the card has %.2f %%, the quick answer %.2f %%", key, row.TempC, lay, card.Pct, a.Pct)
						}
					default:
						if a.Pct > card.Pct {
							t.Errorf("%s at %g °C: %g min are given more catalyst, %.2f %%, than the card's %.2f %%", key, row.TempC, lay, a.Pct, card.Pct)
						}
					}
				}
				if row.TempC != tempC {
					continue
				}
				for _, x := range p.Passes {
					if !strings.HasPrefix(x.Resin, r.Name+"; ") {
						continue
					}
					if warm := card.Refused != "" || card.PailC < tempC; (x.Plan == nil) != warm {
						t.Errorf("%s at %g °C: buckets %v, card %q", x.Kind, tempC, x.Plan != nil, card.Refused)
						continue
					}
					if x.Plan == nil {
						continue
					}
					for _, m := range x.Plan.Mixes {
						if m.DosePct != card.Pct || m.Gel.LowMin != card.LowMin {
							t.Errorf("%s bucket %d at %g °C: %.2f %%, the card has %.2f %%", x.Kind, m.Number, tempC, m.DosePct, card.Pct)
						}
					}
				}
			}
		}
	}
	if doses < 50 || refusals < 10 {
		t.Errorf("only %d doses and %d refusals were compared", doses, refusals)
	}
}

// What the firm learned of its resin stands before the data sheet, in card and buckets.
func TestALearnedLawIsUsed(t *testing.T) {
	job := example(t, "r01-garage.yaml")
	c := material.Generic()
	r, err := c.Resin(job.Spec.Resin)
	if err != nil {
		t.Fatal(err)
	}
	known := sheetLaws(t, job)
	g := known[r.Key]
	g.Mean[0] += math.Log(1.5) // gels half as late again
	tempC := 20.0
	make := func(gels map[string]cure.Gel) *plan.Plan {
		p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: c, TempC: &tempC, Gels: gels})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	sheet, own := make(known), make(map[string]cure.Gel{r.Key: g, job.Spec.CoatResin: known[job.Spec.CoatResin]})
	for i, row := range own.DoseCard.Rows {
		was := sheet.DoseCard.Rows[i]
		if row.Coat != was.Coat {
			t.Errorf("%g °C: the coat's card moved with the laminating resin's law", row.TempC)
		}
		if row.TempC == 20 && !(row.Laminate.GelMin > 1.25*was.Laminate.GelMin) {
			t.Errorf("at 20 °C the learned gel is %.0f min, the sheet's %.0f", row.Laminate.GelMin, was.Laminate.GelMin)
		}
	}
	for i, x := range own.Passes {
		if x.Kind == "mat" && !(x.Plan.Mixes[0].Gel.LikelyMin > 1.25*sheet.Passes[i].Plan.Mixes[0].Gel.LikelyMin) {
			t.Errorf("mat layer %d: the buckets do not follow the learned law", x.Layer)
		}
	}
}
