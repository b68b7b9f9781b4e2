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
	m := newMaster(o)
	for _, u := range best {
		m.add(u.pattern)
	}
	goal := func() int64 {
		if best == nil {
			return 1 << 62
		}
		return o.costOf(best)
	}
	lpBound, how := m.generate(ctx, goal())
	bound = max(bound, lpBound)
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
		if plan := m.dive(ctx, bound, skip); plan != nil && o.costOf(plan) < cost() {
			best = plan
		}
		switch {
		case cost() <= bound:
			return best, bound, "a rounded pattern plan meets the pattern bound"
		case ctx.Err() != nil:
			return best, bound, "stopped by the caller while rounding the pattern plan"
		}
	}
	if best == nil {
		return nil, bound, ""
	}
	m.generate(ctx, 1<<62) // to the end: the last duals list the fewest patterns
	for cost() > bound {
		goal := cost() - 1
		listed, ok := m.enumerate(m.lastPrices(), goal)
		if !ok {
			return best, bound, "too many patterns to list"
		}
		plan, v := m.finish(ctx, listed, goal)
		if v == noPlan {
			return best, cost(), "an exhaustive search found nothing cheaper"
		}
		if v == undecided {
			if ctx.Err() != nil {
				return best, bound, "stopped by the caller in the exact search"
			}
			return best, bound, "the exact search came to the end of its budget"
		}
		best = plan
	}
	return best, bound, "the exact search met the pattern bound"
}

// dives is how many different dives are tried before the exact search.
const dives = 4

// lastPrices are the programme's present duals in whole numbers.
func (m *master) lastPrices() prices {
	y := make([]float64, m.lp.Rows())
	for r := range y {
		y[r] = m.lp.Dual(r)
	}
	return m.price(y)
}
