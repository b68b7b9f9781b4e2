package cure

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gelwright/check"

	"pgregory.net/rapid"
)

func matchedRoof(t testing.TB) Kinetics {
	t.Helper()
	g, _ := sheetGel(t, "resin.all-season")
	return Roof().Matched(g, 20, 2)
}

func bucketRun(t testing.TB, k Kinetics, b Bucket, pct float64) BucketRun {
	t.Helper()
	r, err := k.Bucket(ctx, b, pct)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Regression only (Runge–Kutta elsewhere): set fast, τ ∝ m^(1/3) from 1070 s at 0.1 kg.
// What it says is the point: mass moves the peak and hardly the gel.
func TestMassMovesThePeakNotTheGel(t *testing.T) {
	k := Illustrative()[0]
	for _, c := range []struct{ kg, peak float64 }{{0.1, 159.6}, {0.5, 183.0}, {1, 188.6}, {2, 192.9}, {5, 197.0}} {
		τ := 1070 * math.Cbrt(c.kg/0.1)
		h := heating{k: &k, pct: refPct, startC: 25, airC: 25, massKG: c.kg, capJPerK: 1900 * c.kg, lossWPerK: 1900 * c.kg / τ, endS: 4 * 3600}
		r, err := h.run(ctx)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "peak", r.PeakC, c.peak, 0.06)
		near(t, "gel", r.GelMin, 13.6, 0.25)
	}
}

func TestBucketGeometryByHand(t *testing.T) {
	// 5 kg at 1.1 kg/l is 4.545 l; as wide as deep d³ = 4V/π: 179.6 mm; area 1.5·π·d² = 0.1519 m².
	b := Bucket{KG: 5, DensityKGPerL: 1.1}
	area, depth := b.Geometry(5)
	near(t, "depth", depth, 179.56, 0.02)
	near(t, "area", area, 1.5*math.Pi*0.17956*0.17956, 1e-4)
	// In a 280 mm bucket it is 73.8 mm deep.
	b.DiameterMM = 280
	_, depth = b.Geometry(5)
	near(t, "depth in a wide bucket", depth, 73.82, 0.02)
}

func TestPouringOutCoolsWhatIsLeft(t *testing.T) {
	k := matchedRoof(t)
	full := Bucket{KG: 5, DensityKGPerL: 1.1, DiameterMM: 280, AirC: 15, StartC: 15, Trace: true}
	kept := bucketRun(t, k, full, 2)
	poured := full
	poured.PourMin, poured.LeftKG = 5, 0.1
	left := bucketRun(t, k, poured, 2)
	if left.PeakC > kept.PeakC-30 {
		t.Errorf("0.1 kg left after pouring peaks at %.0f °C, all of it at %.0f °C", left.PeakC, kept.PeakC)
	}
	for i := 1; i < len(kept.Trace); i++ {
		if kept.Trace[i].Min <= kept.Trace[i-1].Min || kept.Trace[i].Alpha < kept.Trace[i-1].Alpha {
			t.Fatalf("the curve turns back at %g min", kept.Trace[i].Min)
		}
	}
	if !kept.Runaway() {
		t.Errorf("5 kg of live resin at 15 °C do not run away: ψ %.3f, limit %.3f", kept.Psi, kept.PsiCritical)
	}
}

// Warm resin that has not begun to cure cools as two exponentials, the second from the minute
// at which it is poured out: 5 kg in a 280 mm pail, 1 kg left after 10 min, by hand.
func TestPouringOutHappensAtItsMinute(t *testing.T) {
	k := Roof()
	k.InductionS = 1e7
	b := Bucket{KG: 5, DensityKGPerL: 1.1, DiameterMM: 280, AirC: 10, StartC: 40, PourMin: 10, LeftKG: 1, EndMin: 30}
	r := bucketRun(t, k, b, 1)
	perMin := func(kg float64) float64 {
		area := math.Pi*0.28*0.28/2 + math.Pi*0.28*(kg/1100)/(math.Pi*0.28*0.28/4)
		return 60 * 10 * area / (1900 * kg)
	}
	want := 10 + 30*math.Exp(-10*perMin(5)-20*perMin(1))
	near(t, "after pouring", r.EndC, want, 1e-3)
	b.PourMin = 20
	near(t, "poured later", bucketRun(t, k, b, 1).EndC, 10+30*math.Exp(-20*perMin(5)-10*perMin(1)), 1e-3)
}

func TestColdResinOnAColdSiteTakesItsTime(t *testing.T) {
	k := matchedRoof(t)
	cold := bucketRun(t, k, Bucket{KG: 2, DensityKGPerL: 1.1, AirC: 6, StartC: 6}, 2)
	warmed := bucketRun(t, k, Bucket{KG: 2, DensityKGPerL: 1.1, AirC: 6, StartC: 18}, 2)
	if warmed.GelMin > 0.7*cold.GelMin {
		t.Errorf("resin warmed to 18 °C gels in %.0f min, cold in %.0f", warmed.GelMin, cold.GelMin)
	}
}

func TestBucketProperties(t *testing.T) {
	base := matchedRoof(t)
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(0.1, 20).Draw(t, "kg")
		air := rapid.Float64Range(5, 35).Draw(t, "air")
		pct := rapid.Float64Range(1, 3.5).Draw(t, "pct")
		run := func(kg, air, pct float64) BucketRun {
			r, err := base.Bucket(ctx, Bucket{KG: kg, DensityKGPerL: 1.1, AirC: air, StartC: air}, pct)
			if err != nil {
				t.Fatal(err)
			}
			return r
		}
		r := run(kg, air, pct)
		if top := air + base.AdiabaticK(); r.PeakC > top {
			t.Fatalf("peak %g °C above %g, where all heat is kept", r.PeakC, top)
		}
		if r.PeakC < air-1e-6 || r.EndAlpha > 1 || r.EndAlpha < 0 {
			t.Fatalf("%+v", r)
		}
		if more := run(kg*1.5, air, pct); more.PeakC < r.PeakC-1e-4 || more.GelMin > r.GelMin+1e-6 {
			t.Fatalf("half as much again: peak %g, gel %g, before %g, %g", more.PeakC, more.GelMin, r.PeakC, r.GelMin)
		}
		if warm := run(kg, air+3, pct); warm.PeakC < r.PeakC || warm.GelMin > r.GelMin {
			t.Fatalf("3 K warmer: peak %g, gel %g, before %g, %g", warm.PeakC, warm.GelMin, r.PeakC, r.GelMin)
		}
		wrapped, err := base.Bucket(ctx, Bucket{KG: kg, DensityKGPerL: 1.1, AirC: air, StartC: air, WallWPerM2K: 5}, pct)
		if err != nil || wrapped.PeakC < r.PeakC {
			t.Fatalf("losing half as much heat: peak %g, before %g (%v)", wrapped.PeakC, r.PeakC, err)
		}
		if strong := run(kg, air, pct*1.1); strong.PeakC < r.PeakC-1e-4 || strong.GelMin > r.GelMin {
			t.Fatalf("more catalyst: peak %g, gel %g, before %g, %g", strong.PeakC, strong.GelMin, r.PeakC, r.GelMin)
		}
	})
}

func leftOver(t *testing.T, kg, pct, airC float64) Danger {
	t.Helper()
	g, _ := sheetGel(t, "resin.all-season")
	d, err := Roof().LeftOver(ctx, g, Left{KG: kg, DensityKGPerL: 1.1, Pct: pct, AirC: airC})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestLeftOverIsWarnedOf(t *testing.T) {
	d := leftOver(t, 4, 2, 25)
	if d.Verdict != check.Fail || len(d.Remedies) < 3 || !strings.Contains(d.Remedies[0].Text, "dry sand") || !(d.SafeKG > worthKG && d.SafeKG < 4) ||
		!strings.Contains(d.Remedies[0].Text, "water (common practice, no source") && !strings.Contains(d.Remedies[0].Text, "mm (common practice, no source") ||
		d.Source.Standing == "" {
		t.Errorf("%+v", d)
	}
	if !(d.PeakLowC < d.PeakC-10 && d.PeakC < d.PeakHighC-10) || !strings.Contains(d.Finding, "boiling left out") ||
		d.Figures[0].Low != d.PeakLowC || d.Figures[0].High != d.PeakHighC {
		t.Errorf("a peak without its range: %+v", d)
	}
	if text := d.Remedies[len(d.Remedies)-1].Text; !strings.Contains(text, "leave no more than") {
		t.Errorf("what may be left is not said: %s", text)
	}
	safe := leftOver(t, d.SafeKG, 2, 25)
	if safe.PeakHighC >= scaldC || safe.Verdict != check.Pass {
		t.Errorf("the %.3f kg called safe reach %.1f °C", d.SafeKG, safe.PeakHighC)
	}
	if more := leftOver(t, 1.05*d.SafeKG, 2, 25); more.PeakHighC < scaldC {
		t.Errorf("5 %% more than the %.3f kg called safe reach %.1f °C", d.SafeKG, more.PeakHighC)
	}
	// 100 g on the bottom of a 280 mm pail are 1.5 mm deep: they warm by some kelvin.
	film := leftOver(t, 0.1, 2, 20)
	if film.Verdict != check.Caution || film.PeakC > 32 || !strings.Contains(film.Finding, "100 g left in a 280 mm pail") ||
		!strings.Contains(film.Finding, "may get too hot to touch: about 29 °C") {
		t.Errorf("a film on the bottom of the pail: %+v", film)
	}
	film = leftOver(t, 0.1, 2, 12)
	if film.Verdict != check.Pass || film.PeakHighC > 30 || len(film.Remedies) != 0 {
		t.Errorf("a film on the bottom of the pail: %+v", film)
	}
}

// peakOf is how warm a body gets that is followed through the whole day.
func peakOf(t testing.TB, a leaving, b body) float64 {
	t.Helper()
	h := heating{k: &a.k, pct: a.l.Pct, startC: a.l.AirC, airC: a.l.AirC, massKG: b.massKG, capJPerK: b.capJPerK, lossWPerK: b.lossWPerK,
		endS: 24 * 3600}
	r, err := h.run(ctx)
	if err != nil {
		t.Fatal(err)
	}
	return r.PeakC
}

// A rest is judged without following it to its end and with a coarser step: the answer is that
// of the whole day, but for a few hundredths of a kelvin about the scald itself.
func TestScaldsAsTheWholeDayDoes(t *testing.T) {
	t.Parallel()
	g, _ := sheetGel(t, "resin.all-season")
	near := 0
	for _, airC := range []float64{5, 12, 20, 28, 33} {
		k, err := Roof().Timed(ctx, g, airC, 2)
		if err != nil {
			t.Fatal(err)
		}
		a := leaving{k, Left{KG: 3, DensityKGPerL: 1.1, DiameterMM: PailMM, Pct: 2, AirC: airC}, leastLossWPerM2K}
		var bodies []body
		for v := 0.02; v < 12; v *= 1.11 {
			bodies = append(bodies, a.lumped(v), a.spread(v))
		}
		for _, b := range bodies {
			peak := peakOf(t, a, b)
			hot, err := a.scalds(ctx, b)
			if err != nil {
				t.Fatal(err)
			}
			if hot != (peak >= scaldC) && math.Abs(peak-scaldC) > 0.02 {
				t.Errorf("%g °C, %+v: scalds %t, the day's peak is %.4f °C", airC, b, hot, peak)
			}
			if math.Abs(peak-scaldC) < 4 {
				near++
			}
		}
	}
	if near < 5 {
		t.Errorf("only %d of the bodies come near the scald", near)
	}
}

// What is advised is safe by the model itself, with the strongest heat and the least loss: the
// depth stays below 60 °C on a bed that takes no heat, the next half millimetre or two does
// not, and the sand takes the heat of the whole cure though nothing is lost.
func TestAdviceForLeavingsIsSafeByTheModel(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	last := 100.0
	for _, airC := range []float64{8, 12, 20, 28, 33} {
		d := leftOver(t, 3, 2, airC)
		_, half := g.predict(airC, 2)
		k, err := Roof().Timed(ctx, g.later(-half), airC, 2)
		if err != nil {
			t.Fatal(err)
		}
		k.HeatKJPerKG = 400
		hottest := leaving{k, Left{DensityKGPerL: 1.1, Pct: 2, AirC: airC}, leastLossWPerM2K}
		at := func(mm float64) float64 {
			return peakOf(t, hottest, hottest.spread(mm))
		}
		if d.SafeDepthMM > 0 && at(d.SafeDepthMM) >= scaldC || at(d.SafeDepthMM+1) < scaldC || d.SafeDepthMM > last {
			t.Errorf("%g °C: %g mm reach %.0f °C, a millimetre more %.0f", airC, d.SafeDepthMM, at(math.Max(d.SafeDepthMM, 0.5)), at(d.SafeDepthMM+1))
		}
		last = d.SafeDepthMM
		if at(10) < smokeC {
			t.Errorf("%g °C: 10 mm reach only %.0f °C", airC, at(10))
		}
		// One litre of resin, n of sand: 440 kJ warm 1.1 kg at 1.9 and n·1.6 kg at 0.8 kJ/(kg·K).
		mixed := airC + 440/(1.1*1.9+d.SandVolumes*1.6*0.8)
		if mixed > scaldC || mixed < scaldC-8 {
			t.Errorf("%g °C: %g volumes of sand reach %.1f °C", airC, d.SandVolumes, mixed)
		}
		t.Logf("%g °C: %.1f mm, %g volumes of sand, 3 kg %.0f (%.0f to %.0f) °C, safe %.2f kg", airC, d.SafeDepthMM, d.SandVolumes, d.PeakC,
			d.PeakLowC, d.PeakHighC, d.SafeKG)
	}
}

// Peaks of the roof set: 100 g at 25 and 30 °C within the 145 to 165 °C of an orthophthalic
// data sheet; masses of half a kilogram and more within the 150 to 200 °C of castings on a
// warm day; a cold day within 15 K of a compiled table (unreviewed, low trust: 120 to 150 °C
// at 10 °C, 150 to 200 at 20); and mass counts: as in the fitted set "fast", 100 g to 5 kg
// are 20 to 45 K apart.
func TestPeaksAgainstPublishedRanges(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	peak := func(kg, airC, pct float64) float64 {
		k, err := Roof().Timed(ctx, g, airC, pct)
		if err != nil {
			t.Fatal(err)
		}
		return bucketRun(t, k, Bucket{KG: kg, DensityKGPerL: 1.1, AirC: airC, StartC: airC}, pct).PeakC
	}
	for _, c := range []struct{ kg, airC, pct, low, high float64 }{
		{0.1, 25, 1.5, 145, 165}, {0.1, 30, 1.5, 145, 165}, {0.5, 20, 1.75, 150, 200}, {1, 20, 1.75, 150, 200}, {5, 20, 1.75, 150, 200},
		{5, 25, 1.25, 150, 200}, {5, 30, 1, 150, 200}, {0.1, 10, 2.75, 120, 150}, {0.5, 10, 2.75, 120, 150}, {5, 10, 2.75, 120, 165},
	} {
		if p := peak(c.kg, c.airC, c.pct); p < c.low || p > c.high {
			t.Errorf("%g kg at %g °C with %g %%: %.0f °C, published %g to %g", c.kg, c.airC, c.pct, p, c.low, c.high)
		}
	}
	for _, airC := range []float64{10, 20, 30} {
		if d := peak(5, airC, 2) - peak(0.1, airC, 2); d < 20 || d > 45 {
			t.Errorf("%g °C: 5 kg peak %.0f K above 100 g", airC, d)
		}
	}
}

// The sheet's own cup has warmed itself by the time it gels: 100 g gel when the law says, and
// 5 kg at most 3 % sooner.
func TestNoHeatIsCountedTwice(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	for _, c := range [][2]float64{{6, 3.5}, {15, 2}, {20, 2}, {30, 1}} {
		k, err := Roof().Timed(ctx, g, c[0], c[1])
		if err != nil {
			t.Fatal(err)
		}
		want := g.likely(c[0], c[1])
		cup := bucketRun(t, k, Bucket{KG: 0.1, DensityKGPerL: 1.1, AirC: c[0], StartC: c[0]}, c[1]).GelMin
		pail := bucketRun(t, k, Bucket{KG: 5, DensityKGPerL: 1.1, AirC: c[0], StartC: c[0]}, c[1]).GelMin
		if math.Abs(cup/want-1) > 1e-3 || pail > cup || pail < 0.97*cup {
			t.Errorf("%v: the law %.2f min, the cup %.2f, 5 kg %.2f", c, want, cup, pail)
		}
	}
}

func TestBucketRefusesNonsense(t *testing.T) {
	k := Roof()
	good := Bucket{KG: 2, DensityKGPerL: 1.1, AirC: 20, StartC: 20}
	for name, spoil := range map[string]func(*Bucket){
		"empty": func(b *Bucket) { b.KG = 0 }, "feather": func(b *Bucket) { b.DensityKGPerL = 0 }, "kelvin": func(b *Bucket) { b.AirC = 293 },
		"more left than there was": func(b *Bucket) { b.PourMin, b.LeftKG = 5, 3 }, "all poured": func(b *Bucket) { b.PourMin = 5 }, "NaN": func(b *Bucket) { b.StartC = math.NaN() },
	} {
		b := good
		spoil(&b)
		if _, err := k.Bucket(ctx, b, 2); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	if _, err := k.Bucket(ctx, good, 0); err == nil {
		t.Error("no catalyst passes")
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := k.Bucket(gone, good, 2); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func BenchmarkBucket(b *testing.B) {
	k := Roof()
	for range b.N {
		if _, err := k.Bucket(ctx, Bucket{KG: 2, DensityKGPerL: 1.1, AirC: 20, StartC: 20}, 2); err != nil {
			b.Fatal(err)
		}
	}
}

// What may be left, searched about a guessed critical loss, is what the plain search finds, and
// also where the guess is far off.
func TestARestIsGuessedAndProved(t *testing.T) {
	t.Parallel()
	g, _ := sheetGel(t, "resin.all-season")
	for _, airC := range []float64{5, 20, 30} {
		k, err := Roof().Timed(ctx, g, airC, 2)
		if err != nil {
			t.Fatal(err)
		}
		a := leaving{k, Left{KG: 3, DensityKGPerL: 1.1, DiameterMM: PailMM, Pct: 2, AirC: airC}, leastLossWPerM2K}
		critical, err := a.critical(ctx, a.lumped(leastRestKG), a.lumped(3))
		if err != nil {
			t.Fatal(err)
		}
		for name, of := range map[string]func(float64) body{"pail": a.lumped, "sheet": a.spread} {
			want, _, err := between(func(v float64) (bool, error) { return a.scalds(ctx, of(v)) }, leastRestKG, 3)
			if err != nil {
				t.Fatal(err)
			}
			for _, guess := range []float64{critical, critical / 3, critical * 3, 0, math.Inf(1)} {
				if got, err := a.most(ctx, of, leastRestKG, 3, guess); err != nil || got != want {
					t.Errorf("%s at %g °C, critical loss %g: %g (%v), the plain search finds %g", name, airC, guess, got, err, want)
				}
			}
		}
	}
}
