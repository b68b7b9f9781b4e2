package cure

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Simulated: a roof that hardens a quarter slower than the table, one entry in ten off
// by a factor of four.
func TestHardeningLogsMoveTheirMilestone(t *testing.T) {
	tb := roofTable(t, "resin.all-season")
	rng := rand.New(rand.NewPCG(11, 3))
	var logs []HardLog
	wrong := 4
	for i := range 10 {
		deck := []Reading{{0, 8 + 12*rng.Float64()}}
		r, err := tb.Time(Walk, deck[0].TempC, 2, 1.125)
		if err != nil {
			t.Fatal(err)
		}
		min := r.LikelyMin * 1.25 * math.Exp(0.1*rng.NormFloat64())
		if i == wrong {
			min /= 4
		}
		logs = append(logs, HardLog{Milestone: Walk, Deck: deck, CatalystPct: 2, ResinKGPerM2: 1.125, Min: min})
	}
	got, report, err := tb.LearnHardening(logs)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "factor", report.Factor[Walk], 1.25, 0.10)
	if !report.Doubtful[wrong] || report.Weights[wrong] > 0.3 || report.Doubtful[0] {
		t.Errorf("the wrong entry: %+v", report)
	}
	a, _ := tb.Time(Walk, 15, 2, 1.125)
	b, _ := got.Time(Walk, 15, 2, 1.125)
	near(t, "likely", b.LikelyMin/a.LikelyMin, report.Factor[Walk], 1e-9)
	if math.Log(b.HighMin/b.LowMin) >= math.Log(a.HighMin/a.LowMin) {
		t.Error("ten logs do not narrow the range")
	}
	c, _ := tb.Time(Sand, 15, 2, 1.125)
	d, _ := got.Time(Sand, 15, 2, 1.125)
	if c != d {
		t.Error("a walk moved the sanding")
	}
	for _, bad := range []HardLog{{Milestone: AtGel, Deck: []Reading{{0, 15}}, CatalystPct: 2, ResinKGPerM2: 1, Min: 20}, {Milestone: Walk, CatalystPct: 2, ResinKGPerM2: 1, Min: 20}, {Milestone: Walk, Deck: []Reading{{0, 15}}, CatalystPct: 2, ResinKGPerM2: 1, Min: -1}} {
		if _, _, err := tb.LearnHardening([]HardLog{bad}); err == nil {
			t.Errorf("%+v passes", bad)
		}
	}
}

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
