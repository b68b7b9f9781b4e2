// Package words finds the word that somebody meant who wrote another.
package words

import (
	"slices"
	"strings"
)

// Closest returns the word of the list that is least edits away, when it is near enough
// to be what was meant: a third of the word's letters, at least one. Case does not count.
func Closest(word string, list []string) string {
	best, least := "", 1+max(1, len(word)/3)
	for _, w := range list {
		if d := edits(strings.ToLower(word), strings.ToLower(w), least); d < least {
			best, least = w, d
		}
	}
	return best
}

// Nearest returns the n words of the list that are least edits away, nearest first and as
// listed where they are equally near.
func Nearest(word string, list []string, n int) []string {
	far := make(map[string]int, len(list))
	for _, w := range list {
		far[w] = edits(word, w, len(word)+len(w)+1)
	}
	all := slices.Clone(list)
	slices.SortStableFunc(all, func(a, b string) int { return far[a] - far[b] })
	return all[:min(n, len(all))]
}

// edits is the number of letters changed, added, dropped or swapped with their
// neighbour that make a of b (Damerau's distance in its restricted form), or limit
// when it is not less.
func edits(a, b string, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range len(a) {
		row[0] = i + 1
		for j := range len(b) {
			cost := last[j]
			if a[i] != b[j] {
				cost++
			}
			row[j+1] = min(cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return min(last[len(b)], limit)
}
