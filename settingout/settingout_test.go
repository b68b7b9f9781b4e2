package settingout_test

import (
	"context"
	"testing"

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

func TestAcceptanceRoofsAreSetOut(t *testing.T) {
	for _, a := range acceptanceRoofs() {
		for _, d := range a.decks {
			s, err := settingout.Make(context.Background(), d, usual(a.layers))
			if err != nil {
				t.Errorf("%s %s: %v", a.id, d.Name, err)
				continue
			}
			for _, f := range proof.Check(d, usual(a.layers), s) {
				t.Errorf("%s %s: %v", a.id, d.Name, f)
			}
			t.Logf("%s %s: %d pieces", a.id, d.Name, len(s.Pieces))
			for _, m := range s.Materials {
				t.Logf("   %-28s items %3d bought %8.3f used %8.3f waste %5.1f%% bound %8.3f gap %.3f", m.Name, m.Items, m.Bought, m.Used, m.WastePct, m.Bound, m.Gap)
			}
			for _, c := range s.Choices {
				t.Logf("   choice %s", c.Text)
			}
			for _, f := range s.Findings {
				t.Logf("   finding %s %s: %s", f.Code, f.Where, f.Text)
			}
		}
	}
}
