package cure

import (
	"context"
	"fmt"
	"math"

	"gelwright/elementary"
)

// HardLog is a milestone seen on a roof.
type HardLog struct {
	Milestone Milestone `json:"milestone"`
	// Deck is its temperature by minutes from mixing.
	Deck         []Reading `json:"deck"`
	CatalystPct  float64   `json:"catalyst_pct"`
	ResinKGPerM2 float64   `json:"resin_kg_per_m2"`
	Min          float64   `json:"min"` // from mixing
}

// HardLearned says what hardening logs changed, by milestone.
type HardLearned struct {
	// Factor on the time to each milestone, and how many logs it rests on.
	Factor [milestones]float64
	Logs   [milestones]int
	// In the order of the entries: what each was allowed to say (about 1 for an ordinary
	// one), and whether it should be looked at.
	Weights  []float64
	Doubtful []bool
}

// LearnHardening returns the table with the time to each milestone moved by what was
// seen, and with its own spread narrowed. Each milestone has a factor whose logarithm is
// normal about 0 with the table's OwnSD; a reading differs from it by Student's t with 4
// degrees of freedom and the law's spread, so that one wrong entry moves little.
// Gels teach the law instead: see [Learn].
func (t *Table) LearnHardening(logs []HardLog) (Table, HardLearned, error) {
	out := *t
	report := HardLearned{Weights: make([]float64, len(logs)), Doubtful: make([]bool, len(logs))}
	for m := range report.Factor {
		report.Factor[m] = 1
	}
	var miss, sd [milestones][]float64
	var index [milestones][]int
	for i, l := range logs {
		if !(l.Min > 0) || math.IsInf(l.Min, 0) || l.Milestone <= AtGel || l.Milestone >= milestones {
			return Table{}, HardLearned{}, fmt.Errorf("cure: hardening log %d: %s after %g min: give a milestone after gel and its minutes", i+1, l.Milestone, l.Min)
		}
		free := *t
		free.LatestMin, free.EarliestMin = [milestones]float64{}, [milestones]float64{}
		r, err := free.Under(l.Milestone, l.Deck, l.CatalystPct, l.ResinKGPerM2)
		if err != nil {
			return Table{}, HardLearned{}, fmt.Errorf("cure: hardening log %d: %w", i+1, err)
		}
		m := l.Milestone
		miss[m] = append(miss[m], math.Log(l.Min/r.LikelyMin))
		sd[m] = append(sd[m], t.Law.SD(tempAt(l.Deck, 0), l.CatalystPct)*z95/t4q95)
		index[m] = append(index[m], i)
	}
	for m := Trim; m < milestones; m++ {
		n := len(miss[m])
		if n == 0 || !(t.OwnSD[m] > 0) {
			continue
		}
		prior := 1 / (t.OwnSD[m] * t.OwnSD[m])
		shift, v := 0.0, 1/prior
		weights := make([]float64, n)
		for range learnRounds {
			a, b := prior, 0.0
			for i, y := range miss[m] {
				s2 := sd[m][i] * sd[m][i]
				weights[i] = (noiseNu + 1) / (noiseNu + ((y-shift)*(y-shift)+v)/s2)
				a += weights[i] / s2
				b += weights[i] / s2 * y
			}
			moved := math.Abs(b/a - shift)
			shift, v = b/a, 1/a
			if moved < 1e-10 {
				break
			}
		}
		out.LnMin[m] = append([]float64(nil), t.LnMin[m]...)
		for i := range out.LnMin[m] {
			out.LnMin[m][i] += shift
		}
		out.OwnSD[m] = math.Sqrt(v)
		report.Factor[m], report.Logs[m] = elementary.Exp(shift), n
		for i, y := range miss[m] {
			at := index[m][i]
			report.Weights[at] = weights[i]
			report.Doubtful[at] = math.Abs(y-shift)/sd[m][i] > doubtfulMiss
		}
	}
	return out, report, nil
}

// AsCup turns a gel seen in a bucket of kg into the gel of a cup that does not heat
// itself, so that it can be learned from: by the ratio of the two in the kinetics.
func (k Kinetics) AsCup(ctx context.Context, g Gel, l GelLog, kg, densityKGPerL float64) (GelLog, error) {
	if err := g.Allowed(l.TempC, l.CatalystPct); err != nil {
		return GelLog{}, err
	}
	m := k.Matched(g, l.TempC, l.CatalystPct)
	cup := m.IsothermalMin(l.TempC, l.CatalystPct, m.GelAlpha)
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
