package laminate

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/internal/published"
	"gelwright/working"
)

func TestConstantsOfTheLaminate(t *testing.T) {
	rows := []published.Row{
		{Clause: "BS 4994:1987, E-glass (from memory)", Place: "DefaultDensities glass", Got: DefaultDensities().GlassGPerCM3, Want: 2.56},
		{Clause: "BS 4994:1987, cast polyester; data sheets 1.20", Place: "DefaultDensities resin", Got: DefaultDensities().CuredResinGPerCM3, Want: 1.20},
		{Clause: "surface tissue, about 10 % glass (from memory)", Place: "TissueRatio", Got: TissueRatio, Want: 9},
	}
	for kind, want := range map[Reinforcement][2]float64{CSM: {200, 14000}, WovenRoving: {250, 16000}} {
		u, err := UnitStrength(kind)
		if err != nil {
			t.Fatal(err)
		}
		x, err := UnitModulus(kind)
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, published.Row{Clause: "BS 4994:1987 table 5 (from memory)", Place: "UnitStrength " + string(kind), Got: u.Value, Want: want[0]},
			published.Row{Clause: "BS 4994:1987 table 5 (from memory)", Place: "UnitModulus " + string(kind), Got: x.Value, Want: want[1]})
	}
	published.Hold(t, rows)
	if _, err := UnitStrength("jute"); err == nil {
		t.Error("jute has a unit strength")
	}
	if _, err := UnitModulus("jute"); err == nil {
		t.Error("jute has a unit modulus")
	}
}

// ISO 12215-5:2008 annex C (800x² − 80x + 37) and the class rules for small craft (200x + 25), both
// from memory, say 85 N/mm² at 30 % glass; unit strength over thickness agrees within 1 %.
func TestStrengthAgreesWithTwoOtherRules(t *testing.T) {
	b, err := Make(zone(1, 7.0/3, 0, 1, 450))
	if err != nil {
		t.Fatal(err)
	}
	if s := b.StrengthNPerMM.Value / b.ThicknessMM.Value; math.Abs(s-85) > 0.85 {
		t.Errorf("%g N/mm²", s)
	}
}

// Worked apart: 450 g/m² at R 2.3 with 30 g/m² of tissue, 20 m², laps 5 %, soak 0.45.
func TestZoneWithTissueWorkedApart(t *testing.T) {
	z := zone(20, 2.3, 0.45, 1.05, 450)
	z.TissueGPerM2 = 30
	b, err := Make(z)
	if err != nil {
		t.Fatal(err)
	}
	var rows []published.Worked
	for _, r := range []struct {
		name string
		f    *working.Figure
		want float64
	}{
		{"x = 1/3.3", b.GlassFraction, 0.303030}, {"T = 2.307292·0.45 + 7.890625·0.03", b.ThicknessMM, 1.275}, {"mg = 0.48", b.GlassKGPerM2, 0.48}, {"w = 0.48 + 2.3·0.45 + 9·0.03", b.CuredKGPerM2, 1.785},
		{"Q = 1.305 + 0.45", b.ResinKGPerM2, 1.755}, {"Mg = 21·0.48", b.GlassKG, 10.08}, {"Ms = 20·0.45", b.SoakKG, 9}, {"Mr = 21·1.305 + 9", b.ResinKG, 36.405},
		{"N = 200·0.45", b.StrengthNPerMM, 90}, {"EA = 14000·0.45", b.StiffnessNPerMM, 6300},
	} {
		rows = append(rows, published.Worked{Clause: r.name, Place: r.f.Name, Got: r.f.Value, Want: r.want, Digits: 6})
	}
	published.HoldWorked(t, rows)
	// A trim drinks nothing; mats are named from 1.
	z = zone(20, 2.3, 0.45, 0, 300, 450)
	z.SoakKGPerM2 = nil
	if b, err = Make(z); err != nil || b.SoakKG.Value != 0 || math.Abs(b.ResinKG.Value-20*0.75*2.3) > 1e-9 {
		t.Errorf("%+v %v", b, err)
	}
	var out strings.Builder
	if err := working.Unfold(&out, b.ResinKG); err != nil || !strings.Contains(out.String(), "mat layer 1") || !strings.Contains(out.String(), "mat layer 2") || strings.Contains(out.String(), "mat layer 0") {
		t.Errorf("%s %v", out.String(), err)
	}
}

func TestBoundsOfTheLaminate(t *testing.T) {
	ok := func(name string, err error, want bool) {
		t.Helper()
		if (err == nil) != want {
			t.Errorf("%s: %v", name, err)
		}
	}
	for d, want := range map[[2]float64]bool{{2.01, 1.2}: true, {2, 1.2}: false, {2.99, 1.2}: true, {3, 1.2}: false, {2.5, 0.91}: true, {2.5, 0.9}: false, {2.5, 1.99}: true, {2.5, 2}: false} {
		_, err := ThicknessPerKG(frac(0.3), Densities{d[0], d[1]})
		ok(fmt.Sprint("densities ", d), err, want)
		if _, err := VolumeFraction(frac(0.3), Densities{d[0], d[1]}); (err == nil) != want {
			t.Errorf("Vf of %v: %v", d, err)
		}
		if _, err := Density(frac(0.3), Densities{d[0], d[1]}); (err == nil) != want {
			t.Errorf("ρ of %v: %v", d, err)
		}
	}
	for r, want := range map[float64]bool{0.5: true, 0.499: false, 20: true, 20.1: false} {
		_, err := GlassFraction(frac(r))
		ok(fmt.Sprint("ratio ", r), err, want)
	}
	for x, want := range map[float64]bool{0.04: true, 0.0399: false, 0.75: true, 0.751: false} {
		_, err := ThicknessPerKG(frac(x), DefaultDensities())
		ok(fmt.Sprint("glass ", x), err, want)
	}
	for _, c := range []struct {
		name string
		z    Zone
		want bool
	}{
		{"no area", zone(0, 2.3, 0, 1, 450), true}, {"lap 0.99", zone(1, 2.3, 0, 0.99, 450), false}, {"lap 2.99", zone(1, 2.3, 0, 2.99, 450), true}, {"lap 3", zone(1, 2.3, 0, 3, 450), false},
		{"soak 2.99", zone(1, 2.3, 2.99, 1, 450), true}, {"soak 3", zone(1, 2.3, 3, 1, 450), false}, {"soak −0.1", zone(1, 2.3, -0.1, 1, 450), false},
		{"mat of 50", zone(1, 2.3, 0, 1, 50), true}, {"mat of 49.9", zone(1, 2.3, 0, 1, 49.9), false}, {"mat of 2000", zone(1, 2.3, 0, 1, 2000), true}, {"mat of 2001", zone(1, 2.3, 0, 1, 2001), false},
		{"infinite area", zone(math.Inf(1), 2.3, 0, 1, 450), false},
	} {
		_, err := Make(c.z)
		ok(c.name, err, c.want)
	}
	z := zone(1, 2.3, 0, 1, 450)
	for g, want := range map[float64]bool{100: true, 100.1: false, -1: false} {
		z.TissueGPerM2 = g
		_, err := Make(z)
		ok(fmt.Sprint("tissue ", g), err, want)
	}
	z = zone(1, 2.3, 0, 1, 450)
	z.ResinToGlass = nil
	_, err := Make(z)
	ok("no ratio", err, false)
	if _, err := Make(zone(1, 2.3, 0, 1, 450, 10)); err == nil || !strings.Contains(err.Error(), "mat layer 2 is 10") {
		t.Errorf("the second mat is at fault: %v", err)
	}
	coat := func(change func(c *Coat)) error {
		c := Coat{Name: "t", AreaM2: frac(1), KGPerM2: frac(0.5), Coats: 1, LiquidKGPerL: 1.2, CuredGPerCM3: 1.3, StyreneFraction: 0.3}
		change(&c)
		_, err := MakeFilm(c)
		return err
	}
	for _, c := range []struct {
		name   string
		change func(c *Coat)
		want   bool
	}{
		{"nothing to coat", func(c *Coat) { c.AreaM2 = frac(0) }, true}, {"less than nothing", func(c *Coat) { c.AreaM2 = frac(-0.1) }, false}, {"endless", func(c *Coat) { c.AreaM2 = frac(math.Inf(1)) }, false},
		{"no weight", func(c *Coat) { c.KGPerM2 = frac(0) }, false}, {"2 kg/m²", func(c *Coat) { c.KGPerM2 = frac(2) }, true}, {"2.1 kg/m²", func(c *Coat) { c.KGPerM2 = frac(2.1) }, false}, {"weight missing", func(c *Coat) { c.KGPerM2 = nil }, false},
		{"no coat", func(c *Coat) { c.Coats = 0 }, false}, {"six coats", func(c *Coat) { c.Coats = 6 }, true}, {"seven", func(c *Coat) { c.Coats = 7 }, false},
		{"0.8 kg/l", func(c *Coat) { c.LiquidKGPerL = 0.8 }, false}, {"0.81 kg/l", func(c *Coat) { c.LiquidKGPerL = 0.81 }, true}, {"2.49 kg/l", func(c *Coat) { c.LiquidKGPerL = 2.49 }, true}, {"2.5 kg/l", func(c *Coat) { c.LiquidKGPerL = 2.5 }, false},
		{"0.8 g/cm³", func(c *Coat) { c.CuredGPerCM3 = 0.8 }, false}, {"0.81 g/cm³", func(c *Coat) { c.CuredGPerCM3 = 0.81 }, true}, {"2.49 g/cm³", func(c *Coat) { c.CuredGPerCM3 = 2.49 }, true}, {"2.5 g/cm³", func(c *Coat) { c.CuredGPerCM3 = 2.5 }, false},
		{"no styrene", func(c *Coat) { c.StyreneFraction = 0 }, true}, {"60 % styrene", func(c *Coat) { c.StyreneFraction = 0.6 }, true}, {"61 % styrene", func(c *Coat) { c.StyreneFraction = 0.61 }, false},
	} {
		ok(c.name, coat(c.change), c.want)
	}
}

// 40 CFR 63 VVVV table 3: e = 0.445·35^1.675/1000 = 0.171662; dry film from the loss of half as much
// again, 0.25749, to none: n·w/ρ = 1/1.2 mm. With 10 % styrene half as much again is 0.031583.
func TestFilmWorkedApart(t *testing.T) {
	for _, c := range []struct{ s, loss, dry, low float64 }{{0.35, 0.171662, 0.690282, 0.618756}, {0.10, 0.021055, 0.815787, 0.807014}, {0, 0, 0.833333, 0.833333}} {
		f, err := MakeFilm(Coat{Name: "t", AreaM2: frac(20), KGPerM2: frac(0.5), Coats: 2, LiquidKGPerL: 1.25, CuredGPerCM3: 1.2, StyreneFraction: c.s})
		if err != nil {
			t.Fatal(err)
		}
		published.HoldWorked(t, []published.Worked{
			{Clause: "40 CFR 63 VVVV table 3", Place: "loss", Got: f.StyreneLossKG.Value / 20, Want: c.loss, Digits: 6}, {Clause: "hd", Place: "dry film", Got: f.DryMM.Value, Want: c.dry, Digits: 6},
			{Clause: "hd, most lost", Place: "dry film, low", Got: f.DryMM.Low, Want: c.low, Digits: 6}, {Clause: "hd, nothing lost", Place: "dry film, high", Got: f.DryMM.High, Want: 0.833333, Digits: 6},
		})
	}
}

// Where the verdicts change (common practice): glass 25, 27.5, 33.5 and 38 %, coats of 0.4, 0.5, 0.6 and 0.8 kg/m².
func TestVerdictsChangeWhereTheyShould(t *testing.T) {
	for x, want := range map[float64]check.Verdict{0.2499: check.Fail, 0.2501: check.Caution, 0.2749: check.Caution, 0.2751: check.Pass, 0.3349: check.Pass, 0.3351: check.Caution, 0.3799: check.Caution, 0.3801: check.Fail} {
		b, err := Make(zone(1, 1/x-1, 0, 1, 450))
		if err != nil {
			t.Fatal(err)
		}
		if r := CheckGlass(b); r.Verdict != want || (want != check.Pass) != (len(r.Remedies) == 1) || !strings.HasPrefix(r.Finding, fmt.Sprintf("%.1f %% glass by mass in t", 100*x)) {
			t.Errorf("%g: %+v", x, r)
		}
	}
	for w, want := range map[float64]check.Verdict{0.399: check.Fail, 0.4: check.Caution, 0.499: check.Caution, 0.5: check.Pass, 0.6: check.Pass, 0.601: check.Caution, 0.8: check.Caution, 0.801: check.Fail} {
		f, err := MakeFilm(Coat{Name: "t", AreaM2: frac(1), KGPerM2: frac(w), Coats: 1, LiquidKGPerL: 1.2, CuredGPerCM3: 1.3, StyreneFraction: 0.3})
		if err != nil {
			t.Fatal(err)
		}
		if r := CheckFilm(f); r.Verdict != want || (want == check.Fail) != (len(r.Remedies) == 1) {
			t.Errorf("%g kg/m²: %+v", w, r)
		}
	}
}
