package exposure

import (
	"math"
	"strings"
	"testing"

	"gelwright/check/country"
	"gelwright/working"
)

func near(t *testing.T, name string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s = %.5g, want %.5g within %g %%", name, got, want, 100*relative)
	}
}

func TestStyreneEmission(t *testing.T) {
	const lbPerTon = 2000.0
	for _, c := range []struct {
		name        string
		s, lbPerTon float64
	}{
		{"40 CFR 63 WWWW table 3, corrosion-resistant, manual resin application: 123 lb/ton at 40 %", 0.40, 123},
		{"40 CFR 63 WWWW table 3, non-corrosion, manual resin application: 87 lb/ton at 33.6 %", 0.336, 87},
	} {
		e, err := Emission(c.s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, e*lbPerTon, c.lbPerTon, 0.01)
	}
	for s, want := range map[float64]float64{0.35: 0.0456, 0.40: 0.0618} {
		near(t, "40 CFR 63 VVVV table 3", otherRule(s), want, 0.01)
		e, _ := Emission(s)
		near(t, "the two federal rules agree", e, otherRule(s), 0.04)
	}
	if _, err := Emission(0.8); err == nil {
		t.Error("a fraction of 0.8 was answered")
	}
}

func TestVapourPressureFlashPointAndLimitAreOneModel(t *testing.T) {
	near(t, "NIOSH: 5 mm Hg at 20 °C", VapourPressureMMHg(20), 5, 0.12)
	near(t, "a European spill database: 0.85 kPa at 25 °C", VapourPressureMMHg(25)*0.133322, 0.85, 0.06)
	// At the flash point, 31 °C, saturated air is near the lower explosive limit, 0.9 %.
	near(t, "saturation at the flash point", SaturationPct(FlashPointC), LowerLimitPct, 0.3)
}

func TestAirNeeded(t *testing.T) {
	// Rolling 1 m² at 70 mg/s: C = G/Q, worked by hand.
	near(t, "100 ppm", airNeeded(t, 70, 100), 592, 0.001)
	near(t, "20 ppm", airNeeded(t, 70, 20), 2958, 0.001)
	// 1 kg of 35 % resin into 30 m³ closed: 369 ppm.
	e, _ := Emission(0.35)
	near(t, "closed room", e*1e6/30/MgPerM3PerPPM, 369, 0.01)
}

func TestCarriageOfOneDelivery(t *testing.T) {
	// 91 + 16 + 15 + 6, worked by hand.
	points := working.GivenFigure("P", "points", 91+16+5*3+2*3, "", "test")
	if r := CheckCarriage(points, true); r.Verdict != "pass" || !strings.Contains(r.Finding, "128") {
		t.Errorf("%+v", r)
	}
	points = working.GivenFigure("P", "points", 1337, "", "test")
	if r := CheckCarriage(points, true); r.Verdict != "fail" || !strings.Contains(r.Remedies[0].Text, "2 deliveries") {
		t.Errorf("%+v", r)
	}
	if r := CheckCarriage(points, false); r.Verdict != "ask" {
		t.Errorf("%+v", r)
	}
}

func TestPlumeFallsWithDistanceAndWind(t *testing.T) {
	if !(Plume(200, 10, 2, false) > Plume(200, 40, 2, false) && Plume(200, 10, 2, false) > Plume(200, 10, 5, false)) {
		t.Error("a plume thins with distance and with wind")
	}
	if !(Plume(200, 40, 1, true) > Plume(200, 40, 1, false)) {
		t.Error("a still evening carries further")
	}
}

func TestEnclosedWorkAsksForAir(t *testing.T) {
	england, _ := country.For("GB-ENG")
	r, err := CheckWorkers(Work{ResinKG: 30, CoatKG: 10, StyreneFraction: 0.38, WetM2: 3, Enclosed: true, ResinC: 18}, england)
	if err != nil || r.Verdict != "ask" || r.CallFor == "" || len(r.Remedies) == 0 {
		t.Errorf("%+v %v", r, err)
	}
}

func TestCompassNames(t *testing.T) {
	for deg, want := range map[float64]string{0: "north", 359: "north", 45: "north-east", 180: "south", -90: "west"} {
		if got := Compass(deg); got != want {
			t.Errorf("%g: %s", deg, got)
		}
	}
}

// 6.3 m² wet at 20 ppm, worked by hand: V = 441/(20·4.26)·3600 = 18634 m³/h; through
// √6.3 m × 1 m that is 2.06 m/s, more than Beaufort 1 brings (up to 1.5 m/s).
func TestOpenAirIsMeasuredAgainstTheAirNeeded(t *testing.T) {
	near(t, "wind", breezeMS(t, airNeeded(t, RollingMgPerSM2*6.3, 20), 6.3), 2.062, 0.001)
	ireland, _ := country.For("IE")
	england, _ := country.For("GB-ENG")
	w := Work{ResinKG: 80, CoatKG: 20, StyreneFraction: 0.38, WetM2: 6.3, ResinC: 15}
	r, err := CheckWorkers(w, ireland)
	if err != nil || r.Verdict != "caution" || !strings.Contains(r.Finding, "2.1 m/s") || len(r.Remedies) == 0 {
		t.Errorf("20 ppm: %+v %v", r, err)
	}
	// At 100 ppm a fifth of it will do.
	if r, err = CheckWorkers(w, england); err != nil || r.Verdict != "pass" || !strings.Contains(r.Finding, "0.4 m/s") {
		t.Errorf("100 ppm: %+v %v", r, err)
	}
}

func TestNoticeComparesNoseAndLimit(t *testing.T) {
	for limit, want := range map[float64]string{20: "one 400th", 100: "one 2000th"} {
		if got := strings.Join(Notice("A", "B", "1 May", "", "", limit), " "); !strings.Contains(got, want) {
			t.Errorf("%g ppm: %s", limit, got)
		}
	}
	if got := strings.Join(Notice("A", "B", "1 May", "", "", 0), " "); !strings.Contains(got, "It is styrene. It fades") {
		t.Errorf("no limit known: %s", got)
	}
}

// otherRule is an independent rule for what hand-laid resin gives off, kg/kg: 0.014·(%HAP)^2.275
// kg/Mg (40 CFR 63 subpart VVVV table 3).
func otherRule(styrene float64) float64 { return 0.014 * math.Pow(100*styrene, 2.275) / 1000 }

// airNeeded and breezeMS work the formulas of the check by numbers.
func airNeeded(t *testing.T, mgPerS, limitPPM float64) float64 {
	t.Helper()
	v, err := freshAir.Value([]string{"G", "C", "k"}, []float64{mgPerS, limitPPM, MgPerM3PerPPM})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func breezeMS(t *testing.T, airM3PerH, wetM2 float64) float64 {
	t.Helper()
	v, err := overWet.Value([]string{"V", "A", "h"}, []float64{airM3PerH, wetM2, breathingM})
	if err != nil {
		t.Fatal(err)
	}
	return v
}
