package framing

import (
	"context"
	"math"
	"strings"
	"testing"

	"gelwright/check/country"
	"gelwright/check/wind"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
)

// Lengths of screws by what lies between head and joist: 2.5 times a board on joists, 50 mm at
// least; over an old deck the new board, a covering of 5 mm each, the old board and 35 mm held.
func TestScrewsByWhatLiesBetween(t *testing.T) {
	joists, old := roof.Base{Kind: "joists"}, roof.Base{Kind: "sound deck"}
	for _, c := range []struct {
		name  string
		board float64
		work  roof.Work
		base  roof.Base
		mm    float64
	}{
		{"18 mm on joists: 45, 50 at least", 18, roof.Work{Kind: "new"}, joists, 50},
		{"22 mm on joists: 55, sold in tens", 22, roof.Work{Kind: "new"}, joists, 60},
		{"25 mm on joists: 62.5", 25, roof.Work{Kind: "new"}, joists, 70},
		{"over an old deck, bare: 18 + 18 + 35", 18, roof.Work{Kind: "strip"}, old, 80},
		{"over an old deck and one covering: + 5", 18, roof.Work{Kind: "overlay", OldCoverings: 1}, old, 80},
		{"nobody counted the coverings: one", 18, roof.Work{Kind: "overlay"}, old, 80},
		{"three coverings: + 15", 18, roof.Work{Kind: "overlay", OldCoverings: 3}, old, 90},
	} {
		s := BoardScrew(roof.Board{ThicknessMM: c.board}, c.work, c.base)
		if s.MM != c.mm || !strings.HasPrefix(s.Key, "screw.5x") || s.Note == "" {
			t.Errorf("%s: %+v", c.name, s)
		}
	}
	for least, want := range map[float64]float64{50: 50, 50.1: 60, 120: 120, 120.1: 140, 141: 160} {
		if got := ScrewLengthMM(least); got != want {
			t.Errorf("%g mm at least: %g, want %g", least, got, want)
		}
	}
	for _, c := range [][3]float64{{3, 0.3, 11}, {0.3, 0.3, 2}, {0.31, 0.3, 3}} {
		if got := Places(c[0], c[1]); got != c[2] {
			t.Errorf("%g m at %g m: %g places, want %g", c[0], c[1], got, c[2])
		}
	}
}

// A soft place is cut out to joists: half a bay more on every side, boards with a tenth for
// cutting, three lines of noggins; worked by hand for 0.8 by 0.6 m on joists at 400 mm.
func TestRenewalOfASoftPlace(t *testing.T) {
	d := roof.Deck{Base: roof.Base{Kind: "sound deck"}, SoftAreas: []plane.Ring{plane.Rectangle(1, 1, 1.8, 1.6)}}
	b := roof.Board{LengthM: 2.44, WidthM: 1.22, EdgeFixMM: 150}
	got := Renewals(&d, b)
	if len(got) != 1 {
		t.Fatalf("%+v", got)
	}
	r := got[0]
	// 1.2 by 1.0 m cut out: 1.2 m², half a board; joists across 1.2 m are 4; 1 m at 150 mm takes 8.
	if math.Abs(r.SoftM2-0.48) > 1e-9 || math.Abs(r.CutM2-1.2) > 1e-9 || r.Boards != 1 || math.Abs(r.NogginM-3.6) > 1e-9 || r.Screws != 4*8 {
		t.Errorf("%+v", r)
	}
	if r.At != (plane.Point{X: 1.4, Y: 1.3}) {
		t.Errorf("its middle %v", r.At)
	}
	d.Base.Kind = "joists"
	if got := Renewals(&d, b); got != nil {
		t.Errorf("boarded anew all over, and yet %+v", got)
	}
}

// Insulation stays between joists that are not opened; above a deck, and in new work, it does not.
func TestInsulationThatStays(t *testing.T) {
	ins := &roof.Insulation{Material: "mineral wool", ThicknessMM: 100}
	for _, c := range []struct {
		build, kind, base string
		ins               *roof.Insulation
		stays             bool
	}{
		{"cold", "overlay", "sound deck", ins, true}, {"cold", "overlay", "joists", ins, true}, {"cold", "strip", "sound deck", ins, true},
		{"cold", "strip", "joists", ins, false}, {"cold", "new", "joists", ins, false}, {"warm", "overlay", "sound deck", ins, false},
		{"cold", "overlay", "sound deck", nil, false},
	} {
		job := &roof.Job{Work: roof.Work{Kind: c.kind}, Spec: roof.Spec{Build: c.build, Insulation: c.ins},
			Decks: []roof.Deck{{Base: roof.Base{Kind: c.base}}}}
		if got := InsulationStays(job); got != c.stays {
			t.Errorf("%s %s over %s: %v", c.kind, c.build, c.base, got)
		}
	}
}

// A parapet shelters where it runs all round, the lowest of it; a map that nobody read is the
// worst it may say, and where none is known more than Europe's.
func TestTheSiteAsTheWindSeesIt(t *testing.T) {
	parapets := func(heights ...float64) *roof.Deck {
		d := &roof.Deck{}
		for _, h := range heights {
			d.Edges = append(d.Edges, roof.Edge{Condition: roof.Parapet, HeightMM: h})
		}
		return d
	}
	site := roof.Site{Country: "GB-ENG", EavesM: 3, BasicWindMS: 22}
	if w := WindSite(site, parapets(300, 200, 400, 250)); w.ParapetM != 0.2 || w.BasicMS != 22 || !w.Given {
		t.Errorf("%+v", w)
	}
	open := parapets(300, 300, 300)
	open.Edges = append(open.Edges, roof.Edge{Condition: roof.Drip})
	if w := WindSite(site, open); w.ParapetM != 0 {
		t.Errorf("a parapet with an open side shelters: %+v", w)
	}
	site.BasicWindMS = 0
	for code, want := range map[string]struct {
		ms    float64
		known bool
	}{"GB-ENG": {27, true}, "GB-SCT": {31, true}, "DE": {30, true}, "US": {31, false}} {
		site.Country = code
		if w := WindSite(site, open); w.Given || w.BasicMS != want.ms || w.MapTopKnown != want.known {
			t.Errorf("%s: %+v", code, w)
		}
	}
}

// small is a deck of 3 by 2.5 m on joists at 400 mm, or over insulation, set out with one zone.
func small(t *testing.T, kind string) FramingInput {
	t.Helper()
	ring := plane.Rectangle(0, 0, 3, 2.5)
	d := roof.Deck{Name: "main", Outline: ring, Exit: plane.Point{X: 1, Y: 0}, Edges: make([]roof.Edge, 4),
		Falls: plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: -1}, Ratio: 40}}},
		Base:  roof.Base{Kind: kind, JoistSpacingMM: 400, JoistBearingDeg: 90, JoistOffsetMM: 25, JoistWidthMM: 47, JoistDepthMM: 150}}
	for i := range d.Edges {
		d.Edges[i].Condition = roof.Drip
	}
	spec := roof.Spec{Layers: []float64{450}, SideLapMM: 50, EndLapMM: 100, TrimLapMM: 50, BandageMM: 75, CornerStripMM: 150, UpstandLayers: 1,
		Board: roof.Board{Material: "OSB/3", ThicknessMM: 18, LengthM: 2.44, WidthM: 1.22, GapMM: 3, WallGapMM: 10, MinPieceM: 0.3,
			StaggerM: 0.4, EdgeFixMM: 150, FieldFixMM: 300}}
	g, err := runoff.MakeGeometry(context.Background(), runoff.GeometryInput{Place: "test", Deck: d})
	if err != nil {
		t.Fatal(err)
	}
	geometry := steps.Of(g)
	site := wind.Site{BasicMS: 24, Given: true, Terrain: "II", HeightM: 3}
	s, err := MakeSetOut(context.Background(), SetOutInput{Deck: d, Spec: LaidOut(spec), Geometry: geometry, Wind: site})
	if err != nil {
		t.Fatal(err)
	}
	return FramingInput{Deck: d, Board: spec.Board, Geometry: geometry, Falls: steps.Of(runoff.Falls{}), SetOut: steps.Of(s), Wind: site,
		Country: "GB-ENG"}
}

// Boards hold as many fasteners as were set out, zone by zone; through insulation they are screwed
// along lines, as many as the uplift asks at least, and what the set-out holds is left as it was.
func TestFixingsOfTheBoards(t *testing.T) {
	in := small(t, "joists")
	out, err := MakeFraming(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for _, f := range out.Upper.Fixings {
		count += f.Edge + f.Field
	}
	mean := float64(count) / in.Geometry.Value.NetM2
	if count == 0 || out.Holds.ResistanceN != 450 || math.Abs(out.Holds.DeadKPa-18*0.0064) > 1e-12 {
		t.Fatalf("%d fixings, %+v", count, out.Holds)
	}
	for i, z := range out.Upper.FixingZones {
		if i < 4 && z.AreaM2 >= leastZoneM2 && z.Count > 0 && out.Holds.PerM2[i] != z.PerM2 {
			t.Errorf("zone %d: %g per m², set out %g (mean %g)", i, out.Holds.PerM2[i], z.PerM2, mean)
		}
	}
	if out.FirringCentresM != 0 {
		t.Errorf("no firrings, and yet fixed at %g m", out.FirringCentresM)
	}

	through := small(t, "sound deck")
	through.ThroughInsulation = true
	before := through.SetOut.Value.Upper.Fixings[0]
	out, err = MakeFraming(context.Background(), through)
	if err != nil {
		t.Fatal(err)
	}
	if again := through.SetOut.Value.Upper.Fixings[0]; again.Edge != before.Edge || again.Field != before.Field {
		t.Error("the set-out that others hold was changed")
	}
	set, _ := country.For("GB-ENG")
	_, _, demands, err := wind.Check(through.Wind, set, out.Holds)
	if err != nil {
		t.Fatal(err)
	}
	for i, z := range out.Upper.FixingZones {
		if i < len(demands) && z.AreaM2 >= leastZoneM2 && demands[i].Utilisation > 1 {
			t.Errorf("zone %d holds %g of the %g it needs", i, out.Holds.PerM2[i], demands[i].Needed)
		}
	}
}

// Firrings are fixed every 600 mm, and closer where the uplift that passes through them asks for it:
// n fasteners to the m² at joists 0.4 m apart are one every 1/(0.4·n) m, down to steps of 50 mm.
func TestFirringsAreFixedAsTheUpliftAsks(t *testing.T) {
	in := small(t, "joists")
	in.Falls = steps.Of(runoff.Falls{Firrings: make([]runoff.Firring, 1)})
	set, _ := country.For(in.Country)
	for _, ms := range []float64{15, 24, 40} {
		in.Wind.BasicMS = ms
		out, err := MakeFraming(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		_, _, demands, err := wind.Check(in.Wind, set, out.Holds)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.6
		for _, d := range demands {
			if d.Needed > 0 {
				want = math.Min(want, math.Floor(1/(0.4*d.Needed)/0.05+1e-9)*0.05)
			}
		}
		if want = math.Max(want, 0.1); math.Abs(out.FirringCentresM-want) > 1e-12 {
			t.Errorf("%g m/s: firrings fixed at %g m, want %g", ms, out.FirringCentresM, want)
		}
	}
}

// What is laminated as field ends at movement joints; without any it is the whole slope.
func TestFieldsWithoutJointsAreTheDeck(t *testing.T) {
	in := small(t, "joists")
	f, err := MakeFields(context.Background(), FieldsInput{Deck: "main", Geometry: in.Geometry, SetOut: in.SetOut})
	if err != nil || f.FieldM2 != in.Geometry.Value.SlopeM2 || f.UpstandM2 != in.Geometry.Value.UpstandM2 {
		t.Errorf("%+v %v", f, err)
	}
}

func TestTimbersInWords(t *testing.T) {
	s := &settingout.SetOut{Pieces: []settingout.Piece{{Kind: settingout.Noggin}, {Kind: settingout.Noggin}, {Kind: settingout.Noggin, Role: Header}}}
	if got, want := Timbers(s), "2 noggins under unsupported edges; one header of joist depth round openings, a joist hanger at each end of "+
		"a header, doubled where the engineer says"; got != want {
		t.Errorf("%q", got)
	}
	if Timbers(&settingout.SetOut{}) != "" {
		t.Error("timbers of nothing")
	}
	if got := ListOf([]string{"B1", "B2", "B3", "B4", "B5", "B6", "B7"}); got != "B1, B2, B3, B4, B5 and 2 more boards" {
		t.Error(got)
	}
}
