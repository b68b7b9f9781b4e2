package cutting

import (
	"math"
	"math/big"
	"math/bits"
)

// enumeration lists the patterns that a plan within the goal may use. With valid
// whole-number duals π, the reduced costs of a plan's bars add up to its cost less
// π·d; so no bar of a plan within the goal has a reduced cost above goal − π·d.
// Only patterns that no further piece fits are listed: surplus pieces are trimmed.
type enumeration struct {
	o     *order
	d     []int
	pi    []int64
	sufV  []int64   // greatest π from size i on
	sufR  []float64 // greatest π per length from size i on
	after []int     // after[c]: first size that fits capacity c (nil when large)
	table [][]int64 // exact greatest value from size i on, per capacity (nil when large)
	limit int
	out   []pattern
	steps int
}

const (
	enumerateLimit = 60000   // patterns
	enumerateSteps = 4000000 // steps of the listing
	suffixWork     = 6000000 // cells of the suffix table
)

// slack returns scaled duals that are valid for every stock without limit, the
// surcharge of stock with a limit, and goal − bound, all × scale.
func (m *master) slack(q prices, goal int64) (pi, mu []int64, delta int64) {
	o := m.o
	num, den := uint64(1), uint64(1)
	for k := range o.cap {
		full := int64(float64(o.cost[k]) * m.scale)
		if !o.lim[k] && q.most[k] > full && less128(full, int64(den), int64(num), q.most[k]) {
			num, den = uint64(full), uint64(q.most[k])
		}
	}
	times := func(v int64, up bool) int64 {
		hi, lo := bits.Mul64(uint64(v), num)
		t, r := bits.Div64(hi, lo, den)
		if r > 0 && up {
			t++
		}
		return int64(t)
	}
	sum := new(big.Int).Mul(big.NewInt(goal), big.NewInt(int64(m.scale)))
	pi = make([]int64, len(q.pi))
	for i, v := range q.pi {
		pi[i] = times(v, false)
		t := big.NewInt(pi[i])
		sum.Sub(sum, t.Mul(t, big.NewInt(int64(m.d[i]))))
	}
	mu = make([]int64, len(o.cap))
	for k := range o.cap {
		if o.lim[k] {
			mu[k] = max(0, times(q.most[k], true)-int64(float64(o.cost[k])*m.scale))
			t := big.NewInt(mu[k])
			sum.Add(sum, t.Mul(t, big.NewInt(int64(m.avail[k]))))
		}
	}
	if !sum.IsInt64() {
		return pi, mu, math.MaxInt64 / 4
	}
	return pi, mu, sum.Int64()
}

// enumerate lists the patterns, or reports false when there are too many.
func (m *master) enumerate(q prices, goal int64) ([]pattern, bool) {
	o := m.o
	pi, mu, delta := m.slack(q, goal)
	if delta < 0 {
		return nil, true
	}
	e := &enumeration{o: o, d: m.d, pi: pi, limit: enumerateLimit, steps: enumerateSteps}
	e.prepare()
	a := make([]int, len(o.w))
	for k, size := range o.cap {
		if m.avail[k] == 0 {
			continue
		}
		need := int64(float64(o.cost[k])*m.scale) + mu[k] - delta
		e.walk(k, 0, size, need, a)
		if len(e.out) > e.limit || e.steps <= 0 {
			return nil, false
		}
	}
	return e.out, true
}

func (e *enumeration) prepare() {
	n := len(e.o.w)
	widest := 0
	for _, c := range e.o.cap {
		widest = max(widest, c)
	}
	e.sufV, e.sufR = make([]int64, n+1), make([]float64, n+1)
	for i := n - 1; i >= 0; i-- {
		e.sufV[i], e.sufR[i] = e.sufV[i+1], e.sufR[i+1]
		if e.d[i] > 0 {
			e.sufV[i] = max(e.sufV[i], e.pi[i])
			e.sufR[i] = math.Max(e.sufR[i], float64(e.pi[i])/float64(e.o.w[i]))
		}
	}
	if widest <= suffixWork {
		e.after = make([]int, widest+1)
		i := n
		for c := range e.after {
			for i > 0 && e.o.w[i-1] <= c {
				i--
			}
			e.after[c] = i
		}
	}
	if widest+1 > suffixWork/(n+1) {
		return
	}
	e.table = make([][]int64, n+1)
	e.table[n] = make([]int64, widest+1)
	for i := n - 1; i >= 0; i-- {
		next, w := e.table[i+1], e.o.w[i]
		row := append([]int64(nil), next...)
		for c := w; c <= widest; c++ {
			for t := 1; t <= e.d[i] && t*w <= c; t++ {
				row[c] = max(row[c], next[c-t*w]+int64(t)*e.pi[i])
			}
		}
		e.table[i] = row
	}
}

// most bounds what sizes from i on can add in the given room.
func (e *enumeration) most(i, room int) int64 {
	if e.table != nil {
		return e.table[i][room]
	}
	least := e.o.w[len(e.o.w)-1]
	byCount := int64(room/least) * e.sufV[i]
	return min(byCount, int64(float64(room)*e.sufR[i])+2)
}

func (e *enumeration) walk(k, i, room int, need int64, a []int) {
	if len(e.out) > e.limit || e.steps <= 0 {
		return
	}
	e.steps--
	if e.after != nil {
		i = max(i, e.after[room])
	}
	if e.most(i, room) < need {
		return
	}
	if i == len(e.o.w) {
		for j := len(a) - 1; j >= 0 && e.o.w[j] <= room; j-- {
			if a[j] < e.d[j] {
				return
			}
		}
		e.out = append(e.out, e.o.sparse(k, a))
		return
	}
	for n := min(e.d[i], room/e.o.w[i]); n >= 0; n-- {
		a[i] = n
		e.walk(k, i+1, room-n*e.o.w[i], need-int64(n)*e.pi[i], a)
	}
	a[i] = 0
}
