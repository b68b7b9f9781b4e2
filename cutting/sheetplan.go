package cutting

import "fmt"

// sheetNames hands out the caller's names for items of one type.
type sheetNames struct {
	index []int
	left  []int
}

// planOf gives names and positions and sums up.
func (o *sheetOrder) planOf(p SheetProblem, uses []sheetUse, bound int64, note string) SheetPlan {
	var plan SheetPlan
	names := o.names(p)
	costs := sheetCosts(p.Sheets)
	for _, u := range uses {
		plan.Cost += costs[o.sheets[u.k].from] * float64(u.times)
		for n := 0; n < u.times; n++ {
			s := o.drawSheet(p, u, names)
			if last := len(plan.Sheets) - 1; last >= 0 && sameSheet(plan.Sheets[last], s) {
				plan.Sheets[last].Count++
				continue
			}
			plan.Sheets = append(plan.Sheets, s)
		}
	}
	have := o.costOf(uses)
	plan.Optimal = bound >= have
	plan.LowerBound = min(float64(bound)*o.unit, plan.Cost)
	if plan.Optimal && o.exact {
		plan.LowerBound = plan.Cost
	} else if plan.Optimal {
		plan.Optimal = plan.Cost-plan.LowerBound <= 1e-6*plan.Cost
	}
	if plan.Optimal {
		plan.Note = "proven optimal: " + note
		return plan
	}
	plan.Gap = gapOf(plan.Cost, plan.LowerBound)
	plan.Note = fmt.Sprintf("good, not proven best (within %.2f %%): %s", 100*plan.Gap, note)
	return plan
}

func (o *sheetOrder) names(p SheetProblem) []sheetNames {
	names := make([]sheetNames, len(o.items))
	for j, q := range p.Panels {
		if q.Count == 0 {
			continue
		}
		key := panelKey(p, q)
		for i, t := range o.items {
			if t.l == key.l && t.w == key.w && t.turn == key.turn {
				names[i].index = append(names[i].index, j)
				names[i].left = append(names[i].left, q.Count)
			}
		}
	}
	return names
}

func (n *sheetNames) next() int {
	for t, left := range n.left {
		if left > 0 {
			n.left[t]--
			return n.index[t]
		}
	}
	return -1
}

// drawSheet turns one pattern into rectangles, cuts in sawing order, and offcuts.
func (o *sheetOrder) drawSheet(p SheetProblem, u sheetUse, names []sheetNames) CutSheet {
	s := p.Sheets[o.sheets[u.k].from]
	out := CutSheet{Sheet: s.Name, LengthMM: s.LengthMM, WidthMM: s.WidthMM, Count: 1}
	k := p.KerfMM
	var walk func(q *part, x, y int)
	walk = func(q *part, x, y int) {
		r := Rect{x, y, q.l - k, q.w - k}
		switch {
		case r.LengthMM <= 0 || r.WidthMM <= 0:
		case q.item >= 0:
			j := names[q.item].next()
			if j < 0 {
				out.keep(p, r) // more cut than wanted: it is an offcut
				return
			}
			panel := p.Panels[j]
			turned := panel.LengthMM != r.LengthMM || panel.WidthMM != r.WidthMM
			out.Placed = append(out.Placed, Placed{panel.Name, r, turned})
		case q.a == nil || !q.hasItem():
			out.keep(p, r)
		default:
			out.Cuts = append(out.Cuts, SheetCut{r, q.across, q.at - k})
			walk(q.a, x, y)
			if q.across {
				walk(q.b, x+q.at, y)
			} else {
				walk(q.b, x, y+q.at)
			}
		}
	}
	walk(u.root, 0, 0)
	return out
}

func (q *part) hasItem() bool {
	return q != nil && (q.item >= 0 || q.a.hasItem() || q.b.hasItem())
}

// keep lists a leftover if it is worth keeping.
func (s *CutSheet) keep(p SheetProblem, r Rect) {
	a, b := p.KeepLengthMM, p.KeepWidthMM
	if (r.LengthMM >= a && r.WidthMM >= b) || (r.LengthMM >= b && r.WidthMM >= a) {
		s.Offcuts = append(s.Offcuts, r)
	}
}

func sameSheet(a, b CutSheet) bool {
	if a.Sheet != b.Sheet || a.LengthMM != b.LengthMM || a.WidthMM != b.WidthMM || len(a.Placed) != len(b.Placed) ||
		len(a.Cuts) != len(b.Cuts) {
		return false
	}
	for i := range a.Placed {
		if a.Placed[i] != b.Placed[i] {
			return false
		}
	}
	for i := range a.Cuts {
		if a.Cuts[i] != b.Cuts[i] {
			return false
		}
	}
	return true
}
