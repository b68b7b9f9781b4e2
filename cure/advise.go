package cure

import (
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// Advice is one dose for a day's temperatures.
type Advice struct {
	// Pct by mass of resin.
	Pct float64 `json:"pct"`
	// Coldest and Hottest are the gel times at the ends of the day's range.
	Coldest Range `json:"coldest"`
	Hottest Range `json:"hottest"`
	// SpareMin is the earliest gel at the hottest less the minutes needed.
	SpareMin float64         `json:"spare_min"`
	Figure   *working.Figure `json:"-"`
}

// AdviseDose picks the dose for a day whose resin and deck lie between lowC and
// highC: at highC the earliest likely gel leaves needMin, at lowC the likely gel is
// not too slow. It is the one rule for a dose: buckets, dose card and the quick answer
// all ask it.
//
// It starts from the preferred dose, lowers it until the hottest hour leaves the
// minutes wanted, or raises it, while they are left, until the coldest hour gels in
// time. The least dose may leave fewer than wanted, but not fewer than needMin. Where
// the range is too wide for one dose it refuses.
func AdviseDose(g Gel, lowC, highC, needMin float64, aim Aim) (Advice, error) {
	aim = aim.filled(needMin)
	if !(needMin > 0) || math.IsInf(needMin, 0) {
		return Advice{}, fmt.Errorf("cure: %g minutes needed: give the minutes from mixing until the last is rolled out", needMin)
	}
	if !(highC >= lowC) {
		return Advice{}, fmt.Errorf("cure: temperatures from %g to %g °C: give the lower first", lowC, highC)
	}
	for _, t := range []float64{lowC, highC} {
		if err := g.Allowed(t, g.MinPct); err != nil {
			return Advice{}, err
		}
	}
	leaves := func(pct, min float64) bool {
		ln, half := g.predict(highC, pct)
		return elementary.Exp(ln-half) >= min
	}
	likely := func(pct float64) float64 { ln, _ := g.predict(lowC, pct); return elementary.Exp(ln) }
	least := g.leastAt(lowC)
	pct := math.Min(math.Max(aim.PreferredPct, least), g.MaxPct)
	for !leaves(pct, aim.WantedMin) && pct > least {
		pct = math.Max(nextDose(pct, -1), least)
	}
	if !leaves(pct, needMin) {
		return Advice{}, g.notThatLong(highC, needMin, least)
	}
	for likely(pct) > aim.LongestMin && pct < g.MaxPct {
		next := math.Min(nextDose(pct, +1), g.MaxPct)
		if !leaves(next, aim.WantedMin) {
			break
		}
		pct = next
	}
	if likely(pct) > aim.TooSlowMin {
		if pct < g.MaxPct && lowC < highC {
			return Advice{},
				refuse(ErrNoAim, fmt.Sprintf("%.2f %% is the most that leaves %.0f min at %.1f °C, and at %.1f °C it gels in about %.0f min", pct,
					aim.WantedMin, highC, lowC, likely(pct)),
					"change the dose through the day: see the dose card", "make smaller mixes, so that more catalyst can be used")
		}
		return Advice{}, g.tooSlow(lowC, pct, aim)
	}
	cold, _ := g.Time(lowC, pct)
	hot, _ := g.Time(highC, pct)
	where := "the day's range of temperature"
	f := doseByRule.Run("catalyst for the day, by mass of resin", pct, "%", byMass,
		working.GivenFigure("Tl", "coldest", lowC, "°C", where), working.GivenFigure("Th", "hottest", highC, "°C", where),
		working.GivenFigure("tn", "minutes needed", needMin, "min", where),
		working.AssumedFigure("cp", "preferred dose", aim.PreferredPct, "%", "usual middle of the allowed doses"),
		working.AssumedFigure("tw", "earliest gel wanted", aim.WantedMin, "min", "so that a bucket of a useful size can be laid"),
		working.AssumedFigure("tl", "longest likely gel that is not late", aim.LongestMin, "min", "so that it hardens the same day"))
	return Advice{Pct: pct, Coldest: cold, Hottest: hot, SpareMin: hot.LowMin - needMin, Figure: f}, nil
}

// leastAt is the least dose at a temperature: cold resin starved of catalyst gels in the
// end and yet stays soft for good, so time is not bought with it. 3 % to 6.5 °C, 2.5 at
// 10, 2 at 14, falling to the data sheet's least at 20 °C (after the trade's bands for
// cold days; common practice, no source), rounded up to the dispenser's step. A resin
// that gels within 25 minutes with less, as a winter grade does, needs no more than that.
func (g *Gel) leastAt(tempC float64) float64 {
	temps := [...]float64{6.5, 10, 14, 18, 20}
	doses := [...]float64{3, 2.5, 2, 1.25, 1}
	least := 0.0
	if tempC <= temps[0] {
		least = doses[0]
	}
	for i := 1; i < len(temps); i++ {
		if tempC > temps[i-1] && tempC <= temps[i] {
			least = doses[i-1] + (doses[i]-doses[i-1])*(tempC-temps[i-1])/(temps[i]-temps[i-1])
		}
	}
	if least <= g.MinPct {
		return g.MinPct
	}
	least = math.Min(math.Ceil(least/doseStep-1e-9)*doseStep, g.MaxPct)
	for least > g.MinPct {
		less := math.Max(nextDose(least, -1), g.MinPct)
		if ln, _ := g.predict(tempC, less); elementary.Exp(ln) > quickMin {
			break
		}
		least = less
	}
	return least
}

// quickMin is a gel so soon that cold resin is not starved, min.
const quickMin = 25

const (
	halvings     = 50  // of a search for a temperature
	doseDecimals = 1e6 // doses are rounded to a millionth, so that steps add up
)

// doseRule is the rule in words.
const doseRule = "the preferred dose, but not below what cold resin needs; less until the earliest gel at the hottest leaves the " +
	"minutes wanted; more, while they are left, until the gel at the coldest is not late"

// nextDose is the next multiple of doseStep up or down.
func nextDose(pct float64, direction float64) float64 {
	n := pct / doseStep
	if direction > 0 {
		n = math.Floor(n+1e-6) + 1
	} else {
		n = math.Ceil(n-1e-6) - 1
	}
	return math.Round(n*doseStep*doseDecimals) / doseDecimals
}

// notThatLong refuses because even the least dose gels too soon, and works out what
// would help.
func (g *Gel) notThatLong(tempC, needMin, least float64) error {
	ln, half := g.predict(tempC, least)
	low := elementary.Exp(ln - half)
	remedies := []string{fmt.Sprintf("make the mix smaller: what is laid in %.0f min, %.0f %% of this one", math.Floor(low),
		math.Floor(100*low/needMin))}
	if least > g.MinPct+1e-9 {
		// In the cold, cooler is no help.
		remedies = append(remedies, g.cupRemedy()...)
		return refuse(ErrNotThatLong,
			fmt.Sprintf(
				"at %.1f °C %s may gel in %.0f min with %.2f %%, the least it should have so cold or it may stay soft for good, and %.0f min "+
					"are needed", tempC, g.Resin, low, least, needMin),
			append(remedies, "or more hands")...)
	}
	remedies = append(remedies, g.cupRemedy()...)
	leaves := func(t float64) bool { l, h := g.predict(t, g.MinPct); return elementary.Exp(l-h) >= needMin }
	if cool := g.tempWhere(leaves, true); !math.IsNaN(cool) {
		remedies = append(remedies,
			fmt.Sprintf("lay when resin and deck are at %.0f °C or less: start earlier, shade the deck, cool the resin", math.Floor(cool)))
	}
	remedies = append(remedies, "use a summer grade, or more hands")
	return refuse(ErrNotThatLong,
		fmt.Sprintf("at %.1f °C %s may gel in %.0f min even with %g %%, the least it takes, and %.0f min are needed", tempC, g.Resin, low,
			g.MinPct, needMin), remedies...)
}

// tooSlow refuses because the mix would not gel in reasonable time.
func (g *Gel) tooSlow(tempC, pct float64, aim Aim) error {
	ln, _ := g.predict(tempC, pct)
	finding := fmt.Sprintf("at %.1f °C with %.2f %% %s gels in about %.0f min", tempC, pct, g.Resin, elementary.Exp(ln))
	if pct < g.MaxPct {
		return refuse(ErrTooCold, finding+fmt.Sprintf(", and more would not leave %.0f min for certain", aim.WantedMin),
			"make smaller mixes, so that more catalyst can be used", "warm the materials and the deck")
	}
	finding += ", the most it takes"
	warm := g.tempWhere(func(t float64) bool { l, _ := g.predict(t, g.MaxPct); return elementary.Exp(l) <= aim.TooSlowMin }, false)
	if math.IsNaN(warm) {
		return refuse(ErrTooCold, finding, "use a winter grade")
	}
	return refuse(ErrTooCold, finding, coldRemedies(warm)...)
}

// tempWhere finds the end of the temperatures at which ok holds: the warmest when
// cooler is better, otherwise the coldest; NaN when none within the limits.
func (g *Gel) tempWhere(ok func(tempC float64) bool, cooler bool) float64 {
	good, bad := g.MinC, g.MaxC
	if !cooler {
		good, bad = bad, good
	}
	if !ok(good) {
		return math.NaN()
	}
	if ok(bad) {
		return bad
	}
	for range halvings {
		mid := (good + bad) / 2
		if ok(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good
}
