package quantity

import (
	"fmt"
	"math"

	"gelwright/material"
	"gelwright/working"
)

// smallLoadLimit of ADR 1.1.3.6, points.
const smallLoadLimit = 1000

var smallLoad = working.Source{Title: "ADR", Clause: "1.1.3.6, small-load rule", Standing: working.Remembered}

// Load is the dangerous goods of one delivery.
type Load struct {
	Points float64 `json:"points"`
	Limit  float64 `json:"limit"`
	// Small is true up to the limit, where the lighter rules apply.
	Small bool `json:"small"`
	// Deliveries that would each stay within the limit.
	Deliveries int    `json:"deliveries"`
	Finding    string `json:"finding,omitempty"`
	// Figure is nil when nothing dangerous is carried.
	Figure *working.Figure `json:"-"`
}

var (
	pointsOf      = working.MustFormula("P = q·f")
	pointsByLitre = working.MustFormula("P = q·v·f")
	pointsOfAll   = working.MustFormula("P = Σ P")
)

// Points returns the points of a quantity of an item under the small-load rule, or
// nil when it is not dangerous to carry. The factor is by transport category: 1 for
// resin (class 3, packing group III), 3 for acetone (group II) and for peroxide of
// type D (class 5.2), from memory.
func Points(item material.Item, quantity float64) (*working.Figure, error) {
	c := item.Carriage
	if c == nil {
		return nil, nil
	}
	factor := working.Constant("f", "factor of "+c.UN+", class "+c.Class, c.Factor, "points per "+c.Per, c.Source)
	bought := working.Measured("q", "ordered, "+item.Name, quantity, item.Unit, "order list")
	switch {
	case item.Unit == c.Per:
		return pointsOf.Figure("carriage points, "+item.Name, "points", smallLoad, bought, factor), nil
	case item.Unit == "kg" && c.Per == "l" && c.LitresPerKG > 0:
		v := working.Constant("v", "litres in a kilogram", c.LitresPerKG, "l/kg", c.LitresFrom.OrUnsaid())
		return pointsByLitre.Figure("carriage points, "+item.Name, "points", smallLoad, bought, v, factor), nil
	}
	return nil, fmt.Errorf("quantity: %s is measured in %q and carried by the %q: give litres to the kilogram in the firm's file", item.Name,
		item.Unit, c.Per)
}

func (l *Line) carry(item material.Item) error {
	f, err := Points(item, l.Ordered)
	if err != nil || f == nil {
		return err
	}
	l.PointsFigure = f.Keyed(l.Key + ".points")
	l.Points = f.Value
	l.Carriage = item.Carriage.UN + ", class " + item.Carriage.Class
	if g := item.Carriage.PackingGroup; g != "" {
		l.Carriage += ", packing group " + g
	}
	return nil
}

func loadOf(points []*working.Figure) Load {
	load := Load{Limit: smallLoadLimit, Small: true, Deliveries: 1}
	if len(points) == 0 {
		return load
	}
	load.Figure = pointsOfAll.Figure("carriage points of one delivery", "points", smallLoad, points...).Keyed("quantity.carriage_points")
	load.Points = load.Figure.Value
	load.Small = load.Points <= smallLoadLimit
	load.Deliveries = int(math.Max(1, math.Ceil(load.Points/smallLoadLimit)))
	if load.Small {
		load.Finding = fmt.Sprintf("%.0f carriage points, within the %d of the small-load rule (from memory, to be confirmed): 2 kg "+
			"extinguisher, papers and labels, trained driver", load.Points, smallLoadLimit)
	} else {
		load.Finding = fmt.Sprintf("%.0f carriage points in one delivery, beyond the %d of the small-load rule (from memory, to be "+
			"confirmed): %d deliveries or more, or have a licensed carrier bring it", load.Points, smallLoadLimit, load.Deliveries)
	}
	return load
}
