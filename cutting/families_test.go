package cutting

import (
	"fmt"
	"sort"
	"testing"
)

// dice is a small generator of its own (SplitMix64), so that the random instances
// are the same everywhere and for ever.
type dice uint64

func (d *dice) roll(lo, hi int) int {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return lo + int((z^z>>31)%uint64(hi-lo+1))
}

func packed(size int, widths []int) Problem {
	n := map[int]int{}
	for _, w := range widths {
		n[w]++
	}
	var keys []int
	for w := range n {
		keys = append(keys, w)
	}
	sort.Sort(sort.Reverse(sort.IntSlice(keys)))
	p := Problem{Stocks: []Stock{{"bar", size, 1, -1}}}
	for i, w := range keys {
		p.Pieces = append(p.Pieces, Piece{fmt.Sprint("p", i+1), w, n[w]})
	}
	return p
}

func uniform(d *dice, n, lo, hi int) []int {
	w := make([]int, n)
	for i := range w {
		w[i] = d.roll(lo, hi)
	}
	return w
}

// triplets are thirds that fill a bar exactly, as Falkenauer (1996) made them.
func triplets(d *dice, bars int) []int {
	var w []int
	for i := 0; i < bars; i++ {
		a := d.roll(380, 490)
		b := d.roll(250, (1000-a)/2)
		w = append(w, a, b, 1000-a-b)
	}
	return w
}

// scholl2 spreads sizes about the middle of bar/per (Scholl, Klein, Jürgens 1997).
func scholl2(d *dice, n, per, spreadPct int) []int {
	mid := 1000 / per
	return uniform(d, n, mid*(100-spreadPct)/100, mid*(100+spreadPct)/100)
}

// demands gives m sizes with random counts (Wäscher, Gau 1996).
func waescher(d *dice, m, size, loPct, hiPct, demand int) []int {
	var w []int
	for i := 0; i < m; i++ {
		x := d.roll(size*loPct/1000+1, size*hiPct/1000)
		for c := d.roll(1, demand); c > 0; c-- {
			w = append(w, x)
		}
	}
	return w
}

// tight are bars filled to within a few millimetres with two to five pieces of very
// different size: like Hard28, the length bound is nearly met.
func tight(d *dice, bars, size, spare int) []int {
	var w []int
	for i := 0; i < bars; i++ {
		room := size
		n := d.roll(2, 4)
		for k := 1; k < n && room > 20; k++ {
			x := d.roll(max(1, room/10), max(2, room*4/5))
			w = append(w, x)
			room -= x
		}
		if last := room; last > 0 {
			w = append(w, last)
		}
	}
	for i := 0; i < spare; i++ {
		if j := d.roll(0, len(w)-1); w[j] > 1 {
			w[j]--
		}
	}
	return w
}

type family struct {
	name string
	make func(d *dice) Problem
}

// families are random instances after the published families.
func families() []family {
	var all []family
	add := func(name string, f func(d *dice) Problem) { all = append(all, family{name, f}) }
	for _, n := range []int{120, 250, 500, 1000} {
		add(fmt.Sprint("falkenauer u", n), func(d *dice) Problem { return packed(150, uniform(d, n, 20, 100)) })
	}
	for _, n := range []int{20, 40, 83, 167} {
		add(fmt.Sprint("falkenauer t", 3*n), func(d *dice) Problem { return packed(1000, triplets(d, n)) })
	}
	for _, n := range []int{50, 100, 200, 500} {
		for _, lo := range []int{1, 20, 30} {
			add(fmt.Sprint("scholl1 n", n, " from ", lo), func(d *dice) Problem {
				return packed(d.roll(0, 2)*20+100+d.roll(0, 1)*10, uniform(d, n, lo, 100))
			})
		}
		for _, per := range []int{3, 5, 7, 9} {
			for _, spread := range []int{20, 50, 90} {
				add(fmt.Sprint("scholl2 n", n, " per ", per, " spread ", spread), func(d *dice) Problem { return packed(1000, scholl2(d, n, per, spread)) })
			}
		}
	}
	add("scholl3", func(d *dice) Problem { return packed(100000, uniform(d, 200, 20000, 35000)) })
	for _, n := range []int{100, 120} {
		add(fmt.Sprint("schwerin ", n), func(d *dice) Problem { return packed(1000, uniform(d, n, 150, 200)) })
	}
	for _, hi := range []int{250, 500, 750, 1000} {
		add(fmt.Sprint("waescher to ", hi), func(d *dice) Problem { return packed(10000, waescher(d, d.roll(20, 60), 10000, 5, hi, 10)) })
	}
	for _, n := range []int{60, 70, 80} {
		for _, spare := range []int{5, 40} {
			add(fmt.Sprint("hard28 like ", n, " spare ", spare), func(d *dice) Problem { return packed(1000, tight(d, n, 1000, spare)) })
		}
		add(fmt.Sprint("hard28 uniform ", n), func(d *dice) Problem { return packed(1000, uniform(d, n*5/2, 1, 800)) })
	}
	return all
}

// boards is an order of board pieces with two board sizes and offcuts in hand.
func boards() SheetProblem {
	d := dice(8)
	p := SheetProblem{
		Sheets: []Sheet{{"large", 2440, 1220, 30, -1}, {"larger", 3000, 1500, 44, -1}, {"offcut", 1200, 900, 1, 2}},
		KerfMM: 3, KeepLengthMM: 400, KeepWidthMM: 300,
	}
	for i := 0; i < 8; i++ {
		p.Panels = append(p.Panels, Panel{fmt.Sprint("p", i+1), d.roll(150, 1200), d.roll(150, 1200), d.roll(1, 5), i%2 == 0})
	}
	return p
}

// TestRandomInstancesOfTheFamilies proves one random instance of each family (home-grown:
// there is no published optimum, but each plan is checked and must meet its bound).
func TestRandomInstancesOfTheFamilies(t *testing.T) {
	repeats := 1
	if *full {
		repeats = 20
	}
	all, proven := 0, 0
	for i, f := range families() {
		if testing.Short() && i%3 != 0 {
			continue
		}
		for r := 0; r < repeats; r++ {
			d := dice(r*1000 + len(f.name))
			p := f.make(&d)
			plan := solve(t, p)
			if all++; plan.Optimal {
				proven++
			} else {
				t.Logf("%s, %d: %v bars, bound %v: %s", f.name, r, plan.Cost, plan.LowerBound, plan.Note)
			}
		}
	}
	t.Logf("%d of %d proven optimal", proven, all)
	if 100*proven < 99*all {
		t.Errorf("only %d of %d proven optimal", proven, all)
	}
}

// TestPricedStockWithOffcuts proves small priced orders with offcuts in hand (home-grown).
func TestPricedStockWithOffcuts(t *testing.T) {
	for r := 0; r < 3; r++ {
		d := dice(r*77 + 15)
		p := Problem{
			Stocks: []Stock{{"2.4", 2400, 7.2, -1}, {"3.6", 3600, 11.3, -1}, {"4.8", 4800, 15.1, -1}, {"6.0", 6000, 18.5, 10},
				{"offcut A", 1700, 1, 2}, {"offcut B", 2100, 1.2, 1}},
			KerfMM: 3, KeepMM: 400,
		}
		for i := 0; i < 15; i++ {
			p.Pieces = append(p.Pieces, Piece{fmt.Sprint("p", i+1), d.roll(300, 2300), d.roll(1, 6)})
		}
		if plan := solve(t, p); !plan.Optimal {
			t.Errorf("%d: %v, bound %v: %s", r, plan.Cost, plan.LowerBound, plan.Note)
		}
	}
}
