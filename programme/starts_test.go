package programme

import (
	"context"
	"testing"

	"pgregory.net/rapid"
)

// The likeliest of all starts is as likely as the likeliest plan, and the best of a day is among them.
func TestStartsHoldWhatPlansPromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		starts := r.Starts()
		if r.Likeliest == nil {
			if len(starts) > 0 {
				t.Fatalf("%d starts and no plan", len(starts))
			}
			return
		}
		at := map[int64]Start{}
		for i, s := range starts {
			if s.P <= 0 || s.P > 1 || s.Finish.Before(s.Begin) || i > 0 && !starts[i-1].Begin.Before(s.Begin) {
				t.Fatalf("start %d is %+v", i, s)
			}
			at[s.Begin.Unix()] = s
		}
		for _, plan := range append([]Plan{*r.Likeliest}, r.Frontier...) {
			if s := at[plan.Begin.Unix()]; !s.Sure && s.P < plan.P-1e-12 {
				t.Fatalf("a plan begins at %v with %v, the start there has %v", plan.Begin, plan.P, s.P)
			}
		}
		if r.Sure != nil && !at[r.Sure.Begin.Unix()].Sure {
			t.Fatalf("the sure plan begins at %v, and the start there is not", r.Sure.Begin)
		}
		for _, d := range r.Days {
			if d.Plan == nil {
				continue
			}
			if s := at[d.Plan.Begin.Unix()]; !s.Sure && s.P < d.Plan.P-1e-12 {
				t.Fatalf("the day's best begins at %v with %v, the start there has %v", d.Plan.Begin, d.Plan.P, s.P)
			}
		}
	})
}
