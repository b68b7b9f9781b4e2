package drawing

import (
	"gelwright/plane"
	"gelwright/roof"
)

func pt(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }

func edges(cs ...roof.Condition) []roof.Edge {
	out := make([]roof.Edge, len(cs))
	for i, c := range cs {
		out[i].Condition = c
		switch c {
		case roof.Kerb:
			out[i].HeightMM, out[i].WidthMM = 50, 90
		case roof.Verge:
			out[i].HeightMM, out[i].WidthMM = 30, 60
		case roof.Wall, roof.Tuck, roof.StepUp:
			out[i].HeightMM = 150
		case roof.Parapet:
			out[i].HeightMM, out[i].WidthMM = 300, 215
		}
	}
	return out
}

func spec() roof.Spec {
	return roof.Spec{Layers: []float64{450}, Board: roof.Board{Material: "OSB/3", ThicknessMM: 18, LengthM: 2.4, WidthM: 0.6, WallGapMM: 10}, Build: "uninsulated", TopCoat: roof.TopCoat{Coats: 1, Colour: "mid grey", KGPerM2: 0.5}, BandageMM: 75}
}

// The sample roofs have the shapes of the acceptance roofs of the same number;
// names, dates and readings are invented.
func garage() *roof.Job {
	return &roof.Job{Name: "Garage at Lower Mill", Reference: "2605-01", Date: "2026-05-11", PreparedBy: "A. Turner", Site: roof.Site{Name: "Lower Mill Lane 4", Country: "GB-ENG", BearingDeg: 20},
		Spec: spec(),
		Decks: []roof.Deck{{Name: "main", Outline: plane.Rectangle(0, 0, 3.2, 5.6), Edges: edges(roof.Kerb, roof.Kerb, roof.Drip, roof.Kerb),
			Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: pt(0, 1), Ratio: 40}}},
			Base:  roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistWidthMM: 50, JoistDepthMM: 150},
			Exit:  pt(1.6, 5.6), Moisture: []roof.Moisture{{At: pt(0.8, 1.2), Pct: 14}, {At: pt(2.4, 4.4), Pct: 17.5}},
			Penetrations: []roof.Penetration{{Name: "vent", Kind: "pipe", At: pt(2.5, 1.5), DiameterMM: 110}}}}}
}

func bay() *roof.Job {
	s := spec()
	s.Build, s.VCL, s.Layers = "warm", true, []float64{600}
	s.Insulation = &roof.Insulation{Material: "PIR", ThicknessMM: 120, LambdaWPerM: 0.022}
	e := edges(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb)
	e[2].LimitMM = 165
	return &roof.Job{Name: "Bay at the Quay", Reference: "2606-03", Date: "2026-06-02", PreparedBy: "A. Turner", Site: roof.Site{Name: "Quay Street 11", Country: "IE"}, Spec: s,
		Decks: []roof.Deck{{Name: "bay", Outline: plane.Ring{{Point: pt(0, 0.6), Bulge: 0.5}, {Point: pt(2.4, 0.6)}, {Point: pt(2.4, 0.9)}, {Point: pt(0, 0.9)}}, Edges: e,
			Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: pt(0, -1), Ratio: 40}}}, Exit: pt(0, 0.75)}}}
}

func wrapRound() *roof.Job {
	s := spec()
	s.Build, s.VCL, s.Layers = "warm", true, []float64{600}
	s.Insulation = &roof.Insulation{Material: "PIR", ThicknessMM: 120, LambdaWPerM: 0.022}
	es := edges(roof.Drip, roof.Kerb, roof.Wall, roof.Wall, roof.Kerb, roof.Drip)
	es[2].Thresholds = []roof.Threshold{{FromM: 1.2, ToM: 2.1, UpstandMM: 75}}
	return &roof.Job{Name: "Kitchen wrap-round, Orchard Close", Reference: "2604-04", Date: "2026-04-20", PreparedBy: "A. Turner", Site: roof.Site{Name: "Orchard Close 9", Country: "GB-ENG", BearingDeg: 315}, Spec: s,
		Decks: []roof.Deck{{Name: "L", Outline: plane.RingOf(pt(0, 0), pt(7.2, 0), pt(7.2, 3.2), pt(3.2, 3.2), pt(3.2, 5.6), pt(0, 5.6)),
			Edges:    es,
			Openings: []roof.Opening{{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(4.6, 0.9, 6.1, 1.9), KerbMM: 150, Fragile: true}},
			Falls:    plane.Falls{Kind: plane.Hip, Line: [2]plane.Point{pt(0, 0), pt(3.2, 3.2)}, Planes: []plane.FallPlane{{Down: pt(-1, 0), Ratio: 40}, {Down: pt(0, -1), Ratio: 40}}},
			Base:     roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistBearingDeg: 90, JoistWidthMM: 47, JoistDepthMM: 195}, Exit: pt(7.2, 0.6), AntiSlip: []plane.Ring{plane.Rectangle(0.9, 0.5, 3.2, 1.3)},
			Penetrations: []roof.Penetration{{Name: "SVP", Kind: "pipe", At: pt(1.1, 4.2), DiameterMM: 110}, {Name: "flue", Kind: "flue", At: pt(6.6, 2.6), DiameterMM: 125}}}}}
}

func hall() *roof.Job {
	s := spec()
	s.Layers = []float64{600}
	var os []roof.Opening
	for i := range 12 {
		x, y := 1.9+5*float64(i%6), 4.4+10*float64(i/6)
		os = append(os, roof.Opening{Name: "RL" + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10)), Kind: "rooflight", Outline: plane.Rectangle(x, y, x+1.2, y+1.2), KerbMM: 150, Fragile: true})
	}
	var js [][2]plane.Point
	for x := 5.0; x < 30; x += 5 {
		js = append(js, [2]plane.Point{pt(x, 0), pt(x, 20)})
	}
	return &roof.Job{Name: "School hall, Harbour Road", Reference: "2607-12", Date: "2026-07-22", PreparedBy: "A. Turner", Site: roof.Site{Name: "Harbour Road School", Country: "GB-ENG", BearingDeg: 5}, Spec: s,
		Decks: []roof.Deck{{Name: "hall", Outline: plane.Rectangle(0, 0, 30, 20), Edges: edges(roof.Drip, roof.Kerb, roof.Drip, roof.Wall), Openings: os, MovementJoints: append(js, [2]plane.Point{pt(0, 10), pt(30, 10)}),
			Falls: plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{pt(0, 10), pt(30, 10)}, Planes: []plane.FallPlane{{Down: pt(0, 1), Ratio: 40}, {Down: pt(0, -1), Ratio: 40}}},
			Base:  roof.Base{Kind: "sound deck"}, Exit: pt(30, 2)}}}
}

// corner is a roof with slanting edges, an outlet and every condition the others lack.
func courtyard() *roof.Job {
	s := spec()
	s.Build, s.Layers = "cold", []float64{450, 450}
	s.Insulation = &roof.Insulation{Material: "mineral wool", ThicknessMM: 150, LambdaWPerM: 0.035}
	es := edges(roof.Parapet, roof.StepUp, roof.Tuck, roof.BoxGutter, roof.Verge, roof.StepDown)
	es[1].To, es[5].To = "main house", "porch"
	return &roof.Job{Name: "Courtyard link", Reference: "2609-07", Date: "2026-09-03", PreparedBy: "A. Turner", Site: roof.Site{Name: "Priory Yard", Country: "GB-ENG", BearingDeg: 180}, Spec: s,
		Decks: []roof.Deck{{Name: "link", Outline: plane.RingOf(pt(0, 0), pt(6, 0), pt(6, 3), pt(4.5, 4.5), pt(1.5, 4.5), pt(0, 2)), Edges: es,
			Falls:        plane.Falls{Kind: plane.ToPoint, Point: pt(3, 2), Planes: []plane.FallPlane{{Ratio: 60}}},
			Penetrations: []roof.Penetration{{Name: "outlet", Kind: "outlet", At: pt(3, 2), DiameterMM: 100}, {Name: "post", Kind: "post", At: pt(5.2, 1), WidthMM: 100, DepthMM: 100}},
			SoftAreas:    []plane.Ring{plane.Rectangle(0.4, 0.4, 1.6, 1.1)}, Exit: pt(6, 2.4),
			Base: roof.Base{Kind: "joists", JoistSpacingMM: 600, JoistBearingDeg: 90, JoistWidthMM: 50, JoistDepthMM: 175}}}}
}

func jobs() map[string]*roof.Job {
	return map[string]*roof.Job{"garage": garage(), "bay": bay(), "wrapround": wrapRound(), "hall": hall(), "courtyard": courtyard()}
}
