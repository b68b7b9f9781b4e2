package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/elementary"
	"gelwright/working"
)

// Goal is what a mix has to do.
type Goal struct {
	// LayMin is the expected time from mixing until the last of it is rolled out, with
	// LayCV its spread as a share: 0.2 when 0.
	LayMin, LayCV float64
	// Ready is the milestone that must be reached ByMin after mixing: safe from rain
	// before the shower, hard before the dew.
	Ready Milestone
	ByMin float64
	// LaidTarget and ReadyTarget are the chances wanted: 0.95 and 0.90 when 0.
	LaidTarget, ReadyTarget float64
	// ResinKGPerM2 of the film, KG in the bucket and its density.
	ResinKGPerM2, KG, DensityKGPerL float64
	// Base is the deck's temperature from mixing on; readings before minute 0 let an
	// earlier start be weighed.
	Base []Reading
	// Members are further courses, of a weather ensemble: the chance of being ready is
	// then the mean over them.
	Members [][]Reading
	// SunK is how much of the deck's temperature is sun, which shade would take away; 0
	// when not known.
	SunK float64
}

func (q Goal) filled() (Goal, error) {
	for _, d := range []struct {
		v   *float64
		def float64
	}{{&q.LayCV, 0.2}, {&q.LaidTarget, 0.95}, {&q.ReadyTarget, 0.90}, {&q.DensityKGPerL, 1.1}} {
		if *d.v == 0 {
			*d.v = d.def
		}
	}
	switch {
	case !(q.LayMin > 0) || math.IsInf(q.LayMin, 0):
		return q, fmt.Errorf("cure: %g minutes to lay the mix: give more than 0", q.LayMin)
	case !(q.ByMin > 0) || math.IsInf(q.ByMin, 0):
		return q, fmt.Errorf("cure: %s by %g min: give the minutes from mixing to the deadline", q.Ready, q.ByMin)
	case !(q.LaidTarget > 0 && q.LaidTarget < 1 && q.ReadyTarget > 0 && q.ReadyTarget < 1):
		return q, fmt.Errorf("cure: chances of %g and %g wanted: give shares below 1", q.LaidTarget, q.ReadyTarget)
	case !(q.LayCV > 0 && q.LayCV < 2):
		return q, fmt.Errorf("cure: a spread of laying of %g: give about 0.2", q.LayCV)
	case q.Ready < 0 || q.Ready >= milestones:
		return q, fmt.Errorf("cure: %s is no milestone", q.Ready)
	case !(q.KG > 0):
		return q, fmt.Errorf("cure: a mix of %g kg: give more than 0", q.KG)
	case !(q.SunK >= 0 && q.SunK < 60):
		return q, fmt.Errorf("cure: %g K of sun: give 0 to 60", q.SunK)
	}
	for _, m := range q.Members {
		if err := checkProfile(m); err != nil {
			return q, err
		}
	}
	return q, checkProfile(q.Base)
}

// Technique is how a mix is worked.
type Technique string

const (
	// FromBucket: the mix stays in its bucket while it is used, and heats itself.
	FromBucket Technique = "from the bucket"
	// PouredOut: poured on the mat at once and rolled out from there.
	PouredOut Technique = "poured out at once and rolled"
)

// Option is one dose and technique with its two chances.
type Option struct {
	Pct       float64   `json:"pct"`
	Technique Technique `json:"technique"`
	// Gel is the pot life that way.
	Gel Range `json:"gel"`
	// Laid is the chance of being laid before it gels, Ready that of the milestone by
	// the deadline.
	Laid  float64 `json:"laid"`
	Ready float64 `json:"ready"`
	// Meets both targets.
	Meets bool `json:"meets"`
}

// Measure is a change and what it would do.
type Measure struct {
	Text  string `json:"text"`
	Best  Option `json:"best"`
	Works bool   `json:"works"`
}

// MixAdvice is the frontier of doses, the choice, and measures.
type MixAdvice struct {
	// Frontier by dose, for each technique: as the dose rises, Laid falls and Ready rises.
	Frontier []Option `json:"frontier"`
	// Chosen is the option to use; when none meets both, the one that comes nearest.
	Chosen Option `json:"chosen"`
	// Measures are weighed only when none meets both, and those that work come first.
	Measures []Measure       `json:"measures,omitempty"`
	Figure   *working.Figure `json:"-"`
}

const (
	mostDoses = 13   // weighed between the least and the greatest
	pastGel   = 1.01 // a run is followed this far beyond the likely gel
	shares    = 100  // chances that agree to the hundredth are as good as each other
	inBucket  = 10   // puts every option from the bucket before those poured out
)

// Grade is another resin that could be used instead.
type Grade struct {
	Name  string
	Table *Table
}

// doses returns up to thirteen doses from least to most, in about even ratio and in
// steps that a dispenser can follow.
func doses(least, most float64) []float64 {
	var out []float64
	for _, p := range even(least, most, mostDoses, true) {
		p = math.Max(least, math.Min(most, math.Round(p/doseStep)*doseStep))
		p = math.Round(p*doseDecimals) / doseDecimals
		if len(out) == 0 || p > out[len(out)-1] {
			out = append(out, p)
		}
	}
	return out
}

// Frontier weighs, for every allowed dose, the chance that the mix is laid before it
// gels against the chance that it is ready by the deadline.
//
// Laying and gel times are log-normal. k gives how much sooner a bucket gels by its own
// heat. The choice is made among options that meet both targets: from the bucket if
// that will do, and there the greatest product of chances; of those that are as good to
// one case in a hundred, the one nearest the usual dose. When none does, a [Refusal]
// comes with the advice, and names the measures that would; grades are further resins.
func Frontier(ctx context.Context, t *Table, k Kinetics, goal Goal, grades ...Grade) (MixAdvice, error) {
	q, err := goal.filled()
	if err != nil {
		return MixAdvice{}, err
	}
	w := weigher{ctx: ctx, t: t, k: k}
	var advice MixAdvice
	if advice.Frontier, err = w.options(q); err != nil {
		return MixAdvice{}, err
	}
	advice.Chosen = choose(advice.Frontier, q)
	advice.Figure = chosenFigure(advice.Chosen, q)
	if advice.Chosen.Meets {
		return advice, nil
	}
	if advice.Measures, err = w.measures(q, grades); err != nil {
		return MixAdvice{}, err
	}
	c := advice.Chosen
	r := refuse(ErrNoAim,
		fmt.Sprintf("at best %.2f %%, %s: laid before it gels in %.0f of 100 cases (%.0f wanted), %s within %.1f h in %.0f (%.0f wanted)",
			c.Pct, c.Technique, 100*c.Laid, 100*q.LaidTarget, q.Ready.Done(), q.ByMin/60, 100*c.Ready, 100*q.ReadyTarget))
	for _, m := range advice.Measures {
		if m.Works {
			r.Remedies = append(r.Remedies,
				remedy(fmt.Sprintf("%s (then %.2f %%, %s: %.0f and %.0f of 100)", m.Text, m.Best.Pct, m.Best.Technique, 100*m.Best.Laid,
					100*m.Best.Ready)))
		}
	}
	r.Remedies = append(r.Remedies, remedy("wait for another day"))
	return advice, r
}

type weigher struct {
	ctx context.Context
	t   *Table
	k   Kinetics
}

func (w *weigher) options(q Goal) ([]Option, error) {
	var bucket, poured []Option
	law := &w.t.Law
	startC := tempAt(q.Base, 0)
	σp := math.Sqrt(math.Log(1 + q.LayCV*q.LayCV))
	for _, pct := range doses(law.MinPct, law.MaxPct) {
		gel, err := w.t.Under(AtGel, q.Base, pct, q.ResinKGPerM2)
		if err != nil {
			return nil, err
		}
		ready, err := w.ready(q, pct)
		if err != nil {
			return nil, err
		}
		m, err := w.k.Timed(w.ctx, *law, startC, pct)
		if err != nil {
			return nil, err
		}
		// Only whether it gels sooner is asked: the run need not go through the heat after it.
		run, err := m.Bucket(w.ctx, Bucket{KG: q.KG, DensityKGPerL: q.DensityKGPerL, AirC: startC, StartC: startC,
			EndMin: pastGel * law.likely(startC, pct)}, pct)
		if err != nil {
			return nil, err
		}
		sooner := math.Min(1, run.GelMin/law.likely(startC, pct))
		for _, o := range []Option{{Pct: pct, Technique: FromBucket, Gel: gel.times(sooner)}, {Pct: pct, Technique: PouredOut, Gel: gel}} {
			σg := math.Log(o.Gel.HighMin/o.Gel.LowMin) / (2 * z95)
			gap := math.Log(o.Gel.LikelyMin/q.LayMin) + σp*σp/2
			o.Laid = 0.5 * elementary.Erfc(-gap/math.Hypot(σp, σg)/math.Sqrt2)
			o.Ready = ready
			o.Meets = o.Laid >= q.LaidTarget && o.Ready >= q.ReadyTarget
			if o.Technique == FromBucket {
				bucket = append(bucket, o)
			} else {
				poured = append(poured, o)
			}
		}
	}
	return append(bucket, poured...), nil
}

// ready is the chance of the milestone by the deadline, over the members if there are any.
func (w *weigher) ready(q Goal, pct float64) (float64, error) {
	members := q.Members
	if len(members) == 0 {
		members = [][]Reading{q.Base}
	}
	c, err := w.t.Curve(q.Ready, pct, q.ResinKGPerM2)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, m := range members {
		r, err := c.Under(m)
		if err != nil {
			return 0, err
		}
		sum += r.Chance(q.ByMin)
	}
	return sum / float64(len(members)), nil
}

// choose takes the best option that meets both targets, from the bucket first;
// otherwise the one whose worse shortfall is least.
func choose(all []Option, q Goal) Option {
	best, score := Option{}, math.Inf(-1)
	unusual := func(o Option) float64 { return math.Abs(math.Log(o.Pct / refPct)) }
	for _, o := range all {
		s := math.Min(o.Laid-q.LaidTarget, o.Ready-q.ReadyTarget)
		if o.Meets {
			s = 1 + math.Round(shares*o.Laid*o.Ready)/shares
			if o.Technique == FromBucket {
				s += inBucket
			}
		}
		if s > score || s == score && o.Meets && unusual(o) < unusual(best) {
			best, score = o, s
		}
	}
	return best
}

// warmerK is what a tent and warm resin are taken to give.
const warmerK = 5.0

// measures weighs single changes, and pairs with a smaller mix, and puts those that work first.
func (w *weigher) measures(q Goal, grades []Grade) ([]Measure, error) {
	type change struct {
		text string
		do   func(Goal) Goal
		with *weigher
	}
	smaller := func(n float64) func(Goal) Goal {
		return func(q Goal) Goal { q.LayMin, q.KG = q.LayMin/n, q.KG/n; return q }
	}
	warmer := func(dK, fromMin float64) func(Goal) Goal {
		return func(q Goal) Goal {
			q.Base, q.ByMin = shifted(q.Base, fromMin, dK), q.ByMin+fromMin
			members := make([][]Reading, len(q.Members))
			for i, m := range q.Members {
				members[i] = shifted(m, fromMin, dK)
			}
			q.Members = members
			return q
		}
	}
	singles := []change{{"mixes of half the size", smaller(2), w}, {"mixes of a third of the size", smaller(3), w}}
	if q.SunK > 0 {
		singles = append(singles, change{fmt.Sprintf("shade on the deck, %.0f K cooler", q.SunK), warmer(-q.SunK, 0), w})
	}
	for _, hours := range []float64{1, 2, 3} {
		if q.Base[0].Min <= -60*hours {
			singles = append(singles, change{fmt.Sprintf("start %.0f h earlier", hours), warmer(0, 60*hours), w})
		}
	}
	singles = append(singles, change{fmt.Sprintf("a tent and warmed resin, %.0f K warmer", warmerK), warmer(warmerK, 0), w})
	for _, g := range grades {
		if g.Table != nil {
			singles = append(singles, change{g.Name, func(q Goal) Goal { return q }, &weigher{w.ctx, g.Table, w.k}})
		}
	}
	all := singles
	for _, c := range singles[2:] {
		all = append(all, change{c.text + ", and " + singles[0].text, func(q Goal) Goal { return smaller(2)(c.do(q)) }, c.with})
	}
	var works, fails []Measure
	for i, c := range all {
		if i == len(singles) && len(works) > 0 {
			break // pairs only when nothing single helps
		}
		changed := c.do(q)
		options, err := c.with.options(changed)
		if err != nil {
			if w.ctx.Err() != nil {
				return nil, err
			}
			continue // that change leaves the limits: it does not help
		}
		m := Measure{Text: c.text, Best: choose(options, changed)}
		if m.Works = m.Best.Meets; m.Works {
			works = append(works, m)
		} else {
			fails = append(fails, m)
		}
	}
	return append(works, fails...), nil
}

// shifted is a profile seen from a start earlierMin before, warmer by dK.
func shifted(p []Reading, earlierMin, dK float64) []Reading {
	out := make([]Reading, len(p))
	for i, r := range p {
		out[i] = Reading{r.Min + earlierMin, r.TempC + dK}
	}
	return out
}

var (
	gelOnDeck   = working.Method("tg", "gel law under the deck's temperature as it changes")
	chanceLaid  = working.Method("P1", "P(tl < tg)")
	chanceReady = working.Method("P2", "P(t < td)")
	bestOption  = working.Method("c", "both chances at their targets, then the greatest product to 1 in 100, then nearest the usual dose")
)

func chosenFigure(o Option, q Goal) *working.Figure {
	logn := working.Source{Title: "laying and gel times log-normal, their spreads from crew and gel law", Standing: working.Derived}
	in := []*working.Figure{
		working.Measured("tl", "minutes to lay the mix", q.LayMin, "min", "the goal"),
		working.AssumedFigure("v", "spread of laying", q.LayCV, "", "as crews vary"),
		working.Measured("td", q.Ready.String()+" by", q.ByMin, "min", "the goal"),
		gelOnDeck.Run("gel, "+string(o.Technique), o.Gel.LikelyMin, "min", arrhenius,
			working.Measured("ct", "dose tried", o.Pct, "%", "the frontier")).Between(o.Gel.LowMin, o.Gel.HighMin),
	}
	laid := chanceLaid.Run("chance of being laid before it gels", o.Laid, "", logn, in...)
	ready := chanceReady.Run("chance of "+q.Ready.String()+" in time", o.Ready, "", logn, in...)
	return bestOption.Run("catalyst by mass of resin, "+string(o.Technique), o.Pct, "%", byMass, laid, ready)
}
