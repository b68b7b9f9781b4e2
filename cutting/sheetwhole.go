package cutting

import (
	"context"
	"slices"
)

// whole decides an order of which all sheets that can be cut are listed: the pattern programme over
// these gives the bound, and branch and bound over those that a cheaper plan can use a plan, or the proof that
// there is none. It gives up where they are too many.
type whole struct {
	s    *sheetSearch
	t    *lattice
	m    *master
	from map[string]listed
	list []listed // the sheets to which no panel can be added
}

// listed is a sheet of a kind cut into a set of the lattice.
type listed struct {
	k  int
	id int32
}

// columnsAtOnce is how many sheets a pricing round adds to the programme.
const columnsAtOnce = 60

// decideWhole raises the bound and offers plans until they meet; undecided where it cannot.
func (s *sheetSearch) decideWhole(ctx context.Context) {
	o := s.o
	if len(o.sheets) > wholeKinds || len(o.items) > wholeTypes {
		return
	}
	t := newLattice(ctx, o)
	if t == nil {
		return
	}
	w := &whole{s: s, t: t, m: newMaster(o.bars()), from: map[string]listed{}}
	for id := int32(1); int(id) < len(t.sets); id++ {
		for k := range o.sheets {
			if set := &t.sets[id]; set.fits&^set.below>>k&1 == 1 {
				w.list = append(w.list, listed{k, id})
			}
		}
	}
	q, ok := w.converge(ctx)
	if !ok {
		return
	}
	s.raise(w.m.bound(q))
	for !s.closed() {
		goal := s.purse.below(s.cost())
		plan, v := w.few(ctx, goal)
		if v == undecided {
			plan, v = w.finish(ctx, q, goal)
		}
		if v == undecided {
			return
		}
		if s.offer(plan); v == noPlan {
			s.raise(s.cost())
		}
	}
}

// finish searches the sheets that a plan within the goal can use by branch and bound.
func (w *whole) finish(ctx context.Context, q prices, goal int64) ([]sheetUse, verdict) {
	pi, mu, delta := w.m.slack(q, goal)
	var pats []pattern
	for _, c := range w.list {
		if need := w.s.o.sheets[c.k].cost*int64(w.m.scale) + mu[c.k] - delta; w.worth(c.id, pi) >= need {
			pats = append(pats, w.pattern(c))
		}
	}
	if len(pats) > sheetsListed {
		return nil, undecided
	}
	state := w.m.lp.Save()
	uses, v := w.m.finish(ctx, pats, goal)
	w.m.allowAll()
	w.m.lp.Restore(state)
	return w.plan(uses), v
}

const (
	// fewSheets is up to how many sheets of one kind all ways to part the panels among them are tried, in so many
	// steps for each unit of effort.
	fewSheets = 4
	fewSteps  = 4000000
)

// covering parts the panels among sheets of one kind: the first panel that is left goes on the next sheet, with any others
// beside which it can be cut, as long as the sheets waste no more in all than they have to spare.
type covering struct {
	*whole
	d      []int
	spare  int64
	sheets int
	ids    []int32
	steps  int
	ctx    context.Context
}

// few decides whether few sheets of one kind do.
func (w *whole) few(ctx context.Context, goal int64) ([]sheetUse, verdict) {
	o := w.s.o
	if len(o.sheets) != 1 || o.sheets[0].cost <= 0 {
		return nil, undecided
	}
	n := goal / o.sheets[0].cost
	if n > fewSheets || n > int64(o.sheets[0].avail) {
		return nil, undecided
	}
	c := covering{whole: w, d: o.demand(), sheets: int(n), spare: n*o.sheets[0].area() - o.areaOf(o.demand()),
		steps: fewSteps * max(1, o.effort), ctx: ctx}
	v := c.next()
	var plan []sheetUse
	for _, id := range c.ids {
		plan = append(plan, w.t.sheet(0, id))
	}
	return plan, v
}

// next cuts what is left from the sheets that are left.
func (c *covering) next() verdict {
	first := slices.IndexFunc(c.d, func(n int) bool { return n > 0 })
	if first < 0 {
		return foundPlan
	}
	if c.sheets == 0 || c.spare < 0 {
		return noPlan
	}
	if c.sheets == 1 {
		id := int32(0)
		for typ, n := range c.d {
			for ; n > 0 && id >= 0; n-- {
				id = c.t.child.get(id, int16(typ))
			}
		}
		if id < 0 {
			return noPlan
		}
		c.ids = append(c.ids, id)
		return foundPlan
	}
	id := c.t.child.get(0, int16(first))
	c.d[first]--
	v := c.grow(id)
	c.d[first]++
	return v
}

// grow tries a set as the next sheet, and every set that has more.
func (c *covering) grow(id int32) verdict {
	if c.steps--; c.steps < 0 || c.steps%askEvery == 0 && c.ctx.Err() != nil {
		return undecided
	}
	set := &c.t.sets[id]
	if waste := c.s.o.sheets[0].area() - set.area; waste <= c.spare {
		c.spare -= waste
		c.sheets--
		c.ids = append(c.ids, id)
		if v := c.next(); v != noPlan {
			return v
		}
		c.ids = c.ids[:len(c.ids)-1]
		c.sheets++
		c.spare += waste
	}
	for typ := int(set.typ); typ < len(c.d); typ++ {
		if c.d[typ] == 0 {
			continue
		}
		more := c.t.child.get(id, int16(typ))
		if more < 0 {
			continue
		}
		c.d[typ]--
		v := c.grow(more)
		c.d[typ]++
		if v != noPlan {
			return v
		}
	}
	return noPlan
}

// bars is an order of bars that has the same patterns, for the pattern programme: its sizes mean nothing.
func (o *sheetOrder) bars() *order {
	b := &order{effort: o.effort}
	n := remaining(o.demand())
	for _, s := range o.sheets {
		b.cap, b.cost = append(b.cap, 1), append(b.cost, s.cost)
		b.avail, b.lim = append(b.avail, s.avail), append(b.lim, s.avail < n)
	}
	for _, t := range o.items {
		b.w, b.d = append(b.w, 1), append(b.d, t.d)
	}
	return b
}

func (w *whole) pattern(c listed) pattern {
	q := w.m.o.sparse(c.k, w.t.counts(c.id))
	w.from[key(q)] = c
	return q
}

func (w *whole) worth(id int32, pi []int64) int64 {
	var v int64
	for t := w.t; id > 0; id = t.sets[id].parent {
		v += pi[t.sets[id].typ]
	}
	return v
}

func (w *whole) plan(uses []use) []sheetUse {
	var plan []sheetUse
	for _, u := range uses {
		c := w.from[key(u.pattern)]
		one := w.t.sheet(c.k, c.id)
		one.times = u.times
		plan = append(plan, one)
	}
	return plan
}

// converge solves the programme over all listed sheets; its duals in whole numbers come with the greatest worth of
// a sheet of each kind, over all that can be cut.
func (w *whole) converge(ctx context.Context) (prices, bool) {
	m, scale := w.m, w.m.unit*w.m.scale
	type gain struct {
		c   listed
		red int64
	}
	for n := range m.o.w { // a column for each type to begin with
		if i := slices.IndexFunc(w.list, func(c listed) bool { return w.holds(c.id, n) }); i >= 0 {
			m.add(w.pattern(w.list[i]))
		}
	}
	q := prices{pi: make([]int64, len(m.o.w)), most: make([]int64, len(m.o.cap))}
	for {
		if m.settle(ctx); ctx.Err() != nil {
			return q, false
		}
		for i := range q.pi {
			q.pi[i] = int64(max(0, min(mostDual, m.lp.Dual(i))) * scale)
		}
		var best []gain
		for k := range q.most {
			q.most[k] = int64(float64(m.o.cost[k]) * m.scale)
		}
		for _, c := range w.list {
			v := w.worth(c.id, q.pi)
			q.most[c.k] = max(q.most[c.k], v)
			red := m.o.cost[c.k]*int64(m.scale) - v
			if r := m.limitRow[c.k]; r >= 0 {
				red -= int64(m.lp.Dual(r) * scale)
			}
			if float64(red) < -1e-8*scale {
				best = append(best, gain{c, red})
			}
		}
		slices.SortStableFunc(best, func(a, b gain) int { return int(min(1, max(-1, a.red-b.red))) })
		fresh := false
		for _, g := range best[:min(len(best), columnsAtOnce)] {
			_, one := m.add(w.pattern(g.c))
			fresh = fresh || one
		}
		if !fresh {
			return q, true
		}
	}
}

func (w *whole) holds(id int32, typ int) bool {
	for t := w.t; id > 0; id = t.sets[id].parent {
		if int(t.sets[id].typ) == typ {
			return true
		}
	}
	return false
}
