package programme

import (
	"slices"
	"time"
)

// ends gives for every member when the work is finished at the earliest by a crew that
// knew its weather beforehand; never where it is not finished.
func (p *Prepared) ends(from, lo int, ready []window) []int32 {
	out := make([]int32, len(p.in.Members))
	var next, after [2][]int32
	var here, hereAfter [2][]int32
	for v := range 2 {
		next[v], after[v] = make([]int32, p.n+2), make([]int32, p.n+2)
		here[v], hereAfter[v] = make([]int32, p.n+2), make([]int32, p.n+2)
	}
	last := len(p.in.Stages) - 1
	for m := range out {
		for i := last; i >= from; i-- {
			for v := range 2 {
				hereAfter[v][p.n], hereAfter[v][p.n+1], here[v][p.n] = never, never, never
				for q := p.n - 1; q >= lo; q-- {
					e := int32(never)
					if v < p.stages[i].variants && p.stages[i].ok[v][q]>>m&1 != 0 {
						end := p.endOf(i, v, m, int32(q))
						if i == last {
							e = end
						} else {
							e = p.soonest(i+1, m, p.follows(i+1, v, m, int32(q), end), &next, &after)
						}
					}
					here[v][q] = e
					hereAfter[v][q] = min(hereAfter[v][q+1], e)
				}
			}
			next, here = here, next
			after, hereAfter = hereAfter, after
		}
		out[m] = never
		if ready != nil {
			w := ready[m]
			w.a0, w.b0 = max(w.a0, int32(lo)), max(w.b0, int32(lo))
			out[m] = p.soonest(from, m, w, &next, &after)
		} else {
			out[m] = after[0][lo]
		}
	}
	return out
}

// soonest is the earliest end that a window into stage i leads to.
func (p *Prepared) soonest(i, m int, w window, next, after *[2][]int32) int32 {
	e := int32(never)
	if int(w.a0) < p.n {
		if w.a1 == never {
			e = after[0][w.a0]
		} else {
			for x := w.a0; x <= w.a1 && int(x) < p.n; x++ {
				e = min(e, next[0][x])
			}
		}
	}
	if p.stages[i].variants > 1 && int(w.b0) < p.n {
		e = min(e, after[1][w.b0])
	}
	return e
}

// by is the time by which a share of the members is finished; zero when fewer are.
func (p *Prepared) by(ends []int32, share float64) time.Time {
	s := slices.Clone(ends)
	slices.Sort(s)
	k := int(share*float64(len(s))+0.999999) - 1
	if k < 0 || s[k] == never {
		return time.Time{}
	}
	return p.TimeOf(int(s[k]))
}
