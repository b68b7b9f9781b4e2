package snow

import (
	"math"
	"strings"
	"testing"

	"gelwright/check/country"
	"gelwright/working"
)

func lying(sk float64) *working.Figure {
	return working.GivenFigure("sk", "snow on the ground", sk, "kN/m²", "test")
}

// taller is the drift below a building, by numbers.
func taller(sk, upperM, lowerM, heightM, slide float64) (Drift, error) {
	return againstTaller(lying(sk), working.GivenFigure("b1", "width of the taller building", upperM, "m", "test"), lowerM,
		working.GivenFigure("h", "height of the wall above the roof", heightM, "m", "test"), slide)
}

func TestDriftAgainstATallerBuilding(t *testing.T) {
	for _, c := range []struct {
		name                      string
		sk, b1, b2, h             float64
		shape, load, length, far_ float64
		tol                       float64
	}{
		{"Steel Buildings in Europe SSB03 appendix A, ridge", 0.65, 10, 40, 3, 4, 2.60, 6, 0, 0.005},
		{"Steel Buildings in Europe SSB03 appendix A, eave 4.25 m", 0.65, 10, 40, 4.25, 4, 2.60, 8.5, 0, 0.005},
		{"small roof worked from the clause (regression only)", 0.60, 8, 4, 2.5, 2.40, 1.44, 5, 1.12, 0.002},
		{"small roof, γh/sk and the cap meet (regression only)", 0.50, 8, 4, 1.0, 4.0, 2.00, 5, 1.44, 0.002},
		{"small roof, γh/sk governs (regression only)", 0.40, 6, 3, 0.6, 3.0, 1.20, 5, 1.68, 0.002},
	} {
		d, err := taller(c.sk, c.b1, c.b2, c.h, 0)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for _, v := range []struct {
			name      string
			got, want float64
		}{{"shape", d.Shape, c.shape}, {"load", d.LoadKPa, c.load}, {"length", d.LengthM, c.length}, {"far edge", d.FarShape, c.far_}} {
			if v.want != 0 && math.Abs(v.got-v.want) > c.tol*v.want {
				t.Errorf("%s: %s %.4f, want %.4f", c.name, v.name, v.got, v.want)
			}
		}
	}
}

func TestDriftBehindAParapet(t *testing.T) {
	// SSB03 p 3-43: h 3, b1 12.5, b2 25, sk 0.65 → ls 12.5, μ 4.00, s 2.60.
	d, err := BehindParapet(lying(0.65), 12.5, 25, 3)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(d.Shape-4) > 1e-9 || math.Abs(d.LoadKPa-2.6) > 1e-9 || d.LengthM != 12.5 {
		t.Errorf("SSB03 parapet: %+v", d)
	}
}

func TestDriftAtAnObstruction(t *testing.T) {
	for _, c := range []struct {
		name           string
		h, shape, load float64
	}{
		{"public lecture notes on annex B, case a", 1, 3.333, 2.00},
		{"public lecture notes on annex B, case b", 3, 5, 3.00},
	} {
		d, err := AtObstruction(lying(0.60), c.h)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(d.Shape-c.shape) > 0.005*c.shape || math.Abs(d.LoadKPa-c.load) > 0.005*c.load {
			t.Errorf("%s: %+v", c.name, d)
		}
	}
}

func TestFlatLoad(t *testing.T) {
	if s := Flat(lying(0.65)); math.Abs(s.Value-0.52) > 1e-12 { // SSB03 p 3-39
		t.Errorf("flat load %g", s.Value)
	}
}

func TestNoSnowLoadHeldIsAQuestion(t *testing.T) {
	for _, code := range []string{"IE", "DE"} {
		set, _ := country.For(code)
		r, f, err := Check(Input{Set: set, AltitudeM: 80})
		if err != nil || f.Persistent != nil || r.Verdict != "ask" {
			t.Fatalf("%s: %+v %v", code, r, err)
		}
		if want := "none is held here (" + set.Name + ")"; !strings.HasSuffix(r.Finding, want) {
			t.Errorf("%s: %q does not end with %q", code, r.Finding, want)
		}
	}
}
