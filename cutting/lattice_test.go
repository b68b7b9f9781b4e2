package cutting

import (
	"context"
	"fmt"
	"testing"
)

// The most valuable of all sets of panels that can be cut from a plate is the published optimum with limited copies: both
// of all sets that a lattice holds and of all slabs, however much they waste.
func TestAllSetsHoldThePublishedOptimum(t *testing.T) {
	met := 0
	for _, p := range plates(t) {
		if !p.limited {
			continue
		}
		all := newLattice(context.Background(), &p.order)
		if all == nil {
			continue
		}
		met++
		best, at := int64(0), int32(0)
		for id := int32(1); int(id) < len(all.sets); id++ {
			v := int64(0)
			for i, n := range all.counts(id) {
				v += int64(n) * p.values[i]
			}
			if v > best {
				best, at = v, id
			}
		}
		if best != p.optimum {
			t.Errorf("%s: %d by the sets, want %d", p.name, best, p.optimum)
		}
		holds(t, p.name, all.sheet(0, at), all.counts(at))
		q, whole := newPool(&p.order, 0, p.order.demand(), p.order.sorted(byArea))
		budget := 400000000
		if !whole || !q.joined(context.Background(), p.order.sheets[0].area(), 60000, &budget) {
			continue
		}
		best = 0
		var last int32
		for _, i := range q.fullest(p.order.sheets[0].area()) {
			v := int64(0)
			for n, c := range q.counts(q.slabs[i].n) {
				v += int64(c) * p.values[n]
			}
			if v > best {
				best, last = v, i
			}
		}
		if best != p.optimum {
			t.Errorf("%s: %d by the slabs, want %d", p.name, best, p.optimum)
		}
		holds(t, p.name, q.sheet(0, last), q.counts(q.slabs[last].n))
	}
	if met < 5 {
		t.Errorf("only %d plates are small enough", met)
	}
}

// holds asks that a cut sheet holds the panels that it is said to.
func holds(t *testing.T, name string, u sheetUse, want []int) {
	t.Helper()
	got := make([]int, len(want))
	u.root.count(got)
	if fmt.Sprint(got) != fmt.Sprint(want) || fmt.Sprint(u.a) != fmt.Sprint(want) {
		t.Errorf("%s: the cutting holds %v, not %v", name, got, want)
	}
}

// Orders that stayed a sheet open while sheets were only cut anew in a shuffled order: the first are proven to need
// that sheet, the others do with one less.
func TestOrdersThatStayedASheetOpen(t *testing.T) {
	for _, c := range []struct {
		seed      uint64
		n         int
		turn      bool
		want      float64
		slow      bool
		otherwise string
	}{
		{20, 10, true, 2, false, "1 by area"},
		{30, 12, false, 2, false, "1 by area"},
		{20, 16, false, 3, false, "2 by area, all sets listed"},
		{29, 25, true, 4, false, "3 by area"},
		{20, 30, false, 4, true, "5 were found"},
		{22, 40, false, 5, true, "6 were found"},
		{24, 40, true, 6, true, "7 were found"},
		{28, 60, false, 8, true, "9 were found"},
	} {
		if c.slow && testing.Short() {
			continue
		}
		p := randomPanels(c.seed, c.n, c.turn)
		p.Effort = 1
		plan, err := SolveSheets(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if err := VerifySheets(p, plan); err != nil {
			t.Fatal(err)
		}
		if plan.Cost != c.want || !plan.Optimal {
			t.Errorf("%d panels, seed %d: %v sheets, bound %v, want %v (%s): %s", c.n, c.seed, plan.Cost, plan.LowerBound, c.want,
				c.otherwise, plan.Note)
		}
	}
}

// Small orders from sheets of two sizes and an offcut: what the listed sheets prove is no more than any plan costs and the
// plan is the same whether sheets are searched whole or rounded.
func TestWholeSheetsOfSeveralKinds(t *testing.T) {
	proven := 0
	for seed := range 12 {
		d := dice(seed*31 + 7)
		p := SheetProblem{Sheets: []Sheet{{"large", 2440, 1220, 30, -1}, {"small", 1250, 1220, 17, -1}, {"offcut", 900, 800, 1, 1}}, KerfMM: 3}
		for i := range 7 {
			p.Panels = append(p.Panels, Panel{fmt.Sprint("p", i), d.roll(300, 1200), d.roll(250, 900), d.roll(1, 2), i%2 == 0})
		}
		rounded, err := SolveSheets(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		p.Effort = 1
		plan, err := SolveSheets(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if err := VerifySheets(p, plan); err != nil {
			t.Fatal(err)
		}
		if plan.Cost > rounded.Cost || plan.LowerBound < rounded.LowerBound || plan.LowerBound > plan.Cost {
			t.Errorf("order %d: %v of %v, rounded %v of %v", seed, plan.Cost, plan.LowerBound, rounded.Cost, rounded.LowerBound)
		}
		if rounded.Optimal && plan.Cost != rounded.Cost {
			t.Errorf("order %d: %v and %v are both called the least", seed, plan.Cost, rounded.Cost)
		}
		if plan.Optimal {
			proven++
		}
		t.Logf("order %d: %v of %v: %s; rounded %v of %v", seed, plan.Cost, plan.LowerBound, plan.Note, rounded.Cost, rounded.LowerBound)
	}
	if proven < 10 {
		t.Errorf("only %d of 12 are proven", proven)
	}
}

// A pattern programme that stands still, so degenerate is it, is given up after its pivots: this one took minutes.
func TestProgrammeThatStandsStillIsGivenUp(t *testing.T) {
	d := dice(10*1000 + 80)
	o := plainSheets(panelClass(&d, 10, 80))
	m := newSheetMaster(&o)
	for _, u := range o.firstPlan(0) {
		m.add(u)
	}
	bound, how := m.generate(context.Background(), 1<<62)
	if how != stopped || m.lp.Pivots()*m.lp.Rows() > sheetPivots+2000*m.lp.Rows() || bound > 14 {
		t.Errorf("bound %d, ended %d, after %d pivots of %d rows", bound, how, m.lp.Pivots(), m.lp.Rows())
	}
}
