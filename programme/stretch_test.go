package programme

import (
	"context"
	"testing"
	"time"

	"gelwright/weather"
)

// Work that may be interrupted but takes an hour at the least is not begun in the last three quarters of a day, nor worked in a gap of
// three quarters between two showers; work without that rule is.
func TestWorkIsNotBegunForAQuarter(t *testing.T) {
	begin := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)
	limits := weather.LaminateLimits()
	limits.FrostFreeH, limits.AheadH = 0, 0
	for least := range 5 {
		var course []weather.Moment
		for q := range 3 * 96 {
			m := weather.Measured(begin.Add(time.Duration(q)*Quarter), 18, 18, 40, 1)
			// On the second day it rains but from 10:00 to 10:45 and from 13:00 on.
			if min := q % 96 * 15; q/96 == 1 && (min < 600 || min >= 645 && min < 780) {
				m.RainMMPerH = 2
			}
			course = append(course, m)
		}
		limits.RainFreeH = 0
		p, err := Prepare(context.Background(), Input{Stages: []Stage{{Name: "bandage", Kind: Details, Quarters: 6, Divisible: true,
			LeastQuarters: least, Limits: &limits}}, Members: [][]weather.Moment{course}, Site: benchSite, Hours: Hours{StartMin: 480, EndMin: 1020}})
		if err != nil {
			t.Fatal(err)
		}
		for q, ok := range p.stages[0].ok[0] {
			if ok == 0 {
				continue
			}
			clock := q % 96 * 15
			// Six quarters: an hour and less behind a first break is not left.
			if rest := 6 - (1020-clock)/15; least > 1 && rest > 0 && rest < least && q/96 != 1 {
				t.Errorf("least %d: begun on day %d at minute %d, %d quarters are left for the next", least, q/96+1, clock, rest)
			}
			if last := 1020 - 15*max(least, 1); clock > last || q/96 == 1 && least > 3 && clock < 780 {
				t.Errorf("least %d: begun on day %d at minute %d", least, q/96+1, clock)
			}
		}
		late, gap := p.stages[0].ok[0][1005/15] != 0, p.stages[0].ok[0][96+600/15] != 0
		if late != (least < 2) || gap != (least < 4) {
			t.Errorf("least %d: begun at 16:45 %v, between two showers %v", least, late, gap)
		}
	}
}

// The window that a plan tells of a film is the one by which Now says to make good what is under the next stage, and not before when
// it may begin.
func TestTheWindowToldIsThatOfNow(t *testing.T) {
	p := readyFor(t, 15, 12)
	r, err := p.Search(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	held := 0
	for _, plan := range append(r.Frontier, *r.Best()) {
		for _, s := range plan.Slots {
			if s.Over == nil {
				continue
			}
			if s.Over.Until.Before(s.End) {
				continue // begun on a day before
			}
			held++
			_, k, err := p.ask(s.Over.Until, []Done{{Key: s.Name, Start: s.Start, End: s.End}})
			if err != nil {
				t.Fatal(err)
			}
			if p.in.Stages[k.from].Name != s.Over.Stage {
				t.Fatalf("after %s %s is told, and Now goes on with %s", s.Name, s.Over.Stage, p.in.Stages[k.from].Name)
			}
			from, until := int32(0), int32(never)
			for m, w := range k.ready {
				until = min(until, w.a1)
				if plan.mask>>m&1 != 0 {
					from = max(from, w.a0)
				}
				if w.b0 <= int32(p.quarterOf(s.Over.Until)) {
					t.Errorf("%s is to be made good from %s, and its window is told until %s", s.Name, p.TimeOf(int(w.b0)), s.Over.Until)
				}
			}
			if !p.TimeOf(int(from)).Equal(s.Over.From) || !p.TimeOf(int(until)).Equal(s.Over.Until) {
				t.Errorf("%s: told from %s to %s, by Now from %s to %s", s.Name, s.Over.From, s.Over.Until, p.TimeOf(int(from)), p.TimeOf(int(until)))
			}
		}
	}
	if held == 0 {
		t.Error("no window is told")
	}
}
