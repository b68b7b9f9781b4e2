package document

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"gelwright/drawing"
)

// numbered is the number of a piece, taken apart: "B12" is 12 of B; n is below zero where it ends in no number.
type numbered struct {
	before string
	n      int
	whole  string
}

// inOrder takes piece numbers apart and sorts them by their letters and then by number.
func inOrder(numbers []string) []numbered {
	var list []numbered
	for _, x := range numbers {
		k := len(x)
		for k > 0 && x[k-1] >= '0' && x[k-1] <= '9' {
			k--
		}
		n, err := strconv.Atoi(x[k:])
		if err != nil {
			list = append(list, numbered{before: x, n: -1, whole: x})
			continue
		}
		list = append(list, numbered{x[:k], n, x})
	}
	sort.SliceStable(list, func(i, j int) bool {
		if list[i].before != list[j].before {
			return list[i].before < list[j].before
		}
		return list[i].n < list[j].n
	})
	return list
}

// apart is how far the second of a list is from the first where they bear the same letters, else zero.
func apart(list []numbered) int {
	if len(list) < 2 || list[0].n < 0 || list[0].before != list[1].before {
		return 0
	}
	return list[1].n - list[0].n
}

// evenly is how many at the head of a list follow one another in steps of the same size.
func evenly(list []numbered, step int) int {
	k := 1
	for step > 0 && k < len(list) && apart(list[k-1:]) == step {
		k++
	}
	return k
}

// span is the first and the last of a run: "B1–B9".
func span(list []numbered) string {
	return list[0].whole + "–" + strings.TrimPrefix(list[len(list)-1].whole, wordOf(list[0].before))
}

// runs shortens a list of piece numbers: "B1–B9, B12, T1, T2".
func runs(numbers []string) string {
	var out []string
	for list := inOrder(numbers); len(list) > 0; {
		k := evenly(list, 1)
		if k < 3 {
			out, list = append(out, list[0].whole), list[1:]
			continue
		}
		out, list = append(out, span(list[:k])), list[k:]
	}
	return strings.Join(out, ", ")
}

// steps shortens a list as runs does, and what comes in even steps too: "M248–M281 (every 3rd)".
func steps(numbers []string) string {
	const least = 4
	var out []string
	for list := inOrder(numbers); len(list) > 0; {
		step := apart(list)
		k := evenly(list, step)
		switch {
		case step == 1 && k >= 3:
			out, list = append(out, span(list[:k])), list[k:]
		case step > 1 && k >= least:
			out, list = append(out, fmt.Sprintf("%s (every %s)", span(list[:k]), drawing.Ordinal(step))), list[k:]
		default:
			out, list = append(out, list[0].whole), list[1:]
		}
	}
	return strings.Join(out, ", ")
}

// wordOf returns the leading words of "mix " or "porch B", which a run need not repeat.
func wordOf(before string) string {
	if k := strings.LastIndex(before, " "); k >= 0 {
		return before[:k+1]
	}
	return ""
}

// atMost keeps the beginning of a list that would fill a page, and says how many it is.
func atMost(list string, runes, count int) string {
	r := []rune(list)
	if len(r) <= runes {
		return list
	}
	cut := string(r[:runes])
	if k := strings.LastIndex(cut, ","); k > 0 {
		cut = cut[:k]
	}
	return fmt.Sprintf("%s … (%d)", cut, count)
}
