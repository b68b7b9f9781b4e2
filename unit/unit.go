package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Kind is what a unit measures.
type Kind string

// The kinds of quantity that are read from files.
const (
	Length      Kind = "length"
	Temperature Kind = "temperature"
	Mass        Kind = "mass"
	Volume      Kind = "volume"
)

// Unit is a unit of measure: value·Factor + Offset gives the base unit of its
// kind (m, °C, kg, l).
type Unit struct {
	Symbol string
	Kind   Kind
	factor float64
	offset float64
}

// The units that the engine keeps its values in.
var (
	Metre      = Unit{"m", Length, 1, 0}
	Millimetre = Unit{"mm", Length, 0.001, 0}
	Kilometre  = Unit{"km", Length, 1000, 0}
	Celsius    = Unit{"°C", Temperature, 1, 0}
	Kilogram   = Unit{"kg", Mass, 1, 0}
	Litre      = Unit{"l", Volume, 1, 0}
)

// lookup returns the unit that a person's symbol means.
func lookup(symbol string) (Unit, bool) {
	switch symbol {
	case "m", "metre", "metres", "meter", "meters":
		return Metre, true
	case "mm":
		return Millimetre, true
	case "cm":
		return Unit{"cm", Length, 0.01, 0}, true
	case "km":
		return Kilometre, true
	case "in", "inch", "inches", `"`, "″":
		return Unit{"in", Length, 0.0254, 0}, true
	case "ft", "foot", "feet", "'", "′":
		return Unit{"ft", Length, 0.3048, 0}, true
	case "°C", "C", "degC", "℃":
		return Celsius, true
	case "°F", "F", "degF", "℉":
		return Unit{"°F", Temperature, 5.0 / 9, -160.0 / 9}, true
	case "K":
		return Unit{"K", Temperature, 1, -273.15}, true
	case "kg":
		return Kilogram, true
	case "g":
		return Unit{"g", Mass, 0.001, 0}, true
	case "lb", "lbs":
		return Unit{"lb", Mass, 0.45359237, 0}, true
	case "l", "L", "litre", "litres":
		return Litre, true
	case "ml", "mL":
		return Unit{"ml", Volume, 0.001, 0}, true
	}
	return Unit{}, false
}

// Symbols lists what may be written after a number of the kind, for messages.
func Symbols(k Kind) string {
	switch k {
	case Length:
		return "m, mm, cm, km, ft, in"
	case Temperature:
		return "°C, °F, K"
	case Mass:
		return "kg, g, lb"
	case Volume:
		return "l, ml"
	}
	return ""
}

// Parse reads a quantity with its unit and returns it in the unit to. The number
// may carry a decimal point or comma; feet may be followed by inches ("8 ft 6 in").
// A number without a unit, a unit of another kind, and anything that is not a
// finite number is an error that says what is accepted.
func Parse(text string, to Unit) (float64, error) {
	rest := strings.TrimSpace(text)
	if rest == "" {
		return 0, fmt.Errorf("an empty text is no %s", to.Kind)
	}
	if len(rest) > 64 {
		return 0, fmt.Errorf("a text of %d characters is no %s", len(rest), to.Kind)
	}
	base, parts, negative := 0.0, 0, false
	last := math.Inf(1)
	for rest != "" {
		number, symbol, tail := split(rest)
		if number == "" {
			return 0, fmt.Errorf("%q does not begin with a number", rest)
		}
		v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
			return 0, fmt.Errorf("%q is not a number", number)
		}
		if symbol == "" {
			return 0, fmt.Errorf("%q has no unit; write one of %s", text, Symbols(to.Kind))
		}
		u, ok := lookup(symbol)
		if !ok {
			return 0, fmt.Errorf("unit %q is not known; write one of %s", symbol, Symbols(to.Kind))
		}
		if u.Kind != to.Kind {
			return 0, fmt.Errorf("%q is a %s, and a %s is wanted (%s)", text, u.Kind, to.Kind, Symbols(to.Kind))
		}
		if parts > 0 && (to.Kind != Length || u.factor >= last || v < 0) {
			return 0, fmt.Errorf("%q cannot be added up; write one number and one unit", text)
		}
		if parts == 0 {
			negative = v < 0
		} else if negative {
			v = -v
		}
		last = u.factor
		base += v*u.factor + u.offset
		parts++
		rest = strings.TrimSpace(tail)
	}
	if parts == 1 && last == to.factor && to.offset == 0 {
		// The same unit: spare the round trip through the base unit.
		number, symbol, _ := split(strings.TrimSpace(text))
		if u, _ := lookup(symbol); u == to {
			return strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
		}
	}
	return convert(base, to), nil
}

// convert takes a value of the base unit to u, without the digits that a
// multiplication by 0.001 leaves behind.
func convert(base float64, u Unit) float64 {
	v := (base - u.offset) / u.factor
	r := math.Round(v*1e9) / 1e9
	if math.Abs(r) < 1e6 {
		return r
	}
	return v
}

// split parts "8 ft 6 in" into "8", "ft", "6 in".
func split(s string) (number, symbol, rest string) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',' || (i == 0 && (s[i] == '-' || s[i] == '+'))) {
		i++
	}
	number = s[:i]
	s = strings.TrimLeft(s[i:], " \t")
	j := 0
	for j < len(s) && s[j] != ' ' && s[j] != '\t' && !(s[j] >= '0' && s[j] <= '9') && s[j] != '-' && s[j] != '+' {
		j++
	}
	return number, s[:j], s[j:]
}

// Number prints a value with so many decimals and the locale's decimal mark.
// Minus zero prints as zero.
func Number(value float64, decimals int, locale string) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	if mark := DecimalMark(locale); mark != "." {
		text = strings.Replace(text, ".", mark, 1)
	}
	return text
}

// wholeDoseML is the dose of catalyst from which whole millilitres and grams will do: half of one is then 2.5 % of it
// (common practice, no source).
const wholeDoseML = 20

// DoseDecimals is how many decimals a dose of catalyst is printed with, in ml and in g alike, for the two are one dose.
func DoseDecimals(ml float64) int {
	if ml < wholeDoseML {
		return 1
	}
	return 0
}

// DecimalMark returns "," or "." for a locale such as "de-DE". Languages that are
// not listed take the point. Source: Unicode CLDR number symbols (from memory, to
// be confirmed).
func DecimalMark(locale string) string {
	language, region, _ := strings.Cut(strings.ReplaceAll(locale, "_", "-"), "-")
	switch strings.ToLower(language) {
	case "de":
		if region == "CH" || region == "LI" {
			return "."
		}
		return ","
	case "fr", "it", "es", "pt", "nl", "pl", "cs", "sk", "da", "sv", "nb", "nn", "no", "fi", "hu", "ro", "bg", "el", "hr", "sl", "et",
		"lv", "lt", "uk", "ru", "tr":
		if region == "MX" || (language == "it" && region == "CH") {
			return "."
		}
		return ","
	}
	return "."
}
