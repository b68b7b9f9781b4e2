package cure

import (
	"context"
	"fmt"
	"math"
	"testing"

	"gelwright/internal/published"
)

// Constants of nature and of statistics, against what is printed.
func TestPublishedConstants(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "CODATA 2018, molar gas constant, kJ/(mol·K)", Place: "gasKJ", Got: gasKJ, Want: 8.314462618e-3},
		{Clause: "SI brochure, 0 °C in kelvin", Place: "zeroC", Got: zeroC, Want: 273.15},
		{Clause: "Abramowitz and Stegun, table 26.5: one-sided 5 % of the normal distribution", Place: "z95", Got: z95, Want: 1.644853626951},
		{Clause: "Student 1908; Fisher and Yates: one-sided 5 % of t, 4 degrees of freedom", Place: "t4q95", Got: t4q95, Want: 2.131846786327},
		{Clause: "Lange, Little and Taylor 1989, their choice for robust work (from memory)", Place: "noiseNu", Got: noiseNu, Want: 4},
		{Clause: "ISO laminate rules, BS 4994: density of E-glass, kg/m³ (from memory)", Place: "glassKGPerM3", Got: glassKGPerM3, Want: 2560},
		{Clause: "E-glass, 800 to 830 J/(kg·K) (from memory)", Place: "glassJPerKGK", Got: glassJPerKGK, Want: 820},
		{Clause: "data sheets of laminating resins, liquid, 1100 to 1130 kg/m³", Place: "liquidKGPerM3", Got: liquidKGPerM3, Want: 1100},
		{Clause: "mat laminate, 0.20 to 0.25 W/(m·K) (from memory)", Place: "laminateWPerMK", Got: laminateWPerMK, Want: 0.20},
		{Clause: "EN ISO 10456, OSB, W/(m·K) (from memory)", Place: "Board", Got: Board(18).ConductivityWPerMK, Want: 0.13},
		{Clause: "EN ISO 10456, OSB, kg/m³ (from memory)", Place: "Board", Got: Board(18).DensityKgPerM3, Want: 620},
		{Clause: "EN ISO 10456, OSB, J/(kg·K) (from memory)", Place: "Board", Got: Board(18).HeatJPerKgK, Want: 1700},
		{Clause: "rigid foam, W/(m·K) (from memory)", Place: "Insulant", Got: Insulant(120).ConductivityWPerMK, Want: 0.022},
		{Clause: "rigid foam, kg/m³ (from memory)", Place: "Insulant", Got: Insulant(120).DensityKgPerM3, Want: 32},
		{Clause: "rigid foam, J/(kg·K) (from memory)", Place: "Insulant", Got: Insulant(120).HeatJPerKgK, Want: 1400},
		{Clause: "styrene, boiling point, °C", Place: "boilC", Got: boilC, Want: 145},
		{Clause: "skin burns at once, °C (from memory)", Place: "scaldC", Got: scaldC, Want: 60},
		{Clause: "resin smokes and pails soften, °C (from memory)", Place: "smokeC", Got: smokeC, Want: 100},
		{Clause: "the trade: gel law holds from 1 %", Place: "leastPct", Got: leastPct, Want: 1},
		{Clause: "the trade: gel law holds to 4 %", Place: "mostPct", Got: mostPct, Want: 4},
		{Clause: "the trade: gel law holds from 5 °C", Place: "coldestC", Got: coldestC, Want: 5},
		{Clause: "the trade: gel law holds to 35 °C", Place: "hotestC", Got: hotestC, Want: 35},
		{Clause: "the usual dose of the trade, % by mass", Place: "refPct", Got: refPct, Want: 2},
		{Clause: "temperature of data sheets, °C", Place: "refC", Got: refC, Want: 20},
	})
}

// What is assumed where nothing is published: held, so that a change is made on purpose.
func TestAssumedConstants(t *testing.T) {
	d := Doubts{}.filled()
	a := Aim{}.filled(1)
	long := Aim{}.filled(100)
	b, err := Bucket{KG: 1, DensityKGPerL: 1.1}.filled()
	if err != nil {
		t.Fatal(err)
	}
	q, err := Goal{LayMin: 10, ByMin: 100, KG: 1, Base: []Reading{{0, 15}}}.filled()
	if err != nil {
		t.Fatal(err)
	}
	published.Hold(t, []published.Row{
		{Clause: "assumed: spread of one gel on site, ln t", Place: "siteNoise", Got: siteNoise, Want: 0.10},
		{Clause: "assumed: spread of a timed cup, ln t", Place: "cupNoise", Got: cupNoise, Want: 0.05},
		{Clause: "assumed: least spread from drum to drum, ln t", Place: "leastDrum", Got: leastDrum, Want: 0.05},
		{Clause: "assumed: doubt of ln t by 10 K beyond the evidence", Place: "beyondPer10K", Got: beyondPer10K, Want: 0.15},
		{Clause: "assumed: doubt of ln t by e-fold beyond the evidence", Place: "beyondPerLnC", Got: beyondPerLnC, Want: 0.25},
		{Clause: "assumed: gels that the prior spread on site is worth", Place: "noiseWorth", Got: noiseWorth, Want: 6},
		{Clause: "assumed: drums that the prior spread is worth", Place: "drumWorth", Got: drumWorth, Want: 4},
		{Clause: "assumed: a doubtful entry, spreads off", Place: "doubtfulMiss", Got: doubtfulMiss, Want: 3.5},
		{Clause: "assumed: dose, %", Place: "Doubts.DosePct", Got: d.DosePct, Want: 5},
		{Clause: "assumed: temperature, K", Place: "Doubts.TempK", Got: d.TempK, Want: 1},
		{Clause: "assumed: film, %", Place: "Doubts.FilmPct", Got: d.FilmPct, Want: 10},
		{Clause: "assumed: eye, logit", Place: "Doubts.EyeLogit", Got: d.EyeLogit, Want: 0.15},
		{Clause: "assumed: shape, %", Place: "Doubts.ShapePct", Got: d.ShapePct, Want: 15},
		{Clause: "assumed: eye", Place: "eyeLogit", Got: eyeLogit, Want: 0.15},
		{Clause: "assumed: shape", Place: "shapeSD", Got: shapeSD, Want: 0.15},
		{Clause: "the trade: usual dose, %", Place: "Aim.PreferredPct", Got: a.PreferredPct, Want: 2},
		{Clause: "assumed: earliest gel wanted, min", Place: "Aim.WantedMin", Got: a.WantedMin, Want: 15},
		{Clause: "assumed: longest gel not late, min", Place: "Aim.LongestMin", Got: a.LongestMin, Want: 35},
		{Clause: "assumed: too slow, min", Place: "Aim.TooSlowMin", Got: a.TooSlowMin, Want: 90},
		{Clause: "assumed: minutes needed are wanted", Place: "Aim.WantedMin of 100 min", Got: long.WantedMin, Want: 100},
		{Clause: "assumed: half as much again", Place: "Aim.LongestMin of 100 min", Got: long.LongestMin, Want: 150},
		{Clause: "assumed: twice the minutes", Place: "Aim.TooSlowMin of 100 min", Got: long.TooSlowMin, Want: 200},
		{Clause: "what a marked dispenser can follow, %", Place: "doseStep", Got: doseStep, Want: 0.05},
		{Clause: "still air, convection and radiation, 8 to 12 W/(m²·K) (from memory)", Place: "Bucket.WallWPerM2K", Got: b.WallWPerM2K, Want: 10},
		{Clause: "a day", Place: "Bucket.EndMin", Got: b.EndMin, Want: 1440},
		{Clause: "assumed: spread of laying", Place: "Goal.LayCV", Got: q.LayCV, Want: 0.2},
		{Clause: "assumed: chance wanted of being laid", Place: "Goal.LaidTarget", Got: q.LaidTarget, Want: 0.95},
		{Clause: "assumed: chance wanted of being ready", Place: "Goal.ReadyTarget", Got: q.ReadyTarget, Want: 0.90},
		{Clause: "data sheets of laminating resins, liquid, kg/l", Place: "Goal.DensityKGPerL", Got: q.DensityKGPerL, Want: 1.1},
		{Clause: "assumed: what a tent and warm resin give, K", Place: "warmerK", Got: warmerK, Want: 5},
		{Clause: "heat of cure, least, of 350 kJ/kg (from memory)", Place: "leastHeat", Got: 350 * leastHeat, Want: 300},
		{Clause: "heat of cure, most, of 350 kJ/kg (from memory)", Place: "mostHeat", Got: 350 * mostHeat, Want: 400},
		{Clause: "assumed: a rest worth advice, kg", Place: "worthKG", Got: worthKG, Want: 0.05},
		{Clause: "assumed: quick enough not to starve in the cold, min", Place: "quickMin", Got: quickMin, Want: 25},
		{Clause: "about 2 m/s of wind; EN ISO 6946 has 25 at 4 m/s (from memory)", Place: "openLossWPerM2K", Got: openLossWPerM2K, Want: 15},
		{Clause: "450 g/m² of mat in 1.125 kg/m²", Place: "TableAsk.GlassShare", Got: TableAsk{}.filled(&Gel{}).GlassShare, Want: 0.4},
		{Clause: "the usual deck, mm", Place: "TableAsk.Deck", Got: TableAsk{}.filled(&Gel{}).Deck[0].ThicknessMM, Want: 18},
	})
}

// The built-in sets, written a second time: "fast" and "slow" from the fit to Polymers 2024, 16(17), 2391, "roof" from that to
// the trade's hardening times.
func TestIllustrativeSetsAreAsFitted(t *testing.T) {
	want := []Kinetics{
		{
			Key: "fast", Name: "fast resin", Standing: illustrative, RefC: 25, RefPct: 2, K1PerS: 6.48e-5, K2PerS: 2.4e-4, E1KJPerMol: 45,
			E2KJPerMol: 45, M: 0.8, N: 1.5, InductionS: 280, InductionEKJPerMol: 45, DoseExponent: 0.5, InductionDoseExponent: 0.8,
			HeatKJPerKG: 350, HeatCapacityKJPerKGK: 1.9, GelAlpha: 0.05,
		},
		{
			Key: "slow", Name: "slow resin", Standing: illustrative, RefC: 25, RefPct: 2, K1PerS: 7.81e-5, K2PerS: 1.1e-3, E1KJPerMol: 45,
			E2KJPerMol: 45, M: 0.8, N: 1.5, InductionS: 3200, InductionEKJPerMol: 45, DoseExponent: 0.5, InductionDoseExponent: 0.8,
			HeatKJPerKG: 240, HeatCapacityKJPerKGK: 1.9, GelAlpha: 0.05,
		},
		{
			Key: "roof", Name: "laminating resin on a roof", Standing: illustrative, RefC: 25, RefPct: 1, K1PerS: 4.8e-5, K2PerS: 6e-4,
			E1KJPerMol: 50, E2KJPerMol: 50, M: 0.8, N: 1.5, InductionS: 600, InductionEKJPerMol: 50, DoseExponent: 0.5,
			InductionDoseExponent: 0.8, HeatKJPerKG: 350, HeatCapacityKJPerKGK: 1.9, GelAlpha: 0.05, StopSharpness: 25,
			StopAlpha20: 0.84, StopPerK: 0.004, LevelC: 60,
		},
	}
	for i, k := range Illustrative() {
		w := want[i]
		if math.Abs(k.K1PerS/w.K1PerS-1) > 1e-12 {
			t.Errorf("%s: k1 %g, want %g", k.Key, k.K1PerS, w.K1PerS)
		}
		k.K1PerS = w.K1PerS
		if k != w {
			t.Errorf("%s is\n%+v, want\n%+v", k.Key, k, w)
		}
	}
}

// The conversions of the milestones, as fitted to the trade's hardening times.
func TestThresholdsAreAsFitted(t *testing.T) {
	for name, c := range map[string]struct {
		th               Thresholds
		alpha            [milestones]float64
		latest, earliest float64
	}{
		"roof":     {RoofThresholds(), [milestones]float64{0, 0.25, 0.62, 0.75, 0.75, 0.83, 0.96, 0.985}, 2880, 1440},
		"top coat": {TopCoatThresholds(), [milestones]float64{0, 0.25, 0.955, 0.955, 0.83, 0.06, 0.60, 0.985}, 180, 0},
	} {
		if c.th.Alpha != c.alpha {
			t.Errorf("%s: %v, want %v", name, c.th.Alpha, c.alpha)
		}
		if c.th.LatestMin != ([milestones]float64{OverCoatUntil: c.latest}) || c.th.EarliestMin != ([milestones]float64{OverCoatUntil: c.earliest}) {
			t.Errorf("%s: over-coating until %v, from %v", name, c.th.LatestMin, c.th.EarliestMin)
		}
	}
}

// The least dose by temperature, of a resin that gels slowly: the trade's bands for cold days, and straight between them.
func TestLeastDoseOfTheColdBands(t *testing.T) {
	slow := law(t, 200, 2, 60, 0.8)
	for tempC, want := range map[float64]float64{
		5: 3, 6.5: 3, 8.25: 2.75, 10: 2.5, 12: 2.25, 14: 2, 16: 1.65, 18: 1.25, 19: 1.15, 20: 1, 25: 1, 30: 1,
		7.2: 2.9, 6.6: 3, 10.2: 2.5, 11.6: 2.3, 14.6: 1.9, 17: 1.45, 18.6: 1.2,
	} {
		if got := slow.leastAt(tempC); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %g °C the least dose is %g %%, want %g", tempC, got, want)
		}
	}
	// A winter grade needs no more than gels within 25 minutes: at 10 °C, where the bands have 2.5 %, a law with 25 min at
	// 2 % and n 0.8 stops at the least dose that is still inside.
	for _, c := range []struct{ min, want float64 }{{24.9, 2}, {25.1, 2.05}, {26.5, 2.2}} {
		g := law(t, c.min, 2, 0.001, 0.8)
		if got := g.leastAt(10); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("a resin that gels in %g min at 2 %%: least dose %g %%, want %g", c.min, got, c.want)
		}
	}
}

// Every bound of a user's set of kinetics: the bound itself is taken, what lies a hair beyond is not.
func TestBoundsOfKinetics(t *testing.T) {
	for _, c := range []struct {
		what     string
		at       func(*Kinetics) *float64
		low, top float64
	}{
		{"reference temperature", func(k *Kinetics) *float64 { return &k.RefC }, -50, 300},
		{"reference dose", func(k *Kinetics) *float64 { return &k.RefPct }, 1e-6, 100},
		{"k1", func(k *Kinetics) *float64 { return &k.K1PerS }, 1e-30, 1e6},
		{"k2", func(k *Kinetics) *float64 { return &k.K2PerS }, 0, 1e6},
		{"E1", func(k *Kinetics) *float64 { return &k.E1KJPerMol }, 0, 300},
		{"E2", func(k *Kinetics) *float64 { return &k.E2KJPerMol }, 0, 300},
		{"m", func(k *Kinetics) *float64 { return &k.M }, 0, 5},
		{"n", func(k *Kinetics) *float64 { return &k.N }, 0.1, 5},
		{"induction", func(k *Kinetics) *float64 { return &k.InductionS }, 0, 1e7},
		{"E of the induction", func(k *Kinetics) *float64 { return &k.InductionEKJPerMol }, 0, 300},
		{"dose exponent", func(k *Kinetics) *float64 { return &k.DoseExponent }, 0, 3},
		{"its of the induction", func(k *Kinetics) *float64 { return &k.InductionDoseExponent }, 0, 3},
		{"level of the rates", func(k *Kinetics) *float64 { return &k.LevelC }, 0, 300},
		{"heat", func(k *Kinetics) *float64 { return &k.HeatKJPerKG }, 0, 1000},
		{"heat capacity", func(k *Kinetics) *float64 { return &k.HeatCapacityKJPerKGK }, 0.2, 10},
		{"gel", func(k *Kinetics) *float64 { return &k.GelAlpha }, 1e-4, 0.6},
		{"sharpness", func(k *Kinetics) *float64 { return &k.StopSharpness }, 0, 500},
		{"stop", func(k *Kinetics) *float64 { return &k.StopAlpha20 }, 0, 2},
		{"its rise", func(k *Kinetics) *float64 { return &k.StopPerK }, 0, 0.05},
	} {
		k := Roof()
		bounds(t, c.what, c.at(&k), func() error { return k.Check() }, c.low, c.top)
	}
}

// bounds asks for the two ends of what is taken and for a little beyond.
func bounds(t *testing.T, what string, v *float64, check func() error, low, top float64) {
	t.Helper()
	was := *v
	defer func() { *v = was }()
	beyond := func(end, sign float64) float64 { return end + sign*math.Max(math.Abs(end)*1e-3, 1e-32) }
	for _, e := range []struct{ v, sign float64 }{{low, -1}, {top, +1}} {
		*v = e.v
		if err := check(); err != nil {
			t.Errorf("%s of %g is refused: %v", what, e.v, err)
		}
		*v = beyond(e.v, e.sign)
		if check() == nil {
			t.Errorf("%s of %g is taken", what, *v)
		}
	}
}

func TestBoundsOfALaw(t *testing.T) {
	for _, c := range []struct {
		what     string
		at       func(*Gel) *float64
		low, top float64
	}{
		{"a", func(g *Gel) *float64 { return &g.Mean[0] }, 0, 8},
		{"E", func(g *Gel) *float64 { return &g.Mean[1] }, 5, 200},
		{"n", func(g *Gel) *float64 { return &g.Mean[2] }, 0.05, 3},
		{"spread between drums", func(g *Gel) *float64 { return &g.DrumSD }, 0, 2},
		{"spread on site", func(g *Gel) *float64 { return &g.NoiseSD }, 0, 2},
		{"coldest of the evidence", func(g *Gel) *float64 { return &g.SeenMinC }, -273.15, 35},
		{"hottest of the evidence", func(g *Gel) *float64 { return &g.SeenMaxC }, 5, 100},
		{"least dose of the evidence", func(g *Gel) *float64 { return &g.SeenMinPct }, 1e-6, 4},
		{"greatest dose of the evidence", func(g *Gel) *float64 { return &g.SeenMaxPct }, 1, 10},
	} {
		g := law(t, 20, 2, 60, 0.8)
		bounds(t, c.what, c.at(&g), func() error { return g.Check() }, c.low, c.top)
	}
}

// An upper bound that is not itself in range, or with a lower one elsewhere: only just below and just above are asked.
func TestBoundsOfQuestions(t *testing.T) {
	bucket := Bucket{KG: 1, DensityKGPerL: 1.1, AirC: 20, StartC: 20, DiameterMM: 200, WallWPerM2K: 10, EndMin: 60}
	film := Film{ResinKGPerM2: 1, GlassKGPerM2: 0.4, Base: []Reading{{0, 15}}}
	goal := Goal{LayMin: 10, ByMin: 100, KG: 1, Base: []Reading{{0, 15}}}
	gel := law(t, 20, 2, 60, 0.8)
	ask := dosing(t)
	inBucket := func(set func(*Bucket, float64)) func(float64) error {
		return func(v float64) error { b := bucket; set(&b, v); _, err := b.filled(); return err }
	}
	inFilm := func(set func(*Film, float64)) func(float64) error {
		return func(v float64) error { f := film; set(&f, v); return f.check() }
	}
	inGoal := func(set func(*Goal, float64)) func(float64) error {
		return func(v float64) error { q := goal; set(&q, v); _, err := q.filled(); return err }
	}
	inLog := func(set func(*GelLog, float64)) func(float64) error {
		return func(v float64) error {
			l := GelLog{Min: 20, CatalystPct: 2, TempC: 20}
			set(&l, v)
			_, _, err := Learn(gel, []GelLog{l})
			return err
		}
	}
	inAsk := func(set func(*Ask, float64)) func(float64) error {
		return func(v float64) error { a := ask; set(&a, v); return checkAsk(a) }
	}
	for _, c := range []struct {
		what   string
		ask    func(float64) error
		in, by float64 // taken; what lies by further is refused
	}{
		{"kilograms in a bucket", inBucket(func(b *Bucket, v float64) { b.KG = v }), 2000, 1},
		{"light resin", inBucket(func(b *Bucket, v float64) { b.DensityKGPerL = v }), 0.501, -0.001},
		{"heavy resin", inBucket(func(b *Bucket, v float64) { b.DensityKGPerL = v }), 2.999, 0.001},
		{"width of a bucket", inBucket(func(b *Bucket, v float64) { b.DiameterMM = v }), 4999, 1},
		{"loss of a bucket", inBucket(func(b *Bucket, v float64) { b.WallWPerM2K = v }), 1000, 1},
		{"cold air", inBucket(func(b *Bucket, v float64) { b.AirC = v }), -40, -0.1},
		{"hot air", inBucket(func(b *Bucket, v float64) { b.AirC = v }), 60, 0.1},
		{"cold resin", inBucket(func(b *Bucket, v float64) { b.StartC = v }), -40, -0.1},
		{"hot resin", inBucket(func(b *Bucket, v float64) { b.StartC = v }), 80, 0.1},
		{"a long run", inBucket(func(b *Bucket, v float64) { b.EndMin = v }), 86400, 1},
		{"resin of a film", inFilm(func(f *Film, v float64) { f.ResinKGPerM2 = v }), 50, 0.1},
		{"glass of a film", inFilm(func(f *Film, v float64) { f.GlassKGPerM2 = v }), 50, 0.1},
		{"loss of a film", inFilm(func(f *Film, v float64) { f.LossWPerM2K = v }), 999, 1},
		{"warm resin on a deck", inFilm(func(f *Film, v float64) { f.ResinAboveK = v }), 60, 0.1},
		{"a long film", inFilm(func(f *Film, v float64) { f.EndMin = v }), 525600, 1},
		{"a cold deck", inFilm(func(f *Film, v float64) { f.Base = []Reading{{0, v}} }), -60, -0.1},
		{"a hot deck", inFilm(func(f *Film, v float64) { f.Base = []Reading{{0, v}} }), 150, 0.1},
		{"sun", inGoal(func(q *Goal, v float64) { q.SunK = v }), 59.9, 0.1},
		{"spread of laying", inGoal(func(q *Goal, v float64) { q.LayCV = v }), 1.999, 0.001},
		{"dose of a log", inLog(func(l *GelLog, v float64) { l.CatalystPct = v }), 10, 0.1},
		{"cold log", inLog(func(l *GelLog, v float64) { l.TempC = v }), -29.9, -0.1},
		{"hot log", inLog(func(l *GelLog, v float64) { l.TempC = v }), 59.9, 0.1},
		{"light resin asked for", inAsk(func(a *Ask, v float64) { a.Resin.DensityKGPerL = v }), 0.501, -0.001},
		{"heavy resin asked for", inAsk(func(a *Ask, v float64) { a.Resin.DensityKGPerL = v }), 2.999, 0.001},
		{"light catalyst", inAsk(func(a *Ask, v float64) { a.Catalyst.DensityGPerML = v }), 0.501, -0.001},
		{"heavy catalyst", inAsk(func(a *Ask, v float64) { a.Catalyst.DensityGPerML = v }), 1.999, 0.001},
		{"litres beside kilograms", inAsk(func(a *Ask, v float64) { a.KG, a.Litres = v, 1/a.Resin.DensityKGPerL }), 1.0100, 0.0003},
		{"dose in a bucket", func(v float64) error { _, err := Roof().Bucket(context.Background(), bucket, v); return err }, 10, 0.1},
		{"dose of a film", func(v float64) error {
			_, err := Roof().Film(context.Background(), film, v, RoofThresholds())
			return err
		}, 10, 0.1},
	} {
		if err := c.ask(c.in); err != nil {
			t.Errorf("%s: %g is refused: %v", c.what, c.in, err)
		}
		if c.ask(c.in+c.by) == nil {
			t.Errorf("%s: %g is taken", c.what, c.in+c.by)
		}
	}
}

func dosing(t *testing.T) Ask {
	t.Helper()
	_, r := sheetGel(t, "resin.all-season")
	a := Ask{Resin: r, At: At(20), NeedMin: 10, KG: 1}
	a.Catalyst.DensityGPerML = 1.15
	return a
}

// The two rules of quadrature: exact for polynomials to the fifth degree, and Simpson's within a stretch.
func TestQuadrature(t *testing.T) {
	for p := range 6 {
		got := gauss(func(x float64) float64 { return math.Pow(x, float64(p)) }, 1, 3)
		want := (math.Pow(3, float64(p+1)) - 1) / float64(p+1)
		near(t, fmt.Sprintf("∫x^%d", p), got, want, 1e-12*want)
	}
	near(t, "√(3/5)", gauss(func(x float64) float64 { return x * x * x * x }, -1, 1), 0.4, 1e-15)
}

// An open deck loses 15 W/(m²·K) when nothing is said.
func TestUsualLossIsTaken(t *testing.T) {
	f := Film{ResinKGPerM2: 1.1, GlassKGPerM2: 0.45, Deck: nil, Base: []Reading{{0, 25}}, EndMin: 60}
	a, err := Roof().Film(context.Background(), f, 2, RoofThresholds())
	if err != nil {
		t.Fatal(err)
	}
	f.LossWPerM2K = 15
	b, err := Roof().Film(context.Background(), f, 2, RoofThresholds())
	if err != nil || a.PeakC != b.PeakC {
		t.Errorf("peak %g °C without a loss, %g with 15 W/(m²·K), %v", a.PeakC, b.PeakC, err)
	}
	// The peak of the curve is the peak that is told; a film so thin is one slice.
	f.Trace = true
	if b, err = Roof().Film(context.Background(), f, 2, RoofThresholds()); err != nil {
		t.Fatal(err)
	}
	top := b.Trace[0]
	for _, m := range b.Trace {
		if m.TempC > top.TempC {
			top = m
		}
	}
	near(t, "peak of the curve", top.TempC, b.PeakC, 1e-9)
	near(t, "its minute", top.Min, b.PeakMin, 1e-9)
}
