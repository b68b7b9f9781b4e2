package mixing

import (
	"fmt"
	"math"
	"testing"

	"gelwright/plane"
	"gelwright/working"
)

// Nine tenths of a turn are planned: an hour holds 54 min.
func TestHowManyTurns(t *testing.T) {
	for all, want := range map[float64]int{0: 1, 53.9: 1, 54: 1, 54.1: 2, 108: 2, 108.1: 3} {
		if got := Turns(all, 60); got != want {
			t.Errorf("%g min in turns of an hour: %d, by hand %d", all, got, want)
		}
	}
}

// A place belongs to the stretch that it lies in, or is nearest to: by hand, an L of 4 × 4 m without its upper right quarter, a square
// in that quarter, and a strip above them.
func TestWhichStretchAPlaceIsNearest(t *testing.T) {
	l := plane.Loop{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 4}, {X: 0, Y: 4}}
	queue := []stretch{{number: 5, shape: l}, {number: 3, shape: oblong(3.2, 3.2, 4, 4)}, {number: 8, shape: oblong(0, 5, 4, 6)}}
	for turned := range queue {
		q := append(append([]stretch{}, queue[turned:]...), queue[:turned]...)
		boxes := make([][2]plane.Point, len(q))
		for i, s := range q {
			boxes[i][0], boxes[i][1] = s.shape.Bounds()
		}
		for p, want := range map[plane.Point]int{
			{X: 1, Y: 1}: 5, {X: 3, Y: 3}: 3, {X: 3.5, Y: 3.5}: 3, {X: 2.5, Y: 3}: 5, {X: 1, Y: 4.4}: 5, {X: 1, Y: 4.6}: 8, {X: 1, Y: 9}: 8,
			{X: -7, Y: 5.5}: 8, {X: 9, Y: 1}: 5, {X: 9, Y: 5.4}: 8, {X: -2, Y: -2}: 5, {X: 3.5, Y: 4.4}: 3,
		} {
			if got := nearest(q, boxes, p); got != want {
				t.Errorf("from stretch %d on: %v is nearest to %d, want %d", turned, p, got, want)
			}
		}
	}
}

// Of an edge whose places lie along two stretches half is cut in before the first: half its resin, half its minutes,
// and which half of it.
func TestWhatOfAnEdgeIsReached(t *testing.T) {
	places := []plane.Point{{X: 1}, {X: 2}}
	tn := &turns{Edges: &Edges{Items: []Detail{{Name: "a", KG: 2, ManMinutes: 10, Places: places}, {Name: "b", KG: 1, ManMinutes: 3, Places: places[:1]},
		{Name: "c", KG: 4, ManMinutes: 7}}}, over: [][]reach{{{0, 5}, {1, 7}}, {{0, 9}}, {{0, 5}}}}
	for _, c := range []struct {
		queue []int
		want  string
	}{
		{[]int{5}, "a 1 5 true 0–0.5 0 [5]; c 4 7 false 0–0 2 [5]; "},
		{[]int{5, 7}, "a 2 10 false 0–0 0 [5 7]; c 4 7 false 0–0 2 [5]; "},
		{[]int{7, 9}, "a 1 5 true 0.5–1 0 [7]; b 1 3 false 0–0 1 [9]; "},
		{[]int{6}, ""},
	} {
		var queue []stretch
		for _, n := range c.queue {
			queue = append(queue, stretch{number: n})
		}
		items, of, over := tn.reached(queue)
		got := ""
		for i, x := range items {
			got += fmt.Sprintf("%s %g %g %v %g–%g %d %v; ", x.Name, x.KG, x.ManMinutes, x.Shared, x.From, x.To, of[i], over[i])
		}
		if got != c.want {
			t.Errorf("along %v: %s, by hand %s", c.queue, got, c.want)
		}
	}
	if !tn.part(0, []int{5}) || tn.part(0, []int{5, 7}) || tn.part(2, nil) {
		t.Error("one of two places is a part, both and none are all")
	}
}

// Two people cut in two edges of 30 man-minutes in half an hour. Two of 2 man-minutes are cut in at once, but their pots of 0.5 l, 0.6 kg,
// are two for each kilogram, of 2.5 min each, by two gangs at the same time.
func TestHowLongCuttingInTakes(t *testing.T) {
	p := pouring()
	p.turns = &turns{Edges: &Edges{CapL: 0.5, Gangs: 2}}
	for minutes, want := range map[float64]float64{30: 30, 2: 5} {
		if got := p.cutMin([]Detail{{KG: 1, ManMinutes: minutes}, {KG: 1, ManMinutes: minutes}}); math.Abs(got-want) > 1e-9 {
			t.Errorf("two edges of %g man-minutes: %g min, by hand %g", minutes, got, want)
		}
	}
	// A pot of 5 l is bounded by what details are mixed in, 2 kg, and that by what experience allows.
	p.turns.CapL, p.turns.Gangs = 5, 1
	if got := p.cutMin([]Detail{{KG: 4, ManMinutes: 1}}); math.Abs(got-5) > 1e-9 {
		t.Errorf("4 kg in pots of 2 kg: %g min, by hand 5", got)
	}
	p.in.Crew.CapKG = 1
	if got := p.cutMin([]Detail{{KG: 4, ManMinutes: 1}}); math.Abs(got-10) > 1e-9 {
		t.Errorf("4 kg in pots of 1 kg: %g min, by hand 10", got)
	}
	for _, c := range []struct {
		kg          float64
		gangs, want int
	}{{0.29, 3, 1}, {0.59, 3, 1}, {0.61, 3, 2}, {5, 3, 3}, {5, 1, 1}} {
		if got := pots([]Detail{{KG: c.kg / 2}, {KG: c.kg / 2}}, c.gangs); got != c.want {
			t.Errorf("%g kg between %d: %d pots, by hand %d", c.kg, c.gangs, got, c.want)
		}
	}
}

// Ten stretches of 3 m² at 0.2 m²/min take 15 min each: in turns of an hour, of which 54 min are planned, 150 min are three turns of 50.
func TestWhereATurnEnds(t *testing.T) {
	bays := func(of ...int) []int { return of }
	apart, alone := bays(0, 1, 2, 3, 4, 5, 6, 7, 8, 9), bays(0, 0, 1, 1, 2, 2, 3, 3, 4, 4)
	for _, c := range []struct {
		name      string
		bay       []int
		more      int
		leftMin   float64
		session   bool
		mixed     bool
		want      int
		meantLeft int
	}{
		{"three of 15 min are nearest", apart, 0, 500, false, false, 3, 3},
		// 45 min are 5 off and within a bay, which counts a quarter of 50 more; 30 are 20 off.
		{"within a bay all the same", alone, 0, 500, false, false, 3, 3},
		// Four turns of 37.5: 30 min and 45 are as near; the longer is taken, unless it ends within a bay.
		{"of two as near the longer", apart, 1, 500, false, false, 3, 4},
		{"of two as near the one that ends with a bay", alone, 1, 500, false, false, 2, 4},
		{"what is left of the day", apart, 0, 40, false, false, 2, 3},
		{"a session is not bound by it", apart, 0, 40, true, false, 3, 3},
		{"not one, but nothing was mixed yet", apart, 0, 10, false, false, 1, 3},
		{"not one today", apart, 0, 10, false, true, 0, 3},
	} {
		p := pouring()
		p.turns = &turns{Edges: &Edges{TurnMin: 60, MoreTurns: c.more}, plan: &Plan{}}
		p.in.Day.EndMin, p.clock = 900, 900-c.leftMin
		if c.session {
			p.in.Sessions = []Session{{}}
		}
		if c.mixed {
			p.mixes = []Mix{{Day: 1}}
		}
		for i, b := range c.bay {
			p.queue = append(p.queue, stretch{cell: i, number: i, m2: 3})
			p.pieces = append(p.pieces, piece{of: i, bay: b})
		}
		if got := p.turn(); got != c.want || p.turns.left != c.meantLeft {
			t.Errorf("%s: %d stretches of %d turns, by hand %d of %d", c.name, got, p.turns.left, c.want, c.meantLeft)
		}
	}
}

// Buckets of field and edges have one row of numbers; a day is begun when either was mixed on it.
func TestNumbersAndBeginnings(t *testing.T) {
	p := pouring()
	p.in.FirstNumber, p.day = 7, 2
	if p.number() != 7 || p.begun() {
		t.Errorf("first bucket %d, begun %v", p.number(), p.begun())
	}
	p.mixes = []Mix{{Day: 1}, {Day: 1}}
	if p.number() != 9 || p.begun() {
		t.Errorf("third bucket %d, begun %v", p.number(), p.begun())
	}
	p.turns = &turns{plan: &Plan{Mixes: []Mix{{Day: 1}, {Day: 1}, {Day: 1}}}}
	if p.number() != 12 || p.begun() {
		t.Errorf("sixth bucket %d, begun %v", p.number(), p.begun())
	}
	p.turns.plan.Mixes[2].Day = 2
	if !p.begun() {
		t.Error("an edge was cut in, and the day is not begun")
	}
	p.turns, p.mixes[1].Day = nil, 2
	if !p.begun() {
		t.Error("a bucket was mixed, and the day is not begun")
	}
	if got := fmt.Sprint(without([]reach{{0, 1}, {1, 2}, {2, 3}, {3, 2}, {4, 4}}, []int{2, 4})); got != "[{0 1} {2 3}]" {
		t.Errorf("1 2 3 2 4 without 2 and 4: %s", got)
	}
}

// The edges of a pass, turn by turn: chances of one day multiply, days are counted once, and what little one pot holds is of gang A.
func TestTurnsAddUp(t *testing.T) {
	tn := &turns{Edges: &Edges{Gangs: 2, Items: []Detail{{Places: make([]plane.Point, 2)}, {}}}, plan: &Plan{ChanceDay: 1}}
	bucket := func(day int, min float64) Mix {
		return Mix{Day: day, MixAtMin: min, Parts: []Part{{Cell: 0, Whole: true}}, Charge: Charge{Figures: []*working.Figure{
			working.Measured("m", "resin", 1, "kg", "test")}}}
	}
	tn.add(&Plan{Mixes: []Mix{bucket(1, 470)}, Days: 1, ChanceOfDay: []float64{0.9}, ChanceDay: 0.9, EndMin: 480}, []int{0}, [][]int{{1}})
	tn.add(&Plan{Mixes: []Mix{bucket(1, 490), bucket(2, 480)}, Days: 2, ChanceOfDay: []float64{0.8, 0.7}, ChanceDay: 0.56, EndMin: 500}, []int{0}, [][]int{{1, 2}})
	tn.add(&Plan{Mixes: []Mix{bucket(3, 480)}, Days: 1, ChanceOfDay: []float64{0.5}, ChanceDay: 0.5, EndMin: 510}, []int{1}, [][]int{{2}})
	p := tn.plan
	if p.Days != 3 || p.EndMin != 510 || math.Abs(p.ChanceDay-0.252) > 1e-12 || len(p.ChanceOfDay) != 3 || math.Abs(p.ChanceOfDay[0]-0.72) > 1e-12 ||
		p.ChanceOfDay[1] != 0.7 || p.ChanceOfDay[2] != 0.5 {
		t.Errorf("%d days, chances %v, all %g, end %g", p.Days, p.ChanceOfDay, p.ChanceDay, p.EndMin)
	}
	for i, want := range []struct {
		cell  int
		whole bool
	}{{0, false}, {0, true}, {0, true}, {1, true}} {
		if x := p.Mixes[i].Parts[0]; p.Mixes[i].Gang != "A" || x.Cell != want.cell || x.Whole != want.whole {
			t.Errorf("bucket %d of gang %q: %+v", i, p.Mixes[i].Gang, x)
		}
	}
	// How old an edge is when the last bucket over it is rolled: stretch 1 at 500 min for 10, stretch 2 on the next day at 480 for 12.
	tn.finish(&Input{}, []Mix{{Day: 1, MixAtMin: 500, LayingMin: 10, Parts: []Part{{stretch: 1}}}, {Day: 2, MixAtMin: 480, LayingMin: 12, Parts: []Part{{stretch: 2}}}})
	for i, want := range []float64{510 - 470, 1440 + 492 - 490, 12, 0} {
		if got := p.Mixes[i].OverMin; math.Abs(got-want) > 1e-9 {
			t.Errorf("bucket %d is gone over after %g min, by hand %g", i, got, want)
		}
	}
}

// A strip of 12 m that begins at 5 m is parted at 8, 11 and 14 m into bays counted from the first; one that ends 0.4 m beyond a line is not
// parted there, one that ends 0.6 m beyond it is.
func TestStripsArePartedAtTheLines(t *testing.T) {
	r := ruling{u: plane.Point{X: 1}, low: 5, step: 3, n: 4, first: 10}
	for _, c := range []struct {
		from, to float64
		want     string
	}{
		{5, 17, "10: 5–8, 11: 8–11, 12: 11–14, 13: 14–17"},
		{5, 8.4, "10: 5–8.4 whole"},
		{5, 8.6, "10: 5–8, 11: 8–8.6"},
		{7.6, 11, "11: 7.6–11 whole"},
		{7.4, 11, "10: 7.4–8, 11: 8–11"},
		{12, 13, "12: 12–13 whole"},
	} {
		cell := Cell{Shape: oblong(c.from, 0, c.to, 1), AreaM2: c.to - c.from, ResinKG: 2 * (c.to - c.from)}
		got, m2 := "", 0.0
		for i, x := range part(cell, 7, r) {
			a, b := x.Shape.Extent(r.u)
			if i > 0 {
				got += ", "
			}
			got += fmt.Sprintf("%d: %.4g–%.4g", x.bay, a, b)
			if x.whole {
				got += " whole"
			}
			if m2 += x.AreaM2; x.of != 7 || math.Abs(x.AreaM2-(b-a)) > 1e-9 || math.Abs(x.ResinKG-2*(b-a)) > 1e-9 {
				t.Errorf("%s: %.3f m² and %.3f kg of cell %d", got, x.AreaM2, x.ResinKG, x.of)
			}
		}
		if got != c.want || math.Abs(m2-cell.AreaM2) > 1e-9 {
			t.Errorf("from %g to %g m: %s, by hand %s", c.from, c.to, got, c.want)
		}
	}
}
