package movement

import (
	"math"
	"testing"

	"gelwright/check/country"
)

func TestFreeMovement(t *testing.T) {
	// Worked by hand: 30e−6·10 m·80 K = 24 mm; 20e−6 gives 16 mm; against timber 5e−6, 20 mm.
	for _, c := range []struct{ alpha, want float64 }{{30e-6, 24}, {20e-6, 16}, {25e-6, 20}} {
		if got, err := freeMovement.Value([]string{"α", "L", "ΔT"}, []float64{c.alpha * 1e6, 10, 80}); err != nil || math.Abs(got-c.want) > 1e-9 {
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

func TestJointPositionsKeepEveryPartWithinTheLimits(t *testing.T) {
	// A hall of 30 by 20 m with twelve rooflights of 1.2 m at 5 m centres.
	f := Field{HighX: 30, HighY: 20}
	for i := 0; i < 6; i++ {
		for _, y := range []float64{4.4, 14.4} {
			x := 1.9 + 5*float64(i)
			f.Openings = append(f.Openings, Span2{x, y, x + 1.2, y + 1.2})
		}
	}
	xs, ys := Positions(f, 50, 10)
	check := func(low, high float64, at []float64) float64 {
		widest, last := 0.0, low
		for _, v := range append(append([]float64(nil), at...), high) {
			widest, last = math.Max(widest, v-last), v
		}
		return widest
	}
	w, h := check(0, 30, xs), check(0, 20, ys)
	if w > 10+1e-9 || h > 10+1e-9 || w*h > 50+1e-9 {
		t.Errorf("parts of %.2f by %.2f m from %v and %v", w, h, xs, ys)
	}
	for _, x := range xs {
		for _, o := range f.Openings {
			if x > o.LowX-ClearM+1e-9 && x < o.HighX+ClearM-1e-9 {
				t.Errorf("a joint at x %.2f runs into the rooflight from %.2f to %.2f", x, o.LowX, o.HighX)
			}
		}
	}
	if xs, ys := Positions(Field{HighX: 6, HighY: 5}, 50, 10); len(xs)+len(ys) != 0 {
		t.Errorf("a small roof was parted: %v %v", xs, ys)
	}
}

// A deck of 9 by 9 m is 81 m², over the 50 m² of practice: one joint of 9 m either way
// parts it, and the one that runs with the water can be raised.
func TestJointsRunWithTheWater(t *testing.T) {
	f := Field{HighX: 9, HighY: 9}
	f.DearX, f.DearY = 1, 3
	if xs, ys := Positions(f, 50, 10); len(xs) != 1 || len(ys) != 0 {
		t.Errorf("water along y: joints at x %v, at y %v; want one at x, which runs with it", xs, ys)
	}
	f.DearX, f.DearY = 3, 1
	if xs, ys := Positions(f, 50, 10); len(xs) != 0 || len(ys) != 1 {
		t.Errorf("water along x: joints at x %v, at y %v; want one at y", xs, ys)
	}
}
