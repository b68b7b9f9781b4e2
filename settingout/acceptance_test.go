package settingout_test

import (
	"gelwright/plane"
	"gelwright/roof"
)

// acceptance is the twelve invented acceptance roofs: outlines, edges, openings
// and falls, with the trim pieces of the plain rule n: 3.0n − 0.05(n−1) ≥ L.
type acceptance struct {
	id    string
	decks []roof.Deck
	// trims by edge condition, the plain count.
	trims  map[roof.Condition]int
	layers []float64
}

func edgesOf(conditions ...roof.Condition) []roof.Edge {
	out := make([]roof.Edge, len(conditions))
	for i, c := range conditions {
		out[i] = roof.Edge{Condition: c}
		if c.HasUpstand() {
			out[i].HeightMM = 150
		}
	}
	return out
}

func joists(bearingDeg float64) roof.Base {
	return roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistBearingDeg: bearingDeg, JoistWidthMM: 47, JoistDepthMM: 150}
}

func acceptanceRoofs() []acceptance {
	return []acceptance{
		{id: "R01", layers: []float64{450}, trims: map[roof.Condition]int{roof.Kerb: 6, roof.Drip: 2}, decks: []roof.Deck{
			{Name: "main", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 3.2, Y: 0}, plane.Point{X: 3.2, Y: 5.6}, plane.Point{X: 0, Y: 5.6}),
				Edges: edgesOf(roof.Kerb, roof.Kerb, roof.Drip, roof.Kerb),
				Base:  joists(0), Exit: plane.Point{X: 3.2, Y: 5.6},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: 1}, Ratio: 40}}},
			},
		}},
		{id: "R02", layers: []float64{450}, trims: map[roof.Condition]int{roof.Drip: 2, roof.Kerb: 2, roof.Tuck: 2}, decks: []roof.Deck{
			{Name: "dormer", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 3.6, Y: 0}, plane.Point{X: 3.6, Y: 2.2}, plane.Point{X: 0, Y: 2.2}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Tuck, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 3.6, Y: 2.2},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
			},
		}},
		{id: "R03", layers: []float64{600}, trims: map[roof.Condition]int{roof.Drip: 1, roof.Kerb: 2, roof.Wall: 1}, decks: []roof.Deck{
			{Name: "bay", Outline: plane.Ring{{Point: plane.Point{X: 0, Y: 0.6}, Bulge: 0.5}, {Point: plane.Point{X: 2.4, Y: 0.6}}, {Point: plane.Point{X: 2.4, Y: 0.9}}, {Point: plane.Point{X: 0, Y: 0.9}}},
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 2.4, Y: 0.9},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
			},
		}},
		{id: "R04", layers: []float64{600}, trims: map[roof.Condition]int{roof.Drip: 5, roof.Kerb: 4, roof.Wall: 3}, decks: []roof.Deck{
			{Name: "L", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 7.2, Y: 0}, plane.Point{X: 7.2, Y: 3.2}, plane.Point{X: 3.2, Y: 3.2}, plane.Point{X: 3.2, Y: 5.6}, plane.Point{X: 0, Y: 5.6}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Wall, roof.Kerb, roof.Drip),
				Base:  joists(90), Exit: plane.Point{X: 3.2, Y: 5.6},
				Falls: plane.Falls{Kind: plane.Hip, Line: [2]plane.Point{{X: 0, Y: 0}, {X: 3.2, Y: 3.2}}, Planes: []plane.FallPlane{{Down: plane.Point{X: -1, Y: 0}, Ratio: 40}, {Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
				Openings: []roof.Opening{
					{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(4.6, 0.9, 6.1, 1.9), KerbMM: 150},
				},
			},
		}},
		{id: "R05", layers: []float64{450}, trims: map[roof.Condition]int{roof.Wall: 3, roof.Drip: 2}, decks: []roof.Deck{
			{Name: "tri", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 4, Y: 0}, plane.Point{X: 0, Y: 3}),
				Edges: edgesOf(roof.Wall, roof.Drip, roof.Wall),
				Base:  joists(90), Exit: plane.Point{X: 4, Y: 0},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0.6, Y: 0.8}, Ratio: 40}}},
			},
		}},
		{id: "R06", layers: []float64{450, 450}, trims: map[roof.Condition]int{roof.Drip: 2, roof.Parapet: 1, roof.Wall: 2, roof.Kerb: 1}, decks: []roof.Deck{
			{Name: "balcony", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 5.4, Y: 0}, plane.Point{X: 5.4, Y: 2.1}, plane.Point{X: 0, Y: 2.1}),
				Edges: edgesOf(roof.Drip, roof.Parapet, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 5.4, Y: 2.1},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 60}}},
				Penetrations: []roof.Penetration{
					{Name: "P1", Kind: "post", At: plane.Point{X: 0.15, Y: 0.15}, WidthMM: 100, DepthMM: 100},
					{Name: "P2", Kind: "post", At: plane.Point{X: 1.85, Y: 0.15}, WidthMM: 100, DepthMM: 100},
					{Name: "P3", Kind: "post", At: plane.Point{X: 3.55, Y: 0.15}, WidthMM: 100, DepthMM: 100},
					{Name: "P4", Kind: "post", At: plane.Point{X: 5.25, Y: 0.15}, WidthMM: 100, DepthMM: 100},
				},
			},
		}},
		{id: "R07", layers: []float64{600}, trims: map[roof.Condition]int{roof.Drip: 3, roof.Kerb: 4, roof.Wall: 3}, decks: []roof.Deck{
			{Name: "main", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 6.6, Y: 0}, plane.Point{X: 6.6, Y: 4.8}, plane.Point{X: 0, Y: 4.8}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 6.6, Y: 4.8},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 60}}},
				Penetrations: []roof.Penetration{
					{Name: "SVP", Kind: "pipe", At: plane.Point{X: 1.2, Y: 3.9}, DiameterMM: 110},
				},
			},
		}},
		{id: "R08", layers: []float64{450}, trims: map[roof.Condition]int{roof.Parapet: 6, roof.Wall: 2}, decks: []roof.Deck{
			{Name: "main", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 5, Y: 0}, plane.Point{X: 5, Y: 4}, plane.Point{X: 0, Y: 4}),
				Edges: edgesOf(roof.Parapet, roof.Parapet, roof.Wall, roof.Parapet),
				Base:  joists(90), Exit: plane.Point{X: 5, Y: 4},
				Falls: plane.Falls{Kind: plane.ToPoint, Planes: []plane.FallPlane{{Ratio: 40}}, Point: plane.Point{X: 0.4, Y: 0.4}},
				Penetrations: []roof.Penetration{
					{Name: "OUT", Kind: "outlet", At: plane.Point{X: 0.4, Y: 0.4}, DiameterMM: 100},
					{Name: "OVF", Kind: "overflow", At: plane.Point{X: 0, Y: 1.2}, WidthMM: 100, DepthMM: 50},
				},
			},
		}},
		{id: "R09", layers: []float64{600}, trims: map[roof.Condition]int{roof.Drip: 4, roof.Kerb: 4, roof.Wall: 4}, decks: []roof.Deck{
			{Name: "main", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 9, Y: 0}, plane.Point{X: 9, Y: 5}, plane.Point{X: 0, Y: 5}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 9, Y: 5},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
				Openings: []roof.Opening{
					{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(2, 2, 3, 3), KerbMM: 150},
					{Name: "RL2", Kind: "rooflight", Outline: plane.Rectangle(6, 2, 7, 3), KerbMM: 150},
				},
			},
		}},
		{id: "R10", layers: []float64{600}, trims: map[roof.Condition]int{roof.BoxGutter: 2, roof.Parapet: 10, roof.Wall: 2, roof.StepUp: 2}, decks: []roof.Deck{
			{Name: "main", Outline: plane.RingOf(plane.Point{X: 0, Y: 0.35}, plane.Point{X: 5.2, Y: 0.35}, plane.Point{X: 5.2, Y: 8.4}, plane.Point{X: 0, Y: 8.4}),
				Edges: edgesOf(roof.BoxGutter, roof.Parapet, roof.Wall, roof.Parapet),
				Base:  joists(90), Exit: plane.Point{X: 5.2, Y: 8.4},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
				Openings: []roof.Opening{
					{Name: "CH", Kind: "chimney", Outline: plane.Rectangle(0, 5, 0.6, 5.9), KerbMM: 150},
				},
				Penetrations: []roof.Penetration{
					{Name: "SVP", Kind: "pipe", At: plane.Point{X: 4.4, Y: 6.8}, DiameterMM: 110},
				},
			},
			{Name: "box_gutter", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 5.2, Y: 0}, plane.Point{X: 5.2, Y: 0.35}, plane.Point{X: 0, Y: 0.35}),
				Edges: edgesOf(roof.Parapet, roof.Parapet, roof.StepUp, roof.Parapet),
				Base:  joists(90), Exit: plane.Point{X: 5.2, Y: 0.35},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 1, Y: 0}, Ratio: 80}}},
				Penetrations: []roof.Penetration{
					{Name: "OUT", Kind: "outlet", At: plane.Point{X: 4.9, Y: 0.175}, DiameterMM: 100},
					{Name: "OVF", Kind: "overflow", At: plane.Point{X: 5.2, Y: 0.175}, WidthMM: 150, DepthMM: 50},
				},
			},
		}},
		{id: "R11", layers: []float64{600}, trims: map[roof.Condition]int{roof.StepDown: 5, roof.Kerb: 11, roof.Wall: 7, roof.Drip: 4}, decks: []roof.Deck{
			{Name: "A_upper", Outline: plane.RingOf(plane.Point{X: 0, Y: 6}, plane.Point{X: 5, Y: 6}, plane.Point{X: 5, Y: 10}, plane.Point{X: 0, Y: 10}),
				Edges: edgesOf(roof.StepDown, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 5, Y: 10},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
			},
			{Name: "B_mid", Outline: plane.RingOf(plane.Point{X: 0, Y: 2}, plane.Point{X: 6, Y: 2}, plane.Point{X: 7, Y: 2}, plane.Point{X: 7, Y: 6}, plane.Point{X: 5, Y: 6}, plane.Point{X: 0, Y: 6}),
				Edges: edgesOf(roof.StepDown, roof.Drip, roof.Kerb, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 5, Y: 6},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
				Openings: []roof.Opening{
					{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(2, 3.5, 3.2, 4.3), KerbMM: 150},
				},
			},
			{Name: "C_lower", Outline: plane.RingOf(plane.Point{X: 0, Y: -1}, plane.Point{X: 6, Y: -1}, plane.Point{X: 6, Y: 2}, plane.Point{X: 0, Y: 2}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Wall, roof.Kerb),
				Base:  joists(90), Exit: plane.Point{X: 6, Y: 2},
				Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
			},
		}},
		{id: "R12", layers: []float64{600}, trims: map[roof.Condition]int{roof.Drip: 22, roof.Kerb: 7, roof.Wall: 7}, decks: []roof.Deck{
			{Name: "hall", Outline: plane.RingOf(plane.Point{X: 0, Y: 0}, plane.Point{X: 30, Y: 0}, plane.Point{X: 30, Y: 20}, plane.Point{X: 0, Y: 20}),
				Edges: edgesOf(roof.Drip, roof.Kerb, roof.Drip, roof.Wall),
				Base:  joists(90), Exit: plane.Point{X: 30, Y: 20},
				Falls:          plane.Falls{Kind: plane.Ridge, Line: [2]plane.Point{{X: 0, Y: 10}, {X: 30, Y: 10}}, Planes: []plane.FallPlane{{Down: plane.Point{X: 0, Y: 1}, Ratio: 40}, {Down: plane.Point{X: 0, Y: -1}, Ratio: 40}}},
				MovementJoints: [][2]plane.Point{{{X: 5, Y: 0}, {X: 5, Y: 20}}, {{X: 10, Y: 0}, {X: 10, Y: 20}}, {{X: 15, Y: 0}, {X: 15, Y: 20}}, {{X: 20, Y: 0}, {X: 20, Y: 20}}, {{X: 25, Y: 0}, {X: 25, Y: 20}}, {{X: 0, Y: 10}, {X: 30, Y: 10}}},
				Openings: []roof.Opening{
					{Name: "RL01", Kind: "rooflight", Outline: plane.Rectangle(1.9, 4.4, 3.1, 5.6), KerbMM: 150},
					{Name: "RL02", Kind: "rooflight", Outline: plane.Rectangle(6.9, 4.4, 8.1, 5.6), KerbMM: 150},
					{Name: "RL03", Kind: "rooflight", Outline: plane.Rectangle(11.9, 4.4, 13.1, 5.6), KerbMM: 150},
					{Name: "RL04", Kind: "rooflight", Outline: plane.Rectangle(16.9, 4.4, 18.1, 5.6), KerbMM: 150},
					{Name: "RL05", Kind: "rooflight", Outline: plane.Rectangle(21.9, 4.4, 23.1, 5.6), KerbMM: 150},
					{Name: "RL06", Kind: "rooflight", Outline: plane.Rectangle(26.9, 4.4, 28.1, 5.6), KerbMM: 150},
					{Name: "RL07", Kind: "rooflight", Outline: plane.Rectangle(1.9, 14.4, 3.1, 15.6), KerbMM: 150},
					{Name: "RL08", Kind: "rooflight", Outline: plane.Rectangle(6.9, 14.4, 8.1, 15.6), KerbMM: 150},
					{Name: "RL09", Kind: "rooflight", Outline: plane.Rectangle(11.9, 14.4, 13.1, 15.6), KerbMM: 150},
					{Name: "RL10", Kind: "rooflight", Outline: plane.Rectangle(16.9, 14.4, 18.1, 15.6), KerbMM: 150},
					{Name: "RL11", Kind: "rooflight", Outline: plane.Rectangle(21.9, 14.4, 23.1, 15.6), KerbMM: 150},
					{Name: "RL12", Kind: "rooflight", Outline: plane.Rectangle(26.9, 14.4, 28.1, 15.6), KerbMM: 150},
				},
			},
		}},
	}
}
