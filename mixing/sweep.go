package mixing

import (
	"slices"
	"sort"
)

// sweeps returns the simple orders a crew would think of, best first: strip after
// strip from the far side, each from its far end; then the same from the other side
// or ending elsewhere; then bay by bay; then plainly by distance from the exit.
// Where there are several fields, each is swept in one go before the next, and only
// then come the sweeps over all at once.
func (g *ground) sweeps() [][]int {
	everywhere := make([]int, len(g.cells))
	for i := range everywhere {
		everywhere[i] = i
	}
	all := g.sweepsOf(everywhere)
	if g.field == nil {
		return all
	}
	parted := make([][]int, len(all))
	for _, cells := range g.fields() {
		for k, s := range g.sweepsOf(cells) {
			parted[k] = append(parted[k], s...)
		}
	}
	return append(parted, all...)
}

// sweepsOf returns the simple orders of some cells, at least one; as many for any. Of
// the two ways to go through the strips the one that keeps more laps comes first.
func (g *ground) sweepsOf(some []int) [][]int {
	along := make([]float64, len(g.cells))
	head := g.cells[some[0]]
	u := head.axis()
	firstStrip, lastStrip := head.Strip, head.Strip
	for _, i := range some {
		along[i] = g.at[i].Dot(u)
		firstStrip, lastStrip = min(firstStrip, g.cells[i].Strip), max(lastStrip, g.cells[i].Strip)
	}
	meanFrom := func(strip int) float64 {
		sum, area := 0.0, 0.0
		for _, i := range some {
			if c := g.cells[i]; c.Strip == strip {
				sum, area = sum+g.fromExit(g.at[i])*c.AreaM2, area+c.AreaM2
			}
		}
		return sum / area
	}
	directions := []int{1, -1}
	if meanFrom(lastStrip) > meanFrom(firstStrip)+1e-9 {
		directions = []int{-1, 1}
	}
	by := func(less func(a, b int) bool) []int {
		order := slices.Clone(some)
		sort.SliceStable(order, func(x, y int) bool { return less(order[x], order[y]) })
		return order
	}
	down := func(d int) int {
		return g.tucks(by(func(a, b int) bool { return d*(g.cells[a].Strip-g.cells[b].Strip) < 0 }))
	}
	if g.on != nil && down(directions[1]) < down(directions[0]) {
		slices.Reverse(directions) // the laps know better than the distance
	}
	var all, byBay [][]int
	for _, d := range directions {
		strip := func(a, b int) int { return d * (g.cells[a].Strip - g.cells[b].Strip) }
		all = append(all,
			by(func(a, b int) bool {
				if s := strip(a, b); s != 0 {
					return s < 0
				}
				return g.fromExit(g.at[a]) > g.fromExit(g.at[b])
			}),
			by(func(a, b int) bool {
				if s := strip(a, b); s != 0 {
					return s < 0
				}
				return along[a] < along[b]
			}),
			by(func(a, b int) bool {
				if s := strip(a, b); s != 0 {
					return s < 0
				}
				return along[a] > along[b]
			}))
		for _, way := range []int{1, -1} {
			if g.bay == nil {
				break
			}
			byBay = append(byBay, by(func(a, b int) bool {
				if s := way * (g.bay[a] - g.bay[b]); s != 0 {
					return s < 0
				}
				if s := strip(a, b); s != 0 {
					return s < 0
				}
				return float64(way)*(along[a]-along[b]) < 0
			}))
		}
	}
	all = append(all, byBay...)
	return append(all, by(func(a, b int) bool { return g.fromExit(g.at[a]) > g.fromExit(g.at[b]) }),
		by(func(a, b int) bool { return along[a] < along[b] }), by(func(a, b int) bool { return along[a] > along[b] }))
}

// mend follows a wished order as closely as the way out allows: at each step the
// first cell of the wish that traps nobody and whose laps are all laid below it; where
// there is none, the one that goes against the fewest laps. If the wish goes field by
// field a field begun is finished first, as long as any cell of it traps nobody.
func (g *ground) mend(wish []int) []int {
	m := &mender{ground: g, laid: make([]bool, len(g.cells)), waits: g.waits(), off: make([]int, len(g.cells))}
	for i := range m.off {
		m.off[i] = -1
	}
	inGo := g.field != nil && g.returns(wish) == 0
	order := make([]int, 0, len(wish))
	for k := range wish {
		m.ok = nil
		pick := -1
		if inGo && k > 0 {
			field := g.field[order[k-1]]
			pick = m.pick(wish, func(i int) bool { return g.field[i] == field })
		}
		if pick < 0 {
			pick = m.pick(wish, func(int) bool { return true })
		}
		m.laid[pick] = true
		order = append(order, pick)
		for _, i := range g.before[pick] {
			m.waits[i]--
		}
	}
	return order
}

// mender is an order in the mending.
type mender struct {
	*ground
	laid  []bool
	waits []int  // laps below each cell that are still to be laid
	ok    []bool // removable at this step; nil until asked for
	// off holds for a cell another that it would cut off, or −1: it would until that
	// one is laid.
	off []int
}

// pick returns the cell to lay next among some, or −1 when each would trap somebody.
func (m *mender) pick(wish []int, among func(int) bool) int {
	pick := -1
	for _, i := range wish {
		if !m.laid[i] && m.waits[i] == 0 && among(i) && m.free(i) {
			return i
		}
	}
	for _, i := range wish {
		if !m.laid[i] && (pick < 0 || m.waits[i] < m.waits[pick]) && among(i) && m.free(i) {
			pick = i
		}
	}
	return pick
}

// free reports whether a cell can be laid without cutting another off.
func (m *mender) free(i int) bool {
	if m.off[i] >= 0 && !m.laid[m.off[i]] {
		return false
	}
	if m.roundabout(i, m.laid) {
		return true
	}
	if m.ok == nil {
		m.ok = m.cuts(m.laid, m.off)
	}
	return m.ok[i]
}

// roundabout reports whether those around a cell get by without it, seen from close by:
// its dry neighbours are joined directly or by one cell between. Then it can be laid,
// and most cells need no look at the whole roof.
func (g *ground) roundabout(i int, laid []bool) bool {
	if g.exit[i] {
		return false
	}
	var near [8]int
	n := 0
	for _, j := range g.walks[i] {
		if laid[j] {
			continue
		}
		if n == len(near) {
			return false
		}
		near[n] = j
		n++
	}
	if n == 0 {
		return false
	}
	// The first of near are those that are joined: reach from each for more.
	joined := 1
	take := func(j int) {
		for k := joined; k < n; k++ {
			if near[k] == j {
				near[k], near[joined] = near[joined], near[k]
				joined++
			}
		}
	}
	for k := 0; k < joined && joined < n; k++ {
		for _, j := range g.walks[near[k]] {
			if laid[j] || j == i {
				continue
			}
			take(j)
			for _, l := range g.walks[j] {
				take(l)
			}
		}
	}
	return joined == n
}

// waits counts for each cell the laps below it that are still to be laid on bare deck.
func (g *ground) waits() []int {
	waits := make([]int, len(g.cells))
	for i := range waits {
		waits[i] = len(g.after[i])
	}
	return waits
}
