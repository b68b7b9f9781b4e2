package forecast

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"gelwright/weather"
)

// quantity is a value with its unit; older answers say "unit:", newer "wmoUnit:".
// Some fields are bare numbers or texts in some answers.
type quantity struct {
	Unit  string `json:"unitCode"`
	Value number `json:"value"`
}

const nwsCredit = "Forecast: US National Weather Service"

// ReadNWSHourly reads the hourly forecast of the US National Weather Service
// (/gridpoints/…/forecast/hourly), in SI or US units. It has no amounts of rain and
// no cloud: the probability of rain is read, and cloud is taken from the words of
// the short forecast by that service's own table of eighths, which is noted.
//
// Source: api.weather.gov, OpenAPI description.
func ReadNWSHourly(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	var a struct {
		Properties struct {
			UpdateTime string   `json:"updateTime"`
			Elevation  quantity `json:"elevation"`
			Periods    []struct {
				StartTime       string          `json:"startTime"`
				EndTime         string          `json:"endTime"`
				Temperature     json.RawMessage `json:"temperature"`
				TemperatureUnit string          `json:"temperatureUnit"`
				Probability     quantity        `json:"probabilityOfPrecipitation"`
				Dewpoint        quantity        `json:"dewpoint"`
				Humidity        quantity        `json:"relativeHumidity"`
				WindSpeed       json.RawMessage `json:"windSpeed"`
				WindGust        json.RawMessage `json:"windGust"`
				WindDirection   string          `json:"windDirection"`
				ShortForecast   string          `json:"shortForecast"`
			} `json:"periods"`
		} `json:"properties"`
	}
	if err := decode(data, &a, o); err != nil {
		return weather.Forecast{}, err
	}
	f := weather.Forecast{Provider: "US National Weather Service, hourly", Credit: nwsCredit}
	if f.ElevM = a.Properties.Elevation.Value.v; !(f.ElevM > -500 && f.ElevM < 6000) {
		f.ElevM = 0
	}
	if err := nwsIssued(a.Properties.UpdateTime, &f, o); err != nil {
		return f, err
	}
	g := newGrid(o)
	fromWords := 0
	for i, p := range a.Properties.Periods {
		path := fmt.Sprintf("properties.periods[%d]", i)
		start, err := time.Parse(time.RFC3339, p.StartTime)
		if err != nil {
			return f, fault(o, path+".startTime", fmt.Sprintf("%q is not a time", clip(p.StartTime)), "Fetch the answer again")
		}
		if d, err := time.Parse(time.RFC3339, p.EndTime); err == nil && d.Sub(start) > 2*time.Hour {
			return f, fault(o, path, fmt.Sprintf("the period lasts %g h", d.Sub(start).Hours()),
				"Fetch the hourly forecast (forecast/hourly), not that of half days")
		}
		put := func(q weather.Quantity, v number, unit, name string) error {
			if !v.ok {
				return nil
			}
			scale, offset, err := unitScale(unit, q, path+"."+name, o)
			if err != nil {
				return err
			}
			return g.set(start, q, v.v*scale+offset, false, path+"."+name)
		}
		air, unit, err := nwsTemperature(p.Temperature, p.TemperatureUnit)
		if err != nil {
			return f, fault(o, path+".temperature", err.Error(), "Fetch the answer again")
		}
		wind, err := speed(p.WindSpeed)
		if err != nil {
			return f, fault(o, path+".windSpeed", err.Error(), "Fetch the answer again")
		}
		gust, err := speed(p.WindGust)
		if err != nil {
			return f, fault(o, path+".windGust", err.Error(), "Fetch the answer again")
		}
		cloud := number{}
		if c, ok := cloudWords(p.ShortForecast); ok {
			cloud = number{c * 100, true}
			fromWords++
		}
		from := number{compass(p.WindDirection), true}
		from.ok = !math.IsNaN(from.v)
		for _, x := range []struct {
			q    weather.Quantity
			v    number
			unit string
			name string
		}{
			{weather.Air, air, unit, "temperature"}, {weather.DewPoint, p.Dewpoint.Value, p.Dewpoint.Unit, "dewpoint"},
			{weather.Humidity, p.Humidity.Value, p.Humidity.Unit, "relativeHumidity"},
			{weather.RainProbability, p.Probability.Value, p.Probability.Unit, "probabilityOfPrecipitation"},
			{weather.Wind, wind, "m/s", "windSpeed"}, {weather.Gust, gust, "m/s", "windGust"},
			{weather.WindFrom, from, "", "windDirection"}, {weather.Cloud, cloud, "%", "shortForecast"},
		} {
			if err := put(x.q, x.v, x.unit, x.name); err != nil {
				return f, err
			}
		}
	}
	if fromWords > 0 {
		g.notes = append(g.notes, fmt.Sprintf("cloud: %d hours from the words of the forecast", fromWords))
	}
	s, err := g.series(f.Provider)
	if err != nil {
		return f, err
	}
	f.Members = []weather.Series{s}
	return f, nil
}

func nwsIssued(text string, f *weather.Forecast, o Options) error {
	if text == "" {
		return nil
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return fault(o, "properties.updateTime", fmt.Sprintf("%q is not a time", clip(text)), "Fetch the answer again")
	}
	f.Issued = t.UTC()
	return nil
}

// nwsTemperature reads a bare number with its unit beside it, or a quantity.
func nwsTemperature(raw json.RawMessage, unit string) (number, string, error) {
	if len(raw) == 0 {
		return number{}, "", nil
	}
	if raw[0] == '{' {
		var q quantity
		err := json.Unmarshal(raw, &q)
		return q.Value, q.Unit, err
	}
	var n number
	err := n.UnmarshalJSON(raw)
	return n, unit, err
}

// speed reads a wind in m/s from "10 mph", "5 to 10 mph" (the greater counts),
// "15 km/h", or a quantity; empty and null are not known.
func speed(raw json.RawMessage) (number, error) {
	if len(raw) == 0 || string(raw) == "null" {
		return number{}, nil
	}
	if raw[0] == '{' {
		var q struct {
			quantity
			Max number `json:"maxValue"`
		}
		if err := json.Unmarshal(raw, &q); err != nil {
			return number{}, err
		}
		if q.Max.ok {
			q.Value = q.Max
		}
		scale, _, err := unitScale(q.Unit, weather.Wind, "unitCode", Options{})
		q.Value.v *= scale
		return q.Value, err
	}
	var text string
	if err := json.Unmarshal(raw, &text); err != nil {
		return number{}, fmt.Errorf("%s is not a speed", clip(string(raw)))
	}
	words := strings.Fields(text)
	if len(words) == 0 {
		return number{}, nil
	}
	scale, _, err := unitScale(words[len(words)-1], weather.Wind, "", Options{})
	if err != nil || len(words) < 2 {
		return number{}, fmt.Errorf("%q is not a speed", clip(text))
	}
	v, err := strconv.ParseFloat(words[len(words)-2], 64)
	if err != nil {
		return number{}, fmt.Errorf("%q is not a speed", clip(text))
	}
	return number{v * scale, true}, nil
}

// cloudWords is the middle of the eighths of sky that the service's words stand for.
func cloudWords(text string) (float64, bool) {
	t := strings.ToLower(text)
	for _, w := range []struct {
		word  string
		cloud float64
	}{
		{"mostly cloudy", 0.75}, {"partly cloudy", 0.45}, {"partly sunny", 0.45}, {"mostly sunny", 0.2}, {"mostly clear", 0.2},
		{"sunny", 0.03}, {"clear", 0.03}, {"overcast", 1}, {"cloudy", 1}, {"fog", 1},
		{"rain", 0.9}, {"snow", 0.95}, {"showers", 0.8}, {"thunder", 0.9}, {"drizzle", 1},
	} {
		if strings.Contains(t, w.word) {
			return w.cloud, true
		}
	}
	return 0, false
}

// ReadNWSGrid reads the raw layers of a gridpoint of the US National Weather
// Service (/gridpoints/office/x,y): runs of equal values are laid out by the hour
// and amounts spread evenly over their interval.
func ReadNWSGrid(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	var a struct {
		Properties map[string]json.RawMessage `json:"properties"`
	}
	if err := decode(data, &a, o); err != nil {
		return weather.Forecast{}, err
	}
	f := weather.Forecast{Provider: "US National Weather Service, gridpoint", Credit: nwsCredit}
	var issued string
	if raw, ok := a.Properties["updateTime"]; ok {
		if err := json.Unmarshal(raw, &issued); err != nil {
			return f, fault(o, "properties.updateTime", "it is not a text", "Fetch the answer again")
		}
	}
	if err := nwsIssued(issued, &f, o); err != nil {
		return f, err
	}
	g := newGrid(o)
	for _, l := range []struct {
		name string
		is   weather.Quantity
	}{
		{"temperature", weather.Air}, {"dewpoint", weather.DewPoint}, {"relativeHumidity", weather.Humidity}, {"windSpeed", weather.Wind},
		{"windGust", weather.Gust}, {"windDirection", weather.WindFrom}, {"skyCover", weather.Cloud},
		{"probabilityOfPrecipitation", weather.RainProbability}, {"quantitativePrecipitation", weather.Rain},
	} {
		raw, ok := a.Properties[l.name]
		if !ok {
			continue
		}
		if err := gridLayer(g, raw, l.name, l.is, o); err != nil {
			return f, err
		}
	}
	s, err := g.series(f.Provider)
	if err != nil {
		return f, err
	}
	f.Members = []weather.Series{s}
	return f, nil
}

func gridLayer(g *grid, raw json.RawMessage, name string, q weather.Quantity, o Options) error {
	var layer struct {
		Unit   string `json:"uom"`
		Values []struct {
			ValidTime string `json:"validTime"`
			Value     number `json:"value"`
		} `json:"values"`
	}
	path := "properties." + name
	if err := json.Unmarshal(raw, &layer); err != nil {
		return fault(o, path, "it is not a layer of values: "+err.Error(), "Fetch the answer again")
	}
	scale, offset, err := unitScale(layer.Unit, q, path+".uom", o)
	if err != nil {
		return err
	}
	for i, run := range layer.Values {
		if !run.Value.ok {
			continue
		}
		at := fmt.Sprintf("%s.values[%d]", path, i)
		start, hours, err := interval(run.ValidTime)
		if err != nil {
			return fault(o, at+".validTime", err.Error(), "Fetch the answer again")
		}
		v := run.Value.v*scale + offset
		if q == weather.Rain {
			v /= float64(hours)
		}
		for k := range hours {
			if err := g.set(start.Add(time.Duration(k)*time.Hour), q, v, false, at); err != nil {
				return err
			}
		}
	}
	return nil
}

// interval reads "2022-02-03T21:00:00+00:00/P1DT6H" as a start and whole hours,
// at least one and at most 16 days.
func interval(text string) (time.Time, int, error) {
	from, length, ok := strings.Cut(text, "/")
	start, err := time.Parse(time.RFC3339, from)
	if !ok || err != nil {
		return start, 0, fmt.Errorf("%q is not a start and a length", clip(text))
	}
	d, err := isoDuration(length)
	if err != nil || d > 16*24*time.Hour {
		return start, 0, fmt.Errorf("%q is not a length of up to 16 days", clip(length))
	}
	return start, max(1, int(d/time.Hour)), nil
}

// isoDuration reads ISO 8601 lengths of weeks, days, hours, minutes and seconds.
func isoDuration(s string) (time.Duration, error) {
	bad := fmt.Errorf("%q is not a length of time", clip(s))
	rest, ok := strings.CutPrefix(s, "P")
	if !ok || rest == "" {
		return 0, bad
	}
	var d time.Duration
	inTime := false
	for rest != "" {
		if rest[0] == 'T' && !inTime {
			inTime, rest = true, rest[1:]
			continue
		}
		i := strings.IndexFunc(rest, func(r rune) bool { return r < '0' || r > '9' })
		if i < 1 || i > 5 {
			return 0, bad
		}
		n, err := strconv.Atoi(rest[:i])
		if err != nil {
			return 0, bad
		}
		unit, known := map[string]time.Duration{"W": 168 * time.Hour, "D": 24 * time.Hour, "TH": time.Hour, "TM": time.Minute,
			"TS": time.Second}[map[bool]string{true: "T"}[inTime]+rest[i:i+1]]
		if !known {
			return 0, bad
		}
		d += time.Duration(n) * unit
		rest = rest[i+1:]
	}
	return d, nil
}
