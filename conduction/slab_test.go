package conduction

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var warmRoof = []Layer{
	{Name: "top coat", ThicknessMM: 0.5, ConductivityWPerMK: 0.20, DensityKgPerM3: 1300, HeatJPerKgK: 1300},
	{Name: "laminate", ThicknessMM: 2.2, ConductivityWPerMK: 0.20, DensityKgPerM3: 1450, HeatJPerKgK: 1200},
	{Name: "OSB 18", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
	{Name: "PIR 120", ThicknessMM: 120, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400},
	{Name: "OSB 18", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
}

func day(tS float64) Face {
	sun := math.Max(0, math.Sin(2*math.Pi*(tS/86400-0.25)))
	return Face{AirC: 12 + 6*math.Sin(2*math.Pi*(tS/86400-0.375)), ConvectionWPerM2K: 12, GainWPerM2: 700 * sun,
		Emissivity: 0.9, IncomingWPerM2: 310}
}

// Error against a fine run must fall with the square of the cell width, for a
// layered roof under sun and full long-wave exchange.
func TestOrderInSpace(t *testing.T) {
	run := func(refine int) float64 {
		s := mustNew(t, warmRoof, 10, Options{TolK: 1e-5, FirstCellS: 120, Refine: refine})
		advance(t, s, 8*3600, 12*3600, Drive{Outer: day, Inner: func(float64) Face { return Room(20, 0.1) }})
		return s.LayerBottomC(2)
	}
	want := run(32)
	e1, e2, e4 := math.Abs(run(1)-want), math.Abs(run(2)-want), math.Abs(run(4)-want)
	for _, p := range []float64{math.Log2(e1 / e2), math.Log2(e2 / e4)} {
		if p < 1.7 || p > 2.4 {
			t.Errorf("order %.2f, want about 2 (errors %.2g %.2g %.2g)", p, e1, e2, e4)
		}
	}
}

// Fixed steps: the error falls with the square of the step.
func TestOrderInTime(t *testing.T) {
	run := func(steps int) float64 {
		s := mustNew(t, warmRoof, 10, Options{})
		d := Drive{Outer: day, Inner: func(float64) Face { return Room(20, 0.1) }}
		advance(t, s, 7*3600, 8*3600, d) // past the sudden start
		dt := 4 * 3600 / float64(steps)
		for i := range steps {
			if _, err := s.Step(8*3600+float64(i)*dt, dt, d); err != nil {
				t.Fatal(err)
			}
		}
		return s.SurfaceC()
	}
	want := run(4096)
	e1, e2, e4 := math.Abs(run(16)-want), math.Abs(run(32)-want), math.Abs(run(64)-want)
	for _, p := range []float64{math.Log2(e1 / e2), math.Log2(e2 / e4)} {
		if p < 1.7 || p > 2.6 {
			t.Errorf("order %.2f, want about 2 (errors %.2g %.2g %.2g)", p, e1, e2, e4)
		}
	}
}

// L-stability: after a shock, one step far longer than the film's time constant
// lands near the balance and does not swing past it.
func TestNoRingingAfterAShock(t *testing.T) {
	film := []Layer{{Name: "film", ThicknessMM: 0.5, ConductivityWPerMK: 0.2, DensityKgPerM3: 1300, HeatJPerKgK: 1300, Cells: 4}}
	s := mustNew(t, film, 100, Options{})
	d := Steady(Face{AirC: 20, ConvectionWPerM2K: 20}, Adiabatic(), nil) // time constant 42 s
	last := 100.0
	for i := range 4 {
		if _, err := s.Step(float64(i)*36000, 36000, d); err != nil {
			t.Fatal(err)
		}
		if now := s.SurfaceC(); math.Abs(now-20) > 0.02*math.Abs(last-20)+1e-6 {
			t.Errorf("step %d: %.4f °C from %.4f; air is 20 °C", i+1, now, last)
		} else {
			last = now
		}
	}
}

// Heat in equals heat stored, for any layers, weather, room and source.
func TestHeatIsKept(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var layers []Layer
		for range rapid.IntRange(1, 5).Draw(rt, "layers") {
			layers = append(layers, Layer{Name: "l",
				ThicknessMM:        rapid.Float64Range(0.3, 150).Draw(rt, "mm"),
				ConductivityWPerMK: rapid.Float64Range(0.02, 2.3).Draw(rt, "λ"),
				DensityKgPerM3:     rapid.Float64Range(20, 2400).Draw(rt, "ρ"),
				HeatJPerKgK:        rapid.Float64Range(800, 2500).Draw(rt, "c"),
				ContactM2KPerW:     rapid.SampledFrom([]float64{0, 0.16}).Draw(rt, "gap"),
			})
		}
		s := mustNew(t, layers, rapid.Float64Range(-10, 40).Draw(rt, "start"), Options{})
		w := make([]float64, len(s.Cells()))
		w[0] = rapid.Float64Range(0, 2e5).Draw(rt, "source")
		from := rapid.Float64Range(0, 86400).Draw(rt, "from")
		d := Drive{Outer: day, Inner: func(float64) Face { return Room(20, 0.13) }, Source: Steady(Face{}, Face{}, w).Source}
		before := s.HeatStoredJPerM2()
		advance(t, s, from, from+7200, d)
		in := s.HeatIn()
		gained := s.HeatStoredJPerM2() - before
		turned := math.Abs(in.OuterJPerM2) + math.Abs(in.InnerJPerM2) + math.Abs(in.SourceJPerM2)
		if diff := math.Abs(gained - in.OuterJPerM2 - in.InnerJPerM2 - in.SourceJPerM2); diff > 1e-7*turned+1e-4 {
			rt.Fatalf("stored %g, in %+v: %g J/m² lost of %g", gained, in, diff, turned)
		}
	})
}

// A warmer air, or more sun, never gives a colder surface; the temperatures stay
// between the extremes of what surrounds the build-up.
func TestOrderAndBounds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		air := rapid.Float64Range(-10, 35).Draw(rt, "air")
		h := rapid.Float64Range(4, 40).Draw(rt, "h")
		more := rapid.Float64Range(0, 10).Draw(rt, "warmer")
		start := rapid.Float64Range(-10, 35).Draw(rt, "start")
		run := func(air float64) float64 {
			s := mustNew(t, warmRoof, start, Options{})
			advance(t, s, 0, 3600, Steady(Face{AirC: air, ConvectionWPerM2K: h}, Room(20, 0.1), nil))
			lo, hi := math.Min(start, math.Min(air, 20)), math.Max(start, math.Max(air, 20))
			for _, c := range s.Temps() {
				if c < lo-0.05 || c > hi+0.05 {
					rt.Fatalf("%g °C outside %g to %g", c, lo, hi)
				}
			}
			return s.SurfaceC()
		}
		if cool, warm := run(air), run(air+more); warm < cool-0.03 {
			rt.Fatalf("air %g °C gives %g, air %g °C gives %g", air, cool, air+more, warm)
		}
	})
}

func TestRainCoolsAHotRoof(t *testing.T) {
	s := mustNew(t, warmRoof, 55, Options{})
	rain := Face{AirC: 18, ConvectionWPerM2K: 12, RainC: 14, RainWPerM2K: RainCoefficient(10)}
	if want := 10.0 / 3600 * 4186; math.Abs(rain.RainWPerM2K-want) > 1e-12 {
		t.Fatalf("coefficient %g, by hand %g", rain.RainWPerM2K, want)
	}
	dry := rain
	dry.RainWPerM2K = 0
	wet := s.Clone()
	advance(t, s, 0, 900, Steady(dry, Adiabatic(), nil))
	advance(t, wet, 0, 900, Steady(rain, Adiabatic(), nil))
	if wet.SurfaceC() > s.SurfaceC()-3 {
		t.Errorf("10 mm/h leaves %.1f °C, dry %.1f °C; the rain takes as much heat as the air", wet.SurfaceC(), s.SurfaceC())
	}
}

func TestCloneIsIndependent(t *testing.T) {
	s := mustNew(t, warmRoof, 10, Options{})
	c := s.Clone()
	advance(t, c, 0, 3600, Steady(HeldAt(40), Adiabatic(), nil))
	for _, v := range s.Temps() {
		if v != 10 {
			t.Fatalf("the original moved to %g °C", v)
		}
	}
	d := s.Clone()
	advance(t, d, 0, 3600, Steady(HeldAt(40), Adiabatic(), nil))
	for i, v := range d.Temps() {
		if v != c.Temps()[i] {
			t.Fatalf("cell %d: %v and %v from the same start", i, v, c.Temps()[i])
		}
	}
}

func TestFaultsAreNamed(t *testing.T) {
	bad := warmRoof[2]
	bad.ConductivityWPerMK = 0
	for _, c := range []struct {
		layers []Layer
		say    string
	}{
		{nil, "no layer"},
		{[]Layer{warmRoof[0], bad}, `layer 2 "OSB 18": the conductivity`},
		{[]Layer{{Name: "film", ThicknessMM: math.NaN(), ConductivityWPerMK: 1, DensityKgPerM3: 1, HeatJPerKgK: 1}}, "thickness"},
	} {
		_, err := New(c.layers, 10, Options{})
		var le *LayerError
		if !errors.As(err, &le) || !strings.Contains(err.Error(), c.say) || le.Remedy == "" {
			t.Errorf("%v does not say %q with a remedy", err, c.say)
		}
	}
	s := mustNew(t, warmRoof, 10, Options{})
	if err := s.Advance(context.Background(), 0, 60, Steady(Face{AirC: math.NaN()}, Adiabatic(), nil)); err == nil || !strings.Contains(err.Error(), "outer face at 0 s") {
		t.Errorf("a face of NaN: %v", err)
	}
	if err := s.Settle(Adiabatic(), Face{GainWPerM2: 5}, nil); !errors.Is(err, ErrNoBalance) {
		t.Errorf("nothing to settle against: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := s.Advance(ctx, 0, 60, Drive{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// BenchmarkYearOfQuarterHours steps a warm roof through 35 040 quarter hours.
func BenchmarkYearOfQuarterHours(b *testing.B) {
	inner := Room(20, 0.1)
	d := Drive{Outer: day, Inner: func(float64) Face { return inner }}
	for range b.N {
		s := mustNew(b, warmRoof, 10, Options{})
		for q := range 35040 {
			if err := s.Advance(context.Background(), float64(q)*900, float64(q+1)*900, d); err != nil {
				b.Fatal(err)
			}
		}
		taken, refused := s.Steps()
		b.ReportMetric(float64(taken), "steps/year")
		b.ReportMetric(float64(refused), "refused/year")
		b.ReportMetric(float64(len(s.Cells())), "cells")
	}
}
