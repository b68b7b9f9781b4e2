package material

import (
	"fmt"
	"strings"

	"gelwright/working"
)

var dustHazard = []string{"glass dust and fibres irritate skin, eyes and lungs when cut or sanded"}

// genericMats returns chopped strand mat, tissue and bandage. A 35 kg roll of 450
// g/m² is 78 m² (arithmetic); widths and roll weights are common practice.
func genericMats() []Mat {
	roll := func(k, name, use string, g, width, length float64, packs ...Pack) Mat {
		m := Mat{Item: Item{Key: k, Name: name, Kind: KindMat, Unit: "m²", Packs: packs, KGPerUnit: g / 1000,
			Storage: "dry, upright, unopened; damp mat makes white laminate",
			Hazards: dustHazardCopy(), Waste: "dry off-cuts are ordinary waste", Standing: working.CommonPractice}, Use: use, GPerM2: g,
			WidthM: width, LengthM: length}
		if use == "bandage" {
			m.Unit, m.KGPerUnit = "m", g/1000*width
		}
		return m
	}
	var mats []Mat
	for _, r := range []struct{ g, length float64 }{{300, 110}, {450, 75}, {600, 55}} {
		mats = append(mats, roll(fmt.Sprintf("mat.%g", r.g), fmt.Sprintf("Chopped strand mat %g g/m², emulsion bound, 1.0 m wide", r.g),
			"main", r.g, 1, r.length,
			Pack{Quantity: 10, Name: "part roll 1.0 × 10 m"}, Pack{Quantity: 25, Name: "part roll 1.0 × 25 m"},
			Pack{Quantity: r.length, Name: fmt.Sprintf("roll 1.0 × %g m", r.length)}))
	}
	mats = append(mats, roll("tissue.30", "Surface tissue 30 g/m², 1.0 m wide", "tissue", 30, 1, 100, Pack{50, "roll 1.0 × 50 m"},
		Pack{100, "roll 1.0 × 100 m"}))
	for _, w := range []float64{75, 150} {
		mats = append(mats, roll(fmt.Sprintf("bandage.%g", w), fmt.Sprintf("Bandage %g mm, chopped strand mat 450 g/m²", w), "bandage", 450,
			w/1000, 75,
			Pack{30, "roll of 30 m"}, Pack{75, "roll of 75 m"}))
	}
	return mats
}

func dustHazardCopy() []string { return append([]string(nil), dustHazard...) }

func genericBoards() []Board {
	var boards []Board
	for _, m := range []struct {
		material, standard string
		density            float64
	}{{"OSB/3", "EN 300", 640}, {"plywood", "EN 636-3, exterior bond", 600}} {
		for _, mm := range []float64{15, 18, 22, 25} {
			for _, s := range []struct {
				l, w float64
				tg   bool
			}{{2.4, 1.2, false}, {2.44, 1.22, false}, {2.4, 0.6, true}} {
				name := fmt.Sprintf("%s %g mm, %.0f × %.0f mm, %s", m.material, mm, s.l*1000, s.w*1000, m.standard)
				k := key("board", m.material, fmt.Sprintf("%g", mm), fmt.Sprintf("%.0fx%.0f", s.l*1000, s.w*1000))
				if s.tg {
					name, k = name+", tongued and grooved", k+".tg"
				}
				boards = append(boards,
					Board{Item: Item{Key: k, Name: name, Kind: KindBoard, Unit: "piece", KGPerUnit: m.density * mm / 1000 * s.l * s.w,
						Storage: "flat, covered, 24–48 h on site before laying",
						Hazards: []string{"heavy: two people for a full board", "wood dust when sawn"}, Waste: "clean wood",
						Standing: working.CommonPractice}, Material: m.material, ThicknessMM: mm, LengthM: s.l, WidthM: s.w, TongueAndGroove: s.tg})
			}
		}
	}
	return boards
}

func genericTrims() []Trim {
	var trims []Trim
	list := []struct {
		function, name string
		flange, face   float64
	}{
		{"drip", "Drip trim to gutter", 100, 75}, {"raised edge", "Raised edge trim", 100, 100}, {"wall fillet", "Wall fillet trim", 75, 100},
		{"tuck", "Fillet trim under tiles or slates", 75, 150}, {"flat flashing", "Flat flashing trim over an upstand", 25, 150},
		{"step", "Step trim between levels", 100, 100}, {"internal gutter", "Internal gutter lining trim", 100, 100},
		{"parapet", "Fillet trim to a parapet", 75, 150},
		{"joint cap", "Cap for a raised movement joint, 110 mm wide, turned down on both sides", 60, 110},
		{"joint strip", "Flexible strip for a flush movement joint, 200 mm wide", 100, 100},
		{"flexible drip", "Flexible drip trim to gutter, for curved edges", 100, 75},
		{"flexible raised edge", "Flexible raised edge trim, for curved edges", 100, 100},
		{"flexible wall fillet", "Flexible wall fillet trim, for curved walls", 75, 100},
	}
	for _, t := range list {
		note := "flange and face differ by supplier; weight reckoned at 2.6 kg/m²"
		if strings.HasPrefix(t.function, "flexible") {
			note += "; where no flexible section is sold, a rigid one with its flange slit every 25 to 50 mm"
		}
		trims = append(trims,
			Trim{Item: Item{Key: key("trim", t.function), Name: t.name + ", 3.0 m", Kind: KindTrim, Unit: "piece",
				KGPerUnit: 3 * (t.flange + t.face) / 1000 * 2.6,
				Storage:   "flat, supported, out of the sun until fixed", Hazards: dustHazardCopy(), Waste: "cured plastic, ordinary waste",
				Standing: working.CommonPractice,
				Note:     note}, Function: t.function, LengthM: 3, FlangeMM: t.flange, FaceMM: t.face})
	}
	return trims
}

func genericCorners() []Corner {
	var corners []Corner
	for _, function := range []string{"drip", "raised edge", "wall fillet", "parapet"} {
		for _, internal := range []bool{false, true} {
			which := "external"
			if internal {
				which = "internal"
			}
			corners = append(corners,
				Corner{Item: Item{Key: key("corner", function, which), Name: "Preformed corner, " + function + ", " + which + ", 90°",
					Kind: KindCorner, Unit: "piece",
					Storage: "out of the sun", Hazards: dustHazardCopy(), Waste: "cured plastic, ordinary waste", Standing: working.CommonPractice,
					Note: "made to 90°: do not spring it more than 5 to 10°"}, Function: function, Internal: internal})
		}
	}
	return corners
}

func genericInsulation() []Insulation {
	var all []Insulation
	for _, i := range []struct {
		k, material, name string
		lambda, low, high float64
		density           float64
	}{
		{"insulation.pir", "PIR", "Polyisocyanurate board, faced", 0.022, 0.021, 0.027, 32},
		{"insulation.eps", "EPS", "Expanded polystyrene board", 0.036, 0.030, 0.038, 20},
		{"insulation.mineral-wool", "mineral wool", "Mineral wool slab, roof grade", 0.038, 0.035, 0.040, 150},
	} {
		item := Item{Key: i.k, Name: i.name + ", 2400 × 1200 mm", Kind: KindInsulation, Unit: "m²", Packs: []Pack{{2.88, "board of 2.88 m²"}},
			Storage: "dry, flat, covered",
			Hazards: []string{"burns or smoulders: keep from flame"}, Waste: "sort for recycling", Standing: working.Remembered,
			Note: fmt.Sprintf("weight depends on thickness: about %g kg/m³; polystyrene must never meet wet resin", i.density)}
		if i.material == "mineral wool" {
			item.Hazards = []string{"fibres irritate skin and eyes"}
		}
		all = append(all, Insulation{Item: item, Material: i.material, LambdaWPerMK: i.lambda, LambdaRange: [2]float64{i.low, i.high},
			LengthM: 2.4, WidthM: 1.2})
	}
	return all
}
