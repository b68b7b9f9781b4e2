package cutting

import (
	"errors"
	"fmt"
)

// Sheet is one kind of sheet or board that can be bought or lies in hand.
type Sheet struct {
	Name string
	// LengthMM and WidthMM are usable, in mm, more than 0.
	LengthMM, WidthMM int
	// Cost of one sheet, 0 or more. If all sheets cost 0, cost is the area in mm².
	Cost float64
	// Available is how many sheets there are; negative means as many as wanted.
	Available int
}

// Panel is a rectangle to be cut, and how many.
type Panel struct {
	Name              string
	LengthMM, WidthMM int
	Count             int
	// Rotate allows the panel to lie across the sheet (no grain, no printed face).
	Rotate bool
}

// SheetProblem is a two-dimensional order. Every cut runs from edge to edge of the
// part being cut (guillotine), in any number of stages.
type SheetProblem struct {
	Sheets []Sheet
	Panels []Panel
	// KerfMM is the width lost at each saw cut, in mm; 0 for a knife.
	KerfMM int
	// A leftover at least KeepLengthMM by KeepWidthMM, either way round, is listed
	// as an offcut; with both 0 every leftover is listed.
	KeepLengthMM, KeepWidthMM int
	// Effort is how much is spent on a plan that is not proven: with 0 no sheets are cut
	// anew, 1 is for one order that a person waits for, more takes as many times longer.
	Effort int
}

// Rect is a part of a sheet: its corner nearest the sheet's origin and its size.
type Rect struct{ XMM, YMM, LengthMM, WidthMM int }

// Placed is a panel on its sheet. LengthMM and WidthMM are as it lies: Turned says
// that they are exchanged.
type Placed struct {
	Panel string
	Rect
	Turned bool
}

// SheetCut is one saw cut through the whole of a part. Across cuts the length: the
// saw runs parallel to the width, AtMM from the part's left edge, and takes KerfMM
// behind that. Otherwise it cuts the width, AtMM from the part's lower edge.
type SheetCut struct {
	Part   Rect
	Across bool
	AtMM   int
}

// CutSheet is a sheet cut in one way, Count times. Cuts are in sawing order.
type CutSheet struct {
	Sheet             string
	LengthMM, WidthMM int
	Placed            []Placed
	Cuts              []SheetCut
	Offcuts           []Rect
	Count             int
}

// SheetPlan is the answer to a SheetProblem; its sums are as in Plan.
type SheetPlan struct {
	Sheets                []CutSheet
	Cost, LowerBound, Gap float64
	Optimal               bool
	Note                  string
}

// maxSheetMM keeps every area within 64 bits.
const maxSheetMM = 1 << 22

// check reports all faults of the order at once, joined.
func (p SheetProblem) check() error {
	var faults []error
	bad := func(kind error, where, text, remedy string) {
		faults = append(faults, &Fault{kind, where, text, remedy})
	}
	out := func(mm int) bool { return mm <= 0 || mm > maxSheetMM }
	if p.KerfMM < 0 || p.KerfMM > maxSheetMM {
		bad(ErrInput, "kerf", fmt.Sprintf("%d mm is out of range", p.KerfMM), "Give the width of the saw cut, 0 or more")
	}
	if p.KeepLengthMM < 0 || p.KeepWidthMM < 0 {
		bad(ErrInput, "leftover worth keeping", "its sides are negative", "Give 0 or more")
	}
	any := false
	for i, s := range p.Sheets {
		where := name("sheet", s.Name, i)
		if out(s.LengthMM) || out(s.WidthMM) {
			bad(ErrInput, where, fmt.Sprintf("%d mm by %d mm is out of range", s.LengthMM, s.WidthMM), "Give sides of at least 1 mm")
		}
		if !(s.Cost >= 0 && s.Cost <= maxCost) {
			bad(ErrInput, where, fmt.Sprintf("cost %v is out of range", s.Cost), "Give a cost of 0 or more")
		}
		any = any || s.Available != 0
	}
	count := 0
	for i, q := range p.Panels {
		where := name("panel", q.Name, i)
		switch {
		case out(q.LengthMM) || out(q.WidthMM):
			bad(ErrInput, where, fmt.Sprintf("%d mm by %d mm is out of range", q.LengthMM, q.WidthMM), "Give sides of at least 1 mm")
		case q.Count < 0:
			bad(ErrInput, where, fmt.Sprintf("count %d is out of range", q.Count), "Give 0 or more")
		case q.Count > maxPanels-count:
			bad(ErrTooBig, where, fmt.Sprintf("more than %d panels in all", maxPanels), "Split the order")
		case q.Count == 0:
		case !any:
			bad(ErrTooLong, where, "there is no sheet to cut it from", "Add a sheet size")
		default:
			count += q.Count
			if text := p.tooBig(q); text != "" {
				bad(ErrTooLong, where, text, "Add a larger sheet, or make the panel in two")
			}
		}
	}
	return errors.Join(faults...)
}

// maxPanels bounds the size of a two-dimensional order.
const maxPanels = 20000

// tooBig says by how much a panel misses the sheet it misses least, or "".
func (p SheetProblem) tooBig(q Panel) string {
	least, text := 0, ""
	for i, s := range p.Sheets {
		if s.Available == 0 {
			continue
		}
		over := max(q.LengthMM-s.LengthMM, 0) + max(q.WidthMM-s.WidthMM, 0)
		if q.Rotate {
			over = min(over, max(q.WidthMM-s.LengthMM, 0)+max(q.LengthMM-s.WidthMM, 0))
		}
		if over == 0 {
			return ""
		}
		if text == "" || over < least {
			least = over
			text = fmt.Sprintf("%d mm by %d mm fits no sheet; it misses %s (%d mm by %d mm) by %d mm",
				q.LengthMM, q.WidthMM, name("sheet", s.Name, i), s.LengthMM, s.WidthMM, over)
		}
	}
	return text
}
