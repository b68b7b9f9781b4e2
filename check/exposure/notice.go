package exposure

import "fmt"

// Notice returns the letter to neighbours, paragraph by paragraph.
func Notice(firm, place, from, to string, lee string) []string {
	first := fmt.Sprintf("From %s to %s %s is laying a fibreglass roof at %s.", from, to, firm, place)
	if to == "" || from == to {
		first = fmt.Sprintf("On %s %s is laying a fibreglass roof at %s.", from, firm, place)
	}
	second := "While the resin is wet you may notice a strong sweet smell. It is styrene, which the nose finds at a thousandth of what the law allows people to work in. It fades within a day."
	if lee != "" {
		second += fmt.Sprintf(" With the wind forecast, the houses to the %s will notice it most.", lee)
	}
	return []string{first, second,
		"Please keep windows and vents on that side closed while we work, switch off fresh-air intakes and heat recovery, cover ponds and aquaria with air pumps, and move cars and washing from below the roof.",
		"If anyone in your home is pregnant, has asthma or is upset by smells, tell us and we will agree a time that suits. Children and pets stay away from the roof, the ladder and the mixing place."}
}
