package drawing

import (
	"fmt"
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
	s, err := SetOutSheet(job, 0, TitleOf(job, "Set-out of the mat, layer 1", 2, 3), 16, nil)
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
	where := PlacePieces(s, pieces)
	OrderArrows(s, where[:6])
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
