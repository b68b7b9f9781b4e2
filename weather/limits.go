package weather

import (
	"context"
	"fmt"
	"math"
	"time"

	"gelwright/working"
)

// StageLimits are the limits of weather within which one stage of work may be
// done. A nil figure is no limit; a zero look-ahead looks at the moment alone.
type StageLimits struct {
	// Stage in trade words: "laminate", "top coat".
	Stage string
	// Air and surface temperatures, °C.
	AirMin, AirMax, SurfaceMin, SurfaceMax *working.Figure
	// RisingBandK: within this above a least temperature, it must not be falling.
	RisingBandK float64
	// RHMax %, DewMargin K of the surface above the dew point, now and for AheadH hours.
	RHMax, DewMargin *working.Figure
	AheadH           float64
	// Rain: none heavier than RainTrace mm/h, and no probability above RainProb
	// (0–1), from now for RainFreeH hours; zero is now only.
	RainTrace, RainProb *working.Figure
	RainFreeH           float64
	// WindMax and GustMax, m/s, as forecast.
	WindMax, GustMax *working.Figure
	// Mix is how hot the deck may be for a bucket to be laid in time; nil for work without one.
	Mix *Mixable
	// MoistureMax of bare boards, %; it is for work that lies on them.
	MoistureMax *working.Figure
	// FrostFreeH: neither air nor surface below 0 °C for so many hours; where a film's
	// hardening is followed, no longer than twice the time until it is safe from rain.
	FrostFreeH float64
	// Light asks for the sun above the horizon, and at least BeforeSunsetH more hours of it.
	Light         bool
	BeforeSunsetH float64
}

func habit(symbol, name string, v float64, unit string) *working.Figure {
	return working.Constant(symbol, name, v, unit, working.Source{Title: "laminating practice", Standing: working.CommonPractice})
}

// LaminateLimits are the trade's defaults for laminating: air and deck 5 °C and
// rising to 35 °C, humidity at most 85 %, deck 3 K above the dew point now and for
// two hours, dry for an hour, wind at most 10 m/s, no frost for twelve hours, by
// daylight. Each can be changed.
func LaminateLimits() StageLimits {
	return StageLimits{
		Stage:  "laminate",
		AirMin: habit("", "least air temperature", 5, "°C"), AirMax: habit("", "highest air temperature", 35, "°C"),
		SurfaceMin: habit("", "least deck temperature", 5, "°C"), SurfaceMax: habit("", "highest deck temperature", 35, "°C"),
		RisingBandK: 1,
		RHMax:       habit("", "highest relative humidity", 85, "%"),
		DewMargin: working.Constant("", "deck above dew point", 3, "K",
			working.Source{Title: "coating practice after ISO 8502-4", Standing: working.CommonPractice}),
		AheadH:    2,
		RainTrace: habit("", "rain that counts", 0.1, "mm/h"), RainProb: habit("", "highest probability of rain", 0.4, ""),
		RainFreeH: 1,
		WindMax:   habit("", "highest wind for loose mat", 10, "m/s"),
		Light:     true, FrostFreeH: 12, MoistureMax: MoistureLimit(),
	}
}

// TopCoatLimits are the trade's defaults for the top coat: as for laminating, with
// humidity at most 85 %, the dew margin and dry weather for four hours (tack-free
// takes about 2 h at 20 °C, 4 h at 10 °C), and two hours of daylight after.
func TopCoatLimits() StageLimits {
	l := LaminateLimits()
	l.Stage = "top coat"
	l.AheadH, l.RainFreeH, l.BeforeSunsetH = 4, 4, 2
	l.WindMax = habit("", "highest wind, for leaves and dust", 8, "m/s")
	return l
}

// Verdict is the answer for one moment.
type Verdict string

// Go: start now. Wait: not now, but later the same day. NoGo: not this day any more.
const (
	Go   Verdict = "go"
	Wait Verdict = "wait"
	NoGo Verdict = "no-go"
)

// Limit names one of the limits.
type Limit string

// The limits, in the order in which they are told.
const (
	LimitNone       Limit = ""
	LimitAirMin     Limit = "air too cold"
	LimitAirRising  Limit = "air near its least and falling"
	LimitAirMax     Limit = "air too hot"
	LimitDeckMin    Limit = "surface too cold"
	LimitDeckRising Limit = "surface near its least and falling"
	LimitDeckMax    Limit = "surface too hot"
	LimitMix        Limit = "deck too hot to lay a bucket"
	LimitRH         Limit = "humidity"
	LimitDew        Limit = "dew margin"
	LimitDewAhead   Limit = "dew margin ahead"
	LimitRain       Limit = "rain"
	LimitRainAhead  Limit = "rain ahead"
	LimitRainProb   Limit = "probability of rain"
	LimitWind       Limit = "wind"
	LimitGust       Limit = "gusts"
	LimitFrost      Limit = "frost ahead"
	LimitLight      Limit = "daylight"
	LimitMoisture   Limit = "moisture of the boards"
)

// Reason is one limit and how the moment stands to it.
type Reason struct {
	Limit Limit `json:"limit"`
	// Value found and Bound of the limit, in Unit.
	Value float64 `json:"value"`
	Bound float64 `json:"bound"`
	Unit  string  `json:"unit,omitempty"`
	// At is when it is found: later than the moment for what lies ahead.
	At time.Time `json:"at"`
	// slack is how far the limit is, in its own tolerance; negative is beyond it.
	slack float64
	// course is the course of the weather that it is found in, in words, where it is not the forecast's own.
	course string
}

// In is the reason as one found in a course of the weather that is named: "a course drawn round the forecast".
func (r Reason) In(course string) Reason {
	r.course = course
	return r
}

// Text tells the reason in words: "dew margin ahead: 0.5 K at 15:00, limit 3 K";
// the time in zone, nil for UTC.
func (r Reason) Text(zone *time.Location) string {
	if zone == nil {
		zone = time.UTC
	}
	if r.Limit == LimitLight && r.Unit == toSunrise {
		return fmt.Sprintf("%s: %.1f h before sunrise", r.Limit, r.Value)
	}
	if r.Limit == LimitLight {
		switch {
		case r.Value < 0.05:
			return fmt.Sprintf("%s: the sun is down at %s", r.Limit, r.At.In(zone).Format("15:04"))
		case r.Bound == 0:
			return fmt.Sprintf("%s: %.1f h before sunset", r.Limit, r.Value)
		}
		return fmt.Sprintf("%s: %.1f h before sunset, limit %.1f h", r.Limit, r.Value, r.Bound)
	}
	in := ""
	if r.course != "" {
		in = " in " + r.course
	}
	return fmt.Sprintf("%s: %s %s at %s%s, limit %s %s", r.Limit, r.told(), r.Unit,
		r.At.In(zone).Format("15:04"), in, working.Number(r.Bound), r.Unit) + r.near()
}

// told is the value in no more figures than a forecast bears, three, but for one that would read as the limit itself.
func (r Reason) told() string {
	if fine := 10.0; math.Abs(r.Value) >= 10 && math.Abs(r.Value-r.Bound) >= 0.05 {
		return working.Number(math.Round(r.Value*fine) / fine)
	}
	return working.Number(math.Round(r.Value*100) / 100)
}

// nearK is how near a limit of temperature an hour may be for shade, or another hour, to do, K
// (common practice, no source).
const nearK = 2.0

// near says by how little a limit of temperature is broken or kept, and what would do: a limit
// is no cliff. It is empty for what lies further off, and for other limits.
func (r Reason) near() string {
	over := r.Value - r.Bound
	help := ""
	switch r.Limit {
	case LimitDeckMax, LimitMix:
		help = "shade on the deck, or an hour earlier or later, would do"
	case LimitAirMax:
		help = "an hour earlier or later would do"
	case LimitAirMin, LimitDeckMin:
		over, help = -over, "an hour later, in the sun, would do"
	default:
		return ""
	}
	switch {
	case over > nearK || over < -nearK/2:
		return ""
	case over <= 0:
		return fmt.Sprintf(" (%.1f K to spare)", -over)
	}
	return fmt.Sprintf(" (%.1f K beyond it: %s)", math.Max(0.1, over), help)
}

// toSunrise is the unit of a daylight that has not yet come.
const toSunrise = "h to sunrise"

// Judgement is one moment judged.
type Judgement struct {
	Time    time.Time `json:"time"`
	Verdict Verdict   `json:"verdict"`
	// Sure is false when a go rests on the likely surface and its low or high would
	// break a limit, or when the weather ends within a look-ahead.
	Sure bool `json:"sure"`
	// Binding is the limit most broken, or for a go the nearest.
	Binding Reason `json:"binding"`
	// Broken are all limits broken, in a fixed order.
	Broken []Reason `json:"broken,omitempty"`
	// NextGo is, for a wait, when the day's next go begins.
	NextGo time.Time `json:"next_go,omitzero"`
}

// askEvery is how many moments are judged between two looks whether an answer is still wanted.
const askEvery = 1024

// Judge holds every moment against the limits of a stage. The site gives daylight
// and the local day; moments must be in order of time. Look-aheads read the
// moments as they are: for hourly measurements use QuarterHours first to read
// between them.
func Judge(ctx context.Context, moments []Moment, l StageLimits, site Site) ([]Judgement, error) {
	if err := l.checkFor(moments, site); err != nil {
		return nil, err
	}
	j := judge{m: moments, l: &l, site: site, broken: make([]Reason, 0, len(moments))}
	j.looks()
	j.prepare()
	out := make([]Judgement, len(moments))
	for i := range moments {
		if i%askEvery == 0 {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
		out[i] = j.at(i)
	}
	// Backwards: what can still be waited for on the same local day.
	var next time.Time
	day := -1
	for i := len(out) - 1; i >= 0; i-- {
		local := out[i].Time.In(site.zone())
		if d := local.Year()*1000 + local.YearDay(); d != day {
			day, next = d, time.Time{}
		}
		switch {
		case out[i].Verdict == Go:
			next = out[i].Time
		case !next.IsZero():
			out[i].Verdict, out[i].NextGo = Wait, next
		}
	}
	return out, nil
}

// checkFor checks limits, site and that the moments are in order.
func (l StageLimits) checkFor(moments []Moment, site Site) error {
	if err := l.check(); err != nil {
		return err
	}
	if err := site.Check(); err != nil {
		return err
	}
	for i := 1; i < len(moments); i++ {
		if !moments[i].Time.After(moments[i-1].Time) {
			return fmt.Errorf("limits of %s: %s comes after %s. Sort the moments by time", l.Stage,
				moments[i].Time.Format(time.RFC3339), moments[i-1].Time.Format(time.RFC3339))
		}
	}
	return nil
}

func (l StageLimits) check() error {
	for _, h := range []struct {
		what string
		v    float64
	}{{"look-ahead for the dew margin", l.AheadH}, {"rain-free hours", l.RainFreeH}, {"frost-free hours",
		l.FrostFreeH}, {"hours before sunset", l.BeforeSunsetH}, {"rising band", l.RisingBandK}} {
		if !(h.v >= 0 && h.v <= 240) {
			return fmt.Errorf("limits of %s: %s is %g. Give 0 to 240", l.Stage, h.what, h.v)
		}
	}
	for _, f := range []*working.Figure{l.AirMin, l.AirMax, l.SurfaceMin, l.SurfaceMax, l.RHMax, l.DewMargin, l.RainTrace, l.RainProb,
		l.WindMax, l.GustMax, l.MoistureMax} {
		if f != nil && (math.IsNaN(f.Value) || math.IsInf(f.Value, 0)) {
			return fmt.Errorf("limits of %s: %s is %g. Give a number, or leave it out", l.Stage, f.Name, f.Value)
		}
	}
	return l.Mix.check()
}
