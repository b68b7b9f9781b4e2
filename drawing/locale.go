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
