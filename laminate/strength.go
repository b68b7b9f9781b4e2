package laminate

import (
	"fmt"

	"gelwright/working"
)

// Reinforcement is a kind of glass with its design values.
type Reinforcement string

const (
	// CSM is chopped strand mat.
	CSM Reinforcement = "chopped strand mat"
	// WovenRoving is plain woven roving.
	WovenRoving Reinforcement = "woven roving"
)

var bs4994Table5 = working.Source{Title: "BS 4994:1987", Clause: "table 5; kept in EN 13121-3", Standing: working.Remembered}

var (
	tensileISO   = working.MustFormula("σ = 800x² − 80x + 37")
	tensileRules = working.MustFormula("σ = 200x + 25")
	modulusRules = working.MustFormula("E = 15x + 2")
	tensileUnit  = working.MustFormula("σ = u/t")
	modulusUnit  = working.MustFormula("E = X/t/1000")
	designFactor = working.MustFormula("K = max(3·k1·k2·k3·k4·k5, 8)")
	strainLimit  = working.MustFormula("ε = min(0.1·εr, 0.2)")
)

// UnitStrength returns the tensile strength u for each kg/m² of glass, N/mm per
// kg/m²: 200 for chopped strand mat, 250 for woven roving.
func UnitStrength(kind Reinforcement) (*working.Figure, error) {
	value := map[Reinforcement]float64{CSM: 200, WovenRoving: 250}[kind]
	if value == 0 {
		return nil, fmt.Errorf("laminate: no unit strength for %q: there is %q and %q", kind, CSM, WovenRoving)
	}
	return working.Constant("u", "unit tensile strength of "+string(kind), value, "N/mm per kg/m²", bs4994Table5), nil
}

// UnitModulus returns the stiffness X for each kg/m² of glass, N/mm per kg/m²:
// 14 000 for chopped strand mat, 16 000 for woven roving.
func UnitModulus(kind Reinforcement) (*working.Figure, error) {
	value := map[Reinforcement]float64{CSM: 14000, WovenRoving: 16000}[kind]
	if value == 0 {
		return nil, fmt.Errorf("laminate: no unit modulus for %q: there is %q and %q", kind, CSM, WovenRoving)
	}
	return working.Constant("X", "unit modulus of "+string(kind), value, "N/mm per kg/m²", bs4994Table5), nil
}

// LapShear returns the shear strength of a lap, N/mm²: 7.0 for chopped strand mat, 6.0 for woven roving.
func LapShear(kind Reinforcement) (*working.Figure, error) {
	value := map[Reinforcement]float64{CSM: 7, WovenRoving: 6}[kind]
	if value == 0 {
		return nil, fmt.Errorf("laminate: no lap shear strength for %q: there is %q and %q", kind, CSM, WovenRoving)
	}
	return working.Constant("τ", "lap shear strength of "+string(kind), value, "N/mm²", bs4994Table5), nil
}

// TensileISO12215 returns the ultimate tensile strength of a chopped strand
// laminate at glass content x by mass, N/mm²: 800x² − 80x + 37.
func TensileISO12215(x *working.Figure) *working.Figure {
	return tensileISO.Figure("tensile strength", "N/mm²",
		working.Source{Title: "ISO 12215-5:2008", Clause: "annex C, chopped strand mat", Standing: working.Remembered}, x)
}

// TensileClassRules returns the same by the rules for small craft: 200x + 25 N/mm².
func TensileClassRules(x *working.Figure) *working.Figure {
	return tensileRules.Figure("tensile strength", "N/mm²",
		working.Source{Title: "classification rules for small craft", Clause: "chopped strand mat", Standing: working.Remembered}, x)
}

// ModulusClassRules returns the tensile modulus by the rules for small craft, kN/mm² (GPa): 15x + 2.
func ModulusClassRules(x *working.Figure) *working.Figure {
	return modulusRules.Figure("tensile modulus", "kN/mm²",
		working.Source{Title: "classification rules for small craft", Clause: "chopped strand mat", Standing: working.Remembered}, x)
}

// TensileBS4994 returns the tensile strength as a stress, N/mm²: the unit strength
// over the thickness of one kg/m² of glass.
func TensileBS4994(kind Reinforcement, thicknessPerKG *working.Figure) (*working.Figure, error) {
	u, err := UnitStrength(kind)
	if err != nil {
		return nil, err
	}
	if !(thicknessPerKG.Value > 0) {
		return nil, fmt.Errorf("laminate: thickness %g mm per kg/m² is not positive", thicknessPerKG.Value)
	}
	return tensileUnit.Figure("tensile strength", "N/mm²", bs4994Table5, u, thicknessPerKG), nil
}

// ModulusBS4994 returns the tensile modulus as a stress, kN/mm² (GPa).
func ModulusBS4994(kind Reinforcement, thicknessPerKG *working.Figure) (*working.Figure, error) {
	X, err := UnitModulus(kind)
	if err != nil {
		return nil, err
	}
	if !(thicknessPerKG.Value > 0) {
		return nil, fmt.Errorf("laminate: thickness %g mm per kg/m² is not positive", thicknessPerKG.Value)
	}
	return modulusUnit.Figure("tensile modulus", "kN/mm²", bs4994Table5, X, thicknessPerKG), nil
}

// DesignFactors are the part factors of BS 4994 clause 9.
type DesignFactors struct {
	K1Method      float64 // 1.5 for hand lay-up
	K2Chemical    float64 // 1.2 to 2.0
	K3Temperature float64 // 1.0 to 1.25
	K4Cyclic      float64 // 1.1 to 2.0
	K5Cure        float64 // 1.1 full post-cure to 1.5 none
}

// RoofFactors returns the factors for a hand-laid roof without post-cure: weather
// only, hot in the sun, few load changes. They are an assumption within the
// ranges of BS 4994 clause 9.
func RoofFactors() DesignFactors {
	return DesignFactors{K1Method: 1.5, K2Chemical: 1.2, K3Temperature: 1.25, K4Cyclic: 1.1, K5Cure: 1.5}
}

// DesignFactor returns K = 3·k1·k2·k3·k4·k5, never less than 8.
func DesignFactor(k DesignFactors) (*working.Figure, error) {
	clause := working.Source{Title: "BS 4994:1987", Clause: "clause 9", Standing: working.Remembered}
	parts := []struct {
		symbol, name    string
		value, low, top float64
	}{
		{"k1", "method of making", k.K1Method, 1, 3}, {"k2", "chemical environment", k.K2Chemical, 1.2, 2},
		{"k3", "temperature", k.K3Temperature, 1, 1.25}, {"k4", "cyclic load", k.K4Cyclic, 1.1, 2}, {"k5", "cure", k.K5Cure, 1.1, 1.5},
	}
	inputs := make([]*working.Figure, 0, len(parts))
	for _, p := range parts {
		if !(p.value >= p.low && p.value <= p.top) {
			return nil, fmt.Errorf("laminate: factor %s for %s is %g: BS 4994 clause 9 has %g to %g", p.symbol, p.name, p.value, p.low, p.top)
		}
		inputs = append(inputs, working.Constant(p.symbol, "part factor for "+p.name, p.value, "", clause))
	}
	return designFactor.Figure("design factor", "", clause, inputs...), nil
}

// StrainLimit returns the greatest strain allowed in use: a tenth of the resin's
// elongation at break or 0.2 %, whichever is less. elongationPct is per cent.
func StrainLimit(elongationPct float64) (*working.Figure, error) {
	if !(elongationPct > 0 && elongationPct < 100) {
		return nil, fmt.Errorf("laminate: elongation at break %g %%: give the data sheet's figure, 1.5 to 5", elongationPct)
	}
	ε := working.Constant("εr", "elongation of the resin at break", elongationPct, "%", working.Source{Title: "resin data sheet", Standing: working.Supplier})
	return strainLimit.Figure("strain limit", "%",
		working.Source{Title: "BS 4994:1987", Standing: working.Remembered}, ε), nil
}
