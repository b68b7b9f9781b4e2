package programme

import (
	"context"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The likeliest of all starts is as likely as the likeliest plan, and the best of a day is among them.
func TestStartsHoldWhatPlansPromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		starts := r.Starts()
		if r.Likeliest == nil {
			if len(starts) > 0 {
				t.Fatalf("%d starts and no plan", len(starts))
			}
			return
		}
		at := map[int64]Start{}
		for i, s := range starts {
			if s.P <= 0 || s.P > 1 || s.Finish.Before(s.Begin) || i > 0 && !starts[i-1].Begin.Before(s.Begin) {
				t.Fatalf("start %d is %+v", i, s)
			}
			at[s.Begin.Unix()] = s
		}
		for _, plan := range append([]Plan{*r.Likeliest}, r.Frontier...) {
			if s := at[plan.Begin.Unix()]; !s.Sure && s.P < plan.P-1e-12 {
				t.Fatalf("a plan begins at %v with %v, the start there has %v", plan.Begin, plan.P, s.P)
			}
		}
		if r.Sure != nil && !at[r.Sure.Begin.Unix()].Sure {
			t.Fatalf("the sure plan begins at %v, and the start there is not", r.Sure.Begin)
		}
		for _, d := range r.Days {
			if d.Plan == nil {
				continue
			}
			if s := at[d.Plan.Begin.Unix()]; !s.Sure && s.P < d.Plan.P-1e-12 {
				t.Fatalf("the day's best begins at %v with %v, the start there has %v", d.Plan.Begin, d.Plan.P, s.P)
			}
		}
	})
}

// A plan is told by one course of the weather: in it every stage finds what lies under it ready at
// the start that is printed, when the one before ran as it is printed, and what is worked on ends
// when it is said to. Work that may be interrupted ends elsewhere in other courses.
func TestStartsFollowTheEndsThatAreTold(t *testing.T) {
	parted := 0
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		r, err := p.Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		best := r.Best()
		if best == nil {
			return
		}
		for k, s := range best.Slots {
			spans := p.Spans(s)
			worked := time.Duration(0)
			for _, x := range spans {
				worked += x.To.Sub(x.From)
			}
			v := 0
			if s.Again != "" {
				v = 1
			}
			if want := time.Duration(p.stages[s.Stage].quarters[v]) * Quarter; worked != want || !spans[len(spans)-1].To.Equal(s.End) {
				t.Fatalf("%s takes %s and is worked on in %v until %s", s.Name, want, spans, s.End)
			}
			if s.late.After(s.End) {
				parted++
			}
			if k == 0 {
				continue
			}
			before, at := best.Slots[k-1], int32(p.quarterOf(s.Start))
			w := p.windowAfter(s.Stage, s.course, int32(p.quarterOf(before.Start)), int32(p.quarterOf(before.End)))
			if v == 0 && (at < w.a0 || at > w.a1) || v == 1 && at < w.b0 {
				t.Fatalf("%s at quarter %d after %s from %s to %s: it is ready at %+v", s.Name, at, before.Name, before.Start, before.End, w)
			}
		}
	})
	if parted == 0 {
		t.Error("no work that may be interrupted ended at two times")
	}
}

// Nothing of the laminate lies under a second coat: the first lies there, and its age counts.
func TestASecondCoatLiesOnTheFirst(t *testing.T) {
	mat, top := benchFilm("mat"), benchFilm("coat")
	p := &Prepared{n: 4 * 96, start: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)}
	p.in.Stages = []Stage{{Key: "main.mat1", Name: "laminate", Kind: Laminate, Deck: "main", Film: mat}}
	row := make([]int32, p.n+1)
	for q := range row {
		row[q] = int32(q + 96)
	}
	f := &filmCourse{film: mat}
	f.reach[OverCoatUntil] = [][]int32{row}
	p.stages = []prepared{{film: f}}
	wax := &filmCourse{film: top}
	soon := make([]int32, p.n+1)
	for q := range soon {
		soon[q] = int32(q + 12)
	}
	wax.reach[OverCoatUntil] = [][]int32{soon}
	for _, key := range []string{"main.coat1.1", "main.coat1.2", "main.coat2.1"} {
		name := map[string]string{"main.coat1.1": "top coat 1, part 1 of 2", "main.coat1.2": "top coat 1, part 2 of 2", "main.coat2.1": "top coat 2"}[key]
		p.in.Stages = append(p.in.Stages, Stage{Key: key, Name: name, Kind: TopCoat, Deck: "main", Film: top})
		p.stages = append(p.stages, prepared{film: wax})
	}
	plan := &Plan{}
	for i, h := range []time.Duration{8, 8 + 48, 10 + 48, 14 + 48} {
		s := &p.in.Stages[i]
		plan.Slots = append(plan.Slots, Slot{Stage: i, Key: s.Key, Name: s.Name, Kind: s.Kind, Deck: s.Deck, Start: p.start.Add(h * time.Hour)})
	}
	p.sayAged(plan)
	for i, want := range []string{"", "laminate 48", "laminate 50", "top coat 1 6"} {
		k := strings.LastIndexByte(want, ' ')
		if k >= 0 {
			want = "abrade " + want[:k] + " with 40 grit and wipe: it may be too old to coat by then (laid up to " + want[k+1:] + " h before)"
		}
		if got := plan.Slots[i].First; got != want {
			t.Errorf("%s: first %q, want %q", plan.Slots[i].Key, got, want)
		}
	}
}
