package laying

import (
	"cmp"
	"slices"

	"gelwright/roof"
)

// TopDown orders the decks by level, highest first.
func TopDown(decks []roof.Deck) []int {
	order := make([]int, len(decks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(decks[b].LevelM, decks[a].LevelM) })
	return order
}

// Rounds parts the decks into those that are worked on together: all of a roof on one
// level; where decks lie at several levels, one after another from the top down, since
// water and boots come from above and what is open below must not wait for them.
func Rounds(decks []roof.Deck) [][]int {
	order := TopDown(decks)
	for _, i := range order {
		if decks[i].LevelM != decks[order[0]].LevelM {
			out := make([][]int, len(order))
			for k, i := range order {
				out[k] = []int{i}
			}
			return out
		}
	}
	return [][]int{order}
}
