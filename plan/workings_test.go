package plan_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"gelwright/elementary"
	"gelwright/plan"
	"gelwright/working"
)

// everyFigure calls visit once for every figure of a plan, those of checks included.
func everyFigure(p *plan.Plan, visit func(f *working.Figure)) {
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
	for _, key := range p.Workings.Keys() {
		f, _ := p.Workings.Find(key)
		walk(f)
	}
	for _, r := range p.Checks {
		for _, f := range r.Working {
			walk(f)
		}
	}
}

// printed is a value as read off the paper, and half of its last printed place.
func printed(v float64) (float64, float64) {
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

// reworked works a figure's printed formula out from its printed inputs, and says how far
// the rounding of inputs and result can carry it.
func reworked(f *working.Figure) (value, within float64, err error) {
	formula, err := working.ParseFormula(f.Formula)
	if err != nil {
		return 0, 0, err
	}
	symbols, values, halves := []string{}, []float64{}, []float64{}
	for _, in := range f.Inputs {
		v, half := printed(in.Value)
		symbols, values, halves = append(symbols, in.Symbol), append(values, v), append(halves, half)
	}
	if value, err = formula.Value(symbols, values); err != nil {
		return 0, 0, err
	}
	_, within = printed(f.Value)
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
		within += 1.1 * most // what rounded inputs do to each other's effect
	}
	return value, within + 1e-9*math.Abs(value), nil
}

// TestEveryPrintedFormulaGivesItsFigure: whoever works a formula out from the inputs as
// they are printed beside it gets the figure that is printed, but for rounding.
func TestEveryPrintedFormulaGivesItsFigure(t *testing.T) {
	formulas, loose := 0, map[string]bool{}
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, fault := range p.Workings.Faults() {
			t.Errorf("%s: %v", name, fault)
		}
		everyFigure(p, func(f *working.Figure) {
			if f.Loose() {
				loose[f.Formula] = true
				return
			}
			if f.Fault != nil {
				t.Errorf("%s: %v", name, f.Fault)
			}
			if f.Formula == "" {
				return
			}
			formulas++
			if len(f.Inputs) == 0 {
				t.Errorf("%s: %s (%s) has a formula and no inputs", name, f.Name, f.Key)
			}
			got, within, err := reworked(f)
			if err != nil || math.Abs(got-f.Value) > within {
				t.Errorf("%s: %s (%s): %s is printed, %s from its inputs gives %s ± %s (%v)", name, f.Name, f.Key, working.Number(f.Value), f.Formula, working.Number(got), working.Number(within), err)
			}
		})
	}
	t.Log(fmt.Sprintf("%d figures made by a formula; %d formulas that nothing ties to their value", formulas, len(loose)))
}
