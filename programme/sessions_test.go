package programme

import (
	"testing"
	"time"
)

func TestSessionsJoinWhatFollowsWithoutABreak(t *testing.T) {
	at := func(q int) time.Time { return time.Date(2026, 6, 1, 6, 15*q, 0, 0, time.UTC) }
	p := Plan{Slots: []Slot{
		{Name: "trims", Start: at(0), End: at(2), P: 1},
		{Name: "laminate, part 1 of 3", Start: at(2), End: at(4), P: 0.9, SafeBy: at(8)},
		{Name: "laminate, part 2 of 3", Start: at(4), End: at(6), P: 0.8, SafeBy: at(10)},
		{Name: "laminate, part 3 of 3", Start: at(100), End: at(102), P: 0.95, Again: "day joint"},
	}}
	s := p.Sessions()
	if len(s) != 3 || s[1].Name != "laminate, parts 1 to 2 of 3" || s[1].P != 0.8 || !s[1].End.Equal(at(6)) || !s[1].SafeBy.Equal(at(10)) || s[2].Name != "laminate, part 3 of 3" {
		t.Errorf("got %+v", s)
	}
	p.Slots[3] = Slot{Name: "laminate, part 3 of 3", Start: at(6), End: at(8), P: 1}
	if s := p.Sessions(); len(s) != 2 || s[1].Name != "laminate" {
		t.Errorf("got %+v", s)
	}
}
