package mixing

import (
	"context"
	"math"
	"strings"
	"testing"

	"gelwright/plane"
)

// Beside every bucket stands what to weigh when it is 3 or 6 K colder or warmer: the dose chosen anew at that temperature, ten grams
// of catalyst for each kilogram and per cent, and their millilitres.
func TestLadderByHand(t *testing.T) {
	in := garage()
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	m := p.Mixes[1]
	if len(m.Ladder) != 4 {
		t.Fatalf("%d rungs, want 4", len(m.Ladder))
	}
	weighed := 0
	for i, off := range []float64{-6, -3, 3, 6} {
		r := m.Ladder[i]
		if r.OffK != off {
			t.Errorf("rung %d is for %g K, want %g", i, r.OffK, off)
		}
		if r.Refused != "" {
			continue
		}
		weighed++
		if g := 10 * m.ResinKG * r.DosePct; math.Abs(r.CatalystG-g) > 1e-9 || math.Abs(r.CatalystML-g/in.Resin.CatalystGPerML) > 1e-9 {
			t.Errorf("%+g K: %.3f g and %.3f ml for %.2f kg at %.2f %%, by hand %.3f and %.3f", off, r.CatalystG, r.CatalystML, m.ResinKG, r.DosePct,
				g, g/in.Resin.CatalystGPerML)
		}
	}
	if weighed == 0 {
		t.Error("no rung is weighed at 18 °C")
	}
}

// Minutes after midnight as a clock shows them.
func TestClock(t *testing.T) {
	for min, want := range map[float64]string{0: "00:00", 59.4: "00:59", 61: "01:01", 480: "08:00", 1005.5: "16:46", 1439: "23:59"} {
		if got := clockText(min); got != want {
			t.Errorf("minute %g is told as %s, want %s", min, got, want)
		}
	}
}

// What a day may be: it ends at midnight at the latest, begins before it ends, and its sun warms a deck by less than 60 K.
func TestWhatADayMayBe(t *testing.T) {
	for _, row := range []struct {
		what            string
		within, without func(*Day)
	}{
		{"its end", func(d *Day) { d.EndMin = 1440 }, func(d *Day) { d.EndMin = 1441 }},
		{"its start", func(d *Day) { d.StartMin = 0 }, func(d *Day) { d.StartMin = -1 }},
		{"end after start", func(d *Day) { d.EndMin = d.StartMin + 1 }, func(d *Day) { d.EndMin = d.StartMin }},
		{"the sun's warmth", func(d *Day) { d.SunK = 59.9 }, func(d *Day) { d.SunK = 60 }},
		{"no less than the deck's", func(d *Day) { d.SunK = 0 }, func(d *Day) { d.SunK = -0.1 }},
	} {
		in, out := constant(18), constant(18)
		row.within(&in)
		row.without(&out)
		if err := in.check(); err != nil {
			t.Errorf("%s: refused within its limit: %v", row.what, err)
		}
		if err := out.check(); err == nil {
			t.Errorf("%s: taken beyond its limit", row.what)
		}
	}
	for min, fine := range map[float64]bool{0: true, 1440: true, 1440.1: false, -0.1: false} {
		if err := (&Input{BeginMin: min}).begins(); (err == nil) != fine {
			t.Errorf("a pass that begins at minute %g: %v", min, err)
		}
	}
}

// The chances are told in per cent.
func TestChancesAreTold(t *testing.T) {
	p := &Plan{Name: "mat", ChanceDay: 0.87, Mixes: []Mix{{Number: 3, ChanceLaid: 0.984}}}
	if r := p.checkChance(""); !strings.Contains(r.Finding, "87 %") || !strings.Contains(r.Finding, "bucket 3, 98.4 %") {
		t.Errorf("told as %q", r.Finding)
	}
}

// Details of 30 man-minutes each keep a crew of two for a quarter of an hour.
func TestADetailIsItsTime(t *testing.T) {
	in := Input{Name: "details", Crew: crew(), Resin: testResin(), Day: constant(18), ShownDay: 1}
	p, err := Details(context.Background(), in, []Detail{{Name: "outlet", KG: 1.9, ManMinutes: 30}, {Name: "corner", KG: 1.9, ManMinutes: 30}})
	if err != nil || len(p.Mixes) != 2 {
		t.Fatalf("%v, %v", p, err)
	}
	if min := p.Mixes[1].MixAtMin - p.Mixes[0].MixAtMin; math.Abs(min-15) > 1e-9 {
		t.Errorf("the second is mixed %.2f min after the first, by hand 15", min)
	}
}

// A cell under 0.6 m² is a tip that is laid from beside it, however narrow its joint.
func TestATipIsReachedFromBesideIt(t *testing.T) {
	for _, row := range []struct {
		longM float64
		walks bool
	}{{2.99, true}, {3.01, false}} {
		// 0.2 m wide: narrower than a way that a person walks through.
		cells := []Cell{box("field", 1, 0, 0, 3, 3, 1.5), box("tip", 2, 3, 0, 3+row.longM, 0.2, 1.5)}
		g := survey(cells, []plane.Point{{X: -1}})
		if got := len(g.walks[1]) == 1; got != row.walks {
			t.Errorf("%.3f m²: walked to is %v", cells[1].AreaM2, got)
		}
	}
}

// Edges are one joint up to 120 mm apart, and a joint of 20 mm binds; from 121 mm, and under 20, they are two.
func TestHowFarAJointReaches(t *testing.T) {
	for _, row := range []struct {
		gapM   float64
		joined bool
	}{{0.119, true}, {0.122, false}} {
		cells := []Cell{box("a", 1, 0, 0, 3, 3, 1.5), box("b", 2, 0, 3+row.gapM, 3, 6, 1.5)}
		if got := len(survey(cells, []plane.Point{{X: -1}}).joins[0]) == 1; got != row.joined {
			t.Errorf("%.0f mm apart: joined is %v", 1000*row.gapM, got)
		}
	}
}

// A movement joint parts edges up to 150 mm beside its line and 30 mm past it.
func TestHowFarAMovementJointParts(t *testing.T) {
	line := [][2]plane.Point{{{X: 0, Y: 1}, {X: 5, Y: 1}}}
	for _, row := range []struct {
		lowTop, highFoot float64
		wetM             float64
	}{
		{0.851, 0.951, 5}, // the upper one begins 49 mm past the line: it is no edge of the joint
		{0.92, 1.02, 0},
		{0.971, 0.971, 0}, // both edges 29 mm below the line: the upper one lies past it by less than 30
		{0.969, 0.969, 5}, // by more
		{1.029, 1.029, 0}, // and from the other side
		{1.031, 1.031, 5},
		{0.95, 1.06, 0},
	} {
		a, b := box("low", 1, 0, 0, 5, row.lowTop, 1.5), box("high", 2, 0, row.highFoot, 5, 2, 1.5)
		c := a.Shape.Touching(b.Shape, joinTolM)
		if wet := c.LengthM - partedM(a.Shape, b.Shape, line); math.Abs(wet-row.wetM) > 0.01 {
			t.Errorf("edges at %.3f and %.3f m, the line at 1: %.2f m wet, want %.0f", row.lowTop, row.highFoot, wet, row.wetM)
		}
	}
}

// A scrap of 0.05 m² is finished at arm's length; one that is larger must be walked to.
func TestAScrapIsFinishedAtArmsLength(t *testing.T) {
	for _, row := range []struct {
		wideM float64
		holds bool
	}{{0.099, true}, {0.102, false}} {
		// The scrap lies behind the strip that is laid first, seen from the exit.
		cells := []Cell{box("scrap", 1, 0, 0, row.wideM, 0.5, 1.5), box("strip", 2, row.wideM, 0, 3, 0.5, 1.5)}
		g := survey(cells, []plane.Point{{X: 4}})
		if w := g.prove([]int{1, 0}); w.Holds != row.holds {
			t.Errorf("%.4f m²: the way out holds is %v, %+v", cells[0].AreaM2, w.Holds, w)
		}
	}
}

// No bay is shorter than a metre: in 12.3 m are twelve of more.
func TestNoBayIsShorterThanAMetre(t *testing.T) {
	strip := []Cell{{Name: "1", Shape: oblong(0, 0, 12.3, 1), AreaM2: 12.3, Along: plane.Point{X: 1}}}
	if r := rule(strip, 0.2, 2, 0); r.n != 13 {
		t.Errorf("%d bays in 12.3 m, by hand 13", r.n)
	}
}

// The end of a bucket is moved to the end of a cell within 15 % of its even share, where the count of buckets allows.
func TestABucketEndsWithACellNearby(t *testing.T) {
	b := size{kg: 1, m2: 1e9}
	for _, row := range []struct{ first, want float64 }{
		{0.86 * 0.8, 0.86 * 0.8}, // 14 % short of two even buckets of 0.8
		{0.84 * 0.8, 0.8},        // 16 % short
		{1.14 * 0.8, 1.14 * 0.8},
		{1.16 * 0.8, 0.8},
	} {
		p := pouring()
		p.in.Cells = []Cell{{Name: "a"}, {Name: "b"}}
		p.in.Day = constant(18)
		p.queue = []stretch{{cell: 0, kg: row.first, m2: 1, shape: oblong(0, 0, 1, 1), toward: plane.Point{X: 1}, whole: true},
			{cell: 1, kg: 1.6 - row.first, m2: 1, shape: oblong(1, 0, 2, 1), toward: plane.Point{X: 1}, whole: true}}
		p.pieces, p.ground = []piece{{of: 0}, {of: 1}}, &ground{}
		kg := 0.0
		for _, x := range p.take(b) {
			kg += x.KG
		}
		if math.Abs(kg-row.want) > 1e-9 {
			t.Errorf("a cell of %.3f kg, two buckets for 1.6: the first takes %.3f, want %.3f", row.first, kg, row.want)
		}
	}
}

// A gelled edge of mat bonds for a day, minutes; that of a top coat not at all.
func TestHowLongAnEdgeBonds(t *testing.T) {
	if got := (&Input{}).tacky(); got != 1440 {
		t.Errorf("an edge of mat bonds for %g min, a day has 1440", got)
	}
	if got := (&Input{Resin: Resin{Waxed: true}}).tacky(); got != 0 {
		t.Errorf("an edge of a top coat bonds for %g min", got)
	}
}

// Of cells that lie as near to an exit as the nearest, give or take 50 mm, each is left by it.
func TestWhichCellsAreLeftByAnExit(t *testing.T) {
	for farM, exit := range map[float64]bool{0.049: true, 0.052: false} {
		cells := []Cell{box("near", 1, 0, 0, 3, 1, 1.5), box("far", 2, 0, 1+farM, 3, 2, 1.5)}
		g := survey(cells, []plane.Point{{X: 1, Y: 1}})
		if !g.exit[0] || g.exit[1] != exit {
			t.Errorf("%.0f mm farther: %v", 1000*farM, g.exit)
		}
	}
}
