package weather

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"strings"
	"time"
)

// Quantity is one thing an hour can hold; values combine into sets.
type Quantity uint16

// The quantities of an Hour.
const (
	Air Quantity = 1 << iota
	DewPoint
	Humidity
	Wind
	Gust
	WindFrom
	Cloud
	Rain
	RainProbability
	Pressure
	Global
	Direct
	Diffuse
	// MeasuredSurface is the roof's surface temperature, read by a crew's probe.
	MeasuredSurface
	quantityEnd
)

var quantityNames = [...]string{"air temperature", "dew point", "relative humidity", "wind", "gust", "wind direction",
	"cloud", "rain", "probability of rain", "pressure", "global irradiance", "direct irradiance", "diffuse irradiance",
	"measured surface temperature"}

// String lists the set in words.
func (q Quantity) String() string {
	var names []string
	for i, n := range quantityNames {
		if q&(1<<i) != 0 {
			names = append(names, n)
		}
	}
	return strings.Join(names, ", ")
}

// All is every quantity of the set, one by one.
func (q Quantity) All() []Quantity {
	out := make([]Quantity, 0, bits.OnesCount16(uint16(q)))
	for i := range quantityNames {
		if q&(1<<i) != 0 {
			out = append(out, 1<<i)
		}
	}
	return out
}

// Hour is the weather of one hour. AirC to PressureHPa, GustMS and RainProb apart,
// are values at its start; GustMS, RainMM, RainProb and the irradiances belong to
// the sixty minutes after it.
type Hour struct {
	AirC        float64 `json:"air_c"`
	DewPointC   float64 `json:"dew_point_c"`
	RHPct       float64 `json:"rh_pct"`
	WindMS      float64 `json:"wind_ms"`
	GustMS      float64 `json:"gust_ms"`
	WindFromDeg float64 `json:"wind_from_deg"`
	// Cloud is the share of the sky covered, 0–1.
	Cloud  float64 `json:"cloud"`
	RainMM float64 `json:"rain_mm"`
	// RainProb is the probability of rain in the hour, 0–1.
	RainProb    float64 `json:"rain_prob"`
	PressureHPa float64 `json:"pressure_hpa"`
	// Mean irradiances over the hour: global and diffuse on the level, direct on a
	// plane that faces the sun, W/m².
	GlobalWPerM2  float64 `json:"global_w_m2"`
	DirectWPerM2  float64 `json:"direct_w_m2"`
	DiffuseWPerM2 float64 `json:"diffuse_w_m2"`
	// SurfaceC is the roof's surface, where a crew measured it.
	SurfaceC float64 `json:"surface_c,omitempty"`
	// Has is what the source gave or Fill put in; Filled is the part put in.
	Has    Quantity `json:"has"`
	Filled Quantity `json:"filled,omitempty"`
}

// value points at the field of one quantity.
func (h *Hour) value(q Quantity) *float64 {
	switch q {
	case Air:
		return &h.AirC
	case DewPoint:
		return &h.DewPointC
	case Humidity:
		return &h.RHPct
	case Wind:
		return &h.WindMS
	case Gust:
		return &h.GustMS
	case WindFrom:
		return &h.WindFromDeg
	case Cloud:
		return &h.Cloud
	case Rain:
		return &h.RainMM
	case RainProbability:
		return &h.RainProb
	case Pressure:
		return &h.PressureHPa
	case Global:
		return &h.GlobalWPerM2
	case Direct:
		return &h.DirectWPerM2
	case Diffuse:
		return &h.DiffuseWPerM2
	case MeasuredSurface:
		return &h.SurfaceC
	}
	return nil
}

// Set gives the hour one quantity; NaN and infinities are ignored.
func (h *Hour) Set(q Quantity, v float64) {
	if p := h.value(q); p != nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		*p = v
		h.Has |= q
	}
}

// Get returns one quantity and whether it is known.
func (h *Hour) Get(q Quantity) (float64, bool) {
	p := h.value(q)
	if p == nil || h.Has&q == 0 {
		return 0, false
	}
	return *p, true
}

// span is the range within which a value of each quantity can be weather.
var span = map[Quantity][2]float64{
	Air: {-90, 60}, DewPoint: {-100, 40}, Humidity: {0, 105}, Wind: {0, 120}, Gust: {0, 150}, WindFrom: {0, 360},
	Cloud: {0, 1.0001}, Rain: {0, 400}, RainProbability: {0, 1.0001}, Pressure: {300, 1100},
	Global: {0, 1600}, Direct: {0, 1450}, Diffuse: {0, 1200}, MeasuredSurface: {-60, 120},
}

// Possible reports whether v can be weather, and the range that can.
func (q Quantity) Possible(v float64) (ok bool, low, high float64) {
	s, known := span[q]
	return known && v >= s[0] && v <= s[1], s[0], s[1]
}

// Series is weather hour by hour, without gaps in time.
type Series struct {
	// Start is the first hour, UTC, on the hour.
	Start time.Time `json:"start"`
	Hours []Hour    `json:"hours"`
	// Origin says where it comes from, for the reader: a file, a provider, norms.
	Origin string `json:"origin,omitempty"`
	// Notes are what a person must know: gaps filled, quantities derived, norms.
	Notes []string `json:"notes,omitempty"`
	// Norms is set when the hours are typical days and not a forecast.
	Norms bool `json:"norms,omitempty"`
}

// TimeOf is the start of hour i, UTC.
func (s *Series) TimeOf(i int) time.Time { return s.Start.Add(time.Duration(i) * time.Hour) }

// End is the end of the last hour, UTC.
func (s *Series) End() time.Time { return s.TimeOf(len(s.Hours)) }

// At is the hour that holds t; false outside the series.
func (s *Series) At(t time.Time) (Hour, bool) {
	d := t.Sub(s.Start)
	i := int(d / time.Hour)
	if d < 0 || i >= len(s.Hours) {
		return Hour{}, false
	}
	return s.Hours[i], true
}

// Part is the series from and to two times, cut to whole hours.
func (s *Series) Part(from, to time.Time) Series {
	i := max(0, int(math.Floor(from.Sub(s.Start).Hours())))
	j := min(len(s.Hours), int(math.Ceil(to.Sub(s.Start).Hours())))
	out := *s
	if i >= j {
		out.Hours = nil
		return out
	}
	out.Start = s.TimeOf(i)
	out.Hours = s.Hours[i:j:j]
	return out
}

// Has is the set of quantities known in every hour; empty for no hours.
func (s *Series) Has() Quantity {
	if len(s.Hours) == 0 {
		return 0
	}
	has := Quantity(quantityEnd - 1)
	for i := range s.Hours {
		has &= s.Hours[i].Has
	}
	return has
}

// ErrNoAir is returned when a series cannot be used because air temperature or
// humidity is nowhere given.
var ErrNoAir = errors.New("the weather has no air temperature, or neither dew point nor relative humidity. Add a column for them")

// Fill returns the series with every gap closed, so that the physics can use it:
//   - instants (air, dew point, wind, direction, cloud, pressure) linearly between
//     known neighbours, direction by the shorter way; at the ends, the nearest known;
//   - humidity from dew point or the other way round (Sonntag);
//   - rain unknown for up to five hours between known ones: as in the known hour before (rows
//     of three or six hours); longer: none, marked as filled, so that an ensemble counts it as
//     unknown; gust unknown: 1.6 × wind; cloud nowhere known: derived from
//     global irradiance by day if that is given (see CloudFromGlobal), else 0.5;
//     wind nowhere known: 2 m/s; pressure nowhere known: standard at elevM.
//
// Everything put in is marked in Hour.Filled, and one note for each quantity says
// in how many hours and how. Irradiance is left unknown where it is: the roof's
// surface then takes the clear sky with cloud.
func (s Series) Fill(site Site) (Series, error) {
	s.Hours = append([]Hour(nil), s.Hours...)
	s.Notes = append([]string(nil), s.Notes...)
	if len(s.Hours) == 0 {
		return s, errors.New("the weather has no hours. Give at least one")
	}
	note := func(n int, q Quantity, how string) {
		if n > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("%s: %d of %d hours %s", q, n, len(s.Hours), how))
		}
	}
	if s.count(Air) == 0 {
		return s, ErrNoAir
	}
	note(s.between(Air), Air, "interpolated")
	// The missing one of dew point and humidity from the other, hour by hour first.
	dew, rh := 0, 0
	for i := range s.Hours {
		h := &s.Hours[i]
		if h.Has&Humidity != 0 && h.Has&DewPoint == 0 {
			h.put(DewPoint, DewPointC(h.AirC, h.RHPct))
			dew++
		}
	}
	if s.count(DewPoint) == 0 {
		return s, ErrNoAir
	}
	note(dew, DewPoint, "from air temperature and relative humidity")
	note(s.between(DewPoint), DewPoint, "interpolated")
	for i := range s.Hours {
		h := &s.Hours[i]
		if h.DewPointC > h.AirC {
			h.DewPointC = h.AirC // rounding of a saturated hour
		}
		if h.Has&Humidity == 0 {
			h.put(Humidity, RHPct(h.AirC, h.DewPointC))
			rh++
		}
		h.RHPct = math.Min(h.RHPct, 100)
	}
	note(rh, Humidity, "from air temperature and dew point")
	if s.count(Cloud) == 0 && s.count(Global) > 0 {
		note(s.cloudFromGlobal(site), Cloud, "from the global irradiance (Kasten and Czeplak)")
	}
	for _, c := range []struct {
		q        Quantity
		fallback float64
	}{{Wind, 2}, {Cloud, 0.5}, {Pressure, StandardPressureHPa(site.ElevM)}, {WindFrom, 0}} {
		if s.count(c.q) == 0 {
			n := s.put(c.q, func(*Hour) float64 { return c.fallback })
			if c.q != WindFrom {
				note(n, c.q, fmt.Sprintf("not given: %.4g assumed", c.fallback))
			}
			continue
		}
		note(s.between(c.q), c.q, "interpolated")
	}
	s.put(Gust, func(h *Hour) float64 { return 1.6 * h.WindMS })
	note(s.hold(Rain), Rain, "not given: as in the hour given before")
	note(s.put(Rain, func(*Hour) float64 { return 0 }), Rain, "not given: dry in the likely course, wet in three of ten of the others")
	s.put(RainProbability, func(h *Hour) float64 {
		if h.RainMM > 0 {
			return 1
		}
		return 0
	})
	return s, nil
}

func (h *Hour) put(q Quantity, v float64) {
	*h.value(q) = v
	h.Has |= q
	h.Filled |= q
}

func (s *Series) put(q Quantity, v func(*Hour) float64) int {
	n := 0
	for i := range s.Hours {
		if h := &s.Hours[i]; h.Has&q == 0 {
			h.put(q, v(h))
			n++
		}
	}
	return n
}

func (s *Series) count(q Quantity) int {
	n := 0
	for i := range s.Hours {
		if s.Hours[i].Has&q != 0 {
			n++
		}
	}
	return n
}

// longestHold is how many hours one that is given speaks for.
const longestHold = 5

// hold carries a quantity over short gaps between known hours, as if it had been given, and
// returns how many hours it filled.
func (s *Series) hold(q Quantity) int {
	n, last := 0, -1
	for i := range s.Hours {
		if s.Hours[i].Has&q == 0 {
			continue
		}
		if gap := i - last - 1; last >= 0 && gap <= longestHold {
			for j := last + 1; j < i; j++ {
				*s.Hours[j].value(q) = *s.Hours[last].value(q)
				s.Hours[j].Has |= q
				n++
			}
		}
		last = i
	}
	return n
}

// between fills the gaps of q linearly and the ends with the nearest known value,
// and returns how many hours it filled. q must be known somewhere.
func (s *Series) between(q Quantity) int {
	n, last := 0, -1
	for i := range s.Hours {
		if s.Hours[i].Has&q == 0 {
			continue
		}
		b := *s.Hours[i].value(q)
		a := b
		if last >= 0 {
			a = *s.Hours[last].value(q)
		}
		d := b - a
		if q == WindFrom {
			d = math.Mod(d+540, 360) - 180
		}
		for j := last + 1; j < i; j++ {
			v := a + d*float64(j-last)/float64(i-last)
			if q == WindFrom {
				v = math.Mod(v+360, 360)
			}
			s.Hours[j].put(q, v)
			n++
		}
		last = i
	}
	if last >= 0 {
		for j := last + 1; j < len(s.Hours); j++ {
			s.Hours[j].put(q, *s.Hours[last].value(q))
			n++
		}
	}
	return n
}
