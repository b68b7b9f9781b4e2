package mixing

import (
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/working"
)

// Resin is what is mixed: its gel law, which has the limits of its data sheet, and
// what turns kilograms into litres and millilitres.
type Resin struct {
	Name          string
	Law           cure.Gel
	DensityKGPerL float64
	// CatalystGPerML is the density of the peroxide.
	CatalystGPerML float64
	// DensityFrom and CatalystFrom say where the two densities come from.
	DensityFrom, CatalystFrom working.Source
	// Waxed marks a top coat, whose laid edge cannot be joined after it gels.
	Waxed bool
}

// LeastLayMin is what a bucket must leave between mixing and the margin.
const LeastLayMin = cure.LeastLayMin

func checkResin(r Resin) error {
	g := &r.Law
	switch {
	case !(g.MinPct > 0 && g.MaxPct >= g.MinPct && g.MaxPct < 10 && g.MaxC > g.MinC && g.Mean[1] > 0):
		return fmt.Errorf("mixing: resin %q has no gel law: fit one to its data sheet", r.Name)
	case !(r.DensityKGPerL > 0.5 && r.DensityKGPerL < 3):
		return fmt.Errorf("mixing: resin %q has density %g kg/l: give about 1.1", r.Name, r.DensityKGPerL)
	case !(r.CatalystGPerML > 0.5 && r.CatalystGPerML < 2):
		return fmt.Errorf("mixing: catalyst density %g g/ml: give the sheet's, 1.08 to 1.18", r.CatalystGPerML)
	}
	return nil
}

// Dose is a chosen share of catalyst and the gel times it gives: of what is worked with, in
// the pail and on the deck.
type Dose struct {
	Pct float64    `json:"pct"` // by mass of resin
	At  cure.Temps `json:"at"`
	cure.Mixed
	// figure is the gel time down to its law and evidence.
	figure *working.Figure
}

// ChooseDose returns the dose for the temperatures of resin and deck by [cure.AdviseDose],
// or a [cure.Refusal]: marginMin is kept clear between the last of the bucket and gel, and
// [LeastLayMin] must remain before it.
func ChooseDose(r Resin, aim cure.Aim, at cure.Temps, marginMin float64) (Dose, error) {
	if err := checkResin(r); err != nil {
		return Dose{}, err
	}
	if !(marginMin >= 0) || math.IsInf(marginMin, 0) {
		return Dose{}, fmt.Errorf("mixing: a margin of %g min: give 0 or more", marginMin)
	}
	a, err := Advise(r.Law, at, aim, marginMin)
	if err != nil {
		return Dose{}, err
	}
	f, err := r.Law.WorkedWith(at, a.Pct, marginMin, "the day's temperatures and the chosen dose")
	if err != nil {
		return Dose{}, err
	}
	return Dose{Pct: a.Pct, At: at, Mixed: a.Mixed, figure: f}, nil
}

// Advise is the dose that a bucket of a law gets at the temperatures of resin and deck, or a
// [cure.Refusal]. Buckets, pick, programme and dose card ask it.
func Advise(law cure.Gel, at cure.Temps, aim cure.Aim, marginMin float64) (cure.Advice, error) {
	aim.MarginMin = marginMin
	return cure.AdviseDose(law, at, marginMin+LeastLayMin, aim)
}

// Advised is the dose of [Advise] alone, % by mass; ok is false where that refuses.
func Advised(law *cure.Gel, at cure.Temps, aim cure.Aim, marginMin float64) (pct float64, ok bool) {
	aim.MarginMin = marginMin
	return cure.Doses(law, at, marginMin+LeastLayMin, aim)
}

// gelFigure is the gel time of a dose: down to its law where [ChooseDose] chose it.
func (d Dose) gelFigure() *working.Figure {
	if d.figure != nil {
		return d.figure
	}
	return working.Constant("tg", "gel time at this dose", d.Gel.LikelyMin, "min", working.Source{Title: "gel law of the resin",
		Standing: working.Derived}).Between(d.Gel.LowMin, d.Gel.HighMin)
}

// edge is the gel of what is spread first, on the deck; never later than the mix is worked by.
func (d Dose) edge() cure.Range {
	if d.Deck.LowMin > d.Gel.LowMin {
		return d.Gel
	}
	return d.Deck
}

// Charge is what goes into one bucket.
type Charge struct {
	ResinKG    float64 `json:"resin_kg"`
	ResinL     float64 `json:"resin_l"`
	CatalystG  float64 `json:"catalyst_g"`
	CatalystML float64 `json:"catalyst_ml"`
	// DosePct by mass of resin; DoseMLPerL the same as the jug sees it, ml to a litre of resin.
	DosePct    float64 `json:"dose_pct"`
	DoseMLPerL float64 `json:"dose_ml_per_litre"`
	// Figures: resin in kg and litres, dose, catalyst in g and in ml.
	Figures []*working.Figure `json:"-"`
}

var (
	byMass    = working.Source{Title: "catalyst is dosed in per cent by mass of resin", Standing: working.Derived}
	plainMath = working.Source{Title: "mass, volume and density", Standing: working.Derived}
)

// keyed gives the keys below a prefix, none below an empty one.
func keyed(prefix string) func(string) string {
	return func(k string) string {
		if prefix == "" {
			return ""
		}
		return prefix + "." + k
	}
}

// ChargeOf returns grams and millilitres of catalyst for kg of resin. key is the
// lasting prefix of the figures, empty for none.
func ChargeOf(r Resin, kg float64, d Dose, key string) (Charge, error) {
	if err := checkResin(r); err != nil {
		return Charge{}, err
	}
	if !(kg > 0) || math.IsInf(kg, 0) {
		return Charge{}, fmt.Errorf("mixing: a bucket of %g kg: give a positive mass", kg)
	}
	name := keyed(key)
	m := working.Measured("m", "resin in the bucket", kg, "kg", "size of the bucket")
	return chargeOf(r, m, d, name), nil
}

// The sums of a bucket. A dose in per cent of so many kilograms is so many times 10 g.
var (
	resinOfCell  = working.Method("k", "area of the cell by what lies on it, laps and slivers counted, at these rates")
	resinOfCells = working.MustFormula("m = Σ k")
	areaOfCells  = working.MustFormula("A = Σ a")
	chosenDose   = working.Method("c", "nearest the usual dose of those that gel neither too soon nor too late, within the data sheet's "+
		"limits")
	litresOf       = working.MustFormula("V = m/ρr")
	catalystGrams  = working.MustFormula("g = 10·m·c")
	catalystML     = working.MustFormula("v = g/ρc")
	gelOfBucket    = working.Method("tg", "gel law of the resin at this temperature and dose")
	earliestGel    = working.Method("tgl", "low end of the range that holds nine gels in ten")
	laidBy         = working.MustFormula("tl = tgl − tm")
	livePace       = working.MustFormula("p = n·r/60·b")
	largestBucket  = working.Method("mmax", "the least of tl·p·kg/m²; wet edge of a top coat; experience; what is carried; 3 kg above 25 °C")
	resinOfBuckets = working.MustFormula("M = Σ m")
)

// chargeOf is the catalyst for m of resin; name gives the keys of the figures.
func chargeOf(r Resin, m *working.Figure, d Dose, name func(string) string) Charge {
	m.Keyed(name("resin"))
	pct := chosenDose.Run("dose by mass", d.Pct, "%", byMass, d.gelFigure(),
		working.Constant("cmin", "least dose", r.Law.MinPct, "%", r.Law.Limits.OrUnsaid()),
		working.Constant("cmax", "greatest dose", r.Law.MaxPct, "%", r.Law.Limits.OrUnsaid())).Keyed(name("dose"))
	ρr := working.Constant("ρr", "density of "+r.Name, r.DensityKGPerL, "kg/l", r.DensityFrom.OrUnsaid())
	ρc := working.Constant("ρc", "density of catalyst", r.CatalystGPerML, "g/ml", r.CatalystFrom.OrUnsaid()).
		Noting("sheets run from 1.08 to 1.18: read yours")
	litres := litresOf.Figure("resin in the bucket", "l", plainMath, m, ρr).Keyed(name("litres"))
	g := catalystGrams.Figure("catalyst", "g", byMass, m, pct).Keyed(name("catalyst_g"))
	ml := catalystML.Figure("catalyst", "ml", plainMath, g, ρc).Keyed(name("catalyst_ml")).
		Noting("10 ml for each kg is often called 1 %; by mass it is about a tenth more")
	return Charge{ResinKG: m.Value, ResinL: litres.Value, CatalystG: g.Value, CatalystML: ml.Value, DosePct: d.Pct,
		DoseMLPerL: 10 * d.Pct * r.DensityKGPerL / r.CatalystGPerML, Figures: []*working.Figure{m, litres, pct, g, ml}}
}
