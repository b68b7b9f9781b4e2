package cutting

import "context"

const (
	// slabsMost and joinsMost bound the list of slabs of an exact search, for each unit of effort.
	slabsMost = 40000
	joinsMost = 300000000
	// sheetsListed is how many sheets the search over whole sheets takes.
	sheetsListed = 40000
)

// decide looks whether so few sheets of the one kind do as the bound says. What so many sheets
// leave over is little: no sheet of such a plan, nor any part of one, wastes more than all may together. All
// parts that waste less are listed; over the sheets that can be made of them branch and bound
// finds a plan or proves that there is none, which raises the bound by one. It gives up where they are too many.
func (s *sheetSearch) decide(ctx context.Context) {
	for !s.closed() && s.decideOnce(ctx) == noPlan {
	}
}

func (s *sheetSearch) decideOnce(ctx context.Context) verdict {
	o := s.o
	if len(o.sheets) != 1 || o.sheets[0].cost <= 0 {
		return undecided
	}
	kind := o.sheets[0]
	sheets := s.bound / kind.cost
	if sheets*kind.cost < s.bound {
		sheets++
	}
	spare := sheets * kind.area()
	for _, t := range o.items {
		spare -= t.area * int64(t.d)
	}
	if spare < 0 || sheets > int64(kind.avail) {
		return undecided
	}
	p, all := newPool(o, 0, o.demand(), o.sorted(byArea))
	budget := joinsMost * max(1, o.effort)
	if !all || !p.joined(ctx, spare, slabsMost*max(1, o.effort), &budget) {
		return undecided
	}
	list := p.fullest(spare)
	if len(list) > sheetsListed {
		return undecided
	}
	plan, v := s.cover(ctx, p, list, sheets*kind.cost)
	switch v {
	case foundPlan:
		s.offer(plan)
	case noPlan:
		s.raise(sheets*kind.cost + 1)
	}
	return v
}

// cover looks for a plan of the listed sheets that costs no more than goal, as bars are searched; see tree.
func (s *sheetSearch) cover(ctx context.Context, p *pool, list []int32, goal int64) ([]sheetUse, verdict) {
	o := s.o
	bars := o.bars()
	var pats []pattern
	of := map[string]int32{}
	for _, i := range list {
		q := bars.sparse(0, p.counts(p.slabs[i].n))
		pats = append(pats, q)
		of[key(q)] = i
	}
	m := newMaster(bars)
	uses, v := m.finish(ctx, pats, goal)
	var plan []sheetUse
	for _, u := range uses {
		one := p.sheet(0, of[key(u.pattern)])
		one.times = u.times
		plan = append(plan, one)
	}
	return plan, v
}
