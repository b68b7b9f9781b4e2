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

// shingled lays strips of a metre up a slope that sheds to y = 0, each in stretches
// parted at the same places, every stretch over those of the strip below that it meets.
func shingled(rows int, cuts ...float64) []Cell {
	var cells []Cell
	n := len(cuts) - 1
	for r := range rows {
		for k := range n {
			c := box(fmt.Sprintf("M%d.%d", r+1, k+1), r+1, cuts[k], float64(r), cuts[k+1], float64(r+1), 1.5)
			if n == 1 {
				c.Name = fmt.Sprintf("M%d", r+1)
			}
			if r > 0 {
				c.Over = []int{(r-1)*n + k}
			}
			cells = append(cells, c)
		}
	}
	return cells
}

// ground of cells with their laps.
func shingledGround(cells []Cell, exit plane.Point, breaks ...[2]plane.Point) *ground {
	g := survey(cells, []plane.Point{exit}, breaks...)
	whole := make([]piece, len(cells))
	for i, c := range cells {
		whole[i] = piece{Cell: c, of: i, whole: true}
	}
	g.on = lapsOf(cells, whole)
	g.keepable()
	return g
}

// With the way off at the high side the far, low side comes first anyway; with it
// beside the strips either direction would do, and the laps say which; with it at the
// low side whole strips cut everything above them off, so every lap is tucked.
func TestLapsFollowTheFlow(t *testing.T) {
	for _, row := range []struct {
		where  string
		exit   plane.Point
		tucked int
	}{
		{"high side", plane.Point{X: 5.6, Y: 4}, 0},
		{"low side", plane.Point{X: 5.6, Y: 0}, 3},
	} {
		in := garage()
		in.Cells, in.Exits = shingled(4, 0, 5.6), []plane.Point{row.exit}
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Tucked) != row.tucked || !p.WayOut.Holds || p.Claim != Proven {
			t.Errorf("%s: tucked %+v, %+v, %s, %s", row.where, p.Tucked, p.WayOut, p.How, p.Claim)
		}
		for _, k := range p.Tucked {
			if k.Upper != k.Lower+1 || k.UpperName != in.Cells[k.Upper].Name || k.LowerName != in.Cells[k.Lower].Name || math.Abs(k.LengthM-5.6) > 1e-9 || math.Abs(k.LapM-5.6) > 1e-9 {
				t.Errorf("%s: %+v", row.where, k)
			}
		}
		if note := strings.Join(p.Notes, "\n"); (row.tucked > 0) != strings.Contains(note, "M4 before M3, M3 before M2, M2 before M1") {
			t.Errorf("%s: notes %q", row.where, note)
		}
	}
}

// Where the way off lies at the side of every strip, a sweep down the slope would be
// the first thought (its strips are numbered down); the laps turn it round.
func TestLapsTurnASweepRound(t *testing.T) {
	in := garage()
	in.Cells = shingled(4, 0, 5.6)
	for i := range in.Cells {
		in.Cells[i].Strip = -i // numbered from the top
	}
	in.Exits = nil
	for i := range 4 {
		in.Exits = append(in.Exits, plane.Point{X: 5.6, Y: float64(i) + 0.5})
	}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Tucked) != 0 || p.Mixes[0].Parts[0].Name != "M1" || p.How != "simple sweep" {
		t.Errorf("tucked %+v, starts at %s, %s", p.Tucked, p.Mixes[0].Parts[0].Name, p.How)
	}
	for i := range in.Cells {
		in.Cells[i].Over = nil
	}
	if p, err = Make(context.Background(), in); err != nil || p.Mixes[0].Parts[0].Name != "M4" {
		t.Errorf("without laps the first thought is to go by number: %v", err)
	}
}

func TestOneTuckIsToldInFull(t *testing.T) {
	in := garage()
	in.Cells, in.Exits = shingled(2, 0, 5.6), []plane.Point{{X: 5.6, Y: 0}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	want := "M2 is laid before M1, which it should lie on: leave the low edge of M2 dry by the width of the lap and lift it, push M1 under it, then wet out and roll the lap"
	if len(p.Notes) != 1 || p.Notes[0] != want {
		t.Errorf("notes %q", p.Notes)
	}
}

func TestLapsAreChecked(t *testing.T) {
	for _, row := range []struct {
		name  string
		spoil func([]Cell)
		words []string
	}{
		{"out of range", func(c []Cell) { c[1].Over = []int{4} }, []string{`"M2"`, "cell 4", "from 0"}},
		{"below zero", func(c []Cell) { c[1].Over = []int{-1} }, []string{`"M2"`, "cell -1"}},
		{"itself", func(c []Cell) { c[2].Over = []int{1, 2} }, []string{`"M3"`, "itself"}},
		{"ring", func(c []Cell) { c[1].Over = []int{0, 3} }, []string{`"M2" over "M4" over "M3" over "M2"`, "leave out"}},
	} {
		in := garage()
		in.Cells = shingled(4, 0, 5.6)
		row.spoil(in.Cells)
		_, err := Make(context.Background(), in)
		for _, w := range row.words {
			if err == nil || !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v", row.name, err)
			}
		}
	}
	if c := AtRate(shingled(2, 0, 5), 0.5); c[1].Over != nil {
		t.Error("a top coat has laps")
	}
}

// drawShingled cuts strips up a slope at random places, a stretch over every one of the
// strip below along whose edge it runs; some are left out for openings.
func drawShingled(t *rapid.T, rows, cols int) []Cell {
	var cells []Cell
	var below []int
	n := rapid.IntRange(1, rows).Draw(t, "rows")
	for r := range n {
		var here []int
		for x := 0; x < cols; {
			end := rapid.IntRange(x+1, cols).Draw(t, "end")
			if rapid.IntRange(0, 7).Draw(t, "opening") > 0 || len(cells) == 0 {
				c := box(fmt.Sprintf("M%d.%d", r+1, len(here)+1), r+1, float64(x), float64(r), float64(end), float64(r+1), rapid.Float64Range(1.2, 2.4).Draw(t, "rate"))
				for _, j := range below {
					if c.Shape[0].X < cells[j].Shape[1].X && cells[j].Shape[0].X < c.Shape[1].X {
						c.Over = append(c.Over, j)
					}
				}
				here = append(here, len(cells))
				cells = append(cells, c)
			}
			x = end
		}
		below = here
	}
	return cells
}

// trapped floods the cells that are not laid from those that g has exits on, by its
// own reckoning of which cells touch along 0.3 m: boxes on a grid of whole metres.
func trapped(g *ground, cells []Cell, laid []bool) bool {
	seen := make([]bool, len(cells))
	for grown := true; grown; {
		grown = false
		for i := range cells {
			if laid[i] || seen[i] {
				continue
			}
			off := g.exit[i]
			for j := range cells {
				off = off || (seen[j] && beside(cells[i], cells[j]))
			}
			if off {
				seen[i], grown = true, true
			}
		}
	}
	for i := range cells {
		if !laid[i] && !seen[i] {
			return true
		}
	}
	return false
}

func beside(a, b Cell) bool {
	x := math.Min(a.Shape[2].X, b.Shape[2].X) - math.Max(a.Shape[0].X, b.Shape[0].X)
	y := math.Min(a.Shape[2].Y, b.Shape[2].Y) - math.Max(a.Shape[0].Y, b.Shape[0].Y)
	return (x >= 0.3 && y > -0.12) || (y >= 0.3 && x > -0.12)
}

// Any roof of shingled strips: everything is laid once, nobody is trapped, and every
// lap is laid lower side first or named as tucked.
func TestEveryLapHoldsOrIsNamed(t *testing.T) {
	kept, tucked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		cells := drawShingled(t, 7, 6)
		exit := plane.Point{X: rapid.Float64Range(-1, 7).Draw(t, "ex"), Y: rapid.Float64Range(-1, 8).Draw(t, "ey")}
		in := Input{Name: "roof", Cells: cells, Resin: testResin(), Crew: crew(), Exits: []plane.Point{exit}, Day: constant(18)}
		in.Resin.Waxed = rapid.Bool().Draw(t, "waxed")
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if !p.WayOut.Holds {
			t.Fatalf("trapped: %+v", p.WayOut)
		}
		tuck := map[[2]int]bool{}
		for _, k := range p.Tucked {
			tuck[[2]int{k.Upper, k.Lower}] = true
		}
		// A lap is made the other way round where a part of the upper cell lies before one
		// of the lower that it meets.
		type laid struct {
			cell int
			box  Cell
		}
		var parts []laid
		covered := map[int]bool{}
		for _, m := range p.Mixes {
			for _, x := range m.Parts {
				parts = append(parts, laid{x.Cell, Cell{Shape: x.Shape}})
				covered[x.Cell] = true
			}
		}
		if len(covered) != len(cells) {
			t.Fatalf("%d of %d cells are laid", len(covered), len(cells))
		}
		wrong := map[[2]int]bool{}
		for k, a := range parts {
			for _, b := range parts[k+1:] {
				if slices.Contains(cells[a.cell].Over, b.cell) && a.box.Shape.Touching(b.box.Shape, joinTolM).LengthM > 0.02 {
					wrong[[2]int{a.cell, b.cell}] = true
				}
			}
		}
		for i, c := range cells {
			for _, j := range c.Over {
				switch pair := [2]int{i, j}; {
				case wrong[pair] && !tuck[pair]:
					t.Fatalf("%s is laid before %s, and is not named", c.Name, cells[j].Name)
				case !wrong[pair] && tuck[pair]:
					t.Fatalf("%s comes after %s, and is said to be tucked", c.Name, cells[j].Name)
				case wrong[pair]:
					tucked++
				default:
					kept++
				}
			}
		}
	})
	if kept == 0 || tucked == 0 {
		t.Errorf("%d laps kept and %d tucked: one side is never tried", kept, tucked)
	}
}

// The order itself, against a flood that shares nothing with the plan's but the exits.
func TestLapOrderTrapsNobody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawShingled(t, 6, 6)
		exit := plane.Point{X: rapid.Float64Range(-1, 7).Draw(t, "ex"), Y: rapid.Float64Range(-1, 7).Draw(t, "ey")}
		g := shingledGround(cells, exit)
		c, err := g.choose(context.Background(), 5, rapid.Float64Range(5, 60).Draw(t, "open"))
		if err != nil {
			t.Fatal(err)
		}
		sorted := slices.Clone(c.order)
		slices.Sort(sorted)
		laid := make([]bool, len(cells))
		for k, i := range sorted {
			if k != i {
				t.Fatalf("order %v is no permutation", c.order)
			}
		}
		for _, i := range c.order {
			if laid[i] = true; trapped(g, cells, laid) {
				t.Fatalf("%s traps somebody", cells[i].Name)
			}
		}
		for k, wish := range g.sweeps() {
			if m := g.mend(wish); !slices.Equal(m, mendSlowly(g, wish)) || (g.prove(wish).Holds && g.tucks(wish) == 0 && !slices.Equal(m, wish)) {
				t.Fatalf("sweep %d, %v, is mended to %v", k, wish, m)
			}
		}
	})
}

// mendSlowly is what mend says it does, without its short cuts.
func mendSlowly(g *ground, wish []int) []int {
	laid := make([]bool, len(wish))
	var order []int
	for range wish {
		ok, pick, fewest := g.removable(laid), -1, math.MaxInt
		for _, i := range wish {
			n := 0
			for _, j := range g.after[i] {
				if !laid[j] {
					n++
				}
			}
			if !laid[i] && ok[i] && n < fewest {
				pick, fewest = i, n
			}
		}
		laid[pick] = true
		order = append(order, pick)
	}
	return order
}

// The exact search against every order: no order that traps nobody makes fewer laps the
// other way round, nor as few with less age. The laps it gives up beforehand are ones
// that every such order gives up.
func TestExactLapsAgainstEveryOrder(t *testing.T) {
	forced, chosen := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		cells := drawShingled(t, 4, 3)
		if len(cells) > 7 {
			t.Skip("too many orders")
		}
		g := shingledGround(cells, plane.Point{X: rapid.Float64Range(-1, 4).Draw(t, "ex"), Y: rapid.Float64Range(-1, 5).Draw(t, "ey")})
		fewest, best := math.MaxInt, math.Inf(1)
		permute(len(cells), func(order []int) {
			n := g.tucks(order)
			if n > fewest || !g.prove(order).Holds {
				return
			}
			if age := g.age(order, 1); n < fewest || age < best {
				fewest, best = n, age
			}
		})
		exact, err := g.exact(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(exact).Holds || g.tucks(exact) != fewest || math.Abs(g.age(exact, 1)-best) > 1e-6 {
			t.Fatalf("exact search tucks %d and ages %g, the best of all orders %d and %g", g.tucks(exact), g.age(exact, 1), fewest, best)
		}
		if g.lost > fewest {
			t.Fatalf("%d laps are given up, an order gives up but %d", g.lost, fewest)
		}
		beam, err := g.beam(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(beam).Holds || g.tucks(beam) < fewest {
			t.Fatalf("beam tucks %d, the fewest of all orders %d", g.tucks(beam), fewest)
		}
		c, err := g.choose(context.Background(), 5, 60)
		if err != nil {
			t.Fatal(err)
		}
		if n := g.tucks(c.order); n < fewest || (c.claim == Proven && n > fewest) {
			t.Fatalf("chosen (%s, %s) tucks %d, the fewest is %d", c.how, c.claim, n, fewest)
		}
		forced, chosen = forced+g.lost, chosen+fewest-g.lost
	})
	if forced == 0 || chosen == 0 {
		t.Errorf("%d laps given up beforehand, %d by choice: one is never tried", forced, chosen)
	}
}

// Strips parted into bays: a piece lies only on the pieces that it meets, so a bay may
// be finished up to the ridge before the next is begun at the eaves.
func TestLapsBetweenBays(t *testing.T) {
	in := garage()
	in.Resin.Waxed = true
	in.Crew.LayM2PerManHour = 15
	in.Cells = shingled(6, 0, 40)
	in.Exits = []plane.Point{{X: 40, Y: 6}}
	in.Day.EndMin = 24 * 60
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Tucked) != 0 || !p.WayOut.Holds {
		t.Errorf("tucked %+v, %+v, %s", p.Tucked, p.WayOut, p.How)
	}
	// A bay of 16 min at 0.5 m²/min is 8 m at most: four or five joints of 6 m between
	// bays, little besides.
	if p.PlannedM < 20 || p.PlannedM > 50 {
		t.Errorf("%g m late, %s", p.PlannedM, p.How)
	}
	// From the low side only the last of six bays is tucked, 6.7 of the 40 m of each of 5 laps.
	low := in
	low.Exits = []plane.Point{{X: 40, Y: 0}}
	if p, err = Make(context.Background(), low); err != nil {
		t.Fatal(err)
	}
	if len(p.Tucked) != 5 || !strings.Contains(strings.Join(p.Notes, "\n"), "M6 before M5 along 6.7 of 40.0 m") {
		t.Errorf("tucked %+v, %s, notes %q", p.Tucked, p.How, p.Notes)
	}
	pieces := bays(in.Cells, nil, 0.5, 20)
	on := lapsOf(in.Cells, pieces)
	for i, below := range on {
		if want := min(1, pieces[i].of); len(below) != want {
			t.Fatalf("piece %d of %s lies on %d pieces, want %d", i, pieces[i].Name, len(below), want)
		}
		for _, j := range below {
			if pieces[j].of != pieces[i].of-1 || pieces[j].bay != pieces[i].bay {
				t.Errorf("%s, bay %d lies on %s, bay %d", pieces[i].Name, pieces[i].bay, pieces[j].Name, pieces[j].bay)
			}
		}
	}
}

// 5 000 m² in 1 500 cells, shingled, with the way off at the low side or the high.
func BenchmarkShingledHall(b *testing.B) {
	cuts := make([]float64, 31)
	for k := range cuts {
		cuts[k] = 3.3 * float64(k)
	}
	for _, row := range []struct {
		name string
		y    float64
		over bool
	}{{"high", 50, true}, {"low", 0, true}, {"no laps", 0, false}} {
		b.Run(row.name, func(b *testing.B) {
			in := garage()
			in.Crew.People = 6
			in.Cells, in.Exits = shingled(50, cuts...), []plane.Point{{X: 99, Y: row.y}}
			for i := range in.Cells {
				if !row.over {
					in.Cells[i].Over = nil
				}
			}
			for b.Loop() {
				p, err := Make(context.Background(), in)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(p.Tucked)), "tucks")
			}
		})
	}
}
