package movement

import (
	"math"
	"testing"

	"gelwright/check/country"
)

func TestFreeMovement(t *testing.T) {
	// Worked by hand: 30e−6·10 m·80 K = 24 mm; 20e−6 gives 16 mm; against timber 5e−6, 20 mm.
	for _, c := range []struct{ alpha, want float64 }{{30e-6, 24}, {20e-6, 16}, {25e-6, 20}} {
		if got := Free(10, c.alpha, 80); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("α %g: %g, want %g", c.alpha, got, c.want)
		}
	}
}

func field() Input {
	return Input{AreaM2: 43, LongestM: 9, Dark: true, Bays: 1, ThicknessMM: 1.5, ModulusN: 6500, CrackStrain: 0.012, BoardM: 1.2, MoistureChange: 4, BandageMM: 75, GapMM: 3, BandageThicknessMM: 1}
}

func TestDarkLargeRoofNeedsAJointAndALightOneDoesNot(t *testing.T) {
	set := country.Recommended()
	r := CheckJoints(field(), set)
	if r.Verdict != "fail" || len(r.Remedies) != 2 {
		t.Fatalf("dark, 43 m², 9 m: %+v", r)
	}
	light := field()
	light.Dark = false
	if r = CheckJoints(light, set); r.Verdict != "pass" {
		t.Errorf("light: %+v", r)
	}
	parted := field()
	parted.AreaM2, parted.LongestM = 21.5, 5
	if r = CheckJoints(parted, set); r.Verdict != "pass" {
		t.Errorf("parted: %+v", r)
	}
}

func TestBandageLowersTheStrain(t *testing.T) {
	r := CheckBoardJoints(field())
	if r.Verdict != "pass" && r.Verdict != "caution" {
		t.Errorf("bandaged: %+v", r)
	}
	bare := field()
	bare.BandageMM = 0
	b := CheckBoardJoints(bare)
	if b.Verdict != "fail" || b.Working[0].Value <= r.Working[0].Value {
		t.Errorf("bare: %+v", b)
	}
}
