package checking

import (
	"fmt"
	"math"
	"strings"

	"gelwright/check/country"
	"gelwright/check/deck"
	"gelwright/check/movement"
	"gelwright/plane"
	"gelwright/roof"
)

// Spans is a table of allowed joist spans made for this job's timber and loads.
type Spans struct {
	Class      string         `json:"class"`
	DeadKPa    float64        `json:"dead_kpa"`
	LoadKPa    float64        `json:"load_kpa"`
	PointKN    float64        `json:"point_kn"`
	SpacingsMM []float64      `json:"spacings_mm"`
	Rows       []deck.SpanRow `json:"rows"`
	// Limits are what the spans keep to, in words.
	Limits []string `json:"limits"`
}

// spans tabulates the common sections.
func spans(b roof.Base, l deck.Loads, set country.Set) (*Spans, error) {
	sections := [][2]float64{{47, 97}, {47, 120}, {47, 145}, {47, 170}, {47, 195}, {47, 220}, {75, 170}, {75, 195}, {75, 220}}
	spacings := []float64{400, 450, 600}
	rows, err := deck.SpanTable(b.TimberClass, sections, spacings, l, set)
	if err != nil {
		return nil, err
	}
	return &Spans{Class: b.TimberClass, DeadKPa: l.DeadKPa, LoadKPa: l.VariableKPa, PointKN: l.PointKN, SpacingsMM: spacings, Rows: rows,
		Limits: deck.SpanLimits}, nil
}

// proposeJoints places movement joints over a deck's bounds, clear of its openings.
func proposeJoints(d *roof.Deck, corners []plane.Corner, dark bool, areaM2 float64) [][2]plane.Point {
	side := 10.0
	if dark {
		areaM2, side = areaM2*0.8, side*0.8
	}
	low, high := d.Outline.Bounds()
	f := movement.Field{LowX: low.X, LowY: low.Y, HighX: high.X, HighY: high.Y}
	for _, o := range d.Openings {
		l, h := o.Outline.Bounds()
		f.Openings = append(f.Openings, movement.Span2{LowX: l.X, LowY: l.Y, HighX: h.X, HighY: h.Y})
	}
	for _, c := range corners {
		if c.Kind == plane.Internal {
			f.CornersX, f.CornersY = append(f.CornersX, c.At.X), append(f.CornersY, c.At.Y)
		}
	}
	// A joint across the water cannot be raised; on a ridge it can.
	const acrossWater = 2
	for _, k := range d.Falls.Planes {
		if u := k.Down.Unit(); d.Falls.Kind != plane.ToPoint {
			f.DearX, f.DearY = math.Max(f.DearX, 1+acrossWater*math.Abs(u.X)), math.Max(f.DearY, 1+acrossWater*math.Abs(u.Y))
		}
	}
	if l := d.Falls.Line; (d.Falls.Kind == plane.Ridge || d.Falls.Kind == plane.Hip) && l[0] != l[1] {
		switch u := l[1].Sub(l[0]).Unit(); {
		case math.Abs(u.X) < 1e-6:
			f.CornersX = append(f.CornersX, l[0].X)
		case math.Abs(u.Y) < 1e-6:
			f.CornersY = append(f.CornersY, l[0].Y)
		}
	}
	xs, ys := movement.Positions(f, areaM2, side)
	var joints [][2]plane.Point
	for _, x := range xs {
		joints = append(joints, [2]plane.Point{{X: x, Y: low.Y}, {X: x, Y: high.Y}})
	}
	for _, y := range ys {
		joints = append(joints, [2]plane.Point{{X: low.X, Y: y}, {X: high.X, Y: y}})
	}
	return joints
}

// jointsText writes joints as the roof file has them.
func jointsText(joints [][2]plane.Point) string {
	parts := make([]string, len(joints))
	for i, j := range joints {
		parts[i] = fmt.Sprintf("[[%.3f, %.3f], [%.3f, %.3f]]", j[0].X, j[0].Y, j[1].X, j[1].Y)
	}
	return "[" + strings.Join(parts, ", ") + "]"
}
