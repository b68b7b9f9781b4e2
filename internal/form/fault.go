package form

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a file.
type Fault struct {
	// Code names the kind of fault for good: "outline.crosses".
	Code string `json:"code"`
	File string `json:"file"`
	// Line and Column count from 1; both 0 when the file as a whole is meant.
	Line   int `json:"line"`
	Column int `json:"column"`
	// Where is the piece by the name its writer gave it: `deck "main", edge 3 (wall)`.
	Where string `json:"where,omitempty"`
	// Message says what is wrong, Remedy how to mend it.
	Message string `json:"message"`
	Remedy  string `json:"remedy,omitempty"`
	// Warning marks what may stand, but should be looked at.
	Warning bool `json:"warning,omitempty"`
}

// String prints the fault on one line.
func (f Fault) String() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File + ":")
	}
	if f.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", f.Line, f.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if f.Warning {
		b.WriteString("warning: ")
	}
	if f.Where != "" {
		b.WriteString(f.Where + ": ")
	}
	b.WriteString(strings.TrimSuffix(f.Message, "."))
	if f.Remedy != "" {
		b.WriteString(". " + strings.TrimSuffix(f.Remedy, "."))
	}
	if strings.HasSuffix(b.String(), "?") {
		return b.String()
	}
	return b.String() + "."
}

// Faults is everything wrong with a file, in the order of its lines.
type Faults []Fault

// Error prints one fault a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, x := range f {
		lines[i] = x.String()
	}
	return strings.Join(lines, "\n")
}

// Bad reports whether any of the faults is more than a warning.
func (f Faults) Bad() bool {
	return slices.ContainsFunc(f, func(x Fault) bool { return !x.Warning })
}

// sorted returns the faults by place and drops repetitions.
func (f Faults) sorted() Faults {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Message, b.Message))
	})
	return slices.Compact(f)
}

// nearest returns the word of the list that is least edits away, when it is near
// enough to be what was meant.
func nearest(word string, list []string) string {
	best, least := "", 1+max(1, len(word)/3)
	for _, w := range list {
		if d := edits(strings.ToLower(word), strings.ToLower(w), least); d < least {
			best, least = w, d
		}
	}
	return best
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
