package laying

import (
	"strings"
	"testing"

	"gelwright/mixing"
)

// What is too old is named by its strips, which are the same on paper and for whoever asks on the day, whatever their buckets are
// numbered; a strip that is old in part is said to be, and the oldest rules whichever gang laid it.
func TestWhatIsTooOldIsNamedByItsStrips(t *testing.T) {
	on := func(number int, atMin, m2 float64, names ...string) mixing.Mix {
		m := mixing.Mix{Number: number, Day: 1, MixAtMin: atMin, AreaM2: m2}
		for _, n := range names {
			m.Parts = append(m.Parts, mixing.Part{Name: n})
		}
		return m
	}
	for first := range 2 {
		x := &Pass{Kind: "mat", Layer: 1, Plan: &mixing.Plan{Mixes: []mixing.Mix{on(first+7, 540, 3, "M1", "M2"), on(first+8, 600, 2, "M3", "M4"),
			on(first+9, 700, 4, "M4", "M6"), on(first+10, 530, 1, "M9")}}}
		for untilMin, want := range map[float64]string{1400: "abrade M1 to M3, M9 and part of M4, 6 m²,", 1465: "abrade M1, M2 and M9, 4 m²,",
			1475: "abrade M9, 1 m²,", 1300: "abrade mat layer 1 all over", 1600: ""} {
			got := tooOld(x, 2, 570, untilMin)
			if !strings.HasPrefix(got, want) || (got == "") != (want == "") || strings.Contains(got, "bucket") {
				t.Errorf("%g min: %q, want %q", untilMin, got, want)
			}
		}
	}
}
