package checking

import (
	"context"
	"math"
	"testing"

	"gelwright/check/thermal"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/steps"
)

// deckOf is a deck of 4 by 4.8 m that falls one way at 1:40, 120 mm in all.
func deckOf(t *testing.T) runoff.Geometry {
	t.Helper()
	d := roof.Deck{Name: "main", Outline: plane.Rectangle(0, 0, 4, 4.8), Edges: make([]roof.Edge, 4),
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}}
	for i := range d.Edges {
		d.Edges[i].Condition = roof.Drip
	}
	g, err := runoff.MakeGeometry(context.Background(), runoff.GeometryInput{Place: "test", Deck: d})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// ISO 6946 annex E, by independent integration: R0 2.31818 and R1 5.45455 (120 mm of 0.022) give a
// rectangle 0.221804 W/m²K; the mean thickness would flatter it, 1/(R0 + R1/2) = 0.1982.
func TestTaperedRoofIsTheClosedFormOfTheAnnex(t *testing.T) {
	const thinMM, lambda = 22.0, 0.022
	in := HeatInput{Spec: roof.Spec{Insulation: &roof.Insulation{Material: "PIR", ThicknessMM: thinMM, LambdaWPerM: lambda, Tapered: true}},
		Geometry: []steps.Made[runoff.Geometry]{steps.Of(deckOf(t))}}
	build := thermal.Build{Layers: []thermal.Layer{
		{Name: "everything else", ResistanceM2KPerW: 2.31818 - thermal.RsiUp - thermal.Rse - thinMM/1000/lambda},
		{Name: "PIR", ThicknessMM: thinMM, LambdaWPerMK: lambda, Main: true}}}
	if _, err := in.evenOut(&build); err != nil {
		t.Fatal(err)
	}
	a, err := build.Solve()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.Corrected-0.221804) > 2e-4 {
		t.Errorf("U %.6f, the closed form gives 0.221804", a.Corrected)
	}
}
