package mixing

import (
	"fmt"
	"math"

	"gelwright/plane"
)

// Cell is a stretch that is laid in one go: a mat strip between openings, or a
// field of top coat.
type Cell struct {
	// Name on the drawing: "strip 4.2".
	Name string `json:"name"`
	// Strip number in the order in which laps shed water; cells of a strip share it.
	Strip int `json:"strip"`
	// Shape on plan, m, at least three corners; Along is the direction the strip
	// runs, zero to take the shape's long axis.
	Shape plane.Loop  `json:"shape"`
	Along plane.Point `json:"along,omitzero"`
	// AreaM2 on the slope and ResinKG for all that this pass puts there: laminate,
	// laps and what the deck drinks.
	AreaM2  float64 `json:"area_m2"`
	ResinKG float64 `json:"resin_kg"`
	// Over are the cells, by their place in the input, on whose edges this one lies in
	// the flow of water: they are laid before it.
	Over []int `json:"over,omitempty"`
}

// AtRate returns the cells with resin at a rate in kg/m²: a top coat over them. It has
// no laps, so which cell lay over which no longer binds the order.
func AtRate(cells []Cell, kgPerM2 float64) []Cell {
	out := append([]Cell(nil), cells...)
	for i := range out {
		out[i].ResinKG, out[i].Over = out[i].AreaM2*kgPerM2, nil
	}
	return out
}

func checkCells(cells []Cell) error {
	if len(cells) == 0 {
		return fmt.Errorf("mixing: nothing to lay: give at least one cell")
	}
	for _, c := range cells {
		switch {
		case len(c.Shape) < 3 || !(c.Shape.Area() > 1e-9):
			return fmt.Errorf("mixing: cell %q has no area on plan: give at least three corners, anticlockwise", c.Name)
		case !(c.AreaM2 > 0) || math.IsInf(c.AreaM2, 0):
			return fmt.Errorf("mixing: cell %q has area %g m²: give a positive area", c.Name, c.AreaM2)
		case !(c.ResinKG > 0) || math.IsInf(c.ResinKG, 0):
			return fmt.Errorf("mixing: cell %q takes %g kg of resin: give a positive mass", c.Name, c.ResinKG)
		}
		for _, p := range c.Shape {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
				return fmt.Errorf("mixing: cell %q has a corner that is no place", c.Name)
			}
		}
	}
	return checkOver(cells)
}

func (c Cell) axis() plane.Point {
	if c.Along.Length() > 0 {
		return c.Along.Unit()
	}
	return c.Shape.LongAxis()
}
