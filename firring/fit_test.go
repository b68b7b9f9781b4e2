package firring

import (
	"math"
	"testing"
)

// Worked by hand: the hypotenuse from (4, 0) to (0, 3) meets a timber along y at
// atan(3/4) = 36.87°, and at x = 2 at y = 1.5; a timber 100 mm wide is cut from
// 1.5 + 0.05·3/4 m.
func TestSlantingEndsAreSkew(t *testing.T) {
	// Looking along +y, left is −x.
	chords := func(off float64) [][2]float64 { return [][2]float64{{0, 3 - 0.75*(2-off)}} }
	got := Fit(0.1, chords)
	if len(got) != 1 {
		t.Fatalf("%+v", got)
	}
	c := got[0]
	if math.Abs(c.To-1.5) > 1e-9 || c.From != 0 || c.SkewDeg[0] != 0 || math.Abs(c.SkewDeg[1]-36.8699) > 1e-3 {
		t.Errorf("%+v", c)
	}
	if l := c.LongestM(0.1); math.Abs(l-1.5375) > 1e-6 {
		t.Errorf("cut from %v m", l)
	}
}

// Where a notch takes one side away for a stretch the timber is parted squarely there.
func TestNotchPartsATimber(t *testing.T) {
	chords := func(off float64) [][2]float64 {
		if off > 0.02 {
			return [][2]float64{{0, 1}, {1.5, 4}}
		}
		return [][2]float64{{0, 4}}
	}
	got := Fit(0.05, chords)
	if len(got) != 2 || got[0] != (Fitted{From: 0, To: 1}) || got[1] != (Fitted{From: 1.5, To: 4}) {
		t.Errorf("%+v", got)
	}
}

func TestWithout(t *testing.T) {
	got := Without([][2]float64{{0, 4}, {5, 6}}, [][2]float64{{1, 2}, {3.5, 5.5}})
	want := [][2]float64{{0, 1}, {2, 3.5}, {5.5, 6}}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, want %v", got, want)
		}
	}
}
