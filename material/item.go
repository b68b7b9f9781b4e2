package material

import (
	"math"
	"strconv"
	"strings"

	"gelwright/working"
)

// Kind groups what is bought, in the order of an order list.
type Kind string

const (
	KindBoard      Kind = "deck board"
	KindTimber     Kind = "timber"
	KindInsulation Kind = "insulation"
	KindMembrane   Kind = "membrane"
	KindTrim       Kind = "trim"
	KindCorner     Kind = "preformed corner"
	KindFixing     Kind = "fixing"
	KindAdhesive   Kind = "adhesive"
	KindResin      Kind = "resin"
	KindTopCoat    Kind = "top coat"
	KindCatalyst   Kind = "catalyst"
	KindMat        Kind = "reinforcement"
	KindAggregate  Kind = "aggregate"
	KindSolvent    Kind = "solvent"
	KindTool       Kind = "tool"
	KindProtection Kind = "protection"
	KindWaste      Kind = "waste"
)

// Kinds returns every kind in the order of an order list.
func Kinds() []Kind {
	return []Kind{KindBoard, KindTimber, KindInsulation, KindMembrane, KindTrim, KindCorner, KindFixing, KindAdhesive, KindResin, KindTopCoat,
		KindCatalyst, KindMat, KindAggregate, KindSolvent, KindTool, KindProtection, KindWaste}
}

// Item is one thing that can be bought, of whatever kind.
type Item struct {
	// Key names it in files: "resin.all-season". It never changes.
	Key  string `json:"key"`
	Name string `json:"name"`
	Kind Kind   `json:"kind"`
	// Unit that it is measured in: "kg", "l", "m", "m²", "piece", "pair".
	Unit string `json:"unit"`
	// Packs it is sold in, smallest first; empty means single units.
	Packs []Pack `json:"packs,omitempty"`
	// KGPerUnit is what one unit weighs, for lifting and carriage; 0 is unknown.
	KGPerUnit float64 `json:"kg_per_unit,omitempty"`
	// ShelfLifeMonths unopened, low and high; both 0 when it keeps.
	ShelfLifeMonths [2]float64 `json:"shelf_life_months,omitzero"`
	// Storage in one sentence.
	Storage string `json:"storage,omitempty"`
	// Hazards in plain words, worst first. The supplier's safety sheet outranks them.
	Hazards []string `json:"hazards,omitempty"`
	// Carriage of dangerous goods by road; nil when it is none.
	Carriage *Carriage `json:"carriage,omitempty"`
	// Waste is how leavings are thrown away.
	Waste string `json:"waste,omitempty"`
	// Standing of pack sizes, life and storage.
	Standing working.Standing `json:"standing"`
	Note     string           `json:"note,omitempty"`
}

// Pack is one size a thing is sold in.
type Pack struct {
	// Quantity in the item's unit.
	Quantity float64 `json:"quantity"`
	// Name: "20 kg pail".
	Name string `json:"name"`
}

// Carriage is the class of dangerous goods by road, for the small-load rule of
// ADR 1.1.3.6: points are the quantity times the factor of the transport category.
type Carriage struct {
	UN           string `json:"un"`
	Class        string `json:"class"`
	PackingGroup string `json:"packing_group,omitempty"`
	// Factor for each litre or kilogram; Per says which: "l" or "kg".
	Factor float64 `json:"factor"`
	Per    string  `json:"per"`
	// LitresPerKG turns the item's kilograms into litres where Per is "l".
	LitresPerKG float64        `json:"litres_per_kg,omitempty"`
	LitresFrom  working.Source `json:"litres_from,omitzero"`
	Source      working.Source `json:"source"`
}

// Mat is glass on a roll: chopped strand mat, tissue or bandage.
type Mat struct {
	Item
	GPerM2  float64 `json:"g_per_m2"`
	WidthM  float64 `json:"width_m"`
	LengthM float64 `json:"length_m"`
	// Use: "main", "tissue", "bandage".
	Use string `json:"use"`
}

// Board is a deck board.
type Board struct {
	Item
	// Material: "OSB/3", "plywood".
	Material        string  `json:"material"`
	ThicknessMM     float64 `json:"thickness_mm"`
	LengthM         float64 `json:"length_m"`
	WidthM          float64 `json:"width_m"`
	TongueAndGroove bool    `json:"tongue_and_groove"`
}

// Trim is a moulded edge section sold by the length, named by what it does.
type Trim struct {
	Item
	// Function: "drip", "raised edge", "wall fillet", "tuck", "flat flashing", "step", "internal gutter", "parapet"; "flexible drip",
	// "flexible raised edge" and "flexible wall fillet" bend along curved edges.
	Function string  `json:"function"`
	LengthM  float64 `json:"length_m"`
	// FlangeMM lies on the deck, FaceMM hangs or stands.
	FlangeMM float64 `json:"flange_mm"`
	FaceMM   float64 `json:"face_mm"`
}

// Of returns the same trim in another length, m: its name and weight follow.
func (t Trim) Of(lengthM float64) Trim {
	words := func(m float64) string {
		s := strconv.FormatFloat(m, 'f', -1, 64)
		if m == math.Trunc(m) {
			s += ".0"
		}
		return ", " + s + " m"
	}
	t.Name = strings.TrimSuffix(t.Name, words(t.LengthM)) + words(lengthM)
	if t.LengthM > 0 {
		t.KGPerUnit *= lengthM / t.LengthM
	}
	t.LengthM = lengthM
	return t
}

// Corner is a preformed piece where two trims meet at 90°.
type Corner struct {
	Item
	// Function of the trims it joins; Internal for a re-entrant corner.
	Function string `json:"function"`
	Internal bool   `json:"internal"`
}

// Insulation is a board or slab with its conductivity.
type Insulation struct {
	Item
	Material string `json:"material"` // "PIR", "EPS", "mineral wool"
	// LambdaWPerMK declared, with its low and high in the trade.
	LambdaWPerMK float64    `json:"lambda_w_per_mk"`
	LambdaRange  [2]float64 `json:"lambda_range_w_per_mk"`
	LengthM      float64    `json:"length_m"`
	WidthM       float64    `json:"width_m"`
}
