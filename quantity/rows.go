package quantity

import (
	"fmt"
	"strconv"
	"strings"
)

// Header names the columns of Rows.
func Header() []string {
	return []string{"kind", "material", "description", "unit", "net", "waste %", "gross", "order", "ordered", "surplus", "cost", "carriage",
		"points", "pieces"}
}

// Rows returns the schedule as a table of text for a CSV or a sheet: numbers with a
// point, cost in minor units and empty where a price is missing.
func (s *Schedule) Rows() [][]string {
	rows := make([][]string, 0, len(s.Lines))
	n := func(v float64) string { return strconv.FormatFloat(round(v), 'f', -1, 64) }
	for _, l := range s.Lines {
		cost := ""
		if l.Priced {
			cost = strconv.FormatInt(l.CostMinor, 10)
		}
		points := ""
		if l.Carriage != "" {
			points = n(l.Points)
		}
		rows = append(rows, []string{string(l.Kind), l.MaterialKey, l.Description, l.Unit, n(l.Net), n(l.WastePct), n(l.Gross), l.OrderText(),
			n(l.Ordered), n(l.Surplus),
			cost, l.Carriage, points, strings.Join(l.Pieces, " ")})
	}
	return rows
}

// round to a thousandth, as packs are.
func round(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', 3, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// OrderText says the packs in words: "1 × 20 kg pail + 2 × 5 kg pail"; what is sold
// loose by its unit: "7 pieces", "22 m".
func (l Line) OrderText() string {
	if len(l.Order) == 0 {
		return "none"
	}
	parts := make([]string, len(l.Order))
	for i, p := range l.Order {
		switch {
		case p.Name != l.Unit:
			parts[i] = fmt.Sprintf("%d × %s", p.Count, p.Name)
		case p.Count > 1 && (l.Unit == "piece" || l.Unit == "pair"):
			parts[i] = fmt.Sprintf("%d %ss", p.Count, l.Unit)
		default:
			parts[i] = fmt.Sprintf("%d %s", p.Count, l.Unit)
		}
	}
	return strings.Join(parts, " + ")
}
