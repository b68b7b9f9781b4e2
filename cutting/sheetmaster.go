package cutting

import (
	"context"
	"math"
	"math/bits"
	"sort"

	"gelwright/cutting/lp"
)

// sheetMaster is the pattern programme for sheets: as master, with the guillotine
// grid in place of the knapsack. The grid ignores how many of a panel are wanted, so
// a pattern may hold surplus; the bound stays valid and the surplus is left out of
// the plan.
type sheetMaster struct {
	o        *sheetOrder
	lp       *lp.Solver
	cols     []sheetUse
	known    map[string]bool
	grids    []*grid
	d, avail []int
	lim      []bool
	cost     []int64
	limitRow []int
	unit     float64
	scale    float64
	proper   bool // price with limited copies: dearer, but the bound rises
	joins    int  // joins of limited plates still allowed
	ctx      context.Context
}

const (
	gridWork  = 400000000  // the largest grid that is priced
	sheetWork = 3000000000 // steps of all pricing together
	// sheetPivots bounds the pivots of the programme times its rows: it may be so degenerate that it stands still.
	sheetPivots = 6000000
	// joinsAtOnce and properJoins bound the pricing with limited copies, once and in all.
	joinsAtOnce = 200000
	properJoins = 2000000
)

// newSheetMaster returns nil when the grids are too fine to be priced.
func newSheetMaster(o *sheetOrder) *sheetMaster {
	m := &sheetMaster{o: o, lp: lp.New(lpPenalty), known: map[string]bool{}, d: o.demand(), avail: o.available(), joins: properJoins}
	n := remaining(m.d)
	var work int64
	most := int64(1)
	for _, s := range o.sheets {
		g := newGrid(o, s.l, s.w)
		work += g.work()
		m.grids = append(m.grids, g)
		m.lim = append(m.lim, s.avail < n)
		m.cost = append(m.cost, s.cost)
		most = max(most, s.cost)
	}
	if work > gridWork {
		return nil
	}
	m.unit = float64(most)
	m.scale = math.Max(1, math.Ldexp(1, min(sheetDualBits, sheetDualBits+1-bits.Len64(uint64(most)))))
	for _, d := range m.d {
		m.lp.AddRow(lp.AtLeast, float64(d), nil, nil)
	}
	for k := range o.sheets {
		m.limitRow = append(m.limitRow, -1)
		if m.lim[k] {
			m.limitRow[k] = m.lp.AddRow(lp.AtMost, float64(m.avail[k]), nil, nil)
		}
	}
	return m
}

// add puts a cut sheet into the programme unless it is known.
func (m *sheetMaster) add(u sheetUse) bool {
	p := pattern{k: u.k}
	var vals []float64
	for i, n := range u.a {
		if n > 0 {
			p.at, p.num = append(p.at, int32(i)), append(p.num, int32(n))
			vals = append(vals, float64(n))
		}
	}
	id := key(p)
	if m.known[id] {
		return false
	}
	m.known[id] = true
	rows := append([]int32(nil), p.at...)
	if r := m.limitRow[u.k]; r >= 0 {
		rows, vals = append(rows, int32(r)), append(vals, 1)
	}
	m.lp.AddColumn(float64(m.cost[u.k])/m.unit, rows, vals)
	m.cols = append(m.cols, u)
	return true
}

// mayBeProper reports whether pricing with limited copies is affordable.
func (m *sheetMaster) mayBeProper() bool {
	var n int64
	for _, g := range m.grids {
		n += g.outsideWork()
	}
	return n <= sheetWork/properPart
}

// spent reports whether the steps allowed are used up.
func (m *sheetMaster) spent() bool {
	var n int64
	for _, g := range m.grids {
		n += g.spent
	}
	effort := max(1, m.o.effort)
	return n > sheetWork*int64(effort) || m.lp.Pivots()*m.lp.Rows() > sheetPivots*effort
}

// price rounds duals to whole numbers and fills every sheet kind's grid.
func (m *sheetMaster) price(y []float64) (prices, []sheetUse) {
	q := prices{pi: make([]int64, len(m.d)), most: make([]int64, len(m.grids))}
	for i := range q.pi {
		q.pi[i] = int64(math.Floor(math.Max(0, math.Min(mostDual, y[i])) * m.unit * m.scale))
	}
	var fills []sheetUse
	v := append([]int64(nil), q.pi...)
	for i, d := range m.d {
		if d == 0 {
			v[i] = 0
		}
	}
	for k, g := range m.grids {
		if m.avail[k] == 0 {
			continue
		}
		if m.proper {
			if u, ok := m.properFill(k, v, &q); ok {
				fills = append(fills, u)
			}
			continue
		}
		g.solve(m.o, v)
		q.most[k] = g.top()
		root := g.cutting(m.o, append([]int(nil), m.d...))
		a := make([]int, len(m.d))
		root.count(a)
		fills = append(fills, sheetUse{k, root, a, 1})
	}
	return q, fills
}

// quick prices by greedy fillings, dearest duals by area first, and adds those that
// improve the programme; the grid is asked only when there are none.
func (m *sheetMaster) quick(y []float64) bool {
	idx := make([]int, len(m.d))
	for i := range idx {
		idx[i] = i
	}
	any := false
	for by := 0; by < 3; by++ {
		worth := func(i int) float64 {
			switch t := m.o.items[i]; by {
			case 0:
				return y[i] / float64(t.area)
			case 1:
				return y[i]
			default:
				return y[i] / float64(t.l+t.w)
			}
		}
		sort.Slice(idx, func(a, b int) bool {
			if u, v := worth(idx[a]), worth(idx[b]); u != v {
				return u > v
			}
			return idx[a] < idx[b]
		})
		for k, s := range m.o.sheets {
			if m.avail[k] == 0 {
				continue
			}
			for rule := splitRule(0); rule < splitRules; rule++ {
				root, a, _ := m.o.greedySheet(s.l, s.w, m.d, idx, rule)
				if u := (sheetUse{k, root, a, 1}); m.reduced(u, y) < -1e-7 && m.add(u) {
					any = true
				}
			}
		}
	}
	return any
}

// properFill prices one sheet kind with limited copies; where that cannot be proven
// within the budget the value with unlimited copies stands.
func (m *sheetMaster) properFill(k int, v []int64, q *prices) (sheetUse, bool) {
	g := m.grids[k]
	full := int64(float64(m.cost[k]) * m.scale)
	budget := min(m.joins, joinsAtOnce)
	m.joins -= budget
	root, value, proven := m.o.bestPlate(m.ctx, g, v, m.d, full, &budget)
	m.joins += max(0, budget)
	g.spent += g.outsideWork()
	q.most[k] = value
	if !proven {
		q.most[k] = max(full, g.top())
	}
	if root == nil {
		return sheetUse{}, false
	}
	a := make([]int, len(m.d))
	root.count(a)
	return sheetUse{k, root, a, 1}, true
}

// generate adds patterns until none improves the programme or the bound reaches
// stop, and returns the proven bound in cost units.
func (m *sheetMaster) generate(ctx context.Context, stop int64) (int64, outcome) {
	m.ctx = ctx
	best := int64(0)
	alpha := sheetSmooth
	var centre []float64
	y := make([]float64, m.lp.Rows())
	mixed := make([]float64, len(y))
	for {
		if ctx.Err() != nil || m.spent() {
			return best, stopped
		}
		solved := m.lp.Solve(sheetPivotsAtOnce)
		for r := range y {
			y[r] = m.lp.Dual(r)
			mixed[r] = y[r]
			if centre != nil {
				mixed[r] = alpha*centre[r] + (1-alpha)*y[r]
			}
		}
		if m.quick(y) {
			continue
		}
		q, fills := m.price(mixed)
		if b := dualBound(q, m.d, m.cost, m.avail, m.lim, m.scale); b > best || centre == nil {
			best = max(best, b)
			centre = append(centre[:0], mixed...)
		}
		if best >= stop {
			return best, reached
		}
		if z := m.lp.Objective() * m.unit; m.lp.Violation() < 1e-7 && float64(best) >= z-1e-6*math.Max(1, z/tolOver) {
			return best, settled
		}
		any := false
		for _, u := range fills {
			if m.reduced(u, y) < -1e-7 && m.add(u) {
				any = true
			}
		}
		switch {
		case any, !solved:
		case alpha == 0:
			return best, converged
		default:
			if alpha -= smoothDown; alpha < smoothLeast {
				alpha = 0
			}
		}
	}
}

func (m *sheetMaster) reduced(u sheetUse, y []float64) float64 {
	red := float64(m.cost[u.k]) / m.unit
	for i, n := range u.a {
		red -= y[i] * float64(n)
	}
	if r := m.limitRow[u.k]; r >= 0 {
		red -= y[r]
	}
	return red
}

// dive rounds the programme to whole sheets step by step, completing the plan by
// the quick fillings at each step; see master.dive.
func (m *sheetMaster) dive(ctx context.Context, goal, have int64, skip int) []sheetUse {
	state := m.lp.Save()
	d, avail := append([]int(nil), m.d...), append([]int(nil), m.avail...)
	defer func() {
		m.lp.Restore(state)
		m.d, m.avail = d, avail
	}()
	m.d, m.avail = append([]int(nil), d...), append([]int(nil), avail...)
	var uses, best []sheetUse
	spent := int64(0)
	keep := func(plan []sheetUse) {
		if best == nil || m.o.costOf(plan) < m.o.costOf(best) {
			best = plan
		}
	}
	for {
		if tail := m.o.complete(m.d, m.avail, m.grids, goal-spent); tail != nil {
			keep(append(append([]sheetUse(nil), uses...), tail...))
		}
		if best != nil {
			if have = min(have, m.o.costOf(best)); have <= goal {
				return best
			}
		}
		fixed := m.roundings(&skip)
		if len(fixed) == 0 {
			return best
		}
		for _, u := range fixed {
			m.take(u)
			uses = append(uses, u)
			spent += m.cost[u.k] * int64(u.times)
		}
		if remaining(m.d) == 0 {
			keep(uses)
			return best
		}
		bound, how := m.generate(ctx, have-spent)
		if how == reached || how == stopped || spent+bound >= have {
			return best
		}
	}
}

func (m *sheetMaster) take(u sheetUse) {
	for i, n := range u.a {
		m.d[i] = max(0, m.d[i]-n*u.times)
		m.lp.SetRHS(i, float64(m.d[i]))
	}
	m.avail[u.k] -= u.times
	if r := m.limitRow[u.k]; r >= 0 {
		m.lp.SetRHS(r, float64(m.avail[u.k]))
	}
}

// roundings fixes all whole parts, or else the largest fraction once.
func (m *sheetMaster) roundings(skip *int) []sheetUse {
	type frac struct {
		j int
		x float64
	}
	var part []frac
	m.lp.InUse(func(j int, x float64) {
		if x > 1e-6 && m.avail[m.cols[j].k] > 0 {
			part = append(part, frac{j, x})
		}
	})
	if len(part) == 0 {
		return nil
	}
	sort.Slice(part, func(a, b int) bool {
		if math.Abs(part[a].x-part[b].x) > 1e-6 {
			return part[a].x > part[b].x
		}
		return part[a].j < part[b].j
	})
	at := 0
	if *skip > 0 {
		at = *skip % len(part)
		*skip /= 2
	}
	u := m.cols[part[at].j]
	u.times = max(1, min(int(part[at].x+1e-6), m.avail[u.k]))
	return []sheetUse{u}
}

// complete finishes a plan by the quick fillings and, where the grid is small, by
// filling sheet after sheet with the best of the grid.
func (o *sheetOrder) complete(d, avail []int, grids []*grid, goal int64) []sheetUse {
	rest := *o
	rest.items = append([]panelType(nil), o.items...)
	for i := range rest.items {
		rest.items[i].d = d[i]
	}
	rest.sheets = append([]sheetType(nil), o.sheets...)
	for k := range rest.sheets {
		rest.sheets[k].avail = avail[k]
	}
	best := rest.firstPlan(goal)
	if best != nil && o.costOf(best) <= goal {
		return best
	}
	for _, bend := range []int64{0, bendMost} {
		plan := rest.sequence(func(k int, d []int) (*part, []int, int64) {
			return rest.gridFill(grids[k], d, bend)
		}, d, avail)
		if plan != nil && (best == nil || o.costOf(plan) < o.costOf(best)) {
			best = plan
		}
	}
	return best
}

// gridFill fills a sheet by the grid with panels valued by area; bend values large
// ones somewhat more. Surplus is left out.
func (o *sheetOrder) gridFill(g *grid, d []int, bend int64) (*part, []int, int64) {
	if g.work() > fillWork {
		return nil, nil, 0
	}
	v := make([]int64, len(d))
	whole := int64(g.l) * int64(g.w)
	for i, t := range o.items {
		if d[i] > 0 {
			v[i] = t.area
			if bend > 0 {
				v[i] += t.area / bend * t.area / whole
			}
		}
	}
	g.solve(o, v)
	root := g.cutting(o, append([]int(nil), d...))
	a := make([]int, len(d))
	root.count(a)
	var got int64
	for i, n := range a {
		got += int64(n) * o.items[i].area
	}
	return root, a, got
}
