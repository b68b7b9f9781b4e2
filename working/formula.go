package working

import (
	"fmt"
	"math"
	"strings"
)

// Formula is a printed formula that is also the computation: "M = q·A" is read once,
// and a figure made by it takes its value from its inputs and from nothing else.
// A Formula is not changed after it is made.
//
// The language is what stands in the books:
//
//   - symbols begin with a letter and go on with letters, figures, primes, underscores,
//     and commas before a letter or figure: fm,d  vb,0  R′T  h_min  ΔUf
//   - + − · × / and brackets; √x, ½, ⅓, ⅔, ¼, ¾, π; powers x², 10⁻⁶, x^0.25, x^⅔
//   - a number stands before a symbol or bracket without a sign: 2h/sk is (2·h)/sk
//   - min(a, b), max(a, b), exp x, ln x, abs x, ⌈x⌉ and ⌊x⌋, count(x)
//   - Σ g·A adds the product over all inputs of those symbols, first with first;
//     a symbol with one input is the same in every term. min and max take every input of
//     a symbol in the same way
//   - cases: a where x ≤ b, else c; conditions are joined by "and"
//
// Sums and products are worked from the left, as a careful clerk would.
type Formula struct {
	text    string
	symbol  string
	root    node
	symbols []string
}

// ParseFormula reads a formula. What stands before " = " is the symbol of the result.
func ParseFormula(text string) (*Formula, error) {
	symbol, right, ok := strings.Cut(text, " = ")
	if !ok {
		return nil, fmt.Errorf("formula %q: begin with the symbol of the result and \" = \"", text)
	}
	p := parser{text: right}
	root, err := p.whole()
	if err != nil {
		return nil, fmt.Errorf("formula %q: %w", text, err)
	}
	if !isSymbol(symbol) {
		return nil, fmt.Errorf("formula %q: %q is no symbol", text, symbol)
	}
	if len(p.symbols) == 0 {
		return nil, fmt.Errorf("formula %q takes no input: a value without inputs is a constant", text)
	}
	return &Formula{text: text, symbol: symbol, root: root, symbols: p.symbols}, nil
}

// MustFormula reads a formula that stands in the program. It panics on one that cannot
// be read, which every test of the package then shows.
func MustFormula(text string) *Formula {
	f, err := ParseFormula(text)
	if err != nil {
		panic(err)
	}
	return f
}

// String is the formula as printed.
func (f *Formula) String() string { return f.text }

// Symbol is the letter of the result.
func (f *Formula) Symbol() string { return f.symbol }

// Symbols lists what the formula takes, in the order in which it names them.
func (f *Formula) Symbols() []string { return append([]string(nil), f.symbols...) }

// Figure returns the figure that the formula makes of the inputs, each bound to the
// symbol that it carries. A symbol without an input, an input that the formula does not
// name, a choice in words, or a result that is no number is a fault: the figure then has
// no value and a ledger refuses it.
func (f *Formula) Figure(name, unit string, source Source, inputs ...*Figure) *Figure {
	made := &Figure{Name: name, Symbol: f.symbol, Unit: unit, Formula: f.text, Source: source, Inputs: inputs, formula: f}
	for i, in := range inputs {
		switch {
		case in == nil:
			return made.spoilt(fmt.Errorf("%s: input %d of %q is missing", name, i+1, f.text))
		case in.Fault != nil:
			return made.spoilt(in.Fault)
		case in.Text != "":
			return made.spoilt(fmt.Errorf("%s: input %q of %q is no number", name, in.Name, f.text))
		}
	}
	v, err := f.Value(symbolsOf(inputs), valuesOf(inputs))
	if err != nil {
		return made.spoilt(fmt.Errorf("%s: %w", name, err))
	}
	made.Value = v
	return made
}

// Value works the formula out for values named by symbols; both lists run together and
// a symbol may stand in them more than once.
func (f *Formula) Value(symbols []string, values []float64) (float64, error) {
	b := binding{values: make([][]float64, len(f.symbols))}
	for i, s := range symbols {
		at := indexOf(f.symbols, s)
		if at < 0 {
			return 0, fmt.Errorf("formula %q does not name its input %q", f.text, s)
		}
		b.values[at] = append(b.values[at], values[i])
	}
	for i, s := range f.symbols {
		if len(b.values[i]) == 0 {
			return 0, fmt.Errorf("formula %q lacks its input %q", f.text, s)
		}
	}
	v := f.root.value(&b, single)
	if b.fault != nil {
		return 0, fmt.Errorf("formula %q: %w", f.text, b.fault)
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("formula %q has no value for %v = %v", f.text, symbols, values)
	}
	return v, nil
}

func indexOf(list []string, s string) int {
	for i, have := range list {
		if have == s {
			return i
		}
	}
	return -1
}

func symbolsOf(figures []*Figure) []string {
	out := make([]string, len(figures))
	for i, f := range figures {
		out[i] = f.Symbol
	}
	return out
}

func valuesOf(figures []*Figure) []float64 {
	out := make([]float64, len(figures))
	for i, f := range figures {
		out[i] = f.Value
	}
	return out
}
