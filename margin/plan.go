package margin

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"gelwright/check"
	"gelwright/desk"
	"gelwright/drawing"
	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/unit"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// PlanAsk asks for the plan of a roof. Firm, Forecast and From may be empty; TempC, where it is set, stands in the place
// of the roof file's temperatures.
type PlanAsk struct {
	RoofAsk
	Firm     string   `json:"firm"`
	Forecast string   `json:"forecast"`
	From     string   `json:"from"`
	TempC    *float64 `json:"temp_c"`
}

// Answer is what stands beside the roof when its plan is made.
type Answer struct {
	// Engine and Inputs name the plan.
	Engine  string `json:"engine"`
	Inputs  string `json:"inputs"`
	Country string `json:"country"`
	// Cautions are of the country's rules.
	Cautions []string `json:"cautions" said:"yes"`
	// Order is set where somebody may be told to begin; Headline is the verdict in a sentence.
	Order    bool     `json:"order"`
	Headline string   `json:"headline" said:"yes"`
	Chance   float64  `json:"chance"`
	Target   float64  `json:"target"`
	Date     string   `json:"date"`
	Figures  []Figure `json:"figures"`
	Worries  []Worry  `json:"worries"`
	// Passed counts the checks that hold, Taken the defaults that were taken.
	Passed int `json:"passed"`
	Taken  int `json:"taken"`
	// Views are the drawings that can be asked for, Bought the lines to buy, Buckets the mixes.
	Views    []ViewName `json:"views"`
	Bought   int        `json:"bought"`
	Buckets  int        `json:"buckets"`
	WetDays  int        `json:"wet_days"`
	Warnings []Fault    `json:"warnings"`
}

// Figure is one large figure; Key unfolds its working.
type Figure struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	Unit  string `json:"unit" said:"yes"`
	Words string `json:"words" said:"yes"`
	// Step of the plan that it is known after.
	Step string `json:"step"`
}

// ViewName is a drawing that can be asked for.
type ViewName struct {
	ID     string `json:"id"`
	Name   string `json:"name" said:"yes"`
	Deck   string `json:"deck"`
	Office bool   `json:"office"`
}

// Plan plans a roof.
func (s *Sheet) Plan(ctx context.Context, q PlanAsk, progress func(step string)) (*Answer, error) {
	job, warnings, err := q.read()
	if err != nil {
		return nil, err
	}
	s.in.Call(job.Names()...)
	job.Site.Said = s.in
	g := desk.Given{Job: job, Steps: s.kept, TempC: q.TempC, Progress: progress}
	if q.Firm != "" {
		firm, more, err := firmfile.Read("firm.yaml", []byte(q.Firm))
		warnings = append(warnings, faultsOf(more)...)
		if err != nil {
			return nil, err
		}
		g.Firm = &firm
	}
	s.look, s.found = nil, nil
	p, err := s.made(ctx, g, q)
	if err != nil {
		return nil, err
	}
	s.plan, s.views = p, drawing.Views(p)
	return s.answer(warnings), nil
}

// made plans under a forecast where there is one, and keeps what was found for questions about the day.
func (s *Sheet) made(ctx context.Context, g desk.Given, q PlanAsk) (*plan.Plan, error) {
	if q.Forecast == "" {
		return g.Plan(ctx)
	}
	sky, err := skyOf(&g.Job, q.Forecast, q.From)
	if err != nil {
		return nil, err
	}
	look := desk.UsualLook()
	look.From = q.From
	if s.look, err = desk.LookOut(ctx, g, *sky, look); err != nil {
		return nil, err
	}
	if s.found, err = s.look.When(ctx); err != nil {
		return nil, err
	}
	return s.look.PlanFor(ctx, s.found)
}

// skyOf reads a forecast for a roof.
func skyOf(job *roof.Job, text, from string) (*weather.Forecast, error) {
	site, err := desk.SiteOf(job)
	if err != nil {
		return nil, err
	}
	o := forecast.Options{Name: "forecast", Zone: site.Zone, Year: desk.YearOf(job, from, time.Time{})}
	f, err := forecast.Read([]byte(text), o)
	if err != nil {
		return nil, &desk.Error{Kind: desk.Faulty, Place: "forecast", Cause: err}
	}
	return &f, nil
}

// answer tells the last plan.
func (s *Sheet) answer(warnings []Fault) *Answer {
	p := s.plan
	a := &Answer{Engine: strconv.Itoa(p.Made.Engine), Inputs: p.Made.Inputs, Country: p.Country,
		Cautions: append([]string{}, p.CountryCautions...),
		Order:    p.Schedule.Order(), Headline: p.Schedule.Says(), Chance: p.Schedule.P, Target: p.Schedule.Target, Date: p.Schedule.Date,
		Taken: len(p.Job.Defaults), Buckets: p.Totals.Buckets, WetDays: p.WetDays(), Warnings: warnings, Views: []ViewName{}}
	if p.Order.Schedule != nil {
		a.Bought = len(p.Order.Schedule.Lines)
	}
	for _, v := range s.views {
		a.Views = append(a.Views, ViewName{v.ID, v.Name, p.Decks[v.Deck].Name, v.Office})
	}
	for i := range p.Checks {
		if p.Checks[i].Verdict == check.Pass {
			a.Passed++
		}
	}
	a.Figures = figuresOf(p)
	a.Worries = WorriesOf(p)
	return a
}

// figuresOf are the figures that a roofer wants first.
func figuresOf(p *plan.Plan) []Figure {
	t := &p.Totals
	boards := "setout." + p.Decks[0].Name + ".boards"
	days := "1 day"
	if n := p.WetDays(); n > 1 {
		days = strconv.Itoa(n) + " days"
	}
	return []Figure{
		{"roof.net", fixed(t.NetM2, 1), "m²", "net roof", "geometry"},
		{boards, strconv.Itoa(t.Boards), "boards", "to buy", "set-out and cutting"},
		{"roof.resin", fixed(t.ResinKG, 0), "kg", "laminating resin to mix", "buckets"},
		{"roof.topcoat", fixed(t.CoatKG, 0), "kg", "top coat to mix", "buckets"},
		{"roof.buckets", strconv.Itoa(t.Buckets), "buckets", fmt.Sprintf("on %s of wet work", days), "buckets"},
	}
}

func fixed(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }

// dosed prints a dose in g and ml.
func dosed(g, ml float64) string {
	n := unit.DoseDecimals(ml)
	return fixed(g, n) + " g (" + fixed(ml, n) + " ml)"
}
