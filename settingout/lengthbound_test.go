package settingout

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gelwright/plane"
)

// plainBay is a rectangle on joists from its edge on.
func plainBay(long, high, spacing float64) ([]bay, grid) {
	return []bay{{plane.Region{plane.RingOf(plane.Point{}, plane.Point{X: long}, plane.Point{X: long, Y: high}, plane.Point{Y: high}).Chords(0.001)}}},
		grid{spacing: spacing, play: 0.002, width: 0.047}
}

// Worked by hand for boards of 2.4 by 1.2 m that lie 3 mm apart and lose 3 mm to the saw. On joists 450 mm apart a board gives
// five spacings at most: 9 m are 20 spacings, four boards, where by area 3.75 would do; on joists 600 mm apart four boards are
// 9.6 m, and 6.6 m are 2.75 boards, nothing lost.
func TestLengthBoundByHand(t *testing.T) {
	r, err := rulesFor(usualSpec().Board, 3)
	if err != nil {
		t.Fatal(err)
	}
	const high = 60.0
	rows := (high - r.gap - 2*sliverM) / (r.width + 0.003)
	for _, c := range []struct{ long, spacing, boards float64 }{{9, 0.45, 4}, {2.25, 0.45, 1}, {9.6, 0.6, 4}, {6.6, 0.6, 2.75}, {1.2, 0.6, 0.5}} {
		bays, g := plainBay(c.long, high, c.spacing)
		got, want := boardsFor(lengthBound(context.Background(), bays, g, r, math.MaxInt)), boardsFor(rows*c.boards)
		if got != want {
			t.Errorf("%g m on joists %g m apart: %d boards, by hand %d", c.long, c.spacing, got, want)
		}
	}
}

// leastCut is the least number of boards for a row laid n times, all ways to divide it and all ways to cut
// the pieces tried: for small numbers.
func leastCut(lengths [][]int, n, length, kerf int) int {
	best := math.MaxInt
	var pack func(pieces []int, room []int)
	pack = func(pieces, room []int) {
		if len(room) >= best {
			return
		}
		if len(pieces) == 0 {
			best = len(room)
			return
		}
		tried := map[int]bool{}
		for i, left := range room {
			if left >= pieces[0] && !tried[left] {
				tried[left] = true
				room[i] -= pieces[0] + kerf
				pack(pieces[1:], room)
				room[i] += pieces[0] + kerf
			}
		}
		pack(pieces[1:], append(slices.Clone(room), length-pieces[0]-kerf))
	}
	var choose func(from, left int, pieces []int)
	choose = func(from, left int, pieces []int) {
		if left == 0 {
			sorted := slices.Clone(pieces)
			slices.Sort(sorted)
			slices.Reverse(sorted)
			pack(sorted, nil)
			return
		}
		for i := from; i < len(lengths); i++ {
			choose(i, left-1, append(slices.Clip(pieces), lengths[i]...))
		}
	}
	choose(0, n, nil)
	return best
}

// The bound is not above what n rows of a board's width take that are divided and cut in the best of all ways, and is
// met where a whole number of boards lets it.
func TestLengthBoundIsBelowEveryCut(t *testing.T) {
	r, err := rulesFor(usualSpec().Board, 3)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 4))
	met := 0
	for range 20 {
		long, spacing := math.Round((1+2*random.Float64())*100)/100, []float64{0.4, 0.45, 0.6}[random.IntN(3)]
		const n = 2
		bays, g := plainBay(long, float64(n)*r.pitch-r.gap, spacing)
		bound := boardsFor(lengthBound(context.Background(), bays, g, r, math.MaxInt))
		var ways [][]int
		var part func(at float64, pieces []int)
		part = func(at float64, pieces []int) {
			if long-at <= r.length {
				ways = append(ways, append(slices.Clip(pieces), upMM(long-at)))
			}
			for _, x := range g.within(at+0.2, min(at+r.length+r.gap/2, long-0.05)) {
				if x-r.gap/2-at <= r.length {
					part(x+r.gap/2, append(slices.Clip(pieces), upMM(x-r.gap/2-at)))
				}
			}
		}
		part(0, nil)
		least := leastCut(ways, n, 2400, 3)
		if bound > least {
			t.Errorf("%g m, joists %g m apart, %d rows: bound %d, %d boards do", long, spacing, n, bound, least)
		}
		if bound == least {
			met++
		}
	}
	if met < 10 {
		t.Errorf("met %d times of 20", met)
	}
}

// Sections are the deck: their area is its own but for what the gaps may take, from whichever side.
func TestSectionsAreTheDeck(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for k := range 30 {
		w, err := begin(randomRoof(random, k), usualSpec(), Given{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range s.frames {
			area, lost := 0.0, 0.0
			for _, c := range sectionsOf(v.local, s.r) {
				area += (c.b - c.a) * c.high
				lost += (c.b - c.a) * (s.r.gap + 2*sliverM)
			}
			if area > s.areaM2 || k%5 != 4 && area < s.areaM2-lost-1e-3 {
				t.Errorf("roof %d: sections of %.3f m², deck %.3f", k, area, s.areaM2)
			}
		}
	}
}

// Every offset in whole millimetres has one that stands for it: the same strips, and whatever fits beside
// another on a board at it fits there.
func TestEveryOffsetIsStoodFor(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for k := range 20 {
		w, err := begin(randomRoof(random, k), usualSpec(), Given{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := newBoardSearch(w.d, w.spec, w.net, w.z)
		if err != nil {
			t.Fatal(err)
		}
		v := s.canonical()[0]
		origin := lattices(v.local, s.lines, v.f, s.r.pitch, 0, false)
		offsets, _ := workingOffsets(v.local, origin, s.r)
		o := newOffsetScan(v.local, s.r)
		type seen struct {
			order []int
			set   []uint64
		}
		var stands []seen
		for _, offset := range offsets {
			o.at(shifted(origin, offset))
			stands = append(stands, seen{slices.Clone(o.order), o.fits()})
		}
		for mm := range int(math.Round(1000 * s.r.pitch)) {
			o.at(shifted(origin, float64(mm)/1000))
			set := o.fits()
			if !slices.ContainsFunc(stands, func(x seen) bool { return slices.Equal(x.order, o.order) && heldBy(set, x.set) }) {
				t.Fatalf("roof %d: nothing stands for %d mm", k, mm)
			}
		}
	}
}
