package cutting

import "context"

// search runs the stages in order and stops as soon as plan and bound meet. It
// returns the best plan (nil if none fits the stock), the proven bound in cost
// units, and in words how it ended.
func (o *order) search(ctx context.Context) ([]use, int64, string) {
	bound := o.quickBound()
	best := o.firstPlan(bound)
	if best != nil && o.costOf(best) <= bound {
		return best, bound, "a quick plan meets the length bound"
	}
	if ctx.Err() != nil {
		return best, bound, "stopped by the caller after the quick plan"
	}
	if len(o.w) > patternSizes {
		return best, bound, "quick plan and length bound; the order has too many different lengths for the pattern bound"
	}
	m := newMaster(o)
	m.purse = o.newPurse(best)
	if bound = m.purse.atLeast(bound); best != nil && o.costOf(best) <= bound {
		return best, bound, "a quick plan meets what whole bars must cost"
	}
	for _, u := range best {
		m.add(u.pattern)
	}
	goal := func() int64 {
		if best == nil {
			return 1 << 62
		}
		return o.costOf(best)
	}
	lpBound, how := m.generate(ctx, bound, goal(), false)
	bound = max(bound, m.purse.atLeast(lpBound))
	if bound >= goal() {
		return best, bound, "the pattern bound meets a quick plan"
	}
	if how == stopped {
		return best, bound, "stopped during the pattern bound"
	}
	return o.close(ctx, m, best, bound)
}

// close alternates quick dives with the exact search until plan and bound meet.
func (o *order) close(ctx context.Context, m *master, best []use, bound int64) ([]use, int64, string) {
	cost := func() int64 {
		if best == nil {
			return 1 << 62
		}
		return o.costOf(best)
	}
	for skip := 0; skip < dives; skip++ {
		if plan := m.dive(ctx, bound, cost(), skip); plan != nil && o.costOf(plan) < cost() {
			best = plan
		}
		if cost() <= bound {
			return best, bound, "a rounded pattern plan meets the pattern bound"
		}
		if skip != divesBefore || best == nil {
			continue
		}
		plan, b, v := o.decide(ctx, m, best, bound)
		if best, bound = plan, b; v != undecided {
			return best, bound, "an exhaustive search of the patterns that matter"
		}
	}
	if ctx.Err() != nil {
		return best, bound, "stopped by the caller in the exact search"
	}
	return best, bound, "the exact search came to the end of its budget"
}

// decide lists the patterns that a cheaper plan could use and searches them, again
// and again until nothing cheaper exists.
func (o *order) decide(ctx context.Context, m *master, best []use, bound int64) ([]use, int64, verdict) {
	m.generate(ctx, 0, 1<<62, true) // to the end: the last duals list the fewest patterns
	state := m.lp.Save()
	defer func() {
		m.allowAll()
		m.lp.Restore(state)
	}()
	for o.costOf(best) > bound {
		goal := m.purse.below(o.costOf(best))
		m.allowAll()
		m.lp.Restore(state)
		m.settle(ctx)
		listed, ok := m.enumerate(m.lastPrices(), goal)
		if !ok {
			return best, bound, undecided
		}
		plan, v := m.finish(ctx, listed, goal)
		switch v {
		case noPlan:
			return best, o.costOf(best), noPlan
		case undecided:
			return best, bound, undecided
		}
		best = plan
	}
	return best, bound, foundPlan
}

func (m *master) allowAll() {
	for j := range m.pats {
		m.lp.Allow(j)
	}
}

// patternSizes is how many different lengths the pattern programme takes.
const patternSizes = 1500

// dives is how many different dives are tried; after divesBefore and one more comes the exact search.
const (
	dives       = 10
	divesBefore = 1
)

// lastPrices are the programme's present duals in whole numbers.
func (m *master) lastPrices() prices {
	y := make([]float64, m.lp.Rows())
	for r := range y {
		y[r] = m.lp.Dual(r)
	}
	return m.price(y)
}

// newPurse lists the costs that whole bars can make up, for orders with several
// kinds of stock; with one kind every multiple of its cost can be paid.
func (o *order) newPurse(best []use) *purse {
	if len(o.cap) < 2 || best == nil {
		return nil
	}
	var need int64
	size := make([]int64, len(o.cap))
	for k, c := range o.cap {
		size[k] = int64(c)
	}
	for i, w := range o.w {
		need += int64(w) * int64(o.d[i])
	}
	return newPurse(o.cost, o.avail, size, need, o.costOf(best))
}
