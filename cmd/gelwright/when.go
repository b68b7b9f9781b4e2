package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/spf13/cobra"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/png"
	"gelwright/scene/svg"
)

func whenCommand() *cobra.Command {
	var w weatherFlags
	var asJSON bool
	var calendar, pictures string
	cmd := &cobra.Command{
		Use:   "when ROOF.yaml",
		Short: "When can this roof be done, and how sure is that",
		Long: `When can this roof be done? The stages of the work are laid under the weather of the
coming days: for each day the best start, when the roof is then finished, how likely it
is that every stage holds, and what stands in the way. A single forecast is taken with
an assumed error; an ensemble as it is. Without a forecast, --norms plans from typical
days; with none of these, the hours that the roof file gives for its day are judged.
Limits are the trade's and the data sheet's; --override lifts one on your word.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if w.forecast == "" && !w.fetch && !w.norms {
				return w.dayWritten(cmd, args[0], asJSON)
			}
			o, err := w.lookOut(cmd, args[0], time.Time{})
			if err != nil {
				return err
			}
			r, err := o.prepared.Search(cmd.Context())
			if err != nil {
				return err
			}
			best := r.Sure
			if best == nil {
				best = r.Likeliest
			}
			if calendar != "" && best != nil {
				if err := write(calendar, []byte(calendarOf(o, best))); err != nil {
					return err
				}
			}
			if pictures != "" && best != nil {
				if err := writePictures(o, best, time.Time{}, pictures); err != nil {
					return err
				}
			}
			if asJSON {
				return printJSON(cmd.OutOrStdout(), struct {
					*programme.Result
					Stages []programme.Stage `json:"stages"`
					Notes  []string          `json:"notes,omitempty"`
					Credit string            `json:"credit,omitempty"`
				}{r, o.work.Stages, append(o.notes, o.work.Notes...), o.credit})
			}
			if err := tellWhen(cmd.OutOrStdout(), o, r); err != nil {
				return err
			}
			if best == nil {
				return coded{exitNo, fmt.Errorf("no time is found for %s", o.job.Name)}
			}
			return nil
		},
	}
	w.add(cmd)
	f := cmd.Flags()
	f.StringVar(&w.from, "from", "", "first day, 2026-05-31; the job's date otherwise")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&calendar, "ics", "", "write the best plan as a calendar file")
	f.StringVar(&pictures, "out", "", "folder for the day sheets and the fortnight view")
	return cmd
}

// dayWritten judges the hours of the roof file's own day.
func (w *weatherFlags) dayWritten(cmd *cobra.Command, path string, asJSON bool) error {
	job, err := readRoof(path, cmd.InOrStdin(), cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	if len(job.Day.Hours) == 0 {
		return errNoWeather
	}
	firm, err := readFirm(w.firm, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	in := inputOf(job, firm)
	p, err := plan.Make(cmd.Context(), in)
	if err != nil {
		return err
	}
	zone, err := time.LoadLocation(p.Job.Site.TimeZone)
	if err != nil {
		return coded{exitFaults, fmt.Errorf("site.time_zone: %q is not known. Write a name such as Europe/London", p.Job.Site.TimeZone)}
	}
	overrides, err := overridesOf(w.overrides)
	if err != nil {
		return err
	}
	if w.people > 0 {
		p.Job.Crew.People = w.people
	}
	work, err := works.Of(cmd.Context(), p, in.Catalogue, ratesOf(firm), w.people)
	if err != nil {
		return err
	}
	area := 0.0
	for i := range p.Passes {
		if p.Passes[i].Kind == "mat" && p.Passes[i].Layer == 1 {
			area += p.Passes[i].AreaM2
		}
	}
	d, err := works.DayWritten(cmd.Context(), &p.Job, work, area, zone, overrides)
	if err != nil {
		return err
	}
	if d == nil {
		return errNoWeather
	}
	if asJSON {
		return printJSON(cmd.OutOrStdout(), d)
	}
	return tellWritten(cmd.OutOrStdout(), &p.Job, d, overrides, zone)
}

// tellWritten prints the hours of the roof file's day.
func tellWritten(out io.Writer, j *roof.Job, d *works.Written, overrides []programme.Override, zone *time.Location) error {
	var b strings.Builder
	clock := func(t time.Time) string { return t.In(zone).Format("15:04") }
	fmt.Fprintf(&b, "%s, %s, by the hours that the roof file gives\n", j.Name, j.Date)
	switch {
	case d.AreaM2 == 0:
		fmt.Fprintf(&b, "Laminate: not on this day, for %s. Choose another day, or shelter and warm it and override with a reason.\n", d.Ends)
	case d.AreaM2 < d.AllM2-0.01:
		fmt.Fprintf(&b, "Laminate from %s to %s, when %s: %d people lay %.0f of %.0f m². Take %d people, two sessions with a day joint at the end of a strip, or shade.\n",
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
	for _, x := range overrides {
		fmt.Fprintf(&b, "Overridden: %s, because: %s.\n", x.Limit, x.Reason)
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func printJSON(w io.Writer, v any) error {
	raw, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(w, string(raw))
	return err
}

// tellWhen prints the answer for people.
func tellWhen(out io.Writer, o *outlook, r *programme.Result) error {
	var b strings.Builder
	zone := o.prepared.Zone()
	day := func(t time.Time) string { return t.In(zone).Format("Mon 2 Jan 15:04") }
	fmt.Fprintf(&b, "%s\n", o.job.Name)
	switch {
	case r.Impossible != nil:
		fmt.Fprintf(&b, "On no day: %v\n", r.Impossible)
	case o.norms && r.Likeliest != nil:
		fmt.Fprintf(&b, "There is no forecast. On dry days usual for the season: begin %s, finished %s. Rain is not counted: look again with a forecast.\n", day(r.Likeliest.Begin), day(r.Likeliest.Finish))
	case r.Members == 1 && r.Likeliest != nil:
		fmt.Fprintf(&b, "In the one course of the weather given: begin %s, finished %s.\n", day(r.Likeliest.Begin), day(r.Likeliest.Finish))
	case r.Sure != nil:
		fmt.Fprintf(&b, "Begin %s, finished %s: every stage holds with %.0f %%.\n", day(r.Sure.Begin), day(r.Sure.Finish), 100*r.Sure.P)
	case r.Likeliest != nil:
		fmt.Fprintf(&b, "Nothing is sure to %.0f %%. Likeliest: begin %s, finished %s, %.0f %%.\n", 100*r.Target, day(r.Likeliest.Begin), day(r.Likeliest.Finish), 100*r.Likeliest.P)
	default:
		fmt.Fprintf(&b, "No time is found: %s.\n", r.Blocked)
	}
	best := r.Sure
	if best == nil {
		best = r.Likeliest
	}
	if best != nil {
		if r.Sure == nil && !r.HalfBy.IsZero() {
			fmt.Fprintf(&b, "A crew that moves its days with the weather can be finished by %s in half of the courses", day(r.HalfBy))
			if !r.MostBy.IsZero() {
				fmt.Fprintf(&b, ", by %s in nine of ten", day(r.MostBy))
			}
			fmt.Fprintf(&b, ", if it chooses each day rightly.\n")
		}
		if !o.norms && r.Members > 1 {
			fmt.Fprintf(&b, "A crew that waits for the hour finishes in %.0f %%, stops with nothing spoiled in %.0f %%, loses work in %.0f %% of the courses.\n",
				100*best.Rehearsed.Finished, 100*best.Rehearsed.Stopped, 100*best.Rehearsed.Spoiled)
		}
		fmt.Fprintf(&b, "\n%-34s %-17s %-17s %-13s %5s\n", "stage", "from", "to", "latest start", "holds")
		for _, s := range best.Sessions() {
			fmt.Fprintf(&b, "%-34s %-17s %-17s %-13s %4.0f %%\n", s.Name, day(s.Start), day(s.End), s.Latest.In(zone).Format("15:04"), 100*s.P)
			if s.Again != "" {
				fmt.Fprintf(&b, "    %s\n", s.Again)
			}
			if !s.SafeByLate.IsZero() {
				fmt.Fprintf(&b, "    safe from rain and dew by %s, %s at the latest\n", s.SafeBy.In(zone).Format("15:04"), s.SafeByLate.In(zone).Format("15:04"))
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
	for _, n := range append(append([]string(nil), o.notes...), o.work.Notes...) {
		fmt.Fprintf(&b, "Note: %s.\n", strings.TrimSuffix(n, "."))
	}
	if o.credit != "" {
		fmt.Fprintf(&b, "Weather: %s\n", o.credit)
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// stampOf is the date that files bear: the job's, never the clock's.
func stampOf(o *outlook, p *programme.Plan) time.Time {
	stamp, err := time.Parse("2006-01-02", o.job.Date)
	if err != nil {
		return p.Begin
	}
	return stamp
}

// calendarOf writes a plan as iCalendar (RFC 5545). Stamps bear the job's date, so
// that the same plan is the same file.
func calendarOf(o *outlook, p *programme.Plan) string {
	cal := ics.NewCalendarFor("gelwright")
	cal.SetMethod(ics.MethodPublish)
	stamp := stampOf(o, p)
	for i, s := range p.Sessions() {
		e := cal.AddEvent(fmt.Sprintf("%d-%s-%s@gelwright", i+1, strings.ReplaceAll(s.Key, " ", "-"), p.Begin.UTC().Format("20060102T1504")))
		e.SetDtStampTime(stamp)
		e.SetStartAt(s.Start)
		e.SetEndAt(s.End)
		e.SetSummary(fmt.Sprintf("%s: %s", o.job.Name, s.Name))
		text := fmt.Sprintf("Holds with %.0f %%. Start between %s and %s.", 100*s.P, s.Earliest.In(o.prepared.Zone()).Format("15:04"), s.Latest.In(o.prepared.Zone()).Format("15:04"))
		if s.Hold != "" {
			text += " Before it: " + s.Hold + "."
		}
		if s.Again != "" {
			text += " " + s.Again + "."
		}
		if !s.SafeByLate.IsZero() {
			text += fmt.Sprintf(" Keep dry until %s.", s.SafeByLate.In(o.prepared.Zone()).Format("15:04"))
		}
		e.SetDescription(text)
		if o.job.Site.Name != "" {
			e.SetLocation(o.job.Site.Name)
		}
	}
	return cal.Serialize()
}

// writePictures draws the days of a plan and the fortnight.
func writePictures(o *outlook, p *programme.Plan, now time.Time, dir string) error {
	days := len(wetDays(o, p)) + 1
	sheets, phones, err := picturesOf(o, p, now, 1, days)
	if err != nil {
		return err
	}
	for i, s := range sheets {
		name := fmt.Sprintf("wet-day-%d", i+1)
		if i == len(sheets)-1 {
			name = "fortnight"
		}
		raw, err := pdf.Bytes(stampOf(o, p), s.Scene.Title, s.Scene)
		if err != nil {
			return err
		}
		if err := write(filepath.Join(dir, name+".pdf"), raw); err != nil {
			return err
		}
		if err := write(filepath.Join(dir, name+".svg"), svg.Bytes(s.Scene, svg.Options{})); err != nil {
			return err
		}
	}
	for i, s := range phones {
		raw, err := png.Bytes(s, 10)
		if err != nil {
			return err
		}
		if err := write(filepath.Join(dir, fmt.Sprintf("wet-day-%d-phone.png", i+1)), raw); err != nil {
			return err
		}
	}
	return nil
}

// mostDays is how many wet days get a sheet of their own.
const mostDays = 10

// wetDays lists the days of a plan that have wet work, each by its first slot.
func wetDays(o *outlook, p *programme.Plan) []time.Time {
	var days []time.Time
	seen := map[string]bool{}
	for _, s := range p.Slots {
		key := s.Start.In(o.prepared.Zone()).Format("2006-01-02")
		if !s.Kind.Wet() || seen[key] || len(days) >= mostDays {
			continue
		}
		seen[key] = true
		days = append(days, s.Start)
	}
	return days
}

// picturesOf draws a sheet and a phone picture for each day with wet work, and the
// fortnight as the last sheet; the first bears number first of of.
func picturesOf(o *outlook, p *programme.Plan, now time.Time, first, of int) ([]*drawing.Sheet, []*scene.Scene, error) {
	var sheets []*drawing.Sheet
	var phones []*scene.Scene
	for i, start := range wetDays(o, p) {
		d, err := o.prepared.DayOf(p, start)
		if err != nil {
			return nil, nil, err
		}
		d.Now = now
		s, err := drawing.DaySheet(drawing.TitleOf(&o.job, "The day: "+d.From.In(o.prepared.Zone()).Format("Monday 2 January"), first+i, of), d)
		if err != nil {
			return nil, nil, err
		}
		sheets = append(sheets, s)
		phones = append(phones, drawing.DayPhone(o.job.Name, d))
	}
	f, err := fortnightOf(o, first+len(sheets), of)
	if err != nil {
		return nil, nil, err
	}
	return append(sheets, f), phones, nil
}

// fortnightOf draws laminating and top-coating hours side by side.
func fortnightOf(o *outlook, sheet, of int) (*drawing.Sheet, error) {
	var rows []drawing.Outlook
	for _, kind := range []programme.Kind{programme.Laminate, programme.TopCoat} {
		for i, s := range o.work.Stages {
			if s.Kind != kind {
				continue
			}
			hours, err := o.prepared.Hours(i)
			if err != nil {
				return nil, err
			}
			rows = append(rows, drawing.Outlook{Work: string(kind), Hours: hours})
			break
		}
	}
	return drawing.Fortnight(drawing.TitleOf(&o.job, "Fortnight: go, wait, no-go by the hour", sheet, of), rows, o.prepared.Zone())
}
