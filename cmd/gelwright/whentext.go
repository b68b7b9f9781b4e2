package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/programme"
	"gelwright/working"
)

// whenTeller tells the answer for people.
type whenTeller struct {
	b    strings.Builder
	o    *desk.Outlook
	r    *desk.When
	zone *time.Location
}

// tellWhen prints the answer for people.
func tellWhen(out io.Writer, o *desk.Outlook, r *desk.When) error {
	t := &whenTeller{o: o, r: r, zone: o.Zone()}
	fmt.Fprintf(&t.b, "%s\n", o.Job.Name)
	t.first()
	if best := r.Best(); best != nil {
		t.crew(best)
		t.sessions(best)
	}
	t.days()
	t.others()
	_, err := io.WriteString(out, t.b.String())
	return err
}

// day is a moment with its day.
func (t *whenTeller) day(at time.Time) string { return at.In(t.zone).Format("Mon 2 Jan 15:04") }

// clock is the time of a moment.
func (t *whenTeller) clock(at time.Time) string { return at.In(t.zone).Format("15:04") }

// near is the time of a moment, with its day where that is not the day of another.
func (t *whenTeller) near(at, other time.Time) string {
	if at.In(t.zone).Format(time.DateOnly) == other.In(t.zone).Format(time.DateOnly) {
		return t.clock(at)
	}
	return t.day(at)
}

// first is the answer in a sentence.
func (t *whenTeller) first() {
	o, r := t.o, t.r
	switch {
	case r.Impossible != nil:
		fmt.Fprintf(&t.b, "On no day: %v\n", r.Impossible)
	case o.Norms && r.Likeliest != nil:
		fmt.Fprintf(&t.b, "There is no forecast. On dry days usual for the season: begin %s, finished %s. Rain is not counted: look again with "+
			"a forecast.\n", t.day(r.Likeliest.Begin), t.day(r.Likeliest.Finish))
	case r.Members == 1 && r.Likeliest != nil:
		fmt.Fprintf(&t.b, "In the one course of the weather given: begin %s, finished %s.\n", t.day(r.Likeliest.Begin), t.day(r.Likeliest.Finish))
	case r.Sure != nil && r.NoBucket != "":
		fmt.Fprintf(&t.b, "Do not begin: %s.\n", r.NoBucket)
	case r.Sure != nil:
		fmt.Fprintf(&t.b, "Begin %s, finished %s: every stage holds with %.0f %%.\n", t.day(r.Sure.Begin), t.day(r.Sure.Finish), 100*r.Sure.P)
	case r.Likeliest != nil:
		most := "is the most that any plan holds with"
		if !r.Proven {
			most = "is the most that was found" // the search was cut short
		}
		fmt.Fprintf(&t.b, "Do not begin yet: %s %% %s, %.0f %% is wanted. That plan begins %s and is finished %s.\n",
			working.Chance(r.Likeliest.P), most, 100*r.Target, t.day(r.Likeliest.Begin), t.day(r.Likeliest.Finish))
		w := r.Likeliest.Slots[r.Likeliest.Weakest]
		fmt.Fprintf(&t.b, "  because: %s\n", w.Call.Reason)
	default:
		fmt.Fprintf(&t.b, "No time is found: %s.\n", r.Blocked)
	}
}

// crew tells what a crew makes of it that watches the sky.
func (t *whenTeller) crew(best *programme.Plan) {
	o, r := t.o, t.r
	if r.Sure == nil && !r.HalfBy.IsZero() {
		fmt.Fprintf(&t.b, "A crew that moves its days with the weather can be finished by %s at the earliest in half of the courses",
			t.day(r.HalfBy))
		if !r.MostBy.IsZero() {
			fmt.Fprintf(&t.b, ", by %s in nine of ten", t.day(r.MostBy))
		}
		fmt.Fprintf(&t.b, ", if it chooses each day rightly.\n")
	}
	if !o.Norms && r.Members > 1 {
		fmt.Fprintf(&t.b, "A crew that waits for the hour finishes in %.0f %%, stops with nothing spoiled in %.0f %%, loses work in %.0f %% of "+
			"the courses.\n",
			100*best.Rehearsed.Finished, 100*best.Rehearsed.Stopped, 100*best.Rehearsed.Spoiled)
	}
}

// sessions is the best plan, session by session.
func (t *whenTeller) sessions(best *programme.Plan) {
	fmt.Fprintf(&t.b, "\n%-34s %-17s %-17s %-13s %5s\n", "stage", "from", "to", "latest start", "holds")
	for _, s := range best.Sessions() {
		fmt.Fprintf(&t.b, "%-34s %-17s %-17s %-13s %4.0f %%\n", s.Name, t.day(s.Start), t.day(s.End), t.clock(s.Latest), 100*s.Call.P)
		if first := cmp.Or(s.Again, s.First); first != "" {
			fmt.Fprintf(&t.b, "    %s\n", first)
		}
		if !s.SafeByLate.IsZero() {
			fmt.Fprintf(&t.b, "    safe from rain and dew by %s, %s at the latest\n", t.near(s.SafeBy, s.End),
				t.near(s.SafeByLate, s.End))
		}
	}
}

// days is the best beginning of each day.
func (t *whenTeller) days() {
	if len(t.r.Days) == 0 {
		return
	}
	fmt.Fprintf(&t.b, "\n%-12s %-7s %-17s %6s  %s\n", "day", "begin", "finished", "holds", "what stands in the way")
	for _, d := range t.r.Days {
		name := d.Day.In(t.zone).Format("Mon 2 Jan")
		if d.Plan == nil {
			fmt.Fprintf(&t.b, "%-12s %-7s %-17s %6s  %s\n", name, "no", "", "", d.Why)
			continue
		}
		way := ""
		if w := d.Plan.Slots[d.Plan.Weakest]; w.P < 1 {
			way = fmt.Sprintf("%s, %s: %.0f %%", w.Name, w.Start.In(t.zone).Format("Mon 15:04"), 100*w.Call.P)
		}
		fmt.Fprintf(&t.b, "%-12s %-7s %-17s %4.0f %%  %s\n", name, t.clock(d.Plan.Begin), t.day(d.Plan.Finish), 100*d.Plan.P, way)
	}
}

// within says in how many courses a plan could hold at most, where that is not all of them.
func (t *whenTeller) within() string {
	if t.r.Bound > 1-1e-9 {
		return ""
	}
	return fmt.Sprintf(", and no plan holds in more than %s %% of the courses", working.Chance(t.r.Bound))
}

// others are the plans that were not taken, and what stands beside the answer.
func (t *whenTeller) others() {
	o, r := t.o, t.r
	if len(r.Frontier) > 1 {
		fmt.Fprintf(&t.b, "\nsooner or surer:\n")
		for _, p := range r.Frontier {
			fmt.Fprintf(&t.b, "  begin %s, finished %s: %.0f %%\n", t.day(p.Begin), t.day(p.Finish), 100*p.P)
		}
	}
	if !r.Proven && r.Best() != nil {
		fmt.Fprintf(&t.b, "A likelier plan is not ruled out: the search was cut short%s.\n", t.within())
	}
	for _, x := range r.Overrides {
		fmt.Fprintf(&t.b, "Overridden: %s, because: %s.\n", x.Limit, x.Reason)
	}
	for _, n := range r.Notes {
		fmt.Fprintf(&t.b, "Note: %s.\n", strings.TrimSuffix(n, "."))
	}
	if o.Credit != "" {
		fmt.Fprintf(&t.b, "Weather: %s\n", o.Credit)
	}
}

// tellWritten prints the hours of the roof file's day.
func tellWritten(out io.Writer, a *desk.Written) error {
	j, d, zone := a.Job, a.Day, a.Site.Zone
	var b strings.Builder
	clock := func(t time.Time) string { return t.In(zone).Format("15:04") }
	fmt.Fprintf(&b, "%s, %s, by the hours that the roof file gives\n", j.Name, j.Date)
	switch {
	case d.AreaM2 == 0:
		fmt.Fprintf(&b, "Laminate: not on this day, for %s. Choose another day, or shelter and warm it and override with a reason.\n", d.Ends)
	case d.AreaM2 < d.AllM2-0.01:
		fmt.Fprintf(&b, "Laminate from %s to %s, when %s: %d people lay %.0f of %.0f m². Take %d people, two sessions with a day joint at the "+
			"end of a strip, or shade.\n",
			clock(d.From), clock(d.To), d.Ends, d.People, math.Floor(d.AreaM2), d.AllM2, d.Needed)
	default:
		fmt.Fprintf(&b, "Laminate from %s to %s: %d people lay all %.0f m².\n", clock(d.From), clock(d.To), d.People, d.AllM2)
	}
	if len(d.Coat) == 0 {
		fmt.Fprintf(&b, "Top coat: not on this day. On another, abrade what is then older than its over-coating window.\n")
	} else {
		var texts []string
		for _, r := range d.Coat {
			text := clock(r.From)
			if r.To.After(r.From) {
				text = fmt.Sprintf("from %s to %s", clock(r.From), clock(r.To))
			}
			texts = append(texts, text)
		}
		fmt.Fprintf(&b, "Top coat, sanding first: begin %s, when what is under it is hard.\n", strings.Join(texts, " or "))
	}
	fmt.Fprintf(&b, "\n%-6s %-8s %-8s %s\n", "hour", "laminate", "top coat", "what stands in the way")
	for i, h := range d.Laminate {
		coat, why := "", h.Reason
		if i < len(d.TopCoat) {
			coat = string(d.TopCoat[i].Verdict)
			if why == "" {
				why = d.TopCoat[i].Reason
			}
		}
		if why == "" {
			why = h.Limit
		}
		fmt.Fprintf(&b, "%-6s %-8s %-8s %s\n", clock(h.Time), h.Verdict, coat, why)
	}
	for _, x := range a.Overrides {
		fmt.Fprintf(&b, "Overridden: %s, because: %s.\n", x.Limit, x.Reason)
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// tellNow says the act first, then the reason, then what would change it.
func tellNow(out io.Writer, o *desk.Outlook, a *programme.Advice) error {
	var b strings.Builder
	zone := o.Zone()
	fmt.Fprintln(&b, a.Act)
	if a.Reason != "" {
		fmt.Fprintf(&b, "  because: %s\n", a.Reason)
	}
	for _, c := range a.Changes {
		fmt.Fprintf(&b, "  what would change it: %s\n", c)
	}
	if a.Plan != nil {
		if a.PAll > 0 {
			fmt.Fprintf(&b, "  chance %s %% to where it may be left; all the rest of the roof with %s %%, finished %s\n", working.Chance(a.PBest),
				working.Chance(a.PAll), a.Plan.Finish.In(zone).Format("Mon 2 Jan 15:04"))
		} else {
			fmt.Fprintf(&b, "  chance %s %% to where it may be left\n", working.Chance(a.PBest))
		}
		for _, s := range a.Plan.Sessions() {
			fmt.Fprintf(&b, "    %-34s %s to %s  %3.0f %%\n", s.Name, s.Start.In(zone).Format("Mon 15:04"), s.End.In(zone).Format("Mon 15:04"),
				100*s.Call.P)
		}
	}
	if a.Result != nil {
		for _, x := range a.Result.Overrides {
			fmt.Fprintf(&b, "  overridden: %s, because: %s\n", x.Limit, x.Reason)
		}
	}
	for _, n := range o.Notes {
		fmt.Fprintf(&b, "  note: %s\n", strings.TrimSuffix(n, "."))
	}
	if o.Credit != "" {
		fmt.Fprintf(&b, "  weather: %s\n", o.Credit)
	}
	_, err := io.WriteString(out, b.String())
	return err
}
