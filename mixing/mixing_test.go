package mixing

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/cure"
	"gelwright/plane"
	"gelwright/working"

	"pgregory.net/rapid"
)

// testResin gels in 22 min at 20 °C and 1.75 % (invented, within the trade's 18–25),
// by Arrhenius with 62 kJ/mol and c^−0.8.
func testResin() Resin {
	g := cure.Gel{
		Resin: "laminating resin", Mean: [3]float64{math.Log(22) + 0.8*math.Log(1.75/2), 62, 0.8}, DrumSD: 0.05, NoiseSD: 0.1,
		MinPct: 1, MaxPct: 4, MinC: 5, MaxC: 35, SeenMinC: 5, SeenMaxC: 35, SeenMinPct: 1, SeenMaxPct: 4,
		Evidence: "parameters as given", Standing: working.Given,
	}
	return Resin{Name: g.Resin, Law: g, DensityKGPerL: 1.1, CatalystGPerML: 1.15}
}

func crew() Crew {
	return Crew{People: 2, LayM2PerManHour: 6, MarginMin: 5, CapKG: 4, MaxBucketKG: 5}
}

func constant(tempC float64) Day {
	return Day{StartMin: 8 * 60, EndMin: 17 * 60, Temps: []TempAt{{TempC: tempC}}}
}

func box(name string, strip int, x0, y0, x1, y1, kgPerM2 float64) Cell {
	a := (x1 - x0) * (y1 - y0)
	return Cell{Name: name, Strip: strip, Shape: plane.Loop{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}, Along: plane.Point{X: 1}, AreaM2: a, ResinKG: a * kgPerM2}
}

func garage() Input {
	var cells []Cell
	for i := range 4 {
		cells = append(cells, box(fmt.Sprintf("strip %d", i+1), i+1, 0, float64(i), 5.6, float64(i+1), 1.5))
	}
	return Input{Key: "mix.garage", Name: "mat of garage", Cells: cells, Exits: []plane.Point{{X: 5.6, Y: 4}}, Crew: crew(), Resin: testResin(), Day: constant(18), ShownDay: 1}
}

func TestGarage(t *testing.T) {
	p, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	if !p.WayOut.Holds || p.How != "simple sweep" || p.Claim != Proven {
		t.Errorf("way out %+v, %s, %s", p.WayOut, p.How, p.Claim)
	}
	if first := p.Mixes[0].Parts[0].Name; first != "strip 1" {
		t.Errorf("starts at %s, which is not the far side", first)
	}
	last := p.Mixes[len(p.Mixes)-1]
	part := last.Parts[len(last.Parts)-1]
	if _, d := part.Shape.Closest(plane.Point{X: 5.6, Y: 4}); d > 0.01 {
		t.Errorf("ends %.2f m from the exit", d)
	}
	// A strip of 5.6 m² × 1.5 = 8.4 kg; at no more than 4 kg that is 3 buckets of 2.8 for each of
	// 4 strips, whose ends do not touch the next one's beginning (arithmetic).
	if len(p.Mixes) != 12 {
		t.Errorf("%d buckets", len(p.Mixes))
	}
	for _, m := range p.Mixes {
		if m.ChanceLaid < 0.9 || m.ChanceLaid > 1 {
			t.Errorf("bucket %d is laid in time with probability %g", m.Number, m.ChanceLaid)
		}
	}
	if p.ChanceDay > p.Mixes[0].ChanceLaid || p.ChanceDay < 0.5 {
		t.Errorf("day %g", p.ChanceDay)
	}
}

// Dose by mass: 2 % of 1 kg is 20 g, 17.39 ml at 1.15, 17.86 at 1.12, 18.52 at 1.08
// g/ml; 20 ml to the kg is 2.30 % at 1.15 (arithmetic from densities on safety sheets).
func TestGramsAndMillilitres(t *testing.T) {
	r := testResin()
	for density, ml := range map[float64]float64{1.15: 17.39, 1.12: 17.86, 1.08: 18.52} {
		r.CatalystGPerML = density
		c, err := ChargeOf(r, 1, Dose{Pct: 2, At: cure.At(20), Mixed: cure.Mixed{Gel: cure.Range{LowMin: 17, LikelyMin: 20, HighMin: 23}}}, "k")
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c.CatalystG-20) > 1e-9 || math.Abs(c.CatalystML-ml) > 0.005 {
			t.Errorf("density %g: %g g, %g ml, want 20 g, %g ml", density, c.CatalystG, c.CatalystML, ml)
		}
		// By volume: ml of catalyst to ml of resin.
		if want := c.CatalystML / c.ResinL; math.Abs(c.DoseMLPerL-want) > 1e-9 {
			t.Errorf("%g ml to the litre, the jug has %g", c.DoseMLPerL, want)
		}
	}
	r.CatalystGPerML = 1.15
	c, err := ChargeOf(r, 1, Dose{Pct: 2.3, At: cure.At(20), Mixed: cure.Mixed{Gel: cure.Range{LowMin: 17, LikelyMin: 20, HighMin: 23}}}, "")
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(c.CatalystML-20) > 1e-9 {
		t.Errorf("2.30 %% is %g ml to the kg, want 20", c.CatalystML)
	}
}

// The trade's doses by temperature, common practice with no citable source: 2.5–3.0 %
// at 8–12 °C, 1.75–2.0 at 16–20, 1.25–1.75 at 20–25, 1.0–1.25 at 25–30, 1 the least
// above, with 0.25 either way as a sanity range.
func TestDosesAreNearTheTrades(t *testing.T) {
	for _, row := range []struct{ tempC, low, high float64 }{{10, 2.5, 3}, {14, 2, 2.5}, {18, 1.75, 2}, {22.5, 1.25, 1.75}, {28, 1, 1.25}, {33, 1, 1}} {
		// On a hot deck out of a pail that stood in the shade.
		d, err := ChooseDose(testResin(), cure.Aim{}, cure.Temps{ResinC: math.Min(row.tempC, 22), DeckC: row.tempC}, 5)
		if err != nil {
			t.Errorf("%g °C: %v", row.tempC, err)
			continue
		}
		if d.Pct < row.low-0.25 || d.Pct > row.high+0.25 {
			t.Errorf("%g °C: %.2f %%, the trade has %g–%g", row.tempC, d.Pct, row.low, row.high)
		}
	}
}

func TestRefusalsSayWhatToDo(t *testing.T) {
	for _, row := range []struct {
		tempC, margin float64
		reason        error
		words         string
	}{{3, 5, cure.ErrTooCold, "wait"}, {40, 5, cure.ErrTooHot, "shade"}, {35, 8, cure.ErrNotThatLong, "smaller"}} {
		_, err := ChooseDose(testResin(), cure.Aim{}, cure.At(row.tempC), row.margin)
		var r *cure.Refusal
		if !errors.Is(err, row.reason) || !errors.As(err, &r) || len(r.Remedies) == 0 || !strings.Contains(err.Error(), row.words) {
			t.Errorf("%g °C: %v", row.tempC, err)
		}
	}
	slow := testResin()
	slow.Law.Mean[0] += math.Log(3)
	if _, err := ChooseDose(slow, cure.Aim{}, cure.At(5), 5); !errors.Is(err, cure.ErrTooCold) {
		t.Errorf("a slow resin in the cold: %v", err)
	}
	if _, err := ChooseDose(slow, cure.Aim{}, cure.At(15), math.NaN()); err == nil {
		t.Error("no margin is taken for one")
	}
}

func TestWaitsForWarmth(t *testing.T) {
	in := garage()
	in.Day = Day{StartMin: 480, EndMin: 1020, Temps: []TempAt{{480, 2}, {600, 10}, {1020, 14}}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	// It passes 5 °C at 480 + 3/8·120 = 525 min (by hand), 08:45.
	if p.Mixes[0].MixAtMin != 525 || len(p.Notes) == 0 || !strings.Contains(p.Notes[0], "wait until 08:45") {
		t.Errorf("starts at %g: %v", p.Mixes[0].MixAtMin, p.Notes)
	}
	in.Day.Temps = []TempAt{{0, 1}}
	if _, err := Make(context.Background(), in); !errors.Is(err, cure.ErrTooCold) {
		t.Errorf("all day at 1 °C: %v", err)
	}
}

// A strip with the exit at its middle is laid from both ends towards it.
func TestExitInTheMiddle(t *testing.T) {
	in := garage()
	in.Cells = []Cell{box("only strip", 1, 0, 0, 12, 1, 1.5)}
	in.Exits = []plane.Point{{X: 6, Y: 0}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if !p.WayOut.Holds {
		t.Fatalf("trapped: %+v", p.WayOut)
	}
	last := p.Mixes[len(p.Mixes)-1]
	part := last.Parts[len(last.Parts)-1]
	if _, d := part.Shape.Closest(in.Exits[0]); d > 0.01 {
		t.Errorf("ends %.2f m from the exit", d)
	}
}

// A U with the exit at the end of one arm: a sweep of the strips by number would
// cut off the other arm; the plan must turn aside.
func TestConcaveRoofTurnsAside(t *testing.T) {
	in := garage()
	in.Cells = []Cell{
		box("foot", 1, 0, 0, 6, 1, 1.5),
		box("left 2", 2, 0, 1, 2, 2, 1.5), box("right 2", 2, 4, 1, 6, 2, 1.5),
		box("left 3", 3, 0, 2, 2, 3, 1.5), box("right 3", 3, 4, 2, 6, 3, 1.5),
	}
	in.Exits = []plane.Point{{X: 0, Y: 3}}
	g := survey(in.Cells, in.Exits)
	if g.prove([]int{0, 1, 2, 3, 4}).Holds {
		t.Fatal("the plain sweep traps the right arm and is not noticed")
	}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if !p.WayOut.Holds {
		t.Fatalf("trapped: %+v", p.WayOut)
	}
	if p.How == "" || p.Claim == "" {
		t.Error("does not say how the order was found")
	}
}

func TestCutOffPieceIsNamed(t *testing.T) {
	in := garage()
	in.Cells = append(in.Cells, box("beyond the gap", 9, 8, 0, 10, 1, 1.5))
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.WayOut.OwnWayOff) != 1 || p.WayOut.OwnWayOff[0] != "beyond the gap" || !strings.Contains(strings.Join(p.Notes, "\n"), "beyond the gap") {
		t.Errorf("%+v, %v", p.WayOut, p.Notes)
	}
}

// The exact search against every order of a small roof, and the beam against it.
func TestSearchAgainstEveryOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawRoof(t, 3, 3)
		if len(cells) > 7 {
			t.Skip("too many orders")
		}
		g := survey(cells, []plane.Point{{X: -1, Y: -1}})
		best := math.Inf(1)
		permute(len(cells), func(order []int) {
			if g.prove(order).Holds {
				best = math.Min(best, g.age(order, 1))
			}
		})
		exact, err := g.exact(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(exact).Holds || math.Abs(g.age(exact, 1)-best) > 1e-6 {
			t.Fatalf("exact search ages %g, the best of all orders %g", g.age(exact, 1), best)
		}
		beam, err := g.beam(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(beam).Holds || g.age(beam, 1) < best-1e-6 {
			t.Fatalf("beam ages %g, the best of all orders %g", g.age(beam, 1), best)
		}
	})
}

func permute(n int, do func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var step func(k int)
	step = func(k int) {
		if k == n {
			do(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			step(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	step(0)
}

// Cells that may be laid next, by low points, against flooding without each in turn.
func TestRemovableAgainstFlood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawRoof(t, 6, 6)
		exit := plane.Point{X: rapid.Float64Range(-1, 9).Draw(t, "exit x"), Y: rapid.Float64Range(-1, 7).Draw(t, "exit y")}
		g := survey(cells, []plane.Point{exit})
		laid := make([]bool, len(cells))
		for {
			ok := g.removable(laid)
			var may []int
			for i := range cells {
				if laid[i] {
					continue
				}
				laid[i] = true
				seen, free := g.reached(laid), true
				for j := range cells {
					free = free && (laid[j] || seen[j])
				}
				laid[i] = false
				if free != ok[i] {
					t.Fatalf("%s: low points say %v, the flood %v", cells[i].Name, ok[i], free)
				}
				if free {
					may = append(may, i)
				}
			}
			if len(may) == 0 {
				break
			}
			laid[rapid.SampledFrom(may).Draw(t, "next")] = true
		}
	})
}

// drawRoof cuts a random roof into strips of a metre, each of one or two stretches,
// then shears and turns it.
func drawRoof(t *rapid.T, rows, cols int) []Cell {
	n := rapid.IntRange(1, rows).Draw(t, "rows")
	shear, angle := rapid.Float64Range(-0.5, 0.5).Draw(t, "shear"), rapid.Float64Range(0, 6.28).Draw(t, "angle")
	sin, cos := math.Sincos(angle)
	move := func(x, y float64) plane.Point {
		x += shear * y
		return plane.Point{X: x*cos - y*sin, Y: x*sin + y*cos}
	}
	var cells []Cell
	add := func(row int, x0, x1 float64) {
		y := float64(row)
		c := Cell{Name: fmt.Sprintf("strip %d from %.1f", row+1, x0), Strip: row + 1, Along: plane.Point{X: cos, Y: sin},
			Shape: []plane.Point{move(x0, y), move(x1, y), move(x1, y+1), move(x0, y+1)}}
		c.AreaM2 = c.Shape.Area() * 1.001
		c.ResinKG = c.AreaM2 * rapid.Float64Range(1.2, 2.4).Draw(t, "rate")
		cells = append(cells, c)
	}
	for row := range n {
		a := rapid.IntRange(0, cols-1).Draw(t, "from")
		b := rapid.IntRange(a+1, cols).Draw(t, "to")
		if b-a > 2 && rapid.Bool().Draw(t, "opening") {
			hole := rapid.IntRange(a+1, b-2).Draw(t, "hole")
			add(row, float64(a), float64(hole))
			add(row, float64(hole)+0.8, float64(b))
		} else {
			add(row, float64(a), float64(b))
		}
	}
	return cells
}

func TestBucketsCoverTheRoofAndTrapNobody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Key: "m", Name: "roof", ShownDay: 1, Cells: drawRoof(t, 8, 9), Resin: testResin(), Crew: crew(),
			Exits: []plane.Point{{X: rapid.Float64Range(-2, 10).Draw(t, "ex"), Y: rapid.Float64Range(-2, 10).Draw(t, "ey")}},
			Day:   constant(rapid.Float64Range(5, 27).Draw(t, "temp"))}
		in.Crew.CapKG = rapid.Float64Range(1.5, 6).Draw(t, "cap")
		in.Crew.People = rapid.IntRange(1, 5).Draw(t, "people")
		in.Resin.Waxed = rapid.Bool().Draw(t, "waxed")
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		if !p.WayOut.Holds {
			t.Fatalf("trapped: %+v", p.WayOut)
		}
		kg, m2 := map[int]float64{}, map[int]float64{}
		for i, m := range p.Mixes {
			if m.Number != i+1 {
				t.Fatalf("bucket %d is numbered %d", i+1, m.Number)
			}
			if m.ResinKG > m.LimitKG*(1+1e-6) || m.ResinKG > in.Crew.CapKG*(1+1e-6) || m.LayingMin > m.LayByMin*(1+1e-6) {
				t.Fatalf("bucket %d: %g kg in %g min, limits %g kg and %g min", m.Number, m.ResinKG, m.LayingMin, m.LimitKG, m.LayByMin)
			}
			if m.DosePct < in.Resin.Law.MinPct-1e-9 || m.DosePct > in.Resin.Law.MaxPct+1e-9 {
				t.Fatalf("dose %g %%", m.DosePct)
			}
			sum, shapes := 0.0, 0.0
			for _, x := range m.Parts {
				kg[x.Cell] += x.KG
				m2[x.Cell] += x.AreaM2
				sum, shapes = sum+x.KG, shapes+x.Shape.Area()*1.001
			}
			if math.Abs(sum-m.ResinKG) > 1e-6 || math.Abs(shapes-m.AreaM2) > 1e-5 {
				t.Fatalf("bucket %d: parts hold %g kg on %g m², it says %g on %g", m.Number, sum, shapes, m.ResinKG, m.AreaM2)
			}
			if m.ResinKG >= 2*leastMixKG && !onePlace(m.Parts) && !crumb(m.Parts) {
				t.Fatalf("bucket %d of %g kg is laid on places that do not touch: %v", m.Number, m.ResinKG, m.Parts)
			}
		}
		for i, c := range in.Cells {
			if math.Abs(kg[i]-c.ResinKG) > 1e-5 || math.Abs(m2[i]-c.AreaM2) > 1e-5 {
				t.Fatalf("%s: %g of %g kg, %g of %g m²", c.Name, kg[i], c.ResinKG, m2[i], c.AreaM2)
			}
		}
	})
}

// One bucket's probability has a closed form: laying and gel are log-normal and
// independent. The Halton mean must agree.
func TestChanceAgainstClosedForm(t *testing.T) {
	p := Plan{Mixes: []Mix{{Gel: cure.Range{LowMin: 16, LikelyMin: 20, HighMin: 25}, LayingMin: 15}}}
	p.chances(0.2)
	σp, σg := math.Sqrt(math.Log(1.04)), math.Log(25.0/16)/(2*1.6448536)
	want := normal((math.Log(20.0/15) + σp*σp/2) / math.Hypot(σp, σg))
	if math.Abs(p.Mixes[0].ChanceLaid-want) > 5e-4 || math.Abs(p.ChanceDay-want) > 5e-4 {
		t.Errorf("got %g, closed form %g", p.Mixes[0].ChanceLaid, want)
	}
}

func TestDetailsAreSmallMixes(t *testing.T) {
	in := garage()
	items := []Detail{{Name: "bandage, board joints", KG: 3.1, ManMinutes: 60}, {Name: "corners", KG: 0.8, ManMinutes: 30}, {Name: "outlet", KG: 0.4, ManMinutes: 20}}
	p, err := Details(context.Background(), in, items)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, m := range p.Mixes {
		sum += m.ResinKG
		if m.ResinKG > DetailCapKG+1e-9 || m.LayingMin > m.LayByMin+1e-9 {
			t.Errorf("bucket %d: %g kg in %g of %g min", m.Number, m.ResinKG, m.LayingMin, m.LayByMin)
		}
	}
	if math.Abs(sum-4.3) > 1e-6 {
		t.Errorf("%g kg mixed for 4.3 kg of details", sum)
	}
	if _, err := Details(context.Background(), in, nil); err == nil {
		t.Error("no details are taken for some")
	}
}

// A strip that a bucket holds is of one bucket, the count stays that of the kilograms, and
// what is larger than a bucket is shared evenly.
func TestDetailsAreNotShared(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := garage()
		var items []Detail
		sum := 0.0
		for i := range rapid.IntRange(1, 25).Draw(rt, "n") {
			kg := rapid.Float64Range(0.02, 1.2).Draw(rt, "kg")
			if rapid.IntRange(0, 9).Draw(rt, "large") == 0 {
				kg += 2 * DetailCapKG
			}
			items = append(items, Detail{Name: fmt.Sprint("J", i+1), KG: kg, ManMinutes: 2 * kg, Of: rapid.SampledFrom([]string{"edge 1", "edge 2"}).Draw(rt, "of")})
			sum += kg
		}
		p, err := Details(context.Background(), in, items)
		if err != nil {
			rt.Fatal(err)
		}
		of, mixed := map[string]int{}, 0.0
		for _, m := range p.Mixes {
			mixed += m.ResinKG
			if m.ResinKG > m.LimitKG*(1+1e-6) {
				rt.Errorf("bucket %d: %g kg of %g", m.Number, m.ResinKG, m.LimitKG)
			}
			for _, x := range m.Parts {
				of[x.Name]++
				if items[x.Cell].KG <= DetailCapKG && !x.Whole {
					rt.Errorf("%s of %g kg is shared by buckets", x.Name, items[x.Cell].KG)
				}
			}
		}
		if len(of) != len(items) || math.Abs(mixed-sum) > 1e-6 {
			rt.Errorf("%d of %d details, %g of %g kg", len(of), len(items), mixed, sum)
		}
	})
}

// The pass begins on its day when somebody is free, with the dose of that hour.
func TestAPassBeginsWhenTheCrewIsFree(t *testing.T) {
	in := garage()
	in.Day.Temps = []TempAt{{6 * 60, 12}, {12 * 60, 24}}
	early, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	in.FirstDay, in.BeginMin = 3, 11*60
	late, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	first := late.Mixes[0]
	if first.Day != 3 || first.MixAtMin != 11*60 || first.TempC != 22 || late.Days != 1 {
		t.Errorf("begins on day %d at %g, %g °C, %d days", first.Day, first.MixAtMin, first.TempC, late.Days)
	}
	if !(first.DosePct < early.Mixes[0].DosePct) {
		t.Errorf("dose %g %% at 11:00, %g %% at the start of a cooler day", first.DosePct, early.Mixes[0].DosePct)
	}
	in.BeginMin = 2000
	if _, err := Make(context.Background(), in); err == nil {
		t.Error("a minute beyond the day is taken")
	}
}

// Too cold until the morning warms: the wait stands before the bucket it is for.
func TestAWaitIsOfTheBucketAfterIt(t *testing.T) {
	in := garage()
	in.Day.Temps = []TempAt{{7 * 60, -4}, {10 * 60, 14}, {17 * 60, 16}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if m := p.Mixes[0]; m.WaitedMin <= 0 || m.MixAtMin != in.Day.StartMin+m.WaitedMin {
		t.Errorf("mixed at %g after waiting %g", m.MixAtMin, m.WaitedMin)
	}
	for _, m := range p.Mixes[1:] {
		if m.WaitedMin != 0 {
			t.Errorf("bucket %d waited %g", m.Number, m.WaitedMin)
		}
	}
}

func TestSecondDayAndJoints(t *testing.T) {
	in := garage()
	in.Cells = nil
	for i := range 12 {
		in.Cells = append(in.Cells, box(fmt.Sprintf("strip %d", i+1), i+1, 0, float64(i), 20, float64(i+1), 1.5))
	}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if p.Days < 2 || len(p.Joints) == 0 {
		t.Fatalf("240 m² by two in %d days, joints %v", p.Days, p.Joints)
	}
	for _, m := range p.Mixes {
		if m.MixAtMin+m.AreaM2/in.Crew.averageM2PerMin() > in.Day.EndMin+1e-6 {
			t.Errorf("bucket %d is not done when the day ends", m.Number)
		}
	}
	overnight := 0
	for _, j := range p.Joints {
		a, b := p.Mixes[j.First-1], p.Mixes[j.Second-1]
		if a.Day+1 == b.Day {
			overnight++
			if age := 1440 - a.MixAtMin + b.MixAtMin; math.Abs(j.AgeMin-age) > 1e-9 {
				t.Errorf("a joint from %.0f to %.0f the next day is %.0f min old, want %.0f", a.MixAtMin, b.MixAtMin, j.AgeMin, age)
			}
		}
	}
	if overnight == 0 {
		t.Error("no joint was left overnight")
	}
	in.Resin.Waxed = true
	w, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if w.TackyM != 0 || w.PlannedM == 0 {
		t.Errorf("a waxed edge bonds after gel: %g m tacky, %g m to plan", w.TackyM, w.PlannedM)
	}
}

// Where a strip ends within the day's last bucket, the day ends there.
func TestDayEndsAtTheEndOfAStrip(t *testing.T) {
	in := garage()
	in.Cells = nil
	for i := range 80 {
		in.Cells = append(in.Cells, box(fmt.Sprintf("strip %d", i+1), i+1, 0, float64(i), 2, float64(i+1), 1.5))
	}
	in.Exits = []plane.Point{{X: 1, Y: 80}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if p.Days < 2 || len(p.Notes) != p.Days-1 {
		t.Fatalf("%d days, notes %v", p.Days, p.Notes)
	}
	for _, n := range p.Notes {
		if !strings.Contains(n, "at the end of strip") {
			t.Errorf("a strip is left half laid: %s", n)
		}
	}
}

// Strips of 60 m that take longer than a waxed edge stays open are laid bay by bay:
// then only the joints between bays go off, each as long as the roof is deep.
func TestLongStripsAreLaidInBays(t *testing.T) {
	in := garage()
	in.Resin.Waxed = true
	in.Crew.LayM2PerManHour = 15
	in.Cells = nil
	for i := range 10 {
		in.Cells = append(in.Cells, box(fmt.Sprintf("strip %d", i+1), i+1, 0, float64(i), 60, float64(i+1), 0.5))
	}
	in.Exits = []plane.Point{{X: 60, Y: 10}}
	in.Day.EndMin = 24 * 60
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: at 0.5 m²/min a strip takes 120 min and its edge is open for about 20, so
	// strip after strip all 9 × 60 = 540 m would be late. A bay of 16 min is 8 m long at
	// most: 8 bays, 7 joints of 10 m between them, and little besides.
	if p.PlannedM < 60 || p.PlannedM > 100 || !p.WayOut.Holds {
		t.Errorf("%g m late, %+v", p.PlannedM, p.WayOut)
	}
	sum := 0.0
	for _, m := range p.Mixes {
		for _, x := range m.Parts {
			if x.Cell < 0 || x.Cell > 9 || x.Name != in.Cells[x.Cell].Name || x.Whole {
				t.Fatalf("part %+v", x)
			}
			sum += x.AreaM2
		}
	}
	if math.Abs(sum-600) > 1e-6 {
		t.Errorf("%g of 600 m²", sum)
	}
}

func TestSameInputSamePlan(t *testing.T) {
	a, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	b, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("two plans of one roof differ")
	}
}

func TestBadInputIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Input){
		"no cells": func(in *Input) { in.Cells = nil }, "no exit": func(in *Input) { in.Exits = nil }, "no people": func(in *Input) { in.Crew.People = 0 },
		"NaN corner": func(in *Input) { in.Cells[0].Shape[0].X = math.NaN() }, "no resin": func(in *Input) { in.Cells[0].ResinKG = 0 },
		"flat cell": func(in *Input) { in.Cells[0].Shape = in.Cells[0].Shape[:2] }, "no temperature": func(in *Input) { in.Day.Temps = nil },
		"day backwards": func(in *Input) { in.Day.EndMin = 0 }, "no gel law": func(in *Input) { in.Resin.Law = cure.Gel{} }, "catalyst in kg/m³": func(in *Input) { in.Resin.CatalystGPerML = 1150 },
	} {
		in := garage()
		spoil(&in)
		if _, err := Make(context.Background(), in); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Make(ctx, garage()); !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped plan goes on: %v", err)
	}
}

func BenchmarkHall(b *testing.B) {
	in := garage()
	in.Crew.People = 6
	in.Cells = nil
	for i := range 50 {
		for j := range 4 {
			in.Cells = append(in.Cells, box(fmt.Sprintf("strip %d.%d", i+1, j+1), i+1, 25*float64(j), float64(i), 25*float64(j+1)-1.2*float64((i/5+j)%2), float64(i+1), 1.8))
		}
	}
	for b.Loop() {
		if _, err := Make(context.Background(), in); err != nil {
			b.Fatal(err)
		}
	}
}

func TestChecksTellTheTruth(t *testing.T) {
	p, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range p.Checks("garage") {
		if r.Verdict != check.Pass || r.Finding == "" {
			t.Errorf("%s: %s, %s", r.Key, r.Verdict, r.Finding)
		}
	}
	broken := *p
	broken.WayOut = WayOut{BrokenAfter: "a", Trapped: "b"}
	broken.PlannedM = 3
	broken.Mixes = append([]Mix(nil), p.Mixes...)
	broken.Mixes[2].ChanceLaid = 0.5
	want := []check.Verdict{check.Fail, check.Caution, check.Caution}
	for i, r := range broken.Checks("garage") {
		if r.Verdict != want[i] || len(r.Remedies) == 0 {
			t.Errorf("%s: %s, want %s with a remedy", r.Key, r.Verdict, want[i])
		}
	}
}

// Each day's chance stands by itself, and together they multiply.
func TestChanceOfDays(t *testing.T) {
	m := Mix{Gel: cure.Range{LowMin: 16, LikelyMin: 20, HighMin: 25}, LayingMin: 15, Day: 1}
	one := Plan{Mixes: []Mix{m, m}}
	one.chances(0.2)
	m2 := m
	m2.Day = 2
	two := Plan{Mixes: []Mix{m, m, m2, m2}}
	two.chances(0.2)
	if len(two.ChanceOfDay) != 2 || math.Abs(two.ChanceDay-one.ChanceDay*one.ChanceDay) > 1e-12 {
		t.Errorf("one day %g, two days %g %v", one.ChanceDay, two.ChanceDay, two.ChanceOfDay)
	}
	// Buckets of a day share form and drum: better than independent, worse than one alone.
	single := Plan{Mixes: []Mix{m}}
	single.chances(0.2)
	if q := single.ChanceDay; !(one.ChanceDay > q*q && one.ChanceDay < q) {
		t.Errorf("two buckets %g, one %g", one.ChanceDay, q)
	}
}

// With a waxed coat on a wide roof the simple sweep lets edges go off; whatever
// order is chosen must not have more late joint than the best simple sweep.
func TestSearchBeatsNoSweepOnlyWhenItCan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawRoof(t, 7, 9)
		g := survey(cells, []plane.Point{{X: 0, Y: 0}})
		perM2, open := rapid.Float64Range(0.5, 8).Draw(t, "min per m²"), rapid.Float64Range(5, 60).Draw(t, "open")
		c, err := g.choose(context.Background(), perM2, open)
		if err != nil {
			t.Fatal(err)
		}
		if !g.prove(c.order).Holds {
			t.Fatal("the chosen order traps somebody")
		}
		late := g.late(c.order, perM2, open)
		for _, s := range g.sweeps() {
			if g.prove(s).Holds && g.late(s, perM2, open) < late-1e-9 {
				t.Fatalf("a sweep leaves %g m late, the choice (%s) %g m", g.late(s, perM2, open), c.how, late)
			}
		}
		if c.claim == Proven && late > 0 {
			t.Fatalf("claims proof with %g m late", late)
		}
	})
}

func TestPlanIsWrittenAndReadBack(t *testing.T) {
	p, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var back Plan
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	for i := range p.Mixes {
		p.Mixes[i].Working, p.Mixes[i].Charge.Figures = nil, nil
		for j := range p.Mixes[i].Parts {
			p.Mixes[i].Parts[j].piece, p.Mixes[i].Parts[j].stretch = 0, 0
		}
	}
	p.Figures = nil
	if !reflect.DeepEqual(*p, back) {
		t.Errorf("read back differs:\n%s", raw)
	}
}

func TestEveryFigureOfABucketHasASource(t *testing.T) {
	p, err := Make(context.Background(), garage())
	if err != nil {
		t.Fatal(err)
	}
	var walk func(f *working.Figure)
	walk = func(f *working.Figure) {
		if f.Source.Standing == "" || (len(f.Inputs) > 0 && f.By() == "") {
			t.Errorf("%s lacks a standing or a formula", f.Name)
		}
		for _, in := range f.Inputs {
			walk(in)
		}
	}
	keys := map[string]bool{}
	for _, m := range p.Mixes {
		for _, f := range m.Working {
			walk(f)
			if f.Key == "" || keys[f.Key] {
				t.Errorf("%s: key %q is missing or there twice", f.Name, f.Key)
			}
			keys[f.Key] = true
		}
	}
}

// Cutting a concave shape loses no area, whatever the direction and share.
func TestSplitKeepsArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 14).Draw(t, "corners")
		var shape plane.Loop
		for i := range n {
			r := rapid.Float64Range(0.3, 5).Draw(t, "r")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			shape = append(shape, plane.Point{X: 100 + r*cos, Y: -50 + r*sin})
		}
		whole := shape.Area()
		if whole < 0.1 {
			t.Skip("no area")
		}
		sin, cos := math.Sincos(rapid.Float64Range(0, 6.3).Draw(t, "direction"))
		u, share := plane.Point{X: cos, Y: sin}, rapid.Float64Range(0.02, 0.98).Draw(t, "share")
		a, b := shape.SplitAt(u, share)
		if got := a.Area(); math.Abs(got-share*whole) > 1e-6 || math.Abs(got+b.Area()-whole) > 1e-6 {
			t.Fatalf("%g and %g of %g at %g", got, b.Area(), whole, share)
		}
		lo, hi := shape.Extent(shape.LongAxis())
		v := shape.LongAxis().Left()
		if l, h := shape.Extent(v); n == 4 && (h-l) > 1.5*(hi-lo) {
			t.Fatalf("long axis is %g long, across it %g", hi-lo, h-l)
		}
	})
}

// A gutter sole of 0.35 m is a way to walk; a tip of a triangle is laid from beside it.
func TestNarrowGutterAndTipAreJoined(t *testing.T) {
	in := garage()
	in.Cells = []Cell{box("sole 1", 1, 0, 0, 1, 0.35, 1.5), box("sole 2", 2, 1, 0, 2, 0.35, 1.5), box("sole 3", 3, 2, 0, 3, 0.35, 1.5),
		{Name: "tip", Strip: 4, Shape: []plane.Point{{X: 3, Y: 0}, {X: 3.8, Y: 0.1}, {X: 3, Y: 0.2}}, AreaM2: 0.08, ResinKG: 0.12}}
	in.Exits = []plane.Point{{X: 0, Y: 0}}
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.WayOut.OwnWayOff) > 0 || !p.WayOut.Holds {
		t.Errorf("%+v", p.WayOut)
	}
}

// A bucket of top coat is rolled out while the edge of the one before is wet.
func TestTopCoatBucketsKeepTheEdgeWet(t *testing.T) {
	in := garage()
	in.Resin.Waxed = true
	in.Cells = AtRate(in.Cells, 0.5)
	p, err := Make(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range p.Mixes[1:] {
		if m.Day == p.Mixes[i].Day && m.MixAtMin > m.MixByMin {
			t.Errorf("bucket %d is mixed at %g, the edge before it is wet until %g", m.Number, m.MixAtMin, m.MixByMin)
		}
	}
	if p.Mixes[0].LimitedBy != "wet edge" {
		t.Errorf("limited by %s", p.Mixes[0].LimitedBy)
	}
}

// Whatever shapes are given, crossing and overlapping ones too, the buckets hold all
// the resin and every cell can be walked off from.
func TestAnyShapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := garage()
		in.Cells = nil
		in.Resin.Waxed = rapid.Bool().Draw(t, "waxed")
		want := 0.0
		for i := range rapid.IntRange(1, 9).Draw(t, "cells") {
			c := Cell{Name: fmt.Sprint(i), Strip: rapid.IntRange(-2, 3).Draw(t, "strip"), AreaM2: rapid.Float64Range(1e-3, 40).Draw(t, "area"), ResinKG: rapid.Float64Range(1e-3, 40).Draw(t, "kg")}
			for range rapid.IntRange(3, 7).Draw(t, "corners") {
				c.Shape = append(c.Shape, plane.Point{X: rapid.Float64Range(-5, 5).Draw(t, "x"), Y: rapid.Float64Range(-5, 5).Draw(t, "y")})
			}
			if c.Shape.Area() < 1e-6 {
				continue
			}
			in.Cells = append(in.Cells, c)
			want += c.ResinKG
		}
		if len(in.Cells) == 0 {
			t.Skip("no cell has an area")
		}
		p, err := Make(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		got := 0.0
		for _, m := range p.Mixes {
			got += m.ResinKG
			if !(m.CatalystG > 0) || math.IsInf(m.CatalystML, 0) || !(m.ChanceLaid >= 0 && m.ChanceLaid <= 1) {
				t.Fatalf("bucket %+v", m)
			}
		}
		if math.Abs(got-want) > 1e-5 {
			t.Fatalf("%g of %g kg", got, want)
		}
	})
}
