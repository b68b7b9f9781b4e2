package deck

import (
	"fmt"

	"gelwright/working"
)

// Timber holds the design properties of a strength class, N/mm² and kg/m³ (EN 338).
type Timber struct {
	Class         string
	BendN, ShearN float64 // fm,k, fv,k (2009 and later)
	CrushN        float64 // fc,90,k
	MeanE, MeanG  float64
	DensityMean   float64
	DensityLow    float64
	CrackFactor   float64 // kcr that goes with the later shear strengths
	Standing      working.Standing
}

// TimberOf returns a strength class by name: C16, C24 and others of EN 338.
func TimberOf(class string) (Timber, error) {
	switch class {
	case "C16":
		return Timber{"C16", 16, 3.2, 2.2, 8000, 500, 370, 310, 0.67, working.Published}, nil
	case "C24":
		return Timber{"C24", 24, 4.0, 2.5, 11000, 690, 420, 350, 0.67, working.Published}, nil
	case "C18":
		return Timber{"C18", 18, 3.4, 2.2, 9000, 560, 380, 320, 0.67, working.Remembered}, nil
	case "C27":
		return Timber{"C27", 27, 4.0, 2.6, 11500, 720, 450, 370, 0.67, working.Remembered}, nil
	}
	return Timber{}, fmt.Errorf("timber class %q is not held: use C16, C18, C24 or C27 (EN 338), or ask what is stamped on the joist", class)
}

// Panel holds the design properties of a board along its length, N/mm².
type Panel struct {
	Name                      string
	BendAlong, BendAcross     float64
	EAlong, EAcross           float64
	RollingShear              float64
	KmodMedium, KmodShort     float64 // service class 2
	Kdef                      float64
	KPaPerMM                  float64 // self weight
	PointWidthMM              float64
	StandingKmod, StandingDef working.Standing
}

// PanelOf returns board properties by material and thickness: "OSB/3" (EN 12369-1)
// or "plywood" (a plain assumed grade, to be replaced by the sheet's own values).
func PanelOf(material string, thicknessMM float64) (Panel, error) {
	if !(thicknessMM >= 6 && thicknessMM <= 50) {
		return Panel{}, fmt.Errorf("board thickness %g mm is outside 6 to 50 mm", thicknessMM)
	}
	switch material {
	case "OSB/3", "OSB/4":
		p := Panel{Name: material, EAlong: 4930, EAcross: 1980, RollingShear: 1.0, KmodMedium: 0.55, KmodShort: 0.70, Kdef: 2.25,
			KPaPerMM: 0.0064, PointWidthMM: 600, StandingKmod: working.Remembered, StandingDef: working.Remembered}
		switch {
		case thicknessMM <= 10:
			p.BendAlong, p.BendAcross = 18.0, 9.0
		case thicknessMM <= 18:
			p.BendAlong, p.BendAcross = 16.4, 8.2
		case thicknessMM <= 25:
			p.BendAlong, p.BendAcross = 14.8, 7.4
		default:
			return Panel{}, fmt.Errorf("EN 12369-1 holds %s only to 25 mm; %g mm needs the supplier's values", material, thicknessMM)
		}
		return p, nil
	case "plywood":
		return Panel{Name: "plywood, assumed grade", BendAlong: 20, BendAcross: 20, EAlong: 6000, EAcross: 6000, RollingShear: 0.9,
			KmodMedium: 0.80, KmodShort: 0.90, Kdef: 1.0, KPaPerMM: 0.0060, PointWidthMM: 600, StandingKmod: working.Remembered,
			StandingDef: working.Published}, nil
	}
	return Panel{}, fmt.Errorf("board %q is not held: use OSB/3, OSB/4 or plywood", material)
}
