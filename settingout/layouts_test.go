package settingout

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"gelwright/plane"
	"gelwright/roof"
)

// randomRoof draws a rectangle, an L, a T, a U or a trapezium on joists, with up to four openings.
func randomRoof(r *rand.Rand, k int) roof.Deck {
	p := func(x, y float64) plane.Point { return plane.Point{X: x, Y: y} }
	mm := func(low, high float64) float64 { return math.Round((low+(high-low)*r.Float64())*100) / 100 }
	scale := 0.8 + 2.2*r.Float64()*r.Float64()
	w, h := mm(2.4, 9)*scale, mm(1.8, 6)*scale
	w, h = math.Round(w*100)/100, math.Round(h*100)/100
	a, b := math.Round(w*(30+30*r.Float64()))/100, math.Round(h*(30+30*r.Float64()))/100
	var ring plane.Ring
	switch k % 5 {
	case 1:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(a, b), p(a, h), p(0, h))
	case 2:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, b), p(w-a/2, b), p(w-a/2, h), p(a/2, h), p(a/2, b), p(0, b))
	case 3:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(w-a/2, h), p(w-a/2, b), p(a/2, b), p(a/2, h), p(0, h))
	case 4:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w-a/2, h), p(a/3, h))
	default:
		ring = plane.RingOf(p(0, 0), p(w, 0), p(w, h), p(0, h))
	}
	d := roof.Deck{Name: "random", Outline: ring}
	for i := range ring {
		c := roof.Kerb
		if i == 2 {
			c = roof.Drip
		}
		d.Edges = append(d.Edges, roof.Edge{Condition: c, HeightMM: 150})
	}
	inside := plane.Region{ring.Chords(chordToleranceM)}
	for n := r.IntN(5); n > 0; n-- {
		x, y, l, m := mm(0.3, w-1.3), mm(0.3, h-1.3), mm(0.45, 1), mm(0.45, 1)
		o := plane.Rectangle(x, y, x+l, y+m)
		ok := x > 0 && y > 0
		for _, q := range o {
			ok = ok && inside.Contains(q.Point)
		}
		for _, e := range d.Openings {
			lo, hi := e.Outline.Bounds()
			ok = ok && (x > hi.X+0.3 || lo.X > x+l+0.3 || y > hi.Y+0.3 || lo.Y > y+m+0.3)
		}
		for _, c := range ring {
			ok = ok && (c.Point.X < x-0.2 || c.Point.X > x+l+0.2 || c.Point.Y < y-0.2 || c.Point.Y > y+m+0.2)
		}
		if ok {
			d.Openings = append(d.Openings, roof.Opening{Name: fmt.Sprint("RL", n), Kind: "rooflight", KerbMM: 150, Outline: o})
		}
	}
	d.Base = roof.Base{Kind: "joists", JoistSpacingMM: []float64{400, 450, 600}[r.IntN(3)], JoistWidthMM: 47,
		JoistBearingDeg: []float64{0, 90}[r.IntN(2)]}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 60}}}
	return d
}

// usualSpec is one layer of mat on 2.4 × 1.2 m square-edged boards.
func usualSpec() roof.Spec {
	return roof.Spec{Layers: []float64{450}, Board: roof.Board{Material: "OSB/3", ThicknessMM: 18, LengthM: 2.4, WidthM: 1.2, GapMM: 3,
		WallGapMM: 10,
		MinPieceM: 0.3, StaggerM: 0.4, EdgeFixMM: 150, FieldFixMM: 300}}
}

// boarded searches the boards of a deck.
func boarded(t *testing.T, d roof.Deck, spec roof.Spec) *work {
	t.Helper()
	w, err := begin(d, spec, Given{})
	if err == nil {
		err = w.search(context.Background(), nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	return &w
}

// leastOnGrid is the least number of boards with row start and offset fixed by hand on
// a grid, rules kept as well as in the plan, and where.
func leastOnGrid(t *testing.T, d roof.Deck, spec roof.Spec, than *boarding, stepM float64) (int, string) {
	least, at := than.count, ""
	for _, corner := range []string{"sw", "se", "nw", "ne"} {
		for k := 0; float64(k)*stepM < spec.Board.WidthM-1e-9; k++ {
			offset := float64(k) * stepM
			pinned := spec
			pinned.SetOut.BoardStart, pinned.SetOut.BoardOffsetM = corner, &offset
			if b := &boarded(t, d, pinned).boards; b.count < least && b.broken.total() <= than.broken.total() {
				least, at = b.count, fmt.Sprintf("%s %.2f m", corner, offset)
			}
		}
	}
	return least, at
}

// No row start and offset on a 5 cm grid takes fewer boards than the search finds. The
// numbers of the roofs named here were one higher while only the offsets met most were
// tried, rows were laid from one end alone, or what joins badly at first was dropped before it was improved. The
// whole bench takes all of a hundred roofs.
func TestNoOffsetByHandBeatsTheSearch(t *testing.T) {
	t.Parallel()
	known := map[int]int{6: 5, 11: 13, 18: 20, 19: 18, 43: 29, 45: 13, 52: 8, 58: 4, 90: 29}
	r := rand.New(rand.NewPCG(1, 2))
	boards, byArea, bound, beaten, proven := 0, 0, 0, 0, 0
	var sums sync.Mutex
	one := func(t *testing.T, d roof.Deck, k int) {
		want, named := known[k]
		w := boarded(t, d, usualSpec())
		b := &w.boards
		less := false
		if !testing.Short() && b.count > b.least {
			n, at := leastOnGrid(t, d, usualSpec(), b, 0.05)
			if less = n < b.count; less {
				t.Logf("%d boards, %d from %s", b.count, n, at)
			}
		}
		if named && b.count > want {
			t.Errorf("%d boards, %d do", b.count, want)
		}
		if b.count < b.leastByArea || b.broken.total() == 0 && b.count < b.least {
			t.Errorf("%d boards, at least %d by area and %d by the lengths along the rows", b.count, b.leastByArea, b.least)
		}
		sums.Lock()
		defer sums.Unlock()
		boards, byArea, bound = boards+b.count, byArea+b.leastByArea, bound+b.least
		if b.count == b.least {
			proven++
		}
		if less {
			beaten++
		}
	}
	t.Run("roofs", func(t *testing.T) {
		for k := range 100 {
			d := randomRoof(r, k)
			if _, named := known[k]; testing.Short() && !named {
				continue
			}
			t.Run(fmt.Sprint(k), func(t *testing.T) {
				t.Parallel()
				one(t, d, k)
			})
		}
	})
	above := func(n int) float64 { return 100 * float64(boards-n) / float64(n) }
	t.Logf("%d boards, by area at least %d, %.1f %% above; by the lengths %d, %.1f %% above; least of all layouts on %d; beaten on %d",
		boards, byArea, above(byArea), bound, above(bound), proven, beaten)
	if beaten > 0 {
		t.Errorf("an offset by hand takes fewer boards on %d roofs", beaten)
	}
}

// The roof that showed it: 8 boards were called the least, 7 do from the south-west.
func TestSevenBoardsForThreeRooflights(t *testing.T) {
	d := roof.Deck{Name: "three rooflights", Outline: plane.Rectangle(0, 0, 5.55, 3.43)}
	for _, c := range []roof.Condition{roof.Kerb, roof.Kerb, roof.Drip, roof.Kerb} {
		d.Edges = append(d.Edges, roof.Edge{Condition: c, HeightMM: 150})
	}
	for i, o := range [][4]float64{{1.4, 2.61, 2.33, 3.07}, {0.83, 0.65, 1.29, 1.33}, {2.17, 1.11, 3.07, 1.52}} {
		d.Openings = append(d.Openings, roof.Opening{Name: fmt.Sprint("RL", i+1), Kind: "rooflight", KerbMM: 150,
			Outline: plane.Rectangle(o[0], o[1], o[2], o[3])})
	}
	d.Base = roof.Base{Kind: "joists", JoistSpacingMM: 450, JoistWidthMM: 47, JoistBearingDeg: 90}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 60}}}
	spec := usualSpec()
	spec.Board.LengthM, spec.Board.WidthM = 2.44, 1.22
	if b := boarded(t, d, spec).boards; b.count != 7 || b.broken.total() != 0 {
		t.Errorf("%d boards, broken %+v", b.count, b.broken)
	}
}

// Parted rows have a line on each corner they are parted at, fill the deck but for the gaps
// between boards, and none of them is too narrow to lay for no need.
func TestPartedRowsFillTheDeck(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	met := 0
	for k := range 20 {
		w, err := begin(randomRoof(r, k), usualSpec(), Given{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		v := s.frames[0]
		low, high := v.local[0].region.Bounds()
		for _, rows := range partedRows(v.local, s.r) {
			met++
			area, bare, at := 0.0, 0.0, low.Y
			for _, c := range rows {
				if c.v0-at > s.r.gap+1e-6 || c.v0 < at-1e-9 || c.v1-c.v0 > s.r.width+1e-9 {
					t.Fatalf("roof %d: a row from %.4f to %.4f m after %.4f", k, c.v0, c.v1, at)
				}
				bare += (c.v0 - at) * (high.X - low.X)
				at = c.v1
				for _, u := range c.runs {
					area += u.shape.Area()
				}
			}
			if high.Y-at > 0.003 || area > s.areaM2+1e-6 || area < s.areaM2-bare-0.003*(high.X-low.X) {
				t.Errorf("roof %d: rows of %.4f m² up to %.3f of %.3f m, the deck has %.4f", k, area, at, high.Y, s.areaM2)
			}
		}
	}
	if met < 100 {
		t.Errorf("only %d ways met", met)
	}
}

// No strip of board is narrower than the least, where the deck leaves a choice: one of 1 mm beside
// a notch was laid.
func TestNoStripUnderTheLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for k := range 62 {
		d := randomRoof(r, k)
		if k != 31 && k != 42 && k != 51 && k != 61 {
			continue
		}
		b := boarded(t, d, usualSpec()).boards
		for _, s := range b.sheets {
			if s.narrow() && b.broken.narrow == 0 {
				t.Errorf("roof %d: a strip of %.0f by %.0f mm", k, 1000*(s.high.X-s.low.X), 1000*(s.high.Y-s.low.Y))
			}
		}
	}
}

// The bound of a lattice's rows is below what its rows take, whatever their joints.
func TestRowBoundIsBelowEveryLaying(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	tight := 0
	for k := range 25 {
		d := randomRoof(r, k)
		w, err := begin(d, usualSpec(), Given{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		v := s.frames[0]
		offsets, bounds := workingOffsets(v.local, lattices(v.local, s.lines, v.f, s.r.pitch, 0, false), s.r)
		for i, offset := range offsets[:3] {
			b := s.boarding(v, offset, false)
			bound := max(bounds[i], rowBound(b.rows, s.r))
			if err := s.join(context.Background(), &b, 3); err != nil {
				t.Fatal(err)
			}
			s.cut(context.Background(), &b)
			if b.count < boardsFor(bound) {
				t.Errorf("roof %d at %.3f m: %d boards, bound %.4f", k, offset, b.count, bound)
			}
			if b.count == boardsFor(bound) {
				tight++
			}
		}
	}
	// A bound that is never met would be of no use.
	if tight < 5 {
		t.Errorf("the bound is met %d times of 75", tight)
	}
}

// A whole board lies at the drip and the ripping at the wall, from whichever side.
func TestWholeBoardAtTheDrip(t *testing.T) {
	for _, drip := range []int{0, 2} {
		d := roof.Deck{Name: "drip", Outline: plane.Rectangle(0, 0, 4.8, 3.1)}
		for i := range 4 {
			c := roof.Wall
			if i == drip {
				c = roof.Drip
			}
			d.Edges = append(d.Edges, roof.Edge{Condition: c, HeightMM: 150})
		}
		d.Base = roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistWidthMM: 47, JoistBearingDeg: 90}
		down := plane.Point{Y: float64(drip) - 1}
		d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: down, Ratio: 60}}}
		w := boarded(t, d, usualSpec())
		if b := &w.boards; b.ripM > 0 || len(b.rows) != 3 {
			t.Errorf("drip on edge %d: %.2f m of ripped board along it, %d rows", drip, b.ripM, len(b.rows))
		}
	}
}

// What takes fewer boards but breaks a rule says which and where, and how to have it; had,
// the plan says the same.
func TestRejectedLayoutSaysWhyAndCanBeHad(t *testing.T) {
	d := roof.Deck{Name: "strip", Outline: plane.Rectangle(0, 0, 12, 2.52)}
	for range 4 {
		d.Edges = append(d.Edges, roof.Edge{Condition: roof.Drip})
	}
	d.Base = roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistWidthMM: 47, JoistBearingDeg: 90}
	d.Falls = plane.Falls{Kind: plane.OneWay, Planes: []plane.FallPlane{{Down: plane.Point{Y: 1}, Ratio: 60}}}
	w := boarded(t, d, usualSpec())
	chosen, other := w.tried[0], Candidate{}
	for _, c := range w.tried[1:] {
		if c.Items < chosen.Items {
			other = c
			break
		}
	}
	if len(other.Breaks) == 0 || !strings.Contains(other.Breaks[0], "row 3 from the") || !strings.Contains(other.Breaks[0], "114 mm wide") {
		t.Fatalf("chosen %+v, rejected %+v", chosen, other)
	}
	if told := (Choice{Candidates: w.tried}).FewerIfBroken(); !strings.HasPrefix(told, "11 boards would do") || !strings.HasSuffix(told, other.Pin) {
		t.Errorf("told %q", told)
	}
	if !strings.Contains(other.Pin, "board_offset_m: 0}") || !strings.Contains(fewerIfBroken(w.tried), other.Pin) {
		t.Errorf("pin %q, told %q", other.Pin, fewerIfBroken(w.tried))
	}
	var corner string
	if _, err := fmt.Sscanf(other.Pin[strings.Index(other.Pin, "board_start: "):], "board_start: %2s", &corner); err != nil {
		t.Fatal(err)
	}
	spec, zero := usualSpec(), 0.0
	spec.SetOut.BoardStart, spec.SetOut.BoardOffsetM = corner, &zero
	s, err := Make(context.Background(), d, spec)
	if err != nil {
		t.Fatal(err)
	}
	said := false
	for _, f := range s.Findings {
		said = said || f.Code == "board.narrow" && strings.Contains(f.Text, "row 3 from the")
	}
	if !said || s.Materials[0].Items != other.Items {
		t.Errorf("%d boards, %v", s.Materials[0].Items, s.Findings)
	}
}
