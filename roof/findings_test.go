package roof_test

import (
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/working"
)

// read returns an example roof's job.
func read(t testing.TB, id string) roof.Job {
	t.Helper()
	paths, err := filepath.Glob("../examples/" + id + "-*.yaml")
	if err != nil || len(paths) != 1 {
		t.Fatalf("%s: %v %v", id, paths, err)
	}
	text, err := os.ReadFile(paths[0])
	if err != nil {
		t.Fatal(err)
	}
	job, _, err := rooffile.Read(filepath.Base(paths[0]), text)
	if err != nil {
		t.Fatal(err)
	}
	return job
}

var all = []string{"r01", "r02", "r03", "r04", "r05", "r06", "r07", "r08", "r09", "r10", "r11", "r12"}

// Each rule is raised on the acceptance roofs that expect it, with the figures they
// name, and on no other.
func TestFindingsOfTheAcceptanceRoofs(t *testing.T) {
	raised := map[string]map[string]string{}
	for _, id := range all {
		for _, f := range roof.Findings(read(t, id)) {
			if raised[f.Code] == nil {
				raised[f.Code] = map[string]string{}
			}
			raised[f.Code][id] += f.Where + ": " + f.Text + "\n"
			if f.Remedy == "" || f.Source.Title == "" || f.Source.Standing == "" || f.Source.Standing == working.Published {
				t.Errorf("%s: no remedy, or a source that was not seen: %+v", f.Code, f)
			}
		}
	}
	for _, c := range []struct {
		code  string
		where string // roofs that raise it
		says  map[string]string
	}{
		{"insulation.ask", "", nil},
		{"ventilation.unheated", "r01", nil},
		{"edge.high_kerb", "*", map[string]string{"r01": "edge 1 of 4 (kerb): the high side is the raised edge facing south"}},
		{"edge.low_kerb", "", nil},
		{"edge.drip_high", "", nil},
		{"height.edge_protection", strings.Join(all, " "), nil},
		{"height.warning", "r02 r06 r10 r11 r12", map[string]string{"r02": "6.4 m"}},
		{"wind.hold", "r02 r10 r12", nil},
		{"wind.fixings", "r02 r10 r12", nil},
		{"upstand.tuck", "r02", nil},
		{"edge.arc", "r03", map[string]string{"r03": "2.782 m length and 1.500 m radius"}},
		{"price.minimum", "r03", nil},
		{"upstand.limit", "r03 r07", map[string]string{"r03": "165 − 18 (boards) − 100 (insulation) = 47", "r07": "150 − 18 (boards) = 132 mm left above the finished roof: 132 < 150"}},
		{"corner.reentrant", "r04", map[string]string{"r04": "270°"}},
		{"gutters.count", "r04 r12", map[string]string{"r04": "2 drip edges"}},
		{"fall.hip", "r04", nil},
		{"cavity_tray.ask", "r03 r04 r05 r06 r07 r08 r09 r10 r11 r12", nil},
		{"corner.angle", "r03 r05", map[string]string{"r05": "36.87°"}},
		{"site.enclosed", "r05", nil},
		{"threshold.low", "r06", map[string]string{"r06": "95 < 150"}},
		{"fall.design", "r06 r07", map[string]string{"r06": "1:60 passes 1:80 as a finished fall and fails 1:40"}},
		{"posts.through", "r06", map[string]string{"r06": "4 posts"}},
		{"guard.height", "r06", map[string]string{"r06": "1100 mm"}},
		{"fire.balcony", "r06", nil},
		{"laminate.layers", "r06", map[string]string{"r06": "2 layers"}},
		// 5.4 m × 2.1 m at 1 kg/m².
		{"aggregate.quantity", "r06 r12", map[string]string{"r06": "11.34 m² take aggregate: 11.3 kg"}},
		{"moisture.wet", "r07", map[string]string{"r07": "3 of 12 readings above 18 % = 25 %: at the limit"}},
		{"overlay.refused", "r07", nil},
		{"coverings.two", "r07", nil},
		{"ventilation.cold", "r07", nil},
		{"laminate.bitumen", "r07", nil},
		// 1.2 m × 0.9 m.
		{"deck.soft", "r07", map[string]string{"r07": "1.08 m²"}},
		{"overflow.present", "r08 r10", nil},
		{"overflow.missing", "", nil},
		{"movement.area", "r09 r12", map[string]string{"r09": "45 m² is above the 40 m² of a dark roof", "r12": "600 m² is above the 50 m²"}},
		{"movement.length", "r09 r12", map[string]string{"r09": "9 m is above the 8 m of a dark roof"}},
		{"movement.bays", "r12", map[string]string{"r12": "12 bays of 50 m²"}},
		{"gutter.internal", "r10", nil},
		{"gutter.width", "r10", map[string]string{"r10": "350 mm"}},
		{"gutter.narrow", "", nil},
		{"party_wall.notice", "r10", nil},
		{"parapet.shared_width", "r10", map[string]string{"r10": "half of the parapet is the neighbour's"}},
		{"neighbour.notice", "r10", map[string]string{"r10": "16 Tanner Row: styrene"}},
		{"chimney.upstands", "r10", nil},
		{"cascade.order", "r11", map[string]string{"r11": "upper > middle > lower"}},
		// 3.2 − 2.6 m.
		{"step.height", "r11", map[string]string{"r11": "600 mm, 150 mm are wanted: enough"}},
		{"step.low", "", nil},
		{"rooflight.fragile", "r12", nil},
		{"asbestos.check", "r01 r03 r06 r07 r10 r11 r12", nil},
		{"programme.fixed_end", "r12", map[string]string{"r12": "2026-08-14"}},
		{"upstand.low", "", nil},
		{"joists.run", "", nil},
	} {
		var have []string
		for id := range raised[c.code] {
			have = append(have, id)
		}
		sort.Strings(have)
		if c.where == "*" {
			// Raised wherever it holds; what it says is asserted below.
			c.where = strings.Join(have, " ")
		}
		if got := strings.Join(have, " "); got != c.where {
			t.Errorf("%s raised on %q, want %q\n%v", c.code, got, c.where, raised[c.code])
		}
		for id, text := range c.says {
			if !strings.Contains(raised[c.code][id], text) {
				t.Errorf("%s on %s says\n%swant %q", c.code, id, raised[c.code][id], text)
			}
		}
	}
	if n := strings.Count(raised["neighbour.notice"]["r10"], "\n"); n != 2 {
		t.Errorf("%d neighbours get notice, want 2", n)
	}
	if n := strings.Count(raised["rooflight.fragile"]["r12"], "\n"); n != 12 {
		t.Errorf("%d rooflights are fragile, want 12", n)
	}
	if n := strings.Count(raised["corner.angle"]["r05"], "(wall to drip)") + strings.Count(raised["corner.angle"]["r05"], "(drip to wall)"); n != 2 {
		t.Errorf("%d ends of the drip are flagged, want both\n%s", n, raised["corner.angle"]["r05"])
	}
	if !strings.Contains(raised["edge.drip_low"]["r01"], "facing north") {
		t.Errorf("R01's drip faces the north gutter, yet %q", raised["edge.drip_low"]["r01"])
	}
}

// Rules that none of the twelve breaks are raised when a roof is spoilt that way.
func TestFindingsOfSpoiltRoofs(t *testing.T) {
	for _, c := range []struct {
		id, code string
		spoil    func(*roof.Job)
	}{
		{"r01", "edge.low_kerb", func(j *roof.Job) { j.Decks[0].Edges[2].Condition = roof.Kerb }},
		{"r01", "edge.drip_high", func(j *roof.Job) { j.Decks[0].Edges[0].Condition = roof.Drip }},
		{"r01", "fall.flat", func(j *roof.Job) { j.Decks[0].Falls.Planes[0].Ratio = 100 }},
		{"r04", "insulation.ask", func(j *roof.Job) { j.Spec.Insulation = nil }},
		{"r04", "upstand.low", func(j *roof.Job) { j.Decks[0].Edges[2].HeightMM = 100 }},
		{"r08", "overflow.missing", func(j *roof.Job) { j.Decks[0].Penetrations = j.Decks[0].Penetrations[:1] }},
		{"r11", "step.low", func(j *roof.Job) { j.Decks[2].LevelM = 3.1 }},
		// 3.6 m east-west, 2.2 m north-south: 90 is north-south.
		{"r02", "joists.run", func(j *roof.Job) { j.Decks[0].Base.JoistBearingDeg = 0 }},
		// 5.6 m along the leg of the L, carried at its inner corner: 3.2 and 2.4 m.
		{"r04", "joists.run", func(j *roof.Job) { j.Decks[0].Base.JoistSpanM = 2.2 }},
		{"r10", "gutter.narrow", func(j *roof.Job) {
			for i := range j.Decks[1].Outline {
				j.Decks[1].Outline[i].Y *= 0.5
			}
		}},
	} {
		job := read(t, c.id)
		has := func() bool {
			for _, f := range roof.Findings(job) {
				if f.Code == c.code {
					return true
				}
			}
			return false
		}
		if has() {
			t.Errorf("%s: %s raised on the sound roof", c.id, c.code)
		}
		c.spoil(&job)
		if !has() {
			t.Errorf("%s: %s not raised", c.id, c.code)
		}
	}
}

// What joists run and what was given as their span stand against each other, at any bearing.
func TestJoistsTheWrongWayAreAskedFor(t *testing.T) {
	for _, c := range []struct {
		bearing, span float64
		text          string
	}{
		{0, 2.2, "run 3.60 m, the span given is 2.20 m"}, {180, 2.2, "run 3.60 m"}, {90, 2.2, ""}, {-90, 2.2, ""}, {0, 3.6, ""},
		// The ends on the bearers and some overhang are no second span.
		{90, 1.6, ""}, {90, 1.5, "run 2.20 m, the span given is 1.50 m"},
		// Askew: 2.2 m over the sine of 45°.
		{45, 2.0, "run 3.11 m"}, {45, 3.0, ""},
		// A quarter more than the span and 0.3 m (common practice, no source): 2.64 m carry 3.60 m, 1.52 m carry 2.20 m.
		{0, 2.65, ""}, {0, 2.63, "run 3.60 m"}, {90, 1.525, ""}, {90, 1.515, "run 2.20 m"},
	} {
		job := read(t, "r02")
		job.Decks[0].Base.JoistBearingDeg, job.Decks[0].Base.JoistSpanM = c.bearing, c.span
		got := ""
		for _, f := range roof.Findings(job) {
			if f.Code == "joists.run" {
				got = f.Text
				if !strings.Contains(f.Remedy, "turn them") || !strings.Contains(f.Remedy, "say what carries them between") {
					t.Errorf("remedy %q", f.Remedy)
				}
			}
		}
		if (got == "") != (c.text == "") || !strings.Contains(got, c.text) {
			t.Errorf("bearing %g, span %g: %q, want %q", c.bearing, c.span, got, c.text)
		}
	}
}
