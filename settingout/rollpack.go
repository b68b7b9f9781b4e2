package settingout

import (
	"context"
	"math"
	"slices"
	"sort"
)

// rollKind is a length in which rolls are sold, mm, with its price or 0.
type rollKind struct {
	length int
	cost   float64
}

// rollBin is one roll that runs are cut from: in hand by its index there, −1 to buy.
type rollBin struct {
	length, left, hand int
	runs               []int
}

const (
	// rollsWeighed bounds the choices of rolls that are listed, rollsFitted those that
	// the runs are tried in.
	rollsWeighed = 20000
	rollsFitted  = 40
	// overFourth is the part of the need, one in so many, that may be over before the least
	// surplus is asked for instead of the fewest rolls; package quantity counts packs alike.
	overFourth = 4
)

// rollChoice is so many rolls of each kind.
type rollChoice struct {
	counts []int
	n      int
	over   int // mm beyond the need
	cost   float64
}

// better orders choices as packs of other goods are chosen: with prices the cheapest, then
// the least over; without them the fewest rolls as long as no more than a quarter is
// over, else the least over.
func (c *rollChoice) better(o *rollChoice, need int) bool {
	if c.cost != o.cost {
		return c.cost < o.cost
	}
	few, ofew := c.over <= need/overFourth, o.over <= need/overFourth
	switch {
	case c.cost > 0 && c.over != o.over:
		return c.over < o.over
	case few != ofew:
		return few
	case few && c.n != o.n:
		return c.n < o.n
	case c.over != o.over:
		return c.over < o.over
	}
	return c.n < o.n
}

// rollChoices lists the choices of rolls, longest kind first, that hold what is needed,
// best first. One more of the best kind than needed lets runs fit that leave ends over.
func rollChoices(need int, sold []rollKind) []rollChoice {
	main := 0
	for i, k := range sold {
		if k.cost > 0 && k.cost*float64(sold[main].length) < sold[main].cost*float64(k.length) {
			main = i
		}
	}
	var out []rollChoice
	counts := make([]int, len(sold))
	var fill func(i, left int)
	fill = func(i, left int) {
		if len(out) >= rollsWeighed {
			return
		}
		if i == len(sold) {
			if left <= 0 {
				c := rollChoice{counts: slices.Clone(counts), over: -left}
				for k, n := range counts {
					c.n += n
					c.cost += float64(n) * sold[k].cost
				}
				out = append(out, c)
			}
			return
		}
		most := max(0, (left+sold[i].length-1)/sold[i].length) + 1
		if i != main {
			most = min(most, 2*sold[main].length/sold[i].length+1)
		}
		least := 0
		if i == main && len(sold) > 0 {
			others := 0
			for k, o := range sold {
				if k > i {
					others += o.length * (2*sold[main].length/o.length + 1)
				}
			}
			least = max(0, (left-others)/sold[i].length)
		}
		for n := least; n <= most; n++ {
			counts[i] = n
			fill(i+1, left-n*sold[i].length)
		}
		counts[i] = 0
	}
	fill(0, need)
	sort.SliceStable(out, func(a, b int) bool { return out[a].better(&out[b], need) })
	return out
}

// chooseRolls takes the best choice of rolls into which the runs go, each in one piece,
// with what is in hand; need is what rolls bought hold at least, mm. It reports false
// where none of the choices tried will do.
func chooseRolls(ctx context.Context, runs []int, need int, sold []rollKind, hand []rollBin) ([]rollBin, bool) {
	for i, c := range rollChoices(need, sold) {
		if i >= rollsFitted || ctx.Err() != nil {
			break
		}
		bins := slices.Clone(hand)
		for k, n := range c.counts {
			for range n {
				bins = append(bins, rollBin{length: sold[k].length, left: sold[k].length, hand: -1})
			}
		}
		if fitRuns(runs, bins) {
			return bins, true
		}
	}
	return nil, false
}

// fitRuns puts runs into rolls, longest first, each where it leaves least, first with
// those in hand before all others, then wherever it fits best.
func fitRuns(runs []int, bins []rollBin) bool {
	order := make([]int, len(runs))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return runs[order[a]] > runs[order[b]] })
	for _, handFirst := range []bool{true, false} {
		for i := range bins {
			bins[i].left, bins[i].runs = bins[i].length, nil
		}
		if fitInOrder(runs, order, bins, handFirst) {
			useFirst(bins, runs)
			return true
		}
	}
	return false
}

func fitInOrder(runs, order []int, bins []rollBin, handFirst bool) bool {
	for _, j := range order {
		best, least := -1, math.MaxInt
		for i := range bins {
			left := bins[i].left - runs[j]
			if left < 0 {
				continue
			}
			if handFirst && bins[i].hand < 0 {
				left += 1 << 40
			}
			if left < least {
				best, least = i, left
			}
		}
		if best < 0 {
			return false
		}
		bins[best].left -= runs[j]
		bins[best].runs = append(bins[best].runs, j)
	}
	return true
}

// useFirst moves runs from rolls to buy to rolls in hand, longest first, as long as they
// fit, so that what was begun is used up.
func useFirst(bins []rollBin, runs []int) {
	for i := range bins {
		if bins[i].hand < 0 {
			continue
		}
		for {
			from, at := longestFor(bins, runs, bins[i].left)
			if from < 0 {
				break
			}
			j := bins[from].runs[at]
			bins[from].runs = slices.Delete(bins[from].runs, at, at+1)
			bins[from].left += runs[j]
			bins[i].runs = append(bins[i].runs, j)
			bins[i].left -= runs[j]
		}
	}
}

// longestFor finds the longest run on a roll to buy that is no longer than left.
func longestFor(bins []rollBin, runs []int, left int) (from, at int) {
	from, at = -1, -1
	for k := range bins {
		if bins[k].hand >= 0 {
			continue
		}
		for t, j := range bins[k].runs {
			if runs[j] <= left && (from < 0 || runs[j] > runs[bins[from].runs[at]]) {
				from, at = k, t
			}
		}
	}
	return from, at
}
