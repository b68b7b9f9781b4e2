package laying

import (
	"math"

	"gelwright/cure"
)

// How far a kept curve may stand off the one that was worked out: on paper a twentieth of
// a millimetre.
const (
	curveAlpha = 0.0005 // of conversion
	curveK     = 0.02
)

// keptCurve leaves out the moments that lie on the line of those about them, over the
// logarithm of time, in which curves of hardening are drawn.
func keptCurve(all []cure.Moment) []cure.Moment {
	if len(all) < 3 {
		return all
	}
	over := func(m cure.Moment) float64 { return math.Log(math.Max(m.Min, 1)) }
	a, b := all[0], all[len(all)-1]
	far, at := 1.0, 0
	for i := 1; i < len(all)-1; i++ {
		share := 0.0
		if d := over(b) - over(a); d > 0 {
			share = (over(all[i]) - over(a)) / d
		}
		off := math.Max(math.Abs(all[i].Alpha-a.Alpha-share*(b.Alpha-a.Alpha))/curveAlpha,
			math.Abs(all[i].TempC-a.TempC-share*(b.TempC-a.TempC))/curveK)
		if off > far {
			far, at = off, i
		}
	}
	if at == 0 {
		return []cure.Moment{a, b}
	}
	left := keptCurve(all[:at+1])
	return append(left[:len(left):len(left)], keptCurve(all[at:])[1:]...)
}
