package main

import (
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/programme"
)

// What a search that was cut short has found is not said to be the most that there is.
func TestTheMostIsSaidOnlyWhereItIsProven(t *testing.T) {
	best := &programme.Plan{P: 0.42, Slots: []programme.Slot{{Call: programme.Call{Reason: "rain"}}}}
	for _, c := range []struct {
		proven    bool
		bound     float64
		says, not string
	}{
		{true, 1, "42 % is the most that any plan holds with", "ruled out"},
		{false, 1, "42 % is the most that was found", "that any plan"},
		{false, 1, "the search was cut short.\n", "courses"},
		{false, 0.61, "cut short, and no plan holds in more than 61 % of the courses.\n", "that any plan"},
	} {
		w := whenTeller{o: &desk.Outlook{}, r: &desk.When{Result: &programme.Result{Likeliest: best, Proven: c.proven, Bound: c.bound, Target: 0.9}}, zone: time.UTC}
		w.first()
		w.others()
		if text := w.b.String(); !strings.Contains(text, c.says) || strings.Contains(text, c.not) {
			t.Errorf("proven %v, bound %v: %s", c.proven, c.bound, text)
		}
	}
}
