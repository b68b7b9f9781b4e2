package laying

import (
	"context"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/laminate"
	"gelwright/material"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/steps"
	"gelwright/working"
)

// zoneRates holds what a square metre of mat takes, by layer, kg/m² of mat laid.
type zoneRates struct {
	// layer[i] is resin per m² of mat i laid, soak not counted; soak per m² of deck covered.
	layer []float64
	soak  float64
	// tissue is resin per m² of tissue.
	tissue float64
}

// rates returns resin per m² of each layer: glass × resin to glass.
func rates(s roof.Spec) zoneRates {
	var z zoneRates
	for _, g := range s.Layers {
		z.layer = append(z.layer, g/1000*s.ResinToGlass)
	}
	z.soak = s.DeckSoakKGPerM2
	z.tissue = s.TissueGPerM2 / 1000 * laminate.TissueRatio
	return z
}

// LaminateInput is a deck set out, and what it is laminated and coated with.
type LaminateInput struct {
	Deck    string
	Several bool // several decks: each keeps its figures apart
	Spec    roof.Spec
	Origin  roof.Origin // of spec
	Coat    material.Resin
	SetOut  steps.Made[framing.SetOut]
	Fields  steps.Made[framing.Fields]
}

// Laminate is thickness, glass and masses of a deck, and its top coat.
type Laminate struct {
	// CoatM2 is what is coated: fields, upstands and the faces of trims.
	LaminateMM, GlassPct, ResinKGPerM2, CoatM2 float64
	StiffnessNPerMM                            float64
	// Thickness of the laminate, resin of the deck's zones and the area to coat, as figures.
	Thickness *working.Figure
	Resin     []*working.Figure
	CoatArea  *working.Figure
	check.Notes
}

// MakeLaminate works out the laminate and the top coat of a deck.
func MakeLaminate(_ context.Context, in LaminateInput) (Laminate, error) {
	var out Laminate
	spec, pieces := in.Spec, &in.SetOut.Value.Upper
	covered, laid := in.Fields.Value.FieldM2, 0.0
	for _, p := range pieces.Of(settingout.Mat) {
		if p.Layer == 1 && !p.Upright {
			laid += p.AreaM2
		}
	}
	lap := 1.0
	if laid > covered {
		lap = laid / covered
	}
	b, err := laminate.Make(laminate.Zone{
		Key: "laminate." + in.Deck + ".deck", Name: "deck " + in.Deck, Kind: laminate.Deck, AreaM2: in.Fields.Value.Area, LapFactor: lap,
		Layers: spec.Layers, TissueGPerM2: spec.TissueGPerM2,
		ResinToGlass: in.resinToGlass(), SoakKGPerM2: in.soak(), From: in.Origin,
	})
	if err != nil {
		return out, err
	}
	for _, f := range []*working.Figure{b.ThicknessMM, b.GlassFraction, b.GlassKGPerM2, b.ResinKGPerM2, b.GlassKG, b.ResinKG, b.SoakKG,
		b.StrengthNPerMM, b.StiffnessNPerMM, b.CuredKGPerM2, b.DensityGCM3, b.VolumeGlass} {
		out.Figure(f)
	}
	out.Thickness = b.ThicknessMM
	out.LaminateMM, out.GlassPct = b.ThicknessMM.Value, b.GlassFraction.Value*100
	out.ResinKGPerM2, out.StiffnessNPerMM = b.ResinKGPerM2.Value, b.StiffnessNPerMM.Value
	out.Resin = append(out.Resin, b.ResinKG)
	out.AnswerOn(in.Deck, in.Several, laminate.CheckGlass(b))
	if err := out.details(in); err != nil {
		return out, err
	}
	return out, out.topCoat(in)
}

func (in *LaminateInput) resinToGlass() *working.Figure {
	return in.Origin.Given("R", "resin to glass by mass", in.Spec.ResinToGlass, "", "spec.resin_to_glass")
}

func (in *LaminateInput) soak() *working.Figure {
	return in.Origin.Given("s", "resin that the deck drinks", in.Spec.DeckSoakKGPerM2, "kg/m²", "spec.deck_soak_kg_per_m2")
}

// details works out upstands, corner patches and bandage.
func (out *Laminate) details(in LaminateInput) error {
	for _, c := range []struct {
		kind laminate.ZoneKind
		name string
		of   func(settingout.Piece) bool
		lays []float64
		soak bool
	}{
		{laminate.Upstand, "upstands and kerbs",
			func(p settingout.Piece) bool { return p.Kind == settingout.Mat && p.Upright }, in.Spec.Layers[:1], true},
		{laminate.Corner, "corner patches", func(p settingout.Piece) bool { return p.Kind == settingout.Patch }, in.Spec.Layers[:1], false},
		{laminate.Bandage, "bandage", func(p settingout.Piece) bool { return p.Kind == settingout.Bandage }, []float64{450}, true},
	} {
		sum := 0.0
		for _, p := range in.SetOut.Value.Upper.Pieces {
			if c.of(p) {
				sum += p.AreaM2
			}
		}
		if sum <= 0 {
			continue
		}
		z := laminate.Zone{Key: "laminate." + in.Deck + "." + string(c.kind), Name: c.name + " of deck " + in.Deck, Kind: c.kind,
			AreaM2: working.Measured("A", c.name+" of deck "+in.Deck, sum, "m²", "pieces as set out"), Layers: c.lays,
			ResinToGlass: in.resinToGlass(), From: in.Origin}
		if c.soak {
			z.SoakKGPerM2 = in.soak()
		}
		b, err := laminate.Make(z)
		if err != nil {
			return err
		}
		out.Figure(b.GlassKG)
		out.Resin = append(out.Resin, out.Figure(b.ResinKG))
		out.Figure(b.ThicknessMM)
	}
	return nil
}

// trimFaceM is the face of a trim that shows, m: common practice for take-off.
const trimFaceM = 0.10

var (
	coatArea  = working.MustFormula("Ac = Ad + Au + At")
	trimFaces = working.MustFormula("At = L·b")
)

// topCoat works out the film over deck, upstands and trims.
func (out *Laminate) topCoat(in LaminateInput) error {
	spec := in.Spec
	trimM := 0.0
	for _, p := range in.SetOut.Value.Upper.Of(settingout.Trim) {
		if p.MovementJoint() {
			continue // a cap is not coated
		}
		trimM += float64(p.LengthMM) / 1000
	}
	f := &in.Fields.Value
	takeOff := working.Source{Title: "take-off of top coat", Standing: working.CommonPractice}
	out.CoatArea = coatArea.Figure("area to coat on deck "+in.Deck, "m²", takeOff, f.Area.As("Ad"), f.Upstands.As("Au"),
		trimFaces.Figure("trim faces", "m²", takeOff, working.Measured("L", "trims that are coated", trimM, "m", "pieces as set out"),
			working.Constant("b", "face of a trim that shows", trimFaceM, "m", takeOff))).Keyed("topcoat." + in.Deck + ".area")
	out.CoatM2 = out.CoatArea.Value
	film, err := laminate.MakeFilm(laminate.Coat{Key: "topcoat." + in.Deck, Name: "top coat on deck " + in.Deck, AreaM2: out.CoatArea,
		KGPerM2: in.Origin.Given("q", "top coat, each coat", spec.TopCoat.KGPerM2, "kg/m²", "spec.top_coat.kg_per_m2"), Coats: spec.TopCoat.Coats,
		LiquidKGPerL: in.Coat.DensityKGPerL, CuredGPerCM3: in.Coat.CuredKGPerL, StyreneFraction: in.Coat.StyreneFraction, From: in.Origin,
		Sheet: in.Coat.Sheet("density_kg_per_l", "cured_kg_per_l", "styrene_fraction")})
	if err != nil {
		return err
	}
	for _, x := range []*working.Figure{out.CoatArea, film.KG, film.Litres, film.WetMM, film.DryMM, film.StyreneLossKG} {
		out.Figure(x)
	}
	out.AnswerOn(in.Deck, in.Several, laminate.CheckFilm(film))
	return nil
}
