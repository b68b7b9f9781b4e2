package desk

import (
	"context"
	"fmt"
	"strings"
	"time"

	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/roof"
	"gelwright/weather"
)

// PlanUnder plans a roof under a forecast: the days and hours of its wet work are settled
// first, and its buckets made for them. The days stand in the plan, with their sheets.
func PlanUnder(ctx context.Context, g Given, f weather.Forecast, look Look) (*plan.Plan, error) {
	o, err := LookOut(ctx, g, f, look)
	if err != nil {
		return nil, err
	}
	w, err := o.When(ctx)
	if err != nil {
		return nil, err
	}
	return o.PlanFor(ctx, w)
}

// PlanFor makes the plan for what a search of the days has found. The boards are not set out
// again where the steps are kept.
func (o *Outlook) PlanFor(ctx context.Context, w *When) (*plan.Plan, error) {
	in := o.input
	in.Schedule, in.Job.Day = o.schedule(w)
	p, err := plan.Make(ctx, in)
	if err != nil {
		return nil, err
	}
	if p.Ahead, err = o.Ahead(w.Best(), time.Time{}); err != nil {
		return nil, err
	}
	tick(p)
	return p, nil
}

// schedule is the days and hours that the best plan of a search gives the wet work, and the
// first day of laminating as a roof file gives a day.
func (o *Outlook) schedule(w *When) (*laying.Schedule, roof.Day) {
	_, silent := o.Job.Origin("day.").Silent("day.resin_c")
	s := laying.DayLike(o.Job.Date, o.Job.Day, silent)
	s.AnyDayFrom = o.anyDayFrom
	best := w.Best()
	if best == nil {
		s.Verdict, s.Target, s.Reason = laying.NoTime, w.Target, w.Blocked
		if w.Impossible != nil {
			s.Reason = w.Impossible.Error()
		}
		return &s, o.Job.Day
	}
	s.Verdict, s.P, s.Target, s.Reason, s.Hours = laying.Settled, best.P, w.Target, "", nil
	if w.Sure == nil {
		s.Verdict, s.Reason = laying.NotSure, o.reason(best)
	}
	first := o.firstWet(best)
	s.Date = first.Format(time.DateOnly)
	for i := range o.made.Passes {
		if x := o.passTime(best, o.made.Passes[i].Key(), first); len(x.Parts) > 0 {
			s.Passes = append(s.Passes, x)
		}
	}
	o.hours(&s, first)
	return &s, o.dayOf(&s)
}

// reason is what makes a plan unsure.
func (o *Outlook) reason(p *programme.Plan) string {
	slot, why := o.prepared.Weakness(p)
	return fmt.Sprintf("weakest is %s on %s, which holds with %.0f %%: %s", slot.Name,
		slot.Start.In(o.Zone()).Format("Monday 2 January 15:04"), 100*slot.P, why)
}

// firstWet is the midnight of the first day on which resin is laid.
func (o *Outlook) firstWet(p *programme.Plan) time.Time {
	at := p.Begin
	for _, s := range p.Slots {
		if s.Kind.Wet() {
			at = s.Start
			break
		}
	}
	return midnight(at.In(o.Zone()))
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// dayAndMin is a moment as a day counted from the first, and the minute that its clock shows.
func dayAndMin(t, first time.Time) (day int, min float64) {
	t = t.In(first.Location())
	// Noon to noon, so that a night in which the clocks are changed is a night.
	noon := 12 * time.Hour
	days := midnight(t).Add(noon).Sub(first.Add(noon)).Hours() / 24
	return int(days+0.5) + 1, float64(t.Hour()*60+t.Minute()) + float64(t.Second())/60
}

// passTime is when the stages of a pass are worked on.
func (o *Outlook) passTime(p *programme.Plan, key string, first time.Time) laying.PassTime {
	out := laying.PassTime{Key: key}
	all := 0.0
	for _, slot := range p.Slots {
		if slot.Key != key && !strings.HasPrefix(slot.Key, key+".") {
			continue
		}
		st := o.Work.Stages[slot.Stage]
		lead := st.Lead
		if slot.Again != "" {
			lead += st.AgainQuarters
		}
		firstWords := strings.Join(append(pastWindow(p, slot.Name), nonEmpty(slot.Again)...), "; ")
		for _, span := range o.prepared.Spans(slot) {
			// Sanding and abrading come before the first bucket.
			before := min(span.To.Sub(span.From), time.Duration(lead)*programme.Quarter)
			lead -= int(before / programme.Quarter)
			if span.From = span.From.Add(before); !span.From.Before(span.To) {
				continue
			}
			work := span.To.Sub(span.From).Minutes()
			all += work
			day, from := dayAndMin(span.From, first)
			if n := len(out.Parts); n > 0 && firstWords == "" && out.Parts[n-1].Day == day && out.Parts[n-1].EndMin == from {
				last := &out.Parts[n-1]
				last.EndMin, last.Share, last.P = from+work, last.Share+work, min(last.P, slot.P)
				continue
			}
			out.Parts = append(out.Parts,
				laying.PartTime{Day: day, BeginMin: from, EndMin: from + work, Share: work, P: slot.P, First: firstWords})
			firstWords = ""
		}
	}
	for i := range out.Parts {
		out.Parts[i].Share /= all
	}
	return out
}

func nonEmpty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

// pastWindow are the notes of a plan on what is too old to bond when a stage comes.
func pastWindow(p *programme.Plan, name string) []string {
	var out []string
	for _, n := range p.Notes {
		if strings.Contains(n, "by the time of "+name+":") {
			out = append(out, n)
		}
	}
	return out
}

// hours writes the likely course of the weather, hour by hour, from the first day on. The
// resin is as warm as the roof file says, or else as the air: it stands in the shade.
func (o *Outlook) hours(s *laying.Schedule, first time.Time) {
	_, guessed := o.Job.Origin("day.").Silent("day.resin_c")
	for _, m := range o.prepared.Moments() {
		at := m.Time.In(first.Location())
		if at.Minute() != 0 || at.Before(first) {
			continue
		}
		day, min := dayAndMin(at, first)
		if n := len(s.Hours); n > 0 && s.Hours[n-1].Day == day && s.Hours[n-1].Min >= min {
			continue // the clocks are put back
		}
		h := laying.ScheduleHour{Day: day, Min: min, AirC: tenth(m.AirC), DeckC: tenth(m.SurfaceC), ResinC: o.Job.Day.ResinC}
		if guessed {
			h.ResinC = h.AirC
		}
		s.Hours = append(s.Hours, h)
	}
}

// dayOf is the first day of laminating, as a roof file gives a day.
func (o *Outlook) dayOf(s *laying.Schedule) roof.Day {
	day := 1
	for _, x := range s.Passes {
		if strings.HasSuffix(x.Key, ".mat1") && len(x.Parts) > 0 {
			day = x.Parts[0].Day
			break
		}
	}
	date, err := time.ParseInLocation(time.DateOnly, s.DateOf(day), o.Zone())
	if err != nil {
		return o.Job.Day
	}
	out := o.Job.Day
	if hours := hoursOf(o.prepared.Moments(), date, date.AddDate(0, 0, 1)); len(hours) > 0 {
		// What is read off at a glance is the middle of the working day.
		noon := hours[len(hours)/2]
		out.Hours, out.AirC, out.DeckC, out.RelativeHumidityPct = hours, noon.AirC, noon.DeckC, noon.RelativeHumidityPct
		if _, guessed := o.Job.Origin("day.").Silent("day.resin_c"); guessed {
			out.ResinC = noon.AirC
		}
	}
	return out
}

// tick puts the buckets of a plan on the clocks of its days.
func tick(p *plan.Plan) {
	for _, d := range p.Ahead.Days {
		local := d.From.In(d.Zone)
		date := local.Format(time.DateOnly)
		for i := range d.Bars {
			b := &d.Bars[i]
			b.Ticks = nil
			for k := range p.Passes {
				x := &p.Passes[k]
				if x.Plan == nil || b.Key != x.Key() && !strings.HasPrefix(b.Key, x.Key()+".") {
					continue
				}
				for _, m := range x.Plan.Mixes {
					at := midnight(local).Add(time.Duration(m.MixAtMin * float64(time.Minute)))
					if p.Schedule.DateOf(m.Day) != date || at.Before(b.From) || !at.Before(b.To) {
						continue
					}
					b.Ticks = append(b.Ticks, programme.Tick{Number: m.Number, At: at, LayBy: at.Add(time.Duration(m.LayByMin * float64(time.Minute)))})
				}
			}
		}
	}
}
