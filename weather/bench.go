package weather

import (
	"context"
	"math"
	"time"

	"gelwright/working"
)

// Bench judges several courses of the weather of one site by the limits of one stage: courses
// of the same moments, as the members of an ensemble are.
type Bench struct {
	limits StageLimits
	site   Site
	days   daylights
	// ahead is what the moments that are judged have in common.
	ahead *ahead
}

// NewBench returns a bench for limits and a site.
func NewBench(l StageLimits, site Site) *Bench {
	return &Bench{limits: l, site: site, days: daylights{}}
}

// ahead is what goes with the times of moments alone: whether there is light, and which
// moment is the last that each of the limits looks at.
type ahead struct {
	first, last      time.Time
	n                int
	dark             []bool
	dew, rain, frost []int32
}

// aheadOf finds it for moments, or takes it from moments of the same times.
func (b *Bench) aheadOf(m []Moment) *ahead {
	n := len(m)
	if n == 0 {
		return &ahead{}
	}
	if a := b.ahead; a != nil && a.n == n && a.first.Equal(m[0].Time) && a.last.Equal(m[n-1].Time) {
		return a
	}
	l := &b.limits
	a := &ahead{first: m[0].Time, last: m[n-1].Time, n: n}
	if l.DewMargin != nil && l.AheadH > 0 {
		a.dew = newLook(m, l.AheadH).end
	}
	if l.RainTrace != nil || l.RainProb != nil {
		a.rain = newLook(m, l.rainH()).end
	}
	if l.FrostFreeH > 0 {
		a.frost = newLook(m, l.FrostFreeH).end
	}
	if l.Light {
		a.dark = make([]bool, n)
		j := judge{m: m, l: l, site: b.site, daylights: b.days}
		for i := range m {
			var f found
			j.light(&f, m[i].Time)
			a.dark[i] = f.n > 0
		}
	}
	b.ahead = a
	return a
}

// Within adds a course's bit to every moment at which it breaks no limit: where Each would
// count none. All courses that a bench is given have the same times.
func (b *Bench) Within(ctx context.Context, m []Moment, bit uint64, fit []uint64) error {
	if err := b.limits.checkFor(m, b.site); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	a, l := b.aheadOf(m), &b.limits
	breaks := nextBreak{damp: math.MaxInt32, wet: math.MaxInt32, cold: math.MaxInt32}
	for i := len(m) - 1; i >= 0; i-- {
		// All that lies ahead is followed, whatever else breaks.
		free := breaks.freeAt(l, a, m, i)
		if free && (a.dark == nil || !a.dark[i]) && l.holdAt(m, i) {
			fit[i] |= bit
		}
	}
	return nil
}

// nextBreak is, in a course that is gone through backwards, the next moment whose dew margin,
// rain or frost breaks its limit.
type nextBreak struct{ damp, wet, cold int32 }

// freeAt reports whether none of them breaks its limit at a moment or as far ahead of it as
// the limits look.
func (n *nextBreak) freeAt(l *StageLimits, a *ahead, m []Moment, i int) bool {
	x := &m[i]
	free := a.dew == nil || n.damp > a.dew[i]
	if under(l.DewMargin, x.DewMarginK()) {
		n.damp, free = int32(i), false
	}
	if a.rain != nil {
		if l.RainTrace != nil && !(x.RainMMPerH < l.RainTrace.Value) || over(l.RainProb, x.RainProb) {
			n.wet = int32(i)
		}
		free = free && n.wet > a.rain[i]
	}
	if a.frost != nil {
		if !(x.AirC >= 0 && x.SurfaceC >= 0) {
			n.cold = int32(i)
		}
		free = free && n.cold > a.frost[i]
	}
	return free
}

// holdAt reports whether a moment keeps the limits that look at nothing but it and the next.
func (l *StageLimits) holdAt(m []Moment, i int) bool {
	x := &m[i]
	if under(l.AirMin, x.AirC) || over(l.AirMax, x.AirC) || under(l.SurfaceMin, x.SurfaceC) || over(l.SurfaceMax, x.SurfaceC) ||
		l.Mix.tooHot(x) || over(l.RHMax, x.RHPct) || over(l.WindMax, x.WindMS) || over(l.GustMax, x.GustMS) {
		return false
	}
	if l.RisingBandK == 0 || len(m) < 2 {
		return true
	}
	// At the end, that it has fallen from the one before.
	a, b := i, i+1
	if b == len(m) {
		a, b = i-1, i
	}
	return !(m[b].AirC < m[a].AirC && l.near(l.AirMin, x.AirC)) && !(m[b].SurfaceC < m[a].SurfaceC && l.near(l.SurfaceMin, x.SurfaceC))
}

// near reports whether a temperature lies so little above its least that it must not fall.
func (l *StageLimits) near(least *working.Figure, v float64) bool {
	return least != nil && v < least.Value+l.RisingBandK && v-least.Value-l.RisingBandK < 0
}

// under and over report that a value breaks a limit, where there is one; what is no number
// does.
func under(least *working.Figure, v float64) bool { return least != nil && !(v >= least.Value) }
func over(most *working.Figure, v float64) bool   { return most != nil && !(v <= most.Value) }

// Each holds the moments of several courses from one on to before another against the limits
// and hands on how many each breaks and the one most broken, or else nearest; what Judge tells
// besides is left out, and so is its cost. Limits, site and moments are those that Within has
// taken.
func (b *Bench) Each(courses [][]Moment, from, to int, each func(course, i, broken int, binding *Reason)) {
	if from >= to || len(courses) == 0 {
		return
	}
	// What lies ahead of the last, and a neighbour on either side.
	m, l := courses[0], &b.limits
	span := time.Duration(math.Max(l.AheadH, math.Max(l.RainFreeH, l.FrostFreeH)) * float64(time.Hour))
	until := m[to-1].Time.Add(span)
	low, high := max(0, from-1), to
	for high < len(m) && (high == to || !m[high-1].Time.After(until)) {
		high++
	}
	// Times are the same in all courses, and with them the looks ahead and the daylight.
	j := judge{m: m[low:high], l: l, site: b.site, daylights: b.days, likelyOnly: true}
	j.looks()
	light := make([]found, to-from)
	for i := range light {
		j.light(&light[i], m[from+i].Time)
	}
	unlit := *l
	unlit.Light = false
	j.l = &unlit
	for c := range courses {
		j.m = courses[c][low:high]
		j.prepare()
		for i := from; i < to; i++ {
			f := found{}
			j.meet(&f, i-low)
			if light[i-from].any {
				f.add(light[i-from].binding)
			}
			each(c, i, f.n, &f.binding)
		}
	}
}
