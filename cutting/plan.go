package cutting

import (
	"fmt"
	"sort"
)

// trim takes surplus pieces out of the bars until every size is cut exactly as
// often as wanted, and drops bars that are then empty.
func (o *order) trim(uses []use) []use {
	surplus := make([]int, len(o.w))
	for i := range surplus {
		surplus[i] = -o.d[i]
	}
	for _, u := range uses {
		for t, i := range u.at {
			surplus[i] += int(u.num[t]) * u.times
		}
	}
	var out []use
	for _, u := range uses {
		for u.times > 0 {
			a := make([]int, len(o.w))
			drop := make([]int, len(o.w))
			batch := u.times
			for t, i := range u.at {
				n := int(u.num[t])
				if surplus[i] > 0 {
					drop[i] = min(n, surplus[i])
					batch = min(batch, surplus[i]/drop[i])
				}
				a[i] = n - drop[i]
			}
			for i := range drop {
				surplus[i] -= drop[i] * batch
			}
			if p := o.sparse(u.k, a); len(p.at) > 0 {
				out = append(out, use{p, batch})
			}
			u.times -= batch
		}
	}
	return out
}

// cheapen puts each bar's pieces on the cheapest stock that holds them.
func (o *order) cheapen(uses []use) []use {
	left := append([]int(nil), o.avail...)
	for _, u := range uses {
		left[u.k] -= u.times
	}
	var out []use
	for _, u := range uses {
		for u.times > 0 {
			left[u.k] += u.times
			k := o.bestStockFor(o.filled(u.pattern), left)
			if k < 0 || o.cost[k] >= o.cost[u.k] {
				k = u.k
			}
			n := min(u.times, left[k])
			left[k] -= n
			v := u
			v.k, v.times = k, n
			out = append(out, v)
			u.times -= n
			left[u.k] -= u.times
		}
	}
	return out
}

// nameQueue hands out the caller's names for pieces of one size.
type nameQueue struct {
	index []int // into Problem.Pieces
	left  []int
}

// take returns how many of each name the next n pieces have, without taking them.
func (q *nameQueue) take(n int) (index, count []int) {
	for t := 0; n > 0 && t < len(q.index); t++ {
		if c := min(n, q.left[t]); c > 0 {
			index = append(index, q.index[t])
			count = append(count, c)
			n -= c
		}
	}
	return index, count
}

func (q *nameQueue) remove(index, count []int, times int) {
	for s, i := range index {
		for t := range q.index {
			if q.index[t] == i {
				q.left[t] -= count[s] * times
			}
		}
	}
}

// repeats returns how many bars in a row get the same names.
func (q *nameQueue) repeats(index, count []int) int {
	times := maxTotal
	for s, i := range index {
		for t := range q.index {
			if q.index[t] == i {
				times = min(times, q.left[t]/count[s])
			}
		}
	}
	return times
}

// named turns patterns into bars with the caller's names. uses cover the order
// exactly (see trim).
func (o *order) named(p Problem, uses []use) []Bar {
	queues := make([]nameQueue, len(o.w))
	sizes := map[int]int{}
	g := 0
	for _, q := range p.Pieces {
		if q.Count > 0 {
			g = gcd(g, q.LengthMM+p.KerfMM)
		}
	}
	for i, w := range o.w {
		sizes[w*g] = i
	}
	for j, q := range p.Pieces {
		if q.Count > 0 {
			n := &queues[sizes[q.LengthMM+p.KerfMM]]
			n.index = append(n.index, j)
			n.left = append(n.left, q.Count)
		}
	}
	sort.SliceStable(uses, func(a, b int) bool { return lessUse(uses[a], uses[b]) })
	var bars []Bar
	for _, u := range uses {
		for u.times > 0 {
			bar, batch := o.nextBar(p, u, queues)
			bar.Count = batch
			u.times -= batch
			bars = append(bars, bar)
		}
	}
	return mergeBars(bars)
}

// nextBar names the pieces of the next bar and says for how many bars the names
// stay the same.
func (o *order) nextBar(p Problem, u use, queues []nameQueue) (Bar, int) {
	s := p.Stocks[o.from[u.k]]
	bar := Bar{Stock: s.Name, LengthMM: s.LengthMM}
	batch, filled := u.times, 0
	for t, i := range u.at {
		index, count := queues[i].take(int(u.num[t]))
		batch = min(batch, queues[i].repeats(index, count))
	}
	batch = max(batch, 1)
	for t, i := range u.at {
		index, count := queues[i].take(int(u.num[t]))
		queues[i].remove(index, count, batch)
		for c, j := range index {
			q := p.Pieces[j]
			bar.Cuts = append(bar.Cuts, Cut{q.Name, q.LengthMM, count[c]})
			filled += (q.LengthMM + p.KerfMM) * count[c]
		}
	}
	bar.OffcutMM = max(0, s.LengthMM-filled)
	return bar, batch
}

// lessUse puts stock in the caller's order and patterns longest pieces first.
func lessUse(a, b use) bool {
	if a.k != b.k {
		return a.k < b.k
	}
	for t := 0; t < len(a.at) && t < len(b.at); t++ {
		if a.at[t] != b.at[t] {
			return a.at[t] < b.at[t]
		}
		if a.num[t] != b.num[t] {
			return a.num[t] > b.num[t]
		}
	}
	return len(a.at) > len(b.at)
}

// mergeBars joins neighbouring bars that are cut alike.
func mergeBars(bars []Bar) []Bar {
	var out []Bar
	for _, b := range bars {
		if n := len(out); n > 0 && sameBar(out[n-1], b) {
			out[n-1].Count += b.Count
			continue
		}
		out = append(out, b)
	}
	return out
}

func sameBar(a, b Bar) bool {
	if a.Stock != b.Stock || a.LengthMM != b.LengthMM || len(a.Cuts) != len(b.Cuts) {
		return false
	}
	for i := range a.Cuts {
		if a.Cuts[i] != b.Cuts[i] {
			return false
		}
	}
	return true
}

// planOf is the last step: exact counts, cheapest stock, leftovers gathered, names
// given, and the sums.
func (o *order) planOf(p Problem, uses []use, bound int64, note string) Plan {
	uses = o.cheapen(o.trim(uses))
	if p.KeepMM > 0 {
		uses = o.gatherOffcuts(p, uses)
	}
	plan := Plan{Bars: o.named(p, uses), Note: note}
	costs := stockCosts(p.Stocks)
	for _, u := range uses {
		plan.Cost += costs[o.from[u.k]] * float64(u.times)
	}
	have := o.costOf(uses)
	bound = min(bound, have)
	plan.Optimal = bound == have && o.exact
	plan.LowerBound = float64(bound) * o.costUnit
	if plan.Optimal {
		plan.LowerBound = plan.Cost
	} else if plan.LowerBound > plan.Cost {
		plan.LowerBound = plan.Cost
	}
	if bound == have && !o.exact {
		// Costs with endless decimals: what is left is the rounding of prices.
		plan.Optimal = plan.Cost-plan.LowerBound <= 1e-6*plan.Cost
	}
	if !plan.Optimal {
		plan.Gap = gapOf(plan.Cost, plan.LowerBound)
	}
	if plan.Optimal {
		plan.Note = "proven optimal: " + note
	} else {
		plan.Note = fmt.Sprintf("good, not proven best (within %.2f %%): %s", 100*plan.Gap, note)
	}
	return plan
}
