package method

import (
	"strings"
	"testing"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/plane"
	"gelwright/roof"
)

// One of a thing is said in the singular.
func TestBucketsInOrder(t *testing.T) {
	for _, c := range []struct {
		numbers []int
		want    string
	}{{[]int{3}, "one bucket, number 3, ending"}, {[]int{3, 4}, "2 buckets, numbers 3 to 4, in that order"}} {
		p := laying.Pass{Plan: &mixing.Plan{}}
		for _, n := range c.numbers {
			p.Plan.Mixes = append(p.Plan.Mixes, mixing.Mix{Number: n})
		}
		if got := bucketsInOrder(&p); !strings.HasPrefix(got, c.want) {
			t.Errorf("buckets %v: %q, want %q", c.numbers, got, c.want)
		}
	}
}

// One board piece has one number; several have theirs.
func TestBoardsByNumber(t *testing.T) {
	for n, want := range map[int]string{1: "one carrier board piece by its number", 8: "8 carrier board pieces by their numbers"} {
		if pieces, numbers := byNumber(n, "carrier board"); pieces+" by "+numbers != want {
			t.Errorf("%s by %s, want %s", pieces, numbers, want)
		}
	}
}

// A carpenter reads in the method behind which openings a saddle is built: those that stand wide across the flow and have water come
// down behind them.
func TestSaddlesAreTold(t *testing.T) {
	box := func(x, y, side float64) plane.Ring {
		return plane.RingOf(plane.Point{X: x, Y: y}, plane.Point{X: x + side, Y: y}, plane.Point{X: x + side, Y: y + side}, plane.Point{X: x, Y: y + side})
	}
	deck := roof.Deck{Name: "main", Outline: box(0, 0, 6), Edges: make([]roof.Edge, 4),
		Openings: []roof.Opening{{Name: "RL1", Kind: "rooflight", Outline: box(2, 2, 0.9)}, {Name: "RL2", Kind: "rooflight", Outline: box(4, 2, 0.5)}}}
	deck.Falls.Planes = []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}
	w := &writer{in: &Input{}}
	w.saddles(&Deck{Deck: deck})
	if len(w.steps) != 1 || !strings.Contains(w.steps[0].Act, "behind RL1,") || strings.Contains(w.steps[0].Act, "RL2") {
		t.Errorf("%+v", w.steps)
	}
}
