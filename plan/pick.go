package plan

import (
	"cmp"
	"context"
	"fmt"

	"gelwright/laying"
	"gelwright/material"
	"gelwright/steps"
	"gelwright/weather"
)

// pairs are the resins and catalysts of the laminate, or of the top coat, that may be picked.
func (in *Input) pairs(coat bool) ([]laying.Liquid, error) {
	store, spec := laying.Store{Catalogue: in.Catalogue, Keeps: in.Keeps, Law: in.lawOf}, &in.Job.Spec
	named := func(field string) bool { _, silent := in.Job.Origin("spec.").Silent(field); return !silent }
	w := laying.Wish{Resin: spec.Resin, Catalyst: spec.Catalyst, ResinNamed: named("spec.resin"), CatalystNamed: named("spec.catalyst")}
	if coat {
		w = laying.Wish{Resin: spec.CoatResin, Catalyst: cmp.Or(spec.CoatCatalyst, spec.Catalyst), ResinNamed: named("spec.coat_resin"),
			CatalystNamed: named("spec.coat_catalyst")}
	}
	return store.Pairs(w)
}

// HottestDecks are the hottest decks on which a bucket of the laminate, or of the top coat, is
// laid in time: with the pair that is mixed on most of those that may be picked; where a cup is
// timed, with the pair that it is of, and no other. A cup is a pail of one resin and one catalyst:
// it says nothing of the others, whose range of any brand would shut hours that it has opened, and
// whose hottest deck would open hours for a pair that nobody has mixed.
func (in *Input) HottestDecks(r material.Resin, c material.Catalyst) (*weather.Mixable, error) {
	var pail *float64
	if _, silent := in.Job.Origin("day.").Silent("day.resin_c"); !silent {
		pail = &in.Job.Day.ResinC
	}
	law, err := in.Law(r, c)
	if err != nil {
		return nil, err
	}
	if day := &in.Job.Day; r.Coat && !day.CoatCup.Given() || !r.Coat && !day.Cup.Given() {
		among, err := in.pairs(r.Coat)
		if err != nil {
			return nil, err
		}
		law = laying.Widest(among, in.Job.Crew.MarginMin, pail).Law
	}
	out := laying.HottestDecks(law, in.Job.Crew.MarginMin)
	out.PailC = pail
	return out, nil
}

// pick picks resin grade and catalyst of laminate and top coat for the hours of the day, among
// what the firm keeps, where the roof file does not name them. What was picked stands in the
// plan's job from here on.
func (s *survey) pick(ctx context.Context, made *roofMade) error {
	job := &s.job
	work := made.days.Value.Work
	var picks [2]laying.Picked
	for i, x := range []struct {
		kind, resinField, catalystField string
		resin, catalyst                 *string
		least                           float64
	}{
		{"laminating resin", "spec.resin", "spec.catalyst", &job.Spec.Resin, &job.Spec.Catalyst, 0},
		{"top coat", "spec.coat_resin", "spec.coat_catalyst", &job.Spec.CoatResin, &job.Spec.CoatCatalyst, material.CoatLeastMLPerL},
	} {
		if *x.catalyst == "" {
			*x.catalyst = s.coatCatalyst()
		}
		among, err := s.in.pairs(i == 1)
		if err != nil {
			return fmt.Errorf("%s: %w", x.resinField, err)
		}
		hours := s.schedule.Worked(i == 1)
		if len(hours) == 0 {
			hours = work.Hourly()
		}
		picked, err := steps.Run(ctx, s.run, stepPick, laying.PickInput{Kind: x.kind, Among: among, Hours: hours,
			MarginMin: job.Crew.MarginMin, LeastMLPerL: x.least}, laying.MakePick)
		if err != nil {
			return err
		}
		p := &picked.Value
		// The cup was timed with the pair that was picked: it moves no choice, but the doses.
		if p.Law, err = s.in.cupped(i == 1, p.Law); err != nil {
			return err
		}
		if _, silent := s.in.Job.Origin("spec.").Silent(x.catalystField); silent && s.in.cup(i == 1).Given() {
			p.Why += fmt.Sprintf("; the test cup is taken as timed with this pair: name another (%s, %s)", x.resinField, x.catalystField)
		}
		s.liquids[i], picks[i] = p.Liquid, *p
		job.Pick(x.resinField, x.resin, p.Key, p.Why)
		job.Pick(x.catalystField, x.catalyst, p.Catalyst, p.Why)
	}
	s.picks.Answer(laying.PickedCheck(&picks[0], &picks[1]), "")
	s.picks.Checks = append(s.picks.Checks, picks[1].Checks...)
	var err error
	if s.resin, err = s.in.Catalogue.Resin(job.Spec.Resin); err != nil {
		return err
	}
	if s.coat, err = s.in.Catalogue.Resin(job.Spec.CoatResin); err != nil {
		return err
	}
	s.catalyst, err = s.in.Catalogue.Catalyst(job.Spec.Catalyst)
	return err
}
