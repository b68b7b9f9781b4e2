package cutting

import (
	"context"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drawProblem makes small mixed orders: kerf, several stocks, limits, costs.
func drawProblem(t *rapid.T) Problem {
	var p Problem
	p.KerfMM = rapid.SampledFrom([]int{0, 0, 3, 5}).Draw(t, "kerf")
	p.KeepMM = rapid.SampledFrom([]int{0, 40}).Draw(t, "keep")
	n := rapid.IntRange(1, 3).Draw(t, "stocks")
	for k := 0; k < n; k++ {
		p.Stocks = append(p.Stocks, Stock{
			Name:      string(rune('A' + k)),
			LengthMM:  rapid.IntRange(60, 200).Draw(t, "length"),
			Cost:      float64(rapid.IntRange(0, 30).Draw(t, "cost")) / 2,
			Available: rapid.IntRange(0, 4).Draw(t, "available"),
		})
	}
	p.Stocks = append(p.Stocks, Stock{"long", 200, 12, -1})
	m := rapid.IntRange(1, 6).Draw(t, "pieces")
	for i := 0; i < m; i++ {
		p.Pieces = append(p.Pieces, Piece{
			Name:     string(rune('a' + i)),
			LengthMM: rapid.IntRange(10, 120).Draw(t, "piece"),
			Count:    rapid.IntRange(0, 6).Draw(t, "count"),
		})
	}
	return p
}

func solve(t interface{ Fatalf(string, ...any) }, p Problem) Plan {
	plan, err := Solve(context.Background(), p)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if err := Verify(p, plan); err != nil {
		t.Fatalf("%v\n%+v\n%+v", err, p, plan)
	}
	return plan
}

func TestPlansVerifyAndDoNotDependOnOrderOrScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		plan := solve(t, p)
		turned := p
		turned.Pieces = rapid.Permutation(p.Pieces).Draw(t, "order")
		if other := solve(t, turned); other.Cost != plan.Cost || other.LowerBound != plan.LowerBound {
			t.Fatalf("cost %v (bound %v) became %v (%v) when the pieces were listed otherwise", plan.Cost, plan.LowerBound, other.Cost, other.LowerBound)
		}
		scaled := p
		scaled.KerfMM *= 7
		scaled.Stocks = append([]Stock(nil), p.Stocks...)
		scaled.Pieces = append([]Piece(nil), p.Pieces...)
		for i := range scaled.Stocks {
			scaled.Stocks[i].LengthMM *= 7
		}
		for i := range scaled.Pieces {
			scaled.Pieces[i].LengthMM *= 7
		}
		if other := solve(t, scaled); math.Abs(other.Cost-plan.Cost) > 1e-9 {
			t.Fatalf("cost %v became %v when all lengths grew sevenfold", plan.Cost, other.Cost)
		}
	})
}

func TestFaults(t *testing.T) {
	one := []Stock{{"bar", 1000, 1, -1}}
	for _, row := range []struct {
		name string
		p    Problem
		kind error
	}{
		{"piece longer than all stock", Problem{Stocks: one, Pieces: []Piece{{"sill", 1001, 1}}}, ErrTooLong},
		{"no stock", Problem{Pieces: []Piece{{"sill", 10, 1}}}, ErrTooLong},
		{"stock that is not there", Problem{Stocks: []Stock{{"bar", 1000, 1, 0}}, Pieces: []Piece{{"sill", 10, 1}}}, ErrTooLong},
		{"negative length", Problem{Stocks: one, Pieces: []Piece{{"sill", -1, 1}}}, ErrInput},
		{"zero length", Problem{Stocks: one, Pieces: []Piece{{"sill", 0, 1}}}, ErrInput},
		{"negative count", Problem{Stocks: one, Pieces: []Piece{{"sill", 1, -1}}}, ErrInput},
		{"negative kerf", Problem{Stocks: one, KerfMM: -1}, ErrInput},
		{"cost not a number", Problem{Stocks: []Stock{{"bar", 1000, math.NaN(), -1}}}, ErrInput},
		{"more than can be counted", Problem{Stocks: []Stock{{"bar", 1 << 30, 1, -1}}, Pieces: []Piece{{"sill", 1 << 30, 1 << 30}}}, ErrTooBig},
		{"stock too short in sum", Problem{Stocks: []Stock{{"bar", 1000, 1, 2}}, Pieces: []Piece{{"sill", 600, 3}}}, ErrNotEnough},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Solve(context.Background(), row.p)
			var f *Fault
			if !errors.Is(err, row.kind) || !errors.As(err, &f) {
				t.Fatalf("got %v, want %v", err, row.kind)
			}
		})
	}
	if _, err := Solve(context.Background(), Problem{Stocks: one, Pieces: []Piece{{"sill", 1001, 1}}}); err == nil ||
		err.Error() != `piece "sill": 1001 mm is 1 mm longer than the longest stock (stock "bar", 1000 mm). Add a longer stock, or make the piece in two` {
		t.Errorf("the fault reads %v", err)
	}
}

func TestNothingWantedCostsNothing(t *testing.T) {
	plan := solve(t, Problem{Stocks: []Stock{{"bar", 1000, 1, -1}}, Pieces: []Piece{{"sill", 10, 0}}})
	if plan.Cost != 0 || !plan.Optimal || len(plan.Bars) != 0 {
		t.Errorf("%+v", plan)
	}
}

func drawSheets(t *rapid.T) SheetProblem {
	p := SheetProblem{KerfMM: rapid.SampledFrom([]int{0, 3}).Draw(t, "kerf"), KeepLengthMM: 20, KeepWidthMM: 20}
	n := rapid.IntRange(0, 2).Draw(t, "sheets")
	for k := 0; k < n; k++ {
		p.Sheets = append(p.Sheets, Sheet{
			Name:      string(rune('A' + k)),
			LengthMM:  rapid.IntRange(30, 200).Draw(t, "length"),
			WidthMM:   rapid.IntRange(30, 100).Draw(t, "width"),
			Cost:      float64(rapid.IntRange(1, 30).Draw(t, "cost")),
			Available: rapid.IntRange(0, 3).Draw(t, "available"),
		})
	}
	p.Sheets = append(p.Sheets, Sheet{"big", 200, 100, 20, -1})
	m := rapid.IntRange(1, 5).Draw(t, "panels")
	for i := 0; i < m; i++ {
		p.Panels = append(p.Panels, Panel{
			Name:     string(rune('a' + i)),
			LengthMM: rapid.IntRange(10, 100).Draw(t, "l"),
			WidthMM:  rapid.IntRange(10, 90).Draw(t, "w"),
			Count:    rapid.IntRange(0, 5).Draw(t, "count"),
			Rotate:   rapid.Bool().Draw(t, "rotate"),
		})
	}
	return p
}

func TestSheetPlansVerify(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSheets(t)
		plan, err := SolveSheets(context.Background(), p)
		if err != nil {
			t.Fatalf("%v", err)
		}
		if err := VerifySheets(p, plan); err != nil {
			t.Fatalf("%v\n%+v\n%+v", err, p, plan)
		}
	})
}
