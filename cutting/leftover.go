package cutting

import (
	"slices"
	"sort"
)

// gatherBars is the size of a plan, in bars, up to which leftovers are gathered.
const gatherBars = 300

// gatherWork bounds pairs of bars times their length, so that a few rounds stay well
// within a tenth of a second: sixty 2.4 m bars, but not fifty rolls of mat.
const gatherWork = 10_000_000

// gatherOffcuts re-cuts pairs of bars so that leftovers worth keeping grow: of two
// bars the one is filled as full as the pieces of both allow, the other keeps the
// rest. Cost does not change. It repeats while any pair gains, a few rounds at most.
// (Usable leftovers: Cherri and others 2014; this is an improvement, not a proof.)
func (o *order) gatherOffcuts(p Problem, uses []use) []use {
	n := 0
	for _, u := range uses {
		n += u.times
	}
	widest := 0
	for _, c := range o.cap {
		widest = max(widest, c)
	}
	if n > gatherBars || n*n*widest > gatherWork {
		return uses
	}
	g := &gatherer{o: o, p: p}
	for _, u := range uses {
		var pieces []int
		for t, i := range u.at {
			for c := int32(0); c < u.num[t]; c++ {
				pieces = append(pieces, int(i))
			}
		}
		for c := 0; c < u.times; c++ {
			g.bars = append(g.bars, openBar{u.k, pieces, o.filled(u.pattern)})
		}
	}
	for round := 0; round < 4 && g.round(); round++ {
	}
	return g.uses()
}

type openBar struct {
	k      int
	pieces []int // indices into order.w, falling length
	filled int
}

type gatherer struct {
	o    *order
	p    Problem
	bars []openBar
	// reach is scratch of fullest.
	reach []uint64
}

// worth is what a leftover counts: its length if worth keeping, and a little more
// for one long leftover than for two short ones.
func (g *gatherer) worth(k, filled int) float64 {
	room := g.o.cap[k] - filled
	mm := float64(g.p.Stocks[g.o.from[k]].LengthMM+g.p.KerfMM)*float64(room)/float64(g.o.cap[k]) - float64(g.p.KerfMM)
	if mm < float64(g.p.KeepMM) {
		return 0
	}
	return mm * (1 + mm*1e-9)
}

// round tries every ordered pair, roomiest bars first, and reports any gain.
func (g *gatherer) round() bool {
	sort.SliceStable(g.bars, func(a, b int) bool {
		x, y := g.bars[a], g.bars[b]
		return g.o.cap[x.k]-x.filled > g.o.cap[y.k]-y.filled
	})
	gained := false
	for a := range g.bars {
		for b := range g.bars {
			if a != b && g.o.cap[g.bars[b].k] > g.bars[b].filled && g.pair(a, b) {
				gained = true
			}
		}
	}
	return gained
}

// pair fills bar b as full as possible from the pieces of both.
func (g *gatherer) pair(a, b int) bool {
	x, y := g.bars[a], g.bars[b]
	all := append(append([]int(nil), x.pieces...), y.pieces...)
	sort.Ints(all) // longest first
	total := x.filled + y.filled
	in, sum := g.fullest(all, g.o.cap[y.k])
	if total-sum > g.o.cap[x.k] || g.worth(x.k, total-sum)+g.worth(y.k, sum) <= g.worth(x.k, x.filled)+g.worth(y.k, y.filled)+gatherGain {
		return false
	}
	u, v := openBar{x.k, nil, total - sum}, openBar{y.k, nil, sum}
	for t, i := range all {
		if in[t] {
			v.pieces = append(v.pieces, i)
		} else {
			u.pieces = append(u.pieces, i)
		}
	}
	if len(u.pieces) == 0 || len(v.pieces) == 0 {
		return false
	}
	g.bars[a], g.bars[b] = u, v
	return true
}

// fullest chooses pieces that fill size as far as possible, by subset sums: a bit for
// each sum, a row of bits for the sums of the pieces so far.
func (g *gatherer) fullest(pieces []int, size int) ([]bool, int) {
	o, words := g.o, size/64+1
	g.reach = slices.Grow(g.reach[:0], (len(pieces)+1)*words)[:(len(pieces)+1)*words]
	reach := g.reach
	row := func(t int) []uint64 { return reach[t*words : (t+1)*words] }
	clear(row(0))
	reach[0] = 1
	for t, i := range pieces {
		from, to := row(t), row(t+1)
		copy(to, from)
		skip, bit := o.w[i]/64, uint(o.w[i]%64)
		for n := words - 1; n >= skip; n-- {
			moved := from[n-skip] << bit
			if bit > 0 && n > skip {
				moved |= from[n-skip-1] >> (64 - bit)
			}
			to[n] |= moved
		}
	}
	has := func(t, c int) bool { return reach[t*words+c/64]&(1<<uint(c%64)) != 0 }
	best := size
	for !has(len(pieces), best) {
		best--
	}
	in := make([]bool, len(pieces))
	for t, c := len(pieces)-1, best; t >= 0; t-- {
		if !has(t, c) {
			in[t] = true
			c -= o.w[pieces[t]]
		}
	}
	return in, best
}

// uses turns the bars back into patterns, alike ones together.
func (g *gatherer) uses() []use {
	var out []use
	at := map[string]int{}
	a := make([]int, len(g.o.w))
	for _, b := range g.bars {
		clear(a)
		for _, i := range b.pieces {
			a[i]++
		}
		p := g.o.sparse(b.k, a)
		id := key(p)
		if j, ok := at[id]; ok {
			out[j].times++
			continue
		}
		at[id] = len(out)
		out = append(out, use{p, 1})
	}
	return out
}
