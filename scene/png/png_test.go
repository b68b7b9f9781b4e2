package png

import (
	"bytes"
	"image/png"
	"math"
	"testing"

	"gelwright/scene"
)

// dark counts the ink in pixels, grey shares added up.
func ink(t *testing.T, s *scene.Scene, k float64) float64 {
	t.Helper()
	img, err := Image(s, k)
	if err != nil {
		t.Fatal(err)
	}
	var sum float64
	for i := 0; i < len(img.Pix); i += 4 {
		sum += float64(255-img.Pix[i]) / 255
	}
	return sum
}

// Areas are those of the figures: worked by hand.
func TestInkIsTheArea(t *testing.T) {
	pt := func(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }
	for _, c := range []struct {
		name   string
		shape  scene.Shape
		wantMM float64 // mm²
		tol    float64
	}{
		{"square 10 × 10 less hole 4 × 4", scene.Shape{Filled: true, Paths: []scene.Path{scene.Rect(5, 5, 15, 15), scene.Rect(8, 8, 12, 12)}}, 84, 0.5},
		{"disc of radius 6 drawn clockwise", scene.Shape{Filled: true, Paths: []scene.Path{scene.Circle(pt(10, 10), 6).Reversed()}}, math.Pi * 36, 0.7},
		{"line 12 mm long, 1 mm wide, round ends", scene.Line(scene.Meta{}, scene.Pen(1), pt(4, 10), pt(16, 10)), 12 + math.Pi/4, 0.3},
		{"ring of radius 5, 0.7 mm wide", scene.Shape{Stroke: scene.Pen(0.7), Paths: []scene.Path{scene.Circle(pt(10, 10), 5)}}, 2 * math.Pi * 5 * 0.7, 0.5},
		{"dashes 12 widths on, 3 off, on 15 mm at 0.25 mm", scene.Line(scene.Meta{}, scene.Stroke{WidthMM: 0.25, Dash: scene.Dashed}, pt(2, 10), pt(17, 10)), 15 * 0.25 * 0.8, 0.2},
	} {
		s := &scene.Scene{WidthMM: 20, HeightMM: 20}
		s.Add(c.shape)
		const k = 20
		if got := ink(t, s, k) / k / k; math.Abs(got-c.wantMM) > c.tol {
			t.Errorf("%s: %.2f mm² of ink, want %.2f ± %.2f", c.name, got, c.wantMM, c.tol)
		}
	}
}

func TestLetteringLiesWhereItWasMeasured(t *testing.T) {
	s := &scene.Scene{WidthMM: 60, HeightMM: 60}
	x := scene.Text{At: scene.Point{X: 30, Y: 30}, Content: "1200 kg", HeightMM: 5, Across: scene.Middle, AngleDeg: 40}
	s.Add(x)
	img, err := Image(s, 10)
	if err != nil {
		t.Fatal(err)
	}
	q := x.Quad(0.2)
	room := scene.Polygon(q[:]...)
	n := 0
	for y := range 600 {
		for px := range 600 {
			if img.RGBAAt(px, y).R < 128 {
				n++
				if p := (scene.Point{X: (float64(px) + 0.5) / 10, Y: 60 - (float64(y)+0.5)/10}); !scene.Holds(p, room) {
					t.Fatalf("ink at %v, outside the measured room", p)
				}
			}
		}
	}
	if n < 500 {
		t.Errorf("only %d dark pixels: no lettering", n)
	}
}

func TestFileReadsBackAndLimits(t *testing.T) {
	s := &scene.Scene{WidthMM: 20, HeightMM: 10}
	raw, err := Bytes(s, 5)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(raw))
	if err != nil || img.Bounds().Dx() != 100 || img.Bounds().Dy() != 50 {
		t.Errorf("got %v, %v; want 100 × 50 pixels", img.Bounds(), err)
	}
	for _, k := range []float64{0, -1, math.NaN(), 1e9} {
		if _, err := Bytes(s, k); err == nil {
			t.Errorf("%g px/mm was taken", k)
		}
	}
}
