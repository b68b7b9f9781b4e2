package cure

import (
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// Advice is one dose for the temperatures of a mix.
type Advice struct {
	// Pct by mass of resin.
	Pct float64 `json:"pct"`
	// Mixed is how long there is with it.
	Mixed
	// SpareMin is the earliest gel less the minutes needed.
	SpareMin float64         `json:"spare_min"`
	Figure   *working.Figure `json:"-"`
}

// AdviseDose picks the dose for the temperatures of a mix: it follows from the deck, and is
// lowered only where that pail on that deck would leave fewer than needMin. It is the one rule
// for a dose: buckets, dose card and the quick answer all ask it.
//
// It starts from the preferred dose, lowers it until the deck leaves the minutes wanted,
// or raises it, while they are left, until the deck gels in time; over 3 % only where 3 %
// would be very late. The least dose may leave fewer than wanted, but not fewer than
// needMin out of this pail on this deck, see [Gel.Mixed]; nothing goes below it. Where no dose
// does both it refuses.
func AdviseDose(g Gel, at Temps, needMin float64, aim Aim) (Advice, error) {
	aim = aim.filled(needMin)
	if !(needMin > 0) || math.IsInf(needMin, 0) {
		return Advice{}, fmt.Errorf("cure: %g minutes needed: give the minutes from mixing until the last is rolled out", needMin)
	}
	if err := g.allowedTemps(at); err != nil {
		return Advice{}, err
	}
	pct, least, why := g.ruled(at, needMin, aim)
	switch why {
	case ErrNotThatLong:
		return Advice{}, g.notThatLong(at, needMin, least, aim)
	case ErrTooCold:
		return Advice{}, g.tooSlow(at, pct, aim)
	}
	mixed, err := g.Mixed(at, pct, aim.MarginMin)
	if err != nil {
		return Advice{}, err
	}
	where := "temperatures of resin and deck"
	f := doseByRule.Run("catalyst by mass of resin", pct, "%", byMass,
		working.GivenFigure("Td", "deck", at.DeckC, "°C", where), working.GivenFigure("Tr", "resin in its pail", at.ResinC, "°C", where),
		working.GivenFigure("tn", "minutes needed", needMin, "min", where),
		working.AssumedFigure("cp", "preferred dose", aim.PreferredPct, "%", "usual middle of the allowed doses"),
		working.AssumedFigure("tw", "earliest gel wanted", aim.WantedMin, "min", "so that a bucket of a useful size can be laid"),
		working.AssumedFigure("tl", "longest likely gel that is not late", aim.LongestMin, "min", "so that it hardens the same day"))
	return Advice{Pct: pct, Mixed: mixed, SpareMin: mixed.Gel.LowMin - needMin, Figure: f}, nil
}

// Doses is the dose of [AdviseDose] alone, % by mass; ok is false where that refuses. It asks for
// neither words nor remedies, which take many times as long, for those who try many temperatures.
func Doses(g *Gel, at Temps, needMin float64, aim Aim) (pct float64, ok bool) {
	if !(needMin > 0) || math.IsInf(needMin, 0) || !g.works(at) {
		return 0, false
	}
	pct, _, why := g.ruled(at, needMin, aim.filled(needMin))
	return pct, why == nil
}

// ruled is the dose by the rule, and the least that there may be; why is [ErrNotThatLong] where
// even that leaves too few minutes, [ErrTooCold] where the dose gels too late.
func (g *Gel) ruled(at Temps, needMin float64, aim Aim) (pct, least float64, why error) {
	leaves := func(pct, min float64) bool {
		ln, half := g.predict(at.DeckC, pct)
		return elementary.Exp(ln-half) >= min
	}
	likely := func(pct float64) float64 { return g.likely(at.DeckC, pct) }
	least = g.leastAt(at.DeckC)
	most := g.mostAt(at.DeckC, least)
	pct = math.Min(math.Max(aim.PreferredPct, least), most)
	for !leaves(pct, aim.WantedMin) && pct > least {
		pct = math.Max(nextDose(pct, -1), least)
	}
	for likely(pct) > aim.LongestMin && pct < most {
		next := math.Min(nextDose(pct, +1), most)
		if !leaves(next, aim.WantedMin) {
			break
		}
		pct = next
	}
	for g.workedBy(at, pct, aim.MarginMin) < needMin {
		if pct <= least {
			return pct, least, ErrNotThatLong
		}
		pct = math.Max(nextDose(pct, -1), least)
	}
	if likely(pct) > aim.TooSlowMin {
		return pct, least, ErrTooCold
	}
	return pct, least, nil
}

// Above plentyPct more catalyst is not put in as long as that much gels within plentyMin
// (common practice, no source: heat and brittleness for minutes).
const (
	plentyPct = 3
	plentyMin = 60
)

// mostAt is the most that goes in on a deck, % by mass.
func (g *Gel) mostAt(deckC, least float64) float64 {
	if g.MaxPct <= plentyPct {
		return g.MaxPct
	}
	if ln, _ := g.predict(deckC, plentyPct); elementary.Exp(ln) <= plentyMin {
		return math.Max(plentyPct, least)
	}
	return g.MaxPct
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
const doseRule = "the preferred dose, but not below the least, nor below what a cold deck needs; less until the earliest gel " +
	"on the deck leaves the minutes wanted; more, while they are left, until it is not late; less where this pail leaves too few"

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
// would help: never less than the least.
func (g *Gel) notThatLong(at Temps, needMin, least float64, aim Aim) error {
	low := g.workedBy(at, least, aim.MarginMin)
	var remedies []string
	first, later := g.cupRemedies(at, least, needMin, aim)
	remedies = append(remedies, first...)
	if low >= 1 {
		remedies = append(remedies, fmt.Sprintf("make the mix smaller: what is laid in %.0f min, %.0f %% of this one", math.Floor(low),
			math.Floor(100*low/needMin)))
	}
	remedies = append(remedies, later...)
	if least > g.MinPct+1e-9 {
		// In the cold, cooler is no help.
		return refuse(ErrNotThatLong,
			fmt.Sprintf("%s %s may gel in %.1f min with %s, the least it should have so cold or it may stay soft for good, and %.0f min "+
				"are needed", at.Words(), g.Resin, short(low), g.Dosed(least), needMin),
			append(remedies, "or more hands")...)
	}
	remedies = append(remedies, g.coolRemedies(at, needMin, aim)...)
	if g.Speed != "slow" {
		remedies = append(remedies, "use a slow (summer) catalyst")
	}
	remedies = append(remedies, "use a summer grade, or more hands")
	return refuse(ErrNotThatLong,
		fmt.Sprintf("%s %s may gel in %.1f min even with %s, the least it takes whatever the weather, and %.0f min are needed", at.Words(),
			g.Resin, short(low), g.Dosed(g.MinPct), needMin), remedies...)
}

// short is minutes that are too few, down to a tenth: what falls short of the minutes needed is never printed as just enough.
func short(min float64) float64 {
	const tenths = 10
	return math.Max(0, math.Floor(tenths*min)/tenths)
}

// cupRemedies ask for a test cup where the brand is not known: first of all where a cup that
// gels as expected would do by itself, since then nothing but the range of brands is in the way.
func (g *Gel) cupRemedies(at Temps, least, needMin float64, aim Aim) (first, later []string) {
	ask := g.cupRemedy()
	if ask == nil {
		return nil, nil
	}
	ln, _ := g.predict(at.warmest(), least)
	if cup, err := g.WithCup(at.warmest(), least, elementary.Exp(ln)); err == nil && cup.workedBy(at, least, aim.MarginMin) >= needMin {
		return ask, nil
	}
	return nil, ask
}

// coolRemedies are how cool pail or deck, and else both, must be for the least dose.
func (g *Gel) coolRemedies(at Temps, needMin float64, aim Aim) []string {
	hot := math.Max(at.DeckC, at.HotC)
	try := func(with func(tempC float64) Temps) float64 {
		return math.Floor(g.tempWhere(func(t float64) bool { return g.workedBy(with(t), g.MinPct, aim.MarginMin) >= needMin }, true))
	}
	var out []string
	pail := try(func(t float64) Temps { return Temps{ResinC: t, DeckC: hot} })
	deck := try(func(t float64) Temps { return Temps{ResinC: at.ResinC, DeckC: t} })
	if pail >= g.MinC && at.ResinC > pail {
		out = append(out, fmt.Sprintf("keep the resin cool in the shade: %.0f °C or less in its pail", pail))
	}
	if deck >= g.MinC && hot > deck {
		out = append(out,
			fmt.Sprintf("lay when the deck is at %.0f °C or less: in the morning or the evening, or with shade on it", deck))
	}
	if both := try(At); len(out) == 0 && both >= g.MinC {
		out = append(out, fmt.Sprintf("lay with resin and deck at %.0f °C or less: in the morning or the evening, the pail and the deck in "+
			"the shade", both))
	}
	return out
}

// tooSlow refuses because the mix would not gel in reasonable time.
func (g *Gel) tooSlow(at Temps, pct float64, aim Aim) error {
	tempC := at.DeckC
	ln, _ := g.predict(tempC, pct)
	if pct < g.MaxPct && tempC < at.warmest() {
		return refuse(ErrNoAim, fmt.Sprintf("%s is the most that leaves %.0f min at %.1f °C, and at %.1f °C it gels in about %.0f min",
			g.Dosed(pct), aim.WantedMin, at.warmest(), tempC, elementary.Exp(ln)),
			"cool the resin in its pail, or change the dose through the day: see the dose card",
			"make smaller mixes, so that more catalyst can be used")
	}
	finding := fmt.Sprintf("at %.1f °C with %s %s gels in about %.0f min", tempC, g.Dosed(pct), g.Resin, elementary.Exp(ln))
	if pct < g.MaxPct {
		return refuse(ErrTooCold, finding+fmt.Sprintf(", and more would not leave %.0f min for certain", aim.WantedMin),
			"make smaller mixes, so that more catalyst can be used", "warm the materials and the deck")
	}
	finding += ", the most it takes"
	warm := g.tempWhere(func(t float64) bool { l, _ := g.predict(t, g.MaxPct); return elementary.Exp(l) <= aim.TooSlowMin }, false)
	if math.IsNaN(warm) {
		return refuse(ErrTooCold, finding, "use a winter grade, or a fast (winter) catalyst")
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
