package working_test

import (
	"testing"

	"gelwright/working"
)

// After one a word is singular; symbols and words that are no plural stay.
func TestUnitOf(t *testing.T) {
	for _, c := range []struct {
		v          float64
		unit, want string
	}{{1, "boards", "board"}, {1, "rolls", "roll"}, {2, "boards", "boards"}, {1.5, "rolls", "rolls"}, {1, "mPa·s", "mPa·s"}, {1, "m/s", "m/s"}, {1, "kg", "kg"}, {1, "piece", "piece"}, {1, "s", "s"}} {
		if got := working.UnitOf(c.v, c.unit); got != c.want {
			t.Errorf("%g %s: %q, want %q", c.v, c.unit, got, c.want)
		}
	}
	if got := (&working.Figure{Value: 1, Unit: "boards"}).Quantity(); got != "1 board" {
		t.Errorf("%q", got)
	}
}
