package cure

import (
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/material"
	"gelwright/working"
)

const (
	// gasKJ is the molar gas constant in kJ/(mol·K) (CODATA 2018).
	gasKJ   = 8.314462618e-3
	zeroC   = 273.15
	refC    = 20.0 // T0 of the law
	refPct  = 2.0  // c0 of the law
	z95     = 1.6448536269514722
	t4q95   = 2.1318467863266499 // 95 % point of Student's t, 4 degrees of freedom
	noiseNu = 4.0
)

// The envelope within which the law is used at all, whatever a sheet says: outside
// it a resin may never cure however long one waits (trade guides: 1 to 4 % by mass).
const (
	leastPct, mostPct = 1.0, 4.0
	coldestC, hotestC = 5.0, 35.0
)

// Assumed spreads, as standard deviations of ln t; each is replaced by evidence as
// soon as there is any.
const (
	// siteNoise: thermometer ±1 K (about 0.08), dose, and judging the moment.
	siteNoise = 0.10
	// cupNoise of a timed cup: judging the moment only, since thermometer and jug are those
	// of the buckets to follow.
	cupNoise = 0.05
	// leastDrum is the least spread between drums when a sheet's bands claim less.
	leastDrum = 0.05
	// Beyond the sheet's points the law itself is doubtful: per 10 K, and per unit of ln c.
	beyondPer10K, beyondPerLnC = 0.15, 0.25
)

// Gel is the gel law of one resin with what is known and not known about it:
//
//	ln t = a + (E/R)(1/T − 1/T0) − n·ln(c/c0) + drum + noise
//
// with t in minutes, T0 = 293.15 K and c0 = 2 % by mass. It is made by [NewGel] or
// [GelLaw] and not changed afterwards; it can be stored as JSON.
type Gel struct {
	Resin string `json:"resin"`
	// Mean is (a, E in kJ/mol, n), Cov its covariance.
	Mean [3]float64    `json:"mean"`
	Cov  [3][3]float64 `json:"cov"`
	// DrumSD is the spread of ln t from drum to drum, NoiseSD that of one gel on site.
	DrumSD  float64 `json:"drum_sd"`
	NoiseSD float64 `json:"noise_sd"`
	// HeavyTails: noise is Student's t with 4 degrees of freedom and scale NoiseSD.
	HeavyTails bool `json:"heavy_tails,omitempty"`
	// Limits of use.
	MinPct float64 `json:"min_pct"`
	MaxPct float64 `json:"max_pct"`
	MinC   float64 `json:"min_c"`
	MaxC   float64 `json:"max_c"`
	// Catalyst is the one it holds for and MLPerPct what a per cent by mass is in the jug, ml
	// to a litre of resin; empty and 0 for the catalyst of the sheet. See [Gel.With].
	Catalyst string  `json:"catalyst,omitempty"`
	Speed    string  `json:"catalyst_speed,omitempty"`
	MLPerPct float64 `json:"ml_per_litre_for_1_pct,omitempty"`
	// What the evidence spans; beyond it the range widens.
	SeenMinC   float64 `json:"seen_min_c"`
	SeenMaxC   float64 `json:"seen_max_c"`
	SeenMinPct float64 `json:"seen_min_pct"`
	SeenMaxPct float64 `json:"seen_max_pct"`
	// Evidence in words, for the working: "7 points of the data sheet".
	Evidence string `json:"evidence"`
	// Standing of the evidence.
	Standing working.Standing `json:"standing"`
	// Limits is where the doses' limits come from.
	Limits working.Source `json:"limits,omitzero"`
	// Brand is set while the resin's brand is not known: the level rests on the catalogue alone.
	Brand bool `json:"brand_unknown,omitempty"`
	// Drums known from the logs; see ForDrum.
	Drums []Drum `json:"drums,omitempty"`
}

// How far the resin in the van may lie from a catalogue that nobody's data sheet stands
// behind, as standard deviations between brands of one grade: in the level of ln t, in E in
// kJ/mol, and in the dose exponent. Assumed: a quarter, 8 kJ/mol and 0.2 are about what
// sheets differ by, widened until the 90 % ranges hold 85 % and more of the resins that the
// published ranges allow (gel ×0.6 to ×1.7, E 40 to 75 kJ/mol, exponent 0.5 to 1.3) after
// every number of logs. A cup, logged gels or the drum's own sheet take their place.
const brandLevel, brandE, brandN = 0.28, 12.0, 0.22

// The prior of the level: none to speak of.
const priorLevel, priorLevelSD = 3, 100

// NewGel fits the law to a resin's gel points, weighed against the prior that the
// resin carries for E and n; the level a has none. A point's band is taken as the 5
// and 95 % points of its drums; its middle is the geometric mean. Where the points are the
// catalogue's invention the spread between brands comes on top.
func NewGel(r material.Resin) (Gel, error) {
	if err := checkSheet(r); err != nil {
		return Gel{}, err
	}
	g := Gel{
		Resin: r.Name, NoiseSD: siteNoise,
		MinPct: leastDose(r, usualGPerML), MaxPct: math.Min(r.MaxPct, mostPct),
		MinC: math.Max(r.MinC, coldestC), MaxC: math.Min(r.MaxC, hotestC),
		SeenMinC: math.Inf(1), SeenMaxC: math.Inf(-1), SeenMinPct: math.Inf(1), SeenMaxPct: math.Inf(-1),
		Evidence: evidenceOf(r), Standing: r.Sheet("gel_points").Standing, Limits: r.Sheet("min_catalyst_pct", "max_catalyst_pct"),
	}
	p := normalEquations{dim: 3}
	p.prior(0, priorLevel, priorLevelSD) // as good as none
	p.prior(1, r.ActivationKJPerMol, r.ActivationSDKJPerMol)
	p.prior(2, r.DoseExponent, r.DoseExponentSD)
	bands := 0.0
	for _, q := range r.GelPoints {
		sd := math.Max(math.Log(q.HighMin/q.LowMin)/(2*z95), leastDrum)
		bands += sd * sd
		p.observe(regressors(q.TempC, q.CatalystPct), 0.5*math.Log(q.LowMin*q.HighMin), 1/(sd*sd))
		g.see(q.TempC, q.CatalystPct)
	}
	mean, cov, err := p.solve3()
	if err != nil {
		return Gel{}, fmt.Errorf("cure: %s: %w: give the spread of activation energy and dose exponent", r.Name, err)
	}
	g.Mean, g.Cov = mean, cov
	if r.Invented() {
		for i, sd := range [3]float64{brandLevel, brandE, brandN} {
			g.Cov[i][i] += sd * sd
		}
		g.Brand = true
	}
	g.DrumSD = math.Sqrt(bands / float64(len(r.GelPoints)))
	if !(g.Mean[1] > 0 && g.Mean[2] > 0) {
		return Gel{}, fmt.Errorf("cure: %s: its gel points make warmth or catalyst slow the gel (E %.0f kJ/mol, n %.2f): check the points",
			r.Name, g.Mean[1], g.Mean[2])
	}
	return g, nil
}

// evidenceOf says in words what a law rests on before anything is learned.
func evidenceOf(r material.Resin) string {
	if !r.Invented() {
		return fmt.Sprintf("%d gel points of the data sheet", len(r.GelPoints))
	}
	return fmt.Sprintf("%d gel points of the catalogue's example, the brand in use not being known", len(r.GelPoints))
}

// Check says what is wrong with a law that comes from a file, and how to mend it.
func (g Gel) Check() error {
	fault := func(what string, v float64, want string) error {
		return fmt.Errorf("cure: gel law of %q: %s is %g: it should be %s; learn it anew from the log", g.Resin, what, v, want)
	}
	for _, c := range []struct {
		what     string
		v        float64
		low, top float64
		want     string
	}{
		{"a", g.Mean[0], 0, 8, "ln of the minutes at 20 °C and 2 %, 2 to 5"},
		{"E", g.Mean[1], 5, 200, "40 to 80 kJ/mol"},
		{"n", g.Mean[2], 0.05, 3, "0.5 to 1.2"},
		{"spread between drums", g.DrumSD, 0, 2, "0 to 2"},
		{"spread on site", g.NoiseSD, 0, 2, "0 to 2"},
		{"least dose", g.MinPct, leastPct, mostPct, "1 to 4 %"},
		{"greatest dose", g.MaxPct, g.MinPct, mostPct, "above the least, 4 % at most"},
		{"coldest", g.MinC, coldestC, hotestC, "5 to 35 °C"},
		{"hottest", g.MaxC, g.MinC, hotestC, "above the coldest, 35 °C at most"},
		{"coldest of the evidence", g.SeenMinC, -zeroC, 100, "°C"},
		{"hottest of the evidence", g.SeenMaxC, g.SeenMinC, 100, "above the coldest"},
		{"least dose of the evidence", g.SeenMinPct, 1e-6, 10, "per cent"},
		{"greatest dose of the evidence", g.SeenMaxPct, g.SeenMinPct, 10, "above the least"},
	} {
		if !(c.v >= c.low && c.v <= c.top) {
			return fault(c.what, c.v, c.want)
		}
	}
	for i := range 3 {
		for j := range 3 {
			v, w := g.Cov[i][j], sqrt(g.Cov[i][i])*sqrt(g.Cov[j][j])
			if !(math.Abs(v) <= w*(1+1e-6)+1e-12) || math.Abs(v-g.Cov[j][i]) > 1e-6*w+1e-12 || math.IsInf(w, 0) {
				return fault(fmt.Sprintf("covariance [%d][%d]", i, j), v, "part of a covariance")
			}
		}
	}
	return nil
}

func checkSheet(r material.Resin) error {
	switch {
	case len(r.GelPoints) == 0:
		return fmt.Errorf("cure: %s has no gel points: enter at least one from its data sheet (temperature, catalyst %% by mass, minutes)",
			r.Name)
	case !(r.ActivationKJPerMol > 0 && r.ActivationSDKJPerMol > 0):
		return fmt.Errorf("cure: %s: activation energy %g ± %g kJ/mol: give about 60 ± 10", r.Name, r.ActivationKJPerMol, r.ActivationSDKJPerMol)
	case !(r.DoseExponent > 0 && r.DoseExponentSD > 0):
		return fmt.Errorf("cure: %s: dose exponent %g ± %g: give about 0.8 ± 0.1", r.Name, r.DoseExponent, r.DoseExponentSD)
	case !(r.MaxPct >= leastDose(r, usualGPerML) && r.MaxPct >= leastPct && r.MinPct <= mostPct):
		return fmt.Errorf("cure: %s takes %.3g to %g %% of catalyst: give the sheet's limits by mass, within 1 to 4", r.Name,
			r.LeastPct(usualGPerML), r.MaxPct)
	case !(r.MaxC > r.MinC && r.MaxC > coldestC && r.MinC < hotestC):
		return fmt.Errorf("cure: %s works from %g to %g °C: give the sheet's limits, within 5 to 35", r.Name, r.MinC, r.MaxC)
	}
	for i, q := range r.GelPoints {
		if !(q.LowMin > 0 && q.HighMin >= q.LowMin && q.CatalystPct > 0 && q.TempC > -zeroC) || math.IsInf(q.HighMin+q.CatalystPct+q.TempC, 0) {
			return fmt.Errorf("cure: %s, gel point %d: %g °C, %g %%, %g–%g min: check it against the sheet", r.Name, i+1, q.TempC, q.CatalystPct,
				q.LowMin, q.HighMin)
		}
	}
	return nil
}

// regressors of the law at a temperature and dose.
func regressors(tempC, pct float64) [3]float64 {
	return [3]float64{1, (1/(tempC+zeroC) - 1/(refC+zeroC)) / gasKJ, -math.Log(pct / refPct)}
}

func (g *Gel) see(tempC, pct float64) {
	g.SeenMinC, g.SeenMaxC = math.Min(g.SeenMinC, tempC), math.Max(g.SeenMaxC, tempC)
	g.SeenMinPct, g.SeenMaxPct = math.Min(g.SeenMinPct, pct), math.Max(g.SeenMaxPct, pct)
}

// Time returns the gel time of resin held at tempC (°C) with catalystPct by mass
// (%): likely, and the range that holds nine gels in ten.
//
// Beyond the temperatures and doses of the evidence the range widens. Outside the
// resin's limits, or 1–4 % and 5–35 °C, it returns a [Refusal]. It holds for the
// sheet's test mass: for self-heating see [Bucket].
func (g Gel) Time(tempC, catalystPct float64) (Range, error) {
	if err := g.Allowed(tempC, catalystPct); err != nil {
		return Range{}, err
	}
	ln, half := g.predict(tempC, catalystPct)
	return Range{LowMin: elementary.Exp(ln - half), LikelyMin: elementary.Exp(ln), HighMin: elementary.Exp(ln + half)}, nil
}

// SD is the standard deviation of ln t that has the same 5 and 95 % points as the
// prediction; for chances. It does not look at the limits.
func (g Gel) SD(tempC, catalystPct float64) float64 {
	_, half := g.predict(tempC, catalystPct)
	return half / z95
}

// likely is the gel's centre in minutes, whatever the limits.
func (g *Gel) likely(tempC, pct float64) float64 {
	return elementary.Exp(dot(regressors(tempC, pct), g.Mean))
}

// predict returns the centre of ln t and half the width of its 90 % range.
func (g *Gel) predict(tempC, pct float64) (ln, half float64) {
	x := regressors(tempC, pct)
	ln = dot(x, g.Mean)
	v := g.DrumSD * g.DrumSD
	for i := range x {
		for j := range x {
			v += x[i] * g.Cov[i][j] * x[j]
		}
	}
	b := beyond(tempC, g.SeenMinC, g.SeenMaxC) / 10 * beyondPer10K
	if pct < g.SeenMinPct || pct > g.SeenMaxPct {
		b += beyond(math.Log(pct), math.Log(g.SeenMinPct), math.Log(g.SeenMaxPct)) * beyondPerLnC
	}
	q := z95
	if g.HeavyTails {
		q = t4q95
	}
	return ln, math.Sqrt(z95*z95*(v+b*b) + q*q*g.NoiseSD*g.NoiseSD)
}

// Extrapolated reports whether a condition lies beyond the evidence.
func (g Gel) Extrapolated(tempC, pct float64) bool {
	return tempC < g.SeenMinC || tempC > g.SeenMaxC || pct < g.SeenMinPct-1e-9 || pct > g.SeenMaxPct+1e-9
}

func beyond(v, lo, hi float64) float64 { return math.Max(0, math.Max(lo-v, v-hi)) }

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// Allowed returns nil where the law may be used, otherwise a [Refusal].
func (g Gel) Allowed(tempC, catalystPct float64) error {
	if math.IsNaN(tempC) || math.IsNaN(catalystPct) {
		return fmt.Errorf("cure: %s: temperature %g °C and catalyst %g %% must be numbers: measure the resin and the deck", g.Resin, tempC,
			catalystPct)
	}
	if err := g.allowedTemp(tempC); err != nil {
		return err
	}
	switch {
	case catalystPct < g.MinPct-1e-9:
		return refuse(ErrUnderDose, fmt.Sprintf("%s takes at least %s and this is %.2f %%: it may never harden, and waiting does "+
			"not rescue it", g.Resin, g.Dosed(g.MinPct), catalystPct),
			fmt.Sprintf("use %s or more and a smaller mix", g.Dosed(g.MinPct)))
	case catalystPct > g.MaxPct+1e-9:
		return refuse(ErrOverDose, fmt.Sprintf("%s takes at most %s and this is %.2f %%: hot, brittle, and it may end softer",
			g.Resin, g.Dosed(g.MaxPct), catalystPct),
			fmt.Sprintf("use %s or less, and warmth instead of catalyst", g.Dosed(g.MaxPct)))
	}
	return nil
}

func (g *Gel) allowedTemp(tempC float64) error {
	switch {
	case tempC < g.MinC:
		return refuse(ErrTooCold, fmt.Sprintf("%s is not laid below %g °C and it is %.1f °C", g.Resin, g.MinC, tempC), coldRemedies(g.MinC)...)
	case tempC > g.MaxC:
		return refuse(ErrTooHot, fmt.Sprintf("%s is not laid above %g °C and it is %.1f °C", g.Resin, g.MaxC, tempC), hotRemedies(g.MaxC)...)
	}
	return nil
}

func coldRemedies(toC float64) []string {
	return []string{fmt.Sprintf("wait for %.0f °C and rising", math.Ceil(toC)),
		"warm the materials and the deck: resin kept at 15 to 20 °C, a tent, no flame", "use a winter grade"}
}

func hotRemedies(toC float64) []string {
	return []string{fmt.Sprintf("start early, or shade the deck, to stay under %.0f °C", math.Floor(toC)), "keep the resin cool and dark",
		"use a summer grade or a slow catalyst"}
}
