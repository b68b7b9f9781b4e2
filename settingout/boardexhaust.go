package settingout

import (
	"context"
	"slices"
)

const (
	// exhaustedLanes and exhaustedWays bound the runs of a deck, and the ways to joint each, of which all together are tried.
	exhaustedLanes = 6
	exhaustedWays  = 300
	// exhaustSteps bounds the ways met, exhaustCuts the lists of pieces cut exactly.
	exhaustSteps = 60000
	exhaustCuts  = 60
)

// exhausting tries every way to joint the few runs of a small deck for a board less than the best.
type exhausting struct {
	*hunting
	b     *boarding
	c     *courses
	moves [][]int32 // of each lane, the ways with the fewest joints first
	area  []int     // the least area of blanks from a lane on, mm²
	alone []int     // and the fewest of which no two share a board
	w     way
	steps int
	cuts  int
}

// exhaust tries the rows that can do better by their bound, as far as the steps allowed go.
func (h *hunting) exhaust(ctx context.Context, list []prey) {
	e := exhausting{hunting: h, steps: exhaustSteps, cuts: exhaustCuts}
	for i := range list {
		if h.goal() <= h.least || len(h.hand) > 0 || list[i].from.g.free || e.steps <= 0 || e.cuts <= 0 || ctx.Err() != nil {
			return
		}
		if boardsFor(list[i].bound) >= h.goal() {
			continue
		}
		b := h.boardingOf(&list[i])
		if e.ready(&b) && e.lay(ctx, 0, 0, 0) {
			h.take(b)
		}
	}
}

// ready lists the ways to joint each run; false where they are too many.
func (e *exhausting) ready(b *boarding) bool {
	lanes := 0
	for i := range b.rows {
		lanes += len(b.rows[i].runs)
	}
	if lanes > exhaustedLanes {
		return false
	}
	e.prepare(b)
	e.b, e.c = b, b.courses
	n := len(e.c.lanes)
	e.moves, e.area, e.alone = make([][]int32, n), make([]int, n+1), make([]int, n+1)
	for i := n - 1; i >= 0; i-- {
		l := &e.c.lanes[i]
		if !l.jointed {
			e.moves[i] = []int32{noMove}
			e.area[i], e.alone[i] = e.area[i+1]+l.layings[0].areaMM, e.alone[i+1]+l.layings[0].alone
			continue
		}
		ways := jointings(l.run, e.c.g, e.c.r)
		if len(ways) == 0 || len(ways) > exhaustedWays {
			return false
		}
		area, alone := 1<<62, 1<<30
		for _, joints := range ways {
			m, y := e.c.given(int32(i), joints)
			e.moves[i] = append(e.moves[i], m)
			area, alone = min(area, y.areaMM), min(alone, y.alone)
		}
		e.area[i], e.alone[i] = e.area[i+1]+area, e.alone[i+1]+alone
	}
	e.w = way{at: make([]int32, n), broken: broken{short: e.c.short}}
	return true
}

// given is the move that lays a lane with the joints given.
func (c *courses) given(lane int32, joints []float64) (int32, *laying) {
	l := &c.lanes[lane]
	at := c.layingOf(l, joints)
	// A style of its own: those of the joiner are not below 0.
	c.key = append(c.key[:0], lane, -1-at)
	for range l.near {
		c.key = append(c.key, 0)
	}
	m, known := c.moves.find(c.key)
	if !known {
		c.moves.list[m].laying = at
	}
	return m, &l.layings[at]
}

// jointings lists the lawful sets of joints of a run, the fewest joints first; one more than are tried where there are more.
func jointings(u *run, g grid, r boardRules) [][]float64 {
	var out [][]float64
	var walk func(x float64, joints []float64)
	walk = func(x float64, joints []float64) {
		if len(out) > exhaustedWays {
			return
		}
		if u.b-x <= r.length+1e-9 && (u.b-x >= r.least-1e-9 || len(joints) == 0) {
			out = append(out, slices.Clone(joints))
		}
		for _, c := range g.within(x, u.b) {
			j := c + g.play
			if long := j - r.gap/2 - x; long >= r.least-1e-9 && long <= r.length+1e-9 && u.b-j-r.gap/2 >= r.least-1e-9 {
				walk(j+r.gap/2, append(joints, j))
			}
		}
	}
	walk(u.a, nil)
	slices.SortStableFunc(out, func(a, b []float64) int { return len(a) - len(b) })
	return out
}

// lay tries every way to lay the lanes from the nth on, after so much area and so many blanks that share no board.
func (e *exhausting) lay(ctx context.Context, n, area, alone int) bool {
	full := e.c.full * e.c.wide
	if area+e.area[n] > (e.goal()-1)*full || alone+e.alone[n] >= e.goal() {
		return false
	}
	if n == len(e.moves) {
		return e.weigh(ctx)
	}
	for _, m := range e.moves[n] {
		if e.steps--; e.steps < 0 || e.cuts <= 0 || ctx.Err() != nil {
			return false
		}
		e.w.at[n] = m
		if y := e.c.laying(&e.w, n); e.c.clear(&e.w, y.joints, e.c.lanes[n].near) && e.lay(ctx, n+1, area+y.areaMM, alone+y.alone) {
			return true
		}
	}
	return false
}

// weigh cuts the pieces laid, exactly where the quick packing takes too many boards.
func (e *exhausting) weigh(ctx context.Context) bool {
	best := e.all[e.best].score
	s, ok := e.c.weigh(&e.w, nil, (*score).better)
	if !ok || s.broken.total() > best.broken.total() {
		return false
	}
	e.b.score = s
	e.b.way = way{slices.Clone(e.w.at), e.w.broken}
	e.b.settle(e.r)
	key := keyOf(e.b.blanks)
	if e.known[key] {
		return false
	}
	e.known[key] = true
	e.cuts--
	e.cut(ctx, e.b)
	return e.b.count < best.count
}
