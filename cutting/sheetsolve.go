package cutting

import (
	"context"
	"math/bits"
)

// SolveSheets returns the cheapest guillotine plan it can find and prove for p. It
// is anytime and bounded in steps like Solve, and reports faults the same way.
func SolveSheets(ctx context.Context, p SheetProblem) (SheetPlan, error) {
	if err := p.check(); err != nil {
		return SheetPlan{}, err
	}
	o := plainSheets(p)
	if len(o.items) == 0 {
		return SheetPlan{Optimal: true, Note: "nothing to cut"}, nil
	}
	uses, bound, note := o.search(ctx)
	if uses == nil {
		return SheetPlan{}, &Fault{ErrNotEnough, "stock", "no way was found to cut all panels from the sheets in hand",
			"Add sheets, or a sheet size without limit"}
	}
	return o.planOf(p, o.trim(uses), bound, note), nil
}

// areaBound fills the cheapest area first, as if panels could be split.
func (o *sheetOrder) areaBound() int64 {
	var total int64
	for _, t := range o.items {
		total += t.area * int64(t.d)
	}
	used := make([]bool, len(o.sheets))
	var bound int64
	for total > 0 {
		best := -1
		for k, s := range o.sheets {
			if !used[k] && (best < 0 || less128(s.cost, o.sheets[best].area(), o.sheets[best].cost, s.area())) {
				best = k
			}
		}
		if best < 0 {
			return bound
		}
		used[best] = true
		s := o.sheets[best]
		n := min(total/s.area(), int64(s.avail))
		bound += n * s.cost
		total -= n * s.area()
		if n == int64(s.avail) || total == 0 {
			continue
		}
		hi, lo := bits.Mul64(uint64(s.cost), uint64(total))
		q, r := bits.Div64(hi, lo, uint64(s.area()))
		if r > 0 {
			q++
		}
		return bound + int64(q)
	}
	return bound
}

func (s sheetType) area() int64 { return int64(s.l) * int64(s.w) }
