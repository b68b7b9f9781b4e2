package roof

// Spec is what the roof will be made of.
type Spec struct {
	// Layers of mat on the deck, bottom first, each its glass in g/m²: {450}, {600}, {450, 450}.
	Layers []float64 `json:"layers_g_per_m2"`
	// TissueGPerM2 is a surface tissue over the last layer; 0 is none.
	TissueGPerM2 float64 `json:"tissue_g_per_m2,omitempty"`
	// ResinToGlass by mass in the laminate itself: 2.3 means 2.3 kg resin to 1 kg glass.
	ResinToGlass float64 `json:"resin_to_glass"`
	// DeckSoakKGPerM2 is resin the boards drink beside the laminate.
	DeckSoakKGPerM2 float64 `json:"deck_soak_kg_per_m2"`
	TopCoat         TopCoat `json:"top_coat"`
	// AggregateKGPerM2 broadcast where anti-slip is asked for; AggregateGrade its grain in mm.
	AggregateKGPerM2 float64 `json:"aggregate_kg_per_m2,omitempty"`
	AggregateGrade   string  `json:"aggregate_grade,omitempty"`

	SideLapMM     float64 `json:"side_lap_mm"`
	EndLapMM      float64 `json:"end_lap_mm"`
	TrimLapMM     float64 `json:"trim_lap_mm"`
	BandageMM     float64 `json:"bandage_mm"`        // over board joints and trim flanges
	CornerStripMM float64 `json:"corner_bandage_mm"` // at corners and changes of direction
	// UpstandLayers of the first mat on walls and kerbs.
	UpstandLayers int `json:"upstand_layers"`

	Board      Board       `json:"board"`
	Build      string      `json:"build_up"` // "warm", "cold", "inverted", "uninsulated"
	Insulation *Insulation `json:"insulation,omitempty"`
	VCL        bool        `json:"vapour_control_layer"`
	// VoidMM is the clear air space over the insulation of a cold roof; VoidVented is
	// "yes" or "no" when somebody has looked whether every bay is open at both ends.
	VoidMM     float64 `json:"void_mm,omitempty"`
	VoidVented string  `json:"void_vented,omitempty"`
	// Resin and CoatResin name entries of the material catalogue, as do the catalyst of the
	// laminate and that of the top coat.
	Resin        string `json:"resin"`
	CoatResin    string `json:"coat_resin"`
	Catalyst     string `json:"catalyst"`
	CoatCatalyst string `json:"coat_catalyst"`

	WastePct Waste `json:"waste_pct"`
	SetOut   Pins  `json:"set_out"`
}

// TopCoat is the pigmented wear layer.
type TopCoat struct {
	Coats   int     `json:"coats"`
	Colour  string  `json:"colour"`
	KGPerM2 float64 `json:"kg_per_m2"` // each coat
}

// GritCoat is the number of the coat that aggregate is broadcast into while it is wet, from 1: the last but one, which the last
// seals, or the only one (common practice, no source).
func (c TopCoat) GritCoat() int { return max(1, c.Coats-1) }

// Board is the deck board.
type Board struct {
	// Material: "OSB/3", "plywood".
	Material    string  `json:"material"`
	ThicknessMM float64 `json:"thickness_mm"`
	LengthM     float64 `json:"length_m"`
	WidthM      float64 `json:"width_m"`
	// TongueAndGroove on the long edges: those joints need no bandage and no noggin.
	TongueAndGroove bool    `json:"tongue_and_groove"`
	GapMM           float64 `json:"gap_mm"`      // between square edges
	WallGapMM       float64 `json:"wall_gap_mm"` // at abutments
	MinPieceM       float64 `json:"min_piece_m"`
	StaggerM        float64 `json:"stagger_m"`
	// Fixing centres, mm: along board edges and in the field.
	EdgeFixMM  float64 `json:"edge_fix_mm"`
	FieldFixMM float64 `json:"field_fix_mm"`
	// Fixing centres in the wind zones at the deck's edge and at its corners, mm, where
	// they are closer than the two above; 0 is as everywhere.
	PerimeterFixMM float64 `json:"perimeter_fix_mm,omitempty"`
	CornerFixMM    float64 `json:"corner_fix_mm,omitempty"`
}

// Insulation is one layer above or between the joists.
type Insulation struct {
	Material    string  `json:"material"` // "PIR", "EPS", "mineral wool", ...
	ThicknessMM float64 `json:"thickness_mm"`
	LambdaWPerM float64 `json:"lambda_w_per_mk"`
	// Tapered insulation makes the fall instead of firrings.
	Tapered bool `json:"tapered,omitempty"`
}

// Waste allowances beyond what the pieces need, per cent.
type Waste struct {
	Resin    float64 `json:"resin"`
	TopCoat  float64 `json:"top_coat"`
	Mat      float64 `json:"mat"`
	Fixings  float64 `json:"fixings"`
	Adhesive float64 `json:"adhesive"`
}

// Pins are set-out choices that the user fixes; zero values leave them free.
type Pins struct {
	// BoardDirection: "x" or "y" along which boards run; "" lets the plan choose.
	BoardDirection string `json:"board_direction,omitempty"`
	// BoardStart: corner to start from: "sw", "se", "nw", "ne".
	BoardStart string `json:"board_start,omitempty"`
	// MatDirection: "along fall" or "across fall".
	MatDirection string `json:"mat_direction,omitempty"`
	// Offsets of the first row or strip, m; negative when free.
	BoardOffsetM *float64 `json:"board_offset_m,omitempty"`
	// BoardRowsM: how wide rows of boards are from the corner on, m; those behind them are whole boards.
	BoardRowsM []float64 `json:"board_rows_m,omitempty"`
	MatOffsetM *float64  `json:"mat_offset_m,omitempty"`
}

// VapourLayer reports whether a vapour control layer is laid: there is nothing to keep vapour
// out of where there is no insulation.
func (s *Spec) VapourLayer() bool { return s.VCL && s.Insulation != nil }
