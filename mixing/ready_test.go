package mixing

import "testing"

// By hand: pieces of 0.4, 0.3, 0.3 and 1.3 kg in mixes of 0.6 kg are one, one with two pieces, and
// three for the last: five mixes of 2.5 min by one man; of two, the second makes three of them.
// Weighing and stirring: common practice, no source.
func TestReadyMinByHand(t *testing.T) {
	items := []Detail{{KG: 0.4, ManMinutes: 4}, {KG: 0.3, ManMinutes: 3}, {KG: 0.3, ManMinutes: 3}, {KG: 1.3, ManMinutes: 13}}
	for gangs, want := range map[int]float64{1: 5 * 2.5, 2: 3 * 2.5, 0: 5 * 2.5} {
		if got := ReadyMin(items, 0.6, gangs); got != want {
			t.Errorf("%d gangs: %g min, want %g", gangs, got, want)
		}
	}
	if ReadyMin(nil, 0.6, 2) != 0 || ReadyMin(items, 0, 2) != 0 {
		t.Error("nothing takes time")
	}
}
