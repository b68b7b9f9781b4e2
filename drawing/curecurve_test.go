package drawing

import (
	"context"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/internal/examples"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/plan"
)

// curePlan plans an example roof, at a temperature when one is given.
func curePlan(t *testing.T, name string, tempC ...float64) *plan.Plan {
	t.Helper()
	if len(tempC) == 0 {
		return examples.Plan(t, name)
	}
	in := plan.Input{Job: examples.Job(t, name), Catalogue: material.Generic(), Weigh: true, TempC: &tempC[0]}
	p, err := plan.Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Every sheet can be read, by an eye and by a screen reader, in frost, spring and heat.
func TestCureSheetsAreLegible(t *testing.T) {
	for _, c := range []struct {
		name  string
		tempC []float64
	}{{"r01-garage", nil}, {"r01-garage", []float64{5.5}}, {"r01-garage", []float64{29}}, {"r08-winter", nil}, {"r09-summer", nil}} {
		p := curePlan(t, c.name, c.tempC...)
		sheets, err := CureSheets(p)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if len(sheets) < 2 {
			t.Errorf("%s: %d sheets", c.name, len(sheets))
		}
		for i, s := range sheets {
			for _, clash := range s.Scene.Clashes(0.05) {
				t.Errorf("%s %v, sheet %d: %v", c.name, c.tempC, i+1, clash)
			}
			file := c.name
			if c.tempC != nil {
				file += "-" + laying.Lasting(c.tempC[0])[:2]
			}
			show(t, "cure-"+strings.ReplaceAll(file, ".", "")+"-"+string(rune('1'+i)), s.Scene)
			text := s.Scene.Text()
			if i == len(sheets)-1 {
				if !strings.Contains(text, "Ready in time") || !strings.Contains(text, "poured out") {
					t.Errorf("%s: the doses have no text form:\n%s", c.name, text)
				}
				continue
			}
			for _, m := range cure.Milestones() {
				if !strings.Contains(text, m.String()+": ") {
					t.Errorf("%s, sheet %d: the text form lacks %q", c.name, i+1, m)
				}
			}
		}
	}
}

// Decks that harden alike share a sheet; a plan without wet work has none.
func TestDecksThatHardenAlikeShareASheet(t *testing.T) {
	p := curePlan(t, "r11-three-levels")
	if n := len(cureGroups(p)); n != 1 {
		t.Errorf("three decks of one build-up on one day take %d sheets", n)
	}
	// A deck that is mixed warmer has a sheet of its own.
	for i := range p.Wet {
		if p.Wet[i].Deck == p.Decks[1].Name {
			p.Wet[i].DeckC++
		}
	}
	if n := len(cureGroups(p)); n != 2 {
		t.Errorf("two that differ take %d sheets", n)
	}
	p = curePlan(t, "r01-garage", 2)
	if len(p.Wet) != 0 {
		t.Fatalf("at 2 °C %d passes harden", len(p.Wet))
	}
	if sheets, err := CureSheets(p); err != nil || len(sheets) != 0 {
		t.Errorf("%d sheets, %v", len(sheets), err)
	}
}

// The last coat offers no second coat: its chart says neither sand nor over-coat, the laminate's says both.
func TestNothingGoesOverTheLastCoat(t *testing.T) {
	p := curePlan(t, "r01-garage")
	for _, g := range cureGroups(p) {
		for _, m := range g.coat.Marks {
			if m.Milestone == cure.Sand.String() || strings.HasPrefix(m.Milestone, "over-coat") {
				t.Errorf("the last coat tells %q", m.Milestone)
			}
		}
		for _, m := range []cure.Milestone{cure.Sand, cure.OverCoatFrom, cure.OverCoatUntil} {
			if !strings.Contains(strings.Join(marksOf(g.mat), ","), m.String()) {
				t.Errorf("the laminate does not tell %q", m)
			}
		}
	}
	// With a second coat the first is abraded and coated over.
	first := laying.WetPass{Kind: "top coat", Layer: 1, Marks: []laying.WetMark{{Milestone: cure.Sand.String()},
		{Milestone: cure.OverCoatUntil.String()}}}
	if len(first.Told(2)) != 2 || len(first.Told(1)) != 0 {
		t.Errorf("of two coats the first tells %v, of one %v", first.Told(2), first.Told(1))
	}
}

func marksOf(w *laying.WetPass) []string {
	var out []string
	for _, m := range w.Marks {
		out = append(out, m.Milestone)
	}
	return out
}
