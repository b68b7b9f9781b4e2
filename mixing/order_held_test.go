package mixing

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/plane"
)

// Two strips in two bays, 3 m long and 1 m wide, left from below their beginning. By hand: the second strip is farther and comes first;
// in a strip the farther cell, then along it either way; then bay by bay; then over all by distance and along either way. What is as far
// keeps its place.
func TestSweepsInTheirOrder(t *testing.T) {
	cell := func(name string, strip int, x, y float64) Cell {
		return Cell{Name: name, Strip: strip, Shape: oblong(x, y, x+3, y+1), AreaM2: 3, Along: plane.Point{X: 1}}
	}
	cells := []Cell{cell("A", 1, 0, 0), cell("B", 1, 3, 0), cell("C", 2, 0, 1), cell("D", 2, 3, 1)}
	want := "DCBA CDAB DCBA BADC ABCD BADC CADB DBCA ACBD BDAC DBCA ACBD BDAC"
	some := []int{0, 1, 2, 3}
	told := func(g *ground) string {
		var out []string
		for _, order := range g.sweepsOf(some) {
			s := ""
			for _, i := range order {
				s += cells[i].Name
			}
			out = append(out, s)
		}
		return strings.Join(out, " ")
	}
	g := survey(cells, []plane.Point{{X: 0, Y: -1}})
	g.bay = []int{0, 1, 0, 1}
	if got := told(g); got != want {
		t.Errorf("sweeps\n%s, by hand\n%s", got, want)
	}
	// Laps that bind nobody turn nothing round; those of the second strip on the first do.
	g.on = make([][]int, 4)
	if got := told(g); got != want {
		t.Errorf("with laps of nobody\n%s, by hand\n%s", got, want)
	}
	g.on[2], g.on[3] = []int{0}, []int{1}
	if got := told(g); !strings.HasPrefix(got, "BADC ABCD BADC DCBA ") {
		t.Errorf("with laps of the second strip on the first\n%s", got)
	}
	some = []int{2, 0, 3, 1}
	if got := told(g); !strings.HasPrefix(got, "BADC ABCD BADC DCBA ") {
		t.Errorf("with laps, in whatever order the cells are given\n%s", got)
	}
	some = []int{0, 1, 2, 3}
	// From the middle between both strips neither is farther: the first comes first.
	if got := told(survey(cells, []plane.Point{{X: 0, Y: 1}})); !strings.HasPrefix(got, "BADC ") {
		t.Errorf("from between the strips\n%s", got)
	}
}

// Three cells of 1, 2 and 3 m², ten minutes a square metre: they are laid at 5, 20 and 45 min on average.
func TestHowOldJointsOfAnOrderAre(t *testing.T) {
	g := &ground{cells: []Cell{{AreaM2: 1}, {AreaM2: 2}, {AreaM2: 3}}, joins: [][]link{{{1, 1}, {2, 100}}, {{0, 1}, {2, 10}}, {{0, 100}, {1, 10}}}}
	if got := g.age([]int{0, 1, 2}, 10); math.Abs(got-(15+10*25+100*40)) > 1e-9 {
		t.Errorf("age %g, by hand 4265", got)
	}
	for open, want := range map[float64]float64{14.9: 111, 15.1: 110, 24.9: 110, 25.1: 100, 39.9: 100, 40.1: 0} {
		if got := g.late([]int{0, 1, 2}, 10, open); got != want {
			t.Errorf("open for %g min: %g m are late, by hand %g", open, got, want)
		}
	}
}

// A field begun goes on while a cell of it can be laid; of those the one against the fewest laps.
func TestWhatASearchLaysNext(t *testing.T) {
	g := &ground{field: []int{0, 0, 1, 0}}
	s := state{laid: []bool{true, false, false, false}, last: &laidStep{cell: 0}, waits: []int{0, 2, 0, 2}}
	for _, c := range []struct {
		ok   []bool
		want string
	}{
		{[]bool{false, true, true, true}, "[1 3]"},
		{[]bool{false, false, true, true}, "[3]"},
		{[]bool{true, false, true, false}, "[2]"},
	} {
		if got := fmt.Sprint(g.moves(s, c.ok)); got != c.want {
			t.Errorf("of %v: %s, by hand %s", c.ok, got, c.want)
		}
	}
	s.waits, s.last = []int{0, 2, 1, 1}, nil
	if got := fmt.Sprint(g.moves(s, []bool{false, true, true, true})); got != "[2 3]" {
		t.Errorf("at first: %s", got)
	}
}

// More than twelve laps that are tucked are counted, not named.
func TestTucksAreCounted(t *testing.T) {
	var all []Tuck
	for i := range 14 {
		all = append(all, Tuck{UpperName: fmt.Sprintf("u%d", i), LowerName: fmt.Sprintf("l%d", i), LengthM: 3, LapM: 3})
	}
	if tuckNote(nil) != "" {
		t.Error("nothing is told of")
	}
	for n, more := range map[int]string{2: "", 12: "", 13: " and 1 more", 14: " and 2 more"} {
		note := tuckNote(all[:n])
		if named := strings.Count(note, " before l"); named != min(n, 12) || strings.Contains(note, " more") != (more != "") || !strings.Contains(note, more+". Leave") {
			t.Errorf("%d laps: %s", n, note)
		}
	}
}

// The day's last bucket is the one after which there is no time for another like it: at 0.2 m²/min a bucket of 10 m², of which half of
// the second stretch, takes 50 min.
func TestWhichBucketIsTheLast(t *testing.T) {
	for left, last := range map[float64]bool{99: true, 101: false} {
		p := pouring()
		p.clock, p.in.Day.EndMin = 600, 600+left
		p.queue = []stretch{{kg: 0.5, m2: 5}, {kg: 0.5, m2: 10}, {kg: 0.5, m2: 20}}
		if got := p.lastToday(size{kg: 1, m2: 1e9}, 0.75); got != last {
			t.Errorf("%g min before the end it is the last: %v", left, got)
		}
		p.in.Sessions = []Session{{}}
		if p.lastToday(size{kg: 1, m2: 1e9}, 0.75) {
			t.Error("a session is worked to its end")
		}
	}
}

// What would be left in the last digits goes into the bucket.
func TestNoCrumbIsLeft(t *testing.T) {
	for crumb, left := range map[float64]int{5e-7: 0, 2e-6: 1} {
		p := pouring()
		p.detail = true
		p.in.Cells, p.items = []Cell{{Name: "a"}, {Name: "b"}}, []Detail{{KG: 1}, {KG: crumb}}
		p.queue = []stretch{{cell: 0, kg: 1, m2: 1e-9}, {cell: 1, kg: crumb, m2: 1e-9}}
		if p.draw(size{kg: 1, m2: 1e9}, 1); len(p.queue) != left {
			t.Errorf("%g kg: %d stretches are left", crumb, len(p.queue))
		}
	}
}

// Edges are cut in when what was cut in before is gone over, on the next day where today has no time.
func TestWhenEdgesAreCutIn(t *testing.T) {
	for left, day := range map[float64]int{500: 1, 10: 2} {
		p := pouring()
		p.turns = &turns{Edges: &Edges{TurnMin: 60}, plan: &Plan{}}
		p.in.Day.StartMin, p.in.Day.EndMin, p.clock = 300, 900, 900-left
		p.mixes = []Mix{{Day: 1, Parts: []Part{{piece: 7, Name: "strip"}}}}
		for i := range 10 {
			p.queue = append(p.queue, stretch{cell: i, number: i, m2: 3})
			p.pieces = append(p.pieces, piece{of: i, bay: i})
		}
		if err := p.cutAhead(context.Background()); err != nil || p.day != day || len(p.notes) != day-1 || math.Abs(p.turns.restM2-9) > 1e-9 || p.turns.left != 2 {
			t.Errorf("%g min before the end: day %d, %g m², %d turns to come, %v", left, p.day, p.turns.restM2, p.turns.left, p.notes)
		}
		// They are not gone over yet.
		if err := p.cutAhead(context.Background()); err != nil || math.Abs(p.turns.restM2-9) > 1e-9 || p.turns.left != 2 {
			t.Errorf("cut in again: %g m², %d turns to come", p.turns.restM2, p.turns.left)
		}
	}
}

// A law of gel has doses and temperatures between limits, and no detail is endless.
func TestWhatALawAndADetailMayBe(t *testing.T) {
	law := cure.Gel{MinPct: 1, MaxPct: 3, MinC: 5, MaxC: 30}
	law.Mean[1] = 60
	for name, c := range map[string]struct {
		spoil func(*cure.Gel)
		ok    bool
	}{
		"usual":                 {func(*cure.Gel) {}, true},
		"one dose":              {func(g *cure.Gel) { g.MinPct, g.MaxPct = 2, 2 }, true},
		"least over most":       {func(g *cure.Gel) { g.MinPct, g.MaxPct = 2.1, 2 }, false},
		"none at least":         {func(g *cure.Gel) { g.MinPct = 0 }, false},
		"just under ten":        {func(g *cure.Gel) { g.MaxPct = 9.9 }, true},
		"ten at most":           {func(g *cure.Gel) { g.MaxPct = 10 }, false},
		"one temperature":       {func(g *cure.Gel) { g.MaxC = g.MinC }, false},
		"no slope of the gel":   {func(g *cure.Gel) { g.Mean[1] = 0 }, false},
		"hardly any, but a law": {func(g *cure.Gel) { g.Mean[1] = 1e-3 }, true},
	} {
		r := Resin{Law: law, DensityKGPerL: 1.1, CatalystGPerML: 1.1}
		c.spoil(&r.Law)
		if err := checkResin(r); (err == nil) != c.ok {
			t.Errorf("%s: %v", name, err)
		}
	}
	in := Input{Name: "details", Crew: crew(), Resin: testResin(), Day: constant(18)}
	for _, d := range []Detail{{KG: math.Inf(1), ManMinutes: math.Inf(1)}, {KG: 1, ManMinutes: math.Inf(1)}, {KG: math.Inf(1), ManMinutes: 1}, {KG: 1}, {ManMinutes: 1}} {
		if _, err := Details(context.Background(), in, []Detail{d}); err == nil || !strings.Contains(err.Error(), "give both") {
			t.Errorf("%+v: %v", d, err)
		}
	}
}

// Of two fields that have a way off each the farther is laid first: by hand 3 m from the ladder on average, and 1 m.
func TestTheFartherFieldFirst(t *testing.T) {
	g := &ground{field: []int{0, 1, 0, 1}, cells: []Cell{{AreaM2: 1}, {AreaM2: 2}, {AreaM2: 3}, {AreaM2: 2}}, exit: []bool{true, true, true, true},
		exits: []plane.Point{{}}, at: []plane.Point{{X: 1}, {Y: 2}, {X: -1}, {Y: 4}}, walks: make([][]int, 4)}
	if got := fmt.Sprint(g.fields()); got != "[[1 3] [0 2]]" {
		t.Errorf("fields %s", got)
	}
	g.at[1], g.at[3] = plane.Point{Y: 0.2}, plane.Point{Y: 0.4}
	if got := fmt.Sprint(g.fields()); got != "[[0 2] [1 3]]" {
		t.Errorf("fields %s", got)
	}
}

// A strip of 10 m begins apart from the one beside it where that ends at its far end, and goes on from it where both meet there.
func TestWhereAStripBeginsApart(t *testing.T) {
	right := plane.Point{X: 1}
	for _, c := range []struct {
		first, second plane.Point
		apart         bool
	}{{right, right, true}, {right, right.Scale(-1), false}, {right.Scale(-1), right, false}, {right.Scale(-1), right.Scale(-1), true}} {
		queue := []stretch{{shape: oblong(0, 0, 10, 1), toward: c.first, m2: 10, kg: 5}, {shape: oblong(0, 1, 10, 2), toward: c.second, m2: 10, kg: 5}}
		if partApart(queue, 1); queue[0].apart || queue[1].apart != c.apart {
			t.Errorf("laid towards %v, then towards %v: apart is %v", c.first, c.second, queue[1].apart)
		}
		// What is laid with one bucket is of one place.
		if partApart(queue, 10); queue[1].apart {
			t.Errorf("laid towards %v, then towards %v: within a bucket they are apart", c.first, c.second)
		}
	}
}
