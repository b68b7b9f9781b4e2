package cutting

import "testing"

// Worked by hand: 2 × 700, 2 × 500, 2 × 400 and 2 × 300 in bars of 2 000 need two bars
// (3 800 of 4 000 mm) and 200 mm are left. In one piece they can be kept
// (700 + 700 + 300 + 300 fills a bar, 500 + 500 + 400 + 400 leaves 200); cut in the order
// given, both bars would leave 100.
func TestLeftoversAreGathered(t *testing.T) {
	p := Problem{
		Stocks: []Stock{{"bar", 2000, 1, -1}},
		Pieces: []Piece{{"a", 700, 2}, {"b", 500, 2}, {"c", 400, 2}, {"d", 300, 2}},
		KeepMM: 150,
	}
	plan := solve(t, p)
	kept := 0
	for _, b := range plan.Bars {
		if b.OffcutMM >= p.KeepMM {
			kept += b.OffcutMM * b.Count
		}
	}
	if plan.Cost != 2 || kept != 200 {
		t.Errorf("cost %v, %d mm kept, want 2 bars and 200 mm: %+v", plan.Cost, kept, plan.Bars)
	}
}
