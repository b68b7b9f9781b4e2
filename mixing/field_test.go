package mixing

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/plane"

	"pgregory.net/rapid"
)

// Which contacts a movement joint parts, by hand.
func TestBreaksPartWetEdges(t *testing.T) {
	low, high := box("low", 1, 0, 0, 5, 1, 1.5), box("high", 2, 0, 1.1, 5, 2.1, 1.5)
	clockwise := high
	clockwise.Shape = slices.Clone(high.Shape)
	slices.Reverse(clockwise.Shape)
	line := func(x0, y0, x1, y1 float64) [2]plane.Point {
		return [2]plane.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}
	}
	for _, row := range []struct {
		name   string
		a, b   Cell
		breaks [][2]plane.Point
		wetM   float64
	}{
		{"no break", low, high, nil, 5},
		{"a gap of 100 mm about the line", low, high, [][2]plane.Point{line(0, 1.05, 5, 1.05)}, 0},
		{"the line drawn the other way", low, high, [][2]plane.Point{line(5, 1.05, 0, 1.05)}, 0},
		{"corners given clockwise", low, clockwise, [][2]plane.Point{line(0, 1.05, 5, 1.05)}, 0},
		{"edges on the line itself", low, box("high", 2, 0, 1, 5, 2, 1.5), [][2]plane.Point{line(0, 1, 5, 1)}, 0},
		{"one edge on the line", low, high, [][2]plane.Point{line(0, 1, 5, 1)}, 0},
		{"in two lengths that overlap", low, high, [][2]plane.Point{line(0, 1.05, 3, 1.05), line(2, 1.05, 5, 1.05)}, 0},
		// 150 mm past its end still belongs to it.
		{"along 2 m", low, high, [][2]plane.Point{line(0, 1.05, 2, 1.05)}, 2.85},
		{"across", low, high, [][2]plane.Point{line(2, 0, 2, 3)}, 5},
		{"elsewhere", low, high, [][2]plane.Point{line(0, 2.1, 5, 2.1)}, 5},
		// A joint of a field that runs close beside the break is met wet.
		{"beside the joint, 100 mm up", low, box("high", 2, 0, 1, 5, 2, 1.5), [][2]plane.Point{line(0, 1.1, 5, 1.1)}, 5},
		{"beside the joint, 100 mm down", low, box("high", 2, 0, 1, 5, 2, 1.5), [][2]plane.Point{line(0, 0.9, 5, 0.9)}, 5},
		{"side by side along it", low, box("right", 1, 5, 0, 9, 1, 1.5), [][2]plane.Point{line(0, 1, 9, 1)}, 1},
	} {
		for _, pair := range [][]Cell{{row.a, row.b}, {row.b, row.a}} {
			g := joined(pair, passM, row.breaks...)
			wet := 0.0
			for _, l := range g.joins[0] {
				wet += l.lengthM
			}
			if math.Abs(wet-row.wetM) > 1e-9 || len(g.walks[0]) != 1 || len(g.joins[0]) != len(g.joins[1]) {
				t.Errorf("%s: %g m wet, want %g; walks %v", row.name, wet, row.wetM, g.walks)
			}
		}
	}
	in := garage()
	in.Breaks = [][2]plane.Point{line(1, 1, 1, 1)}
	if _, err := Make(context.Background(), in); err == nil || !strings.Contains(err.Error(), "movement joint 1") {
		t.Errorf("a break without length: %v", err)
	}
	in.Breaks[0][1].X = math.NaN()
	if _, err := Make(context.Background(), in); err == nil {
		t.Error("a break that is no place is taken")
	}
}

// Joints between buckets are counted within the fields only: of two strips of 5.6 m
// with a movement joint between them, each in buckets parted across, 1 m at a time.
func TestNoJointBetweenBucketsAcrossABreak(t *testing.T) {
	in := garage()
	in.Cells = []Cell{box("low", 1, 0, 0, 5.6, 1, 1.5), box("high", 2, 0, 1.1, 5.6, 2.1, 1.5)}
	in.Exits = []plane.Point{{X: 5.6, Y: 2}}
	count := func() (m float64, within int) {
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range p.Mixes {
			for _, part := range x.Parts {
				if i > 0 && part.Cell == p.Mixes[i-1].Parts[len(p.Mixes[i-1].Parts)-1].Cell {
					within++
					break
				}
			}
		}
		return p.WetM + p.TackyM + p.PlannedM, within
	}
	if m, within := count(); m < float64(within)+3 {
		t.Errorf("without a break %g m of joint between buckets", m)
	}
	in.Breaks = [][2]plane.Point{{{X: 0, Y: 1.05}, {X: 5.6, Y: 1.05}}}
	if m, within := count(); math.Abs(m-float64(within)) > 1e-6 {
		t.Errorf("%g m of joint between buckets, %d m are within the fields", m, within)
	}
}

// twoFields draws a full grid of strips with a movement joint across or along it, 100 mm
// wide, and tells which cells lie beyond it.
func twoFields(t *rapid.T, laps bool) (cells []Cell, beyond []bool, line [2]plane.Point) {
	rows, cols := rapid.IntRange(2, 7).Draw(t, "rows"), rapid.IntRange(2, 4).Draw(t, "cols")
	wide := rapid.Float64Range(1.5, 5).Draw(t, "length")
	across := rapid.Bool().Draw(t, "across")
	at := rapid.IntRange(1, map[bool]int{true: cols, false: rows}[across]-1).Draw(t, "at")
	for r := range rows {
		for c := range cols {
			x, y := wide*float64(c), float64(r)
			far := r >= at
			if across {
				far = c >= at
			}
			switch {
			case far && across:
				x += 0.1
			case far:
				y += 0.1
			}
			cell := box(fmt.Sprintf("M%d.%d", r+1, c+1), r+1, x, y, x+wide, y+1, 1.5)
			if laps && r > 0 && beyond[len(cells)-cols] == far {
				cell.Over = []int{len(cells) - cols}
			}
			cells, beyond = append(cells, cell), append(beyond, far)
		}
	}
	line = [2]plane.Point{{X: 0, Y: float64(at) + 0.05}, {X: wide * float64(cols), Y: float64(at) + 0.05}}
	if across {
		line = [2]plane.Point{{X: wide*float64(at) + 0.05, Y: 0}, {X: wide*float64(at) + 0.05, Y: float64(rows)}}
	}
	return cells, beyond, line
}

func TestEachFieldIsLaidInOneGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		laps := rapid.Bool().Draw(t, "laps")
		cells, beyond, line := twoFields(t, laps)
		in := Input{Name: "roof", Cells: cells, Resin: testResin(), Crew: crew(), Day: constant(18), Breaks: [][2]plane.Point{line},
			Exits: []plane.Point{{X: rapid.Float64Range(-1, 20).Draw(t, "ex"), Y: rapid.Float64Range(-1, 8).Draw(t, "ey")}}}
		in.Resin.Waxed = rapid.Bool().Draw(t, "waxed")
		in.Crew.People = rapid.IntRange(1, 4).Draw(t, "people")
		g := joined(cells, passM, line)
		over := 0
		for i := range cells {
			for _, l := range g.joins[i] {
				if beyond[i] != beyond[l.to] {
					t.Fatalf("%s and %s are a joint across the break", cells[i].Name, cells[l.to].Name)
				}
			}
			for _, j := range g.walks[i] {
				if beyond[i] != beyond[j] {
					over++
				}
			}
		}
		if over == 0 {
			t.Fatal("nobody can walk over the break")
		}
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if !p.WayOut.Holds {
			t.Fatalf("trapped: %+v", p.WayOut)
		}
		changes, before := 0, -1
		for _, m := range p.Mixes {
			for _, x := range m.Parts {
				if before >= 0 && beyond[x.Cell] != beyond[before] {
					changes++
				}
				before = x.Cell
			}
		}
		if changes != 1 && !in.Resin.Waxed { // its edges stay open for the day: no reason to come back
			t.Fatalf("goes from field to field %d times, %s, tucked %v", changes, p.How, p.Tucked)
		}
	})
}

// A field is taken up again only where that saves a lap or a metre of edge.
func TestNoFieldIsTakenUpAgainForNothing(t *testing.T) {
	again := 0
	rapid.Check(t, func(t *rapid.T) {
		cells, _, line := twoFields(t, rapid.Bool().Draw(t, "laps"))
		exit := plane.Point{X: rapid.Float64Range(-1, 20).Draw(t, "ex"), Y: rapid.Float64Range(-1, 8).Draw(t, "ey")}
		g := shingledGround(cells, exit, line)
		g.field = fieldsOf(cells, [][2]plane.Point{line})
		open := rapid.Float64Range(5, 100).Draw(t, "open")
		c, err := g.choose(context.Background(), 5, open)
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(c.order).Holds {
			t.Fatal("the chosen order traps somebody")
		}
		if g.returns(c.order) == 0 {
			return
		}
		again++
		tucks, late := g.tucks(c.order), g.late(c.order, 5, open)
		for _, s := range g.sweeps() {
			for _, order := range [][]int{s, g.mend(s)} {
				if g.prove(order).Holds && g.returns(order) == 0 && g.tucks(order) <= tucks && g.late(order, 5, open) <= late+1e-9 {
					t.Fatalf("%s takes a field up again with %d tucks and %g m late; %v does not, with %d and %g", c.how, tucks, late, order, g.tucks(order), g.late(order, 5, open))
				}
			}
		}
	})
	t.Logf("%d roofs where a field is taken up again", again)
}

// Two fields of strips, 30 and 10 m long: a waxed coat is parted into bays of 8 m at
// most in each by itself: four of 7.5 m and two of 5 m. Parted together, over 40 m, the
// lines would fall at 8, 16, 24 and 32 m.
func TestBaysOfEachField(t *testing.T) {
	var cells []Cell
	for r := range 4 {
		cells = append(cells, box(fmt.Sprintf("left %d", r+1), r+1, 0, float64(r), 29.95, float64(r+1), 0.5),
			box(fmt.Sprintf("right %d", r+1), r+1, 30.05, float64(r), 40, float64(r+1), 0.5))
	}
	breaks := [][2]plane.Point{{{X: 30, Y: 0}, {X: 30, Y: 4}}}
	fields := fieldsOf(cells, breaks)
	if !slices.Equal(fields, []int{0, 1, 0, 1, 0, 1, 0, 1}) {
		t.Fatalf("fields %v", fields)
	}
	if f := fieldsOf(cells, nil); f != nil {
		t.Errorf("without a break, fields %v", f)
	}
	ends := map[int][2]float64{} // reach of each bay
	for _, x := range bays(cells, fields, 0.5, 20) {
		a, b := x.Shape.Extent(plane.Point{X: 1})
		if e, seen := ends[x.bay]; seen && (math.Abs(e[0]-a) > 1e-6 || math.Abs(e[1]-b) > 1e-6) {
			t.Errorf("bay %d runs from %g to %g and from %g to %g", x.bay, e[0], e[1], a, b)
		}
		ends[x.bay] = [2]float64{a, b}
		if x.field != fields[x.of] || (x.bay < 4) != (x.field == 0) {
			t.Errorf("%s: bay %d of field %d", x.Name, x.bay, x.field)
		}
	}
	for bay := range 6 {
		want := 29.95 / 4
		if bay >= 4 {
			want = 9.95 / 2
		}
		if e := ends[bay]; math.Abs(e[1]-e[0]-want) > 1e-6 {
			t.Errorf("bay %d is %g m long, want %g", bay, e[1]-e[0], want)
		}
	}
}

// Where it costs no bucket more, a bucket ends with its field. 13.5 and 14.4 kg in
// buckets of 4 at most are 4 and 4, and 27.9 are 7: one bucket would be saved by going
// over, and it goes over. 15 and 14.4 kg are 4 and 4, and 29.4 are 8: none does.
func TestBucketsEndWithTheirField(t *testing.T) {
	for _, row := range []struct {
		farKG   float64
		buckets int
		over    bool
	}{{13.5, 8, true}, {15, 8, false}} {
		in := garage()
		in.Crew.MaxBucketKG, in.Crew.MarginMin = 4, 3
		in.Cells = []Cell{box("far 1", 1, 0, 0, 5, 1, row.farKG/10), box("far 2", 2, 0, 1, 5, 2, row.farKG/10),
			box("near 1", 3, 0, 2.1, 4.8, 3.1, 1.5), box("near 2", 4, 0, 3.1, 4.8, 4.1, 1.5)}
		in.Exits = []plane.Point{{X: 5, Y: 4.1}}
		in.Breaks = [][2]plane.Point{{{X: 0, Y: 2.05}, {X: 5, Y: 2.05}}}
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		over := false
		for i, m := range p.Mixes {
			fields := map[bool]bool{}
			for _, x := range m.Parts {
				fields[x.Cell > 1] = true
			}
			over = over || len(fields) > 1
			if m.ResinKG > m.LimitKG*(1+1e-9) {
				t.Errorf("bucket %d holds %g of %g kg", m.Number, m.ResinKG, m.LimitKG)
			}
			if first := i > 0 && p.Mixes[i-1].Parts[0].Cell <= 1 && m.Parts[0].Cell > 1; first && !over && m.MixByMin != 0 {
				t.Errorf("bucket %d is the first of its field and must be mixed by %g", m.Number, m.MixByMin)
			}
		}
		if len(p.Mixes) != row.buckets || over != row.over {
			t.Errorf("%g kg in the far field: %d buckets, one goes over: %v", row.farKG, len(p.Mixes), over)
		}
	}
}

// The nearest field may be the only way to a nearer-seeming one: a hook of three fields.
// By distance the end of the hook comes after the bend, which would cut it off.
func TestFieldsCutNoneOff(t *testing.T) {
	in := garage()
	in.Cells = []Cell{box("foot", 1, 0, 0, 3, 3, 1.5), box("bend", 2, 3.1, 0, 12, 3, 1.5), box("end", 3, 3.1, 3.1, 6, 6, 1.5)}
	in.Exits = []plane.Point{{X: 0, Y: 3}}
	in.Breaks = [][2]plane.Point{{{X: 3.05, Y: 0}, {X: 3.05, Y: 3}}, {{X: 3, Y: 3.05}, {X: 12, Y: 3.05}}}
	g := survey(in.Cells, in.Exits, in.Breaks...)
	g.field = fieldsOf(in.Cells, in.Breaks)
	if !(g.fromExit(g.at[1]) > g.fromExit(g.at[2])) || g.prove([]int{1, 2, 0}).Holds {
		t.Fatal("the bend is not the farthest, or does not cut the end off")
	}
	if got := fmt.Sprint(g.fields()); got != "[[2] [1] [0]]" {
		t.Errorf("fields in the order %s", got)
	}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if !p.WayOut.Holds || p.Mixes[0].Parts[0].Name != "end" || p.How != "simple sweep" {
		t.Errorf("%+v, starts at %s, %s", p.WayOut, p.Mixes[0].Parts[0].Name, p.How)
	}
}

// The last bucket of a day stops at the end of a field rather than at that of a cell
// beyond it: 0.7 of a bucket is left of the field, and the next cell would fill it.
func TestDayEndsWithAField(t *testing.T) {
	p := &pour{ground: &ground{field: []int{0, 1, 1}}, queue: []stretch{{cell: 0, kg: 2.8, m2: 1}, {cell: 1, kg: 1.2, m2: 1}, {cell: 2, kg: 4, m2: 1}}}
	b := size{kg: 4, m2: 10}
	if got := p.dayJoint(b, 1); math.Abs(got-0.7) > 1e-9 {
		t.Errorf("ends at %g of a bucket, want 0.7", got)
	}
	p.ground.field = nil
	if got := p.dayJoint(b, 1); math.Abs(got-1) > 1e-9 {
		t.Errorf("in one field it ends at %g of a bucket, want 1", got)
	}
}
