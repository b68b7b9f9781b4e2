package programme

import (
	"context"
	"fmt"
	"reflect"
	"testing"
	"time"

	"gelwright/weather"
)

// longDays are hours of work that are wider than those of the programme, and shorter ones.
var longDays = []Hours{{StartMin: 5 * 60, EndMin: 21 * 60}, {StartMin: 9 * 60, EndMin: 13 * 60},
	{StartMin: 6 * 60, EndMin: 20 * 60, SmellFromMin: 10 * 60, SmellUntilMin: 15 * 60, Off: [7]bool{0: true}}}

// A programme under other hours is that which is prepared for them.
func TestUnderOtherHours(t *testing.T) {
	in := Input{Stages: benchStages(), Members: courses(t, 15, 12), Site: benchSite, Hours: benchHours}
	p, err := Prepare(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range longDays {
		in.Hours = h
		whole, err := Prepare(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		shared, err := p.Under(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		want, err := whole.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		got, err := shared.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		want.search, got.search = nil, nil
		if !reflect.DeepEqual(got, want) {
			t.Errorf("under %v another result is found than when prepared for it", h)
		}
	}
	if _, err := p.Under(context.Background(), Hours{StartMin: 900, EndMin: 300}); err == nil {
		t.Error("hours that end before they begin are taken")
	}
}

// Today finds the beginning that Now advises, and none where Now advises none of that day.
func TestTodayIsAsNowAdvises(t *testing.T) {
	in := Input{Stages: benchStages(), Members: courses(t, 15, 12), Site: benchSite, Hours: longDays[0]}
	p, err := Prepare(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	begins := 0
	for day := range 8 {
		for _, minute := range []int{6 * 60, 11*60 + 15, 16 * 60} {
			for _, done := range [][]Done{nil, {{Key: in.Stages[0].Name}}} {
				at := p.TimeOf(0).AddDate(0, 0, day+1).Add(time.Duration(minute) * time.Minute)
				a, err := p.Now(context.Background(), at, done)
				if err != nil {
					t.Fatal(err)
				}
				s, err := p.Today(context.Background(), at, done)
				if err != nil {
					t.Fatal(err)
				}
				where := fmt.Sprintf("at %s with %d done", at.Format("2 Jan 15:04"), len(done))
				if (s != nil) != (a.Verdict != weather.NoGo) {
					t.Errorf("%s Now says %v, Today has %v", where, a.Verdict, s)
					continue
				}
				if s != nil {
					begins++
					if s.Stage != a.Stage || !s.Start.Equal(a.At) || s.Call.P != a.PBest {
						t.Errorf("%s stage %d begins %s with %.3f, by Now stage %d at %s with %.3f", where, s.Stage, s.Start, s.Call.P, a.Stage, a.At,
							a.PBest)
					}
				}
			}
		}
	}
	if begins < 5 || begins > 43 {
		t.Errorf("%d of 48 questions find a beginning: the test tells nothing", begins)
	}
}
