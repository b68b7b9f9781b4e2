package drawing

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/plane"
	"gelwright/settingout"
)

func square(x, y, side float64) []plane.Point {
	return []plane.Point{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
}

// A hall of 30 × 20 m with joints every 5 m, counted by hand: at 1:50 a sheet of A4 holds
// less than 9 × 11 m, which would be eight of them and more; at 1:100 one holds 17 × 21 m, so
// that it takes two, parted at the joint at 15 m.
func TestPartsFollowTheJoints(t *testing.T) {
	p := &plan.Plan{Job: *hall()}
	parts := partsOf(p, 0, 100)
	if len(parts) != 2 {
		t.Fatalf("%d parts, want 2", len(parts))
	}
	for _, w := range parts {
		if x, y := w.high.X-w.low.X, w.high.Y-w.low.Y; x != 15 || y != 20 || w.scale != 100 {
			t.Errorf("part %d is %g × %g m at 1:%g, want 15 × 20 at 1:100", w.n, x, y, w.scale)
		}
	}
	// Every place lies on one sheet.
	for x := 0.25; x < 30; x += 0.5 {
		for y := 0.25; y < 20; y += 0.5 {
			n := 0
			for _, w := range parts {
				if w.holds(square(x-0.1, y-0.1, 0.2)) {
					n++
				}
			}
			if n != 1 {
				t.Fatalf("a piece at %g / %g is on %d sheets", x, y, n)
			}
		}
	}
	if whole := partsOf(p, 0, 10); len(whole) != 1 || whole[0] != nil {
		t.Error("ten pieces need no parts")
	}
}

func TestPlacesThatDoNotTouch(t *testing.T) {
	for _, c := range []struct {
		parts []mixing.Part
		want  int
	}{
		{[]mixing.Part{{Shape: square(0, 0, 1)}}, 1},
		{[]mixing.Part{{Shape: square(0, 0, 1)}, {Shape: square(1, 0.5, 1)}}, 1},
		{[]mixing.Part{{Shape: square(0, 0, 1)}, {Shape: square(3, 0, 1)}}, 2},
		{[]mixing.Part{{Shape: square(0, 0, 1)}, {Shape: square(3, 0, 1)}, {Shape: square(1, 0, 2)}}, 1},
	} {
		if got := apart(c.parts); got != c.want {
			t.Errorf("%d places, want %d", got, c.want)
		}
	}
}

// The strips are listed as the buckets lay them, each once.
func TestLayingOrderIsThatOfTheBuckets(t *testing.T) {
	p := &plan.Plan{Passes: []laying.Pass{{Deck: "a", Kind: "mat", Layer: 1, Plan: &mixing.Plan{Mixes: []mixing.Mix{
		{Number: 4, Parts: []mixing.Part{{Name: "M3"}, {Name: "M1"}}}, {Number: 5, Parts: []mixing.Part{{Name: "M1"}, {Name: "M4b"}}}}}}}}
	got, buckets := layingOrder(p, "a", 1)
	if !slices.Equal(got, []string{"M3", "M1", "M4"}) {
		t.Error(got)
	}
	if buckets["M1"] != "buckets 4, 5" || buckets["M4"] != "bucket 5" {
		t.Error(buckets)
	}
}

// Every number of the set-out stands on the sheet of details or in one of its ranges.
func TestDetailNumbersAreRanges(t *testing.T) {
	var pieces []settingout.Piece
	for _, n := range []string{"J1", "J2", "J3", "J5", "J6"} {
		pieces = append(pieces, settingout.Piece{Number: n, Kind: settingout.Bandage, Role: "board joint", Shape: square(0, 0, 1), Along: plane.Point{X: 1}, Edge: -1})
	}
	if got := strings.Join(lineNames(pieces, false), ""); got != "J1–J3, J5, J6" {
		t.Error(got)
	}
}

// A job that writes 0,5 has no decimal point on any sheet but in the names of standards.
func TestSheetsHaveTheLocalesMark(t *testing.T) {
	job := garage()
	job.Site.Locale = "de-DE"
	s, err := RoofPlan(job)
	if err != nil {
		t.Fatal(err)
	}
	point := regexp.MustCompile(`[0-9]\.[0-9]`)
	comma := false
	for _, w := range lettering(s.Scene) {
		if point.MatchString(w) {
			t.Errorf("%q has a point", w)
		}
		comma = comma || strings.Contains(w, "17,5 %")
	}
	if !comma {
		t.Error("the moisture of 17,5 % is not lettered")
	}
}

// The sagitta of the bay: an arc of 1500 mm radius over a chord of 2400 mm rises
// 1500 − √(1500² − 1200²) = 600 mm in its middle, and 1500·cos(asin(1/1.5)) − 900 = 218.0 mm
// at 200 mm from its end, by hand.
func TestOrdinatesOfAnArc(t *testing.T) {
	e := plane.Edge{A: plane.Point{}, B: plane.Point{X: 2.4}, Bulge: 0.5}
	for along, want := range map[float64]float64{0: 0, 1.2: 0.6, 0.2: math.Sqrt(1.5*1.5-1) - 0.9} {
		if got := ordinateAt(e, along); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %g m: %g m, want %g", along, got, want)
		}
	}
	// Over more than half a circle the middle is at the radius and the centre's distance.
	big := plane.Edge{A: plane.Point{}, B: plane.Point{X: 2.4}, Bulge: 2}
	if got := ordinateAt(big, 1.2); math.Abs(got-2.4) > 1e-9 {
		t.Errorf("sagitta %g m of bulge 2, want half the chord times two: 2.4 m", got)
	}
}

// On a crowded sheet what lies round an opening or on a movement joint goes by its name.
func TestCrowdedSheetsNameJointsAndOpenings(t *testing.T) {
	joint := settingout.Piece{Number: "J7", Kind: settingout.Bandage, Role: "movement joint", Shape: square(0, 0, 1), Along: plane.Point{X: 1}, Edge: -1,
		Serves: "joint 2"}
	round := settingout.Piece{Number: "M4", Kind: settingout.Mat, Upright: true, Shape: square(3, 0, 1), Along: plane.Point{X: 1}, Edge: -1, Opening: "RL01"}
	if !joint.MovementJoint() {
		t.Fatal("the piece is not on a movement joint")
	}
	pieces := []settingout.Piece{joint, round}
	if got := strings.Join(lineNames(pieces, false), "|"); got != "J7|M4" {
		t.Error(got)
	}
	if got := strings.Join(lineNames(pieces, true), "|"); got != "joint 2|" {
		t.Error(got)
	}
}

// A label is broken where a narrow board has no room for its length.
func TestLabelsAreBroken(t *testing.T) {
	if b := brokenBlock("J61–J66, J70", ", ", "–"); strings.Join(b.lines, "/") != "J61–/J66,/J70" || !b.boldAt(2) {
		t.Errorf("%q, bold %v", b.lines, b.boldAt(2))
	}
}
