package rework

import (
	"testing"

	"gelwright/working"
)

func TestPrintedHasItsHalf(t *testing.T) {
	for v, want := range map[float64][2]float64{1375.84: {1376, 0.5}, 17.9249: {17.92, 0.005}, 0.02851: {0.0285, 0.00005}, 0.000123456: {0.0001235, 0.00000005}, 0: {0, 0}} {
		if read, half := Printed(v); read != want[0] || half < want[1]*0.999 || half > want[1]*1.001 {
			t.Errorf("%v: %v ± %v, want %v", v, read, half, want)
		}
	}
}

// TestAWrongFigureIsSeen: a value that its formula does not give, beyond rounding.
func TestAWrongFigureIsSeen(t *testing.T) {
	q, a := working.Measured("q", "rate", 1.50004, "kg/m²", "test"), working.Measured("A", "area", 17.924, "m²", "test")
	f := working.MustFormula("M = q·A").Figure("resin", "kg", working.Source{}, q, a)
	if faults, n := Faults([]*working.Figure{f}); len(faults) != 0 || n != 1 {
		t.Errorf("%v", faults)
	}
	for _, off := range []float64{1.002, 0.998} {
		wrong := *f
		wrong.Value *= off
		if faults, _ := Faults([]*working.Figure{&wrong}); len(faults) != 1 {
			t.Errorf("times %g: %v", off, faults)
		}
	}
	bare := working.Figure{Name: "resin", Formula: "M = q·A", Value: 3}
	if faults, _ := Faults([]*working.Figure{&bare}); len(faults) != 2 {
		t.Errorf("%v", faults)
	}
}
