package framing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/roof"
)

// Screws by what lies between head and joist (common practice throughout).
const (
	HoldInJoistMM = 35  // screw in the joist, mm
	boardTimes    = 2.5 // a screw of a board that lies on the joist, times its thickness
	LeastScrewMM  = 50
	CoveringMM    = 5   // one covering of felt left in place, mm
	firringFixM   = 0.6 // greatest centres of fixings along a firring, m
	CloutMM       = 175 // spacing of clouts through a trim's flange, mm (150 to 200 are usual)
	TimberFixM    = 0.3 // centres along battens and kerb timbers, m
	LongestMM     = 180 // longest screw driven straight through a timber; above it two are driven askew
	SkewMM        = 100 // length of a screw driven askew
)

// Screw is what holds a board: its length, and why.
type Screw struct {
	Key, Into, Note string
	MM              float64
}

// ThroughInsulation reports whether the boards of the upper deck lie on insulation.
func ThroughInsulation(s roof.Spec) bool { return s.Build == "warm" && s.Insulation != nil }

// OnJoistsScrew is the screw of a board that lies on joists or firrings themselves: two and a
// half times the board, 50 mm at least.
func OnJoistsScrew(board roof.Board) Screw {
	b := board.ThicknessMM
	mm := math.Max(LeastScrewMM, ScrewLengthMM(boardTimes*b))
	return Screw{Key: deckScrewKey(mm), Into: "the joists", MM: mm,
		Note: fmt.Sprintf("%g times the board of %g mm, %d mm at least", boardTimes, b, LeastScrewMM)}
}

// overDeckScrew is the screw of a board over a deck that stays: through the new board, what
// is left of the old covering and the old deck, and 35 mm into the joist below.
func overDeckScrew(board roof.Board, work roof.Work) Screw {
	b := board.ThicknessMM
	least, parts := 2*b+HoldInJoistMM, []string{fmt.Sprintf("new board %g", b)}
	if n := work.OldCoverings; work.Kind == "overlay" {
		n = max(1, n)
		least += float64(n) * CoveringMM
		parts = append(parts, fmt.Sprintf("old covering %d", n*CoveringMM))
	}
	mm := ScrewLengthMM(least)
	parts = append(parts, fmt.Sprintf("old deck %g, taken as thick as the new boards: measure it", b),
		fmt.Sprintf("%d mm held in the joist", HoldInJoistMM))
	return Screw{Key: deckScrewKey(mm), Into: "the joists below the old deck", MM: mm, Note: strings.Join(parts, " + ")}
}

// BoardScrew is the screw of the boards that the laminate lies on, where they do not lie
// on insulation.
func BoardScrew(board roof.Board, work roof.Work, base roof.Base) Screw {
	if base.Kind == "sound deck" {
		return overDeckScrew(board, work)
	}
	return OnJoistsScrew(board)
}

func deckScrewKey(mm float64) string { return fmt.Sprintf("screw.5x%g", mm) }

// Places is how many fixings a timber takes at centres: one near each end too.
func Places(lengthM, centresM float64) float64 { return math.Ceil(lengthM/centresM-1e-9) + 1 }

// Chased reports whether an edge takes a cover flashing in a chase.
func Chased(e roof.Edge) bool {
	return e.Condition == roof.Wall || e.Condition == roof.StepUp || e.Condition == roof.Parapet && e.WidthMM == 0
}

// ScrewLengthMM rounds up to a length that is sold: tens to 120 mm, twenties above.
func ScrewLengthMM(least float64) float64 {
	if least <= 120 {
		return 10 * math.Ceil(least/10-1e-9)
	}
	return 20 * math.Ceil(least/20-1e-9)
}
