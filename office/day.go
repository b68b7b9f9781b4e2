package office

import (
	"cmp"
	"slices"

	"gelwright/store"
)

// Part is the part of a day.
type Part string

// The parts of a day.
const (
	Whole     Part = "whole"
	Morning   Part = "morning"
	Afternoon Part = "afternoon"
)

// Day is a crew on a roof on a day.
type Day struct {
	Job  store.ID `json:"job"`
	Crew store.ID `json:"crew"` // empty where nobody is named yet
	Date string   `json:"date"`
	Part Part     `json:"part"`
	Note string   `json:"note"`
	// Off: it was taken off the calendar.
	Off bool `json:"off"`
}

// Kind is KindDay.
func (Day) Kind() Kind { return KindDay }

// Keys are job, crew and date.
func (d Day) Keys() Keys { return Keys{Job: d.Job, Crew: d.Crew, Day: d.Date, Away: d.Off} }

// Check says what of a day cannot be kept.
func (d Day) Check() error {
	if d.Job == "" {
		return refused("job", "Say which roof the day is for", "no job is named")
	}
	if d.Part != Whole && d.Part != Morning && d.Part != Afternoon {
		return refused("part", "Write whole, morning or afternoon", "%q is no part of a day", shortened(string(d.Part)))
	}
	return first(id("job", d.Job), id("crew", d.Crew), date("date", d.Date, false), note("note", d.Note))
}

// meets reports whether two days want the same crew at the same time.
func (d Day) meets(e Day) bool {
	return !d.Off && !e.Off && d.Crew != "" && d.Crew == e.Crew && d.Date == e.Date &&
		(d.Part == Whole || e.Part == Whole || d.Part == e.Part)
}

// Booked is a day with its id.
type Booked struct {
	ID store.ID `json:"id"`
	Day
}

// Twice is a crew that stands twice at one time: Days are the two, by their ids.
type Twice struct {
	Crew store.ID    `json:"crew"`
	Date string      `json:"date"`
	Days [2]store.ID `json:"days"`
}

// Clashes are the crews that stand twice at one time, by date, then by crew. It is a warning, not a refusal: a crew may have two
// small roofs in one street, and who plans it knows.
func Clashes(days []Booked) []Twice {
	out := []Twice{}
	for i, d := range days {
		for _, e := range days[:i] {
			if d.meets(e.Day) {
				out = append(out, Twice{Crew: d.Crew, Date: d.Date, Days: [2]store.ID{e.ID, d.ID}})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Twice) int { return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Crew, b.Crew)) })
	return out
}

// Ordinal is the how manieth day on its roof a day is, from 1, among the days of its job: by date, then the morning before the
// afternoon; 0 of one that is off or not among them. It is the day of the plan whose work it does.
func Ordinal(days []Booked, of store.ID) int {
	var mine *Booked
	for i := range days {
		if days[i].ID == of {
			mine = &days[i]
		}
	}
	if mine == nil || mine.Off {
		return 0
	}
	var dates []string
	for _, d := range days {
		if !d.Off && d.Job == mine.Job && d.Date <= mine.Date && !slices.Contains(dates, d.Date) {
			dates = append(dates, d.Date)
		}
	}
	return len(dates)
}
