package office_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/office"
	"gelwright/store"
)

// refuses fails unless err is a refusal that names a place and says some words.
func refuses(t *testing.T, err error, place, words string) {
	t.Helper()
	if k := store.KindOf(err); k != store.Refused && k != store.TooLarge {
		t.Fatalf("%v is no refusal", err)
	}
	if !strings.HasPrefix(err.Error(), place) || !strings.Contains(err.Error(), words) {
		t.Errorf("%q does not begin with %q and say %q", err, place, words)
	}
}

// moved moves an enquiry along stages, a day for each from 1 June.
func moved(t *testing.T, stages ...office.Stage) office.Job {
	t.Helper()
	var j office.Job
	for i, s := range stages {
		why := ""
		if s == office.NotTaken {
			why = "too dear"
		} else if len(j.PassedOver(s)) > 0 {
			why = "on the telephone"
		}
		var err error
		if j, err = j.Move(s, fmt.Sprintf("2026-06-%02d", i+1), "2026-07-01", why); err != nil {
			t.Fatal(err)
		}
	}
	return j
}

func TestAJobMovesOnBackAndOut(t *testing.T) {
	j := moved(t, office.Survey, office.Design, office.OnTheRoof)
	want := []office.Reached{{office.Survey, "2026-06-01"}, {office.Design, "2026-06-02"}, {office.OnTheRoof, "2026-06-03"}}
	if d := cmp.Diff(want, j.Reached); d != "" || j.Stage != office.OnTheRoof {
		t.Errorf("order was passed over:\n%s", d)
	}
	// Back: what lies behind is no longer reached; on again it is reached on the new day.
	back := moved(t, office.Survey, office.Design, office.OnTheRoof, office.Survey, office.Design)
	want = []office.Reached{{office.Survey, "2026-06-01"}, {office.Design, "2026-06-05"}}
	if d := cmp.Diff(want, back.Reached); d != "" {
		t.Errorf("moved back and on:\n%s", d)
	}
	out := moved(t, office.Survey, office.Design, office.NotTaken)
	if out.Why != "too dear" || len(out.Reached) != 2 {
		t.Errorf("not taken: %+v", out)
	}
	if again, err := out.Move(office.Design, "2026-07-01", "2026-07-01", ""); err != nil || again.Why != "" || again.Reached[1].Date != "2026-06-02" {
		t.Errorf("taken after all: %+v, %v", again, err)
	}
	_, err := j.Move(office.NotTaken, "2026-06-04", "2026-07-01", "")
	refuses(t, err, "why", "not taken")
	_, err = j.Move("sold", "2026-06-04", "2026-07-01", "")
	refuses(t, err, "stage", "enquiry, survey, design, order, on the roof, hand-over, aftercare, and not taken")
	_, err = j.Move(office.HandOver, "4 June", "2026-07-01", "")
	refuses(t, err, "on", "4 June")
}

// A stage begins when it begins: none lies ahead, whether a job is moved or its sheet written whole.
func TestNoStageBeginsInTheFuture(t *testing.T) {
	j := moved(t, office.Survey)
	_, err := j.Move(office.Design, "2026-07-02", "2026-07-01", "")
	refuses(t, err, "on", "2026-07-02 is still to come, today is 2026-07-01")
	if _, err = j.Move(office.Design, "2026-07-01", "2026-07-01", ""); err != nil {
		t.Error(err)
	}
	ahead := func(date string, hour int) error {
		c := office.Change{ID: store.NewID(), When: time.Date(2026, 7, 1, hour, 0, 0, 0, time.UTC), Who: "Asha",
			Sheet: office.Job{Stage: office.Survey, Reached: []office.Reached{{Stage: office.Survey, Date: date}}}}
		return c.Check()
	}
	if err := errors.Join(ahead("2026-07-01", 0), ahead("2026-07-02", 10)); err != nil { // east of the Pacific the 2nd has begun
		t.Error(err)
	}
	refuses(t, ahead("2026-07-02", 9), "reached, line 1", "survey cannot have begun on 2026-07-02")
	refuses(t, ahead("2026-07-03", 23), "reached, line 1", "still to come")
}

// Stages are passed over only where it is said why; the words stand in the history of the sheet.
func TestStagesArePassedOverWithAWord(t *testing.T) {
	j := moved(t, office.Survey)
	got, err := j.Move(office.OnTheRoof, "2026-06-02", "2026-07-01", " ")
	refuses(t, err, "why", "it passes over design, order")
	if got.Stage != office.OnTheRoof {
		t.Errorf("what was asked for is %+v", got)
	}
	if got, err = j.Move(office.OnTheRoof, "2026-06-02", "2026-07-01", "a repair"); err != nil || got.Why != "" || len(got.Reached) != 2 {
		t.Errorf("with a word: %+v (%v)", got, err)
	}
	for want, c := range map[string]struct {
		to  office.Stage
		why string
	}{
		"moved to on the roof, passing over design, order: a repair": {office.OnTheRoof, "a repair"},
		"moved to design": {office.Design, ""}, "moved to enquiry": {office.Enquiry, ""}, "moved to not taken": {office.NotTaken, "too dear"},
	} {
		if got := j.MovedWords(c.to, c.why); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	// One that was not taken goes on from where it stood.
	out := moved(t, office.Survey, office.NotTaken)
	if over := out.PassedOver(office.Design); len(over) != 0 {
		t.Errorf("passed over: %v", over)
	}
	if over := out.PassedOver(office.OnTheRoof); len(over) != 2 {
		t.Errorf("passed over: %v", over)
	}
}

func TestStepsAreTickedAsFarAsTheJobHasCome(t *testing.T) {
	ticks := func(j office.Job) string {
		out := ""
		for _, s := range j.Steps() {
			switch {
			case s.Here && s.Done:
				out += "!"
			case s.Here:
				out += "o"
			case s.Done:
				out += "x"
			default:
				out += "."
			}
			if s.Date != "" {
				out += s.Date[8:]
			}
		}
		return out
	}
	for want, j := range map[string]office.Job{
		"o......":          {},
		"xx" + "01o02....": moved(t, office.Survey, office.Design),
		"xx01xxo02..":      moved(t, office.Survey, office.OnTheRoof),
		"xx01x02....":      moved(t, office.Survey, office.Design, office.NotTaken),
		".......":          moved(t, office.NotTaken),
		"xxxxxxo01":        moved(t, office.Aftercare),
	} {
		if got := ticks(j); got != want {
			t.Errorf("%s: %s, want %s", j.Stage, got, want)
		}
	}
}

func TestJobsThatCannotBeKept(t *testing.T) {
	june := "2026-06-01"
	for _, c := range []struct {
		place, words string
		job          office.Job
	}{
		{"stage", "sold", office.Job{Stage: "sold"}},
		{"why", "not taken", office.Job{Stage: office.NotTaken}},
		{"why", "enquiry", office.Job{Why: "too dear"}},
		{"reached, line 2", "survey", office.Job{Stage: office.Order, Reached: []office.Reached{{office.Design, june}, {office.Survey, june}}}},
		{"reached, line 2", "survey", office.Job{Stage: office.Order, Reached: []office.Reached{{office.Survey, june}, {office.Survey, june}}}},
		{"reached, line 1", "cannot have reached order", office.Job{Stage: office.Design, Reached: []office.Reached{{office.Order, june}}}},
		{"reached, line 1", "no date", office.Job{Stage: office.Order, Reached: []office.Reached{{office.Design, "2026-02-30"}}}},
		{"reached, line 1", "not taken", office.Job{Stage: office.NotTaken, Why: "x", Reached: []office.Reached{{office.NotTaken, june}}}},
		{"waits, line 1", "empty", office.Job{Awaits: []office.Awaited{{"", june}}}},
		{"waits, line 1, by", "no date", office.Job{Awaits: []office.Awaited{{"customer decides", "soon"}}}},
		{"waits", "41", office.Job{Awaits: make([]office.Awaited, 41)}},
		{"customer", "no id", office.Job{Customer: "Ada"}},
		{"site", "no id", office.Job{Site: "1"}},
		{"ordered", "no date", office.Job{Ordered: "yes"}},
		{"note", "4001", office.Job{Note: strings.Repeat("x", 4001)}},
	} {
		refuses(t, c.job.Check(), c.place, c.words)
	}
	whole := moved(t, office.Survey, office.Order)
	whole.Awaits, whole.Note, whole.Ordered = []office.Awaited{{"customer decides", june}, {"key", ""}}, "two\nlines", june
	whole.Customer, whole.Note = store.NewID(), strings.Repeat("ö", 4000)
	if err := whole.Check(); err != nil {
		t.Error(err)
	}
}
