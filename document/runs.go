package document

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
)

// runs shortens a list of piece numbers: "B1–B9, B12, T1, T2"; it sorts them by their
// letters and then by number.
func runs(numbers []string) string {
	type piece struct {
		before string
		n      int
		whole  string
	}
	var list []piece
	for _, x := range numbers {
		k := len(x)
		for k > 0 && x[k-1] >= '0' && x[k-1] <= '9' {
			k--
		}
		n, err := strconv.Atoi(x[k:])
		if err != nil {
			list = append(list, piece{before: x, n: -1, whole: x})
			continue
		}
		list = append(list, piece{x[:k], n, x})
	}
	sort.SliceStable(list, func(i, j int) bool {
		if list[i].before != list[j].before {
			return list[i].before < list[j].before
		}
		return list[i].n < list[j].n
	})
	var out []string
	for i := 0; i < len(list); i++ {
		k := i
		for k+1 < len(list) && list[k+1].before == list[i].before && list[i].n >= 0 && list[k+1].n == list[k].n+1 {
			k++
		}
		if k < i+2 {
			out = append(out, list[i].whole)
			continue
		}
		out = append(out, fmt.Sprintf("%s–%s", list[i].whole, strings.TrimPrefix(list[k].whole, wordOf(list[i].before))))
		i = k
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
