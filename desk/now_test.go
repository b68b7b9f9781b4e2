package desk_test

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"time"

	"gelwright/desk"
	"gelwright/programme"
)

// asked asks what now of an example under the forecast of the examples, with what is done.
func asked(t *testing.T, name, at, done string) (*programme.Advice, *desk.Outlook) {
	t.Helper()
	g, sky := example(t, name)
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		t.Fatal(err)
	}
	look := desk.UsualLook()
	if look.At, err = desk.Clock(at, time.Time{}, site.Zone); err != nil {
		t.Fatal(err)
	}
	look.Since = desk.Since([]string{done}, look.At, site.Zone)
	o, err := desk.LookOut(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	stages, err := o.Done(done, look.At)
	if err != nil {
		t.Fatal(err)
	}
	a, err := o.Now(context.Background(), look.At, stages)
	if err != nil {
		t.Fatal(err)
	}
	return a, o
}

const before = "deck=2026-05-11T13:30,trims=2026-05-11T16:00,details=2026-05-12T08:30"

// Longer hours are proposed only where they are used: the crew of the examples works from 08:00 to 17:00.
func TestOtherHoursAreOutsideTheCrews(t *testing.T) {
	hours := regexp.MustCompile(`hours outside the crew's: .*? could begin at (\d\d:\d\d)(?: and go on until (\d\d:\d\d))?`)
	for _, c := range []struct {
		name, at string
		proposed bool
	}{{"r01-garage", "2026-05-13T09:30", false}, {"r07-overlay", "2026-05-13T16:00", true}} {
		a, _ := asked(t, c.name, c.at, before)
		m := hours.FindStringSubmatch(strings.Join(a.Changes, "\n"))
		if (m != nil) != c.proposed || m != nil && m[1] >= "08:00" && m[1] < "17:00" && m[2] <= "17:00" {
			t.Errorf("%s at %s: %q of %q", c.name, c.at, m, a.Changes)
		}
	}
}

// The age of what lies there at an advised start on another day is told as that of the start.
func TestAnAgeIsThatOfTheStart(t *testing.T) {
	a, _ := asked(t, "r01-garage", "2026-05-15T08:00", before)
	if !strings.Contains(a.Act, "it will be 127 h old then, Sun") || strings.Contains(a.Act, "it is") {
		t.Errorf("two days before the start: %s", a.Act)
	}
}

// What nobody named and is taken for done is said.
func TestWhatIsTakenForDoneIsSaid(t *testing.T) {
	a, _ := asked(t, "r01-garage", "2026-05-13T15:00", "laminate")
	if !strings.Contains(a.Act, "Taken for done too: ") || !strings.Contains(a.Act, "trims, bandage and details.") {
		t.Errorf("laminate alone: %s", a.Act)
	}
	if a, _ = asked(t, "r01-garage", "2026-05-13T15:00", "strip,deck,trims,details,laminate"); strings.Contains(a.Act, "Taken for done") {
		t.Errorf("all named: %s", a.Act)
	}
}
