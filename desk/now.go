package desk

import (
	"context"
	"time"

	"gelwright/programme"
	"gelwright/weather"
)

// Now says what to do at a time, with what is done already.
func (o *Outlook) Now(ctx context.Context, at time.Time, done []programme.Done) (*programme.Advice, error) {
	a, err := o.prepared.Now(ctx, at, done)
	if err != nil {
		return nil, as(Asked, err)
	}
	return a, nil
}

// Stops says no to advice without a way on.
func Stops(a *programme.Advice) error {
	if a.Verdict == weather.NoGo && a.Plan == nil {
		return refuse("%s", a.Act)
	}
	return nil
}
