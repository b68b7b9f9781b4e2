package programme

import (
	"context"
	"sort"

	"gelwright/weather"
)

// lifted returns the limits with the overridden ones taken away.
func (p *Prepared) lifted(l weather.StageLimits) weather.StageLimits {
	for _, o := range p.in.Overrides {
		switch o.Limit {
		case weather.LimitFrost:
			l.FrostFreeH = 0
		case weather.LimitDew, weather.LimitDewAhead:
			l.DewMargin, l.AheadH = nil, 0
		case weather.LimitRain, weather.LimitRainAhead:
			l.RainTrace = nil
		case weather.LimitRainProb:
			l.RainProb = nil
		case weather.LimitRH:
			l.RHMax = nil
		case weather.LimitWind:
			l.WindMax = nil
		case weather.LimitGust:
			l.GustMax = nil
		case weather.LimitAirMin, weather.LimitAirRising:
			l.AirMin = nil
		case weather.LimitAirMax:
			l.AirMax = nil
		case weather.LimitDeckMin, weather.LimitDeckRising:
			l.SurfaceMin = nil
		case weather.LimitDeckMax:
			l.SurfaceMax = nil
		case weather.LimitLight:
			l.Light = false
		}
	}
	return l
}

// classOf finds or judges a set of limits.
func (p *Prepared) classOf(ctx context.Context, l *weather.StageLimits, smells bool) (int, error) {
	for i, c := range p.class {
		if c.limits == l && c.smells == smells {
			return i, nil
		}
	}
	c := &class{limits: l, smells: smells, ok: make([]uint64, p.n)}
	hours := p.open[0]
	if smells {
		hours = p.open[1]
	}
	if l == nil {
		for q, open := range hours {
			if open {
				c.ok[q] = p.full
			}
		}
	} else if err := p.judge(ctx, c, hours); err != nil {
		return 0, err
	}
	p.class = append(p.class, c)
	return len(p.class) - 1, nil
}

func (p *Prepared) judge(ctx context.Context, c *class, hours []bool) error {
	limits := p.lifted(*c.limits)
	c.broken, c.said = make([][]tally, p.n), make([]*weather.Reason, p.n)
	bench := weather.NewBench(limits, p.in.Site)
	for m, course := range p.in.Members {
		err := bench.Each(ctx, course, func(q, broken int, binding *weather.Reason) {
			switch {
			case broken > 0:
				c.count(q, binding, broken == 1)
				if m == 0 {
					said := *binding
					c.said[q] = &said
				}
			case hours[q]:
				c.ok[q] |= 1 << m
			}
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// count takes note of why a member says no at a quarter.
func (c *class) count(q int, r *weather.Reason, alone bool) {
	t := tally{limit: r.Limit, n: 1, worst: *r}
	if alone {
		t.alone = 1
	}
	c.broken[q] = gather(c.broken[q], t)
}

// gather adds a tally to others.
func gather(sum []tally, t tally) []tally {
	for i := range sum {
		if sum[i].limit == t.limit {
			sum[i].n += t.n
			if sum[i].alone == 0 && t.alone > 0 {
				sum[i].worst = t.worst
			}
			sum[i].alone += t.alone
			return sum
		}
	}
	return append(sum, t)
}

// top sorts tallies: first the limits that stand alone in the way most often, since
// without them the work could go on, then the most frequent.
func top(t []tally) []tally {
	out := append([]tally(nil), t...)
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].alone != out[j].alone {
			return out[i].alone > out[j].alone
		}
		return out[i].n > out[j].n
	})
	return out
}
