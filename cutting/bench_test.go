package cutting

import (
	"context"
	"testing"
)

// BenchmarkFamilies solves the published instances of each family, one after another.
func BenchmarkFamilies(b *testing.B) {
	groups := map[string][]instance{}
	var names []string
	for _, in := range published(b) {
		if groups[in.group] == nil {
			names = append(names, in.group)
		}
		groups[in.group] = append(groups[in.group], in)
	}
	for _, name := range names {
		b.Run(name, func(b *testing.B) {
			proven, all := 0, 0
			for n := 0; b.Loop(); n++ {
				in := groups[name][n%len(groups[name])]
				plan, err := Solve(context.Background(), in.problem)
				if err != nil {
					b.Fatal(err)
				}
				if all++; plan.Optimal {
					proven++
				}
			}
			b.ReportMetric(100*float64(proven)/float64(all), "%proven")
		})
	}
}

// BenchmarkPlates solves the published plates with unlimited copies exactly.
func BenchmarkPlates(b *testing.B) {
	for _, p := range plates(b) {
		if p.limited {
			continue
		}
		b.Run(p.name, func(b *testing.B) {
			for b.Loop() {
				g := newGrid(&p.order, p.order.sheets[0].l, p.order.sheets[0].w)
				g.solve(&p.order, p.values)
			}
		})
	}
}

// BenchmarkBoards cuts a random order of board pieces with mixed prices and offcuts.
func BenchmarkBoards(b *testing.B) {
	p := boards()
	for b.Loop() {
		if _, err := SolveSheets(context.Background(), p); err != nil {
			b.Fatal(err)
		}
	}
}
