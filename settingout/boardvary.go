package settingout

import (
	"context"
	"slices"
)

// variedWays bounds the ways to joint a run that are tried beside the others' joints, variedWork the sheets handled.
const (
	variedWays = 60
	variedWork = 40000
)

// varied is a boarding of which one run after another is jointed in every way that keeps clear of its neighbours' joints, what is
// better kept, until it takes fewer boards than goal or nothing is. Its runs have no style any more.
func (b *boarding) varied(ctx context.Context, goal int) boarding {
	v := *b
	v.style = nil
	v.way.at = slices.Clone(b.way.at)
	c := b.courses
	if c.g.free {
		return v
	}
	x := varying{b: &v, goal: goal, allowed: variedWork, ways: make([][][]float64, len(c.lanes)), after: make([][]int32, len(c.lanes))}
	for n := range c.lanes {
		if !c.lanes[n].jointed {
			continue
		}
		x.ways[n] = jointings(c.lanes[n].run, c.g, c.r)
		x.ways[n] = x.ways[n][:min(len(x.ways[n]), variedWays)]
		for _, o := range c.lanes[n].near {
			x.after[o] = append(x.after[o], int32(n))
		}
	}
	for changed := true; changed; {
		changed = false
		for n := range c.lanes {
			changed = x.vary(ctx, n) || changed
		}
	}
	return v
}

// varying is a boarding while it is varied.
type varying struct {
	b             *boarding
	goal, allowed int
	ways          [][][]float64 // of each lane
	after         [][]int32     // the lanes near it that come after it
	w             way           // scratch
}

// vary joints one lane in every way and reports whether that did better.
func (x *varying) vary(ctx context.Context, n int) bool {
	b, c := x.b, x.b.courses
	changed := false
	for _, joints := range x.ways[n] {
		if x.allowed <= 0 || b.count < x.goal || ctx.Err() != nil {
			return false
		}
		if !c.clear(&b.way, joints, c.lanes[n].near) || !c.clear(&b.way, joints, x.after[n]) {
			continue
		}
		w := &x.w
		w.at, w.broken = append(w.at[:0], b.way.at...), b.way.broken
		w.broken.count(c.moves.list[w.at[n]].broken.whole(), -1)
		w.at[n], _ = c.given(int32(n), joints)
		x.allowed -= c.sheetsOn(w)
		if s, ok := c.weigh(w, &b.score, (*score).nearer); ok && s.nearer(&b.score) {
			b.score, changed = s, true
			b.way, *w = *w, b.way
		}
	}
	return changed
}

// clear reports whether joints keep the stagger from those of other lanes.
func (c *courses) clear(w *way, joints []float64, lanes []int32) bool {
	want := max(c.r.stagger-2*c.g.play, 0)
	for _, o := range lanes {
		for _, x := range c.laying(w, int(o)).joints {
			for _, j := range joints {
				if j-x < want && x-j < want {
					return false
				}
			}
		}
	}
	return true
}
