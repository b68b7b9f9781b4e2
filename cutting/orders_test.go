package cutting

import (
	"context"
	"fmt"
	"testing"
	"time"
)

// sheetOrders are the orders of panels that the table of docs/engineering/cutting.md counts: orders as a joiner
// sends them, random orders after the ten classes of Berkey and Wang (1987) and of Martello and Vigo (1998; both from
// memory), and the public plates of testdata/knapsack with what they ask of each panel (gcut: one).
func sheetOrders(t testing.TB) []struct {
	group, name string
	p           SheetProblem
} {
	type order = struct {
		group, name string
		p           SheetProblem
	}
	var all []order
	for _, n := range []int{10, 12, 16, 20, 25, 30, 40, 60, 200} {
		for seed := uint64(20); seed < 26; seed++ {
			if n == 200 && seed > 21 {
				break
			}
			for _, turn := range []bool{true, false} {
				all = append(all, order{"joiner", fmt.Sprintf("%d panels, seed %d, turn %v", n, seed, turn), randomPanels(seed, n, turn)})
			}
		}
	}
	for class := 1; class <= 10; class++ {
		for _, n := range []int{20, 40, 60, 80, 100} {
			d := dice(class*1000 + n)
			all = append(all, order{fmt.Sprint("class ", class), fmt.Sprint(n), panelClass(&d, class, n)})
		}
	}
	for _, q := range plates(t) {
		s := q.order.sheets[0]
		p := SheetProblem{Sheets: []Sheet{{Name: "s", LengthMM: s.l, WidthMM: s.w, Cost: 1, Available: -1}}, Effort: 1}
		for i, it := range q.order.items {
			n := it.d
			if !q.limited {
				n = 1
			}
			p.Panels = append(p.Panels, Panel{fmt.Sprint(i), it.l, it.w, n, false})
		}
		all = append(all, order{"plates", q.name, p})
	}
	for i := range all {
		all[i].p.Effort = 1
	}
	return all
}

// panelClass draws an order of one of the ten classes: 1 to 6 all sides from 1 to a most, 7 to 10 mostly long, high,
// large or small panels.
func panelClass(d *dice, class, n int) SheetProblem {
	side := []int{0, 10, 30, 40, 100, 100, 300, 100, 100, 100, 100}[class]
	most := []int{0, 10, 10, 35, 35, 100, 100}
	p := SheetProblem{Sheets: []Sheet{{Name: "s", LengthMM: side, WidthMM: side, Cost: 1, Available: -1}}}
	for i := range n {
		var l, w int
		if class <= 6 {
			l, w = d.roll(1, most[class]), d.roll(1, most[class])
		} else {
			kind := class - 7
			if d.roll(1, 10) > 7 {
				kind = (kind + d.roll(1, 3)) % 4
			}
			switch kind {
			case 0:
				l, w = d.roll(2*side/3, side), d.roll(1, side/2)
			case 1:
				l, w = d.roll(1, side/2), d.roll(2*side/3, side)
			case 2:
				l, w = d.roll(side/2, side), d.roll(side/2, side)
			default:
				l, w = d.roll(1, side/2), d.roll(1, side/2)
			}
		}
		p.Panels = append(p.Panels, Panel{fmt.Sprint(i), l, w, 1, false})
	}
	return p
}

// TestSheetOrders prints the table and asks that no fewer orders are proven than were: all of them with -full, a fifth without.
func TestSheetOrders(t *testing.T) {
	if testing.Short() {
		t.Skip("takes minutes")
	}
	type sum struct {
		proven, all, open int
		worst             time.Duration
	}
	sums := map[string]*sum{}
	var names []string
	for n, q := range sheetOrders(t) {
		if !*full && n%5 != 0 {
			continue
		}
		if sums[q.group] == nil {
			sums[q.group] = &sum{}
			names = append(names, q.group)
		}
		start := time.Now()
		plan, err := SolveSheets(context.Background(), q.p)
		took := time.Since(start)
		if err != nil {
			t.Fatal(err)
		}
		if err := VerifySheets(q.p, plan); err != nil {
			t.Errorf("%s %s: %v", q.group, q.name, err)
		}
		s := sums[q.group]
		s.all++
		s.worst = max(s.worst, took)
		if plan.Optimal {
			s.proven++
		}
		s.open += int(plan.Cost - plan.LowerBound)
		t.Logf("%-9s %-26s %4v sheets, bound %4v, %8.1f ms: %s", q.group, q.name, plan.Cost, plan.LowerBound, 1000*took.Seconds(), plan.Note)
	}
	proven, all := 0, 0
	for _, name := range names {
		s := sums[name]
		proven, all = proven+s.proven, all+s.all
		t.Logf("%-9s %3d of %3d proven, %d sheets open, slowest %v", name, s.proven, s.all, s.open, s.worst)
	}
	t.Logf("%d of %d proven", proven, all)
	if 100*proven < 75*all {
		t.Errorf("only %d of %d orders are proven", proven, all)
	}
}
