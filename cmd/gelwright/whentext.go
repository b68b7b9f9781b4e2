package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/programme"
)

// tellWhen prints the answer for people.
func tellWhen(out io.Writer, o *desk.Outlook, r *desk.When) error {
	var b strings.Builder
	zone := o.Zone()
	day := func(t time.Time) string { return t.In(zone).Format("Mon 2 Jan 15:04") }
	fmt.Fprintf(&b, "%s\n", o.Job.Name)
	switch {
	case r.Impossible != nil:
		fmt.Fprintf(&b, "On no day: %v\n", r.Impossible)
	case o.Norms && r.Likeliest != nil:
		fmt.Fprintf(&b, "There is no forecast. On dry days usual for the season: begin %s, finished %s. Rain is not counted: look again with "+
			"a forecast.\n", day(r.Likeliest.Begin), day(r.Likeliest.Finish))
	case r.Members == 1 && r.Likeliest != nil:
		fmt.Fprintf(&b, "In the one course of the weather given: begin %s, finished %s.\n", day(r.Likeliest.Begin), day(r.Likeliest.Finish))
	case r.Sure != nil:
		fmt.Fprintf(&b, "Begin %s, finished %s: every stage holds with %.0f %%.\n", day(r.Sure.Begin), day(r.Sure.Finish), 100*r.Sure.P)
	case r.Likeliest != nil:
		fmt.Fprintf(&b, "Nothing is sure to %.0f %%. Likeliest: begin %s, finished %s, %.0f %%.\n", 100*r.Target, day(r.Likeliest.Begin),
			day(r.Likeliest.Finish), 100*r.Likeliest.P)
	default:
		fmt.Fprintf(&b, "No time is found: %s.\n", r.Blocked)
	}
	best := r.Best()
	if best != nil {
		if r.Sure == nil && !r.HalfBy.IsZero() {
			fmt.Fprintf(&b, "A crew that moves its days with the weather can be finished by %s in half of the courses", day(r.HalfBy))
			if !r.MostBy.IsZero() {
				fmt.Fprintf(&b, ", by %s in nine of ten", day(r.MostBy))
			}
			fmt.Fprintf(&b, ", if it chooses each day rightly.\n")
		}
		if !o.Norms && r.Members > 1 {
			fmt.Fprintf(&b, "A crew that waits for the hour finishes in %.0f %%, stops with nothing spoiled in %.0f %%, loses work in %.0f %% of "+
				"the courses.\n",
				100*best.Rehearsed.Finished, 100*best.Rehearsed.Stopped, 100*best.Rehearsed.Spoiled)
		}
		fmt.Fprintf(&b, "\n%-34s %-17s %-17s %-13s %5s\n", "stage", "from", "to", "latest start", "holds")
		for _, s := range best.Sessions() {
			fmt.Fprintf(&b, "%-34s %-17s %-17s %-13s %4.0f %%\n", s.Name, day(s.Start), day(s.End), s.Latest.In(zone).Format("15:04"), 100*s.P)
			if s.Again != "" {
				fmt.Fprintf(&b, "    %s\n", s.Again)
			}
			if !s.SafeByLate.IsZero() {
				fmt.Fprintf(&b, "    safe from rain and dew by %s, %s at the latest\n", s.SafeBy.In(zone).Format("15:04"),
					s.SafeByLate.In(zone).Format("15:04"))
			}
		}
		for _, n := range best.Notes {
			fmt.Fprintf(&b, "  %s\n", n)
		}
	}
	if len(r.Days) > 0 {
		fmt.Fprintf(&b, "\n%-12s %-7s %-17s %6s  %s\n", "day", "begin", "finished", "holds", "what stands in the way")
		for _, d := range r.Days {
			name := d.Day.In(zone).Format("Mon 2 Jan")
			if d.Plan == nil {
				fmt.Fprintf(&b, "%-12s %-7s %-17s %6s  %s\n", name, "no", "", "", d.Why)
				continue
			}
			way := ""
			if w := d.Plan.Slots[d.Plan.Weakest]; w.P < 1 {
				way = fmt.Sprintf("%s, %s: %.0f %%", w.Name, w.Start.In(zone).Format("Mon 15:04"), 100*w.P)
			}
			fmt.Fprintf(&b, "%-12s %-7s %-17s %4.0f %%  %s\n", name, d.Plan.Begin.In(zone).Format("15:04"), day(d.Plan.Finish), 100*d.Plan.P, way)
		}
	}
	if len(r.Frontier) > 1 {
		fmt.Fprintf(&b, "\nsooner or surer:\n")
		for _, p := range r.Frontier {
			fmt.Fprintf(&b, "  begin %s, finished %s: %.0f %%\n", day(p.Begin), day(p.Finish), 100*p.P)
		}
	}
	if !r.Proven {
		fmt.Fprintf(&b, "Good, not proven: no plan can hold in more than %.0f %% of the courses.\n", 100*r.Bound)
	}
	for _, x := range r.Overrides {
		fmt.Fprintf(&b, "Overridden: %s, because: %s.\n", x.Limit, x.Reason)
	}
	for _, n := range r.Notes {
		fmt.Fprintf(&b, "Note: %s.\n", strings.TrimSuffix(n, "."))
	}
	if o.Credit != "" {
		fmt.Fprintf(&b, "Weather: %s\n", o.Credit)
	}
	_, err := io.WriteString(out, b.String())
	return err
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
		fmt.Fprintf(&b, "  all holds with %.0f %%; finished %s\n", 100*a.PBest, a.Plan.Finish.In(zone).Format("Mon 2 Jan 15:04"))
		for _, s := range a.Plan.Sessions() {
			fmt.Fprintf(&b, "    %-34s %s to %s  %3.0f %%\n", s.Name, s.Start.In(zone).Format("Mon 15:04"), s.End.In(zone).Format("Mon 15:04"),
				100*s.P)
		}
	}
	if a.Result != nil {
		for _, x := range a.Result.Overrides {
			fmt.Fprintf(&b, "  overridden: %s, because: %s\n", x.Limit, x.Reason)
		}
	}
	if o.Credit != "" {
		fmt.Fprintf(&b, "  weather: %s\n", o.Credit)
	}
	_, err := io.WriteString(out, b.String())
	return err
}
