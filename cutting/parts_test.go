package cutting

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// someOrder is a small order from one to three kinds of bar, some few in hand.
func someOrder(t *rapid.T) *order {
	p := Problem{}
	for k, n := 0, rapid.IntRange(1, 3).Draw(t, "kinds"); k < n; k++ {
		p.Stocks = append(p.Stocks, Stock{fmt.Sprint("bar ", k), rapid.IntRange(20, 60).Draw(t, "bar"), float64(rapid.IntRange(1, 40).Draw(t, "cost")),
			rapid.SampledFrom([]int{-1, 2, 5}).Draw(t, "in hand")})
	}
	p.Stocks[0].LengthMM, p.Stocks[0].Available = 60, -1
	for i, n := 0, rapid.IntRange(1, 5).Draw(t, "sizes"); i < n; i++ {
		p.Pieces = append(p.Pieces, Piece{"p", rapid.IntRange(5, 30).Draw(t, "piece"), rapid.IntRange(1, 4).Draw(t, "count")})
	}
	o := plain(p)
	return &o
}

// fillings lists every way to fill a bar of a size with pieces of an order.
func fillings(o *order, d []int, size int) [][]int {
	var out [][]int
	a := make([]int, len(o.w))
	var walk func(i, room int)
	walk = func(i, room int) {
		if i == len(o.w) {
			out = append(out, slices.Clone(a))
			return
		}
		for n := 0; n <= d[i] && n*o.w[i] <= room; n++ {
			a[i] = n
			walk(i+1, room-n*o.w[i])
		}
		a[i] = 0
	}
	walk(0, size)
	return out
}

// The patterns that are listed are all those that no further piece fits and that are worth what is needed, however they are bounded.
func TestListedPatternsAgainstTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := someOrder(t)
		d := slices.Clone(o.d)
		d[rapid.IntRange(0, len(d)-1).Draw(t, "laid already")] = 0
		e := &enumeration{o: o, d: d, limit: 1 << 30, steps: 1 << 30}
		for range o.w {
			e.pi = append(e.pi, int64(rapid.IntRange(0, 30).Draw(t, "worth")))
		}
		need := int64(rapid.IntRange(0, 60).Draw(t, "need"))
		k := rapid.IntRange(0, len(o.cap)-1).Draw(t, "kind")
		var want []string
		for _, a := range fillings(o, d, o.cap[k]) {
			room, worth, more := o.cap[k], int64(0), false
			for i, n := range a {
				room, worth = room-n*o.w[i], worth+int64(n)*e.pi[i]
			}
			for i, n := range a {
				more = more || n < d[i] && o.w[i] <= room
			}
			if !more && worth >= need {
				want = append(want, fmt.Sprint(a))
			}
		}
		slices.Sort(want)
		e.prepare()
		for _, how := range []string{"by the table", "by sizes", "by bounds"} {
			switch how {
			case "by sizes":
				e.table = nil
			case "by bounds":
				e.after = nil
			}
			e.out = nil
			e.walk(k, 0, o.cap[k], need, make([]int, len(o.w)))
			var got []string
			for _, p := range e.out {
				a := make([]int, len(o.w))
				for t, i := range p.at {
					a[i] = int(p.num[t])
				}
				got = append(got, fmt.Sprint(a))
			}
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Fatalf("%s, worth %v, need %d, sizes %v of %v in %d: %v, want %v", how, e.pi, need, o.w, d, o.cap[k], got, want)
			}
		}
	})
}

// Two pieces of half a bar are one pattern, worth twice one of them; a listing stops after its steps.
func TestListedPatternsByHand(t *testing.T) {
	e := &enumeration{o: &order{w: []int{10}, cap: []int{20}}, d: []int{2}, pi: []int64{5}, limit: 10, steps: 10}
	e.prepare()
	if e.walk(0, 0, 20, 10, []int{0}); len(e.out) != 1 || e.out[0].num[0] != 2 || e.steps >= 10 || e.steps <= 0 {
		t.Errorf("%+v, %d steps left", e.out, e.steps)
	}
	e = &enumeration{o: &order{w: []int{9, 7, 5}, cap: []int{60}}, d: []int{4, 4, 4}, pi: []int64{0, 0, 0}, limit: 1000, steps: 5}
	e.prepare()
	if e.walk(0, 0, 60, 0, make([]int, 3)); e.steps != 0 {
		t.Errorf("%d of 5 steps are left", e.steps)
	}
	e.out, e.steps, e.limit = nil, 1000, 2
	if e.walk(0, 0, 60, 0, make([]int, 3)); len(e.out) != 3 {
		t.Errorf("%d patterns are listed: one more than the limit tells that there are more", len(e.out))
	}
}

// Fillings that are offered are for each size the most valuable in which it is the longest, as far as worth more than the floor.
func TestOffersAgainstTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := someOrder(t)
		size, floor := o.cap[0], int64(rapid.IntRange(0, 60).Draw(t, "floor"))
		var v []int64
		for range o.w {
			v = append(v, int64(rapid.IntRange(0, 30).Draw(t, "worth")))
		}
		best := map[int]int64{}
		for _, a := range fillings(o, o.d, size) {
			longest, worth := slices.IndexFunc(a, func(n int) bool { return n > 0 }), int64(0)
			for i, n := range a {
				worth += int64(n) * v[i]
			}
			if longest >= 0 && v[longest] > 0 && worth > floor {
				best[longest] = max(best[longest], worth)
			}
		}
		got := solveFew(o.w, v, o.d, fitsFrom(o.w, size), floor)
		if len(got) != len(best) {
			t.Fatalf("%d offers, want %v", len(got), best)
		}
		for _, f := range got {
			longest, room, worth := slices.IndexFunc(f.a, func(n int) bool { return n > 0 }), size, int64(0)
			for i, n := range f.a {
				room, worth = room-n*o.w[i], worth+int64(n)*v[i]
				if n > o.d[i] {
					t.Fatalf("%v takes more than %v", f.a, o.d)
				}
			}
			if room < 0 || worth != f.value || f.value != best[longest] {
				t.Fatalf("%v worth %d leaves %d, want %v", f, worth, room, best)
			}
		}
	})
}

// Surplus pieces are taken out until each size is cut as often as wanted, and no bar is left empty; then bars are as cheap as their
// pieces allow, and no more are used than there are.
func TestPlansAreTrimmedAndCheapened(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := someOrder(t)
		all := fillings(o, o.d, o.cap[0])
		var uses []use
		cut := make([]int, len(o.w))
		for range 20 {
			a := all[rapid.IntRange(0, len(all)-1).Draw(t, "filling")]
			times := rapid.IntRange(1, 3).Draw(t, "times")
			uses = append(uses, use{o.sparse(0, a), times})
			for i, n := range a {
				cut[i] += n * times
			}
		}
		for i, n := range cut { // what is still short, each in bars of its own
			if n < o.d[i] {
				a := make([]int, len(o.w))
				a[i] = 1
				uses = append(uses, use{o.sparse(0, a), o.d[i] - n})
			}
		}
		counted := func(uses []use) (cut []int, left []int) {
			cut, left = make([]int, len(o.w)), slices.Clone(o.avail)
			for _, u := range uses {
				if u.times < 1 || len(u.at) == 0 || o.filled(u.pattern) > o.cap[u.k] {
					t.Fatalf("%+v", u)
				}
				left[u.k] -= u.times
				for t, i := range u.at {
					cut[i] += int(u.num[t]) * u.times
				}
			}
			return cut, left
		}
		trimmed := o.trim(slices.Clone(uses))
		if cut, _ := counted(trimmed); !slices.Equal(cut, o.d) {
			t.Fatalf("%v are cut, %v wanted", cut, o.d)
		}
		before := o.costOf(trimmed)
		cheap := o.cheapen(slices.Clone(trimmed))
		cut, left := counted(cheap)
		if !slices.Equal(cut, o.d) || o.costOf(cheap) > before {
			t.Fatalf("%v are cut at %d, %v wanted at no more than %d", cut, o.costOf(cheap), o.d, before)
		}
		for k := range left {
			if left[k] < 0 && k > 0 {
				t.Fatalf("%d bars %d too many", -left[k], k)
			}
		}
		for _, u := range cheap {
			for k, size := range o.cap {
				if size >= o.filled(u.pattern) && o.cost[k] < o.cost[u.k] && left[k] > 0 {
					t.Fatalf("%+v lies in a bar %d, and there are %d cheaper ones %d", u, u.k, left[k], k)
				}
			}
		}
	})
}

// A bar is filled as far as the pieces of two allow.
func TestFullestAgainstTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := &order{}
		var pieces []int
		for i, n := 0, rapid.IntRange(1, 9).Draw(t, "pieces"); i < n; i++ {
			o.w = append(o.w, rapid.IntRange(1, 90).Draw(t, "piece"))
			pieces = append(pieces, i)
		}
		size := rapid.IntRange(1, 300).Draw(t, "bar")
		want := 0
		for set := range 1 << len(pieces) {
			sum := 0
			for i := range pieces {
				if set>>i&1 == 1 {
					sum += o.w[i]
				}
			}
			if sum <= size {
				want = max(want, sum)
			}
		}
		g := &gatherer{o: o}
		for range 2 { // its scratch is used again
			in, got := g.fullest(pieces, size)
			sum := 0
			for i, x := range in {
				if x {
					sum += o.w[i]
				}
			}
			if got != want || sum != want {
				t.Fatalf("%v in %d: %d by %v, want %d", o.w, size, got, in, want)
			}
		}
	})
}

// The cheapest bar that holds so much, of as cheap ones the shortest, of alike ones the first.
func TestBestStock(t *testing.T) {
	o := &order{cap: []int{30, 20, 25, 25}, cost: []int64{5, 9, 5, 5}}
	for _, c := range []struct {
		filled int
		left   []int
		want   int
	}{
		{10, []int{1, 1, 1, 1}, 2}, {25, []int{1, 1, 1, 1}, 2}, {26, []int{1, 1, 1, 1}, 0}, {31, []int{1, 1, 1, 1}, -1}, {20, []int{0, 1, 0, 0}, 1},
		{21, []int{0, 1, 0, 0}, -1}, {10, []int{0, 1, 0, 2}, 3},
	} {
		if got := o.bestStockFor(c.filled, c.left); got != c.want {
			t.Errorf("%d with %v in hand: bar %d, want %d", c.filled, c.left, got, c.want)
		}
	}
}
