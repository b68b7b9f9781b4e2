package programme

import (
	"cmp"
	"slices"

	"gelwright/weather"
)

// serving is the plan to go by of a whole that is not sure: of the starts at which the next stretch of work holds by itself the one
// from which the whole is likeliest, and another of the same day as the question, or now, where that is worth as much. Where the
// stretch holds at none, the whole's own plan, which is not to be begun. Nil where the whole finds no end in the weather known, and
// where the stretch holds at starts alone from which it finds none: alone is the plan of the stretch by itself.
func (p *Prepared) serving(k *asked, alone *Plan) *Plan {
	r := k.whole
	if r.search == nil || r.Likeliest == nil {
		return nil
	}
	best, today := p.holding(k)
	switch {
	case best == nil && alone != nil && alone.Slots[0].Call.Verdict == weather.Go:
		return nil
	case best == nil:
		return r.Likeliest
	}
	now := p.startingAt(r, k.lo, k.ready)
	for _, x := range []*Plan{now, today} {
		if x != nil && x.Slots[0].Call.Verdict == weather.Go && x.P >= best.P-worth {
			return x
		}
	}
	return best
}

// holding is the likeliest whole whose first stretch of work holds by itself, and the likeliest of the day of the question where it
// is worth as much; nil for none.
func (p *Prepared) holding(k *asked) (best, today *Plan) {
	s := k.whole.search
	var list []choice
	s.each(k.ready, func(c *choice) {
		if c.holds = s.dry(c); c.holds != 0 {
			list = append(list, *c)
		}
	})
	slices.SortStableFunc(list, func(a, b choice) int {
		return cmp.Or(cmp.Compare(b.count(), a.count()), cmp.Compare(a.end, b.end), cmp.Compare(a.q, b.q))
	})
	for i := range list {
		c := &list[i]
		if best != nil && p.chance(c.holds) < best.P-worth {
			break
		}
		isToday := p.day[c.q] == p.day[k.lo]
		if best != nil && !isToday || !p.sure(s.beginning(c)) {
			continue
		}
		plan := s.plan(c)
		if best == nil {
			best = plan
		}
		if isToday {
			return best, plan
		}
	}
	return best, nil
}

// beginning is the members in which the first stretch of a choice holds, to the first place where it may be left.
func (s *search) beginning(c *choice) uint64 {
	p, places := s.p, s.follow(c)
	dry, set := s.dryIn(places, s.p.full), s.p.full
	for k := range places {
		if k > 0 && !s.unparted(places, k) {
			break
		}
		set &= s.holdsAt(places, k, c.ready) & dry[k]
	}
	return set & p.full
}

// unparted reports whether a place cannot be parted from the one before it, as goesOn does of slots.
func (s *search) unparted(places []place, k int) bool {
	p, i := s.p, s.from+k
	st, before := &p.in.Stages[i], &p.in.Stages[i-1]
	if st.Kind == Laminate && before.Kind == Laminate && st.Deck == before.Deck && places[k].v == 0 &&
		places[k].q == p.endOf(i-1, places[k-1].v, 0, places[k-1].q) {
		return true
	}
	return st.Join.bounded() && st.Again == nil
}

// holdsAt is the members in which a stage of a plan holds at its place, behind the one before it; boards apart. The one before it is
// taken for done at its own place, whether it held there or not: what it breaks is told of it. Where its end hangs on the weather it
// is done in the members in which it can be.
func (s *search) holdsAt(places []place, k int, ready uint64) uint64 {
	p, at, i := s.p, places[k], s.from+k
	set := p.stages[i].ok[at.v][at.q]
	if k == 0 {
		return set & ready
	}
	before, done := places[k-1], p.full
	if x := &p.stages[i-1]; x.finish[before.v] != nil {
		done = x.ok[before.v][before.q]
	}
	return set & p.joins(i, at.v, at.q, before.v, before.q, done)
}
