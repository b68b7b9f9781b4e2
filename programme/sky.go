package programme

import (
	"math"
	"math/bits"
	"sync"

	"gelwright/weather"
)

// sky tells which limits of a class the weather breaks. That is asked of few hours among many:
// a day's hours of work, or the night beside them, are worked out when one of them is asked
// about, and kept.
type sky struct {
	bench  *weather.Bench
	frosty func(m, q int) int32 // the quarter of the frost that a film meets; −1 for none
	mu     sync.Mutex
	spells map[int32]*skySpell
}

// skySpell is quarters of one local day, from the first on.
type skySpell struct {
	first int
	// broken counts the members in which each limit is the most broken.
	broken [][]tally
	// said is the limit that the forecast itself breaks; nil for none.
	said []*weather.Reason
}

// brokenAt counts, for a class and a quarter, the members in which each limit is the most
// broken, the boards among them. It is not to be changed.
func (p *Prepared) brokenAt(c *class, q int) []tally {
	if c.sky == nil {
		return nil
	}
	d := p.skyOf(c.sky, q)
	sum := d.broken[q-d.first]
	if c.wet == nil || c.wet[q] == 0 {
		return sum
	}
	wet := c.wet[q]
	t := tally{limit: weather.LimitMoisture, n: bits.OnesCount64(wet), alone: bits.OnesCount64(wet & c.fit[q]),
		worst: p.dampReason(c, q, bits.TrailingZeros64(wet))}
	if wet&1 != 0 {
		said := p.dampReason(c, q, 0)
		t.said = &said
	}
	return append(sum[:len(sum):len(sum)], t)
}

// saidAt is the limit of a class that the forecast itself breaks at a quarter; nil for none.
func (p *Prepared) saidAt(c *class, q int) *weather.Reason {
	if c.sky == nil {
		return nil
	}
	d := p.skyOf(c.sky, q)
	if said := d.said[q-d.first]; said != nil || c.wet == nil || c.wet[q]&1 == 0 {
		return said
	}
	r := p.dampReason(c, q, 0)
	return &r
}

// dampReason is what the boards of a member have to say.
func (p *Prepared) dampReason(c *class, q, m int) weather.Reason {
	r := weather.Reason{Limit: weather.LimitMoisture, Value: math.Round(float64(p.damp[m].Pct[q])), Unit: "%", At: p.TimeOf(q),
		Bound: weather.MoistureLimit().Value}
	if l := c.limits.MoistureMax; l != nil {
		r.Bound = l.Value
	}
	return r
}

// skyOf is the spell of a quarter.
func (p *Prepared) skyOf(s *sky, q int) *skySpell {
	s.mu.Lock()
	defer s.mu.Unlock()
	first := int(p.spell[q])
	if d := s.spells[p.spell[q]]; d != nil {
		return d
	}
	end := q + 1
	for end < p.n && p.spell[end] == p.spell[q] {
		end++
	}
	d := &skySpell{first: first, broken: make([][]tally, end-first), said: make([]*weather.Reason, end-first)}
	s.bench.Each(p.in.Members, first, end, func(m, q, broken int, binding *weather.Reason) {
		if s.frosty != nil {
			if at := s.frosty(m, q); at >= 0 {
				if broken == 0 {
					x := &p.in.Members[m][at]
					binding = &weather.Reason{Limit: weather.LimitFrost, Value: min(x.AirC, x.SurfaceC), Unit: "°C", At: x.Time}
				}
				broken++
			}
		}
		if broken > 0 {
			d.count(q-first, m, binding, broken == 1)
		}
	})
	s.spells[p.spell[q]] = d
	return d
}

// count takes note of why a member says no at a quarter.
func (d *skySpell) count(k, m int, r *weather.Reason, alone bool) {
	t := tally{limit: r.Limit, n: 1, worst: *r}
	if alone {
		t.alone = 1
	}
	if m == 0 {
		said := *r
		d.said[k], t.said = &said, &said
	}
	d.broken[k] = gather(d.broken[k], t)
}
