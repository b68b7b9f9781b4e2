package plan_test

import (
	"strings"
	"testing"

	"gelwright/firmfile"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
)

// Edges are cut in for a field that is mixed, and a field is mixed over edges that are cut in:
// where one has no bucket neither has, nobody is told to begin, and what would serve is said,
// a test cup first where nothing but the range of brands is in the way.
func TestNoCoatWithoutItsEdges(t *testing.T) {
	plans := map[string]*plan.Plan{}
	for name, day := range map[string]roof.Day{
		"hot": {AirC: 27, DeckC: 27, ResinC: 27, RelativeHumidityPct: 60}, "very hot": {AirC: 34, DeckC: 34, ResinC: 34, RelativeHumidityPct: 60},
	} {
		job := example(t, "r01-garage.yaml")
		job.Day = day
		p, err := plan.Make(t.Context(), plan.Input{Job: job, Catalogue: material.Generic()})
		if err != nil {
			t.Fatal(err)
		}
		plans[name] = p
		for _, x := range p.Passes {
			if x.Coat() && (x.Plan != nil || x.Refusal == "" || len(x.Remedies) == 0) {
				t.Errorf("%s: %s: %q, %v", name, x.Key(), x.Refusal, x.Remedies)
			}
		}
		if s := &p.Schedule; s.Order() || !strings.HasPrefix(s.Headline(), "DO NOT BEGIN: no bucket can be mixed for ") ||
			strings.Contains(s.Headline(), "smaller") {
			t.Errorf("%s: %q", name, s.Headline())
		}
	}
	if s := plans["hot"].Schedule.Headline(); !strings.Contains(s, "What would serve: time a test cup") {
		t.Errorf("a cup would do and is not the first said: %q", s)
	}
	if s := plans["very hot"].Schedule.Headline(); strings.Contains(s, "What would serve: time a test cup") {
		t.Errorf("no cup would do and it is the first said: %q", s)
	}
}

// A firm's sheet that goes below the trade's 20 ml to the litre is used, and that is said; the
// example's, which goes no lower, says nothing.
func TestALowerSheetIsUsedAndSaid(t *testing.T) {
	const text = `version: 1
resins:
  - {key: topcoat.waxed, min_catalyst_ml_per_l: 14}
`
	firm, _, err := firmfile.Read("firm.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	job := named(example(t, "r01-garage.yaml"))
	job.Day.CoatCup = roof.Cup{Min: 30, TempC: 20, Pct: 2}
	warm := 26.0
	for sheet, cat := range map[bool]material.Catalogue{true: firm.Over(material.Generic()), false: material.Generic()} {
		p, err := plan.Make(t.Context(), plan.Input{Job: job, Catalogue: cat, TempC: &warm})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, r := range p.Checks {
			if r.Key == "mix.least" {
				said = r.Finding
			}
		}
		least := 99.0
		for _, x := range p.Passes {
			for _, m := range mixesOf(&x) {
				if x.Coat() {
					least = min(least, m.CatalystML/m.ResinL)
				}
			}
		}
		if sheet != strings.Contains(said, "the sheet is used") || sheet != (least < 19.9) || least < 13.9 {
			t.Errorf("with the firm's sheet %v: %.1f ml to the litre at the least, said %q", sheet, least, said)
		}
	}
}
