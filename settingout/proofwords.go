package settingout

import "fmt"

// Proof says how good a material's cut is known to be, and of what: no fewer do for the
// pieces of this layout. Of boards it says as well below which number no other layout comes, by
// area or with its end joints on joists, or that this one is the least of all. number writes a value with so
// many decimals.
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
	switch {
	case m.Kind != Board:
	case m.Items == m.AreaBound:
		words = "least of all layouts"
	case m.Items == m.LayoutBound:
		words = "least of all layouts with end joints on joists"
	case m.LayoutBound > m.AreaBound:
		words += "; any layout with end joints on joists takes at least " + number(float64(m.LayoutBound), 0)
	default:
		words += "; by area at least " + number(float64(m.AreaBound), 0)
	}
	return words
}
