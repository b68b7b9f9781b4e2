package settingout_test

import (
	"context"
	"fmt"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// bigRoof is 100 by 50 m, two-way fall, with 80 rooflights in a grid.
func bigRoof() roof.Deck {
	d := roof.Deck{
		Name: "big", Outline: plane.Rectangle(0, 0, 100, 50), Edges: edgesOf(roof.Drip, roof.Kerb, roof.Drip, roof.Wall), Base: joists(90),
		Falls: plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{{X: 0, Y: 25}, {X: 100, Y: 25}}, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 40}, {Down: plane.Point{Y: -1}, Ratio: 40}}},
	}
	for i := 0; i < 16; i++ {
		for k := 0; k < 5; k++ {
			x, y := 3.1+float64(i)*6.1, 4.3+float64(k)*10.05
			if k == 2 {
				y += 4
			}
			d.Openings = append(d.Openings, roof.Opening{Name: fmt.Sprintf("RL%02d", len(d.Openings)+1), Kind: "rooflight", Outline: plane.Rectangle(x, y, x+1.2, y+1.2), KerbMM: 150})
		}
	}
	return d
}

func benchmark(b *testing.B, d roof.Deck) {
	spec := usual([]float64{600})
	for b.Loop() {
		if _, err := settingout.Make(context.Background(), d, spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHall600m2With12Rooflights(b *testing.B) {
	for _, a := range acceptanceRoofs() {
		if a.id == "R12" {
			benchmark(b, a.decks[0])
		}
	}
}

func BenchmarkRoof5000m2With80Rooflights(b *testing.B) { benchmark(b, bigRoof()) }

func BenchmarkGarage(b *testing.B) { benchmark(b, acceptanceRoofs()[0].decks[0]) }
