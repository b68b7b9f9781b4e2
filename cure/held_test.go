package cure

import (
	"math"
	"testing"

	"gelwright/material"
	"gelwright/working"
)

// Three millimetres of resin of 1.1 kg/l on a square metre are 3.3 kg, which 3.3·cp kJ warm by a kelvin.
func TestASheetOfLeavings(t *testing.T) {
	a := leaving{k: Roof(), l: Left{DensityKGPerL: 1.1}, loss: 10}
	b := a.spread(3)
	if math.Abs(b.massKG-3.3) > 1e-12 || math.Abs(b.capJPerK-3300*a.k.HeatCapacityKJPerKGK) > 1e-9 || b.lossWPerK != 10 {
		t.Errorf("3 mm on a square metre: %+v", b)
	}
}

// The surface that is printed is the one that is reckoned with, in a bucket of its own width and in one as wide as deep.
func TestSurfaceOfABucketIsPrintedAsReckoned(t *testing.T) {
	for _, mm := range []float64{0, 280} {
		b := Bucket{KG: 5, DensityKGPerL: 1.1, DiameterMM: mm}
		area, _ := b.Geometry(b.KG)
		if f := b.surface(working.Source{}); math.Abs(f.Value-area) > 1e-9 {
			t.Errorf("%g mm wide: %g m² printed, %g m² reckoned with", mm, f.Value, area)
		}
	}
}

// Which densities a catalyst and a resin may have.
func TestDensitiesOfAPair(t *testing.T) {
	r := material.Resin{DensityKGPerL: 1.1}
	c := material.Catalyst{DensityGPerML: 1.15}
	takes := func(r material.Resin, c material.Catalyst) bool { _, err := (Gel{}).With(r, c); return err == nil }
	for v, ok := range map[float64]bool{0.5: false, 0.51: true, 1.99: true, 2: false} {
		c := c
		c.DensityGPerML = v
		if takes(r, c) != ok {
			t.Errorf("a catalyst of %g g/ml is taken: %v", v, !ok)
		}
	}
	for v, ok := range map[float64]bool{0.5: false, 0.51: true, 2.99: true, 3: false} {
		r := r
		r.DensityKGPerL = v
		if takes(r, c) != ok {
			t.Errorf("a resin of %g kg/l is taken: %v", v, !ok)
		}
	}
}

// A mix that is laid in no time is surely laid before it gels, and nothing is surer than sure.
func TestNothingIsSurerThanSure(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	a, err := Frontier(ctx, &tb, Roof(), Goal{LayMin: 0.5, Ready: RainSafe, ByMin: 240, ResinKGPerM2: 1.125, KG: 5, Base: []Reading{{0, 18}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range a.Frontier {
		if o.Laid > 1 || o.Laid < 0.9999 || o.Ready > 1 {
			t.Errorf("%+v", o)
		}
	}
}
