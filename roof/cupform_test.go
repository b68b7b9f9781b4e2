package roof

import (
	"regexp"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// The numbers of a cup are those that its pattern, which editors hold a file to, brackets.
func TestCupIsReadAsItsPatternSays(t *testing.T) {
	form := regexp.MustCompile(CupPattern)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(CupPattern).Draw(t, "text")
		m, number := form.FindStringSubmatch(text), func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
		want := Cup{number(m[1]), number(m[2]), number(m[3])}
		c, err := ParseCup(text)
		fits := want.Min >= 1 && want.Min <= 600 && want.TempC >= -10 && want.TempC <= 50 && want.Pct >= 0.2 && want.Pct <= 10
		if (err == nil) != fits || fits && c != want {
			t.Fatalf("%q: %+v, %v; want %+v", text, c, err, want)
		}
	})
}
