package conduction

import (
	"math"
	"testing"
)

// Constants and formulas against what is printed, transcribed apart from the code.
func TestPublishedValues(t *testing.T) {
	oneMM := Layer{ThicknessMM: 1, ConductivityWPerMK: 0.2, DensityKgPerM3: 1450, HeatJPerKgK: 1200}
	for _, c := range []struct {
		what, source string
		got, want    float64
	}{
		{"σ", "CODATA 2018: 5.670374419 × 10⁻⁸ W m⁻² K⁻⁴", StefanBoltzmann * 1e8, 5.670374419},
		{"0 °C", "the kelvin, SI brochure: 273.15 K", ZeroCelsiusK, 273.15},
		{"black body at 300 K in space", "F. P. Incropera and D. P. DeWitt, example of σT⁴: 459.3 W/m²", -Face{Emissivity: 1}.Heat(300 - 273.15), 459.3},
		{"an upward surface resistance", "ISO 6946 table 7: 0.10 m²K/W", 1 / Room(20, 0.10).ConvectionWPerM2K, 0.10},
		{"1 mm/h of rain", "1 kg/m² an hour × 4186 J/(kg·K), water at 15 °C", RainCoefficient(1) * 3600, 4186},
		{"resistance of 1 mm", "ISO 6946 eq. (3): d/λ", oneMM.ResistanceM2KPerW(), 0.005},
		{"heat capacity of 1 mm", "d·ρ·c by hand", oneMM.CapacityJPerM2K(), 1740},
		{"diffusivity", "λ/(ρ·c) by hand", oneMM.DiffusivityM2PerS(), 1.149425e-7},
	} {
		if math.Abs(c.got-c.want) > 1e-4*math.Abs(c.want) {
			t.Errorf("%s is %g, %s", c.what, c.got, c.source)
		}
	}
}

// The cells lie within their layer, their widths make it up, and a depth is in the layer's millimetres.
func TestCellsMakeUpTheLayers(t *testing.T) {
	s := mustNew(t, warmRoof, 10, Options{})
	depth := 0.0
	for i, l := range warmRoof {
		from, to := s.LayerCells(i)
		sum := 0.0
		for _, c := range s.Cells()[from:to] {
			if want := depth + sum + c.WidthMM/2; math.Abs(c.DepthMM-want) > 1e-9 {
				t.Fatalf("a cell of %s lies %g mm deep, want %g", l.Name, c.DepthMM, want)
			}
			sum += c.WidthMM
		}
		if math.Abs(sum-l.ThicknessMM) > 1e-9 {
			t.Errorf("the cells of %s make up %g mm of %g", l.Name, sum, l.ThicknessMM)
		}
		depth += sum
	}
}
