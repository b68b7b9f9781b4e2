package weather

import (
	"fmt"
	"math"
	"time"

	"gelwright/elementary"
)

// Record is what came of earlier forecasts of a place, hour by hour: the forecast as it was
// made, and the readings on site.
type Record struct {
	// Hours that were compared.
	Hours int `json:"hours"`
	// Air and Gap (air less dew point), K, and Wind, as the natural logarithm, are what came
	// less what was said; by night (0) and by day (1), which err apart.
	Air  [2]Residual `json:"air"`
	Gap  [2]Residual `json:"gap"`
	Wind [2]Residual `json:"wind"`
	// Dry hours were said to be dry, and Wet of them were not.
	Dry int `json:"dry"`
	Wet int `json:"wet"`
}

// Residual is a run of errors.
type Residual struct {
	N         int `json:"n"`
	Sum, Sum2 float64
}

func (r *Residual) add(v float64) { r.N, r.Sum, r.Sum2 = r.N+1, r.Sum+v, r.Sum2+v*v }

// Mean and SD of the errors; 0 for none.
func (r Residual) Mean() float64 {
	if r.N == 0 {
		return 0
	}
	return r.Sum / float64(r.N)
}

// Variance about the mean.
func (r Residual) Variance() float64 {
	if r.N == 0 {
		return 0
	}
	m := r.Mean()
	return math.Max(0, r.Sum2/float64(r.N)-m*m)
}

// dayPart is 1 from 07:00 to 19:00 by the sun, else 0.
func dayPart(t time.Time, site Site) int {
	h := math.Mod(float64(t.Unix()%86400)/3600+site.LonDeg/15+48, 24)
	if h >= 7 && h < 19 {
		return 1
	}
	return 0
}

// Compare holds a forecast against readings, in the hours that both know.
func Compare(said, came Series, site Site) Record {
	var r Record
	for i := range said.Hours {
		t := said.TimeOf(i)
		c, known := came.At(t)
		if !known {
			continue
		}
		r.hour(&said.Hours[i], &c, dayPart(t, site))
	}
	return r
}

// hour compares one hour.
func (r *Record) hour(s, c *Hour, part int) {
	both := func(q Quantity) bool { return s.Has&c.Has&q != 0 && c.Filled&q == 0 }
	if !both(Air) {
		return
	}
	r.Hours++
	r.Air[part].add(c.AirC - s.AirC)
	if s.Has&c.Has&DewPoint != 0 {
		r.Gap[part].add((c.AirC - c.DewPointC) - (s.AirC - s.DewPointC))
	}
	if both(Wind) && s.WindMS >= 1 && c.WindMS >= 1 {
		r.Wind[part].add(math.Log(c.WindMS / s.WindMS))
	}
	if both(Rain) && s.RainMM < 0.1 {
		r.Dry++
		if c.RainMM >= 0.1 {
			r.Wet++
		}
	}
}

// Add joins another record to this one.
func (r *Record) Add(o Record) {
	r.Hours, r.Dry, r.Wet = r.Hours+o.Hours, r.Dry+o.Dry, r.Wet+o.Wet
	for part := range 2 {
		for _, x := range []struct{ a, b *Residual }{{&r.Air[part], &o.Air[part]}, {&r.Gap[part], &o.Gap[part]}, {&r.Wind[part], &o.Wind[part]}} {
			x.a.N, x.a.Sum, x.a.Sum2 = x.a.N+x.b.N, x.a.Sum+x.b.Sum, x.a.Sum2+x.b.Sum2
		}
	}
}

// trustDays is how many days of comparison weigh as much as what is assumed: errors of a day
// go together, so that hours are no measure.
const trustDays = 3

// weight of the record beside what is assumed, 0–1.
func (r Record) weight() float64 {
	d := float64(r.Hours) / 24
	return d / (d + trustDays)
}

// Correct takes the record's means off a forecast, drawn towards none while it is short.
func (r Record) Correct(s Series, site Site) Series {
	out := s
	out.Hours = append([]Hour(nil), s.Hours...)
	w := r.weight()
	for i := range out.Hours {
		h, part := &out.Hours[i], dayPart(out.TimeOf(i), site)
		gap := math.Max(0, h.AirC-h.DewPointC+w*r.Gap[part].Mean())
		h.AirC += w * r.Air[part].Mean()
		h.DewPointC = h.AirC - gap
		h.RHPct = RHPct(h.AirC, h.DewPointC)
		gain := elementary.Exp(w * r.Wind[part].Mean())
		h.WindMS *= gain
		h.GustMS *= gain
	}
	return out
}

// How a spread is learnt: it takes more days than a mean, and half of an hour's variance is
// gone some hours later, while the errors of a member drift over the day (both set by the
// back-test on two pairs of stations, see bench/backtest).
const (
	trustSpreadDays = 14
	slowShare       = 0.5
)

// Errors is an error model with the record's own spread, drawn towards another while it is
// short.
func (r Record) Errors(base ErrorModel) ErrorModel {
	d := float64(r.Hours) / 24
	w := d / (d + trustSpreadDays)
	own := func(x [2]Residual, g Growth) Growth {
		n := float64(x[0].N + x[1].N)
		if n == 0 {
			return g
		}
		v := (x[0].Variance()*float64(x[0].N) + x[1].Variance()*float64(x[1].N)) / n
		g.First = math.Sqrt((1-w)*g.First*g.First + w*slowShare*v)
		g.Most = math.Max(g.Most, g.First)
		return g
	}
	base.Air, base.Gap, base.Wind = own(r.Air, base.Air), own(r.Gap, base.Gap), own(r.Wind, base.Wind)
	if r.Dry > 0 {
		// A forecast that overlooks rain more often than is assumed is trusted less.
		s := &base.SurpriseRain
		s.First = math.Max(s.First, w*float64(r.Wet)/float64(r.Dry))
		s.Most = math.Max(s.Most, s.First)
	}
	return base
}

// Says tells a person what has been learnt of the forecasts of a place; empty where nothing was compared.
func (r Record) Says() string {
	if r.Hours == 0 {
		return ""
	}
	text := fmt.Sprintf("In %.0f days (%d hours) the forecast was %s by night and %s by day", math.Ceil(float64(r.Hours)/24), r.Hours,
		warmth(r.Air[0]), warmth(r.Air[1]))
	if r.Dry > 0 {
		text += fmt.Sprintf("; of %d hours said to be dry %d were wet", r.Dry, r.Wet)
	}
	return text + "."
}

// warmth says how a forecast was off in its air temperature, by what came less what was said.
func warmth(r Residual) string {
	const told = 0.05 // K, below which one decimal shows nothing
	switch m := r.Mean(); {
	case r.N == 0:
		return "not read"
	case m < -told:
		return fmt.Sprintf("%.1f K too warm", -m)
	case m > told:
		return fmt.Sprintf("%.1f K too cold", m)
	}
	return "right in its temperature"
}
