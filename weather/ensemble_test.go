package weather

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"
)

func TestFillSaysWhatItDid(t *testing.T) {
	s := Series{Start: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), Hours: make([]Hour, 6)}
	s.Hours[0].Set(Air, 10)
	s.Hours[3].Set(Air, 16)
	s.Hours[0].Set(WindFrom, 350)
	s.Hours[4].Set(WindFrom, 30)
	for i := range s.Hours {
		s.Hours[i].Set(Humidity, 60)
	}
	got := mustFill(t, s, Site{})
	for i, want := range []float64{10, 12, 14, 16, 16, 16} {
		near(t, "air", got.Hours[i].AirC, want, 1e-12)
	}
	for i, want := range []float64{350, 0, 10, 20, 30, 30} {
		near(t, "direction", got.Hours[i].WindFromDeg, want, 1e-9)
	}
	if got.Hours[0].Filled&Air != 0 || got.Hours[1].Filled&Air == 0 || s.Hours[1].Has&Air != 0 {
		t.Error("what is filled is not marked, or the series given was changed")
	}
	all := strings.Join(got.Notes, "; ")
	for _, say := range []string{"air temperature: 4 of 6 hours interpolated", "dew point: 6 of 6 hours from air", "wind: 6 of 6 hours not given: 2 assumed", "rain: 6 of 6 hours not given: dry in the likely course"} {
		if !strings.Contains(all, say) {
			t.Errorf("notes %q do not say %q", all, say)
		}
	}
	if _, err := (Series{Start: s.Start, Hours: make([]Hour, 3)}).Fill(Site{}); err == nil {
		t.Error("nothing known")
	}
	// Cloud from sunshine: the law and its inverse agree.
	site := Site{LatDeg: 50}
	sunny := dayOf(time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), 1, 15, 5, 8, 3, 0)
	for i := range sunny.Hours {
		h := &sunny.Hours[i]
		sun := SunAt(sunny.TimeOf(i).Add(30*time.Minute), site)
		clear := Bird(sun.ZenithDeg, ExtraterrestrialWPerM2(sun.DistanceAU), Atmosphere{WaterCM: precipitableCM(h.AirC, h.DewPointC)})
		h.Set(Global, clear.UnderCloud(0.7, math.Cos(sun.ZenithDeg*rad)).GlobalWPerM2)
		h.Has &^= Cloud
	}
	near(t, "cloud at noon", mustFill(t, sunny, site).Hours[12].Cloud, 0.7, 0.01)
}

func TestMembersHaveTheSpreadAskedFor(t *testing.T) {
	base := dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 7, 10, 4, 5, 4, 0.5)
	base = mustFill(t, base, Site{LatDeg: 52})
	issued := base.Start
	model := AssumedErrors()
	const n = 101
	f, err := base.Members(issued, n, model)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Invented || len(f.Members) != n || len(f.Notes) == 0 || f.Check() != nil {
		t.Fatalf("an ensemble by assumption must say so: %v %d %v", f.Invented, len(f.Members), f.Notes)
	}
	if !reflect.DeepEqual(f.Members[0].Hours, base.Hours) {
		t.Error("the first member is not the forecast")
	}
	for _, hour := range []int{0, 24, 72, 160} {
		sum, sq := 0.0, 0.0
		for _, m := range f.Members[1:] {
			d := m.Hours[hour].AirC - base.Hours[hour].AirC
			sum += d
			sq += d * d
		}
		want := model.Air.at(float64(hour))
		mean, sd := sum/(n-1), math.Sqrt(sq/(n-1))
		if math.Abs(mean) > 0.1*want || math.Abs(sd-want) > 0.2*want {
			t.Errorf("hour %d: mean %.3f, deviation %.3f K, want 0 and %.3f", hour, mean, sd, want)
		}
	}
	for _, m := range f.Members {
		for i, h := range m.Hours {
			if h.DewPointC > h.AirC || h.Cloud < 0 || h.Cloud > 1 || h.WindMS < 0 || h.RainMM < 0 || math.IsNaN(h.AirC+h.RHPct) {
				t.Fatalf("hour %d: %+v", i, h)
			}
		}
	}
	again, _ := base.Members(issued, n, model)
	a, _ := json.Marshal(f)
	b, _ := json.Marshal(again)
	if string(a) != string(b) {
		t.Error("the same forecast gave another ensemble")
	}
	other := model
	other.Variant = 7
	if g, _ := base.Members(issued, n, other); g.Members[5].Hours[30].AirC == f.Members[5].Hours[30].AirC {
		t.Error("another variant gave the same draws")
	}
	if _, err := base.Members(issued, 0, model); err == nil {
		t.Error("no members asked for")
	}
}

func TestMembersKeepTheProbabilityOfRain(t *testing.T) {
	base := dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 2, 10, 4, 5, 4, 0.8)
	for i := range base.Hours {
		base.Hours[i].Set(Rain, 0.3)
		base.Hours[i].Set(RainProbability, 0.3)
	}
	base = mustFill(t, base, Site{})
	f, err := base.Members(base.Start, 201, AssumedErrors())
	if err != nil {
		t.Fatal(err)
	}
	wet, all := 0.0, 0.0
	for _, m := range f.Members[1:] {
		for _, h := range m.Hours {
			all++
			if h.RainMM > 0 {
				wet++
			}
		}
	}
	near(t, "share of wet hours", wet/all, 0.3, 0.03)
}

func TestNorms(t *testing.T) {
	site := Site{LatDeg: 53, LonDeg: -6}
	for _, norms := range []Norms{NormsOfLatitude(53), NormsOfLatitude(-34), NormsOfLatitude(0), NormsOfLatitude(90)} {
		s, err := norms.Days(time.Date(2026, 10, 24, 22, 30, 0, 0, time.UTC), 72, site)
		if err != nil {
			t.Fatal(err)
		}
		if !s.Norms || !strings.Contains(strings.Join(s.Notes, " "), "not a forecast") {
			t.Error("norms must say so")
		}
		if s.Start.Minute() != 0 || len(s.Hours) != 72 {
			t.Errorf("%v, %d hours", s.Start, len(s.Hours))
		}
		lo, hi := s.Hours[0].AirC, s.Hours[0].AirC
		hottest := 0
		for i, h := range s.Hours[:24] {
			lo = math.Min(lo, h.AirC)
			if h.AirC > hi {
				hi, hottest = h.AirC, i
			}
		}
		if hr := s.TimeOf(hottest).Hour(); hr < 14 || hr > 16 {
			t.Errorf("hottest at %d h", hr)
		}
		oct := norms.on(time.Date(2026, 10, 25, 12, 0, 0, 0, time.UTC))
		near(t, "daily range", hi-lo, oct.MaxC-oct.MinC, 0.4)
	}
	if nz := NormsOfLatitude(-45); nz.Months[0].MeanC < nz.Months[6].MeanC {
		t.Error("January is summer in the south")
	}
}

// BenchmarkMembers makes fifty courses of a fortnight.
func BenchmarkMembers(b *testing.B) {
	base, err := dayOf(time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), 14, 10, 4, 5, 4, 0.5).Fill(Site{})
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		if _, err := base.Members(base.Start, 50, AssumedErrors()); err != nil {
			b.Fatal(err)
		}
	}
}
