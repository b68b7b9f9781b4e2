package forecast

import (
	"encoding/json"
	"fmt"
	"time"

	"gelwright/weather"
)

// metno is the GeoJSON of Locationforecast 2.0.
type metno struct {
	Geometry struct {
		Coordinates []float64 `json:"coordinates"`
	} `json:"geometry"`
	Properties struct {
		Meta struct {
			UpdatedAt string            `json:"updated_at"`
			Units     map[string]string `json:"units"`
		} `json:"meta"`
		Timeseries []struct {
			Time string `json:"time"`
			Data struct {
				Instant metnoDetails  `json:"instant"`
				Next1   *metnoDetails `json:"next_1_hours"`
				Next6   *metnoDetails `json:"next_6_hours"`
			} `json:"data"`
		} `json:"timeseries"`
	} `json:"properties"`
}

type metnoDetails struct {
	Details map[string]*float64 `json:"details"`
}

// metnoInstant maps the names of instants; the unit is that of meta.units, checked.
var metnoInstant = []struct {
	name string
	is   weather.Quantity
	unit string
}{
	{"air_temperature", weather.Air, "celsius"},
	{"dew_point_temperature", weather.DewPoint, "celsius"},
	{"relative_humidity", weather.Humidity, "%"},
	{"wind_speed", weather.Wind, "m/s"},
	{"wind_speed_of_gust", weather.Gust, "m/s"},
	{"wind_from_direction", weather.WindFrom, "degrees"},
	{"cloud_area_fraction", weather.Cloud, "%"},
	{"air_pressure_at_sea_level", weather.Pressure, "hPa"},
}

// ReadMetNo reads MET Norway's Locationforecast 2.0, complete or compact: instants
// by the hour and later by six hours; rain of the next hour, or that of the next
// six hours spread evenly. An answer wrapped with its HTTP headers ("data") is
// taken too.
//
// Source: the service's data model, docs.api.met.no/doc/locationforecast/datamodel.
func ReadMetNo(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	var wrapped struct {
		Data *metno `json:"data"`
		metno
	}
	if err := decode(data, &wrapped, o); err != nil {
		return weather.Forecast{}, err
	}
	m := &wrapped.metno
	if wrapped.Data != nil {
		m = wrapped.Data
	}
	f := weather.Forecast{Provider: "MET Norway Locationforecast 2.0", Credit: "Forecast: MET Norway, CC BY 4.0"}
	toSite := 1.0
	if c := m.Geometry.Coordinates; len(c) >= 2 {
		f.LonDeg, f.LatDeg = c[0], c[1]
		if len(c) > 2 && c[2] > -500 && c[2] < 6000 {
			f.ElevM = c[2]
			toSite = weather.StandardPressureHPa(c[2]) / weather.StandardPressureHPa(0)
		}
	}
	if m.Properties.Meta.UpdatedAt != "" {
		t, err := time.Parse(time.RFC3339, m.Properties.Meta.UpdatedAt)
		if err != nil {
			return f, fault(o, "properties.meta.updated_at", fmt.Sprintf("%q is not a time", clip(m.Properties.Meta.UpdatedAt)),
				"Fetch the answer again")
		}
		f.Issued = t.UTC()
	}
	for _, q := range metnoInstant {
		if u, ok := m.Properties.Meta.Units[q.name]; ok && u != q.unit {
			return f, fault(o, "properties.meta.units."+q.name, fmt.Sprintf("the unit is %q", clip(u)),
				"Only "+q.unit+" is read; the service's form has changed")
		}
	}
	g := newGrid(o)
	for i, step := range m.Properties.Timeseries {
		path := fmt.Sprintf("properties.timeseries[%d]", i)
		t, err := time.Parse(time.RFC3339, step.Time)
		if err != nil {
			return f, fault(o, path+".time", fmt.Sprintf("%q is not a time", clip(step.Time)), "Fetch the answer again")
		}
		for _, q := range metnoInstant {
			v := step.Data.Instant.Details[q.name]
			if v == nil {
				continue
			}
			x := *v
			switch q.is {
			case weather.Cloud:
				x /= 100
			case weather.Pressure:
				x *= toSite
			}
			if err := g.set(t, q.is, x, false, path+"."+q.name); err != nil {
				return f, err
			}
		}
		if err := metnoRain(g, t, step.Data.Next1, 1, path+".next_1_hours"); err != nil {
			return f, err
		}
		if step.Data.Next1 == nil {
			if err := metnoRain(g, t, step.Data.Next6, 6, path+".next_6_hours"); err != nil {
				return f, err
			}
		}
	}
	s, err := g.series(f.Provider)
	if err != nil {
		return f, err
	}
	f.Members = []weather.Series{s}
	return f, nil
}

func metnoRain(g *grid, t time.Time, d *metnoDetails, hours int, path string) error {
	if d == nil {
		return nil
	}
	for _, q := range []struct {
		name  string
		is    weather.Quantity
		scale float64
	}{{"precipitation_amount", weather.Rain, 1 / float64(hours)}, {"probability_of_precipitation", weather.RainProbability, 0.01}} {
		v := d.Details[q.name]
		if v == nil {
			continue
		}
		for k := range hours {
			if err := g.set(t.Add(time.Duration(k)*time.Hour), q.is, *v*q.scale, hours > 1, path+"."+q.name); err != nil {
				return err
			}
		}
	}
	return nil
}

// number reads a JSON number, a number in quotation marks, or null.
type number struct {
	v  float64
	ok bool
}

// UnmarshalJSON implements json.Unmarshaler.
func (n *number) UnmarshalJSON(b []byte) error {
	if string(b) == "null" || string(b) == `""` {
		return nil
	}
	if len(b) > 1 && b[0] == '"' {
		b = b[1 : len(b)-1]
	}
	if err := json.Unmarshal(b, &n.v); err != nil {
		return fmt.Errorf("%q is not a number", clip(string(b)))
	}
	n.ok = true
	return nil
}
