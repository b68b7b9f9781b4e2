package document

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gelwright/mixing"
)

// turnsOf tells for each number the turn in which it is cut in, from 0: the numbers between two turns are of the field that is
// rolled after the first of them.
func turnsOf(mixes []mixing.Mix) map[int]int {
	var all []int
	for _, m := range mixes {
		all = append(all, m.Number)
	}
	slices.Sort(all)
	turn := map[int]int{}
	is := 0
	for i, n := range all {
		if i > 0 && n > all[i-1]+1 {
			is++
		}
		turn[n] = is
	}
	return turn
}

// turnWords is the line over a turn of cutting in, first and last being its numbers and next the first of the next turn, 0 for none.
func turnWords(at string, first, last, next int) string {
	words := fmt.Sprintf("%s: cut in %s, then roll from %d", at, numbersWords(first, last), last+1)
	if next > 0 {
		return fmt.Sprintf("%s: cut in %s, then roll %s", at, numbersWords(first, last), numbersWords(last+1, next-1))
	}
	return words
}

// potsOf are the runs of those who cut in, turn by turn.
func (d *pack) potsOf(mixes []mixing.Mix) []bucketRun {
	out, turn := d.runsOf(mixes), turnsOf(mixes)
	slices.SortStableFunc(out, func(a, b bucketRun) int { return cmp.Compare(turn[a[0].Number], turn[b[0].Number]) })
	return out
}

// turn is that in which a run is cut in.
func (s *bucketSheet) turn(r bucketRun) int { return turnsOf(s.mixes)[r[0].Number] }

// turnLine is the line over a turn.
func (s *bucketSheet) turnLine(turn int) string {
	first, last, next, at := 0, 0, 0, math.Inf(1)
	for n, is := range turnsOf(s.mixes) {
		switch {
		case is == turn && (first == 0 || n < first):
			first = n
		case is == turn+1 && (next == 0 || n < next):
			next = n
		}
		if is == turn {
			last = max(last, n)
		}
	}
	for _, m := range s.mixes {
		if m.Number >= first && m.Number <= last {
			at = math.Min(at, m.MixAtMin)
		}
	}
	return turnWords(clockWords(at), first, last, next)
}
