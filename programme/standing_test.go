package programme

import (
	"context"
	"errors"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// pinned is the programme in which every stage may begin at its place alone.
func pinned(p *Prepared, places []place) *Prepared {
	out := *p
	out.stages = append([]prepared(nil), p.stages...)
	for i, at := range places {
		for v := range out.stages[i].variants {
			only := make([]uint64, p.n)
			if v == at.v {
				only[at.q] = p.stages[i].ok[v][at.q]
			}
			out.stages[i].ok[v] = only
		}
	}
	return &out
}

// bare is a plan without what is not looked for where starts are fixed.
func bare(p *Plan) Plan {
	out := *p
	out.Slots = append([]Slot(nil), p.Slots...)
	for k := range out.Slots {
		out.Slots[k].Earliest, out.Slots[k].Latest = time.Time{}, time.Time{}
	}
	return out
}

// Fixed starts are told as a search tells them that can find nothing else; where it finds nothing they hold in no member.
func TestFixedStartsAreToldAsASearchTellsThem(t *testing.T) {
	held, parted := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		var places []place
		q := int32(0)
		for i := range p.stages {
			at := place{q: min(q+int32(rapid.IntRange(0, 4).Draw(t, "wait")), int32(p.n-4))}
			if i > 0 && p.stages[i].variants > 1 && rapid.Bool().Draw(t, "made good") {
				at.v = 1
			}
			q = at.q + p.stages[i].quarters[at.v]
			places = append(places, at)
		}
		got := p.standing(places)
		r, err := pinned(p, places).Search(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if r.Likeliest == nil {
			if got.holds != 0 {
				t.Fatalf("starts that no search finds hold in %b", got.holds)
			}
			return
		}
		held++
		if got.holds != p.full {
			parted++
		}
		want := bare(r.Likeliest)
		want.Rehearsed = p.rehearse(r.Likeliest) // a crew that is late begins at other quarters too
		if !reflect.DeepEqual(bare(got), want) {
			t.Fatalf("fixed starts are told as\n%+v\nwant\n%+v", bare(got), want)
		}
		again, rest, err := p.Standing(got.Fixed())
		if err != nil || rest != 0 || !reflect.DeepEqual(again, got) {
			t.Fatalf("its own starts give %+v, %d left out (%v)", again, rest, err)
		}
	})
	if held < 4 || parted == 0 {
		t.Errorf("%d starts held, %d of them in some members alone", held, parted)
	}
}

// What is not of these stages, or not of this weather, is said and not judged.
func TestStartsOfOtherWorkOrOtherDaysAreNotJudged(t *testing.T) {
	p := readyFor(t, 6, 4)
	r, err := p.Search(context.Background())
	if err != nil || r.Best() == nil {
		t.Fatal("no plan", err)
	}
	fixed := r.Best().Fixed()
	shift := func(by time.Duration) []Fixed {
		out := append([]Fixed(nil), fixed...)
		for i := range out {
			out[i].Start = out[i].Start.Add(by)
		}
		return out
	}
	other := shift(0)
	other[1].Key = "another"
	for name, c := range map[string]struct {
		starts []Fixed
		want   error
	}{
		"fewer stages":       {fixed[1:], ErrOtherWork},
		"another key":        {other, ErrOtherWork},
		"a year before":      {shift(-365 * 24 * time.Hour), ErrBehind},
		"a moment before":    {shift(p.start.Add(-time.Second).Sub(fixed[0].Start)), ErrBehind},
		"a year after":       {shift(365 * 24 * time.Hour), ErrBeyond},
		"as it was":          {shift(0), nil},
		"behind the weather": {shift(p.TimeOf(p.n).Sub(fixed[0].Start)), ErrBeyond},
	} {
		if _, _, err := p.Standing(c.starts); !errors.Is(err, c.want) || c.want == nil && err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	// Days at the end of the weather: the first stages are judged, and how many are not is told.
	last := fixed[len(fixed)-1]
	late := shift(p.TimeOf(p.n).Sub(last.Start) - Quarter)
	plan, rest, err := p.Standing(late)
	if rest == 0 || err == nil && len(plan.Slots)+rest != len(fixed) {
		t.Errorf("%d stages left out of %d (%v)", rest, len(fixed), err)
	}
	if err == nil && plan.Slots[len(plan.Slots)-1].End.After(p.TimeOf(p.n-96)) {
		t.Errorf("a stage is judged that ends at %s, the weather at %s", plan.Slots[len(plan.Slots)-1].End, p.TimeOf(p.n))
	}
}
