package wind

import (
	"math"
	"strings"
	"testing"

	"gelwright/check/country"
	"gelwright/plane"
	"gelwright/working"
)

func within(t *testing.T, name string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s = %.5g, want %.5g within %g %%", name, got, want, relative*100)
	}
}

func TestPeakPressureOfPublishedExamples(t *testing.T) {
	eurocode := country.Recommended()
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		name                string
		site                Site
		set                 country.Set
		kr, cr, iv, ce, qpN float64
		tol                 float64
	}{
		{"Steel Buildings in Europe SSB03 appendix B: vb 26, III, z 8 (they round kr)", Site{BasicMS: 26, Terrain: "III", HeightM: 8}, eurocode, 0.215, 0.706, 0, 1.56, 659, 0.006},
		{"public hall sheet: vb 22, III, h 13.08, parapet 0.40", Site{BasicMS: 22, Terrain: "III", HeightM: 13.08, ParapetM: 0.40}, eurocode, 0.215, 0.82, 0.263, 0, 580, 0.006},
		{"public wall example: vb 26, IV, z 9 held at 10", Site{BasicMS: 26, Terrain: "IV", HeightM: 9}, eurocode, 0.234, 0.54, 0.434, 1.18, 497, 0.005},
		{"desssign flat roof test, low sharp: vb 25, II, h 5", Site{BasicMS: 25, Terrain: "II", HeightM: 5}, eurocode, 0, 0, 0, 0, 753.6, 0.001},
		{"desssign flat roof test, low parapet: vb 27.5, I, ze 3.5", Site{BasicMS: 27.5, Terrain: "I", HeightM: 3, ParapetM: 0.5}, eurocode, 0, 0, 0, 0, 1025.9, 0.001},
		{"public sheet, vb 40.9, I, z 5, corrected: it multiplies by cr and not cr²", Site{BasicMS: 40.9, Terrain: "I", HeightM: 5}, eurocode, 0.170, 1.055, 0.161, 2.367, 2474, 0.003},
		{"UK small building: vb,map 22.2, A 9 m, qb (they round calt to 1.01)", Site{BasicMS: 22.2, AltitudeM: 9, Terrain: "II", HeightM: 3.75}, england, 0, 0, 0, 0, 0, 0.003},
	} {
		p, err := Peak(c.site, c.set)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for _, v := range []struct {
			name      string
			got, want float64
		}{{"kr", p.Kr, c.kr}, {"cr", p.Cr, c.cr}, {"Iv", p.Iv, c.iv}, {"ce", p.Ce, c.ce}, {"qp", p.QpPa, c.qpN}} {
			if v.want != 0 {
				within(t, c.name+": "+v.name, v.got, v.want, c.tol)
			}
		}
	}
	p, err := Peak(Site{BasicMS: 22.2, AltitudeM: 9, Terrain: "II", HeightM: 3.75}, england)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "UK small building, qb = 0.613·vb²", p.QbPa, 308.1, 0.002)
	// A published sheet for a site at 66 m and z 18 prints calt 1.05; the formula gives 1.0587.
	p, err = Peak(Site{BasicMS: 22, AltitudeM: 66, Terrain: "II", HeightM: 18}, england)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "UK NA calt at A 66 m, z 18 m", p.BasicMS/22, 1.0587, 1e-4)
}

// Exposure factors worked from the formula with full precision (regression only).
func TestExposureFactorTable(t *testing.T) {
	for _, c := range []struct {
		terrain string
		z, ce   float64
	}{{"0", 2, 2.138}, {"I", 3, 2.088}, {"II", 5, 1.929}, {"III", 8, 1.566}, {"IV", 15, 1.444}, {"II", 20, 2.810}, {"IV", 2, 1.176}} {
		p, err := Peak(Site{BasicMS: 24, Terrain: c.terrain, HeightM: c.z}, country.Recommended())
		if err != nil {
			t.Fatal(err)
		}
		within(t, "ce "+c.terrain, p.Ce, c.ce, 0.002)
	}
}

func TestCoefficientsOfTable72(t *testing.T) {
	for _, c := range []struct {
		name string
		zone Zone
		e    Eaves
		area float64
		want float64
	}{
		{"EN 1991-1-4 table 7.2, sharp, F, cpe,10", Corner, Eaves{}, 10, -1.8},
		{"EN 1991-1-4 table 7.2, sharp, F, cpe,1", Corner, Eaves{}, 1, -2.5},
		{"EN 1991-1-4 figure 7.2, F at 2 m²", Corner, Eaves{}, 2, -2.289},
		{"EN 1991-1-4 figure 7.2, F at 5 m²", Corner, Eaves{}, 5, -2.011},
		{"EN 1991-1-4 table 7.2, hp/h 0.05, G, cpe,10", Perimeter, Eaves{ParapetOverHeight: 0.05}, 10, -0.9},
		{"hp/h 0.03058 between rows, F", Corner, Eaves{ParapetOverHeight: 0.40 / 13.08}, 10, -1.555},
		{"hp/h 0.03058 between rows, G", Perimeter, Eaves{ParapetOverHeight: 0.40 / 13.08}, 10, -1.055},
		{"hp/h 0.167 held at the 0.10 row, F", Corner, Eaves{ParapetOverHeight: 0.167}, 10, -1.2},
		{"EN 1991-1-4 table 7.2, r/h 0.10, F", Corner, Eaves{RadiusOverHeight: 0.1}, 10, -0.7},
		{"EN 1991-1-4 table 7.2, r/h 0.05, G is worse than F", Perimeter, Eaves{RadiusOverHeight: 0.05}, 10, -1.2},
	} {
		got, err := Coefficient(c.zone, c.e, c.area)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if math.Abs(got-c.want) > 0.001 {
			t.Errorf("%s: %.4f, want %.4f", c.name, got, c.want)
		}
	}
}

func TestPeakRefusesWhatItCannotAnswer(t *testing.T) {
	for _, s := range []Site{{BasicMS: 24, Terrain: "V", HeightM: 3}, {BasicMS: 240, Terrain: "II", HeightM: 3}, {BasicMS: 24, Terrain: "II"}, {BasicMS: math.NaN(), Terrain: "II", HeightM: 3}} {
		if _, err := Peak(s, country.Recommended()); err == nil {
			t.Errorf("%+v was answered", s)
		}
	}
}

// Fasteners per m² worked from the formulas (regression only; no complete published
// example of a fastener count to this standard was found).
func TestFastenersByZone(t *testing.T) {
	p, err := Peak(Site{BasicMS: 24, Terrain: "III", HeightM: 3}, country.Recommended())
	if err != nil {
		t.Fatal(err)
	}
	demands, err := Demands(p, Eaves{}, Fixing{Layer: "boards", ResistanceN: 450, TributaryM2: 1}, country.Recommended())
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ net, n float64 }{{1.245, 4.15}, {1.014, 3.38}, {0.646, 2.15}} {
		within(t, "net uplift "+string(demands[i].Zone), demands[i].NetKPa, want.net, 0.002)
		within(t, "fasteners "+string(demands[i].Zone), demands[i].Needed, want.n, 0.003)
	}
}

func TestAFailureNamesTheFixingThatPasses(t *testing.T) {
	england, _ := country.For("GB-ENG")
	site := Site{BasicMS: 27, Given: true, AltitudeM: 200, Terrain: "II", HeightM: 8}
	weak := Fixing{Layer: "boards", ResistanceN: 450, Given: true, TributaryM2: 1, PerM2: [4]float64{4, 4, 4, 4}}
	results, _, demands, err := Check(site, england, weak)
	if err != nil {
		t.Fatal(err)
	}
	if results[0].Verdict != "fail" || len(results[0].Remedies) == 0 {
		t.Fatalf("corner: %+v", results[0])
	}
	for i, d := range demands {
		weak.PerM2[i] = math.Ceil(d.Needed)
	}
	results, _, _, err = Check(site, england, weak)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range results {
		if r.Verdict == "fail" {
			t.Errorf("still fails after the remedy: %+v", r)
		}
	}
}

func TestZonesOfPublishedFlatRoofs(t *testing.T) {
	// desssign flat roof tests. Low sharp: b 20 across the wind along x, h 5 → e 10: strip 1.0,
	// corners 2.5, inner to 5. Low parapet: b 17, h 3 → e 6: strip 0.6, corners 1.5, inner to 3.
	for _, c := range []struct{ b, h, e, strip, corner, inner float64 }{{20, 5, 10, 1, 2.5, 5}, {17, 3, 6, 0.6, 1.5, 3}} {
		e, strip, corner, inner := Depths(c.b, c.h)
		if e != c.e || math.Abs(strip-c.strip) > 1e-12 || corner != c.corner || inner != c.inner {
			t.Errorf("b %g h %g: %g %g %g %g", c.b, c.h, e, strip, corner, inner)
		}
	}
}

func TestZonesCoverTheRoofOnce(t *testing.T) {
	ell := plane.RingOf(plane.Point{}, plane.Point{X: 7.2}, plane.Point{X: 7.2, Y: 3.2}, plane.Point{X: 3.2, Y: 3.2}, plane.Point{X: 3.2, Y: 5.6}, plane.Point{Y: 5.6})
	// Decks with a bowed front too narrow for an inner field, whose inset once had no answer.
	bow := func(w, h, bulge float64) plane.Ring {
		return plane.Ring{{Point: plane.Point{}, Bulge: bulge}, {Point: plane.Point{X: w}}, {Point: plane.Point{X: w, Y: h}}, {Point: plane.Point{Y: h}}}
	}
	for _, outline := range []plane.Ring{plane.Rectangle(0, 0, 10, 20), ell, bow(4.96, 5.055, 0.31), bow(4.7, 5.5, 0.1), bow(5.33, 4.35, 0.5)} {
		net, err := plane.Net(outline, []plane.Ring{plane.Rectangle(1, 1, 2, 2)}, 0.001)
		if err != nil {
			t.Fatal(err)
		}
		zones, err := ZonesOn(net, outline, Site{HeightM: 2.8})
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, z := range zones {
			sum += plane.TotalArea(z.Area)
		}
		if math.Abs(sum-plane.TotalArea(net)) > 1e-5 {
			t.Errorf("zones cover %.6f of %.6f m²", sum, plane.TotalArea(net))
		}
		if plane.TotalArea(zones[0].Area) <= 0 {
			t.Error("no corner zone")
		}
	}
}

func TestTrimFixing(t *testing.T) {
	// EN 1995-1-1 8.3.2 at ρk 350: fax,k 2.45 N/mm² (worked by hand).
	rd := clout(350, 3, 20, 1, 1)
	within(t, "withdrawal", rd.Value, 2.45*3*20, 1e-9)
	set := country.Recommended()
	p, err := Peak(Site{BasicMS: 24, MapTopKnown: true, Terrain: "II", HeightM: 6}, set)
	if err != nil {
		t.Fatal(err)
	}
	trim := Trim{ExposedM: 0.15, CloutSpacingMM: 175, DiameterMM: 3, PenetrationMM: 18, DensityKGPerM3: 550}
	r, err := CheckTrim(p, trim, set)
	// 18 mm held is 6 d of a 3 mm clout: the clause asks 8 d, so it is an estimate.
	if err != nil || r.Verdict != "caution" || !strings.Contains(r.Flags[1], "outside EN 1995-1-1 8.3.2") {
		t.Errorf("%+v %v", r, err)
	}
	trim.PenetrationMM = 24
	if r, err = CheckTrim(p, trim, set); err != nil || r.Verdict != "pass" {
		t.Errorf("%+v %v", r, err)
	}
	trim.CloutSpacingMM, trim.DensityKGPerM3 = 600, 350
	if r, _ = CheckTrim(p, trim, set); r.Verdict != "fail" || len(r.Remedies) == 0 {
		t.Errorf("%+v", r)
	}
}

// A wind that nobody read passes only where the fixings would do at 31 m/s with four
// tenths in hand.
func TestUnreadMapPassesWithRoomInHand(t *testing.T) {
	set := country.Recommended()
	for _, c := range []struct {
		perM2 float64
		want  string
	}{{40, "pass"}, {8, "caution"}} {
		f := Fixing{Layer: "boards", ResistanceN: 450, TributaryM2: 1, PerM2: [4]float64{c.perM2, c.perM2, c.perM2, c.perM2}}
		results, _, _, err := Check(Site{BasicMS: 24, MapTopKnown: true, Terrain: "II", HeightM: 3}, set, f)
		if err != nil {
			t.Fatal(err)
		}
		if r := results[0]; string(r.Verdict) != c.want || (c.want == "pass") != strings.Contains(strings.Join(r.Flags, "\n"), "even at 31 m/s") {
			t.Errorf("%g fixings: %+v", c.perM2, r)
		}
	}
}

// clout is the withdrawal of one nail, by numbers.
func clout(density, diameterMM, heldMM, kmod, factor float64) *working.Figure {
	given := working.Source{Title: "test", Standing: working.Given}
	return withdrawal(density, diameterMM, heldMM, working.Constant("kmod", "duration factor", kmod, "", given),
		working.Constant("γM", "partial factor", factor, "", given))
}

// A wind that nobody read is the worst of the map: what fails in it and holds in the least wind
// is a question, what fails in that too a failure; where no map is known it is asked even of what holds.
func TestAStandInWindIsTheWorstOrAsked(t *testing.T) {
	england, _ := country.For("GB-ENG")
	for _, c := range []struct {
		name  string
		site  Site
		perM2 float64
		want  string
	}{
		{"enough in the least wind only", Site{BasicMS: 27, MapTopKnown: true, Terrain: "II", HeightM: 3}, 6, "ask"},
		{"not enough in any", Site{BasicMS: 27, MapTopKnown: true, Terrain: "II", HeightM: 3}, 2, "fail"},
		{"the same wind, read", Site{BasicMS: 27, Given: true, Terrain: "II", HeightM: 3}, 6, "fail"},
		{"just enough at the worst", Site{BasicMS: 27, MapTopKnown: true, Terrain: "II", HeightM: 3}, 10, "caution"},
		{"plenty, no map known", Site{BasicMS: 31, Terrain: "II", HeightM: 3}, 90, "ask"},
	} {
		f := Fixing{Layer: "boards", ResistanceN: 450, TributaryM2: 1, PerM2: [4]float64{c.perM2, c.perM2, c.perM2, c.perM2}}
		results, _, _, err := Check(c.site, england, f)
		if err != nil || string(results[0].Verdict) != c.want || c.want == "ask" && results[0].CallFor == "" {
			t.Errorf("%s: %+v %v", c.name, results[0], err)
		}
	}
	// The worst of what is known of maps, country by country.
	for code, top := range map[string]float64{"GB-ENG": 27, "GB-SCT": 31, "IE": 28, "DE": 30, "FR": 28, "NO": 31} {
		if set, _ := country.For(code); set.BasicWind.Value != top || set.BasicWind.Source.Standing != working.Remembered {
			t.Errorf("%s: %+v", code, set.BasicWind)
		}
	}
	for _, code := range []string{"US", "NZ", "CH"} {
		if set, _ := country.For(code); set.BasicWind.Known {
			t.Errorf("%s: a map is claimed", code)
		}
	}
}
