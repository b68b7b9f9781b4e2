package programme

import (
	"context"
	"testing"
	"time"

	"gelwright/weather"
)

// Where the whole of what is left is not sure, the start that is advised is that of the plan of the whole; or, where the next stretch
// of work holds by itself at some starts, one of these, from which the whole is as likely as from any of them. A start that is as good
// for the stretch and worse for the roof is not advised.
func TestUnderTheTargetTheWholeRoofIsServed(t *testing.T) {
	in := Input{Stages: benchStages(), Members: courses(t, 15, 12), Site: benchSite, Hours: longDays[0]}
	p, err := Prepare(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	held, refused := 0, 0
	for day := range 5 {
		for stage := range in.Stages {
			at := p.TimeOf(0).AddDate(0, 0, day+1).Add(7 * time.Hour)
			var done []Done
			if stage > 0 {
				done = []Done{{Key: in.Stages[stage-1].Name, Start: at.Add(-3 * time.Hour), End: at}}
			}
			a, err := p.Now(context.Background(), at, done)
			if err != nil {
				t.Fatal(err)
			}
			r := a.Result
			if r == nil || r.Sure != nil || r.Likeliest == nil {
				continue
			}
			_, k, err := p.ask(at, done)
			if err != nil {
				t.Fatal(err)
			}
			best := 0.0
			for _, c := range r.search.choices(k.ready) {
				if pl := r.search.plan(&c); pl.Slots[0].Call.Verdict == weather.Go {
					best = max(best, pl.P)
				}
			}
			where := at.Format("2 Jan") + ", " + in.Stages[stage].Name
			switch {
			case best > 0 && !p.opens(stage):
				if held++; a.PAll < best-worth-hair || a.Plan.P != a.PAll {
					t.Errorf("%s: %q, from where the whole holds with %.3f; from another start at which the stretch holds, with %.3f", where,
						a.Act, a.PAll, best)
				}
			case p.opens(stage) || a.Plan.Slots[0].Call.Verdict != weather.Go:
				if refused++; !a.At.Equal(r.Likeliest.Begin) {
					t.Errorf("%s: %q, and the plan of the whole begins %s", where, a.Act, r.Likeliest.Begin)
				}
			}
		}
	}
	if held == 0 || refused == 0 {
		t.Errorf("%d starts held against others, %d refused: the test tells nothing", held, refused)
	}
}
