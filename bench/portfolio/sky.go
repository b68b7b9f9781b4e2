package main

import (
	"crypto/tls"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"time"

	"gelwright/weather"
)

// members is how many an answer has.
const members = 50

// town is a place where jobs are: the middle of what is asked of the weather service.
type town struct {
	lat, lon, altitudeM float64
	warmerK             float64 // than others
	seed                uint64
}

// townsOf draws so many places of England and Wales, each a hundredth of a degree and a step of 50 m of its own.
func townsOf(draw *rand.Rand, n int) []town {
	known := map[string]bool{}
	var out []town
	for len(out) < n {
		t := town{lat: 50.6 + float64(draw.IntN(370))/100, lon: -3.5 + float64(draw.IntN(400))/100, altitudeM: 50 * float64(draw.IntN(5)),
			warmerK: draw.Float64()*5 - 1, seed: uint64(len(out))}
		if key := t.key(); !known[key] {
			known[key] = true
			out = append(out, t)
		}
	}
	return out
}

func (t *town) key() string { return fmt.Sprintf("%.2f %.2f", t.lat, t.lon) }

// service is a weather service on this computer.
type service struct {
	*httptest.Server
	certificate string
	mu          sync.Mutex
	morning     uint64
	towns       map[string]town
	answers     map[string][]byte // of this morning
}

func serve(dir string, towns []town) (*service, error) {
	s := &service{towns: map[string]town{}, answers: map[string][]byte{}, certificate: filepath.Join(dir, "service.pem")}
	for _, t := range towns {
		s.towns[t.key()] = t
	}
	if err := s.prepare(); err != nil {
		return nil, err
	}
	s.Server = httptest.NewUnstartedServer(http.HandlerFunc(s.answer))
	s.TLS = &tls.Config{MinVersion: tls.VersionTLS12}
	s.StartTLS()
	raw := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: s.Certificate().Raw})
	return s, os.WriteFile(s.certificate, raw, 0o600)
}

// address is that which a firm file names.
func (s *service) address() string { return s.URL + "/v1/ensemble?latitude={lat}&longitude={lon}" }

// next is the next morning: other answers.
func (s *service) next() error {
	s.mu.Lock()
	s.morning++
	s.mu.Unlock()
	return s.prepare()
}

// prepare has the answers of a morning ready, so that making them takes nobody's time.
func (s *service) prepare() error {
	for key, t := range s.towns {
		site := weather.Site{LatDeg: t.lat, LonDeg: t.lon, ElevM: t.altitudeM, Zone: time.UTC}
		filled, err := t.fortnight().Fill(site)
		if err != nil {
			return err
		}
		all, err := filled.Members[0].Members(filled.Members[0].Start, members, spread(1000*s.morning+t.seed))
		if err != nil {
			return err
		}
		body, err := json.Marshal(openMeteo(&t, all.Members))
		if err != nil {
			return err
		}
		s.mu.Lock()
		s.answers[key] = body
		s.mu.Unlock()
	}
	return nil
}

// fortnight is the weather that a town has: mild days of May, of which one in ten has rain for some hours.
func (t *town) fortnight() weather.Forecast {
	draw := rand.New(rand.NewPCG(t.seed, 11))
	s := weather.Series{Start: time.Date(2026, 5, 11, 0, 0, 0, 0, time.UTC), Origin: "bench"}
	for range 14 {
		mean, swing, cloud := 13+t.warmerK+2*draw.NormFloat64(), 3+2*draw.Float64(), draw.Float64()
		wet, from, last := draw.IntN(10) == 0, draw.IntN(20), 2+draw.IntN(6)
		for h := range 24 {
			air := mean + swing*math.Sin(2*math.Pi*float64(h-9)/24)
			hour := weather.Hour{AirC: air, DewPointC: mean - 7, WindMS: 2 + 2*cloud, Cloud: cloud,
				Has: weather.Air | weather.DewPoint | weather.Wind | weather.Cloud | weather.Rain}
			if wet && h >= from && h < from+last {
				hour.RainMM, hour.DewPointC = 0.8, air-2
			}
			s.Hours = append(s.Hours, hour)
		}
	}
	return weather.Forecast{Members: []weather.Series{s}}
}

// spread is how far members lie from each other: half of what the program assumes of a single forecast, and rain of which that says nothing
// in one of a hundred days, so that most roofs have a sure programme.
func spread(variant uint64) weather.ErrorModel {
	m := weather.AssumedErrors()
	half := func(g *weather.Growth) { g.First, g.PerDay, g.Most = g.First/2, g.PerDay/2, g.Most/2 }
	for _, g := range []*weather.Growth{&m.Air, &m.Gap, &m.Wind, &m.Cloud, &m.RainShiftH, &m.RainAmount} {
		half(g)
	}
	m.SurpriseRain, m.Variant = weather.Growth{First: 0.01, Most: 0.01}, variant
	return m
}

func (s *service) answer(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	body := s.answers[asked(r.FormValue("latitude"), r.FormValue("longitude"))]
	s.mu.Unlock()
	if body == nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Cache-Control", "max-age=0")
	w.Write(body)
}

// asked is the key of a place that is asked for.
func asked(lat, lon string) string {
	var t town
	fmt.Sscan(lat, &t.lat)
	fmt.Sscan(lon, &t.lon)
	return t.key()
}

// answer is an answer of the service in Open-Meteo's hourly form, as its documentation has it.
type answer struct {
	Latitude  float64           `json:"latitude"`
	Longitude float64           `json:"longitude"`
	Elevation float64           `json:"elevation"`
	Offset    int               `json:"utc_offset_seconds"`
	Units     map[string]string `json:"hourly_units"`
	Hourly    map[string]any    `json:"hourly"`
}

// variables are what it tells, and their units.
var variables = []struct {
	name, unit string
	of         func(h *weather.Hour) float64
	before     bool // of the hour before its time
}{
	{"temperature_2m", "°C", func(h *weather.Hour) float64 { return h.AirC }, false},
	{"dew_point_2m", "°C", func(h *weather.Hour) float64 { return h.DewPointC }, false},
	{"wind_speed_10m", "m/s", func(h *weather.Hour) float64 { return h.WindMS }, false},
	{"cloud_cover", "%", func(h *weather.Hour) float64 { return 100 * h.Cloud }, false},
	{"precipitation", "mm", func(h *weather.Hour) float64 { return h.RainMM }, true},
}

func openMeteo(t *town, all []weather.Series) *answer {
	a := &answer{Latitude: t.lat, Longitude: t.lon, Elevation: t.altitudeM, Units: map[string]string{"time": "iso8601"},
		Hourly: map[string]any{}}
	var times []string
	for i := range all[0].Hours {
		times = append(times, all[0].TimeOf(i).UTC().Format("2006-01-02T15:04"))
	}
	a.Hourly["time"] = times
	for m := range all {
		for _, v := range variables {
			name := v.name
			if m > 0 {
				name = fmt.Sprintf("%s_member%02d", v.name, m)
			}
			values := make([]float64, len(times))
			for i := range all[m].Hours {
				at := i
				if v.before {
					at = max(i-1, 0)
				}
				values[i] = math.Round(10*v.of(&all[m].Hours[at])) / 10
			}
			a.Hourly[name], a.Units[name] = values, v.unit
		}
	}
	return a
}
