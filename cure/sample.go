package cure

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/elementary"
)

// Doubts are the uncertain inputs of a run besides the law itself. Zero values take
// the defaults, which are assumed; a negative value is none.
type Doubts struct {
	// DosePct is the standard deviation of the dose, in per cent of itself, from jug
	// and scale: 5.
	DosePct float64
	// TempK that of the temperature of resin and deck: 1.
	TempK float64
	// FilmPct that of the film's thickness, in per cent: 10.
	FilmPct float64
	// EyeLogit that of the thresholds in their logit: 0.15. Two people do not call
	// the same laminate hard.
	EyeLogit float64
	// ShapePct that of the time from gel to a milestone, in per cent: 15, because the
	// kinetics are fitted to habits of the trade and not measured.
	ShapePct float64
	// Bases are further courses of the deck's temperature, the members of a weather
	// ensemble: the cases go through them in turn, in place of Film.Base.
	Bases [][]Reading
}

func (d Doubts) filled() Doubts {
	for _, v := range []struct {
		v   *float64
		def float64
	}{{&d.DosePct, 5}, {&d.TempK, 1}, {&d.FilmPct, 10}, {&d.EyeLogit, eyeLogit}, {&d.ShapePct, 100 * shapeSD}} {
		switch {
		case *v.v < 0:
			*v.v = 0
		case *v.v == 0:
			*v.v = v.def
		}
	}
	return d
}

// Assumed spreads of what comes after gel.
const (
	eyeLogit = 0.15
	shapeSD  = 0.15
)

// halton returns the k-th point, k ≥ 1, of the radical inverse in a prime base.
func halton(k, base int) float64 {
	f, r := 1.0, 0.0
	for ; k > 0; k /= base {
		f /= float64(base)
		r += f * float64(k%base)
	}
	return r
}

// haltonBases for the eight uncertain inputs.
var haltonBases = [...]int{2, 3, 5, 7, 11, 13, 17, 19}

// skipped first points: the opening of the higher bases is a ramp.
const skipped = 20

// draw is one case of what is not known: standard normal numbers.
type draw struct{ a, e, n, dose, temp, film, eye, shape float64 }

// draws returns n cases, always the same ones.
func draws(n int) []draw {
	out := make([]draw, n)
	for i := range out {
		var z [len(haltonBases)]float64
		for j, b := range haltonBases {
			z[j] = math.Sqrt2 * math.Erfinv(2*halton(i+1+skipped, b)-1)
		}
		out[i] = draw{z[0], z[1], z[2], z[3], z[4], z[5], z[6], z[7]}
	}
	return out
}

// sampleLaw is the law of one case: drum and parameters drawn together.
func (g *Gel) sampleLaw(d draw) [3]float64 {
	v := g.Cov
	v[0][0] += g.DrumSD * g.DrumSD
	z := [3]float64{d.a, d.e, d.n}
	var l [3][3]float64
	out := g.Mean
	for i := range 3 {
		for j := 0; j <= i; j++ {
			s := v[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			switch {
			case i == j:
				l[i][i] = sqrt(s)
			case l[j][j] > 1e-12:
				l[i][j] = s / l[j][j]
			}
			out[i] += l[i][j] * z[j]
		}
	}
	out[1], out[2] = math.Max(out[1], leastE), math.Max(out[2], leastN)
	return out
}

// Sizes of a sample.
const usualCases, leastCases, mostCases = 64, 8, 100000

// A drawn law is no flatter than one that a file may bring: see [Gel.Check].
const leastE, leastN = 5, 0.05

// FilmRanges is a film with what is not known about it: 5, 50 and 95 % of the cases.
type FilmRanges struct {
	Hardening Hardenings
	PeakLow   float64
	PeakC     float64
	PeakHigh  float64
	Cases     int
}

// FilmRange runs a film in n cases (64 when 0) of law, drum, dose, temperature,
// thickness and eye, at the points of a Halton sequence, which are always the same.
//
// k is scaled to each case's law at the deck's temperature at mixing, that of Film.Base.
func FilmRange(ctx context.Context, g Gel, k Kinetics, f Film, pct float64, th Thresholds, doubts Doubts, n int) (FilmRanges, error) {
	if n == 0 {
		n = usualCases
	}
	if n < leastCases || n > mostCases {
		return FilmRanges{}, fmt.Errorf("cure: %d cases: give 8 to 100 000", n)
	}
	if f.Drive != nil {
		return FilmRanges{}, fmt.Errorf("cure: ranges of a film need its Base, not a Drive")
	}
	if err := f.check(); err != nil {
		return FilmRanges{}, err
	}
	if err := k.Check(); err != nil {
		return FilmRanges{}, err
	}
	startC := tempAt(f.Base, 0)
	if err := g.Allowed(startC, pct); err != nil {
		return FilmRanges{}, err
	}
	doubts = doubts.filled()
	var cases [milestones][]float64
	var peaks []float64
	for i, d := range draws(n) {
		law := g.sampleLaw(d)
		c := f
		if len(doubts.Bases) > 0 {
			c.Base = doubts.Bases[i%len(doubts.Bases)]
			if err := c.check(); err != nil {
				return FilmRanges{}, err
			}
		}
		c.Base = shifted(c.Base, 0, doubts.TempK*d.temp)
		scale := elementary.Exp(share(doubts.FilmPct) * d.film)
		c.ResinKGPerM2, c.GlassKGPerM2 = f.ResinKGPerM2*scale, f.GlassKGPerM2*scale
		dose := pct * elementary.Exp(share(doubts.DosePct)*d.dose)
		case1 := k.matched(elementary.Exp(dot(law, regressors(startC, pct))), law[1], law[2], startC, pct)
		// Bounds in time are laid over the case's spread, not into it.
		free := th.shifted(doubts.EyeLogit * d.eye)
		free.LatestMin, free.EarliestMin = [milestones]float64{}, [milestones]float64{}
		run, err := case1.Film(ctx, c, dose, free)
		if err != nil {
			return FilmRanges{}, err
		}
		gel, later := run.Hardening[AtGel], elementary.Exp(share(doubts.ShapePct)*d.shape)
		cases[AtGel] = append(cases[AtGel], gel)
		for m := Trim; m < milestones; m++ {
			min := gel + later*(run.Hardening[m]-gel)
			cases[m] = append(cases[m], th.held(m, min))
		}
		peaks = append(peaks, run.PeakC)
	}
	out := FilmRanges{Cases: n}
	for m := range milestones {
		out.Hardening[m].LowMin, out.Hardening[m].LikelyMin, out.Hardening[m].HighMin = fractiles(cases[m])
	}
	out.PeakLow, out.PeakC, out.PeakHigh = fractiles(peaks)
	return out, nil
}

// share is a percentage as a part of one.
func share(pct float64) float64 { return pct / 100 }

// fractiles sorts v and returns its 5, 50 and 95 %.
func fractiles(v []float64) (low, mid, high float64) {
	sort.Float64s(v)
	at := func(p float64) float64 {
		x := p*float64(len(v)) - 0.5
		i := math.Floor(x)
		if i < 0 {
			return v[0]
		}
		if int(i)+1 >= len(v) {
			return v[len(v)-1]
		}
		a, b := v[int(i)], v[int(i)+1]
		if math.IsInf(b, 1) {
			return b
		}
		return a + (b-a)*(x-i)
	}
	return at(0.05), at(0.5), at(0.95)
}
