package cutting

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"
)

const (
	// weaves is how many plans are made sheet by sheet with a beam, beamWide slabs wide, for each unit of effort.
	weaves   = 3
	beamWide = 40
	// settleRounds is how often sheets are filled anew with what is left over, for each unit of effort.
	settleRounds = 300
)

// weave makes plans sheet by sheet, each sheet filled by a beam with panels that are worth somewhat
// more than their area: more so, from plan to plan, where they came to lie on sheets that waste much (sequential value
// correction, Belov and Scheithauer 2007, from memory).
func (s *sheetSearch) weave(ctx context.Context) {
	o := s.o
	worth := make([]float64, len(o.items))
	for i, t := range o.items {
		worth[i] = o.weighted(t, weaveBend)
	}
	dice := rand.New(rand.NewPCG(weaveSeed, weaveStream))
	fill := func(k int, d []int) (*part, []int, int64) {
		if ctx.Err() != nil {
			return nil, nil, 0
		}
		u := o.fillOne(k, d, worth, dice)
		return u.root, u.a, o.areaOf(u.a)
	}
	for range weaves * max(1, o.effort) {
		if s.closed() || ctx.Err() != nil {
			return
		}
		plan := o.sequence(fill, o.demand(), o.available())
		s.offer(plan)
		for _, u := range plan {
			share := float64(o.sheets[u.k].area()) / float64(max(1, o.areaOf(u.a)))
			for i, n := range u.a {
				if n > 0 {
					worth[i] = weaveKept*worth[i] + (1-weaveKept)*float64(o.items[i].area)*share*(1+weaveSpread*dice.Float64())
				}
			}
		}
	}
}

// areaOf is the area of so many panels.
func (o *sheetOrder) areaOf(a []int) int64 {
	var sum int64
	for i, n := range a {
		sum += int64(n) * o.items[i].area
	}
	return sum
}

// weighted is a panel's area, a large one's somewhat more.
func (o *sheetOrder) weighted(t panelType, more float64) float64 {
	var whole int64
	for _, s := range o.sheets {
		whole = max(whole, s.area())
	}
	return float64(t.area) * (1 + more*float64(t.area)/float64(whole))
}

// fillOne fills one sheet by a beam.
func (o *sheetOrder) fillOne(k int, d []int, worth []float64, dice *rand.Rand) sheetUse {
	order := make([]int, 0, len(o.items))
	for i := range o.items {
		if d[i] > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worth[b], worth[a]) })
	p, _ := newPool(o, k, d, order)
	best := p.beam(func(i int) float64 { return worth[i] }, beamWide, dice)
	if best < 0 {
		return sheetUse{k, &part{l: o.sheets[k].l, w: o.sheets[k].w, item: -1}, make([]int, len(o.items)), 1}
	}
	return p.sheet(k, best)
}

// settling is a plan of which the emptiest sheet was taken apart.
type settling struct {
	rebuilding
	rest  []int // what is on no sheet
	worth []float64
}

// settle takes the emptiest sheet of the best plan apart and fills one or two others anew with their own
// panels and what is left over, again and again, until nothing is.
func (s *sheetSearch) settle(ctx context.Context) {
	dice := rand.New(rand.NewPCG(settleSeed, settleStream))
	for !s.closed() && s.best != nil {
		r := newSettling(s.o, s.best, dice)
		if r == nil {
			return
		}
		for left := settleRounds * max(1, s.o.effort); remaining(r.rest) > 0; left-- {
			if left == 0 || ctx.Err() != nil {
				return
			}
			r.refill()
		}
		var plan []sheetUse
		for _, f := range r.sheets {
			if f.got > 0 {
				plan = append(plan, f.sheetUse)
			}
		}
		s.offer(plan)
	}
}

// newSettling is nil where the plan has one sheet.
func newSettling(o *sheetOrder, plan []sheetUse, dice *rand.Rand) *settling {
	r := &settling{rebuilding: rebuilding{o: o, dice: dice}, worth: make([]float64, len(o.items))}
	for _, u := range o.trim(plan) {
		for range u.times {
			r.sheets = append(r.sheets, r.sheetOf(sheetUse{u.k, u.root, u.a, 1}))
		}
	}
	slices.SortStableFunc(r.sheets, func(a, b filled) int { return cmp.Compare(b.got, a.got) })
	last := len(r.sheets) - 1
	if last < 1 {
		return nil
	}
	r.rest = append(r.rest, r.sheets[last].a...)
	r.sheets = r.sheets[:last]
	return r
}

// refill fills one or two sheets anew, and keeps that where no more is left over, or little more.
func (r *settling) refill() {
	for i, t := range r.o.items {
		r.worth[i] = r.o.weighted(t, settleBend) * (1 + settleSpread*r.dice.Float64())
	}
	chosen := r.dice.Perm(len(r.sheets))[:min(len(r.sheets), 1+r.dice.IntN(2))]
	d := append([]int(nil), r.rest...)
	var before, after, whole int64
	for _, c := range chosen {
		for i, n := range r.sheets[c].a {
			d[i] += n
		}
		before += r.sheets[c].got
	}
	anew := make([]filled, len(chosen))
	for n, c := range chosen {
		k := r.sheets[c].k
		u := r.o.fillOne(k, d, r.worth, r.dice)
		for i, n := range u.a {
			d[i] -= n
		}
		anew[n] = r.sheetOf(u)
		after += anew[n].got
		whole = r.o.sheets[k].area()
	}
	if float64(after) < float64(before)-settleLoss*float64(whole)*r.dice.Float64() {
		return
	}
	for n, c := range chosen {
		r.sheets[c] = anew[n]
	}
	r.rest = d
}
