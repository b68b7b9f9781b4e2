package laminate

import (
	"math"
	"testing"

	"gelwright/check"
	"gelwright/working"

	"pgregory.net/rapid"
)

func frac(x float64) *working.Figure {
	return working.GivenFigure("x", "glass content", x, "", "test")
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6g, want %.6g ± %g", what, got, want, tol)
	}
}

// Worked by hand from t = 1/ρf + (1−x)/(x·ρr) with ρf 2.56 and ρr 1.20 g/cm³, the
// densities BS 4994 uses (from memory).
func TestThicknessTable(t *testing.T) {
	for _, row := range []struct {
		name                        string
		x, t, mm450, mm600, vf, rho float64
	}{
		{"BS 4994 form, x = 0.25", 0.25, 2.891, 1.301, 1.734, 0.135, 1.384},
		{"BS 4994 form, x = 0.2857 (R = 2.5)", 1 / 3.5, 2.474, 1.113, 1.484, 0.158, 1.415},
		{"BS 4994 form, x = 0.30", 0.30, 2.335, 1.051, 1.401, 0.167, 1.428},
		{"BS 4994 form, x = 0.3333 (R = 2)", 1.0 / 3, 2.057, 0.926, 1.234, 0.190, 1.458},
		{"BS 4994 form, x = 0.35", 0.35, 1.938, 0.872, 1.163, 0.202, 1.474},
	} {
		got, err := ThicknessPerKG(frac(row.x), DefaultDensities())
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+", t", got.Value, row.t, 0.001)
		near(t, row.name+", 450 g", got.Value*0.45, row.mm450, 0.001)
		near(t, row.name+", 600 g", got.Value*0.6, row.mm600, 0.001)
		vf, err := VolumeFraction(frac(row.x), DefaultDensities())
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+", Vf", vf.Value, row.vf, 0.001)
		rho, err := Density(frac(row.x), DefaultDensities())
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+", ρ", rho.Value, row.rho, 0.001)
	}
}

func TestGlassFractionExact(t *testing.T) {
	for R, want := range map[float64]float64{2: 1.0 / 3, 2.25: 4.0 / 13, 2.5: 2.0 / 7, 3: 0.25} {
		x, err := GlassFraction(working.GivenFigure("R", "ratio", R, "", "test"))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "x = 1/(1+R)", x.Value, want, 1e-12)
	}
}

func zone(area, R, soak, lap float64, layers ...float64) Zone {
	return Zone{Key: "laminate.t", Name: "t", Kind: Deck, AreaM2: working.GivenFigure("A", "area", area, "m²", "test"), LapFactor: lap, Layers: layers,
		ResinToGlass: working.GivenFigure("R", "ratio", R, "", "test"), SoakKGPerM2: working.GivenFigure("s", "soak", soak, "kg/m²", "test")}
}

// Two mats of 450: 0.9 kg/m² × 200 = 180 N/mm, 0.9 × 14 000 = 12 600 N/mm (BS 4994 table 5, from memory).
func TestTwoMatsOf450CarryBS4994Load(t *testing.T) {
	b, err := Make(zone(10, 2.5, 0.45, 1, 450, 450))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "strength", b.StrengthNPerMM.Value, 180, 1e-9)
	near(t, "stiffness", b.StiffnessNPerMM.Value, 12600, 1e-9)
}

// Common practice, no source: resin including what the boards drink is 1.4–1.6 for
// one 450, 1.9–2.1 for one 600, 2.6–3.0 kg/m² for two 450.
func TestConsumptionIsWhatRoofersUse(t *testing.T) {
	for _, row := range []struct {
		layers    []float64
		low, high float64
	}{{[]float64{450}, 1.4, 1.6}, {[]float64{600}, 1.9, 2.1}, {[]float64{450, 450}, 2.6, 3.0}} {
		b, err := Make(zone(1, 2.5, 0.45, 1, row.layers...))
		if err != nil {
			t.Fatal(err)
		}
		if q := b.ResinKGPerM2.Value; q < row.low || q > row.high {
			t.Errorf("%v g/m²: %g kg/m², the trade uses %g–%g", row.layers, q, row.low, row.high)
		}
	}
}

// A 100 × 100 mm coupon of one 450 at 30 % glass weighs 4.5 g of glass, 15 g in all (arithmetic).
func TestCoupon(t *testing.T) {
	b, err := Make(zone(0.01, 7.0/3, 0.4, 1, 450))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "glass", b.GlassKG.Value*1000, 4.5, 1e-9)
	near(t, "laminate", b.CuredKGPerM2.Value*0.01*1000, 15, 1e-9)
}

func TestMassesHangTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		area, R := rapid.Float64Range(0, 5000).Draw(t, "area"), rapid.Float64Range(1, 4).Draw(t, "R")
		soak, lap := rapid.Float64Range(0, 1).Draw(t, "soak"), rapid.Float64Range(1, 1.3).Draw(t, "lap")
		layers := rapid.SliceOfN(rapid.SampledFrom([]float64{225, 300, 450, 600}), 1, 3).Draw(t, "layers")
		z := zone(area, R, soak, lap, layers...)
		z.TissueGPerM2 = rapid.SampledFrom([]float64{0, 30}).Draw(t, "tissue")
		b, err := Make(z)
		if err != nil {
			t.Fatal(err)
		}
		// Volume of the parts equals area times thickness: mm·m² is litres.
		d := DefaultDensities()
		volume := b.GlassKG.Value/d.GlassGPerCM3 + (b.ResinKG.Value-b.SoakKG.Value)/d.CuredResinGPerCM3
		if math.Abs(volume-area*lap*b.ThicknessMM.Value) > 1e-9*(1+volume) {
			t.Fatalf("parts fill %g l, the laminate %g l", volume, area*lap*b.ThicknessMM.Value)
		}
		half := z
		half.AreaM2 = working.GivenFigure("A", "area", area/2, "m²", "test")
		h, err := Make(half)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(2*h.ResinKG.Value-b.ResinKG.Value) > 1e-9*(1+b.ResinKG.Value) {
			t.Fatal("half the area does not take half the resin")
		}
	})
}

// 0.5 kg/m² cured at 1.2 g/cm³ with nothing lost is 0.42 mm, the trade's "about
// 0.4" (arithmetic); styrene 35 % loses 0.172 kg/kg by 40 CFR 63 VVVV table 3.
func TestTopCoatFilm(t *testing.T) {
	f, err := MakeFilm(Coat{Key: "topcoat.t", Name: "t", AreaM2: working.GivenFigure("A", "area", 20, "m²", "test"),
		KGPerM2: working.GivenFigure("w", "coat", 0.5, "kg/m²", "test"), Coats: 2, LiquidKGPerL: 1.25, CuredGPerCM3: 1.2, StyreneFraction: 0.35})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mass", f.KG.Value, 20, 1e-9)
	near(t, "litres", f.Litres.Value, 16, 1e-9)
	near(t, "wet film", f.WetMM.Value, 0.4, 1e-9)
	near(t, "dry film, no loss", f.DryMM.High/2, 0.41667, 1e-4)
	near(t, "40 CFR 63 VVVV table 3, 35 % styrene", f.StyreneLossKG.Value/20, 0.172, 0.172*0.01)
	if !(f.DryMM.Low < f.DryMM.Value && f.DryMM.Value < f.DryMM.High) {
		t.Errorf("dry film %g is not within %g–%g", f.DryMM.Value, f.DryMM.Low, f.DryMM.High)
	}
}

func TestChecksSpeakUp(t *testing.T) {
	for R, want := range map[float64]check.Verdict{2.3: check.Pass, 3.5: check.Fail, 1.5: check.Fail, 2.8: check.Caution} {
		b, err := Make(zone(1, R, 0, 1, 450))
		if err != nil {
			t.Fatal(err)
		}
		r := CheckGlass(b)
		if r.Verdict != want {
			t.Errorf("R = %g: %s, want %s", R, r.Verdict, want)
		}
		if r.Verdict == check.Fail && len(r.Remedies) == 0 {
			t.Errorf("R = %g fails without a remedy", R)
		}
	}
	for w, want := range map[float64]check.Verdict{0.3: check.Fail, 0.45: check.Caution, 0.5: check.Pass, 0.9: check.Fail} {
		f, err := MakeFilm(Coat{Name: "t", AreaM2: frac(1), KGPerM2: frac(w), Coats: 1, LiquidKGPerL: 1.2, CuredGPerCM3: 1.3, StyreneFraction: 0.3})
		if err != nil {
			t.Fatal(err)
		}
		if r := CheckFilm(f); r.Verdict != want {
			t.Errorf("%g kg/m²: %s, want %s", w, r.Verdict, want)
		}
	}
}

func TestSlipsAreRefused(t *testing.T) {
	bad := map[string]Zone{
		"negative area": zone(-1, 2.3, 0, 1, 450), "NaN area": zone(math.NaN(), 2.3, 0, 1, 450), "kg for g": zone(1, 2.3, 0, 1, 0.45),
		"no mat": zone(1, 2.3, 0, 1), "ratio zero": zone(1, 0, 0, 1, 450), "soak in grams": zone(1, 2.3, 400, 1, 450), "lap percent": zone(1, 2.3, 0, 10, 450),
		"no figures": {Name: "x"},
	}
	for name, z := range bad {
		if _, err := Make(z); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
	if _, err := MakeFilm(Coat{}); err == nil {
		t.Error("an empty top coat is taken")
	}
	if _, err := ThicknessPerKG(frac(30), DefaultDensities()); err == nil {
		t.Error("glass content in per cent is taken as a fraction")
	}
}

func TestEveryFigureCanBeUnfolded(t *testing.T) {
	z := zone(17.92, 2.3, 0.45, 1.05, 450)
	z.TissueGPerM2 = 30
	b, err := Make(z)
	if err != nil {
		t.Fatal(err)
	}
	var walk func(f *working.Figure)
	walk = func(f *working.Figure) {
		if f.Source.Standing == "" {
			t.Errorf("%s has no standing", f.Name)
		}
		if len(f.Inputs) > 0 && f.By() == "" {
			t.Errorf("%s has inputs and no formula", f.Name)
		}
		for _, in := range f.Inputs {
			walk(in)
		}
	}
	for _, f := range []*working.Figure{b.GlassKG, b.ResinKG, b.SoakKG, b.ThicknessMM, b.StrengthNPerMM, b.StiffnessNPerMM, b.CuredKGPerM2, b.VolumeGlass, b.DensityGCM3} {
		walk(f)
	}
}
