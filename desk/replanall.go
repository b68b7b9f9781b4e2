package desk

import (
	"cmp"
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gelwright/roof"
	"gelwright/weather"
)

// Beside orders roofs so that those come one after another that have their weather in common, of one place first and then of one
// build-up: as cmp.Compare does.
func Beside(a, b *roof.Job) int {
	x, y := &a.Site, &b.Site
	return cmp.Or(cmp.Compare(x.LatDeg, y.LatDeg), cmp.Compare(x.LonDeg, y.LonDeg), cmp.Compare(x.AltitudeM, y.AltitudeM),
		cmp.Compare(a.Spec.Build, b.Spec.Build), cmp.Compare(insulationMM(a), insulationMM(b)),
		cmp.Compare(a.Spec.Board.ThicknessMM, b.Spec.Board.ThicknessMM), cmp.Compare(a.Use.Below, b.Use.Below))
}

func insulationMM(j *roof.Job) float64 {
	if j.Spec.Insulation == nil {
		return 0
	}
	return j.Spec.Insulation.ThicknessMM
}

// Replan re-plans roofs under one forecast on all processors, and answers in their order. What is wrong with
// one roof, or with the weather over it, is its Fault and keeps no other from its answer; the error is that of
// a context that is done, and then there is no answer. shared may be nil.
func Replan(ctx context.Context, roofs []Planned, f weather.Forecast, look Look, shared *Shared) ([]Replanned, error) {
	m := NewMorning(f, look, shared)
	out := make([]Replanned, len(roofs))
	// Roofs of one place one after another: they have their weather in common.
	order := make([]int, len(roofs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return Beside(roofs[a].roof(), roofs[b].roof()) })
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(roofs)) {
		all.Go(func() {
			for ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= len(order) {
					return
				}
				i := order[k]
				r, err := m.Replan(ctx, roofs[i])
				if err != nil {
					r = &Replanned{Name: roofs[i].Job.Name, Was: roofs[i].Was, Fault: err}
				}
				out[i] = *r
			}
		})
	}
	all.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return out, nil
}
