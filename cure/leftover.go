package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/working"
)

// Temperatures at which a bucket of curing resin becomes dangerous, °C (from memory,
// to be confirmed).
const (
	// worthKG: a safe rest smaller than this is no advice.
	worthKG = 0.05
	// scaldC: skin burns at once.
	scaldC = 60.0
	// smokeC: it smokes, stinks of styrene, and thin plastic pails soften.
	smokeC = 100.0
	// boilC is the boiling point of styrene.
	boilC = 145.0
)

const (
	leastRestKG = 0.002 // the search for a safe rest begins here
	restRatio   = 1.02  // and ends when it is known so well
)

// Danger is what a mix left standing does.
type Danger struct {
	KG      float64
	GelMin  float64
	PeakC   float64
	PeakMin float64
	Runaway bool
	// SafeKG is the most that, left in the same way, stays below 60 °C; 0 when even
	// 2 g do not.
	SafeKG float64
	// Verdict: Pass below 60 °C, Caution below 100 °C, Fail above.
	Verdict  check.Verdict
	Finding  string
	Remedies []check.Remedy
	Source   working.Source
	Figures  []*working.Figure
}

// LeftOver says what becomes of kg of mix, of a density, left in a bucket in air of
// airC: how hot, when, and how much may be left.
func (k Kinetics) LeftOver(ctx context.Context, kg, densityKGPerL, pct, airC float64) (Danger, error) {
	run := func(kg float64) (BucketRun, Bucket, error) {
		b := Bucket{KG: kg, DensityKGPerL: densityKGPerL, AirC: airC, StartC: airC}
		r, err := k.Bucket(ctx, b, pct)
		return r, b, err
	}
	r, b, err := run(kg)
	if err != nil {
		return Danger{}, err
	}
	d := Danger{KG: kg, GelMin: r.GelMin, PeakC: r.PeakC, PeakMin: r.PeakMin, Runaway: r.Runaway(), SafeKG: kg, Verdict: check.Pass,
		Source: working.Source{Title: "scald, smoke and boiling temperatures", Standing: working.Remembered}, Figures: r.Figures(k, b, pct)}
	if r.PeakC >= scaldC {
		lo, hi := math.Min(leastRestKG, kg/2), kg
		if low, _, err := run(lo); err != nil {
			return Danger{}, err
		} else if low.PeakC >= scaldC {
			d.SafeKG = 0
		} else {
			for hi/lo > restRatio {
				mid := math.Sqrt(lo * hi)
				m, _, err := run(mid)
				if err != nil {
					return Danger{}, err
				}
				if m.PeakC < scaldC {
					lo = mid
				} else {
					hi = mid
				}
			}
			d.SafeKG = lo
		}
	}
	what := "warms"
	switch {
	case r.PeakC >= boilC:
		d.Verdict, what = check.Fail, "boils, smokes and can set rags alight,"
	case r.PeakC >= smokeC:
		d.Verdict, what = check.Fail, "smokes and softens its pail,"
	case r.PeakC >= scaldC:
		d.Verdict, what = check.Caution, "gets too hot to touch,"
	}
	d.Finding = fmt.Sprintf("%.1f kg left in the bucket at %.0f °C with %.2f %% %s at about %.0f °C, %.0f min after mixing", kg, airC, pct,
		what, r.PeakC, r.PeakMin)
	if d.Verdict != check.Pass {
		d.Remedies = []check.Remedy{
			{Text: "pour it out thin, 10 mm at most, in a metal tray outdoors, away from solvent, rags and people"},
			{Text: "mix only what is laid before it gels"},
		}
		if d.SafeKG >= worthKG {
			d.Remedies = append(d.Remedies, check.Remedy{Text: fmt.Sprintf("leave no more than %.2g kg together", d.SafeKG)})
		}
	}
	return d, nil
}
