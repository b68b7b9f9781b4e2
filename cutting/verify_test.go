package cutting

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
)

// barsToSpoil is an order that takes both kinds of bar, one of them limited.
func barsToSpoil(t *testing.T) (Problem, Plan) {
	p := Problem{
		Stocks: []Stock{{"long", 3000, 9, -1}, {"short", 1000, 2, 1}},
		Pieces: []Piece{{"sill", 1400, 2}, {"rail", 900, 1}, {"stop", 90, 2}},
		KerfMM: 3,
	}
	plan := solve(t, p)
	if len(plan.Bars) != 2 || plan.Bars[0].Stock != "long" || plan.Bars[1].Stock != "short" || plan.Bars[0].OffcutMM == 0 {
		t.Fatalf("the plan to spoil: %+v", plan)
	}
	return p, plan
}

// TestVerifyFindsSpoiltBars: for each rule of Verify one plan that breaks it.
func TestVerifyFindsSpoiltBars(t *testing.T) {
	for _, c := range []struct {
		name, want string
		spoil      func(p *Problem, plan *Plan)
	}{
		{"a stock that nobody sells", "there is no stock", func(_ *Problem, plan *Plan) { plan.Bars[0].Stock = "longer" }},
		{"a stock of another length", "there is no stock", func(_ *Problem, plan *Plan) { plan.Bars[0].LengthMM++ }},
		{"a bar cut no times", "cut 0 times", func(_ *Problem, plan *Plan) { plan.Bars[1].Count = 0 }},
		{"a bar without pieces", "into 0 sizes", func(_ *Problem, plan *Plan) { plan.Bars[1].Cuts = nil }},
		{"none of a piece", "0 of piece", func(_ *Problem, plan *Plan) { plan.Bars[0].Cuts[0].Count = 0 }},
		{"a saw cut too wide by 1 mm", "pieces and saw cuts need", func(p *Problem, plan *Plan) {
			b := &plan.Bars[0]
			n := -1
			for _, c := range b.Cuts {
				n += c.Count
			}
			p.Stocks[0].LengthMM -= b.OffcutMM + p.KerfMM + 1
			b.LengthMM, b.OffcutMM = p.Stocks[0].LengthMM, 0
		}},
		{"an offcut 1 mm too long", "the offcut is", func(_ *Problem, plan *Plan) { plan.Bars[0].OffcutMM++ }},
		{"more bars than are in hand", "2 bars are used, 1 are available", func(p *Problem, plan *Plan) {
			plan.Bars[1].Count, p.Pieces[1].Count, p.Pieces[2].Count = 2, 2, 2
		}},
		{"a piece too few", "2 cut, 3 wanted", func(p *Problem, _ *Plan) { p.Pieces[0].Count = 3 }},
		{"a piece too many", "2 cut, 1 wanted", func(p *Problem, _ *Plan) { p.Pieces[0].Count = 1 }},
		{"a piece 1 mm short", "0 cut, 2 wanted", func(p *Problem, _ *Plan) { p.Pieces[0].LengthMM++ }},
		{"a piece nobody ordered", "nobody ordered", func(p *Problem, _ *Plan) { p.Pieces = p.Pieces[:2] }},
		{"a cost that is not the bars'", "the bars cost", func(_ *Problem, plan *Plan) { plan.Cost++ }},
		{"a bound above the cost", "is not between 0 and the cost", func(_ *Problem, plan *Plan) { plan.LowerBound = plan.Cost + 1 }},
		{"a bound that is no number", "is not between 0 and the cost", func(_ *Problem, plan *Plan) { plan.LowerBound = math.NaN() }},
		{"optimal with a gap", "called optimal with a gap", func(_ *Problem, plan *Plan) { plan.Gap = 0.1 }},
		{"a gap hidden", "the gap is", func(_ *Problem, plan *Plan) { plan.Optimal, plan.LowerBound = false, plan.Cost/2 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, plan := barsToSpoil(t)
			c.spoil(&p, &plan)
			if err := Verify(p, plan); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Verify says %v, not that %q", err, c.want)
			}
		})
	}
}

// sheetsToSpoil is an order of two sheets of one kind and an offcut in hand.
func sheetsToSpoil(t *testing.T) (SheetProblem, SheetPlan) {
	p := SheetProblem{
		Sheets: []Sheet{{"board", 2400, 1200, 30, -1}, {"offcut", 900, 600, 0, 1}},
		Panels: []Panel{{"a", 1300, 700, 2, false}, {"b", 400, 850, 1, true}, {"c", 900, 500, 1, false}},
		KerfMM: 3, KeepLengthMM: 100, KeepWidthMM: 100,
	}
	plan, err := SolveSheets(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	if err := VerifySheets(p, plan); err != nil {
		t.Fatal(err)
	}
	return p, plan
}

// sheetWith returns the sheet of a plan on which a panel lies, and where in its list.
func sheetWith(plan *SheetPlan, panel string) (*CutSheet, *Placed) {
	for i := range plan.Sheets {
		s := &plan.Sheets[i]
		if k := slices.IndexFunc(s.Placed, func(q Placed) bool { return q.Panel == panel }); k >= 0 {
			return s, &s.Placed[k]
		}
	}
	return nil, nil
}

// TestVerifyFindsSpoiltSheets: for each rule of VerifySheets one plan that breaks it.
func TestVerifyFindsSpoiltSheets(t *testing.T) {
	for _, c := range []struct {
		name, want string
		spoil      func(p *SheetProblem, plan *SheetPlan)
	}{
		{"a sheet that nobody sells", "there is no sheet", func(_ *SheetProblem, plan *SheetPlan) { plan.Sheets[0].Sheet = "plate" }},
		{"a sheet cut no times", "cut 0 times", func(_ *SheetProblem, plan *SheetPlan) { plan.Sheets[0].Count = 0 }},
		{"a sheet without panels", "into 0 panels", func(_ *SheetProblem, plan *SheetPlan) { plan.Sheets[0].Placed = nil }},
		{"a cut through a part that is not there", "there is no part", func(_ *SheetProblem, plan *SheetPlan) {
			s, _ := sheetWith(plan, "a")
			s.Cuts[0].Part.LengthMM--
		}},
		{"the same cut twice", "there is no part", func(_ *SheetProblem, plan *SheetPlan) {
			s, _ := sheetWith(plan, "a")
			s.Cuts = slices.Insert(s.Cuts, 1, s.Cuts[0])
		}},
		{"a cut off the sheet", "mm of", func(_ *SheetProblem, plan *SheetPlan) {
			s, _ := sheetWith(plan, "a")
			s.Cuts[0].AtMM = 5000
		}},
		{"a cut at nothing", "at 0 mm of", func(_ *SheetProblem, plan *SheetPlan) {
			s, _ := sheetWith(plan, "a")
			s.Cuts[0].AtMM = 0
		}},
		{"a panel beside its part", "is not a part that the cuts leave", func(_ *SheetProblem, plan *SheetPlan) {
			_, q := sheetWith(plan, "a")
			q.XMM++
		}},
		{"two panels in one place", "overlap", func(p *SheetProblem, plan *SheetPlan) {
			s, q := sheetWith(plan, "a")
			s.Placed = append(s.Placed, *q)
		}},
		{"a panel turned that may not be", "may not be turned", func(p *SheetProblem, plan *SheetPlan) {
			_, q := sheetWith(plan, "a")
			q.Turned = true
		}},
		{"an offcut that is not left", "offcut", func(_ *SheetProblem, plan *SheetPlan) {
			plan.Sheets[0].Offcuts = append(plan.Sheets[0].Offcuts, Rect{0, 0, 2399, 7})
		}},
		{"more sheets than are in hand", "are used, 0 are available", func(p *SheetProblem, plan *SheetPlan) {
			for i := range p.Sheets {
				p.Sheets[i].Available = 0
			}
		}},
		{"a panel too few", "cut, 3 wanted", func(p *SheetProblem, _ *SheetPlan) { p.Panels[0].Count = 3 }},
		{"a panel left out", "none cut, 1 wanted", func(p *SheetProblem, _ *SheetPlan) { p.Panels = append(p.Panels, Panel{"d", 10, 10, 1, false}) }},
		{"a panel nobody ordered", "cut, 0 wanted", func(p *SheetProblem, _ *SheetPlan) { p.Panels = p.Panels[:2] }},
		{"a cost that is not the sheets'", "the sheets cost", func(_ *SheetProblem, plan *SheetPlan) { plan.Cost++ }},
		{"a bound above the cost", "is not between 0 and the cost", func(_ *SheetProblem, plan *SheetPlan) { plan.LowerBound = plan.Cost + 1 }},
		{"a saw cut wider than planned", "part", func(p *SheetProblem, _ *SheetPlan) { p.KerfMM++ }},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, plan := sheetsToSpoil(t)
			c.spoil(&p, &plan)
			if err := VerifySheets(p, plan); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("VerifySheets says %v, not that %q", err, c.want)
			}
		})
	}
}
