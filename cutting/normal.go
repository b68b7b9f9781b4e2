package cutting

import (
	"math"
	"sort"
)

// order is a problem in its plain form: whole numbers, no kerf, equal lengths
// merged, longest first, divided by the common divisor.
type order struct {
	w []int // piece sizes, falling
	d []int // how many of each
	// For each kind of stock, in the caller's order without useless kinds:
	cap   []int   // size
	cost  []int64 // in units of costUnit, rounded down where not exact
	avail []int   // at most this many; limited[k] says whether that binds at all
	lim   []bool
	from  []int // index into Problem.Stocks

	costUnit float64 // money per unit of cost
	step     int64   // every plan costs a multiple of this many units
	exact    bool    // unit costs times costUnit are the caller's costs exactly
	effort   int     // Problem.Effort
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func gcd64(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// plain turns a checked problem into an order. Piece + kerf in stock + kerf is the
// same as a kerf between pieces, because the last cut may fall on the bar's end.
func plain(p Problem) order {
	merged := map[int]int{}
	for _, q := range p.Pieces {
		if q.Count > 0 {
			merged[q.LengthMM+p.KerfMM] += q.Count
		}
	}
	o := order{effort: p.Effort}
	g, n := 0, 0
	for w, d := range merged {
		o.w = append(o.w, w)
		g = gcd(g, w)
		n += d
	}
	sort.Sort(sort.Reverse(sort.IntSlice(o.w)))
	for i, w := range o.w {
		o.d = append(o.d, merged[w])
		o.w[i] = w / g
	}
	if len(o.w) == 0 {
		return o
	}
	least := o.w[len(o.w)-1]
	costs := stockCosts(p.Stocks)
	for k, s := range p.Stocks {
		size := (s.LengthMM + p.KerfMM) / g
		if s.Available == 0 || size < least || outdone(p.Stocks, costs, k) {
			continue
		}
		o.cap = append(o.cap, size)
		o.from = append(o.from, k)
		limited := s.Available > 0 && s.Available < n
		o.lim = append(o.lim, limited)
		if limited {
			o.avail = append(o.avail, s.Available)
		} else {
			o.avail = append(o.avail, n)
		}
	}
	o.scaleCosts(costs)
	return o
}

// stockCosts returns the caller's costs, or lengths when nothing has a price.
func stockCosts(stocks []Stock) []float64 {
	costs := make([]float64, len(stocks))
	priced := false
	for k, s := range stocks {
		costs[k] = s.Cost
		priced = priced || s.Cost > 0
	}
	if !priced {
		for k, s := range stocks {
			costs[k] = float64(s.LengthMM)
		}
	}
	return costs
}

// outdone reports whether an unlimited stock is at least as long as stock k and
// no dearer; of two equal ones the first stays.
func outdone(stocks []Stock, costs []float64, k int) bool {
	for j, s := range stocks {
		if j == k || s.Available >= 0 || s.LengthMM < stocks[k].LengthMM || costs[j] > costs[k] {
			continue
		}
		same := s.LengthMM == stocks[k].LengthMM && costs[j] == costs[k] && stocks[k].Available < 0
		if !same || j < k {
			return true
		}
	}
	return false
}

// scaleCosts turns money into whole numbers: the smallest power of ten that makes
// every cost whole, else rounded down so that a bound stays a bound.
func (o *order) scaleCosts(costs []float64) {
	most := 0.0
	for _, k := range o.from {
		most = math.Max(most, costs[k])
	}
	o.exact = false
	scale := 1.0
	for ; scale <= mostScale && most*scale <= mostMoney; scale *= 10 {
		if o.wholeAt(costs, scale) {
			o.exact = true
			break
		}
	}
	if !o.exact {
		scale = mostMoney / math.Max(most, 1e-9)
	}
	o.costUnit = 1 / scale
	for _, k := range o.from {
		c := costs[k] * scale
		if o.exact {
			o.cost = append(o.cost, int64(math.Round(c)))
		} else {
			o.cost = append(o.cost, int64(math.Floor(c)))
		}
	}
	for _, c := range o.cost {
		o.step = gcd64(o.step, c)
	}
	if o.step > 1 {
		for k := range o.cost {
			o.cost[k] /= o.step
		}
		o.costUnit *= float64(o.step)
	}
	if o.step > 0 {
		o.step = 1
	}
}

func (o *order) wholeAt(costs []float64, scale float64) bool {
	for _, k := range o.from {
		c := costs[k] * scale
		if math.Abs(c-math.Round(c)) > 1e-9*math.Max(1, c) {
			return false
		}
	}
	return true
}

// pattern is one way to cut one bar of stock kind k: how many of which size.
type pattern struct {
	k   int
	at  []int32 // indices into order.w, rising
	num []int32
}

// use is a pattern and how many bars are cut by it.
type use struct {
	pattern
	times int
}

func (o *order) filled(p pattern) int {
	s := 0
	for t, i := range p.at {
		s += o.w[i] * int(p.num[t])
	}
	return s
}

func (o *order) costOf(uses []use) int64 {
	var c int64
	for _, u := range uses {
		c += o.cost[u.k] * int64(u.times)
	}
	return c
}

// dense and sparse forms of a pattern.
func (o *order) sparse(k int, a []int) pattern {
	p := pattern{k: k}
	for i, n := range a {
		if n > 0 {
			p.at = append(p.at, int32(i))
			p.num = append(p.num, int32(n))
		}
	}
	return p
}

// put adds a piece that is none before those in it already.
func (p *pattern) put(i int) {
	if n := len(p.at); n > 0 && p.at[n-1] == int32(i) {
		p.num[n-1]++
		return
	}
	p.at, p.num = append(p.at, int32(i)), append(p.num, 1)
}
