package programme

import (
	"fmt"
	"math/bits"
	"time"

	"gelwright/weather"
	"gelwright/working"
)

// Call is what may be said of a start. It is the one answer that every paper and command
// gives of it.
type Call struct {
	// Verdict is go only where P reaches Target and the forecast itself (the first course
	// of the weather) breaks no limit that is not lifted; no-go otherwise.
	Verdict weather.Verdict `json:"verdict"`
	// P is the chance, 0–1, that the work begun then holds to the first place where it may
	// be left with nothing spoiled: all parts of a laminate that are laid without a break,
	// what is stripped until it is boarded.
	P      float64 `json:"p"`
	Target float64 `json:"target"`
	// Reason is what speaks against it most; empty for a go.
	Reason string `json:"reason,omitempty"`
}

// Order says it in words: "Begin laminate at 10:30", or that it is not to be begun, with the
// chance and the reason.
func (c Call) Order(work, at string) string {
	if c.Verdict == weather.Go {
		return fmt.Sprintf("Begin %s %s", work, at)
	}
	text := fmt.Sprintf("Do not begin %s %s: it holds with %s\u00a0%%, %.0f\u00a0%% is wanted", work, at, working.Chance(c.P), 100*c.Target)
	if c.P >= c.Target-hair {
		text = fmt.Sprintf("Do not begin %s %s: the forecast itself breaks a limit", work, at)
	}
	if c.Reason != "" {
		text += ": " + c.Reason
	}
	return text
}

// hair is a difference of probabilities that is rounding.
const hair = 1e-9

// chance is the probability told for a set of members in which something holds. A start
// is picked as the best of many, so the plain share is too hopeful: one member more is
// counted against it and one for it (Laplace's rule of succession), and even what holds in
// all of them is not certain. One course alone says yes or no.
func (p *Prepared) chance(mask uint64) float64 {
	n := len(p.in.Members)
	if n == 1 {
		return float64(mask & 1)
	}
	return float64(bits.OnesCount64(mask)+1) / float64(n+2)
}

// sure reports whether a set of members reaches the target and holds the forecast itself.
func (p *Prepared) sure(mask uint64) bool {
	return mask&1 == 1 && p.chance(mask) >= p.in.Target-hair
}

// needed is the least number of members that makes a plan sure.
func (p *Prepared) needed() int { return p.reaching(p.in.Target) }

// reaching is the least number of members, one at least, whose chance reaches a share; all where
// no number does.
func (p *Prepared) reaching(share float64) int {
	for k := 1; k < len(p.in.Members); k++ {
		if p.chance(uint64(1)<<k-1) >= share-hair {
			return k
		}
	}
	return len(p.in.Members)
}

// callAll judges every slot of a plan; holds are the members in which each of them does.
func (p *Prepared) callAll(plan *Plan, holds []uint64) {
	for k := range plan.Slots {
		set, end := holds[k], k+1
		for ; end < len(plan.Slots) && p.goesOn(plan, end); end++ {
			set &= holds[end]
		}
		c := Call{Verdict: weather.Go, P: p.chance(set), Target: p.in.Target}
		if !p.sure(set) {
			c.Verdict, c.Reason = weather.NoGo, p.speaks(plan.Slots[k:end], holds[k:end])
		}
		plan.Slots[k].Call = c
	}
}

// goesOn reports whether a slot cannot be parted from the one before it: a laminate laid
// without a break, or work that must follow in time and cannot be made good.
func (p *Prepared) goesOn(plan *Plan, k int) bool {
	s, before := &plan.Slots[k], &plan.Slots[k-1]
	if s.Kind == Laminate && before.Kind == Laminate && s.Deck == before.Deck && s.Again == "" && s.Start.Equal(before.End) {
		return true
	}
	st := &p.in.Stages[s.Stage]
	return st.Join.bounded() && st.Again == nil
}

// stretch is the stage after the last of those that cannot be parted from stage i.
func (p *Prepared) stretch(i int) int {
	end := i + 1
	for ; end < len(p.in.Stages); end++ {
		s, before := &p.in.Stages[end], &p.in.Stages[end-1]
		parts := s.Kind == Laminate && before.Kind == Laminate && s.Deck == before.Deck && s.Join.MostMin > 0
		if !parts && (!s.Join.bounded() || s.Again != nil) {
			break
		}
	}
	return end
}

// speaks tells what speaks most against a stretch of work: what the forecast itself breaks,
// or else what breaks in the most members.
func (p *Prepared) speaks(slots []Slot, holds []uint64) string {
	weakest := 0
	for k := range slots {
		if holds[k]&1 == 0 {
			return p.saidAgainst(&slots[k])
		}
		if bits.OnesCount64(holds[k]) < bits.OnesCount64(holds[weakest]) {
			weakest = k
		}
	}
	s := &slots[weakest]
	if sum := p.brokenIn(s); len(sum) > 0 {
		return s.Name + ", most often by " + p.reasonIn(s, p.told(top(sum)[0]))
	}
	if s.SafeBy.IsZero() {
		return s.Name + ": what is under it may not be " + p.toBe(s) + " by then"
	}
	return s.Name + ": rain or dew before it is safe"
}

// brokenIn counts the limits that members break while a slot is worked.
func (p *Prepared) brokenIn(s *Slot) []tally { return p.brokenWithin(s, s.Start, s.late) }

// Against tells which limit breaks in the most members while a slot is worked between two times; empty where none does.
func (p *Prepared) Against(s *Slot, from, to time.Time) string {
	sum := p.brokenWithin(s, from, to)
	if len(sum) == 0 {
		return ""
	}
	return p.reasonIn(s, p.told(top(sum)[0]))
}

// reasonIn tells a reason in words, and that its limit is that of the sanding or abrading before a slot where it is: wind
// holds up dry work later than a coat that takes up dust.
func (p *Prepared) reasonIn(s *Slot, r weather.Reason) string {
	if q := p.quarterOf(r.At); p.stages[s.Stage].lead >= 0 && q >= p.quarterOf(s.Start) && q < p.quarterOf(p.leadTo(s)) {
		work := "abrading"
		if s.Kind == TopCoat && s.Again == "" {
			work = "sanding"
		}
		return r.Text(p.zone()) + " for the " + work + " before it"
	}
	return r.Text(p.zone())
}

// leadTo is when the sanding and abrading before a slot's own work ends.
func (p *Prepared) leadTo(s *Slot) time.Time {
	st := &p.in.Stages[s.Stage]
	lead := st.Lead
	if s.Again != "" {
		lead += st.AgainQuarters
	}
	return s.Start.Add(time.Duration(lead) * Quarter)
}

func (p *Prepared) brokenWithin(s *Slot, from, to time.Time) []tally {
	var sum []tally
	for q := p.quarterOf(from); q < p.quarterOf(to) && q < p.n; q++ {
		// A night in the middle of it breaks no limit: nobody works.
		for _, t := range p.brokenAt(p.classAt(s, q), q) {
			if p.open[0][q] {
				sum = gather(sum, t)
			}
		}
	}
	return sum
}

// classAt is the set of limits that holds at a quarter of a slot: that of the sanding before
// a coat, or of the work itself.
func (p *Prepared) classAt(s *Slot, q int) *class {
	d := &p.stages[s.Stage]
	if d.lead >= 0 && q < p.quarterOf(p.leadTo(s)) {
		return p.class[d.lead]
	}
	return p.class[d.class]
}

// saidAgainst tells which limit the forecast itself breaks while a slot is worked and
// afterwards, until its film is safe.
func (p *Prepared) saidAgainst(s *Slot) string {
	for q := p.quarterOf(s.Start); q < p.quarterOf(s.late) && q < p.n; q++ {
		if said := p.saidAt(p.classAt(s, q), q); said != nil && p.open[0][q] {
			return s.Name + ", by the forecast itself: " + p.reasonIn(s, *said)
		}
	}
	if text := p.unsafe(s.Stage, p.quarterOf(s.End)); text != "" {
		return s.Name + ", by the forecast itself: " + text
	}
	return s.Name + ", by the forecast itself: what is under it is not " + p.toBe(s) + " by then"
}

// toBe is what must have become of what lies under a slot before it can begin.
func (p *Prepared) toBe(s *Slot) string {
	if p.in.Stages[s.Stage].Bare {
		return "hard or dry enough"
	}
	return "hard enough"
}

// unsafe tells what the forecast itself brings on a film laid by a quarter before it is
// safe; empty for nothing.
func (p *Prepared) unsafe(i, end int) string {
	s, d := &p.in.Stages[i], &p.stages[i]
	if d.film == nil || s.SafeAt == None || s.Limits == nil || end > p.n {
		return ""
	}
	until := d.film.reach[s.SafeAt][0][end]
	if until == never {
		return "its film is not safe before the weather known ends"
	}
	l := p.lifted(*s.Limits)
	at := func(q int32) string { return p.TimeOf(int(q)).In(p.zone()).Format("15:04") }
	safe := p.TimeOf(int(until)).In(p.zone()).Format("15:04")
	if l.RainTrace != nil {
		if q := p.next(rainComes, l.RainTrace.Value, rainNow)[0][end]; q < until {
			return fmt.Sprintf("rain at %s, and it is safe from rain at %s only", at(q), safe)
		}
	}
	if l.DewMargin != nil {
		if q := p.next(dewComes, l.DewMargin.Value, dewNow)[0][end]; q < until {
			return fmt.Sprintf("dew at %s (the deck comes within %g K of the dew point), and it is safe at %s only", at(q), l.DewMargin.Value,
				safe)
		}
	}
	return ""
}

// stamp is the clock time of t, with its day where that is not the day of another.
func (p *Prepared) stamp(t, near time.Time) string {
	a, b := t.In(p.zone()), near.In(p.zone())
	if a.YearDay() == b.YearDay() && a.Year() == b.Year() {
		return a.Format("15:04")
	}
	if d := a.Sub(b); d > 0 && d < 6*24*time.Hour {
		return a.Format("Mon 15:04")
	}
	return a.Format("Mon 2 Jan 15:04")
}
