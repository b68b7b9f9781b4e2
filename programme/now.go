package programme

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/weather"
	"gelwright/working"
)

// Done is a stage that is finished. A zero End is now; a zero Start its usual length
// before.
type Done struct {
	// Key of the stage, of the pass whose parts it names, or its kind.
	Key        string
	Start, End time.Time
}

// Advice is what to do now.
type Advice struct {
	// Verdict: go now, wait within the day, or not today.
	Verdict weather.Verdict `json:"verdict"`
	// Act says what to do, Reason why, Changes what would change it.
	Act     string   `json:"act"`
	Reason  string   `json:"reason"`
	Changes []string `json:"changes,omitempty"`
	// Stage is the next one, -1 when all is done; At when it should begin.
	Stage int       `json:"stage"`
	At    time.Time `json:"at,omitzero"`
	// PNow is the probability that all holds when it begins now, PBest when it begins
	// at At.
	PNow  float64 `json:"p_now"`
	PBest float64 `json:"p_best"`
	// Plan follows from beginning at At.
	Plan   *Plan   `json:"plan,omitempty"`
	Result *Result `json:"result,omitempty"`
}

// matches reports whether a stage is meant by a key.
func (s *Stage) matches(key string) bool {
	return key == s.Key || strings.HasPrefix(s.Key, key+".") || strings.HasSuffix(s.Key, "."+key) || strings.Contains(s.Key, "."+key+".") ||
		strings.EqualFold(key, string(s.Kind)) || strings.EqualFold(key, s.Name)
}

// Keys are the words by which Done may name stages, in order.
func (p *Prepared) Keys() []string {
	var out []string
	for i := range p.in.Stages {
		out = append(out, p.in.Stages[i].Key)
	}
	return out
}

// done finds the first stage that is left, and when the one before it ran.
func (p *Prepared) done(now time.Time, done []Done) (first int, begun, ended time.Time, err error) {
	marked := make([]*Done, len(p.in.Stages))
	for i := range done {
		found, deck := false, ""
		for k := range p.in.Stages {
			s := &p.in.Stages[k]
			if !s.matches(done[i].Key) {
				continue
			}
			if found && s.Deck != deck {
				return 0, begun, ended, fmt.Errorf("%q is work on several decks. Write the deck before it, such as %s", done[i].Key, s.Key)
			}
			marked[k], found, deck = &done[i], true, s.Deck
		}
		if !found {
			return 0, begun, ended, fmt.Errorf("there is no stage %q. The stages are %s", done[i].Key, strings.Join(p.Keys(), ", "))
		}
	}
	for k := len(marked) - 1; k >= 0; k-- {
		if marked[k] == nil {
			continue
		}
		// What comes before something that is done is done too.
		d := marked[k]
		ended = d.End
		if ended.IsZero() {
			ended = now
		}
		if ended.After(now) {
			return 0, begun, ended, fmt.Errorf("stage %q ends at %s, after now. Give a time that has passed", d.Key,
				ended.In(p.zone()).Format("2006-01-02 15:04"))
		}
		begun = d.Start
		if begun.IsZero() {
			begun = ended.Add(-time.Duration(p.in.Stages[k].Quarters) * Quarter)
		}
		return k + 1, begun, ended, nil
	}
	return 0, begun, ended, nil
}

// Now says what to do at a time, with what is already done.
func (p *Prepared) Now(ctx context.Context, now time.Time, done []Done) (*Advice, error) {
	if now.Before(p.start) || !now.Before(p.TimeOf(p.n)) {
		return nil, fmt.Errorf("now is %s, the weather runs from %s to %s. Give a forecast that holds it",
			now.In(p.zone()).Format("2006-01-02 15:04"),
			p.start.In(p.zone()).Format("2006-01-02 15:04"), p.TimeOf(p.n).In(p.zone()).Format("2006-01-02 15:04"))
	}
	from, begun, ended, err := p.done(now, done)
	if err != nil {
		return nil, err
	}
	if from == len(p.in.Stages) {
		return &Advice{Verdict: weather.Go, Act: "Nothing is left to do.", Stage: -1, PNow: 1, PBest: 1}, nil
	}
	lo := int(now.Sub(p.start) / Quarter)
	var ready []window
	if from > 0 {
		a, b := int32(p.clamp(begun)), int32(p.clamp(ended))
		ready = make([]window, len(p.in.Members))
		for m := range ready {
			ready[m] = p.windowAfter(from, m, a, b)
		}
	}
	r, err := p.searchFrom(ctx, from, lo, ready, true)
	if err != nil {
		return nil, err
	}
	a := &Advice{Stage: from, Result: r}
	p.advise(a, lo, ready)
	return a, nil
}

func (p *Prepared) clamp(t time.Time) int {
	return max(0, min(int(math.Round(float64(t.Sub(p.start))/float64(Quarter))), p.n-1))
}

// worth is how much probability another time must bring to be waited for.
const worth = 0.05

func (p *Prepared) advise(a *Advice, lo int, ready []window) {
	r := a.Result
	s := &p.in.Stages[a.Stage]
	if r.Impossible != nil {
		a.Verdict, a.Act, a.Reason = weather.NoGo, "Do not begin "+s.Name+".", r.Impossible.Error()
		return
	}
	if r.Likeliest == nil {
		a.Verdict, a.Act, a.Reason = weather.NoGo, fmt.Sprintf("Do not begin %s: no time is found in the weather known.", s.Name), r.Blocked
		a.Changes = []string{"a longer forecast, more people or a shorter stretch of work; a limit overridden with a reason"}
		return
	}
	today := p.TimeOf(lo).In(p.zone())
	midnight := time.Date(today.Year(), today.Month(), today.Day(), 0, 0, 0, 0, p.zone())
	var best *Plan
	if len(r.Days) > 0 && r.Days[0].Day.Equal(midnight) {
		best = r.Days[0].Plan
	}
	begins := func(pl *Plan) bool { return pl != nil && !pl.Begin.After(p.TimeOf(lo+1)) }
	choice := r.Sure
	if choice == nil {
		choice = r.Likeliest
	}
	// The best of today will do when another day brings little more.
	if best != nil && (best.P >= r.Target-1e-9 || best.P >= choice.P-worth) {
		choice = best
	}
	// And starting now, when later today brings little more.
	if now := p.startingAt(a, lo, ready); now != nil {
		a.PNow = now.P
		if now.P >= r.Target-1e-9 || now.P >= choice.P-worth {
			choice = now
		}
	}
	a.Plan, a.At, a.PBest = choice, choice.Begin, choice.P
	slot := choice.Slots[0]
	local := choice.Begin.In(p.zone())
	switch {
	case begins(choice):
		a.Verdict = weather.Go
		a.Act = fmt.Sprintf("Begin %s now; done by %s.", s.Name, slot.End.In(p.zone()).Format("15:04"))
		if !slot.SafeBy.IsZero() {
			a.Act = fmt.Sprintf("Begin %s now; laid by %s, safe by %s.", s.Name, slot.End.In(p.zone()).Format("15:04"),
				slot.SafeByLate.In(p.zone()).Format("15:04"))
		}
		a.Reason = p.nearest(a.Stage, lo)
	case local.Before(midnight.AddDate(0, 0, 1)):
		a.Verdict = weather.Wait
		a.Act = fmt.Sprintf("Wait with %s until %s.", s.Name, local.Format("15:04"))
		a.Reason = p.against(a, lo, ready)
	default:
		a.Verdict = weather.NoGo
		a.Act = fmt.Sprintf("Not today: begin %s on %s at %s.", s.Name, local.Format("Monday 2 January"), local.Format("15:04"))
		a.Reason = p.against(a, lo, ready)
		if len(r.Days) > 0 && r.Days[0].Why != "" {
			a.Reason = r.Days[0].Why
		}
	}
	if slot.Again != "" {
		a.Act += " First: " + slot.Again + "."
	}
	a.Changes = p.changes(choice, r)
}

// startingAt is the best plan that begins in the quarter of now or the next; nil for none.
func (p *Prepared) startingAt(a *Advice, lo int, ready []window) *Plan {
	for _, pl := range []*Plan{a.Result.Sure, a.Result.Likeliest} {
		if pl != nil && !pl.Begin.After(p.TimeOf(lo)) {
			return pl
		}
	}
	s := a.Result.search
	var best *choice
	all := s.choices(ready)
	for i := range all {
		c := &all[i]
		if int(c.q) == lo && (best == nil || p.share(c.mask) > p.share(best.mask)) {
			best = c
		}
	}
	if best == nil {
		return nil
	}
	return s.plan(best)
}

// nearest tells which limit is nearest for a stage that may begin.
func (p *Prepared) nearest(stage, q int) string {
	l := p.in.Stages[stage].Limits
	if p.in.Stages[stage].Lead > 0 && p.in.Stages[stage].LeadLimits != nil {
		l = p.in.Stages[stage].LeadLimits
	}
	if l == nil {
		return "no limit of weather applies"
	}
	found, err := weather.Judge(context.Background(), p.in.Members[0][q:], p.lifted(*l), p.in.Site)
	if err != nil || len(found) == 0 {
		return ""
	}
	return "nearest limit: " + found[0].Binding.Text(p.zone())
}

// against tells what speaks against starting now.
func (p *Prepared) against(a *Advice, lo int, ready []window) string {
	for m, w := range ready {
		if m == 0 && int(w.a0) > lo {
			s := &p.in.Stages[a.Stage]
			if w.a0 == never {
				return "what lies under it does not harden in the weather known: " + s.Join.Why
			}
			return fmt.Sprintf("what lies under it is not ready before %s: %s", p.TimeOf(int(w.a0)).In(p.zone()).Format("15:04"), s.Join.Why)
		}
	}
	k := p.stages[a.Stage].class
	if p.stages[a.Stage].lead >= 0 && p.in.Stages[a.Stage].Lead > 0 {
		k = p.stages[a.Stage].lead
	}
	if r, n := p.binding(k, lo); n > 0 {
		return r.Text(p.zone())
	}
	if !p.open[0][lo] {
		return outside
	}
	for i := a.Stage; i < len(p.in.Stages); i++ {
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
func (p *Prepared) changes(plan *Plan, r *Result) []string {
	var out []string
	w := plan.Slots[plan.Weakest]
	if w.P < 1-1e-9 {
		var sum []tally
		for q := p.quarterOf(w.Start); q < p.quarterOf(w.End) && q < p.n; q++ {
			if b := p.class[p.stages[w.Stage].class].broken; b != nil {
				for _, t := range b[q] {
					sum = gather(sum, t)
				}
			}
		}
		why := "rain or dew before it is safe"
		if len(sum) > 0 {
			why = top(sum)[0].worst.Text(p.zone())
		}
		out = append(out, fmt.Sprintf("%s on %s is the weakest stage: it fails in %.0f %% of the courses, most often by %s", w.Name,
			w.Start.In(p.zone()).Format("Mon 15:04"), 100*(1-w.P), why))
	} else if l := p.in.Stages[w.Stage].Limits; l != nil {
		out = append(out, "nothing in the weather known; look again when the forecast changes")
	}
	for _, d := range r.Days {
		if d.Plan != nil && d.Plan.Begin.After(plan.Begin.Add(12*time.Hour)) && d.Plan.P >= math.Min(r.Target, plan.P) {
			out = append(out, fmt.Sprintf("otherwise %s at %s, with a chance of %s %%", d.Plan.Begin.In(p.zone()).Format("Monday 2 January"),
				d.Plan.Begin.In(p.zone()).Format("15:04"), working.Chance(d.Plan.P)))
			break
		}
	}
	return out
}
