package works

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/programme"
)

// A stretch of laminate of less than an hour is not left between two day joints: of every pass each but the first, which has no joint
// before it, and the last, which has none after it, is to be gone on from while its edge is wet. An hour and more may stand by itself.
func TestNoStretchAloneBetweenTwoJoints(t *testing.T) {
	kept := 0
	for _, name := range []string{"r01-garage.yaml", "r07-overlay.yaml", "r12-hall.yaml"} {
		_, w, _ := example(t, name, 0)
		for i, s := range w.Stages {
			_, part, parts := strings.Cut(s.Name, ", part ")
			if s.Kind != programme.Laminate || !parts {
				continue
			}
			var k, of int
			if _, err := fmt.Sscanf(part, "%d of %d", &k, &of); err != nil {
				t.Fatal(err)
			}
			min := 0.0
			for _, x := range w.Stages[i].Parts {
				min += x.Min
			}
			if want := k > 1 && k < of && min < 60; s.NotAlone != want {
				t.Errorf("%s: %s of %.0f min: %v", name, s.Name, min, s.NotAlone)
			}
			if s.NotAlone {
				kept++
			}
		}
	}
	if kept == 0 {
		t.Error("no stretch lies between two others")
	}
}
