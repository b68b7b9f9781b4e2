package quantity

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// PricedPack is a pack with its price where one is known.
type PricedPack struct {
	Name     string
	Quantity float64
	// CostMinor in minor units of money, meaningful when Priced.
	CostMinor int64
	Priced    bool
}

// PackCount is so many of a pack.
type PackCount struct {
	Name      string  `json:"name"`
	Quantity  float64 `json:"quantity"` // in one pack
	Count     int     `json:"count"`
	CostMinor int64   `json:"cost_minor,omitempty"` // of all of them
}

// Covering is a choice of packs.
type Covering struct {
	Packs     []PackCount // largest first
	Total     float64
	Surplus   float64
	CostMinor int64
	Priced    bool
	// Proven is false only where sizes share no common measure or the need is so large
	// that the last exact step was taken after filling with the best pack.
	Proven bool
}

// mesh is the finest step of pack sizes: a thousandth of a unit.
const mesh = 1000

// maxSteps bounds the table of the dynamic programme.
const maxSteps = 400_000

// Cover returns the packs that hold at least need.
//
// Where every pack has a price the covering costs least, then leaves least surplus, then has
// fewest packs. Where any price is missing, prices are not used: it has fewest packs among
// the coverings with no more than a quarter over, then least surplus; where every covering
// leaves more than a quarter, least surplus, then fewest packs. Sizes are taken to a thousandth of a unit;
// the choice is exact (a covering knapsack by dynamic programming) unless the need is more than
// 400 000 steps of the packs' common measure, when the bulk is filled with the pack
// that is cheapest for its size (without prices the largest) and the rest is exact.
func Cover(need float64, packs []PricedPack) (Covering, error) {
	if !(need >= 0) || math.IsInf(need, 0) || need > 1e12 {
		return Covering{}, fmt.Errorf("%g is needed: give a quantity", need)
	}
	if len(packs) == 0 {
		return Covering{}, fmt.Errorf("it is sold in no pack: add one to the firm's file")
	}
	measure, priced, err := measured(packs)
	if err != nil {
		return Covering{}, err
	}
	// The last digits of a sum are not a reason for one more pack.
	want := int(math.Ceil(need*mesh/float64(measure) - 1e-9))
	if want <= 0 {
		return Covering{Priced: priced, Proven: true}, nil
	}
	order := append([]PricedPack(nil), packs...)
	sort.SliceStable(order, func(i, j int) bool { return order[i].Quantity > order[j].Quantity })
	c := &cover{packs: order, priced: priced, sizes: make([]int, len(order)), counts: make([]int, len(order)), proven: true}
	for i, p := range order {
		c.sizes[i] = steps(p.Quantity) / measure
	}
	// A quarter over what is needed, and not over what the steps round it up to.
	over := int(math.Floor(1.25*need*mesh/float64(measure)+1e-9)) - want
	if want > maxSteps {
		want = c.fill(want)
		over = want / 4
	}
	if rest := c.coarsen(want); rest != want {
		want, over = rest, rest/4
	}
	if priced || !c.fewest(want, want+over) {
		c.exact(want)
	}
	return c.result(need), nil
}

// measured is the packs' common measure in steps, and whether every one has a price.
func measured(packs []PricedPack) (measure int, priced bool, err error) {
	priced = true
	for _, p := range packs {
		if !(p.Quantity > 0 && p.Quantity <= 1e9) || steps(p.Quantity) < 1 {
			return 0, false, fmt.Errorf("pack %q holds %g: give a size of 0.001 or more", p.Name, p.Quantity)
		}
		if p.Priced && (p.CostMinor < 0 || p.CostMinor > 1e15) {
			return 0, false, fmt.Errorf("pack %q costs %d: give a price of 0 or more", p.Name, p.CostMinor)
		}
		priced = priced && p.Priced
		measure = gcd(measure, steps(p.Quantity))
	}
	return measure, priced, nil
}

// Count takes packs by what they hold, in any order; need is what the surplus is counted
// from. It is false where there are none, or one is no pack that is sold.
func Count(need float64, holds []float64, packs []PricedPack) (Covering, bool) {
	order := slices.Clone(packs)
	sort.SliceStable(order, func(i, j int) bool { return order[i].Quantity > order[j].Quantity })
	c := cover{packs: order, counts: make([]int, len(order)), priced: true}
	for _, p := range packs {
		c.priced = c.priced && p.Priced
	}
	for _, q := range holds {
		i := slices.IndexFunc(order, func(p PricedPack) bool { return math.Abs(p.Quantity-q) < 1.0/mesh })
		if i < 0 {
			return Covering{}, false
		}
		c.counts[i]++
	}
	return c.result(need), len(holds) > 0
}

// fewest covers want to top steps with fewest packs, the least of those; false where no packs
// end within that. Two pails of 20 are carried and opened sooner than one of 20, one of 10
// and one of 5.
func (c *cover) fewest(want, top int) bool {
	if top < want {
		return false
	}
	const none = math.MaxInt32
	count := make([]int32, top+1)
	pick := make([]int16, top+1)
	end := -1
	for k := 1; k <= top; k++ {
		count[k] = none
		for i, size := range c.sizes {
			if size > 0 && size <= k && count[k-size] != none && count[k-size]+1 < count[k] {
				count[k], pick[k] = count[k-size]+1, int16(i)
			}
		}
		if k >= want && count[k] != none && (end < 0 || count[k] < count[end]) {
			end = k
		}
	}
	if end < 0 {
		return false
	}
	for k := end; k > 0; k -= c.sizes[pick[k]] {
		c.counts[pick[k]]++
	}
	return true
}

// steps counts thousandths, rounded down where a size is no whole number of them, so
// that a pack is never taken to hold more than it does.
func steps(quantity float64) int { return int(math.Floor(quantity*mesh + 1e-6)) }

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

type cover struct {
	packs  []PricedPack
	sizes  []int
	counts []int
	priced bool
	proven bool
}

// fill takes the best pack for the bulk and returns what is left to cover exactly:
// at least a quarter of the table, so that the end is mixed freely.
func (c *cover) fill(want int) int {
	best := 0
	for i := range c.packs {
		if c.priced && float64(c.packs[i].CostMinor)*float64(c.sizes[best]) < float64(c.packs[best].CostMinor)*float64(c.sizes[i]) {
			best = i
		}
	}
	n := max(0, (want-maxSteps/4)/c.sizes[best])
	c.counts[best] += n
	c.proven = n == 0
	return want - n*c.sizes[best]
}

// coarsen keeps the table within bounds where one pack alone is longer than it:
// sizes are counted in longer steps, rounded down, so that the need stays covered.
func (c *cover) coarsen(want int) int {
	f := (want + maxSteps - 1) / maxSteps
	if f <= 1 {
		return want
	}
	for i := range c.sizes {
		c.sizes[i] /= f
	}
	c.proven = false
	return (want + f - 1) / f
}

// value of a covering: what is to be least, in order.
type value struct {
	cost    int64
	surplus int
	count   int
}

func (v value) less(w value) bool {
	if v.cost != w.cost {
		return v.cost < w.cost
	}
	if v.surplus != w.surplus {
		return v.surplus < w.surplus
	}
	return v.count < w.count
}

// exact covers want steps: best[k] is the best way to cover k steps, surplus counted
// once at the last pack that reaches over.
func (c *cover) exact(want int) {
	best := make([]value, want+1)
	pick := make([]int16, want+1)
	for k := 1; k <= want; k++ {
		found := false
		for i, size := range c.sizes {
			if size == 0 {
				continue // lost in coarse steps
			}
			rest, over := k-size, 0
			if rest < 0 {
				rest, over = 0, -rest
			}
			v := value{best[rest].cost, best[rest].surplus + over, best[rest].count + 1}
			if c.priced {
				v.cost += c.packs[i].CostMinor
			}
			if !found || v.less(best[k]) {
				best[k], pick[k], found = v, int16(i), true
			}
		}
	}
	for k := want; k > 0; k -= c.sizes[pick[k]] {
		c.counts[pick[k]]++
	}
}

func (c *cover) result(need float64) Covering {
	r := Covering{Priced: c.priced, Proven: c.proven}
	for i, n := range c.counts {
		if n == 0 {
			continue
		}
		p := PackCount{Name: c.packs[i].Name, Quantity: c.packs[i].Quantity, Count: n}
		if c.priced {
			p.CostMinor = int64(n) * c.packs[i].CostMinor
			r.CostMinor += p.CostMinor
		}
		r.Total += float64(n) * p.Quantity
		r.Packs = append(r.Packs, p)
	}
	r.Surplus = math.Max(0, r.Total-need)
	return r
}
