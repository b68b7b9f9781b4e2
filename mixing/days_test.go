package mixing

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/plane"
)

// A pass of 4 m² in four stretches, two to a strip, is parted between sessions where a strip ends, nearest to their shares: by hand.
func TestSessionsEndWithAStrip(t *testing.T) {
	for _, c := range []struct {
		shares []float64
		strips []int
		detail bool
		want   string
	}{
		{[]float64{1}, []int{1, 1, 2, 2}, false, "4"},
		{[]float64{0.4, 0.6}, []int{1, 1, 2, 2}, false, "2 2"}, // 1.6 m²: the first strip has 2
		{[]float64{0.2, 0.8}, []int{1, 1, 2, 2}, false, "2 2"}, // 0.8 m²: none ends before 2
		{[]float64{0.2, 0.8}, []int{1, 2, 3, 4}, false, "1 3"},
		{[]float64{0.2, 0.8}, []int{1, 1, 1, 1}, false, "4 0"},  // there is one strip
		{[]float64{4, 4, 4}, []int{1, 2, 3, 4}, false, "1 2 1"}, // 1.33, 2.67 and 4 m²
		{[]float64{0.6, 0.2, 0.2}, []int{1, 1, 2, 2}, false, "2 2 0"},
		{[]float64{0.4, 0.6}, []int{1, 1, 2, 2}, true, "2 2"}, // items of details are whole whatever strip they are of
		{[]float64{0.2, 0.8}, []int{1, 1, 1, 1}, true, "1 3"},
	} {
		p := pouring()
		p.detail = c.detail
		for _, s := range c.shares {
			p.in.Sessions = append(p.in.Sessions, Session{Share: s})
		}
		for i, n := range c.strips {
			p.queue = append(p.queue, stretch{cell: i, m2: 1})
			p.pieces = append(p.pieces, piece{Cell: Cell{Strip: n}})
		}
		var got []string
		next := 0
		for _, q := range p.parted() {
			got = append(got, fmt.Sprint(len(q)))
			for _, s := range q {
				if s.cell != next {
					t.Errorf("%v: stretch %d comes where %d should", c.shares, s.cell, next)
				}
				next++
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("shares %v of strips %v: %v, by hand %s", c.shares, c.strips, got, c.want)
		}
	}
}

// What a session may be: from day 1, within the day, of some of the work, each after the one before.
func TestWhatASessionMayBe(t *testing.T) {
	usual := func(day int, min float64) Session {
		return Session{Day: day, BeginMin: min, Share: 0.5, Temps: []TempAt{{0, 18}}}
	}
	for _, c := range []struct {
		name string
		of   []Session
		ok   bool
	}{
		{"two on one day", []Session{usual(1, 480), usual(1, 481)}, true},
		{"at the same minute", []Session{usual(1, 480), usual(1, 480)}, false},
		{"on the next day, earlier", []Session{usual(1, 900), usual(2, 480)}, true},
		{"backwards", []Session{usual(2, 480), usual(1, 900)}, false},
		{"at midnight", []Session{usual(1, 0)}, true},
		{"before it", []Session{usual(1, -1)}, false},
		{"a minute before the next", []Session{usual(1, 1439)}, true},
		{"at the next", []Session{usual(1, 1440)}, false},
		{"day 0", []Session{usual(0, 480)}, false},
		{"no share", []Session{{Day: 1, BeginMin: 480, Temps: []TempAt{{0, 18}}}}, false},
		{"no temperature", []Session{{Day: 1, BeginMin: 480, Share: 1}}, false},
	} {
		if err := (&Input{Sessions: c.of}).sessionsSound(); (err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	bad := []Session{usual(1, 480), usual(1, 480)}
	if err := (&Input{Sessions: bad}).sessionsSound(); err == nil || !strings.Contains(err.Error(), "session 2 ") {
		t.Errorf("the second is at fault: %v", err)
	}
}

// Two gangs side by side: the day ends with the later, chances of a day multiply, and days are those of the longer.
func TestGangsSideBySide(t *testing.T) {
	gang := func(day int, end float64, chances ...float64) *Plan {
		p := &Plan{Mixes: []Mix{{Day: 1}, {Day: day}}, EndMin: end, ChanceOfDay: chances, ChanceDay: 1, Days: len(chances), Notes: []string{"n"}}
		for _, c := range chances {
			p.ChanceDay *= c
		}
		return p
	}
	for _, c := range []struct {
		a, b *Plan
		end  float64
	}{
		{gang(1, 600, 0.9), gang(1, 700, 0.8), 700},
		{gang(1, 700, 0.9), gang(1, 600, 0.8), 700},
		{gang(1, 700, 0.9), gang(2, 600, 0.8, 0.7), 600},
		{gang(2, 600, 0.9, 0.7), gang(1, 700, 0.8), 600},
	} {
		days := max(c.a.Days, c.b.Days)
		p := c.a.beside(c.b)
		if p.EndMin != c.end || p.Days != days || len(p.ChanceOfDay) != days || math.Abs(p.ChanceOfDay[0]-0.72) > 1e-12 || days == 2 && p.ChanceOfDay[1] != 0.7 {
			t.Errorf("end %g, %d days, chances %v", p.EndMin, p.Days, p.ChanceOfDay)
		}
		if all := 0.72 * math.Pow(0.7, float64(days-1)); math.Abs(p.ChanceDay-all) > 1e-12 || len(p.Mixes) != 4 || len(p.Notes) != 2 {
			t.Errorf("chance of all %g, by hand %g; %d buckets", p.ChanceDay, all, len(p.Mixes))
		}
	}
	if p := gang(1, 600, 0.9); (*Plan)(nil).beside(p) != p {
		t.Error("the first gang is alone")
	}
}

// Five people in two gangs are three and two: details of 30 man-minutes take them 10 and 15 min. Buckets are numbered through, and each
// says which item it holds.
func TestTheOddManIsOfTheFirstGang(t *testing.T) {
	in := Input{Name: "details", Crew: crew(), Resin: testResin(), Day: constant(18), ShownDay: 1, Gangs: 2, FirstNumber: 4}
	in.Crew.People = 5
	var items []Detail
	for i := range 4 {
		items = append(items, Detail{Name: fmt.Sprint(i), KG: 1.9, ManMinutes: 30})
	}
	p, err := Details(context.Background(), in, items)
	if err != nil || len(p.Mixes) != 4 {
		t.Fatalf("%v, %v", p, err)
	}
	for i, m := range p.Mixes {
		if gang := string(rune('A' + i/2)); m.Gang != gang || m.Number != 4+i || len(m.Parts) != 1 || m.Parts[0].Cell != i {
			t.Errorf("bucket %d: number %d of gang %s, %+v", i, m.Number, m.Gang, m.Parts)
		}
	}
	for gang, want := range []float64{10, 15} {
		if got := p.Mixes[2*gang+1].MixAtMin - p.Mixes[2*gang].MixAtMin; math.Abs(got-want) > 1e-9 {
			t.Errorf("gang %d mixes after %g min, by hand %g", gang, got, want)
		}
	}
	// No more gangs than people or items.
	in.Crew.People, in.Gangs = 1, 3
	if p, err = Details(context.Background(), in, items); err != nil || p.Mixes[0].Gang != "" {
		t.Errorf("one man is no gang: %v", err)
	}
}

// Where a day ends is told: at the end of a strip, or part-way along it, torn, or of a top coat taped.
func TestWhereADayEndsIsTold(t *testing.T) {
	for _, c := range []struct {
		queued int
		waxed  bool
		says   string
	}{
		{-1, false, "day 1 ends at 16:30, at the end of strip 2: late"},
		{3, false, "day 1 ends at 16:30, at the end of strip 2: late"},
		{2, false, "day 1 ends at 16:30, part-way along strip 2, where the mat is torn and the rest lapped over it: late"},
		{2, true, "day 1 ends at 16:30, part-way along strip 2, at a taped line: late"},
	} {
		p := pouring()
		p.in.Resin.Waxed, p.in.Day.StartMin, p.clock, p.waited = c.waxed, 480, 990, 7
		p.mixes = []Mix{{Parts: []Part{{piece: 1, Name: "strip 1"}, {piece: 2, Name: "strip 2"}}}}
		if c.queued >= 0 {
			p.queue = []stretch{{cell: c.queued}}
		}
		p.nextDay("late")
		if p.notes[0] != c.says || p.day != 2 || p.clock != 480 || p.waited != 0 {
			t.Errorf("%q, day %d from %g", p.notes[0], p.day, p.clock)
		}
	}
	p := pouring()
	p.nextDay("cold")
	if p.notes[0] != "day 1 ends at 00:00: cold" {
		t.Errorf("%q", p.notes[0])
	}
}

// A joint's age counts the days between; by it the second side meets the first wet, tacky or as a day joint.
func TestHowOldJointsAre(t *testing.T) {
	p := pouring() // an edge is open for 15 min
	p.in.TackyMin = 600
	plan := &Plan{Mixes: []Mix{{Number: 1, Day: 1, MixAtMin: 500}, {Number: 2, Day: 1, MixAtMin: 515}, {Number: 3, Day: 1, MixAtMin: 516}, {Number: 4, Day: 2, MixAtMin: 480},
		{Number: 5, Day: 1, MixAtMin: 1100}}}
	g := &ground{joins: [][]link{{{1, 2}, {2, 3}, {3, 4}, {4, 5}, {5, 0.5}}, {{0, 2}}, {{0, 3}}, {{0, 4}}, {{0, 5}}, {{0, 0.5}}}}
	p.joints(plan, g, []int{0, 1, 2, 3, 4, 1})
	if plan.WetM != 2.5 || plan.TackyM != 8 || plan.PlannedM != 4 || len(plan.Joints) != 3 {
		t.Fatalf("%g m wet, %g tacky, %g as day joints, %v", plan.WetM, plan.TackyM, plan.PlannedM, plan.Joints)
	}
	for i, want := range []Joint{{1, 3, 3, 16, Tacky}, {1, 4, 4, 1420, Planned}, {1, 5, 5, 600, Tacky}} {
		if plan.Joints[i] != want {
			t.Errorf("%+v, by hand %+v", plan.Joints[i], want)
		}
	}
}

// A cell has three corners, an area on plan and on the slope, and takes resin.
func TestWhatACellMayBe(t *testing.T) {
	usual := Cell{Name: "strip 1", Shape: oblong(0, 0, 3, 1), AreaM2: 3, ResinKG: 4}
	if err := checkCells([]Cell{usual}); err != nil {
		t.Error(err)
	}
	for name, spoil := range map[string]func(*Cell){
		"two corners":      func(c *Cell) { c.Shape = c.Shape[:2] },
		"no area on plan":  func(c *Cell) { c.Shape = oblong(0, 0, 3, 0) },
		"no area":          func(c *Cell) { c.AreaM2 = 0 },
		"no resin":         func(c *Cell) { c.ResinKG = 0 },
		"endless area":     func(c *Cell) { c.AreaM2 = math.Inf(1) },
		"endless resin":    func(c *Cell) { c.ResinKG = math.Inf(1) },
		"a corner nowhere": func(c *Cell) { c.Shape = append(c.Shape[:3:3], plane.Point{X: math.NaN()}) },
		"over itself":      func(c *Cell) { c.Over = []int{0} },
		"over no cell":     func(c *Cell) { c.Over = []int{1} },
		"over one before":  func(c *Cell) { c.Over = []int{-1} },
	} {
		c := usual
		spoil(&c)
		if err := checkCells([]Cell{c}); err == nil || !strings.Contains(err.Error(), "strip 1") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := checkCells(nil); err == nil {
		t.Error("nothing is laid")
	}
}
