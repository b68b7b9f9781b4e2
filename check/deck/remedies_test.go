package deck

import (
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/working"
)

// A beam is 100 mm wide; n beams part a clear span c into n + 1 spans of (c − 100n)/(n + 1), so n is the least whole number of at
// least (c + 100)/(s + 100) − 1 (worked apart).
func TestBearersInBetween(t *testing.T) {
	for _, c := range []struct {
		clear, most float64
		want        string
	}{{4000, 1950, "a beam"}, {4000, 1949, "2 beams"}, {4000, 1266.7, "2 beams"}, {4000, 1266, "3 beams"}, {3000, 2950, "a beam"}} {
		if got := bearers(c.clear, c.most); got != c.want {
			t.Errorf("%g mm in spans of %g: %s, want %s", c.clear, c.most, got, c.want)
		}
	}
}

// What a check advises is carried when it is done.
func TestJoistRemediesCarry(t *testing.T) {
	set := country.Recommended()
	j := Joist{WidthMM: 47, DepthMM: 120, ClearMM: 3600, SpacingMM: 400, Class: "C16"}
	r, err := CheckJoist(j, roofLoads(), set, false)
	if err != nil || r.Verdict != check.Fail || len(r.Remedies) != 2 {
		t.Fatalf("%v %+v", err, r)
	}
	deeper := j
	for _, d := range []float64{145, 170, 195} {
		deeper.DepthMM = d
		a, _ := deeper.Solve(roofLoads(), set)
		u, _ := a.Governing()
		if u > 1 {
			continue
		}
		if !strings.Contains(r.Remedies[0].Text, "joists "+r.Remedies[0].Value+" mm deep") || r.Remedies[0].Value != strings.TrimSuffix(working.Number(d), ".0") {
			t.Errorf("%+v, want %g mm", r.Remedies[0], d)
		}
		break
	}
	s, _ := j.AllowedClear(roofLoads(), set)
	if !strings.Contains(r.Remedies[1].Text, bearers(3600, s)+" in between") {
		t.Errorf("%q, want spans of %g", r.Remedies[1].Text, s)
	}
}

// The printed span is the span in metres, with what it follows from; a shear strength is worth what its own source is worth, and a
// bearing nobody gave is assumed.
func TestWorkingsOfJoists(t *testing.T) {
	set := country.Recommended()
	rows, err := SpanTable("C16", [][2]float64{{47, 195}}, []float64{400}, roofLoads(), set)
	if err != nil || len(rows) != 1 || math.Abs(rows[0].Figures[0].Value-rows[0].SpanM[0]) > 1e-9 || rows[0].SpanM[0] < 3 || rows[0].SpanM[0] > 6 {
		t.Fatalf("%+v %v", rows, err)
	}
	if _, err := SpanTable("C99", [][2]float64{{47, 195}}, []float64{400}, roofLoads(), set); err == nil {
		t.Error("a class that is not held was answered")
	}
	for bearing, want := range map[float64]working.Standing{0: working.Assumed, 60: working.Derived} {
		r, err := CheckJoist(Joist{WidthMM: 47, DepthMM: 195, ClearMM: 3000, SpacingMM: 400, BearingMM: bearing, Class: "C16"}, roofLoads(), set, false)
		if err != nil {
			t.Fatal(err)
		}
		found := map[string]*working.Figure{}
		var walk func(f *working.Figure)
		walk = func(f *working.Figure) {
			found[f.Symbol] = f
			for _, in := range f.Inputs {
				walk(in)
			}
		}
		walk(r.Working[0])
		if f := found["l"]; f == nil || f.Source.Standing != want {
			t.Errorf("bearing %g: %+v", bearing, f)
		}
		if v, m := found["fv,k"], found["fm,k"]; v.Source.Standing != working.Remembered || m.Source.Standing != working.Quoted {
			t.Errorf("C16: shear %s, bending %s", v.Source.Standing, m.Source.Standing)
		}
	}
}
