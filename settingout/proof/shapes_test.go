package proof

import (
	"testing"

	"pgregory.net/rapid"

	_ "gelwright/internal/steady" // one seed everywhere
	"gelwright/plane"
)

// The distance to the nearest of several sides is the same whether those that lie farther off are
// measured or not.
func TestNearerMeasuresWhatIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) plane.Point {
			// Halves, so that points fall on sides and sides on one another.
			return plane.Point{X: float64(rapid.IntRange(-9, 9).Draw(t, name)) / 2, Y: float64(rapid.IntRange(-9, 9).Draw(t, name)) / 2}
		}
		p := at("point")
		least, got := 7.5, 7.5
		for range rapid.IntRange(1, 9).Draw(t, "sides") {
			s := segment{at("from"), at("to")}
			least, got = min(least, s.distance(p)), s.nearer(p, got)
			if got != least {
				t.Fatalf("%v beside %v: %v m, measured %v m", p, s, got, least)
			}
		}
	})
}
