package cure

import (
	"testing"
)

// A bucket gels sooner than a cup by its own heat; the log is put right by that, and
// a drop by nearly nothing.
func TestAsCupTakesTheBucketsHeatOut(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	seen := GelLog{TempC: 20, CatalystPct: 2, Min: 18}
	big, err := Roof().AsCup(ctx, g, seen, 5, 1.1)
	if err != nil {
		t.Fatal(err)
	}
	small, err := Roof().AsCup(ctx, g, seen, 0.00001, 1.1)
	if err != nil {
		t.Fatal(err)
	}
	if big.Min < 1.05*seen.Min || big.Min > 1.3*seen.Min || small.Min > 1.08*seen.Min || small.Min < seen.Min {
		t.Errorf("18 min in 5 kg are %.1f in a cup, in a drop %.1f", big.Min, small.Min)
	}
}
