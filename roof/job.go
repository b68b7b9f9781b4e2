package roof

import (
	"gelwright/language"
	"gelwright/plane"
)

// Job is everything a plan is made from, except the firm's own data and the weather.
type Job struct {
	// Name of the job: "Garage at Lower Mill".
	Name string `json:"name"`
	// Reference is the firm's number for it.
	Reference string `json:"reference,omitempty"`
	// Date is the day all documents bear, ISO 8601; never taken from a clock.
	Date string `json:"date"`
	// Client and PreparedBy are printed in title blocks.
	Client     string `json:"client,omitempty"`
	PreparedBy string `json:"prepared_by,omitempty"`
	// Use is what the roof covers and carries.
	Use  Use    `json:"use"`
	Site Site   `json:"site"`
	Work Work   `json:"work"`
	Spec Spec   `json:"spec"`
	Crew Crew   `json:"crew"`
	Day  Day    `json:"day"`
	Note string `json:"note,omitempty"`

	Decks []Deck `json:"decks"`
	// Defaults lists every value taken because the file was silent.
	Defaults []Default `json:"defaults"`
	// File is the name of the roof file, for the sources of given figures.
	File string `json:"file,omitempty"`
}

// Default is a value taken because the roof file does not say.
type Default struct {
	// Field is the path in the roof file: "spec.top_coat.kg_per_m2".
	Field string `json:"field"`
	// Value as it would be written in the file.
	Value string `json:"value"`
	// Why in a few words, with its standing: "common practice, no source".
	Why string `json:"why"`
	// Firm is the firm's file where it gives the value; empty for a default of the program.
	Firm string `json:"firm,omitempty"`
}

// Site is the place.
type Site struct {
	Name string `json:"name,omitempty"`
	// Country is an ISO 3166 code, with its part where rules differ: "GB-ENG", "IE", "DE".
	Country  string  `json:"country"`
	LatDeg   float64 `json:"lat_deg"`
	LonDeg   float64 `json:"lon_deg"`
	TimeZone string  `json:"time_zone"` // IANA name
	// AltitudeM above sea level.
	AltitudeM float64 `json:"altitude_m"`
	// Terrain is the category of EN 1991-1-4 table 4.1: "0", "I", "II", "III", "IV".
	Terrain string `json:"terrain"`
	// EavesM is the height of the roof above the ground, m.
	EavesM float64 `json:"eaves_m"`
	// BasicWindMS is the basic wind velocity off the national map, m/s; 0 when nobody has read it.
	BasicWindMS float64 `json:"basic_wind_ms,omitempty"`
	// Hill marks a site on a hill or escarpment, where the wind speeds up.
	Hill bool `json:"hill,omitempty"`
	// GroundSnowKPa is the characteristic snow load off the national map, kN/m²; SnowZone
	// the zone of the British map; 0 when nobody has read them.
	GroundSnowKPa float64 `json:"ground_snow_kpa,omitempty"`
	SnowZone      float64 `json:"snow_zone,omitempty"`
	// ExceptionalSnowFactor is C_esl of EN 1991-1-3 4.3 at the place, 1 where no exceptional falls are counted;
	// ExceptionalDrifts "annex B" or "none". 0 and "" where nobody has asked.
	ExceptionalSnowFactor float64 `json:"exceptional_snow_factor,omitempty"`
	ExceptionalDrifts     string  `json:"exceptional_drifts,omitempty"`
	// SeaKM is the distance to the sea; 0 when not given.
	SeaKM float64 `json:"sea_km,omitempty"`
	// BearingDeg turns the drawing's north: true bearing of the plan's +y axis.
	BearingDeg float64 `json:"bearing_deg"`
	// Enclosed marks a courtyard, well or tented site, where styrene collects.
	Enclosed bool `json:"enclosed,omitempty"`
	// Neighbours lists those who will smell the work: "nursery", "party wall east".
	Neighbours []string `json:"neighbours,omitempty"`
	// Locale sets decimal mark and paper: "en-GB", "de-DE", "fr-FR".
	Locale string `json:"locale"`
	// Language of the papers, an ISO 639 code: "de". Nothing is English.
	Language string `json:"language,omitempty"`
	// Said puts texts of the papers into that language; who prints them sets it, nil is English. It is no part of the job.
	Said *language.Speaker `json:"-"`
}

// Use says what is below and who walks above.
type Use struct {
	// Below: "unheated", "heated", "wet room", "open".
	Below string `json:"below"`
	// Access: "maintenance", "balcony", "walkway", "plant".
	Access string `json:"access"`
}

// Work is what is done to the old roof.
type Work struct {
	// Kind: "new", "strip", "overlay".
	Kind string `json:"kind"`
	// OldCovering: "felt", "lead", "tiles", "single ply", "none".
	OldCovering string `json:"old_covering,omitempty"`
	// OldCoverings is how many layers lie there now.
	OldCoverings int `json:"old_coverings,omitempty"`
	// OldDeck: "chipboard", "OSB", "plywood", "boards", "concrete".
	OldDeck string `json:"old_deck,omitempty"`
	// AsbestosChecked is empty when nobody has said.
	AsbestosChecked string `json:"asbestos_checked,omitempty"`
	// FinishBy is a fixed end date, ISO 8601.
	FinishBy string `json:"finish_by,omitempty"`
	// Sheeted says that bare boards lie under sheets whenever nobody works on them: no rain wets them then.
	Sheeted bool `json:"sheeted,omitempty"`
}

// Crew is who works and how.
type Crew struct {
	// People on the roof, mixer included.
	People int `json:"people"`
	// LayM2PerManHour laminating one layer: mix, lay and roll.
	LayM2PerManHour float64 `json:"lay_m2_per_man_hour"`
	// Experience: "apprentice", "regular", "seasoned": caps the bucket.
	Experience string `json:"experience"`
	// MaxBucketKG is the largest mix they will handle.
	MaxBucketKG float64 `json:"max_bucket_kg"`
	// MarginMin is kept between the last kilogram laid and gel.
	MarginMin float64 `json:"margin_min"`
	// Start and End of the working day, "08:00".
	Start Clock `json:"start"`
	End   Clock `json:"end"`
}

// Day is the weather expected when the resin goes down, as far as the file says.
type Day struct {
	// AirC and DeckC, ResinC: expected temperatures. DeckC and ResinC equal AirC when not given.
	AirC   float64 `json:"air_c"`
	DeckC  float64 `json:"deck_c"`
	ResinC float64 `json:"resin_c"`
	// RelativeHumidityPct expected.
	RelativeHumidityPct float64 `json:"relative_humidity_pct"`
	// Cup and CoatCup are test cups of the day, of the laminating resin and of the top coat,
	// each with the catalyst in use.
	Cup     Cup `json:"cup,omitzero"`
	CoatCup Cup `json:"coat_cup,omitzero"`
	// Hours, when given, is the day hour by hour.
	Hours []Hour `json:"hours,omitempty"`
}

// Hour is one row of a day's weather as read off a gauge or a forecast.
type Hour struct {
	Time                Clock   `json:"time"`
	AirC                float64 `json:"air_c"`
	DeckC               float64 `json:"deck_c"`
	RelativeHumidityPct float64 `json:"relative_humidity_pct"`
	WindMS              float64 `json:"wind_ms"`
	RainMM              float64 `json:"rain_mm,omitempty"`
}

// Deck is one level of the roof.
type Deck struct {
	Name string `json:"name"`
	// LevelM of its low edge above the site datum; only differences matter.
	LevelM  float64    `json:"level_m"`
	Outline plane.Ring `json:"outline"`
	// Survey is how the outline was taped, where it was not given by its corners.
	Survey *Survey `json:"survey,omitempty"`
	// Edges holds one entry for each edge of Outline, in order.
	Edges        []Edge        `json:"edges"`
	Openings     []Opening     `json:"openings,omitempty"`
	Penetrations []Penetration `json:"penetrations,omitempty"`
	Falls        plane.Falls   `json:"falls"`
	// MovementJoints are lines that part the deck into bays.
	MovementJoints [][2]plane.Point `json:"movement_joints,omitempty"`
	Base           Base             `json:"base"`
	// Exit is where people leave the roof: ladder, hatch, scaffold.
	Exit plane.Point `json:"exit"`
	// Moisture readings in the deck, and soft places found.
	Moisture  []Moisture   `json:"moisture,omitempty"`
	SoftAreas []plane.Ring `json:"soft_areas,omitempty"`
	// Levels are measured spot heights of the deck as found.
	Levels           []SpotHeight `json:"levels,omitempty"`
	LevelToleranceMM float64      `json:"level_tolerance_mm,omitempty"`
	// AntiSlip areas take aggregate in the top coat; AntiSlipAll the whole deck.
	AntiSlip    []plane.Ring `json:"anti_slip,omitempty"`
	AntiSlipAll bool         `json:"anti_slip_all,omitempty"`
}

// Condition is what happens at an edge, in trade words.
type Condition string

const (
	// Drip edge to a gutter: water leaves here.
	Drip Condition = "drip"
	// Verge: a side edge, finished with a low raised trim.
	Verge Condition = "verge"
	// Kerb: a raised edge that stops water going over the side.
	Kerb Condition = "kerb"
	// Wall: abutment with upstand and flashing.
	Wall Condition = "wall"
	// Parapet: upstand on a low wall, under its coping.
	Parapet Condition = "parapet"
	// Tuck: upstand under the tiles or slates of a pitched roof.
	Tuck Condition = "tuck"
	// BoxGutter: the edge falls into a gutter within the roof.
	BoxGutter Condition = "box gutter"
	// StepUp: riser to a higher deck; StepDown: drips on to a lower one.
	StepUp   Condition = "step up"
	StepDown Condition = "step down"
	// Joins: the new laminate joins an existing roof of the same kind.
	Joins Condition = "joins"
)

// Conditions lists all conditions in the order they are explained to people.
var conditions = [...]Condition{Drip, Verge, Kerb, Wall, Parapet, Tuck, BoxGutter, StepUp, StepDown, Joins}

// Conditions returns every condition there is.
func Conditions() []Condition { return append([]Condition(nil), conditions[:]...) }

// HasUpstand reports whether laminate turns up at such an edge.
func (c Condition) HasUpstand() bool {
	return c == Wall || c == Parapet || c == Tuck || c == StepUp
}

// TakesWater reports whether water leaves the deck over such an edge.
func (c Condition) TakesWater() bool { return c == Drip || c == StepDown || c == BoxGutter }

// Edge is the condition of one edge of an outline.
type Edge struct {
	Condition Condition `json:"condition"`
	// HeightMM of the upstand (wall, parapet, tuck, step up), or of the raised
	// trim above the deck (kerb, verge).
	HeightMM float64 `json:"height_mm,omitempty"`
	// WidthMM of a kerb's or parapet's top that is laminated over.
	WidthMM float64 `json:"width_mm,omitempty"`
	// To names the deck on the other side of a step or box gutter.
	To string `json:"to,omitempty"`
	// Thresholds are door sills along the edge.
	Thresholds []Threshold `json:"thresholds,omitempty"`
	// LimitMM is the height above the present surface of what limits the upstand:
	// a sill, a weep hole, a cavity tray. 0 when nothing does.
	LimitMM float64 `json:"limit_mm,omitempty"`
	// CavityTray: "yes", "no", or "" when nobody has looked.
	CavityTray string `json:"cavity_tray,omitempty"`
	// Shared marks a party wall or a neighbour's parapet.
	Shared bool   `json:"shared,omitempty"`
	Note   string `json:"note,omitempty"`
}

// Threshold is a door sill on a wall edge; distances run along the edge from its start.
type Threshold struct {
	FromM     float64 `json:"from_m"`
	ToM       float64 `json:"to_m"`
	UpstandMM float64 `json:"upstand_mm"`
}

// Opening is a hole in the deck with a kerb: a rooflight, a hatch, a chimney.
type Opening struct {
	Name string `json:"name"`
	// Kind: "rooflight", "hatch", "chimney", "void".
	Kind    string     `json:"kind"`
	Outline plane.Ring `json:"outline"`
	// KerbMM is the height of the kerb above the finished roof.
	KerbMM float64 `json:"kerb_mm"`
	// Fragile openings are covered and marked before anyone goes up.
	Fragile bool `json:"fragile,omitempty"`
}

// Penetration is something that passes through the laminate.
type Penetration struct {
	Name string `json:"name"`
	// Kind: "pipe", "flue", "outlet", "overflow", "post".
	Kind string      `json:"kind"`
	At   plane.Point `json:"at"`
	// DiameterMM for round ones; else WidthMM (along x) and DepthMM (along y).
	DiameterMM float64 `json:"diameter_mm,omitempty"`
	WidthMM    float64 `json:"width_mm,omitempty"`
	DepthMM    float64 `json:"depth_mm,omitempty"`
}

// Base is what the laminate's deck lies on.
type Base struct {
	// Kind: "joists" (new boards on joists), "sound deck" (boards over a deck), "concrete".
	Kind string `json:"kind"`
	// JoistSpacingMM centre to centre; JoistBearingDeg is the direction the joists
	// run, anticlockwise from +x; JoistOffsetMM is the distance of the first joist's
	// centre from the outline's lowest corner across the joists.
	JoistSpacingMM  float64 `json:"joist_spacing_mm,omitempty"`
	JoistBearingDeg float64 `json:"joist_bearing_deg,omitempty"`
	JoistOffsetMM   float64 `json:"joist_offset_mm,omitempty"`
	JoistWidthMM    float64 `json:"joist_width_mm,omitempty"`
	JoistDepthMM    float64 `json:"joist_depth_mm,omitempty"`
	JoistSpanM      float64 `json:"joist_span_m,omitempty"`
	// TimberClass by EN 338: "C16", "C24".
	TimberClass string `json:"timber_class,omitempty"`
	// EdgeBearing: "plate" where a fascia, wall plate or last joist carries board edges
	// that run beside the joists, "none" where nothing does.
	EdgeBearing string `json:"edge_bearing,omitempty"`
}

// Moisture is one reading of a pin meter, % of dry mass.
type Moisture struct {
	At  plane.Point `json:"at"`
	Pct float64     `json:"pct"`
}

// SpotHeight is one measured level of the deck, mm above any datum.
type SpotHeight struct {
	At plane.Point `json:"at"`
	MM float64     `json:"mm"`
}
