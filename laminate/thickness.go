package laminate

import (
	"fmt"
	"math"

	"gelwright/working"
)

var (
	algebra   = working.Source{Title: "mass and volume of a two-part material", Standing: working.Derived}
	bs4994Fig = working.Source{Title: "BS 4994:1987", Clause: "figure 3; the form is also in EN 13121-3", Standing: working.Remembered}
	densities = working.Source{Title: "BS 4994:1987", Clause: "density of E-glass and of cast polyester", Standing: working.Remembered}
)

var (
	glassFraction   = working.MustFormula("x = 1/(1 + R)")
	thicknessPerKG  = working.MustFormula("t = 1/ρf + (1 − x)/(x·ρr)")
	volumeFraction  = working.MustFormula("Vf = (x/ρf)/(x/ρf + (1 − x)/ρr)")
	laminateDensity = working.MustFormula("ρ = 1/(x/ρf + (1 − x)/ρr)")
)

// Densities of the two parts of a laminate, g/cm³.
type Densities struct {
	GlassGPerCM3      float64 // E-glass, 2.54 to 2.60
	CuredResinGPerCM3 float64 // cast polyester, 1.15 to 1.25
}

// DefaultDensities returns E-glass 2.56 and cast polyester 1.20 g/cm³, as BS 4994 uses them (from memory).
func DefaultDensities() Densities { return Densities{GlassGPerCM3: 2.56, CuredResinGPerCM3: 1.20} }

func (d Densities) check() error {
	if !(d.GlassGPerCM3 > 2 && d.GlassGPerCM3 < 3) {
		return fmt.Errorf("laminate: glass density %g g/cm³ is not that of glass: give 2.5 to 2.6", d.GlassGPerCM3)
	}
	if !(d.CuredResinGPerCM3 > 0.9 && d.CuredResinGPerCM3 < 2) {
		return fmt.Errorf("laminate: cured resin density %g g/cm³ is out of reach of polyester: give 1.15 to 1.25", d.CuredResinGPerCM3)
	}
	return nil
}

func (d Densities) figures() (glass, resin *working.Figure) {
	return working.Constant("ρf", "density of glass", d.GlassGPerCM3, "g/cm³", densities),
		working.Constant("ρr", "density of cured resin", d.CuredResinGPerCM3, "g/cm³", densities)
}

// GlassFraction returns x, the glass in the laminate by mass, for a resin to glass
// ratio R by mass: 0.3077 for R = 2.25. R runs from 0.5 to 20; outside that it is
// a slip of the pen and an error.
func GlassFraction(ratio *working.Figure) (*working.Figure, error) {
	R := ratio.Value
	if !(R >= 0.5 && R <= 20) {
		return nil, fmt.Errorf("laminate: resin to glass ratio %g: give kilograms of resin to one of glass, 2 to 3 for chopped strand mat", R)
	}
	return glassFraction.Figure("glass content by mass", "", algebra, ratio.As("R")), nil
}

// ThicknessPerKG returns the thickness, in mm, that one kg/m² of glass makes at
// glass content x by mass (0.05 to 0.75): t = 1/ρf + (1−x)/(x·ρr), ρ in g/cm³.
func ThicknessPerKG(x *working.Figure, d Densities) (*working.Figure, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	if !(x.Value >= 0.04 && x.Value <= 0.75) {
		return nil, fmt.Errorf("laminate: glass content %g by mass: give a fraction, 0.25 to 0.35 for hand lay-up", x.Value)
	}
	ρf, ρr := d.figures()
	return thicknessPerKG.Figure("thickness for each kg/m² of glass", "mm per kg/m²", bs4994Fig, ρf, ρr, x), nil
}

// VolumeFraction returns Vf, the glass by volume, of a laminate without voids.
func VolumeFraction(x *working.Figure, d Densities) (*working.Figure, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	ρf, ρr := d.figures()
	return volumeFraction.Figure("glass content by volume", "", algebra, x, ρf, ρr), nil
}

// Density returns the density of the cured laminate, g/cm³ (the same number in kg/l).
func Density(x *working.Figure, d Densities) (*working.Figure, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	ρf, ρr := d.figures()
	return laminateDensity.Figure("density of the laminate", "g/cm³", algebra, x, ρf, ρr), nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
