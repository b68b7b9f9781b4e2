package programme

import (
	"context"
	"math/bits"
	"testing"

	"pgregory.net/rapid"

	"gelwright/weather"
)

// damped is a small programme whose first stage lays boards on which some of the others lie bare, in showers.
func damped(t *rapid.T) *Prepared {
	p := invented(t)
	p.in.Stages[0].Kind = Boards
	for i := range p.in.Stages[1:] {
		p.in.Stages[i+1].Bare = rapid.Bool().Draw(t, "bare")
	}
	for q := range p.day {
		p.day[q] = int32(q / 7) // several days
	}
	for i := range p.stages {
		p.place(i)
	}
	for range p.in.Members {
		d := weather.Damp{Since: make([]int32, p.n)}
		for q := range d.Since {
			d.Since[q] = -1
			if q > 0 && rapid.IntRange(0, 3).Draw(t, "still wet") > 0 {
				d.Since[q] = d.Since[q-1]
			}
			if rapid.IntRange(0, 5).Draw(t, "shower") == 0 {
				d.Since[q] = int32(q)
			}
		}
		p.damp = append(p.damp, d)
	}
	return p
}

// Where boards get wet the likeliest plan is still the one with the greatest chance that is told anywhere: of the frontier, which
// rises to it, of the days, of all starts and of the sure one. What is proven is what trying every plan finds; a plan that holds in
// no course is none.
func TestTheLikeliestIsTheLikeliestThatIsTold(t *testing.T) {
	lowered, proven, refused := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := damped(t)
		if _, bad := NetworkOf(p.in.Stages, p.in.Hours).Earliest(); bad != nil {
			t.Skip("contradicts itself")
		}
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		most, day := 0, int32(never)
		plansOf(p, func(end int32, by uint64) {
			most = max(most, bits.OnesCount64(by))
			if p.sure(by) {
				day = min(day, p.dayOf(end))
			}
		})
		told := 0.0
		if r.Likeliest != nil {
			told = r.Likeliest.P
			if r.Likeliest.holds != r.Likeliest.mask {
				lowered++
			}
			if k := r.Likeliest.held(); k == 0 || k > most || float64(k) > r.Bound*float64(r.Members)+1e-9 {
				t.Fatalf("the likeliest holds in %d, of all plans the best in %d, bound %g", k, most, r.Bound)
			}
			if last := r.Frontier[len(r.Frontier)-1]; last.P != told || !last.Finish.Equal(r.Likeliest.Finish) {
				t.Fatalf("the frontier ends with %.3f, the likeliest has %.3f", last.P, told)
			}
		}
		for i, f := range r.Frontier {
			if f.P > told || i > 0 && (f.P <= r.Frontier[i-1].P || !f.Finish.After(r.Frontier[i-1].Finish)) {
				t.Fatalf("frontier %d has %.3f by %v", i, f.P, f.Finish)
			}
		}
		for _, d := range r.Days {
			if d.Plan != nil && (d.Plan.P > told || d.Plan.held() == 0) {
				t.Fatalf("%v holds with %.3f, the likeliest with %.3f", d.Day, d.Plan.P, told)
			}
		}
		for _, s := range r.Starts() {
			if s.P > told {
				t.Fatalf("from %v it holds with %.3f, the likeliest with %.3f", s.Begin, s.P, told)
			}
		}
		if r.Sure != nil && (r.Sure.P > told || !p.sure(r.Sure.holds)) {
			t.Fatalf("the sure one has %.3f, the likeliest %.3f", r.Sure.P, told)
		}
		if !r.Proven {
			refused++
			return
		}
		proven++
		if k := r.Likeliest.held(); k != most {
			t.Fatalf("proven to hold in at most %d members, a plan holds in %d", k, most)
		}
		if got := r.sureDay(p); got != day {
			t.Fatalf("proven to be sure on day %d first, a plan is on %d", got, day)
		}
	})
	if lowered == 0 || proven == 0 || refused == 0 {
		t.Errorf("%d likeliest with wet boards, %d proven, %d not", lowered, proven, refused)
	}
}

// A search that keeps next to nothing is put right by the proof, in showers too: the frontier rises still, and what is then proven is
// what trying every plan finds.
func TestAProofInShowers(t *testing.T) {
	proven, mended := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := damped(t)
		if _, bad := NetworkOf(p.in.Stages, p.in.Hours).Earliest(); bad != nil {
			t.Skip("contradicts itself")
		}
		most, day := 0, int32(never)
		plansOf(p, func(end int32, by uint64) {
			most = max(most, bits.OnesCount64(by))
			if p.sure(by) {
				day = min(day, p.dayOf(end))
			}
		})
		r := &Result{Target: p.in.Target}
		p.bounded(r, 0, 0, nil, 0)
		s := &search{p: p, before: never, most: 1}
		if err := s.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		p.rank(r, s, nil, mostFrontier)
		was := r.Likeliest.held()
		sure, err := p.prove(context.Background(), r, s, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range r.Frontier {
			if i > 0 && (f.P <= r.Frontier[i-1].P || !f.Finish.After(r.Frontier[i-1].Finish)) {
				t.Fatalf("frontier %d has %.3f by %v", i, f.P, f.Finish)
			}
		}
		if r.Likeliest.held() > was {
			mended++
		}
		if !sure {
			return
		}
		proven++
		if r.Likeliest.held() != most || r.sureDay(p) != day {
			t.Fatalf("proven: %d members and day %d, of all plans %d and %d", r.Likeliest.held(), r.sureDay(p), most, day)
		}
	})
	if proven == 0 || mended == 0 {
		t.Errorf("%d proven, %d mended", proven, mended)
	}
}
