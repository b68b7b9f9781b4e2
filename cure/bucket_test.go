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

func TestLeftOverIsWarnedOf(t *testing.T) {
	k := matchedRoof(t)
	d, err := k.LeftOver(ctx, 4, 1.1, 2, 25)
	if err != nil {
		t.Fatal(err)
	}
	if d.Verdict != check.Fail || len(d.Remedies) < 2 || !strings.Contains(d.Remedies[0].Text, "tray") || d.SafeKG >= 4 || d.Source.Standing == "" {
		t.Errorf("%+v", d)
	}
	if d.SafeKG > 0 {
		safe, err := k.LeftOver(ctx, d.SafeKG, 1.1, 2, 25)
		if err != nil || safe.PeakC >= scaldC {
			t.Errorf("the %.3f kg called safe reach %.1f °C (%v)", d.SafeKG, safe.PeakC, err)
		}
	}
	small, err := k.LeftOver(ctx, 0.005, 1.1, 1, 6)
	if err != nil || small.Verdict != check.Pass {
		t.Errorf("5 g at 6 °C: %+v %v", small, err)
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
