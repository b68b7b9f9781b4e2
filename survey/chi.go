package survey

import (
	"math"

	"gelwright/elementary"
)

// chiSquaredTail is the probability that chi-squared with r degrees of freedom exceeds x, in closed form for whole r
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5).
func chiSquaredTail(x float64, r int) float64 {
	if x <= 0 {
		return 1
	}
	term, sum := 1.0, 0.0
	if r%2 == 0 {
		for k := 1; k <= r/2; k++ {
			sum += term
			term *= x / float64(2*k)
		}
		return elementary.Exp(-x/2) * sum
	}
	term = math.Sqrt(2 * x / math.Pi)
	for k := 1; k <= r/2; k++ {
		sum += term
		term *= x / float64(2*k+1)
	}
	return elementary.Erfc(math.Sqrt(x/2)) + elementary.Exp(-x/2)*sum
}

// chiSquaredLimit is the value that chi-squared with r degrees of freedom exceeds with the given probability.
func chiSquaredLimit(probability float64, r int) float64 {
	low, high := 0.0, float64(r)
	for chiSquaredTail(high, r) > probability {
		high *= 2
	}
	for range 200 {
		middle := (low + high) / 2
		if chiSquaredTail(middle, r) > probability {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
