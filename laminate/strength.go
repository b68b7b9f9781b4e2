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
