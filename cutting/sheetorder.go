package cutting

import (
	"math"
	"sort"
)

// sheetOrder is a SheetProblem in plain form: kerf added to every side, equal
// panels merged, stock without useless kinds.
type sheetOrder struct {
	items  []panelType
	sheets []sheetType
	unit   float64 // money per cost unit
	exact  bool
	effort int
}

type panelType struct {
	l, w, d int
	turn    bool // may lie the other way, and that is different
	area    int64
}

type sheetType struct {
	l, w, avail int
	cost        int64
	from        int
}

func plainSheets(p SheetProblem) sheetOrder {
	type key struct {
		l, w int
		turn bool
	}
	merged := map[key]int{}
	n := 0
	for _, q := range p.Panels {
		if q.Count > 0 {
			merged[panelKey(p, q)] += q.Count
			n += q.Count
		}
	}
	o := sheetOrder{effort: p.Effort}
	for k, d := range merged {
		o.items = append(o.items, panelType{k.l, k.w, d, k.turn, int64(k.l) * int64(k.w)})
	}
	sort.Slice(o.items, func(a, b int) bool {
		x, y := o.items[a], o.items[b]
		switch {
		case x.area != y.area:
			return x.area > y.area
		case x.l != y.l:
			return x.l > y.l
		default:
			return !x.turn && y.turn
		}
	})
	costs := sheetCosts(p.Sheets)
	// The scaling of costs is that of bars.
	bars := order{}
	for k, s := range p.Sheets {
		t := sheetType{l: s.LengthMM + p.KerfMM, w: s.WidthMM + p.KerfMM, avail: n, from: k}
		if s.Available >= 0 {
			t.avail = min(s.Available, n)
		}
		if t.avail == 0 || !o.anyFits(t) {
			continue
		}
		o.sheets = append(o.sheets, t)
		bars.from = append(bars.from, k)
	}
	bars.scaleCosts(costs)
	for k := range o.sheets {
		o.sheets[k].cost = bars.cost[k]
	}
	o.unit, o.exact = bars.costUnit, bars.exact
	return o
}

// panelKey is the plain form of a panel: with kerf, longer side first when it may
// be turned.
func panelKey(p SheetProblem, q Panel) struct {
	l, w int
	turn bool
} {
	l, w := q.LengthMM+p.KerfMM, q.WidthMM+p.KerfMM
	turn := q.Rotate && l != w
	if turn && l < w {
		l, w = w, l
	}
	return struct {
		l, w int
		turn bool
	}{l, w, turn}
}

func sheetCosts(sheets []Sheet) []float64 {
	costs := make([]float64, len(sheets))
	priced := false
	for k, s := range sheets {
		costs[k] = s.Cost
		priced = priced || s.Cost > 0
	}
	if !priced {
		for k, s := range sheets {
			costs[k] = math.Round(float64(s.LengthMM) * float64(s.WidthMM))
		}
	}
	return costs
}

// fits reports whether an item fits a part, lying or turned.
func (t panelType) fits(l, w int) bool {
	return (t.l <= l && t.w <= w) || (t.turn && t.w <= l && t.l <= w)
}

func (o *sheetOrder) anyFits(s sheetType) bool {
	for _, t := range o.items {
		if t.fits(s.l, s.w) {
			return true
		}
	}
	return false
}

// part is a rectangle and what becomes of it: nothing, one item that fills it
// exactly, or a cut into a and b.
type part struct {
	l, w   int
	item   int // −1 when none
	turned bool
	across bool
	at     int
	a, b   *part
}

func (q *part) count(n []int) {
	if q == nil {
		return
	}
	if q.item >= 0 {
		n[q.item]++
	}
	q.a.count(n)
	q.b.count(n)
}

// sheetUse is a cut sheet and how often.
type sheetUse struct {
	k     int
	root  *part
	a     []int
	times int
}

// put cuts item i (turned or not) out of the lower left corner of an empty part.
// acrossFirst chooses which cut comes first; the two leftover parts are returned
// (nil when nothing is left).
func (q *part) put(i int, l, w int, turned, acrossFirst bool) (x, y *part) {
	cut := func(q *part, across bool, at int) (*part, *part) {
		size := q.w
		if across {
			size = q.l
		}
		if at == size {
			return q, nil
		}
		q.across, q.at = across, at
		q.a, q.b = &part{l: q.l, w: q.w, item: -1}, &part{l: q.l, w: q.w, item: -1}
		if across {
			q.a.l, q.b.l = at, size-at
		} else {
			q.a.w, q.b.w = at, size-at
		}
		return q.a, q.b
	}
	at1, at2 := w, l
	if acrossFirst {
		at1, at2 = l, w
	}
	first, x := cut(q, acrossFirst, at1)
	second, y := cut(first, !acrossFirst, at2)
	second.item, second.turned = i, turned
	return x, y
}
