package material

import (
	"slices"

	"gelwright/working"
)

// Resin is a polyester as its data sheet describes it: a laminating resin or a
// waxed top coat.
type Resin struct {
	// Key names it in files: "laminating". Name is printed.
	Key  string `json:"key"`
	Name string `json:"name"`
	// Coat marks a waxed, pigmented top coat.
	Coat bool `json:"coat,omitempty"`
	// Grade: "all-season", "summer", "winter".
	Grade string `json:"grade"`
	// DensityKGPerL of the liquid; CuredKGPerL of the cast.
	DensityKGPerL float64 `json:"density_kg_per_l"`
	CuredKGPerL   float64 `json:"cured_kg_per_l"`
	// GelPoints of the data sheet.
	GelPoints []GelPoint `json:"gel_points"`
	// MinPct and MaxPct bound the catalyst, per cent by mass of resin. MinMLPerL bounds it
	// from below as the jug shows it, ml to a litre of resin; 0 where the sheet gives per cent
	// alone. A resin has one of the two least doses: see [Resin.LeastPct].
	MinPct    float64 `json:"min_catalyst_pct"`
	MinMLPerL float64 `json:"min_catalyst_ml_per_l,omitempty"`
	MaxPct    float64 `json:"max_catalyst_pct"`
	// MinC and MaxC bound the working temperature of resin and deck.
	MinC float64 `json:"min_c"`
	MaxC float64 `json:"max_c"`
	// ActivationKJPerMol of the gel reaction with its standard deviation: data of
	// the resin, never a rule of doubling.
	ActivationKJPerMol   float64 `json:"activation_kj_per_mol"`
	ActivationSDKJPerMol float64 `json:"activation_sd_kj_per_mol"`
	// DoseExponent n in t ∝ c^−n with its standard deviation.
	DoseExponent   float64 `json:"dose_exponent"`
	DoseExponentSD float64 `json:"dose_exponent_sd"`
	// StyreneFraction by mass.
	StyreneFraction float64 `json:"styrene_fraction"`
	// HeatOfCureKJPerKG released by full cure.
	HeatOfCureKJPerKG float64 `json:"heat_of_cure_kj_per_kg"`
	// ShelfLifeMonths unopened.
	ShelfLifeMonths float64 `json:"shelf_life_months"`
	// PacksKG are the sizes it is sold in.
	PacksKG []float64 `json:"packs_kg"`
	// Standing says how far the numbers can be trusted.
	Standing string `json:"standing"`
	// Own are the fields that the firm's file gives; the others are those of the catalogue.
	Own []string `json:"own,omitempty"`
}

// Sheet is where fields of the resin come from: the data sheet that the firm has entered
// where its file gives them all, else the catalogue's example, which is invented.
func (r Resin) Sheet(fields ...string) working.Source {
	if ownAll(r.Own, fields) {
		return working.Source{Title: "data sheet of " + r.Name, Standing: working.Supplier}
	}
	return working.Source{Title: "catalogue's example of " + r.Name, Standing: working.Example}
}

func ownAll(own, fields []string) bool {
	for _, f := range fields {
		if !slices.Contains(own, f) {
			return false
		}
	}
	return true
}

// Invented reports whether the gel points are the catalogue's own example and nobody's data
// sheet: the resin in the van is then another brand.
func (r Resin) Invented() bool { return r.Sheet("gel_points").Standing != working.Supplier }

// GelPoint is one line of a data sheet's gel table: the time from mixing to gel of
// the sheet's test mass at one temperature and dose.
type GelPoint struct {
	TempC       float64 `json:"temp_c"`
	CatalystPct float64 `json:"catalyst_pct"` // by mass
	LowMin      float64 `json:"low_min"`
	HighMin     float64 `json:"high_min"`
}

// CoatLeastMLPerL is the least catalyst in a top coat, ml to the litre, in warm weather too
// (2 % by volume, about 1.8 % by mass): with less it stays soft, and no weather forgives it.
// Common practice, no source.
const CoatLeastMLPerL = 20

// LeastPct is the least catalyst by mass of resin, %, for a catalyst of a density, g/ml.
func (r Resin) LeastPct(catalystGPerML float64) float64 {
	if r.MinMLPerL > 0 && r.DensityKGPerL > 0 {
		return r.MinMLPerL * catalystGPerML / (10 * r.DensityKGPerL)
	}
	return r.MinPct
}

// MLPerL is a dose by mass of resin, %, as the jug shows it: ml of catalyst to a litre of
// resin.
func (r Resin) MLPerL(pct, catalystGPerML float64) float64 {
	return 10 * pct * r.DensityKGPerL / catalystGPerML
}

// Catalyst is the peroxide as it is sold.
type Catalyst struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	// Speed: "slow" for the heat, "standard", "fast" for the cold.
	Speed string `json:"speed"`
	// GelFactor is the gel time with it over that with the catalyst of the resin's sheet, at
	// the same dose and temperature, with the spread of its logarithm; 0 is taken as 1.
	GelFactor   float64 `json:"gel_factor,omitempty"`
	GelFactorSD float64 `json:"gel_factor_sd,omitempty"`
	// Gels are gel times of its own data sheet with a resin; they stand before the factor.
	Gels []CatalystGels `json:"gels,omitempty"`
	// DensityGPerML turns grams into millilitres of the jug.
	DensityGPerML  float64   `json:"density_g_per_ml"`
	PacksKG        []float64 `json:"packs_kg"`
	ActiveOxygen   float64   `json:"active_oxygen_pct"`
	SelfAccelC     float64   `json:"self_accelerating_c"`
	Standing       string    `json:"standing"`
	ShelfLifeMonth float64   `json:"shelf_life_months"`
	// Own are the fields that the firm's file gives; the others are those of the catalogue.
	Own []string `json:"own,omitempty"`
}

// Density is where the catalyst's density comes from: the data sheet that the firm has
// entered, else the usual one of the catalogue.
func (c Catalyst) Density() working.Source {
	if ownAll(c.Own, []string{"density_g_per_ml"}) {
		return working.Source{Title: "data sheet of " + c.Name, Standing: working.Supplier}
	}
	return working.Source{Title: "usual density of " + c.Name, Standing: working.Assumed}
}

// CatalystGels are the gel points of a catalyst with one resin.
type CatalystGels struct {
	// Resin is the key of the resin they were measured with.
	Resin  string     `json:"resin"`
	Points []GelPoint `json:"gel_points"`
}
