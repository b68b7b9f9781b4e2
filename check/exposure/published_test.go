package exposure

import (
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
	"gelwright/working"
)

func TestConstantsOfStyrene(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "NIOSH Pocket Guide 2005, styrene: 1 ppm = 4.26 mg/m³", Place: "MgPerM3PerPPM", Got: MgPerM3PerPPM, Want: 4.26},
		{Clause: "NIOSH Pocket Guide 2005: flash point 88 °F = 31 °C", Place: "FlashPointC", Got: FlashPointC, Want: 31},
		{Clause: "NIOSH Pocket Guide 2005: LEL 0.9 %", Place: "LowerLimitPct", Got: LowerLimitPct, Want: 0.9},
		{Clause: "Säämänen et al. 1991: 59 to 79 mg/s and m²", Place: "RollingMgPerSM2", Got: RollingMgPerSM2, Want: 70},
		{Clause: "odour panels, 0.02 to 0.15 ppm (from memory)", Place: "OdourPPM", Got: OdourPPM, Want: 0.05},
		{Clause: "ADR 1.1.3.6: 1000 points", Place: "smallLoad", Got: smallLoad, Want: 1000},
		{Clause: "Beaufort 1, light air, up to 1.5 m/s", Place: "lightAirMS", Got: lightAirMS, Want: 1.5},
	})
}

// Worked apart from the published formulas.
func TestFormulasWorkedApart(t *testing.T) {
	var rows []published.Worked
	add := func(clause, place string, got, want float64, digits int) {
		rows = append(rows, published.Worked{Clause: clause, Place: place, Got: got, Want: want, Digits: digits})
	}
	for s, want := range map[float64]float64{0.20: 0.0252, 0.32: 0.04032, 0.33: 0.04148, 0.35: 0.0472, 0.40: 0.0615, 0.59: 0.11584} {
		e, err := Emission(s)
		if err != nil {
			t.Fatal(err)
		}
		add("40 CFR 63 WWWW table 1: 0.126·s below 0.33, else 0.286·s − 0.0529", "Emission", e, want, 9)
	}
	add("40 CFR 63 VVVV table 3: 0.014·(100·s)^2.275/1000", "otherRule(0.35)", otherRule(0.35), 0.0455914, 7)
	add("Antoine constants (from memory)", "VapourPressureMMHg(20)", VapourPressureMMHg(20), 4.479275, 6)
	add("Antoine constants (from memory)", "VapourPressureMMHg(31)", VapourPressureMMHg(31), 8.671133, 6)
	add("760 mm Hg to the atmosphere", "SaturationPct(20)", SaturationPct(20), 0.589378, 6)
	// Briggs 1973, rural, by a public library: σy 0.08x(1+0.0001x)^−½ and σz 0.06x(1+0.0015x)^−½ for D, 0.04x(…) and 0.016x/(1+0.0003x) for F.
	for _, c := range []struct {
		rate, x, u float64
		stable     bool
		want       float64
	}{{200, 40, 2, false, 1.00368884}, {200, 400, 2, false, 0.01255035}, {200, 400, 2, true, 0.08334418}, {200, 40, 1, true, 14.79850815}} {
		add("Briggs 1973, rural", "Plume", Plume(c.rate, c.x, c.u, c.stable), c.want, 8)
	}
	add("no wind is taken as 0.5 m/s", "Plume", Plume(200, 40, 0, false), 4*1.00368884, 6)
	add("nothing is nearer than 1 m", "Plume", Plume(200, 0.2, 2, false), Plume(200, 1, 2, false), 9)
	add("G/C: 210/(100·4.26)·3600", "AirNeeded", airNeeded(t, 210, 100), 1774.647887, 6)
	add("V/(3600·√A·1)", "BreezeMS", breezeMS(t, 7200, 4), 1, 9)
	published.HoldWorked(t, rows)
	for _, s := range []float64{0, 0.6} {
		if _, err := Emission(s); err == nil {
			t.Errorf("a fraction of %g was answered", s)
		}
	}
	if breezeMS(t, 7200, 0) != 0 {
		t.Error("nothing wet needs no wind")
	}
}

func TestFindingsOnTheAir(t *testing.T) {
	england, _ := country.For("GB-ENG")
	// 40 kg of 38 %: 40·(0.286·0.38 − 0.0529) = 2.2312 kg; 3 m² at 100 ppm: 1775 m³/h.
	w := Work{ResinKG: 30, CoatKG: 10, StyreneFraction: 0.38, WetM2: 3, ResinC: 18}
	r, err := CheckWorkers(w, england)
	if err != nil || r.Verdict != check.Pass || len(r.Flags) != 0 || len(r.Remedies) != 0 {
		t.Fatalf("%+v %v", r, err)
	}
	published.HoldWorked(t, []published.Worked{
		{Clause: "1774.65/(3600·√3)", Place: "wind", Got: r.Working[2].Value, Want: 0.284609, Digits: 6}, {Clause: "V = G/C", Place: "air", Got: r.Working[0].Value, Want: 1774.647887, Digits: 6},
		{Clause: "G = 70·3", Place: "air, G", Got: r.Working[0].Inputs[0].Value, Want: 210, Digits: 6},
		{Clause: "40·(0.286·0.38 − 0.0529)", Place: "emission", Got: r.Working[1].Value, Want: 2.2312, Digits: 9}, {Clause: "30 + 10", Place: "emission, m", Got: r.Working[1].Inputs[0].Value + r.Working[1].Inputs[1].Value, Want: 40, Digits: 9},
	})
	if !strings.HasPrefix(r.Finding, "2.2 kg of styrene leaves the roof; holding 100 ppm takes 1775 m³/h of fresh air while 3.0 m² is wet") {
		t.Error(r.Finding)
	}
	w.Enclosed = true
	if r, err = CheckWorkers(w, england); err != nil || r.Verdict != check.Ask || !strings.Contains(r.Remedies[0].Text, "move 1800 m³/h") {
		t.Errorf("%+v %v", r, err)
	}
	// 0.5194 % of styrene over resin at 18 °C is 58 % of the explosive limit: said from a quarter of it on (5.6 °C).
	if len(r.Flags) != 1 || !strings.Contains(r.Flags[0], "at 18 °C can reach 58 %") {
		t.Errorf("%q", r.Flags)
	}
	for c, said := range map[float64]bool{5.5: false, 5.8: true} {
		w.ResinC = c
		if r, _ = CheckWorkers(w, england); (len(r.Flags) == 1) != said {
			t.Errorf("%g °C: %q", c, r.Flags)
		}
	}
	// A limit by habit or memory is said.
	ireland, _ := country.For("IE")
	if r, _ = CheckWorkers(Work{ResinKG: 30, StyreneFraction: 0.38, WetM2: 3}, ireland); len(r.Flags) != 1 || !strings.Contains(r.Flags[0], "20 ppm") {
		t.Errorf("%q", r.Flags)
	}
	if _, err := CheckWorkers(Work{StyreneFraction: 0.7}, england); err == nil {
		t.Error("a resin of 70 % styrene was answered")
	}
	// The most wet at one time that light air still serves at 20 ppm: √A ≤ 1.5·3600·20·4.26/(70·3600) = 1.8257.
	for a, want := range map[float64]check.Verdict{1.8257 * 1.8257: check.Pass, 1.8258 * 1.8258: check.Caution} {
		if r, _ = CheckWorkers(Work{ResinKG: 3, StyreneFraction: 0.38, WetM2: a}, ireland); r.Verdict != want {
			t.Errorf("%g m²: %s, %s", a, r.Verdict, r.Finding)
		}
	}
}

// 210 mg/s in 2 m/s falls to 0.05 ppm at 191 m (bisected apart); the search goes in steps of 2 %.
func TestWhoSmellsIt(t *testing.T) {
	r := CheckNeighbours(Work{WetM2: 3}, 45, true)
	if r.Verdict != check.Caution || math.Abs(r.Working[0].Value-193.93) > 0.01 || !strings.Contains(r.Finding, "in 2 m/s of wind it is smelt to about 194 m on the lee side, far below any limit there, towards north-east") || r.Remedies[0].Field != "site.neighbours" {
		t.Errorf("%+v %g", r, r.Working[0].Value)
	}
	x := r.Working[0].Value
	if Plume(210, x, 2, false) > OdourPPM || Plume(210, x/1.02, 2, false) <= OdourPPM {
		t.Errorf("%g m is not the first step at which it is no longer smelt", x)
	}
	r = CheckNeighbours(Work{WetM2: 3, WindMS: 5, Neighbours: []string{"No 3", "No 5"}}, 0, false)
	if !strings.Contains(r.Remedies[0].Text, "48 hours ahead to: No 3, No 5") || strings.Contains(r.Finding, "towards") || !strings.Contains(r.Finding, "in 5 m/s") {
		t.Errorf("%+v", r)
	}
	// However much is wet, nobody beyond 2 km is told.
	if x := CheckNeighbours(Work{WetM2: 1e6}, 0, false).Working[0].Value; x < 2000 || x > 2040 {
		t.Errorf("%g m", x)
	}
}

func TestWordsOfExposure(t *testing.T) {
	for deg, want := range map[float64]string{22.4: "north", 22.6: "north-east", 67.6: "east", 112.6: "south-east", 157.6: "south", 202.6: "south-west", 247.6: "west", 292.6: "north-west", 337.4: "north-west", 337.6: "north", 382.6: "north-east", -22.6: "north-west", 697.6: "north"} {
		if got := Compass(deg); got != want {
			t.Errorf("%g°: %s, want %s", deg, got, want)
		}
	}
	if got := Notice("A", "B", "1 May", "3 May", "east", 100); !strings.HasPrefix(got[0], "From 1 May to 3 May A is") || !strings.Contains(got[1], "houses to the east") {
		t.Errorf("%q", got)
	}
	for _, to := range []string{"", "1 May"} {
		if got := Notice("A", "B", "1 May", to, "", 100); !strings.HasPrefix(got[0], "On 1 May A is") || strings.Contains(got[1], "houses to the") {
			t.Errorf("%q", got)
		}
	}
	for limit, want := range map[float64]string{0.09: "", 0.1: "one 2th", 1.2: "one 20th"} {
		got := Notice("A", "B", "1 May", "", "", limit)[1]
		if (want == "") != strings.Contains(got, "styrene. It fades") || !strings.Contains(got, want) {
			t.Errorf("%g ppm: %s", limit, got)
		}
	}
	for p, want := range map[float64]string{1000: "pass", 1000.1: "fail"} {
		r := CheckCarriage(working.GivenFigure("P", "points", p, "", "test"), true)
		if string(r.Verdict) != want || math.Abs(r.Utilisation-p/1000) > 1e-12 {
			t.Errorf("%g points: %+v", p, r)
		}
	}
}
