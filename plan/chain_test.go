package plan_test

import (
	"fmt"
	"math"
	"testing"

	"gelwright/cure"
	"gelwright/laying"
	"gelwright/plan"
)

// One crew lays bucket after bucket: no two are mixed at once, days only rise, and each is
// dosed for the temperature of the hour it is mixed at. What is laid over mat waits until
// the plan's own cure, at its slow end, bears a coat.
func TestPassesFollowOneAnother(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		clock := func(day int, min float64) float64 { return float64(day)*24*60 + min }
		free, late := 0.0, 0
		for k := range p.Passes {
			x := &p.Passes[k]
			if x.Plan == nil {
				continue
			}
			first := x.Plan.Mixes[0]
			// A coat's field goes in turns with its edges: it begins when the first are cut in.
			since := free
			if k > 0 && p.Passes[k-1].Kind == laying.CuttingIn && p.Passes[k-1].Deck == x.Deck {
				e := p.Passes[k-1].Plan.Mixes[0]
				since = clock(e.Day, e.MixAtMin)
			}
			if at := clock(first.Day, first.MixAtMin); at < since-1e-6 {
				t.Errorf("%s: %s %s %d begins at day %d %.0f, before the crew is free", name, x.Deck, x.Kind, x.Layer, first.Day, first.MixAtMin)
			}
			for i, m := range x.Plan.Mixes {
				at := clock(m.Day, m.MixAtMin)
				if i > 0 && m.Gang == x.Plan.Mixes[i-1].Gang && at < clock(x.Plan.Mixes[i-1].Day, x.Plan.Mixes[i-1].MixAtMin)+1e-6 {
					t.Errorf("%s: bucket %d is mixed with or before bucket %d", name, m.Number, x.Plan.Mixes[i-1].Number)
				}
				if want := deckAt(p, m.MixAtMin); math.Abs(m.TempC-want) > 1e-6 {
					t.Errorf("%s: bucket %d at %.0f min is dosed for %g °C, the deck is at %g", name, m.Number, m.MixAtMin, m.TempC, want)
				}
			}
			if k > 0 && x.Begins != "" {
				late++
			}
			last := x.Plan.Mixes[len(x.Plan.Mixes)-1]
			free = clock(last.Day, x.Plan.EndMin)
			if k == 0 || p.Passes[k-1].Deck != x.Deck || p.Passes[k-1].Kind != "mat" || p.Passes[k-1].Plan == nil {
				continue
			}
			for i := range p.Wet {
				w := &p.Wet[i]
				if w.Deck != x.Deck || w.Kind != "mat" || w.Layer != p.Passes[k-1].Layer {
					continue
				}
				hard := w.At(cure.OverCoatFrom).HighMin
				if since := clock(first.Day, first.MixAtMin) - clock(w.Day, w.MixAtMin); since < hard-1e-6 && !math.IsInf(hard, 1) {
					t.Errorf("%s: %s %d goes on after %.0f min, what is below bears it after %.0f", name, x.Kind, x.Layer, since, hard)
				}
			}
		}
		if late == 0 {
			t.Errorf("%s: no pass says when and why it begins", name)
		}
	}
}

// deckAt reads the temperatures of the roof file at a minute of the day, by hand.
func deckAt(p *plan.Plan, min float64) float64 {
	h := p.Job.Day.Hours
	if len(h) == 0 {
		return p.Job.Day.DeckC
	}
	minute := func(i int) float64 {
		var hh, mm float64
		_, _ = fmt.Sscanf(h[i].Time.String(), "%f:%f", &hh, &mm)
		return 60*hh + mm
	}
	for i := 1; i < len(h); i++ {
		if min <= minute(i) {
			f := (min - minute(i-1)) / (minute(i) - minute(i-1))
			return h[i-1].DeckC + f*(h[i].DeckC-h[i-1].DeckC)
		}
	}
	return h[len(h)-1].DeckC
}

// The winter roof: bandage from 10:00, the mat on its heels, and not at 10:00 too; the top
// coat when the mat bears it, a day later.
func TestMatFollowsTheDetailsOfAWinterDay(t *testing.T) {
	p := planned(t, "r08-winter.yaml")
	at := map[string]int{}
	for k, x := range p.Passes {
		at[x.Kind] = k
	}
	details, mat, coat := p.Passes[at["details"]].Plan, p.Passes[at["mat"]].Plan, p.Passes[at["top coat"]].Plan
	if got := mat.Mixes[0].MixAtMin; math.Abs(got-details.EndMin) > 1e-6 || got <= 11*60 {
		t.Errorf("the mat begins at %.0f min, the details end at %.0f", got, details.EndMin)
	}
	if coat.Mixes[0].Day <= mat.Mixes[0].Day || p.WetDays() != 2 {
		t.Errorf("mat on day %d, top coat on day %d, %d days", mat.Mixes[0].Day, coat.Mixes[0].Day, p.WetDays())
	}
}

// Decks at several levels follow each other on days of their own.
func TestDecksFollowFromTheTopDown(t *testing.T) {
	p := planned(t, "r11-three-levels.yaml")
	day, deck := 0, ""
	var order []string
	for _, x := range p.Passes {
		if x.Deck != deck {
			if d := x.Plan.Mixes[0].Day; d <= day {
				t.Errorf("deck %s begins on day %d", x.Deck, d)
			}
			deck, order = x.Deck, append(order, x.Deck)
		}
		day = x.Plan.Mixes[len(x.Plan.Mixes)-1].Day
	}
	if fmt.Sprint(order) != "[upper middle lower]" {
		t.Errorf("order %v", order)
	}
}
