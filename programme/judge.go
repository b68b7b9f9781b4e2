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
		case weather.LimitMoisture:
			l.MoistureMax = nil
		}
	}
	return l
}

// classOf finds or judges a set of limits.
func (p *Prepared) classOf(ctx context.Context, key classKey) (int, error) {
	for i, c := range p.class {
		if c.classKey == key {
			return i, nil
		}
	}
	c := &class{classKey: key}
	if err := p.fit(ctx, c); err != nil {
		return 0, err
	}
	p.class = append(p.class, p.held(c))
	return len(p.class) - 1, nil
}

// fit finds the members whose weather is within the limits of a class: as another was judged
// that has the same limits and film, or by the weather.
func (p *Prepared) fit(ctx context.Context, c *class) error {
	for _, x := range p.class {
		if x.limits == c.limits && x.film == c.film {
			c.fit, c.sky = x.fit, x.sky
			return nil
		}
	}
	for _, x := range p.judged {
		if x.limits == c.limits && x.film == c.film {
			c.fit = x.fit
			if x.sky != nil {
				c.sky = p.newSky(c.limits, x.sky.frosty)
			}
			return nil
		}
	}
	if c.limits == nil {
		c.fit = make([]uint64, p.n)
		for q := range c.fit {
			c.fit[q] = p.full
		}
		return nil
	}
	return p.judge(ctx, c)
}

// newSky tells what the weather breaks of limits, frost left out where the film is asked for it.
func (p *Prepared) newSky(limits *weather.StageLimits, frosty func(m, q int) int32) *sky {
	l := p.lifted(*limits)
	if frosty != nil {
		l.FrostFreeH = 0
	}
	return &sky{bench: weather.NewBench(l, p.in.Site), frosty: frosty, spells: map[int32]*skySpell{}}
}

// held is a class held to the hours of work and the boards under it, in place of what it
// was held to before.
func (p *Prepared) held(old *class) *class {
	c := &class{classKey: old.classKey, fit: old.fit, sky: old.sky, ok: make([]uint64, p.n)}
	hours := p.open[0]
	if c.smells {
		hours = p.open[1]
	}
	c.wet = p.wetAt(c)
	for q := range c.ok {
		if !hours[q] {
			continue
		}
		c.ok[q] = c.fit[q]
		if c.wet != nil {
			c.ok[q] &^= c.wet[q]
		}
	}
	if c.run > 1 {
		c.ok = inStretches(c.ok, int(c.run))
	}
	return c
}

// judge holds the weather of every member against the limits of a class. Only whether they
// are kept is worked out for all quarters; which is broken is told by the sky, where it is asked.
func (p *Prepared) judge(ctx context.Context, c *class) error {
	lifted := p.lifted(*c.limits)
	frosty, film := p.frosts(c, lifted.FrostFreeH), c.film
	c.sky = p.newSky(c.limits, frosty)
	if frosty == nil {
		film = nil
	}
	var err error
	c.fit, err = p.common.fit(lifted, film, func() ([]uint64, error) {
		fit := make([]uint64, p.n)
		for m, course := range p.in.Members {
			if err := c.sky.bench.Within(ctx, course, 1<<m, fit); err != nil {
				return nil, err
			}
			if frosty == nil {
				continue
			}
			for q := range fit {
				if fit[q]>>m&1 != 0 && frosty(m, q) >= 0 {
					fit[q] &^= 1 << m
				}
			}
		}
		return fit, nil
	})
	return err
}

func frostNow(m *weather.Moment, limit float64) bool { return min(m.AirC, m.SurfaceC) < limit }

// frosts tells of a film laid at a quarter in a member the frost that comes before it has
// had twice the time that makes it hard: safe from rain and, of a laminate, fit for the next
// coat, whichever is later (once and a margin as long, assumed: cold all but stops the
// hardening), or within the hours of the limit where that is sooner; nil where no film is
// followed. The answer is the quarter of the frost, −1 for none.
func (p *Prepared) frosts(c *class, hours float64) func(m, q int) int32 {
	if c.film == nil || hours <= 0 {
		return nil
	}
	var safe, fit [][]int32
	for _, f := range p.films {
		if f.film == c.film {
			safe, fit = f.reach[RainSafe], f.reach[OverCoatFrom]
		}
	}
	if safe == nil || fit == nil {
		return nil
	}
	next := p.next(frostComes, 0, frostNow)
	most := int32(hours * 4)
	return func(m, q int) int32 {
		at, until := next[m][q], int32(q)+most
		if hard := max(safe[m][q], fit[m][q]); hard != never {
			until = min(until, 2*hard-int32(q))
		}
		if at == never || at > until {
			return -1
		}
		return at
	}
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
			if sum[i].said == nil {
				sum[i].said = t.said
			}
			return sum
		}
	}
	return append(sum, t)
}

// told is the reason that is printed for a tally: the forecast's own figure where the forecast breaks the limit, else that of
// another course, which is named as such, for nobody finds it in the forecast.
func (p *Prepared) told(t tally) weather.Reason {
	switch {
	case t.said != nil:
		return *t.said
	case p.in.Drawn:
		return t.worst.In("a course drawn round the forecast")
	}
	return t.worst.In("a course other than the first")
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
