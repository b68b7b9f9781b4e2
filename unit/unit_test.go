package unit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		to   Unit
		want float64
	}{
		{"2.4 m", Metre, 2.4},
		{"2,4 m", Metre, 2.4},
		{"150mm", Millimetre, 150},
		{"6200 mm", Metre, 6.2},
		// International foot 1959: 1 ft = 0.3048 m exactly; 8 ft 6 in = 2.5908 m.
		{"8 ft 6 in", Metre, 2.5908},
		{`8'6"`, Metre, 2.5908},
		{"-2 ft 6 in", Metre, -0.762},
		{"1 in", Millimetre, 25.4},
		// Fixed points of the Fahrenheit scale: 32 °F = 0 °C, 212 °F = 100 °C.
		{"32 °F", Celsius, 0},
		{"212 F", Celsius, 100},
		{"273.15 K", Celsius, 0},
		// International pound 1959.
		{"1 lb", Kilogram, 0.45359237},
		{"500 ml", Litre, 0.5},
	} {
		got, err := Parse(c.text, c.to)
		if err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("Parse(%q, %s) = %v, %v; want %v", c.text, c.to.Symbol, got, err, c.want)
		}
	}
	for _, bad := range []string{"", "m", "2.4", "2.4 kg", "2.4 furlong", "1 in 2 ft", "1.2.3 m", "NaN m", "1e400 m", "2 m 3 m"} {
		if v, err := Parse(bad, Metre); err == nil {
			t.Errorf("Parse(%q) = %v, want an error", bad, v)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(2.4, 3, "en-GB"), "2.400"},
		{Number(2.4, 3, "fr-FR"), "2,400"},
		{Number(-0.0001, 2, "de-DE"), "0,00"},
		{Number(5, 0, "de-DE"), "5"},
		{DecimalMark("de-CH"), "."},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// What is printed is read back to the digits that were printed.
func TestFormatThenParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e4, 1e4).Draw(t, "v")
		locale := rapid.SampledFrom([]string{"en-GB", "fr-FR", "de-DE"}).Draw(t, "locale")
		got, err := Parse(Number(v, 4, locale)+" m", Metre)
		if err != nil || math.Abs(got-v) > 5.1e-5 {
			t.Fatalf("%v came back as %v, %v", v, got, err)
		}
	})
}
