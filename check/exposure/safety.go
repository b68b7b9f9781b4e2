package exposure

import "gelwright/working"

// The keys of the figures that the page of safety names.
const (
	RinseKey   = "safety.rinse"
	StoreKey   = "safety.store"
	FlashKey   = "safety.flash_point"
	ExtinctKey = "safety.extinguisher"
	WindKey    = "safety.wind"
	PailKey    = "safety.pail"
	BoardKey   = "safety.board"
)

// boardKGPerM3 is the mean density of a structural board of wood (EN 12369-1 and makers' sheets, from memory).
const boardKGPerM3 = 640

var boardMass = working.MustFormula("m = l·w·t/1000·ρ")

// Safety are the figures that the page of safety names, each with its source: what is done at
// once, how things are kept, what is lifted. The board is length and width in m, thickness in mm.
func Safety(lengthM, widthM, thicknessMM float64) []*working.Figure {
	sheets := working.Source{Title: "first aid for and storage of organic peroxides", Standing: working.CommonPractice}
	site := working.Source{Title: "work on roofs", Standing: working.CommonPractice}
	board := "specification"
	return []*working.Figure{
		working.Constant("t", "rinsing of an eye", 20, "min", sheets).Between(15, 20).Keyed(RinseKey),
		working.Constant("T", "warmest place that peroxide is kept in", 25, "°C", sheets).Keyed(StoreKey),
		working.Constant("T", "flash point of styrene", FlashPointC, "°C", niosh("styrene")).Keyed(FlashKey),
		working.Constant("m", "size of an extinguisher, two on the roof", 6, "kg", site).Keyed(ExtinctKey),
		working.Constant("v", "wind that lifts mat and boards", 8, "m/s", site).Between(8, 10).Keyed(WindKey),
		working.Constant("m", "a full pail of resin", 25, "kg", working.Source{Title: "packs of the trade", Standing: working.CommonPractice}).
			Between(20, 25).Keyed(PailKey),
		boardMass.Figure("a whole board", "kg", working.Source{Title: "volume by density", Standing: working.Derived},
			working.Measured("l", "length of a board", lengthM, "m", board), working.Measured("w", "width of a board", widthM, "m", board),
			working.Measured("t", "thickness of a board", thicknessMM, "mm", board),
			working.Constant("ρ", "density of a board", boardKGPerM3, "kg/m³",
				working.Source{Title: "EN 12369-1 and makers' sheets", Standing: working.Remembered})).Keyed(BoardKey),
	}
}
