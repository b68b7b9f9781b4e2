package desk_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/rooffile"
)

// shut is a warm roof that the fortnight of the examples gives no sure days: its boards lie in the rain.
const shut = `version: 1
name: Kitchen at Orchard Row
date: "2026-05-13"
site: {country: GB-ENG, altitude_m: 60, terrain: III, eaves_m: 3}
day: {air_c: 14}
spec: {build_up: warm, insulation: {material: PIR, thickness_mm: 120}}
decks:
  - name: kitchen
    outline: [[0, 0], [5.1, 0], [5.1, 3.4], [3.2, 3.4], [3.2, 4.6], [0, 4.6]]
    edges: [drip, kerb, wall, wall, wall, kerb]
    fall: {towards: south, ratio: 40}
    openings:
      - {name: RL1, kind: rooflight, from: [1.4, 2.0], to: [2.4, 3.0], kerb_mm: 150}
`

// What Now shows of a roof that it does not open is the plan of the papers, and each start is blamed for its own faults: a coat on
// what lies there for a day and a half is not said to come too soon because the mat under it may get wet.
func TestARoofThatIsNotOpenedHasOnePlan(t *testing.T) {
	_, sky := example(t, "r01-garage")
	j, _, err := rooffile.Read("shut.yaml", []byte(shut))
	if err != nil {
		t.Fatal(err)
	}
	g := desk.Given{Job: j}
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		t.Fatal(err)
	}
	look := desk.UsualLook()
	if look.At, err = desk.Clock("2026-05-13T08:00", time.Time{}, site.Zone); err != nil {
		t.Fatal(err)
	}
	o, err := desk.LookOut(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	w, err := o.When(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	a, err := o.Now(context.Background(), look.At, nil)
	if err != nil {
		t.Fatal(err)
	}
	best := w.Best()
	if w.Order() || a.Plan == nil || best == nil {
		t.Fatalf("order %v, plan of now %v, of the papers %v", w.Order(), a.Plan, best)
	}
	if !a.Plan.Begin.Equal(best.Begin) || !a.Plan.Finish.Equal(best.Finish) || a.Plan.P != best.P {
		t.Errorf("now: %v to %v with %.2f; the papers: %v to %v with %.2f", a.Plan.Begin, a.Plan.Finish, a.Plan.P, best.Begin, best.Finish, best.P)
	}
	weakest := &best.Slots[best.Weakest]
	if !strings.Contains(weakest.Call.Reason, "laminate") || !strings.Contains(weakest.Call.Reason, "moisture of the boards") {
		t.Errorf("the weakest start is %s: %s", weakest.Name, weakest.Call.Reason)
	}
	for _, s := range best.Slots {
		if strings.Contains(s.Call.Reason, "hard enough") {
			t.Errorf("%s at %v: %s", s.Name, s.Start, s.Call.Reason)
		}
	}
}
