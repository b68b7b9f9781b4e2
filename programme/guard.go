package programme

import "math/bits"

// guard is what a film must be spared, and until when.
type guard struct {
	n int
	// by member: the quarter of its mark by that of its end; the next rain and the next dew;
	// nil where there is nothing to wait for, or nothing it is spared
	safe, rain, dew [][]int32
}

// guardOf is the guard of the film that stage i leaves.
func (p *Prepared) guardOf(i int) guard {
	s, d := &p.in.Stages[i], &p.stages[i]
	g := guard{n: p.n}
	if d.film == nil || s.SafeAt == None || s.Limits == nil {
		return g
	}
	g.safe = d.film.reach[s.SafeAt]
	lifted := p.lifted(*s.Limits)
	if lifted.RainTrace != nil {
		g.rain = p.next(rainComes, lifted.RainTrace.Value, rainNow)
	}
	if lifted.DewMargin != nil {
		g.dew = p.next(dewComes, lifted.DewMargin.Value, dewNow)
	}
	return g
}

// keeps gives those of some members in which a film whose last is laid by the quarter end
// stays free of rain and dew until its mark.
func (g *guard) keeps(set uint64, end int) uint64 {
	if g.safe == nil {
		return set
	}
	kept := uint64(0)
	for left := set; left != 0; left &= left - 1 {
		m := bits.TrailingZeros64(left)
		until := g.safe[m][end]
		if until == never || int(until) > g.n {
			continue
		}
		if g.rain != nil && g.rain[m][end] < until || g.dew != nil && g.dew[m][end] < until {
			continue
		}
		kept |= 1 << m
	}
	return kept
}
