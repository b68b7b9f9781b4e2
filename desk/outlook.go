package desk

import (
	"context"
	"fmt"
	"strings"
	"time"

	"gelwright/check"
	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/weather"
)

// Outlook is a roof laid under its weather, ready to be asked.
type Outlook struct {
	Job roof.Job
	// Work is the roof as stages.
	Work *works.Work
	// Credit names who made the forecast; Notes say what was assumed of it.
	Credit string
	Notes  []string
	// Norms is set where typical days stand in for a forecast.
	Norms bool

	prepared *programme.Prepared
	zone     *time.Location
	// input made the plan whose work is laid under the weather.
	input plan.Input
	made  *plan.Plan
	// usual are the hours of work that the programme was prepared for.
	usual programme.Hours
	// anyDayFrom is set where the days were asked for whatever the job's date is.
	anyDayFrom string
}

// LookOut plans a roof and lays its stages under a forecast.
func LookOut(ctx context.Context, g Given, f weather.Forecast, look Look) (*Outlook, error) {
	in, err := g.Input()
	if err != nil {
		return nil, err
	}
	o, err := outlookOf(ctx, in, look)
	if err != nil {
		return nil, err
	}
	p := o.made
	site, err := SiteOf(&p.Job)
	if err != nil {
		return nil, err
	}
	o.zone = site.Zone
	if err = doubt(&f, site, look); err != nil {
		return nil, err
	}
	if f, err = f.Fill(site); err != nil {
		return nil, as(Faulty, err)
	}
	f = o.corrected(backTo(f, look.Since), site, look)
	from, to, err := stretch(&p.Job, &f, site.Zone, look)
	if err != nil {
		return nil, err
	}
	if f, err = o.courses(f, from, to, look); err != nil {
		return nil, err
	}
	if o.Work, err = works.Of(ctx, p, &in, g.rates(), look.People); err != nil {
		return nil, err
	}
	for d, off := range look.Rest {
		o.Work.Hours.Off[d] = o.Work.Hours.Off[d] || off
	}
	surface, _ := works.SurfaceOf(&p.Job, site)
	courses, err := works.Courses(ctx, f, surface, from, to)
	if err != nil {
		return nil, err
	}
	ask := programme.Input{Stages: o.Work.Stages, Members: courses, Drawn: f.Invented, Site: site, Hours: o.Work.Hours,
		Target: look.Target, Overrides: look.Overrides, Sheeted: sheeted(&p.Job, look)}
	o.Notes = append(o.Notes, sheeting(ask.Sheeted))
	if by := p.Job.Work.FinishBy; by != "" {
		if d, err := time.ParseInLocation(time.DateOnly, by, site.Zone); err == nil {
			ask.FinishBy = d.AddDate(0, 0, 1)
		}
	}
	o.usual = ask.Hours
	if o.prepared, err = programme.Prepare(ctx, ask); err != nil {
		return nil, as(Asked, err)
	}
	return o, nil
}

// outlookOf makes the plan whose work is laid under the weather, for the crew that is asked
// about. Its buckets are made anew when their hours are known.
func outlookOf(ctx context.Context, in plan.Input, look Look) (*Outlook, error) {
	if look.People > 0 {
		in.Job.Crew.People = look.People
	}
	first := in
	first.Weigh = false
	p, err := plan.Make(ctx, first)
	if err != nil {
		return nil, err
	}
	o := &Outlook{Job: p.Job, input: in, made: p}
	if look.From != p.Job.Date {
		o.anyDayFrom = look.From
	}
	if text := askCup(p); text != "" {
		o.Notes = append(o.Notes, text)
	}
	return o, nil
}

// askCup asks for the test cups that a plan asks for, before anything else is said of its days;
// empty where it asks for none.
func askCup(p *plan.Plan) string {
	for _, r := range p.Checks {
		if r.Key != laying.CupKey || r.Verdict != check.Ask || len(r.Remedies) == 0 {
			continue
		}
		var flags []string
		for _, c := range [][2]string{{"day.cup", "--cup"}, {"day.coat_cup", "--coat-cup"}} {
			if strings.Contains(r.Remedies[0].Text, c[0]) {
				flags = append(flags, c[1])
			}
		}
		return fmt.Sprintf("time a test cup of today's resin first (%s '29 min at 15 C, 2 %%'): its brand is not known, so hours in which the "+
			"fastest of any could not be laid are shut; a cup opens those in which today's can, and where it tells of a slow one it closes "+
			"evening hours in which that would not be safe in time", strings.Join(flags, ", "))
	}
	return ""
}

// sheeted reports whether bare boards lie under sheets, on the word of the roof file or of whoever asks.
func sheeted(j *roof.Job, look Look) bool { return look.Sheeted || j.Work.Sheeted }

// sheeting says how bare boards are taken to lie.
func sheeting(sheeted bool) string {
	if sheeted {
		return "bare boards are taken to be sheeted whenever nobody works on them, on your word"
	}
	return "bare boards are taken to lie open: after rain they are not worked on until they are dry to 18 %, by their model; sheet them " +
		"(--sheeted, or sheeted: true under work in the roof file), or read a meter and lift the limit with its figure " +
		"(--override 'moisture of the boards: meter reads 15 %')"
}

// stretch is from when to when the weather is looked at.
func stretch(j *roof.Job, f *weather.Forecast, zone *time.Location, look Look) (from, to time.Time, err error) {
	if from, err = begin(j, f, zone, look); err != nil {
		return from, to, err
	}
	to = from.AddDate(0, 0, look.Days)
	if look.At.After(from) {
		to = look.At.AddDate(0, 0, look.Days)
	}
	if end := f.Members[0].End(); end.Before(to) {
		to = end
	}
	if !from.Before(to) {
		day := func(t time.Time) string { return t.Format(time.DateOnly) }
		remedy := "Begin on another day"
		if !look.At.IsZero() {
			remedy = "Give a forecast that holds it"
		}
		return from, to, faulty("", remedy, "the weather runs from %s to %s, nothing is left from %s on",
			day(f.Members[0].Start), day(f.Members[0].End()), day(from))
	}
	return from, to, nil
}

// courses makes courses of the weather round a single forecast and takes no more than can
// be searched; it keeps the forecast's notes and credit.
func (o *Outlook) courses(f weather.Forecast, from, to time.Time, look Look) (weather.Forecast, error) {
	issued, courses := f.Issued, look.Courses
	if issued.IsZero() {
		issued = from
		if look.At.After(from) {
			day := look.At.In(o.zone)
			issued = time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, o.zone)
		}
	}
	if len(f.Members) == 1 && courses > 1 && !f.Members[0].Norms {
		notes, credit := f.Notes, f.Credit
		single := f.Members[0].Part(from.Add(-24*time.Hour), to)
		var err error
		if f, err = single.Members(issued, min(courses, programme.MostMembers), look.errors()); err != nil {
			return f, as(Asked, err)
		}
		f.Notes, f.Credit = append(notes, f.Notes...), credit
	}
	if len(f.Members) > programme.MostMembers {
		o.Notes = append(o.Notes, fmt.Sprintf("the first %d of %d members are used", programme.MostMembers, len(f.Members)))
		f.Members = f.Members[:programme.MostMembers]
	}
	o.Credit, o.Norms = f.Credit, f.Members[0].Norms
	o.Notes = append(append(o.Notes, f.Notes...), f.Members[0].Notes...)
	return f, nil
}

// Zone is the roof's time zone.
func (o *Outlook) Zone() *time.Location { return o.zone }

// DayOf is the day of a plan's work that begins at start.
func (o *Outlook) DayOf(p *programme.Plan, start time.Time) (*programme.Day, error) {
	return o.prepared.DayOf(p, start)
}

// Hours judges every whole hour for the work of a stage.
func (o *Outlook) Hours(stage int) ([]programme.Hour, error) { return o.prepared.Hours(stage) }
