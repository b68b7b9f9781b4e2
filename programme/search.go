package programme

import (
	"cmp"
	"context"
	"math/bits"
	"slices"
	"time"

	"gelwright/weather"
)

// choice is a label of the first stage.
type choice struct {
	q    int32
	cand int32
	of   int32
	label
	ready uint64 // the members in which what lies before it is ready then
	// holds is the members in which it holds with its boards dry too; all that its label has until those are looked for.
	holds uint64
}

// Search finds the best starts in all the weather there is.
func (p *Prepared) Search(ctx context.Context) (*Result, error) {
	return p.searchFrom(ctx, 0, 0, nil, wholly)
}

// SearchAbove is Search for plans alone whose chance reaches a share, 0 to 1: it ends at once where
// none can.
func (p *Prepared) SearchAbove(ctx context.Context, share float64) (*Result, error) {
	how := wholly
	how.floor = share
	return p.searchFrom(ctx, 0, 0, nil, how)
}

// depth is how deep a search goes.
type depth struct {
	most int // the labels of one state that are kept
	// proven: what can be proven is; otherwise no more is searched than once.
	proven bool
	// days and frontier are how many of each are told.
	days, frontier int
	// floor is the chance that a plan must reach to be of use; 0 for none.
	floor float64
}

// mostDays are told with their best beginnings, mostFrontier plans of those that trade finish
// for probability: the last of them is the likeliest.
const (
	mostDays     = 31
	mostFrontier = 12
)

// How deep a search goes: for the days to come; for the day itself; and for no more than the plans
// to go by and that of the first day.
var (
	wholly   = depth{most: kept, proven: true, days: mostDays, frontier: mostFrontier}
	onTheDay = depth{most: keptQuick, days: mostDays, frontier: mostFrontier}
	briefly  = depth{most: keptQuick, days: 1}
)

// searchFrom searches the stages from one on; ready, when not nil, bounds its start.
func (p *Prepared) searchFrom(ctx context.Context, from, lo int, ready []window, how depth) (*Result, error) {
	r := &Result{Target: p.in.Target, Overrides: p.in.Overrides, Members: len(p.in.Members), Proven: true}
	if _, r.Impossible = NetworkOf(p.in.Stages[from:], p.in.Hours).Earliest(); r.Impossible != nil {
		return r, nil
	}
	if how.frontier > 0 && !p.bounded(r, from, lo, ready, how.floor) {
		r.Blocked = p.blocked(from, lo)
		return r, nil
	}
	s := &search{p: p, from: from, lo: int32(max(lo, 0)), before: never, most: how.most}
	if how.floor > 0 {
		s.least = p.reaching(how.floor)
	}
	if err := s.run(ctx); err != nil {
		return nil, err
	}
	r.search = s
	p.days(r, s, ready, how.days)
	p.rank(r, s, ready, how.frontier)
	r.Proven = s.proven && s.none(ready, r.beats(p))
	if !s.proven && how.proven {
		var err error
		if r.Proven, err = p.prove(ctx, r, s, ready); err != nil {
			return nil, err
		}
	}
	if r.Likeliest == nil {
		r.Blocked = p.blocked(from, lo)
		if !s.none(ready, func(*choice) bool { return true }) {
			r.Blocked = wetFirst
		}
	}
	return r, nil
}

// bounded tells when the work can be finished by a crew that knows its weather, and in what share
// of the members; it reports whether a plan can reach a chance in so many.
func (p *Prepared) bounded(r *Result, from, lo int, ready []window, floor float64) bool {
	ends := p.ends(from, lo, ready)
	r.HalfBy, r.MostBy = p.by(ends, 0.5), p.by(ends, 0.9)
	can := uint64(0)
	for m, e := range ends {
		if e != never {
			can |= 1 << m
		}
	}
	r.Bound = float64(bits.OnesCount64(can)) / float64(len(ends))
	return p.chance(can) >= floor-hair
}

// each goes through the labels of the first stage, both variants. A choice is lent: the next is put in its place.
func (s *search) each(ready []window, do func(*choice)) {
	var x choice
	for v := range s.p.stages[s.from].variants {
		if ready == nil && v > 0 {
			break // nothing lies before it that could be joined again
		}
		t := s.tables[s.from][v]
		for c, q := range t.at {
			set := s.p.full
			if ready != nil {
				set = 0
				for m, w := range ready {
					if v == 0 && w.a0 <= q && q <= w.a1 || v == 1 && w.b0 <= q {
						set |= 1 << m
					}
				}
			}
			for of, l := range t.labels[c] {
				if l.mask &= set; l.mask != 0 {
					l.variant = int8(v) // of this stage itself; the next one's is read again below
					x = choice{q, int32(c), int32(of), l, set, l.mask}
					do(&x)
				}
			}
		}
	}
}

// count is in how many members a choice holds; at most in so many where its boards were not looked at.
func (c *choice) count() int { return bits.OnesCount64(c.holds) }

// before puts choices in order: what ends sooner, then what holds in more members, then of equals the one
// that begins last: shortest on site.
func (c *choice) before(x *choice) int {
	return cmp.Or(cmp.Compare(c.end, x.end), cmp.Compare(x.count(), c.count()), cmp.Compare(x.q, c.q))
}

// rank picks the plans worth telling, some of the frontier among them: those that hold in more members
// than any before them.
func (p *Prepared) rank(r *Result, s *search, ready []window, frontier int) {
	var first [65]choice // the first in order of those that hold in so many members or more
	var sure []choice
	s.each(ready, func(c *choice) {
		if p.sure(c.mask) {
			sure = append(sure, *c)
		}
		// Boards can only make it worse: they are looked at where it would be told were they dry.
		if x := &first[c.count()]; x.mask != 0 && c.before(x) >= 0 {
			return
		}
		c.holds = s.dry(c)
		if c.count() < s.least {
			return
		}
		for k := c.count(); k > 0 && (first[k].mask == 0 || c.before(&first[k]) < 0); k-- {
			first[k] = *c
		}
	})
	if c := p.surest(s, sure); c != nil {
		r.Sure = s.plan(c)
	}
	rising := falling(&first)
	if len(rising) == 0 {
		return
	}
	r.Likeliest = s.plan(rising[0])
	slices.Reverse(rising)
	if over := len(rising) - frontier; over > 0 && frontier > 0 {
		rising = slices.Delete(rising, frontier-1, len(rising)-1)
	}
	for _, c := range rising[:min(frontier, len(rising))] {
		r.Frontier = append(r.Frontier, *s.plan(c))
	}
}

// falling are the choices of a list by members, from the likeliest on, that each end sooner than the one before.
func falling(first *[65]choice) []*choice {
	var out []*choice
	for k := len(first) - 1; k > 0; k-- {
		c := &first[k]
		if c.mask != 0 && (len(out) == 0 || c.before(out[len(out)-1]) < 0) {
			out = append(out, c)
		}
	}
	return out
}

// surest is of the choices that are sure with dry boards too and done on the first day the one that holds so in the most members:
// noon is no better than three o'clock where it is less sure. Nil for none.
func (p *Prepared) surest(s *search, sure []choice) *choice {
	slices.SortStableFunc(sure, func(a, b choice) int { return a.before(&b) })
	var best *choice
	most := 0
	for i := range sure {
		c := &sure[i]
		if best != nil && p.dayOf(c.end) != p.dayOf(best.end) {
			break
		}
		if c.count() <= most {
			continue
		}
		if c.holds = s.dry(c); p.sure(c.holds) && c.count() > most {
			best, most = c, c.count()
		}
	}
	return best
}

// better reports whether a day had better begin with one choice than with another.
func (p *Prepared) better(a, b *choice) bool {
	pa, pb := p.chance(a.holds), p.chance(b.holds)
	sa, sb := p.sure(a.holds), p.sure(b.holds)
	switch {
	case sa != sb:
		return sa
	case sa && p.dayOf(a.end) != p.dayOf(b.end):
		return p.dayOf(a.end) < p.dayOf(b.end)
	case pa != pb:
		return pa > pb
	case a.end != b.end:
		return a.end < b.end
	}
	return a.q < b.q
}

// days gives every day its best beginning, no more than some.
func (p *Prepared) days(r *Result, s *search, ready []window, most int) {
	if int(s.lo) >= p.n {
		return
	}
	from := p.day[s.lo]
	best := make([]choice, min(int(p.day[p.n-1]-from)+1, most))
	wet := make([]bool, len(best))
	s.each(ready, func(c *choice) {
		d := int(p.day[c.q] - from)
		// What is no better with dry boards is no better with its own.
		if d >= len(best) || best[d].mask != 0 && !p.better(c, &best[d]) {
			return
		}
		c.holds = s.dry(c)
		if c.count() < max(1, s.least) {
			wet[d] = true
		} else if best[d].mask == 0 || p.better(c, &best[d]) {
			best[d] = *c
		}
	})
	for q, d := int(s.lo), 0; q < p.n && d < len(best); q++ {
		if int(p.day[q]-from) < d {
			continue
		}
		t := p.TimeOf(q).In(p.zone())
		b := DayBest{Day: time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, p.zone())}
		if c := &best[d]; c.mask != 0 {
			b.Plan = s.plan(c)
		} else if wet[d] {
			b.Why = wetFirst
		} else {
			b.Why = p.whyNot(s.from, p.day[q], int(s.lo))
		}
		r.Days = append(r.Days, b)
		d++
	}
}

// place is where a label puts a stage: its variant and quarter, and the end of all that
// follows.
type place struct {
	v   int
	q   int32
	end int32
}

// follow reads the labels from a choice to the end.
func (s *search) follow(c *choice) []place {
	var places []place
	v, cand, of := int(c.variant), c.cand, c.of
	for i := s.from; ; i++ {
		t := s.tables[i][v]
		l := t.labels[cand][of]
		places = append(places, place{v: v, q: t.at[cand], end: l.end})
		if l.next < 0 {
			return places
		}
		v, cand, of = int(l.variant), l.next, l.of
	}
}

// plan follows the labels from a choice to the end.
func (s *search) plan(c *choice) *Plan { return s.planAt(s.follow(c), c.mask, s.dry(c), c.ready) }

// planAt is the plan of places that all hold in a set of members, and in those of them in which it holds with its boards dry too; what
// lies before it is ready in some.
func (s *search) planAt(places []place, set, mask, ready uint64) *Plan {
	p := s.p
	out := &Plan{Begin: p.TimeOf(int(places[0].q)), P: p.chance(mask), mask: set, holds: mask}
	dry := s.dryIn(places, p.full)
	days, worked := map[int32]bool{}, set
	if set == 0 {
		worked = p.full
	}
	end := int32(0)
	holds := make([]uint64, len(places))
	for k, at := range places {
		var slot Slot
		slot, end = s.slot(places, k, set)
		i := slot.Stage
		holds[k] = s.holdsAt(places, k, ready)
		holds[k] &= dry[k]
		slot.P = p.chance(holds[k])
		for q := at.q; q < end; q++ {
			if p.class[p.stages[i].class].ok[q]&worked != 0 || p.stages[i].finish[at.v] == nil {
				days[p.day[q]] = true
			}
		}
		out.Slots = append(out.Slots, slot)
		if slot.P < out.Slots[out.Weakest].P {
			out.Weakest = k
		}
	}
	out.Finish = p.TimeOf(int(end))
	out.Days = len(days)
	p.callAll(out, holds)
	p.sayAged(out)
	out.Rehearsed = p.rehearse(out)
	return out
}

// slot is one stage of a plan that holds in a set of members, and the quarter by which it has
// ended in all of them.
func (s *search) slot(places []place, k int, set uint64) (Slot, int32) {
	p, at, i := s.p, places[k], s.from+k
	st := &p.in.Stages[i]
	slot := Slot{Stage: i, Key: st.Key, Name: st.Name, Kind: st.Kind, Deck: st.Deck, Start: p.TimeOf(int(at.q)), Hold: st.Hold}
	if at.v == 1 {
		slot.Again = st.AgainWhy
	}
	if set == 0 {
		set = p.stages[i].ok[at.v][at.q] // of a plan that holds nowhere each stage is told by itself
	}
	if set == 0 {
		return p.nowhere(slot, at)
	}
	// What follows joins on to the end of its own course, and so does what is told.
	slot.course = bits.TrailingZeros64(set)
	end, safe := int32(0), int32(0)
	f := p.stages[i].film
	for left := set; left != 0; left &= left - 1 {
		m := bits.TrailingZeros64(left)
		is := p.endOf(i, at.v, m, at.q)
		end = max(end, is)
		if f == nil || st.SafeAt == None {
			continue
		}
		if r := f.reach[st.SafeAt][m][is]; r != never {
			safe = max(safe, r)
		}
	}
	told := p.endOf(i, at.v, slot.course, at.q)
	slot.End, slot.late = p.TimeOf(int(told)), p.TimeOf(int(end))
	first, latest := s.room(places, k, set)
	slot.Earliest, slot.Latest = p.TimeOf(int(first)), p.TimeOf(int(latest))
	slot.Over = p.over(i, at.q, told, set)
	if f == nil || st.SafeAt == None {
		return slot, end
	}
	if r := f.reach[st.SafeAt][slot.course][told]; r != never {
		slot.SafeBy, slot.SafeByLate = p.TimeOf(int(r)), p.TimeOf(int(safe))
	}
	return slot, end
}

// nowhere is a slot that can be done in no member at its place: as long as its work.
func (p *Prepared) nowhere(slot Slot, at place) (Slot, int32) {
	end := min(at.q+p.stages[slot.Stage].quarters[at.v], int32(p.n))
	slot.Earliest, slot.Latest, slot.End = slot.Start, slot.Start, p.TimeOf(int(end))
	slot.late = slot.End
	return slot, end
}

// room is the first and the last quarter of the day at which a stage of a plan may start
// with the rest left as it is; its own where nothing was searched.
func (s *search) room(places []place, k int, set uint64) (first, latest int32) {
	p, at, i := s.p, places[k], s.from+k
	first, latest = at.q, at.q
	if s.tables == nil {
		return first, latest
	}
	t := s.tables[i][at.v]
	for c := int(t.first[max(0, at.q-96)]); c < len(t.at) && t.at[c] <= at.q+96; c++ {
		q := t.at[c]
		if p.day[q] != p.day[at.q] || !s.serves(t, c, set, places[k].end) {
			continue
		}
		if k > 0 && p.joins(i, at.v, q, places[k-1].v, places[k-1].q, set)&set != set {
			continue
		}
		first, latest = min(first, q), max(latest, q)
	}
	return first, latest
}

// serves reports whether a candidate leads on in all of a set, by an end.
func (s *search) serves(t *table, c int, set uint64, end int32) bool {
	for _, l := range t.labels[c] {
		if l.mask&set == set && l.end <= end {
			return true
		}
	}
	return false
}

// joins gives the members of a set in which stage i at q may follow the one before it.
func (p *Prepared) joins(i, v int, q int32, vBefore int, qBefore int32, set uint64) uint64 {
	out := uint64(0)
	for left := set; left != 0; left &= left - 1 {
		m := bits.TrailingZeros64(left)
		w := p.follows(i, vBefore, m, qBefore, p.endOf(i-1, vBefore, m, qBefore))
		if v == 0 && w.a0 <= q && q <= w.a1 || v == 1 && w.b0 <= q {
			out |= 1 << m
		}
	}
	return out
}

// Target is the probability that counts as sure, 0 to 1.
func (p *Prepared) Target() float64 { return p.in.Target }

// Stage is a stage of the input.
func (p *Prepared) Stage(i int) Stage { return p.in.Stages[i] }

// Zone is the local time of the programme.
func (p *Prepared) Zone() *time.Location { return p.zone() }

// Moments are the first course of the weather.
func (p *Prepared) Moments() []weather.Moment { return p.in.Members[0] }

// dayOf is the local day on which work that has ended by a quarter is done.
func (p *Prepared) dayOf(end int32) int32 { return p.day[max(0, min(int(end), p.n)-1)] }

// dayBegins is the least end of work that is not done before the day of another end.
func (p *Prepared) dayBegins(end int32) int32 {
	for end > 1 && p.dayOf(end-1) == p.dayOf(end) {
		end--
	}
	return end
}
