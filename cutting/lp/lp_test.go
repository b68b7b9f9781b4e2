package lp

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	gonum "gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// TestAgainstGonum compares optima with the simplex of gonum v0.17 on random
// covering programmes with some rows turned to at-most rows that leave room.
func TestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(1, 8).Draw(t, "rows")
		n := rapid.IntRange(1, 15).Draw(t, "columns")
		s := New(1e6)
		a := mat.NewDense(m, n+2*m, nil)
		b := make([]float64, m)
		c := make([]float64, n+2*m)
		for i := range b {
			b[i] = float64(rapid.IntRange(1, 9).Draw(t, "b"))
			kind := AtLeast
			if rapid.IntRange(0, 3).Draw(t, "kind") == 0 {
				kind = AtMost
				a.Set(i, n+i, 1)
			} else {
				a.Set(i, n+i, -1)
			}
			// The penalty column makes gonum's programme solvable as ours is.
			a.Set(i, n+m+i, -a.At(i, n+i))
			c[n+m+i] = 1e6
			s.AddRow(kind, b[i], nil, nil)
		}
		add := func(j int) {
			var rows []int32
			var vals []float64
			c[j] = float64(rapid.IntRange(1, 9).Draw(t, "c"))
			for i := 0; i < m; i++ {
				if v := rapid.IntRange(-1, 3).Draw(t, "a"); v > 0 {
					rows = append(rows, int32(i))
					vals = append(vals, float64(v))
					a.Set(i, j, float64(v))
				}
			}
			s.AddColumn(c[j], rows, vals)
		}
		for j := 0; j < n/2; j++ {
			add(j)
		}
		s.Solve(1000)
		for j := n / 2; j < n; j++ {
			add(j)
		}
		if !s.Solve(1000) {
			t.Fatal("not solved")
		}
		want, _, err := gonum.Simplex(c, a, b, 1e-10, nil)
		if err != nil {
			t.Skip("gonum: ", err)
		}
		if got := s.Objective(); math.Abs(got-want) > 1e-6*math.Max(1, want) {
			t.Fatalf("got %v, gonum %v", got, want)
		}
		price := 0.0
		for i := range b {
			price += b[i] * s.Dual(i)
		}
		if math.Abs(price-want) > 1e-6*math.Max(1, want) {
			t.Fatalf("duals give %v, gonum %v", price, want)
		}
		for j := 0; j < n; j++ {
			if s.ReducedCost(j) < -1e-6 {
				t.Fatalf("column %d has reduced cost %v", j, s.ReducedCost(j))
			}
		}
	})
}

// TestChangesKeepTheOptimum adds rows, bans columns, changes right-hand sides and goes back,
// and compares with a fresh solve each time.
func TestChangesKeepTheOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.IntRange(1, 6).Draw(t, "rows")
		n := rapid.IntRange(1, 12).Draw(t, "columns")
		s := New(1000)
		for i := 0; i < m; i++ {
			s.AddRow(AtLeast, float64(rapid.IntRange(1, 5).Draw(t, "b")), nil, nil)
		}
		for j := 0; j < n; j++ {
			var rows []int32
			var vals []float64
			for i := 0; i < m; i++ {
				if v := rapid.IntRange(-1, 2).Draw(t, "a"); v > 0 {
					rows, vals = append(rows, int32(i)), append(vals, float64(v))
				}
			}
			s.AddColumn(float64(rapid.IntRange(1, 5).Draw(t, "c")), rows, vals)
		}
		same := func(what string) {
			if !s.Solve(1000) {
				t.Fatalf("%s: not solved", what)
			}
			fresh := New(1000)
			for r := range s.rhs {
				fresh.AddRow(s.kind[r], s.rhs[r], nil, nil)
			}
			for j := range s.cost {
				fresh.AddColumn(s.cost[j], s.rows[j], s.vals[j])
				if s.banned[j] {
					fresh.Ban(j)
				}
			}
			fresh.Solve(1000)
			if (s.Violation() > 1e-7) != (fresh.Violation() > 1e-7) {
				t.Fatalf("%s: violation %v, afresh %v", what, s.Violation(), fresh.Violation())
			}
			// What a violation costs depends on the columns that were banned while in use.
			if s.Violation() > 1e-7 {
				return
			}
			if a, b := s.Objective(), fresh.Objective(); math.Abs(a-b) > 1e-6*math.Max(1, b) {
				t.Fatalf("%s: %v, afresh %v", what, a, b)
			}
		}
		same("first")
		before, st := s.Objective(), s.Save()
		s.AddRow(AtMost, float64(rapid.IntRange(0, 2).Draw(t, "limit")), []int{0}, []float64{1})
		same("with a limit")
		s.Ban(n - 1)
		same("with a ban")
		s.SetRHS(0, float64(rapid.IntRange(0, 7).Draw(t, "b0")))
		same("with another right-hand side")
		s.Allow(n - 1)
		s.Restore(st)
		same("back again")
		if s.Violation() < 1e-7 && math.Abs(before-s.Objective()) > 1e-6*before {
			t.Fatalf("back again: %v, was %v", s.Objective(), before)
		}
	})
}
