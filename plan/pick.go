package plan

import (
	"context"
	"fmt"

	"gelwright/laying"
	"gelwright/material"
	"gelwright/steps"
)

// pick picks resin grade and catalyst of laminate and top coat for the hours of the day, among
// what the firm keeps, where the roof file does not name them. What was picked stands in the
// plan's job from here on.
func (s *survey) pick(ctx context.Context, made *roofMade) error {
	job, store := &s.job, laying.Store{Catalogue: s.in.Catalogue, Keeps: s.in.Keeps, Law: s.in.lawOf}
	named := func(field string) bool { _, silent := job.Origin("spec.").Silent(field); return !silent }
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
		among, err := store.Pairs(laying.Wish{Resin: *x.resin, Catalyst: *x.catalyst, ResinNamed: named(x.resinField),
			CatalystNamed: named(x.catalystField)})
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
