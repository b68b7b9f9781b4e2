package drawing

import (
	"slices"
	"strings"
	"testing"
)

// The diagonals of the garage of 3.2 × 5.6 m are √(3.2² + 5.6²) = 6.450 m, both, and stand on
// its plan with the letters of their corners. The L is set out by two tapes from the ends of
// its longest edge, 7.2 m: its far corner d lies √(3.2² + 3.2²) = 4.525 m from a.
func TestDiagonalsToSetOutBy(t *testing.T) {
	for name, want := range map[string]string{"garage": "a–c 6450, b–d 6450", "wrapround": "a–d 4525"} {
		s, err := RoofPlan(jobs()[name])
		if err != nil {
			t.Fatal(err)
		}
		all := lettering(s.Scene)
		if text := strings.Join(all, " "); !strings.Contains(text, want) {
			t.Errorf("%s: the plan does not say %q", name, want)
		}
		for _, corner := range []string{"a", "b", "c", "d"} {
			if !slices.Contains(all, corner) {
				t.Errorf("%s: corner %s has no letter", name, corner)
			}
		}
	}
}
