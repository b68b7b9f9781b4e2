package exposure

import (
	"fmt"
	"math"

	"gelwright/elementary"
)

// Notice returns the letter to neighbours, paragraph by paragraph. limitPPM is what may be
// breathed in eight hours of work; 0 leaves the comparison with the nose out.
func Notice(firm, place, from, to, lee string, limitPPM float64) []string {
	first := fmt.Sprintf("From %s to %s %s is laying a fibreglass roof at %s.", from, to, firm, place)
	if to == "" || from == to {
		first = fmt.Sprintf("On %s %s is laying a fibreglass roof at %s.", from, firm, place)
	}
	second := "While the resin is wet you may notice a strong sweet smell. It is styrene" + nose(limitPPM) + ". It fades within a day."
	if lee != "" {
		second += fmt.Sprintf(" With the wind forecast, the houses to the %s will notice it most.", lee)
	}
	return []string{first, second,
		"Please keep windows and vents on that side closed while we work, switch off fresh-air intakes and heat recovery, cover ponds and " +
			"aquaria with air pumps, and move cars and washing from below the roof.",
		"If anyone in your home is pregnant, has asthma or is upset by smells, tell us and we will agree a time that suits. Children and pets " +
			"stay away from the roof, the ladder and the mixing place."}
}

// nose compares what is smelt with what may be worked in, rounded to one digit.
func nose(limitPPM float64) string {
	times := limitPPM / OdourPPM
	if times < 2 {
		return ""
	}
	digit := elementary.Pow(10, math.Floor(math.Log10(times)))
	return fmt.Sprintf(", which the nose finds at about one %.0fth of what people may work in all day", math.Round(times/digit)*digit)
}
