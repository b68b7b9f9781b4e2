package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// WithCup returns the law after a test cup of today's drum was timed: it gelled in
// timedMin at tempC with catalystPct. A timed cup outranks the sheet: the level moves
// nearly all the way to it, E and n a little, and the spread between drums is gone,
// since this is the drum.
//
// The cup must be small (100 g or so in a wide cup), so that it does not heat itself,
// and at the site's temperature.
func (g Gel) WithCup(tempC, catalystPct, timedMin float64) (Gel, error) {
	if !(timedMin > 0) || math.IsInf(timedMin, 0) {
		return Gel{}, fmt.Errorf("cure: a test cup of %g min: give the minutes from mixing to gel", timedMin)
	}
	if err := g.Allowed(tempC, catalystPct); err != nil {
		return Gel{}, err
	}
	out := g
	out.Drums = append([]Drum(nil), g.Drums...)
	cov := g.Cov
	cov[0][0] += g.DrumSD * g.DrumSD
	x := regressors(tempC, catalystPct)
	var cx [3]float64
	for i := range cx {
		cx[i] = dot(cov[i], x)
	}
	s := dot(x, cx) + cupNoise*cupNoise
	miss := math.Log(timedMin) - dot(x, g.Mean)
	for i := range cx {
		out.Mean[i] += cx[i] / s * miss
		for j := range cx {
			out.Cov[i][j] = cov[i][j] - cx[i]*cx[j]/s
		}
	}
	if !(out.Mean[1] > 0 && out.Mean[2] > 0) {
		return Gel{}, fmt.Errorf("cure: a cup that gelled in %.0f min at %g °C and %g %% does not fit %s: time another cup and check the "+
			"resin's grade", timedMin, tempC, catalystPct, g.Resin)
	}
	out.DrumSD, out.Brand = 0, false
	out.see(tempC, catalystPct)
	out.Evidence = fmt.Sprintf("a test cup, %.0f min at %.1f °C and %.2f %%, over %s", timedMin, tempC, catalystPct, g.Evidence)
	out.Standing = working.Given
	return out, nil
}

// cupRemedy asks for a test cup where the brand is not known: what is refused for the earliest
// gel of any brand may well be laid with this one.
func (g *Gel) cupRemedy() []string {
	if !g.Brand {
		return nil
	}
	return []string{timeACup}
}

const timeACup = "time a test cup of today's resin: its brand is not known, so the earliest gel of any is reckoned with"

// CupSurprise says how far a cup lies from what was predicted, in standard
// deviations of the prediction; beyond 3 either way the drum, the thermometer or the
// jug is suspect.
func (g Gel) CupSurprise(tempC, catalystPct, timedMin float64) float64 {
	ln, half := g.predict(tempC, catalystPct)
	return (math.Log(timedMin) - ln) * z95 / half
}

// AsCup turns a gel seen in a bucket of kg into the gel of the sheet's cup, so that it can be
// learned from: by the ratio of the two in the kinetics.
func (k Kinetics) AsCup(ctx context.Context, g Gel, l GelLog, kg, densityKGPerL float64) (GelLog, error) {
	if err := g.Allowed(l.TempC, l.CatalystPct); err != nil {
		return GelLog{}, err
	}
	m, err := k.Timed(ctx, g, l.TempC, l.CatalystPct)
	if err != nil {
		return GelLog{}, err
	}
	ln, _ := g.predict(l.TempC, l.CatalystPct)
	cup := elementary.Exp(ln)
	run, err := m.Bucket(ctx, Bucket{KG: kg, DensityKGPerL: densityKGPerL, AirC: l.TempC, StartC: l.TempC, EndMin: 2 * cup}, l.CatalystPct)
	if err != nil {
		return GelLog{}, err
	}
	if !(run.GelMin > 0) || math.IsInf(run.GelMin, 0) {
		return GelLog{}, fmt.Errorf("cure: %g kg at %g °C does not gel in the model: log a cup instead", kg, l.TempC)
	}
	l.Min *= cup / run.GelMin
	return l, nil
}

func sqrt(v float64) float64 { return math.Sqrt(math.Max(0, v)) }
