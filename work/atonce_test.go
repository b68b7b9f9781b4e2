package work_test

import (
	"fmt"
	"testing"

	"gelwright/store"
	"gelwright/work"
)

// TestWorkersShareAndDoNothingTwiceAtOnce has two workers of two processes' kind on one folder, and orders from several goroutines.
func TestWorkersShareAndDoNothingTwiceAtOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		a, b := open(), open()
		a.worker(work.Settings{Threads: 3})
		b.worker(work.Settings{Threads: 3})
		jobs := make([]store.ID, 24)
		for i := range jobs {
			jobs[i] = a.job(fmt.Sprintf("Garage %d", i), "r01-garage")
		}
		orders := make(chan work.Work, 2*len(jobs))
		for i, id := range jobs {
			for _, o := range []*office{a, b} {
				go func() {
					list, err := o.queue.Replan(t.Context(), []store.ID{id}, fmt.Sprintf("office %d", i))
					if err != nil || len(list) != 1 {
						t.Error(list, err)
						orders <- work.Work{}
						return
					}
					orders <- list[0]
				}()
			}
		}
		for range cap(orders) {
			w := <-orders
			if w.ID == "" {
				continue
			}
			if w = a.ended(w.ID); w.State != work.Done || w.Tries != 1 {
				t.Errorf("%+v", w)
			}
		}
		for _, id := range jobs {
			if c, err := b.queue.Chance(t.Context(), id); err != nil || c.Verdict != work.NoWeather || c.Runs != 1 {
				t.Errorf("job %s: %+v (%v)", id, c, err)
			}
		}
	})
}
