package cure

import (
	"fmt"

	"gelwright/working"
)

var (
	arrhenius  = working.Source{Title: "Arrhenius law with a power of the dose, fitted to gel points", Standing: working.Derived}
	byMass     = working.Source{Title: "catalyst is dosed in per cent by mass of resin", Standing: working.Derived}
	massVolume = working.Source{Title: "mass, volume and density", Standing: working.Derived}
)

var (
	// gelLaw has T0 = 20 °C, c0 = 2 % and the gas constant in kJ/(mol·K).
	gelLaw = working.MustFormula("t = exp(a + E/0.008314462618·(1/(T + 273.15) − 1/293.15) − n·ln(c/2))")
	// workedByBoth has the three minutes that rolling out takes at least.
	workedByBoth = working.MustFormula("t = min(tp, tp·(1 − max(tm, 3)/td) + tm)")
	milestoneOf  = working.Method("t", "α(t) reaches its threshold; heat of cure conducted into the deck")
)

// Working returns the gel time as a figure with its law, parameters, spreads and
// conditions below it. where says who gave the conditions.
func (g Gel) Working(tempC, catalystPct float64, where string) (*working.Figure, error) {
	r, err := g.Time(tempC, catalystPct)
	if err != nil {
		return nil, err
	}
	return g.figure(r, working.Measured("T", "temperature of resin and deck", tempC, "°C", where),
		working.Measured("c", "catalyst by mass of resin", catalystPct, "%", where)), nil
}

// WorkedWith returns the gel that a mix is timed by, see [Gel.Mixed], as a figure with its laws
// below it. where says who gave the conditions.
func (g Gel) WorkedWith(at Temps, pct, marginMin float64, where string) (*working.Figure, error) {
	m, err := g.Mixed(at, pct, marginMin)
	if err != nil {
		return nil, err
	}
	of := func(name string, tempC float64) *working.Figure {
		return working.Measured("T", name, tempC, "°C", where)
	}
	return g.worked(m, at, working.Measured("c", "catalyst by mass of resin", pct, "%", where),
		working.Measured("tm", "margin kept before gel", marginMin, "min", where), of), nil
}

// worked is the gel that a mix is timed by; of makes the figure of a temperature.
func (g *Gel) worked(m Mixed, at Temps, pct, margin *working.Figure, of func(string, float64) *working.Figure) *working.Figure {
	pail, warm := m.Pail, at.warmest()
	if warm <= at.ResinC {
		name := "temperature of the resin in its pail"
		if at.ResinC == at.DeckC {
			name = "temperature of resin and deck"
		}
		return g.figure(pail, of(name, at.ResinC), pct)
	}
	deck, _ := g.Time(warm, pct.Value)
	return workedByBoth.Figure("gel that the mix is timed by", "min",
		working.Source{Title: "equivalent age: the last out of the pail keeps its margin on the deck", Standing: working.Derived},
		g.figure(pail, of("temperature of the resin in its pail", at.ResinC), pct).As("tp"),
		g.figure(deck, of("temperature of the deck, at the warmest", warm), pct).As("td"), margin.As("tm")).
		Between(m.Gel.LowMin, m.Gel.HighMin)
}

func (g *Gel) figure(r Range, tempC, pct *working.Figure) *working.Figure {
	evidence := working.Source{Title: g.Evidence, Clause: g.Resin, Standing: g.Standing}
	sd := func(i int) (lo, hi float64) {
		h := z95 * sqrt(g.Cov[i][i])
		return g.Mean[i] - h, g.Mean[i] + h
	}
	param := func(i int, symbol, name, unit string) *working.Figure {
		lo, hi := sd(i)
		return working.Constant(symbol, name, g.Mean[i], unit, evidence).Between(lo, hi)
	}
	f := gelLaw.Figure("gel time of "+g.Resin, "min", arrhenius,
		param(0, "a", "ln of the gel time in minutes at 20 °C and 2 %", ""), param(1, "E", "activation energy of the gel", "kJ/mol"),
		param(2, "n", "dose exponent", ""),
		tempC.As("T"), pct.As("c")).Between(r.LowMin, r.HighMin)
	note := fmt.Sprintf(
		"the range holds nine gels in ten of the test mass (spread of ln t between drums %s, of one gel on site %s, assumed until gels on "+
			"site are logged); a timed cup on site outranks it",
		working.Number(g.DrumSD), working.Number(g.NoiseSD))
	if g.Extrapolated(tempC.Value, pct.Value) {
		note = "beyond the evidence, so the range is wide; " + note
	}
	return f.Noting(note)
}

// MilestoneFigure is the time to a milestone with what it rests on: the gel law, the
// kinetics and the threshold, each with its standing. gel is the gel time's own figure.
func MilestoneFigure(m Milestone, r Range, gel *working.Figure, k Kinetics, th Thresholds) *working.Figure {
	set := working.Source{Title: "kinetics " + k.Name, Clause: k.Standing, Standing: working.Assumed}
	in := []*working.Figure{gel, working.Constant("α", "conversion at "+m.String(), th.alpha(m, &k), "", th.Standing),
		working.Choice("rate of cure", "(k1 + k2·α^m)(1−α)^n / (1 + exp(C(α−αc))) after an induction", set)}
	f := milestoneOf.Run(m.String(), r.LikelyMin, "min",
		working.Source{Title: "kinetics scaled to the gel law, on a conducting deck", Standing: working.Derived}, in...).Between(r.LowMin,
		r.HighMin)
	note := "nine cases in ten; thresholds are the trade's habit, not a measurement: try with thumb-nail and acetone before relying on it"
	if l := th.LatestMin[m]; l > 0 && r.LikelyMin >= l {
		note = working.Number(l/60) + " h are taken as the most whatever the temperature; " + note
	}
	if e := th.EarliestMin[m]; e > 0 && r.LikelyMin <= e {
		note = working.Number(e/60) + " h are taken as the least, since a laminate without wax stays tacky by the air; " + note
	}
	return f.Noting(note)
}
