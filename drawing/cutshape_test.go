package drawing

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

// Worked by hand: on a deck of 4 by 3 m with its right angle at the origin the long side
// runs down 3 in 4. A board whose lower left corner is at (0.8, 0) and its right end at
// 3.2 has 0.75 · 0.8 = 600 left of its right end, and at its upper side, 1.2 m up, it ends
// at (3 − 1.2)/0.75 = 2.4 m, so is 1600 long there.
func TestSlopedBoardsAreMarkedAtBothEnds(t *testing.T) {
	shape := []plane.Point{{X: 0.8}, {X: 3.2}, {X: 3.2, Y: 0.6}, {X: 2.4, Y: 1.2}, {X: 0.8, Y: 1.2}}
	turn := func(p plane.Point) plane.Point { return plane.Point{X: -p.Y, Y: p.X} }
	var turned []plane.Point
	for _, q := range shape {
		turned = append(turned, turn(q))
	}
	for name, p := range map[string]settingout.Piece{
		"along x": {Kind: settingout.Board, LengthMM: 2400, WidthMM: 1200, Corner: plane.Point{X: 0.8}, Along: plane.Point{X: 1}, Shape: shape},
		"along y": {Kind: settingout.Board, LengthMM: 2400, WidthMM: 1200, Corner: turn(plane.Point{X: 0.8}), Along: plane.Point{Y: 1}, Shape: turned},
	} {
		if got := PieceSize(p); got != "2400/1600 × 1200/600" {
			t.Errorf("%s: size %q", name, got)
		}
		c := shapeOf(p)
		if c.whole() || c.curved() {
			t.Errorf("%s: taken for a whole board or a curve", name)
		}
		// 2.4 · 1.2 − 0.8 · 0.6 / 2 = 2.64 m².
		for _, s := range []cutShape{c, c.turned()} {
			if a := (plane.Polygon{Outer: s.outline}).Area() / 1e6; math.Abs(a-2.64) > 1e-6 {
				t.Errorf("%s: %.4f m², want 2.64", name, a)
			}
		}
		var figures []string
		for _, m := range c.marks(func(q plane.Point) scene.Point { return scene.Point(q).Scale(0.05) }) {
			figures = append(figures, m.words)
		}
		slices.Sort(figures)
		if fmt.Sprint(figures) != "[1200 1600 2400 600]" {
			t.Errorf("%s: marked by %v", name, figures)
		}
	}
}

// A triangle ends in points; a whole board, a notch and a curve have no second figures.
func TestSizesOfOtherShapes(t *testing.T) {
	board := func(l, w int, shape ...plane.Point) settingout.Piece {
		return settingout.Piece{Kind: settingout.Board, LengthMM: l, WidthMM: w, Along: plane.Point{X: 1}, Shape: shape}
	}
	var arc []plane.Point
	for i := range 21 {
		a := math.Pi * float64(i) / 20
		arc = append(arc, plane.Point{X: 1 + math.Cos(a), Y: math.Sin(a)})
	}
	for want, p := range map[string]settingout.Piece{
		"800/0 × 600/0": board(800, 600, pt(0, 0), pt(0.8, 0), pt(0, 0.6)),
		"2440 × 1220":   board(2440, 1220, pt(0, 0), pt(2.44, 0), pt(2.44, 1.22), pt(0, 1.22)),
		"2400 × 1200":   board(2400, 1200, pt(0, 0), pt(2.4, 0), pt(2.4, 0.5), pt(1.8, 0.5), pt(1.8, 1.2), pt(0, 1.2)),
		"2000 × 1000":   board(2000, 1000, arc...),
	} {
		if got := PieceSize(p); got != want {
			t.Errorf("size %q, want %q", got, want)
		}
	}
	// A peak on a long side: no end gives its place, so it is marked there.
	peak := shapeOf(board(1000, 500, pt(0, 0), pt(1, 0), pt(0.3, 0.5)))
	var figures []string
	for _, m := range peak.marks(func(q plane.Point) scene.Point { return scene.Point(q).Scale(0.05) }) {
		figures = append(figures, m.words)
	}
	if !slices.Contains(figures, "at 300") {
		t.Errorf("the peak is marked by %v", figures)
	}
}

// Blanks of one size with different shapes are no one pattern, with the same shape they are.
func TestPatternsMindTheShape(t *testing.T) {
	m := settingout.Material{Kind: settingout.Board}
	var pieces []settingout.Piece
	for i, shape := range [][]plane.Point{{pt(0, 0), pt(0.8, 0), pt(0, 0.6)}, {pt(0, 0), pt(0.8, 0), pt(0.8, 0.6)}, {pt(0.8, 0), pt(0, 0.6), pt(0, 0)}} {
		n := fmt.Sprintf("B%d", i+1)
		pieces = append(pieces, settingout.Piece{Number: n, Kind: settingout.Board, LengthMM: 800, WidthMM: 600, Along: pt(1, 0), Shape: shape})
		m.Stock = append(m.Stock, settingout.Stock{Number: i + 1, LengthMM: 2440, WidthMM: 1220, Cuts: []settingout.Cut{{Piece: n, LengthMM: 800, WidthMM: 600}}})
	}
	if got := Patterns(m, pieces); len(got) != 2 || len(got[0].Stock) != 2 || got[0].Stock[1].Number != 3 {
		t.Errorf("%d patterns: %+v", len(got), got)
	}
}
