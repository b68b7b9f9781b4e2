package mixing_test

import (
	"fmt"
	"math"

	"gelwright/mixing"
)

// A resin that gels in 22 minutes at 20 °C and 1.75 % (invented).
func gel(tempC, pct float64) (mixing.GelRange, error) {
	t := 22 * math.Exp(7457*(1/(tempC+273.15)-1/293.15)) * math.Pow(pct/1.75, -0.8)
	return mixing.GelRange{LowMin: 0.8 * t, LikelyMin: t, HighMin: 1.25 * t}, nil
}

// Four kilograms at 12 °C, ten minutes to lay them and five kept in hand.
func ExampleQuick() {
	resin := mixing.Resin{Name: "laminating resin", Gel: gel, MinPct: 1, MaxPct: 4, MinC: 5, MaxC: 35, DensityKGPerL: 1.1, CatalystGPerML: 1.15}
	charge, dose, err := mixing.Quick(resin, mixing.Aim{}, 12, 4, 10, 5)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f l of resin, %.2f %% by mass: %.0f g or %.0f ml of catalyst\n", charge.ResinL, dose.Pct, charge.CatalystG, charge.CatalystML)
	fmt.Printf("gels in about %.0f min (%.0f to %.0f)\n", dose.Gel.LikelyMin, dose.Gel.LowMin, dose.Gel.HighMin)

	_, _, err = mixing.Quick(resin, mixing.Aim{}, 2, 4, 10, 5)
	fmt.Println(err)
	// Output:
	// 3.6 l of resin, 2.40 % by mass: 96 g or 83 ml of catalyst
	// gels in about 35 min (28 to 44)
	// mixing: too cold: laminating resin is not to be laid below 5 °C and it is 2.0 °C: wait for a warmer hour; or warm resin and boards: store resin at 15 to 20 °C, tent and heat the deck, keep it from flame; or use a winter grade
}
