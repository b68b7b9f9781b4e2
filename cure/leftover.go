package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/elementary"
	"gelwright/ode"
	"gelwright/working"
)

// Temperatures at which a bucket of curing resin becomes dangerous, °C (from memory,
// to be confirmed).
const (
	// scaldC: skin burns at once.
	scaldC = 60.0
	// smokeC: it smokes, stinks of styrene, and thin plastic pails soften.
	smokeC = 100.0
	// boilC is the boiling point of styrene.
	boilC = 145.0
)

// PailMM is the width of the pail that resin is mixed in, 10 to 15 l (common practice, no
// source): what is left spreads over its bottom.
const PailMM = 280

// What the peak is not known by: heat of cure of unsaturated polyester, 300 to 400 kJ/kg
// about 350, and the loss of a pail in still air, 8 to 12 W/(m²·K) (both from memory).
const (
	leastHeat, mostHeat   = 300.0 / 350, 400.0 / 350
	leastLossWPerM2K      = 8.0
	mostLossWPerM2K       = 12.0
	sandKGPerL, sandHeat  = 1.6, 0.8 // dry sand, loose: kg/l and kJ/(kg·K), from memory
	waterHeat             = 4.18     // kJ/(l·K)
	leastDepth, mostDepth = 0.5, 12.0
)

const (
	leastRestKG = 0.002 // the search for a safe rest begins here
	restRatio   = 1.02  // and ends when it is known so well
	depthStepMM = 0.5   // a depth that a person can judge
	worthKG     = 0.05  // a safe rest smaller than this is no advice
	worthMM     = 1.0   // nor is a thinner layer
	scaldTol    = 1e-6  // of the temperature at which a rest is judged: some 0.001 K
	guessTol    = 1e-4  // the same where it is guessed first
	guessRatio  = 1.004 // and how well the critical loss is guessed
	curedShare  = 1e-3  // of the tolerance, for the conversion beside the temperature
)

// Left is a mix, or what is left of one, that nobody lays.
type Left struct {
	KG, DensityKGPerL float64
	// DiameterMM of its pail; PailMM when 0.
	DiameterMM float64
	// Pct of catalyst by mass, AirC of air and resin.
	Pct, AirC float64
}

// Danger is what a mix left standing does.
type Danger struct {
	KG      float64
	GelMin  float64
	PeakC   float64
	PeakMin float64
	// PeakLowC and PeakHighC are the peak with gel, heat of cure and loss each at the end of
	// its range.
	PeakLowC, PeakHighC float64
	Runaway             bool
	// SafeKG is the most that, left in the same pail, surely stays below 60 °C; 0 when even
	// 2 g do not.
	SafeKG float64
	// SafeDepthMM is how deep it may be spread, on something that takes no heat, to stay
	// below 60 °C for certain; 0 when less than half a millimetre.
	SafeDepthMM float64
	// SandVolumes of dry sand to one of resin take all its heat without passing 60 °C.
	SandVolumes float64
	// Verdict by the hottest of the range: Pass below 60 °C, Caution below 100 °C, Fail above.
	Verdict  check.Verdict
	Finding  string
	Remedies []check.Remedy
	Source   working.Source
	Figures  []*working.Figure
}

// leaving is a rest in one case of what is not known.
type leaving struct {
	k    Kinetics
	l    Left
	loss float64
}

func (a leaving) bucket(kg float64) Bucket {
	return Bucket{KG: kg, DensityKGPerL: a.l.DensityKGPerL, DiameterMM: a.l.DiameterMM, WallWPerM2K: a.loss, AirC: a.l.AirC, StartC: a.l.AirC}
}

func (a leaving) run(ctx context.Context, kg float64) (BucketRun, error) {
	return a.k.Bucket(ctx, a.bucket(kg), a.l.Pct)
}

// lumped is the rest of so many kg in its pail as a body.
func (a leaving) lumped(kg float64) body {
	b := a.bucket(kg)
	area, _ := b.Geometry(kg)
	return body{kg, 1000 * kg * a.k.HeatCapacityKJPerKGK, a.loss * area}
}

// spread is a square metre of a sheet of resin mm deep that loses heat upwards only.
func (a leaving) spread(mm float64) body {
	kgPerM2 := mm * a.l.DensityKGPerL
	return body{kgPerM2, 1000 * kgPerM2 * a.k.HeatCapacityKJPerKGK, a.loss}
}

// scalds reports whether a body, as warm as the air when it is mixed, reaches scaldC within
// a day.
func (a leaving) scalds(ctx context.Context, b body) (bool, error) {
	return a.heats(ctx, 1000*a.k.HeatKJPerKG*b.massKG/b.capJPerK, b.lossWPerK/b.capJPerK, scaldTol)
}

// heats is [leaving.scalds] of what warms by rise kelvin when it cures at once and loses the share
// loss of its excess each second. It is followed no further than to scaldC, or to its peak: while
// it still warms it is colder than that, and once its rate falls it only cools.
func (a leaving) heats(ctx context.Context, rise, loss, tol float64) (bool, error) {
	r, ta := a.k.at(a.l.Pct), a.l.AirC+zeroC
	from := 0.0
	if a.k.InductionS > 0 {
		from = 1 / r.induction(ta) // nothing warms it before
	}
	const endS = 24 * 3600
	if from >= endS || a.l.AirC >= scaldC {
		return a.l.AirC >= scaldC, nil
	}
	slope := r.warming(rise, loss, ta)
	const hot = scaldC + zeroC
	o := ode.Options{RelTol: tol, AbsTol: []float64{tol * curedShare, tol}, Events: []ode.Event{
		{G: func(_ float64, y []float64) float64 { return y[1] - hot }, Direction: 1, Stop: true, Rough: true},
		{G: func(_ float64, y []float64) float64 { _, dT := slope(y); return dT }, Direction: -1, Stop: true, Rough: true},
	}}
	sol, err := ode.Solve(ctx, func(_ float64, y, d []float64) { d[0], d[1] = slope(y) }, from, endS, []float64{0, ta}, o)
	if err != nil {
		return false, err
	}
	return sol.Y[1] >= hot || sol.Stopped && sol.Hits[len(sol.Hits)-1].Event == 0, nil
}

// LeftOver says what becomes of a mix left in its pail in air of a temperature: how hot, when,
// how much may be left, and what to do with it.
func (k Kinetics) LeftOver(ctx context.Context, g Gel, l Left) (Danger, error) {
	if l.DiameterMM == 0 {
		l.DiameterMM = PailMM
	}
	if err := g.Allowed(l.AirC, l.Pct); err != nil {
		return Danger{}, err
	}
	_, half := g.predict(l.AirC, l.Pct)
	var cases [3]leaving
	var runs [3]BucketRun
	for i, c := range [3]struct{ ln, heat, loss float64 }{
		{half, leastHeat, mostLossWPerM2K}, {0, 1, 0}, {-half, mostHeat, leastLossWPerM2K},
	} {
		timed, err := k.Timed(ctx, g.later(c.ln), l.AirC, l.Pct)
		if err != nil {
			return Danger{}, err
		}
		timed.HeatKJPerKG *= c.heat
		cases[i] = leaving{timed, l, c.loss}
		if runs[i], err = cases[i].run(ctx, l.KG); err != nil {
			return Danger{}, err
		}
	}
	likely, hottest := runs[1], cases[2]
	d := Danger{KG: l.KG, GelMin: likely.GelMin, PeakC: likely.PeakC, PeakMin: likely.PeakMin, PeakLowC: runs[0].PeakC,
		PeakHighC: runs[2].PeakC, Runaway: likely.Runaway(), SafeKG: l.KG, Verdict: check.Pass,
		Source:  working.Source{Title: "scald, smoke and boiling temperatures", Standing: working.Remembered},
		Figures: likely.Figures(cases[1].k, cases[1].bucket(l.KG), l.Pct)}
	d.Figures[0].Between(d.PeakLowC, d.PeakHighC)
	what := "warms:"
	switch {
	case d.PeakHighC >= boilC:
		d.Verdict, what = check.Fail, "may boil, smoke and set rags alight:"
	case d.PeakHighC >= smokeC:
		d.Verdict, what = check.Fail, "may smoke and soften its pail:"
	case d.PeakHighC >= scaldC:
		d.Verdict, what = check.Caution, "may get too hot to touch:"
	}
	d.Finding = fmt.Sprintf("%s left in a %.0f mm pail at %.0f °C with %.2f %% %s about %.0f °C after %.0f min "+
		"(%.0f to %.0f, boiling left out)", massInWords(l.KG), l.DiameterMM, l.AirC, l.Pct, what, d.PeakC, d.PeakMin, d.PeakLowC, d.PeakHighC)
	if d.Verdict == check.Pass {
		return d, nil
	}
	if err := d.safe(ctx, hottest); err != nil {
		return Danger{}, err
	}
	sand := sandFigure(hottest.k, l)
	d.SandVolumes = math.Ceil(sand.Value)
	d.Figures = append(d.Figures, sand)
	d.remedies()
	return d, nil
}

// safe finds how much may be left, and how deep it may be spread.
func (d *Danger) safe(ctx context.Context, a leaving) error {
	leastKG := math.Min(leastRestKG, d.KG/2)
	critical, err := a.critical(ctx, a.lumped(leastKG), a.lumped(d.KG), a.spread(leastDepth), a.spread(mostDepth))
	if err != nil {
		return err
	}
	d.SafeKG, err = a.most(ctx, a.lumped, leastKG, d.KG, critical)
	if err != nil {
		return err
	}
	mm, err := a.most(ctx, a.spread, leastDepth, mostDepth, critical)
	d.SafeDepthMM = math.Floor(mm/depthStepMM) * depthStepMM
	return err
}

// critical is about the loss over heat capacity, 1/s, below which a body scalds, between those of
// the bodies: as heat and capacity are both by mass, nothing else tells bodies of one mix apart.
func (a leaving) critical(ctx context.Context, bodies ...body) (float64, error) {
	least, most := math.Inf(1), 0.0
	for _, b := range bodies {
		least, most = math.Min(least, b.lossWPerK/b.capJPerK), math.Max(most, b.lossWPerK/b.capJPerK)
	}
	rise := a.k.AdiabaticK()
	for most/least > guessRatio {
		mid := math.Sqrt(least * most)
		hot, err := a.heats(ctx, rise, mid, guessTol)
		if err != nil {
			return 0, err
		}
		if hot {
			least = mid
		} else {
			most = mid
		}
	}
	return math.Sqrt(least * most), nil
}

// most is the most of lo to hi that does not scald, known to restRatio; 0 when lo does. The more
// there is, the sooner it scalds: so where the search by the critical loss ends at a safe one and
// at one that scalds, the search by scalds itself, which takes five times as long, ends there too.
func (a leaving) most(ctx context.Context, of func(v float64) body, lo, hi, critical float64) (float64, error) {
	known := func(v float64) (bool, error) { return a.scalds(ctx, of(v)) }
	safe, hot, err := between(func(v float64) (bool, error) { b := of(v); return b.lossWPerK/b.capJPerK < critical, nil }, lo, hi)
	if err != nil {
		return 0, err
	}
	sure := true
	if safe > 0 {
		is, err := known(safe)
		if err != nil {
			return 0, err
		}
		sure = !is
	}
	if sure && hot > 0 {
		if sure, err = known(hot); err != nil {
			return 0, err
		}
	}
	if !sure {
		safe, _, err = between(known, lo, hi)
	}
	return safe, err
}

// between narrows lo to hi down to restRatio: the greatest seen that is not hot, 0 when lo is,
// and the least seen that is, 0 when hi is not.
func between(isHot func(v float64) (bool, error), lo, hi float64) (safe, hot float64, err error) {
	if is, err := isHot(lo); err != nil || is {
		return 0, lo, err
	}
	if is, err := isHot(hi); err != nil || !is {
		return hi, 0, err
	}
	for hi/lo > restRatio {
		mid := math.Sqrt(lo * hi)
		is, err := isHot(mid)
		if err != nil {
			return 0, 0, err
		}
		if is {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo, hi, nil
}

func (d *Danger) remedies() {
	water := math.Ceil(d.SandVolumes * sandKGPerL * sandHeat / waterHeat)
	text := fmt.Sprintf("before it gels, outdoors, stir it into %.0f times its volume of dry sand or pour it into %.0f times its volume of "+
		"water", d.SandVolumes, water)
	if d.SafeDepthMM >= worthMM {
		text += fmt.Sprintf(", or spread it no deeper than %.1f mm", d.SafeDepthMM)
	}
	// That leavings are cured on purpose, in the open, is told by a public guide (Minnesota Pollution Control Agency, Hazardous Waste
	// Fact Sheet 4.50, 1997, read in part); none was found that names sand or water.
	text += " (common practice, no source; the volumes are worked out)"
	d.Remedies = []check.Remedy{{Text: text}, {Text: "once it is warm do not carry it: keep everybody away, and solvent and rags"},
		{Text: "mix only what is laid before it gels"}}
	if d.SafeKG >= worthKG {
		d.Remedies = append(d.Remedies, check.Remedy{Text: fmt.Sprintf("leave no more than %s in the pail", massInWords(d.SafeKG))})
	}
}

var sandHolds = working.MustFormula("n = (H·ρ/(60 − T) − cp·ρ)/(ρs·cs)")

// sandFigure is the volumes of sand to one of resin whose warming to 60 °C takes all the heat
// of its cure, none being lost.
func sandFigure(k Kinetics, l Left) *working.Figure {
	set := working.Source{Title: "kinetics " + k.Name, Clause: k.Standing, Standing: working.Assumed}
	sand := working.Source{Title: "dry sand, loose", Standing: working.Remembered}
	return sandHolds.Figure("volumes of dry sand to one of resin that keep it below 60 °C", "",
		working.Source{Title: "heat of cure shared with the sand, nothing lost", Standing: working.Derived},
		working.Constant("H", "heat of cure, the most", k.HeatKJPerKG, "kJ/kg", set),
		working.Measured("ρ", "density of resin", l.DensityKGPerL, "kg/l", "mix"),
		working.Measured("T", "air", l.AirC, "°C", "mix"),
		working.Constant("cp", "heat capacity", k.HeatCapacityKJPerKGK, "kJ/(kg·K)", set),
		working.Constant("ρs", "density of sand", sandKGPerL, "kg/l", sand),
		working.Constant("cs", "heat capacity of sand", sandHeat, "kJ/(kg·K)", sand))
}

// massInWords is "4.0 kg", or "100 g" below half a kilogram.
func massInWords(kg float64) string {
	if kg < 0.5 {
		return fmt.Sprintf("%.0f g", 1000*kg)
	}
	return fmt.Sprintf("%.1f kg", kg)
}

// later is the law with every gel later by ln in ln t.
func (g Gel) later(ln float64) Gel {
	g.Mean[0] += ln
	return g
}

// The cup that data sheets time: 100 g, as wide as deep (from memory).
const sheetCupKG, sheetCupDensity = 0.1, 1.1

// Timed is [Kinetics.Matched] for what stands in a pail: the law's gel is that of the sheet's
// own cup, which has warmed itself by then, so that a cup gels when the law says, and a pail
// hardly sooner.
func (k Kinetics) Timed(ctx context.Context, g Gel, tempC, pct float64) (Kinetics, error) {
	m := k.Matched(g, tempC, pct)
	ln, _ := g.predict(tempC, pct)
	want := elementary.Exp(ln)
	for range cupRounds {
		r, err := m.Bucket(ctx, Bucket{KG: sheetCupKG, DensityKGPerL: sheetCupDensity, AirC: tempC, StartC: tempC, EndMin: 2 * want}, pct)
		if err != nil {
			return m, err
		}
		f := want / r.GelMin
		m.K1PerS, m.K2PerS, m.InductionS = m.K1PerS/f, m.K2PerS/f, m.InductionS*f
	}
	return m, nil
}

// cupRounds of scaling bring the cup to the law within a thousandth.
const cupRounds = 2
