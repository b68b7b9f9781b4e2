package desk

import (
	"time"

	"gelwright/programme"
)

// mostDays is how many wet days get a sheet of their own.
const mostDays = 10

// Ahead is the days of a programme that have wet work, and the hours of the fortnight; the
// fortnight alone where no day will do (p is nil). A now that is not zero is marked.
func (o *Outlook) Ahead(p *programme.Plan, now time.Time) (*programme.Ahead, error) {
	a := &programme.Ahead{Zone: o.Zone()}
	if p != nil {
		for _, start := range o.wetDays(p) {
			d, err := o.DayOf(p, start)
			if err != nil {
				return nil, err
			}
			d.Now = now
			a.Days = append(a.Days, d)
		}
	}
	for _, kind := range []programme.Kind{programme.Laminate, programme.TopCoat} {
		for i, s := range o.Work.Stages {
			if s.Kind != kind {
				continue
			}
			hours, err := o.Hours(i)
			if err != nil {
				return nil, err
			}
			a.Fortnight = append(a.Fortnight, programme.WorkHours{Work: string(kind), Hours: hours})
			break
		}
	}
	return a, nil
}

// wetDays lists the days of a plan that have wet work, each by its first slot.
func (o *Outlook) wetDays(p *programme.Plan) []time.Time {
	var days []time.Time
	seen := map[string]bool{}
	for _, s := range p.Slots {
		if !s.Kind.Wet() {
			continue
		}
		// Bandage may be laid over several days.
		for _, span := range o.prepared.Spans(s) {
			key := span.From.In(o.Zone()).Format("2006-01-02")
			if seen[key] || len(days) >= mostDays {
				continue
			}
			seen[key] = true
			days = append(days, span.From)
		}
	}
	return days
}
