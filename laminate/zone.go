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
	// From knows whether the mats were written by somebody.
	From working.Giver
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
	return working.Constant("Rt", "resin to glass ratio of tissue", TissueRatio, "",
		working.Source{Title: "resin-rich surface layer, about 10 % glass", Standing: working.Remembered})
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
	inputs := make([]*working.Figure, 0, len(z.Layers))
	for i, g := range z.Layers {
		inputs = append(inputs, working.From(z.From, "g", fmt.Sprintf("mat layer %d", i+1), g, "g/m²", "spec.layers_g_per_m2"))
	}
	return glassInMats.Figure("glass in the mats", "kg/m²", algebra, inputs...)
}

var (
	glassInMats     = working.MustFormula("m = Σ g/1000")
	matThickness    = working.MustFormula("T = t·m")
	tissueThickness = working.MustFormula("T = t·m + tt·gt/1000")
	glassPerM2      = working.MustFormula("mg = m")
	glassWithTissue = working.MustFormula("mg = m + gt/1000")
	resinInMats     = working.MustFormula("q = m·R")
	resinWithTissue = working.MustFormula("q = m·R + Rt·gt/1000")
	ownWeight       = working.MustFormula("w = mg + q")
	resinPerM2      = working.MustFormula("Q = q + s")
	glassMass       = working.MustFormula("Mg = A·f·mg")
	soakMass        = working.MustFormula("Ms = A·s")
	resinMass       = working.MustFormula("Mr = A·(f·q + s)")
	unitStrength    = working.MustFormula("N = u·m")
	unitStiffness   = working.MustFormula("EA = X·m")
)

func (b *Build) thickness(perKG, m *working.Figure) error {
	z := b.Zone
	t := matThickness.Figure("thickness of the laminate, "+z.Name, "mm", bs4994Fig, perKG, m)
	if z.TissueGPerM2 > 0 {
		g, tt, err := tissue(z)
		if err != nil {
			return err
		}
		t = tissueThickness.Figure("thickness of the laminate, "+z.Name, "mm", bs4994Fig, perKG, m, tt.As("tt"), g)
	}
	b.ThicknessMM = t.Keyed(z.Key + ".thickness").Noting("cured, without voids; hand lay-up comes out 2 to 5 % thicker")
	var err error
	if b.VolumeGlass, err = VolumeFraction(b.GlassFraction, z.Densities); err != nil {
		return err
	}
	b.DensityGCM3, err = Density(b.GlassFraction, z.Densities)
	return err
}

func tissue(z Zone) (g, perKG *working.Figure, err error) {
	g = working.From(z.From, "gt", "surface tissue", z.TissueGPerM2, "g/m²", "spec.tissue_g_per_m2")
	x, err := GlassFraction(tissueRatio())
	if err != nil {
		return nil, nil, err
	}
	perKG, err = ThicknessPerKG(x, z.Densities)
	return g, perKG, err
}

func (b *Build) masses(m *working.Figure) {
	z := b.Zone
	A, R, lap := z.AreaM2.As("A"), z.ResinToGlass.As("R"), working.Measured("f", "glass laid over surface covered", z.LapFactor, "",
		"set-out of the mat, laps counted")
	b.GlassKGPerM2 = glassPerM2.Figure("glass for each m², "+z.Name, "kg/m²", algebra, m)
	q := resinInMats.Figure("resin in the laminate for each m²", "kg/m²", algebra, m, R)
	if z.TissueGPerM2 > 0 {
		g := working.From(z.From, "gt", "surface tissue", z.TissueGPerM2, "g/m²", "spec.tissue_g_per_m2")
		b.GlassKGPerM2 = glassWithTissue.Figure("glass for each m², "+z.Name, "kg/m²", algebra, m, g)
		q = resinWithTissue.Figure("resin in the laminate for each m²", "kg/m²", algebra, m, R, tissueRatio().As("Rt"), g)
	}
	b.CuredKGPerM2 = ownWeight.Figure("laminate's own weight, "+z.Name, "kg/m²", algebra, b.GlassKGPerM2, q).Keyed(z.Key + ".weight")
	soak := z.SoakKGPerM2.As("s")
	if soak == nil {
		soak = working.AssumedFigure("s", "resin the surface drinks", 0, "kg/m²", "surface that does not soak, such as a trim")
	}
	b.ResinKGPerM2 = resinPerM2.Figure("resin for each m², "+z.Name, "kg/m²", algebra, q, soak).Keyed(z.Key + ".resin_rate")
	b.GlassKG = glassMass.Figure("glass, "+z.Name, "kg", algebra, A, lap, b.GlassKGPerM2).Keyed(z.Key + ".glass")
	b.SoakKG = soakMass.Figure("resin soaked up, "+z.Name, "kg", algebra, A, soak).Keyed(z.Key + ".soak")
	b.ResinKG = resinMass.Figure("resin, "+z.Name, "kg", algebra, A, lap, q, soak).Keyed(z.Key + ".resin")
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
	b.StrengthNPerMM = unitStrength.Figure("tensile strength per mm of width, "+z.Name, "N/mm", bs4994Table5, u, m).Keyed(z.Key + ".strength")
	b.StiffnessNPerMM = unitStiffness.Figure("stiffness per mm of width, "+z.Name, "N/mm", bs4994Table5, X, m).Keyed(z.Key + ".stiffness")
	return nil
}
