package weather

import (
	"strings"

	"gelwright/working"
)

// colours are solar absorptances of painted and coated surfaces by colour: likely,
// low and high, recalled from the tables of ASHRAE Fundamentals and CIBSE Guide A.
var colours = []struct {
	words             []string
	likely, low, high float64
}{
	{[]string{"black", "anthracite"}, 0.93, 0.88, 0.97},
	{[]string{"dark"}, 0.90, 0.85, 0.95},
	{[]string{"white", "cream"}, 0.30, 0.25, 0.40},
	{[]string{"light", "pale"}, 0.55, 0.45, 0.65},
	{[]string{"lead", "slate"}, 0.85, 0.75, 0.92},
	{[]string{"brown", "green", "blue", "red", "terracotta"}, 0.75, 0.60, 0.88},
	{[]string{"mid", "grey", "gray"}, 0.75, 0.65, 0.82},
	{[]string{"clear", "none", "bare laminate", "laminate"}, 0.70, 0.55, 0.85},
	{[]string{"osb", "board", "timber", "plywood"}, 0.60, 0.50, 0.70},
}

// Absorptance is the solar absorptance of a colour in words ("light grey"), with
// its range; an unknown or empty colour takes that of mid grey, assumed. Dirt makes
// light colours darker within a few years.
func Absorptance(colour string) *working.Figure {
	c := strings.ToLower(colour)
	for _, k := range colours {
		for _, w := range k.words {
			if strings.Contains(c, w) {
				return working.Constant("α", "solar absorptance, "+c, k.likely, "",
					working.Source{Title: "ASHRAE Fundamentals and CIBSE Guide A, tables of absorptance", Standing: working.Remembered}).Between(k.low, k.high)
			}
		}
	}
	return working.AssumedFigure("α", "solar absorptance", 0.75, "", "colour not known: taken as mid grey").Between(0.25, 0.95)
}
