package programme

import (
	"context"
	"strings"
	"testing"
	"time"

	"gelwright/weather"
)

// A roof is begun only where a plan to its end reaches the target, as Search says of the same hours; once it is begun the next
// stretch is judged by itself.
func TestARoofIsOpenedToBeClosed(t *testing.T) {
	in := Input{Stages: benchStages(), Members: courses(t, 15, 12), Site: benchSite, Hours: longDays[0]}
	p, err := Prepare(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	ask := func(at time.Time, done []Done) *Advice {
		t.Helper()
		a, err := p.Now(context.Background(), at, done)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	shut, begun := 0, 0
	for day := range 8 {
		at := p.TimeOf(0).AddDate(0, 0, day+1).Add(8 * time.Hour)
		all := 0.0
		a := ask(at, nil)
		if best := a.Result.Best(); best != nil {
			all = best.P
		}
		if a.Verdict != weather.NoGo && all > 0 && all < a.Target-hair {
			t.Errorf("%s: %q, and all of it holds with %.2f", at.Format("2 Jan"), a.Act, all)
		}
		if strings.Contains(a.Act, "all of it holds with") {
			if shut++; a.PAll != all || len(a.Changes) == 0 || !strings.Contains(a.Changes[len(a.Changes)-1], "by itself would hold") {
				t.Errorf("%s: %q with %.2f for all, %.2f found; changes %q", at.Format("2 Jan"), a.Act, a.PAll, all, a.Changes)
			}
		}
		next := ask(at, []Done{{Key: in.Stages[0].Name, Start: at.Add(-3 * time.Hour), End: at}})
		if next.Verdict != weather.NoGo && next.PAll < next.Target-hair {
			begun++
		}
	}
	if shut == 0 || begun == 0 {
		t.Errorf("%d roofs are kept shut, %d stretches begun on a roof that is not sure: the test tells nothing", shut, begun)
	}
}

// Where no limit speaks against a slot, it is said what lies under it must first become; only bare boards must dry.
func TestWhatLiesUnderASlot(t *testing.T) {
	p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: courses(t, 15, 12), Site: benchSite, Hours: longDays[0]})
	if err != nil {
		t.Fatal(err)
	}
	for k := range p.in.Stages {
		st := &p.in.Stages[k]
		st.Bare = k%2 == 0
		// It is worked in no quarter and ends behind the weather known: neither work nor film meets a limit.
		s := Slot{Stage: k, Name: st.Name, Start: p.TimeOf(p.n), End: p.TimeOf(p.n + 1)}
		want := st.Name + ", by the forecast itself: what is under it is not hard enough by then"
		if st.Bare {
			want = strings.Replace(want, "hard enough", "hard or dry enough", 1)
		}
		if got := p.saidAgainst(&s); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
