package cure

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"strings"
	"sync"
	"testing"

	"gelwright/conduction"
	"gelwright/working"

	"pgregory.net/rapid"
)

var tables sync.Map // by resin: making one takes half a second

func roofTable(t testing.TB, key string) Table {
	t.Helper()
	if tb, made := tables.Load(key); made {
		return tb.(Table)
	}
	g, _ := sheetGel(t, key)
	tb, err := NewTable(ctx, g, TableAsk{Kinetics: Roof(), Thresholds: RoofThresholds()})
	if err != nil {
		t.Fatal(err)
	}
	tables.Store(key, tb)
	return tb
}

// The radical inverse in base 2 and 3, from its definition: 1/2, 1/4, 3/4, 1/8; 1/3, 2/3, 1/9.
func TestHaltonPoints(t *testing.T) {
	for i, want := range []float64{0.5, 0.25, 0.75, 0.125} {
		near(t, "base 2", halton(i+1, 2), want, 1e-15)
	}
	for i, want := range []float64{1.0 / 3, 2.0 / 3, 1.0 / 9} {
		near(t, "base 3", halton(i+1, 3), want, 1e-15)
	}
}

func TestSampledLawHasTheLawsMeanAndCovariance(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	const n = 4096
	var sum [3]float64
	var cov [3][3]float64
	for _, d := range draws(n) {
		law := g.sampleLaw(d)
		for i := range law {
			sum[i] += law[i] / n
			for j := range law {
				cov[i][j] += (law[i] - g.Mean[i]) * (law[j] - g.Mean[j]) / n
			}
		}
	}
	for i := range sum {
		near(t, "mean", sum[i], g.Mean[i], 0.01*math.Sqrt(cov[i][i]))
		for j := range cov {
			want := g.Cov[i][j]
			if i == 0 && j == 0 {
				want += g.DrumSD * g.DrumSD
			}
			near(t, "covariance", cov[i][j], want, 0.03*math.Sqrt(cov[i][i]*cov[j][j]))
		}
	}
}

// The sampled range of gel agrees with the law's own, which is worked out without
// sampling: the one counts thermometer and dose, the other has them in its noise.
func TestFilmRangeAgreesWithTheLaw(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	f := Film{ResinKGPerM2: 1.125, GlassKGPerM2: 0.45, Deck: []conduction.Layer{Board(18)}, Base: []Reading{{0, 18}}}
	r, err := FilmRange(ctx, g, Roof(), f, 2, RoofThresholds(), Doubts{}, 256)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := g.Time(18, 2)
	got := r.Hardening[AtGel]
	near(t, "likely", got.LikelyMin/want.LikelyMin, 1, 0.05)
	near(t, "width", math.Log(got.HighMin/got.LowMin)/math.Log(want.HighMin/want.LowMin), 1, 0.15)
	for _, m := range Milestones() {
		h := r.Hardening[m]
		if !(h.LowMin <= h.LikelyMin && h.LikelyMin <= h.HighMin) {
			t.Errorf("%s: %v is no range", m, h)
		}
	}
	if !(r.PeakLow < r.PeakC && r.PeakC < r.PeakHigh) {
		t.Errorf("peak %g, %g, %g", r.PeakLow, r.PeakC, r.PeakHigh)
	}
	sure, err := FilmRange(ctx, g, Roof(), f, 2, RoofThresholds(), Doubts{DosePct: -1, TempK: -1, FilmPct: -1, EyeLogit: -1}, 256)
	if err != nil {
		t.Fatal(err)
	}
	if s, w := sure.Hardening[Walk], r.Hardening[Walk]; math.Log(s.HighMin/s.LowMin) >= math.Log(w.HighMin/w.LowMin) {
		t.Error("without doubts about the inputs the range is no narrower")
	}
	again, _ := FilmRange(ctx, g, Roof(), f, 2, RoofThresholds(), Doubts{}, 256)
	if again != r {
		t.Error("the same question has two answers")
	}
	for name, bad := range map[string]func() error{
		"one case": func() error { _, err := FilmRange(ctx, g, Roof(), f, 2, RoofThresholds(), Doubts{}, 1); return err },
		"frost": func() error {
			c := f
			c.Base = []Reading{{0, 1}}
			_, err := FilmRange(ctx, g, Roof(), c, 2, RoofThresholds(), Doubts{}, 0)
			return err
		},
		"a drive": func() error {
			c := f
			c.Drive = &conduction.Drive{}
			_, err := FilmRange(ctx, g, Roof(), c, 2, RoofThresholds(), Doubts{}, 0)
			return err
		},
	} {
		if bad() == nil {
			t.Errorf("%s passes", name)
		}
	}
}

// A reading is anywhere within half a mark: standard deviation mark/√12.

func TestTableAgreesWithTrueRuns(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	for m, limit := range [milestones]float64{AtGel: 0.5, Trim: 1, Walk: 3, Sand: 5.5, RainSafe: 8.5, OverCoatFrom: 8.5, OverCoatUntil: 100, FullCure: 220} {
		if w := tb.WorstPct[m]; !(w > 0 && w <= limit) {
			t.Errorf("%s: the table is out by %.2f %%, more than %g", Milestone(m), w, limit)
		}
		if tb.UsualPct[m] > tb.WorstPct[m] {
			t.Errorf("%s: usual error above the worst", Milestone(m))
		}
	}
	// At points between, chosen at random, the table keeps the error it states for its middles, half as much again at most.
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(5, 30).Draw(t, "tempC")
		p := rapid.Float64Range(1, 3.5).Draw(t, "pct")
		w := rapid.Float64Range(0.5, 1.6).Draw(t, "resin")
		k := Roof().Matched(tb.Law, c, p)
		run, err := k.Film(ctx, Film{ResinKGPerM2: w, GlassKGPerM2: 0.4 * w, Deck: []conduction.Layer{Board(18)}, Base: []Reading{{0, c}}}, p, RoofThresholds())
		if err != nil {
			t.Fatal(err)
		}
		for m := AtGel; m <= OverCoatFrom; m++ {
			got, err := tb.Time(m, c, p, w)
			if err != nil {
				t.Fatal(err)
			}
			if e := 100 * math.Abs(got.LikelyMin/run.Hardening[m]-1); e > 1.5*tb.WorstPct[m] {
				t.Fatalf("%s at %g °C, %g %%, %g kg/m²: out by %.2f %%, stated %.2f", m, c, p, w, e, tb.WorstPct[m])
			}
		}
	})
	raw, err := json.Marshal(tb)
	if err != nil {
		t.Fatal(err)
	}
	var back Table
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	a, _ := tb.Time(Walk, 13.3, 2.2, 1.1)
	b, err := back.Time(Walk, 13.3, 2.2, 1.1)
	if err != nil || a != b {
		t.Errorf("the table does not survive a file: %v, %v, %v", a, b, err)
	}
}

// Equivalent age by the table against the film that truly follows the evening.
func TestTableUnderAnEvening(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	evening := []Reading{{0, 16}, {60, 15}, {180, 10}, {360, 6}, {600, 4}}
	k := Roof().Matched(tb.Law, 16, 2)
	run, err := k.Film(ctx, Film{ResinKGPerM2: 1.125, GlassKGPerM2: 0.45, Deck: []conduction.Layer{Board(18)}, Base: evening}, 2, RoofThresholds())
	if err != nil {
		t.Fatal(err)
	}
	for m := AtGel; m <= OverCoatFrom; m++ {
		got, err := tb.Under(m, evening, 2, 1.125)
		if err != nil {
			t.Fatal(err)
		}
		// The age's rate uses the gel's E, the film its own after gel: hence 12 %.
		near(t, m.String(), got.LikelyMin/run.Hardening[m], 1, 0.12)
		steady, _ := tb.Time(m, 16, 2, 1.125)
		if level, err := tb.Under(m, []Reading{{0, 16}}, 2, 1.125); err != nil || math.Abs(level.LikelyMin/steady.LikelyMin-1) > 1e-9 {
			t.Errorf("%s on a steady deck: %v, %v (%v)", m, level, steady, err)
		}
	}
	if _, err := tb.Under(Walk, []Reading{{0, 3}}, 2, 1.125); !errors.Is(err, ErrTooCold) {
		t.Errorf("mixing at 3 °C: %v", err)
	}
	if _, err := tb.Time(Walk, 15, 2, 9); err == nil {
		t.Error("a film of 9 kg/m² passes")
	}
	if _, err := tb.Time(milestones, 15, 2, 1); err == nil {
		t.Error("a milestone that is none passes")
	}
}

// Running sums of PerMin say the same as Under, as a search over a forecast uses them.
func TestRunningSumsOfACurve(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	c, err := tb.Curve(Walk, 2, 1.125)
	if err != nil {
		t.Fatal(err)
	}
	day := []Reading{{-30, 9}, {0, 10}, {90, 18}, {400, 3}}
	want, err := c.Under(day)
	if err != nil {
		t.Fatal(err)
	}
	sum, min := 0.0, 0.0
	const dt = 0.05
	for sum < 1 {
		sum += dt * c.PerMin(tempAt(day, min+dt/2))
		min += dt
	}
	near(t, "walk", want.LikelyMin, min, 0.1)
	if cold := c.PerMin(0); cold >= c.PerMin(5) || cold <= 0 {
		t.Error("below the grid the cure does not slow down")
	}
	if _, err := tb.Curve(Walk, 9, 1.125); !errors.Is(err, ErrOverDose) {
		t.Errorf("9 %%: %v", err)
	}
}

func TestChanceOfARange(t *testing.T) {
	r := Range{10, 20, 40}
	near(t, "at the low", r.Chance(10), 0.05, 1e-9)
	near(t, "at the likely", r.Chance(20), 0.5, 1e-9)
	near(t, "at the high", r.Chance(40), 0.95, 1e-9)
	if (Range{48, 48, 48}).Chance(48) != 1 || (Range{48, 48, 48}).Chance(47) != 0 || r.Chance(0) != 0 || (Range{1, math.Inf(1), math.Inf(1)}).Chance(5) != 0 {
		t.Error("the ends are wrong")
	}
}

func TestFrontierFallsAndRises(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	goal := Goal{LayMin: 12, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 18}}}
	a, err := Frontier(ctx, &tb, Roof(), goal)
	if err != nil {
		t.Fatal(err)
	}
	if !a.Chosen.Meets || a.Chosen.Technique != FromBucket || a.Chosen.Pct < 1.5 || a.Chosen.Pct > 2.5 {
		t.Errorf("chosen %+v", a.Chosen)
	}
	for i := 1; i < len(a.Frontier); i++ {
		o, p := a.Frontier[i], a.Frontier[i-1]
		if o.Technique == p.Technique && (o.Laid > p.Laid+1e-12 || o.Ready < p.Ready-1e-12 || o.Pct <= p.Pct) {
			t.Errorf("%+v after %+v", o, p)
		}
	}
	// The bucket heats itself: it gels sooner than the same mix poured out.
	half := len(a.Frontier) / 2
	for i := range half {
		if a.Frontier[i].Gel.LikelyMin >= a.Frontier[half+i].Gel.LikelyMin {
			t.Errorf("%g %%: bucket %.1f min, poured out %.1f", a.Frontier[i].Pct, a.Frontier[i].Gel.LikelyMin, a.Frontier[half+i].Gel.LikelyMin)
		}
	}
	if a.Figure == nil || len(a.Figure.Inputs) != 2 || a.Figure.Unit != "%" {
		t.Error("the choice has no working")
	}
}

func TestFrontierNamesTheMeasure(t *testing.T) {
	tb, winter := roofTable(t, "resin.all-season"), roofTable(t, "resin.winter")
	for _, c := range []struct {
		name string
		goal Goal
		says string
		not  string
	}{
		{"hot deck", Goal{LayMin: 14, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 31}}, SunK: 8}, "shade", "tent"},
		{"hot deck, small mixes", Goal{LayMin: 14, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 31}}}, "half the size", "earlier"},
		{"cold evening", Goal{LayMin: 14, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{-240, 13}, {0, 9}, {60, 7}, {300, 3}}}, "start 2 h earlier", "half the size"},
		{"an hour in the cold", Goal{LayMin: 14, Ready: RainSafe, ByMin: 60, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 9}}}, "another day", "half the size"},
	} {
		a, err := Frontier(ctx, &tb, Roof(), c.goal, Grade{"winter grade", &winter})
		if !errors.Is(err, ErrNoAim) || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), c.not) {
			t.Errorf("%s: %v", c.name, err)
		}
		if len(a.Frontier) == 0 || a.Chosen.Meets || len(a.Measures) == 0 {
			t.Errorf("%s: %+v", c.name, a.Chosen)
		}
		for i := 1; i < len(a.Measures); i++ {
			if a.Measures[i].Works && !a.Measures[i-1].Works {
				t.Errorf("%s: a measure that works comes after one that does not", c.name)
			}
		}
	}
	good := Goal{LayMin: 12, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 18}}}
	for name, spoil := range map[string]func(*Goal){
		"no minutes": func(q *Goal) { q.LayMin = 0 }, "no deadline": func(q *Goal) { q.ByMin = math.NaN() }, "no deck": func(q *Goal) { q.Base = nil },
		"frost": func(q *Goal) { q.Base = []Reading{{0, 0}} }, "no mix": func(q *Goal) { q.KG = 0 }, "certainty": func(q *Goal) { q.LaidTarget = 1 }, "thick": func(q *Goal) { q.ResinKGPerM2 = 9 },
	} {
		q := good
		spoil(&q)
		if _, err := Frontier(ctx, &tb, Roof(), q); err == nil || errors.Is(err, ErrNoAim) {
			t.Errorf("%s: %v", name, err)
		}
	}
	gone, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := Frontier(gone, &tb, Roof(), good); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// Two members, one warm and one cold: the chance is the mean of the two alone.
func TestMembersOfAnEnsemble(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	warm, cold := []Reading{{0, 14}, {300, 16}}, []Reading{{0, 14}, {120, 8}}
	goal := Goal{LayMin: 12, Ready: RainSafe, ByMin: 215, ResinKGPerM2: 1.125, KG: 4, Base: warm, ReadyTarget: 1e-6, LaidTarget: 1e-6}
	chance := func(members ...[]Reading) float64 {
		q := goal
		q.Members = members
		a, err := Frontier(ctx, &tb, Roof(), q)
		if err != nil {
			t.Fatal(err)
		}
		return a.Frontier[6].Ready
	}
	w, c := chance(warm), chance(cold)
	if w < c+0.05 {
		t.Fatalf("warm %g, cold %g", w, c)
	}
	near(t, "both", chance(warm, cold), (w+c)/2, 1e-12)
	near(t, "base alone", chance(), w, 1e-12)
	f := Film{ResinKGPerM2: 1.125, GlassKGPerM2: 0.45, Deck: []conduction.Layer{Board(18)}, Base: warm}
	one, err := FilmRange(ctx, tb.Law, Roof(), f, 2, RoofThresholds(), Doubts{}, 64)
	if err != nil {
		t.Fatal(err)
	}
	two, err := FilmRange(ctx, tb.Law, Roof(), f, 2, RoofThresholds(), Doubts{Bases: [][]Reading{warm, cold}}, 64)
	if err != nil {
		t.Fatal(err)
	}
	if two.Hardening[RainSafe].HighMin < 1.05*one.Hardening[RainSafe].HighMin {
		t.Errorf("the cold member does not show: %v, %v", one.Hardening[RainSafe], two.Hardening[RainSafe])
	}
}

func TestNeverIsNullInJSON(t *testing.T) {
	raw, err := json.Marshal(Range{20, 40, math.Inf(1)})
	if err != nil || string(raw) != `{"low_min":20,"likely_min":40,"high_min":null}` {
		t.Fatalf("%s %v", raw, err)
	}
	var back Range
	if err := json.Unmarshal(raw, &back); err != nil || back != (Range{20, 40, math.Inf(1)}) {
		t.Errorf("%v %v", back, err)
	}
	h := endless()
	h[Walk] = 60
	raw, err = json.Marshal(h)
	if err != nil || !strings.Contains(string(raw), `"walk":60`) || !strings.Contains(string(raw), `"full cure":null`) {
		t.Errorf("%s %v", raw, err)
	}
}

func TestMilestoneFigureSaysWhatItRestsOn(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	gel, err := g.Working(10, 2, "site")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := working.Unfold(&b, MilestoneFigure(OverCoatUntil, Range{2880, 2880, 2880}, gel, Roof(), RoofThresholds())); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"48 h", "common practice, no source", "illustrative", "gel time of"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the working lacks %q:\n%s", want, b.String())
		}
	}
	if Milestone(99).String() == "" || Walk.String() != "walk" || endless().At(Walk) != math.Inf(1) {
		t.Error("names of milestones")
	}
}

func BenchmarkTableTime(b *testing.B) {
	tb := roofTable(b, "resin.all-season")
	b.ResetTimer()
	for range b.N {
		if _, err := tb.Time(RainSafe, 13.3, 2.2, 1.1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCurveUnder(b *testing.B) {
	tb := roofTable(b, "resin.all-season")
	c, err := tb.Curve(RainSafe, 2.2, 1.1)
	if err != nil {
		b.Fatal(err)
	}
	var day []Reading
	for i := range 48 {
		day = append(day, Reading{float64(15 * i), 12 + 4*math.Sin(float64(i)/8)})
	}
	b.ResetTimer()
	for range b.N {
		if _, err := c.Under(day); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTableUnder(b *testing.B) {
	tb := roofTable(b, "resin.all-season")
	var day []Reading
	for i := range 48 {
		day = append(day, Reading{float64(15 * i), 12 + 4*math.Sin(float64(i)/8)})
	}
	b.ResetTimer()
	for range b.N {
		if _, err := tb.Under(RainSafe, day, 2.2, 1.1); err != nil {
			b.Fatal(err)
		}
	}
}
