package plan

import (
	"gelwright/check"
	"gelwright/check/country"
	"gelwright/check/detailing"
	"gelwright/checking"
	"gelwright/cure"
	"gelwright/firring"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/method"
	"gelwright/plane"
	"gelwright/programme"
	"gelwright/quantity"
	"gelwright/quantity/takeoff"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
	"gelwright/working"
)

// Version of the plan's JSON form. It is raised when a program that reads the form before
// would misread it.
const Version = 2

// Input is everything a plan follows from.
type Input struct {
	Job       roof.Job
	Catalogue material.Catalogue
	// TempC, when set, overrides the job's deck and resin temperature.
	TempC *float64
	// Prices by pack and stock in hand by material key, from the firm's file.
	Prices quantity.Prices
	InHand map[string]float64
	// Stock is the lengths sold and the offcuts in hand that pieces are cut from.
	Stock takeoff.Stock
	// Gels are laws learned from the firm's own gels, by the resin's key; they stand
	// before the data sheet.
	Gels map[string]cure.Gel
	// Schedule is the days and hours that a forecast settled, made for this job; nil takes every
	// day to be like the one that the roof file describes.
	Schedule *laying.Schedule
	// Keeps are the keys of the resins and catalysts that the firm keeps, among which the plan
	// picks what the roof file does not name; none is all of the catalogue.
	Keeps []string
	// Weigh asks for the doses of the largest buckets to be weighed for their drawing, which
	// takes as long as all the rest of a small roof.
	Weigh bool
	// Progress, when set, is told each step as it begins to run.
	Progress func(step string)
	// Cache keeps what each step has made for the next plan: one that differs little from the
	// last is made of what has changed. Without one every step runs.
	Cache *steps.Cache
}

// Plan is the job worked out.
type Plan struct {
	Version int `json:"version"`
	// Made names the inputs and the engine that the plan follows from.
	Made Identity `json:"made"`
	Job  roof.Job `json:"job"`
	// Country names the set of rules and its cautions.
	Country         string   `json:"country"`
	CountryCautions []string `json:"country_cautions,omitempty"`
	Decks           []Deck   `json:"decks"`
	// Schedule is when each pass is laid, and how warm it is then.
	Schedule laying.Schedule `json:"schedule"`
	// Passes are the wet work in order: details, mat by layer, top coat.
	Passes []laying.Pass `json:"passes"`
	// Wet is how each pass hardens at the day's temperatures.
	Wet []laying.WetPass `json:"wet,omitempty"`
	// DoseCard gives the dose over the temperatures the day may bring.
	DoseCard laying.DoseCard `json:"dose_card"`
	Order    Order           `json:"order"`
	Checks   []check.Result  `json:"checks"`
	Findings []roof.Finding  `json:"findings"`
	Method   []method.Step   `json:"method"`
	Totals   Totals          `json:"totals"`
	// Spans are allowed spans of common joists of the job's timber under its loads, m.
	Spans    *checking.Spans `json:"spans,omitempty"`
	Workings *working.Ledger `json:"workings"`
	// Ahead is what a forecast says of the days to come, where there is one.
	Ahead *programme.Ahead `json:"ahead,omitempty"`
	// StyreneLongPPM is the country's limit of styrene over a working day; 0 for none.
	StyreneLongPPM float64 `json:"styrene_long_ppm,omitempty"`

	// Set is the country's set; what views tell of it stands in the plan.
	Set country.Set `json:"-"`
}

// Deck is one level worked out.
type Deck struct {
	Name string `json:"name"`
	// Areas on plan and on the slope, m².
	GrossM2    float64 `json:"gross_m2"`
	OpeningsM2 float64 `json:"openings_m2"`
	NetM2      float64 `json:"net_m2"`
	SlopeM2    float64 `json:"slope_m2"`
	// FieldM2 is what the fields' mat covers of it: all but the strips along movement joints.
	FieldM2 float64 `json:"field_m2"`
	// UpstandM2 is what stands up from the deck: upstands, raised edges and kerbs, the tops
	// that are gone over among it.
	UpstandM2 float64 `json:"upstand_m2"`
	EdgeM     float64 `json:"edge_m"`
	// EdgeByCondition in the order of roof.Conditions.
	EdgeByCondition []runoff.EdgeSum `json:"edges_by_condition"`
	Corners         []plane.Corner   `json:"corners"`
	CornerHeightMM  []float64        `json:"corner_height_mm"`
	HighestMM       float64          `json:"highest_mm"`
	LeastFall       float64          `json:"least_fall"`
	LaminateMM      float64          `json:"laminate_mm"`
	GlassPct        float64          `json:"glass_pct"`
	ResinKGPerM2    float64          `json:"resin_kg_per_m2"`
	CoatM2          float64          `json:"coat_m2"`
	// CutInM2 is what of it is coated twice: cut in by brush, then with the field.
	CutInM2 float64           `json:"cut_in_m2"`
	SetOut  settingout.SetOut `json:"set_out"`
	// Given is the stock and the wind zones it was set out with.
	Given settingout.Given `json:"-"`
	// Structural is the deck below the insulation of a warm roof over joists.
	Structural *settingout.SetOut `json:"structural_deck,omitempty"`
	Surface    plane.Surface      `json:"-"`
	// Net is the deck less its openings, on plan.
	Net []plane.Polygon `json:"net"`
	// Fields is Net less the strips along movement joints.
	Fields   []plane.Polygon     `json:"-"`
	Zones    []checking.WindZone `json:"wind_zones,omitempty"`
	Firrings []runoff.Firring    `json:"firrings,omitempty"`
	// Tapered are the boards of tapered insulation, where it makes the fall.
	Tapered []firring.Board `json:"tapered,omitempty"`
	Levels  *runoff.Levels  `json:"levels,omitempty"`
	// Heights of the finished deck, mm above its lowest point, on a grid of HeightStepM from
	// the low corner of its bounds, and at its outlets in the order of the survey.
	HeightStepM   float64          `json:"height_step_m,omitempty"`
	Heights       []firring.Height `json:"heights,omitempty"`
	OutletHeights []firring.Height `json:"outlet_heights,omitempty"`
	// LowPointFault says where water does not reach a drain; empty when it does.
	LowPointFault string         `json:"low_point_fault,omitempty"`
	Waters        []runoff.Water `json:"waters"`
	// Pools are where water must stand before it leaves, or has no way out.
	Pools []runoff.Pool `json:"pools,omitempty"`
	// Blocked is what stands on an enclosed deck when its outlet is blocked.
	Blocked *checking.Blocked `json:"blocked,omitempty"`
	// JointsProposed part a field that is too large, when the survey has no such joints.
	JointsProposed [][2]plane.Point `json:"joints_proposed,omitempty"`
	// Drains is the deck parted by where its water goes.
	Drains []runoff.Drain `json:"drains,omitempty"`
	// Renewals are soft places of a deck that stays, cut out and boarded anew.
	Renewals []framing.Renewal `json:"renewals,omitempty"`
}

// WetDays is on how many days wet work is done, by the buckets; 1 where there are none.
func (p *Plan) WetDays() int { return laying.DaysOf(p.Passes) }

// RefusedOverlay is the failed check that says the old roof may not be overlaid, nil where
// it may, or is not.
func (p *Plan) RefusedOverlay() *check.Result { return refusedOverlay(p.Checks) }

func refusedOverlay(checks []check.Result) *check.Result {
	for i := range checks {
		if r := &checks[i]; r.Key == detailing.OverlayKey && r.Verdict == check.Fail {
			return r
		}
	}
	return nil
}

// Totals are the figures that a roofer wants first.
type Totals struct {
	NetM2     float64 `json:"net_m2"`
	ResinKG   float64 `json:"resin_kg"`
	CoatKG    float64 `json:"top_coat_kg"`
	CatalystG float64 `json:"catalyst_g"`
	Buckets   int     `json:"buckets"`
	Boards    int     `json:"boards"`
	TrimM     float64 `json:"trim_m"`
	BandageM  float64 `json:"bandage_m"`
	MatM2     float64 `json:"mat_m2"`
}

// InsulationStays reports whether the roof file's insulation is there already: in a cold
// roof it lies between the joists, and where the deck above it stays - an overlay, or boards
// over a sound deck - none can be put in from above. It counts in the checks of heat and
// damp, is not ordered, and takes no time.
func (p *Plan) InsulationStays() bool { return framing.InsulationStays(&p.Job) }

// Order is the schedule of quantities with its packs.
type Order struct {
	Schedule *quantity.Schedule `json:"schedule"`
}
