package plan_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/roof"
)

func lineOf(p *plan.Plan, keyStart string) *quantity.Line {
	for i := range p.Order.Schedule.Lines {
		if l := &p.Order.Schedule.Lines[i]; strings.HasPrefix(l.MaterialKey, keyStart) {
			return l
		}
	}
	return nil
}

// The balcony of 5.4 × 2.1 m: its wall of 5.4 m takes flashing in pieces of 1.5 m with
// laps of 100 mm, four of them (0.1 + 4 × 1.4 = 5.7 m): 5.4 + 3 × 0.1 = 5.7 m. The kerb of
// 2.1 m takes timber and batten; kerb and drip (5.4 m) end on timber as high as the insulation; screws hold 22 + 120 + 22 + 35 = 199 mm, so 200.
func TestGoodsOfABalcony(t *testing.T) {
	p := planned(t, "r06-balcony.yaml")
	for _, c := range []struct {
		key, name, piece string
		net              float64
	}{
		{"flashing.cover", "chased", "edge 3", 5.7},
		{"flashing.wedge", "Wedges", "edge 3", 13},
		{"timber.raised-edges.50x50", "raised edges", "edge 4", 2.1},
		{"timber.edges-of-the-insulation.120x50", "edges of the insulation", "edge 4", 2.1 + 5.4},
		{"insulation.pir", "120 mm", "deck balcony", 11.34},
		{"aggregate.0.7-1.2", "0.7–1.2 mm", "deck balcony", -1},
		{"screw.through-insulation", "4.8 × 200 mm", "", -1},
		{"sheet.temporary", "night", "deck balcony", 11.34 + 7.5},
		{"vcl.tape", "", "deck balcony", 11.34/2 + 15},
	} {
		l := lineOf(p, c.key)
		if l == nil {
			t.Errorf("no %s", c.key)
			continue
		}
		if !strings.Contains(l.Description, c.name) || c.piece != "" && !slices.Contains(l.Pieces, c.piece) || c.net >= 0 &&
			math.Abs(l.Net-c.net) > 1e-6 {
			t.Errorf("%s: %q, net %g, for %v; want %q, %g, %q", c.key, l.Description, l.Net, l.Pieces, c.name, c.net, c.piece)
		}
	}
}

func TestGoodsOfHoles(t *testing.T) {
	job := clone(example(t, "r01-garage.yaml"))
	d := &job.Decks[0]
	d.Penetrations = append(slices.Clone(d.Penetrations), outlet("O9", 1, 1, 75),
		roof.Penetration{Name: "V9", Kind: "overflow", At: outlet("", 1, 0, 0).At, WidthMM: 100, DepthMM: 60},
		roof.Penetration{Name: "P9", Kind: "pipe", At: outlet("", 1.5, 1.5, 0).At, DiameterMM: 110})
	p := planOf(t, job)
	for key, piece := range map[string]string{"fitting.outlet.75": "O9", "fitting.overflow.100x60": "V9", "fitting.collar-pipe.110": "P9"} {
		if l := lineOf(p, key); l == nil || !slices.Contains(l.Pieces, piece) || l.Net < 1 {
			t.Errorf("%s: %+v", key, l)
		}
	}
}
