package framing

import (
	"context"
	"fmt"

	"gelwright/check"
	"gelwright/check/wind"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
	"gelwright/working"
)

// FieldsInput is a deck with its movement joints set out.
type FieldsInput struct {
	Deck     string
	Geometry steps.Made[runoff.Geometry]
	SetOut   steps.Made[SetOut]
}

// Fields is what of a deck is laminated as field: all but the strips along movement joints.
type Fields struct {
	Fields  []plane.Polygon
	FieldM2 float64
	// UpstandM2 is what stands up from the deck, the battens of raised joints among it.
	UpstandM2 float64
	// Area of the fields and what stands up, as figures.
	Area, Upstands *working.Figure
	check.Notes
}

var (
	fieldArea          = working.MustFormula("Af = As·(1 − At/A)")
	stripsArea         = working.Method("At", "length × twice the distance at which the fields end, crossings once")
	upstandsAndBattens = working.MustFormula("Ab = Au + L·b")
)

// MakeFields takes the strips along movement joints out of what is laminated as field, and
// adds their battens, laminated over, to the upstands.
func MakeFields(_ context.Context, in FieldsInput) (Fields, error) {
	g, joints := &in.Geometry.Value, in.SetOut.Value.Upper.MovementJoints
	out := Fields{Fields: g.Net, FieldM2: g.SlopeM2, UpstandM2: g.UpstandM2, Area: g.SlopeArea, Upstands: g.Upstands}
	if len(joints) == 0 {
		return out, nil
	}
	raisedM := 0.0
	var err error
	for _, j := range joints {
		if j.Raised {
			raisedM += j.BuiltM()
		}
		if out.Fields, err = plane.Difference(out.Fields, []plane.Polygon{{Outer: j.Strip()}}); err != nil {
			return out, fmt.Errorf("deck %q: movement joints: %w", in.Deck, err)
		}
	}
	net := plane.TotalArea(g.Net)
	taken := net - plane.TotalArea(out.Fields)
	length := in.SetOut.Value.Upper.Figure("setout." + in.Deck + ".movement_joints")
	out.Area = out.Figure(fieldArea.Figure("area of deck "+in.Deck+" less the strips along movement joints", "m²", runoff.Derived, g.SlopeArea,
		working.Measured("A", "area on plan, arcs in chords", net, "m²", "outline of the deck"),
		stripsArea.Run("strips along the movement joints, on plan", taken, "m²", runoff.Derived, length)).Keyed("deck." + in.Deck + ".field"))
	out.FieldM2 = out.Area.Value
	if raisedM == 0 {
		return out, nil
	}
	const sides = 2 * (settingout.JointHighMM + settingout.JointBattenMM) / 1000.0
	out.Upstands = out.Figure(upstandsAndBattens.Figure("upstands, kerbs and joint battens of deck "+in.Deck, "m²", runoff.Derived, g.Upstands,
		working.Measured("L", "raised movement joints as built", raisedM, "m", "set-out, less crossings"),
		working.Constant("b", "up the batten and over it, both sides", sides, "m",
			working.Source{Title: "battens 38 × 50 mm", Standing: working.CommonPractice})).Keyed("deck." + in.Deck + ".upstand_all"))
	out.UpstandM2 = out.Upstands.Value
	return out, nil
}

// SetOutInput is a deck to be set out piece by piece.
type SetOutInput struct {
	Deck     roof.Deck
	Spec     roof.Spec // see laidOut
	Geometry steps.Made[runoff.Geometry]
	Wind     wind.Site
	Supply   settingout.Supply
	// TwoDecks: a structural deck below the insulation, carrier boards above it.
	TwoDecks bool
}

// SetOut is a deck set out.
type SetOut struct {
	// Upper is what the laminate lies on with all that is on it; Structural the boards below
	// the insulation of a warm roof over joists.
	Upper      settingout.SetOut
	Structural *settingout.SetOut
	// Given is the stock and the wind zones it was set out with.
	Given settingout.Given
}

// LaidOut is what of a specification the set-out asks: another resin cuts no board anew.
func LaidOut(s roof.Spec) roof.Spec {
	return roof.Spec{Layers: s.Layers, TissueGPerM2: s.TissueGPerM2, SideLapMM: s.SideLapMM, EndLapMM: s.EndLapMM, TrimLapMM: s.TrimLapMM,
		BandageMM: s.BandageMM, CornerStripMM: s.CornerStripMM, UpstandLayers: s.UpstandLayers, Board: s.Board, SetOut: s.SetOut}
}

// MakeSetOut sets out a deck piece by piece.
func MakeSetOut(ctx context.Context, in SetOutInput) (SetOut, error) {
	var out SetOut
	var err error
	zones, err := windZones(&in.Deck, in.Geometry.Value.Net, in.Wind, in.Spec.Board)
	if err != nil {
		return out, err
	}
	out.Given = settingout.Given{Supply: in.Supply, Zones: zones}
	if in.TwoDecks {
		out.Structural, out.Upper, err = bothDecks(ctx, in.Deck, in.Spec, out.Given)
	} else {
		out.Upper, err = settingout.MakeFrom(ctx, in.Deck, in.Spec, out.Given)
	}
	if err != nil {
		return out, err
	}
	if len(out.Upper.Of(settingout.Mat)) == 0 {
		return out, fmt.Errorf("deck %q: no mat was set out", in.Deck.Name)
	}
	return out, nil
}
