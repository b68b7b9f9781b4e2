package desk

import (
	"gelwright/cure"
	"gelwright/firmfile"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/roof"
)

// OfPlan is the question for a bucket of a planned roof: with the resin and the catalyst that the plan has picked, what it keeps
// before gel, its test cups and the experience of its crew. What the question names itself stands.
func (a DoseAsk) OfPlan(p *plan.Plan, firm *firmfile.Firm) (DoseAsk, error) {
	j := &p.Job
	resin, catalyst, cup := j.Spec.Resin, j.Spec.Catalyst, j.Day.Cup
	if a.Coat {
		resin, catalyst, cup = j.Spec.CoatResin, j.Spec.CoatCatalyst, j.Day.CoatCup
	}
	if a.Resin == "" {
		a.Resin = resin
	}
	if a.Catalyst == "" && a.Resin == resin {
		a.Catalyst = catalyst
	}
	if a.Cup == nil && cup != (roof.Cup{}) && a.Resin == resin {
		a.Cup = &cup
	}
	if a.MarginMin < 0 {
		a.MarginMin = j.Crew.MarginMin
	}
	if a.NeedMin == 0 {
		a.NeedMin = cure.LeastLayMin // what a bucket of the plan is dosed for
	}
	most, err := mixing.ExperienceCap(j.Crew.Experience)
	if err != nil {
		return a, as(Faulty, err)
	}
	a.MostKG, a.Crew = most.Value, j.Crew.Experience
	if firm != nil {
		a.Keeps = firm.Keeps
	}
	return a, nil
}
