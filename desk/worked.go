package desk

import (
	"context"
	"errors"

	"gelwright/plan"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/steps"
)

// Worked is a roof as the stages of its work: what of it does not hang on the weather. It is not changed after it is made, and may be
// kept for another morning: it follows from roof, firm, gels and crew, and from the release of the engine (plan.Engine).
type Worked struct {
	Job roof.Job
	// Cup asks for test cups; empty for none.
	Cup string
	// Passes are the keys of the wet passes of its plan, in their order.
	Passes []string
	// Work is nil where Fault says why there is none.
	Work  *works.Work
	Fault error
}

// WorkOf plans a roof and parts its work into stages, for the crew of people, or the job's where that is 0.
func WorkOf(ctx context.Context, g Given, people int) (*Worked, error) {
	in, err := g.Input()
	if err != nil {
		return nil, err
	}
	return workedOut(ctx, in, g.rates(), people, nil)
}

// workInput is all that a worked roof follows from.
type workInput struct {
	Plan   plan.Input
	Rates  works.Rates
	People int
}

// workedOut plans a roof for a crew and parts its work into stages, or hands out what was kept of the same input.
func workedOut(ctx context.Context, in plan.Input, rates works.Rates, people int, kept *steps.Cache) (*Worked, error) {
	key := workInput{in, rates, people}
	key.Plan.Cache, key.Plan.Progress, key.Plan.Weigh = nil, nil, false
	return keeping(ctx, kept, "stages of the work", key, func() (*Worked, error) {
		first := in
		first.Weigh = false
		if people > 0 {
			first.Job.Crew.People = people
		}
		p, err := plan.Make(ctx, first)
		if err != nil {
			return nil, err
		}
		w := &Worked{Job: p.Job, Cup: askCup(p)}
		for i := range p.Passes {
			w.Passes = append(w.Passes, p.Passes[i].Key())
		}
		made, err := works.Of(ctx, p, &in, rates, people)
		if w.Fault = err; err == nil {
			// Made anew, so that neither the figures, which nobody asks for here, nor the plan are kept with it.
			w.Work = &works.Work{Stages: made.Stages, Hours: made.Hours, Notes: made.Notes}
		}
		return w, ctx.Err()
	})
}

// keeping is what a step makes of an input, or made of it before where that is kept; without a cache nothing is.
func keeping[I, O any](ctx context.Context, kept *steps.Cache, name string, in I, do func() (O, error)) (O, error) {
	if kept == nil {
		return do()
	}
	made, err := steps.Run(ctx, steps.Runner{Cache: kept}, name, in, func(context.Context, I) (O, error) { return do() })
	if err != nil {
		err = errors.Unwrap(err) // the step has no name for whoever asks
	}
	return made.Value, err
}
