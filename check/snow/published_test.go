package snow

import (
	"fmt"
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
		name          string
		sk, b1, b2, h float64
		want          drift
	}{
		{"annex B.3: ls = b1; 2b/ls with the taller building", 0.5, 4, 10, 2.5, drift{5, 2.5, 4, 0}},
		{"annex B.3: this roof is the wider", 0.5, 15, 10, 4, drift{2, 1, 15, 0}},
		{"annex B.3: ls = 5h; 2h/sk", 0.8, 4, 10, 0.4, drift{1, 0.8, 2, 0}},
		{"annex B.3: not above 8", 0.5, 2, 10, 2.5, drift{8, 4, 2, 0}},
	} {
		d, err := belowTaller(lying(c.sk), working.GivenFigure("b1", "", c.b2, "m", "test"), c.b1, working.GivenFigure("h", "", c.h, "m", "test"))
		hold(c.name, d, err, c.want)
	}
	for _, c := range []struct {
		name  string
		sk, h float64
		want  drift
	}{
		{"6.2, public worked example of a spreadsheet: h 2 m, sk 1.5: γh/sk 2.67, so 2; ls 4, so 5 m", 1.5, 2, drift{2, 3, 5, 0.8}},
		{"6.2: not below 0.8; ls not above 15 m", 30, 9, drift{0.8, 24, 15, 0.8}},
		{"6.2: γh/sk between; ls = 2h", 5, 3, drift{1.2, 6, 6, 0.8}},
	} {
		d, err := atProjection(lying(c.sk), c.h, "")
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

// The situations of EN 1991-1-3 table A.1: in the UK case B2 (SCI advisory note AD 484 on NA.2.2 and NA.2.3), elsewhere what
// the file says, and the worst where nobody has asked.
func TestVerdictOnSnow(t *testing.T) {
	england, _ := country.For("GB-ENG")
	ireland, _ := country.For("IE")
	plain := func(in *Input) { in.ExceptionalFactor, in.Drifts = 1, NoDrifts }
	for _, c := range []struct {
		name     string
		set      country.Set
		change   func(*Input)
		verdict  check.Verdict
		load     float64 // the persistent one
		rare     float64 // the exceptional one, as far as asked for
		use      float64
		says     string
		warnings int
	}{
		{"flat, just carried: 0.8·0.5", england, func(*Input) {}, check.Pass, 0.4, 0, 1, "flat load 0.40 kN/m²", 0},
		{"flat, not carried", england, func(in *Input) { in.Carries.KPa = 0.32 }, check.Fail, 0.4, 0, 1.25, "flat load", 0},
		{"the joists carry no more than the roof", england, func(in *Input) { in.Carries = Carries(0, 0) }, check.Fail, 0.4, 0, 2,
			"used up by the roof's own weight", 0},
		{"joists that carry a hundredth of a kN/m² carry no snow", england, func(in *Input) { in.Carries = Carries(0.0099, 9) }, check.Fail, 0.4, 0, 2,
			"used up by the roof's own weight", 0},
		{"joists that carry a whole hundredth are only weak", england, func(in *Input) { in.Carries = Carries(0.01, 9) }, check.Fail, 0.4, 0,
			40, "the joists carry 0.01", 0},
		{"nobody knows the joists, the drift weighs more", england, func(in *Input) { in.KerbM, in.Carries = 0.25, Unknown("not seen") },
			check.Ask, 0.4, 0.5, 0, "0.50 over 1.2 m", 0},
		{"two exceptional drifts, the second the greater: min(2·0.6/0.5, 5) = 2.4", england,
			func(in *Input) { in.ParapetM, in.KerbM, in.Carries = 0.3, 0.6, Carries(1, 1) }, check.Fail, 0.4, 1.2, 1.2, "the kerb of an opening 1.20", 0},
		{"two exceptional drifts, the first the greater", england,
			func(in *Input) { in.ParapetM, in.KerbM, in.Carries = 0.6, 0.3, Carries(1, 0.8) }, check.Fail, 0.4, 1.2, 1.5, "behind the parapet 1.20", 0},
		{"a persistent drift fails: γh/sk = 1.2", ireland, func(in *Input) {
			plain(in)
			in.ParapetM, in.Carries = 0.3, Carries(0.5, 9)
		}, check.Fail, 0.6, 0, 1.2, "drift behind the parapet 0.60", 0},
		{"a kerb of 0.25 m drifts 2·0.25/0.5 = 1, and no other way in the UK", england, func(in *Input) { in.KerbM, in.Carries = 0.25, Carries(1, 2) },
			check.Pass, 0.4, 0.5, 0.4, "drift at the kerb of an opening 0.50 over 1.2 m (accidental, annex B); the joists carry 1.00 kN/m², 2.00 in an", 0},
		{"a kerb of 0.2 m drowns in what lies flat", england, func(in *Input) { in.KerbM, in.Carries.KPa = 0.2, 1 }, check.Pass, 0.4, 0, 0.4,
			"flat load 0.40 kN/m²; the joists carry 1.00", 0},
		{"nobody knows the joists", england, func(in *Input) { in.Carries = Unknown("not seen") }, check.Ask, 0.4, 0, 0, "flat load", 0},
		{"annex B.3, building behind 10 m by assumption: min(2·2/0.5, 2·10/4, 8) = 5", england,
			func(in *Input) { in.WallHeightM, in.Carries = 2, Carries(0.8, 5) }, check.Caution, 0.4, 2.5, 0.5,
			"drift at the wall 2.50 over 4.0 m (accidental, annex B.3)", 2},
		{"the exceptional drift decides and is not carried", england,
			func(in *Input) { in.WallHeightM, in.UpperWidthM, in.Carries = 2, 6, Carries(0.8, 1) }, check.Fail, 0.4, 1.5, 1.5, "1.50 over 4.0 m", 1},
		{"the wall's height by assumption", england, func(in *Input) {
			in.WallHeightM, in.UpperWidthM, in.WallWhy, in.Carries = 2, 6, "as high as a storey", Carries(0.8, 3)
		}, check.Caution, 0.4, 1.5, 0.5, "drift at the wall 1.50", 2},
		{"a parapet of 0.3 m: min(2·0.3/0.5, 2·4/1.5) = 1.2", england, func(in *Input) { in.ParapetM, in.Carries = 0.3, Carries(1, 1) },
			check.Pass, 0.4, 0.6, 0.6, "drift behind the parapet 0.60 over 1.5 m (accidental, annex B.4)", 0},
		{"a deep parapet: the greater extent counts, min(2·1.5/0.5, 2·9/4, 8) = 4.5", england,
			func(in *Input) { in.ParapetM, in.LongM, in.Carries = 1.5, 9, Carries(1, 4.5) }, check.Pass, 0.4, 2.25, 0.5, "2.25 over 4.0 m", 0},
		{"the UK's formula, zone 2 at 100 m: 0.4, flat 0.32", england,
			func(in *Input) { in.GroundKPa, in.Zone, in.AltitudeM, in.Carries.KPa = 0, 2, 100, 0.64 }, check.Caution, 0.32, 0, 0.5, "flat load 0.32", 1},
		{"no zone read: 3 stands in, 0.5", england, func(in *Input) { in.GroundKPa, in.AltitudeM, in.Carries.KPa = 0, 100, 0.8 },
			check.Caution, 0.4, 0, 0.5, "flat load 0.40", 2},
		{"told that nothing is exceptional there: 5.3.6, (6 + 4)/4 = 2.5", ireland, func(in *Input) {
			plain(in)
			in.WallHeightM, in.UpperWidthM, in.Carries = 2, 6, Carries(2.5, 9)
		}, check.Pass, 1.25, 0, 0.5, "drift at the wall 1.25 over 5.0 m (persistent, 5.3.6); the joists carry 2.50 kN/m²", 0},
		{"6.2 behind a parapet: γh/sk = 2·0.3/0.5 = 1.2", ireland, func(in *Input) {
			plain(in)
			in.ParapetM, in.Carries = 0.3, Carries(1.2, 9)
		}, check.Pass, 0.6, 0, 0.5, "drift behind the parapet 0.60 over 5.0 m (persistent, 6.2)", 0},
		{"6.2 at a high kerb: no more than 2", ireland, func(in *Input) {
			plain(in)
			in.KerbM, in.Carries = 2, Carries(2, 9)
		}, check.Pass, 1, 0, 0.5, "drift at the kerb of an opening 1.00 over 5.0 m (persistent, 6.2)", 0},
		{"told of a factor of 3: 3·0.4, without partial factors", ireland, func(in *Input) {
			in.ExceptionalFactor, in.Drifts, in.Carries = 3, NoDrifts, Carries(1, 1)
		}, check.Fail, 0.4, 1.2, 1.2, "flat load of an exceptional fall 1.20 kN/m² (accidental, 4.3)", 0},
		{"nobody has asked, the worst is carried: 2·0.4", ireland, func(in *Input) { in.Carries = Carries(0.8, 0.8) }, check.Pass, 0.4, 0, 0.5,
			"flat load of an exceptional fall 0.80", 0},
		{"nobody has asked, the worst fall is not carried", ireland, func(in *Input) { in.Carries = Carries(0.8, 0.64) }, check.Ask, 0.4, 0, 0.5,
			"if the place counts it, the flat load of an exceptional fall uses 125 %", 0},
		{"nobody has asked, the worst drift is not carried", ireland, func(in *Input) {
			in.ExceptionalFactor, in.ParapetM, in.Carries = 1, 1, Carries(2, 0.8)
		}, check.Ask, 1, 0, 0.5, "if the place counts it, the drift behind the parapet uses 125 %", 0},
	} {
		i := Input{Set: c.set, GroundKPa: 0.5, WidthM: 4, Carries: Carries(0.4, 9)}
		c.change(&i)
		r, f, err := Check(i)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		rare := 0.0
		if f.Exceptional != nil {
			rare = f.Exceptional.Value
		}
		if r.Verdict != c.verdict || math.Abs(f.Persistent.Value-c.load) > 1e-9 || math.Abs(rare-c.rare) > 1e-9 ||
			math.Abs(r.Utilisation-c.use) > 1e-9 || !strings.Contains(r.Finding, c.says) || len(r.Flags) != c.warnings {
			t.Errorf("%s: %s, %.4f and %.4f, used to %.4f, %q, %q", c.name, r.Verdict, f.Persistent.Value, rare, r.Utilisation, r.Finding, r.Flags)
		}
		holdWorkings(t, c.name, r, f)
		if (r.Verdict == check.Fail) != (len(r.Remedies) > 0) || (r.Verdict == check.Fail || r.Verdict == check.Ask) != (r.CallFor != "") {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
	for _, bad := range []Input{{Set: england, Zone: 7}, {Set: england, GroundKPa: 0.5, WallHeightM: 2}, {Set: england, GroundKPa: 0.5, ParapetM: 0.3},
		{Set: ireland, GroundKPa: 0.5, WallHeightM: 2}, {Set: ireland, GroundKPa: 0.5, KerbM: -1, ParapetM: 1}} {
		if r, _, err := Check(bad); err == nil {
			t.Errorf("%+v was answered: %+v", bad, r)
		}
	}
}

// holdWorkings: the deciding load stands first, no figure twice and none at fault, and the finding and the remedy say of it what it is.
func holdWorkings(t *testing.T, name string, r check.Result, loads Loads) {
	t.Helper()
	seen := map[*working.Figure]bool{}
	for _, w := range r.Working {
		if w.Fault != nil || seen[w] {
			t.Errorf("%s: %v or twice: %s", name, w.Fault, w.Name)
		}
		seen[w] = true
	}
	first := r.Working[0]
	if first.Key != "check.snow" || first != loads.Persistent && first != loads.Exceptional {
		t.Errorf("%s: %s %g stands first", name, first.Name, first.Value)
	}
	if strings.HasPrefix(r.Finding, ",") || strings.Contains(r.Finding, "kN/m²flat") {
		t.Errorf("%s: %q", name, r.Finding)
	}
	both := strings.Contains(r.Finding, "(accidental") && strings.Contains(r.Finding, "the joists carry")
	if both != strings.Contains(r.Finding, "in an accidental situation") {
		t.Errorf("%s: %q", name, r.Finding)
	}
	if strings.Contains(r.CallFor, "not seen") && loads.Exceptional != nil && first.Value < max(loads.Exceptional.Value, loads.Persistent.Value) {
		t.Errorf("%s: %s stands first, which is not the heaviest", name, first.Name)
	}
	if r.Verdict != check.Fail {
		return
	}
	text := r.Remedies[0].Text
	if drift := strings.Contains(first.Name, "drift"); strings.Contains(text, "where the drift lies") != drift ||
		strings.Contains(text, "without partial factors") != (first == loads.Exceptional) || !strings.Contains(text, fmt.Sprintf("%.2f kN/m²", first.Value)) {
		t.Errorf("%s: %q of %s", name, text, first.Name)
	}
}

// The one to be called is asked the one question that is open.
func TestQuestionOfExceptionalSnow(t *testing.T) {
	germany, _ := country.For("DE")
	in := Input{Set: germany, GroundKPa: 0.5, WidthM: 4, ParapetM: 1, Carries: Carries(2, 0.9)}
	for _, c := range []struct {
		change func(*Input)
		field  string
	}{{func(in *Input) { in.Drifts = NoDrifts }, "site.exceptional_snow_factor"}, {func(in *Input) { in.ExceptionalFactor = 1 }, "site.exceptional_drifts"}} {
		i := in
		c.change(&i)
		if r, _, err := Check(i); err != nil || r.Verdict != check.Ask || !strings.Contains(r.CallFor, c.field) {
			t.Errorf("%v: %s, %q, want a question of %s", err, r.Verdict, r.CallFor, c.field)
		}
	}
	// DIN EN 1991-1-3/NA 4.3: 2.3 in the North German Plain; flat 0.4, so 0.92 where nobody says that the site lies elsewhere.
	in = Input{Set: germany, GroundKPa: 0.5, WidthM: 4, Carries: Carries(2, 0.91)}
	if r, _, err := Check(in); err != nil || r.Verdict != check.Ask || !strings.Contains(r.Finding, "fall 0.92") {
		t.Errorf("%v %s %q", err, r.Verdict, r.Finding)
	}
}
