package forecast

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"time"

	"gelwright/weather"
)

// Options say what the text alone does not.
type Options struct {
	// Name of the file or address, for messages.
	Name string
	// Zone of local times in an own CSV; nil is UTC.
	Zone *time.Location
	// Year puts a typical year (EPW, TMY3) into the calendar; 0 takes the year of
	// its first row.
	Year int
}

// Read recognises the format and reads it.
func Read(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	head := bytes.TrimSpace(bytes.TrimPrefix(data, bom))
	switch {
	case len(head) == 0:
		return weather.Forecast{}, &Error{File: o.Name, Fault: "it is empty", Remedy: "Give a forecast as CSV or JSON"}
	case head[0] == '[':
		return weather.Forecast{}, &Error{File: o.Name, Line: 1, Column: 1, Fault: "the answer is a list, as for several places",
			Remedy: "Ask the service for one place"}
	case head[0] == '{':
		return readJSON(data, o)
	case bytes.HasPrefix(head, []byte("LOCATION,")):
		return ReadEPW(data, o)
	case bytes.Contains(head[:min(len(head), 400)], []byte("Date (MM/DD/YYYY)")):
		return ReadTMY3(data, o)
	}
	return ReadCSV(data, o)
}

var bom = []byte("\xef\xbb\xbf")

func readJSON(data []byte, o Options) (weather.Forecast, error) {
	var probe struct {
		Hourly     json.RawMessage `json:"hourly"`
		Error      json.RawMessage `json:"error"`
		Data       json.RawMessage `json:"data"`
		Properties struct {
			Timeseries  json.RawMessage `json:"timeseries"`
			Periods     json.RawMessage `json:"periods"`
			Temperature json.RawMessage `json:"temperature"`
		} `json:"properties"`
	}
	if err := decode(data, &probe, o); err != nil {
		return weather.Forecast{}, err
	}
	switch {
	case probe.Properties.Timeseries != nil || probe.Data != nil:
		return ReadMetNo(data, o)
	case probe.Properties.Periods != nil:
		return ReadNWSHourly(data, o)
	case probe.Properties.Temperature != nil:
		return ReadNWSGrid(data, o)
	case probe.Hourly != nil || probe.Error != nil:
		return ReadOpenMeteo(data, o)
	}
	return weather.Forecast{}, &Error{File: o.Name, Line: 1, Column: 1, Fault: "no hours of weather are found in this JSON",
		Remedy: "Give an answer with properties.timeseries (MET Norway), properties.periods or gridpoint layers (NWS), or hourly (Open-Meteo)"}
}

// grid gathers values by hour.
type grid struct {
	o      Options
	hours  map[int64]*weather.Hour
	lo, hi int64
	// minute is by how many seconds all times lie after the hour, in zones whose
	// hours are not those of UTC.
	minute int64
	notes  []string
}

func newGrid(o Options) *grid { return &grid{o: o, hours: map[int64]*weather.Hour{}} }

// set gives the hour that holds t a value; one that cannot be weather is a fault.
// A value known already is kept when keep is set.
func (g *grid) set(t time.Time, q weather.Quantity, v float64, keep bool, path string) error {
	if ok, lo, hi := q.Possible(v); !ok {
		return fault(g.o, path, fmt.Sprintf("%s of %g is outside %g to %g", q, v, lo, hi), "Check the value and its unit")
	}
	switch q {
	case weather.Cloud, weather.RainProbability:
		v = math.Min(v, 1)
	case weather.WindFrom:
		v = math.Mod(v, 360)
	}
	k := floorHour(t)
	after := t.Unix() - k*3600
	if len(g.hours) == 0 {
		g.minute = after
	} else if after != g.minute {
		return fault(g.o, path, fmt.Sprintf("its time lies %d min after the hour, that of the first %d min", after/60, g.minute/60),
			"Give hours one hour apart")
	}
	h := g.hours[k]
	if h == nil {
		if len(g.hours) >= MaxHours {
			return fault(g.o, path, "there are too many hours", fmt.Sprintf("Give at most %d", MaxHours))
		}
		if len(g.hours) == 0 {
			g.lo, g.hi = k, k
		}
		g.lo, g.hi = min(g.lo, k), max(g.hi, k)
		h = &weather.Hour{}
		g.hours[k] = h
	}
	if keep && h.Has&q != 0 {
		return nil
	}
	h.Set(q, v)
	return nil
}

// onTheHour moves values that lie a part of an hour after UTC's hours onto them,
// between neighbours: instants by the line through both, sums and means by their
// shares. The first hour is lost by it.
func (g *grid) onTheHour(lo, hi int64) {
	u := float64(g.minute) / 3600
	for k := hi; k > lo; k-- {
		h, before := g.hours[k], g.hours[k-1]
		if h == nil || before == nil {
			delete(g.hours, k)
			continue
		}
		moved := weather.Hour{}
		for _, q := range (h.Has & before.Has).All() {
			a, _ := before.Get(q)
			b, _ := h.Get(q)
			switch q {
			case weather.Gust:
				b = math.Max(a, b)
			case weather.WindFrom:
				if u > 0.5 {
					b = a
				}
			default:
				b = a*u + b*(1-u)
			}
			moved.Set(q, b)
		}
		*h = moved
	}
	delete(g.hours, lo)
	g.notes = append(g.notes, fmt.Sprintf("the source's hours begin %d min after those of UTC; values lie between them", g.minute/60))
}

func floorHour(t time.Time) int64 {
	s := t.Unix()
	k := s / 3600
	if s%3600 < 0 {
		k--
	}
	return k
}

// series lays the hours out without gaps in time; the ends are cut to the hours
// that have an air temperature, so that a last half-known hour does not count.
func (g *grid) series(origin string) (weather.Series, error) {
	if len(g.hours) == 0 {
		return weather.Series{}, fault(g.o, "weather", "there is no hour in it", "Give at least one hour")
	}
	lo, hi := g.lo, g.hi
	known := func(k int64) bool { h := g.hours[k]; return h != nil && h.Has&weather.Air != 0 }
	for lo < hi && !known(lo) {
		lo++
	}
	for hi > lo && !known(hi) {
		hi--
	}
	if hi-lo+1 > MaxHours {
		return weather.Series{}, fault(g.o, "weather", fmt.Sprintf("it spans %d hours", hi-lo+1), fmt.Sprintf("Give at most %d", MaxHours))
	}
	if !known(lo) {
		return weather.Series{}, fault(g.o, "weather", "no hour has an air temperature", "Ask for the air temperature too")
	}
	if g.minute != 0 && hi > lo {
		g.onTheHour(lo, hi)
		lo++
	}
	s := weather.Series{Start: time.Unix(lo*3600, 0).UTC(), Hours: make([]weather.Hour, hi-lo+1), Origin: origin, Notes: g.notes}
	empty := 0
	for k := lo; k <= hi; k++ {
		if h := g.hours[k]; h != nil {
			s.Hours[k-lo] = *h
		}
		if !known(k) {
			empty++
		}
	}
	if empty > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d of %d hours are not in the source; they lie between others", empty, len(s.Hours)))
	}
	return s, nil
}
