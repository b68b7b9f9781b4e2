package cutting

import (
	"context"
)

// Solve returns the cheapest plan it can find and prove for p. It is anytime: when
// ctx ends it returns the best plan so far with its bound and gap, so an ended ctx
// still gives the quick plan. A second limit, counted in steps, ends very hard
// orders the same way on every machine.
//
// Errors: ErrInput, ErrTooLong, ErrTooBig (all faults joined, each a *Fault);
// ErrNotEnough when no plan fits the stock in hand or none was found.
func Solve(ctx context.Context, p Problem) (Plan, error) {
	if err := p.check(); err != nil {
		return Plan{}, err
	}
	o := plain(p)
	if len(o.w) == 0 {
		return Plan{Optimal: true, Note: "nothing to cut"}, nil
	}
	uses, bound, note := o.search(ctx)
	if uses == nil {
		return Plan{}, o.notEnough(p)
	}
	return o.planOf(p, uses, bound, note), nil
}

// notEnough says what is short when the stock in hand does not suffice.
func (o *order) notEnough(p Problem) error {
	need, have := 0, 0
	for i, w := range o.w {
		need += w * o.d[i]
	}
	for k, size := range o.cap {
		have += size * o.avail[k]
	}
	text := "the bars in hand are long enough in sum, but no way was found to cut all pieces from them"
	if need > have {
		text = "the pieces are longer in sum than all bars in hand"
	}
	return &Fault{ErrNotEnough, "stock", text, "Add bars, or a stock without limit"}
}
