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
	broken  []Reason
	unsure  bool
	any     bool
}

func (f *found) add(r Reason) {
	if math.IsNaN(r.slack) {
		r.slack = math.Inf(-1) // what is not a number cannot pass
	}
	if !f.any || r.slack < f.binding.slack {
		f.binding, f.any = r, true
	}
	if r.slack < 0 {
		f.broken = append(f.broken, r)
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
	m, l := &j.m[i], j.l
	var f found
	f.atLeast(LimitAirMin, l.AirMin, m.AirC, m.AirC, slackTempK, m.Time)
	j.rising(&f, LimitAirRising, l.AirMin, i, func(m *Moment) float64 { return m.AirC })
	f.atMost(LimitAirMax, l.AirMax, m.AirC, m.AirC, slackTempK, m.Time)
	f.atLeast(LimitDeckMin, l.SurfaceMin, m.SurfaceC, m.SurfaceLow, slackTempK, m.Time)
	j.rising(&f, LimitDeckRising, l.SurfaceMin, i, func(m *Moment) float64 { return m.SurfaceC })
	f.atMost(LimitDeckMax, l.SurfaceMax, m.SurfaceC, m.SurfaceHigh, slackTempK, m.Time)
	f.atMost(LimitRH, l.RHMax, m.RHPct, m.RHPct, slackRH, m.Time)
	j.dew(&f, i)
	j.rain(&f, i)
	f.atMost(LimitWind, l.WindMax, m.WindMS, m.WindMS, slackWind, m.Time)
	f.atMost(LimitGust, l.GustMax, m.GustMS, m.GustMS, slackWind, m.Time)
	j.frost(&f, i)
	j.light(&f, m.Time)
	out := Judgement{Time: m.Time, Verdict: Go, Sure: !f.unsure, Binding: f.binding, Broken: f.broken}
	if len(f.broken) > 0 {
		out.Verdict, out.Sure = NoGo, true
	}
	return out
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
		f.add(Reason{Limit: name, Value: v, Bound: least.Value + j.l.RisingBandK, Unit: least.Unit, At: j.m[i].Time, slack: (v - least.Value - j.l.RisingBandK) / slackTempK})
	}
}

// ahead calls see for the moments after i up to hours later, and reports whether
// the moments reach so far.
func (j *judge) ahead(i int, hours float64, see func(*Moment)) bool {
	until := j.m[i].Time.Add(time.Duration(hours * float64(time.Hour)))
	for k := i + 1; k < len(j.m); k++ {
		if j.m[k].Time.After(until) {
			return true
		}
		see(&j.m[k])
	}
	return !j.m[len(j.m)-1].Time.Before(until)
}

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
	least, worst := math.Inf(1), math.Inf(1)
	at := m.Time
	reached := j.ahead(i, l.AheadH, func(n *Moment) {
		if k := n.DewMarginK(); k < least {
			least, at = k, n.Time
		}
		worst = math.Min(worst, n.SurfaceLow-n.DewPointC)
	})
	if !math.IsInf(least, 1) {
		f.atLeast(LimitDewAhead, l.DewMargin, least, worst, slackDewK, at)
	}
	f.unsure = f.unsure || !reached
}

func (j *judge) rain(f *found, i int) {
	l := j.l
	if l.RainTrace == nil && l.RainProb == nil {
		return
	}
	now := &j.m[i]
	heaviest, probable := now.RainMMPerH, now.RainProb
	rainAt, probAt := now.Time, now.Time
	reached := true
	if l.RainFreeH > 0 {
		reached = j.ahead(i, l.RainFreeH, func(n *Moment) {
			// Rain that begins at the very end of the span is outside it.
			if n.Time.Sub(now.Time).Hours() >= l.RainFreeH {
				return
			}
			if n.RainMMPerH > heaviest {
				heaviest, rainAt = n.RainMMPerH, n.Time
			}
			if n.RainProb > probable {
				probable, probAt = n.RainProb, n.Time
			}
		})
	}
	if t := l.RainTrace; t != nil {
		name := LimitRain
		if now.RainMMPerH < t.Value {
			name = LimitRainAhead
		}
		// At the trace itself it rains; a dry sky is a whole unit away.
		slack := (t.Value - heaviest) / math.Max(t.Value, 1e-9)
		if heaviest >= t.Value {
			slack = math.Min(slack, -0.1)
		}
		f.add(Reason{Limit: name, Value: heaviest, Bound: t.Value, Unit: t.Unit, At: rainAt, slack: slack})
	}
	if p := l.RainProb; p != nil {
		f.add(Reason{Limit: LimitRainProb, Value: probable, Bound: p.Value, At: probAt, slack: (p.Value - probable) / 0.3})
	}
	f.unsure = f.unsure || !reached
}

func (j *judge) frost(f *found, i int) {
	if j.l.FrostFreeH == 0 {
		return
	}
	m := &j.m[i]
	least, worst, at := math.Min(m.AirC, m.SurfaceC), math.Min(m.AirC, m.SurfaceLow), m.Time
	reached := j.ahead(i, j.l.FrostFreeH, func(n *Moment) {
		if v := math.Min(n.AirC, n.SurfaceC); v < least {
			least, at = v, n.Time
		}
		worst = math.Min(worst, math.Min(n.AirC, n.SurfaceLow))
	})
	f.add(Reason{Limit: LimitFrost, Value: least, Bound: 0, Unit: "°C", At: at, slack: least / slackTempK})
	f.unsure = f.unsure || worst < 0 || !reached
}

func (j *judge) light(f *found, t time.Time) {
	if !j.l.Light {
		return
	}
	local := t.In(j.site.zone())
	if d := local.Year()*1000 + local.YearDay(); d != j.day {
		j.day, j.daylight = d, DaylightOn(t, j.site)
	}
	r := Reason{Limit: LimitLight, Bound: j.l.BeforeSunsetH, Unit: "h", At: t}
	switch d := &j.daylight; d.Polar {
	case "light":
		return
	case "dark":
		r.slack = -1
	default:
		r.Value = d.Set.Sub(t).Hours()
		r.slack = math.Min(t.Sub(d.Rise).Hours(), r.Value-j.l.BeforeSunsetH) / slackH
	}
	f.add(r)
}
