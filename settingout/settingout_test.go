package settingout_test

import (
	"context"
	"math"
	"strings"
	"sync"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
)

// usual is the specification the tests lay by: 2.4 × 1.2 m square-edged boards,
// 50 mm laps, 75 and 150 mm bandage.
func usual(layers []float64) roof.Spec {
	return roof.Spec{
		Layers: layers, SideLapMM: 50, EndLapMM: 75, TrimLapMM: 50, BandageMM: 75, CornerStripMM: 150, UpstandLayers: 1,
		Board: roof.Board{Material: "OSB/3", ThicknessMM: 18, LengthM: 2.4, WidthM: 1.2, GapMM: 3, WallGapMM: 10, MinPieceM: 0.3, StaggerM: 0.4, EdgeFixMM: 150, FieldFixMM: 300},
	}
}

// laid is one deck with its set-out.
type laid struct {
	roof acceptance
	deck roof.Deck
	plan settingout.SetOut
	err  error
}

// acceptanceSetOuts sets the acceptance roofs out once for all tests.
var acceptanceSetOuts = sync.OnceValue(func() []laid {
	var out []laid
	for _, a := range acceptanceRoofs() {
		for _, d := range a.decks {
			s, err := settingout.Make(context.Background(), d, usual(a.layers))
			out = append(out, laid{a, d, s, err})
		}
	}
	return out
})

func TestAcceptanceRoofsAreSetOut(t *testing.T) {
	for _, l := range acceptanceSetOuts() {
		where := l.roof.id + " " + l.deck.Name
		if l.err != nil {
			t.Errorf("%s: %v", where, l.err)
			continue
		}
		s := l.plan
		for _, f := range proof.Check(l.deck, usual(l.roof.layers), s) {
			t.Errorf("%s: %v", where, f)
		}
		t.Logf("%s: %d pieces", where, len(s.Pieces))
		for _, m := range s.Materials {
			t.Logf("   %-28s items %3d bought %8.3f used %8.3f waste %5.1f%% bound %8.3f gap %.3f", m.Name, m.Items, m.Bought, m.Used, m.WastePct, m.Bound, m.Gap)
			// Boards and trims of these roofs are proven: no fewer do for the pieces set out.
			if (m.Kind == settingout.Board || m.Kind == settingout.Trim) && !m.Optimal {
				t.Errorf("%s: %s: %d used, only %g proven", where, m.Name, m.Items, m.Bound)
			}
		}
		for _, c := range s.Choices {
			t.Logf("   choice %s", c.Text)
		}
		for _, f := range s.Findings {
			t.Logf("   finding %s %s: %s", f.Code, f.Where, f.Text)
		}
	}
}

// Trims of the acceptance roofs are at least the plain count of the take-off,
// n with 3.0n − 0.05(n−1) ≥ L on each edge; joints kept clear may cost one more.
func TestTrimsAreNoFewerThanThePlainCount(t *testing.T) {
	got := map[string]map[roof.Condition]int{}
	for _, l := range acceptanceSetOuts() {
		if got[l.roof.id] == nil {
			got[l.roof.id] = map[roof.Condition]int{}
		}
		for _, p := range l.plan.Of(settingout.Trim) {
			got[l.roof.id][roof.Condition(p.Role)]++
		}
	}
	for _, a := range acceptanceRoofs() {
		for c, want := range a.trims {
			if n := got[a.id][c]; n < want || n > want+2 {
				t.Errorf("%s %s: %d trims, the plain count is %d", a.id, c, n, want)
			}
		}
	}
}

// Boards worked by hand. R01: 3.2 × 5.6 m in 2.4 × 1.2 m boards is 6.22 boards of
// area, so 7 at least. R07: rows of 6.6 m are 2.75 boards, four rows make 11.
func TestFewestBoards(t *testing.T) {
	want := map[string]int{"R01": 7, "R03": 1, "R05": 3, "R07": 11}
	for _, a := range acceptanceRoofs() {
		n, ok := want[a.id]
		if !ok {
			continue
		}
		s, err := settingout.Make(context.Background(), a.decks[0], usual(a.layers))
		if err != nil {
			t.Fatal(err)
		}
		if m := s.Materials[0]; m.Items != n || !m.Optimal {
			t.Errorf("%s: %d boards (proven optimal: %v), want %d", a.id, m.Items, m.Optimal, n)
		}
	}
}

// R04: no joint runs in line across the hip from (0, 0) to (3.2, 3.2).
func TestNoJointRunsInLineAcrossTheHip(t *testing.T) {
	a := acceptanceRoofs()[3]
	s, err := settingout.Make(context.Background(), a.decks[0], usual(a.layers))
	if err != nil {
		t.Fatal(err)
	}
	type end struct {
		left bool
		at   float64
	}
	var ends []end
	for _, j := range s.Joints {
		if j.Support == "fold" {
			continue
		}
		for k, p := range []plane.Point{j.From, j.To} {
			if math.Abs(p.X-p.Y) > 0.02 || p.X > 3.19 {
				continue
			}
			other := j.To
			if k == 1 {
				other = j.From
			}
			ends = append(ends, end{other.Y > other.X, p.X})
		}
	}
	if len(ends) < 2 {
		t.Fatalf("only %d joints reach the hip", len(ends))
	}
	for i, e := range ends {
		for _, o := range ends[i+1:] {
			if e.left != o.left && math.Abs(e.at-o.at) < 0.1 {
				t.Errorf("joints from both sides reach the hip at x = %.3f and %.3f", e.at, o.at)
			}
		}
	}
}

func TestPinsAreHonoured(t *testing.T) {
	d := acceptanceRoofs()[6].decks[0]
	spec := usual([]float64{600})
	offset := 0.5
	spec.SetOut = roof.Pins{BoardStart: "ne", MatDirection: "along fall", BoardOffsetM: &offset, MatOffsetM: &offset}
	s, err := settingout.Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range proof.Check(d, spec, s) {
		t.Error(f)
	}
	for _, c := range s.Choices {
		if !c.Pinned {
			t.Errorf("%s is not marked as pinned", c.About)
		}
		for _, k := range c.Candidates {
			if k.Chosen && math.Abs(k.OffsetM-offset) > 1e-9 {
				t.Errorf("%s: offset %g, pinned %g", c.About, k.OffsetM, offset)
			}
		}
	}
	// Water runs south here, so strips along the fall run north and south.
	for _, p := range s.Of(settingout.Mat) {
		if p.Role == "field" && math.Abs(p.Along.X) > 1e-9 {
			t.Errorf("%s runs %v", p.Number, p.Along)
		}
	}
	if b := s.Of(settingout.Board)[0]; b.Shape[0].Y < 2.4 {
		t.Errorf("the first board lies at %v, not in the north", b.Shape)
	}
	spec.SetOut = roof.Pins{BoardDirection: "y"}
	if s, err = settingout.Make(context.Background(), d, spec); err != nil {
		t.Fatal(err)
	}
	found := false
	for _, f := range s.Findings {
		found = found || f.Code == "board.direction"
	}
	if !found {
		t.Error("boards pinned along the joists are not remarked on")
	}
}

func TestInputFaultsSayWhatToMend(t *testing.T) {
	good := acceptanceRoofs()[0].decks[0]
	for _, c := range []struct {
		name, want string
		spoil      func(d *roof.Deck, s *roof.Spec)
	}{
		{"clockwise", "anticlockwise", func(d *roof.Deck, _ *roof.Spec) { d.Outline = d.Outline.Reversed() }},
		{"one corner", "corners", func(d *roof.Deck, _ *roof.Spec) { d.Outline = d.Outline[:1] }},
		{"crossed", "crosses", func(d *roof.Deck, _ *roof.Spec) {
			d.Outline = plane.RingOf(plane.Point{}, plane.Point{X: 4}, plane.Point{X: 1, Y: 3}, plane.Point{X: 4, Y: 5}, plane.Point{X: 0, Y: 1}, plane.Point{X: 3, Y: 3})
		}},
		{"no layers", "layers_g_per_m2", func(_ *roof.Deck, s *roof.Spec) { s.Layers = nil }},
		{"no board", "length_m", func(_ *roof.Deck, s *roof.Spec) { s.Board.LengthM = 0 }},
		{"lap", "side_lap_mm", func(_ *roof.Deck, s *roof.Spec) { s.SideLapMM = 900 }},
		{"not a number", "outline", func(d *roof.Deck, _ *roof.Spec) {
			d.Outline = append(plane.Ring(nil), d.Outline...)
			d.Outline[0].X = math.NaN()
		}},
	} {
		d, s := good, usual([]float64{450})
		c.spoil(&d, &s)
		_, err := settingout.Make(context.Background(), d, s)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want it to name %q", c.name, err, c.want)
		}
	}
}

func TestBigRoofHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	d, spec := bigRoof(), usual([]float64{600})
	s, err := settingout.Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range proof.Check(d, spec, s) {
		t.Error(f)
	}
	t.Logf("%d boards, bound %g", s.Materials[0].Items, s.Materials[0].Bound)
}
