package cutting

import (
	"context"
	"math"
	"testing"
)

// someStocks are one to three kinds of bar, some limited, with or without prices.
func someStocks(d *dice) []Stock {
	var out []Stock
	priced := d.roll(0, 3) > 0
	for k, n := 0, d.roll(1, 3); k < n; k++ {
		s := Stock{Name: string(rune('A' + k)), LengthMM: d.roll(12, 40), Available: -1}
		if priced {
			s.Cost = float64(d.roll(s.LengthMM/2, 2*s.LengthMM)) / 2
		}
		if d.roll(0, 2) == 0 {
			s.Available = d.roll(1, 3)
		}
		out = append(out, s)
	}
	return out
}

// smallOrder is a list of at most seven pieces. Every other one is whole bars cut up
// without waste, on which a bound has no room to be wrong by one.
func smallOrder(d *dice) Problem {
	p := Problem{Stocks: someStocks(d), KerfMM: []int{0, 0, 1, 3}[d.roll(0, 3)]}
	if d.roll(0, 1) == 0 {
		for i, n := 0, d.roll(1, 7); i < n; i++ {
			p.Pieces = append(p.Pieces, Piece{LengthMM: d.roll(2, 20), Count: 1})
		}
		return p
	}
	for len(p.Pieces) < 5 {
		room := p.Stocks[d.roll(0, len(p.Stocks)-1)].LengthMM
		for cuts := d.roll(0, 2); cuts > 0 && room > 8+p.KerfMM; cuts-- {
			l := d.roll(3, room-p.KerfMM-3)
			p.Pieces = append(p.Pieces, Piece{LengthMM: l, Count: 1})
			room -= l + p.KerfMM
		}
		p.Pieces = append(p.Pieces, Piece{LengthMM: room, Count: 1})
	}
	return p
}

// TestNoBoundIsAboveTheOptimum holds every bound on bars to what trying everything
// finds: a bound one unit too high would call plans proven that are not.
func TestNoBoundIsAboveTheOptimum(t *testing.T) {
	met := map[string]int{}
	lists, several := 0, 0
	for seed := 0; seed < 4000; seed++ {
		d := dice(seed)
		p := smallOrder(&d)
		if p.check() != nil {
			continue
		}
		least := bruteCost(p)
		if math.IsInf(least, 1) {
			continue
		}
		lists++
		o := plain(p)
		if len(o.cap) > 1 {
			several++
		}
		hold := func(name string, bound int64) {
			money := float64(bound) * o.costUnit
			if money > least+1e-9 {
				t.Errorf("list %d: %s is %v, trying everything costs %v\n%+v", seed, name, money, least, p)
			}
			if math.Abs(money-least) < 1e-9 && len(o.cap) > 1 {
				met[name]++
			}
		}
		hold("the length bound", o.lengthBound())
		hold("the quick bound", o.quickBound())
		if len(o.cap) == 1 {
			hold("L2", o.l2()*o.cost[0])
			for k := int64(1); k <= 20; k++ {
				hold("a step function's bound", o.dffSteps(k)*o.cost[0])
			}
		}
		m := newMaster(&o)
		first := o.firstPlan(0)
		m.purse = o.newPurse(first)
		hold("what whole bars must cost", m.purse.atLeast(o.quickBound()))
		for _, u := range first {
			m.add(u.pattern)
		}
		b, _ := m.generate(context.Background(), 0, 1<<62, true)
		hold("the pattern bound", b)
		hold("the pattern bound in whole bars", m.purse.atLeast(b))
		plan := solve(t, p)
		if plan.LowerBound > least+1e-9 || plan.Cost < least-1e-9 || plan.Optimal && plan.Cost > least+1e-9 {
			t.Errorf("list %d: the plan costs %v, bound %v (%s), trying everything %v\n%+v", seed, plan.Cost, plan.LowerBound, plan.Note, least, p)
		}
	}
	if lists < 3000 || several < 1000 {
		t.Errorf("only %d lists, %d with several kinds of bar", lists, several)
	}
	// A bound that is never met could be raised unseen.
	for _, name := range []string{"the length bound", "the quick bound", "what whole bars must cost", "the pattern bound"} {
		if met[name] < 200 {
			t.Errorf("with several kinds of bar, %s is met by %d optima only", name, met[name])
		}
	}
}

// guillotine tries everything on an order of few panels.
type guillotine struct {
	l, w []int // of each panel, saw cut added
	turn []bool
	xs   []int // where a cut may be: sums of sides
	memo map[[3]int]bool
}

// holds reports whether a part can be cut into a set of panels by cuts from edge to edge.
func (g *guillotine) holds(set, l, w int) bool {
	key := [3]int{set, l, w}
	if known, ok := g.memo[key]; ok {
		return known
	}
	ok := set&(set-1) == 0 && g.single(set, l, w)
	for a := (set - 1) & set; a > 0 && !ok; a = (a - 1) & set {
		// The least part that holds a leaves the most for the others.
		for _, x := range g.xs {
			if x < l && g.holds(a, x, w) {
				ok = ok || g.holds(set&^a, l-x, w)
				break
			}
		}
		for _, y := range g.xs {
			if y < w && g.holds(a, l, y) {
				ok = ok || g.holds(set&^a, l, w-y)
				break
			}
		}
	}
	g.memo[key] = ok
	return ok
}

func (g *guillotine) single(set, l, w int) bool {
	for i := range g.l {
		if set == 1<<i {
			return g.l[i] <= l && g.w[i] <= w || g.turn[i] && g.w[i] <= l && g.l[i] <= w
		}
	}
	return false
}

// bruteSheets is the least cost by trying every set of panels on every sheet.
func bruteSheets(p SheetProblem) float64 {
	g := guillotine{memo: map[[3]int]bool{}}
	sums := map[int]bool{0: true}
	for _, q := range p.Panels {
		l, w := q.LengthMM+p.KerfMM, q.WidthMM+p.KerfMM
		g.l, g.w, g.turn = append(g.l, l), append(g.w, w), append(g.turn, q.Rotate)
		more := map[int]bool{}
		for s := range sums {
			more[s], more[s+l], more[s+w] = true, true, true
		}
		sums = more
	}
	for x := 1; x < 200; x++ {
		if sums[x] {
			g.xs = append(g.xs, x)
		}
	}
	costs := sheetCosts(p.Sheets)
	left := make([]int, len(p.Sheets))
	for k, s := range p.Sheets {
		left[k] = s.Available
	}
	best := math.Inf(1)
	var cut func(rest int, spent float64)
	cut = func(rest int, spent float64) {
		if spent >= best {
			return
		}
		if rest == 0 {
			best = spent
			return
		}
		first := rest & -rest
		for others := rest &^ first; ; others = (others - 1) & (rest &^ first) {
			for k, s := range p.Sheets {
				if left[k] != 0 && g.holds(others|first, s.LengthMM+p.KerfMM, s.WidthMM+p.KerfMM) {
					left[k]--
					cut(rest&^(others|first), spent+costs[k])
					left[k]++
				}
			}
			if others == 0 {
				return
			}
		}
	}
	cut(1<<len(p.Panels)-1, 0)
	return best
}

// smallSheets is an order of at most five panels from one or two kinds of sheet.
func smallSheets(d *dice) SheetProblem {
	p := SheetProblem{KerfMM: []int{0, 0, 1, 3}[d.roll(0, 3)]}
	for k, n := 0, d.roll(1, 2); k < n; k++ {
		s := Sheet{Name: string(rune('A' + k)), LengthMM: d.roll(16, 40), WidthMM: d.roll(12, 30), Available: -1}
		if d.roll(0, 2) > 0 {
			s.Cost = float64(d.roll(s.LengthMM*s.WidthMM/20, s.LengthMM*s.WidthMM/10)) / 2
		}
		if d.roll(0, 2) == 0 {
			s.Available = d.roll(1, 2)
		}
		p.Sheets = append(p.Sheets, s)
	}
	if d.roll(0, 1) == 0 {
		for i, n := 0, d.roll(1, 5); i < n; i++ {
			p.Panels = append(p.Panels, Panel{LengthMM: d.roll(3, 20), WidthMM: d.roll(3, 16), Count: 1, Rotate: d.roll(0, 1) == 0})
		}
		return p
	}
	// Whole sheets cut up without waste.
	for len(p.Panels) < 3 {
		s := p.Sheets[d.roll(0, len(p.Sheets)-1)]
		at, up := d.roll(3, s.LengthMM-p.KerfMM-3), d.roll(3, s.WidthMM-p.KerfMM-3)
		turn := d.roll(0, 1) == 0
		p.Panels = append(p.Panels, Panel{LengthMM: at, WidthMM: s.WidthMM, Count: 1, Rotate: turn})
		rest := s.LengthMM - at - p.KerfMM
		if d.roll(0, 1) == 0 {
			p.Panels = append(p.Panels, Panel{LengthMM: rest, WidthMM: s.WidthMM, Count: 1})
			continue
		}
		p.Panels = append(p.Panels, Panel{LengthMM: rest, WidthMM: up, Count: 1}, Panel{LengthMM: rest, WidthMM: s.WidthMM - up - p.KerfMM, Count: 1, Rotate: turn})
	}
	return p
}

// TestNoSheetBoundIsAboveTheOptimum is TestNoBoundIsAboveTheOptimum for sheets.
func TestNoSheetBoundIsAboveTheOptimum(t *testing.T) {
	met := map[string]int{}
	lists, several, seeds := 0, 0, 2000
	if testing.Short() {
		seeds = 100
	}
	for seed := 0; seed < seeds; seed++ {
		d := dice(seed)
		p := smallSheets(&d)
		if p.check() != nil {
			continue
		}
		least := bruteSheets(p)
		if math.IsInf(least, 1) {
			continue
		}
		lists++
		o := plainSheets(p)
		if len(o.sheets) > 1 {
			several++
		}
		hold := func(name string, bound int64) {
			money := float64(bound) * o.unit
			if money > least+1e-9 {
				t.Errorf("list %d: %s is %v, trying everything costs %v\n%+v", seed, name, money, least, p)
			}
			if math.Abs(money-least) < 1e-9 {
				met[name]++
				if len(o.sheets) > 1 {
					met[name+", several"]++
				}
			}
		}
		hold("the area bound", o.areaBound())
		hold("the bound of pairs", o.dffBound())
		first := o.firstPlan(0)
		purse := o.newPurse(first)
		hold("what whole sheets must cost", purse.atLeast(max(o.areaBound(), o.dffBound())))
		if m := newSheetMaster(&o); m != nil {
			for _, u := range first {
				m.add(u)
			}
			b, _ := m.generate(context.Background(), 1<<62)
			hold("the pattern bound", b)
			hold("the pattern bound in whole sheets", purse.atLeast(b))
			if m.mayBeProper() {
				m.proper = true
				b, _ = m.generate(context.Background(), 1<<62)
				hold("the proper pattern bound", b)
			}
		}
		plan, err := SolveSheets(context.Background(), p)
		if err != nil {
			continue // in hand there is too little for the plans that are sought
		}
		if err := VerifySheets(p, plan); err != nil {
			t.Errorf("list %d: %v", seed, err)
		}
		if plan.LowerBound > least+1e-9 || plan.Cost < least-1e-9 || plan.Optimal && plan.Cost > least+1e-9 {
			t.Errorf("list %d: the plan costs %v, bound %v (%s), trying everything %v\n%+v", seed, plan.Cost, plan.LowerBound, plan.Note, least, p)
		}
	}
	if lists < seeds*3/5 || several < seeds/5 {
		t.Errorf("only %d lists, %d with several kinds of sheet", lists, several)
	}
	for _, name := range []string{"the area bound", "the area bound, several", "the bound of pairs", "what whole sheets must cost, several", "the pattern bound, several"} {
		if met[name] < seeds/20 {
			t.Errorf("%s is met by %d optima only", name, met[name])
		}
	}
}
