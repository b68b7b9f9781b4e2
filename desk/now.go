package desk

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/weather"
	"gelwright/working"
)

// Now says what to do at a time, with what is done already.
func (o *Outlook) Now(ctx context.Context, at time.Time, done []programme.Done) (*programme.Advice, error) {
	a, err := o.prepared.Now(ctx, at, done)
	if err != nil {
		return nil, as(Asked, err)
	}
	if err := o.mixed(ctx, a, at, done); err != nil {
		return nil, err
	}
	if a.Plan != nil && a.Plan.Slots[0].First != "" {
		a.Act += " First: " + a.Plan.Slots[0].First + "."
	}
	if a.Verdict == weather.NoGo && a.Stage >= 0 {
		o.outsideHours(ctx, at, done, a)
	}
	if taken := o.prepared.Taken(done); len(taken) > 0 {
		a.Act += " Taken for done too: " + strings.Join(taken, ", ") + "."
	}
	return a, nil
}

// mixed makes the buckets of what is advised, behind the work that is done: the same rule as that of
// the papers then says of the same hours whether what lies under it is too old, and what can be mixed
// in none of them is not begun.
func (o *Outlook) mixed(ctx context.Context, a *programme.Advice, at time.Time, done []programme.Done) error {
	if a.Plan == nil || !a.Plan.Slots[0].Kind.Wet() {
		return nil
	}
	whole, known := o.prepared.WithDone(a.Plan, at, done)
	if !known {
		return nil // as old as that it is past every window
	}
	in := o.input
	in.Weigh = false
	in.Schedule, in.Job.Day = o.schedule(&When{Result: &programme.Result{Sure: whole, Target: a.Target}})
	p, err := plan.Make(ctx, in)
	if err != nil {
		return err
	}
	o.sayAged(a.Plan, &p.Schedule)
	first := &a.Plan.Slots[0]
	was := o.prepared.Begins(first, at)
	o.saySafe(a.Plan, &p.Schedule, p.Wet)
	a.Act = strings.Replace(a.Act, was, o.prepared.Begins(first, at), 1)
	for i := range p.Passes {
		x := &p.Passes[i]
		stage := laying.StageOf(x.Key())
		if x.Refusal == "" || a.Verdict == weather.NoGo || first.Key != stage && !strings.HasPrefix(first.Key, stage+".") {
			continue
		}
		a.Verdict, a.Reason = weather.NoGo, x.NoBucket()
		a.Act = fmt.Sprintf("Do not begin %s at %s: no bucket of it can be mixed then.", first.Name, first.Start.In(o.Zone()).Format("Mon 15:04"))
	}
	return nil
}

// outsideHours adds to advice not to begin today what longer hours of this day would do.
func (o *Outlook) outsideHours(ctx context.Context, at time.Time, done []programme.Done, a *programme.Advice) {
	hours := o.longer()
	if hours == o.usual {
		return
	}
	p, err := o.prepared.Under(ctx, hours)
	if err != nil {
		return
	}
	b, err := p.Today(ctx, at, done)
	if err != nil || b == nil {
		return
	}
	when := o.outside(b)
	if when == "" {
		return // nothing that longer hours would give
	}
	a.Changes = append([]string{fmt.Sprintf("hours outside the crew's: %s could %s, with a chance of %s\u00a0%% (crew: start, end)",
		b.Name, when, working.Chance(b.Call.P))}, a.Changes...)
}

// outside tells which end of a slot lies outside the crew's hours; empty where neither does.
func (o *Outlook) outside(s *programme.Slot) string {
	start, end := s.Start.In(o.Zone()), s.End.In(o.Zone())
	_, from := dayAndMin(start, midnight(start))
	day, to := dayAndMin(end, midnight(start))
	switch {
	case from < o.usual.StartMin || from >= o.usual.EndMin:
		return "begin at " + start.Format("15:04")
	case day > 1 || to > o.usual.EndMin:
		return fmt.Sprintf("begin at %s and go on until %s", start.Format("15:04"), end.Format("15:04"))
	}
	return ""
}

// longer are the hours of the programme from five in the morning to nine in the evening, as far as it is light on all its days.
func (o *Outlook) longer() programme.Hours {
	h := o.usual
	site, err := SiteOf(&o.Job)
	if err != nil {
		return h
	}
	rise, set := laying.EarliestMin, laying.LatestMin
	moments := o.prepared.Moments()
	for at := moments[0].Time; !at.After(moments[len(moments)-1].Time); at = at.AddDate(0, 0, 1) {
		light := weather.DaylightOn(at, site)
		switch light.Polar {
		case "dark":
			return h
		case "":
			day := midnight(at.In(o.Zone()))
			_, up := dayAndMin(light.Rise, day)
			_, down := dayAndMin(light.Set, day)
			rise, set = max(rise, 15*math.Ceil(up/15)), min(set, 15*math.Floor(down/15))
		}
	}
	h.StartMin, h.EndMin = min(h.StartMin, rise), max(h.EndMin, set)
	return h
}

// Stops says no to advice other than to begin now or to wait within the day.
func Stops(a *programme.Advice) error {
	if a.Verdict == weather.NoGo {
		return refuse("%s", a.Act)
	}
	return nil
}

// Done reads what is done as it is written after one another, "trims,details=11:20": stages
// by any of their names, each with its end where it was not just now. Names may hold commas,
// as those that are printed do: "laminate, part 1 of 3".
func (o *Outlook) Done(text string, at time.Time) ([]programme.Done, error) {
	var out []programme.Done
	pieces := strings.Split(text, ",")
	for i := 0; i < len(pieces); {
		if strings.TrimSpace(pieces[i]) == "" {
			i++
			continue
		}
		// The longest run of pieces that is a name.
		n := 1
		for k := len(pieces) - i; k > 1; k-- {
			key, _, _ := strings.Cut(strings.Join(pieces[i:i+k], ","), "=")
			if !strings.Contains(strings.Join(pieces[i:i+k-1], ""), "=") && o.prepared.Knows(strings.TrimSpace(key)) {
				n = k
				break
			}
		}
		d, err := doneAt(strings.Join(pieces[i:i+n], ","), at, o.Zone())
		if err != nil {
			return nil, err
		}
		out = append(out, d)
		i += n
	}
	return out, nil
}

// doneAt reads one stage with the time of its end.
func doneAt(text string, at time.Time, zone *time.Location) (programme.Done, error) {
	key, clock, timed := strings.Cut(strings.TrimSpace(text), "=")
	d := programme.Done{Key: strings.TrimSpace(key)}
	if !timed {
		return d, nil
	}
	var err error
	d.End, err = Clock(strings.TrimSpace(clock), at, zone)
	return d, err
}

// Since is the earliest time that a list of work done names, at when it names none.
func Since(texts []string, at time.Time, zone *time.Location) time.Time {
	first := at
	for _, text := range texts {
		for piece := range strings.SplitSeq(text, ",") {
			if d, err := doneAt(piece, at, zone); err == nil && !d.End.IsZero() && d.End.Before(first) {
				first = d.End
			}
		}
	}
	return first
}
