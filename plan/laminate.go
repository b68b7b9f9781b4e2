package plan

import (
	"strings"

	"gelwright/check"
	"gelwright/laminate"
	"gelwright/roof"
	"gelwright/settingout"
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

// laminate works out thickness, glass and masses of each deck, and its top coat.
func (m *maker) laminate() error {
	spec := m.job.Spec
	for i := range m.plan.Decks {
		d := &m.plan.Decks[i]
		area := m.fieldFigure(d)
		covered, laid := d.FieldM2, 0.0
		for _, p := range d.SetOut.Of(settingout.Mat) {
			if p.Layer == 1 && !p.Upright {
				laid += p.AreaM2
			}
		}
		lap := 1.0
		if laid > covered {
			lap = laid / covered
		}
		b, err := laminate.Make(laminate.Zone{
			Key: "laminate." + d.Name + ".deck", Name: "deck " + d.Name, Kind: laminate.Deck, AreaM2: area, LapFactor: lap,
			Layers: spec.Layers, TissueGPerM2: spec.TissueGPerM2,
			ResinToGlass: m.given("R", "resin to glass by mass", spec.ResinToGlass, "", "spec.resin_to_glass"),
			SoakKGPerM2:  m.given("s", "resin that the deck drinks", spec.DeckSoakKGPerM2, "kg/m²", "spec.deck_soak_kg_per_m2"),
		})
		if err != nil {
			return err
		}
		for _, f := range []*working.Figure{b.ThicknessMM, b.GlassFraction, b.GlassKGPerM2, b.ResinKGPerM2, b.GlassKG, b.ResinKG, b.SoakKG, b.StrengthNPerMM, b.StiffnessNPerMM, b.CuredKGPerM2, b.DensityGCM3, b.VolumeGlass} {
			m.figure(f)
		}
		d.LaminateMM, d.GlassPct, d.ResinKGPerM2 = b.ThicknessMM.Value, b.GlassFraction.Value*100, b.ResinKGPerM2.Value
		r := laminate.CheckGlass(b)
		m.addCheck(r, "deck "+d.Name)

		for _, c := range []struct {
			kind laminate.ZoneKind
			name string
			of   func(settingout.Piece) bool
			lays []float64
			soak bool
		}{
			{laminate.Upstand, "upstands and kerbs", func(p settingout.Piece) bool { return p.Kind == settingout.Mat && p.Upright }, spec.Layers[:1], true},
			{laminate.Corner, "corner patches", func(p settingout.Piece) bool { return p.Kind == settingout.Patch }, spec.Layers[:1], false},
			{laminate.Bandage, "bandage", func(p settingout.Piece) bool { return p.Kind == settingout.Bandage }, []float64{450}, true},
		} {
			sum := 0.0
			for _, p := range d.SetOut.Pieces {
				if c.of(p) {
					sum += p.AreaM2
				}
			}
			if sum <= 0 {
				continue
			}
			z := laminate.Zone{Key: "laminate." + d.Name + "." + string(c.kind), Name: c.name + " of deck " + d.Name, Kind: c.kind,
				AreaM2: working.Calc("A", c.name+" of deck "+d.Name, sum, "m²", "sum of the pieces set out", derived), Layers: c.lays,
				ResinToGlass: m.given("R", "resin to glass by mass", spec.ResinToGlass, "", "spec.resin_to_glass")}
			if c.soak {
				z.SoakKGPerM2 = m.given("s", "resin that the deck drinks", spec.DeckSoakKGPerM2, "kg/m²", "spec.deck_soak_kg_per_m2")
			}
			b, err := laminate.Make(z)
			if err != nil {
				return err
			}
			m.figure(b.GlassKG)
			m.figure(b.ResinKG)
			m.figure(b.ThicknessMM)
		}
		if err := m.topCoat(d); err != nil {
			return err
		}
	}
	return nil
}

// fieldFigure is the area that the fields' mat covers.
func (m *maker) fieldFigure(d *Deck) *working.Figure {
	if f, ok := m.plan.Workings.Find("deck." + d.Name + ".field"); ok {
		return f
	}
	f, _ := m.plan.Workings.Find("deck." + d.Name + ".slope")
	return f
}

// topCoat works out the film over deck, upstands and trims.
func (m *maker) topCoat(d *Deck) error {
	spec := m.job.Spec
	trimM2 := 0.0
	for _, p := range d.SetOut.Of(settingout.Trim) {
		if p.MovementJoint() {
			continue // a cap is not coated
		}
		// The face that shows: 100 mm of each trim, common practice for take-off.
		trimM2 += float64(p.LengthMM) / 1000 * 0.10
	}
	d.CoatM2 = d.FieldM2 + d.UpstandM2 + trimM2
	slope := m.fieldFigure(d)
	up, ok := m.plan.Workings.Find("deck." + d.Name + ".upstand_all")
	if !ok {
		up, _ = m.plan.Workings.Find("deck." + d.Name + ".upstand")
	}
	area := working.Calc("Ac", "area to coat on deck "+d.Name, d.CoatM2, "m²", "deck + upstands + 100 mm of every trim", working.Source{Title: "take-off of top coat", Standing: working.CommonPractice}, slope, up,
		working.Calc("At", "trim faces", trimM2, "m²", "length × 0.10 m", derived)).Keyed("topcoat." + d.Name + ".area")
	film, err := laminate.MakeFilm(laminate.Coat{Key: "topcoat." + d.Name, Name: "top coat on deck " + d.Name, AreaM2: area,
		KGPerM2: m.given("q", "top coat, each coat", spec.TopCoat.KGPerM2, "kg/m²", "spec.top_coat.kg_per_m2"), Coats: spec.TopCoat.Coats,
		LiquidKGPerL: m.coat.DensityKGPerL, CuredGPerCM3: m.coat.CuredKGPerL, StyreneFraction: m.coat.StyreneFraction})
	if err != nil {
		return err
	}
	for _, f := range []*working.Figure{area, film.KG, film.Litres, film.WetMM, film.DryMM, film.StyreneLossKG} {
		m.figure(f)
	}
	m.addCheck(laminate.CheckFilm(film), "deck "+d.Name)
	return nil
}

// addCheck keeps a result under its place and registers its figures.
func (m *maker) addCheck(r check.Result, where string) {
	if r.Where == "" {
		r.Where = where
	}
	// A check of one deck among several keeps its figures apart from the others'.
	deck, one := strings.CutPrefix(where, "deck ")
	for _, f := range r.Working {
		if one && len(m.job.Decks) > 1 && f.Key != "" && !strings.Contains(f.Key, "."+deck) {
			f.Key += "." + deck
		}
		m.figure(f)
	}
	m.plan.Checks = append(m.plan.Checks, r)
}
