package programme

import (
	"context"
	"math"
	"testing"
	"time"

	"gelwright/conduction"
	"gelwright/weather"
)

// inventedYear is a year of hours: seasons, days, and rain by a fixed pattern.
func inventedYear(hours int) weather.Series {
	s := weather.Series{Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Hours: make([]weather.Hour, hours)}
	for i := range s.Hours {
		day, hour := float64(i)/24, float64(i%24)
		h := &s.Hours[i]
		air := 10 - 7*math.Cos(2*math.Pi*(day-20)/365) - 4*math.Cos(2*math.Pi*(hour-3)/24) + 3*math.Sin(day/3.1)
		h.Set(weather.Air, air)
		h.Set(weather.DewPoint, air-4-3*math.Sin(day/2.3))
		h.Set(weather.Wind, 3+2*math.Sin(day/1.7))
		h.Set(weather.Cloud, 0.5+0.5*math.Sin(day/2.9))
		if math.Sin(float64(i)/17)+math.Sin(float64(i)/5.3) > 1.4 {
			h.Set(weather.Rain, 0.8)
		} else {
			h.Set(weather.Rain, 0)
		}
	}
	return s
}

var benchSite = weather.Site{LatDeg: 53, LonDeg: -6}

func benchFilm(name string) *Film {
	f := &Film{Name: name, RefPct: 2, SD: 0.25}
	for c := -10.0; c <= 65; c += 5 {
		f.TempsC = append(f.TempsC, c)
		f.DosePct = append(f.DosePct, 2)
		gel := 20 * math.Exp((20-c)*0.08)
		for m, k := range [...]float64{0, 1, 2, 3.4, 4.4, 6, 6, 80} {
			if m > 0 {
				f.Min[m] = append(f.Min[m], k*gel)
			}
		}
	}
	f.MostMin[OverCoatUntil] = 48 * 60
	return f
}

// benchStages is a roof of 30 m² for two people.
func benchStages() []Stage {
	wet, coat := weather.LaminateLimits(), weather.TopCoatLimits()
	dry := &weather.StageLimits{Stage: "dry work", RainTrace: wet.RainTrace, WindMax: wet.WindMax, Light: true}
	mat, top := benchFilm("mat"), benchFilm("coat")
	stages := []Stage{
		{Name: "strip", Kind: Strip, Quarters: 8, Divisible: true, Limits: dry},
		{Name: "deck", Kind: Boards, Quarters: 20, Divisible: true, Limits: dry},
		{Name: "trims", Kind: Trims, Quarters: 10, Divisible: true, Limits: dry},
		{Name: "details", Kind: Details, Quarters: 6, Divisible: true, Limits: &wet, Film: mat},
	}
	for k := range 5 {
		s := Stage{Name: "laminate part", Kind: Laminate, Quarters: 2, Limits: &wet, Film: mat, SafeAt: RainSafe,
			Join: Lag{MostMin: 15}, Again: &Lag{Least: Walk}, AgainQuarters: 1, AgainWhy: "day joint"}
		if k == 0 {
			s.Join = Lag{Least: Trim, Most: OverCoatUntil}
		}
		stages = append(stages, s)
	}
	return append(stages,
		Stage{Name: "top coat", Kind: TopCoat, Quarters: 7, Lead: 2, LeadLimits: dry, Limits: &coat, Film: top, SafeAt: RainSafe,
			Join: Lag{Begin: Sand, Least: OverCoatFrom, Most: OverCoatUntil}, Again: &Lag{Begin: Sand, Least: OverCoatFrom}, AgainQuarters: 3, AgainWhy: "abrade"},
		Stage{Name: "flashings", Kind: Flash, Quarters: 8, Divisible: true, Limits: dry, Join: Lag{LeastMin: 24 * 60}},
		Stage{Name: "clean-up", Kind: CleanUp, Quarters: 4})
}

var benchHours = Hours{StartMin: 8 * 60, EndMin: 17 * 60}

func courses(tb testing.TB, members, days int) [][]weather.Moment {
	tb.Helper()
	s, err := inventedYear(24 * days).Fill(benchSite)
	if err != nil {
		tb.Fatal(err)
	}
	if days < 60 {
		// Spring, so that there is something to find.
		year, err := inventedYear(24 * (100 + days)).Fill(benchSite)
		if err != nil {
			tb.Fatal(err)
		}
		s = year.Part(year.TimeOf(24*100), year.TimeOf(24*(100+days)))
	}
	f, err := s.Members(s.Start, members, weather.AssumedErrors())
	if err != nil {
		tb.Fatal(err)
	}
	out := make([][]weather.Moment, members)
	for m := range f.Members {
		t, err := weather.SurfaceTemps(context.Background(), weather.SurfaceInput{Layers: []conduction.Layer{{Name: "board", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 620, HeatJPerKgK: 1700}},
			Absorptance: 0.65, Site: benchSite, Room: weather.Room{TempC: 20, ResistanceM2KPerW: 4}, Weather: f.Members[m], CentralOnly: true})
		if err != nil {
			tb.Fatal(err)
		}
		out[m] = t.Moments(f.Members[m])
	}
	return out
}

// BenchmarkYear: a year of hourly weather, surface, limits, cure and search.
func BenchmarkYear(b *testing.B) {
	for range b.N {
		p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: courses(b, 1, 365), Site: benchSite, Hours: benchHours})
		if err != nil {
			b.Fatal(err)
		}
		if r, err := p.Search(context.Background()); err != nil || r.Likeliest == nil {
			b.Fatal(err, "nothing found")
		}
	}
}

// BenchmarkFortnight: an ensemble of 31 for a fortnight from its moments.
func BenchmarkFortnight(b *testing.B) {
	c := courses(b, 31, 14)
	b.ResetTimer()
	for range b.N {
		p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: c, Site: benchSite, Hours: benchHours})
		if err != nil {
			b.Fatal(err)
		}
		if r, err := p.Search(context.Background()); err != nil || r.Likeliest == nil {
			b.Fatal(err, "nothing found")
		}
	}
}

// BenchmarkSearch: the search alone.
func BenchmarkSearch(b *testing.B) {
	p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: courses(b, 31, 14), Site: benchSite, Hours: benchHours})
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		r, err := p.Search(context.Background())
		if err != nil || r.Likeliest == nil {
			b.Fatal(err, "nothing found")
		}
		b.ReportMetric(r.Likeliest.P, "P")
		b.ReportMetric(map[bool]float64{true: 1}[r.Proven], "proven")
	}
}

// BenchmarkReplan: on the day, with what is done, in an ensemble of 31.
func BenchmarkReplan(b *testing.B) {
	p, err := Prepare(context.Background(), Input{Stages: benchStages(), Members: courses(b, 31, 14), Site: benchSite, Hours: benchHours})
	if err != nil {
		b.Fatal(err)
	}
	now := p.TimeOf(96 + 40)
	b.ResetTimer()
	for range b.N {
		if _, err := p.Now(context.Background(), now, []Done{{Key: "trims"}}); err != nil {
			b.Fatal(err)
		}
	}
}
