package drawing_test

import (
	"strings"
	"testing"

	"gelwright/drawing"
	"gelwright/internal/examples"
)

// The label of a skew firring names the timber it is cut from and which end is skew, in
// lines that fit it.
func TestLabelOfASkewFirring(t *testing.T) {
	p := examples.Plan(t, "r05-triangle")
	for _, l := range drawing.Labels(p) {
		switch l.Number {
		case "F1":
			if !strings.Contains(l.Place, "set in") {
				t.Errorf("%+v", l)
			}
		case "F2":
			if l.Size != "2690 × 20–74 of 2714" || l.Place != "firring, thin end low; thin end skew 37°" {
				t.Errorf("%+v", l)
			}
			return
		}
	}
	t.Error("F2 has no label")
}
