package drainage

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

func TestConstantsOfTheDrainageStandard(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "EN 12056-3:2000 6.1.3, filling degree of rainwater pipes 0.33", Place: "DownpipeFill", Got: DownpipeFill, Want: 0.33},
		{Clause: "EN 1253-2, test of roof outlets under 35 mm", Place: "headMM", Got: headMM, Want: 35},
		{Clause: "Approved Document H3 table 2, least half-round (from memory)", Place: "leastGutterMM", Got: leastGutterMM, Want: 75},
		{Clause: "nothing wider hangs on an eaves (common practice)", Place: "widestMM", Got: widestMM, Want: 300},
	})
}

// Worked apart from the formulas of EN 12056-3 (from memory, but for the length factors,
// which a gutter maker's public table gives, and the pipe, which public calculators give:
// Q = 2.5e−4·kb^(−1/6)·d^(8/3)·f^(5/3), kb 0.25 mm).
func TestFormulasWorkedApart(t *testing.T) {
	var rows []published.Worked
	add := func(clause, place string, got, want float64, digits int) {
		rows = append(rows, published.Worked{Clause: clause, Place: place, Got: got, Want: want, Digits: digits})
	}
	for w, q := range map[float64]float64{75: 0.378892, 100: 0.777790, 125: 1.358743, 150: 2.143336} {
		add("EN 12056-3 5.1, half-round: 0.9·2.78e−5·A^1.25", fmt.Sprintf("HalfRound(%g)", w), HalfRound(w), q, 6)
	}
	add("EN 12056-3 5.1, rectangular: 0.9·3.48e−5·A^1.25", "Rectangular(100, 75)", Rectangular(100, 75), 2.185991, 6)
	for x, f := range map[float64]float64{0: 1, 50: 1, 50.5: 0.9993, 75: 0.965, 100: 0.93, 125: 0.895, 150: 0.86, 175: 0.83, 199: 0.8012, 200: 0.80, 300: 0.80} {
		add("gutter table after EN 12056-3: 1.0, 0.93, 0.86, 0.80 at 50, 100, 150, 200", fmt.Sprintf("LengthFactor(%g)", x), LengthFactor(x), f, 9)
	}
	for _, c := range []struct{ d, h, q float64 }{{100, 35, 2.760837}, {100, 50, 4.714045}, {100, 52, 4.807402}, {75, 35, 2.070628}} {
		add("EN 12056-3 table 7: weir D·h^1.5/7500, orifice D²·h^0.5/15000 above D/2", fmt.Sprintf("Outlet(%g, %g)", c.d, c.h), Outlet(c.d, c.h), c.q, 6)
	}
	add("Wyly–Eaton", "pipe(100, 0.33)", pipe(t, 100, 0.33), 10.693993, 6)
	add("Wyly–Eaton", "pipe(75, 0.33)", pipe(t, 75, 0.33), 4.965580, 6)
	for _, c := range []struct{ b, q, h float64 }{{100, 1, 31.700079}, {300, 2, 24.191688}, {100, 0.84, 28.221485}} {
		h, err := SlotHead(c.b, c.q)
		if err != nil {
			t.Fatal(err)
		}
		add("sharp-edged weir, Cd 0.6: Q = ⅔·0.6·b·√(2·9.81)·h^1.5", fmt.Sprintf("SlotHead(%g, %g)", c.b, c.q), h, c.h, 6)
	}
	add("half of 10 m² of wall", "Runoff", runoff(Catchment{Name: "roof", AreaM2: 60, WallM2: 10}, working.GivenFigure("r", "rain", 0.02, "l/s·m²", "test")).Value, 1.3, 9)
	published.HoldWorked(t, rows)
	if _, err := SlotHead(0, 1); err == nil {
		t.Error("an overflow of no width was answered")
	}
	f := runoff(Catchment{AreaM2: 60, WallM2: 10, WallWhy: "nobody has measured it"}, working.GivenFigure("r", "rain", 0.02, "l/s·m²", "test"))
	if wall := f.Inputs[1].Inputs[1]; wall.Source.Standing != working.Assumed || wall.Value != 10 {
		t.Errorf("a wall by assumption: %+v", wall)
	}
	if wall := runoff(Catchment{Name: "roof", AreaM2: 60, WallM2: 10}, working.GivenFigure("r", "rain", 0.02, "l/s·m²", "test")).Inputs[1].Inputs[1]; wall.Source.Standing == working.Assumed {
		t.Errorf("a wall that is measured: %+v", wall)
	}
}

// What gutter, outlet and pipe carry is compared with the flow one by one. England: 0.022
// l/s·m² to an eaves gutter, 0.042 within upstands.
func TestCapacityOfEveryPart(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		name    string
		c       Catchment
		verdict check.Verdict
		use     float64
		says    string
	}{
		{"half-round 100 over 5 m: 100 times its depth, 0.93", Catchment{AreaM2: 30, GutterWidthMM: 100, GutterLengthM: 5}, check.Pass, 0.66 / (0.777790 * 0.93), "gutter carries 0.72"},
		{"box 100×75 over 7.5 m, 0.93", Catchment{AreaM2: 60, GutterWidthMM: 100, GutterDepthMM: 75, GutterLengthM: 7.5}, check.Pass, 1.32 / (2.185991 * 0.93), "gutter carries 2.03"},
		{"half the wall counts", Catchment{AreaM2: 25, WallM2: 10, GutterWidthMM: 100, GutterLengthM: 2.5}, check.Pass, 0.66 / 0.777790, "0.66 l/s"},
		{"two outlets of 75", Catchment{AreaM2: 40, Enclosed: true, OutletsMM: []float64{75, 75}}, check.Pass, 1.68 / (2 * 2.070628), "outlet under 35 mm of water carries 4.14"},
		{"pipe of 50 under one outlet", Catchment{AreaM2: 20, Enclosed: true, OutletsMM: []float64{100}, PipeMM: 50}, check.Pass, 0.84 / 1.684198, "downpipe a third full carries 1.68"},
		{"the same under two", Catchment{AreaM2: 40, Enclosed: true, OutletsMM: []float64{100, 100}, PipeMM: 50}, check.Pass, 1.68 / (2 * 1.684198), "downpipe a third full carries 3.37"},
		{"nothing given", Catchment{AreaM2: 20}, check.Ask, 0, "the gutter is not given: a level half-round of 75 mm or more carries it with an outlet at one end, 75"},
	} {
		r := CheckCapacity(c.c, england)
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 2e-6 || c.name != "nothing given" && !strings.Contains(r.Finding, c.says) {
			t.Errorf("%s: %s, used to %.6f, want %.6f: %s", c.name, r.Verdict, r.Utilisation, c.use, r.Finding)
		}
	}
	// No rainfall held: EN 12056-3's own 0.03 l/s·m² where no statistics are held.
	none := country.Recommended()
	r := CheckCapacity(Catchment{AreaM2: 100, OutletsMM: []float64{150}}, none)
	if math.Abs(r.Utilisation-3/4.1412559*4.1412559/Outlet(150, 35)) > 1e-9 || len(r.Flags) != 1 || !strings.Contains(r.Flags[0], "0.03") {
		t.Errorf("%+v", r)
	}
	ireland, _ := country.For("IE")
	if r := CheckCapacity(Catchment{AreaM2: 10, OutletsMM: []float64{100}}, ireland); len(r.Flags) != 1 || !strings.Contains(r.Flags[0], "0.021") {
		t.Errorf("a rainfall by habit is said: %+v", r.Flags)
	}
	if r := CheckCapacity(Catchment{AreaM2: 10, OutletsMM: []float64{100}}, england); len(r.Flags) != 0 {
		t.Errorf("a published rainfall: %+v", r.Flags)
	}
}

// Each remedy is the least that carries the flow, worked apart.
func TestRemediesOfCapacity(t *testing.T) {
	england, _ := country.For("GB-ENG")
	texts := func(c Catchment) string {
		r := CheckCapacity(c, england)
		var out []string
		for _, m := range r.Remedies {
			out = append(out, m.Text)
		}
		return string(r.Verdict) + ": " + strings.Join(out, "; ")
	}
	for _, c := range []struct {
		name string
		c    Catchment
		want string
	}{
		// An outlet of 75 carries 2.07 under 35 mm, 100: 2.76, 125: 3.45, 150: 4.14 l/s.
		{"2.1 l/s", Catchment{AreaM2: 50, Enclosed: true, OutletsMM: []float64{70}}, "fail: make each outlet 100 mm; fit 2 outlets of 70 mm"},
		{"2.0 l/s", Catchment{AreaM2: 48, Enclosed: true, OutletsMM: []float64{50}}, "fail: make each outlet 75 mm; fit 3 outlets of 50 mm"},
		{"3.36 l/s", Catchment{AreaM2: 80, Enclosed: true, OutletsMM: []float64{75}}, "fail: make each outlet 125 mm; fit 2 outlets of 75 mm"},
		{"4.0 l/s", Catchment{AreaM2: 96, Enclosed: true, OutletsMM: []float64{100}}, "fail: make each outlet 150 mm; fit 2 outlets of 100 mm"},
		{"8.4 l/s", Catchment{AreaM2: 200, Enclosed: true, OutletsMM: []float64{100}}, "fail: fit 4 outlets of 100 mm"},
		{"two outlets, 6.3 l/s", Catchment{AreaM2: 150, Enclosed: true, OutletsMM: []float64{100, 100}}, "fail: make each outlet 125 mm; fit 3 outlets of 100 mm"},
		// 1.30 l/s over 10 m: half-round of 135 (0.2 m² of it: 1.30/0.83…), or half the flow over half the run.
		{"half-round", Catchment{AreaM2: 1.3 / 0.022, GutterWidthMM: 90, GutterLengthM: 10}, "fail: widen the half-round gutter to 135 mm; put its outlet midway, or one at each end: then 100 mm does"},
		{"short half-round", Catchment{AreaM2: 0.7 / 0.022, GutterWidthMM: 75, GutterLengthM: 2}, "fail: widen the half-round gutter to 100 mm; put its outlet midway, or one at each end: then 75 mm does"},
		{"box", Catchment{AreaM2: 150, GutterWidthMM: 100, GutterDepthMM: 75, GutterLengthM: 3}, "fail: widen the box gutter to 140 mm; put its outlet midway, or one at each end: then 100 mm does"},
		{"nothing wide enough", Catchment{AreaM2: 1136.37, GutterWidthMM: 100, GutterLengthM: 40}, "fail: more outlets: a run between outlets of this gutter carries 0.62 l/s"},
		{"no box wide enough", Catchment{AreaM2: 5000, GutterWidthMM: 100, GutterDepthMM: 75, GutterLengthM: 40}, "fail: more outlets: a run between outlets of this gutter carries 1.75 l/s"},
	} {
		if got := texts(c.c); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// Worked apart: the least half-round by steps of 5 mm from 75.
func TestAdviceOnGutters(t *testing.T) {
	for _, c := range []struct {
		flow, length float64
		want         string
	}{
		{0.3, 0, "a level half-round of 75 mm or more carries it with an outlet at one end"},
		{0.3, 2, "a level half-round of 75 mm or more carries it over 2.0 m with an outlet at one end"},
		{0.7, 2, "a level half-round of 100 mm or more carries it over 2.0 m with an outlet at one end, 75 mm with an outlet midway or at both ends"},
		{0.7, 10, "a level half-round of 105 mm or more carries it over 10.0 m with an outlet at one end, 80 mm with an outlet midway or at both ends"},
		{1.3, 10, "a level half-round of 135 mm or more carries it over 10.0 m with an outlet at one end, 100 mm with an outlet midway or at both ends"},
		{12.0, 2, "a level half-round of 300 mm or more carries it over 2.0 m with an outlet at one end, 230 mm with an outlet midway or at both ends"},
		{12.2, 2, "a level half-round of 230 mm or more carries it over 2.0 m with an outlet midway or at both ends"},
		{25, 40, "no half-round up to 300 mm carries it with fewer than 3 outlets: 200 mm with 3, evenly spaced"},
		{10000, 10, "no half-round gutter carries it: have it designed"},
	} {
		if got := (Catchment{GutterLengthM: c.length}).gutters(c.flow); got != c.want {
			t.Errorf("%g l/s over %g m: %s", c.flow, c.length, got)
		}
	}
	// 75 mm is the least of the range: 0.3789 l/s.
	if got := (Catchment{}).gutters(0.3788); !strings.Contains(got, "of 75 mm") {
		t.Error(got)
	}
	if got := (Catchment{}).gutters(0.3790); !strings.Contains(got, "of 80 mm") {
		t.Error(got)
	}
	if got := (Catchment{}).gutters(2 * 0.3788); !strings.Contains(got, "75 mm with an outlet midway") {
		t.Error(got)
	}
}

func TestOverflowWorkedApart(t *testing.T) {
	england, _ := country.For("GB-ENG")
	// 0.042·20 = 0.84 l/s over 100 mm: 28.22 mm head; sill 30, outlet 5 over the lowest point: 63.22 mm.
	c := Catchment{Name: "main", AreaM2: 20, Enclosed: true, OutletsMM: []float64{100, 100}, LevelsMM: []float64{9, 5}, OverflowMM: 100, OverflowSillMM: 30, BrimMM: 126.442970}
	r := CheckOverflow(c, england)
	if r.Verdict != check.Pass || math.Abs(r.Working[0].Value-63.221485) > 1e-6 || math.Abs(r.Utilisation-0.5) > 1e-8 {
		t.Errorf("%+v, %.6f", r, r.Working[0].Value)
	}
	// 63 mm of water weigh 0.0632·9.81 = 0.62 kN/m².
	if want := "with the outlet blocked 0.84 l/s stands 63 mm deep over it and leaves by the overflow; that weighs 0.62 kN/m² there"; r.Finding != want {
		t.Error(r.Finding)
	}
	// Half of the wall sheds its rain too: 0.042·(10 + 20/2).
	w := c
	w.AreaM2, w.WallM2 = 10, 20
	if again := CheckOverflow(w, england); math.Abs(again.Working[0].Value-63.221485) > 1e-6 {
		t.Errorf("with a wall: %.6f", again.Working[0].Value)
	}
	c.BrimMM = 0
	if r := CheckOverflow(c, england); r.Verdict != check.Pass || r.Utilisation != 0 {
		t.Errorf("no brim given: %+v", r)
	}
	// A brim of 55 mm leaves 20 mm of head: 100·(28.22/20)^1.5 = 167.6 mm wide, said in steps of 25.
	c.BrimMM = 55
	if r := CheckOverflow(c, england); r.Verdict != check.Fail || len(r.Remedies) != 1 || !strings.HasPrefix(r.Remedies[0].Text, "widen the overflow to 200 mm") {
		t.Errorf("%+v", r)
	}
	c.BrimMM = 33
	if r := CheckOverflow(c, england); r.Verdict != check.Fail || !strings.Contains(r.Remedies[0].Text, "no width is enough") {
		t.Errorf("%+v", r)
	}
	c.OverflowMM = -1
	c.OutletsMM = nil
	if r := CheckOverflow(c, england); r.Verdict != check.Fail || !strings.Contains(r.Finding, "no outlet, no open edge and no overflow") || !strings.Contains(r.Remedies[0].Text, "open the low edge") {
		t.Errorf("%+v", r)
	}
	// No rainfall held: 0.03 l/s·m² of EN 12056-3: 0.03·28 = 0.84 l/s again.
	c = Catchment{AreaM2: 28, Enclosed: true, OutletsMM: []float64{100}, OverflowMM: 100, OverflowSillMM: 30}
	if r := CheckOverflow(c, country.Recommended()); math.Abs(r.Working[0].Value-58.221485) > 1e-6 || len(r.Flags) != 1 || !strings.Contains(r.Flags[0], "0.03") {
		t.Errorf("%+v %.6f", r, r.Working[0].Value)
	}
	if r := CheckOverflow(c, england); len(r.Flags) != 0 {
		t.Errorf("%+v", r.Flags)
	}
}

// One outlet alone: the overflow that is asked for stands under no more than 50 mm of water, in
// steps of 25 mm from 100. Its head is 28.22·(q/0.84)^⅔·(100/b)^⅔ mm.
func TestOverflowThatIsAskedFor(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		area, brim float64
		outlets    []float64
		width      string
		says       string
	}{
		{20, 150, []float64{100}, "about 125 mm wide", "one outlet and no overflow: when it blocks the roof fills to the brim, 150 mm, 1.47 kN/m² at the lowest point"},
		{20, 0, []float64{100}, "about 125 mm wide", "one outlet and no overflow: when it blocks the roof fills to the brim"},
		{100, 150, []float64{100}, "about 250 mm wide", "one outlet"},
		{20, 150, nil, "overflow about 125 mm wide beside it", "no outlet, no open edge and no overflow"},
		{5000, 150, []float64{100}, "about 2000 mm wide", "one outlet"},
	} {
		r := CheckOverflow(Catchment{AreaM2: c.area, Enclosed: true, OutletsMM: c.outlets, BrimMM: c.brim}, england)
		if r.Verdict != check.Fail || r.Utilisation != 2 || !strings.Contains(r.Remedies[0].Text, c.width) || !strings.Contains(r.Finding, c.says) {
			t.Errorf("%+v: %+v", c, r)
		}
		if c.brim == 0 && strings.HasSuffix(r.Finding, "lowest point") {
			t.Errorf("a brim that nobody gave is said: %s", r.Finding)
		}
	}
	r := CheckOverflow(Catchment{AreaM2: 20, StandsM2: 3}, england)
	if r.Verdict != check.Fail || !strings.Contains(r.Finding, "3.0 m²") {
		t.Errorf("%+v", r)
	}
	for _, c := range []Catchment{{AreaM2: 20}, {AreaM2: 20, OutletsMM: []float64{100}}} {
		if r := CheckOverflow(c, england); r.Verdict != check.NotApplicable {
			t.Errorf("%+v", r)
		}
	}
	if r := CheckOverflow(Catchment{AreaM2: 20, Enclosed: true, StandsM2: 3, OutletsMM: []float64{100}}, england); strings.Contains(r.Finding, "open edge: it stands") {
		t.Errorf("%+v", r)
	}
}

// The blocked outlet is the one that leaves the water highest; of equals the largest.
func TestWorstOutletBlocks(t *testing.T) {
	england, _ := country.For("GB-ENG")
	// 0.84 l/s through 80 mm: (0.84·7500/80)^⅔ = 18.37 mm; through 100 mm: 15.83 mm.
	for _, c := range []struct {
		outlets, levels []float64
		blocked         string
		level           float64
	}{
		{[]float64{80, 100}, nil, "100 mm outlet", 18.3724}, {[]float64{100, 80}, nil, "100 mm outlet", 18.3724}, {[]float64{80, 80, 80}, nil, "80 mm outlet", 11.5739},
		{[]float64{80, 80}, []float64{0, 12}, "80 mm outlet", 30.3724}, {[]float64{100, 100, 120}, []float64{0, 0, 500}, "100 mm outlet", 15.8329},
	} {
		r := CheckOverflow(Catchment{AreaM2: 20, Enclosed: true, OutletsMM: c.outlets, LevelsMM: c.levels, BrimMM: 100}, england)
		if !strings.Contains(r.Finding, c.blocked) || math.Abs(r.Working[0].Value-c.level) > 1e-3 || math.Abs(r.Utilisation-c.level/100) > 1e-4 || r.Verdict != check.Pass {
			t.Errorf("%+v: %s, %.4f, %g", c, r.Finding, r.Working[0].Value, r.Utilisation)
		}
	}
	// Among equals in level the largest is named: both leave 18.37 mm over the lowest point by their saddles.
	r := CheckOverflow(Catchment{AreaM2: 20, Enclosed: true, OutletsMM: []float64{80, 100}, SaddleMM: []float64{40, 40}, BrimMM: 100}, england)
	if !strings.Contains(r.Finding, "with the 100 mm outlet blocked 0.84 l/s rises to 40 mm") || !strings.Contains(r.Finding, "weighs 0.39 kN/m² there; the brim is at 100 mm") {
		t.Error(r.Finding)
	}
	// The outlets that carry on are named, by their numbers.
	var named []string
	for _, in := range r.Working[0].Inputs {
		if strings.Contains(in.Name, "above the lowest point") {
			named = append(named, in.Name)
		}
	}
	if len(named) != 1 || named[0] != "outlet 1 above the lowest point" {
		t.Errorf("%q", named)
	}
	r = CheckOverflow(Catchment{AreaM2: 20, Enclosed: true, OutletsMM: []float64{80, 100}}, england)
	if r.Utilisation != 0 || strings.Contains(r.Finding, "brim") {
		t.Errorf("no brim given: %+v", r)
	}
	// Without any other outlet there is no level.
	if l := (Catchment{OutletsMM: []float64{100}}).LevelWithout(0, 1); !math.IsInf(l, 1) {
		t.Errorf("level %g", l)
	}
}

func TestFallsWorkedApart(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		name           string
		design, mm, m  float64
		verdict        check.Verdict
		use            float64
		says, remedies string
	}{
		// 1/40 − 4·0.004/4 = 0.021 = 1:47.6; 1/80 of it is 0.5952.
		{"4 mm over 4 m", 40, 4, 4, check.Pass, 0.0125 / 0.021, "least fall 1:40 as drawn, 1:48 after the deck has bent; 1:80 is the least", ""},
		{"no span, no loss", 40, 4, 0, check.Pass, 0.5, "1:40 after", ""},
		{"all of it taken away", 80, 12.5, 4, check.Fail, 2, "least fall 1:80 as drawn; the deck's sag of 12.5 mm takes all of it away", "40"},
		{"more than all", 80, 20, 4, check.Fail, 2, "takes all of it away", "30"},
		{"1:80 finished is enough", 80, 0, 4, check.Caution, 1, "flatter than the 1:40 to design for", ""},
		{"1:81 is not", 81, 0, 4, check.Fail, 81.0 / 80, "1:81 after", "80"},
		{"1:41 is flatter than to design for", 41, 0, 4, check.Caution, 41.0 / 80, "flatter than", ""},
	} {
		r := CheckFall(Catchment{Name: "main", Design: c.design}, england, c.mm, c.m)
		value := ""
		if len(r.Remedies) > 0 {
			value = r.Remedies[0].Value
		}
		if r.Verdict != c.verdict || math.Abs(r.Utilisation-c.use) > 1e-9 || !strings.Contains(r.Finding, c.says) || value != c.remedies {
			t.Errorf("%s: %s, %.6f, %s, %+v", c.name, r.Verdict, r.Utilisation, r.Finding, r.Remedies)
		}
		if loss := map[bool]float64{true: 4 * c.mm / 1000 / c.m}[c.m > 0]; math.Abs(r.Working[0].Value-100*(1/c.design-loss)) > 1e-9 {
			t.Errorf("%s: finished fall of the working %.6f %%", c.name, r.Working[0].Value)
		}
	}
	for _, n := range []float64{0, math.Inf(1), math.NaN()} {
		if r := CheckFall(Catchment{Design: n}, england, 0, 4); r.Verdict != check.Fail || r.Finding != "there is no fall" || r.Remedies[0].Value != "40" {
			t.Errorf("1:%g: %+v", n, r)
		}
	}
}
