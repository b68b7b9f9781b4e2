package settingout_test

import (
	"context"
	"math"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// jointed is a deck of 6 by 10 m that falls to the south, with the joints given.
func jointed(joints ...[2]plane.Point) roof.Deck {
	d := roof.Deck{Name: "jointed", Outline: plane.Rectangle(0, 0, 6, 10), Base: roof.Base{Kind: "sound deck"}, Exit: plane.Point{X: 0, Y: 9},
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}, MovementJoints: joints}
	for _, c := range []roof.Condition{roof.Drip, roof.Verge, roof.Wall, roof.Verge} {
		d.Edges = append(d.Edges, roof.Edge{Condition: c, HeightMM: 150})
	}
	return d
}

func line(x0, y0, x1, y1 float64) [2]plane.Point {
	return [2]plane.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}
}

// How joints are built, worked by hand: battens stand 5 to 43 mm off a joint's line, so a
// joint loses 86 mm where another crosses it or ends at it, and 43 mm where it ends at another.
func TestJointsAreBuiltFromEdgeToEdge(t *testing.T) {
	for _, c := range []struct {
		name    string
		joints  [][2]plane.Point
		lengthM []float64
		builtM  []float64
		raised  []bool
		ends    [][2]string
		finding string
	}{
		{"along the fall it is raised", [][2]plane.Point{line(3, 0, 3, 10)}, []float64{10}, []float64{10}, []bool{true}, [][2]string{{"edge 1", "edge 3"}}, ""},
		{"across the fall it is flush", [][2]plane.Point{line(0, 5, 6, 5)}, []float64{6}, []float64{6}, []bool{false}, [][2]string{{"edge 4", "edge 2"}}, "joint.flush"},
		{"given 60 mm short it goes to the edge", [][2]plane.Point{line(3, 0.06, 3, 9.94)}, []float64{10}, []float64{10}, []bool{true}, [][2]string{{"edge 1", "edge 3"}}, ""},
		{"stopping in the field it is carried on", [][2]plane.Point{line(3, 0, 3, 6)}, []float64{10}, []float64{10}, []bool{true}, [][2]string{{"edge 1", "edge 3"}}, "joint.stops"},
		{"two that cross break each other", [][2]plane.Point{line(3, 0, 3, 10), line(0, 5, 6, 5)}, []float64{10, 6}, []float64{10 - 0.086, 6 - 0.086}, []bool{true, false}, [][2]string{{"edge 1", "edge 3"}, {"edge 4", "edge 2"}}, "joint.flush"},
		{"one that ends at another, whichever comes first", [][2]plane.Point{line(3, 5, 6, 5), line(3, 0, 3, 10)}, []float64{3, 10}, []float64{3 - 0.043, 10 - 0.086}, []bool{false, true}, [][2]string{{"joint 2", "edge 2"}, {"edge 1", "edge 3"}}, "joint.flush"},
		{"given twice it is built once", [][2]plane.Point{line(3, 0, 3, 10), line(3.01, 0, 3.01, 10)}, []float64{10}, []float64{10}, []bool{true}, [][2]string{{"edge 1", "edge 3"}}, "joint.double"},
	} {
		d := jointed(c.joints...)
		s, err := settingout.Make(context.Background(), d, usual([]float64{450}))
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if len(s.MovementJoints) != len(c.lengthM) {
			t.Fatalf("%s: %d joints, want %d", c.name, len(s.MovementJoints), len(c.lengthM))
		}
		for i, j := range s.MovementJoints {
			if math.Abs(j.LengthM()-c.lengthM[i]) > 1e-6 || math.Abs(j.BuiltM()-c.builtM[i]) > 1e-6 || j.Raised != c.raised[i] || j.Ends != c.ends[i] {
				t.Errorf("%s: joint %d is %.4f m, built %.4f m, raised %v, from %v", c.name, i+1, j.LengthM(), j.BuiltM(), j.Raised, j.Ends)
			}
		}
		found := c.finding == ""
		for _, f := range s.Findings {
			found = found || f.Code == c.finding
		}
		if !found {
			t.Errorf("%s: no finding %s among %v", c.name, c.finding, s.Findings)
		}
		for _, f := range proof.Check(d, usual([]float64{450}), s) {
			t.Errorf("%s: %v", c.name, f)
		}
	}
}

// A joint on the ridge sheds water to both sides and is raised; in a valley it would stand
// in the water of both.
func TestAJointOnARidgeIsRaised(t *testing.T) {
	for kind, raised := range map[plane.FallKind]bool{plane.Ridge: true, plane.Valley: false} {
		d := jointed(line(0, 5, 6, 5))
		out := 1.0
		if kind == plane.Valley {
			out = -1
		}
		d.Falls = plane.Falls{Kind: kind, Line: line(0, 5, 6, 5), Planes: []plane.FallPlane{{Down: plane.Point{Y: out}, Ratio: 40}, {Down: plane.Point{Y: -out}, Ratio: 40}}}
		s, err := settingout.Make(context.Background(), d, usual([]float64{450}))
		if err != nil {
			t.Fatal(err)
		}
		if got := s.MovementJoints[0].Raised; got != raised {
			t.Errorf("%s: raised %v", kind, got)
		}
		for _, p := range s.Of(settingout.Bandage) {
			if p.Role == "fold" {
				t.Errorf("%s: %s is laid across the joint as on a fold", kind, p.Number)
			}
		}
	}
}

func TestCheckerFindsSpoiltJoints(t *testing.T) {
	d, spec := jointed(line(3, 0, 3, 10), line(0, 5, 6, 5)), usual([]float64{450})
	without := func(s *settingout.SetOut, drop func(p settingout.Piece) bool) {
		var keep []settingout.Piece
		for _, p := range s.Pieces {
			if !drop(p) {
				keep = append(keep, p)
			}
		}
		s.Pieces = keep
	}
	// widen moves the corners of the first piece of a kind that lie east of its middle by 0.2 m.
	widen := func(s *settingout.SetOut, kind settingout.Kind, which func(p settingout.Piece) bool) {
		for i := range s.Pieces {
			p := &s.Pieces[i]
			if p.Kind != kind || !which(*p) {
				continue
			}
			low, high := p.Bounds()
			for k := range p.Shape {
				if p.Shape[k].X > (low.X+high.X)/2 {
					p.Shape[k].X += 0.2
				}
			}
			return
		}
	}
	endsWest := func(p settingout.Piece) bool { _, high := p.Bounds(); return high.X > 2.9 && high.X < 3 }
	noticed(t, d, spec, []spoiling{
		{"joint.outside", func(s *settingout.SetOut) { s.MovementJoints[0].To.Y++ }},
		{"joint.missing", func(s *settingout.SetOut) { s.MovementJoints = s.MovementJoints[:1] }},
		{"joint.cap", func(s *settingout.SetOut) {
			without(s, func(p settingout.Piece) bool {
				return p.Kind == settingout.Trim && p.MovementJoint() && p.Serves == "joint 1"
			})
		}},
		{"joint.crossed", func(s *settingout.SetOut) { widen(s, settingout.Mat, endsWest) }},
		{"joint.crossed", func(s *settingout.SetOut) { widen(s, settingout.Board, endsWest) }},
		{"joint.dams", func(s *settingout.SetOut) { s.MovementJoints[1].Raised, s.MovementJoints[1].FieldMM = true, 43 }},
		{"joint.tied", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if p := &s.Pieces[i]; p.Kind == settingout.Trim && p.MovementJoint() && p.Serves == "joint 1" {
					for k := range p.Shape {
						p.Shape[k].Y += 3.5
					}
				}
			}
		}},
		{"joint.field", func(s *settingout.SetOut) { s.MovementJoints[0].FieldMM = 5 }},
		{"joint.cap-lap", func(s *settingout.SetOut) {
			for i := range s.Pieces {
				if p := &s.Pieces[i]; p.Kind == settingout.Trim && p.MovementJoint() {
					p.LengthMM -= 20
					return
				}
			}
		}},
	})
}

// An eaves of 6 m in two edges, 4 and 2 m: the drip goes straight on, so the second edge's
// first trim laps 50 mm over the first edge's last, under a strip of bandage.
func TestTrimGoesStraightOn(t *testing.T) {
	d := jointed()
	d.Outline = plane.RingOf(plane.Point{}, plane.Point{X: 4}, plane.Point{X: 6}, plane.Point{X: 6, Y: 10}, plane.Point{Y: 10})
	d.Edges = append([]roof.Edge{{Condition: roof.Drip}}, d.Edges...)
	s, err := settingout.Make(context.Background(), d, usual([]float64{450}))
	if err != nil {
		t.Fatal(err)
	}
	last, next := "", settingout.Piece{}
	for _, p := range s.Of(settingout.Trim) {
		switch {
		case p.Edge == 0:
			last = p.Number
		case p.Edge == 1 && next.Number == "":
			next = p
		}
	}
	if math.Abs(next.Corner.X-3.95) > 1e-9 || next.EndLapMM != 50 {
		t.Errorf("%s begins at %.3f m with a lap of %g mm, want 3.950 and 50", next.Number, next.Corner.X, next.EndLapMM)
	}
	found := false
	for _, p := range s.Of(settingout.Bandage) {
		found = found || p.Role == "trim lap" && p.Serves == last+"/"+next.Number
	}
	if !found {
		t.Errorf("no bandage over the lap of %s and %s", last, next.Number)
	}
	for _, f := range proof.Check(d, usual([]float64{450}), s) {
		t.Errorf("%v", f)
	}
}
