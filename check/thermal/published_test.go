package thermal

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
	"gelwright/working"
)

func TestResistancesOfISO6946(t *testing.T) {
	rows := []published.Row{
		{Clause: "ISO 6946 table 7, heat flowing up", Place: "RsiUp", Got: RsiUp, Want: 0.10}, {Clause: "ISO 6946 table 7", Place: "Rse", Got: Rse, Want: 0.04},
		{Clause: "no thicker insulation is asked for (common practice)", Place: "mostThicknessMM", Got: mostThicknessMM, Want: 600},
	}
	// ISO 6946 table 8, upward flow, both faces dull (from memory), and half way between its rows.
	for mm, r := range map[float64]float64{0: 0, 2.5: 0.055, 5: 0.11, 6: 0.12, 7: 0.13, 8.5: 0.14, 10: 0.15, 12.5: 0.155, 15: 0.16, 20: 0.16, 25: 0.16, 40: 0.16, 50: 0.16, 100: 0.16, 200: 0.16, 300: 0.16, 400: 0.16} {
		rows = append(rows, published.Row{Clause: "ISO 6946 table 8, upwards (from memory)", Place: fmt.Sprintf("UnventilatedAir(%g)", mm), Got: UnventilatedAir(mm), Want: r})
	}
	published.Hold(t, rows)
}

// Worked apart: plasterboard, 150 mm of wool (λ 0.04) over 12.5 % of joists (λ 0.13), 18 mm of boards.
func TestBridgedRoofWorkedApart(t *testing.T) {
	b := Build{Layers: []Layer{{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25}, {Name: "wool", ThicknessMM: 150, LambdaWPerMK: 0.04, BridgeLambda: 0.13, BridgeFraction: 0.125, Main: true}, {Name: "boards", ThicknessMM: 18, LambdaWPerMK: 0.13}}}
	a, err := b.Solve()
	if err != nil {
		t.Fatal(err)
	}
	published.HoldWorked(t, []published.Worked{
		{Clause: "ISO 6946 6.7.2", Place: "R′T", Got: a.UpperR, Want: 3.345940, Digits: 6}, {Clause: "ISO 6946 6.7.2", Place: "R″T", Got: a.LowerR, Want: 3.255291, Digits: 6},
		{Clause: "ISO 6946 6.7.2", Place: "RT", Got: a.R, Want: 3.300616, Digits: 6}, {Clause: "ISO 6946 6.7.2", Place: "error", Got: a.ErrorPct, Want: 1.373220, Digits: 6},
	})
	words := outline(t, a.Figure)
	for _, want := range []string{"greatest relative error 1.4 %", "R = d/1000/λ", "0.125", "R = 1/((1 − f)/Rc + f/Rj)"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in the working", want)
		}
	}
	for _, not := range []string{"fasteners through", "air gaps", "rain under", "the roof file does not say"} {
		if strings.Contains(words, not) {
			t.Errorf("%q is in the working", not)
		}
	}
	b.Fasteners, b.AirGapLevel, b.RainMMPerDay, b.RainFactor, b.Layers[2].Usual = Fasteners{PerM2: 5, DiameterMM: 4.8, LambdaWPerMK: 50}, 2, 1, 0.04, true
	b.Layers[0].Standing = working.Supplier
	if a, err = b.Solve(); err != nil || math.Abs(a.Corrected-a.U-a.Fasteners-a.Gaps-a.Rain) > 1e-12 || a.Rain <= 0 || a.Gaps <= 0 || a.Fasteners <= 0 {
		t.Errorf("%+v %v", a, err)
	}
	words = outline(t, a.Figure)
	for _, want := range []string{"fasteners through", "air gaps", "rain under", "the roof file does not say", string(working.Supplier), string(working.Remembered)} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not in the working", want)
		}
	}
	// An air space has a resistance and no conductivity.
	if a, _ = warm().Solve(); strings.Contains(outline(t, a.Figure), "conductivity of void") {
		t.Error("a void is worked by a conductivity")
	}
}

func outline(t *testing.T, f *working.Figure) string {
	t.Helper()
	var out strings.Builder
	if err := working.Unfold(&out, f); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Corrections under 3 % of U together are left out (ISO 6946 6.5): the warm roof's steel screws
// come to it at 1.0179 to the square metre, worked apart.
func TestSmallCorrectionsAreLeftOut(t *testing.T) {
	for n, counted := range map[float64]bool{1.017: false, 1.019: true} {
		b := warm()
		b.Fasteners = Fasteners{PerM2: n, DiameterMM: 4.8, LambdaWPerMK: 50}
		a, err := b.Solve()
		if err != nil || (a.Corrected > a.U) != counted {
			t.Errorf("%g screws: %+v %v", n, a, err)
		}
	}
	// ISO 6946 annex F.3 counts no fastener of less than 1 W/mK.
	for lambda, counted := range map[float64]bool{0.99: false, 1: true} {
		b := warm()
		b.Fasteners = Fasteners{PerM2: 500, DiameterMM: 4.8, LambdaWPerMK: lambda}
		if a, _ := b.Solve(); (a.Fasteners > 0) != counted {
			t.Errorf("λ %g: %+v", lambda, a)
		}
	}
}

func TestWhatTheMethodRefuses(t *testing.T) {
	layer := func(l Layer) Build {
		return Build{Layers: []Layer{{Name: "wool", ThicknessMM: 150, LambdaWPerMK: 0.022}, l}}
	}
	for _, c := range []struct {
		name string
		b    Build
		ok   bool
	}{
		{"no layers", Build{}, false}, {"as it should be", layer(Layer{ThicknessMM: 10, LambdaWPerMK: 0.1}), true}, {"no thickness", layer(Layer{ThicknessMM: 0, LambdaWPerMK: 0.1}), true},
		{"negative conductivity", layer(Layer{ThicknessMM: 10, LambdaWPerMK: -0.1}), false}, {"negative thickness", layer(Layer{ThicknessMM: -1, LambdaWPerMK: 0.1}), false},
		{"neither", layer(Layer{ThicknessMM: 10}), false}, {"a resistance", layer(Layer{ResistanceM2KPerW: 0.16}), true},
		{"bridged by less than nothing", layer(Layer{ThicknessMM: 10, LambdaWPerMK: 0.1, BridgeFraction: -0.01, BridgeLambda: 0.13}), false},
		{"bridged altogether", layer(Layer{ThicknessMM: 10, LambdaWPerMK: 0.1, BridgeFraction: 1, BridgeLambda: 0.13}), false},
		{"bridged by nothing", layer(Layer{ThicknessMM: 10, LambdaWPerMK: 0.1, BridgeFraction: 0.1}), false},
		// Upper over lower limit 1.5: 0.1 of steel-like λ 1 gives 1.515 with wool of 0.022 (worked apart), λ 0.9 less.
		{"a bridge of 1 W/mK", Build{Layers: []Layer{{ThicknessMM: 150, LambdaWPerMK: 0.022, BridgeFraction: 0.1, BridgeLambda: 1}}}, false},
		{"a bridge of 0.9 W/mK", Build{Layers: []Layer{{ThicknessMM: 150, LambdaWPerMK: 0.022, BridgeFraction: 0.1, BridgeLambda: 0.9}}}, true},
		{"air gap level 3", Build{AirGapLevel: 3, Layers: warm().Layers}, false}, {"air gap level −1", Build{AirGapLevel: -1, Layers: warm().Layers}, false},
		{"air gap level 2", Build{AirGapLevel: 2, Layers: warm().Layers}, true},
	} {
		if _, err := c.b.Solve(); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := (Build{}).ThicknessFor(0.15); err == nil {
		t.Error("the thickness of nothing was answered")
	}
	// 600 mm of λ 0.022 alone reach 1/(0.14 + 27.27) = 0.03648.
	b := Build{Layers: []Layer{{Name: "insulation", ThicknessMM: 100, LambdaWPerMK: 0.022, Main: true}}}
	if mm, err := b.ThicknessFor(0.0365); err != nil || math.Abs(mm-599.66) > 0.05 {
		t.Errorf("%g %v", mm, err)
	}
	if _, err := b.ThicknessFor(0.0364); err == nil {
		t.Error("0.0364 W/m²K was reached")
	}
	if (Layer{ResistanceM2KPerW: 0.16, ThicknessMM: 50}).Resistance().Value != 0.16 {
		t.Error("a given resistance is the layer's")
	}
}

func TestVerdictOnHeat(t *testing.T) {
	england, _ := country.For("GB-ENG")
	scotland, _ := country.For("GB-SCT")
	// One layer of insulation: U = 1/(0.14 + d/λ). With λ 0.025: 0.155 at 157.79 mm.
	with := func(mm float64) Build {
		return Build{Layers: []Layer{{Name: "PIR", ThicknessMM: mm, LambdaWPerMK: 0.025, Main: true}}}
	}
	for _, c := range []struct {
		name    string
		b       Build
		purpose Purpose
		set     country.Set
		verdict check.Verdict
		target  float64
		need    string
	}{
		{"extension, 0.1549 is 0.15", with(157.9), Extension, england, check.Pass, 0.15, ""},
		{"extension, 0.1551 is 0.16", with(157.7), Extension, england, check.Fail, 0.15, "170"},
		{"new, 0.1551 is 0.16", with(157.7), NewBuilding, england, check.Pass, 0.16, ""},
		{"renovation in Scotland, 0.18", with(140), Renovation, scotland, check.Pass, 0.18, ""},
		{"new in Scotland, 0.12", with(140), NewBuilding, scotland, check.Fail, 0.12, "210"},
	} {
		results, a, err := Check(c.b, c.purpose, c.set, Room{StepMM: 10})
		if err != nil {
			t.Fatal(err)
		}
		r := results[0]
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-a.Corrected/c.target) > 1e-12 || (len(r.Remedies) > 0) != (c.need != "") || c.need != "" && r.Remedies[0].Value != c.need {
			t.Errorf("%s: %+v", c.name, r)
		}
		if math.Abs(results[1].Utilisation-a.Corrected) > 1e-12 || math.Abs(results[1].Working[0].Value-(1-0.25*a.Corrected)) > 1e-12 || results[1].Verdict != check.Pass {
			t.Errorf("%s: surface %+v", c.name, results[1])
		}
		// A target from memory is said.
		if memory := c.set.Code == "GB-SCT"; (len(r.Flags) > 0) != memory {
			t.Errorf("%s: flags %q", c.name, r.Flags)
		}
	}
	// fRsi = 1 − U·Rsi: with Rsi 0.25 (EN ISO 13788) a U of 1.001 has 0.7498, one of 0.999 0.7503.
	for r, want := range map[float64]check.Verdict{0.859: check.Fail, 0.861: check.Pass} {
		results, _, err := Check(Build{Layers: []Layer{{Name: "board", ResistanceM2KPerW: r, ThicknessMM: 10}}}, Extension, england, Room{StepMM: 10})
		if err != nil || results[1].Verdict != want || (want == check.Fail) != (len(results[1].Remedies) > 0) {
			t.Errorf("%g: %+v %v", r, results[1], err)
		}
		if len(results[0].Remedies) != 1 || results[0].Remedies[0].Field != "" {
			t.Errorf("no thickness helps where there is no main layer: %+v", results[0])
		}
	}
	results, _, err := Check(Build{}, Unheated, england, Room{StepMM: 10})
	if err != nil || len(results) != 1 || results[0].Verdict != check.NotApplicable {
		t.Errorf("%+v %v", results, err)
	}
	if _, _, err := Check(Build{}, Extension, england, Room{StepMM: 10}); err == nil {
		t.Error("a roof of nothing was answered")
	}
}
