package cutting

import (
	"errors"
	"fmt"
	"math"
)

// VerifySheets checks a plan against its problem knowing nothing of how it was
// made. It replays every saw cut: a cut must halve a part that exists at that
// moment, and in the end each panel and each offcut must be exactly one of the
// parts. Counts, stock, cost and bound are checked as in Verify, and that no two
// panels of a sheet overlap.
func VerifySheets(p SheetProblem, plan SheetPlan) error {
	c := sheetChecker{problem: p, used: map[sheetKind]int{}, made: map[panelKind]int{}}
	for n, s := range plan.Sheets {
		c.sheet(n, s)
	}
	c.stock(plan.Cost)
	c.panels(plan)
	return errors.Join(append(c.faults, boundFaults(plan.Cost, plan.LowerBound, plan.Gap, plan.Optimal)...)...)
}

type sheetKind struct {
	name          string
	length, width int
}

type panelKind struct {
	name          string
	length, width int
}

type sheetChecker struct {
	problem SheetProblem
	used    map[sheetKind]int
	made    map[panelKind]int
	faults  []error
}

func (c *sheetChecker) bad(format string, args ...any) {
	c.faults = append(c.faults, fmt.Errorf(format, args...))
}

func (c *sheetChecker) sheet(n int, s CutSheet) {
	if s.Count <= 0 || len(s.Placed) == 0 {
		c.bad("sheet %d: it is cut %d times into %d panels", n+1, s.Count, len(s.Placed))
	}
	c.used[sheetKind{s.Sheet, s.LengthMM, s.WidthMM}] += s.Count
	parts := map[Rect]int{{0, 0, s.LengthMM, s.WidthMM}: 1}
	for i, cut := range s.Cuts {
		if !c.replay(parts, cut, n, i) {
			return
		}
	}
	for i, q := range s.Placed {
		if parts[q.Rect] == 0 {
			c.bad("sheet %d: panel %q at %v is not a part that the cuts leave", n+1, q.Panel, q.Rect)
		}
		delete(parts, q.Rect)
		for _, r := range s.Placed[:i] {
			if q.overlaps(r.Rect) {
				c.bad("sheet %d: panels %q and %q overlap", n+1, q.Panel, r.Panel)
			}
		}
		length, width := q.LengthMM, q.WidthMM
		if q.Turned {
			length, width = width, length
			if !c.mayTurn(q.Panel, length, width) {
				c.bad("sheet %d: panel %q may not be turned", n+1, q.Panel)
			}
		}
		c.made[panelKind{q.Panel, length, width}] += s.Count
	}
	for _, r := range s.Offcuts {
		if parts[r] == 0 {
			c.bad("sheet %d: offcut %v is not a part that the cuts leave", n+1, r)
		}
		delete(parts, r)
	}
}

// overlaps reports whether two parts have any area in common.
func (q Rect) overlaps(r Rect) bool {
	return q.XMM < r.XMM+r.LengthMM && r.XMM < q.XMM+q.LengthMM && q.YMM < r.YMM+r.WidthMM && r.YMM < q.YMM+q.WidthMM
}

// replay saws a part in two, and reports whether the cut can be made.
func (c *sheetChecker) replay(parts map[Rect]int, cut SheetCut, n, i int) bool {
	if parts[cut.Part] == 0 {
		c.bad("sheet %d, cut %d: there is no part %v", n+1, i+1, cut.Part)
		return false
	}
	delete(parts, cut.Part)
	a, b, k := cut.Part, cut.Part, c.problem.KerfMM
	length := cut.Part.WidthMM
	if cut.Across {
		length = cut.Part.LengthMM
		a.LengthMM = cut.AtMM
		b.XMM += cut.AtMM + k
		b.LengthMM -= cut.AtMM + k
	} else {
		a.WidthMM = cut.AtMM
		b.YMM += cut.AtMM + k
		b.WidthMM -= cut.AtMM + k
	}
	if cut.AtMM <= 0 || cut.AtMM >= length {
		c.bad("sheet %d, cut %d: at %d mm of %d mm", n+1, i+1, cut.AtMM, length)
		return false
	}
	parts[a]++
	if b.LengthMM > 0 && b.WidthMM > 0 {
		parts[b]++
	}
	return true
}

func (c *sheetChecker) mayTurn(panel string, length, width int) bool {
	for _, q := range c.problem.Panels {
		if q.Name == panel && q.LengthMM == length && q.WidthMM == width && q.Rotate {
			return true
		}
	}
	return false
}

func (c *sheetChecker) stock(said float64) {
	priced := false
	for _, s := range c.problem.Sheets {
		priced = priced || s.Cost > 0
	}
	avail, price := map[sheetKind]int{}, map[sheetKind]float64{}
	for _, s := range c.problem.Sheets {
		k := sheetKind{s.Name, s.LengthMM, s.WidthMM}
		cost := s.Cost
		if !priced {
			cost = float64(s.LengthMM) * float64(s.WidthMM)
		}
		if old, twice := avail[k]; twice {
			cost = math.Min(cost, price[k])
			if old >= 0 && s.Available >= 0 {
				avail[k] = old + s.Available
			} else {
				avail[k] = -1
			}
		} else {
			avail[k] = s.Available
		}
		price[k] = cost
	}
	cost := 0.0
	for k, n := range c.used {
		have, known := avail[k]
		if !known {
			c.bad("there is no sheet %q of %d mm by %d mm", k.name, k.length, k.width)
		} else if have >= 0 && n > have {
			c.bad("sheet %q: %d are used, %d are available", k.name, n, have)
		}
		cost += price[k] * float64(n)
	}
	if math.Abs(cost-said) > 1e-9*math.Max(1, cost) {
		c.bad("the sheets cost %v, the plan says %v", cost, said)
	}
}

func (c *sheetChecker) panels(plan SheetPlan) {
	want := map[panelKind]int{}
	for _, q := range c.problem.Panels {
		want[panelKind{q.Name, q.LengthMM, q.WidthMM}] += q.Count
	}
	for k, n := range c.made {
		if want[k] != n {
			c.bad("panel %q of %d mm by %d mm: %d cut, %d wanted", k.name, k.length, k.width, n, want[k])
		}
		delete(want, k)
	}
	for k, n := range want {
		if n > 0 {
			c.bad("panel %q of %d mm by %d mm: none cut, %d wanted", k.name, k.length, k.width, n)
		}
	}
}
