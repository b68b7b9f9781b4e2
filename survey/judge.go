package survey

import (
	"math"
	"slices"
	"strconv"
)

const (
	// critical is the normal deviate exceeded once in a thousand, both sides (Baarda's significance of single measurements).
	critical = 3.2905
	// noncentral is the shift of a normal deviate that is noticed at critical four times in five: √λ₀ = 3.2905 + 0.8416 (Baarda 1968).
	noncentral = 4.1321
	// globalRisk is how often the weighted squares of a sound survey exceed their limit.
	globalRisk = 0.05
	// slight is the redundancy below which a measurement counts as checked by nothing (W. Förstner 1985: below 0.1 poor).
	slight = 0.1
	// unsquareDeg is the standard deviation of a corner that is not believed to be square.
	unsquareDeg = 10.0
)

// redundancy of row i: 1 less the part of its variance that the adjustment could not take away.
func (a *adjusted) redundancy(i int) float64 {
	r := &a.obs[i]
	return max(0, 1-a.variance(r)/(r.sd*r.sd))
}

// judge fills in what the adjustment says of each measurement.
func (a *adjusted) judge() []Judged {
	out := make([]Judged, len(a.obs))
	for i := range a.obs {
		m, r := &a.n.Measurements[i], &a.obs[i]
		part := a.redundancy(i)
		j := Judged{Name: m.Name(), Assumed: m.Assumed, Angle: m.Kind == Angle, Value: m.Value, SD: m.SD,
			Adjusted: m.Value - r.misfit*m.scale(), Redundancy: part, Checked: Unchecked}
		if part > 1e-9 {
			root := math.Sqrt(part)
			j.Normalised = r.misfit / (r.sd * root)
			j.LeastBlunder = noncentral * m.SD / root
		} else {
			j.Redundancy = 0
		}
		out[i] = j
	}
	return out
}

// spare is the number of measurements beyond those needed: coordinates less the three movements.
func (n *Network) spare(points int) int { return len(n.Measurements) - (2*points - 3) }

// closes holds the adjustment against both tests.
func closes(spare int, sum float64, judged []Judged) (limit float64, ok bool) {
	if spare > 0 {
		limit = chiSquaredLimit(globalRisk, spare)
	}
	ok = spare <= 0 || sum <= limit
	for _, j := range judged {
		ok = ok && math.Abs(j.Normalised) <= critical
	}
	return limit, ok
}

// suspects are the measurements that would explain the misclosure best: the one with the greatest normalised residual, and those that
// nothing tells apart from it, because their residuals rise and fall together.
func (a *adjusted) suspects(judged []Judged) []int {
	worst := -1
	for i, j := range judged {
		if j.Redundancy > 0.001 && (worst < 0 || math.Abs(j.Normalised) > math.Abs(judged[worst].Normalised)) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	out := []int{worst}
	for i, j := range judged {
		if i == worst || j.Redundancy <= 0.001 {
			continue
		}
		together := a.covariance(&a.obs[i], &a.obs[worst]) / (a.obs[i].sd * a.obs[worst].sd * math.Sqrt(j.Redundancy*judged[worst].Redundancy))
		if math.Abs(together) > 0.98 || math.Abs(j.Normalised) > 0.97*math.Abs(judged[worst].Normalised) {
			out = append(out, i)
		}
	}
	// A length was misread before a corner that looks square is out.
	slices.SortStableFunc(out, func(i, k int) int { return assumedLast(judged[i], judged[k]) })
	return out
}

func assumedLast(a, b Judged) int {
	switch {
	case a.Assumed == b.Assumed:
		return 0
	case b.Assumed:
		return -1
	}
	return 1
}

// slip names the usual misreading that turns instead into value, or nothing.
func slip(value, instead float64) string {
	const near = 0.012
	gone := math.Abs(value - instead)
	for _, whole := range []struct {
		by    float64
		words string
	}{{1, "a whole metre"}, {0.1, "ten centimetres"}, {0.5, "half a metre"}} {
		if math.Abs(gone-whole.by) < near {
			return whole.words
		}
	}
	a, b := centimetres(value), centimetres(instead)
	if len(a) == len(b) && a != b {
		for i := range len(a) - 1 {
			changed := a[:i] + string(a[i+1]) + string(a[i]) + a[i+2:]
			if n, err := strconv.Atoi(changed); err == nil && math.Abs(float64(n)/100-instead) < near {
				return "two digits changed round"
			}
		}
	}
	return ""
}

func centimetres(m float64) string { return strconv.Itoa(int(math.Round(m * 100))) }
