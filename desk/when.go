package desk

import (
	"context"
	"strings"
	"time"

	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/weather"
)

// When is the answer to 'when can this roof be done'.
type When struct {
	*programme.Result
	Stages []programme.Stage `json:"stages"`
	Notes  []string          `json:"notes,omitempty"`
	Credit string            `json:"credit,omitempty"`
	// NoBucket says of which work of the best programme no bucket can be mixed in its hours: then
	// nobody is told to begin, however sure the days are.
	NoBucket string `json:"no_bucket,omitempty"`
}

// Order reports whether somebody may be told to begin: the rule of page one.
func (w *When) Order() bool { return w.Sure != nil && w.NoBucket == "" }

// When searches the days for the best programme, and makes its buckets: what can be mixed in no
// hour of it is no order, and what is too old to be gone over is said by their hours.
func (o *Outlook) When(ctx context.Context) (*When, error) {
	w, err := o.search(ctx)
	if err != nil {
		return nil, err
	}
	return o.mixable(ctx, w)
}

// sure is When for a programme that is sure alone, and no more of its days than that.
func (o *Outlook) sure(ctx context.Context) (*When, error) {
	r, err := o.prepared.SearchAbove(ctx, o.prepared.Target())
	if err != nil {
		return nil, err
	}
	// Of likelier ones nothing is known then.
	r.Days, r.Frontier, r.Likeliest, r.Proven = nil, nil, r.Sure, false
	return o.mixable(ctx, o.found(r))
}

// mixable makes the buckets of what was found.
func (o *Outlook) mixable(ctx context.Context, w *When) (*When, error) {
	if w.Best() == nil {
		return w, nil
	}
	in := o.input
	in.Weigh = false
	in.Schedule, in.Job.Day = o.schedule(w)
	p, err := plan.Make(ctx, in)
	if err != nil {
		return nil, err
	}
	o.settle(w, p)
	return w, nil
}

// settle puts into an answer what the buckets of its best programme say.
func (o *Outlook) settle(w *When, p *plan.Plan) {
	w.NoBucket = p.Schedule.NoBucket
	if best := w.Best(); best != nil {
		o.sayAged(best, &p.Schedule)
		o.saySafe(best, &p.Schedule, p.Wet)
	}
}

// sayAged puts into a programme what the hours of its buckets say of ground that is too old.
func (o *Outlook) sayAged(p *programme.Plan, s *laying.Schedule) {
	for k := range p.Slots {
		p.Slots[k].First = ""
	}
	for _, x := range s.Passes {
		for _, part := range x.Parts {
			if k := o.slotOf(p, s, laying.StageOf(x.Key), part); k >= 0 && part.First != "" && p.Slots[k].Again == "" {
				p.Slots[k].First = part.First
			}
		}
	}
}

// slotOf is the last slot of a pass that has begun when a part of it is; -1 for none.
func (o *Outlook) slotOf(p *programme.Plan, s *laying.Schedule, key string, part laying.PartTime) int {
	day, err := time.ParseInLocation(time.DateOnly, s.DateOf(part.Day), o.Zone())
	if err != nil {
		return -1
	}
	at := time.Date(day.Year(), day.Month(), day.Day(), 0, int(part.BeginMin), 0, 0, o.Zone())
	on := -1
	for k, slot := range p.Slots {
		if (slot.Key == key || strings.HasPrefix(slot.Key, key+".")) && !at.Before(slot.Start) {
			on = k
		}
	}
	return on
}

// search searches the days for the best programme.
func (o *Outlook) search(ctx context.Context) (*When, error) {
	r, err := o.prepared.Search(ctx)
	if err != nil {
		return nil, err
	}
	return o.found(r), nil
}

// found is what a search has found, as an answer.
func (o *Outlook) found(r *programme.Result) *When {
	notes := append(append([]string(nil), o.Notes...), o.Work.Notes...)
	return &When{Result: r, Stages: o.Work.Stages, Notes: notes, Credit: o.Credit}
}

// Found says no when there is no programme, or none that is sure.
func (w *When) Found(j *roof.Job) error {
	switch {
	case w.Best() == nil:
		return refuse("no time is found for %s", j.Name)
	case w.Sure == nil && w.Members > 1:
		return refuse("no plan for %s is sure to %.0f %%", j.Name, 100*w.Target)
	case w.NoBucket != "":
		return refuse("%s", w.NoBucket)
	}
	return nil
}

// Written is the day that a roof file gives by its hours, judged.
type Written struct {
	Job *roof.Job
	Day *works.Written
	// Overrides that were lifted for it, and the zone its times are told in.
	Overrides []programme.Override
	Site      weather.Site
}

// noWeather is the error of a question about days for which there is no weather.
func noWeather() error {
	return &Error{Kind: Asked, Place: "forecast", Found: "there is no weather",
		Remedy: "Give a forecast, or the hours of the day in the roof file"}
}

// DayWritten judges the hours of the job's own day.
func DayWritten(ctx context.Context, g Given, look Look) (*Written, error) {
	if len(g.Job.Day.Hours) == 0 {
		return nil, noWeather()
	}
	in, err := g.Input()
	if err != nil {
		return nil, err
	}
	p, err := plan.Make(ctx, in)
	if err != nil {
		return nil, err
	}
	site, err := SiteOf(&p.Job)
	if err != nil {
		return nil, err
	}
	if look.People > 0 {
		p.Job.Crew.People = look.People
	}
	work, err := works.Of(ctx, p, &in, g.rates(), look.People)
	if err != nil {
		return nil, err
	}
	areaM2 := 0.0
	for i := range p.Passes {
		if p.Passes[i].Kind == "mat" && p.Passes[i].Layer == 1 {
			areaM2 += p.Passes[i].AreaM2
		}
	}
	d, err := works.DayWritten(ctx, &p.Job, work, areaM2, site.Zone, look.Overrides)
	if err != nil {
		return nil, err
	}
	if d == nil {
		return nil, noWeather()
	}
	return &Written{Job: &p.Job, Day: d, Overrides: look.Overrides, Site: site}, nil
}
