package weather

import (
	"fmt"
	"math"
	"time"

	"gelwright/working"
)

// Norms are what a month is usually like at a place, for when there is no forecast.
type Norms struct {
	// Months, January first.
	Months [12]Norm
	Source working.Source
}

// Norm is one month: the mean of the day's mean, least and highest air
// temperatures, and the means of the rest.
type Norm struct {
	MeanC, MinC, MaxC float64
	RHPct, WindMS     float64
	// Cloud 0–1; RainShare is the share of hours with rain, 0–1, -1 when unknown.
	Cloud, RainShare float64
}

// band is a rough climate of a band of latitude on land near a west coast: means
// of the coldest and warmest month, half the daily range in each, humidity, wind
// and cloud in each.
type band struct {
	latDeg                   float64
	coldC, warmC             float64
	swingColdK, swingWarmK   float64
	rhCold, rhWarm           float64
	windCold, windWarm       float64
	cloudCold, cloudWarm     float64
	rainShareCold, rainShare float64
}

// bands are round numbers recalled from climate atlases, for orientation only.
var bands = [...]band{
	{0, 26, 27.5, 4, 4, 80, 80, 2.5, 2.5, 0.6, 0.6, 0.1, 0.1},
	{15, 23, 28, 6, 5, 68, 75, 3, 3, 0.4, 0.5, 0.03, 0.10},
	{30, 12, 27, 5.5, 6, 68, 58, 3, 3, 0.45, 0.25, 0.06, 0.02},
	{40, 7, 24, 4.5, 6, 75, 58, 3.5, 3, 0.6, 0.35, 0.08, 0.03},
	{50, 5, 18, 3, 5.5, 86, 70, 4.5, 3.5, 0.72, 0.55, 0.12, 0.07},
	{55, 4.5, 15, 3, 5, 87, 76, 5, 4, 0.75, 0.65, 0.13, 0.09},
	{60, -2, 15, 3, 5, 86, 72, 4, 3.5, 0.72, 0.6, 0.12, 0.09},
	{70, -8, 11, 3, 4, 84, 76, 5, 4, 0.7, 0.68, 0.10, 0.09},
	{90, -30, 0, 2, 2, 75, 85, 4, 4, 0.5, 0.8, 0.05, 0.05},
}

// NormsOfLatitude is a rough climate from latitude alone, north positive, for when
// nothing else is known. It is recalled, for places near a west coast, and can be
// wrong by 10 K inland; the plan must show it as norms.
func NormsOfLatitude(latDeg float64) Norms {
	a := math.Abs(clamp(latDeg, -90, 90))
	i := 1
	for i < len(bands)-1 && bands[i].latDeg < a {
		i++
	}
	p, q := bands[i-1], bands[i]
	u := (a - p.latDeg) / (q.latDeg - p.latDeg)
	mix := func(x, y float64) float64 { return x + (y-x)*u }
	n := Norms{Source: working.Source{Title: "climate by latitude", Standing: working.Remembered}}
	for m := range n.Months {
		// Coldest in mid January in the north, mid July in the south.
		phase := float64(m)
		if latDeg < 0 {
			phase -= 6
		}
		w := 0.5 - 0.5*math.Cos(2*math.Pi*phase/12) // 0 coldest, 1 warmest
		of := func(pc, pw, qc, qw float64) float64 { return mix(pc+(pw-pc)*w, qc+(qw-qc)*w) }
		mean := of(p.coldC, p.warmC, q.coldC, q.warmC)
		swing := of(p.swingColdK, p.swingWarmK, q.swingColdK, q.swingWarmK)
		n.Months[m] = Norm{MeanC: mean, MinC: mean - swing, MaxC: mean + swing, RHPct: of(p.rhCold, p.rhWarm, q.rhCold, q.rhWarm),
			WindMS: of(p.windCold, p.windWarm, q.windCold, q.windWarm), Cloud: of(p.cloudCold, p.cloudWarm, q.cloudCold, q.cloudWarm),
			RainShare: of(p.rainShareCold, p.rainShare, q.rainShareCold, q.rainShare)}
	}
	return n
}

// Days makes hours from the norms: typical days, without rain, from the hour that
// holds from, UTC. Air follows the sun: least at sunrise, highest three hours after
// the sun's noon, by half cosines; the dew point stays through the day where the
// mean humidity puts it. Months blend into each other.
func (n Norms) Days(from time.Time, hours int, site Site) (Series, error) {
	if hours < 1 || hours > 24*400 {
		return Series{}, fmt.Errorf("norms: %d hours asked for. Give 1 to 9600", hours)
	}
	if err := site.Check(); err != nil {
		return Series{}, err
	}
	s := Series{Start: from.UTC().Truncate(time.Hour), Hours: make([]Hour, hours), Norms: true, Origin: "monthly norms: " + n.Source.String(),
		Notes: []string{"typical days from monthly norms (" + n.Source.String() + "), not a forecast: no rain, no cold or hot spells"}}
	day := -1
	var light Daylight
	for i := range s.Hours {
		t := s.TimeOf(i)
		local := t.In(site.zone())
		if d := local.Year()*1000 + local.YearDay(); d != day {
			day, light = d, DaylightOn(t, site)
		}
		m := n.on(local)
		h := &s.Hours[i]
		h.Set(Air, m.MinC+(m.MaxC-m.MinC)*dayShape(t, light))
		h.Set(DewPoint, math.Min(h.AirC, DewPointC(m.MeanC, m.RHPct)))
		h.Set(Wind, m.WindMS)
		h.Set(Cloud, clamp(m.Cloud, 0, 1))
		h.Set(Rain, 0)
		if m.RainShare >= 0 {
			h.Set(RainProbability, m.RainShare)
		}
	}
	return s.Fill(site)
}

// on is the norm of a day, between the middles of the months.
func (n Norms) on(t time.Time) Norm {
	x := float64(t.Month()) - 1 + (float64(t.Day())-0.5)/30.44 - 0.5
	i := int(math.Floor(x))
	u := x - float64(i)
	a, b := n.Months[(i+12)%12], n.Months[(i+13)%12]
	mix := func(x, y float64) float64 { return x + (y-x)*u }
	r := Norm{mix(a.MeanC, b.MeanC), mix(a.MinC, b.MinC), mix(a.MaxC, b.MaxC), mix(a.RHPct, b.RHPct), mix(a.WindMS, b.WindMS),
		mix(a.Cloud, b.Cloud), -1}
	if a.RainShare >= 0 && b.RainShare >= 0 {
		r.RainShare = mix(a.RainShare, b.RainShare)
	}
	return r
}

// dayShape is 0 at sunrise and 1 three hours after noon.
func dayShape(t time.Time, d Daylight) float64 {
	rise := d.Rise
	if d.Polar != "" {
		rise = d.Noon.Add(-6 * time.Hour)
	}
	const day = 24 * time.Hour
	up := d.Noon.Add(3 * time.Hour).Sub(rise)
	since := t.Sub(rise)
	for since < 0 {
		since += day
	}
	since %= day
	if since <= up {
		return 0.5 - 0.5*math.Cos(math.Pi*float64(since)/float64(up))
	}
	return 0.5 + 0.5*math.Cos(math.Pi*float64(since-up)/float64(day-up))
}
