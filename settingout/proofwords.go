package settingout

import "fmt"

// Proof says how good a material's cut is known to be, and of what: no fewer do for the
// pieces of this layout. Of boards the number by area is said as well, below which no
// other layout comes. number writes a value with so many decimals.
func (m Material) Proof(number func(v float64, decimals int) string) string {
	unit := m.BoundUnit
	if unit == "" {
		unit = m.Unit
	}
	decimals := 0
	if unit == "m²" || unit == "m" {
		decimals = 1
	}
	words := "least for these pieces"
	if !m.Optimal {
		words = fmt.Sprintf("no plan for these pieces does with less than %s %s, a better one may exist", number(m.Bound, decimals), unit)
	}
	if m.Kind == Board {
		words += "; by area at least " + number(float64(m.AreaBound), 0)
	}
	return words
}
