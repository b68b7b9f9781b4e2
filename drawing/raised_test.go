package drawing

import (
	"slices"
	"testing"

	"gelwright/roof"
	"gelwright/scene"
)

// The laminate goes over a raised edge where mat is set out for it: a kerb whose top has a
// width. Else it stays flat on the deck and ends short of the trim's turn, on its flange.
func TestLaminateOfARaisedEdge(t *testing.T) {
	for _, c := range []struct {
		edge roof.Edge
		over bool
	}{
		{roof.Edge{Condition: roof.Kerb, HeightMM: 50, WidthMM: 90}, true},
		{roof.Edge{Condition: roof.Kerb, HeightMM: 50}, false},
		{roof.Edge{Condition: roof.Verge, HeightMM: 30}, false},
		{roof.Edge{Condition: roof.Verge, HeightMM: 30, WidthMM: 60}, false},
	} {
		job := garage()
		d := &detail{}
		d.raised(job, job.Decks[0], c.edge)
		top, seen := 0.0, false
		var box scene.Box
		for _, s := range d.strokes {
			if s.name == "laminate" {
				box, seen = scene.BoxOf(scene.Shape{Paths: []scene.Path{s.path}}), true
				top = box.High.Y
			}
		}
		if !seen {
			t.Fatalf("%+v: no laminate", c.edge)
		}
		if over := top > c.edge.HeightMM; over != c.over {
			t.Errorf("%+v: the laminate reaches %.0f mm up", c.edge, top)
		}
		said := slices.ContainsFunc(d.left, func(n note) bool { return n.words == "laminate ends on the trim's flange" })
		if said == c.over {
			t.Errorf("%+v: said to end on the flange: %v", c.edge, said)
		}
		// Timber of 50 mm at least under the trim, whose flange lies 80 mm on the deck.
		if end := box.High.X; !c.over && (top != skinMM || end > -20 || end < -20-flangeMM) {
			t.Errorf("%+v: the laminate ends at x %.0f, y %.0f", c.edge, end, top)
		}
	}
}
