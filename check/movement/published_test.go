package movement

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/check/country"
	"gelwright/internal/published"
)

func TestCoefficientsOfMovement(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "chopped strand mat laminates 20 to 35·10⁻⁶/K", Place: "laminateAlpha, 10⁻⁶", Got: laminateAlpha, Want: 27},
		{Clause: "OSB in plane 0.02 to 0.03 % for each per cent (from memory)", Place: "boardMoisture, 10⁻⁴", Got: boardMoisture, Want: 2.5},
		{Clause: "boards screwed every 150 mm, an assumption", Place: "heldShare", Got: heldShare, Want: 0.40},
		{Clause: "a clear winter's night (common practice)", Place: "coldestC", Got: coldestC, Want: -15},
		{Clause: "dark roofs in the sun, sol-air (common practice)", Place: "hottestDarkC", Got: hottestDarkC, Want: 75},
		{Clause: "light greys run 15 to 20 K cooler (common practice)", Place: "hottestLightC", Got: hottestLightC, Want: 57},
		{Clause: "a fifth less for dark colours (common practice)", Place: "darkPart", Got: darkPart, Want: 0.8},
		{Clause: "10 m (common practice)", Place: "longestSideM", Got: longestSideM, Want: 10},
		{Clause: "a joint keeps clear of a kerb (common practice)", Place: "ClearM", Got: ClearM, Want: 0.3},
	})
}

// ΔL = 27·10⁻⁶·L·ΔT, ΔT 90 K dark and 72 K light, worked apart; limits 50 m² and 10 m, dark 40 and 8.
func TestJointsWorkedApart(t *testing.T) {
	set := country.Recommended()
	for _, c := range []struct {
		name       string
		area, side float64
		dark       bool
		corners    int
		free, use  float64
		verdict    check.Verdict
		parts      string
		remedies   int
		says       string
	}{
		{"dark 43 m², 9 m", 43, 9, true, 0, 21.87, 1.125, check.Fail, "into 2 with", 2, "limits of practice here are 40 m² and 8 m; free movement 22 mm"},
		{"light 43 m², 9 m", 43, 9, false, 0, 17.496, 0.9, check.Pass, "", 0, "limits of practice here are 50 m² and 10 m; free movement 17 mm"},
		{"all of both", 50, 10, false, 0, 19.44, 1, check.Pass, "", 0, ""},
		{"area decides", 101, 10, false, 0, 19.44, 2.02, check.Fail, "into 3 with", 1, ""},
		{"side decides", 50, 25, false, 0, 48.6, 2.5, check.Fail, "into 3 with", 1, ""},
		{"a light colour would do, just", 50, 10, true, 0, 24.3, 1.25, check.Fail, "into 2 with", 2, ""},
		{"a light colour does not do for 51 m²", 51, 8, true, 0, 19.44, 1.275, check.Fail, "into 2 with", 1, ""},
		{"nor for 10.1 m", 40, 10.1, true, 0, 24.543, 1.2625, check.Fail, "into 2 with", 1, ""},
		{"80 m² dark is exactly two", 80, 8, true, 0, 19.44, 2, check.Fail, "into 2 with", 1, ""},
		{"a re-entrant corner", 40, 8, false, 2, 15.552, 0.8, check.Caution, "", 0, "2 re-entrant corners"},
	} {
		r := CheckJoints(Input{AreaM2: c.area, LongestM: c.side, Dark: c.dark, ReentrantCorners: c.corners}, set)
		published.HoldWorked(t, []published.Worked{{Clause: c.name, Place: "free movement", Got: r.Working[0].Value, Want: c.free, Digits: 9}, {Clause: c.name, Place: "use", Got: r.Utilisation, Want: c.use, Digits: 9},
			{Clause: c.name, Place: "α of the working, 10⁻⁶/K", Got: r.Working[0].Inputs[0].Value, Want: 27, Digits: 9}})
		if r.Verdict != c.verdict || len(r.Remedies) != c.remedies || !strings.Contains(r.Finding, c.says) || c.parts != "" && !strings.Contains(r.Remedies[0].Text, c.parts) {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
}

// δ = 0.4·1200·2.5e−4·4 = 0.48 mm over 3 + 2·√(6500·2.5·3/50) = 65.45 mm; without the bandage
// over 51.37 mm: strains of 0.7334 and 0.9343 %, worked apart.
func TestBoardJointsWorkedApart(t *testing.T) {
	for _, c := range []struct {
		name           string
		bandage, crack float64
		strain, use    float64
		verdict        check.Verdict
	}{
		{"bandaged", 75, 0.012, 0.733384, 0.611154, check.Pass}, {"near cracking", 75, 0.0104, 0.733384, 0.705177, check.Caution}, {"less near", 75, 0.0106, 0.733384, 0.691872, check.Pass},
		{"cracks", 75, 0.0073, 0.733384, 1.004636, check.Fail}, {"narrow bandage", 74.9, 0.012, 0.733384, 1.01, check.Fail}, {"no bandage", 0, 0.012, 0.934333, 1.01, check.Fail},
	} {
		in := field()
		in.BandageMM, in.CrackStrain = c.bandage, c.crack
		r := CheckBoardJoints(in)
		published.HoldWorked(t, []published.Worked{{Clause: c.name, Place: "strain, %", Got: r.Working[0].Value, Want: c.strain, Digits: 6}, {Clause: c.name, Place: "use", Got: r.Utilisation, Want: c.use, Digits: 6},
			{Clause: c.name, Place: "opening, mm", Got: r.Working[0].Inputs[0].Value, Want: 0.48, Digits: 9}, {Clause: c.name, Place: "β of the working, 10⁻⁴", Got: r.Working[0].Inputs[0].Inputs[1].Value, Want: 2.5, Digits: 9}})
		if r.Verdict != c.verdict || (c.verdict == check.Fail) != (len(r.Remedies) > 0) {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
	if r := CheckBoardJoints(field()); r.Finding != "a joint opens by about 0.48 mm; strain 0.73 % with the bandage, 0.93 % without, cracking near 1.2 %" {
		t.Error(r.Finding)
	}
}

// Worked by hand: 12 by 5 m is 60 m², parted once across its length.
func TestPositionsByHand(t *testing.T) {
	for _, c := range []struct {
		name   string
		f      Field
		area   float64
		side   float64
		xs, ys string
	}{
		{"the middle", Field{HighX: 12, HighY: 5}, 50, 10, "[6]", "[]"},
		{"the middle, away from the origin", Field{LowX: 100, LowY: -7, HighX: 112, HighY: -2}, 50, 10, "[106]", "[]"},
		{"turned", Field{HighX: 5, HighY: 12}, 50, 10, "[]", "[6]"},
		{"turned, away from the origin", Field{LowX: 3, LowY: 20, HighX: 8, HighY: 32}, 50, 10, "[]", "[26]"},
		{"an opening in the middle: 300 mm before it", Field{HighX: 12, HighY: 5, Openings: []Span2{{5.5, 1, 6.5, 2}}}, 50, 10, "[5.2]", "[]"},
		{"before it would leave 11.3 m: after it", Field{HighX: 12, HighY: 5, Openings: []Span2{{1, 1, 7, 2}}}, 50, 10, "[7.3]", "[]"},
		{"an opening that ends 300 mm before the middle is clear", Field{HighX: 12, HighY: 5, Openings: []Span2{{4, 1, 5.7, 2}}}, 50, 10, "[6]", "[]"},
		{"an opening that begins 300 mm after it too", Field{HighX: 12, HighY: 5, Openings: []Span2{{6.3, 1, 8, 2}}}, 50, 10, "[6]", "[]"},
		{"turned, with the opening", Field{HighX: 5, HighY: 12, Openings: []Span2{{1, 5.5, 2, 6.5}}}, 50, 10, "[]", "[5.2]"},
		{"nothing stays clear: the fewest metres", Field{HighX: 12, HighY: 5, Openings: []Span2{{0.1, 1, 11.9, 2}}}, 50, 10, "[6]", "[]"},
		{"a re-entrant corner near", Field{HighX: 12, HighY: 5, CornersX: []float64{5}}, 50, 10, "[5]", "[]"},
		{"a corner too far", Field{HighX: 12, HighY: 5, CornersX: []float64{2.9}}, 50, 10, "[6]", "[]"},
		{"a corner within an opening", Field{HighX: 12, HighY: 5, CornersX: []float64{5}, Openings: []Span2{{4.9, 1, 5.2, 2}}}, 50, 10, "[6]", "[]"},
		{"a corner turned", Field{HighX: 5, HighY: 12, CornersY: []float64{7}}, 50, 10, "[]", "[7]"},
		{"of equals the squarest", Field{HighX: 24, HighY: 24}, 72, 24, "[8 16]", "[8 16]"},
		{"the side alone", Field{HighX: 20, HighY: 1}, 50, 10, "[10]", "[]"},
		{"just over the side", Field{HighX: 20.1, HighY: 1}, 50, 10, "[6.7 13.4]", "[]"},
		{"just over the area", Field{HighX: 10, HighY: 5.01}, 50, 10, "[5]", "[]"},
		{"both ways", Field{HighX: 16, HighY: 16}, 64, 10, "[8]", "[8]"},
		{"across the water thrice as dear", Field{HighX: 12, HighY: 8, DearX: 3, DearY: 1}, 50, 12, "[]", "[4]"},
		{"the shorter joint else", Field{HighX: 12, HighY: 8, DearX: 1, DearY: 1}, 50, 12, "[6]", "[]"},
		{"a quarter dearer is still shorter", Field{HighX: 12, HighY: 8, DearX: 1.25, DearY: 1}, 50, 12, "[6]", "[]"},
	} {
		xs, ys := Positions(c.f, c.area, c.side)
		round := func(list []float64) string {
			out := make([]float64, len(list))
			for i, v := range list {
				out[i] = math.Round(v*1e6) / 1e6
			}
			return fmt.Sprint(out)
		}
		if round(xs) != c.xs || round(ys) != c.ys {
			t.Errorf("%s: x %v, y %v, want %s and %s", c.name, xs, ys, c.xs, c.ys)
		}
	}
}
