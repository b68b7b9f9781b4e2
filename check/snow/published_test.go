package snow

import (
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
	"gelwright/working"
)

func TestConstantsOfTheSnowStandard(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "EN 1991-1-3:2003 table 5.2, 0° ≤ α ≤ 30°", Place: "flatShape", Got: flatShape, Want: 0.8},
		{Clause: "EN 1991-1-3:2003 5.3.6, γ = 2 kN/m³", Place: "snowDensity", Got: snowDensity, Want: 2},
	})
}

// Worked apart from the clauses: 5.3.6 (0.8 ≤ μw ≤ 4, ls = 2h between 5 and 15 m) and annex B.
func TestEveryLimitOfTheDrifts(t *testing.T) {
	type drift struct{ shape, load, length, far float64 }
	hold := func(name string, d Drift, err error, w drift) {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		published.HoldWorked(t, []published.Worked{
			{Clause: name, Place: "shape", Got: d.Shape, Want: w.shape, Digits: 6}, {Clause: name, Place: "load", Got: d.LoadKPa, Want: w.load, Digits: 6},
			{Clause: name, Place: "length", Got: d.LengthM, Want: w.length, Digits: 6}, {Clause: name, Place: "far edge", Got: d.FarShape, Want: w.far, Digits: 6},
			{Clause: name, Place: "figure", Got: d.Figure.Value, Want: w.load, Digits: 6},
		})
	}
	for _, c := range []struct {
		name                 string
		sk, b1, b2, h, slide float64
		want                 drift
	}{
		{"5.3.6: μw not below 0.8, ls not below 5 m", 0.6, 1, 1, 2.4, 0, drift{0.8, 0.48, 5, 0.8}},
		{"5.3.6: μw not above 4; ls = 2h", 0.2, 10, 40, 3, 0, drift{4, 0.8, 6, 0.8}},
		{"5.3.6: γh/sk = 2·0.9/0.6 = 3; far edge 3 − 2.2·3/5", 0.6, 20, 3, 0.9, 0, drift{3, 1.8, 5, 1.68}},
		{"5.3.6: ls not above 15 m; far edge 0.8", 0.6, 10, 14.5, 10, 0, drift{1.225, 0.735, 15, 1.225 - 0.425*14.5/15}},
		{"5.3.6: μs of sliding snow is added", 0.6, 1, 9, 2.5, 0.5, drift{2.5, 1.5, 5, 0.8}},
		{"a roof as wide as the drift is long ends flat", 0.6, 7, 5, 2.5, 0, drift{2.4, 1.44, 5, 0.8}},
	} {
		d, err := taller(c.sk, c.b1, c.b2, c.h, c.slide)
		hold(c.name, d, err, c.want)
	}
	for _, c := range []struct {
		name          string
		sk, b1, b2, h float64
		want          drift
	}{
		{"annex B.4: ls = 5h; 2h/sk = 1/0.625", 0.625, 10, 0, 0.5, drift{1.6, 1, 2.5, 0.8}},
		{"annex B.4: ls not above 15 m; 2b/ls = 2·30/15", 0.2, 30, 0, 4, drift{4, 0.8, 15, 0.8}},
		{"annex B.4: ls = b1, μ not above 8", 0.5, 2, 50, 3, drift{8, 4, 2, 0.8}},
	} {
		d, err := BehindParapet(lying(c.sk), c.b1, c.b2, c.h)
		hold(c.name, d, err, c.want)
	}
	for _, c := range []struct {
		name  string
		sk, h float64
		want  drift
	}{
		{"annex B, obstruction: 2h/sk, ls = 5h", 0.5, 1, drift{4, 2, 5, 0.8}},
		{"annex B, obstruction: not above 5, ls not above 15 m", 0.5, 3.2, drift{5, 2.5, 15, 0.8}},
	} {
		d, err := AtObstruction(lying(c.sk), c.h)
		hold(c.name, d, err, c.want)
	}
}

// UK NA to BS EN 1991-1-3 NA.2.8 with its corrigendum: sk = 0.15 + (0.1·Z + 0.05) + (A − 100)/525.
func TestGroundSnowOfTheUKAnnex(t *testing.T) {
	for _, c := range []struct{ zone, a, sk float64 }{{3, 100, 0.50}, {3, 205, 0.70}, {1, 100, 0.30}, {6.5, 625, 1.85}} {
		f, err := ground(working.GivenFigure("Z", "zone", c.zone, "", "test"), c.a, nil)
		if err != nil {
			t.Fatal(err)
		}
		published.HoldWorked(t, []published.Worked{{Clause: "UK NA NA.2.8", Place: "ground", Got: f.Value, Want: c.sk, Digits: 9}})
	}
	for _, zone := range []float64{0.999, 6.501} {
		if _, err := ground(working.GivenFigure("Z", "zone", zone, "", "test"), 100, nil); err == nil {
			t.Errorf("zone %g was answered", zone)
		}
	}
}

func TestNothingToDriftIsRefused(t *testing.T) {
	for _, c := range [][4]float64{{0, 1, 1, 1}, {1, 0, 1, 1}, {1, 1, 0, 1}, {1, 1, 1, 0}} {
		if _, err := taller(c[0], c[1], c[2], c[3], 0); err == nil {
			t.Errorf("%v was answered", c)
		}
	}
	for _, c := range [][4]float64{{0, 1, 1, 1}, {1, 0, 1, 1}, {1, 1, -0.1, 1}, {1, 1, 1, 0}} {
		if _, err := BehindParapet(lying(c[0]), c[1], c[2], c[3]); err == nil {
			t.Errorf("%v was answered", c)
		}
	}
	for _, c := range [][2]float64{{0, 1}, {1, 0}} {
		if _, err := AtObstruction(lying(c[0]), c[1]); err == nil {
			t.Errorf("%v was answered", c)
		}
	}
}

func TestVerdictOnSnow(t *testing.T) {
	england, _ := country.For("GB-ENG")
	in := Input{Set: england, GroundKPa: 0.5, WidthM: 4, Carries: Carries(0.4)}
	for _, c := range []struct {
		name     string
		change   func(*Input)
		verdict  check.Verdict
		worst    float64
		use      float64
		says     string
		warnings int
	}{
		{"flat, just carried: 0.8·0.5", func(*Input) {}, check.Pass, 0.4, 1, "flat load 0.40 kN/m²", 0},
		{"flat, not carried", func(in *Input) { in.Carries.KPa = 0.32 }, check.Fail, 0.4, 1.25, "flat load", 0},
		{"the joists carry no more than the roof", func(in *Input) { in.Carries = Carries(0) }, check.Fail, 0.4, 2, "used up by the roof's own weight", 0},
		{"a kerb of 0.25 m drifts 2·0.25/0.5 = 1: more than lies flat", func(in *Input) { in.KerbM, in.Carries.KPa = 0.25, 1 }, check.Pass, 0.5, 0.5,
			"drift at the kerb of an opening 0.50 over 1.2 m (accidental, annex B", 0},
		{"a kerb of 0.2 m drowns in what lies flat", func(in *Input) { in.KerbM, in.Carries.KPa = 0.2, 1 }, check.Pass, 0.4, 0.4, "flat load 0.40 kN/m²; the joists carry 1.00", 0},
		{"nobody knows the joists", func(in *Input) { in.Carries = Unknown("not seen") }, check.Ask, 0.4, 0, "flat load", 0},
		{"a wall of 2 m, building behind 10 m by assumption: μw = 14/4 = 3.5", func(in *Input) { in.WallHeightM, in.Carries.KPa = 2, 3.5 }, check.Caution, 1.75, 0.5, "drift at the wall 1.75 over 5.0 m (persistent, 5.3.6)", 1},
		{"the same with the building's width, 6 m: 10/4 = 2.5", func(in *Input) { in.WallHeightM, in.UpperWidthM, in.Carries.KPa = 2, 6, 2.5 }, check.Pass, 1.25, 0.5, "drift at the wall 1.25", 0},
		{"the wall's height by assumption", func(in *Input) {
			in.WallHeightM, in.UpperWidthM, in.WallWhy, in.Carries.KPa = 2, 6, "as high as a storey", 2.5
		}, check.Caution, 1.25, 0.5, "drift at the wall 1.25", 1},
		{"a parapet of 0.3 m: min(2·0.3/0.5, 2·4/1.5) = 1.2", func(in *Input) { in.ParapetM, in.Carries.KPa = 0.3, 1 }, check.Pass, 0.6, 0.6, "drift behind the parapet 0.60 over 1.5 m (accidental, annex B", 0},
		{"a parapet of 0.1 m drifts less than lies flat", func(in *Input) { in.ParapetM, in.Carries.KPa = 0.1, 1 }, check.Pass, 0.4, 0.4, "behind the parapet 0.20 over 0.5 m", 0},
		{"a parapet of 0.2 m drifts as much as lies flat", func(in *Input) { in.ParapetM, in.Carries.KPa = 0.2, 1 }, check.Pass, 0.4, 0.4, "behind the parapet 0.40 over 1.0 m", 0},
		{"the UK's formula, zone 2 at 100 m: 0.4, flat 0.32", func(in *Input) { in.GroundKPa, in.Zone, in.AltitudeM, in.Carries.KPa = 0, 2, 100, 0.64 }, check.Caution, 0.32, 0.5, "flat load 0.32", 1},
		{"no zone read: 3 stands in, 0.5", func(in *Input) { in.GroundKPa, in.AltitudeM, in.Carries.KPa = 0, 100, 0.8 }, check.Caution, 0.4, 0.5, "flat load 0.40", 2},
	} {
		i := in
		c.change(&i)
		r, f, err := Check(i)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if r.Verdict != c.verdict || math.Abs(f.Value-c.worst) > 1e-9 || math.Abs(r.Utilisation-c.use) > 1e-9 || !strings.Contains(r.Finding, c.says) || len(r.Flags) != c.warnings {
			t.Errorf("%s: %s, %.4f, used to %.4f, %q, %q", c.name, r.Verdict, f.Value, r.Utilisation, r.Finding, r.Flags)
		}
		if (r.Verdict == check.Fail) != (len(r.Remedies) > 0) || (r.Verdict == check.Fail || r.Verdict == check.Ask) != (r.CallFor != "") {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
	for _, bad := range []Input{{Set: england, Zone: 7}, {Set: england, GroundKPa: 0.5, WallHeightM: 2}, {Set: england, GroundKPa: 0.5, ParapetM: 0.3}} {
		if _, _, err := Check(bad); err == nil {
			t.Errorf("%+v was answered", bad)
		}
	}
}
