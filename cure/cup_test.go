package cure

import (
	"math"
	"testing"
)

// A pail gels a little sooner than the sheet's cup by its own heat: a log of it is put right
// by that, a cup's is left as it is, and a drop's, which does not warm, is shortened.
func TestAsCupTakesTheBucketsHeatOut(t *testing.T) {
	g, _ := sheetGel(t, "resin.all-season")
	seen := GelLog{TempC: 20, CatalystPct: 2, Min: 18}
	as := func(kg float64) float64 {
		l, err := Roof().AsCup(ctx, g, seen, kg, 1.1)
		if err != nil {
			t.Fatal(err)
		}
		return l.Min
	}
	if big, cup, drop := as(5), as(0.1), as(0.00001); big < 1.001*seen.Min || big > 1.03*seen.Min || math.Abs(cup/seen.Min-1) > 1e-3 ||
		drop > 0.97*seen.Min || drop < 0.8*seen.Min {
		t.Errorf("18 min in 5 kg are %.2f in a cup, in a cup %.2f, in a drop %.2f", big, cup, drop)
	}
}
