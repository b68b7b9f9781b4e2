package cutting

import (
	"context"
	"testing"
	"time"
)

func TestPublishedInstances(t *testing.T) {
	var proven, all int
	var worst time.Duration
	for n, in := range published(t) {
		if !*full && n%3 != 0 || testing.Short() && n%12 != 0 {
			continue
		}
		start := time.Now()
		plan, err := Solve(context.Background(), in.problem)
		took := time.Since(start)
		worst = max(worst, took)
		if err != nil {
			t.Fatalf("%s: %v", in.name, err)
		}
		if err := Verify(in.problem, plan); err != nil {
			t.Errorf("%s: %v", in.name, err)
		}
		all++
		if plan.Optimal {
			proven++
		}
		if plan.LowerBound > float64(in.optimum) || plan.Cost < float64(in.optimum) || (plan.Optimal && plan.Cost != float64(in.optimum)) {
			t.Errorf("%s: %v bars, bound %v, published optimum %d", in.name, plan.Cost, plan.LowerBound, in.optimum)
		}
		t.Logf("%-28s %4v bars, bound %4v, optimum %4d, %8.1f ms: %s", in.name, plan.Cost, plan.LowerBound, in.optimum, 1000*took.Seconds(), plan.Note)
	}
	t.Logf("%d of %d proven optimal, slowest %v", proven, all, worst)
	if proven < all {
		t.Errorf("only %d of %d proven optimal", proven, all)
	}
}
