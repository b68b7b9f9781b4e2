package material

import "gelwright/working"

// genericOthers returns fixings, adhesive, timber, membranes, consumables, tools
// and protection. Pack sizes are common practice.
func genericOthers() []Item {
	cp := working.CommonPractice
	item := func(k, name string, kind Kind, unit string, packs ...Pack) Item {
		return Item{Key: k, Name: name, Kind: kind, Unit: unit, Packs: packs, Standing: cp}
	}
	acetone := item("acetone", "Acetone for cleaning tools", KindSolvent, "l", Pack{5, "5 l can"}, Pack{20, "20 l can"})
	acetone.KGPerUnit = 0.79
	acetone.Storage = "flammables cabinet, closed, away from catalyst"
	acetone.Hazards = []string{"highly flammable, flash point about −20 °C", "vapour harms and makes drowsy; strips fat from skin",
		"never mix with catalyst"}
	acetone.Carriage = &Carriage{UN: "UN 1090", Class: "3", PackingGroup: "II", Factor: 3, Per: "l", Source: adr}
	acetone.Waste = "solvent waste (14 06 03*, from memory)"

	adhesive := item("adhesive.trim", "Trim adhesive, gun grade", KindAdhesive, "piece", Pack{1, "310 ml cartridge"},
		Pack{12, "box of 12 cartridges"})
	adhesive.ShelfLifeMonths = [2]float64{12, 12}
	adhesive.Hazards = []string{"sensitises skin: gloves"}
	adhesive.Waste = "part-used cartridges 08 04 09* (from memory)"
	adhesive.Note = "a 6 mm bead takes 28 mm²: 310 ml make about 11 m"

	wasteBags := item("waste.bags", "Rubble bags for cured waste", KindWaste, "piece", Pack{10, "roll of 10"})
	rags := item("waste.metal-bin", "Lidded metal bin with water for resin and catalyst rags", KindWaste, "piece")
	rags.Hazards = []string{"rags with catalyst can take fire by themselves: wet, lidded, out of the building daily"}

	eyewash := item("protection.eyewash", "Eyewash 500 ml, sterile", KindProtection, "piece", Pack{1, "500 ml bottle"})
	eyewash.ShelfLifeMonths = [2]float64{24, 36}
	eyewash.Note = "two at the mixing point; rinse 15 to 20 minutes, then hospital"

	aggregate := item("aggregate.0.5-1.2", "Anti-slip aggregate, sharp, 0.5–1.2 mm", KindAggregate, "kg", Pack{25, "25 kg bag"})
	aggregate.KGPerUnit, aggregate.Hazards = 1, []string{"silica dust: pour low, mask"}
	aggregateFine := item("aggregate.0.7-1.2", "Anti-slip aggregate, sharp, 0.7–1.2 mm", KindAggregate, "kg", Pack{25, "25 kg bag"})
	aggregateFine.KGPerUnit, aggregateFine.Hazards = 1, []string{"silica dust: pour low, mask"}
	flashing := item("flashing.cover", "Cover flashing, chased into the wall, 150 mm girth or more", KindTrim, "m", Pack{3, "roll of 3 m"},
		Pack{6, "roll of 6 m"})
	flashing.Note = "pieces of 1.5 m at most, lapped 100 mm; laps are counted"
	sealant := item("sealant.wall", "Sealant for the chase over the flashing, 310 ml", KindAdhesive, "piece", Pack{1, "310 ml cartridge"},
		Pack{12, "box of 12 cartridges"})
	sealant.Note = "a joint of 10 × 10 mm takes 100 mm²: 310 ml make about 3.1 m"
	sheet := item("sheet.temporary", "Sheet to cover the bare deck for the night, with ties", KindProtection, "m²",
		Pack{20, "sheet 4 × 5 m"}, Pack{48, "sheet 6 × 8 m"})
	sheet.Note = "no more is opened in a day than can be covered: 100 m² at most are counted"
	paste := item("filler.paste", "Polyester filler and bonding paste, with hardener", KindAdhesive, "kg", Pack{0.5, "500 g tin"},
		Pack{1, "1 kg tin"}, Pack{3, "3 kg tin"})
	paste.Note = "for fillets of corners formed on site, laps, gaps over 2 mm and screw heads"
	gutter := item("gutter.length", "Gutter with brackets every 0.8 m, outlet and stop ends", KindTrim, "m", Pack{2, "length of 2 m"},
		Pack{4, "length of 4 m"})
	gutter.Note = "cross out where the old gutter stays"
	strip := item("waste.strip", "Room for the stripped covering, tipped loose", KindWaste, "m³", Pack{1, "tonne bag"},
		Pack{4, "skip of 4 m³"}, Pack{6, "skip of 6 m³"}, Pack{8, "skip of 8 m³"})
	strip.Note = "felt and treated timber are kept apart where the tip asks for it; coal tar is hazardous"
	vcl := item("vcl", "Vapour control layer, sheet", KindMembrane, "m²", Pack{50, "roll 2 × 25 m"}, Pack{100, "roll 2 × 50 m"})
	return []Item{
		item("timber.firring", "Firrings, tapered, treated", KindTimber, "m"),
		item("timber.batten.50x25", "Batten 50 × 25 mm, treated, behind trims", KindTimber, "m", Pack{4.8, "length of 4.8 m"}),
		item("timber.batten.38x25", "Batten 38 × 25 mm, treated, behind trims", KindTimber, "m", Pack{4.8, "length of 4.8 m"}),
		item("timber.batten.50x38", "Batten 50 × 38 mm, treated, for raised movement joints", KindTimber, "m", Pack{4.8, "length of 4.8 m"}),
		item("timber.noggin.100x50", "Timber 100 × 50 mm for noggins and kerbs, treated", KindTimber, "m", Pack{4.8, "length of 4.8 m"}),
		vcl, item("vcl.tape", "Vapour control tape", KindMembrane, "m", Pack{25, "roll of 25 m"}),
		item("screw.5x50", "Deck screws 5.0 × 50 mm", KindFixing, "piece", Pack{200, "box of 200"}, Pack{1000, "tub of 1000"}),
		item("screw.5x80", "Screws 5.0 × 80 mm, for battens", KindFixing, "piece", Pack{100, "box of 100"}, Pack{200, "box of 200"}),
		item("screw.cap", "Stainless screws with sealing washers 4.8 × 25 mm, for joint caps", KindFixing, "piece", Pack{100, "box of 100"}),
		item("screw.through-insulation", "Screws through insulation into joists, length by build-up", KindFixing, "piece",
			Pack{50, "box of 50"}, Pack{100, "box of 100"}),
		item("nail.ring-shank.3.1x65", "Ring-shank nails 3.1 × 65 mm", KindFixing, "piece", Pack{500, "box of 500"}),
		item("clout.25", "Galvanised clout nails 25 mm", KindFixing, "kg", Pack{0.5, "500 g bag"}, Pack{1, "1 kg bag"}),
		item("joint.backing-rod", "Backing rod, closed-cell, 15 mm, for a 10 mm gap", KindMembrane, "m", Pack{25, "coil of 25 m"},
			Pack{50, "coil of 50 m"}),
		adhesive, aggregate, aggregateFine, acetone, flashing, sealant, sheet,
		item("flashing.wedge", "Wedges for a chased flashing", KindFixing, "piece", Pack{50, "bag of 50"}),
		item("tool.roller-sleeve", "Roller sleeve, solvent-proof", KindTool, "piece", Pack{1, "sleeve"}, Pack{10, "pack of 10"}),
		item("tool.topcoat-sleeve", "Roller sleeve for top coat, solvent-proof", KindTool, "piece", Pack{1, "sleeve"}, Pack{10, "pack of 10"}),
		item("tool.roller-frame", "Roller frame", KindTool, "piece"),
		item("tool.consolidating-roller", "Consolidating roller, paddle or disc", KindTool, "piece"),
		item("tool.brush", "Laminating brush", KindTool, "piece", Pack{1, "brush"}, Pack{12, "box of 12"}),
		item("tool.bucket", "Mixing bucket 14 l, polyethylene, graduated", KindTool, "piece", Pack{1, "bucket"}, Pack{10, "stack of 10"}),
		item("tool.pot", "Pot for cutting in, 1 l, polyethylene", KindTool, "piece", Pack{1, "pot"}, Pack{10, "stack of 10"}),
		item("tool.brush.cutting-in", "Brush 50 mm for cutting in, solvent-proof", KindTool, "piece", Pack{1, "brush"}),
		item("tool.thermometer", "Thermometer, infrared, with a probe for the pail", KindTool, "piece"),
		item("tool.hygrometer", "Hygrometer that shows the dew point", KindTool, "piece"),
		item("tool.moisture-meter", "Moisture meter with pins, for wood", KindTool, "piece"),
		item("tool.scale", "Scale 30 kg, reads 10 g", KindTool, "piece"),
		item("tool.catalyst-dispenser", "Catalyst dispenser with marked measure", KindTool, "piece"),
		item("tool.syringe", "Syringe 20 ml, marked by 0.5 ml, for small doses of catalyst", KindTool, "piece"),
		item("tool.stirrer", "Stirring paddle, slow", KindTool, "piece"),
		item("tool.blades", "Knife blades, hooked and straight", KindTool, "piece", Pack{10, "pack of 10"}, Pack{100, "dispenser of 100"}),
		item("tool.chalk-line", "Chalk line with chalk", KindTool, "piece"),
		item("mask.tape", "Masking tape 50 mm, for fascia, wall and edges of the top coat", KindTool, "m", Pack{50, "roll of 50 m"}),
		item("mask.sheet", "Masking sheet with tape, 1.1 m, for fascia and wall", KindTool, "m²", Pack{22, "roll 1.1 × 20 m"}),
		paste, gutter, strip,
		item("tool.abrasive.40", "Abrasive discs 40 grit", KindTool, "piece", Pack{10, "pack of 10"}),
		item("protection.gloves", "Gloves, nitrile, solvent-proof", KindProtection, "pair", Pack{50, "box of 50 pairs"}),
		item("protection.goggles", "Sealed goggles", KindProtection, "piece"),
		item("protection.mask.a2p3", "Half mask with A2P3 filters", KindProtection, "piece"),
		item("protection.overall", "Disposable overall", KindProtection, "piece"),
		eyewash, item("protection.extinguisher", "Fire extinguisher 6 kg powder or foam", KindProtection, "piece"),
		wasteBags, rags,
	}
}
