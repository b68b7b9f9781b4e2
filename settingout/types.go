package settingout

import (
	"gelwright/plane"
	"gelwright/working"
)

// Kind is what a piece is, in trade words.
type Kind string

const (
	Board   Kind = "board"
	Trim    Kind = "trim"
	Corner  Kind = "corner"
	Bandage Kind = "bandage"
	Mat     Kind = "mat"
	Patch   Kind = "patch"
	Noggin  Kind = "noggin"
)

// letters begin the number of a piece of each kind: B12, T3, C2, J14, M7, P4, N5.
var letters = map[Kind]string{Board: "B", Trim: "T", Corner: "C", Bandage: "J", Mat: "M", Patch: "P", Noggin: "N"}

// Piece is one thing that a person cuts, carries to its place and fixes or lays.
type Piece struct {
	// Number is found again on drawing, label and cut list: "B12".
	Number string `json:"number"`
	Kind   Kind   `json:"kind"`
	// Layer of mat, 1 lowest; for a tissue one more than the last mat; 0 for all else.
	Layer int `json:"layer,omitempty"`
	// Role in a few trade words: "field", "board joint", "flange", "trim lap",
	// "corner", "kerb", "outlet", "upstand", "preformed external corner".
	Role string `json:"role"`
	// Shape is the finished outline on plan, anticlockwise, m; Holes are cut out of it.
	// A piece that stands or is folded (Upright) shows its flat development,
	// turned down outward from the edge it serves.
	Shape   plane.Loop   `json:"shape"`
	Holes   []plane.Loop `json:"holes,omitempty"`
	Upright bool         `json:"upright,omitempty"`
	// Before cutting it is a rectangle LengthMM by WidthMM whose first corner lies
	// at Corner, its length along Along (a unit vector) and its width to the left.
	LengthMM int         `json:"length_mm"`
	WidthMM  int         `json:"width_mm"`
	Corner   plane.Point `json:"corner"`
	Along    plane.Point `json:"along"`
	// Edge is the outline edge it serves, -1 when none; Opening the opening's name.
	Edge    int    `json:"edge"`
	Opening string `json:"opening,omitempty"`
	// Serves names the joint, trim or penetration it belongs to: "B3/B7", "T2/T3", "SVP".
	Serves string `json:"serves,omitempty"`
	// Order is the laying order within its kind and layer, from 1.
	Order int `json:"order"`
	// Material is the stock it is cut from: a name of SetOut.Materials.
	Material string `json:"material"`
	// Stock is the stock item (board, length or roll) of that material, from 1; 0 when
	// taken from an offcut of a roll or not cut from a counted item.
	Stock int `json:"stock,omitempty"`
	// AreaM2 is the finished area; LapMM the lap this piece makes on the one laid before it
	// at its side, EndLapMM at its end.
	AreaM2   float64 `json:"area_m2"`
	LapMM    float64 `json:"lap_mm,omitempty"`
	EndLapMM float64 `json:"end_lap_mm,omitempty"`
	// CutEnds gives the mitre at start and end, degrees off square; 0 is square.
	CutEnds [2]float64 `json:"cut_ends_deg,omitzero"`
	// Cuts counts saw cuts: length, rip and shape.
	Cuts int    `json:"cuts,omitempty"`
	Note string `json:"note,omitempty"`
}

// Joint is a line where two boards meet.
type Joint struct {
	// A and B number the boards.
	A string `json:"a"`
	B string `json:"b"`
	// From and To are its ends on plan.
	From plane.Point `json:"from"`
	To   plane.Point `json:"to"`
	// Long is true between rows (the boards' long edges), false at ends.
	Long bool `json:"long"`
	// Glued tongue and groove needs no bandage.
	Glued bool `json:"glued,omitempty"`
	// Support: "joist", "noggin", "tongue and groove", "deck below"; "fold" at a ridge,
	// hip or valley and "movement joint" at one, whatever lies below.
	Support string `json:"support"`
}

// LengthM of the joint.
func (j Joint) LengthM() float64 { return j.From.Distance(j.To) }

// Fixings counts what goes into one board.
type Fixings struct {
	Board string `json:"board"`
	// Edge fixings stand along board edges and ends, Field ones on the joists between.
	Edge  int `json:"edge"`
	Field int `json:"field"`
	// Zones splits their sum by wind zone, in the order of SetOut.FixingZones.
	Zones []int `json:"zones,omitempty"`
}

// Material is one thing bought and the pieces cut from it.
type Material struct {
	// Name: "board OSB/3 18 mm", "trim drip", "trim drip, flexible", "mat 450 g/m²", "bandage 75 mm".
	Name string `json:"name"`
	Kind Kind   `json:"kind"`
	// Unit of Bought and Used: "boards", "lengths", "m", "m²".
	Unit string `json:"unit"`
	// Items is the number of boards, lengths or rolls to buy.
	Items int `json:"items,omitempty"`
	// Bought and Used in square metres (boards, mat) or metres (trim, bandage). Of mat
	// it is what is cut off the rolls.
	Bought float64 `json:"bought"`
	Used   float64 `json:"used"`
	// TakenItems and TakenQuantity come out of the firm's own stock and are not bought;
	// Taken lists them. Of mat, TakenQuantity is the part of Bought cut off rolls in hand.
	TakenItems    int     `json:"taken_items,omitempty"`
	TakenQuantity float64 `json:"taken_quantity,omitempty"`
	Taken         []Taken `json:"taken,omitempty"`
	// WastePct is (bought and taken − used)/(bought and taken); what is kept as offcut
	// still counts as waste here.
	WastePct float64 `json:"waste_pct"`
	// Bound is the proven least that must be bought (in BoundUnit), Gap how far above
	// it the plan may be (fraction of the plan), Optimal whether the two are equal for
	// the pieces as set out.
	Bound     float64 `json:"bound"`
	BoundUnit string  `json:"bound_unit,omitempty"`
	Gap       float64 `json:"gap"`
	Optimal   bool    `json:"optimal"`
	// AreaBound is how many boards any other layout of the deck takes, too, by area alone.
	AreaBound int `json:"area_bound,omitempty"`
	// LayoutBound is how many boards any layout of the deck takes whose end joints lie on joists, where
	// that is more than by area.
	LayoutBound int `json:"layout_bound,omitempty"`
	// Method says how the bound was proven.
	Method string `json:"method,omitempty"`
	// Stock lists each board, length or run off a roll with what is cut from it.
	Stock []Stock `json:"stock,omitempty"`
	// Rolls says which runs come off which roll; RollBound is the proven least number
	// of whole rolls for these runs.
	Rolls     []RollCut `json:"rolls,omitempty"`
	RollBound int       `json:"roll_bound,omitempty"`
}

// Taken is what was used of the firm's own stock.
type Taken struct {
	LengthMM int    `json:"length_mm"`
	WidthMM  int    `json:"width_mm,omitempty"`
	Count    int    `json:"count"`
	Where    string `json:"where,omitempty"`
	// Bought marks a roll begun on another deck of the job.
	Bought bool `json:"bought_with_job,omitempty"`
}

// RollCut is one roll and the runs cut off it, each in one piece.
type RollCut struct {
	Number   int `json:"number"`
	LengthMM int `json:"length_mm"`
	WidthMM  int `json:"width_mm"`
	// InHand rolls are not bought for this deck; Bought marks those begun on another
	// deck of the job.
	InHand bool   `json:"in_hand,omitempty"`
	Bought bool   `json:"bought_with_job,omitempty"`
	Where  string `json:"where,omitempty"`
	// Runs are numbers of Material.Stock in the order of cutting; LeftMM remains on
	// the roll as stock for the next job.
	Runs   []int `json:"runs"`
	LeftMM int   `json:"left_mm"`
}

// Stock is one board, length or roll run and its cutting diagram.
type Stock struct {
	Number   int   `json:"number"`
	LengthMM int   `json:"length_mm"`
	WidthMM  int   `json:"width_mm,omitempty"`
	Cuts     []Cut `json:"cuts"`
	// Offcuts worth keeping, listed as stock for the next job.
	Offcuts []Offcut `json:"offcuts,omitempty"`
	// InHand was not bought for this job: it came from the firm's stock, from Where.
	InHand bool   `json:"in_hand,omitempty"`
	Where  string `json:"where,omitempty"`
}

// Cut is one piece's bounding rectangle on its stock; Y and WidthMM are 0 for lengths.
type Cut struct {
	Piece    string `json:"piece"`
	XMM      int    `json:"x_mm"`
	YMM      int    `json:"y_mm,omitempty"`
	LengthMM int    `json:"length_mm"`
	WidthMM  int    `json:"width_mm,omitempty"`
	// Turned is true when the piece lies across the stock.
	Turned bool `json:"turned,omitempty"`
}

// Offcut is a rectangle or length left over that is worth keeping.
type Offcut struct {
	XMM      int `json:"x_mm"`
	YMM      int `json:"y_mm,omitempty"`
	LengthMM int `json:"length_mm"`
	WidthMM  int `json:"width_mm,omitempty"`
}

// Candidate is a choice that was weighed.
type Candidate struct {
	// Name says it in words: "boards along x, from the south-west, first row 0.400 m".
	Name      string  `json:"name"`
	Direction string  `json:"direction"`
	OffsetM   float64 `json:"offset_m"`
	// Items: boards used, or strips; Cuts: saw cuts; JointM: metres of joint or lap; WasteM2 bought but not laid.
	Items   int     `json:"items"`
	Cuts    int     `json:"cuts"`
	JointM  float64 `json:"joint_m"`
	WasteM2 float64 `json:"waste_m2"`
	Chosen  bool    `json:"chosen,omitempty"`
	// Breaks says which rules it breaks and in which rows, counted from its corner; Pin is
	// what to write in the roof file to have it all the same.
	Breaks []string `json:"breaks,omitempty"`
	Pin    string   `json:"pin,omitempty"`
	// Why in words where it was turned down or pinned.
	Why string `json:"why,omitempty"`
}

// Choice is a decision with the candidates it was taken from.
type Choice struct {
	// About: "boards", "mat layer 1".
	About      string      `json:"about"`
	Text       string      `json:"text"`
	Pinned     bool        `json:"pinned,omitempty"`
	Candidates []Candidate `json:"candidates"`
}

// Finding is something a person should know or settle: a piece under the least
// length that could not be avoided, a corner that must be formed on site.
type Finding struct {
	// Code is lasting: "board.short-piece".
	Code  string `json:"code"`
	Where string `json:"where"`
	Text  string `json:"text"`
}

// Support is a line of bearing under the boards: a joist's centre.
type Support struct {
	From plane.Point `json:"from"`
	To   plane.Point `json:"to"`
	// WidthMM across the bearing.
	WidthMM float64 `json:"width_mm"`
}

// SetOut is where everything on one deck goes.
type SetOut struct {
	Deck string `json:"deck"`
	// Pieces in order of number within kind: boards, trims, corners, bandage, mat, patches, noggins.
	Pieces []Piece `json:"pieces"`
	Joints []Joint `json:"joints"`
	// MovementJoints part the deck into fields.
	MovementJoints []MovementJoint `json:"movement_joints,omitempty"`
	Supports       []Support       `json:"supports,omitempty"`
	Fixings        []Fixings       `json:"fixings"`
	// FixingZones sums the fixings by wind zone, where zones were given.
	FixingZones []ZoneFixings `json:"fixing_zones,omitempty"`
	Materials   []Material    `json:"materials"`
	Choices     []Choice      `json:"choices"`
	Findings    []Finding     `json:"findings,omitempty"`
	// Figures are the totals with their working.
	Figures []*working.Figure `json:"-"`

	boardedM2 float64
}

// Of returns the pieces of one kind, in order.
func (s SetOut) Of(kind Kind) []Piece {
	var out []Piece
	for _, p := range s.Pieces {
		if p.Kind == kind {
			out = append(out, p)
		}
	}
	return out
}

// Figure returns the total under a key, nil when there is none. Keys begin with
// "setout." and the deck's name: "setout.main.boards".
func (s SetOut) Figure(key string) *working.Figure {
	for _, f := range s.Figures {
		if f.Key == key {
			return f
		}
	}
	return nil
}
