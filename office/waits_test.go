package office_test

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

const today = "2026-06-03"

// words are waits as one line each.
func words(list []office.Wait) string {
	var out []string
	for _, w := range list {
		s := string(w.For)
		if w.N > 0 {
			s += fmt.Sprint(" ", w.N)
		}
		if w.P > 0 {
			s += fmt.Sprintf(" %.2f", w.P)
		}
		for _, x := range []string{w.Date, w.Text} {
			if x != "" {
				s += " " + x
			}
		}
		if w.Late {
			s += " late"
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}

// A roof without questions, under a forecast of two days.
func sound() *office.Roof {
	return &office.Roof{Decks: 1, AreaM2: 20, Outlook: office.Outlook{Target: 0.9, Days: []office.Chance{
		{Date: "2026-06-03", P: 0.95, Sure: true}, {Date: "2026-06-04", P: 0.4}, {Date: "2026-06-05", Why: "rain all day"}}}}
}

func day(date string) office.Booked {
	return office.Booked{ID: store.NewID(), Day: office.Day{Job: "j", Date: date, Part: office.Whole}}
}

func TestWhatAJobWaitsFor(t *testing.T) {
	at := func(stage office.Stage) office.Job {
		return office.Job{Stage: stage, Customer: store.NewID(), Ordered: "2026-05-20"}
	}
	faulty, asking := sound(), sound()
	faulty.Faults, faulty.Fault, faulty.Questions = 2, "the outline does not close", 9
	asking.Questions, asking.Stops = 3, 1
	off := day("2026-06-04")
	off.Off = true
	for _, c := range []struct {
		name, want string
		job        office.Job
		roof       *office.Roof
		days       []office.Booked
	}{
		{"nobody is named", "no customer", office.Job{}, nil, nil},
		{"an enquiry asks nothing of a roof", "", at(office.Enquiry), &office.Roof{}, nil},
		{"survey: no outline", "no dimensions", at(office.Survey), &office.Roof{Faults: 1}, nil},
		{"survey: nobody has looked", "", at(office.Survey), nil, nil},
		{"survey: faults", "faults 2 the outline does not close", at(office.Survey), faulty, nil},
		{"survey: questions come later", "", at(office.Survey), asking, nil},
		{"design: questions", "stops 1; questions 3", at(office.Design), asking, nil},
		{"design: no day yet", "", at(office.Design), sound(), nil},
		{"order: no day", "no day", at(office.Order), sound(), nil},
		{"order: not ordered", "not ordered; no day", office.Job{Stage: office.Order, Customer: store.NewID()}, sound(), nil},
		{"design: goods are not asked for", "", office.Job{Stage: office.Design, Customer: store.NewID()}, sound(), nil},
		{"order: a day taken off is none", "no day", at(office.Order), sound(), []office.Booked{off}},
		{"a sure day", "", at(office.OnTheRoof), sound(), []office.Booked{day("2026-06-04"), day("2026-06-03")}},
		{"an unsure day", "weather 0.40 2026-06-04", at(office.OnTheRoof), sound(), []office.Booked{day("2026-06-02"), day("2026-06-04")}},
		{"no beginning", "weather 2026-06-05 rain all day", at(office.Order), sound(), []office.Booked{day("2026-06-05")}},
		{"beyond the forecast", "weather far 2026-06-06", at(office.OnTheRoof), sound(), []office.Booked{day("2026-06-06")}},
		{"no forecast", "weather far 2026-06-04", at(office.OnTheRoof), &office.Roof{Decks: 1}, []office.Booked{day("2026-06-04")}},
		{"nobody has looked at the weather", "", at(office.OnTheRoof), nil, []office.Booked{day("2026-06-04")}},
		{"its days are over", "", at(office.OnTheRoof), sound(), []office.Booked{day("2026-06-02")}},
		{"hand-over waits for a name alone", "no customer", office.Job{Stage: office.HandOver}, &office.Roof{}, nil},
		{"aftercare", "", office.Job{Stage: office.Aftercare}, &office.Roof{}, nil},
		{"not taken", "", office.Job{Stage: office.NotTaken, Why: "x"}, &office.Roof{}, nil},
		{"words", "word 2026-06-02 customer decides late; word 2026-06-03 scaffold; word key",
			office.Job{Stage: office.Aftercare, Awaits: []office.Awaited{{"customer decides", "2026-06-02"}, {"scaffold", "2026-06-03"},
				{"key", ""}}}, nil, nil},
	} {
		if got := words(c.job.Waits(c.roof, c.days, today)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestTheWorkOfADay(t *testing.T) {
	wet := office.Roof{Work: []office.DayWork{{Work: []string{"bandage"}}, {Work: []string{"mat", "top coat"}}}}
	dated := office.Roof{Work: []office.DayWork{{Date: "2026-06-04", Work: []string{"boards"}}, {Date: "2026-06-05", Work: []string{"mat"}}}}
	for _, c := range []struct {
		roof    office.Roof
		day     string
		nth, of int
		want    string
	}{
		{wet, today, 1, 2, "bandage"}, {wet, today, 2, 2, "mat, top coat"}, {wet, today, 1, 3, ""}, {wet, today, 2, 3, "bandage"},
		{wet, today, 3, 3, "mat, top coat"}, {wet, today, 1, 1, "mat, top coat"}, {office.Roof{}, today, 1, 1, ""},
		{dated, "2026-06-04", 2, 2, "boards"}, {dated, "2026-06-09", 1, 1, "mat"},
	} {
		if got := strings.Join(c.roof.WorkOn(c.day, c.nth, c.of), ", "); got != c.want {
			t.Errorf("day %d of %d: %q, want %q", c.nth, c.of, got, c.want)
		}
	}
}

func TestACrewStandsTwice(t *testing.T) {
	crew, other := store.NewID(), store.NewID()
	on := func(crew store.ID, date string, part office.Part) office.Booked {
		return office.Booked{ID: store.NewID(), Day: office.Day{Job: store.NewID(), Crew: crew, Date: date, Part: part}}
	}
	whole := on(crew, today, office.Whole)
	gone := whole
	gone.Off = true
	for name, c := range map[string]struct {
		days []office.Booked
		want int
	}{
		"two whole days":        {[]office.Booked{on(crew, today, office.Whole), on(crew, today, office.Whole)}, 1},
		"three":                 {[]office.Booked{whole, on(crew, today, office.Whole), on(crew, today, office.Whole)}, 3},
		"a whole and a half":    {[]office.Booked{on(crew, today, office.Morning), on(crew, today, office.Whole)}, 1},
		"two mornings":          {[]office.Booked{on(crew, today, office.Morning), on(crew, today, office.Morning)}, 1},
		"morning and afternoon": {[]office.Booked{on(crew, today, office.Morning), on(crew, today, office.Afternoon)}, 0},
		"two crews":             {[]office.Booked{on(crew, today, office.Whole), on(other, today, office.Whole)}, 0},
		"two days":              {[]office.Booked{on(crew, today, office.Whole), on(crew, "2026-06-04", office.Whole)}, 0},
		"nobody is no crew":     {[]office.Booked{on("", today, office.Whole), on("", today, office.Whole)}, 0},
		"one of them taken off": {[]office.Booked{gone, whole}, 0},
	} {
		if got := office.Clashes(c.days); len(got) != c.want {
			t.Errorf("%s: %+v, want %d", name, got, c.want)
		}
	}
	a, b := on(crew, "2026-06-04", office.Whole), on(crew, "2026-06-04", office.Morning)
	c, d := on(crew, today, office.Whole), on(crew, today, office.Whole)
	got := office.Clashes([]office.Booked{a, b, c, d})
	if len(got) != 2 || got[0].Date != today || got[1].Days != [2]store.ID{a.ID, b.ID} || got[1].Crew != crew {
		t.Errorf("in order: %+v", got)
	}
}

func TestWhichDayOfThePlanADayIs(t *testing.T) {
	all := []office.Booked{day("2026-06-05"), day("2026-06-03"), day("2026-06-03"), day("2026-06-08"), day("2026-06-04")}
	all[4].Off = true
	elsewhere := day("2026-06-01")
	elsewhere.Job = "k"
	all = append(all, elsewhere)
	for i, want := range []int{2, 1, 1, 3, 0, 1} {
		if got := office.Ordinal(all, all[i].ID); got != want {
			t.Errorf("%s is day %d, want %d", all[i].Date, got, want)
		}
	}
	if office.Ordinal(all, "nobody") != 0 {
		t.Error("a day that is not there has a number")
	}
}

// Weeks by ISO 8601: 2026 begins on a Thursday and has 53; 1 January 2027 is in the last week of 2026.
func TestWeeks(t *testing.T) {
	for day, want := range map[string]string{"2026-06-01": "2026-W23", "2026-06-07": "2026-W23", "2026-06-08": "2026-W24",
		"2027-01-01": "2026-W53", "2024-12-30": "2025-W01", "2026-01-01": "2026-W01"} {
		w, err := office.WeekOf(day)
		if err != nil || w.String() != want {
			t.Errorf("%s is in %s, want %s, %v", day, w, want, err)
		}
		again, err := office.ReadWeek(want)
		if err != nil || again != w {
			t.Errorf("%s is read as %v, %v", want, again, err)
		}
		found := false
		for _, d := range again.Days() {
			found = found || d == day
		}
		if !found {
			t.Errorf("%s has the days %v", want, again.Days())
		}
	}
	w, _ := office.ReadWeek("2026-W23")
	if d := w.Days(); d[0] != "2026-06-01" || d[6] != "2026-06-07" {
		t.Errorf("2026-W23 is %v", d)
	}
	for _, bad := range []string{"", "2026-W00", "2026-W54", "2027-W53", "2026W23", "1969-W10", "2026-W1"} {
		if _, err := office.ReadWeek(bad); err == nil {
			t.Errorf("%q is a week", bad)
		}
	}
	if _, err := office.WeekOf("today"); err == nil {
		t.Error("today is a date")
	}
}
