package programme

import (
	"context"
	"testing"
	"time"

	"gelwright/weather"
)

// Of the plans that are sure and done on the earliest day the likeliest is given: one that begins at eight and holds with 0.91 is
// no better than one of ten o'clock with 0.94; but no later day is waited for, though it would be surer still.
func TestTheLikeliestOfTheEarliestDay(t *testing.T) {
	begin := time.Date(2026, 5, 12, 0, 0, 0, 0, time.UTC)
	const members, firstDay = 30, 24 * 4
	all := make([][]weather.Moment, members)
	for m := range all {
		for q := range 3 * firstDay {
			x := weather.Measured(begin.Add(time.Duration(q)*Quarter), 15, 15, 50, 2)
			if m == 5 && q < 10*4 || m == 6 && q < firstDay {
				x.WindMS = 15
			}
			all[m] = append(all[m], x)
		}
	}
	wet := weather.LaminateLimits()
	in := Input{Stages: []Stage{{Name: "lay", Kind: Laminate, Quarters: 4, Limits: &wet}}, Members: all, Site: benchSite,
		Hours: Hours{StartMin: 8 * 60, EndMin: 17 * 60}, Target: 0.9}
	p, err := Prepare(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.Search(context.Background())
	if err != nil || r.Sure == nil {
		t.Fatal(err, r.Blocked)
	}
	if at := begin.Add(10 * time.Hour); !r.Sure.Begin.Equal(at) || r.Sure.P != 30.0/32 {
		t.Errorf("begin %v with %.3f, want %v with 30 of 32", r.Sure.Begin, r.Sure.P, at)
	}
	if d := r.Days[0].Plan; d == nil || !d.Begin.Equal(r.Sure.Begin) || d.P != r.Sure.P {
		t.Errorf("the first day is told otherwise: %+v", d)
	}
	if !r.Likeliest.Begin.After(begin.Add(24*time.Hour)) || r.Likeliest.P != 31.0/32 {
		t.Errorf("likeliest %v with %.3f, want the second day", r.Likeliest.Begin, r.Likeliest.P)
	}
}
