package mixing

import (
	"math"
	"testing"

	"gelwright/cure"
	"gelwright/material"
)

func sheetResin(t *testing.T, key string) Resin {
	t.Helper()
	c := material.Generic()
	r, err := c.Resin(key)
	if err != nil {
		t.Fatal(err)
	}
	x, err := c.Catalyst("catalyst.mekp")
	if err != nil {
		t.Fatal(err)
	}
	r.Own = []string{"gel_points"} // of an unknown brand the range is wider
	g, err := cure.NewGel(r)
	if err != nil {
		t.Fatal(err)
	}
	return Resin{Name: r.Name, Law: g, DensityKGPerL: r.DensityKGPerL, CatalystGPerML: x.DensityGPerML, Waxed: r.Coat}
}

// The catalogue's own resins, fitted by the gel model, over the temperatures at
// which roofs are laid: a dose is found, and at each temperature it lies within half a
// per cent of the trade's band (common practice, no source).
func TestCatalogueResinsAreDosedAsTheTradeDoes(t *testing.T) {
	r := sheetResin(t, "resin.all-season")
	for _, row := range []struct{ tempC, low, high float64 }{{6, 3, 4}, {10, 2.5, 3}, {14, 2, 2.5}, {18, 1.75, 2}, {22.5, 1.25, 1.75}, {28, 1, 1.25}} {
		// On a hot deck out of a pail that stood in the shade.
		d, err := ChooseDose(r, cure.Aim{}, cure.Temps{ResinC: math.Min(row.tempC, 22), DeckC: row.tempC}, 5)
		if err != nil {
			t.Errorf("%g °C: %v", row.tempC, err)
			continue
		}
		t.Logf("%g °C: %.2f %%, gel %.0f (%.0f–%.0f) min", row.tempC, d.Pct, d.Gel.LikelyMin, d.Gel.LowMin, d.Gel.HighMin)
		if d.Pct < row.low-0.5 || d.Pct > row.high+0.5 {
			t.Errorf("%g °C: %.2f %%, the trade has %g–%g", row.tempC, d.Pct, row.low, row.high)
		}
	}
	for key, span := range map[string][2]float64{"resin.summer": {16, 33}, "resin.winter": {6, 19}, "topcoat.waxed": {8, 28}} {
		r := sheetResin(t, key)
		for c := span[0]; c <= span[1]; c++ {
			if _, err := ChooseDose(r, cure.Aim{}, cure.Temps{ResinC: math.Min(c, 20), DeckC: c}, 5); err != nil {
				t.Errorf("%s at %g °C: %v", key, c, err)
			}
		}
	}
}
