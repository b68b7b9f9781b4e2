package cure

import (
	"math"

	"gelwright/elementary"
)

// CriticalPsi returns the greatest Semenov number ψ at which a lumped body that heats
// itself by an Arrhenius rate, without using itself up, still finds a balance, and the
// reduced temperature rise θc there.
//
//	dθ/dt ∝ ψ·exp(θ/(1+εθ)) − θ, ε = R·Ta/E; θc = (1−2ε−√(1−4ε))/(2ε²)
//
// Semenov's classical limit with the full Arrhenius rate. For ε → 0 it is 1/e at
// θ = 1; the full form lies higher (0.386 at E 55 kJ/mol and 25 °C), so that 1/e may
// not be used in its place. For ε ≥ 1/4 there is no limit: +Inf.
func CriticalPsi(activationKJPerMol, airC float64) (psi, theta float64) {
	ε := gasKJ * (airC + zeroC) / activationKJPerMol
	if !(ε < 0.25) {
		return math.Inf(1), math.Inf(1)
	}
	// The form above loses digits for small ε; this is the same, multiplied out.
	theta = 2 / (1 - 2*ε + math.Sqrt(1-4*ε))
	return theta * elementary.Exp(-theta/(1+ε*theta)), theta
}

// psi is the Semenov number of a mass whose greatest rate at the air's temperature is
// rate: H·m·rate·E/(UA·R·Ta²).
func (k *Kinetics) psi(massKG, lossWPerK, airC, ratePerS float64) float64 {
	ta := airC + zeroC
	return 1000 * k.HeatKJPerKG * massKG * ratePerS * k.E2KJPerMol / (lossWPerK * gasKJ * ta * ta)
}
