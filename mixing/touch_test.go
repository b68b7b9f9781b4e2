package mixing

import (
	"fmt"
	"testing"

	"gelwright/plane"
)

// Two strips laid in two lengths each, the joint of the upper one past that of the
// lower: its first length lies on the second below it once they meet along more than
// 20 mm, which a lap of mat always does and a corner never.
func TestPiecesThatMeetAtACornerDoNotBind(t *testing.T) {
	cells := []Cell{box("M1", 1, 0, 0, 4, 1, 1.5), box("M2", 2, 0, 1, 4, 2, 1.5)}
	cells[1].Over = []int{0}
	for _, row := range []struct {
		pastM float64
		on    int
	}{{0, 1}, {0.015, 1}, {0.019, 1}, {0.021, 2}, {0.05, 2}, {0.19, 2}, {0.5, 2}} {
		var pieces []piece
		for _, p := range []struct{ of, bay, x0, x1 float64 }{{0, 0, 0, 2}, {0, 1, 2, 4}, {1, 0, 0, 2 + row.pastM}, {1, 1, 2 + row.pastM, 4}} {
			pieces = append(pieces, piece{of: int(p.of), bay: int(p.bay),
				Cell: box(fmt.Sprintf("P%v.%v", p.of, p.bay), int(p.of)+1, p.x0, p.of, p.x1, p.of+1, 1.5)})
		}
		on := lapsOf(cells, pieces)
		if len(on[2]) != row.on {
			t.Errorf("%g m past the joint: the upper length lies on %v, want %d lengths", row.pastM, on[2], row.on)
		}
		if len(on[3]) != 1 || on[3][0] != 1 {
			t.Errorf("%g m past the joint: the other upper length lies on %v, want the second", row.pastM, on[3])
		}
		if len(on[0])+len(on[1]) != 0 {
			t.Errorf("%g m past the joint: the lower strip lies on %v and %v", row.pastM, on[0], on[1])
		}
	}
}

// Neighbours have a joint from 20 mm of common edge, and a way between them from 0.3 m;
// edges up to 0.12 m apart, the lap of mat, are one joint.
func TestCellsAreJoinedAndWalkedFromALength(t *testing.T) {
	for _, row := range []struct {
		name          string
		x0, y0        float64 // of the second cell, 3 × 3 m as the first
		joined, walks bool
	}{
		{"corner to corner", 3, 3, false, false},
		{"19 mm", 2.981, 3, false, false},
		{"21 mm", 2.979, 3, true, false},
		{"0.29 m", 2.71, 3, true, false},
		{"0.31 m", 2.69, 3, true, true},
		{"side by side", 3, 0, true, true},
		{"over by 0.11 m", 0, 2.89, true, true},
		{"a gap of 0.11 m", 0, 3.11, true, true},
		{"a gap of 0.13 m", 0, 3.13, false, false},
	} {
		cells := []Cell{box("a", 1, 0, 0, 3, 3, 1.5), box("b", 2, row.x0, row.y0, row.x0+3, row.y0+3, 1.5)}
		g := survey(cells, []plane.Point{{X: -1}})
		if got := len(g.joins[0]) == 1; got != row.joined {
			t.Errorf("%s: joined is %v", row.name, got)
		}
		if got := len(g.walks[1]) == 1; got != row.walks {
			t.Errorf("%s: a way between them is %v", row.name, got)
		}
	}
}
