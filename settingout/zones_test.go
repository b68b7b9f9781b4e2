package settingout_test

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// strips parts a rectangle into a strip along its south side and the rest.
func strips(low, high plane.Point, deepM, centresMM float64) []settingout.Zone {
	at := low.Y + deepM
	box := func(y0, y1 float64) []plane.Polygon {
		return []plane.Polygon{{Outer: []plane.Point{{X: low.X, Y: y0}, {X: high.X, Y: y0}, {X: high.X, Y: y1}, {X: low.X, Y: y1}}}}
	}
	return []settingout.Zone{{Name: "G", Area: box(low.Y, at), CentresMM: centresMM}, {Name: "I", Area: box(at, high.Y)}}
}

func fixingsOf(s settingout.SetOut) (sum int) {
	for _, f := range s.Fixings {
		sum += f.Edge + f.Field
	}
	return sum
}

// Zones without centres of their own change no count; each fixing is in one zone;
// closer centres in one zone add fixings there and take none from the other.
func TestFixingsAreCountedByZone(t *testing.T) {
	bounded(t, "6", func(rt *rapid.T) {
		d, spec := drawDeck(rt), drawSpec(rt)
		low, high := d.Outline.Bounds()
		// A zone covers arcs and rounding beyond the outline too.
		low, high = low.Sub(plane.Point{X: 0.1, Y: 1}), high.Add(plane.Point{X: 0.1, Y: 1})
		deep := float64(rapid.IntRange(1200, 2500).Draw(rt, "depth")) / 1000
		make := func(zones []settingout.Zone) settingout.SetOut {
			s, err := settingout.MakeFrom(context.Background(), d, spec, settingout.Given{Zones: zones})
			if err != nil {
				rt.Fatal(err)
			}
			sum := 0
			for _, z := range s.FixingZones {
				sum += z.Count
			}
			if len(zones) > 0 && sum != fixingsOf(s) {
				rt.Errorf("%d fixings, %d in zones", fixingsOf(s), sum)
			}
			return s
		}
		none, same, closer := make(nil), make(strips(low, high, deep, 0)), make(strips(low, high, deep, 75))
		if fixingsOf(none) != fixingsOf(same) {
			rt.Errorf("%d fixings without zones, %d with", fixingsOf(none), fixingsOf(same))
		}
		// A line that crosses into the zone is parted there, which may shift one fixing.
		slack := 1 + len(none.Of(settingout.Board))*4
		if closer.FixingZones[0].Count < same.FixingZones[0].Count-slack || closer.FixingZones[1].Count < same.FixingZones[1].Count-slack {
			rt.Errorf("centres of 75 mm: %+v, before %+v", closer.FixingZones, same.FixingZones)
		}
	})
}

// By hand: one board 2.4 × 1.2 m on joists at 400 mm, centres 150/300 mm: two ends of
// 9, two long edges of 15 between the corners, joists between of 3 each. The south
// 0.6 m at 100 mm adds fixings there only.
func TestCloserCentresHoldTheStrip(t *testing.T) {
	d := roof.Deck{Name: "one", Outline: plane.Rectangle(0, 0, 2.4, 1.2), Edges: edgesOf(roof.Drip, roof.Kerb, roof.Kerb, roof.Kerb), Base: joists(90)}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}}
	spec := usual([]float64{450})
	low, high := d.Outline.Bounds()
	count := func(centres float64) []settingout.ZoneFixings {
		s, err := settingout.MakeFrom(context.Background(), d, spec, settingout.Given{Zones: strips(low, high, 0.6, centres)})
		if err != nil {
			t.Fatal(err)
		}
		return s.FixingZones
	}
	plain, close := count(0), count(100)
	if sum := plain[0].Count + plain[1].Count; sum != 2*9+2*15+5*3 {
		t.Errorf("%d fixings, want 63", sum)
	}
	if !(close[0].PerM2 > 1.2*plain[0].PerM2) || close[1].Count < plain[1].Count-2 || close[1].Count > plain[1].Count+12 {
		t.Errorf("100 mm in the south: %+v, before %+v", close, plain)
	}
}
