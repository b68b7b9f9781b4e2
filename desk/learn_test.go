package desk_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"gelwright/desk"
	"gelwright/gelfile"
	"gelwright/material"
)

// A gel that was made with the slow catalyst says nothing else of the resin than the same gel
// with the standard one, its factor sooner; a catalyst that nobody knows is a fault with its line.
func TestALogNamesItsCatalyst(t *testing.T) {
	cat := material.Generic()
	learn := func(text string) (*desk.Learned, error) {
		density, err := desk.CatalystGPerML(cat)
		if err != nil {
			t.Fatal(err)
		}
		log, err := gelfile.ReadLog("gels.csv", strings.NewReader(text), density)
		if err != nil {
			t.Fatal(err)
		}
		return desk.Learn(context.Background(), cat, desk.UsualResin, log)
	}
	slow, err := cat.Catalyst("catalyst.slow")
	if err != nil {
		t.Fatal(err)
	}
	if slow.GelFactor != 1.5 {
		t.Fatalf("the slow catalyst's factor is %g", slow.GelFactor)
	}
	plain, err := learn("temp_c,catalyst_pct,gel_min\n15,2,30\n18,2,24\n")
	if err != nil {
		t.Fatal(err)
	}
	same, err := learn("temp_c,catalyst_pct,gel_min,catalyst\n15,2,45,slow\n18,2,24,standard\n")
	if err != nil {
		t.Fatal(err)
	}
	unsaid, err := learn("temp_c,catalyst_pct,gel_min\n15,2,45\n18,2,24\n")
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range plain.Law.Gel.Mean {
		if math.Abs(same.Law.Gel.Mean[i]-v) > 1e-9 {
			t.Errorf("parameter %d is %g, with the standard catalyst %g", i, same.Law.Gel.Mean[i], v)
		}
	}
	if unsaid.Law.Gel.Mean == plain.Law.Gel.Mean {
		t.Error("a gel half as late again teaches nothing")
	}
	if _, err := learn("temp_c,catalyst_pct,gel_min,catalyst\n15,2,45,brisk\n"); err == nil || !strings.Contains(err.Error(), "gels.csv:2: ") ||
		!strings.Contains(err.Error(), "slow") {
		t.Errorf("an unknown catalyst: %v", err)
	}
}

// Millilitres of a log are those of the catalyst that its row names: a lighter one weighs less.
func TestALogsMillilitresAreThoseOfItsCatalyst(t *testing.T) {
	cat := material.Generic()
	for i := range cat.Catalysts {
		if cat.Catalysts[i].Speed == "slow" {
			cat.Catalysts[i].DensityGPerML = 1.08
		}
	}
	density, err := desk.CatalystGPerML(cat)
	if err != nil {
		t.Fatal(err)
	}
	log, err := gelfile.ReadLog("gels.csv", strings.NewReader("temp_c,catalyst_ml,mix_kg,gel_min,catalyst\n15,80,4,45,slow\n15,80,4,45,Slow\n"+
		"15,80,4,45,catalyst.slow\n15,80,4,30,standard\n15,80,4,30,\n"), density)
	if err != nil {
		t.Fatal(err)
	}
	// 80 ml in 4 kg: 1.08 and 1.15 g/ml are 2.16 and 2.30 % by mass.
	for i, want := range []float64{2.16, 2.16, 2.16, 2.30, 2.30} {
		if got := log.Gels[i].CatalystPct; math.Abs(got-want) > 1e-9 {
			t.Errorf("row %d: %.3f %% by mass, want %.2f", i+1, got, want)
		}
	}
}
