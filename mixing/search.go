package mixing

import (
	"context"
	"math"
	"math/bits"
	"sort"
)

// exactCells is the greatest number of cells for which every order is weighed.
const exactCells = 18

// Claim is how sure one can be that an order is the best.
type Claim string

const (
	// Proven: no order serves the wet edges better.
	Proven Claim = "proven"
	// Good: a sound order, but a better one may exist.
	Good Claim = "good, not proven"
)

// choice is an order with how it was found.
type choice struct {
	order []int
	how   string
	claim Claim
}

// choose takes the first simple sweep that passes both proofs. When none does it
// mends the sweeps for the way out and searches for the order with the least total
// age of joints (length times minutes), exactly up to exactCells cells.
func (g *ground) choose(ctx context.Context, perM2, openMin float64) (choice, error) {
	sweeps := g.sweeps()
	way := make([]bool, len(sweeps))
	for i, s := range sweeps {
		if way[i] = g.prove(s).Holds; way[i] && g.late(s, perM2, openMin) == 0 {
			return choice{s, "simple sweep", Proven}, nil
		}
	}
	best, bestLate, bestAge := choice{}, math.Inf(1), math.Inf(1)
	weigh := func(c choice) {
		late, age := g.late(c.order, perM2, openMin), g.age(c.order, perM2)
		if late < bestLate-1e-9 || (late <= bestLate+1e-9 && age < bestAge-1e-9) {
			best, bestLate, bestAge = c, late, age
		}
	}
	for i, s := range sweeps {
		if err := ctx.Err(); err != nil {
			return choice{}, err
		}
		if way[i] {
			weigh(choice{s, "simple sweep", Good})
		} else {
			weigh(choice{g.mend(s), "sweep turned aside for the way out", Good})
		}
	}
	if bestLate == 0 {
		best.claim = Proven // no joint is late: none can do better
		return best, nil
	}
	if len(g.cells) <= exactCells {
		order, err := g.exact(ctx)
		if err != nil {
			return choice{}, err
		}
		weigh(choice{order, "search over every order for the least age of joints", Good})
		return best, nil
	}
	order, err := g.beam(ctx)
	if err != nil {
		return choice{}, err
	}
	weigh(choice{order, "best-first search", Good})
	return best, nil
}

// exact returns the order of least total age by dynamic programming over sets of
// laid cells: while a cell is laid every joint between laid and unlaid ages by the
// time it takes, half of it before and half after the cell itself joins.
func (g *ground) exact(ctx context.Context) ([]int, error) {
	n := len(g.cells)
	all := uint32(1)<<n - 1
	walks := make([]uint32, n)
	var exit uint32
	for i := range n {
		for _, j := range g.walks[i] {
			walks[i] |= 1 << j
		}
		if g.exit[i] {
			exit |= 1 << i
		}
	}
	open := func(dry uint32) bool {
		seen := dry & exit
		for grown := seen; grown != 0; {
			i := bits.TrailingZeros32(grown)
			grown &^= 1 << i
			fresh := walks[i] & dry &^ seen
			seen |= fresh
			grown |= fresh
		}
		return seen == dry
	}
	size := int(all) + 1
	cost, edge, last := make([]float64, size), make([]float64, size), make([]int8, size)
	for s := range cost {
		cost[s] = math.Inf(1)
	}
	cost[0] = 0
	for s := uint32(0); s < all; s++ {
		if s&0xfff == 0 {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
		if math.IsInf(cost[s], 1) {
			continue
		}
		for i := range n {
			next := s | 1<<i
			if next == s || !open(all&^next) {
				continue
			}
			after := edge[s]
			for _, l := range g.joins[i] {
				if s&(1<<l.to) != 0 {
					after -= l.lengthM
				} else {
					after += l.lengthM
				}
			}
			if c := cost[s] + g.cells[i].AreaM2*(edge[s]+after)/2; c < cost[next]-1e-12 {
				cost[next], edge[next], last[next] = c, after, int8(i)
			}
		}
	}
	order := make([]int, n)
	for s, k := all, n-1; k >= 0; k-- {
		order[k] = int(last[s])
		s &^= 1 << last[s]
	}
	return order, nil
}

// state is a part-made order in the beam.
type state struct {
	laid       []bool
	order      []int
	cost, edge float64
}

// beam searches best-first for an order of small total age, keeping the cheapest of
// the states that have laid the same cells.
func (g *ground) beam(ctx context.Context) ([]int, error) {
	n := len(g.cells)
	width := max(2, min(120, 6000/n))
	states := []state{{laid: make([]bool, n)}}
	for step := 0; step < n; step++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		type move struct {
			from, cell int
			cost, edge float64
		}
		var moves []move
		for k, s := range states {
			ok := g.removable(s.laid)
			for i := range n {
				if s.laid[i] || !ok[i] {
					continue
				}
				after := s.edge
				for _, l := range g.joins[i] {
					if s.laid[l.to] {
						after -= l.lengthM
					} else {
						after += l.lengthM
					}
				}
				moves = append(moves, move{k, i, s.cost + g.cells[i].AreaM2*(s.edge+after)/2, after})
			}
		}
		// What is still open will age too: count the present edge once more.
		sort.SliceStable(moves, func(a, b int) bool { return moves[a].cost+moves[a].edge < moves[b].cost+moves[b].edge })
		seen := map[string]bool{}
		var next []state
		for _, m := range moves {
			laid := append([]bool(nil), states[m.from].laid...)
			laid[m.cell] = true
			if k := setKey(laid); seen[k] {
				continue
			} else {
				seen[k] = true
			}
			next = append(next, state{laid, append(append(make([]int, 0, n), states[m.from].order...), m.cell), m.cost, m.edge})
			if len(next) == width {
				break
			}
		}
		states = next
	}
	return states[0].order, nil
}

func setKey(laid []bool) string {
	b := make([]byte, (len(laid)+7)/8)
	for i, l := range laid {
		if l {
			b[i/8] |= 1 << (i % 8)
		}
	}
	return string(b)
}
