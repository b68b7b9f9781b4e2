package wind

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// Trim is how an edge trim is fixed.
type Trim struct {
	// ExposedM is the width the wind takes hold of: flange and face, m.
	ExposedM float64
	// CloutSpacingMM along the flange; DiameterMM and PenetrationMM of a clout.
	CloutSpacingMM, DiameterMM, PenetrationMM float64
	// DensityKGPerM3 is the characteristic density of what it is nailed into.
	DensityKGPerM3 float64
	// GluedToo counts for nothing here: it is kept in hand.
	GluedToo bool
}

// instantaneous is where the duration factor of wind comes from.
var instantaneous = working.Source{Title: "EN 1995-1-1:2004",
	Clause: "table 3.1, service class 3, wind taken as short-term for timber outdoors", Standing: working.Remembered}

var (
	nailStrength    = working.MustFormula("fax,k = 20·10⁻⁶·ρk²")
	nailWithdrawal  = working.MustFormula("Rd = kmod·fax,k·d·t/γM")
	trimSuction     = working.MustFormula("w = γQ·qp·(cpi − cpe)·b")
	trimHold        = working.MustFormula("r = Rd/s")
	trimUtilisation = working.MustFormula("u = w/r")
)

// withdrawal is the design withdrawal resistance of a smooth nail, N:
// fax,k = 20·10⁻⁶·ρk², Rd = kmod·fax,k·d·t/γM (EN 1995-1-1 8.3.2, from memory).
func withdrawal(densityKGPerM3, diameterMM, penetrationMM float64, kmod, factor *working.Figure) *working.Figure {
	source := working.Source{Title: "EN 1995-1-1:2004", Clause: "8.3.2, eq. 8.25", Standing: working.Remembered}
	// A smooth nail that is held less than 8 d is outside the clause (8.3.2(7)); below 12 d it
	// counts for (t/4d − 2) of the value, which is nought at 8 d.
	if penetrationMM < leastHeld*diameterMM {
		source = working.Source{Title: fmt.Sprintf("estimate outside EN 1995-1-1 8.3.2, which asks %g d = %.0f mm held", leastHeld,
			leastHeld*diameterMM), Standing: working.Assumed}
	}
	strength := nailStrength.Figure("withdrawal strength of a smooth nail", "N/mm²", source,
		working.AssumedFigure("ρk", "density of the deck", densityKGPerM3, "kg/m³", "characteristic density of OSB/3, EN 12369-1, from memory"))
	return nailWithdrawal.Figure("design withdrawal of one clout", "N", source, kmod, strength,
		working.AssumedFigure("d", "clout", diameterMM, "mm", "galvanised clouts of 3 mm are usual"),
		working.AssumedFigure("t", "held length", penetrationMM, "mm",
			"as deep as the board is thick: a clout of 25 mm through the flange reaches through"), factor)
}

// leastHeld is the held length in diameters below which EN 1995-1-1 8.3.2(7) gives a smooth
// nail no withdrawal (from memory).
const leastHeld = 8.0

// CheckTrim returns the verdict on the fixing of edge trims: the corner suction for a
// small area, as an envelope for both sides of the trim, on flange and face.
func CheckTrim(p Pressure, t Trim, set country.Set) (check.Result, error) {
	r := check.Result{Key: "wind.trim", Title: "Will the edge trims stay on?", Clause: en("7.2.3, zone F for 1 m²")}
	if !(t.CloutSpacingMM > 0) || !(t.ExposedM > 0) || !(t.DiameterMM > 0) || !(t.PenetrationMM > 0) {
		return r, fmt.Errorf("a trim needs its clouts' spacing, diameter and held length above zero")
	}
	cpe, err := Coefficient(Corner, Eaves{}, 1)
	if err != nil {
		return r, err
	}
	rd := withdrawal(t.DensityKGPerM3, t.DiameterMM, t.PenetrationMM,
		working.Constant("kmod", "duration factor", 0.9, "", instantaneous), set.SolidTimberFactor.Figure("γM"))
	demand := trimSuction.Figure("suction on the trim", "kN/m", en("7.2.3"), set.WindFactor.Figure("γQ"), p.Figure,
		working.Constant("cpi", "internal pressure coefficient", internalPressure, "", en("7.2.9(6) note 2")),
		working.Constant("cpe", "corner suction on 1 m²", cpe, "", en("table 7.2")),
		working.AssumedFigure("b", "flange and face", t.ExposedM, "m", "width of the usual trims that the wind takes hold of"))
	have := trimHold.Figure("what the clouts hold", "kN/m", working.Source{Title: "clouts in a row", Standing: working.Derived}, rd,
		working.Constant("s", "clouts at", t.CloutSpacingMM, "mm",
			working.Source{Title: "clouts every 150 to 200 mm", Standing: working.CommonPractice}))
	use := trimUtilisation.Figure("utilisation of the trims' clouts", "", en("7.2.3"), demand, have).Keyed("check.wind.trim")
	r.Utilisation = use.Value
	r.Working = []*working.Figure{use}
	r.Finding = fmt.Sprintf("suction %.0f N/m against %.0f N/m of clouts alone; the adhesive is kept in hand", 1000*demand.Value,
		1000*have.Value)
	r.Flags = []string{"withdrawal of smooth nails: from memory, to be confirmed; boards hold nails less surely than solid timber"}
	r.Verdict = check.Pass
	if t.PenetrationMM < leastHeld*t.DiameterMM {
		r.Flags = append(r.Flags,
			fmt.Sprintf(
				"an estimate outside EN 1995-1-1 8.3.2: %.0f mm held is %.1f d, the clause asks %g d (%.0f mm); ring-shank nails or the adhesive "+
					"carry what it does not", t.PenetrationMM, t.PenetrationMM/t.DiameterMM, leastHeld, leastHeld*t.DiameterMM))
		r.Verdict = check.Caution
	}
	if r.Utilisation > 1 {
		r.Verdict = check.Fail
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf("clouts every %.0f mm, or ring-shank nails into solid timber", 5*math.Floor(t.CloutSpacingMM/r.Utilisation/5))}}
	}
	return r, nil
}

// SoftenTrim makes a question of trims that fail only in a wind that stands in for a map nobody
// has read, and says of any verdict that it does.
func SoftenTrim(r *check.Result, s Site, t Trim, set country.Set) {
	if s.Given {
		return
	}
	r.Flags = append(r.Flags, s.standIn())
	if r.Verdict != check.Fail {
		return
	}
	s.BasicMS = leastMapMS
	p, err := Peak(s, set)
	if err != nil {
		return
	}
	if least, err := CheckTrim(p, t, set); err == nil && least.Verdict != check.Fail {
		r.Verdict, r.CallFor = check.Ask, "whoever can read the national wind map: the basic wind velocity of the site"
	}
}
