package cutting

import (
	"context"
	"math/rand/v2"
	"sort"
)

// rebuildRounds is how often some sheets of a plan are cut anew, for each unit of effort.
const rebuildRounds = 4000

// rebuild takes two to five sheets of a plan apart, again and again, and cuts their
// panels anew in a shuffled order: into a sheet less where that is found, or so that
// what is left lies together, from which a sheet less may follow. Shuffles are drawn from
// a fixed seed: the same order gives the same plan.
func (o *sheetOrder) rebuild(ctx context.Context, uses []sheetUse, bound int64) []sheetUse {
	r := &rebuilding{o: o, dice: rand.New(rand.NewPCG(rebuildSeed, rebuildStream)),
		idx: make([]int, len(o.items)), weight: make([]float64, len(o.items))}
	for _, u := range o.trim(uses) {
		for range u.times {
			r.sheets = append(r.sheets, r.sheetOf(sheetUse{u.k, u.root, u.a, 1}))
		}
	}
	cost := o.costOf(uses)
	for round := 0; round < rebuildRounds*max(0, o.effort) && cost > bound && len(r.sheets) > 1; round++ {
		if round%askEvery == 0 && ctx.Err() != nil {
			break
		}
		cost -= r.round()
	}
	out := make([]sheetUse, len(r.sheets))
	for i, s := range r.sheets {
		out[i] = s.sheetUse
	}
	return out
}

// rebuilding is a plan sheet by sheet while it is rebuilt.
type rebuilding struct {
	o      *sheetOrder
	dice   *rand.Rand
	sheets []filled
	idx    []int
	weight []float64
}

// filled is a sheet with the area of the panels on it.
type filled struct {
	sheetUse
	got int64
}

func (r *rebuilding) sheetOf(u sheetUse) filled {
	f := filled{u, 0}
	for i, n := range u.a {
		f.got += int64(n) * r.o.items[i].area
	}
	return f
}

// round rebuilds some sheets of one kind and returns the cost saved.
func (r *rebuilding) round() int64 {
	n := min(len(r.sheets), 2+r.dice.IntN(4))
	// The emptiest sheet is taken every other time: it is the one to go.
	sort.SliceStable(r.sheets, func(i, j int) bool { return r.sheets[i].got < r.sheets[j].got })
	first := r.dice.IntN(len(r.sheets))
	if r.dice.IntN(2) == 0 {
		first = 0
	}
	k := r.sheets[first].k
	chosen := []int{first}
	for _, i := range r.dice.Perm(len(r.sheets)) {
		if len(chosen) < n && i != first && r.sheets[i].k == k {
			chosen = append(chosen, i)
		}
	}
	d := make([]int, len(r.o.items))
	var before float64
	for _, i := range chosen {
		for t, c := range r.sheets[i].a {
			d[t] += c
		}
		before += float64(r.sheets[i].got) * float64(r.sheets[i].got)
	}
	anew, ok := r.fill(k, d, len(chosen))
	if !ok {
		return 0
	}
	var after float64
	for _, s := range anew {
		after += float64(s.got) * float64(s.got)
	}
	if len(anew) == len(chosen) && after < before {
		return 0
	}
	sort.Sort(sort.Reverse(sort.IntSlice(chosen)))
	for _, i := range chosen {
		r.sheets = append(r.sheets[:i], r.sheets[i+1:]...)
	}
	r.sheets = append(r.sheets, anew...)
	return r.o.sheets[k].cost * int64(len(chosen)-len(anew))
}

// fill cuts the demand from at most so many sheets of a kind, in a shuffled order.
func (r *rebuilding) fill(k int, d []int, most int) ([]filled, bool) {
	s := r.o.sheets[k]
	for i, t := range r.o.items {
		r.idx[i] = i
		r.weight[i] = float64(t.area) * (rebuildLeast + rebuildSpread*r.dice.Float64())
		if r.dice.IntN(3) == 0 {
			r.weight[i] = float64(max(t.l, t.w)) * float64(s.w) * r.dice.Float64()
		}
	}
	idx := r.idx[:0]
	for i := range r.o.items {
		if d[i] > 0 {
			idx = append(idx, i)
		}
	}
	sort.Slice(idx, func(a, b int) bool { return r.weight[idx[a]] > r.weight[idx[b]] })
	var out []filled
	for remaining(d) > 0 {
		if len(out) == most {
			return nil, false
		}
		var best filled
		for rule := splitRule(0); rule < splitRules; rule++ {
			if root, a, got := r.o.greedySheet(s.l, s.w, d, idx, rule); got > best.got {
				best = filled{sheetUse{k, root, a, 1}, got}
			}
		}
		if best.got == 0 {
			return nil, false
		}
		for i, n := range best.a {
			d[i] -= n
		}
		out = append(out, best)
	}
	return out, true
}
