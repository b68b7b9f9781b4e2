package material

import (
	"fmt"
	"strings"

	"gelwright/working"
)

// illustrative marks values invented within the trade's sanity bands.
const illustrative = string(working.Example) + ", replace by your supplier's sheet"

var adr = working.Source{Title: "ADR", Clause: "1.1.3.6.3, transport categories", Standing: working.Remembered}

// genericResins returns resins whose gel points are invented: they follow one law
// (62 kJ/mol, dose exponent 0.8) from a gel at 20 °C, rounded to whole minutes with
// 15 % either way, and lie within the trade's bands for their doses (40–60 min at
// 5–8 °C to 12–18 min at 25–30 °C). The all-season one (66 kJ/mol, 0.75, 17.3 min at 20 °C
// and 2 %) is brisker, so that on a hot day it keeps to a compiled table of boat-yard
// practice (10–18 min at 25 °C with 1–1.5 %, 7–12 at 30 °C with 0.8–1.2 %; unreviewed, low
// trust) and no crew is told of minutes that it may not have. The spread of the activation energy covers the
// 40–60 kJ/mol of the redox stage (J Appl Polym Sci 2006, 102:1870, abstract) and
// the 80 of a compiled table.
func genericResins() []Resin {
	base := Resin{
		DensityKGPerL: 1.10, CuredKGPerL: 1.20, MinPct: 1, MaxPct: 4, MinC: 5, MaxC: 35,
		ActivationKJPerMol: 62, ActivationSDKJPerMol: 10, DoseExponent: 0.8, DoseExponentSD: 0.1,
		StyreneFraction: 0.35, HeatOfCureKJPerKG: 350, ShelfLifeMonths: 3, PacksKG: []float64{5, 10, 20, 225}, Standing: illustrative,
	}
	all := base
	all.Key, all.Name, all.Grade = "resin.all-season", "Laminating resin, all-season", "all-season"
	all.ActivationKJPerMol, all.DoseExponent = 66, 0.75
	all.GelPoints = []GelPoint{{5, 3.5, 43, 56}, {10, 2.75, 31, 41}, {15, 2.25, 22, 29}, {20, 1.75, 17, 22}, {20, 2, 15, 20},
		{25, 1.25, 14, 18}, {30, 1, 10, 14}}
	summer := base
	summer.Key, summer.Name, summer.Grade, summer.MinC, summer.MaxPct = "resin.summer", "Laminating resin, summer grade", "summer", 15, 3
	summer.GelPoints = []GelPoint{{15, 2.5, 33, 45}, {20, 2, 24, 33}, {25, 1.5, 20, 28}, {30, 1, 18, 25}}
	winter := base
	winter.Key, winter.Name, winter.Grade, winter.MaxC, winter.MaxPct = "resin.winter", "Laminating resin, winter grade", "winter", 20, 3
	winter.GelPoints = []GelPoint{{5, 3, 36, 49}, {8, 2.5, 34, 46}, {10, 2, 30, 41}, {15, 1.5, 25, 34}, {20, 1, 22, 29}}
	coat := base
	coat.Key, coat.Name, coat.Grade, coat.Coat = "topcoat.waxed", "Waxed top coat, pigmented", "all-season", true
	coat.DensityKGPerL, coat.CuredKGPerL, coat.MinPct, coat.MinMLPerL, coat.MaxPct = 1.25, 1.35, 0, CoatLeastMLPerL, 3
	coat.HeatOfCureKJPerKG, coat.PacksKG = 300, []float64{5, 10, 20}
	coat.GelPoints = []GelPoint{{10, 2.5, 38, 51}, {15, 2, 30, 40}, {20, 2, 18, 25}, {25, 2, 12, 17}, {30, 2, 8, 11}}
	for _, r := range []*Resin{&all, &summer, &winter, &coat} {
		r.PacksKG = append([]float64(nil), r.PacksKG...)
	}
	return []Resin{all, summer, winter, coat}
}

// genericCatalysts are one peroxide at three speeds. How much a slow one stretches the gel
// and a fast one shortens it is invented, within what such grades are sold for (from
// memory: about half as long again, about a third less); the sheets of slow and fast
// catalysts outrank it.
func genericCatalysts() []Catalyst {
	base := Catalyst{
		Key: UsualCatalyst, Name: "Catalyst, methyl ethyl ketone peroxide in phlegmatiser", Speed: "standard", DensityGPerML: 1.15,
		ActiveOxygen: 9, SelfAccelC: 60, ShelfLifeMonth: 6,
		Standing: "density 1.15 g/ml is a default, sheets run from 1.08 to 1.18: read yours; active oxygen and self-accelerating temperature " +
			"from memory",
	}
	standard, slow, fast := base, base, base
	slow.Key, slow.Name, slow.Speed, slow.GelFactor, slow.GelFactorSD = "catalyst.slow", "Catalyst, slow (summer), ketone peroxide in "+
		"phlegmatiser", "slow", 1.5, 0.1
	fast.Key, fast.Name, fast.Speed, fast.GelFactor, fast.GelFactorSD = "catalyst.fast", "Catalyst, fast (winter), ketone peroxide in "+
		"phlegmatiser", "fast", 0.65, 0.1
	slow.Standing += "; gel times against the standard catalyst invented"
	fast.Standing += "; gel times against the standard catalyst invented"
	all := []Catalyst{standard, slow, fast}
	for i := range all {
		all[i].PacksKG = []float64{0.1, 0.25, 0.5, 1, 5}
	}
	return all
}

// UsualCatalyst is the catalyst that the gel points of a data sheet are given with.
const UsualCatalyst = "catalyst.mekp"

func (r Resin) item() Item {
	i := Item{
		Key: r.Key, Name: r.Name, Kind: KindResin, Unit: "kg", Packs: packsKG(r.PacksKG), KGPerUnit: 1,
		ShelfLifeMonths: [2]float64{r.ShelfLifeMonths, 2 * r.ShelfLifeMonths},
		Storage:         "below 20–25 °C, dark, closed, in a bund; warm to 15 °C or more before use in winter",
		Hazards: []string{"flammable liquid and vapour, flash point about 31 °C",
			"styrene vapour: harmful if breathed, irritates eyes and skin", "never add catalyst to a drum"},
		Carriage: &Carriage{UN: "UN 1866", Class: "3", PackingGroup: "III", Factor: 1, Per: "l", Source: adr},
		Waste: "cure leavings on purpose, outdoors, in dry sand or under water (common practice, no source); " +
			"liquid resin is hazardous waste (08 01 11*, from memory)",
		Standing: working.CommonPractice,
	}
	if r.DensityKGPerL > 0 {
		i.Carriage.LitresPerKG, i.Carriage.LitresFrom = 1/r.DensityKGPerL, r.Sheet("density_kg_per_l")
	}
	if r.Coat {
		i.Kind, i.Carriage.UN = KindTopCoat, "UN 1866"
		i.Note = "one batch for each face of roof; stir well"
	}
	return i
}

func (c Catalyst) item() Item {
	return Item{
		Key: c.Key, Name: c.Name, Kind: KindCatalyst, Unit: "kg", Packs: packsKG(c.PacksKG), KGPerUnit: 1,
		ShelfLifeMonths: [2]float64{c.ShelfLifeMonth, 2 * c.ShelfLifeMonth},
		Storage:         "below 25 °C, vented cap, dark, away from resin, accelerator, metal, acetone and sun; only the day's need on the roof",
		Hazards: []string{"organic peroxide: heating may cause a fire (H242)",
			"burns eyes and skin; a splash can blind (H314): sealed goggles to pour, eyewash at the mixing point",
			"harmful if swallowed or breathed (H302, H332)", "never bring together with neat accelerator: it explodes"},
		Carriage: &Carriage{UN: "UN 3105", Class: "5.2", Factor: 3, Per: "kg", Source: adr},
		Waste:    "hazardous waste (16 09 03*, from memory); never back into the bottle", Standing: working.CommonPractice,
	}
}

func packsKG(sizes []float64) []Pack {
	packs := make([]Pack, len(sizes))
	for i, kg := range sizes {
		form := "pail"
		switch {
		case kg >= 100:
			form = "drum"
		case kg <= 1:
			form = "bottle"
		}
		name := fmt.Sprintf("%g kg %s", kg, form)
		if kg < 1 {
			name = fmt.Sprintf("%g g %s", 1000*kg, form)
		}
		packs[i] = Pack{Quantity: kg, Name: name}
	}
	return packs
}

// key joins parts into a lasting key: lower case, spaces to hyphens.
func key(parts ...string) string {
	return strings.ToLower(strings.NewReplacer(" ", "-", "/", "", "&", "").Replace(strings.Join(parts, ".")))
}
