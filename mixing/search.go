package mixing

import (
	"context"
	"math"
	"math/bits"
	"sort"
)

// exactCells is the greatest number of cells for which every order is weighed.
const exactCells = 18

// beamWidest is how many orders a search keeps at each step, beamWork how many for all cells.
const (
	beamWidest = 120
	beamWork   = 6000
)

// Claim is how sure one can be that an order is the best.
type Claim string

const (
	// Proven: no order serves the laps and the wet edges better.
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

// merit is what orders are compared by.
type merit struct {
	tucks   int     // laps laid upper side first
	lateM   float64 // joint whose first side has gone off
	returns int     // times that a field is taken up again
	age     float64 // metres of joint times minutes
}

func (m merit) better(than merit) bool {
	switch {
	case m.tucks != than.tucks:
		return m.tucks < than.tucks
	case math.Abs(m.lateM-than.lateM) > 1e-9:
		return m.lateM < than.lateM
	case m.returns != than.returns:
		return m.returns < than.returns
	}
	return m.age < than.age-1e-9
}

// chooser weighs orders for a ground.
type chooser struct {
	g               *ground
	perM2, openMin  float64
	best            choice
	merit           merit
	sweeps          [][]int
	known, wayHolds []bool // of each sweep
}

func (c *chooser) holds(k int) bool {
	if !c.known[k] {
		c.known[k], c.wayHolds[k] = true, c.g.prove(c.sweeps[k]).Holds
	}
	return c.wayHolds[k]
}

// plain returns the first sweep that passes as it is, going against so many laps and
// leaving no joint late and no field unfinished; nil when there is none.
func (c *chooser) plain(tucks int) []int {
	for k, s := range c.sweeps {
		if c.g.tucks(s) == tucks && c.g.returns(s) == 0 && c.holds(k) && c.g.late(s, c.perM2, c.openMin) == 0 {
			return s
		}
	}
	return nil
}

func (c *chooser) weigh(order []int, how string) {
	m := merit{c.g.tucks(order), c.g.late(order, c.perM2, c.openMin), c.g.returns(order), c.g.age(order, c.perM2)}
	if c.best.order == nil || m.better(c.merit) {
		c.best, c.merit = choice{order, how, Good}, m
	}
}

// choose takes the first simple sweep that keeps the way off, the laps and the wet
// edges. When none does it mends the sweeps and searches for the order that makes the
// fewest laps the other way round and then has the least total age of joints (length
// times minutes), exactly up to exactCells cells.
func (g *ground) choose(ctx context.Context, perM2, openMin float64) (choice, error) {
	c := &chooser{g: g, perM2: perM2, openMin: openMin, sweeps: g.sweeps()}
	c.known, c.wayHolds = make([]bool, len(c.sweeps)), make([]bool, len(c.sweeps))
	if s := c.plain(0); s != nil {
		return choice{s, "simple sweep", Proven}, nil
	}
	g.keepable()
	if g.lost > 0 {
		if s := c.plain(g.lost); s != nil {
			return choice{s, "simple sweep", Proven}, nil
		}
	}
	if err := c.weighSweeps(ctx); err != nil {
		return choice{}, err
	}
	if c.merit.lateM == 0 && c.merit.tucks == g.lost {
		c.best.claim = Proven // no joint is late, no lap goes the other way that need not: none can do better
		return c.best, nil
	}
	if len(g.cells) <= exactCells {
		order, err := g.exact(ctx)
		if err != nil {
			return choice{}, err
		}
		how := "search over every order for the least age of joints"
		if g.on != nil {
			how = "search over every order for the laps and the least age of joints"
		}
		c.weigh(order, how)
		if c.merit.lateM == 0 && g.on != nil {
			c.best.claim = Proven // and no order keeps more laps
		}
		return c.best, nil
	}
	order, err := g.beam(ctx)
	if err != nil {
		return choice{}, err
	}
	c.weigh(order, "best-first search")
	return c.best, nil
}

// weighSweeps weighs every sweep, where it holds, and as it is mended.
func (c *chooser) weighSweeps(ctx context.Context) error {
	g := c.g
	for k, s := range c.sweeps {
		if err := ctx.Err(); err != nil {
			return err
		}
		how := "sweep turned aside for the way out"
		if c.holds(k) {
			c.weigh(s, "simple sweep")
			if g.tucks(s) == g.lost {
				continue
			}
			how = "sweep turned aside for the laps"
		} else if g.tucks(s) > g.lost {
			how = "sweep turned aside for the way out and the laps"
		}
		c.weigh(g.mend(s), how)
	}
	return nil
}

// exact returns the order that makes the fewest laps the other way round and, of
// those, has the least total age, by dynamic programming over sets of laid cells: while
// a cell is laid every joint between laid and unlaid ages by the time it takes, half of
// it before and half after the cell itself joins.
func (g *ground) exact(ctx context.Context) ([]int, error) {
	n := len(g.cells)
	all := uint32(1)<<n - 1
	w, below := g.wayOut(), setsOf(g.after)
	size := int(all) + 1
	// The costs are twice the ages.
	cost, edge, last, tucks := make([]float64, size), make([]float64, size), make([]int8, size), make([]int16, size)
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
			if next == s || !w.open(all&^next) {
				continue
			}
			after := g.edgeAfter(edge[s], i, s)
			c, t := cost[s]+g.cells[i].AreaM2*(edge[s]+after), tucks[s]+int16(bits.OnesCount32(below[i]&^s))
			if math.IsInf(cost[next], 1) || t < tucks[next] || (t == tucks[next] && c < cost[next]-2e-12) {
				cost[next], edge[next], last[next], tucks[next] = c, after, int8(i), t
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
	last       *laidStep
	waits      []int // laps below each cell that are still to be laid
	tucks      int   // laps laid upper side first
	cost, edge float64
}

// laidStep is the last cell of an order, after those before it; nil for none.
type laidStep struct {
	cell   int
	before *laidStep
}

// order lists the cells of n steps, the first first.
func (l *laidStep) order(n int) []int {
	out := make([]int, n)
	for ; l != nil; l = l.before {
		n--
		out[n] = l.cell
	}
	return out
}

// follow makes a state that of another with a cell laid, for which some others need wait no more.
func (s *state) follow(from *state, cell int, freed []int) {
	s.laid, s.waits = append(s.laid[:0], from.laid...), append(s.waits[:0], from.waits...)
	s.laid[cell], s.last = true, &laidStep{cell, from.last}
	for _, i := range freed {
		s.waits[i]--
	}
}

// beam searches best-first for an order that keeps the laps and has a small total age,
// keeping the cheapest of the states that have laid the same cells. A lap is laid upper
// side first only where nothing else can be laid without trapping somebody, and a field
// begun is finished first.
func (g *ground) beam(ctx context.Context) ([]int, error) {
	n := len(g.cells)
	width := max(2, min(beamWidest, beamWork/n))
	// Two generations, each on the store of the one before its parents.
	states, next := make([]state, 1, width), make([]state, 0, width)
	states[0] = state{laid: make([]bool, n), waits: g.waits()}
	seen := map[string]bool{}
	var key []byte
	type move struct {
		from, cell int
		tucks      int
		cost, edge float64
	}
	var moves []move
	for step := 0; step < n; step++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		moves = moves[:0]
		for k, s := range states {
			for _, i := range g.moves(s, g.removable(s.laid)) {
				after := s.edge
				for _, l := range g.joins[i] {
					if s.laid[l.to] {
						after -= l.lengthM
					} else {
						after += l.lengthM
					}
				}
				moves = append(moves, move{k, i, s.tucks + s.waits[i], s.cost + g.cells[i].AreaM2*(s.edge+after)/2, after})
			}
		}
		// What is still open will age too: count the present edge once more.
		sort.SliceStable(moves, func(a, b int) bool {
			if moves[a].tucks != moves[b].tucks {
				return moves[a].tucks < moves[b].tucks
			}
			return moves[a].cost+moves[a].edge < moves[b].cost+moves[b].edge
		})
		clear(seen)
		next = next[:0]
		for _, m := range moves {
			from := &states[m.from]
			from.laid[m.cell] = true
			key = appendSet(key[:0], from.laid)
			from.laid[m.cell] = false
			if seen[string(key)] {
				continue
			}
			seen[string(key)] = true
			next = next[:len(next)+1]
			s := &next[len(next)-1]
			s.follow(from, m.cell, g.before[m.cell])
			s.tucks, s.cost, s.edge = m.tucks, m.cost, m.edge
			if len(next) == width {
				break
			}
		}
		states, next = next, states
	}
	return states[0].last.order(n), nil
}

// moves lists the cells that a state may lay next of those that trap nobody: in the
// field begun while there is one, and against as few laps as can be.
func (g *ground) moves(s state, ok []bool) []int {
	rank := func(i int) int {
		if g.field != nil && s.last != nil && g.field[i] != g.field[s.last.cell] {
			return s.waits[i] + len(ok)
		}
		return s.waits[i]
	}
	least := math.MaxInt
	var cells []int
	for i := range ok {
		if s.laid[i] || !ok[i] {
			continue
		}
		if r := rank(i); r < least {
			least, cells = r, append(cells[:0], i)
		} else if r == least {
			cells = append(cells, i)
		}
	}
	return cells
}

// appendSet writes a set of cells, a bit for each.
func appendSet(b []byte, laid []bool) []byte {
	for i, l := range laid {
		if i%8 == 0 {
			b = append(b, 0)
		}
		if l {
			b[len(b)-1] |= 1 << (i % 8)
		}
	}
	return b
}

// edgeAfter is the length of wet edge, m, once cell i is laid beside those of a set.
func (g *ground) edgeAfter(edgeM float64, i int, laid uint32) float64 {
	for _, l := range g.joins[i] {
		if laid&(1<<l.to) != 0 {
			edgeM -= l.lengthM
		} else {
			edgeM += l.lengthM
		}
	}
	return edgeM
}

// wayOut is, as sets of cells, which lie beside which and which at an exit.
type wayOut struct {
	walks []uint32
	exit  uint32
}

// setsOf turns lists of cells into sets.
func setsOf(lists [][]int) []uint32 {
	sets := make([]uint32, len(lists))
	for i, list := range lists {
		for _, j := range list {
			sets[i] |= 1 << j
		}
	}
	return sets
}

func (g *ground) wayOut() wayOut {
	w := wayOut{walks: setsOf(g.walks)}
	for i := range g.cells {
		if g.exit[i] {
			w.exit |= 1 << i
		}
	}
	return w
}

// open reports whether one gets off the roof from every dry cell over dry ones.
func (w wayOut) open(dry uint32) bool {
	seen := dry & w.exit
	for grown := seen; grown != 0; {
		i := bits.TrailingZeros32(grown)
		grown &^= 1 << i
		fresh := w.walks[i] & dry &^ seen
		seen |= fresh
		grown |= fresh
	}
	return seen == dry
}
