package roof

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gelwright/internal/iso3166"
	"gelwright/plane"
)

// The grounds a default can stand on. They are printed with the default, so that a
// habit never passes for a rule.
const (
	practice = "common practice, no source"
	caution  = "assumed on the safe side; check"
	guess    = "assumed; check on site"
)

// country holds what follows from the country when the file does not say: a point
// about its middle, its time zone and the locale of its documents.
type country struct {
	latDeg, lonDeg float64
	timeZone       string
	locale         string
}

// countries are rounded middles of the country (general geography), IANA zone
// names and Unicode locales.
var countries = map[string]country{
	"GB": {52.8, -1.6, "Europe/London", "en-GB"}, "GB-ENG": {52.6, -1.5, "Europe/London", "en-GB"},
	"GB-SCT": {56.8, -4.2, "Europe/London", "en-GB"}, "GB-WLS": {52.3, -3.7, "Europe/London", "en-GB"},
	"GB-NIR": {54.6, -6.7, "Europe/London", "en-GB"}, "IE": {53.2, -8.0, "Europe/Dublin", "en-IE"},
	"FR": {46.6, 2.5, "Europe/Paris", "fr-FR"}, "DE": {51.1, 10.4, "Europe/Berlin", "de-DE"},
	"ES": {40.2, -3.6, "Europe/Madrid", "es-ES"}, "PT": {39.6, -8.0, "Europe/Lisbon", "pt-PT"},
	"IT": {42.8, 12.1, "Europe/Rome", "it-IT"}, "NL": {52.2, 5.3, "Europe/Amsterdam", "nl-NL"},
	"BE": {50.6, 4.7, "Europe/Brussels", "nl-BE"}, "LU": {49.8, 6.1, "Europe/Luxembourg", "fr-LU"},
	"AT": {47.6, 14.1, "Europe/Vienna", "de-AT"}, "CH": {46.8, 8.2, "Europe/Zurich", "de-CH"},
	"DK": {56.0, 10.0, "Europe/Copenhagen", "da-DK"}, "NO": {61.0, 9.0, "Europe/Oslo", "nb-NO"},
	"SE": {60.0, 15.0, "Europe/Stockholm", "sv-SE"}, "FI": {62.0, 26.0, "Europe/Helsinki", "fi-FI"},
	"PL": {52.1, 19.4, "Europe/Warsaw", "pl-PL"}, "CZ": {49.8, 15.5, "Europe/Prague", "cs-CZ"},
	"GR": {39.1, 22.9, "Europe/Athens", "el-GR"}, "HU": {47.2, 19.5, "Europe/Budapest", "hu-HU"},
	"SK": {48.7, 19.5, "Europe/Bratislava", "sk-SK"}, "SI": {46.1, 14.8, "Europe/Ljubljana", "sl-SI"},
	"HR": {45.4, 16.4, "Europe/Zagreb", "hr-HR"}, "RO": {45.9, 25.0, "Europe/Bucharest", "ro-RO"},
	"BG": {42.7, 25.5, "Europe/Sofia", "bg-BG"}, "EE": {58.7, 25.5, "Europe/Tallinn", "et-EE"},
	"LV": {56.9, 24.9, "Europe/Riga", "lv-LV"}, "LT": {55.3, 23.9, "Europe/Vilnius", "lt-LT"},
	"IS": {64.9, -18.6, "Atlantic/Reykjavik", "is-IS"}, "MT": {35.9, 14.4, "Europe/Malta", "en-MT"},
	"CY": {35.0, 33.2, "Asia/Nicosia", "el-CY"}, "US": {39.8, -98.6, "America/Chicago", "en-US"},
	"CA": {50.0, -97.0, "America/Winnipeg", "en-CA"}, "AU": {-33.0, 147.0, "Australia/Sydney", "en-AU"},
	"NZ": {-41.0, 173.0, "Pacific/Auckland", "en-NZ"}, "ZA": {-29.0, 25.0, "Africa/Johannesburg", "en-ZA"},
}

// middle is what follows from a country, or from the country of a part that has nothing of its
// own; known is false for one whose middle is not held: its file must say where it is.
func middle(code string) (c country, known bool) {
	if c, known = countries[code]; !known {
		c, known = countries[iso3166.Country(code)]
	}
	return c, known
}

// zoneOf is the time zone of a longitude, where no country tells it: a whole number of hours.
func zoneOf(lonDeg float64) string {
	// The names count westwards.
	switch h := -math.Round(lonDeg / 15); {
	case h > 0:
		return fmt.Sprintf("Etc/GMT+%.0f", h)
	case h < 0:
		return fmt.Sprintf("Etc/GMT%.0f", h)
	}
	return "UTC"
}

// defaulter fills what a file left out, and notes it.
type defaulter struct {
	job   *Job
	given func(field string) bool
}

// TakeDefaults fills every value that the file left out and lists each in
// j.Defaults with its reason and its standing. given tells whether the file holds
// a field; with nil a zero value counts as left out. What has no honest default,
// such as the outline or the condition of an edge, is left alone for Validate.
//
// Every default of the roof file is set here and nowhere else.
func (j *Job) TakeDefaults(given func(field string) bool) {
	d := &defaulter{job: j, given: given}
	d.site()
	d.use()
	d.crew()
	d.day()
	d.spec()
	for i := range j.Decks {
		d.deck(&j.Decks[i], j.DeckPath(i))
	}
}

// take reports whether a default is due, and notes it.
func (d *defaulter) take(field string, zero bool, value, why string) bool {
	if d.given != nil && d.given(field) || !zero {
		return false
	}
	d.job.Defaults = append(d.job.Defaults, Default{Field: field, Value: value, Why: why})
	return true
}

func (d *defaulter) number(field string, at *float64, value float64, why string) {
	if d.take(field, *at == 0, number(value), why) {
		*at = value
	}
}

func (d *defaulter) whole(field string, at *int, value int, why string) {
	if d.take(field, *at == 0, strconv.Itoa(value), why) {
		*at = value
	}
}

func (d *defaulter) text(field string, at *string, value, why string) {
	if d.take(field, *at == "", value, why) {
		*at = value
	}
}

func (d *defaulter) clock(field string, at *Clock, value Clock, why string) {
	if d.take(field, !at.Given(), value.String(), why) {
		*at = value
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (d *defaulter) site() {
	s := &d.job.Site
	s.Country = iso3166.Tidy(s.Country)
	d.text("site.country", &s.Country, "GB-ENG", guess)
	if c, known := middle(s.Country); known {
		why := "about the middle of " + s.Country + "; " + guess
		d.number("site.lat_deg", &s.LatDeg, c.latDeg, why)
		d.number("site.lon_deg", &s.LonDeg, c.lonDeg, why)
		d.text("site.time_zone", &s.TimeZone, c.timeZone, "time zone of the country")
		d.text("site.locale", &s.Locale, c.locale, "language and decimal mark of the country")
	} else {
		d.text("site.time_zone", &s.TimeZone, zoneOf(s.LonDeg), "whole hours by the longitude; "+guess)
		d.text("site.locale", &s.Locale, "en-GB", "the language of the papers")
	}
	d.number("site.altitude_m", &s.AltitudeM, 50, guess)
	d.text("site.terrain", &s.Terrain, "II", "open country (EN 1991-1-4 table 4.1), "+caution)
	d.number("site.eaves_m", &s.EavesM, 3, "one storey; "+guess)
}

func (d *defaulter) use() {
	u, w := &d.job.Use, &d.job.Work
	d.text("use.below", &u.Below, "heated", caution)
	d.text("use.access", &u.Access, "maintenance", "people go up only to clean and repair; "+practice)
	d.text("work.kind", &w.Kind, "new", "nothing is said of an old covering; "+guess)
}

// crew takes the split of the day's work that agrees with two people stripping,
// boarding, laminating and coating about 20 m² in a long day.
func (d *defaulter) crew() {
	c := &d.job.Crew
	d.whole("crew.people", &c.People, 2, practice)
	d.number("crew.lay_m2_per_man_hour", &c.LayM2PerManHour, 6, "middle of 5 to 7 for one layer, mixed, laid and rolled; "+practice)
	d.text("crew.experience", &c.Experience, "regular", guess)
	bucket := map[string]float64{"apprentice": 2, "regular": 5, "seasoned": 8}[c.Experience]
	if bucket == 0 {
		bucket = 5
	}
	d.number("crew.max_bucket_kg", &c.MaxBucketKG, bucket, "what a "+c.Experience+" crew handles in comfort; "+practice)
	d.number("crew.margin_min", &c.MarginMin, 5, "kept between the last brush and gel; "+practice)
	d.clock("crew.start", &c.Start, ClockAt(8*60), practice)
	d.clock("crew.end", &c.End, ClockAt(17*60), practice)
}

func (d *defaulter) day() {
	y := &d.job.Day
	d.number("day.air_c", &y.AirC, 15, "a mild day; give the forecast")
	d.number("day.deck_c", &y.DeckC, y.AirC, "the deck as warm as the air; measure it on the day")
	d.number("day.resin_c", &y.ResinC, y.AirC, "the resin as warm as the air; measure it on the day")
	d.number("day.relative_humidity_pct", &y.RelativeHumidityPct, 70, guess)
}

func (d *defaulter) spec() {
	s, traffic := &d.job.Spec, d.job.Use.Access != "maintenance"
	if traffic {
		d.layers("450, 450", []float64{450, 450}, "two layers where people walk; "+practice)
	} else {
		d.layers("600", []float64{600}, "one layer of the heavier mat on boards; "+practice)
	}
	d.number("spec.resin_to_glass", &s.ResinToGlass, 2.3, "about 30 % glass by mass; "+practice)
	soak := 0.6
	if len(s.Layers) == 1 && s.Layers[0] <= 450 {
		soak = 0.45
	}
	d.number("spec.deck_soak_kg_per_m2", &s.DeckSoakKGPerM2, soak,
		"what boards drink beside the laminate, so that one 450 g mat takes 1.5 kg/m² in all and one 600 g mat 2.0; "+practice)
	d.whole("spec.top_coat.coats", &s.TopCoat.Coats, 1, practice)
	d.text("spec.top_coat.colour", &s.TopCoat.Colour, "mid grey", practice)
	d.number("spec.top_coat.kg_per_m2", &s.TopCoat.KGPerM2, 0.6, "half a litre to the square metre; "+practice)
	if d.antiSlip() {
		d.number("spec.aggregate_kg_per_m2", &s.AggregateKGPerM2, 1, "middle of 0.5 to 1.5 kg/m² broadcast; "+practice)
		d.text("spec.aggregate_grade", &s.AggregateGrade, "0.7-1.2 mm", practice)
	}
	d.number("spec.side_lap_mm", &s.SideLapMM, 50, practice)
	d.number("spec.end_lap_mm", &s.EndLapMM, 50, practice)
	d.number("spec.trim_lap_mm", &s.TrimLapMM, 50, practice)
	d.number("spec.bandage_mm", &s.BandageMM, 75, practice)
	d.number("spec.corner_bandage_mm", &s.CornerStripMM, 150, practice)
	d.whole("spec.upstand_layers", &s.UpstandLayers, 1, practice)
	const usual = ", unless the plan picks another for the temperatures of the day"
	d.text("spec.resin", &s.Resin, "resin.all-season", "the catalogue's laminating resin"+usual)
	d.text("spec.coat_resin", &s.CoatResin, "topcoat.waxed", "the catalogue's top coat"+usual)
	d.text("spec.catalyst", &s.Catalyst, "catalyst.mekp", "the catalogue's catalyst"+usual)
	d.text("spec.coat_catalyst", &s.CoatCatalyst, "catalyst.mekp", "the catalogue's catalyst"+usual)
	d.board(traffic)
	d.buildUp()
	w := &s.WastePct
	d.number("spec.waste_pct.resin", &w.Resin, 8, "5 to 10 % is usual; "+practice)
	d.number("spec.waste_pct.top_coat", &w.TopCoat, 8, "5 to 10 % is usual; "+practice)
	d.number("spec.waste_pct.mat", &w.Mat, 3, "beyond the laps and cuts, which are counted; "+practice)
	d.number("spec.waste_pct.fixings", &w.Fixings, 10, practice)
	d.number("spec.waste_pct.adhesive", &w.Adhesive, 15, practice)
}

func (d *defaulter) antiSlip() bool {
	for i := range d.job.Decks {
		if d.job.Decks[i].AntiSlipAll || len(d.job.Decks[i].AntiSlip) > 0 {
			return true
		}
	}
	return false
}

func (d *defaulter) layers(value string, layers []float64, why string) {
	if d.take("spec.layers_g_per_m2", len(d.job.Spec.Layers) == 0, value, why) {
		d.job.Spec.Layers = layers
	}
}

func (d *defaulter) board(traffic bool) {
	b, thickness := &d.job.Spec.Board, 18.0
	if traffic {
		thickness = 22
	}
	d.text("spec.board.material", &b.Material, "OSB/3", "EN 300 class for humid conditions; "+practice)
	d.number("spec.board.thickness_mm", &b.ThicknessMM, thickness, "18 mm on joists up to 600 mm, 22 mm where people walk; "+practice)
	if b.TongueAndGroove {
		d.number("spec.board.length_m", &b.LengthM, 2.4, practice)
		d.number("spec.board.width_m", &b.WidthM, 0.6, practice)
	} else {
		d.number("spec.board.length_m", &b.LengthM, 2.44, practice)
		d.number("spec.board.width_m", &b.WidthM, 1.22, practice)
		d.number("spec.board.gap_mm", &b.GapMM, 3, "between square edges; "+practice)
	}
	d.number("spec.board.wall_gap_mm", &b.WallGapMM, 10, "at walls; "+practice)
	d.number("spec.board.min_piece_m", &b.MinPieceM, 0.3, practice)
	d.number("spec.board.stagger_m", &b.StaggerM, 0.4, "one joist bay at least; "+practice)
	d.number("spec.board.edge_fix_mm", &b.EdgeFixMM, 150, practice)
	d.number("spec.board.field_fix_mm", &b.FieldFixMM, 300, practice)
}

func (d *defaulter) buildUp() {
	s := &d.job.Spec
	switch below := d.job.Use.Below; below {
	case "unheated", "open":
		d.text("spec.build_up", &s.Build, "uninsulated", "the space below is "+below)
	default:
		d.text("spec.build_up", &s.Build, "warm", "heated below: insulation above the deck is the sounder way; "+practice)
	}
	if s.Build == "warm" && s.Insulation != nil &&
		d.take("spec.vapour_control_layer", !s.VCL, "true", "a warm deck needs one; "+practice) {
		s.VCL = true
	}
	if s.Insulation != nil {
		d.number("spec.insulation.lambda_w_per_mk", &s.Insulation.LambdaWPerM, lambda(s.Insulation.Material),
			"usual for the material; take the supplier's declared value")
	}
}

// lambda returns a usual design conductivity, W/(m·K) (common practice, no source).
func lambda(material string) float64 {
	switch strings.ToLower(material) {
	case "pir", "pur":
		return 0.023
	case "phenolic":
		return 0.021
	case "eps":
		return 0.036
	case "xps":
		return 0.034
	case "mineral wool", "glass wool":
		return 0.038
	case "cork", "wood fibre":
		return 0.042
	}
	return 0.04
}

func (d *defaulter) deck(k *Deck, path string) {
	for i := range k.Edges {
		d.edge(&k.Edges[i], fmt.Sprintf("%s.edges[%d]", path, i))
	}
	for i := range k.Openings {
		o := &k.Openings[i]
		d.text(k.OpeningPath(path, i)+".kind", &o.Kind, "rooflight", guess)
		d.number(k.OpeningPath(path, i)+".kerb_mm", &o.KerbMM, 150, "150 mm above the finished roof; "+practice)
	}
	for i := range k.Penetrations {
		p := &k.Penetrations[i]
		if p.WidthMM == 0 && p.DepthMM == 0 {
			d.number(k.PenetrationPath(path, i)+".diameter_mm", &p.DiameterMM, 110, "a soil pipe; "+guess)
		}
	}
	d.base(k, path)
	if len(k.Outline) > 2 {
		field := path + ".exit"
		at := exit(k)
		if d.take(field, k.Exit == plane.Point{}, fmt.Sprintf("[%s, %s]", number(at.X), number(at.Y)),
			"the ladder at the middle of the longest low edge; "+guess) {
			k.Exit = at
		}
	}
	if len(k.Levels) > 0 {
		d.number(path+".level_tolerance_mm", &k.LevelToleranceMM, 5, practice)
	}
}

func (d *defaulter) edge(e *Edge, path string) {
	height := path + ".height_mm"
	switch e.Condition {
	case Wall, Parapet, StepUp:
		d.number(height, &e.HeightMM, 150, "150 mm above the finished roof; "+practice)
	case Tuck:
		d.number(height, &e.HeightMM, 150, "at least 150 mm vertically under the tiles; "+practice)
	case Kerb:
		d.number(height, &e.HeightMM, 50, "raised edges stand 30 to 60 mm; "+practice)
	case Verge:
		d.number(height, &e.HeightMM, 30, "raised edges stand 30 to 60 mm; "+practice)
	}
}

// base takes joists across the shorter way, as they are mostly laid.
func (d *defaulter) base(k *Deck, path string) {
	b := &k.Base
	d.text(path+".base.kind", &b.Kind, "joists", guess)
	if b.Kind != "joists" || len(k.Outline) < 3 {
		return
	}
	low, high := k.Outline.Bounds()
	size := high.Sub(low)
	bearing := 0.0
	if size.Y < size.X {
		bearing = 90
	}
	d.number(path+".base.joist_spacing_mm", &b.JoistSpacingMM, 400, practice)
	d.number(path+".base.joist_bearing_deg", &b.JoistBearingDeg, bearing, "joists span the shorter way; "+guess)
	d.number(path+".base.joist_offset_mm", &b.JoistOffsetMM, 0,
		"the first joist's middle on the deck's edge; half its width where it stands flush with it; "+guess)
	d.number(path+".base.joist_width_mm", &b.JoistWidthMM, 47, practice)
	d.number(path+".base.joist_depth_mm", &b.JoistDepthMM, 150, guess)
	s, c := math.Sincos(b.JoistBearingDeg * math.Pi / 180)
	span := math.Round(1000*(math.Abs(c)*size.X+math.Abs(s)*size.Y)) / 1000
	d.number(path+".base.joist_span_m", &b.JoistSpanM, span, "from side to side of the deck; "+guess)
	d.text(path+".base.timber_class", &b.TimberClass, "C16", "the lower of the two common classes of EN 338; "+caution)
	d.text(path+".base.edge_bearing", &b.EdgeBearing, "plate",
		"a fascia, wall plate or last joist carries board edges beside the joists; "+guess)
}

// exit returns the middle of the longest edge that water leaves over, of any edge
// when there is none, to the millimetre.
func exit(k *Deck) plane.Point {
	best, found := -1.0, plane.Point{}
	for pass := 0; pass < 2 && best < 0; pass++ {
		for i := range k.Outline {
			e := k.Outline.Edge(i)
			low := i < len(k.Edges) && k.Edges[i].Condition.TakesWater()
			if length := e.Length(); (low || pass == 1) && length > best+1e-9 {
				best, found = length, e.At(0.5)
			}
		}
	}
	return plane.Point{X: math.Round(found.X*1000) / 1000, Y: math.Round(found.Y*1000) / 1000}
}

// Defaultable lists the fields that TakeDefaults would fill if the file were silent:
// a zero in one of them means that somebody wrote it.
func (j *Job) Defaultable() []string {
	c := *j
	c.Defaults = nil
	c.Decks = make([]Deck, len(j.Decks))
	for i := range j.Decks {
		c.Decks[i] = j.Decks[i]
		c.Decks[i].Edges = append([]Edge(nil), j.Decks[i].Edges...)
		c.Decks[i].Openings = append([]Opening(nil), j.Decks[i].Openings...)
		c.Decks[i].Penetrations = append([]Penetration(nil), j.Decks[i].Penetrations...)
	}
	if j.Spec.Insulation != nil {
		layer := *j.Spec.Insulation
		c.Spec.Insulation = &layer
	}
	c.TakeDefaults(nil)
	fields := make([]string, len(c.Defaults))
	for i, d := range c.Defaults {
		fields[i] = d.Field
	}
	return fields
}
