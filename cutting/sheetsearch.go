package cutting

import "context"

// search runs the stages in order and stops as soon as plan and bound meet.
func (o *sheetOrder) search(ctx context.Context) ([]sheetUse, int64, string) {
	bound := max(o.areaBound(), o.dffBound())
	best := o.firstPlan(bound)
	cost := func() int64 {
		if best == nil {
			return 1 << 62
		}
		return o.costOf(best)
	}
	if cost() <= bound {
		return best, bound, "a quick plan meets the area bound"
	}
	if ctx.Err() != nil {
		return best, bound, "stopped by the caller after the quick plan"
	}
	purse := o.newPurse(best)
	if bound = purse.atLeast(bound); cost() <= bound {
		return best, bound, "a quick plan meets what whole sheets must cost"
	}
	m := newSheetMaster(o)
	if m == nil {
		return best, bound, "quick plan and area bound; the panels' sizes are too many for the pattern bound"
	}
	for _, u := range best {
		m.add(u)
	}
	if plan := o.complete(o.demand(), o.available(), m.grids, bound); plan != nil && o.costOf(plan) < cost() {
		best = plan
	}
	lpBound, _ := m.generate(ctx, cost())
	bound = max(bound, purse.atLeast(lpBound))
	for skip := 0; skip < sheetDives && cost() > bound && ctx.Err() == nil && !m.spent(); skip++ {
		if plan := m.dive(ctx, bound, cost(), skip); plan != nil && o.costOf(plan) < cost() {
			best = plan
		}
	}
	if cost() > bound && ctx.Err() == nil && !m.spent() && remaining(o.demand()) <= properPanels && m.mayBeProper() {
		m.proper = true
		b, _ := m.generate(ctx, cost())
		bound = max(bound, purse.atLeast(b))
		for skip := 0; skip < 2 && cost() > bound && ctx.Err() == nil && m.joins > 0 && !m.spent(); skip++ {
			if plan := m.dive(ctx, bound, cost(), skip); plan != nil && o.costOf(plan) < cost() {
				best = plan
			}
		}
	}
	switch {
	case cost() <= bound:
		return best, bound, "plan and pattern bound meet"
	case ctx.Err() != nil:
		return best, bound, "stopped by the caller"
	case m.spent():
		return best, bound, "the search came to the end of its budget"
	}
	return best, bound, "pattern bound and rounded pattern plans"
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
