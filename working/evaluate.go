package working

import (
	"fmt"
	"math"

	"gelwright/elementary"
)

const pi = math.Pi

// node is a part of a formula that has a value. term says which input of a symbol with
// several is meant; single where there may be but one.
type node interface {
	value(b *binding, term int) float64
	// terms is how many inputs the symbols below have at most, sums not counted.
	terms(b *binding) int
}

const single = -1

// binding holds the values of every symbol and the first fault met.
type binding struct {
	values [][]float64
	fault  error
}

func (b *binding) fail(format string, args ...any) float64 {
	if b.fault == nil {
		b.fault = fmt.Errorf(format, args...)
	}
	return math.NaN()
}

type (
	number float64
	input  struct {
		at   int
		name string
	}
	sum        struct{ a, b node }
	difference struct{ a, b node }
	product    struct{ a, b node }
	quotient   struct{ a, b node }
	power      struct{ base, exponent node }
	negative   struct{ a node }
	total      struct{ a node }
	function   struct {
		name string
		args []node
	}
	test struct {
		a, b node
		mark string
	}
	choice struct {
		then, other node
		tests       []test
	}
)

func (n number) value(*binding, int) float64 { return float64(n) }

func (n input) value(b *binding, term int) float64 {
	v := b.values[n.at]
	switch {
	case len(v) == 1:
		return v[0]
	case term == single:
		return b.fail("%q has %d inputs where one is meant", n.name, len(v))
	case term >= len(v):
		return b.fail("%q has %d inputs, others beside it more", n.name, len(v))
	}
	return v[term]
}

func (n sum) value(b *binding, t int) float64        { return n.a.value(b, t) + n.b.value(b, t) }
func (n difference) value(b *binding, t int) float64 { return n.a.value(b, t) - n.b.value(b, t) }
func (n quotient) value(b *binding, t int) float64   { return n.a.value(b, t) / n.b.value(b, t) }
func (n negative) value(b *binding, t int) float64   { return -n.a.value(b, t) }

// value multiplies a whole power factor by factor: q·L² is (q·L)·L.
func (n product) value(b *binding, t int) float64 {
	v := n.a.value(b, t)
	if p, ok := n.b.(power); ok {
		if e, ok := p.exponent.(number); ok && (e == 2 || e == 3 || e == 4) {
			x := p.base.value(b, t)
			for range int(e) {
				v *= x
			}
			return v
		}
	}
	return v * n.b.value(b, t)
}

func (n power) value(b *binding, t int) float64 {
	return raise(n.base.value(b, t), n.exponent.value(b, t))
}

// raise multiplies out whole exponents, so that x² is x·x to the last bit.
func raise(x, e float64) float64 {
	if e != math.Trunc(e) || math.Abs(e) > 16 {
		return elementary.Pow(x, e)
	}
	v := 1.0
	for i := 0; i < int(math.Abs(e)); i++ {
		v *= x
	}
	if e < 0 {
		return 1 / v
	}
	return v
}

func (n total) value(b *binding, _ int) float64 {
	v := 0.0
	for i := range n.a.terms(b) {
		v += n.a.value(b, i)
	}
	return v
}

func (n function) value(b *binding, t int) float64 {
	switch n.name {
	case "min", "max":
		return n.extreme(b)
	case "count":
		v := 0
		for _, a := range n.args {
			v += a.terms(b)
		}
		return float64(v)
	}
	x := n.args[0].value(b, t)
	switch n.name {
	case "√":
		return math.Sqrt(x)
	case "exp":
		return elementary.Exp(x)
	case "ln":
		return math.Log(x)
	case "abs":
		return math.Abs(x)
	case "⌈":
		return math.Ceil(x)
	}
	return math.Floor(x)
}

// extreme is the least or greatest of the arguments and of all inputs in each.
func (n function) extreme(b *binding) float64 {
	v := math.NaN()
	for k, a := range n.args {
		for i := range a.terms(b) {
			switch x := a.value(b, i); {
			case k == 0 && i == 0:
				v = x
			case n.name == "min":
				v = math.Min(v, x)
			default:
				v = math.Max(v, x)
			}
		}
	}
	return v
}

func (n choice) value(b *binding, t int) float64 {
	for _, c := range n.tests {
		if !c.holds(b, t) {
			return n.other.value(b, t)
		}
	}
	return n.then.value(b, t)
}

func (c test) holds(b *binding, t int) bool {
	x, y := c.a.value(b, t), c.b.value(b, t)
	switch c.mark {
	case "≤":
		return x <= y
	case "≥":
		return x >= y
	case "<":
		return x < y
	case ">":
		return x > y
	}
	return x == y
}

func most(b *binding, nodes ...node) int {
	n := 1
	for _, a := range nodes {
		n = max(n, a.terms(b))
	}
	return n
}

func (n number) terms(*binding) int       { return 1 }
func (n input) terms(b *binding) int      { return len(b.values[n.at]) }
func (n sum) terms(b *binding) int        { return most(b, n.a, n.b) }
func (n difference) terms(b *binding) int { return most(b, n.a, n.b) }
func (n product) terms(b *binding) int    { return most(b, n.a, n.b) }
func (n quotient) terms(b *binding) int   { return most(b, n.a, n.b) }
func (n power) terms(b *binding) int      { return most(b, n.base, n.exponent) }
func (n negative) terms(b *binding) int   { return n.a.terms(b) }
func (n total) terms(*binding) int        { return 1 }

func (n function) terms(b *binding) int {
	if n.name == "min" || n.name == "max" || n.name == "count" {
		return 1
	}
	return most(b, n.args...)
}

func (n choice) terms(b *binding) int {
	most := most(b, n.then, n.other)
	for _, c := range n.tests {
		most = max(most, c.a.terms(b), c.b.terms(b))
	}
	return most
}
