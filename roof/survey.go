package roof

import (
	"strconv"

	"gelwright/survey"
)

// Survey is a deck's outline as the tape gave it, and what came of it. The outline of the deck is its result to the millimetre.
type Survey struct {
	// Walk is the outline as it was called, side by side.
	Walk string `json:"walk"`
	// Measured besides: diagonals, offsets, corners.
	Measured  []survey.Measurement `json:"measured,omitempty"`
	Tolerance survey.Tolerance     `json:"tolerance"`
	Frame     survey.Frame         `json:"frame"`
	// GapM is how far the walk, drawn as it was called, misses its start; nil where a side or a turn is not known.
	GapM   *float64      `json:"gap_m,omitempty"`
	Result survey.Result `json:"result"`
}

// taped raises what the tape leaves open.
func (f *finder) taped(d *Deck, where string) {
	if d.Survey == nil {
		return
	}
	r := &d.Survey.Result
	if message, remedy := r.Doubt(); message != "" {
		f.add("survey.unchecked", where, message, remedy, geometry)
	}
	const coarseM = 0.010
	if e := r.WorstErrorM(); e > coarseM {
		f.add("survey.coarse", where, "a corner is known to "+strconv.FormatFloat(e*1000, 'f', 0, 64)+" mm only (one standard error)",
			"measure more diagonals before anything is cut to size", geometry)
	}
}
