package weather

import (
	"time"
)

// Moment is what the limits of a stage are held against: measured on the roof, or
// computed. Times are in order.
type Moment struct {
	Time time.Time `json:"time"`
	AirC float64   `json:"air_c"`
	// SurfaceC with its low and high; equal for a measurement.
	SurfaceC    float64 `json:"surface_c"`
	SurfaceLow  float64 `json:"surface_low_c"`
	SurfaceHigh float64 `json:"surface_high_c"`
	DewPointC   float64 `json:"dew_point_c"`
	RHPct       float64 `json:"rh_pct"`
	WindMS      float64 `json:"wind_ms"`
	GustMS      float64 `json:"gust_ms"`
	// RainMMPerH and RainProb (0–1) hold until the next moment.
	RainMMPerH float64 `json:"rain_mm_per_h"`
	RainProb   float64 `json:"rain_prob"`
}

// DewMarginK is how far the surface is above the dew point, K.
func (m Moment) DewMarginK() float64 { return m.SurfaceC - m.DewPointC }

// Measured is a moment from a thermometer, a hygrometer and a surface probe.
func Measured(at time.Time, airC, surfaceC, rhPct, windMS float64) Moment {
	return Moment{Time: at.UTC(), AirC: airC, SurfaceC: surfaceC, SurfaceLow: surfaceC, SurfaceHigh: surfaceC,
		DewPointC: DewPointC(airC, rhPct), RHPct: rhPct, WindMS: windMS, GustMS: windMS}
}

// Moments joins the surface with the weather it was computed from, by the quarter
// hour: wind, dew point and air linear between hours, gust, rain and its
// probability (where the source gave one) those of the hour. Wind is the forecast's, not the roof's: mat is
// carried over the edge of a roof.
func (s Surface) Moments(w Series) []Moment {
	out := make([]Moment, 0, len(s.Quarters))
	for i := range s.Quarters {
		q := &s.Quarters[i]
		secs := q.Time.Sub(w.Start).Seconds()
		i := int(secs / 3600)
		if secs < 0 || len(w.Hours) == 0 {
			continue
		}
		i = min(i, len(w.Hours)-1)
		a, b := &w.Hours[i], &w.Hours[min(i+1, len(w.Hours)-1)]
		u := min(1, secs/3600-float64(i))
		out = append(out, Moment{Time: q.Time, AirC: q.AirC, SurfaceC: q.SurfaceC, SurfaceLow: q.LowC, SurfaceHigh: q.HighC,
			DewPointC: q.DewPointC, RHPct: RHPct(q.AirC, q.DewPointC), WindMS: a.WindMS*(1-u) + b.WindMS*u, GustMS: a.GustMS,
			RainMMPerH: a.RainMM})
		if a.Filled&RainProbability == 0 {
			out[len(out)-1].RainProb = a.RainProb
		}
	}
	return out
}

// QuarterHours reads between measured moments: every quarter hour from the first
// to the last, linear in time; rain is that of the moment before.
func QuarterHours(measured []Moment) []Moment {
	var out []Moment
	if len(measured) == 0 {
		return out
	}
	const quarter = 15 * time.Minute
	t := measured[0].Time.Truncate(quarter)
	if t.Before(measured[0].Time) {
		t = t.Add(quarter)
	}
	last := measured[len(measured)-1].Time
	for i := 0; !t.After(last) && len(out) < 1<<20; t = t.Add(quarter) {
		for i+2 < len(measured) && !measured[i+1].Time.After(t) {
			i++
		}
		out = append(out, between(measured, i, t))
	}
	return out
}

func between(m []Moment, i int, t time.Time) Moment {
	a := m[i]
	b := m[min(i+1, len(m)-1)]
	u := 0.0
	if d := b.Time.Sub(a.Time); d > 0 {
		u = clamp(float64(t.Sub(a.Time))/float64(d), 0, 1)
	}
	mix := func(x, y float64) float64 { return x + (y-x)*u }
	r := a
	r.Time = t
	r.AirC, r.DewPointC, r.RHPct = mix(a.AirC, b.AirC), mix(a.DewPointC, b.DewPointC), mix(a.RHPct, b.RHPct)
	r.SurfaceC, r.SurfaceLow, r.SurfaceHigh = mix(a.SurfaceC, b.SurfaceC), mix(a.SurfaceLow, b.SurfaceLow), mix(a.SurfaceHigh, b.SurfaceHigh)
	r.WindMS, r.GustMS = mix(a.WindMS, b.WindMS), mix(a.GustMS, b.GustMS)
	if u == 1 {
		r.RainMMPerH, r.RainProb = b.RainMMPerH, b.RainProb
	}
	return r
}

// Crossing is a time at which a quantity passes a level.
type Crossing struct {
	Time   time.Time
	Rising bool
}

// Crossings finds where a quantity passes a level, read linearly between moments:
// when the deck passes 35 °C, when the dew margin falls under 3 K.
func Crossings(m []Moment, quantity func(Moment) float64, level float64) []Crossing {
	var out []Crossing
	for i := 1; i < len(m); i++ {
		a, b := quantity(m[i-1])-level, quantity(m[i])-level
		if (a < 0) == (b < 0) {
			continue
		}
		share := a / (a - b)
		out = append(out, Crossing{m[i-1].Time.Add(time.Duration(share * float64(m[i].Time.Sub(m[i-1].Time)))).Round(time.Second), b > a})
	}
	return out
}
