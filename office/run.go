package office

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"gelwright/store"
)

// apart is how many days may lie between two days of one run, from date to date: what is further off is another visit to the roof.
const apart = 7

// MostRun is how many days a run may be planned with at once.
const MostRun = 40

// WorkWeek are the days of the week on which somebody works, Sunday first as in package time.
type WorkWeek [7]bool

// usualWeek is Monday to Friday: of a crew that says nothing else, and of days for which nobody is named.
var usualWeek = WorkWeek{false, true, true, true, true, true, false}

// weekdays are the names of the days of the week as a crew's sheet has them, Sunday first.
var weekdays = [7]string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}

// Week are the days of the week on which a crew works.
func (c Crew) Week() WorkWeek {
	if len(c.Works) == 0 {
		return usualWeek
	}
	var w WorkWeek
	for i, name := range weekdays {
		w[i] = slices.Contains(c.Works, name)
	}
	return w
}

// Rest are the days of the week on which nobody works.
func (w WorkWeek) Rest() [7]bool {
	var out [7]bool
	for i, works := range w {
		out[i] = !works
	}
	return out
}

// checkWorks says what is wrong with the days of the week on which a crew works.
func checkWorks(all []string) error {
	for i, name := range all {
		if !slices.Contains(weekdays[:], name) || slices.Index(all, name) < i {
			return refused("works", "Write the days on which it works, each once, as Mon, Tue, Wed, Thu, Fri, Sat",
				"%q is no day of the week, or is there twice", shortened(name))
		}
	}
	return nil
}

// on reports whether somebody works on a date.
func (w WorkWeek) on(date string) bool {
	t, err := time.Parse(time.DateOnly, date)
	return err == nil && w[t.Weekday()]
}

// shifted is the date so many calendar days later.
func shifted(date string, days int) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return t.AddDate(0, 0, days).Format(time.DateOnly)
}

// steps counts the days of work after one date up to another, which is not before it.
func (w WorkWeek) steps(from, to string) int {
	n := 0
	for d := from; d < to; {
		if d = shifted(d, 1); w.on(d) {
			n++
		}
	}
	return n
}

// step is the date so many days of work after another, or before it where n is below zero.
func (w WorkWeek) step(date string, n int) string {
	way := 1
	if n < 0 {
		way, n = -1, -n
	}
	for n > 0 {
		if date = shifted(date, way); w.on(date) {
			n--
		}
	}
	return date
}

// Run are the days that stand and move as one with a day of a roof, by date: those of its job with at most a week from one to the
// next. Of a run that is under way those before today have been worked: they belong to it only where the day itself is past, and
// then from it on. Days that are off belong to none. Nil of a day that is not among them.
func Run(days []Booked, of store.ID, today string) []Booked {
	at := slices.IndexFunc(days, func(d Booked) bool { return d.ID == of && !d.Off })
	if at < 0 {
		return nil
	}
	mine := days[at]
	first := min(today, mine.Date)
	var all []Booked
	for _, d := range days {
		if d.Job == mine.Job && !d.Off && d.Date >= first {
			all = append(all, d)
		}
	}
	slices.SortStableFunc(all, func(a, b Booked) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Part.order(), b.Part.order()), cmp.Compare(a.ID, b.ID))
	})
	low, high := 0, len(all)
	for i := 1; i < len(all); i++ {
		if all[i].Date <= shifted(all[i-1].Date, apart) {
			continue
		}
		if all[i].Date <= mine.Date {
			low = i
		} else {
			high = i
			break
		}
	}
	return all[low:high]
}

// Moving is a day on the roof that is carried elsewhere.
type Moving struct {
	// Day is the one that was taken, To the date that it is carried to.
	Day store.ID
	To  string
	// Crew who is to stand there then, "" for nobody; Week are the days on which it works.
	Crew store.ID
	Week WorkWeek
	// Alone: that day by itself; otherwise its run, in its shape.
	Alone bool
	// Today is the day from which on a run is still to be worked.
	Today string
}

// Moved are the days that a move changes, as they are to be, by date. A run keeps its shape in days of work: what lay one day of work
// after another lies one after it again, so that a weekend within it is skipped and one that it had is left behind. The day that was
// taken comes to its date, or, of a run, to the next on which somebody works. Days of the crew that was taken go to the crew of the
// move; those of another crew on the same roof keep theirs.
func (m *Moving) Moved(days []Booked) ([]Booked, error) {
	if err := date("to", m.To, false); err != nil {
		return nil, err
	}
	if m.Week == (WorkWeek{}) {
		return nil, refused("works", "Write on its sheet on which days it works", "the crew works on no day of the week")
	}
	run := Run(days, m.Day, m.Today)
	at := slices.IndexFunc(run, func(d Booked) bool { return d.ID == m.Day })
	if at < 0 {
		return nil, &store.Error{Kind: store.Unknown, Place: "day " + string(m.Day), Found: "there is no such day on the calendar"}
	}
	taken := run[at]
	if m.Alone {
		run, at = run[at:at+1], 0
	}
	place := m.places(run)
	to := m.To
	for len(run) > 1 && !m.Week.on(to) {
		to = shifted(to, 1)
	}
	out := []Booked{}
	for i, d := range run {
		was := d
		if i == at || place[i] == place[at] {
			d.Date = to
		} else {
			d.Date = m.Week.step(to, place[i]-place[at])
		}
		if d.Crew == taken.Crew {
			d.Crew = m.Crew
		}
		if d != was {
			out = append(out, d)
		}
	}
	return out, nil
}

// places are the numbers of the days of work of a run from its first, by their dates; two dates never have one number.
func (m *Moving) places(run []Booked) []int {
	out := make([]int, len(run))
	for i := 1; i < len(run); i++ {
		if out[i] = out[i-1]; run[i].Date != run[i-1].Date {
			out[i] = max(out[i-1]+1, m.Week.steps(run[0].Date, run[i].Date))
		}
	}
	return out
}

// PlannedRun are the days of a roof that is put into the calendar whole: so many days of work from a date on, or from the next on
// which the crew works. days are those of the job, of which none may stand from that date on.
func PlannedRun(job, crew store.ID, week WorkWeek, from string, n int, days []Booked) ([]Day, error) {
	if err := date("from", from, false); err != nil {
		return nil, err
	}
	switch {
	case week == (WorkWeek{}):
		return nil, refused("works", "Write on its sheet on which days it works", "the crew works on no day of the week")
	case n < 1 || n > MostRun:
		return nil, refused("days", fmt.Sprintf("Say how many days, 1 to %d", MostRun), "%d days cannot be planned at once", n)
	}
	for _, d := range days {
		if d.Job == job && !d.Off && d.Date >= from {
			return nil, refused("from", "Move the days that it has, or take them off first", "the roof has a day on %s already", d.Date)
		}
	}
	for !week.on(from) {
		from = shifted(from, 1)
	}
	var out []Day
	for i := range n {
		out = append(out, Day{Job: job, Crew: crew, Date: week.step(from, i), Part: Whole})
	}
	return out, nil
}
