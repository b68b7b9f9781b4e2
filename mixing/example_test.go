package mixing_test

import (
	"fmt"
	"math"

	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/working"
)

// A bucket of four kilograms at 12 °C, five minutes kept in hand, of a resin that gels
// in 22 minutes at 20 °C and 1.75 % (invented).
func ExampleChooseDose() {
	law := cure.Gel{
		Resin: "laminating resin", Mean: [3]float64{math.Log(22) + 0.8*math.Log(1.75/2), 62, 0.8}, DrumSD: 0.05, NoiseSD: 0.1,
		MinPct: 1, MaxPct: 4, MinC: 5, MaxC: 35, SeenMinC: 5, SeenMaxC: 35, SeenMinPct: 1, SeenMaxPct: 4,
		Evidence: "parameters as given", Standing: working.Given,
	}
	resin := mixing.Resin{Name: law.Resin, Law: law, DensityKGPerL: 1.1, CatalystGPerML: 1.15}
	dose, err := mixing.ChooseDose(resin, cure.Aim{}, cure.At(12), 5)
	if err != nil {
		fmt.Println(err)
		return
	}
	charge, err := mixing.ChargeOf(resin, 4, dose, "")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f l of resin, %.2f %% by mass: %.0f g or %.0f ml of catalyst\n", charge.ResinL, dose.Pct, charge.CatalystG, charge.CatalystML)
	fmt.Printf("gels in about %.0f min (%.0f to %.0f)\n", dose.Gel.LikelyMin, dose.Gel.LowMin, dose.Gel.HighMin)

	_, err = mixing.ChooseDose(resin, cure.Aim{}, cure.At(2), 5)
	fmt.Println(err)
	// Output:
	// 3.6 l of resin, 2.40 % by mass: 96 g or 83 ml of catalyst
	// gels in about 35 min (29 to 42)
	// cure: too cold: laminating resin is not laid below 5 °C and it is 2.0 °C: wait for 5 °C and rising; or warm the materials and the deck: resin kept at 15 to 20 °C, a tent, no flame; or use a winter grade
}
