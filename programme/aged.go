package programme

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// past is a stage that is done already.
type past struct {
	stage        int
	begun, ended time.Time
}

// pastOf are the stages that are done, with their beginnings: of parts that are told together
// each before the next.
func (p *Prepared) pastOf(marked []*Done, now time.Time) []past {
	var out []past
	before := now
	for k := len(marked) - 1; k >= 0; k-- {
		d := marked[k]
		if d == nil {
			continue
		}
		end := before
		if together := k+1 < len(marked) && marked[k+1] == d; !together && !d.End.IsZero() {
			end = d.End
		}
		begun := end.Add(-time.Duration(p.in.Stages[k].Quarters) * Quarter)
		if !d.Start.IsZero() {
			begun = d.Start
		}
		before = begun
		out = append(out, past{k, begun, end})
	}
	slices.Reverse(out)
	return out
}

// WithDone is a plan of what is left with the wet work before it that is done, as it was done; false
// where some of that lies before the weather known.
func (p *Prepared) WithDone(plan *Plan, now time.Time, done []Done) (*Plan, bool) {
	marked, err := p.marked(done)
	if err != nil {
		return nil, false
	}
	out := *plan
	out.Slots = nil
	for _, b := range p.pastOf(marked, now) {
		st := &p.in.Stages[b.stage]
		if !st.Kind.Wet() {
			continue
		}
		if b.begun.Before(p.start) {
			return nil, false
		}
		out.Slots = append(out.Slots, Slot{Stage: b.stage, Key: st.Key, Name: st.Name, Kind: st.Kind, Deck: st.Deck, Start: b.begun, End: b.ended,
			done: true})
	}
	out.Slots = append(out.Slots, plan.Slots...)
	return &out, true
}

// sayAged says before which slots laminate or a coat may be too old to bond when the first of what goes
// over it is laid, after the sanding and the edges, whatever was laid on which day.
func (p *Prepared) sayAged(plan *Plan) {
	for k := range plan.Slots {
		s := &plan.Slots[k]
		if s.Again != "" || s.Kind != TopCoat && s.Kind != Laminate {
			continue
		}
		if age, parts := p.oldest(plan, k); parts != "" {
			s.First = fmt.Sprintf("abrade %s with 40 grit and wipe: it may be too old to coat by then (laid up to %.0f h before)", parts,
				age.Hours())
		}
	}
}

// laidAt is when the first of a slot is laid that goes over what lies there: its sanding and the
// cutting in of its edges come before.
func (p *Prepared) laidAt(s *Slot) time.Time {
	return p.leadTo(s).Add(time.Duration(p.in.Stages[s.Stage].EdgesMin * float64(time.Minute)))
}

// ground is the laminate or the coat that lies under a slot of a plan, part by part.
func (p *Prepared) ground(plan *Plan, k int) []past {
	s := &plan.Slots[k]
	ground, film, coat := []past(nil), (*Film)(nil), ""
	for _, b := range p.before(plan, k) {
		st := &p.in.Stages[b.stage]
		if st.Deck != s.Deck || st.Film == nil {
			continue
		}
		switch {
		case st.Kind == TopCoat && passOf(st.Key) != passOf(s.Key):
			if coat != passOf(st.Key) {
				ground, film, coat = nil, st.Film, passOf(st.Key) // a second coat lies on the first
			}
		case st.Kind != Laminate || st.Film == p.in.Stages[s.Stage].Film:
			continue
		case st.Film != film:
			ground, film = nil, st.Film
		}
		ground = append(ground, b)
	}
	return ground
}

// passOf is the key of a stage without the part that it is of its pass: "main.coat1".
func passOf(key string) string {
	if i := strings.LastIndexByte(key, '.'); i >= 0 && strings.Trim(key[i+1:], "0123456789") == "" {
		return key[:i]
	}
	return key
}

// oldest names the parts of the laminate under a slot that may be past their window when it is
// laid, and the age of the oldest.
func (p *Prepared) oldest(plan *Plan, k int) (time.Duration, string) {
	at, ground := p.laidAt(&plan.Slots[k]), p.ground(plan, k)
	var old []past
	for _, b := range ground {
		if until := p.early(b, OverCoatUntil); !until.IsZero() && at.After(until) {
			old = append(old, b)
		}
	}
	if len(old) == 0 {
		return 0, ""
	}
	age := time.Duration(0)
	for _, b := range old {
		age = max(age, at.Sub(b.begun))
	}
	first, last := p.in.Stages[old[0].stage].Name, p.in.Stages[old[len(old)-1].stage].Name
	name, _, _ := strings.Cut(first, ", part ")
	_, _, n := partsOf(first)
	switch _, _, to := partsOf(last); {
	case len(old) == len(ground):
		return age, name
	case to > n:
		return age, fmt.Sprintf("%s, parts %d to %d", name, n, to)
	}
	return age, first
}

// before are the stages that lie before a slot of a plan, done or planned.
func (p *Prepared) before(plan *Plan, k int) []past {
	out := slices.Clone(p.past)
	for i := range plan.Slots[:k] {
		out = append(out, past{plan.Slots[i].Stage, plan.Slots[i].Start, plan.Slots[i].End})
	}
	return out
}

// over is when the stage after one that is worked between two quarters may be begun on its film, in a set of members; nil where it has
// no window, or one that the weather known does not hold.
func (p *Prepared) over(i int, begun, ended int32, set uint64) *Over {
	if i+1 >= len(p.in.Stages) || p.in.Stages[i+1].Join.Most == None || p.stages[i].film == nil || p.in.Stages[i+1].Again == nil {
		return nil
	}
	next := &p.in.Stages[i+1]
	from, until := int32(0), int32(never)
	for m := range p.in.Members {
		w := p.windowAfter(i+1, m, begun, ended)
		until = min(until, w.a1)
		if set>>m&1 != 0 {
			from = max(from, w.a0)
		}
	}
	if from == never || until == never {
		return nil
	}
	return &Over{Stage: next.Name, From: p.TimeOf(int(from)), Until: p.TimeOf(int(until)), AgainMin: 15 * float64(next.AgainQuarters)}
}

// earlyShare of the courses of the weather and of the resin's luck have a window closed when it
// is taken as closed: the low end of a 90 % range.
const earlyShare = 0.05

// early is when a mark may be reached by the film of a stage, at the early end; zero where it is
// not within the weather known.
func (p *Prepared) early(b past, m Mark) time.Time {
	f := p.stages[b.stage].film
	if f == nil || f.reach[m] == nil {
		return time.Time{}
	}
	q := p.clamp(b.begun)
	var at []int32
	for _, row := range f.reach[m] {
		at = append(at, row[q])
	}
	slices.Sort(at)
	if r := at[int(math.Floor(earlyShare*float64(len(at))))]; r != never {
		return b.begun.Add(time.Duration(int(r)-q) * Quarter)
	}
	return time.Time{}
}
