package survey

import (
	"math"

	"gelwright/plane"
)

// Corner is an adjusted point of the outline, or a point beside it.
type Corner struct {
	Name string      `json:"name"`
	At   plane.Point `json:"at"`
	// ErrorM is the longer half axis of its standard error ellipse on the free network, m; ShorterM the shorter one; BearingDeg the
	// direction of the longer, anticlockwise from +x.
	ErrorM     float64 `json:"error_m"`
	ShorterM   float64 `json:"shorter_m"`
	BearingDeg float64 `json:"bearing_deg"`
	// InsideDeg is the adjusted angle of the outline inside the corner; 0 for points beside it.
	InsideDeg float64 `json:"inside_deg,omitempty"`
}

// Checked says by what a measurement is checked.
type Checked string

const (
	// ByTape: a misreading would show in the other measurements.
	ByTape Checked = "by the tape"
	// BySquare: it would show only if the corners are as square as they look.
	BySquare Checked = "by square corners only"
	// Unchecked: nothing would show it.
	Unchecked Checked = "by nothing"
)

// Judged is a measurement after the adjustment. Lengths in metres, angles in degrees.
type Judged struct {
	Name     string  `json:"name"`
	Assumed  bool    `json:"assumed,omitempty"`
	Angle    bool    `json:"angle,omitempty"`
	Value    float64 `json:"value"`
	SD       float64 `json:"sd"`
	Adjusted float64 `json:"adjusted"`
	// Redundancy is the part of an error in this measurement that shows in its own residual, 0 to 1 (Baarda 1968).
	Redundancy float64 `json:"redundancy"`
	// Normalised is the residual over its standard deviation.
	Normalised float64 `json:"normalised"`
	// LeastBlunder is the least error that would be noticed four times in five; 0 where none would.
	LeastBlunder float64 `json:"least_blunder,omitempty"`
	Checked      Checked `json:"checked"`
}

// Suspect is what most likely went wrong, when something did.
type Suspect struct {
	// Measurements that explain the misclosure equally well; where there is more than one nothing tells them apart.
	Measurements []int `json:"measurements"`
	// Instead is what the first of them would have to read.
	Instead float64 `json:"instead"`
	// Slip is the usual slip that this looks like, or empty: "a whole metre", "two digits changed round".
	Slip string `json:"slip,omitempty"`
	// Explains is true when without it the rest closes.
	Explains bool `json:"explains"`
}

// Wanted is a length worth measuring.
type Wanted struct {
	From string `json:"from"`
	To   string `json:"to"`
	// LengthM is what it will read if all is well.
	LengthM float64 `json:"length_m"`
	// Checks counts the measurements that it would bring under the check of the tape.
	Checks int `json:"checks"`
}

// Result is an adjusted survey.
type Result struct {
	Corners []Corner `json:"corners"`
	// Others are points that are no corners.
	Others   []Corner `json:"others,omitempty"`
	Measured []Judged `json:"measured"`
	// Spare counts the measurements beyond those needed.
	Spare int `json:"spare"`
	// Squares is the weighted sum of the squared residuals, Limit what it exceeds once in twenty if all is well.
	Squares float64 `json:"squares"`
	Limit   float64 `json:"limit"`
	// Closes is true when neither the whole nor any single measurement misses by more than chance allows.
	Closes bool `json:"closes"`
	// Square is true when corners that looked square were taken as exactly square, because the tape does not deny it.
	Square  bool     `json:"square"`
	Suspect *Suspect `json:"suspect,omitempty"`
	Wanted  []Wanted `json:"wanted,omitempty"`
}

// Outline is the adjusted outline, to the millimetre.
func (r *Result) Outline() []plane.Point {
	out := make([]plane.Point, len(r.Corners))
	for i, c := range r.Corners {
		// Added to nought, so that no corner lies at minus nought.
		out[i] = plane.Point{X: 0 + math.Round(c.At.X*1000)/1000, Y: 0 + math.Round(c.At.Y*1000)/1000}
	}
	return out
}
