package cutting

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bruteCost is the least cost by trying everything: the longest piece left goes on
// each bar that is open or can be opened.
func bruteCost(p Problem) float64 {
	var pieces []int
	for _, q := range p.Pieces {
		for c := 0; c < q.Count; c++ {
			pieces = append(pieces, q.LengthMM)
		}
	}
	for i := range pieces {
		for j := i + 1; j < len(pieces); j++ {
			if pieces[j] > pieces[i] {
				pieces[i], pieces[j] = pieces[j], pieces[i]
			}
		}
	}
	cost := func(s Stock) float64 { return s.Cost }
	priced := false
	for _, s := range p.Stocks {
		priced = priced || s.Cost > 0
	}
	if !priced {
		cost = func(s Stock) float64 { return float64(s.LengthMM) }
	}
	left := make([]int, len(p.Stocks))
	for k, s := range p.Stocks {
		left[k] = s.Available
	}
	best := math.Inf(1)
	var rooms []int
	var place func(n int, spent float64)
	place = func(n int, spent float64) {
		if spent >= best {
			return
		}
		if n == len(pieces) {
			best = spent
			return
		}
		tried := map[int]bool{}
		for b := 0; b < len(rooms); b++ {
			room := rooms[b]
			// A bar's room is kept with one kerf added, as the last cut may be its end.
			if w := pieces[n] + p.KerfMM; w <= room && !tried[room] {
				tried[room] = true
				rooms[b] -= w
				place(n+1, spent)
				rooms[b] += w
			}
		}
		for k, s := range p.Stocks {
			if left[k] == 0 || s.LengthMM < pieces[n] {
				continue
			}
			left[k]--
			rooms = append(rooms, s.LengthMM+p.KerfMM-pieces[n]-p.KerfMM)
			place(n+1, spent+cost(s))
			rooms = rooms[:len(rooms)-1]
			left[k]++
		}
	}
	place(0, 0)
	return best
}

func TestSmallOrdersAgainstTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		total := 0
		for i := range p.Pieces {
			if total+p.Pieces[i].Count > 8 {
				p.Pieces[i].Count = max(0, 8-total)
			}
			total += p.Pieces[i].Count
		}
		plan := solve(t, p)
		if want := bruteCost(p); math.Abs(plan.Cost-want) > 1e-9 || !plan.Optimal {
			t.Fatalf("cost %v (%s), trying everything gives %v", plan.Cost, plan.Note, want)
		}
	})
}

func TestKnapsackAgainstTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "sizes")
		size := rapid.IntRange(10, 60).Draw(t, "bar")
		var w, d []int
		var v []int64
		last := 61
		for i := 0; i < n && last > 5; i++ {
			last = rapid.IntRange(5, last-1).Draw(t, "w")
			w = append(w, last)
			v = append(v, int64(rapid.IntRange(0, 50).Draw(t, "v")))
			d = append(d, rapid.IntRange(0, 5).Draw(t, "d"))
		}
		floor := int64(rapid.IntRange(0, 60).Draw(t, "floor"))
		var all func(i, room int) int64
		all = func(i, room int) int64 {
			if i == len(w) {
				return 0
			}
			best := int64(0)
			for c := 0; c <= d[i] && c*w[i] <= room; c++ {
				best = max(best, int64(c)*v[i]+all(i+1, room-c*w[i]))
			}
			return best
		}
		want := all(0, size)
		check := func(how string, got int64, list []offer) {
			if got != max(want, floor) {
				t.Fatalf("%s: %d, want %d", how, got, want)
			}
			if want > floor && (len(list) == 0 || list[0].value != want) {
				t.Fatalf("%s: the first filling is %v, want %d", how, list, want)
			}
			for _, f := range list {
				room, sum := size, int64(0)
				for i, c := range f.a {
					room -= c * w[i]
					sum += int64(c) * v[i]
					if c > d[i] {
						t.Fatalf("%s: %d of size %d", how, c, i)
					}
				}
				if room < 0 || sum != f.value {
					t.Fatalf("%s: %v is worth %d and leaves %d", how, f, sum, room)
				}
			}
		}
		var k knapsack
		got, list := k.offers(w, v, d, size, floor, 20)
		check("table", got, list)
		few := solveFew(w, v, d, fitsFrom(w, size), floor)
		got = floor
		for _, f := range few {
			got = max(got, f.value)
		}
		if got != max(want, floor) {
			t.Fatalf("few: %d, want %d", got, want)
		}
		if got, a, ok := k.search(w, v, d, size, 1<<30); !ok || got != want {
			t.Fatalf("search: %d (%v), want %d", got, a, want)
		}
	})
}

func TestAnEndedContextStillGivesAPlan(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	for _, in := range published(t) {
		if in.group != "hard28" {
			continue
		}
		plan, err := Solve(ctx, in.problem)
		if err != nil {
			t.Fatal(err)
		}
		if err := Verify(in.problem, plan); err != nil {
			t.Error(err)
		}
		if plan.LowerBound > float64(in.optimum) || plan.Optimal && plan.Cost != float64(in.optimum) {
			t.Errorf("%s: %+v", in.name, plan.Note)
		}
	}
}
