package cutting

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// randomPanels draws an order of panels from 200 × 150 to 1 200 × 850 mm.
func randomPanels(seed uint64, n int, rotate bool) SheetProblem {
	r := rand.New(rand.NewPCG(3, seed))
	p := SheetProblem{Sheets: []Sheet{{Name: "s", LengthMM: 2440, WidthMM: 1220, Cost: 1, Available: -1}}, KerfMM: 3}
	for i := range n {
		p.Panels = append(p.Panels, Panel{Name: fmt.Sprint(i), LengthMM: 200 + r.IntN(1000), WidthMM: 150 + r.IntN(700), Count: 1, Rotate: rotate})
	}
	return p
}

// Sheets cut anew give fewer sheets, and never a plan that does not add up; with more
// effort none is worse.
func TestSheetsCutAnewAreFewer(t *testing.T) {
	fewer := 0
	for _, c := range []struct {
		seed   uint64
		n      int
		rotate bool
	}{{4, 12, true}, {5, 12, true}, {6, 14, false}, {7, 16, true}, {8, 200, true}, {9, 200, false}} {
		if c.n > 100 && testing.Short() {
			continue
		}
		p := randomPanels(c.seed, c.n, c.rotate)
		before := 0.0
		for effort := range 2 {
			p.Effort = effort
			plan, err := SolveSheets(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			if err := VerifySheets(p, plan); err != nil {
				t.Fatal(err)
			}
			if plan.Cost < plan.LowerBound || effort > 0 && plan.Cost > before {
				t.Errorf("%+v: %g sheets after %g, bound %g", c, plan.Cost, before, plan.LowerBound)
			}
			if effort > 0 && plan.Cost < before {
				fewer++
			}
			t.Logf("%+v effort %d: %g sheets, bound %g, %s", c, effort, plan.Cost, plan.LowerBound, plan.Note)
			before = plan.Cost
		}
	}
	if fewer == 0 {
		t.Error("no order takes fewer sheets when they are cut anew")
	}
}

func TestEffortIsStepsAllowed(t *testing.T) {
	for effort, times := range map[int]int{0: 1, 1: 1, 7: 7} {
		o := plain(Problem{Stocks: []Stock{{LengthMM: 10, Available: -1}}, Pieces: []Piece{{LengthMM: 3, Count: 4}}, Effort: effort})
		if got := newMaster(&o).treeWork; got != times*treeWork {
			t.Errorf("effort %d allows %d steps", effort, got)
		}
	}
}
