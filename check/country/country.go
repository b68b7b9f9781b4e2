package country

import (
	"gelwright/internal/iso3166"
	"gelwright/working"
)

// Value is one parameter of a national set.
type Value struct {
	Known  bool
	Value  float64
	Unit   string
	Name   string
	Source working.Source
}

// Figure returns the value as a figure for a working.
func (v Value) Figure(symbol string) *working.Figure {
	return working.Constant(symbol, v.Name, v.Value, v.Unit, v.Source)
}

// Missing returns the sentence that a check shows when the value is not known.
func (v Value) Missing(set string) string {
	return "no value for " + v.Name + " is held for " + set + ": give it from the text in force"
}

// Flag returns a caution when the value is weaker than published, else "".
func (v Value) Flag() string {
	if v.Source.Standing == working.Remembered || v.Source.Standing == working.CommonPractice {
		return v.Name + " " + working.Number(v.Value) + " " + v.Unit + ": " + string(v.Source.Standing) + " (" + v.Source.Title + ")"
	}
	return ""
}

// Rule is one that has no figure of its own.
type Rule struct{ Source working.Source }

// Choice is a yes or no that a national annex decides.
type Choice struct {
	Known, Yes bool
	Source     working.Source
}

// Set is what one country's rules say.
type Set struct {
	Code string // ISO 3166: "GB-ENG", "IE", "DE"
	Name string
	// Place is the country's own name, whether a set of its own is held or not.
	Place string
	// National is false where recommended values stand in for a national set.
	National bool

	// Wind, EN 1991-1-4.
	AirDensity Value // kg/m³
	WindFactor Value // partial factor γQ on wind
	AltitudeUK bool  // vb,0 = vb,map·calt of the UK annex
	// BasicWind is the greatest of the national map, m/s, where it is known: it stands in until somebody reads the map.
	BasicWind Value

	// Snow and imposed load, EN 1991-1-3 and EN 1991-1-1.
	SnowFormulaUK bool  // sk = 0.15 + (0.1Z + 0.05) + (A − 100)/525
	GroundSnow    Value // kN/m² at sea level where one figure serves
	// ExceptionalFalls is whether exceptional falls of snow are an accidental action (EN 1991-1-3 4.3),
	// ExceptionalFactor then C_esl, or the greatest that it may be; ExceptionalDrifts whether annex B takes the
	// place of the drifts of 5.3.6 and 6.2.
	ExceptionalFalls, ExceptionalDrifts Choice
	ExceptionalFactor                   Value
	RoofImposed                         Value // kN/m², category H, maintenance only
	RoofPoint                           Value // kN
	BalconyLoad                         Value // kN/m²

	// Timber, EN 1995-1-1.
	SolidTimberFactor Value // γM
	PanelFactor       Value // γM of boards

	// Falls and drainage.
	LeastFall      Value // n of 1:n that the finished roof must reach
	DesignFall     Value // n of 1:n to design for
	LeastUpstand   Value // mm above the finished roof
	LeastThreshold Value // mm at a door, with conditions
	Rain           Value // l/(s·m²), eaves gutters
	RainEnclosed   Value // l/(s·m²), box gutters and enclosed roofs
	GuardHeight    Value // mm

	// SecondWay and ColdVoid are who asks for a second way out of a roof within upstands, and
	// for the open void of a cold roof.
	SecondWay, ColdVoid Rule
	// Heat, W/m²K for a flat roof.
	UNew, UExtension, URefurbish Value
	TemperatureFactor            Value // least fRsi

	// Exposure to styrene, ppm.
	StyreneLong, StyreneShort Value

	// Movement.
	LargestField Value // m² of laminate without a movement joint
}

// missing returns an unknown value that still knows its name.
func missing(name, unit string) Value { return Value{Name: name, Unit: unit} }

func known(name string, v float64, unit, title, clause string, standing working.Standing) Value {
	return Value{Known: true, Value: v, Unit: unit, Name: name, Source: working.Source{Title: title, Clause: clause, Standing: standing}}
}

// practice is the source of what is asked where no national text is held.
const practice = "practice of flat roofs where no national text is held"

const (
	// read is a value that another public text quotes of the document named: none of the
	// documents themselves was seen.
	read = working.Quoted
	mem  = working.Remembered
	cp   = working.CommonPractice
)

// Recommended returns the values that the Eurocodes themselves recommend, and
// common practice where no standard speaks.
func Recommended() Set {
	return Set{
		Code: "", Name: "the recommended Eurocode values",
		AirDensity:        known("density of air", 1.25, "kg/m³", "EN 1991-1-4:2005", "4.5 NOTE 2", read),
		WindFactor:        known("partial factor on wind", 1.5, "", "EN 1990:2002", "table A1.2(A)", mem),
		BasicWind:         missing("basic wind velocity", "m/s"),
		GroundSnow:        missing("ground snow load", "kN/m²"),
		ExceptionalFactor: known("factor of exceptional snow falls", 2, "", "EN 1991-1-3:2003", "4.3 NOTE, recommended", read),
		RoofImposed:       known("imposed load on a roof for maintenance only", 0.4, "kN/m²", "EN 1991-1-1:2002", "table 6.10, category H", mem),
		RoofPoint:         known("concentrated load on a roof", 1.0, "kN", "EN 1991-1-1:2002", "table 6.10, category H", mem),
		BalconyLoad:       known("imposed load on a balcony", 2.5, "kN/m²", "EN 1991-1-1:2002", "table 6.2, category A balconies", mem),
		SolidTimberFactor: known("partial factor of solid timber", 1.3, "", "EN 1995-1-1:2004", "table 2.3", read),
		PanelFactor:       known("partial factor of wood panels", 1.2, "", "EN 1995-1-1:2004", "table 2.3", mem),
		LeastFall:         known("least finished fall 1:n", 80, "", practice, "finished fall", cp),
		DesignFall:        known("design fall 1:n", 40, "", practice, "design fall", cp),
		LeastUpstand:      known("least upstand above the finished roof", 150, "mm", practice, "upstands", cp),
		LeastThreshold:    known("least upstand at a door with added measures", 75, "mm", practice, "level thresholds", cp),
		SecondWay: Rule{working.Source{Title: practice, Clause: "two outlets or an outlet and an overflow within upstands",
			Standing: cp}},
		ColdVoid: Rule{working.Source{Title: practice, Clause: "clear void 50 mm, vented at both ends of every joist bay",
			Standing: cp}},
		Rain:              missing("design rainfall for eaves gutters", "l/s·m²"),
		RainEnclosed:      missing("design rainfall for enclosed roofs and box gutters", "l/s·m²"),
		GuardHeight:       known("height of guarding", 1100, "mm", "common guarding height for balconies", "", cp),
		UNew:              missing("heat loss target for a new flat roof", "W/m²K"),
		UExtension:        missing("heat loss target for an extension", "W/m²K"),
		URefurbish:        missing("heat loss target for a renovated flat roof", "W/m²K"),
		TemperatureFactor: known("least temperature factor", 0.75, "", "practice for dwellings where no national text is held", "", cp),
		StyreneLong:       known("styrene in air, eight hours", 20, "ppm", "a cautious limit where no national text is held", "", cp),
		StyreneShort:      known("styrene in air, fifteen minutes", 40, "ppm", "a cautious limit where no national text is held", "", cp),
		LargestField: known("largest laminate without a movement joint", 50, "m²",
			"a supplier's public guidance; no standard gives a spacing", "", cp),
	}
}

// unitedKingdom returns what the parts of the United Kingdom share.
func unitedKingdom() Set {
	s := Recommended()
	s.National = true
	s.LeastFall = known("least finished fall 1:n", 80, "", "BS 6229:2018", "finished fall", read)
	s.DesignFall = known("design fall 1:n", 40, "", "BS 6229:2018", "design fall", read)
	s.LeastUpstand = known("least upstand above the finished roof", 150, "mm", "BS 6229:2018", "upstands", mem)
	s.LeastThreshold = known("least upstand at a door with added measures", 75, "mm", "warranty guidance on flat roofs",
		"level thresholds", mem)
	s.SecondWay = Rule{working.Source{Title: "BS 6229 and EN 12056-3", Clause: "two outlets or an outlet and an overflow within upstands",
		Standing: mem}}
	s.ColdVoid = Rule{working.Source{Title: "BS 5250 and warranty guidance on cold flat roofs",
		Clause: "clear void 50 mm, vented at both ends of every joist bay", Standing: read}}
	s.TemperatureFactor = known("least temperature factor", 0.75, "", "BRE IP 1/06", "dwellings", read)
	s.BasicWind = mapTop("GB")
	s.AirDensity = known("density of air", 1.226, "kg/m³", "UK NA to BS EN 1991-1-4", "NA.2.18, qb = 0.613·vb²", read)
	s.AltitudeUK, s.SnowFormulaUK = true, true
	situations := working.Source{Title: "UK NA to BS EN 1991-1-3, as SCI advisory note AD 484 quotes it",
		Clause: "NA.2.2 case B2, NA.2.3 annex B", Standing: read}
	s.ExceptionalFalls = Choice{Known: true, Source: situations}
	s.ExceptionalDrifts = Choice{Known: true, Yes: true, Source: situations}
	s.RoofImposed = known("imposed load on a roof for maintenance only", 0.6, "kN/m²", "UK NA to BS EN 1991-1-1", "table NA.7", mem)
	s.RoofPoint = known("concentrated load on a roof", 0.9, "kN", "UK NA to BS EN 1991-1-1", "table NA.7", mem)
	s.Rain = known("design rainfall for eaves gutters", 0.022, "l/s·m²", "BS EN 12056-3 national annex as summarised by the gutter trade",
		"1-year 2-minute storm, London", read)
	s.RainEnclosed = known("design rainfall for enclosed roofs and box gutters", 0.042, "l/s·m²",
		"BS EN 12056-3 as summarised by the trade", "150 mm/h; the category and the place decide", mem)
	s.StyreneLong = known("styrene in air, eight hours", 100, "ppm", "HSE, workplace exposure limits (EH40)", "long-term limit", read)
	s.StyreneShort = known("styrene in air, fifteen minutes", 250, "ppm", "HSE, workplace exposure limits (EH40)", "short-term limit", mem)
	s.GuardHeight = known("height of guarding", 1100, "mm", "Approved Document K", "balconies and roofs with access", mem)
	return s
}

func england() Set {
	s := unitedKingdom()
	s.Code, s.Name = "GB-ENG", "England"
	s.BasicWind = mapTop("GB-ENG")
	s.UNew = known("heat loss target for a new flat roof", 0.16, "W/m²K", "Approved Document L1 2021", "limiting value, new dwellings", read)
	s.UExtension = known("heat loss target for an extension", 0.15, "W/m²K", "Approved Document L1 2021",
		"new elements in existing dwellings", read)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.16, "W/m²K", "Approved Document L1 2021",
		"renovated elements, threshold 0.35", read)
	return s
}

func scotland() Set {
	s := unitedKingdom()
	s.Code, s.Name = "GB-SCT", "Scotland"
	s.UNew = known("heat loss target for a new flat roof", 0.12, "W/m²K", "Scottish technical handbook, domestic, 2023", "section 6", mem)
	s.UExtension = known("heat loss target for an extension", 0.12, "W/m²K", "Scottish technical handbook, domestic, 2023", "section 6", mem)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.18, "W/m²K", "Scottish technical handbook, older edition",
		"section 6", mem)
	s.Rain = known("design rainfall for eaves gutters", 0.022, "l/s·m²", "BS EN 12056-3 as summarised by the gutter trade",
		"London figure, on the safe side of 0.010 to 0.022", read)
	return s
}

func wales() Set {
	s := unitedKingdom()
	s.Code, s.Name = "GB-WLS", "Wales"
	s.BasicWind = mapTop("GB-WLS")
	s.UNew = known("heat loss target for a new flat roof", 0.13, "W/m²K", "Approved Document L1 Wales 2022", "limit", mem)
	s.UExtension = known("heat loss target for an extension", 0.15, "W/m²K", "Approved Document L1 Wales 2022", "", mem)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.16, "W/m²K", "Approved Document L1 Wales 2022", "threshold 0.35", mem)
	return s
}

func northernIreland() Set {
	s := unitedKingdom()
	s.Code, s.Name = "GB-NIR", "Northern Ireland"
	s.BasicWind = mapTop("GB-NIR")
	s.UNew = known("heat loss target for a new flat roof", 0.16, "W/m²K", "Technical Booklet F1 2022", "", mem)
	s.UExtension = known("heat loss target for an extension", 0.16, "W/m²K", "Technical Booklet F1 2022", "", mem)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.16, "W/m²K", "Technical Booklet F1 2022", "threshold 0.35", mem)
	return s
}

func ireland() Set {
	s := Recommended()
	s.Code, s.Name, s.National = "IE", "Ireland", true
	s.BasicWind = mapTop("IE")
	s.Rain = known("design rainfall for eaves gutters", 0.021, "l/s·m²", "75 mm/h, the figure usual in Irish and British practice", "", cp)
	s.RainEnclosed = known("design rainfall for enclosed roofs and box gutters", 0.042, "l/s·m²", "150 mm/h, common practice", "", cp)
	s.RoofImposed = known("imposed load on a roof for maintenance only", 0.6, "kN/m²", "Irish NA to EN 1991-1-1", "category H", mem)
	s.RoofPoint = known("concentrated load on a roof", 0.9, "kN", "Irish NA to EN 1991-1-1", "category H", mem)
	s.UNew = known("heat loss target for a new flat roof", 0.20, "W/m²K", "Technical Guidance Document L 2022", "flat roof, area-weighted",
		mem)
	s.UExtension = known("heat loss target for an extension", 0.20, "W/m²K", "Technical Guidance Document L 2022", "", mem)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.25, "W/m²K", "Technical Guidance Document L 2022",
		"material alteration, where practical", mem)
	s.StyreneLong = known("styrene in air, eight hours", 20, "ppm", "Irish code of practice on chemical agents", "", mem)
	s.StyreneShort = known("styrene in air, fifteen minutes", 40, "ppm", "Irish code of practice on chemical agents", "", mem)
	return s
}

func germany() Set {
	s := Recommended()
	s.Code, s.Name, s.National = "DE", "Germany", true
	s.BasicWind = mapTop("DE")
	// Only the North German Plain has it; whether a site lies there nobody has said.
	s.ExceptionalFactor = known("factor of exceptional snow falls", 2.3, "", "DIN EN 1991-1-3/NA:2010-12 as public guidance quotes it",
		"4.3, North German Plain", read)
	s.URefurbish = known("heat loss target for a renovated flat roof", 0.20, "W/m²K", "Gebäudeenergiegesetz, annex 7", "flat roof", mem)
	s.UNew = known("heat loss target for a new flat roof", 0.20, "W/m²K", "Gebäudeenergiegesetz, reference building", "roof", mem)
	s.UExtension = known("heat loss target for an extension", 0.20, "W/m²K", "Gebäudeenergiegesetz, annex 7", "", mem)
	s.StyreneLong = known("styrene in air, eight hours", 20, "ppm", "TRGS 900", "86 mg/m³", mem)
	s.StyreneShort = known("styrene in air, fifteen minutes", 40, "ppm", "TRGS 900", "excursion factor 2", mem)
	return s
}

// For returns the set of a country by its code, and the cautions that go with it. A part that
// has no set of its own takes that of its country; a country without one gets the recommended
// values and says so; "GB" without its part is read as England.
func For(code string) (Set, []string) {
	tidy := iso3166.Tidy(code)
	nation := iso3166.Country(tidy)
	s, held := own(tidy)
	var cautions []string
	if !held && nation == "GB" {
		s, held = england(), true
		cautions = append(cautions, "the part of the United Kingdom is not given: England's values are used")
	}
	if !held {
		s, held = own(nation)
	}
	s.Place = s.Name
	if !held {
		s = Recommended()
		s.Code, s.Place, s.BasicWind = tidy, tidy, mapTop(nation)
		if name, ok := iso3166.Name(tidy); ok {
			s.Place = name
		}
	}
	if text := s.borrowed(); text != "" {
		cautions = append(cautions, text)
	}
	return s, cautions
}

func own(code string) (Set, bool) {
	for _, s := range sets() {
		if s.Code == code {
			return s, true
		}
	}
	return Set{}, false
}

func sets() []Set {
	return []Set{england(), scotland(), wales(), northernIreland(), ireland(), germany()}
}
