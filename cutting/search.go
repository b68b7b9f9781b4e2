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
	return best, bound, "quick plan and length bound"
}
