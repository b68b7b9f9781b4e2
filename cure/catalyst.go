package cure

import (
	"fmt"
	"math"
	"slices"

	"gelwright/material"
	"gelwright/working"
)

// usualGPerML is the density of a catalyst before one is chosen, g/ml: sheets run from 1.08
// to 1.18.
const usualGPerML = 1.15

// leastDose is the least a resin takes of a catalyst of a density, % by mass: the sheet's,
// or the trade's, within the envelope of the law, rounded up to what a dispenser can follow
// where it is a measure of the jug.
func leastDose(r material.Resin, catalystGPerML float64) float64 {
	least := math.Max(r.LeastPct(catalystGPerML), leastPct)
	if r.MinMLPerL > 0 {
		least = math.Round(math.Ceil(least/doseStep-1e-9)*doseStep*doseDecimals) / doseDecimals
	}
	return least
}

// With returns the law for one catalyst: its own gel points where its sheet has some with
// this resin, else its factor on the gel time, whose spread widens the range. The least dose
// is then that of this pair, and doses are told in the jug's measure too. It is asked once
// of a law, before a test cup of that catalyst is taken in.
func (g Gel) With(r material.Resin, c material.Catalyst) (Gel, error) {
	if !(c.DensityGPerML > 0.5 && c.DensityGPerML < 2 && r.DensityKGPerL > 0.5 && r.DensityKGPerL < 3) {
		return Gel{}, fmt.Errorf("cure: %s with %s: densities %g kg/l and %g g/ml: give the sheets'", r.Name, c.Name, r.DensityKGPerL,
			c.DensityGPerML)
	}
	for _, own := range c.Gels {
		if own.Resin != r.Key || len(own.Points) == 0 {
			continue
		}
		r.GelPoints = own.Points
		out, err := NewGel(r)
		if err != nil {
			return Gel{}, err
		}
		out.Evidence = fmt.Sprintf("%d gel points of the catalyst's data sheet", len(own.Points))
		out.Standing = working.Supplier
		return out.dosed(r, c), nil
	}
	f := c.GelFactor
	if f == 0 || f == 1 {
		return g.dosed(r, c), nil
	}
	if !(f > 0.2 && f < 5 && c.GelFactorSD >= 0 && c.GelFactorSD < 1) {
		return Gel{}, fmt.Errorf("cure: %s makes the gel %g times as long (spread %g): give 0.5 to 2, and a spread of 0.1", c.Name, f,
			c.GelFactorSD)
	}
	return g.stretched(f, c.GelFactorSD, c.Speed).dosed(r, c), nil
}

// stretched is a law whose gels take a factor longer, known within a spread of its logarithm.
func (g Gel) stretched(factor, sd float64, speed string) Gel {
	ln := math.Log(factor)
	g.Drums = append([]Drum(nil), g.Drums...)
	for i := range g.Drums {
		g.Drums[i].Mean[0] += ln
		g.Drums[i].Cov[0][0] += sd * sd
	}
	g.Mean[0] += ln
	g.Cov[0][0] += sd * sd
	g.Evidence += fmt.Sprintf(", and %s times as long with the %s catalyst", working.Number(factor), speed)
	return g
}

// dosed sets what the pair of resin and catalyst says of the dose.
func (g Gel) dosed(r material.Resin, c material.Catalyst) Gel {
	g.Catalyst, g.Speed, g.MLPerPct = c.Name, c.Speed, r.MLPerL(1, c.DensityGPerML)
	g.MinPct = math.Min(leastDose(r, c.DensityGPerML), g.MaxPct)
	switch {
	case r.MinMLPerL > 0 && slices.Contains(r.Own, "min_catalyst_ml_per_l"):
		g.Limits = r.Sheet("min_catalyst_ml_per_l", "max_catalyst_pct")
	case r.MinMLPerL > 0:
		g.Limits = working.Source{Title: fmt.Sprintf("a top coat takes no less than %.0f ml of catalyst to the litre", r.MinMLPerL),
			Standing: working.CommonPractice}
	}
	return g
}

// Dosed tells a dose as it is told everywhere: "20 ml to the litre (1.85 % by mass)"; by
// mass alone where no catalyst is known.
func (g *Gel) Dosed(pct float64) string { return DoseWords(pct, pct*g.MLPerPct) }

// DoseWords tells a dose by the jug and by mass: the one way in which a dose is put in words.
func DoseWords(pctByMass, mlPerL float64) string {
	if !(mlPerL > 0) {
		return fmt.Sprintf("%.2f %% by mass", pctByMass)
	}
	return fmt.Sprintf("%.0f ml to the litre (%.2f %% by mass)", mlPerL, pctByMass)
}
