package thermal

import (
	"math"
	"testing"

	"gelwright/check/country"
)

func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("%s = %.6f, want %.6f ± %g", name, got, want, tol)
	}
}

func warm() Build {
	return Build{Layers: []Layer{
		{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25}, {Name: "void", ThicknessMM: 150, ResistanceM2KPerW: 0.16},
		{Name: "deck", ThicknessMM: 18, LambdaWPerMK: 0.13}, {Name: "PIR", ThicknessMM: 120, LambdaWPerMK: 0.022, Main: true},
		{Name: "carrier board", ThicknessMM: 18, LambdaWPerMK: 0.13}, {Name: "laminate", ThicknessMM: 3, LambdaWPerMK: 0.40}}}
}

func TestPublishedUValues(t *testing.T) {
	// Fundación MUSAAT, Principios en materia de eficiencia energética, p 97, example 6.1.1:
	// a brick wall, heat flowing sideways, U 0.392.
	wall := Build{Rsi: 0.13, Layers: []Layer{{Name: "plaster", ThicknessMM: 15, LambdaWPerMK: 0.570}, {Name: "hollow brick", ThicknessMM: 70, LambdaWPerMK: 0.432},
		{Name: "mineral wool", ThicknessMM: 80, LambdaWPerMK: 0.041}, {Name: "render", ThicknessMM: 15, LambdaWPerMK: 1.8}, {Name: "brick", ThicknessMM: 115, LambdaWPerMK: 0.512}, {Name: "render", ThicknessMM: 15, LambdaWPerMK: 1.8}}}
	a, err := wall.Solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "MUSAAT example 6.1.1", a.U, 0.392, 0.001)

	// Timber-frame wall of the Scottish technical handbook annex 6.B.2 (inputs from memory):
	// R′T 3.483 to 3.485, R″T 3.312, RT 3.398, U 0.294.
	frame := Build{Rsi: 0.13, Layers: []Layer{{Name: "plasterboard", ThicknessMM: 12.5, LambdaWPerMK: 0.25},
		{Name: "mineral wool", ThicknessMM: 140, LambdaWPerMK: 0.038, BridgeLambda: 0.13, BridgeFraction: 0.15}, {Name: "ply", ThicknessMM: 10, LambdaWPerMK: 0.13},
		{Name: "cavity", ResistanceM2KPerW: 0.18}, {Name: "brick", ThicknessMM: 102, LambdaWPerMK: 0.77}}}
	if a, err = frame.Solve(); err != nil {
		t.Fatal(err)
	}
	near(t, "annex 6.B.2 upper limit", a.UpperR, 3.484, 0.002)
	near(t, "annex 6.B.2 lower limit", a.LowerR, 3.312, 0.001)
	near(t, "annex 6.B.2 U", a.U, 0.294, 0.0005)
	near(t, "annex 6.B.2 error %", a.ErrorPct, 2.55, 0.02)
}

// Approved Document L1 (2002) appendix A table 4.6, continuous layer over the structural
// base, as reprinted publicly: base thickness in mm by conductivity and U-value.
func TestBaseThicknessOfApprovedDocumentTable46(t *testing.T) {
	rows := map[float64][4]float64{0.15: {131, 163, 196, 228}, 0.20: {97, 122, 146, 170}, 0.25: {77, 97, 116, 135}, 0.30: {64, 80, 96, 112}, 0.35: {54, 68, 82, 95}, 0.40: {47, 59, 71, 83}}
	for u, row := range rows {
		for i, lambda := range []float64{0.020, 0.025, 0.030, 0.035} {
			b := Build{Layers: []Layer{{Name: "insulation", ThicknessMM: 100, LambdaWPerMK: lambda, Main: true}}}
			mm, err := b.ThicknessFor(u)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(mm-row[i]) > 0.51 {
				t.Errorf("λ %.3f U %.2f: %.1f mm, table %g", lambda, u, mm, row[i])
			}
		}
	}
}

// Worked from the formulas with full precision (regression only).
func TestWarmRoofAndItsCorrections(t *testing.T) {
	b := warm()
	a, err := b.Solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "RT", a.R, 6.088969, 1e-5)
	near(t, "U", a.U, 0.164231, 1e-5)
	b.Fasteners = Fasteners{PerM2: 5, DiameterMM: 4.8, LambdaWPerMK: 50}
	a, _ = b.Solve()
	near(t, "ΔUf", a.Fasteners, 0.024202, 1e-5)
	near(t, "U with fasteners", a.Corrected, 0.188433, 1e-5)
	b.Fasteners.RecessMM = 40
	a, _ = b.Solve()
	near(t, "ΔUf recessed to 80 mm", a.Fasteners, 0.007171, 1e-5)
	b.Fasteners, b.AirGapLevel = Fasteners{}, 1
	a, _ = b.Solve()
	near(t, "ΔUg level 1", a.Gaps, 0.008025, 1e-5)
	b.AirGapLevel = 2
	a, _ = b.Solve()
	near(t, "ΔUg level 2", a.Gaps, 0.032099, 1e-5)

	inverted := Build{Layers: []Layer{{Name: "concrete", ThicknessMM: 150, LambdaWPerMK: 2.3}, {Name: "membrane", ThicknessMM: 5, LambdaWPerMK: 0.23}, {Name: "XPS", ThicknessMM: 160, LambdaWPerMK: 0.035, Main: true}}, RainFactor: 0.04}
	for rain, want := range map[float64]float64{1.0: 0.244709, 2.5: 0.299167, 3.5: 0.335473} {
		inverted.RainMMPerDay = rain
		a, _ = inverted.Solve()
		near(t, "inverted roof", a.Corrected, want, 1e-5)
	}
}

// Second formulation of the combined method: the true value of a bridged roof, by a
// two-dimensional conduction field, lies between the limits.
func TestFieldLiesBetweenTheLimits(t *testing.T) {
	const wool, wood, depth, pitch, joist = 0.04, 0.13, 0.15, 0.40, 0.05
	b := Build{Layers: []Layer{{Name: "wool", ThicknessMM: depth * 1000, LambdaWPerMK: wool, BridgeLambda: wood, BridgeFraction: joist / pitch}}}
	a, err := b.Solve()
	if err != nil {
		t.Fatal(err)
	}
	const nx, ny = 80, 30
	dx, dy := pitch/2/nx, depth/ny
	lambda := func(i int) float64 {
		if (float64(i)+0.5)*dx < joist/2 {
			return wood
		}
		return wool
	}
	temp := make([][]float64, ny)
	for j := range temp {
		temp[j] = make([]float64, nx)
		for i := range temp[j] {
			temp[j][i] = 1 - (float64(j)+0.5)/ny
		}
	}
	top, bottom := func(i int) float64 { return dx / (Rse + dy/2/lambda(i)) }, func(i int) float64 { return dx / (RsiUp + dy/2/lambda(i)) }
	for sweep := 0; sweep < 6000; sweep++ {
		for j := 0; j < ny; j++ {
			for i := 0; i < nx; i++ {
				var sum, weight float64
				add := func(g, v float64) { sum += g * v; weight += g }
				if j == 0 {
					add(bottom(i), 1)
				} else {
					add(lambda(i)*dx/dy, temp[j-1][i])
				}
				if j == ny-1 {
					add(top(i), 0)
				} else {
					add(lambda(i)*dx/dy, temp[j+1][i])
				}
				if i > 0 {
					add(dy/(dx/2/lambda(i-1)+dx/2/lambda(i)), temp[j][i-1])
				}
				if i < nx-1 {
					add(dy/(dx/2/lambda(i+1)+dx/2/lambda(i)), temp[j][i+1])
				}
				temp[j][i] += 1.8 * (sum/weight - temp[j][i])
			}
		}
	}
	var flow float64
	for i := 0; i < nx; i++ {
		flow += bottom(i) * (1 - temp[0][i])
	}
	u := flow / (pitch / 2)
	if r := 1 / u; r > a.UpperR*1.002 || r < a.LowerR*0.998 {
		t.Errorf("field R %.4f is outside the limits %.4f to %.4f", r, a.LowerR, a.UpperR)
	}
	if math.Abs(1/u-a.R)/a.R > a.ErrorPct/100 {
		t.Errorf("field R %.4f, combined %.4f, stated error %.1f %%", 1/u, a.R, a.ErrorPct)
	}
}

func TestRemedyThicknessPasses(t *testing.T) {
	england, _ := country.For("GB-ENG")
	b := warm()
	b.Layers[3].ThicknessMM = 80
	results, _, err := Check(b, Extension, england, Room{StepMM: 10})
	if err != nil || results[0].Verdict != "fail" || len(results[0].Remedies) == 0 {
		t.Fatalf("80 mm: %+v %v", results, err)
	}
	need, err := b.ThicknessFor(0.15)
	if err != nil {
		t.Fatal(err)
	}
	b.Layers[3].ThicknessMM = 10 * math.Ceil(need/10)
	if results, _, _ = Check(b, Extension, england, Room{StepMM: 10}); results[0].Verdict != "pass" {
		t.Errorf("%g mm: %+v", b.Layers[3].ThicknessMM, results[0])
	}
}

func TestMissingTargetIsAskedFor(t *testing.T) {
	set, _ := country.For("FR")
	results, _, err := Check(warm(), Renovation, set, Room{StepMM: 10})
	if err != nil || results[0].Verdict != "ask" {
		t.Errorf("%+v %v", results, err)
	}
}
