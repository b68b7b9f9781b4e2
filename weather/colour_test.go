package weather

import (
	"testing"

	"gelwright/working"
)

// Order is what matters: dark is hotter than light, and light than white.
func TestAbsorptanceOfColours(t *testing.T) {
	of := func(colour string) float64 { return Absorptance(colour).Value }
	last := 1.0
	for _, colour := range []string{"black", "Dark grey", "mid grey", "light grey", "white"} {
		f := Absorptance(colour)
		if f.Value >= last || f.Low >= f.Value || f.High <= f.Value || f.Source.Standing != working.Remembered {
			t.Errorf("%s: %+v", colour, f)
		}
		last = f.Value
	}
	if of("dark green") != of("dark") || of("pale blue") != of("light") {
		t.Error("dark and light come before the hue")
	}
	if f := Absorptance("plaid"); f.Source.Standing != working.Assumed || f.Low > 0.3 || f.High < 0.9 {
		t.Errorf("an unknown colour: %+v", f)
	}
}
