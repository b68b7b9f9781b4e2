package office

import (
	"cmp"
	"context"
	"slices"

	"gelwright/store"
)

// Calendar is who stands where on the days of some weeks: a row for each crew, and one for the days for which nobody is named.
type Calendar struct {
	Week  string   `json:"week"` // the first
	Dates []string `json:"dates"`
	Rows  []Row    `json:"rows"`
	// Twice are the crews that stand twice at one time.
	Twice []Twice `json:"twice"`
}

// Row is a crew's days, one list for each date. Of the row of days without a crew ID, Mark and Name are empty.
type Row struct {
	Crew   store.ID  `json:"crew"`
	Mark   string    `json:"mark"`
	Name   string    `json:"name"`
	People int       `json:"people"`
	Days   [][]Stand `json:"days"`
}

// Stand is a crew on a roof on a day.
type Stand struct {
	ID      store.ID `json:"id"` // of the day
	Version int      `json:"version"`
	Job     store.ID `json:"job"`
	Title   string   `json:"title"`
	Site    string   `json:"site"`
	Date    string   `json:"date"`
	Part    Part     `json:"part"`
	Note    string   `json:"note"`
	// Nth is which day on its roof it is, from 1, of Of days.
	Nth int `json:"nth"`
	Of  int `json:"of"`
	// Run is the first day of the run that it belongs to: days with the same move as one.
	Run store.ID `json:"run"`
}

// BookedOf are the days among some sheets.
func BookedOf(list []Record) []Booked {
	out := []Booked{}
	for _, r := range list {
		if d, ok := r.Sheet.(Day); ok {
			out = append(out, Booked{r.ID, d})
		}
	}
	return out
}

// CalendarOf lays days out by crews over some weeks from the first. days are those of the weeks and, so that they can be counted,
// the others of their jobs; crews that are put away have a row where they stand somewhere.
func CalendarOf(from Week, weeks int, crews, days []Record) Calendar {
	out := Calendar{Week: from.String(), Rows: []Row{}, Twice: []Twice{}}
	for n := range weeks {
		more := Week{from.Year, from.Number + n}.Days() // a number beyond the year goes on into the next
		out.Dates = append(out.Dates, more[:]...)
	}
	booked := BookedOf(days)
	byCrew := map[store.ID][][]Stand{}
	for i, b := range booked {
		at := slices.Index(out.Dates, b.Date)
		if b.Off || at < 0 {
			continue
		}
		if byCrew[b.Crew] == nil {
			byCrew[b.Crew] = emptyDays(len(out.Dates))
		}
		byCrew[b.Crew][at] = append(byCrew[b.Crew][at], Stand{ID: b.ID, Version: days[i].Version, Job: b.Job, Date: b.Date, Part: b.Part,
			Note: b.Note, Nth: Ordinal(booked, b.ID), Of: datesOf(booked, b.Job), Run: Run(booked, b.ID, "")[0].ID})
	}
	for _, r := range crews {
		crew, _ := r.Sheet.(Crew)
		stands, some := byCrew[r.ID]
		if crew.Away && !some {
			continue
		}
		if !some {
			stands = emptyDays(len(out.Dates))
		}
		out.Rows = append(out.Rows, Row{r.ID, crew.Mark, crew.Name, len(crew.People), stands})
	}
	slices.SortStableFunc(out.Rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(Fold(a.Mark), Fold(b.Mark)), cmp.Compare(a.Crew, b.Crew))
	})
	if nobody, some := byCrew[""]; some {
		out.Rows = append(out.Rows, Row{Days: nobody})
	}
	for i := range out.Rows {
		for _, stands := range out.Rows[i].Days {
			slices.SortStableFunc(stands, func(a, b Stand) int { return cmp.Compare(a.Part.order(), b.Part.order()) })
		}
	}
	for _, t := range Clashes(booked) {
		if slices.Contains(out.Dates, t.Date) {
			out.Twice = append(out.Twice, t)
		}
	}
	return out
}

// datesOf counts the dates on which somebody stands on a roof.
func datesOf(days []Booked, job store.ID) int {
	dates := map[string]bool{}
	for _, d := range days {
		if d.Job == job && !d.Off {
			dates[d.Date] = true
		}
	}
	return len(dates)
}

func emptyDays(n int) [][]Stand {
	out := make([][]Stand, n)
	for i := range out {
		out[i] = []Stand{}
	}
	return out
}

// order has the morning and the whole day before the afternoon.
func (p Part) order() int { return slices.Index([]Part{Whole, Morning, Afternoon}, p) }

// CalendarKept is the calendar of some weeks, as it is kept.
func CalendarKept(ctx context.Context, keeper Keeper, from Week, weeks int) (Calendar, error) {
	crews, err := keeper.Sheets(ctx, Ask{Kind: KindCrew, Away: true})
	if err != nil {
		return Calendar{}, err
	}
	last := Week{from.Year, from.Number + weeks - 1}.Days()
	days, err := keeper.Sheets(ctx, Ask{Kind: KindDay, From: from.Days()[0], To: last[6]})
	if err != nil {
		return Calendar{}, err
	}
	// The other days of the same roofs, so that it is known which of them these are.
	seen := map[store.ID]bool{}
	all := days
	for _, b := range BookedOf(days) {
		if seen[b.Job] {
			continue
		}
		seen[b.Job] = true
		others, err := keeper.Sheets(ctx, Ask{Kind: KindDay, Job: b.Job})
		if err != nil {
			return Calendar{}, err
		}
		for _, r := range others {
			if d, _ := r.Sheet.(Day); d.Date < from.Days()[0] || d.Date > last[6] {
				all = append(all, r)
			}
		}
	}
	return CalendarOf(from, weeks, crews, all), nil
}
