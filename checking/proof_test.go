package checking_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/checking"
	"gelwright/framing"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/steps"
)

// proven is a small deck set out, as the proof is given it.
func proven(t *testing.T) checking.ProofInput {
	t.Helper()
	ring := plane.Rectangle(0, 0, 3, 2.5)
	d := roof.Deck{Name: "main", Outline: ring, Exit: plane.Point{X: 1, Y: 0}, Edges: make([]roof.Edge, 4),
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}},
		Base:  roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistBearingDeg: 90, JoistOffsetMM: 25, JoistWidthMM: 47, JoistDepthMM: 150}}
	for i := range d.Edges {
		d.Edges[i].Condition = roof.Drip
	}
	spec := roof.Spec{Layers: []float64{450}, SideLapMM: 50, EndLapMM: 100, TrimLapMM: 50, BandageMM: 75, CornerStripMM: 150, UpstandLayers: 1,
		Board: roof.Board{Material: "OSB/3", ThicknessMM: 18, LengthM: 2.5, WidthM: 1.25, GapMM: 3, WallGapMM: 10, MinPieceM: 0.3,
			StaggerM: 0.4, EdgeFixMM: 150, FieldFixMM: 300}}
	s, err := settingout.Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	return checking.ProofInput{Deck: d, Spec: spec, SetOut: steps.Of(framing.SetOut{Upper: s}), Framing: steps.Of(framing.Framing{Upper: s})}
}

// A set-out that is spoilt on its way is a failed check that names the place; one that holds
// is not worth a line.
func TestASpoiltSetOutFails(t *testing.T) {
	in := proven(t)
	if n, err := checking.MakeProof(context.Background(), in); err != nil || len(n.Checks) != 0 {
		t.Fatalf("a sound set-out: %+v, %v", n.Checks, err)
	}
	for _, x := range []struct {
		what  string
		spoil func(*settingout.SetOut)
		want  string
	}{
		{"a board left out", func(s *settingout.SetOut) {
			i := slices.IndexFunc(s.Pieces, func(p settingout.Piece) bool { return p.Kind == settingout.Board })
			s.Pieces = slices.Delete(s.Pieces, i, i+1)
		}, "boards.cover"},
		{"a strip of mat moved", func(s *settingout.SetOut) {
			i := slices.IndexFunc(s.Pieces, func(p settingout.Piece) bool { return p.Kind == settingout.Mat && !p.Upright })
			shape := slices.Clone(s.Pieces[i].Shape)
			for k := range shape {
				shape[k].X += 0.4
			}
			s.Pieces[i].Shape = shape
		}, "mat."},
		{"a cut list that does not hold", func(s *settingout.SetOut) {
			s.Findings = append(slices.Clone(s.Findings),
				settingout.Finding{Code: checking.CutFault, Where: "board OSB/3 18 mm", Text: "sheet 1: panels overlap"})
		}, "cut.fault: board OSB/3 18 mm"},
	} {
		spoilt := in
		s := in.Framing.Value.Upper
		s.Pieces = slices.Clone(s.Pieces)
		x.spoil(&s)
		spoilt.Framing = steps.Of(framing.Framing{Upper: s})
		n, err := checking.MakeProof(context.Background(), spoilt)
		if err != nil {
			t.Fatal(err)
		}
		if len(n.Checks) != 1 || n.Checks[0].Verdict != check.Fail || n.Checks[0].Where != "deck main" ||
			!strings.Contains(n.Checks[0].Finding, x.want) || len(n.Checks[0].Remedies) == 0 {
			t.Errorf("%s: %+v", x.what, n.Checks)
		}
	}
}
