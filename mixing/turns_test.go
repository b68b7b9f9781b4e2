package mixing

import (
	"math"
	"testing"

	"gelwright/plane"
)

// hallway is a field of n strips of 1 m by lengthM, each with an edge of 1 kg at its low end.
func hallway(n int, lengthM float64) Input {
	in := garage()
	in.Cells, in.Exits = nil, []plane.Point{{X: lengthM / 2, Y: float64(n)}}
	in.Resin.Waxed = true
	in.Edges = &Edges{Key: "mix.hall.cutin1", Name: "cutting in", CapL: 0.5, Gangs: in.Crew.People, TurnMin: 60}
	for i := range n {
		y := float64(i)
		in.Cells = append(in.Cells, Cell{Name: string(rune('a' + i)), Strip: i + 1, AreaM2: lengthM, ResinKG: 0.6 * lengthM,
			Shape: plane.Loop{{X: 0, Y: y}, {X: lengthM, Y: y}, {X: lengthM, Y: y + 1}, {X: 0, Y: y + 1}}})
		in.Edges.Items = append(in.Edges.Items, Detail{Name: "edge " + string(rune('a'+i)), KG: 1, ManMinutes: 6,
			Places: []plane.Point{{X: -0.05, Y: y + 0.25}, {X: -0.05, Y: y + 0.75}}})
	}
	return in
}

// By hand: two people at 6 m² a man-hour roll 0.2 m²/min, so that ten strips of 3 m² take 150 min; with their edges, 2 kg to a strip
// pair, that is well over an hour. Each edge is cut in before its strip and gone over within the hour; nothing of an edge is lost; numbers
// follow the clock. In one go, where an hour holds all, edges come first and the field after them.
func TestTurnsByHand(t *testing.T) {
	for strips, turns := range map[int]bool{10: true, 2: false} {
		in := hallway(strips, 3)
		in.FirstNumber = 7
		p, err := Make(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		e := p.Edges
		at, kg := map[int]float64{}, 0.0
		for _, m := range append(append([]Mix(nil), p.Mixes...), e.Mixes...) {
			if _, twice := at[m.Number]; twice {
				t.Errorf("%d strips: two buckets %d", strips, m.Number)
			}
			at[m.Number] = float64(m.Day)*24*60 + m.MixAtMin
		}
		for n := 8; n < 7+len(at); n++ {
			if at[n] < at[n-1]-15 {
				t.Errorf("%d strips: bucket %d at %.0f, the one before at %.0f", strips, n, at[n], at[n-1])
			}
		}
		for _, m := range e.Mixes {
			kg += m.ResinKG
			if m.OverMin <= 0 || m.OverMin > 60 {
				t.Errorf("%d strips: bucket %d is gone over %.0f min after it", strips, m.Number, m.OverMin)
			}
			for _, part := range m.Parts {
				for _, f := range p.Mixes {
					for _, x := range f.Parts {
						if x.Cell == part.Cell && f.Day == m.Day && f.MixAtMin < m.MixAtMin {
							t.Errorf("%d strips: %s is rolled at %.0f, its edge cut in at %.0f", strips, x.Name, f.MixAtMin, m.MixAtMin)
						}
					}
				}
			}
		}
		if math.Abs(kg-float64(strips)) > 1e-9 {
			t.Errorf("%d strips: %.3f kg are cut in", strips, kg)
		}
		pauses := 0
		for _, m := range p.Mixes {
			if m.CutInMin > 0 {
				pauses++
			}
		}
		if (pauses > 1) != turns || pauses == 0 {
			t.Errorf("%d strips: cut in %d times", strips, pauses)
		}
	}
}
