package pdf

import (
	"bytes"
	"math"
	"testing"

	"gelwright/scene"
)

// IEC 61966-2-1 gives the primaries and the white of sRGB by chromaticity; ICC.1:2004, annex E, the Bradford matrix that brings
// the white of D65 to D50. Both from memory; Little CMS's own sRGB profile gives the same colours.
func TestColoursOfTheProfile(t *testing.T) {
	xyz := func(x, y, big float64) [3]float64 { return [3]float64{x / y * big, big, (1 - x - y) / y * big} }
	white := xyz(0.3127, 0.3290, 1)
	var m [3][3]float64 // columns are the primaries at Y = 1
	for i, p := range [3][2]float64{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}} {
		c := xyz(p[0], p[1], 1)
		for k := range 3 {
			m[k][i] = c[k]
		}
	}
	share := solve(m, white)
	cone := [3][3]float64{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := times(cone, white), times(cone, whiteD50)
	for i := range 3 {
		c := times(cone, [3]float64{m[0][i] * share[i], m[1][i] * share[i], m[2][i] * share[i]})
		for k := range 3 {
			c[k] *= to[k] / from[k]
		}
		got := solve(cone, c)
		for k := range 3 {
			if math.Abs(got[k]-sRGBPrimaries[i][k]) > 2e-4 {
				t.Errorf("primary %d: worked out %.5f, written %.5f", i, got[k], sRGBPrimaries[i][k])
			}
		}
	}
	for k := range 3 {
		row := [3]float64{bradford[3*k], bradford[3*k+1], bradford[3*k+2]}
		if got := row[0]*white[0] + row[1]*white[1] + row[2]*white[2]; math.Abs(got-whiteD50[k]) > 5e-4 {
			t.Errorf("the white of D65 becomes %.5f in component %d, want %.5f", got, k, whiteD50[k])
		}
	}
}

func times(m [3][3]float64, v [3]float64) (out [3]float64) {
	for i := range 3 {
		out[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return out
}

// solve by Cramer's rule.
func solve(m [3][3]float64, v [3]float64) (out [3]float64) {
	det := func(a [3][3]float64) float64 {
		return a[0][0]*(a[1][1]*a[2][2]-a[1][2]*a[2][1]) - a[0][1]*(a[1][0]*a[2][2]-a[1][2]*a[2][0]) +
			a[0][2]*(a[1][0]*a[2][1]-a[1][1]*a[2][0])
	}
	for i := range 3 {
		a := m
		for k := range 3 {
			a[k][i] = v[k]
		}
		out[i] = det(a) / det(m)
	}
	return out
}

// What the fonts lack is no box in a file that is kept, and what no library object is known for is refused.
func TestLettersAndObjectsAreKnown(t *testing.T) {
	d := New(date, "Job", "")
	if got := d.lettered("Łódź ∅ 屋"); got != "Łódź ? ?" {
		t.Errorf("lettered as %q", got)
	}
	if _, err := d.archive([]byte("%PDF-1.3\nno table")); err == nil {
		t.Error("a file without a table of places was taken")
	}
	raw, err := Bytes(date, "Job (one)", "A & B", &scene.Scene{Title: "Plan", WidthMM: 210, HeightMM: 297})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Job (one)", "A &amp; B", "<pdfaid:part>2"} {
		if !bytes.Contains(raw, []byte(want)) {
			t.Errorf("the metadata lacks %q", want)
		}
	}
}
