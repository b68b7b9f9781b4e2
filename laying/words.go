package laying

import (
	"fmt"
	"gelwright/cure"
	"math"
	"strings"
)

func clockText(min float64) string {
	n := int(math.Round(min))
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

// Lasting prints minutes as a person says them: "35 min", "4.5 h", "6 days".
func Lasting(min float64) string {
	if math.IsInf(min, 1) || min > lastingMin {
		return "more than 30 days"
	}
	per, unit := lastingUnit(min)
	return lastingNumber(min/per, unit) + " " + unit
}

// LastingRange prints a range in one unit: "2.1–3.4 h".
func LastingRange(r cure.Range) string {
	switch {
	case math.IsInf(r.LikelyMin, 1) || r.LikelyMin > lastingMin:
		return "not within 30 days"
	case math.IsInf(r.HighMin, 1) || r.HighMin > lastingMin:
		return Lasting(r.LowMin) + " or longer"
	}
	per, unit := lastingUnit(r.HighMin)
	low, high := lastingNumber(r.LowMin/per, unit), lastingNumber(r.HighMin/per, unit)
	if low == high {
		return high + " " + unit
	}
	return low + "–" + high + " " + unit
}

func lastingUnit(min float64) (perMin float64, unit string) {
	switch {
	case min < 90:
		return 1, "min"
	case min < 72*60:
		return 60, "h"
	}
	return 24 * 60, "days"
}

func lastingNumber(v float64, unit string) string {
	if v < 9.95 && unit != "min" {
		return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
	}
	return fmt.Sprintf("%.0f", v)
}
