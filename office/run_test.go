package office

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/store"
)

// In June 2026 the 1st is a Monday.
const roof, other = store.ID("0000000000000000000000000000000a"), store.ID("0000000000000000000000000000000b")

// standing are days of a roof: "3N 4N 8S" is the 3rd and 4th with crew N, the 8th with S; their ids are their places from 1.
func standing(text string) []Booked {
	var out []Booked
	for i, w := range strings.Fields(text) {
		var day int
		crew := ""
		fmt.Sscanf(w, "%d%s", &day, &crew)
		out = append(out, Booked{store.ID(fmt.Sprint(i + 1)), Day{Job: roof, Crew: store.ID(crew), Date: shifted("2026-06-01", day-1), Part: Whole}})
	}
	return out
}

// told are days as they are written for standing, in order, with the months after June going on in numbers.
func toldDays(days []Booked) string {
	var out []string
	for _, d := range days {
		n := 1
		for at := "2026-06-01"; at < d.Date; n++ {
			at = shifted(at, 1)
		}
		out = append(out, fmt.Sprintf("%d%s", n, d.Crew))
	}
	return strings.Join(out, " ")
}

func TestARunIsWhatLiesWithinAWeek(t *testing.T) {
	days := standing("3N 4N 11N 19N 20N")
	days = append(days, Booked{"6", Day{Job: other, Date: "2026-06-05"}}, Booked{"7", Day{Job: roof, Date: "2026-06-15", Off: true}})
	for _, c := range []struct{ of, today, want string }{
		{"1", "2026-06-01", "3N 4N 11N"}, {"2", "2026-06-01", "3N 4N 11N"}, {"3", "2026-06-01", "3N 4N 11N"}, // a week from the 4th to the 11th
		{"4", "2026-06-01", "19N 20N"}, {"5", "2026-06-01", "19N 20N"}, // eight days from the 11th to the 19th
		{"2", "2026-06-04", "4N 11N"},    // the 3rd has been worked
		{"3", "2026-06-12", "11N"},       // it is past itself
		{"1", "2026-06-12", "3N 4N 11N"}, // nobody came
		{"7", "2026-06-01", ""}, {"9", "2026-06-01", ""},
	} {
		if got := toldDays(Run(days, store.ID(c.of), c.today)); got != c.want {
			t.Errorf("of %s on %s: %s, want %s", c.of, c.today, got, c.want)
		}
	}
}

func TestARunKeepsItsShape(t *testing.T) {
	six := Crew{Works: []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}}.Week()
	for _, c := range []struct {
		days, day, to, crew, want string
		week                      WorkWeek
		alone                     bool
	}{
		{days: "1N 2N 3N", day: "1", to: "2026-06-02", crew: "N", want: "2N 3N 4N"},
		{days: "1N 2N 3N", day: "2", to: "2026-06-04", crew: "N", want: "3N 4N 5N"},
		{days: "1N 2N 3N", day: "1", to: "2026-06-04", crew: "N", want: "4N 5N 8N"},            // over the weekend
		{days: "4N 5N 8N", day: "1", to: "2026-06-08", crew: "N", want: "8N 9N 10N"},           // and away from it
		{days: "1N 3N 4N", day: "1", to: "2026-06-04", crew: "N", want: "4N 8N 9N"},            // a day between is one again
		{days: "1N 2N", day: "1", to: "2026-06-06", crew: "N", want: "8N 9N"},                  // nobody works on Saturday
		{days: "1N", day: "1", to: "2026-06-06", crew: "N", want: "6N"},                        // whoever carries one day there means it
		{days: "1N 2N", day: "1", to: "2026-06-06", crew: "N", want: "6N", alone: true},        //
		{days: "1N 2N 3N", day: "2", to: "2026-06-09", crew: "N", want: "9N", alone: true},     //
		{days: "1N 2N 3N", day: "3", to: "2026-06-03", crew: "S", want: "1S 2S 3S"},            // to another crew alone
		{days: "1N 1S 2N", day: "1", to: "2026-06-02", crew: "W", want: "2W 2S 3W"},            // the other crew comes along
		{days: "1N 2N", day: "1", to: "2026-06-02", crew: "", want: "2 3"},                     // to nobody
		{days: "4N 5N 8N", day: "1", to: "2026-06-05", crew: "N", want: "5N 6N 9N", week: six}, // Saturday is worked: a day of work lies between
		{days: "5N 6N 8N", day: "1", to: "2026-06-09", crew: "N", want: "9N 10N 11N"},          // one Saturday that was worked
		{days: "1N 2N 3N", day: "1", to: "2026-06-01", crew: "N", want: ""},                    // nothing changes
	} {
		if c.week == (WorkWeek{}) {
			c.week = Crew{}.Week()
		}
		m := Moving{Day: store.ID(c.day), To: c.to, Crew: store.ID(c.crew), Week: c.week, Alone: c.alone, Today: "2026-06-01"}
		got, err := m.Moved(standing(c.days))
		if err != nil || toldDays(got) != c.want {
			t.Errorf("%s, day %s to %s: %s (%v), want %s", c.days, c.day, c.to, toldDays(got), err, c.want)
		}
	}
	for want, m := range map[string]Moving{
		"no date":                     {Day: "1", To: "soon", Week: usualWeek},
		"works on no day":             {Day: "1", To: "2026-06-02"},
		"no such day on the calendar": {Day: "9", To: "2026-06-02", Week: usualWeek},
	} {
		if _, err := m.Moved(standing("1 2")); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %s", m, err, want)
		}
	}
}

func TestAWholeRunIsPlanned(t *testing.T) {
	week := Crew{}.Week()
	days, err := PlannedRun(roof, "", week, "2026-06-06", 6, standing("1N"))
	if err != nil {
		t.Fatal(err)
	}
	got := []string{}
	for _, d := range days {
		if d.Job != roof || d.Part != Whole {
			t.Errorf("%+v", d)
		}
		got = append(got, d.Date[8:])
	}
	if s := strings.Join(got, " "); s != "08 09 10 11 12 15" {
		t.Errorf("from a Saturday: %s", s)
	}
	for want, f := range map[string]func() ([]Day, error){
		"a day on 2026-06-03 already": func() ([]Day, error) { return PlannedRun(roof, "", week, "2026-06-03", 2, standing("3N")) },
		"0 days":                      func() ([]Day, error) { return PlannedRun(roof, "", week, "2026-06-03", 0, nil) },
		"41 days":                     func() ([]Day, error) { return PlannedRun(roof, "", week, "2026-06-03", 41, nil) },
		"works on no day":             func() ([]Day, error) { return PlannedRun(roof, "", WorkWeek{}, "2026-06-03", 1, nil) },
		"\"9999-12-30\" is no date":   func() ([]Day, error) { return PlannedRun(roof, "", week, "9999-12-30", 3, nil) },
		"no date":                     func() ([]Day, error) { return PlannedRun(roof, "", week, "", 1, nil) },
	} {
		if _, err := f(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	if _, err := PlannedRun(roof, "", week, "2026-06-03", 40, standing("2N")); err != nil {
		t.Errorf("a day before it is no hindrance: %v", err)
	}
}

func TestTheDaysOnWhichACrewWorks(t *testing.T) {
	crew := Crew{Name: "North", Mark: "N", Works: []string{"Mon", "Sat"}}
	if err := crew.Check(); err != nil || crew.Week() != (WorkWeek{false, true, false, false, false, false, true}) ||
		crew.Week().Rest() != [7]bool{true, false, true, true, true, true, false} {
		t.Errorf("%v (%v)", crew.Week(), err)
	}
	for _, works := range [][]string{{"Monday"}, {"Mon", "Mon"}, {""}} {
		crew.Works = works
		if err := crew.Check(); err == nil || !strings.Contains(err.Error(), "no day of the week") {
			t.Errorf("%v: %v", works, err)
		}
	}
}
