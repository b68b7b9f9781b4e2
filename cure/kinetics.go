package cure

import (
	"fmt"
	"math"

	"gelwright/elementary"
)

// Kinetics is a set of rate parameters as data: a user may bring his own. First the
// inhibitor is eaten,
//
//	dZ/dt = −1/ti,  Z from 1 to 0,
//
// then the resin cures,
//
//	dα/dt = (k1 + k2·α^m)(1−α)^n / (1 + exp(C(α−αc)))
//
// with ki and 1/ti following Arrhenius' law and a power p of the dose. αc rises with
// temperature: a cold cure stops short. Forms: Kamal and Sourour 1973; diffusion
// factor after Chern and Poehlein in Cole's form (from memory).
type Kinetics struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	// Standing says how far the set can be trusted; shown with every result.
	Standing string `json:"standing"`
	// RefC and RefPct are the conditions of K1PerS, K2PerS and InductionS.
	RefC       float64 `json:"ref_c"`
	RefPct     float64 `json:"ref_pct"`
	K1PerS     float64 `json:"k1_per_s"`
	K2PerS     float64 `json:"k2_per_s"`
	E1KJPerMol float64 `json:"e1_kj_per_mol"`
	E2KJPerMol float64 `json:"e2_kj_per_mol"`
	M          float64 `json:"m"`
	N          float64 `json:"n"`
	// InductionS is ti; 0 for none.
	InductionS         float64 `json:"induction_s"`
	InductionEKJPerMol float64 `json:"induction_e_kj_per_mol"`
	// DoseExponent p of the rates, InductionDoseExponent that of 1/ti.
	DoseExponent          float64 `json:"dose_exponent"`
	InductionDoseExponent float64 `json:"induction_dose_exponent"`
	// LevelC is the temperature above which k1 and k2 no longer grow: peroxide and cobalt are
	// used up as fast as they work. 0 for none.
	LevelC float64 `json:"level_c,omitempty"`
	// HeatKJPerKG of resin at full conversion; HeatCapacityKJPerKGK of the resin.
	HeatKJPerKG          float64 `json:"heat_kj_per_kg"`
	HeatCapacityKJPerKGK float64 `json:"heat_capacity_kj_per_kg_k"`
	// GelAlpha is the conversion at gel: 0.02 to 0.10 in the literature (from memory).
	GelAlpha float64 `json:"gel_alpha"`
	// StopSharpness C; 0 for no diffusion factor. StopAlpha20 is αc at 20 °C,
	// StopPerK its rise with temperature.
	StopSharpness float64 `json:"stop_sharpness"`
	StopAlpha20   float64 `json:"stop_alpha_20"`
	StopPerK      float64 `json:"stop_per_k"`
}

const illustrative = "illustrative: fitted to two published gel and peak times or to the trade's hardening times, not a measured " +
	"resin; bring your own"

// Illustrative returns the built-in sets. "fast" and "slow" follow the two resins of
// Polymers 2024, 16(17), 2391 (gel 13 min, peak 162 °C at 34 min; gel 60 min, peak
// 126 °C at 70 min), which names neither bath nor mass, so their losses are fitted
// too. "roof" is a room-temperature laminating resin whose hardening on a deck lies in
// the trade's bands; its rates grow no more above 60 °C, so that 100 g at 25 to 30 °C peak in
// the 145 to 165 °C of an orthophthalic data sheet. None is a measured resin.
func Illustrative() []Kinetics {
	fast := Kinetics{
		Key: "fast", Name: "fast resin", Standing: illustrative, RefC: 25, RefPct: refPct,
		K1PerS: 2.4e-4 * 0.27, K2PerS: 2.4e-4, E1KJPerMol: 45, E2KJPerMol: 45, M: 0.8, N: 1.5,
		InductionS: 280, InductionEKJPerMol: 45, DoseExponent: 0.5, InductionDoseExponent: 0.8,
		HeatKJPerKG: 350, HeatCapacityKJPerKGK: 1.9, GelAlpha: 0.05,
	}
	slow := fast
	slow.Key, slow.Name = "slow", "slow resin"
	slow.K1PerS, slow.K2PerS, slow.InductionS, slow.HeatKJPerKG = 1.1e-3*0.071, 1.1e-3, 3200, 240
	roof := Kinetics{
		Key: "roof", Name: "laminating resin on a roof", Standing: illustrative, RefC: 25, RefPct: 1,
		K1PerS: 6e-4 * 0.08, K2PerS: 6e-4, E1KJPerMol: 50, E2KJPerMol: 50, M: 0.8, N: 1.5,
		InductionS: 600, InductionEKJPerMol: 50, DoseExponent: 0.5, InductionDoseExponent: 0.8,
		HeatKJPerKG: 350, HeatCapacityKJPerKGK: 1.9, GelAlpha: 0.05,
		StopSharpness: 25, StopAlpha20: 0.84, StopPerK: 0.004, LevelC: 60,
	}
	return []Kinetics{fast, slow, roof}
}

// Roof returns the set "roof".
func Roof() Kinetics { return Illustrative()[2] }

// Check says what is wrong with a set, and how to mend it.
func (k Kinetics) Check() error {
	fault := func(what string, v float64, want string) error {
		return fmt.Errorf("cure: kinetics %q: %s is %g: give %s", k.Key, what, v, want)
	}
	for _, c := range []struct {
		what     string
		v        float64
		low, top float64
		want     string
	}{
		{"reference temperature", k.RefC, -50, 300, "°C"},
		{"reference dose", k.RefPct, 1e-6, 100, "% by mass"},
		{"k1", k.K1PerS, 1e-30, 1e6, "more than 0 per second: with none the cure never starts"},
		{"k2", k.K2PerS, 0, 1e6, "0 or more per second"},
		{"E1", k.E1KJPerMol, 0, 300, "kJ/mol, 40 to 80"},
		{"E2", k.E2KJPerMol, 0, 300, "kJ/mol, 40 to 80"},
		{"m", k.M, 0, 5, "0 to 5"},
		{"n", k.N, 0.1, 5, "0.1 to 5"},
		{"induction", k.InductionS, 0, 1e7, "seconds"},
		{"E of the induction", k.InductionEKJPerMol, 0, 300, "kJ/mol, 40 to 80"},
		{"dose exponent", k.DoseExponent, 0, 3, "0 to 3"},
		{"dose exponent of the induction", k.InductionDoseExponent, 0, 3, "0 to 3"},
		{"level of the rates", k.LevelC, 0, 300, "0 for none, or 40 to 80 °C"},
		{"heat", k.HeatKJPerKG, 0, 1000, "kJ/kg, 240 to 430"},
		{"heat capacity", k.HeatCapacityKJPerKGK, 0.2, 10, "kJ/(kg·K), about 1.9"},
		{"conversion at gel", k.GelAlpha, 1e-4, 0.6, "0.02 to 0.10"},
		{"sharpness of the stop", k.StopSharpness, 0, 500, "0 for none, or 20 to 40"},
		{"stop at 20 °C", k.StopAlpha20, 0, 2, "about 0.85"},
		{"rise of the stop", k.StopPerK, 0, 0.05, "about 0.004 per K"},
	} {
		if !(c.v >= c.low && c.v <= c.top) {
			return fault(c.what, c.v, c.want)
		}
	}
	return nil
}

// rates is a set made ready for one dose.
type rates struct {
	k        *Kinetics
	dose     float64 // factor of k1 and k2
	doseInd  float64 // factor of 1/ti
	invRefRT float64 // 1/Tref
	levelK   float64 // 0 for none
}

func (k *Kinetics) at(pct float64) rates {
	c := pct / k.RefPct
	level := 0.0
	if k.LevelC > 0 {
		level = k.LevelC + zeroC
	}
	return rates{
		k: k, levelK: level, dose: elementary.Pow(c, k.DoseExponent), doseInd: elementary.Pow(c, k.InductionDoseExponent),
		invRefRT: 1 / (k.RefC + zeroC),
	}
}

// induction returns 1/ti in 1/s at a temperature in kelvin.
func (r *rates) induction(tk float64) float64 {
	return r.doseInd / r.k.InductionS * elementary.Exp(-r.k.InductionEKJPerMol/gasKJ*(1/tk-r.invRefRT))
}

// constants returns k1 and k2 in 1/s.
func (r *rates) constants(tk float64) (k1, k2 float64) {
	if r.levelK > 0 && tk > r.levelK {
		tk = r.levelK
	}
	u := (1/tk - r.invRefRT) / gasKJ
	k1 = r.dose * r.k.K1PerS * elementary.Exp(-r.k.E1KJPerMol*u)
	if r.k.E2KJPerMol == r.k.E1KJPerMol {
		return k1, k1 / r.k.K1PerS * r.k.K2PerS
	}
	return k1, r.dose * r.k.K2PerS * elementary.Exp(-r.k.E2KJPerMol*u)
}

// cure returns dα/dt in 1/s at a conversion and a temperature in kelvin.
func (r *rates) cure(alpha, tk float64) float64 {
	k1, k2 := r.constants(tk)
	return r.shape(alpha, tk, k1, k2)
}

// warming is what cures and warms a body: dα/dt and dT/dt, 1/s and K/s, of a conversion and a
// temperature in kelvin. It warms by rise kelvin when it cures at once and loses the share loss of
// what it is warmer than ta each second. What it was asked last is kept: a step of the solver asks
// for its end twice.
func (r *rates) warming(rise, loss, ta float64) func(y []float64) (da, dT float64) {
	alpha, tk := math.NaN(), math.NaN()
	var da float64
	return func(y []float64) (float64, float64) {
		if y[0] != alpha || y[1] != tk {
			alpha, tk = y[0], y[1]
			da = r.cure(alpha, tk)
		}
		return da, rise*da - loss*(tk-ta)
	}
}

func (r *rates) shape(alpha, tk, k1, k2 float64) float64 {
	if alpha >= 1 {
		return 0
	}
	a := max(alpha, 0)
	v := k1 + k2*elementary.Pow(a, r.k.M)
	v *= elementary.Pow(1-a, r.k.N)
	if r.k.StopSharpness > 0 {
		v /= 1 + elementary.Exp(r.k.StopSharpness*(a-r.k.stopAlpha(tk)))
	}
	return v
}

func (k *Kinetics) stopAlpha(tk float64) float64 {
	return k.StopAlpha20 + k.StopPerK*(tk-zeroC-refC)
}

// IsothermalMin returns the minutes to a conversion at constant temperature; +Inf when
// it is 1 or more.
//
// Quadrature of dα/rate by panels of three Gauss points, even in √α, where the rate's
// start is smooth.
func (k Kinetics) IsothermalMin(tempC, pct, alpha float64) float64 {
	if alpha >= 1 {
		return math.Inf(1)
	}
	r := k.at(pct)
	tk := tempC + zeroC
	k1, k2 := r.constants(tk)
	sum := 0.0
	if k.InductionS > 0 {
		sum = 1 / r.induction(tk)
	}
	end := math.Sqrt(max(alpha, 0))
	panels := 1 + int(isothermalPanels*end)
	wide := end / float64(panels)
	for i := range panels {
		sum += gauss(func(u float64) float64 { return 2 * u / r.shape(u*u, tk, k1, k2) }, wide*float64(i), wide*float64(i+1))
	}
	return sum / 60
}

// Matched returns the set scaled to a gel law about one temperature and dose: there,
// held steady, it gels when the law says, and nearby as well, since its gel has the
// law's E and n.
//
// Time is scaled as a whole. The law's E is met by the energy of the induction, which
// rules the gel; the rates after it keep the set's own, which rule the heating. A set
// without induction moves all its energies. The dose exponents become n.
func (k Kinetics) Matched(g Gel, tempC, pct float64) Kinetics {
	ln, _ := g.predict(tempC, pct)
	return k.matched(elementary.Exp(ln), g.Mean[1], g.Mean[2], tempC, pct)
}

const (
	isothermalPanels = 64   // of the quadrature over all conversion, even in its root; the gel takes 15
	slopeHalfK       = 0.25 // half the span over which a slope with temperature is taken
	peakPoints       = 200  // conversions at which the greatest rate is looked for
)

// Energies of the induction that a match may ask for, kJ/mol.
const leastInductionE, mostInductionE = 10, 140

func (k Kinetics) matched(gelMin, e, n, tempC, pct float64) Kinetics {
	const δ = slopeHalfK
	out := k
	out.DoseExponent, out.InductionDoseExponent = n, n
	curing := out
	curing.InductionS = 0
	cure := func(t float64) float64 { return curing.IsothermalMin(t, pct, k.GelAlpha) }
	u := 1/(tempC-δ+zeroC) - 1/(tempC+δ+zeroC)
	own := gasKJ * math.Log(cure(tempC-δ)/cure(tempC+δ)) / u
	if k.InductionS > 0 {
		r := out.at(pct)
		ti, tc := 1/r.induction(tempC+zeroC)/60, cure(tempC)
		before := out.InductionEKJPerMol
		out.InductionEKJPerMol = max(leastInductionE, min(mostInductionE, (e*(ti+tc)-own*tc)/ti))
		// The energy turns about tempC, not about the set's own reference.
		out.InductionS *= elementary.Exp((before - out.InductionEKJPerMol) / gasKJ * (1/(tempC+zeroC) - 1/(k.RefC+zeroC)))
	} else {
		out.E1KJPerMol, out.E2KJPerMol = max(1, k.E1KJPerMol+e-own), max(1, k.E2KJPerMol+e-own)
	}
	f := out.IsothermalMin(tempC, pct, out.GelAlpha) / gelMin
	out.K1PerS, out.K2PerS, out.InductionS = out.K1PerS*f, out.K2PerS*f, out.InductionS/f
	return out
}

// AdiabaticK is the rise of temperature when nothing is lost: H/cp.
func (k Kinetics) AdiabaticK() float64 { return k.HeatKJPerKG / k.HeatCapacityKJPerKGK }

// peakRate returns the greatest isothermal rate, 1/s, and the conversion where it is.
func (k Kinetics) peakRate(tempC, pct float64) (rate, alpha float64) {
	r := k.at(pct)
	for i := range peakPoints {
		a := float64(i) / peakPoints
		if v := r.cure(a, tempC+zeroC); v > rate {
			rate, alpha = v, a
		}
	}
	return rate, alpha
}
