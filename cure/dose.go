package cure

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gelwright/material"
	"gelwright/working"
)

// Aim is how a dose is chosen within the resin's limits. Zero values take the defaults.
type Aim struct {
	// PreferredPct is used when it leaves the time and is quick enough: 2 %.
	PreferredPct float64
	// WantedMin: the dose is lowered while the earliest likely gel is sooner than this,
	// though less will do if the least dose leaves the minutes needed: 15.
	WantedMin float64
	// LongestMin: the dose is raised while the likely gel is later: 35, or half as much
	// again as the minutes needed.
	LongestMin float64
	// TooSlowMin: a likely gel later than this at the greatest dose is too cold: 90, or
	// twice the minutes needed.
	TooSlowMin float64
	// MarginMin, of the minutes needed, is kept between the last of the bucket and gel: 3, as
	// long as rolling it out takes, where less is given.
	MarginMin float64
}

// filled takes the defaults, for a mix that needs needMin.
func (a Aim) filled(needMin float64) Aim {
	for _, d := range []struct {
		v   *float64
		def float64
	}{{&a.PreferredPct, refPct}, {&a.WantedMin, 15}, {&a.LongestMin, 35}, {&a.TooSlowMin, 90}} {
		if !(*d.v > 0) {
			*d.v = d.def
		}
	}
	a.WantedMin = math.Max(a.WantedMin, needMin)
	a.LongestMin = math.Max(a.LongestMin, 1.5*needMin)
	a.TooSlowMin = math.Max(a.TooSlowMin, 2*needMin)
	return a
}

// doseStep is what a marked dispenser can follow, % by mass.
const doseStep = 0.05

// LeastLayMin is what a mix must leave between mixing and the margin, min: a careful crew mixes
// none that leaves less (common practice, no source).
const LeastLayMin = 8

// Ask is the question of the man with the jug.
type Ask struct {
	Resin    material.Resin
	Catalyst material.Catalyst
	// Gel is the law to use, of this catalyst; nil fits one to the resin's sheet.
	Gel *Gel
	// At is how warm resin and deck are.
	At Temps
	// NeedMin are the minutes from mixing until the last of it is rolled out.
	NeedMin float64
	// MarginMin is kept between then and the earliest likely gel.
	MarginMin float64
	// KG of resin, or Litres when KG is 0.
	KG, Litres float64
	Aim        Aim
	// Pct, when above 0, is a dose chosen elsewhere, and Why its working: see [Frontier].
	// It needs no minutes.
	Pct float64
	Why *working.Figure
}

// Answer is what to put in, and how long there is.
type Answer struct {
	// Pct of catalyst by mass of resin: the convention of every figure here.
	Pct float64 `json:"pct_by_mass"`
	// MLPerL is the same dose as the jug shows it, ml to a litre of resin.
	MLPerL     float64 `json:"ml_per_litre"`
	KG         float64 `json:"resin_kg"`
	Litres     float64 `json:"resin_l"`
	CatalystG  float64 `json:"catalyst_g"`
	CatalystML float64 `json:"catalyst_ml"`
	Mixed
	// HabitML is what '10 ml for each kg is 1 %' would pour for this dose, HabitPct
	// what that is by mass, and HabitOutPct how far it is over, in per cent.
	HabitML     float64 `json:"habit_ml"`
	HabitPct    float64 `json:"habit_pct_by_mass"`
	HabitOutPct float64 `json:"habit_out_pct"`
	// Notes to print with it.
	Notes []string `json:"notes,omitempty"`
	// Figures: resin in l or kg, dose, g, ml, gel time, the habit.
	Figures []*working.Figure `json:"-"`
}

// Dose answers with a dose in steps of 0.05 % whose earliest likely gel leaves the
// minutes needed, [LeastLayMin] at least, or a [Refusal] that says why not and what would help.
//
// It takes the preferred dose when that leaves the time, less when it does not, and
// more, while the time allows, when the gel would be late.
func Dose(ask Ask) (Answer, error) {
	if err := checkAsk(ask); err != nil {
		return Answer{}, err
	}
	var g Gel
	if ask.Gel != nil {
		g = *ask.Gel
	} else {
		var err error
		if g, err = NewGel(ask.Resin); err != nil {
			return Answer{}, err
		}
		if g, err = g.With(ask.Resin, ask.Catalyst); err != nil {
			return Answer{}, err
		}
	}
	if ask.Pct > 0 {
		if err := g.Allowed(ask.At.warmest(), ask.Pct); err != nil {
			return Answer{}, err
		}
		if err := g.allowedTemps(ask.At); err != nil {
			return Answer{}, err
		}
		return answer(ask, g, ask.Pct), nil
	}
	ask.Aim.MarginMin, ask.NeedMin = ask.MarginMin, math.Max(ask.NeedMin, LeastLayMin)
	advice, err := AdviseDose(g, ask.At, ask.NeedMin+ask.MarginMin, ask.Aim)
	if err != nil {
		return Answer{}, withMargin(err, ask, &g)
	}
	return answer(ask, g, advice.Pct), nil
}

// withMargin tells a refusal for want of time apart into laying and margin.
func withMargin(err error, ask Ask, g *Gel) error {
	var r *Refusal
	if ask.MarginMin == 0 || !errors.As(err, &r) || !errors.Is(r, ErrNotThatLong) {
		return err
	}
	least := g.leastAt(ask.At.DeckC)
	low := math.Max(0, g.workedBy(ask.At, least, ask.MarginMin))
	why := "the least it takes whatever the weather"
	if least > g.MinPct+1e-9 {
		why = "the least it should have so cold, or it may stay soft for good"
	}
	out := &Refusal{Reason: r.Reason,
		Finding: fmt.Sprintf("%s %s may gel in %.1f min even with %s, %s; needed are %.0f min to lay it and %.0f min kept in hand: %.0f min",
			ask.At.Words(), g.Resin, short(low), g.Dosed(least), why, ask.NeedMin, ask.MarginMin, ask.NeedMin+ask.MarginMin)}
	for _, m := range r.Remedies {
		if strings.HasPrefix(m.Text, "make the mix smaller") {
			left := math.Floor(low - ask.MarginMin)
			if left < LeastLayMin {
				continue
			}
			m.Text = fmt.Sprintf("make the mix smaller: what is laid in %.0f min, %.0f %% of this one", left, math.Floor(100*left/ask.NeedMin))
		}
		out.Remedies = append(out.Remedies, m)
	}
	return out
}

func checkAsk(ask Ask) error {
	ρr, ρc := ask.Resin.DensityKGPerL, ask.Catalyst.DensityGPerML
	switch {
	case !(ρr > 0.5 && ρr < 3):
		return fmt.Errorf("cure: %s has density %g kg/l: give about 1.1", ask.Resin.Name, ρr)
	case !(ρc > 0.5 && ρc < 2):
		return fmt.Errorf("cure: catalyst density %g g/ml: give the sheet's, 1.08 to 1.18", ρc)
	case !(ask.KG >= 0 && ask.Litres >= 0) || !(ask.KG+ask.Litres > 0) || math.IsInf(ask.KG+ask.Litres, 0):
		return fmt.Errorf("cure: a mix of %g kg or %g l: give a positive amount of resin", ask.KG, ask.Litres)
	case !(ask.Pct >= 0) || math.IsInf(ask.Pct, 0):
		return fmt.Errorf("cure: a dose of %g %%: give per cent by mass, or 0 to have it chosen", ask.Pct)
	case ask.Pct == 0 && !(ask.NeedMin > 0 && ask.MarginMin >= 0):
		return fmt.Errorf("cure: %g min to lay and %g min of margin: give the minutes you need", ask.NeedMin, ask.MarginMin)
	case ask.KG > 0 && ask.Litres > 0 && math.Abs(ask.KG-ask.Litres*ρr) > 0.01*ask.KG:
		return fmt.Errorf("cure: %g kg is not %g l at %g kg/l: give one of the two", ask.KG, ask.Litres, ρr)
	}
	return nil
}

// The sums of a mix: kg, l, g, ml, per cent by mass.
var (
	litresOf      = working.MustFormula("V = m/ρr")
	massOf        = working.MustFormula("m = V·ρr")
	minutesNeeded = working.MustFormula("tn = tl + tm")
	doseByRule    = working.Method("c", doseRule)
	doseAsked     = working.Method("c", "the dose asked for, within the resin's limits")
	doseByChance  = working.Method("c", "the dose whose chances are best")
	catalystGrams = working.MustFormula("g = 10·m·c")
	catalystML    = working.MustFormula("v = g/ρc")
	doseByJug     = working.MustFormula("cl = 10·c·ρr/ρc")
	doseOfHabit   = working.MustFormula("ch = c·ρc")
)

func answer(ask Ask, g Gel, pct float64) Answer {
	const where = "the question"
	ρr, ρc := ask.Resin.DensityKGPerL, ask.Catalyst.DensityGPerML
	dr := working.Constant("ρr", "density of resin", ρr, "kg/l", ask.Resin.Sheet("density_kg_per_l"))
	dc := working.Constant("ρc", "density of catalyst", ρc, "g/ml",
		ask.Catalyst.Density()).Noting("sheets run from 1.08 to 1.18: read yours")
	var kg, litres *working.Figure
	if ask.KG > 0 {
		kg = working.GivenFigure("m", "resin", ask.KG, "kg", where)
		litres = litresOf.Figure("resin", "l", massVolume, kg, dr)
	} else {
		litres = working.GivenFigure("V", "resin", ask.Litres, "l", where)
		kg = massOf.Figure("resin", "kg", massVolume, litres, dr)
	}
	lay := working.GivenFigure("tl", "minutes to lay it", ask.NeedMin, "min", where)
	margin := working.GivenFigure("tm", "margin kept before gel", ask.MarginMin, "min", where)
	need := minutesNeeded.Figure("minutes needed", "min", working.Source{Title: "the earliest likely gel comes after laying and margin",
		Standing: working.Derived}, lay, margin)
	least := working.Constant("cmin", "least dose", g.MinPct, "%", g.Limits.OrUnsaid())
	most := working.Constant("cmax", "greatest dose", g.MaxPct, "%", g.Limits.OrUnsaid())
	mixed, _ := g.Mixed(ask.At, pct, ask.MarginMin) // allowed, since the dose was chosen so
	gel := g.worked(mixed, ask.At, working.Constant("c", "catalyst by mass of resin, tried", pct, "%", byMass), margin,
		func(name string, tempC float64) *working.Figure {
			return working.GivenFigure("T", name, tempC, "°C", where)
		}).Keyed("dose.gel")
	c := doseByRule.Run("catalyst by mass of resin", pct, "%", byMass, gel, need, least, most)
	switch {
	case ask.Pct > 0 && ask.Why != nil:
		c = doseByChance.Run("catalyst by mass of resin", pct, "%", byMass, ask.Why, gel, least, most)
	case ask.Pct > 0:
		c = doseAsked.Run("catalyst by mass of resin", pct, "%", byMass, gel, least, most)
	}
	c.Keyed("dose.pct")
	grams := catalystGrams.Figure("catalyst", "g", byMass, kg, c).Keyed("dose.g")
	ml := catalystML.Figure("catalyst", "ml", massVolume, grams, dc).Keyed("dose.ml")
	jug := doseByJug.Figure("catalyst to a litre of resin, as the jug shows it", "ml/l", massVolume, c, dr, dc).Keyed("dose.ml_per_litre")
	habit := doseOfHabit.Figure("what '10 ml per kg is 1 %' would give by mass", "%", massVolume, c, dc).Keyed("dose.habit_pct").
		Noting(fmt.Sprintf("a habit of the trade, not the convention here: with this catalyst it is %+.0f %% out", 100*(ρc-1)))
	a := Answer{
		Pct: pct, MLPerL: jug.Value, KG: kg.Value, Litres: litres.Value, CatalystG: grams.Value, CatalystML: ml.Value, Mixed: mixed,
		HabitML: 10 * kg.Value * pct, HabitPct: habit.Value, HabitOutPct: 100 * (ρc - 1),
		Figures: []*working.Figure{kg, litres, c, grams, ml, jug, gel, habit},
	}
	a.Notes = append(a.Notes,
		"doses are per cent by mass of resin",
		fmt.Sprintf("'10 ml per kg is 1 %%' would pour %.0f ml, which is %.2f %% by mass", a.HabitML, a.HabitPct),
		"by the jug it is "+DoseWords(pct, a.MLPerL))
	if g.Extrapolated(ask.At.warmest(), pct) {
		a.Notes = append(a.Notes, "beyond the sheet's gel points: time a test cup first")
	}
	return a
}
