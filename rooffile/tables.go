package rooffile

import (
	"fmt"

	"gelwright/internal/form"
	"gelwright/language"
	"gelwright/roof"
)

// span makes a range with a unit.
func span(unit string, low, high float64) form.Range {
	return form.Range{Unit: unit, Min: low, Max: high}
}

const datePattern = `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`

var cup = form.Shape[roof.Cup]{Pattern: roof.CupPattern, What: "a test cup", Parse: roof.ParseCup}

var clock = form.Shape[roof.Clock]{Pattern: `^([01][0-9]|2[0-3]):[0-5][0-9]$`, What: "a time of day", Parse: roof.ParseClock}

// The words a field may take, in the order they are explained.
var (
	below    = []string{"unheated", "heated", "wet room", "open"}
	access   = []string{"maintenance", "balcony", "walkway", "plant"}
	kinds    = []string{"new", "strip", "overlay"}
	covering = []string{"felt", "lead", "tiles", "single ply", "none"}
	oldDeck  = []string{"chipboard", "OSB", "plywood", "boards", "concrete"}
	drifts   = []string{"annex B", "none"}
	terrain  = []string{"0", "I", "II", "III", "IV"}
	skill    = []string{"apprentice", "regular", "seasoned"}
	build    = []string{"warm", "cold", "inverted", "uninsulated"}
	base     = []string{"joists", "sound deck", "concrete"}
	opening  = []string{"rooflight", "hatch", "chimney", "void"}
	through  = []string{"pipe", "flue", "outlet", "overflow", "post"}
	colours  = []any{"light grey", "mid grey", "dark grey"}
)

// passing are the kinds that pass through the laminate, for somebody who lists them with the openings; framed are
// openings, for somebody who lists them with what passes through.
var (
	passing = each(through, func(kind string) string {
		return fmt.Sprintf("What passes through the laminate has a list of its own: "+
			"\"penetrations: [{kind: %s, at: [1, 1], diameter_mm: 110}]\"", kind)
	})
	framed = each(opening, func(kind string) string {
		return fmt.Sprintf("Openings have a list of their own: \"openings: [{kind: %s, from: [1, 1], to: [2, 2]}]\"", kind)
	})
)

// grounds are everyday words for the terrain categories, by the descriptions of EN 1991-1-4, table 4.1 (quoted at
// second hand). A town is asked about, since the category hangs on the height of its houses.
var grounds = map[string]string{
	"sea": "Write 0: sea, or coast open to it", "coast": "Write 0: sea, or coast open to it",
	"open": "Write II: low plants, with single trees or buildings", "country": "Write II: low plants, with single trees or buildings",
	"suburb": "Write III: villages, suburbs, woods", "suburban": "Write III: villages, suburbs, woods",
	"village": "Write III: villages, suburbs, woods",
	"wood":    "Write III: villages, suburbs, woods", "forest": "Write III: villages, suburbs, woods",
	"town": aTown, "urban": aTown, "city": aTown,
}

const aTown = "Write IV where buildings stand on 15 % of the ground or more and are over 15 m high on average, otherwise III"

func each(words []string, say func(string) string) map[string]string {
	out := make(map[string]string, len(words))
	for _, w := range words {
		out[w] = say(w)
	}
	return out
}

var siteTable = &form.Object[roof.Site]{Doc: "Where the roof is.", Fields: []form.Field[roof.Site]{
	form.Text("name", "The place, as people call it.", func(s *roof.Site) *string { return &s.Name }, "Mill Lane 4"),
	form.Pattern("country", "ISO 3166 code, with its part where rules differ: GB-ENG, IE, FR, US. Any country is taken; where no rules of "+
		"it are held the checks say so.", `^[A-Za-z]{2}(-[A-Za-z0-9]{1,3})?$`, "a country's code of ISO 3166",
		func(s *roof.Site) *string { return &s.Country }, "GB-ENG", "IE", "FR", "US"),
	form.Number("lat_deg", "Latitude, north positive.", span("", -90, 90), func(s *roof.Site) *float64 { return &s.LatDeg }, 52.6),
	form.Number("lon_deg", "Longitude, east positive.", span("", -180, 180), func(s *roof.Site) *float64 { return &s.LonDeg }, -1.5),
	form.Pattern("time_zone", "IANA time zone.", `^(UTC|[A-Za-z_]+(/[A-Za-z0-9_+-]+)+)$`, "a time zone",
		func(s *roof.Site) *string { return &s.TimeZone }, "Europe/London"),
	form.Number("altitude_m", "Height of the site above the sea.", span("m", -430, 5000), func(s *roof.Site) *float64 { return &s.AltitudeM },
		60),
	form.Word("terrain", "Terrain category of EN 1991-1-4: 0 sea, I lake or bare, II open country, III suburb or wood, IV town.", terrain,
		func(s *roof.Site) *string { return &s.Terrain }).Elsewhere(grounds),
	form.Number("eaves_m", "Height of the roof above the ground.", span("m", 0, 300), func(s *roof.Site) *float64 { return &s.EavesM }, 2.4),
	form.Number("basic_wind_ms", "Basic wind velocity of EN 1991-1-4 off the national map, before any altitude factor.", span("", 10, 60),
		func(s *roof.Site) *float64 { return &s.BasicWindMS }, 22.5),
	form.YesNo("hill", "The site stands on a hill or escarpment, where the wind speeds up.", func(s *roof.Site) *bool { return &s.Hill }),
	form.Number("ground_snow_kpa", "Characteristic snow load on the ground off the national map, kN/m².", span("", 0, 20),
		func(s *roof.Site) *float64 { return &s.GroundSnowKPa }, 0.6),
	form.Number("snow_zone", "Zone of the British snow map, where the ground load is not given.", span("", 0, 6.5),
		func(s *roof.Site) *float64 { return &s.SnowZone }, 3),
	form.Number("exceptional_snow_factor", "Factor of exceptional snow falls that the place asks for (EN 1991-1-3 4.3); 1 for none.",
		span("", 1, 5), func(s *roof.Site) *float64 { return &s.ExceptionalSnowFactor }, 2),
	form.Word("exceptional_drifts", "Whether exceptional snow drifts are counted at the place (EN 1991-1-3 annex B).", drifts,
		func(s *roof.Site) *string { return &s.ExceptionalDrifts }),
	form.Number("sea_km", "Distance to the sea, when it matters.", span("km", 0, 1000), func(s *roof.Site) *float64 { return &s.SeaKM }, 0.5),
	form.Number("bearing_deg", "True bearing of the drawing's up direction, clockwise from north; 0 when up is north.",
		span("", -360, 360), func(s *roof.Site) *float64 { return &s.BearingDeg }, 20),
	form.YesNo("enclosed", "A courtyard, well or tented site, where styrene collects.", func(s *roof.Site) *bool { return &s.Enclosed }),
	form.List("neighbours", "Those who will smell the work or share a wall.", 50, form.TextItem("neighbours"),
		func(s *roof.Site) *[]string { return &s.Neighbours }, []any{"nursery", "party wall east"}),
	form.Pattern("locale", "Language and region, for decimal mark and paper.", `^[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?$`, "a locale",
		func(s *roof.Site) *string { return &s.Locale }, "en-GB", "de-DE"),
	form.Word("language", "Language of the papers; English when left out.", language.Codes(),
		func(s *roof.Site) *string { return &s.Language }),
}}

var useTable = &form.Object[roof.Use]{Doc: "What is below the roof and who walks on it.", Fields: []form.Field[roof.Use]{
	form.Word("below", "The space below.", below, func(u *roof.Use) *string { return &u.Below }),
	form.Word("access", "Who goes up.", access, func(u *roof.Use) *string { return &u.Access }),
}}

var workTable = &form.Object[roof.Work]{Doc: "What is done to the old roof.", Fields: []form.Field[roof.Work]{
	form.Word("kind", "A new roof, a strip, or an overlay.", kinds, func(w *roof.Work) *string { return &w.Kind }),
	form.Word("old_covering", "What lies there now.", covering, func(w *roof.Work) *string { return &w.OldCovering }),
	form.Whole("old_coverings", "How many coverings lie on each other.", 0, 10, func(w *roof.Work) *int { return &w.OldCoverings }, 1),
	form.Word("old_deck", "What the old deck is made of.", oldDeck, func(w *roof.Work) *string { return &w.OldDeck }),
	form.Text("asbestos_checked", "Who checked for asbestos, when, and what was found.",
		func(w *roof.Work) *string { return &w.AsbestosChecked }, "surveyed 2026-03-02, none found"),
	form.Pattern("finish_by", "A fixed end date.", datePattern, "a date", func(w *roof.Work) *string { return &w.FinishBy }, "2026-08-28"),
	form.YesNo("sheeted", "Bare boards lie under sheets whenever nobody works on them, so that no rain wets them.",
		func(w *roof.Work) *bool { return &w.Sheeted }),
}}

var crewTable = &form.Object[roof.Crew]{Doc: "Who works and how.", Fields: []form.Field[roof.Crew]{
	form.Whole("people", "People on the roof, the mixer included.", 1, 40, func(c *roof.Crew) *int { return &c.People }, 2),
	form.Number("lay_m2_per_man_hour", "One layer mixed, laid and rolled, m² per man-hour.", span("", 0.2, 50),
		func(c *roof.Crew) *float64 { return &c.LayM2PerManHour }, 6),
	form.Word("experience", "Caps the size of a mix.", skill, func(c *roof.Crew) *string { return &c.Experience }),
	form.Number("max_bucket_kg", "The largest mix they will handle.", span("kg", 0.2, 25),
		func(c *roof.Crew) *float64 { return &c.MaxBucketKG }, 5),
	form.Number("margin_min", "Minutes kept between the last brush and gel.", span("", 0, 60),
		func(c *roof.Crew) *float64 { return &c.MarginMin }, 5),
	form.Parsed("start", "Start of the working day.", clock, func(c *roof.Crew) *roof.Clock { return &c.Start }, "08:00"),
	form.Parsed("end", "End of the working day.", clock, func(c *roof.Crew) *roof.Clock { return &c.End }, "17:00"),
}}

var hourTable = &form.Object[roof.Hour]{Doc: "One hour of the day's weather.", Fields: []form.Field[roof.Hour]{
	form.Parsed("time", "Local time.", clock, func(h *roof.Hour) *roof.Clock { return &h.Time }, "10:00").Need(),
	form.Number("air_c", "Air temperature.", span("°C", -40, 50), func(h *roof.Hour) *float64 { return &h.AirC }, 12).Need(),
	form.Number("deck_c", "Temperature of the deck's surface.", span("°C", -50, 100), func(h *roof.Hour) *float64 { return &h.DeckC },
		14).Need(),
	form.Number("relative_humidity_pct", "Relative humidity, %.", span("", 0, 100),
		func(h *roof.Hour) *float64 { return &h.RelativeHumidityPct }, 75).Need(),
	form.Number("wind_ms", "Wind, m/s.", span("", 0, 80), func(h *roof.Hour) *float64 { return &h.WindMS }, 2),
	form.Number("rain_mm", "Rain in the hour, mm.", span("", 0, 300), func(h *roof.Hour) *float64 { return &h.RainMM }, 0),
}}

var dayTable = &form.Object[roof.Day]{Doc: "The weather when the resin goes down, as far as it is known.", Fields: []form.Field[roof.Day]{
	form.Number("air_c", "Air temperature.", span("°C", -40, 50), func(d *roof.Day) *float64 { return &d.AirC }, 14),
	form.Number("deck_c", "Temperature of the deck; the air's when left out.", span("°C", -50, 100),
		func(d *roof.Day) *float64 { return &d.DeckC }, 16),
	form.Number("resin_c", "Temperature of the resin in the pail; the air's when left out.", span("°C", -40, 50),
		func(d *roof.Day) *float64 { return &d.ResinC }, 18),
	form.Number("relative_humidity_pct", "Relative humidity, %.", span("", 0, 100),
		func(d *roof.Day) *float64 { return &d.RelativeHumidityPct }, 70),
	form.Parsed("cup", "A test cup of the laminating resin and catalyst in use, timed today: minutes to gel at °C with % by mass.", cup,
		func(d *roof.Day) *roof.Cup { return &d.Cup }, "23 min at 15 C, 2 %"),
	form.Parsed("coat_cup", "The same of the top coat.", cup, func(d *roof.Day) *roof.Cup { return &d.CoatCup }, "26 min at 15 C, 2 %"),
	form.List("hours", "The day hour by hour, as read off a gauge or a forecast.", 72, form.ObjectItem("hours", hourTable),
		func(d *roof.Day) *[]roof.Hour { return &d.Hours }),
}}

var topCoatTable = &form.Object[roof.TopCoat]{Doc: "The pigmented wear layer.", Fields: []form.Field[roof.TopCoat]{
	form.Whole("coats", "Number of coats.", 1, 4, func(t *roof.TopCoat) *int { return &t.Coats }, 1),
	form.Text("colour", "Colour in words.", func(t *roof.TopCoat) *string { return &t.Colour }, colours...),
	form.Number("kg_per_m2", "Mass of each coat, kg/m².", span("", 0.1, 2), func(t *roof.TopCoat) *float64 { return &t.KGPerM2 }, 0.5),
}}

var boardTable = &form.Object[roof.Board]{Doc: "The deck board.", Fields: []form.Field[roof.Board]{
	form.Word("material", "What it is made of.", []string{"OSB/3", "plywood"}, func(b *roof.Board) *string { return &b.Material }),
	form.Number("thickness_mm", "Thickness.", span("mm", 6, 60), func(b *roof.Board) *float64 { return &b.ThicknessMM }, 18),
	form.Number("length_m", "Length.", span("m", 0.5, 6), func(b *roof.Board) *float64 { return &b.LengthM }, 2.44),
	form.Number("width_m", "Width.", span("m", 0.2, 3), func(b *roof.Board) *float64 { return &b.WidthM }, 1.22),
	form.YesNo("tongue_and_groove", "Tongued and grooved long edges.", func(b *roof.Board) *bool { return &b.TongueAndGroove }),
	form.Number("gap_mm", "Gap between square edges.", span("mm", 0, 20), func(b *roof.Board) *float64 { return &b.GapMM }, 3),
	form.Number("wall_gap_mm", "Gap at walls.", span("mm", 0, 60), func(b *roof.Board) *float64 { return &b.WallGapMM }, 10),
	form.Number("min_piece_m", "Shortest and narrowest piece.", span("m", 0.05, 1.5), func(b *roof.Board) *float64 { return &b.MinPieceM },
		0.3),
	form.Number("stagger_m", "Least offset of end joints in neighbouring rows.", span("m", 0, 1.5),
		func(b *roof.Board) *float64 { return &b.StaggerM }, 0.4),
	form.Number("edge_fix_mm", "Fixing centres along board edges.", span("mm", 50, 600), func(b *roof.Board) *float64 { return &b.EdgeFixMM },
		150),
	form.Number("field_fix_mm", "Fixing centres in the field.", span("mm", 50, 600), func(b *roof.Board) *float64 { return &b.FieldFixMM },
		300),
	form.Number("perimeter_fix_mm", "Fixing centres in the wind zone along the deck's edge, where closer than those; 0 is as everywhere.",
		span("mm", 0, 600), func(b *roof.Board) *float64 { return &b.PerimeterFixMM }, 150),
	form.Number("corner_fix_mm", "Fixing centres in the wind zone at corners, where closer than those; 0 is as everywhere.",
		span("mm", 0, 600), func(b *roof.Board) *float64 { return &b.CornerFixMM }, 100),
}}

var insulationTable = &form.Object[roof.Insulation]{Doc: "The insulation, above or between the joists. In a cold roof whose deck stays " +
	"- an overlay, or boards over a sound deck - it counts as there already: the checks of heat and damp reckon with it, it is not ordered " +
	"and takes no time.", Fields: []form.Field[roof.Insulation]{
	form.Text("material", "What it is.", func(i *roof.Insulation) *string { return &i.Material }, "PIR", "mineral wool").Need(),
	form.Number("thickness_mm", "Thickness.", span("mm", 10, 600), func(i *roof.Insulation) *float64 { return &i.ThicknessMM }, 120).Need(),
	form.Number("lambda_w_per_mk", "Declared conductivity, W/(m·K).", span("", 0.005, 0.3),
		func(i *roof.Insulation) *float64 { return &i.LambdaWPerM }, 0.023),
	form.YesNo("tapered", "Tapered boards make the fall.", func(i *roof.Insulation) *bool { return &i.Tapered }),
}}

func percent[T any](name, doc string, at func(*T) *float64, example float64) form.Field[T] {
	return form.Number(name, doc+", per cent.", span("", 0, 100), at, example)
}

var wasteTable = &form.Object[roof.Waste]{Doc: "Allowances beyond what the pieces need.", Fields: []form.Field[roof.Waste]{
	percent("resin", "Laminating resin", func(w *roof.Waste) *float64 { return &w.Resin }, 8),
	percent("top_coat", "Top coat", func(w *roof.Waste) *float64 { return &w.TopCoat }, 8),
	percent("mat", "Mat, beyond laps and cuts", func(w *roof.Waste) *float64 { return &w.Mat }, 3),
	percent("fixings", "Screws and nails", func(w *roof.Waste) *float64 { return &w.Fixings }, 10),
	percent("adhesive", "Adhesive", func(w *roof.Waste) *float64 { return &w.Adhesive }, 15),
}}

var pinsTable = &form.Object[roof.Pins]{Doc: "Choices of setting out that you fix; what is left out is chosen for you.",
	Fields: []form.Field[roof.Pins]{
		form.Word("board_direction", "The direction boards run in.", []string{"x", "y"}, func(p *roof.Pins) *string { return &p.BoardDirection }),
		form.Word("board_start", "The corner to start from.", []string{"sw", "se", "nw", "ne"},
			func(p *roof.Pins) *string { return &p.BoardStart }),
		form.Word("mat_direction", "How mat runs.", []string{"along fall", "across fall"}, func(p *roof.Pins) *string { return &p.MatDirection }),
		form.OptionalNumber("board_offset_m", "Offset of the first row of boards.", span("m", -3, 3),
			func(p *roof.Pins) **float64 { return &p.BoardOffsetM }, 0.4),
		form.Some(form.List("board_rows_m", "How wide the rows of boards are, counted from the corner to start from, where they are not "+
			"all a board wide; those behind them are whole boards. Instead of board_offset_m.", 400,
			form.NumberItem(span("m", 0.05, 3)), func(p *roof.Pins) *[]float64 { return &p.BoardRowsM }, []any{1.2, 0.735, 1.2})),
		form.OptionalNumber("mat_offset_m", "Offset of the first strip of mat.", span("m", -3, 3),
			func(p *roof.Pins) **float64 { return &p.MatOffsetM }, 0.3),
	}}

var specTable = &form.Object[roof.Spec]{Doc: "What the roof will be made of.", Fields: []form.Field[roof.Spec]{
	form.Some(form.List("layers_g_per_m2", "Layers of chopped strand mat on the deck, bottom first, g/m² each.", 6,
		form.NumberItem(span("", 100, 1200)),
		func(s *roof.Spec) *[]float64 { return &s.Layers }, []any{600.0}, []any{450.0, 450.0})),
	form.Number("tissue_g_per_m2", "Surface tissue over the last layer, g/m²; 0 is none.", span("", 0, 150),
		func(s *roof.Spec) *float64 { return &s.TissueGPerM2 }, 30),
	form.Number("resin_to_glass", "Resin to glass by mass in the laminate.", span("", 1, 6),
		func(s *roof.Spec) *float64 { return &s.ResinToGlass }, 2.3),
	form.Number("deck_soak_kg_per_m2", "Resin that the boards drink beside the laminate, kg/m².", span("", 0, 2),
		func(s *roof.Spec) *float64 { return &s.DeckSoakKGPerM2 }, 0.6),
	form.Group("top_coat", topCoatTable, func(s *roof.Spec) *roof.TopCoat { return &s.TopCoat }),
	form.Number("aggregate_kg_per_m2", "Aggregate broadcast where anti-slip is asked for, kg/m².", span("", 0, 5),
		func(s *roof.Spec) *float64 { return &s.AggregateKGPerM2 }, 1),
	form.Text("aggregate_grade", "Grain of the aggregate.", func(s *roof.Spec) *string { return &s.AggregateGrade }, "0.7-1.2 mm"),
	form.Number("side_lap_mm", "Side lap of mat.", span("mm", 0, 300), func(s *roof.Spec) *float64 { return &s.SideLapMM }, 50),
	form.Number("end_lap_mm", "End lap of mat.", span("mm", 0, 300), func(s *roof.Spec) *float64 { return &s.EndLapMM }, 50),
	form.Number("trim_lap_mm", "Lap of trims.", span("mm", 0, 300), func(s *roof.Spec) *float64 { return &s.TrimLapMM }, 50),
	form.Number("bandage_mm", "Bandage over board joints and trim flanges.", span("mm", 25, 500),
		func(s *roof.Spec) *float64 { return &s.BandageMM }, 75),
	form.Number("corner_bandage_mm", "Bandage at corners and changes of direction.", span("mm", 25, 600),
		func(s *roof.Spec) *float64 { return &s.CornerStripMM }, 150),
	form.Whole("upstand_layers", "Layers on walls and kerbs.", 1, 4, func(s *roof.Spec) *int { return &s.UpstandLayers }, 1),
	form.Group("board", boardTable, func(s *roof.Spec) *roof.Board { return &s.Board }),
	form.Word("build_up", "The kind of roof.", build, func(s *roof.Spec) *string { return &s.Build }),
	form.OptionalGroup("insulation", insulationTable, func(s *roof.Spec) **roof.Insulation { return &s.Insulation }),
	form.YesNo("vapour_control_layer", "A vapour control layer below the insulation.", func(s *roof.Spec) *bool { return &s.VCL }),
	form.Number("void_mm", "Clear air space over the insulation of a cold roof.", span("mm", 0, 1000),
		func(s *roof.Spec) *float64 { return &s.VoidMM }, 50),
	form.Word("void_vented", "Whether every bay of a cold roof is open at both ends, when somebody has looked.", []string{"yes", "no"},
		func(s *roof.Spec) *string { return &s.VoidVented }),
	form.Text("resin", "Key of the laminating resin in the catalogue or the firm file; the plan picks the grade where it is left out.",
		func(s *roof.Spec) *string { return &s.Resin }, "resin.all-season"),
	form.Text("coat_resin", "Key of the top coat.", func(s *roof.Spec) *string { return &s.CoatResin }, "topcoat.waxed"),
	form.Text("catalyst", "Key of the laminate's catalyst; the plan picks its speed where it is left out.",
		func(s *roof.Spec) *string { return &s.Catalyst }, "catalyst.mekp"),
	form.Text("coat_catalyst", "Key of the top coat's catalyst; the plan picks its speed where it is left out.",
		func(s *roof.Spec) *string { return &s.CoatCatalyst }, "catalyst.slow"),
	form.Group("waste_pct", wasteTable, func(s *roof.Spec) *roof.Waste { return &s.WastePct }),
	form.Group("set_out", pinsTable, func(s *roof.Spec) *roof.Pins { return &s.SetOut }),
}}
