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
	"gelwright/working"
)

// PlanUnder plans a roof under a forecast: the days and hours of its wet work are settled
// first, and its buckets made for them. The days stand in the plan, with their sheets.
func PlanUnder(ctx context.Context, g Given, f weather.Forecast, look Look) (*plan.Plan, error) {
	o, err := LookOut(ctx, g, f, look)
	if err != nil {
		return nil, err
	}
	w, err := o.search(ctx)
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
	if err := o.propose(ctx, w, in.Schedule); err != nil {
		return nil, err
	}
	p, err := plan.Make(ctx, in)
	if err != nil {
		return nil, err
	}
	o.settle(w, p)
	if p.Ahead, err = o.Ahead(w.Best(), time.Time{}); err != nil {
		return nil, err
	}
	tick(p)
	withhold(p)
	return p, nil
}

// muchMore is by how much longer days must raise the chance to be told of.
const muchMore = 0.05

// noHours is said where longer days do not make it sure.
const noHours = "What would do: longer hours do not%s; open nothing and plan again with the next forecast"

// propose adds to the reason of a schedule without an order what longer days would do: the hours that are wanted of them where they make
// it sure, or else that they do not, and what they would give.
func (o *Outlook) propose(ctx context.Context, w *When, s *laying.Schedule) error {
	if s.Order() {
		return nil
	}
	was := 0.0
	if b := w.Best(); b != nil {
		was = b.P
	}
	if will, err := o.sheets(ctx, s, was, w.Target); err != nil || will {
		return err
	}
	hours := o.longer()
	if hours == o.usual {
		s.Reason += ". " + fmt.Sprintf(noHours, "")
		return nil
	}
	p, err := o.prepared.Under(ctx, hours)
	if err != nil {
		return as(Asked, err)
	}
	r, err := p.SearchAbove(ctx, min(was+muchMore, w.Target))
	if err != nil {
		return err
	}
	switch best := r.Best(); {
	case best == nil || best.P < was+muchMore:
		s.Reason += ". " + fmt.Sprintf(noHours, "")
	case r.Sure == nil:
		s.Reason += ". " + fmt.Sprintf(noHours, fmt.Sprintf(" (from %s to %s, by daylight, it would hold with %s %%)", clockOf(hours.StartMin),
			clockOf(hours.EndMin), working.Chance(best.P)))
	default:
		from, to := o.worked(p, best)
		s.Reason += fmt.Sprintf(". What would do: work from %s to %s, by daylight (crew: start, end): then it holds with %s %%", clockOf(from),
			clockOf(to), working.Chance(best.P))
	}
	return nil
}

// worked are the hours of work that a plan under other hours wants, the crew's own among them, minutes after midnight.
func (o *Outlook) worked(under *programme.Prepared, p *programme.Plan) (fromMin, toMin float64) {
	fromMin, toMin = o.usual.StartMin, o.usual.EndMin
	for _, slot := range p.Slots {
		for _, x := range under.Spans(slot) {
			day, from := dayAndMin(x.From, midnight(x.From.In(o.Zone())))
			_, to := dayAndMin(x.To, midnight(x.From.In(o.Zone())))
			if day == 1 && to > from {
				fromMin, toMin = min(fromMin, from), max(toMin, to)
			}
		}
	}
	return fromMin, toMin
}

// clockOf is a minute of a day as its clock shows it.
func clockOf(min float64) string { return roof.ClockAt(int(min)).String() }

// withhold takes the order out of what the days say where the whole is not sure: a start that
// holds by itself is told as that.
func withhold(p *plan.Plan) {
	if p.Schedule.Verdict != laying.NotSure {
		return
	}
	for _, d := range p.Ahead.Days {
		if rest, ok := strings.CutPrefix(d.Next, "Begin "); ok {
			d.Next = fmt.Sprintf("Do not begin on this plan: %s. This start by itself would hold: %s", p.Schedule.Whole(), rest)
		}
	}
}

// Settled reports whether a programme may be begun: all of it holds with what is wanted, and
// so does every start.
func Settled(p *programme.Plan) bool {
	for _, s := range p.Slots {
		if s.Call.Verdict != weather.Go || p.P < s.Call.Target-1e-9 {
			return false
		}
	}
	return true
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
	for _, key := range o.passes {
		if x := o.passTime(best, key, first); len(x.Parts) > 0 {
			s.Passes = append(s.Passes, x)
		}
	}
	o.hours(&s, first)
	return &s, o.dayOf(&s)
}

// reason names the weakest start of a plan that does not hold with the chance that is wanted, up
// to the last of the wet work, and counts the others: one line; each start tells its own in full.
func (o *Outlook) reason(p *programme.Plan) string {
	last := 0
	for k, s := range p.Slots {
		if s.Kind.Wet() {
			last = k
		}
	}
	weakest, not := -1, 0
	for k := 0; k <= last; k++ {
		s := &p.Slots[k]
		if s.Call.Verdict == weather.Go || k > 0 && slotName(p.Slots[k-1]) == slotName(*s) && s.Again == "" {
			continue
		}
		if not++; weakest < 0 || s.Call.P < p.Slots[weakest].Call.P {
			weakest = k
		}
	}
	if weakest < 0 {
		return ""
	}
	s := &p.Slots[weakest]
	name := slotName(*s)
	why := strings.TrimPrefix(strings.TrimPrefix(s.Call.Reason, s.Name), name)
	out := fmt.Sprintf("Weakest: %s, %s, %s %%: %s", name, s.Start.In(o.Zone()).Format("Mon 2 Jan 15:04"), working.Chance(s.Call.P),
		strings.TrimPrefix(why, ", "))
	switch {
	case not == 2:
		out += "; 1 more start does not hold"
	case not > 2:
		out += fmt.Sprintf("; %d more starts do not hold", not-1)
	}
	return out
}

// slotName is the work of a slot, its parts together.
func slotName(s programme.Slot) string {
	name, _, _ := strings.Cut(s.Name, ", part ")
	return name
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
		firstWords := slot.Again
		for _, span := range o.prepared.Spans(slot) {
			// Sanding and abrading come before the first bucket.
			begun := span
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
				last.EndMin, last.Share = from+work, last.Share+work
				continue
			}
			out.Parts = append(out.Parts,
				laying.PartTime{Day: day, BeginMin: from, EndMin: from + work, Share: work, P: slot.Call.P,
					Go: slot.Call.Verdict == weather.Go, Why: o.orderOf(slot, begun),
					First: firstWords})
			firstWords = ""
		}
	}
	for i := range out.Parts {
		out.Parts[i].Share /= all
	}
	return out
}

// orderOf says of a stretch of a slot whether it may be begun, by its own day and hour. Where the work goes over
// several days the reason is that of the stretch's own, or names the day that it is of.
func (o *Outlook) orderOf(slot programme.Slot, span programme.Span) string {
	day := func(t time.Time) string { return t.In(o.Zone()).Format("Mon 2 Jan") }
	call, name, at := slot.Call, slotName(slot), span.From.In(o.Zone()).Format("15:04")
	if first, last := day(slot.Start), day(slot.End); call.Reason != "" && first != last {
		switch own := o.prepared.Against(&slot, span.From, span.To); {
		case own != "":
			call.Reason = own
		default:
			call.Reason = fmt.Sprintf("of all of it, begun %s: %s", first, call.Reason)
		}
	}
	return call.Order(name, fmt.Sprintf("on %s at %s", day(span.From), at))
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
		for i := range d.Bars {
			d.Bars[i].Ticks = nil
		}
		for k := range p.Passes {
			if x := &p.Passes[k]; x.Plan != nil {
				tickPass(p, d, x)
			}
		}
	}
}

// tickPass puts the buckets of a pass on the clock of a day: on the last bar of the pass that
// has begun when it is mixed.
func tickPass(p *plan.Plan, d *programme.Day, x *laying.Pass) {
	local := d.From.In(d.Zone)
	// Edges are cut in within the stage of their coat.
	stage := strings.Replace(x.Key(), ".cutin", ".coat", 1)
	for _, m := range x.Plan.Mixes {
		at := midnight(local).Add(time.Duration(m.MixAtMin * float64(time.Minute)))
		var on *programme.Bar
		for i := range d.Bars {
			b := &d.Bars[i]
			if (b.Key == stage || strings.HasPrefix(b.Key, stage+".")) && !at.Before(b.From) {
				on = b
			}
		}
		if on == nil || p.Schedule.DateOf(m.Day) != local.Format(time.DateOnly) {
			continue
		}
		on.Ticks = append(on.Ticks, programme.Tick{Number: m.Number, At: at, LayBy: at.Add(time.Duration(m.LayByMin * float64(time.Minute)))})
	}
}
