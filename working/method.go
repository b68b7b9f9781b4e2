package working

import (
	"fmt"
	"math"
)

// Procedure is a way to a value that is no closed formula: a search, an integration, the
// union of shapes, a table read between its lines. It is named, and shown as a method,
// never as a formula.
type Procedure struct{ symbol, text string }

// Method names a procedure: the symbol of its result, and in one line what is done.
func Method(symbol, text string) Procedure { return Procedure{symbol, text} }

// Of returns the figure that compute makes of the inputs' values, in their order.
func (p Procedure) Of(name, unit string, source Source, compute func(in []float64) float64, inputs ...*Figure) *Figure {
	f := p.figure(name, unit, source, inputs)
	if f.Fault == nil {
		f.Value, f.compute = compute(valuesOf(inputs)), compute
	}
	return f.checked()
}

// Run returns the figure whose value a long run gave (a cure integrated, boards set
// out); inputs are what the run was given.
func (p Procedure) Run(name string, value float64, unit string, source Source, inputs ...*Figure) *Figure {
	f := p.figure(name, unit, source, inputs)
	if f.Fault == nil {
		f.Value = value
	}
	return f.checked()
}

func (p Procedure) figure(name, unit string, source Source, inputs []*Figure) *Figure {
	f := &Figure{Name: name, Symbol: p.symbol, Unit: unit, Method: p.text, Source: source, Inputs: inputs}
	if len(inputs) == 0 {
		return f.spoilt(fmt.Errorf("%s: %q has no input", name, p.text))
	}
	for i, in := range inputs {
		if in == nil {
			return f.spoilt(fmt.Errorf("%s: input %d of %q is missing", name, i+1, p.text))
		}
		if in.Fault != nil {
			return f.spoilt(in.Fault)
		}
	}
	return f
}

func (f *Figure) checked() *Figure {
	if f.Fault == nil && (math.IsNaN(f.Value) || math.IsInf(f.Value, 0)) {
		return f.spoilt(fmt.Errorf("%s: %q has no value", f.Name, f.Method))
	}
	return f
}

func (f *Figure) spoilt(fault error) *Figure {
	f.Fault, f.Value = fault, math.NaN()
	return f
}

// Measured returns a figure read off a thing that stands before it: an outline, a set-out,
// a list of buckets. of names the thing.
func Measured(symbol, name string, value float64, unit, of string) *Figure {
	return &Figure{Name: name, Symbol: symbol, Value: value, Unit: unit, Source: Source{Title: of, Standing: Derived}}
}

// As returns the figure under another letter, for a formula that calls it so. What has a
// working or a key of its own is pointed at, and stays one figure.
func (f *Figure) As(symbol string) *Figure {
	if f == nil || f.Symbol == symbol {
		return f
	}
	if f.Key == "" && len(f.Inputs) == 0 {
		renamed := *f
		renamed.Symbol = symbol
		return &renamed
	}
	same, err := ParseFormula(symbol + " = " + f.Symbol)
	if err != nil {
		return (&Figure{Name: f.Name, Symbol: symbol, Unit: f.Unit}).spoilt(err)
	}
	return same.Figure(f.Name, f.Unit, Source{Standing: Derived}, f).Between(f.Low, f.High)
}

// By is the formula or the method in words.
func (f *Figure) By() string {
	if f.Formula != "" {
		return f.Formula
	}
	return f.Method
}

// Again works the value out once more from other values of the inputs; false where the
// figure was given, read, or the outcome of a long run.
func (f *Figure) Again(values []float64) (float64, bool) {
	switch {
	case f.formula != nil:
		v, err := f.formula.Value(symbolsOf(f.Inputs), values)
		return v, err == nil
	case f.compute != nil:
		return f.compute(values), true
	}
	return 0, false
}
