package drawing

import (
	"math"
	"testing"

	"gelwright/plane"
	"gelwright/scene"
	"gelwright/settingout"
)

func TestOrdinals(t *testing.T) {
	for n, want := range map[int]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 11: "11th", 12: "12th", 13: "13th", 21: "21st", 101: "101st", 112: "112th"} {
		if got := Ordinal(n); got != want {
			t.Errorf("%d is %s, want %s", n, got, want)
		}
	}
}

// As buckets begin the strips; by the set-out's order where there are no buckets.
func TestStripsInLayingOrder(t *testing.T) {
	strips := []settingout.Piece{{Number: "M1", Order: 1}, {Number: "M2", Order: 2}, {Number: "M3", Order: 3}, {Number: "M4", Order: 4}}
	numbers := func(l []settingout.Piece) string {
		out := ""
		for _, x := range l {
			out += x.Number
		}
		return out
	}
	if got := numbers(inLayingOrder(strips, []string{"M4", "M1", "M3", "M2"})); got != "M4M1M3M2" {
		t.Errorf("laid as %s", got)
	}
	strips[0].Order, strips[3].Order = 4, 1
	if got := numbers(inLayingOrder(strips, nil)); got != "M4M2M3M1" {
		t.Errorf("without buckets laid as %s", got)
	}
}

// An arrow begins on ground that is seen to be the earlier strip's and ends on the
// next one's; strips that do not touch get none.
func TestArrowsCrossTheCommonSide(t *testing.T) {
	job := garage()
	s, err := SetOutSheet(job, 0, TitleOf(job, "Laying"), 12, nil)
	if err != nil {
		t.Fatal(err)
	}
	var pieces []LabelledShape
	for _, y := range []float64{0, 0.95, 4} {
		pieces = append(pieces, LabelledShape{Label: "M", Shape: rect(0, y, 3.2, y+1)})
	}
	PlacePieces(s, pieces)
	if n := s.stepArrows(pieces, []step{{[]int{1}, []int{2}}}); n != 0 {
		t.Errorf("%d arrows between strips 2 m apart", n)
	}
	if n := s.stepArrows(pieces, []step{{[]int{0}, []int{1}}}); n != 1 {
		t.Fatalf("%d arrows, want 1", n)
	}
	g := groundsOf(s, pieces)
	arrow := s.Scene.Items[len(s.Scene.Items)-1].(scene.Group)
	line := arrow.Items[0].(scene.Shape).Paths[0].Points(0.1)
	tip := arrow.Items[1].(scene.Shape).Paths[0].Points(0.1)[0]
	if g.top(line[0]) != 0 || g.top(tip) != 1 {
		t.Errorf("the arrow runs from piece %d to piece %d", g.top(line[0]), g.top(tip))
	}
}

// Worked by hand: boards of 600 in two rows, the upper cut to a slope, which begins no
// row of its own.
func TestRowsOfBoards(t *testing.T) {
	board := func(n string, x0, y0, x1, y1 float64) settingout.Piece {
		return settingout.Piece{Number: n, Shape: rect(x0, y0, x1, y1)}
	}
	rows := rowsOf([]settingout.Piece{board("B4", 1, 0.6, 2, 0.9), board("B1", 0, 0, 2.4, 0.6), board("B2", 2.4, 0, 3, 0.6), board("B3", 0, 0.6, 1, 1.2)}, plane.Point{Y: 1})
	if len(rows) != 2 || len(rows[0].boards) != 2 || len(rows[1].boards) != 2 || rows[1].low != 0.6 || rows[1].high != 1.2 {
		t.Errorf("rows %+v", rows)
	}
	for _, along := range []plane.Point{{X: 1}, {X: -1}} {
		if x := axesOf(along); x.along != (plane.Point{X: 1}) || x.across.Y != 1 {
			t.Errorf("along %v: axes %v", along, x)
		}
	}
}

// ITU-R BT.601: grey is 0.299 R + 0.587 G + 0.114 B. Neighbouring tints must stay apart
// on a mono printer.
func TestTintsDifferInGrey(t *testing.T) {
	before := math.Inf(1)
	for i := range 4 {
		c := tint(i)
		grey := 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B)
		if before-grey < 8 {
			t.Errorf("tint %d is grey %.0f after %.0f", i, grey, before)
		}
		before = grey
	}
}
