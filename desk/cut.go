package desk

import (
	"context"

	"gelwright/cutting"
	"gelwright/settingout"
)

// LeastKeepMM is the least leftover that a list to cut tells of where nobody says what is worth keeping,
// mm: that of the boards of a plan.
const LeastKeepMM = settingout.LeastKeepMM

// Cut cuts lengths from stock with the least bought.
func Cut(ctx context.Context, p cutting.Problem) (cutting.Plan, error) {
	plan, err := cutting.Solve(ctx, p)
	return plan, as(Faulty, err)
}

// CutSheets cuts panels from sheets with the least bought.
func CutSheets(ctx context.Context, p cutting.SheetProblem) (cutting.SheetPlan, error) {
	plan, err := cutting.SolveSheets(ctx, p)
	return plan, as(Faulty, err)
}

// SheetSums are what a plan of sheets buys and uses.
type SheetSums struct {
	Sheets                     int
	BoughtM2, UsedM2, WastePct float64
}

// SumsOf adds up a plan of sheets.
func SumsOf(plan cutting.SheetPlan) SheetSums {
	var s SheetSums
	for _, x := range plan.Sheets {
		s.Sheets += x.Count
		s.BoughtM2 += float64(x.Count) * float64(x.LengthMM) * float64(x.WidthMM) / 1e6
		for _, q := range x.Placed {
			s.UsedM2 += float64(x.Count) * float64(q.LengthMM) * float64(q.WidthMM) / 1e6
		}
	}
	if s.BoughtM2 > 0 {
		s.WastePct = 100 * (s.BoughtM2 - s.UsedM2) / s.BoughtM2
	}
	return s
}
