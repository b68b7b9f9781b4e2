package roof

import (
	"fmt"
	"strconv"
	"strings"

	"gelwright/internal/shape"
)

// Cup is a test cup: a little of today's resin and catalyst, timed from mixing to gel in
// its own air. The zero value is none.
type Cup struct {
	Min   float64 // minutes from mixing to gel, 1 to 600
	TempC float64 // of resin and cup, -10 to 50 °C
	Pct   float64 // catalyst, per cent by mass of resin, 0.2 to 10
}

// CupPattern is how a cup is written in files and options: "23 min at 15 C, 2 %", or short
// "23@15,2".
const CupPattern = `^\s*([0-9]+(?:\.[0-9]+)?)\s*(?:min|minutes)?\s*(?:@|at)\s*(-?[0-9]+(?:\.[0-9]+)?)\s*°?\s*C?\s*,` +
	`\s*([0-9]+(?:\.[0-9]+)?)\s*%?\s*$`

// cupForm tells what is a cup; its numbers are then the only ones in it.
var cupForm = shape.Must(CupPattern)

// ParseCup reads "23 min at 15 C, 2 %".
func ParseCup(text string) (Cup, error) {
	if !cupForm.Has(text) {
		return Cup{}, fmt.Errorf("%q is no test cup: give minutes, °C and %% by mass, such as \"23 min at 15 C, 2 %%\"", text)
	}
	numbers := strings.FieldsFunc(text, func(c rune) bool { return !strings.ContainsRune("-.0123456789", c) })
	var v [3]float64
	for i, bound := range [...]struct {
		what      string
		low, high float64
	}{{"minutes from mixing to gel", 1, 600}, {"°C", -10, 50}, {"% by mass of resin", 0.2, 10}} {
		v[i], _ = strconv.ParseFloat(numbers[i], 64) // the form lets only numbers through
		if v[i] < bound.low || v[i] > bound.high {
			return Cup{}, fmt.Errorf("a test cup of %q: %s are %g to %g, not %s: check the cup", text, bound.what, bound.low, bound.high, numbers[i])
		}
	}
	return Cup{Min: v[0], TempC: v[1], Pct: v[2]}, nil
}

// Given reports whether there is a cup.
func (c Cup) Given() bool { return c.Min > 0 }

// String is the cup as [ParseCup] reads it, or nothing where there is none.
func (c Cup) String() string {
	if !c.Given() {
		return ""
	}
	return fmt.Sprintf("%g min at %g C, %g %%", c.Min, c.TempC, c.Pct)
}

// MarshalText and UnmarshalText write and read what String returns.
func (c Cup) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

func (c *Cup) UnmarshalText(text []byte) (err error) {
	if *c = (Cup{}); len(text) == 0 {
		return nil
	}
	*c, err = ParseCup(string(text))
	return err
}
