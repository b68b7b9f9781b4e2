package web

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/document"
	"gelwright/drawing"
	"gelwright/office"
	"gelwright/store"
)

type weekAsked struct {
	Seen
	Week string `query:"week" doc:"The week, as 2026-W23; this one where it is left out"`
}

// weekSheet gives a week on one sheet.
func (s *Server) weekSheet(ctx context.Context, q *weekAsked) (*fileAnswer, error) {
	raw, week, err := s.WeekSheet(ctx, q.Week)
	if err != nil {
		return nil, err
	}
	return q.file(sent{name: "week-" + week + ".pdf", media: paperMedia[".pdf"], content: raw}), nil
}

// WeekSheet is a week on one sheet of A4, as PDF, with the name of the week; an empty text is this one.
func (s *Server) WeekSheet(ctx context.Context, text string) (raw []byte, week string, err error) {
	c, err := s.weeksOf(ctx, text, 1)
	if err != nil {
		return nil, "", err
	}
	w := &drawing.Week{Name: c.Week}
	first, err := time.Parse(time.DateOnly, c.Dates[0])
	if err != nil {
		return nil, "", err
	}
	for i := range w.Days {
		w.Days[i] = first.AddDate(0, 0, i).Format("Mon 2 Jan")
	}
	sheet := weekOf{s: s, week: w, roofs: map[store.ID]*office.Roof{}}
	for r := range c.Rows {
		if err := sheet.row(ctx, &c.Rows[r]); err != nil {
			return nil, "", err
		}
	}
	for _, t := range c.Twice {
		for _, r := range c.Rows {
			if day, err := time.Parse(time.DateOnly, t.Date); err == nil && r.Crew == t.Crew {
				w.Warnings = append(w.Warnings, fmt.Sprintf("%s %s stands twice on %s.", r.Mark, r.Name, day.Format("Mon 2 Jan")))
			}
		}
	}
	raw, err = document.WeekSheet(w, first)
	if err != nil {
		return nil, "", &problem{status: 422, Code: "no", Place: "week", Message: err.Error(), Remedy: "Put away the crews that do not work"}
	}
	return raw, c.Week, nil
}

// weekOf is the sheet of a week in the making.
type weekOf struct {
	s     *Server
	week  *drawing.Week
	roofs map[store.ID]*office.Roof
}

// row adds a crew's week.
func (w *weekOf) row(ctx context.Context, r *office.Row) error {
	row := drawing.WeekRow{Mark: r.Mark, Name: r.Name, People: r.People}
	for d := range row.Days {
		for i := range r.Days[d] {
			stand, err := w.stand(ctx, &r.Days[d][i])
			if err != nil {
				return err
			}
			row.Days[d] = append(row.Days[d], stand)
		}
	}
	w.week.Rows = append(w.week.Rows, row)
	return nil
}

// stand is a roof on a day: its work by the plan, and how sure the whole roof is from that day where it begins on it.
func (w *weekOf) stand(ctx context.Context, x *office.Stand) (drawing.WeekStand, error) {
	out := drawing.WeekStand{Title: x.Title, Site: x.Site, Note: strings.ReplaceAll(x.Note, "\n", ", ")}
	if x.Part != office.Whole {
		out.Part = string(x.Part)
	}
	roof := w.roofs[x.Job]
	if roof == nil {
		var err error
		if roof, err = w.s.RoofOf(ctx, x.Job, look{today: w.s.today()}); err != nil {
			return out, err
		}
		w.roofs[x.Job] = roof
	}
	days, err := w.s.Office.Sheets(ctx, office.Ask{Kind: office.KindDay, Job: x.Job})
	if err != nil {
		return out, err
	}
	dates := map[string]bool{}
	for _, d := range office.BookedOf(days) {
		dates[d.Date] = true
	}
	out.Work = strings.Join(roof.WorkOn(x.Date, x.Nth, len(dates)), ", ")
	if out.Work == "" {
		out.Work = fmt.Sprintf("day %d of %d", x.Nth, len(dates))
	}
	if x.Nth == 1 {
		out.Chance = chanceWords(roof, x.Date)
		if len(roof.Fetch) > 0 {
			w.week.Fetch = append(w.week.Fetch, drawing.WeekFetch{Title: x.Title, Lines: roof.Fetch})
		}
	}
	return out, nil
}

// chanceWords say how sure a roof is from a day.
func chanceWords(roof *office.Roof, date string) string {
	c, known := roof.Outlook.On(date)
	switch {
	case roof.Decks == 0:
		return "no dimensions yet"
	case roof.Faults > 0:
		return "the roof has faults"
	case !known:
		return "chance not known"
	case c.At == "":
		return "cannot be begun: " + c.Why
	case !c.Sure:
		return fmt.Sprintf("NOT SURE: %.0f in 100 from %s", math.Round(100*c.P), c.At)
	}
	return fmt.Sprintf("%.0f in 100 from %s", math.Round(100*c.P), c.At)
}
