package cutting

import "context"

// sheetSearch is the best plan so far and the proven bound.
type sheetSearch struct {
	o     *sheetOrder
	best  []sheetUse
	bound int64
	purse *purse
}

// cost of the best plan, more than any where there is none.
func (s *sheetSearch) cost() int64 {
	if s.best == nil {
		return 1 << 62
	}
	return s.o.costOf(s.best)
}

func (s *sheetSearch) closed() bool { return s.cost() <= s.bound }

// offer takes a plan that is cheaper.
func (s *sheetSearch) offer(plan []sheetUse) {
	if plan != nil && s.o.costOf(plan) < s.cost() {
		s.best = plan
	}
}

// raise takes a bound that is higher, as whole sheets can make it up.
func (s *sheetSearch) raise(bound int64) { s.bound = max(s.bound, s.purse.atLeast(bound)) }

// search runs the stages in order and stops as soon as plan and bound meet.
func (o *sheetOrder) search(ctx context.Context) ([]sheetUse, int64, string) {
	s := &sheetSearch{o: o, bound: max(o.areaBound(), o.dffBound())}
	how := s.run(ctx)
	return s.best, s.bound, how
}

func (s *sheetSearch) run(ctx context.Context) string {
	o := s.o
	s.best = o.firstPlan(s.bound)
	if s.closed() {
		return "a quick plan meets the area bound"
	}
	if ctx.Err() != nil {
		return "stopped by the caller after the quick plan"
	}
	s.purse = o.newPurse(s.best)
	if s.raise(s.bound); s.closed() {
		return "a quick plan meets what whole sheets must cost"
	}
	if remaining(o.demand()) <= wholeAtOnce {
		if s.decideWhole(ctx); s.closed() {
			return "an exhaustive search of all sheets that can be cut"
		}
	}
	if s.best != nil && o.effort > 0 {
		if how := s.deeper(ctx); s.closed() {
			return how
		}
	}
	m := newSheetMaster(o)
	if m == nil {
		return "quick plan and area bound; the panels' sizes are too many for the pattern bound"
	}
	s.patterns(ctx, m)
	switch {
	case s.closed():
		return "plan and pattern bound meet"
	case ctx.Err() != nil:
		return "stopped by the caller"
	case m.spent():
		return "the search came to the end of its budget"
	}
	return "pattern bound and rounded pattern plans"
}

// deeper tries what takes longer than one order of many may.
func (s *sheetSearch) deeper(ctx context.Context) string {
	panels := remaining(s.o.demand())
	if s.offer(s.o.rebuild(ctx, s.best, s.bound)); s.closed() {
		return "a plan cut anew sheet by sheet meets the bound"
	}
	steps := []struct {
		run func(context.Context)
		how string
	}{
		{s.decide, "an exhaustive search of the sheets that waste little"},
		{s.weave, "sheets filled one after another meet the bound"},
		{s.settle, "sheets filled anew with what was left over meet the bound"},
		{s.decideWhole, "an exhaustive search of all sheets that can be cut"},
	}
	if panels <= wholeFirst {
		steps[1], steps[3] = steps[3], steps[1]
	}
	for _, t := range steps {
		if t.run(ctx); s.closed() {
			return t.how
		}
	}
	return ""
}

// wholeAtOnce and wholeFirst are how many panels an order has at most of which all sheets that can be cut are listed at
// once, whatever the effort, and before sheets are filled.
const (
	wholeAtOnce = 10
	wholeFirst  = 20
)

// patterns bounds the order by the pattern programme and rounds it to plans, first with
// unlimited copies of a panel on a sheet and then, where that can be afforded, with limited.
func (s *sheetSearch) patterns(ctx context.Context, m *sheetMaster) {
	o := s.o
	for _, u := range s.best {
		m.add(u)
	}
	s.offer(o.complete(o.demand(), o.available(), m.grids, s.bound))
	b, _ := m.generate(ctx, s.cost())
	s.raise(b)
	s.dive(ctx, m, sheetDives, func() bool { return true })
	if s.closed() || ctx.Err() != nil || m.spent() || remaining(o.demand()) > properPanels || !m.mayBeProper() {
		return
	}
	m.proper = true
	b, _ = m.generate(ctx, s.cost())
	s.raise(b)
	s.dive(ctx, m, 2, func() bool { return m.joins > 0 })
}

// dive rounds the programme to whole sheets in so many ways.
func (s *sheetSearch) dive(ctx context.Context, m *sheetMaster, times int, more func() bool) {
	for skip := 0; skip < times && !s.closed() && ctx.Err() == nil && more() && !m.spent(); skip++ {
		s.offer(m.dive(ctx, s.bound, s.cost(), skip))
	}
}

// sheetDives is how many different dives are tried.
const sheetDives = 4

// properPanels is the size of an order up to which copies are limited in pricing too.
const properPanels = 300

// trim takes surplus panels out of the plan and drops sheets that are then empty.
func (o *sheetOrder) trim(uses []sheetUse) []sheetUse {
	left := o.demand()
	var out []sheetUse
	for _, u := range uses {
		fits := u.times
		for i, n := range u.a {
			if n > 0 {
				fits = min(fits, left[i]/n)
			}
		}
		if fits > 0 {
			for i, n := range u.a {
				left[i] -= n * fits
			}
			v := u
			v.times = fits
			out = append(out, v)
		}
		for t := fits; t < u.times; t++ {
			v := sheetUse{u.k, u.root.within(left), make([]int, len(left)), 1}
			v.root.count(v.a)
			if remaining(v.a) > 0 {
				out = append(out, v)
			}
		}
	}
	return out
}

// within copies a part tree, keeping an item only while left says it is wanted.
func (q *part) within(left []int) *part {
	if q == nil {
		return nil
	}
	c := *q
	if c.item >= 0 {
		if left[c.item] > 0 {
			left[c.item]--
		} else {
			c.item = -1
		}
	}
	c.a, c.b = q.a.within(left), q.b.within(left)
	return &c
}

// newPurse lists the costs that whole sheets can make up; see order.newPurse.
func (o *sheetOrder) newPurse(best []sheetUse) *purse {
	if len(o.sheets) < 2 || best == nil {
		return nil
	}
	var cost, size []int64
	var need int64
	for _, s := range o.sheets {
		cost, size = append(cost, s.cost), append(size, s.area())
	}
	for _, t := range o.items {
		need += t.area * int64(t.d)
	}
	return newPurse(cost, o.available(), size, need, o.costOf(best))
}
