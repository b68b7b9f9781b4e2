package programme

import (
	"cmp"
	"context"
	"math/bits"
	"slices"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"

	"gelwright/weather"
)

// invented draws a small programme: stages with random lags, films whose marks are
// reached after random times, and random sets of allowed quarters.
func invented(t *rapid.T) *Prepared {
	n := rapid.IntRange(12, 26).Draw(t, "quarters")
	members := rapid.IntRange(1, 5).Draw(t, "members")
	stages := rapid.IntRange(1, 4).Draw(t, "stages")
	p := &Prepared{n: n, start: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), full: ^uint64(0) >> (64 - members), common: &Common{}, nexts: map[nextKey][][]int32{}, bareFrom: -1}
	p.in = Input{Members: make([][]weather.Moment, members), Target: 0.9, Hours: Hours{StartMin: 0, EndMin: 24 * 60}}
	p.calendar()
	p.stages = make([]prepared, stages)
	for i := range stages {
		s := Stage{Name: string(rune('a' + i)), Quarters: rapid.IntRange(1, 3).Draw(t, "work"), Divisible: rapid.Bool().Draw(t, "divisible")}
		c := &class{ok: make([]uint64, n)}
		for q := range n {
			c.ok[q] = rapid.Uint64().Draw(t, "ok") & p.full
			if rapid.Bool().Draw(t, "fine") {
				c.ok[q] = p.full
			}
		}
		p.class = append(p.class, c)
		d := &p.stages[i]
		d.class, d.lead, d.variants = i, -1, 1
		if i > 0 {
			s.Join.LeastMin = 15 * float64(rapid.IntRange(0, 2).Draw(t, "least"))
			if p.stages[i-1].film != nil {
				s.Join.Least = rapid.SampledFrom([]Mark{None, Walk}).Draw(t, "mark")
				s.Join.Most = rapid.SampledFrom([]Mark{None, OverCoatUntil}).Draw(t, "until")
			} else if rapid.Bool().Draw(t, "bounded") {
				s.Join.MostMin = 15 * float64(rapid.IntRange(1, 4).Draw(t, "most"))
			}
			if rapid.Bool().Draw(t, "again") {
				s.Again, s.AgainQuarters, s.AgainWhy = &Lag{LeastMin: 15 * float64(rapid.IntRange(0, 3).Draw(t, "after"))}, rapid.IntRange(0, 2).Draw(t, "extra"), "again"
				d.variants, s.NotAlone = 2, rapid.Bool().Draw(t, "not alone")
			}
		}
		if rapid.Bool().Draw(t, "film") {
			// Kinder than any random mark, so that the network finds no fault of its own.
			s.Film = &Film{TempsC: []float64{0, 40}, RefPct: 1, DosePct: []float64{1, 1}}
			s.Film.Min[Walk], s.Film.Min[OverCoatUntil] = []float64{0, 0}, []float64{1e6, 1e6}
			f := &filmCourse{film: s.Film}
			for _, m := range []Mark{Walk, OverCoatUntil} {
				f.reach[m] = make([][]int32, members)
				for k := range members {
					row := make([]int32, n+1)
					for q := range row {
						row[q] = int32(q + rapid.IntRange(0, 4).Draw(t, "mark after") + map[Mark]int{Walk: 0, OverCoatUntil: 3}[m])
						if int(row[q]) > n {
							row[q] = never
						}
					}
					f.reach[m][k] = row
				}
			}
			d.film = f
		}
		p.in.Stages = append(p.in.Stages, s)
		for v := range d.variants {
			d.quarters[v] = int32(s.Quarters + v*s.AgainQuarters)
			d.lead = -1
			if s.Divisible {
				p.divisible(i, v)
			} else {
				d.lead = i
				p.whole(i, v)
			}
		}
	}
	return p
}

// everyPlan tries every start of every stage and returns, for each end, the greatest
// number of members in which one plan holds.
func everyPlan(p *Prepared) map[int32]int {
	best := map[int32]int{}
	plansOf(p, func(end int32, by uint64) { best[end] = max(best[end], bits.OnesCount64(by)) })
	return best
}

// plansOf tries every start of every stage and tells for each end the members in which a plan has ended by then. The boards of the
// first stage must be dry when bare work begins.
func plansOf(p *Prepared, tell func(end int32, by uint64)) {
	var try func(i int, set uint64, starts [][2]int32)
	try = func(i int, set uint64, starts [][2]int32) {
		if set == 0 {
			return
		}
		if i == len(p.in.Stages) {
			ends := map[int32]uint64{}
			for m := range p.in.Members {
				if set>>m&1 != 0 {
					ends[p.endOf(i-1, int(starts[i-1][0]), m, starts[i-1][1])] |= 1 << m
				}
			}
			for end := range ends {
				by := uint64(0)
				for e, s := range ends {
					if e <= end {
						by |= s
					}
				}
				tell(end, by)
			}
			return
		}
		for v := range p.stages[i].variants {
			if i == 0 && v == 1 || v == 1 && starts[i-1][0] == 1 && p.in.Stages[i-1].NotAlone {
				continue
			}
			for q := range int32(p.n) {
				now := set & p.stages[i].ok[v][q]
				for m := range p.in.Members {
					if i == 0 || now>>m&1 == 0 {
						continue
					}
					w := p.windowAfter(i, m, starts[i-1][1], p.endOf(i-1, int(starts[i-1][0]), m, starts[i-1][1]))
					if v == 0 && (q < w.a0 || q > w.a1) || v == 1 && q < w.b0 || p.damp != nil && p.in.Stages[i].Bare && p.damp[m].Since[q] >= starts[0][1] {
						now &^= 1 << m
					}
				}
				try(i+1, now, append(starts, [2]int32{int32(v), q}))
			}
		}
	}
	try(0, p.full, nil)
}

// Against every plan there is: for each end, no more members than brute force finds
// and no fewer.
func TestSearchAgainstEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		if _, bad := NetworkOf(p.in.Stages, p.in.Hours).Earliest(); bad != nil {
			t.Skip("contradicts itself")
		}
		want := everyPlan(p)
		s := &search{p: p, before: never, most: kept}
		err := s.run(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !s.proven {
			t.Fatal("alternatives were dropped in a small case")
		}
		got := map[int32]int{}
		for _, c := range s.choices(nil) {
			got[c.end] = max(got[c.end], bits.OnesCount64(c.mask))
		}
		most, bound := 0, 0
		for _, e := range p.ends(0, 0, nil) {
			if e != never {
				bound++
			}
		}
		for end := range int32(400) {
			w, g := 0, 0
			for e, k := range want {
				if e <= end {
					w = max(w, k)
				}
			}
			for e, k := range got {
				if e <= end {
					g = max(g, k)
				}
			}
			if w != g {
				t.Fatalf("ended by quarter %d: search holds in %d members, every plan tried in %d", end, g, w)
			}
			most = max(most, w)
		}
		if most > bound {
			t.Fatalf("a plan holds in %d members, above the bound of %d", most, bound)
		}
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if (r.Likeliest == nil) != (most == 0) {
			t.Fatalf("likeliest %v, but the best plan holds in %d members", r.Likeliest, most)
		}
		if r.Likeliest == nil {
			return
		}
		if k := bits.OnesCount64(r.Likeliest.mask); k != most {
			t.Fatalf("likeliest plan says %d members, brute force %d", k, most)
		}
		o := r.Likeliest.Rehearsed
		if sum := o.Finished + o.Stopped + o.Spoiled; sum < 0.999 || sum > 1.001 {
			t.Fatalf("outcomes sum to %g", sum)
		}
	})
}

// A bound on one member alone: with a single course every member's plan is the best plan.
func TestOneCourseReachesItsBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		if len(p.in.Members) > 1 {
			t.Skip("several")
		}
		if _, bad := NetworkOf(p.in.Stages, p.in.Hours).Earliest(); bad != nil {
			t.Skip("contradicts itself")
		}
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if (r.Bound == 1) != (r.Likeliest != nil) {
			t.Fatalf("bound %g, plan %v", r.Bound, r.Likeliest)
		}
		if r.Likeliest != nil && !r.Likeliest.Finish.Equal(r.HalfBy) {
			t.Fatalf("the plan ends at %s, foresight at %s", r.Likeliest.Finish, r.HalfBy)
		}
	})
}

// By hand: a before b by at least 60, b before c by at least 60, c at most 90 after a:
// 30 minutes are missing.
func TestNetworkNamesTheCycle(t *testing.T) {
	n := &Network{}
	a, b, c := n.Event("gel"), n.Event("sand"), n.Event("coat")
	n.AtLeast(a, b, 60, "hard enough")
	n.AtLeast(b, c, 60, "sanding")
	n.AtMost(a, c, 90, "window")
	_, bad := n.Earliest()
	if bad == nil || bad.ByMin != 30 || len(bad.Demands) != 3 {
		t.Fatalf("got %+v, want a ring of three demands that lacks 30 min", bad)
	}
	m := &Network{}
	a, b, c = m.Event("gel"), m.Event("sand"), m.Event("coat")
	m.AtLeast(a, b, 60, "hard enough")
	m.AtLeast(b, c, 60, "sanding")
	m.AtMost(a, c, 120, "window")
	at, bad := m.Earliest()
	if bad != nil || at[c] != 120 {
		t.Fatalf("earliest coat %v (%v), want 120", at, bad)
	}
}

// What is told of a search is what a sorted list of all its choices tells: the plans that hold in more members than any that
// end sooner, the likeliest, the first that is sure, and of each day the best beginning.
func TestRankedAsInOrder(t *testing.T) {
	told := 0
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		for q := range p.day {
			p.day[q] = int32(q / 5) // several days
		}
		for i := range p.stages {
			p.place(i)
		}
		s := &search{p: p, before: never, most: kept}
		if err := s.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		all := s.choices(nil)
		slices.SortStableFunc(all, func(a, b choice) int {
			return cmp.Or(cmp.Compare(a.end, b.end), bits.OnesCount64(b.mask)-bits.OnesCount64(a.mask), cmp.Compare(b.q, a.q))
		})
		var rising []string
		var sure *choice
		surest := 0
		best := map[int32]*choice{}
		most := 0
		name := func(pl *Plan) string { return pl.Begin.String() + pl.Finish.String() + strconv.FormatUint(pl.mask, 2) }
		for i := range all {
			c := &all[i]
			n := bits.OnesCount64(c.mask)
			if n > most {
				most = n
				rising = append(rising, name(s.plan(c)))
			}
			// Nothing lies on bare boards here: what holds is the mask.
			if p.sure(c.mask) && (sure == nil || p.dayOf(c.end) == p.dayOf(sure.end) && n > surest) {
				sure, surest = c, n
			}
			if d := p.day[c.q]; best[d] == nil || p.better(c, best[d]) {
				best[d] = c
			}
		}
		for _, room := range []int{1, 2, 12} {
			r := &Result{}
			p.rank(r, s, nil, room)
			want := rising
			if len(want) > room {
				want = append(slices.Clone(rising[:room-1]), rising[len(rising)-1])
			}
			var got []string
			for i := range r.Frontier {
				got = append(got, name(&r.Frontier[i]))
			}
			if !slices.Equal(got, want) {
				t.Fatalf("frontier of %d: %v, in order %v", room, got, want)
			}
			if (r.Sure == nil) != (sure == nil) || sure != nil && name(r.Sure) != name(s.plan(sure)) {
				t.Fatalf("sure: %v, in order %v", r.Sure, sure)
			}
			if len(rising) > 0 && name(r.Likeliest) != rising[len(rising)-1] {
				t.Fatalf("likeliest %v, in order %v", name(r.Likeliest), rising)
			}
			told = max(told, len(rising))
		}
		r := &Result{}
		p.days(r, s, nil, 3)
		for d := range min(3, int(p.day[p.n-1])+1) {
			c := best[int32(d)]
			if pl := r.Days[d].Plan; (pl == nil) != (c == nil) || pl != nil && (!pl.Begin.Equal(p.TimeOf(int(c.q))) || pl.mask != c.mask) {
				t.Fatalf("day %d: %v, in order %v", d, pl, c)
			}
		}
		if len(r.Days) > 3 {
			t.Fatalf("%d days told, 3 asked for", len(r.Days))
		}
	})
	if told < 3 {
		t.Fatalf("no frontier of more than %d plans was met", told)
	}
}

// A list on a shelf stays as it was put there, whatever is put there after it, until the shelf is cleared.
func TestShelfKeepsLists(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h shelf[int]
		for range 2 {
			var kept, want [][]int
			for range rapid.IntRange(1, 40).Draw(t, "lists") {
				list := make([]int, rapid.SampledFrom([]int{0, 1, 3, 700, onBoard + 5}).Draw(t, "length"))
				for i := range list {
					list[i] = len(kept)*100000 + i
				}
				kept, want = append(kept, h.keep(list)), append(want, slices.Clone(list))
				clear(list)
			}
			for i := range kept {
				if !slices.Equal(kept[i], want[i]) {
					t.Fatalf("list %d of %d items is another", i, len(want[i]))
				}
				if len(kept[i]) != cap(kept[i]) {
					t.Fatal("a list that grew would write over the next")
				}
			}
			h.clear()
		}
	})
}

// choices lists the labels of the first stage, both variants.
func (s *search) choices(ready []window) []choice {
	var out []choice
	s.each(ready, func(c *choice) { out = append(out, *c) })
	return out
}
