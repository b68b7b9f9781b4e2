package cure

import (
	"fmt"
	"math"
	"sort"

	"gelwright/elementary"
)

// Reading is a temperature at a time.
type Reading struct {
	Min   float64 // minutes from mixing
	TempC float64
}

// tempAt reads a profile between its readings in a straight line; before the first
// and after the last it stays level.
func tempAt(profile []Reading, min float64) float64 {
	i := sort.Search(len(profile), func(i int) bool { return profile[i].Min > min })
	switch {
	case i == 0:
		return profile[0].TempC
	case i == len(profile):
		return profile[i-1].TempC
	}
	a, b := profile[i-1], profile[i]
	return a.TempC + (b.TempC-a.TempC)*(min-a.Min)/(b.Min-a.Min)
}

func checkProfile(profile []Reading) error {
	if len(profile) == 0 {
		return fmt.Errorf("cure: no temperatures: give at least one reading")
	}
	for i, r := range profile {
		if math.IsNaN(r.Min+r.TempC) || math.IsInf(r.Min+r.TempC, 0) {
			return fmt.Errorf("cure: reading %d is no time and temperature: %g min, %g °C", i+1, r.Min, r.TempC)
		}
		if i > 0 && !(r.Min > profile[i-1].Min) {
			return fmt.Errorf("cure: reading %d at %g min does not come after %g min: put readings in order of time", i+1, r.Min, profile[i-1].Min)
		}
	}
	return nil
}

// ageStepMin bounds a span over which the rate is integrated by three Gauss points.
const ageStepMin = 5.0

// bisections of a gel within its span.
const bisections = 60

// Under returns the gel time of a mix made at minute 0 whose temperature follows a
// profile, straight between readings and level beyond them.
//
// Equivalent age: the mix gels when ∫dt/t(T) reaches 1, with t the law at the
// temperature of the moment; low and high likewise with the bounds of t, as if an
// error of the law lasted. A temperature outside the limits before the likely gel is a
// [Refusal].
func (g Gel) Under(profile []Reading, catalystPct float64) (Range, error) {
	if err := checkProfile(profile); err != nil {
		return Range{}, err
	}
	if err := g.Allowed(tempAt(profile, 0), catalystPct); err != nil {
		return Range{}, err
	}
	likely, err := g.age(profile, catalystPct, 0)
	if err != nil {
		return Range{}, err
	}
	low, err := g.age(profile, catalystPct, -1)
	if err != nil {
		return Range{}, err
	}
	high, err := g.age(profile, catalystPct, +1)
	if err != nil {
		return Range{}, err
	}
	return Range{LowMin: low, LikelyMin: likely, HighMin: high}, nil
}

// age integrates 1/t until it reaches 1; side −1, 0, +1 takes the low, likely or high t.
func (g *Gel) age(profile []Reading, pct float64, side float64) (float64, error) {
	done, at := 0.0, 0.0
	rate := func(min float64) float64 {
		ln, half := g.predict(tempAt(profile, min), pct)
		return elementary.Exp(-ln - side*half)
	}
	next := 0
	for next < len(profile) && profile[next].Min <= 0 {
		next++
	}
	for {
		if t := tempAt(profile, at); side <= 0 {
			if err := g.allowedTemp(t); err != nil {
				r := err.(*Refusal)
				r.Finding += fmt.Sprintf(", %.0f min after mixing, with %.0f %% of the way to gel done", at, 100*done)
				return 0, r
			}
		}
		if next >= len(profile) {
			return at + (1-done)/rate(at), nil // level from here on
		}
		to := math.Min(at+ageStepMin, profile[next].Min)
		if to >= profile[next].Min {
			next++
		}
		step := gauss(rate, at, to)
		if done+step < 1 {
			done, at = done+step, to
			continue
		}
		lo, hi := at, to
		for range bisections {
			mid := (lo + hi) / 2
			if done+gauss(rate, at, mid) < 1 {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2, nil
	}
}

// gauss integrates f over [a, b] by three Gauss–Legendre points.
func gauss(f func(float64) float64, a, b float64) float64 {
	m, h := (a+b)/2, (b-a)/2
	x := h * 0.7745966692414834 // √(3/5)
	return h * (5*f(m-x) + 8*f(m) + 5*f(m+x)) / 9
}
