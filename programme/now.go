package programme

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"gelwright/weather"
	"gelwright/working"
)

// Advice is what to do now.
type Advice struct {
	// Verdict: go now; wait within the day; not today, or no time that is sure.
	Verdict weather.Verdict `json:"verdict"`
	// Act says what to do, Reason why, Changes what would change it.
	Act     string   `json:"act"`
	Reason  string   `json:"reason"`
	Changes []string `json:"changes,omitempty"`
	// Stage is the next one, -1 when all is done; At when it should begin.
	Stage int       `json:"stage"`
	At    time.Time `json:"at,omitzero"`
	// PNow is the chance that what is begun now holds to the first place where it may be
	// left, PBest that what is begun at At does. The verdict is held against Target by the
	// first when it is go, by the second otherwise. PAll is the chance that all the rest of
	// the roof holds too, 0 where the weather known does not reach so far.
	PNow   float64 `json:"p_now"`
	PBest  float64 `json:"p_best"`
	PAll   float64 `json:"p_all"`
	Target float64 `json:"target"`
	// Plan follows from beginning at At.
	Plan   *Plan   `json:"plan,omitempty"`
	Result *Result `json:"result,omitempty"`
}

// asked is a question about now, worked out as far as the search.
type asked struct {
	from, lo     int
	now          time.Time
	begun, ended time.Time
	ready        []window
	// whole is the search of all that is left; alone that of the next stretch by itself,
	// nil where the whole is sure.
	whole, alone *Result
	// by is the programme whose plan was chosen: all of it, or the stretch.
	by *Prepared
	// how deep it is searched.
	how depth
}

// Now says what to do at a time, with what is already done.
func (p *Prepared) Now(ctx context.Context, now time.Time, done []Done) (*Advice, error) {
	p, k, err := p.ask(now, done)
	if err != nil {
		return nil, err
	}
	if k.from == len(p.in.Stages) {
		return &Advice{Verdict: weather.Go, Act: "Nothing is left to do.", Stage: -1, PNow: 1, PBest: 1, PAll: 1, Target: p.in.Target}, nil
	}
	how := k.how
	if p.opens(k.from) {
		how = wholly // whether a roof is opened, and by which plan, is told as the papers tell it: they are searched as deep
	}
	if k.whole, err = p.searchFrom(ctx, k.from, k.lo, k.ready, how); err != nil {
		return nil, err
	}
	a := &Advice{Stage: k.from, Result: k.whole, Target: p.in.Target}
	if k.whole.Impossible != nil {
		a.Verdict, a.Act, a.Reason = weather.NoGo, "Do not begin "+p.in.Stages[k.from].Name+".", k.whole.Impossible.Error()
		return a, nil
	}
	choice, err := p.choice(ctx, k, a)
	if err != nil {
		return nil, err
	}
	if choice == nil {
		a.Verdict, a.Reason = weather.NoGo, k.alone.Blocked
		a.Act = fmt.Sprintf("Do not begin %s: no time is found in the weather known.", p.in.Stages[k.from].Name)
		a.Changes = []string{"a longer forecast, more people or a shorter stretch of work; a limit overridden with a reason"}
		return a, nil
	}
	p.advise(a, k, choice)
	return a, nil
}

// Today is the next stage where Now says to begin it on the day of a time, at once or later; nil
// for another day or none. Of a roof that it would open it looks at plans alone that Now may go by.
func (p *Prepared) Today(ctx context.Context, now time.Time, done []Done) (*Slot, error) {
	p, k, err := p.ask(now, done)
	if err != nil || k.from == len(p.in.Stages) {
		return nil, err
	}
	near := briefly
	k.how = briefly
	if p.opens(k.from) {
		near.floor = p.in.Target - worth // nothing less opens it
	}
	if k.whole, err = p.searchFrom(ctx, k.from, k.lo, k.ready, near); err != nil || k.whole.Impossible != nil {
		return nil, err
	}
	if p.opens(k.from) && k.whole.Sure == nil {
		return nil, nil
	}
	choice, err := p.choice(ctx, k, &Advice{})
	if err != nil || choice == nil || choice.Slots[0].Call.Verdict != weather.Go || !p.isToday(k, choice) {
		return nil, err
	}
	return &choice.Slots[0], nil
}

// ask is the question about now, and the programme with what is done in it.
func (p *Prepared) ask(now time.Time, done []Done) (*Prepared, *asked, error) {
	if now.Before(p.start) || !now.Before(p.TimeOf(p.n)) {
		return nil, nil, fmt.Errorf("now is %s, the weather runs from %s to %s. Give a forecast that holds it",
			now.In(p.zone()).Format("2006-01-02 15:04"),
			p.start.In(p.zone()).Format("2006-01-02 15:04"), p.TimeOf(p.n).In(p.zone()).Format("2006-01-02 15:04"))
	}
	k := &asked{now: now, lo: p.clamp(now), by: p, how: onTheDay}
	var err error
	if k.from, k.begun, k.ended, err = p.done(now, done); err != nil {
		return nil, nil, err
	}
	if marked, err := p.marked(done); err == nil {
		known := *p
		p = &known
		p.past, k.by = p.pastOf(marked, now), p
		if laid, are := p.laid(k.from, marked); are {
			p = p.since(laid)
			k.by = p
		}
	}
	if k.from > 0 && k.from < len(p.in.Stages) {
		a, b := int32(p.clamp(k.begun)), int32(p.clamp(k.ended))
		k.ready = make([]window, len(p.in.Members))
		for m := range k.ready {
			k.ready[m] = p.windowAfter(k.from, m, a, b)
		}
	}
	return p, k, nil
}

// choice is the plan to go by: that of the whole roof where it is sure; or else, of the starts at which
// the next stretch of work holds by itself, the one that serves the whole roof best.
func (p *Prepared) choice(ctx context.Context, k *asked, a *Advice) (*Plan, error) {
	if k.whole.Sure != nil {
		if best := k.by.pick(k, k.whole, a); best.Slots[0].Call.Verdict == weather.Go {
			a.PAll = best.P
			return best, nil
		}
	}
	k.by = p.only(p.stretch(k.from))
	var err error
	if k.alone, err = k.by.searchFrom(ctx, k.from, k.lo, k.ready, k.how); err != nil {
		return nil, err
	}
	if k.alone.Likeliest == nil && k.by.Stages() > k.from+1 {
		k.by = p.only(k.from + 1) // the stretch finds no end in the weather known: its first part
		if k.alone, err = k.by.searchFrom(ctx, k.from, k.lo, k.ready, k.how); err != nil {
			return nil, err
		}
	}
	best := k.by.pick(k, k.alone, a)
	if whole := p.serving(k, best); whole != nil {
		a.PAll = whole.P
		return whole, nil
	}
	if best == nil {
		return nil, nil
	}
	// The rest of the roof behind the same beginning, where the weather reaches so far.
	if k.whole.search != nil {
		rest := p.startingAt(k.whole, p.quarterOf(best.Begin), k.ready)
		if rest != nil && rest.Slots[0].Call.Verdict == best.Slots[0].Call.Verdict {
			a.PAll = rest.P
			return rest, nil
		}
	}
	return best, nil
}

// only is the programme of the first stages alone.
func (p *Prepared) only(stages int) *Prepared {
	part := *p
	part.in.Stages, part.stages = p.in.Stages[:stages], p.stages[:stages]
	return &part
}

// Stages is how many there are.
func (p *Prepared) Stages() int { return len(p.in.Stages) }

func (p *Prepared) clamp(t time.Time) int {
	return max(0, min(int(math.Round(float64(t.Sub(p.start))/float64(Quarter))), p.n-1))
}

// worth is how much probability another time must bring to be waited for.
const worth = 0.05

// pick is the plan of a result to go by: one that begins now, or else the best of today,
// where it is sure and another day brings little more; or else the best there is.
func (p *Prepared) pick(k *asked, r *Result, a *Advice) *Plan {
	best := r.Best()
	if best == nil {
		return nil
	}
	now := p.startingAt(r, k.lo, k.ready)
	if now != nil {
		a.PNow = now.Slots[0].Call.P
	}
	var today *Plan
	if len(r.Days) > 0 && r.Days[0].Day.Equal(p.midnight(k.lo)) {
		today = r.Days[0].Plan
	}
	for _, x := range []*Plan{now, today} {
		if x != nil && x.Slots[0].Call.Verdict == weather.Go && (x.P >= r.Target-hair || x.P >= best.P-worth) {
			return x
		}
	}
	if best.Slots[0].Call.Verdict != weather.Go && today != nil && today.P >= best.P-worth {
		return today
	}
	return best
}

// midnight is the beginning of a quarter's day.
func (p *Prepared) midnight(q int) time.Time {
	t := p.TimeOf(q).In(p.zone())
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, p.zone())
}

// isToday reports whether a plan begins on the day of the question.
func (p *Prepared) isToday(k *asked, pl *Plan) bool {
	return pl.Begin.In(p.zone()).Before(p.midnight(k.lo).AddDate(0, 0, 1))
}

func (p *Prepared) advise(a *Advice, k *asked, choice *Plan) {
	s := &p.in.Stages[a.Stage]
	slot := &choice.Slots[0]
	a.Plan, a.At, a.PBest = choice, choice.Begin, slot.Call.P
	sure := slot.Call.Verdict == weather.Go
	local := choice.Begin.In(p.zone())
	today := p.isToday(k, choice)
	begins := !choice.Begin.After(p.TimeOf(k.lo))
	if begins {
		a.PNow = slot.Call.P
	}
	all := p.opened(k)
	switch {
	case sure && all != nil:
		p.keepShut(a, k, all)
		return
	case sure && begins:
		a.Verdict = weather.Go
		a.Act = p.Begins(slot, k.now)
		a.Reason = p.nearest(a.Stage, k.lo)
	case sure && today:
		a.Verdict = weather.Wait
		a.Act = fmt.Sprintf("Wait with %s until %s.", s.Name, local.Format("15:04"))
		a.Reason = p.against(k)
	case sure:
		a.Verdict = weather.NoGo
		a.Act = fmt.Sprintf("Not today: begin %s on %s at %s.", s.Name, local.Format("Monday 2 January"), local.Format("15:04"))
		a.Reason = p.against(k)
		if r := k.by.result(k); len(r.Days) > 0 && r.Days[0].Why != "" {
			a.Reason = r.Days[0].Why
		}
	default:
		a.Verdict, a.Reason = weather.NoGo, slot.Call.Reason
		a.Act = p.refusal(s, slot, k, begins)
	}
	if slot.Again != "" {
		a.Act += fmt.Sprintf(" First: %s (%s).", slot.Again, p.age(choice.Begin, k))
	}
	a.Changes = p.changes(choice, k)
}

// age tells how old what was laid last is when a plan begins.
func (p *Prepared) age(begin time.Time, k *asked) string {
	old := fmt.Sprintf("%.0f h old", begin.Sub(k.begun).Hours())
	if begin.Sub(k.now) < time.Hour {
		return "it is " + old
	}
	return "it will be " + old + " then, " + p.stamp(begin, k.now)
}

// Begins says to begin a slot now, with when it is done and its film safe.
func (p *Prepared) Begins(slot *Slot, now time.Time) string {
	if slot.SafeBy.IsZero() {
		return fmt.Sprintf("Begin %s now; done by %s.", slot.Name, p.stamp(slot.End, now))
	}
	return fmt.Sprintf("Begin %s now; laid by %s, safe by %s.", slot.Name, p.stamp(slot.End, now), p.stamp(slot.SafeByLate, now))
}

// opened is the likeliest plan to the end of a roof that would be opened by the next stage, or begun, though the whole of it
// does not reach the target: what is opened has to be closed. Nil where it does, and where the weather known reaches no end.
func (p *Prepared) opened(k *asked) *Plan {
	if !p.opens(k.from) {
		return nil
	}
	if all := k.whole.Best(); all != nil && all.P < k.whole.Target-hair {
		return all
	}
	return nil
}

// opens reports whether a stage is the first of the roof, or strips a deck of it.
func (p *Prepared) opens(stage int) bool { return stage == 0 || p.in.Stages[stage].Kind == Strip }

// keepShut says not to open a roof, though the opening by itself would hold; the papers and When say the same of the whole.
func (p *Prepared) keepShut(a *Advice, k *asked, all *Plan) {
	name, by := p.in.Stages[a.Stage].Name, a.PBest
	a.Verdict, a.Plan, a.At, a.PAll = weather.NoGo, all, all.Begin, all.P
	a.Act = fmt.Sprintf("Do not begin %s: all of it holds with %s %%, %.0f %% is wanted.", name, working.Chance(all.P), 100*a.Target)
	a.Reason = "each start holds by itself, not one after the other"
	if why := all.Slots[all.Weakest].Call.Reason; why != "" {
		a.Reason = why
	}
	a.PBest = all.Slots[0].Call.P
	a.Changes = append(p.weakest(all), fmt.Sprintf("%s by itself would hold with %s %%: the roof it opens may not be closed again in time",
		name, working.Chance(by)))
}

// result is the search that the chosen plan came from.
func (p *Prepared) result(k *asked) *Result {
	if k.alone != nil {
		return k.alone
	}
	return k.whole
}

// refusal says no with the chance first.
func (p *Prepared) refusal(s *Stage, slot *Slot, k *asked, begins bool) string {
	at := "now"
	if !begins {
		at = "today"
	}
	text := fmt.Sprintf("Do not begin %s %s: ", s.Name, at)
	when := "at the likeliest start, " + p.stamp(slot.Start, k.now) + ","
	if begins {
		when = "now"
	}
	if slot.Call.P >= slot.Call.Target-hair {
		return text + fmt.Sprintf("the forecast itself breaks a limit (%s it would hold with %s %%).", when, working.Chance(slot.Call.P))
	}
	return text + fmt.Sprintf("%s it holds with %s %%, %.0f %% is wanted.", when, working.Chance(slot.Call.P), 100*slot.Call.Target)
}

// startingAt is the best plan of a result that begins in a quarter: one whose beginning holds to the
// place where it is left, the rest another day, before a likelier whole whose beginning does not;
// nil for none.
func (p *Prepared) startingAt(r *Result, lo int, ready []window) *Plan {
	var best *Plan
	for _, pl := range []*Plan{r.Sure, r.Likeliest} {
		if pl == nil || !pl.Begin.Equal(p.TimeOf(lo)) {
			continue
		}
		if pl.Slots[0].Call.Verdict == weather.Go {
			return pl
		}
		best = pl
	}
	var here []choice
	r.search.each(ready, func(c *choice) {
		if int(c.q) == lo {
			c.holds = r.search.dry(c)
			here = append(here, *c)
		}
	})
	slices.SortStableFunc(here, func(a, b choice) int { return b.count() - a.count() })
	for i := range here[:min(len(here), mostTried)] {
		pl := r.search.plan(&here[i])
		if pl.Slots[0].Call.Verdict == weather.Go {
			return pl
		}
		if best == nil {
			best = pl
		}
	}
	return best
}

// mostTried are so many plans from one quarter looked through for one whose beginning holds.
const mostTried = 8

// nearest tells which limit is nearest for a stage that may begin.
func (p *Prepared) nearest(stage, q int) string {
	l := p.in.Stages[stage].Limits
	if p.in.Stages[stage].Lead > 0 && p.in.Stages[stage].LeadLimits != nil {
		l = p.in.Stages[stage].LeadLimits
	}
	if l == nil {
		return "no limit of weather applies"
	}
	found, err := weather.Judge(context.Background(), p.in.Members[0][q:min(p.n, q+200)], p.lifted(*l), p.in.Site)
	if err != nil || len(found) == 0 {
		return ""
	}
	return "nearest limit: " + found[0].Binding.Text(p.zone())
}

// against tells what speaks against starting now.
func (p *Prepared) against(k *asked) string {
	lo := k.lo
	if len(k.ready) > 0 && int(k.ready[0].a0) > lo {
		s, at := &p.in.Stages[k.from], k.ready[0].a0
		if at == never {
			return "what lies under it does not harden in the weather known: " + s.Join.Why
		}
		return fmt.Sprintf("what lies under it is not ready before %s: %s", p.stamp(p.TimeOf(int(at)), k.now), s.Join.Why)
	}
	c := p.stages[k.from].class
	if p.stages[k.from].lead >= 0 && p.in.Stages[k.from].Lead > 0 {
		c = p.stages[k.from].lead
	}
	if r, n := p.binding(c, lo); n > 0 {
		return r.Text(p.zone())
	}
	if !p.open[0][lo] {
		return outside
	}
	if s := &p.in.Stages[k.from]; s.Divisible && s.LeastQuarters > 1 && p.stages[k.from].ok[0][lo]&1 == 0 {
		return fmt.Sprintf("less than %d min of it could be done before the hours of work or the weather stop it",
			15*min(s.LeastQuarters, s.Quarters))
	}
	for i := k.from; i < len(p.in.Stages); i++ {
		d := &p.stages[i]
		for q := lo; q < min(p.n, lo+48); q++ {
			if r, n := p.binding(d.class, q); n > 0 {
				return fmt.Sprintf("%s would meet %s", p.in.Stages[i].Name, r.Text(p.zone()))
			}
		}
	}
	return "the whole of the work finds a better time"
}

// changes tells what would change the advice: the weakest stage and its limit, and
// the next best day.
func (p *Prepared) changes(plan *Plan, k *asked) []string {
	out := p.weakest(plan)
	if k.whole.Likeliest == nil {
		out = append(out, "only this stretch is judged, for the rest finds no time in the weather known: a longer forecast ("+k.whole.Blocked+")")
	}
	r := p.result(k)
	for _, d := range r.Days {
		if d.Plan != nil && d.Plan.Begin.After(plan.Begin.Add(12*time.Hour)) && d.Plan.P >= math.Min(r.Target, plan.P) {
			out = append(out, fmt.Sprintf("otherwise %s at %s, with a chance of %s %%", d.Plan.Begin.In(p.zone()).Format("Monday 2 January"),
				d.Plan.Begin.In(p.zone()).Format("15:04"), working.Chance(d.Plan.Slots[0].Call.P)))
			break
		}
	}
	return out
}

// weakest tells which stage of a plan fails most, and by what.
func (p *Prepared) weakest(plan *Plan) []string {
	w := &plan.Slots[plan.Weakest]
	if failing := 1 - w.P; failing > 1-p.chance(p.full)+hair {
		why := "rain or dew before it is safe"
		if sum := p.brokenIn(w); len(sum) > 0 {
			why = p.reasonIn(w, p.told(top(sum)[0]))
		}
		return []string{fmt.Sprintf("%s on %s is the weakest stage: it fails in %.0f %% of the courses, most often by %s", w.Name,
			w.Start.In(p.zone()).Format("Mon 15:04"), 100*failing, why)}
	}
	if l := p.in.Stages[w.Stage].Limits; l != nil {
		return []string{"nothing in the weather known; look again when the forecast changes"}
	}
	return nil
}
