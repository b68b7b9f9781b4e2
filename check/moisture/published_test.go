package moisture

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
)

func TestConstantsOfDamp(t *testing.T) {
	var classes []published.Row
	for class, want := range map[HumidityClass]float64{0: 270, 1: 270, 2: 540, 3: 810, 4: 1080, 5: 1360, 6: 1360} {
		classes = append(classes, published.Row{Clause: "ISO 13788 annex A, Δp at 0 °C (from memory)", Place: fmt.Sprintf("excessPa, class %d", class), Got: class.excessPa(0), Want: want})
	}
	published.Hold(t, append(classes,
		published.Row{Clause: "ISO 13788 annex A, falls to nothing at 20 °C (from memory)", Place: "excessPa(5)", Got: HumidityClass(3).excessPa(5), Want: 607.5},
		published.Row{Clause: "ISO 13788 annex A, nothing above 20 °C (from memory)", Place: "excessPa(25)", Got: HumidityClass(3).excessPa(25), Want: 0},
		published.Row{Clause: "ISO 13788 annex A, no more below 0 °C (from memory)", Place: "excessPa(−8)", Got: HumidityClass(3).excessPa(-8), Want: 810},
		published.Row{Clause: "ISO 13788, δ0 = 2·10⁻¹⁰ kg/(m·s·Pa) (from memory)", Place: "diffusion·10¹⁰", Got: diffusion * 1e10, Want: 2},
		published.Row{Clause: "ISO 13788 6.6, interfaces that do not absorb: 0.2 kg/m² (from memory)", Place: "peakLimitKG", Got: peakLimitKG, Want: 0.2},
		published.Row{Clause: "moisture to laminate on timber, 18 % (common practice)", Place: "LaminateLimitPct", Got: LaminateLimitPct, Want: 18}))
}

// Worked apart from ISO 13788 E.7 and E.8 (610.5, 17.269, 237.3; below freezing 21.875, 265.5) and
// from the Hailwood–Horrobin equation with the constants of the Wood Handbook, eq. 4-5, as a public library has them.
func TestFormulasWorkedApart(t *testing.T) {
	var rows []published.Worked
	for c, want := range map[float64]float64{-20: 102.739936, -5: 401.180981, 0: 610.5, 10: 1227.309865, 20: 2336.951144, 35: 5619.197299} {
		rows = append(rows, published.Worked{Clause: "ISO 13788 E.7, E.8", Place: fmt.Sprintf("SaturationPa(%g)", c), Got: SaturationPa(c), Want: want, Digits: 5})
	}
	for _, c := range [][3]float64{{-10, 80, 16.41949574}, {6, 88, 19.88802007}, {20, 60, 10.99980296}, {20, 99, 27.69349215}, {40, 50, 8.58721498}, {60, 55, 8.37258969}, {60, 90, 17.70340537}} {
		got, err := wood(c[0], c[1])
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, published.Worked{Clause: "Wood Handbook eq. 4-5", Place: fmt.Sprintf("equilibrium(%g, %g)", c[0], c[1]), Got: got, Want: c[2], Digits: 7})
	}
	// 4L²/(π²D)·ln(8/π²·(27 − 11)/(18 − 11)) for D 4, 2 and 1·10⁻¹⁰ m²/s.
	d, err := DryingDays(18, 27, 18, 20, 60, nil)
	if err != nil {
		t.Fatal(err)
	}
	near27, err := DryingDays(18, 20, 18, 20, 60, nil)
	if err != nil {
		t.Fatal(err)
	}
	rows = append(rows, published.Worked{Clause: "Crank, slab", Place: "DryingDays, low", Got: d.Low, Want: 2.342968, Digits: 6}, published.Worked{Clause: "Crank, slab", Place: "DryingDays", Got: d.Value, Want: 4.685936, Digits: 6},
		published.Worked{Clause: "Crank, slab", Place: "DryingDays, high", Got: d.High, Want: 9.371873, Digits: 6}, published.Worked{Clause: "Crank, slab", Place: "DryingDays from 20 %", Got: near27.Value, Want: 0.313766, Digits: 6})
	published.HoldWorked(t, rows)
	for _, c := range []struct {
		t, h float64
		ok   bool
	}{{-10, 50, true}, {-10.1, 50, false}, {60, 50, true}, {60.1, 50, false}, {20, 0, true}, {20, -0.1, false}, {20, 99, true}, {20, 99.1, false}} {
		if _, err := wood(c.t, c.h); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if d, err := DryingDays(18, 18, 18, 20, 60, nil); err != nil || d.Value != 0 || d.Formula == "" && len(d.Inputs) == 0 {
		t.Errorf("dry enough: %+v %v", d, err)
	}
	if d, err := DryingDays(18, 18.01, 18, 20, 60, nil); err != nil || d.Value != 0 {
		t.Errorf("the first term has not begun: %+v %v", d, err)
	}
	if _, err := DryingDays(18, 27, 18, 70, 60, nil); err == nil {
		t.Error("a kiln was answered")
	}
	// Air that brings the board to the limit itself never dries it there.
	if f, err := DryingDays(18, 27, 10.9997, 20, 60, nil); err == nil || f == nil {
		t.Errorf("%+v %v", f, err)
	}
}

// Layers are split so that none holds more than 0.25 m²K/W (ISO 13788:2012), and named by what meets.
func TestLayersAreSplit(t *testing.T) {
	roof := Roof{Layers: []Layer{{Name: "a", ResistanceM2KPerW: 0.25, SdM: 1}, {Name: "b", ResistanceM2KPerW: 0.26, SdM: 2}, {Name: "c", ResistanceM2KPerW: 0, SdM: 3}, {Name: "d", ResistanceM2KPerW: 1, SdM: 4}}}
	nodes, sd, r := roof.nodes()
	var names []string
	for _, n := range nodes {
		names = append(names, n.name)
	}
	if got := strings.Join(names, "; "); got != "inner face; a / b; inside b; b / c; c / d; inside d; inside d; inside d; outer face" {
		t.Error(got)
	}
	// Rsi 0.10 inside, Rse 0.04 outside (ISO 6946 table 7).
	if math.Abs(sd-10) > 1e-12 || math.Abs(r-(0.10+1.51+0.04)) > 1e-12 || nodes[0].r != 0.10 || math.Abs(nodes[2].sd-2) > 1e-12 || math.Abs(nodes[2].r-0.48) > 1e-12 {
		t.Errorf("sd %g, R %g, %+v", sd, r, nodes)
	}
	roof.Rsi, roof.Rse = 0.25, 0.13
	if nodes, _, r := roof.nodes(); nodes[0].r != 0.25 || math.Abs(r-1.89) > 1e-12 {
		t.Errorf("R %g", r)
	}
}

// One interface by hand. Inside 1 m, outside 4 m of sd, R 2 and 0.1; 20 °C and 1200 Pa against 0 °C
// and 500 Pa. The interface lies at R 2.1 of 2.24 from the air inside: 1.25 °C, 667.7 Pa, and holds
// 2e−10·((1200 − p)/1 − (p − 500)/4) kg/m²s.
func TestOneInterfaceByHand(t *testing.T) {
	roof := Roof{Layers: []Layer{{Name: "in", ResistanceM2KPerW: 2, SdM: 1}, {Name: "out", ResistanceM2KPerW: 0.1, SdM: 4}}}
	m := Month{Name: "Jan", Days: 30, OutdoorC: 0, RHPct: 100 * 500 / 610.5, IndoorC: 20, IndoorPa: 1200}
	p := SaturationPa(20 - 20*2.1/2.24)
	want := 2e-10 * ((1200 - p) - (p-500)/4) * 30 * 86400
	months := make([]Month, 12)
	for i := range months {
		months[i] = m
		months[i].Days, months[i].IndoorPa, months[i].OutdoorC, months[i].RHPct, months[i].IndoorC = 30, 500, 20, 10, 20
	}
	months[3] = m
	y, err := roof.Solve(context.Background(), months)
	if err != nil {
		t.Fatal(err)
	}
	if y.Start != 3 || y.Never || y.Always || math.Abs(y.PeakKG-want) > 1e-9 || math.Abs(y.Water[0]-want) > 1e-9 || math.Abs(y.Rates[0]["in / out"]-want) > 1e-9 {
		t.Errorf("%+v, want %g", y, want)
	}
	// It dries again in the month after, and is said to have been wet once.
	if y.EndKG != 0 || len(y.Interfaces) != 1 || y.Interfaces[0] != "in / out" || y.Rates[1]["in / out"] >= 0 {
		t.Errorf("%+v", y)
	}
	for i := range months {
		months[i] = m
	}
	if y, err = roof.Solve(context.Background(), months); err != nil || !y.Always || math.Abs(y.EndKG-12*want) > 1e-9 || y.Start != 0 {
		t.Errorf("%+v %v", y, err)
	}
	// Indoors by class 3: pe + 1.10·810 Pa at 0 °C.
	months[0].IndoorPa, roof.Class = 0, 3
	got := 0.0
	nodes, _, total := roof.nodes()
	for _, g := range roof.rates(nodes, total, months[0], nil) {
		got += g
	}
	if pi := 500 + 1.10*810.0; math.Abs(got-2e-10*((pi-p)-(p-500)/4)) > 1e-18 {
		t.Errorf("rate %g", got)
	}
	for _, bad := range []Roof{{}, {Layers: []Layer{{Name: "a", ResistanceM2KPerW: -0.1, SdM: 1}}}, {Layers: []Layer{{Name: "a", ResistanceM2KPerW: 1, SdM: -0.1}}}, {Layers: []Layer{{Name: "a", ResistanceM2KPerW: math.NaN(), SdM: 1}}}} {
		if _, err := bad.Solve(context.Background(), months); err == nil {
			t.Errorf("%+v was answered", bad)
		}
	}
	if _, err := (Roof{Layers: []Layer{{Name: "a", ResistanceM2KPerW: 0, SdM: 0}}}).Solve(context.Background(), months); err != nil {
		t.Errorf("a layer of nothing: %v", err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := roof.Solve(stopped, months); err == nil {
		t.Error("a stopped year was answered")
	}
}

func TestVerdictOnCondensation(t *testing.T) {
	ctx := context.Background()
	for _, c := range []struct {
		name    string
		roof    Roof
		vented  bool
		verdict check.Verdict
		use     float64
		says    string
		field   string
	}{
		{"with a control layer", warmRoof(true, 3), false, check.Pass, 0.0492, "at most 0.010 kg/m² gathers and it dries again within the year (carrier board / laminate)", ""},
		{"without, class 4", warmRoof(false, 4), false, check.Fail, 1.212, "0.24 kg/m² gathers by the worst month and 0.21 is left after a year", "spec.vapour_control_layer"},
		{"a vented cold roof", coldRoof(), true, check.Caution, 22.8, "this is with the void sealed", ""},
	} {
		r, y, err := CheckCondensation(ctx, c.roof, dublin(), "Dublin", c.vented)
		if err != nil || r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 0.02*c.use || !strings.Contains(r.Finding, c.says) {
			t.Errorf("%s: %+v %v", c.name, r, err)
		}
		if (len(r.Remedies) > 0) != (c.field != "") || c.field != "" && r.Remedies[0].Field != c.field {
			t.Errorf("%s: %+v", c.name, r.Remedies)
		}
		if math.Abs(r.Working[0].Value-y.PeakKG) > 1e-12 || len(r.Working[0].Inputs) != 12 {
			t.Errorf("%s: %+v", c.name, r.Working[0])
		}
	}
	still := dublin()
	for i := range still {
		still[i].OutdoorC, still[i].RHPct, still[i].IndoorPa = 20, 50, 0.5*SaturationPa(20)
	}
	if r, _, err := CheckCondensation(ctx, warmRoof(false, 3), still, "nowhere", false); err != nil || r.Verdict != check.Pass || r.Finding != "no condensation in any month" {
		t.Errorf("%+v %v", r, err)
	}
	if _, _, err := CheckCondensation(ctx, Roof{}, still, "nowhere", false); err == nil {
		t.Error("a roof of nothing was answered")
	}
	// A wet winter and a dry summer: 0.3 kg/m² gathers in one month and dries in the others.
	roof := Roof{Layers: []Layer{{Name: "in", ResistanceM2KPerW: 2, SdM: 1}, {Name: "out", ResistanceM2KPerW: 0.1, SdM: 4}}}
	months := dublin()
	for i := range months {
		months[i] = Month{Name: "m", Days: 30, OutdoorC: 20, RHPct: 10, IndoorC: 20, IndoorPa: 500}
	}
	months[0] = Month{Name: "Jan", Days: 30, OutdoorC: 0, RHPct: 100 * 500 / 610.5, IndoorC: 20, IndoorPa: 1200}
	p := SaturationPa(20 - 20*2.1/2.24)
	perDay := 2e-10 * ((1200 - p) - (p-500)/4) * 86400
	for share, want := range map[float64]check.Verdict{0.999: check.Pass, 1.001: check.Fail} {
		months[0].Days = share * 0.2 / perDay
		r, y, err := CheckCondensation(ctx, roof, months, "test", false)
		if err != nil || r.Verdict != want || y.EndKG != 0 || want == check.Fail && !strings.Contains(r.Finding, "gathers in winter (limit 0.2) and dries in summer") {
			t.Errorf("%g of the limit, %g kg/m²: %+v %v", share, y.PeakKG, r, err)
		}
	}
	// The layer goes under the greatest resistance; the file's own is of sd 50 m.
	if m := remedyFor(ctx, warmRoof(false, 4), dublin())[0]; !strings.Contains(m.Text, "sd 50 m") || m.Value != "true" {
		t.Errorf("%+v", m)
	}
}

// BS 5250 and warranty guidance: 50 mm void and 25 mm slots to 5 m of path, 60 and 30 mm to 10 m (from memory).
func TestVentilationByHand(t *testing.T) {
	for _, c := range []struct {
		v       Void
		verdict check.Verdict
		use     float64
		says    string
		helps   int
	}{
		{Void{ClearMM: 50, BothEnds: "yes", PathM: 5}, check.Pass, 1, "50 mm clear", 0}, {Void{ClearMM: 49, BothEnds: "yes", PathM: 5}, check.Fail, 50.0 / 49, "49 mm clear over the insulation, 50 mm needed", 2},
		{Void{ClearMM: 60, BothEnds: "yes", PathM: 5.1}, check.Pass, 1, "60 mm clear", 0}, {Void{ClearMM: 59, BothEnds: "yes", PathM: 5.1}, check.Fail, 60.0 / 59, "60 mm needed", 2},
		{Void{ClearMM: 60, BothEnds: "yes", PathM: 10}, check.Pass, 1, "60 mm clear", 0}, {Void{ClearMM: 90, BothEnds: "yes", PathM: 10.1}, check.Fail, 0, "the air path is 10.1 m", 1},
		{Void{ClearMM: 60, BothEnds: "no", PathM: 4}, check.Fail, 0, "not open at both ends", 2}, {Void{PathM: 4}, check.Ask, 0, "(50 mm needed), and is every bay open at both ends with 25 mm slots?", 0},
		{Void{PathM: 6}, check.Ask, 0, "(60 mm needed), and is every bay open at both ends with 30 mm slots?", 0}, {Void{ClearMM: 60, PathM: 4}, check.Ask, 0, "how deep", 0}, {Void{BothEnds: "yes", PathM: 4}, check.Ask, 0, "how deep", 0},
	} {
		r := CheckVentilation(c.v, country.Recommended())
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 1e-12 || !strings.Contains(r.Finding, c.says) || len(r.Remedies) != c.helps || (len(r.Flags) > 0) != (c.v.PathM > 5) {
			t.Errorf("%+v: %+v", c.v, r)
		}
	}
	if r := CheckVentilation(Void{ClearMM: 50, BothEnds: "yes", PathM: 4, NoColdRoofs: true}, country.Recommended()); len(r.Flags) != 1 {
		t.Errorf("%+v", r)
	}
}

func TestDeckReadingsByHand(t *testing.T) {
	r := CheckDeck([]float64{15, 18, 16}, 18, 20, 60, nil)
	if r.Verdict != check.Pass || r.Utilisation != 1 || r.Finding != "wettest of 3 readings 18 %" {
		t.Errorf("%+v", r)
	}
	r = CheckDeck([]float64{15, 18.1, 27, 16}, 18, 20, 60, nil)
	if r.Verdict != check.Fail || r.Utilisation != 1.5 || r.Finding != "2 of 4 readings are above 18 %, the wettest 27 %" || len(r.Working) != 2 || !strings.Contains(r.Remedies[0].Text, "2 to 9 days") {
		t.Errorf("%+v", r)
	}
	r = CheckDeck(nil, 18, 20, 60, nil)
	if r.Verdict != check.Ask || !strings.Contains(r.Finding, "come to 11 %") || len(r.Working) != 1 {
		t.Errorf("%+v", r)
	}
	if r = CheckDeck(nil, 18, 80, 60, nil); r.Verdict != check.Ask || len(r.Working) != 0 {
		t.Errorf("%+v", r)
	}
	if r = CheckDeck([]float64{27}, 18, 80, 60, nil); r.Verdict != check.Fail || len(r.Working) != 1 {
		t.Errorf("%+v", r)
	}
}
