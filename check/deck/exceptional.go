package deck

import (
	"math"

	"gelwright/check/country"
	"gelwright/working"
)

// Exceptional snow is an accidental action: weight and snow bear no partial factor (EN 1990 eq.
// 6.11b), nor does the strength of timber and boards (EN 1995-1-1 table 2.3, from memory). The
// duration factor stays that of snow, short-term, though the standard allows an accident's. Deflection
// is not asked for.
const exceptionalM = 1.0

// underDrift names what governs.
const underDrift = "exceptional snow"

var eq611 = working.Source{Title: "EN 1990:2002", Clause: "eq. 6.11b, accidental design situation", Standing: working.Quoted}

// exceptional is the snow as a figure.
func (l Loads) exceptional() *working.Figure {
	return working.Measured("qA", "exceptional snow", l.ExceptionalKPa, "kN/m²", "check of snow")
}

// lasting is the duration factor of boards or joists under exceptional snow.
func lasting(of string, kmod float64, standing working.Standing) *working.Figure {
	return working.Constant("kA", "duration factor of "+of+" under exceptional snow", kmod, "",
		working.Source{Title: "EN 1995-1-1:2004", Clause: "table 3.1, short-term, service class 2", Standing: standing})
}

// accidentalFactor is γM of the accidental design situation.
func accidentalFactor() *working.Figure {
	return working.Constant("γA", "partial factor of strength in an accident", exceptionalM, "",
		working.Source{Title: "EN 1995-1-1:2004", Clause: "table 2.3, accidental combinations", Standing: working.Remembered})
}

// strength is the greatest use of the joist's strength by the spread load.
func (a JoistAnswer) strength() float64 { return math.Max(a.Bending, math.Max(a.Shear, a.Bearing)) }

// exceptionalUse is the use of the joist's strength under a line load, kN/m, in an accidental
// situation, from the answer a to the load wd, kN/m, of a persistent one.
func exceptionalUse(a JoistAnswer, line, wd, kmod, gm float64) float64 {
	return a.strength() * line / wd * kmod / gm / shortKmod // γA is 1
}

// ExceptionalCapacity returns the spread snow load, kN/m², at which the joist is just used up in
// an accidental design situation; nought where its own weight and the roof's use it up.
func (j Joist) ExceptionalCapacity(l Loads, set country.Set) (float64, error) {
	l.ExceptionalKPa = 1
	a, err := j.Solve(l, set)
	if err != nil {
		return 0, err
	}
	// The use grows with the whole line load in proportion.
	width := j.SpacingMM / 1000
	dead := l.DeadKPa*width + a.SelfKNPerM
	return math.Max(0, ((dead+width)/a.Exceptional-dead)/width), nil
}
