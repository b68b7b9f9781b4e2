package web

import (
	"context"
	"fmt"
	"math"
	"slices"
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
	w, first, err := s.week(ctx, text)
	if err != nil {
		return nil, "", err
	}
	raw, err = document.WeekSheet(w, first)
	if err != nil {
		return nil, "", &problem{status: 422, Code: "no", Place: "week", Message: err.Error(), Remedy: "Put away the crews that do not work"}
	}
	return raw, w.Name, nil
}

// week is what stands on the sheet of a week, and its Monday.
func (s *Server) week(ctx context.Context, text string) (*drawing.Week, time.Time, error) {
	c, err := s.weeksOf(ctx, text, 1)
	if err != nil {
		return nil, time.Time{}, err
	}
	w := &drawing.Week{Name: c.Week}
	first, err := time.Parse(time.DateOnly, c.Dates[0])
	if err != nil {
		return nil, first, err
	}
	for i := range w.Days {
		w.Days[i] = first.AddDate(0, 0, i).Format("Mon 2 Jan")
	}
	sheet := weekOf{s: s, week: w, roofs: map[store.ID]*office.Roof{}, bought: map[store.ID]bool{}}
	for r := range c.Rows {
		if err := sheet.row(ctx, &c.Rows[r]); err != nil {
			return nil, first, err
		}
	}
	for _, t := range c.Twice {
		for _, r := range c.Rows {
			if day, err := time.Parse(time.DateOnly, t.Date); err == nil && r.Crew == t.Crew {
				w.Warnings = append(w.Warnings, fmt.Sprintf("%s %s stands twice on %s.", r.Mark, r.Name, day.Format("Mon 2 Jan")))
			}
		}
	}
	return w, first, nil
}

// weekOf is the sheet of a week in the making.
type weekOf struct {
	s     *Server
	week  *drawing.Week
	roofs map[store.ID]*office.Roof
	// bought are the roofs whose order is on it.
	bought map[store.ID]bool
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
		if err := w.where(ctx, x); err != nil {
			return out, err
		}
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
		// Two crews may begin on one roof: it is bought for once.
		if len(roof.Fetch) > 0 && !w.bought[x.Job] {
			w.bought[x.Job] = true
			w.week.Fetch = append(w.week.Fetch, drawing.WeekFetch{Title: x.Title, Lines: roof.Fetch})
		}
	}
	return out, nil
}

// where says of a roof where it is, how one gets on it, and whom to ring. It is the crew's paper: no price is on it.
func (w *weekOf) where(ctx context.Context, x *office.Stand) error {
	record, err := w.s.Office.Sheet(ctx, office.KindJob, x.Job)
	if err != nil {
		return err
	}
	job, _ := record.Sheet.(office.Job)
	var lines []string
	add := func(parts ...string) {
		if line := strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", "); line != "" {
			lines = append(lines, line)
		}
	}
	if job.Site != "" {
		r, err := w.s.Office.Sheet(ctx, office.KindSite, job.Site)
		if err != nil {
			return err
		}
		site, _ := r.Sheet.(office.Site)
		add(append([]string{site.Name}, site.Address...)...)
		add(strings.ReplaceAll(site.Access, "\n", ", "))
	}
	if job.Customer != "" {
		r, err := w.s.Office.Sheet(ctx, office.KindCustomer, job.Customer)
		if err != nil {
			return err
		}
		customer, _ := r.Sheet.(office.Customer)
		add(customer.Name, customer.Telephone)
	}
	if len(lines) > 0 {
		w.week.Roofs = append(w.week.Roofs, drawing.WeekFetch{Title: x.Title, Lines: lines})
	}
	return nil
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
