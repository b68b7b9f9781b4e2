package cure

import (
	"fmt"
	"math"
	"testing"

	"gelwright/elementary"
	"gelwright/material"
)

// A dose leaves by its earliest gel the minutes that are wanted, unless it is the least that may be.
func TestADoseLeavesWhatIsWanted(t *testing.T) {
	tried := 0
	for _, r := range material.Generic().Resins {
		g, err := NewGel(r)
		if err != nil {
			t.Fatal(err)
		}
		for c := 5.0; c <= 35; c++ {
			for _, wanted := range []float64{15, 20, 30} {
				aim := Aim{WantedMin: wanted}
				pct, ok := Doses(&g, At(c), 10, aim)
				if !ok || pct <= g.leastAt(c)+1e-9 {
					continue
				}
				tried++
				if ln, half := g.predict(c, pct); elementary.Exp(ln-half) < wanted-1e-9 {
					t.Errorf("%s at %g °C with %.2f %%: %.1f min at the earliest, %g wanted", r.Name, c, pct, elementary.Exp(ln-half), wanted)
				}
			}
		}
	}
	if tried < 50 {
		t.Errorf("only %d doses", tried)
	}
}

// Minutes that are too few are told down to a tenth, never up, and no less than none.
func TestMinutesThatAreTooFew(t *testing.T) {
	for min, want := range map[float64]float64{12.39: 12.3, 8: 8, 0.05: 0, -3: 0} {
		if got := short(min); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g min are told as %g, want %g", min, got, want)
		}
	}
}

// Ten degrees beyond the evidence ln t is doubted by 0.15 more (assumed). By hand: √(0.05² + 0.15² + 0.10²) of drum, distance and site,
// times 1.64485 for nine in ten; a cup at the edge of that lies 1.64485 standard deviations off (Abramowitz and Stegun, table 26.5).
func TestDoubtBeyondTheEvidence(t *testing.T) {
	g := law(t, 20, 2, 60, 1)
	for c, sd := range map[float64]float64{20: math.Sqrt(0.05*0.05 + 0.1*0.1), 45: math.Sqrt(0.05*0.05 + 0.15*0.15 + 0.1*0.1), -5: math.Sqrt(0.05*0.05 + 0.15*0.15 + 0.1*0.1)} {
		ln, half := g.predict(c, 2)
		near(t, "half width", half, 1.644853627*sd, 1e-9)
		near(t, "spread", g.SD(c, 2), sd, 1e-9)
		near(t, "a cup at the edge", g.CupSurprise(c, 2, math.Exp(ln+half)), 1.644853627, 1e-9)
		near(t, "a cup a spread early", g.CupSurprise(c, 2, math.Exp(ln-sd)), -1, 1e-9)
	}
}

// A film of 2 kg resin and 0.9 kg glass by hand: 2/1100 + 0.9/2560 m thick, 2.9 kg, 2·cp + 0.9·0.82 kJ/K.
func TestAFilmAsALayer(t *testing.T) {
	k := Roof()
	l := Film{ResinKGPerM2: 2, GlassKGPerM2: 0.9}.Laminate(k)
	mm := 1000 * (2./1100 + 0.9/2560)
	near(t, "thickness, mm", l.ThicknessMM, mm, 1e-9)
	near(t, "mass, kg/m²", l.DensityKgPerM3*l.ThicknessMM/1000, 2.9, 1e-9)
	near(t, "heat of it, J/K", l.HeatJPerKgK*2.9, 2000*k.HeatCapacityKJPerKGK+0.9*820, 1e-6)
}

// A film is cool when no slice of it is warmer than its deck nor gives off more heat than a still one does: of 2 kg/m² of 1100 kg/m³,
// by hand, its gain times 2/1100.
func TestWhenAFilmIsCool(t *testing.T) {
	quiet := quietSliceWM2 * 1100 / 2
	for _, c := range []struct {
		temp, gain float64
		cool       bool
	}{
		{0, 0, true}, {coolK * 0.99, quiet * 0.99, true}, {coolK * 1.01, 0, false}, {-coolK * 1.01, 0, false}, {0, quiet * 1.01, false},
	} {
		s := &filmState{f: &Film{ResinKGPerM2: 2}, resinKGPerM3: 1100, temp: []float64{0, c.temp}, gain: []float64{0, c.gain}}
		if s.cool() != c.cool {
			t.Errorf("%g K warmer, %g W/m³: cool is %v", c.temp, c.gain, !c.cool)
		}
	}
}

// A sentence names one temperature where pail and deck have one, else both, and how warm the deck may be.
func TestTemperaturesInWords(t *testing.T) {
	for want, c := range map[string]Temps{
		"at 20.0 °C": At(20),
		"with the resin at 24.0 °C and the deck at 31.0 °C":       {ResinC: 24, DeckC: 31},
		"with the resin at 20.0 °C and the deck at up to 31.0 °C": {ResinC: 20, DeckC: 20, HotC: 31},
		"at 21.0 °C": {ResinC: 21, DeckC: 21, HotC: 21},
	} {
		if got := c.Words(); got != want {
			t.Errorf("%+v: %q, want %q", c, got, want)
		}
	}
}

// The sequences of the eight inputs have the first eight primes as bases (J. H. Halton, Numerische Mathematik 2, 1960, 84–90).
func TestBasesAreTheFirstPrimes(t *testing.T) {
	k := 0
	for n := 2; k < len(haltonBases); n++ {
		prime := true
		for d := 2; d < n; d++ {
			prime = prime && n%d != 0
		}
		if !prime {
			continue
		}
		if haltonBases[k] != n {
			t.Errorf("base %d is %d, the prime is %d", k, haltonBases[k], n)
		}
		k++
	}
}

// Of 0 to 99 each at the middle of its hundredth, 5, 50 and 95 of 100 lie below 4.5, 49.5 and 94.5.
func TestFractilesByHand(t *testing.T) {
	var v []float64
	for i := range 100 {
		v = append(v, float64((i*37)%100))
	}
	low, mid, high := fractiles(v)
	if low != 4.5 || mid != 49.5 || high != 94.5 {
		t.Errorf("%g, %g and %g", low, mid, high)
	}
	if low, mid, high = fractiles([]float64{3}); low != 3 || mid != 3 || high != 3 {
		t.Errorf("of one: %g, %g and %g", low, mid, high)
	}
	if low, mid, high = fractiles([]float64{math.Inf(1), 1, 3, 2}); low != 1 || mid != 2.5 || !math.IsInf(high, 1) {
		t.Errorf("of four, one never: %g, %g and %g", low, mid, high)
	}
	if share(5) != 0.05 {
		t.Errorf("5 %% are %g", share(5))
	}
}

// Water takes 4.18 kJ to the kelvin and kilogram (4.1813 at 25 °C: Handbook of Chemistry and Physics, from memory).
func TestHeatOfWater(t *testing.T) { near(t, "water", waterHeat, 4.1813, 0.005) }

// A catalyst makes a gel more than 0.2 and less than 5 times as long.
func TestHowMuchSlowerACatalystMayBe(t *testing.T) {
	r := material.Resin{DensityKGPerL: 1.1}
	for f, ok := range map[float64]bool{0.2: false, 0.205: true, 4.9: true, 5: false} {
		c := material.Catalyst{DensityGPerML: 1.15, GelFactor: f, GelFactorSD: 0.1}
		if _, err := law(t, 20, 2, 60, 1).With(r, c); (err == nil) != ok {
			t.Errorf("%g times as long: %v", f, err)
		}
	}
	for sd, ok := range map[float64]bool{0: true, -0.01: false, 0.99: true, 1: false} {
		c := material.Catalyst{DensityGPerML: 1.15, GelFactor: 1.5, GelFactorSD: sd}
		if _, err := law(t, 20, 2, 60, 1).With(r, c); (err == nil) != ok {
			t.Errorf("a spread of %g: %v", sd, err)
		}
	}
}

// All of a bucket may stay in it when the rest is poured, but no more than that, and something.
func TestWhatStaysInABucket(t *testing.T) {
	for left, ok := range map[float64]bool{0: false, 0.1: true, 5: true, 5.1: false} {
		b := Bucket{KG: 5, DensityKGPerL: 1.1, AirC: 20, StartC: 20, PourMin: 10, LeftKG: left, EndMin: 100}
		if _, err := b.filled(); (err == nil) != ok {
			t.Errorf("%g of 5 kg stay: %v", left, err)
		}
	}
}

// k·α(1 − α) is greatest at one half, where it is k/4.
func TestPeakRateByHand(t *testing.T) {
	k := Kinetics{RefC: 20, RefPct: 2, K1PerS: 1e-12, K2PerS: 1, M: 1, N: 1}
	rate, alpha := k.peakRate(20, 2)
	near(t, "rate", rate, 0.25, 1e-9)
	near(t, "conversion", alpha, 0.5, 1e-12)
}

// Milestones have names, and what is none has a number.
func TestMilestonesAreNamed(t *testing.T) {
	for _, m := range Milestones() {
		if m.String() != milestoneNames[m] || m.Done() != milestoneDone[m] {
			t.Errorf("%d is %q, done %q", int(m), m.String(), m.Done())
		}
	}
	for _, m := range []Milestone{-1, milestones} {
		if want := fmt.Sprintf("milestone %d", int(m)); m.String() != want || m.Done() != want {
			t.Errorf("%d is %q, done %q", int(m), m.String(), m.Done())
		}
	}
}

// Assumed, and held so that a change is made on purpose: how brands differ, the sheet's cup, and how deep leavings are asked for, mm.
func TestAssumptionsOfCupsAndLeavings(t *testing.T) {
	for name, c := range map[string][2]float64{
		"usual catalyst, g/ml": {usualGPerML, 1.15}, "level of brands": {brandLevel, 0.28}, "E of brands": {brandE, 12}, "exponent of brands": {brandN, 0.22}, "cup, kg": {sheetCupKG, 0.1},
		"resin in the cup, kg/l": {sheetCupDensity, 1.1}, "least depth": {leastDepth, 0.5}, "most depth": {mostDepth, 12}, "step of depth": {depthStepMM, 0.5},
	} {
		if c[0] != c[1] {
			t.Errorf("%s is %g, assumed %g", name, c[0], c[1])
		}
	}
}
