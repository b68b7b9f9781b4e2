package settingout_test

import (
	"testing"

	"gelwright/roof"
	"gelwright/settingout"
)

// Common practice, no source: a fascia of 20 mm and a batten of 25 mm stand outside the timber of a raised edge, which is no
// narrower than 50 mm; the width of a kerb's top is that of all three.
func TestEdgeTimber(t *testing.T) {
	for topMM, want := range map[float64]float64{0: 50, 60: 50, 95: 50, 120: 75, 215: 170} {
		if got := settingout.EdgeTimberMM(roof.Edge{Condition: roof.Kerb, WidthMM: topMM}); got != want {
			t.Errorf("the timber under a top of %g mm is %g mm wide, not %g", topMM, got, want)
		}
	}
}
