package plan_test

import (
	"slices"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
)

// named is a job whose file names resin and catalyst, so that nothing is picked.
func named(job roof.Job) roof.Job {
	job.Defaults = slices.DeleteFunc(slices.Clone(job.Defaults), func(d roof.Default) bool {
		return strings.HasPrefix(d.Field, "spec.") && (strings.HasSuffix(d.Field, "resin") || strings.HasSuffix(d.Field, "catalyst"))
	})
	return job
}

// The plan picks catalyst and grade among what the firm keeps, by the day's temperatures, and
// says why; every later step takes what was picked.
func TestThePlanPicksTheCatalyst(t *testing.T) {
	pick := func(tempC float64, keeps []string, job roof.Job) *plan.Plan {
		t.Helper()
		p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic(), TempC: &tempC, Keeps: keeps})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	job := example(t, "r01-garage.yaml")
	mild, hot := pick(15, nil, job), pick(23, nil, job)
	if s := mild.Job.Spec; s.CoatCatalyst != material.UsualCatalyst {
		t.Errorf("at 15 °C the top coat takes %s", s.CoatCatalyst)
	}
	if s := hot.Job.Spec; s.CoatCatalyst != "catalyst.slow" {
		t.Errorf("at 23 °C the top coat takes %s", s.CoatCatalyst)
	}
	said := func(p *plan.Plan, key string) check.Result {
		for _, r := range p.Checks {
			if r.Key == key {
				return r
			}
		}
		t.Fatalf("nothing is said under %s", key)
		return check.Result{}
	}
	if r := said(hot, "mix.pick"); !strings.Contains(r.Finding, "slow catalyst") || !strings.Contains(r.Finding, "standard catalyst") {
		t.Errorf("%s", r.Finding)
	}
	// A cup times one pair: the plan says which it takes it for where nobody has named one.
	cupped := job
	cupped.Day.CoatCup = roof.Cup{Min: 30, TempC: 20, Pct: 2}
	if r := said(pick(23, nil, cupped), "mix.pick"); strings.Count(r.Finding, "the test cup is taken as timed with this pair") != 1 {
		t.Errorf("with a cup of the coat: %s", r.Finding)
	}
	ordered := false
	for _, l := range hot.Order.Schedule.Lines {
		ordered = ordered || l.MaterialKey == "catalyst.slow"
	}
	if !ordered {
		t.Error("the slow catalyst is not ordered")
	}
	for _, x := range hot.Passes {
		if x.Kind != "top coat" {
			continue
		}
		if !strings.HasSuffix(x.Resin, "slow catalyst") || x.Plan == nil {
			t.Fatalf("%s: %s", x.Resin, x.Refusal)
		}
		// 20 ml to the litre is the least of a top coat, in warm weather too (common practice).
		for _, m := range x.Plan.Mixes {
			if m.CatalystML/m.ResinL < 20 {
				t.Errorf("bucket %d: %.1f ml to the litre", m.Number, m.CatalystML/m.ResinL)
			}
		}
	}
	for _, d := range hot.Job.Defaults {
		if d.Field == "spec.coat_catalyst" && (d.Value != "catalyst.slow" || !strings.Contains(d.Why, "picked by the plan")) {
			t.Errorf("the list of defaults still has %+v", d)
		}
	}
	// What is not kept is not picked; what the file names is taken.
	if s := pick(28, []string{"resin.all-season", "topcoat.waxed", "catalyst.mekp"}, job).Job.Spec; s.CoatCatalyst != material.UsualCatalyst {
		t.Errorf("the firm keeps no slow catalyst, and %s is picked", s.CoatCatalyst)
	}
	if s := pick(28, []string{"catalyst.slow"}, job).Job.Spec; s.Catalyst != "catalyst.slow" || s.CoatCatalyst != "catalyst.slow" {
		t.Errorf("the firm keeps the slow catalyst alone, and %s and %s are picked", s.Catalyst, s.CoatCatalyst)
	}
	if s := pick(28, nil, named(job)).Job.Spec; s.CoatCatalyst != material.UsualCatalyst {
		t.Errorf("the file names the standard catalyst, and %s is picked", s.CoatCatalyst)
	}
}

// The resin's temperature has an effect: warmer than the deck it shortens the working time,
// and below what the sheet allows nothing is mixed. Air alone does not stand for a deck.
func TestResinInItsPailCounts(t *testing.T) {
	at := func(resinC, deckC float64) *plan.Plan {
		t.Helper()
		job := named(example(t, "r01-garage.yaml"))
		job.Day.DeckC, job.Day.ResinC = deckC, resinC
		job.Defaults = slices.DeleteFunc(job.Defaults, func(d roof.Default) bool { return strings.HasPrefix(d.Field, "day.") })
		p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: job, Catalogue: material.Generic()})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	mat := func(p *plan.Plan) laying.Pass {
		for _, x := range p.Passes {
			if x.Kind == "mat" {
				return x
			}
		}
		t.Fatal("no mat")
		return laying.Pass{}
	}
	same, warm, cool := mat(at(14, 14)), mat(at(16, 14)), mat(at(10, 14))
	a, b, c := same.Plan.Mixes[0], warm.Plan.Mixes[0], cool.Plan.Mixes[0]
	if !(b.LayByMin < a.LayByMin) || b.ResinC != 16 || b.TempC != 14 {
		t.Errorf("resin of 16 °C on a deck of 14: lay within %.1f min, of 14 °C within %.1f", b.LayByMin, a.LayByMin)
	}
	// Out of a cool pail there is longer, but no longer than the pail itself leaves.
	if pail := mat(at(10, 10)).Plan.Mixes[0]; c.LayByMin <= a.LayByMin || c.DosePct == pail.DosePct && c.LayByMin > pail.LayByMin+1e-9 {
		t.Errorf("cool resin leaves %.1f min on a deck that leaves %.1f; by itself %.1f", c.LayByMin, a.LayByMin, pail.LayByMin)
	}
	if x := mat(at(3, 16)); x.Plan != nil || !strings.Contains(x.Refusal, "in its pail") {
		t.Errorf("resin of 3 °C is mixed: %q", x.Refusal)
	}
	p, err := plan.Make(t.Context(), plan.Input{Cache: shared, Job: example(t, "r01-garage.yaml"), Catalogue: material.Generic()})
	if err != nil {
		t.Fatal(err)
	}
	asked := false
	for _, r := range p.Checks {
		asked = asked || r.Key == "day.laminate" && strings.Contains(strings.Join(r.Flags, " "), "deck under sun, which may reach about 36 °C")
	}
	if !asked {
		t.Error("the air of 14 °C stands for a deck under the sun of May without a word")
	}
}
