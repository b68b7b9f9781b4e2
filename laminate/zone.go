package laminate

import (
	"fmt"

	"gelwright/working"
)

// ZoneKind is what part of the roof a laminate covers.
type ZoneKind string

const (
	Deck       ZoneKind = "deck"
	Upstand    ZoneKind = "upstand"
	Corner     ZoneKind = "corner"
	Bandage    ZoneKind = "bandage"
	Reinforced ZoneKind = "reinforced"
)

// Zone is an area laid with the same mats.
type Zone struct {
	// Key is the lasting prefix of its figures: "laminate.main.deck".
	Key string
	// Name in words: "deck main".
	Name string
	Kind ZoneKind
	// AreaM2 of the zone on the slope: the surface covered, laps not counted.
	AreaM2 *working.Figure
	// LapFactor is glass laid over surface covered, 1 or more; 0 is taken as 1.
	LapFactor float64
	// Layers of chopped strand mat from the bottom, g/m².
	Layers []float64
	// TissueGPerM2 of the surface tissue over the last layer; 0 is none.
	TissueGPerM2 float64
	// ResinToGlass by mass in the mat layers, soak not counted.
	ResinToGlass *working.Figure
	// SoakKGPerM2 is resin the surface below drinks; nil is none, as on a trim.
	SoakKGPerM2 *working.Figure
	// Densities; the zero value is taken as DefaultDensities.
	Densities Densities
}

// Build is what a zone takes and what comes of it. Rates are for each m² covered.
type Build struct {
	Zone Zone

	GlassFraction *working.Figure // in the mat layers, by mass
	ThicknessMM   *working.Figure // cured, without voids
	VolumeGlass   *working.Figure
	DensityGCM3   *working.Figure
	CuredKGPerM2  *working.Figure // dead load of the laminate, soak not counted

	GlassKGPerM2 *working.Figure // mats and tissue
	ResinKGPerM2 *working.Figure // in the laminate and in the deck

	GlassKG *working.Figure // for the whole zone, laps included
	ResinKG *working.Figure // for the whole zone, laps and soak included
	SoakKG  *working.Figure // the part of ResinKG that the deck drinks

	StrengthNPerMM  *working.Figure // characteristic tensile strength per mm of width
	StiffnessNPerMM *working.Figure
}

// TissueRatio is resin to glass in a surface tissue: a resin-rich layer of about
// ten per cent glass.
const TissueRatio = 9

// tissueRatio is the same as a figure.
func tissueRatio() *working.Figure {
	return working.Constant("Rt", "resin to glass ratio of tissue", TissueRatio, "", working.Source{Title: "resin-rich surface layer, about 10 % glass", Standing: working.Remembered})
}

// Make computes a zone's masses, thickness, strength and stiffness.
func Make(z Zone) (*Build, error) {
	if err := checkZone(&z); err != nil {
		return nil, fmt.Errorf("laminate: zone %q: %w", z.Name, err)
	}
	b := &Build{Zone: z}
	var err error
	if b.GlassFraction, err = GlassFraction(z.ResinToGlass); err != nil {
		return nil, err
	}
	b.GlassFraction.Keyed(z.Key + ".glass_fraction")
	perKG, err := ThicknessPerKG(b.GlassFraction, z.Densities)
	if err != nil {
		return nil, err
	}
	m := matMass(z)
	if err := b.thickness(perKG, m); err != nil {
		return nil, err
	}
	b.masses(m)
	return b, b.strength(m)
}

func checkZone(z *Zone) error {
	if z.AreaM2 == nil || !finite(z.AreaM2.Value) || z.AreaM2.Value < 0 {
		return fmt.Errorf("its area is missing or negative: give the area covered, m²")
	}
	if z.ResinToGlass == nil {
		return fmt.Errorf("no resin to glass ratio: give 2 to 3 for chopped strand mat")
	}
	if z.LapFactor == 0 {
		z.LapFactor = 1
	}
	if !(z.LapFactor >= 1 && z.LapFactor < 3) {
		return fmt.Errorf("glass laid is %g times the surface: laps make it 1.0 to 1.3", z.LapFactor)
	}
	if z.Densities == (Densities{}) {
		z.Densities = DefaultDensities()
	}
	if z.SoakKGPerM2 != nil && !(z.SoakKGPerM2.Value >= 0 && z.SoakKGPerM2.Value < 3) {
		return fmt.Errorf("the deck soaks up %g kg/m²: boards drink 0.2 to 0.8", z.SoakKGPerM2.Value)
	}
	if len(z.Layers) == 0 {
		return fmt.Errorf("no mat: give at least one layer, g/m²")
	}
	for i, g := range z.Layers {
		if !(g >= 50 && g <= 2000) {
			return fmt.Errorf("mat layer %d is %g g/m²: mats run from 100 to 900 g/m²", i+1, g)
		}
	}
	if !(z.TissueGPerM2 >= 0 && z.TissueGPerM2 <= 100) {
		return fmt.Errorf("tissue of %g g/m²: tissues are 20 to 50 g/m²", z.TissueGPerM2)
	}
	return nil
}

// matMass returns the mats' glass for each m² as laid once, kg/m².
func matMass(z Zone) *working.Figure {
	sum := 0.0
	inputs := make([]*working.Figure, 0, len(z.Layers))
	for i, g := range z.Layers {
		sum += g / 1000
		inputs = append(inputs, working.GivenFigure("g", fmt.Sprintf("mat layer %d", i+1), g, "g/m²", "specification"))
	}
	return working.Calc("m", "glass in the mats", sum, "kg/m²", "m = Σg/1000", algebra, inputs...)
}

func (b *Build) thickness(perKG, m *working.Figure) error {
	z := b.Zone
	t := working.Calc("T", "thickness of the laminate, "+z.Name, perKG.Value*m.Value, "mm", "T = t·m", bs4994Fig, perKG, m)
	if z.TissueGPerM2 > 0 {
		g, x, tt, err := tissue(z)
		if err != nil {
			return err
		}
		t = working.Calc("T", "thickness of the laminate, "+z.Name, t.Value+tt.Value*g.Value/1000, "mm", "T = t·m + tt·gt/1000", bs4994Fig, perKG, m, tt, g, x)
	}
	b.ThicknessMM = t.Keyed(z.Key + ".thickness").Noting("cured, without voids; hand lay-up comes out 2 to 5 % thicker")
	var err error
	if b.VolumeGlass, err = VolumeFraction(b.GlassFraction, z.Densities); err != nil {
		return err
	}
	b.DensityGCM3, err = Density(b.GlassFraction, z.Densities)
	return err
}

func tissue(z Zone) (g, x, perKG *working.Figure, err error) {
	g = working.GivenFigure("gt", "surface tissue", z.TissueGPerM2, "g/m²", "specification")
	if x, err = GlassFraction(tissueRatio()); err != nil {
		return
	}
	perKG, err = ThicknessPerKG(x, z.Densities)
	return
}

func (b *Build) masses(m *working.Figure) {
	z := b.Zone
	glass, formula := m.Value, "mg = m"
	resin, rFormula := m.Value*z.ResinToGlass.Value, "q = R·m"
	gInputs := []*working.Figure{m}
	rInputs := []*working.Figure{z.ResinToGlass, m}
	if z.TissueGPerM2 > 0 {
		g := working.GivenFigure("gt", "surface tissue", z.TissueGPerM2, "g/m²", "specification")
		rt := tissueRatio()
		glass += g.Value / 1000
		resin += rt.Value * g.Value / 1000
		formula, rFormula = formula+" + gt/1000", rFormula+" + Rt·gt/1000"
		gInputs, rInputs = append(gInputs, g), append(rInputs, rt, g)
	}
	b.GlassKGPerM2 = working.Calc("mg", "glass for each m², "+z.Name, glass, "kg/m²", formula, algebra, gInputs...)
	inLaminate := working.Calc("q", "resin in the laminate for each m²", resin, "kg/m²", rFormula, algebra, rInputs...)
	b.CuredKGPerM2 = working.Calc("w", "laminate's own weight, "+z.Name, glass+resin, "kg/m²", "w = mg + q", algebra, b.GlassKGPerM2, inLaminate).Keyed(z.Key + ".weight")
	soak := z.SoakKGPerM2
	if soak == nil {
		soak = working.AssumedFigure("s", "resin the surface drinks", 0, "kg/m²", "surface that does not soak, such as a trim")
	}
	b.ResinKGPerM2 = working.Calc("Q", "resin for each m², "+z.Name, resin+soak.Value, "kg/m²", "Q = q + s", algebra, inLaminate, soak).Keyed(z.Key + ".resin_rate")
	lap := working.Calc("f", "glass laid over surface covered", z.LapFactor, "", "f = area of mat / area covered", algebra)
	A := z.AreaM2
	b.GlassKG = working.Calc("Mg", "glass, "+z.Name, A.Value*lap.Value*glass, "kg", "Mg = A·f·mg", algebra, A, lap, b.GlassKGPerM2).Keyed(z.Key + ".glass")
	b.SoakKG = working.Calc("Ms", "resin soaked up, "+z.Name, A.Value*soak.Value, "kg", "Ms = A·s", algebra, A, soak).Keyed(z.Key + ".soak")
	b.ResinKG = working.Calc("Mr", "resin, "+z.Name, A.Value*(lap.Value*resin+soak.Value), "kg", "Mr = A·f·q + Ms", algebra, A, lap, inLaminate, b.SoakKG).Keyed(z.Key + ".resin")
}

func (b *Build) strength(m *working.Figure) error {
	z := b.Zone
	u, err := UnitStrength(CSM)
	if err != nil {
		return err
	}
	X, err := UnitModulus(CSM)
	if err != nil {
		return err
	}
	b.StrengthNPerMM = working.Calc("N", "tensile strength per mm of width, "+z.Name, u.Value*m.Value, "N/mm", "N = u·m", bs4994Table5, u, m).Keyed(z.Key + ".strength")
	b.StiffnessNPerMM = working.Calc("EA", "stiffness per mm of width, "+z.Name, X.Value*m.Value, "N/mm", "EA = X·m", bs4994Table5, X, m).Keyed(z.Key + ".stiffness")
	return nil
}

// DesignUnitLoad returns the load a mm of width may carry in use, N/mm: strength over design factor.
func (b *Build) DesignUnitLoad(K *working.Figure) (*working.Figure, error) {
	if !(K.Value >= 1) {
		return nil, fmt.Errorf("laminate: design factor %g is below 1", K.Value)
	}
	return working.Calc("uL", "allowed load per mm of width, "+b.Zone.Name, b.StrengthNPerMM.Value/K.Value, "N/mm", "uL = N/K",
		working.Source{Title: "BS 4994:1987", Clause: "clause 9", Standing: working.Remembered}, b.StrengthNPerMM, K).Keyed(b.Zone.Key + ".allowed_load"), nil
}
