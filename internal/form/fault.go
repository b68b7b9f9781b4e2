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
	// Path is the field, "decks[main].edges[2].height_mm", where it is known.
	Path string `json:"path,omitempty"`
	// Where is the piece by the name its writer gave it: `deck "main", edge 3 (wall)`.
	Where string `json:"where,omitempty"`
	// Message says what is wrong, Remedy how to mend it.
	Message string `json:"message"`
	Remedy  string `json:"remedy,omitempty"`
	// Warning marks what may stand, but should be looked at.
	Warning bool `json:"warning,omitempty"`
}

// mostWhere is how much of a piece's name stands in a fault.
const mostWhere = 90

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
		b.WriteString(clipped(f.Where, mostWhere) + ": ")
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
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column), cmp.Compare(a.Code, b.Code),
			cmp.Compare(a.Message, b.Message))
	})
	return slices.Compact(f)
}
