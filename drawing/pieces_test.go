package drawing

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/plane"
	"gelwright/scene"
)

func rect(x0, y0, x1, y1 float64) []plane.Point {
	return []plane.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// strips is an invented set-out: overlapping strips along the garage, and slivers
// too small for their numbers.
func stripSheet(t *testing.T) *Sheet {
	t.Helper()
	job := garage()
	s, err := SetOutSheet(job, 0, TitleOf(job, "Set-out of the mat, layer 1"), 16, nil)
	if err != nil {
		t.Fatal(err)
	}
	var pieces []LabelledShape
	grey := scene.LightGrey
	for i := range 6 {
		y := 0.95 * float64(i)
		p := LabelledShape{ID: fmt.Sprintf("strip-%d", i+1), Label: fmt.Sprint(i + 1), Sub: "1000 × 3050", Shape: rect(0, y, 3.05, min(y+1, 5.6)), Class: "strip", Title: fmt.Sprintf("Strip %d", i+1)}
		switch i % 3 {
		case 1:
			p.Tint = &grey
		case 2:
			p.Hatch = scene.Diagonal(4)
		}
		pieces = append(pieces, p)
	}
	for i := range 3 {
		y := 1.7 * float64(i)
		pieces = append(pieces, LabelledShape{ID: fmt.Sprintf("sliver-%d", i), Label: fmt.Sprintf("%d", 7+i), Shape: rect(3.05, y, 3.2, y+1.7), Class: "strip", Title: fmt.Sprintf("Strip %d", 7+i)})
	}
	PlacePieces(s, pieces)
	var steps []step
	for i := range 5 {
		steps = append(steps, step{[]int{i}, []int{i + 1}})
	}
	if n := s.stepArrows(pieces, steps); n != len(steps) {
		t.Errorf("%d arrows between 6 strips that lap", n)
	}
	RunningDimensions(s, plane.Point{}, 90, []float64{1, 1.95, 2.9, 3.85, 4.8, 5.6}, 7)
	return s
}

func TestPiecesAreLegible(t *testing.T) {
	s := stripSheet(t)
	for _, c := range s.Scene.Clashes(0.05) {
		t.Error(c)
	}
	if n := len(s.Scene.Pieces()); n < 9 {
		t.Errorf("%d named pieces, want at least the 9 strips", n)
	}
	show(t, "pieces", s.Scene)
}

// Worked by hand: the centre of a square of 10 mm is 5 mm from every side; in an
// L of arms 4 wide the widest place is at the corner, where the circle that
// touches both outer sides and the inner corner has radius r with
// r·(1 + 1/√2)... measured from the outer corner: (4 − r)·√2 = r, so r = 4·√2/(1 + √2) = 2.343.
func TestPoleOfInaccessibility(t *testing.T) {
	p := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	for _, c := range []struct {
		name string
		path scene.Path
		want float64
	}{
		{"square", scene.Rect(0, 0, 10, 10), 5},
		{"L", scene.Polygon(p(0, 0), p(20, 0), p(20, 4), p(4, 4), p(4, 20), p(0, 20)), 2.3431},
		{"needle", scene.Rect(0, 0, 100, 1), 0.5},
	} {
		if _, d := poleOfInaccessibility(0.001, c.path); d < c.want-0.01 || d > c.want+0.01 {
			t.Errorf("%s: %.4f mm, want %.4f", c.name, d, c.want)
		}
	}
}

// Firrings are bars thinner than their lettering: it goes beside and along them,
// with no leader; pieces without a label get none.
func TestBarsAreLetteredAlongside(t *testing.T) {
	job := garage()
	long := KeyEntry{Words: "firring with its number, and its height in mm at both ends, as it is cut"}
	s, err := SetOutSheet(job, 0, TitleOf(job, "Firrings"), 12, []KeyEntry{long, {Words: "noggin", Sign: []scene.Item{scene.Shape{Paths: []scene.Path{scene.Rect(1, 1, 13, 4)}, Stroke: scene.Pen(scene.Thin)}}}})
	if err != nil {
		t.Fatal(err)
	}
	var bars []LabelledShape
	for i := range 9 {
		x := 0.2 + 0.35*float64(i)
		bars = append(bars, LabelledShape{ID: fmt.Sprintf("firring-%d", i), Label: fmt.Sprintf("F%d  20 to 120", i+1), Shape: rect(x-0.025, 0.1, x+0.025, 5), Class: "firring", Title: fmt.Sprintf("Firring %d", i+1)})
	}
	bars = append(bars, LabelledShape{ID: "blank", Shape: rect(0.3, 5.1, 2, 5.4)})
	PlacePieces(s, bars)
	for _, c := range s.Scene.Clashes(0.05) {
		t.Error(c)
	}
	for _, p := range s.Scene.Items {
		if sh, ok := p.(scene.Shape); ok && sh.Class == "leader" {
			t.Error("a bar got a leader")
		}
	}
	show(t, "firrings", s.Scene)
}

// hallBoards are 255 invented board pieces on the hall.
func hallBoards() []LabelledShape {
	var out []LabelledShape
	for r := range 17 {
		y := 1.2 * float64(r)
		for c := range 15 {
			x := 2.05 * float64(c)
			out = append(out, LabelledShape{ID: fmt.Sprintf("board-%d-%d", r, c), Label: fmt.Sprintf("B%d", r*15+c+1), Sub: "2400 × 1200", Shape: rect(x, y, min(x+2.05, 30), min(y+1.2, 20)), Class: "board", Title: "Board"})
		}
	}
	return out
}

func TestManyPiecesAreLegible(t *testing.T) {
	job := hall()
	job.Decks[0].Openings = nil // boards are cut round them; these are not
	s, err := SetOutSheet(job, 0, TitleOf(job, "Set-out of boards"), 12, nil)
	if err != nil {
		t.Fatal(err)
	}
	PlacePieces(s, hallBoards())
	for _, c := range s.Scene.Clashes(0.05) {
		t.Error(c)
	}
	if len(s.Unplaced) > 0 {
		t.Errorf("no room for %q", s.Unplaced)
	}
	show(t, "hall-boards", s.Scene)
}

// A size to cut by that a piece has no room for is told beside the drawing; of what is not cut by it nothing is said.
func TestSizesWithoutRoomAreTold(t *testing.T) {
	bar := func(id string, y float64, sized bool) LabelledShape {
		return LabelledShape{ID: id, Label: id, Sub: "2400 × 300", Sized: sized, Shape: plane.Rectangle(0, y, 2.4, y+0.3).Chords(1)}
	}
	for _, c := range []struct {
		pieces     []LabelledShape
		want, bare string
	}{
		{[]LabelledShape{bar("B2", 0, true), bar("B3", 0.4, true)}, "Sizes left out for want of room, mm: 2400×300: B2, B3", ""},
		{[]LabelledShape{bar("B2", 0, false)}, "", "2400"},
		{[]LabelledShape{{ID: "B1", Label: "B1", Sub: "6000 × 3000", Sized: true, Shape: plane.Rectangle(0, 0, 6, 3).Chords(1)}},
			"6000 × 3000", "left out"},
	} {
		job := hall()
		job.Decks[0].Openings = nil
		s, err := SetOutSheet(job, 0, TitleOf(job, "Set-out of boards"), 12, nil)
		if err != nil {
			t.Fatal(err)
		}
		PlacePieces(s, c.pieces)
		said := strings.Join(lettering(s.Scene), " ")
		if !strings.Contains(said, c.want) || c.bare != "" && strings.Contains(said, c.bare) {
			t.Errorf("%q, want %q and not %q", said, c.want, c.bare)
		}
	}
}

func BenchmarkPlacePieces(b *testing.B) {
	for b.Loop() {
		s, err := SetOutSheet(hall(), 0, TitleOf(hall(), "Set-out of boards"), 12, nil)
		if err != nil {
			b.Fatal(err)
		}
		PlacePieces(s, hallBoards())
	}
}

func BenchmarkRoofPlan(b *testing.B) {
	for b.Loop() {
		if _, err := RoofPlan(hall()); err != nil {
			b.Fatal(err)
		}
	}
}
