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
	for skip := 0; skip < 8; skip++ {
		plan := m.dive(ctx, bound, skip)
		if plan != nil && o.costOf(plan) < goal() {
			best = plan
		}
		if best != nil && goal() <= bound {
			return best, bound, "a rounded pattern plan meets the pattern bound"
		}
		if ctx.Err() != nil {
			return best, bound, "stopped while rounding the pattern plan"
		}
	}
	return best, bound, "pattern bound and rounded pattern plan"
}
