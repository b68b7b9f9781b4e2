package desk_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	structure "gelwright/check/deck"
	"gelwright/desk"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
)

// coast is a small warm roof within parapets; old, new pairs are replaced in its file.
const coast = `version: 1
name: Coast extension
date: "2026-10-12"
site: {name: Shore, country: GB-ENG, lat_deg: 50.2, lon_deg: -5.4, altitude_m: 30, terrain: "0", eaves_m: 2.8, basic_wind_ms: 24.5, snow_zone: 1}
use: {below: heated, access: maintenance}
work: {kind: new}
spec:
  layers_g_per_m2: [600]
  build_up: warm
  vapour_control_layer: true
  board: {material: OSB/3, thickness_mm: 18}
  insulation: {material: PIR, thickness_mm: 120, lambda_w_per_mk: 0.022}
day: {air_c: 12, relative_humidity_pct: 75}
deck:
  name: ext
  outline: [[0, 0], [6, 0], [6, 4], [0, 4]]
  edges:
    - {condition: parapet, height_mm: 200, width_mm: 200}
    - {condition: parapet, height_mm: 200, width_mm: 200}
    - wall
    - {condition: parapet, height_mm: 200, width_mm: 200}
  fall: {to_point: [5, 1], ratio: 40}
  penetrations:
    - {name: OUT, kind: outlet, at: [5, 1], diameter_mm: 75}
  base: {kind: joists, joist_spacing_mm: 400, joist_bearing_deg: 90, joist_width_mm: 47, joist_depth_mm: 195, joist_span_m: 3.8, timber_class: C16}
  exit: [0, 2]
`

// checked asks the checks of the roof with pairs replaced in its file.
func checked(t *testing.T, only string, pairs ...string) *desk.Checks {
	t.Helper()
	a, err := desk.CheckRoof(context.Background(), desk.Given{Job: job(t, pairs...)}, only)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// job is the roof with pairs replaced in its file.
func job(t *testing.T, pairs ...string) roof.Job {
	t.Helper()
	text := coast
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("no %q in the roof", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	job, _, err := rooffile.Read("coast.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return job
}

// the returns the check of a key.
func the(t *testing.T, a *desk.Checks, key string) check.Result {
	t.Helper()
	for _, r := range a.Results {
		if r.Key == key {
			return r
		}
	}
	t.Fatalf("no check %s", key)
	return check.Result{}
}

// A joist used to five times its strength is a failure although nobody said where the first one
// lies; that it lies anywhere says nothing of its strength. So it is where the class was a guess
// and C24 would not do either; with its depth a guess it is a question.
func TestWeakJoistsFailWhateverIsSilent(t *testing.T) {
	const deep, class = "joist_depth_mm: 195", ", timber_class: C16"
	for _, c := range []struct {
		name, says string
		pairs      []string
		joists     check.Verdict
		snow       check.Verdict
	}{
		{"all given that bears", "is used to 492 %", []string{deep, "joist_depth_mm: 97"}, check.Fail, check.Fail},
		{"with the first joist's place", "is used to 492 %", []string{deep, "joist_offset_mm: 25, joist_depth_mm: 97"}, check.Fail, check.Fail},
		{"class silent", "it fails however that turns out", []string{deep, "joist_depth_mm: 97", class, ""}, check.Fail, check.Fail},
		{"depth silent", "the depth of the joists is a guess", []string{deep + ", ", "", "joist_span_m: 3.8", "joist_span_m: 4.4"}, check.Ask,
			check.Ask},
		{"strong, all given that bears", "is used to 6", nil, check.Pass, check.Caution},
		{"strong, class silent", "is used to 6", []string{class, ""}, check.Caution, check.Caution},
	} {
		a := checked(t, "", c.pairs...)
		if r := the(t, a, "deck.joists"); r.Verdict != c.joists || !strings.Contains(r.Finding, c.says) {
			t.Errorf("%s: joists %s: %s, want %s with %q", c.name, r.Verdict, r.Finding, c.joists, c.says)
		}
		r := the(t, a, "snow.load")
		if r.Verdict != c.snow {
			t.Errorf("%s: snow %s: %s (%q), want %s", c.name, r.Verdict, r.Finding, r.CallFor, c.snow)
		}
		if strings.Contains(r.CallFor+r.Finding, "not given") {
			t.Errorf("%s: the joists are given, snow says %q", c.name, r.CallFor)
		}
		if (c.joists == check.Fail) != (a.Refused() != nil && a.Failed > 0 && the(t, a, "deck.joists").Verdict == check.Fail) {
			t.Errorf("%s: %d fail, refused %v", c.name, a.Failed, a.Refused())
		}
	}
}

// Any country of ISO 3166 is taken. Where its rules are not held that stands before all other
// checks, whatever is asked, and nothing British is cited as the rule there.
func TestByWhoseRulesItIsChecked(t *testing.T) {
	for _, c := range []struct {
		code    string
		verdict check.Verdict
		says    []string
	}{
		{"GB-ENG", "", nil}, {"UK", "", nil}, {"GB-SCT", "", nil},
		{"DE", check.Caution, []string{"Germany", "wind (EN 1991-1-4", "loads (", "timber (", "falls and upstands"}},
		{"IE", check.Caution, []string{"Ireland", "wind (EN 1991-1-4", "falls and upstands"}},
		{"FR", check.Ask, []string{"France", "wind (EN 1991-1-4", "loads (", "rain (", "heat loss (no target"}},
		{"US", check.Ask, []string{"United States", "its own code decides"}}, {"CA", check.Ask, []string{"Canada"}},
		{"AU", check.Ask, []string{"Australia"}}, {"NZ", check.Ask, []string{"New Zealand", "its own code decides"}},
	} {
		for _, only := range []string{"", "deck"} {
			a := checked(t, only, "country: GB-ENG", "country: "+c.code)
			first := a.Results[0]
			if (first.Key == "country.rules") != (c.verdict != "") || c.verdict != "" && first.Verdict != c.verdict {
				t.Errorf("%s, only %q: first is %s %s", c.code, only, first.Key, first.Verdict)
			}
			for _, w := range c.says {
				if !strings.Contains(first.Finding, w) {
					t.Errorf("%s: %q is not said: %s", c.code, w, first.Finding)
				}
			}
			for _, r := range a.Results {
				for _, british := range []string{"BS ", "BRE ", "Approved Document", "UK NA"} {
					if c.verdict != "" && strings.HasPrefix(r.Clause.Title, british) {
						t.Errorf("%s: %s cites %s", c.code, r.Key, r.Clause.Title)
					}
				}
			}
		}
	}
	// The United States' roof is planned where it says, with the wind asked.
	a := checked(t, "wind", "country: GB-ENG", "country: US", "basic_wind_ms: 24.5, ", "")
	for _, r := range a.Results[1:] {
		if strings.HasPrefix(r.Key, "wind.uplift") && r.Verdict != check.Ask {
			t.Errorf("a wind that no map gives: %s %s", r.Key, r.Verdict)
		}
	}
}

// EN ISO 13788 asks after mould with 0.25 m²K/W at the inner face: 10, 15 and 25 mm of wool
// under a cold roof have factors of 0.47, 0.56 and 0.68 and fail; 50 mm pass.
func TestThinWoolGrowsMould(t *testing.T) {
	for _, c := range []struct {
		mm, factor string
		fails      bool
	}{{"10", "0.47", true}, {"15", "0.56", true}, {"25", "0.68", true}, {"50", "0.8", false}} {
		a := checked(t, "thermal", "build_up: warm", "build_up: cold", "insulation: {material: PIR, thickness_mm: 120, lambda_w_per_mk: 0.022}",
			"void_mm: 60\n  void_vented: \"yes\"\n  insulation: {material: mineral wool, thickness_mm: "+c.mm+", lambda_w_per_mk: 0.038}", "vapour_control_layer: true\n  ", "")
		r := the(t, a, "thermal.surface")
		if (r.Verdict == check.Fail) != c.fails || !strings.Contains(r.Finding, "temperature factor "+c.factor) {
			t.Errorf("%s mm: %s %s", c.mm, r.Verdict, r.Finding)
		}
		if c.fails && (len(r.Remedies) == 0 || !strings.Contains(r.Remedies[0].Text, "make the insulation")) {
			t.Errorf("%s mm: no thickness is named: %+v", c.mm, r.Remedies)
		}
	}
}

// What lets heat through is mended before insulation is thickened, and nothing is asked for that
// has no room: screws first on a warm roof; between joists of 170 mm no 300 mm.
func TestRemediesOfHeatCanBeBuilt(t *testing.T) {
	r := the(t, checked(t, "thermal"), "thermal.u")
	if r.Verdict != check.Fail || len(r.Remedies) < 3 || !strings.Contains(r.Remedies[0].Text, "only the screws that the uplift asks for") ||
		!strings.Contains(r.Remedies[1].Text, "stainless") || r.Remedies[len(r.Remedies)-1].Field != "spec.insulation.thickness_mm" {
		t.Errorf("warm: %s %+v", r.Finding, r.Remedies)
	}
	r = the(t, checked(t, "thermal", "build_up: warm", "build_up: cold", "material: PIR, thickness_mm: 120, lambda_w_per_mk: 0.022",
		"material: mineral wool, thickness_mm: 100, lambda_w_per_mk: 0.038", "joist_depth_mm: 195", "joist_depth_mm: 170"), "thermal.u")
	for _, m := range r.Remedies {
		if m.Field == "spec.insulation.thickness_mm" {
			t.Errorf("cold: %s", m.Text)
		}
	}
	if r.Verdict != check.Fail || !strings.Contains(r.Remedies[0].Text, "fill them to 120 mm and fix") {
		t.Errorf("cold: %s %+v", r.Finding, r.Remedies)
	}
}

// The outlet is ordered with a leaf guard, and checked with it.
func TestTheOutletIsCheckedAsOrdered(t *testing.T) {
	if r := the(t, checked(t, "drainage"), "drainage.capacity"); r.Verdict != check.Fail || !strings.Contains(r.Finding, "with its leaf guard") {
		t.Errorf("%s %s", r.Verdict, r.Finding)
	}
	if r := the(t, checked(t, "drainage", "diameter_mm: 75", "diameter_mm: 100"), "drainage.capacity"); r.Verdict != check.Pass {
		t.Errorf("%s %s", r.Verdict, r.Finding)
	}
}

// The table of spans is for joists that are still to be chosen: it names its limits and each span
// has a working. Where the file gives the joists, or they exist, the check answers and there is none.
func TestSpanTableOnlyWhereJoistsAreToBeChosen(t *testing.T) {
	planned := func(pairs ...string) *plan.Plan {
		g := desk.Given{Job: job(t, pairs...)}
		p, err := g.Plan(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	if p := planned(); p.Spans != nil {
		t.Error("given joists have a table")
	}
	if p := planned("kind: new", "kind: strip, old_covering: felt", "joist_depth_mm: 195, ", ""); p.Spans != nil {
		t.Error("joists that exist have a table")
	}
	p := planned("joist_depth_mm: 195, ", "")
	if p.Spans == nil || len(p.Spans.Limits) < 3 {
		t.Fatalf("joists to be chosen: %+v", p.Spans)
	}
	for _, r := range p.Spans.Rows {
		for i, s := range p.Spans.SpacingsMM {
			f, ok := p.Workings.Find(structure.SpanKey(r.WidthMM, r.DepthMM, s))
			if !ok || f.Value != r.SpanM[i] || len(f.Inputs) < 10 {
				t.Errorf("%g × %g at %g mm: %+v", r.WidthMM, r.DepthMM, s, f)
			}
		}
	}
}

// What stood bare on paper has a working: limits of movement, brim and weight of water, the dew
// margin, the dose card, the figures of safety.
func TestBareFiguresHaveWorkings(t *testing.T) {
	g := desk.Given{Job: job(t)}
	p, err := g.Plan(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]float64{"check.movement.area": 50, "check.movement.side": 10, "check.movement.use": 0.6,
		"check.drainage.brim.ext": 0, "check.drainage.weight.ext": 0, "check.drainage.overflow_width.ext": 0, "day.laminate.dew_margin": 0,
		"dose.card.laminate.15.catalyst_ml": 0, "dose.card.coat.20.catalyst_ml": 0, "safety.flash_point": 31, "safety.board": 34.3, "safety.rail": 950} {
		f, ok := p.Workings.Find(key)
		if !ok || f.Value <= 0 || want > 0 && math.Abs(f.Value-want) > 0.01*want {
			t.Errorf("%s: %+v", key, f)
		}
	}
}
