package drawing

import (
	"strconv"
	"strings"

	"gelwright/unit"
)

// num prints a number with the decimal mark of a locale.
func num(locale string, v float64, decimals int) string { return unit.Number(v, decimals, locale) }

// plain prints a number with the decimals it has, and the decimal mark of a locale.
func plain(locale string, v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", unit.DecimalMark(locale), 1)
}

// local puts the decimal mark of a locale into words that hold numbers with points.
func local(locale, words string) string {
	mark := unit.DecimalMark(locale)
	if mark == "." {
		return words
	}
	var out strings.Builder
	digit := func(c byte) bool { return '0' <= c && c <= '9' }
	for i := 0; i < len(words); i++ {
		out.WriteByte(words[i])
		if i+2 < len(words) && digit(words[i]) && words[i+1] == '.' && digit(words[i+2]) {
			out.WriteString(mark)
			out.WriteByte(words[i+2])
			i += 2
		}
	}
	return out.String()
}

// doseML prints a dose of catalyst, with a point in every locale as the titles of shapes have it.
func doseML(ml float64) string { return num("", ml, unit.DoseDecimals(ml)) + " ml" }
