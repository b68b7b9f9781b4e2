package cutting

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Verify checks a plan against its problem by counting alone, knowing nothing of
// how the plan was made: every bar is a stock that exists and holds its pieces and
// saw cuts, no stock is used beyond what is available, every piece is cut exactly
// as often as wanted, offcuts and cost add up, and the bound does not exceed the
// cost. It returns all faults joined, or nil.
func Verify(p Problem, plan Plan) error {
	c := barChecker{problem: p, avail: map[barKind]int{}, price: map[barKind]float64{}, used: map[barKind]int{}, cut: map[barKind]int{}}
	c.priceStocks()
	cost := 0.0
	for n, b := range plan.Bars {
		c.bar(n, b)
		cost += c.price[barKind{b.Stock, b.LengthMM}] * float64(b.Count)
	}
	c.stocks()
	c.pieces()
	if math.Abs(cost-plan.Cost) > 1e-9*math.Max(1, cost) {
		c.bad("the bars cost %v, the plan says %v", cost, plan.Cost)
	}
	return errors.Join(append(c.faults, boundFaults(plan.Cost, plan.LowerBound, plan.Gap, plan.Optimal)...)...)
}

// barKind is a stock or a piece by its name and length, mm.
type barKind struct {
	name   string
	length int
}

// barChecker counts what a plan uses and cuts.
type barChecker struct {
	problem Problem
	avail   map[barKind]int
	price   map[barKind]float64
	used    map[barKind]int
	cut     map[barKind]int
	faults  []error
}

func (c *barChecker) bad(format string, args ...any) {
	c.faults = append(c.faults, fmt.Errorf(format, args...))
}

// priceStocks takes down what there is of each stock and what it costs: what two lines of
// one name and length have together, at the lower price.
func (c *barChecker) priceStocks() {
	priced := slices.ContainsFunc(c.problem.Stocks, func(s Stock) bool { return s.Cost > 0 })
	for _, s := range c.problem.Stocks {
		k, cost := barKind{s.Name, s.LengthMM}, s.Cost
		if !priced {
			cost = float64(s.LengthMM)
		}
		old, twice := c.avail[k]
		switch {
		case !twice:
			c.avail[k], c.price[k] = s.Available, cost
			continue
		case old < 0 || s.Available < 0:
			c.avail[k] = -1
		default:
			c.avail[k] = old + s.Available
		}
		c.price[k] = math.Min(c.price[k], cost)
	}
}

// bar checks one line of a plan.
func (c *barChecker) bar(n int, b Bar) {
	k := barKind{b.Stock, b.LengthMM}
	if _, known := c.avail[k]; !known {
		c.bad("bar %d: there is no stock %q of %d mm", n+1, b.Stock, b.LengthMM)
	}
	if b.Count <= 0 || len(b.Cuts) == 0 {
		c.bad("bar %d: it is cut %d times into %d sizes", n+1, b.Count, len(b.Cuts))
	}
	c.used[k] += b.Count
	length, pieces, kerf := 0, 0, c.problem.KerfMM
	for _, q := range b.Cuts {
		if q.Count <= 0 {
			c.bad("bar %d: %d of piece %q", n+1, q.Count, q.Piece)
		}
		length += q.LengthMM * q.Count
		pieces += q.Count
		c.cut[barKind{q.Piece, q.LengthMM}] += q.Count * b.Count
	}
	if need := length + (pieces-1)*kerf; need > b.LengthMM {
		c.bad("bar %d: pieces and saw cuts need %d mm of %d mm", n+1, need, b.LengthMM)
	}
	if off := max(0, b.LengthMM-length-pieces*kerf); off != b.OffcutMM {
		c.bad("bar %d: the offcut is %d mm, the plan says %d mm", n+1, off, b.OffcutMM)
	}
}

// stocks checks that no stock is used beyond what there is.
func (c *barChecker) stocks() {
	for _, s := range c.problem.Stocks {
		k := barKind{s.Name, s.LengthMM}
		if c.avail[k] >= 0 && c.used[k] > c.avail[k] {
			c.bad("stock %q: %d bars are used, %d are available", s.Name, c.used[k], c.avail[k])
			c.used[k] = 0
		}
	}
}

// pieces checks that every piece is cut as often as wanted, and nothing else.
func (c *barChecker) pieces() {
	want := map[barKind]int{}
	for _, q := range c.problem.Pieces {
		want[barKind{q.Name, q.LengthMM}] += q.Count
	}
	for _, q := range c.problem.Pieces {
		k := barKind{q.Name, q.LengthMM}
		if c.cut[k] != want[k] {
			c.bad("piece %q of %d mm: %d cut, %d wanted", q.Name, q.LengthMM, c.cut[k], want[k])
		}
		delete(c.cut, k)
		delete(want, k)
	}
	if len(c.cut) > 0 {
		c.bad("%d sizes are cut that nobody ordered", len(c.cut))
	}
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
