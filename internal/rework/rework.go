// Package rework works printed formulas out from printed inputs, as a person with a
// pocket calculator would, to see that what stands on paper gives what stands on paper.
// Only tests use it.
package rework

import (
	"math"
	"strconv"

	"gelwright/elementary"
	"gelwright/working"
)

// Every calls visit once for each of the figures and for all below them.
func Every(roots []*working.Figure, visit func(f *working.Figure)) {
	seen := map[*working.Figure]bool{}
	var walk func(f *working.Figure)
	walk = func(f *working.Figure) {
		if f == nil || seen[f] {
			return
		}
		seen[f] = true
		visit(f)
		for _, in := range f.Inputs {
			walk(in)
		}
	}
	for _, f := range roots {
		walk(f)
	}
}

// Printed is a value as read off the paper, and half of its last printed place.
func Printed(v float64) (read, half float64) {
	read, err := strconv.ParseFloat(working.Number(v), 64)
	if err != nil {
		return v, 0
	}
	switch a := math.Abs(v); {
	case a >= 1000:
		return read, 0.5
	case a >= 100:
		return read, 0.05
	case a >= 10:
		return read, 0.005
	case a >= 1:
		return read, 0.0005
	case a >= 1e-3:
		return read, 0.00005
	case a == 0:
		return read, 0
	default:
		return read, elementary.Pow(10, math.Floor(math.Log10(a))-3) / 2
	}
}

// Figure works a figure's printed formula out from its printed inputs, and says how far
// the rounding of inputs and result can carry it: to first order in the inputs, and a
// tenth more for what they do to each other.
func Figure(f *working.Figure) (value, within float64, err error) {
	formula, err := working.ParseFormula(f.Formula)
	if err != nil {
		return 0, 0, err
	}
	symbols, values, halves := []string{}, []float64{}, []float64{}
	for _, in := range f.Inputs {
		v, half := Printed(in.Value)
		symbols, values, halves = append(symbols, in.Symbol), append(values, v), append(halves, half)
	}
	if value, err = formula.Value(symbols, values); err != nil {
		return 0, 0, err
	}
	_, within = Printed(f.Value)
	for i, v := range values {
		most := 0.0
		for _, to := range []float64{v - halves[i], v + halves[i]} {
			values[i] = to
			moved, err := formula.Value(symbols, values)
			if err != nil {
				return value, math.Inf(1), nil // the rounding reaches where the formula ends
			}
			most = max(most, math.Abs(moved-value))
		}
		values[i] = v
		within += 1.1 * most
	}
	return value, within + 1e-9*math.Abs(value), nil
}

// Faults says, a line for each, what is wrong with the figures and all below them: faults
// of their making, formulas without inputs, and formulas that do not give their figures.
// It counts the formulas that it worked out.
func Faults(roots []*working.Figure) (faults []string, formulas int) {
	Every(roots, func(f *working.Figure) {
		if f.Fault != nil {
			faults = append(faults, f.Fault.Error())
		}
		if f.Fault != nil || f.Formula == "" {
			return
		}
		formulas++
		if len(f.Inputs) == 0 {
			faults = append(faults, f.Name+" ("+f.Key+") has a formula and no inputs")
		}
		got, within, err := Figure(f)
		switch {
		case err != nil:
			faults = append(faults, f.Name+" ("+f.Key+"): "+err.Error())
		case !(math.Abs(got-f.Value) <= within):
			faults = append(faults, f.Name+" ("+f.Key+"): "+working.Number(f.Value)+" is printed, "+f.Formula+" from its inputs gives "+
				working.Number(got)+" ± "+working.Number(within))
		}
	})
	return faults, formulas
}
