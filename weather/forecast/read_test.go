package forecast

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the summer-time tests

	"gelwright/weather"

	"pgregory.net/rapid"
)

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func read(t testing.TB, data []byte, o Options) weather.Forecast {
	t.Helper()
	f, err := Read(data, o)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Check(); err != nil {
		t.Fatal(err)
	}
	return f
}

func at(t testing.TB, f weather.Forecast, when string) weather.Hour {
	t.Helper()
	tm, err := time.Parse(time.RFC3339, when)
	if err != nil {
		t.Fatal(err)
	}
	h, ok := f.Members[0].At(tm)
	if !ok {
		t.Fatalf("%s is outside %v to %v", when, f.Members[0].Start, f.Members[0].End())
	}
	return h
}

func holds(t *testing.T, h weather.Hour, q weather.Quantity, want float64) {
	t.Helper()
	if v, ok := h.Get(q); !ok || math.Abs(v-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %v (known %v), want %v", q, v, ok, want)
	}
}

// The first step and the change from hourly to six-hourly, read off the answer.
func TestMetNoLondon(t *testing.T) {
	f := read(t, file(t, "metno_london_2020-07-20.json"), Options{Name: "london.json"})
	h := at(t, f, "2020-07-20T11:00:00Z")
	holds(t, h, weather.Air, 18.8)
	holds(t, h, weather.DewPoint, 7.2)
	holds(t, h, weather.Humidity, 47)
	holds(t, h, weather.Cloud, 0.125)
	holds(t, h, weather.Wind, 2.3)
	holds(t, h, weather.WindFrom, 349.3)
	holds(t, h, weather.Rain, 0)
	holds(t, h, weather.Pressure, 1023.2*weather.StandardPressureHPa(25)/weather.StandardPressureHPa(0))
	if math.Abs(weather.DewPointC(18.8, 47)-7.2) > 0.2 {
		t.Error("dew point and humidity of the first step do not agree within 0.2 K")
	}
	if f.LatDeg != 51.5 || f.LonDeg != -0.1 || f.ElevM != 25 || f.Issued != time.Date(2020, 7, 20, 1, 30, 57, 0, time.UTC) {
		t.Errorf("%v %v %v %v", f.LatDeg, f.LonDeg, f.ElevM, f.Issued)
	}
	s := f.Members[0]
	if want := time.Date(2020, 7, 29, 7, 0, 0, 0, time.UTC); s.End() != want {
		t.Errorf("ends %v, want %v: the last step has only an instant", s.End(), want)
	}
	// 2020-07-24 00:00 to 06:00 is one step; air 14.4 at its start.
	holds(t, at(t, f, "2020-07-24T00:00:00Z"), weather.Air, 14.4)
	if h := at(t, f, "2020-07-24T03:00:00Z"); h.Has&weather.Air != 0 || h.Has&weather.Rain == 0 {
		t.Errorf("03:00 lies within a six-hour step: %v", h.Has)
	}
	full, err := s.Fill(weather.Site{LatDeg: f.LatDeg, LonDeg: f.LonDeg})
	if err != nil || len(full.Notes) == 0 {
		t.Fatalf("filling: %v, notes %v", err, full.Notes)
	}
}

func TestMetNoSpreadsSixHoursOfRain(t *testing.T) {
	step := func(tm, next string) string {
		return `{"time":"` + tm + `","data":{"instant":{"details":{"air_temperature":10,"relative_humidity":80,"wind_speed_of_gust":9}}` + next + `}}`
	}
	data := `{"properties":{"timeseries":[` + step("2026-05-01T00:00:00Z", `,"next_1_hours":{"details":{"precipitation_amount":0.4,"probability_of_precipitation":35.5}}`) + "," +
		step("2026-05-01T01:00:00Z", `,"next_6_hours":{"details":{"precipitation_amount":3}}`) + "," + step("2026-05-01T07:00:00Z", "") + `]}}`
	f := read(t, []byte(data), Options{})
	holds(t, at(t, f, "2026-05-01T00:00:00Z"), weather.Rain, 0.4)
	holds(t, at(t, f, "2026-05-01T00:00:00Z"), weather.RainProbability, 0.355)
	holds(t, at(t, f, "2026-05-01T00:00:00Z"), weather.Gust, 9)
	for h := 1; h < 7; h++ {
		holds(t, at(t, f, fmt.Sprintf("2026-05-01T%02d:00:00Z", h)), weather.Rain, 0.5)
	}
}

// Values and run lengths read off the answer: 22.777… °C first; the fifth run of
// temperature is PT10H of 18.888… from 01:00.
func TestNWSGrid(t *testing.T) {
	f := read(t, file(t, "nws_grid_2022-02-03.json"), Options{Name: "grid.json"})
	h := at(t, f, "2022-02-03T21:00:00Z")
	holds(t, h, weather.Air, 22.77777777777778)
	holds(t, h, weather.DewPoint, 17.77777777777778)
	holds(t, h, weather.Humidity, 73)
	holds(t, h, weather.Cloud, 0.71)
	holds(t, h, weather.Wind, 20.372/3.6)
	holds(t, h, weather.Gust, 29.632/3.6)
	holds(t, h, weather.WindFrom, 160)
	holds(t, h, weather.RainProbability, 0.08)
	for _, hour := range []string{"01", "05", "10"} {
		if h := at(t, f, "2022-02-04T"+hour+":00:00Z"); math.Abs(h.AirC-18.8889) > 1e-3 {
			t.Errorf("%s:00 %v °C, want 18.889 through the ten-hour run", hour, h.AirC)
		}
	}
	if f.Issued != time.Date(2022, 2, 4, 3, 15, 41, 0, time.UTC) {
		t.Error(f.Issued)
	}
	// Rain is kept in sum. 27 runs; hours of runs that end past the last temperature
	// are cut, so sum the runs of this answer that begin before it does.
	data := `{"properties":{"temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2026-05-01T00:00:00+00:00/P1D","value":10}]},
		"quantitativePrecipitation":{"uom":"wmoUnit:mm","values":[{"validTime":"2026-05-01T00:00:00+00:00/PT6H","value":"3"},{"validTime":"2026-05-01T06:00:00+00:00/PT12H","value":null},{"validTime":"2026-05-01T18:00:00+00:00/PT1H","value":2}]},
		"gridX":"58"}}`
	g := read(t, []byte(data), Options{})
	sum := 0.0
	for _, h := range g.Members[0].Hours {
		sum += h.RainMM
	}
	if len(g.Members[0].Hours) != 24 || math.Abs(sum-5) > 1e-12 {
		t.Errorf("%d hours, %g mm; want 24 and 5", len(g.Members[0].Hours), sum)
	}
}

func TestNWSHourly(t *testing.T) {
	f := read(t, file(t, "nws_hourly_2019-10-14.json"), Options{Name: "hourly.json"})
	h := at(t, f, "2019-10-15T00:00:00Z") // 20:00 at −04:00
	holds(t, h, weather.Air, 25.5)
	holds(t, h, weather.DewPoint, 5)
	holds(t, h, weather.Humidity, 63)
	holds(t, h, weather.RainProbability, 0.2)
	holds(t, h, weather.Wind, 0)
	holds(t, h, weather.WindFrom, 180)
	holds(t, h, weather.Cloud, 0.45)
	if !strings.Contains(strings.Join(f.Members[0].Notes, " "), "words of the forecast") {
		t.Error("cloud from words is not noted")
	}
	us := `{"properties":{"periods":[{"startTime":"2026-05-01T07:00:00-05:00","endTime":"2026-05-01T08:00:00-05:00","temperature":"68","temperatureUnit":"F",
		"windSpeed":"5 to 10 mph","windDirection":"","dewpoint":{"unitCode":"unit:degC","value":"10.5"},"probabilityOfPrecipitation":{"unitCode":"wmoUnit:percent","value":null},"shortForecast":"Sunny"},
		{"startTime":"2026-05-01T08:00:00-05:00","endTime":"2026-05-01T09:00:00-05:00","temperature":{"unitCode":"wmoUnit:degC","value":21},"windSpeed":{"unitCode":"wmoUnit:km_h-1","value":18},"windGust":null}]}}`
	f = read(t, []byte(us), Options{})
	h = at(t, f, "2026-05-01T12:00:00Z")
	holds(t, h, weather.Air, 20)
	holds(t, h, weather.DewPoint, 10.5)
	holds(t, h, weather.Wind, 10*0.44704)
	if h.Has&(weather.RainProbability|weather.WindFrom) != 0 {
		t.Errorf("null and empty are known: %v", h.Has)
	}
	h = at(t, f, "2026-05-01T13:00:00Z")
	holds(t, h, weather.Air, 21)
	holds(t, h, weather.Wind, 5)
}

func TestOpenMeteo(t *testing.T) {
	// Invented, in the service's form: local times at +02:00, old and new spellings.
	data := `{"latitude":47.7,"longitude":17.6,"elevation":117,"utc_offset_seconds":7200,"timezone":"Europe/Budapest",
	"hourly_units":{"time":"iso8601","temperature_2m":"°C","relativehumidity_2m":"%","wind_speed_10m":"km/h","precipitation":"mm","shortwave_radiation":"W/m²","pressure_msl":"hPa"},
	"hourly":{"time":["2026-05-07T10:00","2026-05-07T11:00","2026-05-07T12:00"],"temperature_2m":[17.4,null,19.2],"relativehumidity_2m":[65,66,68],
	"wind_speed_10m":[18.0,36.0,9.0],"precipitation":[0.5,0.1,0.8],"shortwave_radiation":[100,200,300],"pressure_msl":[1013.25,1013.25,1013.25],"weather_code":[3,61,61]}}`
	f := read(t, []byte(data), Options{Name: "om.json"})
	h := at(t, f, "2026-05-07T08:00:00Z")
	holds(t, h, weather.Air, 17.4)
	holds(t, h, weather.Humidity, 65)
	holds(t, h, weather.Wind, 5)
	// The sum at 11:00 local is of the hour from 10:00 local, 08:00 UTC.
	holds(t, h, weather.Rain, 0.1)
	holds(t, h, weather.Global, 200)
	holds(t, h, weather.Pressure, weather.StandardPressureHPa(117))
	if h := at(t, f, "2026-05-07T09:00:00Z"); h.Has&weather.Air != 0 {
		t.Error("null is known")
	}

	ens := `{"utc_offset_seconds":0,"hourly_units":{"time":"iso8601","temperature_2m":"°F","temperature_2m_member01":"°F","temperature_2m_member02":"°F"},
	"hourly":{"time":["2026-05-07T00:00","2026-05-07T01:00"],"temperature_2m":[50,59],"temperature_2m_member01":[41,50],"temperature_2m_member02":[59,68]}}`
	f = read(t, []byte(ens), Options{})
	if len(f.Members) != 3 {
		t.Fatalf("%d members, want the control and two", len(f.Members))
	}
	for i, want := range []float64{10, 5, 15} {
		holds(t, f.Members[i].Hours[0], weather.Air, want)
	}
	unixtime := `{"utc_offset_seconds":7200,"hourly_units":{"time":"unixtime"},"hourly":{"time":[1767225600,1767229200],"temperature_2m":[1,2]}}`
	if f = read(t, []byte(unixtime), Options{}); f.Members[0].Start != time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC) {
		t.Error(f.Members[0].Start)
	}
	_, err := Read([]byte(`{"error":true,"reason":"Cannot initialize WeatherVariable from invalid String value foo"}`), Options{Name: "om.json"})
	if err == nil || !strings.Contains(err.Error(), "om.json: the service refused: Cannot initialize") {
		t.Error(err)
	}
}

func TestEPWAndTMY3(t *testing.T) {
	f := read(t, file(t, "chicago_two_weeks.epw"), Options{Name: "chicago.epw"})
	if f.LatDeg != 41.98 || f.LonDeg != -87.92 || f.ElevM != 201 {
		t.Errorf("%v %v %v", f.LatDeg, f.LonDeg, f.ElevM)
	}
	// Row one, hour 1 of 1 January 1986 at UTC−6: instants at 07:00 UTC.
	h := at(t, f, "1986-01-01T07:00:00Z")
	holds(t, h, weather.Air, -12.2)
	holds(t, h, weather.DewPoint, -16.1)
	holds(t, h, weather.Humidity, 73)
	holds(t, h, weather.Pressure, 995)
	holds(t, h, weather.Wind, 2.6)
	holds(t, h, weather.Cloud, 0.9)
	if h.Has&weather.Rain != 0 {
		t.Error("999 mm is missing and not rain")
	}
	if len(f.Members[0].Hours) != 336 {
		t.Errorf("%d hours", len(f.Members[0].Hours))
	}
	// The sun agrees with the file's clock: irradiance only while the sun is up.
	site := weather.Site{LatDeg: f.LatDeg, LonDeg: f.LonDeg, ElevM: f.ElevM}
	s := f.Members[0]
	for i, h := range s.Hours {
		up := weather.SunAt(s.TimeOf(i), site).ElevationDeg > -1 || weather.SunAt(s.TimeOf(i+1), site).ElevationDeg > -1
		if h.Has&weather.Global != 0 && h.GlobalWPerM2 > 5 && !up {
			t.Errorf("%v: %v W/m² with the sun down", s.TimeOf(i), h.GlobalWPerM2)
		}
	}

	f = read(t, file(t, "sand_point_three_days.csv"), Options{Name: "sand.csv", Year: 2026})
	h = at(t, f, "2026-01-01T10:00:00Z") // 01:00 at UTC−9
	holds(t, h, weather.Air, 4)
	holds(t, h, weather.DewPoint, 3)
	holds(t, h, weather.Wind, 2.1)
	holds(t, h, weather.Pressure, 1012)
	if len(f.Members[0].Hours) != 72 || h.Has&weather.Rain != 0 {
		t.Errorf("%d hours, rain known %v", len(f.Members[0].Hours), h.Has&weather.Rain != 0)
	}
	if f = read(t, file(t, "dublin_week.csv"), Options{Name: "dublin.csv"}); len(f.Members[0].Hours) != 168 {
		t.Errorf("%d hours", len(f.Members[0].Hours))
	}
	holds(t, at(t, f, "2017-01-01T01:00:00Z"), weather.Wind, 8*1852.0/3600)
}

func TestCSVSummerTime(t *testing.T) {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	// The clocks go back on 25 October 2026: 01:00 comes twice.
	data := "time,air_c,rh_pct\n2026-10-25 00:00,9,80\n2026-10-25 01:00,8,82\n2026-10-25 01:00,7,84\n2026-10-25 02:00,6,85\n"
	f := read(t, []byte(data), Options{Zone: zone})
	s := f.Members[0]
	if s.Start != time.Date(2026, 10, 24, 23, 0, 0, 0, time.UTC) || len(s.Hours) != 4 {
		t.Fatalf("%v, %d hours", s.Start, len(s.Hours))
	}
	for i, want := range []float64{9, 8, 7, 6} {
		holds(t, s.Hours[i], weather.Air, want)
	}
	// They go forward on 29 March 2026: there is no 01:00.
	_, err = ReadCSV([]byte("time,air_c\n2026-03-29 00:00,9\n2026-03-29 01:00,8\n"), Options{Name: "march.csv", Zone: zone})
	if err == nil || !strings.HasPrefix(err.Error(), "march.csv:3:1: 2026-03-29 01:00 does not exist in Europe/London") {
		t.Error(err)
	}
	f = read(t, []byte("time,air_c\n2026-03-29T02:00+01:00,9\n"), Options{Zone: zone})
	if f.Members[0].Start != time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC) {
		t.Error(f.Members[0].Start)
	}
}

// India is five and a half hours ahead: its hours lie between those of UTC.
func TestHalfHourZones(t *testing.T) {
	zone, err := time.LoadLocation("Asia/Kolkata")
	if err != nil {
		t.Fatal(err)
	}
	data := "time,air_c,rain_mm,gust_ms\n2026-07-01 10:00,30,0,4\n2026-07-01 11:00,32,2,9\n2026-07-01 12:00,34,4,6\n"
	f := read(t, []byte(data), Options{Zone: zone})
	s := f.Members[0]
	if s.Start != time.Date(2026, 7, 1, 5, 0, 0, 0, time.UTC) || len(s.Hours) != 2 || len(s.Notes) == 0 {
		t.Fatalf("%v, %d hours, %v", s.Start, len(s.Hours), s.Notes)
	}
	// 05:00 UTC is 10:30 there, between 30 and 32 °C; its hour takes half of each rain.
	holds(t, s.Hours[0], weather.Air, 31)
	holds(t, s.Hours[0], weather.Rain, 1)
	holds(t, s.Hours[0], weather.Gust, 9)
	holds(t, s.Hours[1], weather.Air, 33)
	_, err = ReadCSV([]byte("time,air_c\n2026-07-01T10:00Z,1\n2026-07-01T10:00+05:30,1\n2026-07-01T20:00+05:30,1\n"), Options{})
	if err == nil {
		t.Error("hours of two kinds in one file")
	}
}

func TestCSVUnitsAndFaults(t *testing.T) {
	f := read(t, []byte("time_utc;AIR_F;rh_pct;wind_kmh;cloud_oktas;rain_before_mm\n2026-05-01 10:00;50;80,5;36;4;1,2\n2026-05-01 11:00;59;80;-;;0\n"), Options{})
	h := f.Members[0].Hours[0]
	holds(t, h, weather.Air, 10)
	holds(t, h, weather.Humidity, 80.5)
	holds(t, h, weather.Wind, 10)
	holds(t, h, weather.Cloud, 0.5)
	holds(t, h, weather.Rain, 0) // the 1.2 mm fell before the first hour known
	if f.Members[0].Hours[1].Has&(weather.Wind|weather.Cloud) != 0 {
		t.Error("empty cells are known")
	}
	for _, c := range []struct{ data, say string }{
		{"", "w.csv: it is empty"},
		{"time,air_c\n", "w.csv: weather: there is no hour"},
		{"air_c\n5\n", "w.csv:1:1: there is no column of times. Name one column time"},
		{"time,rh_pct\n2026-05-01 10:00,5\n", "w.csv:1:1: there is no column of air temperature"},
		{"time,air_c,windspeed\n", `w.csv:1:12: the column "windspeed" is not known. Use time or time_utc, air_c`},
		{"time,air_c,air_f\n", "w.csv:1:12: air temperature stands in both air_c and air_f"},
		{"time,air_c\n2026-05-01 10:00,warm\n", `w.csv:2:18: air_c: "warm" is not a number. Write a number in °C`},
		{"time,air_c\n2026-05-01 10:00,95\n", "w.csv:2:18: air_c: 95 is outside what weather can be. Give -90 to 60 °C"},
		{"time,air_c\n2026-05-01 10:00,5\n2026-05-01 10:00,5\n", "w.csv:3:1: 2026-05-01 10:00 does not come after the row before"},
		{"time,air_c\n2026-05-01 10:30,5\n", "w.csv:2:1: 2026-05-01 10:30 is not on the hour"},
		{"time,air_c\n2026-05-01 10:00\n", "w.csv:2:1: wrong number of fields. Give each row as many cells"},
		{"time,air_c\nyesterday,5\n", `w.csv:2:1: "yesterday" is not a time`},
		{"{\"hourly\": {", "w.csv:1:12: the JSON breaks here"},
		{"[1]", "w.csv:1:1: the answer is a list"},
		{`{"a":1}`, "no hours of weather are found in this JSON"},
		{`{"properties":{"timeseries":[{"time":"noon"}]}}`, `properties.timeseries[0].time: "noon" is not a time`},
		{`{"properties":{"timeseries":5}}`, "w.csv:1:29: properties.timeseries is a number"},
		{`{"hourly":{"time":["2026-05-07T00:00"],"temperature_2m":[1,2]}}`, "hourly.temperature_2m: 2 values for 1 times"},
		{`{"hourly_units":{"temperature_2m":"mm"},"hourly":{"time":["2026-05-07T00:00"],"temperature_2m":[1]}}`, `the unit "mm" is not known for air temperature`},
		{`{"properties":{"temperature":{"values":[{"validTime":"2026-05-01T00:00:00Z/P99999D","value":1}]}}}`, "is not a length of up to 16 days"},
		{"LOCATION,a\n", "the first row is not LOCATION"},
		{"LOCATION,a,b,c,d,e,north,1,1,1\n", `w.csv:1:20: "north" is not a number`},
	} {
		_, err := Read([]byte(c.data), Options{Name: "w.csv"})
		if err == nil || !strings.Contains(err.Error(), c.say) {
			t.Errorf("%.60q: %v\n\twant %s", c.data, err, c.say)
		}
	}
	if _, err := Read(make([]byte, MaxBytes+1), Options{}); !errors.Is(err, ErrTooBig) {
		t.Error(err)
	}
}

// Series → CSV → series is the same, to twelve figures.
func TestCSVThereAndBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := weather.Series{Start: time.Unix(3600*rapid.Int64Range(0, 500000).Draw(rt, "start"), 0).UTC()}
		var q weather.Quantity = weather.Air | weather.Quantity(rapid.IntRange(0, 1<<14-1).Draw(rt, "has"))
		n := rapid.IntRange(1, 40).Draw(rt, "hours")
		for range n {
			var h weather.Hour
			for _, one := range q.All() {
				_, lo, hi := one.Possible(0)
				hi = math.Min(hi, math.Floor(hi)) // shares up to one, directions below 360
				if one == weather.WindFrom {
					hi = 359
				}
				if one == weather.Air || rapid.IntRange(0, 4).Draw(rt, "known") > 0 {
					h.Set(one, math.Round(rapid.Float64Range(lo, hi).Draw(rt, "value")*100)/100)
				}
			}
			s.Hours = append(s.Hours, h)
		}
		var b bytes.Buffer
		if err := writeCSV(&b, s); err != nil {
			rt.Fatal(err)
		}
		f, err := ReadCSV(b.Bytes(), Options{})
		if err != nil {
			rt.Fatalf("%v\n%s", err, b.String())
		}
		got := f.Members[0]
		if !got.Start.Equal(s.Start) || len(got.Hours) != n {
			rt.Fatalf("%v %d, want %v %d", got.Start, len(got.Hours), s.Start, n)
		}
		for i := range s.Hours {
			if got.Hours[i].Has != s.Hours[i].Has {
				rt.Fatalf("hour %d has %v, want %v", i, got.Hours[i].Has, s.Hours[i].Has)
			}
			for _, one := range s.Hours[i].Has.All() {
				a, _ := got.Hours[i].Get(one)
				b, _ := s.Hours[i].Get(one)
				if math.Abs(a-b) > 1e-9 {
					rt.Fatalf("hour %d %v: %v, want %v", i, one, a, b)
				}
			}
		}
	})
}

func TestColumnsAreDocumentedOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range columns {
		if seen[c.Name] || c.Unit == "" || c.Name != strings.ToLower(c.Name) {
			t.Errorf("%+v", c)
		}
		seen[c.Name] = true
	}
	if !reflect.DeepEqual(columns, columns) {
		t.Error("Columns is not the list that is read")
	}
}

// What comes out of the door is weather, whatever went in.
func sound(t *testing.T, f weather.Forecast, err error) {
	t.Helper()
	if err != nil {
		if err.Error() == "" {
			t.Error("a fault without words")
		}
		return
	}
	if err := f.Check(); err != nil {
		t.Fatal(err)
	}
	for _, m := range f.Members {
		if len(m.Hours) == 0 || len(m.Hours) > MaxHours {
			t.Fatalf("%d hours", len(m.Hours))
		}
		for _, h := range m.Hours {
			for _, q := range h.Has.All() {
				v, _ := h.Get(q)
				if ok, _, _ := q.Possible(v); !ok {
					t.Fatalf("%v of %v", q, v)
				}
			}
		}
	}
}

func fuzz(f *testing.F, reader func([]byte, Options) (weather.Forecast, error), seeds ...[]byte) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := reader(data, Options{Name: "fuzz"})
		sound(t, got, err)
	})
}

func FuzzCSV(f *testing.F) {
	fuzz(f, ReadCSV, file(f, "dublin_week.csv")[:600], []byte("time;air_c;rain_before_mm\n2026-05-01 10:00;5,5;1\n"), []byte("time,air_f,wind_kt\n2026-10-25T01:00+01:00,50,\n"))
}

func FuzzMetNo(f *testing.F) {
	fuzz(f, ReadMetNo, file(f, "metno_london_2020-07-20.json")[:3000], []byte(`{"geometry":{"coordinates":[1,2,3]},"properties":{"meta":{"units":{"air_temperature":"celsius"}},"timeseries":[{"time":"2026-05-01T00:00:00Z","data":{"instant":{"details":{"air_temperature":1}},"next_6_hours":{"details":{"precipitation_amount":6}}}}]}}`))
}

func FuzzOpenMeteo(f *testing.F) {
	fuzz(f, ReadOpenMeteo, []byte(`{"utc_offset_seconds":3600,"hourly_units":{"time":"iso8601"},"hourly":{"time":["2026-05-07T00:00"],"temperature_2m":[1],"temperature_2m_member01":["2"],"precipitation":[null]}}`))
}

func FuzzNWSHourly(f *testing.F) { fuzz(f, ReadNWSHourly, file(f, "nws_hourly_2019-10-14.json")) }

func FuzzNWSGrid(f *testing.F) {
	fuzz(f, ReadNWSGrid, []byte(`{"properties":{"updateTime":"2026-05-01T00:00:00Z","temperature":{"uom":"wmoUnit:degC","values":[{"validTime":"2026-05-01T00:00:00+00:00/P1DT2H","value":10}]},"quantitativePrecipitation":{"values":[{"validTime":"2026-05-01T00:00:00+00:00/PT6H","value":"3"}]}}}`))
}

func FuzzEPW(f *testing.F) {
	fuzz(f, ReadEPW, bytes.Join(bytes.SplitAfter(file(f, "chicago_two_weeks.epw"), []byte("\n"))[:10], nil))
}

func FuzzTMY3(f *testing.F) {
	fuzz(f, ReadTMY3, bytes.Join(bytes.SplitAfter(file(f, "sand_point_three_days.csv"), []byte("\n"))[:4], nil))
}

// writeCSV writes a series as an own CSV in UTC, with the columns that it has, so
// that ReadCSV gives it back; what Fill put in is left out.
func writeCSV(w io.Writer, s weather.Series) error {
	var has weather.Quantity
	for _, h := range s.Hours {
		has |= h.Has &^ h.Filled
	}
	var cols []Column
	for _, q := range has.All() {
		k := slices.IndexFunc(columns, func(c Column) bool { return c.Is == q })
		cols = append(cols, columns[k])
	}
	out := csv.NewWriter(w)
	row := []string{"time_utc"}
	for _, c := range cols {
		row = append(row, c.Name)
	}
	if err := out.Write(row); err != nil {
		return err
	}
	for i := range s.Hours {
		row = append(row[:0], s.TimeOf(i).Format("2006-01-02T15:04Z"))
		for _, c := range cols {
			cell := ""
			if v, ok := s.Hours[i].Get(c.Is); ok && s.Hours[i].Filled&c.Is == 0 {
				cell = strconv.FormatFloat(v/c.scale, 'g', 12, 64)
			}
			row = append(row, cell)
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
