package forecast

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"gelwright/weather"
)

// omNames are the hourly variables of Open-Meteo, in today's spelling; before
// marks those that belong to the hour before their time.
var omNames = map[string]struct {
	is     weather.Quantity
	before bool
}{
	"temperature_2m":            {weather.Air, false},
	"dew_point_2m":              {weather.DewPoint, false},
	"relative_humidity_2m":      {weather.Humidity, false},
	"wind_speed_10m":            {weather.Wind, false},
	"wind_gusts_10m":            {weather.Gust, true},
	"wind_direction_10m":        {weather.WindFrom, false},
	"cloud_cover":               {weather.Cloud, false},
	"precipitation":             {weather.Rain, true},
	"precipitation_probability": {weather.RainProbability, true},
	"surface_pressure":          {weather.Pressure, false},
	"pressure_msl":              {weather.Pressure, false},
	"shortwave_radiation":       {weather.Global, true},
	"direct_normal_irradiance":  {weather.Direct, true},
	"diffuse_radiation":         {weather.Diffuse, true},
}

// omOld are spellings of older answers.
var omOld = map[string]string{
	"dewpoint_2m": "dew_point_2m", "relativehumidity_2m": "relative_humidity_2m", "windspeed_10m": "wind_speed_10m",
	"windgusts_10m": "wind_gusts_10m", "winddirection_10m": "wind_direction_10m", "cloudcover": "cloud_cover",
}

// ReadOpenMeteo reads the hourly block of an Open-Meteo answer, forecast, ensemble
// (variables named …_member01 and so on; the bare name is the control run) or
// archive. Times are local by the answer's own offset, or Unix seconds.
//
// Source: the service's documentation of /v1/forecast and /v1/ensemble.
func ReadOpenMeteo(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	var a struct {
		Latitude  float64                    `json:"latitude"`
		Longitude float64                    `json:"longitude"`
		Elevation float64                    `json:"elevation"`
		Offset    int64                      `json:"utc_offset_seconds"`
		Units     map[string]string          `json:"hourly_units"`
		Hourly    map[string]json.RawMessage `json:"hourly"`
		Error     bool                       `json:"error"`
		Reason    string                     `json:"reason"`
	}
	if err := decode(data, &a, o); err != nil {
		return weather.Forecast{}, err
	}
	if a.Error {
		return weather.Forecast{}, &Error{File: o.Name, Fault: "the service refused: " + clip(a.Reason),
			Remedy: "Correct the address in the firm file"}
	}
	times, err := omTimes(a.Hourly["time"], a.Units["time"], a.Offset, o)
	if err != nil {
		return weather.Forecast{}, err
	}
	f := weather.Forecast{Provider: "Open-Meteo", Credit: "Weather data by Open-Meteo.com, CC BY 4.0", LatDeg: a.Latitude,
		LonDeg: a.Longitude, ElevM: a.Elevation}
	members := map[int]*grid{}
	names := make([]string, 0, len(a.Hourly))
	for name := range a.Hourly {
		names = append(names, name)
	}
	slices.Sort(names) // pressure_msl before surface_pressure, which then wins
	for _, full := range names {
		base, member, err := omMember(full, o)
		if err != nil {
			return f, err
		}
		v, known := omNames[base]
		if !known {
			continue
		}
		g := members[member]
		if g == nil {
			if len(members) >= MaxMembers {
				return f, fault(o, "hourly", "there are too many members", fmt.Sprintf("Ask for at most %d", MaxMembers))
			}
			g = newGrid(o)
			members[member] = g
		}
		scale, offset, err := unitScale(a.Units[full], v.is, "hourly_units."+full, o)
		if err != nil {
			return f, err
		}
		if base == "pressure_msl" && a.Elevation > -500 && a.Elevation < 6000 {
			scale *= weather.StandardPressureHPa(a.Elevation) / weather.StandardPressureHPa(0)
		}
		var values []number
		if err := json.Unmarshal(a.Hourly[full], &values); err != nil {
			return f, fault(o, "hourly."+full, "it is not a list of numbers: "+err.Error(), "Fetch the answer again")
		}
		if len(values) != len(times) {
			return f, fault(o, "hourly."+full, fmt.Sprintf("%d values for %d times", len(values), len(times)), "Fetch the answer again, whole")
		}
		for i, x := range values {
			if !x.ok {
				continue
			}
			t := times[i]
			if v.before {
				t = t.Add(-time.Hour)
			}
			if err := g.set(t, v.is, x.v*scale+offset, false, fmt.Sprintf("hourly.%s[%d]", full, i)); err != nil {
				return f, err
			}
		}
	}
	return f, omAssemble(&f, members, o)
}

// omAssemble lays the members out over the span that all have.
func omAssemble(f *weather.Forecast, members map[int]*grid, o Options) error {
	var order []int
	for k := range members {
		order = append(order, k)
	}
	slices.Sort(order)
	start, end := time.Time{}, time.Time{}
	var all []weather.Series
	for _, k := range order {
		name := f.Provider
		if len(order) > 1 {
			name = fmt.Sprintf("%s, member %d", f.Provider, k)
		}
		s, err := members[k].series(name)
		if err != nil {
			return fmt.Errorf("member %d: %w", k, err)
		}
		if start.IsZero() || s.Start.After(start) {
			start = s.Start
		}
		if end.IsZero() || s.End().Before(end) {
			end = s.End()
		}
		all = append(all, s)
	}
	if len(all) == 0 || !end.After(start) {
		return fault(o, "hourly", "it has no variable that is read",
			"Ask for hourly=temperature_2m,relative_humidity_2m,precipitation,wind_speed_10m,cloud_cover")
	}
	for i := range all {
		all[i] = all[i].Part(start, end)
	}
	f.Members = all
	return nil
}

func omTimes(raw json.RawMessage, unit string, offset int64, o Options) ([]time.Time, error) {
	if offset < -86400 || offset > 86400 {
		return nil, fault(o, "utc_offset_seconds", fmt.Sprintf("it is %d", offset), "Fetch the answer again")
	}
	if unit == "unixtime" {
		var secs []int64
		if err := json.Unmarshal(raw, &secs); err != nil {
			return nil, fault(o, "hourly.time", "it is not a list of Unix times", "Fetch the answer again")
		}
		out := make([]time.Time, len(secs))
		for i, s := range secs {
			if s < 0 || s > 1<<33 {
				return nil, fault(o, fmt.Sprintf("hourly.time[%d]", i), fmt.Sprintf("%d is not a time", s), "Fetch the answer again")
			}
			out[i] = time.Unix(s, 0).UTC()
		}
		return out, nil
	}
	var texts []string
	if err := json.Unmarshal(raw, &texts); err != nil || len(texts) == 0 {
		return nil, fault(o, "hourly.time", "it is not a list of times", "Ask the service for hourly variables")
	}
	out := make([]time.Time, len(texts))
	for i, s := range texts {
		t, err := time.Parse("2006-01-02T15:04", s)
		if err != nil || t.Year() < 1900 || t.Year() > 2200 {
			return nil, fault(o, fmt.Sprintf("hourly.time[%d]", i), fmt.Sprintf("%q is not a time", clip(s)), "Fetch the answer again")
		}
		out[i] = t.Add(-time.Duration(offset) * time.Second)
	}
	return out, nil
}

// omMember parts "temperature_2m_member07" into variable and member; 0 is the
// control. The old spelling becomes today's.
func omMember(full string, o Options) (base string, member int, err error) {
	base = full
	if i := strings.LastIndex(full, "_member"); i >= 0 {
		n, err := strconv.Atoi(full[i+len("_member"):])
		if err != nil || n < 0 || n > 999 {
			return "", 0, fault(o, "hourly."+clip(full), "the member has no number", "Fetch the answer again")
		}
		base, member = full[:i], n
	}
	if today, old := omOld[base]; old {
		base = today
	}
	return base, member, nil
}

// unitScale gives what turns a value in a named unit into ours: v·scale + offset.
// An empty unit is the service's default.
func unitScale(unit string, q weather.Quantity, path string, o Options) (scale, offset float64, err error) {
	if i := strings.LastIndexByte(unit, ':'); i >= 0 {
		unit = unit[i+1:] // wmoUnit:degC, unit:degC
	}
	bad := func() (float64, float64, error) {
		return 0, 0, fault(o, path, fmt.Sprintf("the unit %q is not known for %s", clip(unit), q), "Ask the service for metric units")
	}
	switch q {
	case weather.Air, weather.DewPoint:
		switch unit {
		case "", "°C", "degC", "celsius", "C":
			return 1, 0, nil
		case "°F", "degF", "F", "fahrenheit":
			return 5.0 / 9, -160.0 / 9, nil
		case "K":
			return 1, -273.15, nil
		}
	case weather.Humidity:
		if unit == "" || unit == "%" || unit == "percent" {
			return 1, 0, nil
		}
	case weather.Cloud, weather.RainProbability:
		if unit == "" || unit == "%" || unit == "percent" {
			return 0.01, 0, nil
		}
	case weather.Wind, weather.Gust:
		switch unit {
		case "", "km/h", "km_h-1", "kmh":
			return 1 / 3.6, 0, nil
		case "m/s", "m_s-1", "ms":
			return 1, 0, nil
		case "mp/h", "mph", "mi_h-1":
			return mphMS, 0, nil
		case "kn", "kt", "knot":
			return knotMS, 0, nil
		}
	case weather.WindFrom:
		if unit == "" || strings.HasPrefix(unit, "°") || strings.HasPrefix(unit, "degree") {
			return 1, 0, nil
		}
	case weather.Rain:
		switch unit {
		case "", "mm", "kg_m-2":
			return 1, 0, nil
		case "inch", "in":
			return 25.4, 0, nil
		case "m":
			return 1000, 0, nil
		}
	case weather.Pressure:
		switch unit {
		case "", "hPa":
			return 1, 0, nil
		case "Pa":
			return 0.01, 0, nil
		}
	case weather.Global, weather.Direct, weather.Diffuse:
		if unit == "" || unit == "W/m²" {
			return 1, 0, nil
		}
	}
	return bad()
}

// compass turns "SSW" into degrees; NaN when it is none.
func compass(s string) float64 {
	i := slices.Index([]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}, s)
	if i < 0 {
		return math.NaN()
	}
	return float64(i) * 22.5
}
