package cutting

import (
	"errors"
	"fmt"
	"math"
)

// Verify checks a plan against its problem by counting alone, knowing nothing of
// how the plan was made: every bar is a stock that exists and holds its pieces and
// saw cuts, no stock is used beyond what is available, every piece is cut exactly
// as often as wanted, offcuts and cost add up, and the bound does not exceed the
// cost. It returns all faults joined, or nil.
func Verify(p Problem, plan Plan) error {
	var faults []error
	bad := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	type kind struct {
		name   string
		length int
	}
	avail, price := map[kind]int{}, map[kind]float64{}
	priced := false
	for _, s := range p.Stocks {
		priced = priced || s.Cost > 0
	}
	for _, s := range p.Stocks {
		k := kind{s.Name, s.LengthMM}
		cost := s.Cost
		if !priced {
			cost = float64(s.LengthMM)
		}
		if old, twice := avail[k]; twice {
			if old < 0 || s.Available < 0 {
				avail[k] = -1
			} else {
				avail[k] = old + s.Available
			}
			price[k] = math.Min(price[k], cost)
			continue
		}
		avail[k], price[k] = s.Available, cost
	}
	used, cut := map[kind]int{}, map[kind]int{}
	cost := 0.0
	for n, b := range plan.Bars {
		k := kind{b.Stock, b.LengthMM}
		if _, known := avail[k]; !known {
			bad("bar %d: there is no stock %q of %d mm", n+1, b.Stock, b.LengthMM)
		}
		if b.Count <= 0 || len(b.Cuts) == 0 {
			bad("bar %d: it is cut %d times into %d sizes", n+1, b.Count, len(b.Cuts))
		}
		used[k] += b.Count
		cost += price[k] * float64(b.Count)
		length, pieces := 0, 0
		for _, c := range b.Cuts {
			if c.Count <= 0 {
				bad("bar %d: %d of piece %q", n+1, c.Count, c.Piece)
			}
			length += c.LengthMM * c.Count
			pieces += c.Count
			cut[kind{c.Piece, c.LengthMM}] += c.Count * b.Count
		}
		if need := length + (pieces-1)*p.KerfMM; need > b.LengthMM {
			bad("bar %d: pieces and saw cuts need %d mm of %d mm", n+1, need, b.LengthMM)
		}
		if off := max(0, b.LengthMM-length-pieces*p.KerfMM); off != b.OffcutMM {
			bad("bar %d: the offcut is %d mm, the plan says %d mm", n+1, off, b.OffcutMM)
		}
	}
	for _, s := range p.Stocks {
		k := kind{s.Name, s.LengthMM}
		if avail[k] >= 0 && used[k] > avail[k] {
			bad("stock %q: %d bars are used, %d are available", s.Name, used[k], avail[k])
			used[k] = 0
		}
	}
	want := map[kind]int{}
	for _, q := range p.Pieces {
		want[kind{q.Name, q.LengthMM}] += q.Count
	}
	for _, q := range p.Pieces {
		k := kind{q.Name, q.LengthMM}
		if cut[k] != want[k] {
			bad("piece %q of %d mm: %d cut, %d wanted", q.Name, q.LengthMM, cut[k], want[k])
		}
		delete(cut, k)
		delete(want, k)
	}
	if len(cut) > 0 {
		bad("%d sizes are cut that nobody ordered", len(cut))
	}
	if math.Abs(cost-plan.Cost) > 1e-9*math.Max(1, cost) {
		bad("the bars cost %v, the plan says %v", cost, plan.Cost)
	}
	return errors.Join(append(faults, boundFaults(plan.Cost, plan.LowerBound, plan.Gap, plan.Optimal)...)...)
}

// boundFaults checks that cost, bound, gap and the word optimal agree.
func boundFaults(cost, bound, gap float64, optimal bool) []error {
	var faults []error
	if !(bound >= 0 && bound <= cost) {
		faults = append(faults, fmt.Errorf("the bound %v is not between 0 and the cost %v", bound, cost))
	}
	if optimal && gap != 0 {
		faults = append(faults, fmt.Errorf("called optimal with a gap of %v", gap))
	}
	if !optimal && math.Abs(gap-gapOf(cost, bound)) > 1e-12 {
		faults = append(faults, fmt.Errorf("the gap is %v, the plan says %v", gapOf(cost, bound), gap))
	}
	return faults
}
