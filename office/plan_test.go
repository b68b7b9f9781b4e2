package office_test

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

// rows are a calendar as text: the mark of each row, and for each date with somebody on it the roofs.
func rows(c office.Calendar) string {
	var out []string
	for _, r := range c.Rows {
		line := r.Mark + ":"
		for i, day := range r.Days {
			for _, s := range day {
				line += fmt.Sprintf(" %s %s/%d %s", c.Dates[i][5:], s.Job, s.Nth, s.Part)
			}
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

func TestACalendarOfCrewsAndDays(t *testing.T) {
	crew := func(mark string, away bool) office.Record {
		return office.Record{Kind: office.KindCrew, ID: store.NewID(),
			Sheet: office.Crew{Name: "Crew " + mark, Mark: mark, People: []string{"a", "b"}, Away: away}}
	}
	south, north, gone, idle := crew("s", false), crew("N", false), crew("G", true), crew("I", true)
	day := func(crew store.ID, job store.ID, date string, part office.Part) office.Record {
		return office.Record{Kind: office.KindDay, ID: store.NewID(), Version: 2,
			Sheet: office.Day{Job: job, Crew: crew, Date: date, Part: part, Note: "n"}}
	}
	off := day(south.ID, "a", "2026-06-02", office.Whole)
	sheet := off.Sheet.(office.Day)
	sheet.Off = true
	off.Sheet = sheet
	days := []office.Record{
		day(south.ID, "a", "2026-05-29", office.Whole), // before the weeks: it is counted, not shown
		day(south.ID, "a", "2026-06-01", office.Whole), off,
		day(north.ID, "b", "2026-06-01", office.Afternoon), day(north.ID, "c", "2026-06-01", office.Morning),
		day(gone.ID, "d", "2026-06-07", office.Whole), day("", "a", "2026-06-08", office.Whole),
		day(south.ID, "e", "2026-06-15", office.Whole), // behind them
		day(north.ID, "d", "2026-06-14", office.Whole), day(north.ID, "e", "2026-06-14", office.Morning),
		day(north.ID, "d", "2026-06-20", office.Whole), day(north.ID, "e", "2026-06-20", office.Morning),
	}
	week, err := office.WeekOf("2026-06-03")
	if err != nil {
		t.Fatal(err)
	}
	got := office.CalendarOf(week, 2, []office.Record{south, gone, north, idle}, days)
	const want = "G: 06-07 d/1 whole\nN: 06-01 c/1 morning 06-01 b/1 afternoon 06-14 d/2 whole 06-14 e/1 morning\n" +
		"s: 06-01 a/2 whole\n: 06-08 a/3 whole"
	if text := rows(got); text != want {
		t.Errorf("%s\nwant\n%s", text, want)
	}
	if got.Week != "2026-W23" || len(got.Dates) != 14 || got.Dates[13] != "2026-06-14" {
		t.Errorf("%s, %v", got.Week, got.Dates)
	}
	if len(got.Twice) != 1 || got.Twice[0].Crew != north.ID {
		t.Errorf("twice: %+v", got.Twice)
	}
	if r := got.Rows[1]; r.Crew != north.ID || r.Name != "Crew N" || r.People != 2 || r.Days[0][0].Version != 2 || r.Days[0][0].Note != "n" {
		t.Errorf("row of north: %+v", r)
	}
	end := office.CalendarOf(office.Week{Year: 2026, Number: 53}, 2, nil, nil)
	if end.Dates[7] != "2027-01-04" || len(end.Rows) != 0 {
		t.Errorf("over the end of the year: %+v", end)
	}
}
