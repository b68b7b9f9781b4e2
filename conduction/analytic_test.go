package conduction

import (
	"context"
	"errors"
	"math"
	"testing"
)

var timber = Layer{Name: "timber", ThicknessMM: 600, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700}

func mustNew(t testing.TB, layers []Layer, startC float64, o Options) *Slab {
	t.Helper()
	s, err := New(layers, startC, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func advance(t testing.TB, s *Slab, fromS, toS float64, d Drive) {
	t.Helper()
	if err := s.Advance(context.Background(), fromS, toS, d); err != nil {
		t.Fatal(err)
	}
}

// The three closed forms of a half-space that starts uniform: H. S. Carslaw and
// J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, §2.4 eq. (10) held
// surface, §2.9 eq. (7) constant flux, §2.7 eq. (1) convection.
func TestHalfSpace(t *testing.T) {
	const start, t1 = 10.0, 2 * 3600.0
	k, a := timber.ConductivityWPerMK, timber.DiffusivityM2PerS()
	root := math.Sqrt(a * t1)
	for _, c := range []struct {
		name string
		face Face
		rise func(x float64) float64
		tol  float64
	}{
		{"Carslaw & Jaeger §2.4, surface held 30 K above", HeldAt(40), func(x float64) float64 {
			return 30 * math.Erfc(x/(2*root))
		}, 0.03},
		{"Carslaw & Jaeger §2.9, flux 200 W/m²", Face{GainWPerM2: 200}, func(x float64) float64 {
			return 2 * 200 / k * (root/math.Sqrt(math.Pi)*math.Exp(-x*x/(4*a*t1)) - x/2*math.Erfc(x/(2*root)))
		}, 0.05},
		{"Carslaw & Jaeger §2.7, air 30 K above, h 12", Face{AirC: 40, ConvectionWPerM2K: 12}, func(x float64) float64 {
			h := 12 / k
			return 30 * (math.Erfc(x/(2*root)) - math.Exp(h*x+h*h*a*t1)*math.Erfc(x/(2*root)+h*root))
		}, 0.03},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := mustNew(t, []Layer{timber}, start, Options{TolK: 0.001, FirstCellS: 20, Refine: 8})
			advance(t, s, 0, t1, Steady(c.face, Adiabatic(), nil))
			if got, want := s.SurfaceC(), start+c.rise(0); math.Abs(got-want) > c.tol {
				t.Errorf("surface %.4f °C, want %.4f", got, want)
			}
			for i, cell := range s.Cells() {
				if got, want := s.Temps()[i], start+c.rise(cell.DepthMM/1000); math.Abs(got-want) > c.tol {
					t.Errorf("%.2f mm deep: %.4f °C, want %.4f", cell.DepthMM, got, want)
				}
			}
		})
	}
}

// The default grid and tolerance, as a roof uses them, stay within 0.2 K of the
// half-space under a sudden 600 W/m² of sun, at every quarter hour.
func TestHalfSpaceDefaultGrid(t *testing.T) {
	k, a := timber.ConductivityWPerMK, timber.DiffusivityM2PerS()
	h := 12.0
	s := mustNew(t, []Layer{timber}, 10, Options{})
	d := Steady(Face{AirC: 10, ConvectionWPerM2K: h, GainWPerM2: 600}, Adiabatic(), nil)
	for q := 1; q <= 8; q++ {
		t1 := float64(q) * 900
		advance(t, s, t1-900, t1, d)
		// Gain g beside convection acts as air warmer by g/h.
		hk := h / k * math.Sqrt(a*t1)
		want := 10 + 600/h*(1-math.Exp(hk*hk)*math.Erfc(hk))
		if got := s.SurfaceC(); math.Abs(got-want) > 0.2 {
			t.Errorf("after %d quarter hours %.3f °C, Carslaw & Jaeger §2.7 gives %.3f", q, got, want)
		}
	}
}

// A layered wall in steady state: worked by hand from the sum of resistances.
func TestSteadyLayeredWall(t *testing.T) {
	layers := []Layer{
		{Name: "laminate", ThicknessMM: 3, ConductivityWPerMK: 0.20, DensityKgPerM3: 1500, HeatJPerKgK: 1200},
		{Name: "OSB", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700, ContactM2KPerW: 0.16},
		{Name: "PIR", ThicknessMM: 120, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400},
	}
	// 0.04 + 0.015 + 0.1384615 + 0.16 + 5.4545455 + 0.10
	const total = 0.04 + 0.003/0.20 + 0.018/0.13 + 0.16 + 0.120/0.022 + 0.10
	q := (20 - -5) / total
	outer, inner := Face{AirC: -5, ConvectionWPerM2K: 25}, Room(20, 0.10)
	wantSurface := -5 + q*0.04
	wantBoard := wantSurface + q*(0.003/0.20+0.018/0.13)
	check := func(t *testing.T, s *Slab) {
		t.Helper()
		for _, c := range []struct {
			what      string
			got, want float64
		}{
			{"outer surface", s.SurfaceC(), wantSurface},
			{"under the laminate", s.LayerBottomC(0), wantSurface + q*0.003/0.20},
			{"under the board", s.LayerBottomC(1), wantBoard},
			{"inner surface", s.InnerSurfaceC(), 20 - q*0.10},
		} {
			if math.Abs(c.got-c.want) > 1e-6 {
				t.Errorf("%s %.8f °C, by hand %.8f", c.what, c.got, c.want)
			}
		}
	}
	s := mustNew(t, layers, 10, Options{})
	if err := s.Settle(outer, inner, nil); err != nil {
		t.Fatal(err)
	}
	check(t, s)
	// The transient ends in the same place.
	s = mustNew(t, layers, 10, Options{MaxStepS: 1e5})
	advance(t, s, 0, 60*86400, Steady(outer, inner, nil))
	check(t, s)
}

// A uniform source, inner side insulated, outer held: T = Ts + S(L²−(L−x)²)/2k
// (Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, §3.5.1).
func TestSteadySource(t *testing.T) {
	l := Layer{Name: "resin", ThicknessMM: 20, ConductivityWPerMK: 0.2, DensityKgPerM3: 1100, HeatJPerKgK: 1800, Cells: 200}
	s := mustNew(t, []Layer{l}, 20, Options{})
	w := make([]float64, len(s.Cells()))
	for i := range w {
		w[i] = 5000
	}
	if err := s.Settle(HeldAt(20), Adiabatic(), w); err != nil {
		t.Fatal(err)
	}
	want := 20 + 5000*0.02*0.02/(2*0.2)
	if got := s.InnerSurfaceC(); math.Abs(got-want) > 2e-3 {
		t.Errorf("insulated side %.5f °C, want %.5f", got, want)
	}
}

// D. A. Frank-Kamenetskii's critical parameter of a slab that heats itself,
// S = S0·exp(θ): a steady state exists below δ = 0.878 and none above (Diffusion
// and Heat Transfer in Chemical Kinetics, 2nd ed. 1969, ch. VII). The source has
// its slope, as a resin has.
func TestSelfHeatingSlab(t *testing.T) {
	l := Layer{Name: "resin", ThicknessMM: 20, ConductivityWPerMK: 0.2, DensityKgPerM3: 1100, HeatJPerKgK: 1800, Cells: 80}
	const perK = 0.1 // θ = 0.1·(T−20)
	run := func(delta float64) (float64, error) {
		s := mustNew(t, []Layer{l}, 20, Options{MaxStepS: 1e4})
		s0 := delta * l.ConductivityWPerMK / (perK * 0.02 * 0.02)
		d := Steady(HeldAt(20), Adiabatic(), nil)
		d.Source = func(_ float64, temp, w, slope []float64) {
			for i, c := range temp {
				w[i] = s0 * math.Exp(perK*(c-20))
				slope[i] = perK * w[i]
			}
		}
		err := s.Advance(context.Background(), 0, 200*3600, d)
		return s.InnerSurfaceC(), err
	}
	if hot, err := run(0.86); err != nil || hot > 20+1.2/perK {
		t.Errorf("δ 0.86 below the critical 0.878: %.2f °C, %v; want steady below %.1f °C", hot, err, 20+1.2/perK)
	}
	if hot, err := run(0.90); !errors.Is(err, ErrNoBalance) {
		t.Errorf("δ 0.90 above the critical 0.878: %.2f °C, %v; want a runaway", hot, err)
	}
}

// A roof at night, insulated below, ε 0.9, air 10 °C under a sky of −10.46 °C:
// values worked out independently from h(Ta−Ts) = εσ(Ts⁴−Tsky⁴).
func TestNightRoofFullLongwave(t *testing.T) {
	sky := StefanBoltzmann * math.Pow(-10.46+ZeroCelsiusK, 4)
	for _, c := range []struct{ h, want float64 }{{5, 0.97}, {10, 4.13}, {20, 6.54}} {
		s := mustNew(t, []Layer{timber}, 10, Options{})
		f := Face{AirC: 10, ConvectionWPerM2K: c.h, Emissivity: 0.9, IncomingWPerM2: sky}
		if err := s.Settle(f, Adiabatic(), nil); err != nil {
			t.Fatal(err)
		}
		if got := s.SurfaceC(); math.Abs(got-c.want) > 0.02 {
			t.Errorf("h %g: %.3f °C, want %.2f", c.h, got, c.want)
		}
		if q := f.Heat(s.SurfaceC()); math.Abs(q) > 1e-6 {
			t.Errorf("h %g: %g W/m² pass the insulated roof", c.h, q)
		}
	}
}
