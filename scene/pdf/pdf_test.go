package pdf

import (
	"bytes"
	"testing"
	"time"

	"gelwright/scene"
)

func sample(w, h float64) *scene.Scene {
	s := &scene.Scene{Title: "Plan ø", WidthMM: w, HeightMM: h}
	s.Add(
		scene.Shape{Paths: []scene.Path{scene.Circle(scene.Point{X: 100, Y: 100}, 40), scene.Rect(90, 90, 110, 110)}, Filled: true, Fill: scene.LightGrey, Stroke: scene.Stroke{WidthMM: 0.5, Dash: scene.Chain}},
		scene.Text{At: scene.Point{X: 20, Y: 20}, Content: "Fall 1:40 ø110", HeightMM: 3.5, AngleDeg: 90},
	)
	return s
}

var date = time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC)

func TestSameBytesTwice(t *testing.T) {
	a, err := Bytes(date, "Job", "", sample(210, 297), sample(420, 297))
	if err != nil {
		t.Fatal(err)
	}
	b, err := Bytes(date, "Job", "", sample(210, 297), sample(420, 297))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) {
		t.Error("the same sheets gave different bytes")
	}
	if !bytes.Contains(a, []byte("/CreationDate (D:20260504")) {
		t.Error("the file does not bear the given date")
	}
}

// ISO 216: A4 is 210 × 297 mm, which is 595.28 × 841.89 points; A3 on its side 1190.55 × 841.89.
func TestPageSizes(t *testing.T) {
	raw, err := Bytes(date, "Job", "", sample(210, 297), sample(420, 297))
	if err != nil {
		t.Fatal(err)
	}
	for _, box := range []string{"595.28 841.89", "1190.55 841.89"} {
		if !bytes.Contains(raw, []byte(box)) {
			t.Errorf("no page of %s points", box)
		}
	}
}
