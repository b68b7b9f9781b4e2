package mixing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gelwright/cure"
	"gelwright/plane"
)

// A list is parted between gangs into stretches of it, one for each, as even as may be.
func TestAListIsPartedBetweenGangs(t *testing.T) {
	for _, c := range []struct {
		minutes []float64
		gangs   int
		want    string
	}{
		{[]float64{10, 10, 10, 10}, 1, "4"},
		{[]float64{10, 10, 10, 10}, 2, "2 2"},
		{[]float64{10, 10, 10, 10, 10, 10}, 3, "2 2 2"},
		{[]float64{30, 10, 10, 10}, 2, "1 3"},
		{[]float64{100, 1, 1}, 3, "1 1 1"},
		{[]float64{1, 1, 100}, 3, "1 1 1"},
	} {
		items := make([]Detail, len(c.minutes))
		for i, m := range c.minutes {
			items[i] = Detail{Name: fmt.Sprint(i), ManMinutes: m}
		}
		var got []string
		k := 0
		for _, list := range byGang(items, c.gangs) {
			got = append(got, fmt.Sprint(len(list)))
			for _, d := range list {
				if d.Name != fmt.Sprint(k) {
					t.Errorf("%v: item %s comes where %d should", c.minutes, d.Name, k)
				}
				k++
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%v minutes between %d gangs: %v, by hand %s", c.minutes, c.gangs, got, c.want)
		}
	}
}

// A bucket of details, by hand: as many whole ones as come nearest to an even share, as long as the rest goes into the other buckets;
// where no such number is, what still fits is brought forward, of the same work.
func TestWholeDetailsInABucket(t *testing.T) {
	for _, c := range []struct {
		kg   []float64
		of   string
		want string
	}{
		{[]float64{0.5, 0.3, 0.5, 0.2}, "AAAA", "0.5 0.3"}, // 1.5 kg in two buckets: 0.75 each
		{[]float64{0.7, 0.25, 0.45}, "AAA", "0.7"},         // 1.4 kg: 0.7 each
		{[]float64{0.6, 0.55, 0.5, 0.35}, "AAAA", "0.6 0.35"},
		{[]float64{0.6, 0.55, 0.5, 0.35}, "AAAB", "0.6"},
		{[]float64{0.6, 0.55, 0.4, 0.35}, "AAAA", "0.6 0.4"},
		{[]float64{0.6, 0.55, 0.5, 0.4}, "ABAA", "0.6"},
		{[]float64{0.2, 0.2}, "AB", "0.2 0.2"},
		{[]float64{1}, "A", "1"},
		{[]float64{0.5, 0.5, 1}, "ABC", "0.5 0.5"}, // just full
	} {
		p := pouring()
		p.detail = true
		for i, kg := range c.kg {
			p.queue = append(p.queue, stretch{cell: i, kg: kg, m2: 1e-9})
			p.items = append(p.items, Detail{Of: c.of[i : i+1], KG: kg})
			p.in.Cells = append(p.in.Cells, Cell{Name: fmt.Sprint(kg)})
		}
		var got []string
		for _, part := range p.takeWhole(size{kg: 1, m2: 1e9}) {
			got = append(got, part.Name)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%v kg of %s: a bucket of %v, by hand %s", c.kg, c.of, got, c.want)
		}
	}
}

// What is left of a field is shared by itself where that costs no bucket more and is within three tenths of an even share; else the
// bucket goes on into the next field.
func TestWhereABucketLeavesItsField(t *testing.T) {
	for _, c := range []struct {
		first, want float64
	}{
		{1.4, 0.7},     // two of its own and one after it, 0.8 each of all: near enough
		{0.8, 1},       // by itself 1 bucket and 2 for the 1.2 kg after it: one more than the 2 kg need
		{0.7, 0.7},     // 1.7 kg in two: 0.85; 0.7 is near enough
		{0.545, 0.545}, // 1.545 kg: 0.7725, of which 0.3 is 0.2318
		{0.53, 0.765},  // 1.53 kg: 0.765, of which 0.3 is 0.2295: too far off
	} {
		p := pouring()
		p.in.Sessions = []Session{{}}
		next := []float64{0.5, 0.5}
		if c.first == 0.8 {
			next = []float64{0.6, 0.6}
		}
		p.ground = &ground{field: []int{0, 1, 1}}
		for i, kg := range append([]float64{c.first}, next...) {
			y := float64(i)
			p.queue = append(p.queue, stretch{cell: i, kg: kg, m2: 1, shape: oblong(0, y, 1, y+1), toward: plane.Point{X: 1}, joined: true})
			p.in.Cells = append(p.in.Cells, Cell{Name: fmt.Sprint(i)})
			p.pieces = append(p.pieces, piece{of: i})
		}
		got := 0.0
		for _, part := range p.take(size{kg: 1, m2: 1e9}) {
			got += part.KG
		}
		if math.Abs(got-c.want) > 1e-9 {
			t.Errorf("a field of %g kg, then %v: a bucket of %g kg, by hand %g", c.first, next, got, c.want)
		}
	}
	// All that is queued may be within the last bucket of a day.
	p := pouring()
	p.ground = &ground{field: []int{0, 0}}
	p.queue = []stretch{{cell: 0, kg: 0.3}, {cell: 1, kg: 0.4}}
	if got := p.dayJoint(size{kg: 1, m2: 1e9}, 0.5); math.Abs(got-0.7) > 1e-12 {
		t.Errorf("the day ends with %g kg, all 0.7 are within the bucket", got)
	}
}

// The two halves of a cell that is laid from both ends meet at the middle of its longest way off.
func TestWhereTheHalvesMeet(t *testing.T) {
	cells := []Cell{{Shape: oblong(0, 0, 10, 1)}, {Shape: oblong(0, 1, 2, 2)}, {Shape: oblong(8, 1, 9, 2)}, {Shape: oblong(4, -1, 5, 0)}}
	g := &ground{cells: cells, walks: [][]int{{1, 2, 3}, {0}, {0}, {0}}, exit: make([]bool, 4), door: make([]plane.Point, 4),
		at: []plane.Point{{X: 5, Y: 0.5}, {X: 1, Y: 1.5}, {X: 8.5, Y: 1.5}, {X: 4.5, Y: -0.5}}}
	from, to, meet := g.wayOff(0, 1, []int{1, 2, 3, 0}, plane.Point{X: 1})
	if from != 0 || to != 9 || meet != 1 {
		t.Errorf("off between %g and %g m, meeting at %g; by hand 0, 9 and 1", from, to, meet)
	}
	// With nothing left to walk to it is the door, or the middle.
	g.exit[0], g.door[0] = true, plane.Point{X: 7}
	if from, to, meet = g.wayOff(0, 9, []int{1, 2, 3, 0}, plane.Point{X: 1}); from != 7 || to != 7 || meet != 7 {
		t.Errorf("by the door off at %g to %g, %g", from, to, meet)
	}
	g.exit[0] = false
	if from, to, meet = g.wayOff(0, 9, []int{1, 2, 3, 0}, plane.Point{X: 1}); from != 5 || to != 5 || meet != 5 {
		t.Errorf("with no way off at %g to %g, %g", from, to, meet)
	}
}

// Of buckets with the same chance the first is told; a temperature twice at a time is refused.
func TestTiesAndTimes(t *testing.T) {
	p := &Plan{Mixes: []Mix{{Number: 1, ChanceLaid: 0.99}, {Number: 2, ChanceLaid: 0.97}, {Number: 3, ChanceLaid: 0.97}}}
	if r := p.checkChance(""); !strings.Contains(r.Finding, "bucket 2,") {
		t.Errorf("%s", r.Finding)
	}
	p.Mixes[0].ChanceLaid = 0.5
	if r := p.checkChance(""); !strings.Contains(r.Finding, "bucket 1,") {
		t.Errorf("%s", r.Finding)
	}
	for second, ok := range map[float64]bool{480: false, 481: true} {
		if err := checkTemps([]TempAt{{480, 12}, {second, 14}}); (err == nil) != ok {
			t.Errorf("temperatures at 480 and %g min: %v", second, err)
		}
	}
}

// The simple orders go strip by strip, from one side or from the other.
func TestSweepsGoStripByStrip(t *testing.T) {
	var cells []Cell
	for s := range 3 {
		for k := range 2 {
			x, y := float64(3*k), float64(s)
			cells = append(cells, Cell{Name: fmt.Sprint(s, k), Strip: s + 1, Shape: oblong(x, y, x+3, y+1), AreaM2: 3, Along: plane.Point{X: 1}})
		}
	}
	g := survey(cells, []plane.Point{{X: 0, Y: 3}})
	ups, downs, along := 0, 0, map[float64]bool{}
	for _, order := range g.sweepsOf([]int{3, 0, 5, 1, 4, 2}) {
		up, down := true, true
		for _, way := range []float64{1, -1} {
			whole := true
			for k := 1; k < len(order); k++ {
				whole = whole && way*(g.at[order[k]].X-g.at[order[k-1]].X) >= 0
			}
			along[way] = along[way] || whole
		}
		for k := 1; k < len(order); k++ {
			a, b := cells[order[k-1]].Strip, cells[order[k]].Strip
			up, down = up && a <= b, down && a >= b
		}
		if up {
			ups++
		}
		if down {
			downs++
		}
	}
	if !along[1] || !along[-1] {
		t.Errorf("along the strips the orders go %v: from either end is wanted", along)
	}
	if ups < 3 || downs < 3 {
		t.Errorf("%d orders go strip by strip up and %d down: three each are wanted", ups, downs)
	}
}

// Bay by bay: each bay before the next or after it, strip by strip in it, and each strip the way that the bays go.
func TestSweepsGoBayByBay(t *testing.T) {
	var cells []Cell
	var bay, some []int
	for s := range 3 {
		for k := range 4 {
			x, y := float64(3*k), float64(s)
			cells = append(cells, Cell{Name: fmt.Sprint(s, k), Strip: s + 1, Shape: oblong(x, y, x+3, y+1), AreaM2: 3, Along: plane.Point{X: 1}})
			bay, some = append(bay, k/2), append(some, (5*len(some)+3)%12)
		}
	}
	g := survey(cells, []plane.Point{{X: 0, Y: 3}})
	g.bay = bay
	found := map[string]bool{}
	for _, order := range g.sweepsOf(some) {
		for _, way := range []int{1, -1} {
			for _, dir := range []int{1, -1} {
				good := true
				for k := 1; k < len(order); k++ {
					a, b := order[k-1], order[k]
					before := []float64{float64(way * (bay[b] - bay[a])), float64(dir * (cells[b].Strip - cells[a].Strip)),
						float64(way) * (g.at[b].X - g.at[a].X)}
					for _, d := range before {
						if d != 0 {
							good = good && d > 0
							break
						}
					}
				}
				if good {
					found[fmt.Sprint(way, dir)] = true
				}
			}
		}
	}
	if len(found) != 4 {
		t.Errorf("bay by bay the orders go %v: both ways of bays and of strips are wanted", found)
	}
}

// A side is a movement joint's where it runs along it, up to an angle whose sine is 0.05.
func TestWhichSidesAreAJoints(t *testing.T) {
	line := [2]plane.Point{{X: 0, Y: 0}, {X: 5, Y: 0}}
	for sine, want := range map[float64]bool{0: true, 0.0495: true, 0.0515: false} {
		u := plane.Point{X: math.Sqrt(1 - sine*sine), Y: sine}
		p, q := plane.Point{X: 2.5}.Sub(u), plane.Point{X: 2.5}.Add(u)
		if got := between(line, plane.SideBySide{P: p, Q: q, R: q, S: p}, 1, 1); got != want {
			t.Errorf("a side at a sine of %g is the joint's: %v", sine, got)
		}
	}
}

// A strip is laid towards the end where the way off lies, within 2 cm; else from both ends.
func TestTowardsTheWayOff(t *testing.T) {
	for short, stretches := range map[float64]int{0.0195: 1, 0.0207: 2} {
		cells := []Cell{{Shape: oblong(0, 0, 10, 1), Along: plane.Point{X: 1}, AreaM2: 10}, {Shape: oblong(8, 1, 10-short, 2), Along: plane.Point{X: 1}, AreaM2: 2}}
		g := survey(cells, []plane.Point{{X: 9, Y: 2}})
		n := 0
		for _, s := range g.stretches([]int{0, 1}) {
			if s.cell == 0 {
				n++
			}
		}
		if n != stretches {
			t.Errorf("a way off %g m from the end: laid in %d stretches, want %d", short, n, stretches)
		}
	}
}

// A bucket's end is moved to the end of a cell within 15 % of its even share: of 1.5 kg in two buckets, 0.75 kg each, to between
// 0.6375 and 0.8625 kg.
func TestABucketSnapsToACell(t *testing.T) {
	for first, want := range map[float64]float64{0.635: 0.75, 0.64: 0.64, 0.86: 0.86, 0.866: 0.75} {
		p := pouring()
		p.in.Sessions, p.ground = []Session{{}}, &ground{}
		for i, kg := range []float64{first, 1.5 - first} {
			p.queue = append(p.queue, stretch{cell: i, kg: kg, m2: 1, shape: oblong(0, float64(i), 1, float64(i+1)), toward: plane.Point{X: 1}, joined: true})
			p.in.Cells, p.pieces = append(p.in.Cells, Cell{}), append(p.pieces, piece{of: i})
		}
		got := 0.0
		for _, part := range p.take(size{kg: 1, m2: 1e9}) {
			got += part.KG
		}
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("a cell of %g kg: a bucket of %g kg, by hand %g", first, got, want)
		}
	}
}

// Two buckets, each as likely in time as not, of which half the variance is common: both are with 1/4 + asin(1/2)/2π = 1/3 (Sheppard
// 1899, the orthant of two correlated normal numbers).
func TestHowBucketsOfADayHangTogether(t *testing.T) {
	const paceCV = 0.2
	gel := cure.Range{LowMin: 20, LikelyMin: 30, HighMin: 45}
	laying := gel.LikelyMin * math.Sqrt(1+paceCV*paceCV)
	p := &Plan{Mixes: []Mix{{Day: 1, LayingMin: laying, Gel: gel}, {Day: 1, LayingMin: laying, Gel: gel}}}
	p.chances(paceCV)
	if math.Abs(p.ChanceDay-1./3) > 0.002 || math.Abs(p.Mixes[0].ChanceLaid-0.5) > 0.002 {
		t.Errorf("one bucket %.4f, both %.4f: by hand 0.5 and 0.3333", p.Mixes[0].ChanceLaid, p.ChanceDay)
	}
}

// What no crew, detail or hour is: the bounds themselves are refused, and the fault names which.
func TestWhatNoCrewIs(t *testing.T) {
	for pace, ok := range map[float64]bool{0.1: false, 0.11: true, 99: true, 100: false} {
		if _, err := (Crew{People: 2, LayM2PerManHour: pace, MarginMin: 5, CapKG: 6}).filled(); (err == nil) != ok {
			t.Errorf("%g m² a man-hour: %v", pace, err)
		}
	}
	if err := checkTemps([]TempAt{{480, 12}, {480, 14}}); err == nil || !strings.Contains(err.Error(), "temperature 2 ") {
		t.Errorf("the fault is %v", err)
	}
	if ReadyMin([]Detail{{KG: 1, ManMinutes: 5}}, 0, 1) != 0 {
		t.Error("nothing is mixed in buckets of nothing")
	}
}

// Different sets of cells are told apart, also where they need more than a byte.
func TestSetsAreToldApart(t *testing.T) {
	const n = 10
	seen := map[string]int{}
	for set := range 1 << n {
		laid := make([]bool, n)
		for i := range laid {
			laid[i] = set>>i&1 == 1
		}
		key := string(appendSet(nil, laid))
		if other, twice := seen[key]; twice {
			t.Fatalf("sets %b and %b are one", other, set)
		}
		seen[key] = set
	}
}
