package weather

import (
	"math"
	"time"

	"gelwright/working"
)

// judge evaluates limits moment by moment.
type judge struct {
	m    []Moment
	l    *StageLimits
	site Site
	// the local day whose daylight is kept
	day      int
	daylight Daylight
	// daylights of days asked for before, where several courses of the same days are judged
	daylights daylights
	// what lies ahead, by moment
	dewLook, rainLook, frostLook look
	dewLeast, dewWorst           []int32
	heaviest, likeliest          []int32
	coldest, coldLow             []int32
	// likelyOnly leaves out the bounds of the surface, which tell how sure a verdict is
	likelyOnly bool
	// broken is the store of all reasons broken, nil where they are only counted
	broken []Reason
}

// Tolerances that make limits of different kinds comparable: one unit of slack.
const (
	slackTempK = 2
	slackDewK  = 1
	slackRH    = 5
	slackWind  = 2
	slackH     = 1
)

// found collects what one moment meets.
type found struct {
	binding Reason
	// broken, when set, takes the reasons broken; n counts them
	broken *[]Reason
	n      int
	unsure bool
	any    bool
}

func (f *found) add(r Reason) {
	if math.IsNaN(r.slack) {
		r.slack = math.Inf(-1) // what is not a number cannot pass
	}
	if !f.any || r.slack < f.binding.slack {
		f.binding, f.any = r, true
	}
	if r.slack < 0 {
		f.n++
		if f.broken != nil {
			*f.broken = append(*f.broken, r)
		}
	}
}

// atLeast and atMost add a limit; worst is the value of the unfavourable bound.
func (f *found) atLeast(name Limit, fig *working.Figure, v, worst, tol float64, at time.Time) {
	if fig == nil {
		return
	}
	f.add(Reason{Limit: name, Value: v, Bound: fig.Value, Unit: fig.Unit, At: at, slack: (v - fig.Value) / tol})
	f.unsure = f.unsure || worst < fig.Value
}

func (f *found) atMost(name Limit, fig *working.Figure, v, worst, tol float64, at time.Time) {
	if fig == nil {
		return
	}
	f.add(Reason{Limit: name, Value: v, Bound: fig.Value, Unit: fig.Unit, At: at, slack: (fig.Value - v) / tol})
	f.unsure = f.unsure || worst > fig.Value
}

func (j *judge) at(i int) Judgement {
	first := len(j.broken)
	f := found{broken: &j.broken}
	j.meet(&f, i)
	out := Judgement{Time: j.m[i].Time, Verdict: Go, Sure: !f.unsure, Binding: f.binding}
	if f.n > 0 {
		out.Broken = j.broken[first:len(j.broken):len(j.broken)]
		out.Verdict, out.Sure = NoGo, true
	}
	return out
}

// meet holds one moment against every limit.
func (j *judge) meet(f *found, i int) {
	m, l := &j.m[i], j.l
	f.atLeast(LimitAirMin, l.AirMin, m.AirC, m.AirC, slackTempK, m.Time)
	j.rising(f, LimitAirRising, l.AirMin, i, func(m *Moment) float64 { return m.AirC })
	f.atMost(LimitAirMax, l.AirMax, m.AirC, m.AirC, slackTempK, m.Time)
	f.atLeast(LimitDeckMin, l.SurfaceMin, m.SurfaceC, m.SurfaceLow, slackTempK, m.Time)
	j.rising(f, LimitDeckRising, l.SurfaceMin, i, func(m *Moment) float64 { return m.SurfaceC })
	f.atMost(LimitDeckMax, l.SurfaceMax, m.SurfaceC, m.SurfaceHigh, slackTempK, m.Time)
	j.laid(f, m)
	f.atMost(LimitRH, l.RHMax, m.RHPct, m.RHPct, slackRH, m.Time)
	j.dew(f, i)
	j.rain(f, i)
	f.atMost(LimitWind, l.WindMax, m.WindMS, m.WindMS, slackWind, m.Time)
	f.atMost(LimitGust, l.GustMax, m.GustMS, m.GustMS, slackWind, m.Time)
	j.frost(f, i)
	j.light(f, m.Time)
}

// rising: near its least, a temperature must not fall towards the next moment (or,
// at the end, have fallen from the one before).
func (j *judge) rising(f *found, name Limit, least *working.Figure, i int, of func(*Moment) float64) {
	if least == nil || j.l.RisingBandK == 0 || len(j.m) < 2 {
		return
	}
	v := of(&j.m[i])
	if v < least.Value || v >= least.Value+j.l.RisingBandK {
		return
	}
	a, b := i, i+1
	if b == len(j.m) {
		a, b = i-1, i
	}
	if of(&j.m[b]) < of(&j.m[a]) {
		f.add(Reason{Limit: name, Value: v, Bound: least.Value + j.l.RisingBandK, Unit: least.Unit, At: j.m[i].Time,
			slack: (v - least.Value - j.l.RisingBandK) / slackTempK})
	}
}

// look is what lies ahead of every moment within some hours: the index of the
// last moment there, and whether the weather reaches so far.
type look struct {
	end     []int32
	reached []bool
}

func newLook(m []Moment, hours float64) look {
	l := look{make([]int32, len(m)), make([]bool, len(m))}
	span := time.Duration(hours * float64(time.Hour))
	k := 0
	for i := range m {
		until := m[i].Time.Add(span)
		k = max(k, i)
		for k+1 < len(m) && !m[k+1].Time.After(until) {
			k++
		}
		l.end[i] = int32(k)
		l.reached[i] = !m[len(m)-1].Time.Before(until)
	}
	return l
}

// least gives for every moment the index of the smallest value from skip moments
// later to the end of the look, -1 where there is none. A value that is not a
// number counts as the smallest. The candidates are kept in order, each moment
// entering and leaving once (the sliding window minimum).
func (l look) least(m []Moment, skip int, of func(*Moment) float64) []int32 {
	out := make([]int32, len(m))
	values := make([]float64, len(m))
	for i := range m {
		if values[i] = of(&m[i]); math.IsNaN(values[i]) {
			values[i] = math.Inf(-1)
		}
	}
	queue := make([]int32, 0, len(m))
	head, next := 0, 0
	for i := range m {
		for ; next <= int(l.end[i]); next++ {
			for len(queue) > head && values[queue[len(queue)-1]] > values[next] {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, int32(next))
		}
		for len(queue) > head && int(queue[head]) < i+skip {
			head++
		}
		out[i] = -1
		if len(queue) > head {
			out[i] = queue[head]
		}
	}
	return out
}

// looks finds how far ahead each limit looks, which goes with the times alone.
func (j *judge) looks() {
	l := j.l
	if l.DewMargin != nil && l.AheadH > 0 {
		j.dewLook = newLook(j.m, l.AheadH)
	}
	if l.RainTrace != nil || l.RainProb != nil {
		j.rainLook = newLook(j.m, l.rainH())
	}
	if l.FrostFreeH > 0 {
		j.frostLook = newLook(j.m, l.FrostFreeH)
	}
}

// prepare finds what lies ahead of all moments, within the looks.
func (j *judge) prepare() {
	l := j.l
	if l.DewMargin != nil && l.AheadH > 0 {
		j.dewLeast = j.dewLook.least(j.m, 1, func(m *Moment) float64 { return m.DewMarginK() })
		if j.dewWorst = j.dewLeast; !j.likelyOnly {
			j.dewWorst = j.dewLook.least(j.m, 1, func(m *Moment) float64 { return m.SurfaceLow - m.DewPointC })
		}
	}
	if l.RainTrace != nil || l.RainProb != nil {
		j.heaviest = j.rainLook.least(j.m, 0, func(m *Moment) float64 { return -m.RainMMPerH })
		j.likeliest = j.rainLook.least(j.m, 0, func(m *Moment) float64 { return -m.RainProb })
	}
	if l.FrostFreeH > 0 {
		j.coldest = j.frostLook.least(j.m, 0, func(m *Moment) float64 { return min(m.AirC, m.SurfaceC) })
		if j.coldLow = j.coldest; !j.likelyOnly {
			j.coldLow = j.frostLook.least(j.m, 0, func(m *Moment) float64 { return min(m.AirC, m.SurfaceLow) })
		}
	}
}

// rainH is how far ahead rain is looked for, h: what begins at the very end is outside.
func (l *StageLimits) rainH() float64 { return max(0, l.RainFreeH-1.0/3600) }

func (j *judge) dew(f *found, i int) {
	l := j.l
	if l.DewMargin == nil {
		return
	}
	m := &j.m[i]
	f.atLeast(LimitDew, l.DewMargin, m.DewMarginK(), m.SurfaceLow-m.DewPointC, slackDewK, m.Time)
	if l.AheadH == 0 {
		return
	}
	f.unsure = f.unsure || !j.dewLook.reached[i]
	if k := j.dewLeast[i]; k >= 0 {
		n, w := &j.m[k], &j.m[j.dewWorst[i]]
		f.atLeast(LimitDewAhead, l.DewMargin, n.DewMarginK(), w.SurfaceLow-w.DewPointC, slackDewK, n.Time)
	}
}

func (j *judge) rain(f *found, i int) {
	l := j.l
	if l.RainTrace == nil && l.RainProb == nil {
		return
	}
	now, worst, probable := &j.m[i], &j.m[j.heaviest[i]], &j.m[j.likeliest[i]]
	if t := l.RainTrace; t != nil {
		name := LimitRain
		if now.RainMMPerH < t.Value {
			name = LimitRainAhead
		}
		// At the trace itself it rains; a dry sky is a whole unit away.
		slack := (t.Value - worst.RainMMPerH) / max(t.Value, 1e-9)
		if worst.RainMMPerH >= t.Value {
			slack = min(slack, -0.1)
		}
		f.add(Reason{Limit: name, Value: worst.RainMMPerH, Bound: t.Value, Unit: t.Unit, At: worst.Time, slack: slack})
	}
	if p := l.RainProb; p != nil {
		f.add(Reason{Limit: LimitRainProb, Value: probable.RainProb, Bound: p.Value, At: probable.Time,
			slack: (p.Value - probable.RainProb) / 0.3})
	}
	f.unsure = f.unsure || !j.rainLook.reached[i]
}

func (j *judge) frost(f *found, i int) {
	if j.l.FrostFreeH == 0 {
		return
	}
	n, w := &j.m[j.coldest[i]], &j.m[j.coldLow[i]]
	least := min(n.AirC, n.SurfaceC)
	f.add(Reason{Limit: LimitFrost, Value: least, Bound: 0, Unit: "°C", At: n.Time, slack: least / slackTempK})
	f.unsure = f.unsure || min(w.AirC, w.SurfaceLow) < 0 || !j.frostLook.reached[i]
}

func (j *judge) light(f *found, t time.Time) {
	if !j.l.Light {
		return
	}
	local := t.In(j.site.zone())
	if d := local.Year()*1000 + local.YearDay(); d != j.day {
		j.day, j.daylight = d, j.daylights.on(d, t, j.site)
	}
	r := Reason{Limit: LimitLight, Bound: j.l.BeforeSunsetH, Unit: "h", At: t}
	switch d := &j.daylight; d.Polar {
	case "light":
		return
	case "dark":
		r.slack = -1
	default:
		r.Value = d.Set.Sub(t).Hours()
		r.slack = min(t.Sub(d.Rise).Hours(), r.Value-j.l.BeforeSunsetH) / slackH
		if t.Before(d.Rise) {
			r.Value, r.Bound, r.Unit = d.Rise.Sub(t).Hours(), 0, toSunrise
		}
	}
	f.add(r)
}

// daylights keeps the daylight of days by year and day of the year; nil keeps nothing.
type daylights map[int]Daylight

func (d daylights) on(day int, t time.Time, site Site) Daylight {
	if light, known := d[day]; known {
		return light
	}
	light := DaylightOn(t, site)
	if d != nil {
		d[day] = light
	}
	return light
}
