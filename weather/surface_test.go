package weather

import (
	"context"
	"math"
	"testing"
	"time"

	"gelwright/conduction"
)

var roofLayers = []conduction.Layer{
	{Name: "laminate", ThicknessMM: 2.5, ConductivityWPerMK: 0.20, DensityKgPerM3: 1450, HeatJPerKgK: 1200},
	{Name: "OSB 18", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
	{Name: "PIR 120", ThicknessMM: 120, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400},
	{Name: "OSB 18", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
}

// steady is weather that does not change, without sun, for days.
func steady(hours int, h Hour) Series {
	s := Series{Start: time.Date(2026, 12, 15, 0, 0, 0, 0, time.UTC)}
	for range hours {
		s.Hours = append(s.Hours, h)
	}
	return s
}

func mustFill(t testing.TB, s Series, site Site) Series {
	t.Helper()
	f, err := s.Fill(site)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func night(air, dew, wind, cloud float64) Hour {
	var h Hour
	h.Set(Air, air)
	h.Set(DewPoint, dew)
	h.Set(Wind, wind)
	h.Set(Cloud, cloud)
	h.Set(Pressure, 0) // leaves out the small terms, as the check values do
	return h
}

// A polar night, insulated below: the balance h(Ta−Ts) = εσ(Ts⁴−Tsky⁴) worked out
// independently, with Berdahl–Martin or Clark–Allen–Walton sky.
func TestNightSurface(t *testing.T) {
	arctic := Site{LatDeg: 78, LonDeg: 16, WindFactor: 1}
	for _, c := range []struct {
		name                   string
		air, dew, h, cloud, ts float64
		model                  SkyModel
	}{
		{"air 10, dew 5, h 5", 10, 5, 5, 0, 0.97, BerdahlMartin},
		{"air 10, dew 5, h 10", 10, 5, 10, 0, 4.13, BerdahlMartin},
		{"air 10, dew 5, h 20", 10, 5, 20, 0, 6.54, BerdahlMartin},
		{"air 5, dew 2, h 5", 5, 2, 5, 0, -4.24, BerdahlMartin},
		{"R3 clear, air 8, dew 5, 1 m/s", 8, 5, 8, 0, 2.89, ClarkAllen},
		{"R4 overcast, air 8, dew 5, 1 m/s", 8, 5, 8, 1, 5.98, ClarkAllen},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := steady(72, night(c.air, c.dew, (c.h-4)/4, c.cloud))
			w = mustFill(t, w, arctic)
			got, err := SurfaceTemps(context.Background(), SurfaceInput{Layers: roofLayers, Absorptance: 0.9, Emissivity: 0.9,
				Site: arctic, Weather: w, Room: Room{Insulated: true}, Model: c.model})
			if err != nil {
				t.Fatal(err)
			}
			last := got.Quarters[len(got.Quarters)-1]
			near(t, "surface", last.SurfaceC, c.ts, 0.05)

			if !(last.LowC < last.SurfaceC && last.SurfaceC < last.HighC) {
				t.Errorf("low %g, likely %g, high %g", last.LowC, last.SurfaceC, last.HighC)
			}
		})
	}
}

// outside is the likely outer face of a forcing at its first instant.
func outside(f *forcing) conduction.Face {
	var outer, inner conduction.Face
	f.drive(&SurfaceInput{Emissivity: 0.9, Room: Room{Insulated: true}}, Likely).Faces(0, &outer, &inner)
	return outer
}

// The day's balance worked out independently, α 0.9, insulated: 800 W/m² at 25 °C
// and 2 m/s gives 60.10 °C, 1000 W/m² at 30 °C and 1 m/s 83.68 °C. The sun is made
// constant by hand here, so the face alone is checked.
func TestDaySurfaceBalance(t *testing.T) {
	for _, c := range []struct{ sun, air, dew, wind, absorptance, ts, mcAdams float64 }{
		{800, 25, 12, 2, 0.9, 60.10, 57.91}, {1000, 30, 15, 1, 0.9, 83.68, 79.36}, {800, 25, 12, 2, 0.55, 45.42, 0}, {1000, 30, 15, 1, 0.55, 62.44, 0},
		{0, 8, 5, 1, 0.9, 2.89, 3.44},
	} {
		f := &forcing{n: 1, at: []instant{{airC: c.air, dewC: c.dew, h: ConvectionWPerM2K(c.wind)}}}
		f.at[0].sun[Likely] = c.absorptance * c.sun
		f.at[0].sky[Likely] = ClarkAllen.IncomingWPerM2(Sky{AirC: c.air, DewPointC: c.dew})
		s, err := conduction.New(roofLayers, 20, conduction.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Settle(outside(f), conduction.Adiabatic(), nil); err != nil {
			t.Fatal(err)
		}
		near(t, "surface", s.SurfaceC(), c.ts, 0.06)
		if c.mcAdams != 0 {
			f.at[0].h = mcAdams(c.wind)
			if err := s.Settle(outside(f), conduction.Adiabatic(), nil); err != nil {
				t.Fatal(err)
			}
			near(t, "surface by McAdams", s.SurfaceC(), c.mcAdams, 0.06)
		}
	}
}

// dayOf is a June or December day: air by a sine, cloud constant.
func dayOf(start time.Time, days int, mean, swing, dew, wind, cloud float64) Series {
	s := Series{Start: start}
	for i := range days * 24 {
		var h Hour
		h.Set(Air, mean+swing*math.Sin(2*math.Pi*(float64(i%24)-9)/24))
		h.Set(DewPoint, dew)
		h.Set(Wind, wind)
		h.Set(Cloud, cloud)
		s.Hours = append(s.Hours, h)
	}
	return s
}

func surfaceOf(t testing.TB, in SurfaceInput) Surface {
	t.Helper()
	s, err := SurfaceTemps(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// What a roofer knows: dark is hotter than white, shade cools, wind cools by day
// and warms by night, rain cools a hot deck, a clear night falls below the air and
// an overcast one does not, a low winter sun heats a slope that faces it.
func TestRoofersRules(t *testing.T) {
	site := Site{LatDeg: 53.4, LonDeg: -6.2, ElevM: 70}
	june := time.Date(2026, 6, 20, 0, 0, 0, 0, time.UTC)
	base := SurfaceInput{Layers: roofLayers, Absorptance: 0.9, Site: site, Room: Room{TempC: 20, ResistanceM2KPerW: 0.1},
		Weather: mustFill(t, dayOf(june, 3, 17, 5, 9, 2, 0), site), From: june.Add(48 * time.Hour)}
	peak := func(in SurfaceInput) (c float64) {
		c = math.Inf(-1)
		for _, q := range surfaceOf(t, in).Quarters {
			c = math.Max(c, q.SurfaceC)
		}
		return c
	}
	trough := func(in SurfaceInput) (below float64) {
		for _, q := range surfaceOf(t, in).Quarters {
			if q.SunElevationDeg < 0 {
				below = math.Max(below, q.AirC-q.SurfaceC)
			}
		}
		return below
	}
	dark := peak(base)
	if dark < 50 || dark > 75 {
		t.Errorf("a dark roof at midsummer in Dublin reaches %.1f °C; 50 to 75 is known", dark)
	}
	white := base
	white.Absorptance = 0.3
	if p := peak(white); p > dark-15 {
		t.Errorf("white %.1f °C, dark %.1f °C", p, dark)
	}
	shaded := base
	shaded.Shade.Hours = []ShadeHours{{0, 1440}}
	if p := peak(shaded); p > dark-20 {
		t.Errorf("in shade %.1f °C, in the sun %.1f °C", p, dark)
	}
	windy := base
	windy.Weather = mustFill(t, dayOf(june, 3, 17, 5, 9, 8, 0), site)
	if p := peak(windy); p > dark-8 {
		t.Errorf("8 m/s %.1f °C, 2 m/s %.1f °C", p, dark)
	}
	if w, c := trough(windy), trough(base); w > c-1 {
		t.Errorf("below the air by night: %.1f K in 8 m/s, %.1f K in 2 m/s", w, c)
	}
	cloudy := base
	cloudy.Weather = mustFill(t, dayOf(june, 3, 17, 5, 9, 2, 1), site)
	if o, c := trough(cloudy), trough(base); o > 2.5 || c < 3 || c > 9 {
		t.Errorf("below the air by night: overcast %.1f K, clear %.1f K", o, c)
	}
	wet := base
	wet.Weather = mustFill(t, dayOf(june, 3, 17, 5, 9, 2, 0), site)
	wet.Weather.Hours[48+12].RainMM = 6
	at := func(s Surface, h float64) float64 { return s.Quarters[int(h*4)].SurfaceC }
	if d, w := at(surfaceOf(t, base), 13), at(surfaceOf(t, wet), 13); w > d-4 {
		t.Errorf("after an hour of rain %.1f °C, dry %.1f °C", w, d)
	}

	december := time.Date(2026, 12, 20, 0, 0, 0, 0, time.UTC)
	level := base
	level.Weather = mustFill(t, dayOf(december, 3, 5, 2, 2, 1, 0), site)
	level.From = december.Add(48 * time.Hour)
	south := level
	south.Plane = Plane{SlopeDeg: 20, BearingDeg: 180}
	if l, s := peak(level), peak(south); s < l+4 {
		t.Errorf("winter: level %.1f °C, 20° to the south %.1f °C", l, s)
	}
}

// Energy: an hour's irradiance, given, reaches the roof in full.
func TestGivenIrradianceKeepsItsSum(t *testing.T) {
	site := Site{LatDeg: 41.98, LonDeg: -87.92, ElevM: 201}
	s := dayOf(time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), 2, 15, 5, 5, 2, 0.3)
	sum := 0.0
	for i := range s.Hours {
		sun := SunAt(s.TimeOf(i).Add(30*time.Minute), site)
		g := math.Round(0.6 * haurwitz(sun.ZenithDeg))
		s.Hours[i].Set(Global, g)
		s.Hours[i].Set(Diffuse, g/2)
		if i >= 24 {
			sum += g
		}
	}
	got := surfaceOf(t, SurfaceInput{Layers: roofLayers, Absorptance: 1, Site: site, Weather: mustFill(t, s, site), From: s.Start.Add(24 * time.Hour), Room: Room{Insulated: true}})
	roof := 0.0
	for i := range got.Quarters[1:] {
		roof += (got.Quarters[i].SunWPerM2 + got.Quarters[i+1].SunWPerM2) / 8
	}
	near(t, "Wh/m² on the roof", roof, sum, 0.03*sum)
}

func TestSurfaceFaultsSayWhatToDo(t *testing.T) {
	ok := SurfaceInput{Layers: roofLayers, Absorptance: 0.9, Room: Room{Insulated: true}, Weather: mustFill(t, steady(5, night(5, 1, 1, 0)), Site{})}
	for name, change := range map[string]func(*SurfaceInput){
		"no weather":   func(in *SurfaceInput) { in.Weather = Series{} },
		"unfilled":     func(in *SurfaceInput) { in.Weather = steady(5, Hour{}) },
		"absorptance":  func(in *SurfaceInput) { in.Absorptance = 2 },
		"latitude":     func(in *SurfaceInput) { in.Site.LatDeg = math.NaN() },
		"outside span": func(in *SurfaceInput) { in.To = ok.Weather.End().Add(time.Hour) },
		"room":         func(in *SurfaceInput) { in.Room = Room{} },
		"sky model":    func(in *SurfaceInput) { in.Model = "guess" },
		"wall":         func(in *SurfaceInput) { in.Shade.Walls = []Wall{{HeightM: 1}} },
		"layers":       func(in *SurfaceInput) { in.Layers = nil },
	} {
		in := ok
		change(&in)
		if _, err := SurfaceTemps(context.Background(), in); err == nil {
			t.Errorf("%s: no fault found", name)
		}
	}
	if _, err := SurfaceTemps(context.Background(), ok); err != nil {
		t.Error(err)
	}
}

func yearOfWeather() Series {
	s := Series{Start: time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)}
	for i := range 8760 {
		d := float64(i) / 24
		var h Hour
		h.Set(Air, 10-7*math.Cos(2*math.Pi*(d-20)/365)+4*math.Sin(2*math.Pi*(float64(i%24)-9)/24)+2*math.Sin(d/3))
		h.Set(Humidity, 80-10*math.Sin(2*math.Pi*(float64(i%24)-9)/24))
		h.Set(Wind, 4+3*math.Sin(d/2.3))
		h.Set(Cloud, 0.5+0.5*math.Sin(d/1.7))
		h.Set(Rain, math.Max(0, 2*math.Sin(d*5.1)-1))
		s.Hours = append(s.Hours, h)
	}
	return s
}

func benchmarkYear(b *testing.B, centralOnly bool) {
	site := Site{LatDeg: 53, LonDeg: -6}
	w, err := yearOfWeather().Fill(site)
	if err != nil {
		b.Fatal(err)
	}
	in := SurfaceInput{Layers: roofLayers, Absorptance: 0.9, Site: site, Room: Room{TempC: 20, ResistanceM2KPerW: 0.1}, Weather: w, CentralOnly: centralOnly}
	for range b.N {
		if _, err := SurfaceTemps(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}

// A year of quarter hours, likely value alone, and with low and high.
func BenchmarkSurfaceYear(b *testing.B)       { benchmarkYear(b, true) }
func BenchmarkSurfaceYearSpread(b *testing.B) { benchmarkYear(b, false) }
