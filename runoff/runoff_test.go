package runoff

import (
	"context"
	"math"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/steps"
)

// falling is a deck of 4 by 3 m that falls one way, down to y = 0, its edges as given from there round.
func falling(ratio float64, conditions ...roof.Condition) roof.Deck {
	d := roof.Deck{Name: "main", Outline: plane.Rectangle(0, 0, 4, 3), Edges: make([]roof.Edge, 4),
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: ratio}}},
		Base:  roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistBearingDeg: 90, JoistWidthMM: 47, JoistDepthMM: 150}}
	for i := range d.Edges {
		d.Edges[i].Condition = conditions[i%len(conditions)]
	}
	return d
}

func geometryOf(t *testing.T, d roof.Deck) steps.Made[Geometry] {
	t.Helper()
	g, err := MakeGeometry(context.Background(), GeometryInput{Place: "test", Deck: d})
	if err != nil {
		t.Fatal(err)
	}
	return steps.Of(g)
}

// By hand: 12 m² less a rooflight of 1 by 0.5 m; on the slope √(1 + 1/40²) times as much; the
// high edge 3 m/40 above the low one; a kerb of 150 mm and its 50 mm top round 3 m.
func TestGeometryOfARectangle(t *testing.T) {
	d := falling(40, roof.Drip)
	d.Openings = []roof.Opening{{Name: "RL1", Kind: "rooflight", Outline: plane.Rectangle(1, 1, 2, 1.5), KerbMM: 150}}
	g := geometryOf(t, d).Value
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"gross", g.GrossM2, 12}, {"openings", g.OpeningsM2, 0.5}, {"net", g.NetM2, 11.5}, {"slope", g.SlopeM2, 11.5 * math.Sqrt(1+1.0/1600)},
		{"edges", g.EdgeM, 14}, {"highest", g.HighestMM, 75}, {"least fall", g.LeastFall, 40}, {"upstands", g.UpstandM2, 3 * 0.2},
		{"drips", g.EdgeByCondition[0].LengthM, 14}, {"net as a figure", g.NetArea.Value, 11.5}} {
		if math.Abs(c.got-c.want) > 1e-9*math.Max(1, c.want) {
			t.Errorf("%s: %.9f, want %.9f", c.what, c.got, c.want)
		}
	}
	d.Falls = plane.Falls{Kind: plane.Level}
	if g := geometryOf(t, d).Value; g.LeastFall != 0 || g.HighestMM != 0 || g.SlopeM2 != 11.5 {
		t.Errorf("a level deck: %+v", g)
	}
}

// All water of a deck that falls to an open edge leaves over it; with that edge closed it stands
// and has no way out, and with an outlet in the low corner it goes there.
func TestWhereTheWaterLeaves(t *testing.T) {
	waters := func(d roof.Deck) DeckWaters {
		t.Helper()
		w, err := MakeWaters(context.Background(), WatersInput{Decks: []roof.Deck{d}, Geometry: []steps.Made[Geometry]{geometryOf(t, d)}})
		if err != nil {
			t.Fatal(err)
		}
		return w.Decks[0]
	}
	open := falling(40, roof.Drip, roof.Kerb, roof.Kerb, roof.Kerb)
	w := waters(open)
	if len(w.Waters) != 1 || math.Abs(w.Waters[0].AreaM2-12) > 1e-6 || w.Waters[0].Edge != 0 || w.Waters[0].Lost || len(w.Pools) != 0 {
		t.Errorf("open: %+v", w)
	}
	closed := falling(40, roof.Parapet)
	for i := range closed.Edges {
		closed.Edges[i].HeightMM = 150
	}
	w = waters(closed)
	lost := 0.0
	for _, x := range w.Waters {
		if x.Lost {
			lost += x.AreaM2
		}
	}
	r := CheckPools(&closed, w.Pools)
	if math.Abs(lost-12) > 1e-6 || r.Verdict != check.Fail || !strings.Contains(r.Finding, "has no way out") || len(r.Remedies) == 0 {
		t.Errorf("closed: %+v, %+v", w.Waters, r)
	}
	drained := closed
	drained.Falls = plane.Falls{Kind: plane.ToPoint, Point: plane.Point{X: 2, Y: 0.5}, Planes: []plane.FallPlane{{Ratio: 40}}}
	drained.Penetrations = []roof.Penetration{{Name: "OUT", Kind: "outlet", At: plane.Point{X: 2, Y: 0.5}, DiameterMM: 75}}
	w = waters(drained)
	if len(w.Waters) != 1 || !strings.Contains(w.Waters[0].Name, "OUT") || w.Waters[0].OutletMM != 75 ||
		math.Abs(w.Waters[0].AreaM2-12) > 1e-3 {
		t.Errorf("drained: %+v", w.Waters)
	}
	// Blocked, nothing else takes it within upstands.
	if len(w.SaddlesMM) != 1 || !math.IsInf(w.SaddlesMM[0], 1) {
		t.Errorf("saddles %v", w.SaddlesMM)
	}
}

// Pools of 5 mm are what laps explain; deeper ones fail.
func TestHowDeepWaterMayStand(t *testing.T) {
	d := falling(40, roof.Drip)
	for depth, want := range map[float64]check.Verdict{4.9: check.Caution, 5: check.Caution, 5.1: check.Fail} {
		r := CheckPools(&d, []Pool{{At: plane.Point{X: 1, Y: 1}, DepthMM: depth, FedM2: 2, To: "edge 1 (drip)"}})
		if r.Verdict != want || math.Abs(r.Utilisation-depth/5) > 1e-9 {
			t.Errorf("%g mm: %s, %g", depth, r.Verdict, r.Utilisation)
		}
	}
}

// Firrings of a new roof lie on its joists and rise with the fall: over 3 m at 1:40 by 75 mm; an old
// roof, a sound deck, a level one and tapered boards need none.
func TestWhoNeedsFirrings(t *testing.T) {
	falls := func(d roof.Deck, isNew, tapered bool) Falls {
		t.Helper()
		f, err := MakeFalls(context.Background(), FallsInput{Deck: d, Geometry: geometryOf(t, d), New: isNew, Tapered: tapered, ThinMM: 40})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	d := falling(40, roof.Drip)
	f := falls(d, true, false)
	if len(f.Firrings) < 9 || f.LowPointFault != "" {
		t.Fatalf("%d firrings, %q", len(f.Firrings), f.LowPointFault)
	}
	low, high := FirringRange(f.Firrings)
	if math.Abs(high-low-75) > 1 {
		t.Errorf("firrings from %g to %g mm rise by %g, want 75", low, high, high-low)
	}
	for _, x := range f.Firrings {
		if mid := (x.FromMM + x.ToMM) / 2; math.Abs(x.HeightMM(x.LengthM/2)-mid) > 0.5 {
			t.Errorf("%s: %g mm at its middle, want %g", x.Number, x.HeightMM(x.LengthM/2), mid)
		}
	}
	if f := falls(d, false, false); len(f.Firrings) != 0 {
		t.Error("an old roof gets firrings")
	}
	if f := falls(d, true, true); len(f.Firrings) != 0 || len(f.Tapered) == 0 {
		t.Error("tapered boards make the fall")
	}
	sound := d
	sound.Base.Kind = "sound deck"
	if f := falls(sound, true, false); len(f.Firrings) != 0 {
		t.Error("a sound deck gets firrings")
	}
	level := d
	level.Falls = plane.Falls{Kind: plane.Level}
	if f := falls(level, true, false); len(f.Firrings) != 0 || f.LowPointFault != "" {
		t.Error("a level deck gets firrings")
	}
	// Its low edge closed, the lowest point is at no drain.
	closed := falling(40, roof.Kerb)
	if f := falls(closed, true, false); f.LowPointFault == "" {
		t.Error("the water of a closed low edge is said to reach a drain")
	}
}

func TestHeightsAlongAnEdge(t *testing.T) {
	d := falling(40, roof.Drip)
	s := geometryOf(t, d).Value.Surface
	for _, c := range []struct {
		edge     int
		from, to float64
		want     float64
	}{{0, 0, 1, 0}, {2, 0, 1, 0.075}, {1, 0, 1, 0}, {1, 0.5, 1, 0.0375}} {
		if got := LowAlong(s, d.Outline.Edge(c.edge), c.from, c.to); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("edge %d from %g to %g: %g m, want %g", c.edge+1, c.from, c.to, got, c.want)
		}
	}
}

// A chimney at the wall is a notch in the deck: its firrings end a gap of 10 mm before it, those beside it at the wall's own gap.
func TestFirringsEndAtAChimneyByTheWall(t *testing.T) {
	d := falling(40, roof.Drip, roof.Drip, roof.Wall, roof.Drip)
	d.Openings = []roof.Opening{{Name: "CH", Kind: "chimney", Outline: plane.Rectangle(1, 2.5, 2, 3)}}
	f, err := MakeFalls(context.Background(), FallsInput{Deck: d, Geometry: geometryOf(t, d), New: true, WallGapMM: 10})
	if err != nil {
		t.Fatal(err)
	}
	under, beside := 0, 0
	for _, x := range f.Firrings {
		ends := math.Max(x.From.Y, x.To.Y)
		switch mid := (x.From.X + x.To.X) / 2; {
		case mid > 1.05 && mid < 1.95:
			if under++; math.Abs(ends-2.49) > 1e-6 {
				t.Errorf("%s before the chimney ends at %.4f, want 2.4900", x.Number, ends)
			}
		case mid > 2.1:
			if beside++; math.Abs(ends-2.99) > 1e-6 {
				t.Errorf("%s beside it ends at %.4f, want 2.9900", x.Number, ends)
			}
		}
	}
	if under == 0 || beside == 0 {
		t.Errorf("%d firrings end at the chimney, %d beside it", under, beside)
	}
}
