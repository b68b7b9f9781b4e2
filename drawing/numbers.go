package drawing

import (
	"strings"

	"gelwright/scene"
)

// numberBeside letters the pieces whose number found no room within them: along them, or by a
// leader.
func (s *Sheet) numberBeside(pieces []LabelledShape, seats []seatOf) {
	beside := besideOf(s, pieces)
	g := groundsOf(s, pieces)
	reachMM := 80.0
	if len(pieces) > manyPieces {
		reachMM = 15
	}
	var open []int
	for i, p := range pieces {
		if !seats[i].in && p.Label != "" && !s.alongside(p, beside) {
			open = append(open, i)
		}
	}
	if len(pieces) >= crowdedFrom {
		open = s.closeBy(pieces, g, open, beside)
	}
	high := scene.TextUsual
	if len(pieces) >= crowdedFrom {
		high = scene.TextSmall
	}
	missed := 0
	for _, i := range open {
		b := labelBlock(pieces[i].Label, "", high)
		if missed >= fullSheet {
			s.Unplaced = append(s.Unplaced, pieces[i].Label)
			continue
		}
		at := s.seen(g, i)
		// Beside all pieces by preference: a number on another piece misleads.
		if s.leader(at, b, 0, reachMM, beside) || s.leader(at, b, 0, reachMM, nil) {
			missed = 0
		} else {
			missed++
		}
	}
}

// On a sheet of so many pieces numbers stand within closeMM of theirs first.
const (
	crowdedFrom = 60
	closeMM     = 9
	// brokenMM is so for numbers broken over lines.
	brokenMM = 16
)

// closeBy letters what finds room close by, before leaders run across the sheet, and returns what does
// not: at the usual size, small, or small and broken over lines, as a narrow board has room for.
func (s *Sheet) closeBy(pieces []LabelledShape, g grounds, open []int, beside func(scene.Point) bool) []int {
	tries := []func(label string) (block, float64){
		func(label string) (block, float64) { return labelBlock(label, "", scene.TextUsual), closeMM },
		func(label string) (block, float64) { return labelBlock(label, "", scene.TextSmall), closeMM },
		func(label string) (block, float64) { return brokenBlock(label, ", "), brokenMM },
		func(label string) (block, float64) { return brokenBlock(label, ", ", "–"), brokenMM },
	}
	if s.numbers {
		tries = tries[1:]
	}
	for _, of := range tries {
		var left []int
		for _, i := range open {
			b, reach := of(pieces[i].Label)
			if !s.tryLeader(s.seen(g, i), b, 0, reach, beside) {
				left = append(left, i)
			}
		}
		open = left
	}
	return open
}

// brokenBlock is a label in small letters broken after each of the marks.
func brokenBlock(label string, marks ...string) block {
	for _, m := range marks {
		label = strings.ReplaceAll(label, m, strings.TrimSuffix(m, " ")+"\n")
	}
	b := labelBlock("", "", scene.TextSmall)
	b.lines, b.whole = strings.Split(label, "\n"), true
	return b
}

// fullSheet is how many numbers in a row find no room before the sheet counts as full.
const fullSheet = 20
