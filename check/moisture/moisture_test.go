package moisture

import (
	"context"
	"math"
	"strings"
	"testing"
)

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s = %.5f, want %.5f ± %g", name, got, want, tol)
	}
}

func TestSaturationPressureTable(t *testing.T) {
	// Values of the ISO 13788 formulas; published steam tables agree to 1 Pa.
	for c, want := range map[float64]float64{-10: 259.3, -5: 401.2, 0: 610.5, 5: 871.9, 10: 1227.3, 15: 1704.4, 20: 2337.0, 30: 4240.5} {
		near(t, "psat", SaturationPa(c), want, 0.5)
	}
	// A public lesson on condensation: 18 °C at 80 % has its dew point at 14.47 °C.
	near(t, "air of 18 °C and 80 % is saturated at 14.47 °C", SaturationPa(14.47), 0.8*SaturationPa(18), 5)
}

// dublin holds monthly means of one year's hourly observations at a public airport station.
func dublin() []Month {
	t := []float64{5.9, 6.3, 8.0, 8.4, 12.1, 14.3, 15.0, 14.5, 12.4, 11.6, 6.6, 5.4}
	h := []float64{87, 86, 83, 78, 77, 78, 79, 80, 84, 86, 89, 92}
	days := []float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	names := []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}
	var m []Month
	for i := range t {
		m = append(m, Month{Name: names[i], Days: days[i], OutdoorC: t[i], RHPct: h[i], IndoorC: 20})
	}
	return m
}

func warmRoof(vcl bool, class HumidityClass) Roof {
	r := Roof{Class: class, Layers: []Layer{{Name: "plasterboard", ResistanceM2KPerW: .05, SdM: .125}, {Name: "void", ResistanceM2KPerW: .16, SdM: .05}, {Name: "deck", ResistanceM2KPerW: .13846, SdM: .90}}}
	if vcl {
		r.Layers = append(r.Layers, Layer{Name: "vapour control layer", ResistanceM2KPerW: 0, SdM: 50})
	}
	r.Layers = append(r.Layers, Layer{Name: "PIR", ResistanceM2KPerW: 5.45455, SdM: 7.2}, Layer{Name: "carrier board", ResistanceM2KPerW: .13846, SdM: .90}, Layer{Name: "laminate", ResistanceM2KPerW: .0075, SdM: 30})
	return r
}

func coldRoof() Roof {
	return Roof{Class: 3, Layers: []Layer{{Name: "plasterboard", ResistanceM2KPerW: .05, SdM: .125}, {Name: "mineral wool", ResistanceM2KPerW: 3.75, SdM: .15}, {Name: "void", ResistanceM2KPerW: .16, SdM: .05}, {Name: "deck", ResistanceM2KPerW: .13846, SdM: .90}, {Name: "laminate", ResistanceM2KPerW: .0075, SdM: 30}}}
}

// Worked by an independent script (regression only).
func TestRoofsThroughADublinYear(t *testing.T) {
	ctx := context.Background()
	y, err := warmRoof(true, 3).Solve(ctx, dublin())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "warm roof with control layer: peak", y.PeakKG, .00984, .0003)
	near(t, "warm roof with control layer: end", y.EndKG, 0, 1e-9)
	y, err = warmRoof(false, 4).Solve(ctx, dublin())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no control layer, class 4: peak", y.PeakKG, .2424, .012)
	near(t, "no control layer, class 4: residue", y.EndKG, .2149, .011)
	y, err = coldRoof().Solve(ctx, dublin())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sealed cold roof: peak", y.PeakKG, 4.57, .23)
	near(t, "sealed cold roof: residue", y.EndKG, 3.58, .18)
}

// The dew period of DIN 4108-3: −5 °C and 80 % outside, 20 °C and 50 % inside, 90 days.
func TestDewPeriodOfDIN4108(t *testing.T) {
	near(t, "inside vapour pressure, DIN 1168 Pa", 0.5*SaturationPa(20), 1168, 1)
	near(t, "outside vapour pressure, DIN 321 Pa", 0.8*SaturationPa(-5), 321, 1)
	roof := coldRoof()
	nodes, _, totalR := roof.nodes()
	m := Month{Days: 90, OutdoorC: -5, RHPct: 80, IndoorC: 20, IndoorPa: 0.5 * SaturationPa(20)}
	byName := map[string]float64{}
	for i, g := range roof.rates(nodes, totalR, m, nil) {
		byName[nodes[i].name] += g * 90 * 86400
	}
	near(t, "wool / void", byName["mineral wool / void"], 2.775, .14)
	near(t, "void / deck", byName["void / deck"], 1.085, .055)
	near(t, "deck / laminate", byName["deck / laminate"], .0464, .0025)
}

func TestMoistureBehavesAsItMust(t *testing.T) {
	ctx := context.Background()
	solve := func(r Roof) Year {
		y, err := r.Solve(ctx, dublin())
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range y.Water {
			if w < 0 {
				t.Errorf("water below zero: %v", y.Water)
			}
		}
		return y
	}
	with, without := solve(warmRoof(true, 4)), solve(warmRoof(false, 4))
	if with.PeakKG > without.PeakKG {
		t.Error("a vapour control layer raised the peak")
	}
	if solve(warmRoof(false, 3)).PeakKG > without.PeakKG {
		t.Error("a drier room raised the peak")
	}
	tight := warmRoof(false, 4)
	tight.Layers[len(tight.Layers)-1].SdM = 60
	if solve(tight).PeakKG < without.PeakKG-1e-9 {
		t.Error("a tighter skin lowered the peak")
	}
	still := dublin()
	for i := range still {
		still[i].OutdoorC, still[i].RHPct, still[i].IndoorPa = 20, 50, 0.5*SaturationPa(20)
	}
	y, err := warmRoof(false, 3).Solve(ctx, still)
	if err != nil || !y.Never {
		t.Errorf("no gradient and yet condensation: %+v %v", y, err)
	}
}

// Second formulation: brute-force time stepping with explicit diffusion between the
// interfaces, each clamped to saturation while it holds water.
func TestAgainstTimeStepping(t *testing.T) {
	if testing.Short() {
		t.Skip("slow: steps through a year")
	}
	roof := warmRoof(false, 4)
	y, err := roof.Solve(context.Background(), dublin())
	if err != nil {
		t.Fatal(err)
	}
	nodes, _, totalR := roof.nodes()
	n := len(nodes)
	water := make([]float64, n)
	end := 0.0
	for k := 0; k < 12; k++ {
		m := dublin()[(y.Start+k)%12]
		out := m.RHPct / 100 * SaturationPa(m.OutdoorC)
		in := out + 1.1*roof.Class.excessPa(m.OutdoorC)
		const slices = 60
		for s := 0; s < slices; s++ {
			// Relax the pressures with wet or over-saturated nodes clamped.
			p, sat := make([]float64, n), make([]float64, n)
			for i, nd := range nodes {
				sat[i] = SaturationPa(m.IndoorC - (m.IndoorC-m.OutdoorC)*nd.r/totalR)
				p[i] = math.Min(sat[i], in)
			}
			p[0], p[n-1] = in, out
			for sweep := 0; sweep < 4000; sweep++ {
				for i := 1; i < n-1; i++ {
					if water[i] > 0 {
						p[i] = sat[i]
						continue
					}
					a, b := 1/math.Max(nodes[i].sd-nodes[i-1].sd, 1e-6), 1/math.Max(nodes[i+1].sd-nodes[i].sd, 1e-6)
					p[i] = math.Min(sat[i], (a*p[i-1]+b*p[i+1])/(a+b))
				}
			}
			for i := 1; i < n-1; i++ {
				gain := diffusion * ((p[i-1]-p[i])/math.Max(nodes[i].sd-nodes[i-1].sd, 1e-6) - (p[i]-p[i+1])/math.Max(nodes[i+1].sd-nodes[i].sd, 1e-6))
				if gain > 1e-13 || water[i] > 0 {
					water[i] = math.Max(0, water[i]+gain*m.Days*86400/slices)
				}
			}
		}
		end = 0
		for _, w := range water {
			end += w
		}
	}
	near(t, "residue by time stepping", y.EndKG, end, 0.05*end)
}

func TestBadClimateIsRefused(t *testing.T) {
	if _, err := warmRoof(true, 3).Solve(context.Background(), dublin()[:3]); err == nil || !strings.Contains(err.Error(), "12") {
		t.Errorf("three months: %v", err)
	}
}
