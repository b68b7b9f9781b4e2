package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/margin"
	"gelwright/material"
	"gelwright/office"
	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/rooffile"
	"gelwright/store"
	"gelwright/weather/forecast"
	"gelwright/work"
)

// keptRoofs is how many answers about roofs are kept: some kilobytes each.
const keptRoofs = 2000

// look is how a roof is looked at for the office: from a day on, for so many hands (0 for those of its own file), without work on the
// days on which its crew does not work.
type look struct {
	today  string
	people int
	week   office.WorkWeek
	rest   [7]bool
}

// lookOf is how a roof is looked at for a crew; without one the roof's own file says how many work, on any day.
func (s *Server) lookOf(ctx context.Context, crew store.ID) (look, error) {
	l := look{today: s.today(), week: office.Crew{}.Week()}
	if crew == "" {
		return l, nil
	}
	r, err := s.Office.Sheet(ctx, office.KindCrew, crew)
	if err != nil {
		return l, err
	}
	c, _ := r.Sheet.(office.Crew)
	l.people, l.week, l.rest = len(c.People), c.Week(), c.Week().Rest()
	return l, nil
}

// RoofOf is what the roof of a job says to the office. What the engine says against the roof is part of the answer, no error.
func (s *Server) RoofOf(ctx context.Context, job store.ID, look look) (*office.Roof, error) {
	b, err := s.basisOf(ctx, job, 0)
	var p *problem
	if errors.As(err, &p) && p.Code == "document" { // a job that holds no roof
		return &office.Roof{Work: []office.DayWork{}, Fetch: []string{}, Outlook: office.Outlook{Days: []office.Chance{}}}, nil
	}
	if err != nil {
		return nil, err
	}
	key := fmt.Sprintf("%s %s %d %v", b.Key(), look.today, look.people, look.rest)
	return s.roofs.get(ctx, key, func(ctx context.Context) (*office.Roof, error) {
		r := &office.Roof{Decks: outlines(b.Roof), Work: []office.DayWork{}, Fetch: []string{},
			Outlook: office.Outlook{Days: []office.Chance{}}}
		if r.Decks == 0 {
			return r, nil
		}
		p, err := b.looked(ctx, r, look)
		if err != nil {
			return r, against(r, err)
		}
		told(r, p)
		return r, nil
	})
}

// outlines counts the decks of a roof that have an outline, as corners or as the tape gave it.
func outlines(roof []byte) int {
	type deck struct {
		Outline json.RawMessage `json:"outline"`
		Survey  json.RawMessage `json:"survey"`
	}
	var of struct {
		Deck  deck   `json:"deck"`
		Decks []deck `json:"decks"`
	}
	if json.Unmarshal(roof, &of) != nil {
		return 0
	}
	n := 0
	for _, d := range append(of.Decks, of.Deck) {
		if len(d.Outline)+len(d.Survey) > 0 {
			n++
		}
	}
	return n
}

// against puts what the engine says against a roof into the answer; what is no saying of the engine stays an error.
func against(r *office.Roof, err error) error {
	var faults rooffile.Faults
	var said *desk.Error
	switch {
	case errors.As(err, &faults):
		for _, f := range faults {
			if f.Warning {
				continue
			}
			if r.Faults++; r.Faults == 1 {
				r.Fault = strings.TrimSpace(f.Where + " " + f.Message)
			}
		}
	case errors.As(err, &said):
		r.Faults, r.Fault = 1, said.Error()
	default:
		return err
	}
	return nil
}

// looked plans a roof and, where it has a forecast, puts into the answer how sure each day of it is.
func (b *basis) looked(ctx context.Context, r *office.Roof, look look) (*plan.Plan, error) {
	var g desk.Given
	var err error
	if g.Job, _, err = rooffile.Read(work.RoofName, b.Roof); err != nil {
		return nil, err
	}
	if b.Firm != nil {
		firm, _, err := firmfile.Read(b.Firm.Name, b.Firm.Text)
		if err != nil {
			return nil, err
		}
		g.Firm = &firm
	}
	if b.Sky == nil {
		p, err := g.Plan(ctx)
		return p, work.NoPlan(err)
	}
	o, w, err := b.under(ctx, g, look)
	if err = work.NoPlan(err); err != nil {
		var said *desk.Error
		if !errors.As(err, &said) {
			return nil, err
		}
		r.Outlook.None = said.Error() // the roof may be right all the same: it is looked at without its weather
		p, err := g.Plan(ctx)
		return p, work.NoPlan(err)
	}
	r.Outlook = outlookOf(o, w)
	r.Work = workOf(o, w)
	p, err := o.PlanFor(ctx, w)
	return p, work.NoPlan(err)
}

// under lays a roof under its forecast from a day on.
func (b *basis) under(ctx context.Context, g desk.Given, look look) (*desk.Outlook, *desk.When, error) {
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		return nil, nil, err
	}
	year := desk.YearOf(&g.Job, look.today, time.Time{})
	sky, err := forecast.Read(b.Sky.Text, forecast.Options{Name: b.Sky.Name, Zone: site.Zone, Year: year})
	if err != nil {
		return nil, nil, &desk.Error{Kind: desk.Faulty, Place: b.Sky.Name, Cause: err, Remedy: "Put the forecast in again under another name"}
	}
	days := desk.UsualLook()
	days.From, days.People, days.Rest = look.today, look.people, look.rest
	o, err := desk.LookOut(ctx, g, sky, days)
	if err != nil {
		return nil, nil, err
	}
	w, err := o.When(ctx)
	return o, w, err
}

// outlookOf is how sure each day is, as the office keeps it.
func outlookOf(o *desk.Outlook, w *desk.When) office.Outlook {
	out := office.Outlook{Target: w.Target, Days: []office.Chance{}}
	for _, c := range o.Chances(w) {
		x := office.Chance{Date: c.Day.Format(time.DateOnly), P: c.P, Sure: c.Sure, Why: c.Why}
		if !c.Begin.IsZero() {
			x.At, x.Finish = c.Begin.In(o.Zone()).Format("15:04"), c.Finish.In(o.Zone()).Format("Mon 2 Jan 15:04")
		}
		out.Days = append(out.Days, x)
	}
	return out
}

// workOf are the stages of the best programme by their days.
func workOf(o *desk.Outlook, w *desk.When) []office.DayWork {
	out := []office.DayWork{}
	best := w.Best()
	if best == nil {
		return out
	}
	for _, slot := range best.Slots {
		date := slot.Start.In(o.Zone()).Format(time.DateOnly)
		if n := len(out); n == 0 || out[n-1].Date != date {
			out = append(out, office.DayWork{Date: date})
		}
		last := &out[len(out)-1]
		if !slices.Contains(last.Work, slot.Name) {
			last.Work = append(last.Work, slot.Name)
		}
	}
	return out
}

// told puts into the answer what a plan says.
func told(r *office.Roof, p *plan.Plan) {
	r.AreaM2 = p.Totals.NetM2
	for _, w := range margin.WorriesOf(p) {
		switch w.Grade {
		case "stop":
			r.Stops++
		case "ask":
			r.Questions++
		}
	}
	if len(r.Work) == 0 {
		r.Work = wetDays(p)
	}
	if p.Order.Schedule == nil {
		return
	}
	r.Fetch = fetched(p.Order.Schedule.Lines)
}

// fetchedKinds is what is named on a week's sheet, in the order in which a van is loaded; the rest of an order is counted.
var fetchedKinds = []material.Kind{material.KindBoard, material.KindMat, material.KindResin, material.KindTopCoat, material.KindCatalyst}

// fetched are the lines of an order as the office fetches them.
func fetched(lines []quantity.Line) []string {
	out := []string{}
	for _, kind := range fetchedKinds {
		for _, l := range lines {
			if l.Kind == kind {
				out = append(out, strings.Join(strings.Fields(l.Description+": "+l.OrderText()), " "))
			}
		}
	}
	if left := len(lines) - len(out); left > 0 {
		out = append(out, fmt.Sprintf("and %d more lines of its order: %s", left, others(lines)))
	}
	return out
}

// others are the goods of an order that are not named line by line, by their kinds: "3 trim, 2 fixing".
func others(lines []quantity.Line) string {
	var kinds []material.Kind
	count := map[material.Kind]int{}
	for _, l := range lines {
		if slices.Contains(fetchedKinds, l.Kind) {
			continue
		}
		if count[l.Kind]++; count[l.Kind] == 1 {
			kinds = append(kinds, l.Kind)
		}
	}
	var out []string
	for _, k := range kinds {
		out = append(out, fmt.Sprintf("%d %s", count[k], k))
	}
	return strings.Join(out, ", ")
}

// wetDays are the passes of a plan without a forecast by its days.
func wetDays(p *plan.Plan) []office.DayWork {
	out := []office.DayWork{}
	for i := range p.Passes {
		x := &p.Passes[i]
		t := p.Schedule.Pass(x.Key())
		if t == nil {
			continue
		}
		for _, part := range t.Parts {
			for len(out) < part.Day {
				out = append(out, office.DayWork{Work: []string{}})
			}
			if name := x.Kind + ", " + x.Deck; part.Day > 0 && !slices.Contains(out[part.Day-1].Work, name) {
				out[part.Day-1].Work = append(out[part.Day-1].Work, name)
			}
		}
	}
	return out
}
