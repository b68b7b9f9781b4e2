package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/material"
	"gelwright/mixing"
	"gelwright/plan"
)

// The limits on the deck's temperature that shut hours stand where those of air, dew and humidity do, for mat and top coat: those of trade
// and data sheet, and the hottest deck on which a bucket leaves 8 min, above which none does.
func TestTheDecksLimitsAreSaid(t *testing.T) {
	for _, name := range []string{"r01-garage.yaml", "r09-summer.yaml"} {
		p := planned(t, name)
		act := ""
		for _, s := range p.Method {
			if strings.HasPrefix(s.Act, "Measure air, deck and resin, and the humidity.") {
				act = s.Act
			}
		}
		for _, kind := range []string{"mat", "top coat"} {
			x := passOn(t, p, p.Decks[0].Name, kind)
			d := x.Decks
			if d == nil || d.FromC < 5 || d.UpToC > 35 || d.FromC > d.UpToC {
				t.Fatalf("%s: %s: %+v", name, kind, d)
			}
			want := fmt.Sprintf("Deck for %s: %g to %g °C.", kind, d.FromC, d.UpToC)
			if d.MixC < d.UpToC {
				want = fmt.Sprintf("Deck for %s: %g to %g °C with the pail at %g °C", kind, d.FromC, d.MixC, d.PailC)
			}
			if !strings.Contains(act, want) {
				t.Errorf("%s: no %q in %q", name, want, act)
			}
			cat := material.Generic()
			resin, catalyst := p.Job.Spec.Resin, p.Job.Spec.Catalyst
			if kind == "top coat" {
				resin, catalyst = p.Job.Spec.CoatResin, p.Job.Spec.CoatCatalyst
			}
			r, _ := cat.Resin(resin)
			k, _ := cat.Catalyst(catalyst)
			law, err := (&plan.Input{Job: p.Job, Catalogue: cat}).Law(r, k)
			if err != nil {
				t.Fatal(err)
			}
			for over, wanted := range map[float64]bool{0: true, 1: false} {
				at := cure.Temps{ResinC: d.PailC, DeckC: d.MixC + over}
				if _, can := mixing.Advised(&law, at, cure.Aim{}, p.Job.Crew.MarginMin); can != wanted && d.MixC+over < law.MaxC {
					t.Errorf("%s: %s on a deck of %.1f °C: %v", name, kind, at.DeckC, can)
				}
			}
		}
	}
}
