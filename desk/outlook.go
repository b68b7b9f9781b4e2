package desk

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"gelwright/check"
	"gelwright/laying"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/steps"
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

	// ask is what the programme is asked, prepared the weather worked out for it.
	ask      programme.Input
	prepared *programme.Prepared
	zone     *time.Location
	// input made the plan whose work is laid under the weather; passes are the keys of its wet passes.
	input  plan.Input
	passes []string
	// usual are the hours of work that the programme was prepared for.
	usual programme.Hours
	// anyDayFrom is set where the days were asked for whatever the job's date is.
	anyDayFrom string
}

// LookOut plans a roof and lays its stages under a forecast.
func LookOut(ctx context.Context, g Given, f weather.Forecast, look Look) (*Outlook, error) {
	o, err := lookOut(ctx, g, f, look, shelves{})
	if err != nil {
		return nil, err
	}
	return o, o.prepare(ctx)
}

// shelves keep what several roofs under one forecast have in common; nil keeps nothing.
type shelves struct {
	works, skies, decks *steps.Cache
	taking              *sync.Mutex // held while a deck is taken; nil where none are kept
	// worked is the roof, where it is known already; where it is alone, nothing is asked that Given is needed for.
	worked *Worked
	alone  bool
}

// workedFor is the roof as stages for a look, and the input of its plan, which is empty where the stages are all that is needed.
func workedFor(ctx context.Context, g Given, look Look, kept shelves) (*Worked, plan.Input, error) {
	if kept.worked != nil && kept.alone {
		return kept.worked, plan.Input{}, nil
	}
	in, err := g.Input()
	if err != nil || kept.worked != nil {
		return kept.worked, in, err
	}
	w, err := workedOut(ctx, in, g.rates(), look.People, kept.works)
	return w, in, err
}

// lookOut is LookOut up to where the weather is worked out for the stages.
func lookOut(ctx context.Context, g Given, f weather.Forecast, look Look, kept shelves) (*Outlook, error) {
	w, in, err := workedFor(ctx, g, look, kept)
	if err != nil {
		return nil, err
	}
	if look.People > 0 {
		in.Job.Crew.People = look.People
	}
	o := &Outlook{Job: w.Job, input: in, passes: w.Passes}
	if look.From != w.Job.Date {
		o.anyDayFrom = look.From
	}
	if w.Cup != "" {
		o.Notes = append(o.Notes, w.Cup)
	}
	site, err := SiteOf(&o.Job)
	if err != nil {
		return nil, err
	}
	o.zone = site.Zone
	s, err := skyOver(ctx, &o.Job, f, site, look, kept.skies)
	if err != nil {
		return nil, err
	}
	o.Credit, o.Norms, o.Notes = s.Credit, s.Members[0].Norms, append(o.Notes, s.notes...)
	if w.Fault != nil {
		return nil, w.Fault
	}
	work := *w.Work
	for d, off := range look.Rest {
		work.Hours.Off[d] = work.Hours.Off[d] || off
	}
	o.Work, o.usual = &work, work.Hours
	on, err := s.onDeck(ctx, &o.Job, site, kept)
	if err != nil {
		return nil, err
	}
	o.ask = programme.Input{Stages: work.Stages, Members: on.courses, Common: &on.common, Drawn: s.Invented, Site: site, Hours: work.Hours,
		Target: look.Target, Overrides: look.Overrides, Sheeted: sheeted(&o.Job, look)}
	o.Notes = append(o.Notes, sheeting(o.ask.Sheeted))
	if by := o.Job.Work.FinishBy; by != "" {
		if d, err := time.ParseInLocation(time.DateOnly, by, site.Zone); err == nil {
			o.ask.FinishBy = d.AddDate(0, 0, 1)
		}
	}
	return o, nil
}

// prepare works the weather out for the stages.
func (o *Outlook) prepare(ctx context.Context) error {
	var err error
	o.prepared, err = programme.Prepare(ctx, o.ask)
	return as(Asked, err)
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

// Zone is the roof's time zone.
func (o *Outlook) Zone() *time.Location { return o.zone }

// DayOf is the day of a plan's work that begins at start.
func (o *Outlook) DayOf(p *programme.Plan, start time.Time) (*programme.Day, error) {
	return o.prepared.DayOf(p, start)
}

// Hours judges every whole hour for the work of a stage.
func (o *Outlook) Hours(stage int) ([]programme.Hour, error) { return o.prepared.Hours(stage) }
