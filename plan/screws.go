package plan

import (
	"fmt"
	"math"
	"strings"

	"gelwright/roof"
)

// Screws by what lies between head and joist (common practice throughout).
const (
	holdInJoistMM = 35  // screw in the joist, mm
	boardTimes    = 2.5 // a screw of a board that lies on the joist, times its thickness
	leastScrewMM  = 50
	coveringMM    = 5   // one covering of felt left in place, mm
	firringFixM   = 0.6 // greatest centres of fixings along a firring, m
	timberFixM    = 0.3 // centres along battens and kerb timbers, m
	longestMM     = 180 // longest screw driven straight through a timber; above it two are driven askew
	skewMM        = 100 // length of a screw driven askew
)

// screw is what holds a board: its length, and why.
type screw struct {
	key, into, note string
	mm              float64
}

// throughInsulation reports whether the boards of the upper deck lie on insulation.
func throughInsulation(s roof.Spec) bool { return s.Build == "warm" && s.Insulation != nil }

// onJoistsScrew is the screw of a board that lies on joists or firrings themselves: two and a
// half times the board, 50 mm at least.
func onJoistsScrew(board roof.Board) screw {
	b := board.ThicknessMM
	mm := math.Max(leastScrewMM, screwLengthMM(boardTimes*b))
	return screw{key: deckScrewKey(mm), into: "the joists", mm: mm, note: fmt.Sprintf("%g times the board of %g mm, %d mm at least", boardTimes, b, leastScrewMM)}
}

// overDeckScrew is the screw of a board over a deck that stays: through the new board, what
// is left of the old covering and the old deck, and 35 mm into the joist below.
func overDeckScrew(board roof.Board, work roof.Work) screw {
	b := board.ThicknessMM
	least, parts := 2*b+holdInJoistMM, []string{fmt.Sprintf("new board %g", b)}
	if n := work.OldCoverings; work.Kind == "overlay" {
		n = max(1, n)
		least += float64(n) * coveringMM
		parts = append(parts, fmt.Sprintf("old covering %d", n*coveringMM))
	}
	mm := screwLengthMM(least)
	parts = append(parts, fmt.Sprintf("old deck %g, taken as thick as the new boards: measure it", b), fmt.Sprintf("%d mm held in the joist", holdInJoistMM))
	return screw{key: deckScrewKey(mm), into: "the joists below the old deck", mm: mm, note: strings.Join(parts, " + ")}
}

// boardScrew is the screw of the boards that the laminate lies on, where they do not lie
// on insulation.
func boardScrew(board roof.Board, work roof.Work, base roof.Base) screw {
	if base.Kind == "sound deck" {
		return overDeckScrew(board, work)
	}
	return onJoistsScrew(board)
}

func deckScrewKey(mm float64) string { return fmt.Sprintf("screw.5x%g", mm) }

// places is how many fixings a timber takes at centres: one near each end too.
func places(lengthM, centresM float64) float64 { return math.Ceil(lengthM/centresM-1e-9) + 1 }

// heightMM is a firring's height at a distance from its From end.
func (f Firring) heightMM(atM float64) float64 {
	if len(f.Stations) > 1 {
		s := f.Stations
		for i := 1; i < len(s); i++ {
			a, b := s[0].At.Distance(s[i-1].At), s[0].At.Distance(s[i].At)
			if atM <= b || i == len(s)-1 {
				if b-a < 1e-9 {
					return s[i].AddMM
				}
				return s[i-1].AddMM + (s[i].AddMM-s[i-1].AddMM)*math.Min(1, (atM-a)/(b-a))
			}
		}
	}
	if f.LengthM == 0 {
		return math.Max(f.FromMM, f.ToMM)
	}
	return f.FromMM + (f.ToMM-f.FromMM)*atM/f.LengthM
}

// firringRange is the least and the greatest height of firrings, mm.
func firringRange(firrings []Firring) (low, high float64) {
	low, high = math.Inf(1), 0
	note := func(h float64) { low, high = math.Min(low, h), math.Max(high, h) }
	for _, f := range firrings {
		note(f.FromMM)
		note(f.ToMM)
		for _, s := range f.Stations {
			note(s.AddMM)
		}
	}
	return low, high
}
