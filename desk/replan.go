package desk

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"gelwright/programme"
	"gelwright/roof"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/working"
)

// Planned is a roof with what stands for it in the office's calendar. Nothing of its work is done yet: of a roof under way
// Now is asked.
type Planned struct {
	Given
	// Worked is the roof as the stages of its work, where it was kept from another morning; nil has it made from Given. With it and
	// SeekNothing Given may stay empty. It must be of the crew that the morning's look asks for.
	Worked *Worked
	// Starts of all stages that stand, as the last answer told them (Replanned.Starts); none where
	// nothing was told yet.
	Starts []programme.Fixed
	// Day on which the office has fixed the beginning, "2026-05-14"; empty for none. Starts that begin
	// on another day stand no longer.
	Day string
	// Was is the chance that was told of it last, 0 to 1; 0 for none.
	Was float64
	// Seek is what is looked for in the place of what does not stand.
	Seek Seek
}

// Seek is what is looked for in the place of a programme that does not stand. The less it is the sooner all roofs
// are answered.
type Seek int

const (
	// SeekBest looks for the best programme as When finds it.
	SeekBest Seek = iota
	// SeekSure looks for one that may be begun, as sure as is wanted, and no other: done on the same day as the sure
	// one of When, and no less likely. Best is without days and without likelier ones that are not sure.
	SeekSure
	// SeekNothing judges what stands; Best is nil whatever falls.
	SeekNothing
)

// Standing is what has become of what was planned of a roof.
type Standing string

const (
	// Holds: all of it holds with the chance that is wanted, and in the forecast itself.
	Holds Standing = "holds"
	// HoldsSoFar: what of it the weather reaches does; the rest lies behind.
	HoldsSoFar Standing = "holds so far"
	// Falls: it does not hold with the chance that is wanted.
	Falls Standing = "falls"
	// Beyond: the weather does not reach it yet.
	Beyond Standing = "beyond"
	// Behind: its first start has gone by.
	Behind Standing = "behind"
	// Changed: roof or crew have other stages than were planned.
	Changed Standing = "changed"
	// Unplanned: nothing is fixed.
	Unplanned Standing = "unplanned"
)

// Replanned is what a morning's forecast says of one roof.
type Replanned struct {
	Name   string   `json:"name"`
	Stands Standing `json:"stands"`
	// Was is the chance that was told last; P that of what was planned now, 0 to 1, of so much of it
	// as the weather reaches; Next that of its first stretch of work alone, to the first place where it
	// may be left. P and Next are 0 where there is nothing to judge.
	Was    float64 `json:"p_was,omitempty"`
	P      float64 `json:"p"`
	Next   float64 `json:"p_next"`
	Target float64 `json:"target"`
	// Against says what stands most against what was planned; empty where it holds.
	Against string `json:"against,omitempty"`
	// Planned is what was planned, judged by this weather; nil where there was nothing to judge. Left is how
	// many of its last stages the weather does not reach.
	Planned *programme.Plan `json:"planned,omitempty"`
	Left    int             `json:"stages_left,omitempty"`
	// Best is the answer of When, its buckets made, where what was planned does not stand; nil where it does,
	// and where nothing was searched for.
	Best *When `json:"best,omitempty"`

	// Zone is the roof's time zone.
	Zone *time.Location `json:"-"`
	// Fault says why there is no answer, where Replan was asked of several roofs.
	Fault error `json:"-"`

	starts []programme.Fixed
}

// Starts are those that stand from now on: what was planned where it holds or cannot be judged yet, and until
// something is searched for, or else those of the best programme; none where there is none.
func (r *Replanned) Starts() []programme.Fixed {
	if r.Best == nil {
		return r.starts
	}
	if best := r.Best.Best(); best != nil {
		return best.Fixed()
	}
	return nil
}

// Chance is that of the whole of what stands from now on, 0 to 1; what was told last where that cannot be judged.
func (r *Replanned) Chance() float64 {
	switch {
	case r.Best == nil && r.Planned == nil:
		return r.Was
	case r.Best == nil:
		return r.P
	}
	if best := r.Best.Best(); best != nil {
		return best.P
	}
	return 0
}

// Shared keeps the roofs of many re-plans as the stages of their work, from one morning to the next: they
// follow from roof, firm and gels alone, and a roof that is kept is not set out again. It is safe for
// concurrent use.
type Shared struct{ works *steps.Cache }

// NewShared keeps so many roofs, those that were asked for longest ago are forgotten first. One takes some
// 50 kB.
func NewShared(roofs int) *Shared { return &Shared{steps.NewCache(roofs)} }

// Morning re-plans roofs under one forecast. What roofs of one place and build-up have in common of it is
// worked out once. It is safe for concurrent use; roofs of one place are best asked about one after another.
type Morning struct {
	forecast weather.Forecast
	look     Look
	kept     shelves
}

// How many weathers are kept of a morning: filled for a place, and laid on a deck, some 8 MB each.
const (
	keptSkies = 16
	keptDecks = 8
)

// NewMorning is a morning with its forecast, which is not to be changed afterwards. The look says how closely
// the days are looked at; its From is the morning's day, that of the forecast's beginning where it is empty.
// shared may be nil.
func NewMorning(f weather.Forecast, look Look, shared *Shared) *Morning {
	m := &Morning{forecast: f, look: look}
	m.kept = shelves{skies: steps.NewCache(keptSkies), decks: steps.NewCache(keptDecks), taking: &sync.Mutex{}}
	if shared != nil {
		m.kept.works = shared.works
	}
	return m
}

// Replan answers what has become of a roof's plan. Starts that stand are judged by the weather and nothing is
// searched for where they hold: chances and reasons are those that a search tells of a plan with these starts.
// Where they fall, or where there are none, the answer is that of LookOut and When. Buckets of starts that hold
// are not made: their papers make them. An error is a fault of the roof or the weather.
func (m *Morning) Replan(ctx context.Context, p Planned) (*Replanned, error) {
	look, err := m.lookAt(&p)
	if err != nil {
		return nil, err
	}
	kept := m.kept
	kept.worked, kept.alone = p.Worked, p.Seek == SeekNothing
	o, err := lookOut(ctx, p.Given, m.forecast, look, kept)
	if err != nil {
		return nil, err
	}
	r := &Replanned{Name: o.Job.Name, Was: p.Was, Target: look.Target, Zone: o.zone, Stands: Unplanned}
	starts, day := p.fixed(o.zone)
	if len(starts) > 0 {
		err = o.stands(ctx, r, starts)
	} else if day != "" {
		r.Stands, err = o.dayAmong(day)
	}
	if err != nil || r.answered() || p.Seek == SeekNothing {
		return r, err
	}
	if r.Stands != Unplanned {
		day = "" // it has gone by, or its starts have fallen
	}
	return r, o.seek(ctx, r, p.Seek, day)
}

// lookAt is the look of the morning at a roof.
func (m *Morning) lookAt(p *Planned) (Look, error) {
	look := m.look
	if look.From != "" || len(m.forecast.Members) == 0 {
		return look, nil
	}
	site, err := SiteOf(p.roof())
	if err != nil {
		return look, err
	}
	look.From = m.forecast.Members[0].Start.In(site.Zone).Format(time.DateOnly)
	return look, nil
}

// roof is the job, as it was worked out where that is known.
func (p *Planned) roof() *roof.Job {
	if p.Worked != nil {
		return &p.Worked.Job
	}
	return &p.Job
}

// fixed are the starts that stand, or else the day that does.
func (p *Planned) fixed(zone *time.Location) (starts []programme.Fixed, day string) {
	if len(p.Starts) > 0 && (p.Day == "" || p.Starts[0].Start.In(zone).Format(time.DateOnly) == p.Day) {
		return p.Starts, ""
	}
	return nil, p.Day
}

// answered reports whether nothing is to be looked for: what was planned stands, or cannot be judged yet.
func (r *Replanned) answered() bool {
	return r.Stands == Holds || r.Stands == HoldsSoFar || r.Stands == Beyond
}

// seek looks for a programme in the place of what does not stand, and by it judges a day on which the beginning is fixed.
func (o *Outlook) seek(ctx context.Context, r *Replanned, what Seek, day string) error {
	var err error
	if o.prepared == nil {
		if err = o.prepare(ctx); err != nil {
			return err
		}
	}
	if what == SeekSure && day == "" {
		r.Best, err = o.sure(ctx)
	} else {
		r.Best, err = o.When(ctx)
	}
	if err != nil {
		return err
	}
	if r.Target = r.Best.Target; day != "" {
		o.standsOn(r, day)
	}
	return nil
}

// dayAmong tells of a day whether the weather reaches it: Behind, Beyond, or Unplanned for a day to be looked at.
func (o *Outlook) dayAmong(text string) (Standing, error) {
	day, err := time.ParseInLocation(time.DateOnly, text, o.zone)
	moments := o.ask.Members[0]
	switch {
	case err != nil:
		return Unplanned, wrong("day", "Write 2026-05-31", "%q is no date", text)
	case day.AddDate(0, 0, 1).Before(moments[0].Time.Add(time.Second)):
		return Behind, nil
	case day.After(moments[len(moments)-1].Time):
		return Beyond, nil
	}
	return Unplanned, nil
}

// stands judges starts that stand.
func (o *Outlook) stands(ctx context.Context, r *Replanned, starts []programme.Fixed) error {
	r.starts = starts
	if err := o.prepare(ctx); err != nil {
		return err
	}
	plan, left, err := o.prepared.Standing(starts)
	switch {
	case errors.Is(err, programme.ErrOtherWork):
		r.Stands, r.Against = Changed, err.Error()
	case errors.Is(err, programme.ErrBehind):
		r.Stands, r.Against = Behind, err.Error()
	case errors.Is(err, programme.ErrBeyond):
		r.Stands, r.Left = Beyond, left
	case err != nil:
		return err
	default:
		r.Left = left
		o.judge(r, plan)
	}
	return nil
}

// judge puts what was planned, as this weather has it, into an answer.
func (o *Outlook) judge(r *Replanned, plan *programme.Plan) {
	r.Planned, r.P, r.Next, r.Target = plan, plan.P, plan.Slots[0].Call.P, plan.Slots[0].Call.Target
	switch {
	case !Settled(plan):
		if r.Stands, r.Against = Falls, o.reason(plan); r.Against == "" {
			s := &plan.Slots[plan.Weakest]
			r.Against = fmt.Sprintf("Every start holds by itself, all of them together do not. Weakest: %s, %s, %s %%", slotName(*s),
				s.Start.In(o.zone).Format("Mon 2 Jan 15:04"), working.Chance(s.P))
		}
	case r.Left > 0:
		r.Stands = HoldsSoFar
	default:
		r.Stands = Holds
	}
}

// standsOn judges a day on which the beginning is fixed by the best programme that begins on it.
func (o *Outlook) standsOn(r *Replanned, day string) {
	for _, d := range r.Best.Days {
		if d.Day.In(o.zone).Format(time.DateOnly) != day {
			continue
		}
		if r.Stands, r.Against = Falls, d.Why; d.Plan == nil {
			continue
		}
		r.Against = ""
		o.judge(r, d.Plan)
		if r.starts = d.Plan.Fixed(); r.Stands == Holds {
			r.Best = nil
		}
	}
}
