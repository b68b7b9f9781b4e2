package cutting

import (
	"context"
	"math"
	"math/big"
	"sort"

	"gelwright/cutting/lp"
)

// tree is branch and bound over listed patterns for a plan that costs at most goal.
// It branches on two sizes in one bar: at most so many bars hold at least u of the
// one and v of the other, or more (Ryan and Foster 1981; Vanderbeck 2000). Every
// cut-off is confirmed in whole numbers.
type tree struct {
	m     *master
	goal  int64
	live  []int // columns allowed at the present node
	rows  []branchRow
	found []use
}

type branchRow struct {
	row  int
	rhs  int64
	cols []int
	up   bool
}

// treeWork bounds all nodes of an order together; a node counts its columns and
// nodeWork for the rest.
const (
	treeWork = 9000000
	nodeWork = 2000
)

type verdict int

const (
	noPlan    verdict = iota // proven: no plan within the goal below this node
	foundPlan                // tree.found is one
	undecided                // budget or context ended
)

// finish decides whether a plan within goal exists, given that all its patterns are listed.
func (m *master) finish(ctx context.Context, listed []pattern, goal int64) ([]use, verdict) {
	t := &tree{m: m, goal: goal}
	keep := make(map[int]bool, len(listed))
	for _, p := range listed {
		j, _ := m.add(p)
		if !keep[j] {
			keep[j] = true
			t.live = append(t.live, j)
		}
	}
	sort.Ints(t.live)
	for j := range m.pats {
		if !keep[j] {
			m.lp.Ban(j)
		} else {
			m.lp.Allow(j)
		}
	}
	v := t.walk(ctx)
	return t.found, v
}

// walk searches the subtree at the present programme.
func (t *tree) walk(ctx context.Context) verdict {
	m := t.m
	if ctx.Err() != nil || m.treeWork <= 0 {
		return undecided
	}
	m.treeWork -= len(t.live) + nodeWork
	m.settle(ctx)
	before := t.live
	cut, fixed := t.certify()
	if cut {
		return noPlan
	}
	defer func() {
		t.live = before
		for _, j := range fixed {
			m.lp.Allow(j)
		}
	}()
	if uses := t.whole(); uses != nil {
		t.found = uses
		return foundPlan
	}
	b, ok := t.branching()
	if !ok {
		return undecided // nothing fractional, yet not whole: numbers too small to judge
	}
	state := m.lp.Save()
	all := noPlan
	for _, up := range []bool{true, false} {
		live, rows := t.live, len(t.rows)
		banned := t.apply(b, up)
		v := t.walk(ctx)
		for _, j := range banned {
			m.lp.Allow(j)
		}
		t.live, t.rows = live, t.rows[:rows]
		if v == foundPlan {
			return v
		}
		m.lp.Restore(state)
		if v == undecided {
			all = undecided
		}
	}
	return all
}

// certify rounds the duals to whole numbers, computes a bound that holds exactly
// from the listed columns, and reports whether it exceeds the goal. Otherwise it
// bans the columns whose reduced cost alone leads beyond the goal and returns them.
func (t *tree) certify() (cut bool, fixed []int) {
	m, o := t.m, t.m.o
	y := func(r int) int64 {
		return int64(math.Floor(math.Max(-mostDual, math.Min(mostDual, m.lp.Dual(r))) * m.unit * m.scale))
	}
	sum := new(big.Int)
	add := func(a, b int64) {
		x := big.NewInt(a)
		sum.Add(sum, x.Mul(x, big.NewInt(b)))
	}
	pi := make([]int64, len(o.w))
	for i := range pi {
		pi[i] = max(0, y(i))
		add(pi[i], int64(m.d[i]))
	}
	mu := make([]int64, len(o.cap))
	for k, r := range m.limitRow {
		if r >= 0 {
			mu[k] = max(0, -y(r))
			add(-mu[k], int64(m.avail[k]))
		}
	}
	red := make([]int64, len(m.pats))
	for _, j := range t.live {
		p := m.pats[j]
		c := int64(float64(o.cost[p.k])*m.scale) + mu[p.k]
		for s, i := range p.at {
			c -= pi[i] * int64(p.num[s])
		}
		red[j] = c
	}
	for _, b := range t.rows {
		rho := y(b.row)
		if b.up {
			rho = max(0, rho)
		} else {
			rho = min(0, rho)
		}
		add(rho, b.rhs)
		for _, j := range b.cols {
			red[j] -= rho
		}
	}
	worst := make([]int64, len(o.cap))
	for _, j := range t.live {
		k := m.pats[j].k
		worst[k] = min(worst[k], red[j])
	}
	for k, w := range worst {
		add(w, t.barsAtMost(k))
	}
	gap := new(big.Int).Mul(big.NewInt(t.goal), big.NewInt(int64(m.scale)))
	gap.Sub(gap, sum)
	if gap.Sign() < 0 {
		return true, nil
	}
	if !gap.IsInt64() {
		return false, nil
	}
	rest := gap.Int64()
	var live []int
	for _, j := range t.live {
		if red[j]-worst[m.pats[j].k] > rest {
			m.lp.Ban(j)
			fixed = append(fixed, j)
		} else {
			live = append(live, j)
		}
	}
	t.live = live
	return false, fixed
}

// barsAtMost is how many bars of a kind a plan within the goal can use.
func (t *tree) barsAtMost(k int) int64 {
	n := int64(t.m.avail[k])
	if c := t.m.o.cost[k]; c > 0 {
		n = min(n, t.goal/c)
	}
	return n
}

// whole returns the plan when the programme's solution is in whole bars, covers
// the order and costs at most the goal.
func (t *tree) whole() []use {
	m := t.m
	var uses []use
	d, avail := append([]int(nil), m.d...), append([]int(nil), m.avail...)
	cost, ok := int64(0), true
	m.lp.InUse(func(j int, x float64) {
		n := int(math.Round(x))
		if math.Abs(x-float64(n)) > wholeTol || (n > 0 && m.lp.Banned(j)) {
			ok = false
		}
		if n <= 0 || !ok {
			return
		}
		p := m.pats[j]
		uses = append(uses, use{p, n})
		cost += m.o.cost[p.k] * int64(n)
		avail[p.k] -= n
		for s, i := range p.at {
			d[i] -= n * int(p.num[s])
		}
	})
	for _, left := range d {
		ok = ok && left <= 0
	}
	for _, left := range avail {
		ok = ok && left >= 0
	}
	if !ok || cost > t.goal {
		return nil
	}
	return uses
}

// branch is a set of columns, those with at least u of size i and v of size j (or
// one column alone, or all bars of a stock), and the sum of their values.
type branch struct {
	i, j, u, v int
	col        int
	kind       int // −1, or all bars of this stock
	sum        float64
}

// branching chooses the set whose sum is nearest to halfway between whole numbers.
func (t *tree) branching() (branch, bool) {
	sums := map[uint64]float64{}
	best, ok := branch{col: -1, kind: -1}, false
	bestScore := wholeTol
	consider := func(b branch) {
		f := b.sum - math.Floor(b.sum)
		if score := f * (1 - f); score > bestScore {
			best, bestScore, ok = b, score*betterBy, true
		}
	}
	kinds := make([]float64, len(t.m.o.cap))
	t.m.lp.InUse(func(col int, x float64) { kinds[t.m.pats[col].k] += x })
	for k, sum := range kinds {
		consider(branch{col: -1, kind: k, sum: sum})
	}
	if bestScore > kindsFirst {
		return best, true // how many bars of each kind: decided before how they are cut
	}
	t.m.lp.InUse(func(col int, x float64) {
		if x < 1e-7 || t.m.lp.Banned(col) {
			return
		}
		p := t.m.pats[col]
		for s, i := range p.at {
			for u := 1; u <= min(copiesMost, int(p.num[s])); u++ {
				a := uint64(i)<<3 | uint64(u)
				sums[a] += x
				for s2 := s + 1; s2 < len(p.at); s2++ {
					for v := 1; v <= min(copiesMost, int(p.num[s2])); v++ {
						sums[(uint64(p.at[s2])<<3|uint64(v))<<(sizeBits+3)|a] += x
					}
				}
			}
		}
	})
	keys := make([]uint64, 0, len(sums))
	for k := range sums {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(a, b int) bool { return keys[a] < keys[b] })
	const low = 1<<(sizeBits+3) - 1
	for _, k := range keys {
		a, b := k&low, k>>(sizeBits+3)
		consider(branch{int(a >> 3), int(b >> 3), int(a & 7), int(b & 7), -1, -1, sums[k]})
	}
	if ok {
		return best, true
	}
	t.m.lp.InUse(func(col int, x float64) {
		if !t.m.lp.Banned(col) {
			consider(branch{col: col, kind: -1, sum: x})
		}
	})
	return best, ok
}

func (p pattern) count(i int) int {
	for s, at := range p.at {
		if int(at) == i {
			return int(p.num[s])
		}
	}
	return 0
}

func (b branch) holds(p pattern, col int) bool {
	if b.col >= 0 {
		return col == b.col
	}
	if b.kind >= 0 {
		return p.k == b.kind
	}
	return p.count(b.i) >= b.u && (b.v == 0 || p.count(b.j) >= b.v)
}

// apply adds one side of a branching to the programme and returns the columns it
// banned.
func (t *tree) apply(b branch, up bool) []int {
	m := t.m
	pair := b.col < 0 && b.kind < 0 && b.v > 0 && m.d[b.i] == 1 && m.d[b.j] == 1
	var in, banned, live []int
	for _, j := range t.live {
		p := m.pats[j]
		if b.holds(p, j) {
			in = append(in, j)
			if !up && b.sum < 1 {
				banned = append(banned, j)
				continue
			}
		} else if up && pair && (p.count(b.i) > 0 || p.count(b.j) > 0) {
			banned = append(banned, j) // the two go together
			continue
		}
		live = append(live, j)
	}
	for _, j := range banned {
		m.lp.Ban(j)
	}
	t.live = live
	if pair || (!up && b.sum < 1) {
		return banned
	}
	kind, rhs := lp.AtMost, math.Floor(b.sum)
	if up {
		kind, rhs = lp.AtLeast, rhs+1
	}
	ones := make([]float64, len(in))
	for n := range ones {
		ones[n] = 1
	}
	r := m.lp.AddRow(kind, rhs, in, ones)
	t.rows = append(t.rows, branchRow{r, int64(rhs), in, up})
	return banned
}
