package drainage

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
		t.Errorf("%s = %.4f, want %.4f within %g %%", name, got, want, 100*relative)
	}
}

func TestHalfRoundGutters(t *testing.T) {
	// Approved Document H3 table 2 (from memory; the 100 mm row read in a textbook): l/s.
	for _, c := range []struct{ width, flow float64 }{{75, .38}, {100, .78}, {125, 1.37}, {150, 2.16}} {
		near(t, "Approved Document H3 table 2, half-round", HalfRound(c.width), c.flow, 0.01)
	}
	// Hall, Building Services Engineering, 5th ed., example 8.2: a roof of 15 by 8 m at
	// 0.021 l/s·m² gives 2.52 l/s, 1.26 l/s to each side. The book's formula carries another
	// constant (1.40·0.9·2.67e−5), solved there for A 4563 mm².
	near(t, "Hall example 8.2, flow", runoff(Catchment{Name: "roof", AreaM2: 120, WallM2: 0}, working.GivenFigure("r", "rain", 0.021, "l/s·m²", "test")).Value, 2.52, 1e-9)
	near(t, "Hall example 8.2, area", math.Pow(1.26/(1.40*0.9*2.67e-5), 0.8), 4563, 0.003)
}

func TestRectangularGutters(t *testing.T) {
	// Worked from the formula (regression only).
	for _, c := range []struct{ w, d, q float64 }{{100, 75, 2.186}, {125, 100, 4.140}, {150, 100, 5.199}, {300, 150, 20.53}} {
		near(t, "rectangular", Rectangular(c.w, c.d), c.q, 0.001)
	}
}

// pipe is a pipe's capacity by its diameter, mm, and filling.
func pipe(t *testing.T, d, f float64) float64 {
	t.Helper()
	v, err := downpipes.Value([]string{"kb", "d", "f", "n"}, []float64{pipeRoughMM, d, f, 1})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestDownpipes(t *testing.T) {
	// EN 12056-3 table 8 (from memory): 75 mm 5.0 l/s, 100 mm 10.7 l/s at f 0.33.
	near(t, "75 mm", pipe(t, 75, 0.33), 5.0, 0.01)
	near(t, "100 mm", pipe(t, 100, 0.33), 10.7, 0.005)
	// National Standard Plumbing Code 2006 table 13.6.1: a 3 in leader 7/24 full carries 67 gpm.
	near(t, "NSPC 2006 table 13.6.1, 3 in", pipe(t, 76.2, 7.0/24), 67*0.0630902, 0.01)
	near(t, "NSPC 2006 table 13.6.1, 4 in", pipe(t, 101.6, 7.0/24), 144*0.0630902, 0.01)
	near(t, "NSPC 2006 table 13.6.1, 6 in", pipe(t, 152.4, 7.0/24), 424*0.0630902, 0.01)
}

func TestOutlets(t *testing.T) {
	// Worked from the formula (regression only).
	for _, c := range []struct{ d, h, q float64 }{{100, 35, 2.761}, {100, 60, 5.164}, {75, 35, 2.071}} {
		near(t, "outlet", Outlet(c.d, c.h), c.q, 0.001)
	}
}

func TestLongGutters(t *testing.T) {
	// A trade table after EN 12056-3: 1.0, 0.93, 0.86, 0.80.
	for x, y := range map[float64]float64{30: 1, 50: 1, 100: .93, 150: .86, 200: .80, 300: .80} {
		near(t, "length factor", LengthFactor(x), y, 1e-9)
	}
}

func TestFallsAfterDeflection(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		name         string
		design       float64
		deflectionMM float64
		spanM        float64
		want         string
	}{
		{"1:40 stiff", 40, 0, 4, "pass"},
		{"1:60 is enough finished but not to design for", 60, 0, 2.1, "caution"},
		{"valley of two 1:60 planes is 1:84.9", 60 * math.Sqrt2, 0, 0, "fail"},
		{"valley of two 1:40 planes is 1:56.6", 40 * math.Sqrt2, 0, 0, "caution"},
		{"1:40 with 16 mm sag over 4 m", 40, 16, 4, "fail"},
		{"no fall", 0, 0, 4, "fail"},
	} {
		r := CheckFall(Catchment{Name: "main", Design: c.design}, england, c.deflectionMM, c.spanM)
		if string(r.Verdict) != c.want {
			t.Errorf("%s: %s (%s), want %s", c.name, r.Verdict, r.Finding, c.want)
		}
	}
	r := CheckFall(Catchment{Name: "main", Design: 70}, england, 6, 4)
	var n float64
	if r.Verdict != "fail" || len(r.Remedies) == 0 {
		t.Fatalf("%+v", r)
	}
	for _, c := range r.Remedies[0].Value {
		n = 10*n + float64(c-'0')
	}
	if again := CheckFall(Catchment{Name: "main", Design: n}, england, 6, 4); again.Verdict == "fail" {
		t.Errorf("1:%g still fails: %s", n, again.Finding)
	}
}

func TestBlockedOutlet(t *testing.T) {
	england, _ := country.For("GB-ENG")
	c := Catchment{Name: "main", AreaM2: 20, Enclosed: true, OutletsMM: []float64{100}, BrimMM: 150}
	if r := CheckOverflow(c, england); r.Verdict != "fail" || len(r.Remedies) == 0 {
		t.Errorf("one outlet alone: %+v", r)
	}
	c.OverflowMM, c.OverflowSillMM = 100, 30
	if r := CheckOverflow(c, england); r.Verdict != "pass" {
		t.Errorf("with an overflow: %+v", r)
	}
	if r := CheckCapacity(c, england); r.Verdict != "pass" {
		t.Errorf("20 m² on a 100 mm outlet: %+v", r)
	}
	c.AreaM2 = 200
	if r := CheckCapacity(c, england); r.Verdict != "fail" || len(r.Remedies) == 0 {
		t.Errorf("200 m² on a 100 mm outlet: %+v", r)
	}
}

// The three-level roof: 62 m² to the lower gutter and 4 m² to the middle one at 0.022 l/s·m².
func TestCascadeFlows(t *testing.T) {
	england, _ := country.For("GB-ENG")
	near(t, "lower gutter", runoff(Catchment{Name: "C", AreaM2: 62, WallM2: 0}, england.Rain.Figure("r")).Value, 1.364, 1e-3)
	near(t, "middle gutter", runoff(Catchment{Name: "B", AreaM2: 4, WallM2: 0}, england.Rain.Figure("r")).Value, 0.088, 1e-3)
}

// Approved Document H3 table 2 (from memory) gives a 100 mm half-round 0.78 l/s; over 10 m
// it is 200 times as long as deep and carries four fifths of that (EN 12056-3 by a trade
// table), so 0.7 l/s wants the next size, or an outlet midway.
func TestGutterAdviceCountsItsLength(t *testing.T) {
	short, long := Catchment{GutterLengthM: 2}, Catchment{GutterLengthM: 10}
	if s := short.gutters(0.7); !strings.Contains(s, "of 100 mm or more") {
		t.Error(s)
	}
	s := long.gutters(0.7)
	if !strings.Contains(s, "of 105 mm or more") || !strings.Contains(s, "midway or at both ends") || strings.Contains(s, "of 100 mm") {
		t.Error(s)
	}
	if s := (Catchment{GutterLengthM: 40}).gutters(25); !strings.Contains(s, "outlets") {
		t.Error(s)
	}
	england, _ := country.For("GB-ENG")
	r := CheckCapacity(Catchment{Name: "main", AreaM2: 60, GutterWidthMM: 100, GutterLengthM: 10}, england)
	if r.Verdict != "fail" || len(r.Remedies) < 2 || !strings.Contains(r.Remedies[1].Text, "midway") {
		t.Errorf("%+v", r)
	}
}

// A 100 mm outlet carries 2.761 l/s under 35 mm (regression only); 20 mm above the lowest
// point it does so at 55 mm, or at the saddle on the way to it.
func TestOtherOutletsCarryAtTheirHeight(t *testing.T) {
	c := Catchment{Name: "main", AreaM2: 20, Enclosed: true, OutletsMM: []float64{110, 100}, LevelsMM: []float64{0, 20}, BrimMM: 50}
	near(t, "level", c.LevelWithout(0, Outlet(100, 35)), 55, 1e-6)
	c.SaddleMM = []float64{70, 0}
	near(t, "saddle", c.LevelWithout(0, Outlet(100, 35)), 70, 1e-9)
	england, _ := country.For("GB-ENG")
	if r := CheckOverflow(c, england); r.Verdict != "fail" || len(r.Remedies) == 0 || !strings.Contains(r.Finding, "110 mm outlet blocked") {
		t.Errorf("%+v", r)
	}
	c.BrimMM = 150
	if r := CheckOverflow(c, england); r.Verdict != "pass" {
		t.Errorf("%+v", r)
	}
	c.SaddleMM[0] = math.Inf(1)
	if r := CheckOverflow(c, england); r.Verdict != "fail" || !strings.Contains(r.Finding, "no other outlet") {
		t.Errorf("%+v", r)
	}
}

// The leaf guard that is ordered with every outlet leaves half of its capacity (EN 12056-3, from
// memory): a 75 mm one carries 1.04 l/s in place of 2.07, and remedies count it.
func TestLeafGuardsHalveAnOutlet(t *testing.T) {
	england, _ := country.For("GB-ENG")
	c := Catchment{Name: "main", AreaM2: 24, WallM2: 15, Enclosed: true, OutletsMM: []float64{75}}
	if r := CheckCapacity(c, england); r.Verdict != "pass" {
		t.Errorf("without a guard: %+v", r)
	}
	c.Guarded = true
	r := CheckCapacity(c, england)
	near(t, "used", r.Utilisation, 1.323/(2.070628/2), 1e-3)
	if r.Verdict != "fail" || !strings.Contains(r.Finding, "with its leaf guard under 35 mm of water carries 1.04") || len(r.Remedies) < 2 ||
		r.Remedies[0].Text != "make each outlet 100 mm" || r.Remedies[1].Text != "fit 2 outlets of 75 mm" {
		t.Errorf("with a guard: %+v", r)
	}
	c.OutletsMM = []float64{100}
	if r := CheckCapacity(c, england); r.Verdict != "pass" {
		t.Errorf("the remedy: %+v", r)
	}
	// Blocked, the other carries half too: 0.84 l/s through 80 mm want 2^⅔ of 18.37 mm.
	o := Catchment{AreaM2: 20, Enclosed: true, Guarded: true, OutletsMM: []float64{80, 100}, BrimMM: 100}
	near(t, "level", CheckOverflow(o, england).Working[0].Value, 18.3724*math.Cbrt(4), 1e-4)
}

// A roof that fills to the brim shows what the brim and the weight are made of.
func TestTheBrimHasAWorking(t *testing.T) {
	england, _ := country.For("GB-ENG")
	r := CheckOverflow(Catchment{Name: "main", AreaM2: 24, WallM2: 15, Enclosed: true, OutletsMM: []float64{75}, BrimMM: 214}, england)
	keys := map[string]float64{}
	for _, f := range r.Working {
		keys[f.Key] = f.Value
	}
	near(t, "weight", keys["check.drainage.weight.main"], 2.099, 1e-3)
	near(t, "width", keys["check.drainage.overflow_width.main"], 125, 1e-9)
	if r.Working[0].Value != 214 {
		t.Errorf("%+v", r.Working)
	}
}
