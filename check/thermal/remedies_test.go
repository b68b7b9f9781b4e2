package thermal

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check/country"
	"gelwright/working"
)

func plain(lambda, mm float64) Build {
	return Build{Layers: []Layer{{Name: "insulation", ThicknessMM: mm, LambdaWPerMK: lambda, Main: true}}}
}

// EN ISO 13788: f = 1 − U·Rsi with Rsi 0.25 m²K/W, so f = 0.75 asks for U = 1; with Rsi 0.10 and Rse 0.04 m²K/W (ISO 6946) that is
// 0.86 m²K/W of insulation, 34.4 mm at 0.04 W/mK: 40 mm of those that are sold.
func TestMouldIsMendedByInsulation(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for mm, fails := range map[float64]bool{10: true, 34: true, 35: false} {
		results, _, err := Check(plain(0.04, mm), Renovation, england, Room{StepMM: 10})
		if err != nil {
			t.Fatal(err)
		}
		r := results[1]
		if r.Key != "thermal.surface" || (r.Verdict == "fail") != fails || fails && (len(r.Remedies) != 1 || r.Remedies[0].Value != "40") {
			t.Errorf("%g mm: %s, %+v", mm, r.Verdict, r.Remedies)
		}
		if f := 1 - 0.25/(0.14+mm/1000/0.04); math.Abs(r.Utilisation-(1-f)/0.25) > 1e-9 {
			t.Errorf("%g mm: used to %g, worked apart %g", mm, r.Utilisation, (1-f)/0.25)
		}
	}
}

// Screws come before thicker insulation, and the sentence says whether there is a choice.
func TestScrewsAreMendedFirst(t *testing.T) {
	b := plain(0.022, 140)
	b.Fasteners = Fasteners{PerM2: 9, DiameterMM: 4.8, LambdaWPerMK: 50}
	list := b.remedies(0.18, Room{StepMM: 10, NeededPerM2: 3.2})
	if len(list) != 3 || !strings.Contains(list[0].Text, "about 4 per m² on the mean (9.0 are set out)") ||
		!strings.Contains(list[1].Text, "stainless") || !strings.HasSuffix(list[2].Text, "with the screws as they are") {
		t.Errorf("%+v", list)
	}
	// A tenth more than the uplift asks is worth saying (4.4), and so is anything that leads heat better than stainless steel.
	b.Fasteners = Fasteners{PerM2: 4.5, DiameterMM: 4.8, LambdaWPerMK: 17.5}
	if list = b.remedies(0.1525, Room{StepMM: 0.1, NeededPerM2: 3.2}); len(list) != 3 {
		t.Errorf("4.5 per m²: %+v", list)
	}
	// No fewer than 4 are needed, so 4.4 are near enough; and stainless screws are as good as they come.
	b.Fasteners = Fasteners{PerM2: 4.4, DiameterMM: 4.8, LambdaWPerMK: 17}
	if list = b.remedies(0.15, Room{StepMM: 10, NeededPerM2: 3.2}); len(list) != 1 || strings.Contains(list[0].Text, "screws") {
		t.Errorf("%+v", list)
	}
	if list = plain(0.022, 100).remedies(0.18, Room{StepMM: 10, NeededPerM2: 3}); len(list) != 1 || strings.Contains(list[0].Text, "screws") {
		t.Errorf("no screws: %+v", list)
	}
}

// A target is met by what prints as the target: 0.154 W/m²K is 0.15.
func TestATargetIsMetAsPrinted(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for r, want := range map[float64]bool{1 / 0.1549: true, 1 / 0.1551: false} {
		b := plain(0.02, 20*(r-0.14))
		if results, _, err := Check(b, Extension, england, Room{StepMM: 10}); err != nil || (results[0].Verdict == "pass") != want {
			t.Errorf("U %.4f: %v %+v", 1/r, err, results)
		}
	}
}

// Joists 100 mm deep, filled with 0.038 W/mK: for 0.15 W/m²K there want 1/0.15 − 0.14 − 0.1/0.038 = 3.895 m²K/W below them,
// 85.7 mm of 0.022 W/mK (worked apart).
func TestWhatThereIsNoRoomForGoesBelow(t *testing.T) {
	list := plain(0.038, 60).remedies(0.15, Room{StepMM: 10, MostMM: 100, Why: "the joists are 100 mm deep"})
	if len(list) != 2 || !strings.Contains(list[0].Text, "fill them to 100 mm and fix 90 mm of PIR (0.022 W/mK)") {
		t.Errorf("%+v", list)
	}
	if list = plain(2, 60).remedies(0.15, Room{StepMM: 10}); len(list) != 1 || !strings.Contains(list[0].Text, "no thickness that there is room for") {
		t.Errorf("%+v", list)
	}
}

func TestBridgesTooStrongAreTold(t *testing.T) {
	b := Build{Layers: []Layer{{Name: "wool", ThicknessMM: 150, LambdaWPerMK: 0.04, BridgeLambda: 50, BridgeFraction: 0.02},
		{Name: "board", ThicknessMM: 18, LambdaWPerMK: 0.13}}}
	a, err := b.Solve()
	if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("(upper over lower limit %.2f,", a.UpperR/a.LowerR)) {
		t.Errorf("%v, limits %g and %g", err, a.UpperR, a.LowerR)
	}
}

// A thickness is worth what its source is worth.
func TestThicknessKnowsItsSource(t *testing.T) {
	for _, c := range []struct {
		l    Layer
		want working.Standing
	}{{Layer{Name: "a"}, working.Derived}, {Layer{Name: "a", Field: "spec.board.thickness_mm"}, working.Assumed}, {Layer{Name: "a", Usual: true}, working.Assumed}} {
		if f := c.l.Thickness(); f.Source.Standing != c.want {
			t.Errorf("%+v: %s, want %s", c.l, f.Source.Standing, c.want)
		}
	}
}
