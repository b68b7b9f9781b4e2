package deck

import (
	"fmt"
	"strings"

	"gelwright/check/country"
	"gelwright/working"
)

// Timber holds the design properties of a strength class, N/mm² and kg/m³ (EN 338).
type Timber struct {
	Class         string
	BendN, ShearN float64 // fm,k, fv,k (2009 and later)
	CrushN        float64 // fc,90,k
	MeanE, MeanG  float64
	DensityMean   float64
	CrackFactor   float64 // kcr that goes with the later shear strengths
	Standing      working.Standing
	// ShearStanding is that of the shear strength, which for some classes is remembered only.
	ShearStanding working.Standing
	// Laminated is true of glued laminated timber, which has a partial factor and a depth factor of its own.
	Laminated bool
}

// classes are the strength classes that are held: solid timber of EN 338, 2009, and glued laminated
// timber of EN 14080. C16 and C24 were seen in print, all others are from memory.
var classes = []Timber{
	{"C14", 14, 3.0, 2.0, 7000, 440, 350, 0.67, working.Remembered, working.Remembered, false},
	{"C16", 16, 3.2, 2.2, 8000, 500, 370, 0.67, working.Quoted, working.Remembered, false},
	{"C18", 18, 3.4, 2.2, 9000, 560, 380, 0.67, working.Remembered, working.Remembered, false},
	{"C20", 20, 3.6, 2.3, 9500, 590, 390, 0.67, working.Remembered, working.Remembered, false},
	{"C22", 22, 3.8, 2.4, 10000, 630, 410, 0.67, working.Remembered, working.Remembered, false},
	{"C24", 24, 4.0, 2.5, 11000, 690, 420, 0.67, working.Quoted, working.Quoted, false},
	{"C27", 27, 4.0, 2.6, 11500, 720, 450, 0.67, working.Remembered, working.Remembered, false},
	{"C30", 30, 4.0, 2.7, 12000, 750, 460, 0.67, working.Remembered, working.Remembered, false},
	{"C35", 35, 4.0, 2.8, 13000, 810, 480, 0.67, working.Remembered, working.Remembered, false},
	{"C40", 40, 4.0, 2.9, 14000, 880, 500, 0.67, working.Remembered, working.Remembered, false},
	{"D30", 30, 4.0, 8.0, 11000, 690, 640, 0.67, working.Remembered, working.Remembered, false},
	{"GL24h", 24, 3.5, 2.5, 11500, 650, 420, 0.67, working.Remembered, working.Remembered, true},
	{"GL28h", 28, 3.5, 2.5, 12600, 650, 460, 0.67, working.Remembered, working.Remembered, true},
}

// Classes names the strength classes that are held: what a roof file may say of its joists.
func Classes() []string {
	names := make([]string, len(classes))
	for i, t := range classes {
		names[i] = t.Class
	}
	return names
}

// TimberOf returns a strength class by name: C16, C24 and others of EN 338.
func TimberOf(class string) (Timber, error) {
	for _, t := range classes {
		if t.Class == class {
			return t, nil
		}
	}
	return Timber{}, fmt.Errorf("timber class %q is not held: use %s (EN 338, EN 14080), or ask what is stamped on the joist", class,
		strings.Join(Classes(), ", "))
}

// laminatedFactor is γM of glued laminated timber (EN 1995-1-1 table 2.3, from memory).
const laminatedFactor = 1.25

// partialFactor is γM of the timber in a country.
func (t Timber) partialFactor(set country.Set) *working.Figure {
	if t.Laminated {
		return working.Constant("γM", "partial factor of glued laminated timber", laminatedFactor, "",
			working.Source{Title: "EN 1995-1-1:2004", Clause: "table 2.3", Standing: working.Remembered})
	}
	return set.SolidTimberFactor.Figure("γM")
}

// depthFactor is kh (EN 1995-1-1 3.2 and 3.3): shallow timber has fewer faults across it.
func (t Timber) depthFactor(h *working.Figure) *working.Figure {
	if t.Laminated {
		return laminatedDepth.Figure("depth factor", "", working.Source{Title: "EN 1995-1-1:2004", Clause: "3.3, eq. 3.2",
			Standing: working.Remembered}, h)
	}
	return solidDepth.Figure("depth factor", "", ec5("3.2, eq. 3.1"), h)
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
			StandingDef: working.Quoted}, nil
	}
	return Panel{}, fmt.Errorf("board %q is not held: use OSB/3, OSB/4 or plywood", material)
}
