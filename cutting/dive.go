package cutting

import (
	"context"
	"math"
	"sort"
)

// residual is the order of what is still wanted.
func (m *master) residual() *order {
	r := *m.o
	r.d, r.avail = m.d, m.avail
	return &r
}

// take fixes times bars of a pattern.
func (m *master) take(j, times int) {
	p := m.pats[j]
	for t, i := range p.at {
		m.d[i] = max(0, m.d[i]-int(p.num[t])*times)
		m.lp.SetRHS(int(i), float64(m.d[i]))
	}
	m.avail[p.k] -= times
	if r := m.limitRow[p.k]; r >= 0 {
		m.lp.SetRHS(r, float64(m.avail[p.k]))
	}
}

// banWide forbids patterns that cut more of a size than is still wanted and
// returns them.
func (m *master) banWide() []int {
	var banned []int
	for j, p := range m.pats {
		if m.lp.Banned(j) {
			continue
		}
		wide := m.avail[p.k] == 0
		for t, i := range p.at {
			wide = wide || int(p.num[t]) > m.d[i]
		}
		if wide {
			m.lp.Ban(j)
			banned = append(banned, j)
		}
	}
	return banned
}

// dive rounds the programme's solution to whole bars step by step, generating new
// patterns for what is left after each step (a diving heuristic), and at each step
// also completes the plan by the quick heuristics. It ends at a plan within goal and
// gives up as soon as the bound shows that nothing below have can be reached. skip makes the dive pass over that many of the
// first choices, so that repeated dives differ. It returns the best plan seen, or nil.
func (m *master) dive(ctx context.Context, goal, have int64, skip int) []use {
	state := m.lp.Save()
	d, avail := append([]int(nil), m.d...), append([]int(nil), m.avail...)
	centre := append([]float64(nil), m.centre...)
	var banned []int
	defer func() {
		for _, j := range banned {
			m.lp.Allow(j)
		}
		m.lp.Restore(state)
		m.d, m.avail, m.centre = d, avail, centre
	}()
	m.d, m.avail = append([]int(nil), d...), append([]int(nil), avail...)
	var uses, best []use
	spent := int64(0)
	for {
		if tail := m.residual().firstPlan(goal - spent); tail != nil {
			whole := append(append([]use(nil), uses...), tail...)
			if best == nil || m.o.costOf(whole) < m.o.costOf(best) {
				best = whole
			}
			if m.o.costOf(best) <= goal {
				return best
			}
			have = min(have, m.o.costOf(best))
		}
		chosen := m.roundings(&skip)
		if len(chosen) == 0 {
			return best
		}
		for _, c := range chosen {
			uses = append(uses, use{m.pats[c.j], c.times})
			spent += m.o.cost[m.pats[c.j].k] * int64(c.times)
			m.take(c.j, c.times)
		}
		if remaining(m.d) == 0 {
			if best == nil || m.o.costOf(uses) < m.o.costOf(best) {
				best = uses
			}
			return best
		}
		banned = append(banned, m.banWide()...)
		bound, how := m.generate(ctx, max(0, goal-spent), have-spent, false)
		if how == reached || how == stopped || spent+bound >= have {
			return best
		}
	}
}

type rounding struct{ j, times int }

// roundings chooses what to fix next: all whole parts if there are any, else the
// column nearest to its next whole number (longest filling first among equals).
func (m *master) roundings(skip *int) []rounding {
	var out []rounding
	type frac struct {
		j int
		f float64
	}
	var part []frac
	m.lp.InUse(func(j int, x float64) {
		if m.lp.Banned(j) {
			return
		}
		if n := math.Floor(x + 1e-6); n >= 1 {
			out = append(out, rounding{j, int(n)})
		} else if x > 1e-6 {
			part = append(part, frac{j, x})
		}
	})
	if len(out) > 0 {
		sort.Slice(out, func(a, b int) bool { return out[a].j < out[b].j })
		return m.coverable(out)
	}
	sort.Slice(part, func(a, b int) bool {
		x, y := part[a], part[b]
		if math.Abs(x.f-y.f) > 1e-6 {
			return x.f > y.f
		}
		if u, v := m.o.filled(m.pats[x.j]), m.o.filled(m.pats[y.j]); u != v {
			return u > v
		}
		return x.j < y.j
	})
	if len(part) == 0 {
		return nil
	}
	at := 0
	if *skip > 0 {
		at = *skip % len(part)
		*skip /= 2
	}
	return m.coverable([]rounding{{part[at].j, 1}})
}

// coverable cuts roundings back to what is still wanted: whole parts of several columns may
// together cut more than that.
func (m *master) coverable(in []rounding) []rounding {
	left := append([]int(nil), m.d...)
	var out []rounding
	for _, r := range in {
		p := m.pats[r.j]
		n := min(r.times, m.avail[p.k])
		for t, i := range p.at {
			n = min(n, left[i]/int(p.num[t]))
		}
		if n > 0 {
			for t, i := range p.at {
				left[i] -= n * int(p.num[t])
			}
			out = append(out, rounding{r.j, n})
		}
	}
	if len(out) == 0 && len(in) > 0 {
		out = append(out, rounding{in[0].j, 1})
	}
	return out
}
