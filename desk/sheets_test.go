package desk_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/rooffile"
	"gelwright/working"
)

// Where rain on the bare boards is what stands in the way, sheets over them are told with what they would give; a roof file that says
// that they lie under sheets gets that.
func TestSheetsAreToldWhereTheyHelp(t *testing.T) {
	_, sky := example(t, "r01-garage")
	look := desk.UsualLook()
	outlook := func(text string) (*desk.Outlook, *desk.When) {
		j, _, err := rooffile.Read("shut.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if look.At, err = desk.Clock("2026-05-13T08:00", time.Time{}, time.UTC); err != nil {
			t.Fatal(err)
		}
		o, err := desk.LookOut(context.Background(), desk.Given{Job: j}, sky, look)
		if err != nil {
			t.Fatal(err)
		}
		w, err := o.When(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		return o, w
	}
	open, w := outlook(shut)
	_, dry := outlook(strings.Replace(shut, "day:", "work: {sheeted: true}\nday:", 1))
	if dry.Best().P < w.Best().P+0.05 {
		t.Fatalf("%.2f under sheets, %.2f without", dry.Best().P, w.Best().P)
	}
	p, err := open.PlanFor(context.Background(), w)
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("hold with %s %% under sheets", working.Chance(dry.Best().P)); !strings.Contains(p.Schedule.Reason, want) {
		t.Errorf("%q is not in %q", want, p.Schedule.Reason)
	}
	o, _ := outlook(strings.Replace(shut, "day:", "work: {sheeted: true}\nday:", 1))
	if p, err = o.PlanFor(context.Background(), dry); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(p.Schedule.Reason, "under sheets") {
		t.Errorf("sheets are asked for where they lie: %s", p.Schedule.Reason)
	}
	steps := 0
	for _, s := range p.Method {
		if strings.Contains(s.Act, "under sheets, tied down") {
			steps++
		}
	}
	if steps != 1 {
		t.Errorf("%d steps of the method ask for the sheets", steps)
	}
}
