package storetest

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"gelwright/store"
)

// kept is a state as the model keeps it.
type kept struct {
	id, who, document string
	restored          int
}

// model is a store of one job, as simple as it can be.
type model struct {
	h      *hand
	job    store.ID
	states []kept
}

// testModel draws rows of appends, repeats, stale ones, changed repeats and restores, on a store opened twice, and holds each
// answer and the chain against a list.
func testModel(t *testing.T, h *hand) {
	second := h.again()
	rapid.Check(t, func(rt *rapid.T) {
		first := h.state(0)
		first.Title = "Garage"
		first.Document = []byte("0")
		j, err := h.s.Create(h.ctx, store.NewJob{First: first})
		if err != nil {
			rt.Fatal(err)
		}
		m := &model{h: h, job: j.ID, states: []kept{{id: first.ID, who: first.Who, document: "0"}}}
		rt.Repeat(map[string]func(*rapid.T){
			"append": func(rt *rapid.T) {
				m.append(rt, rapid.SampledFrom([]store.Store{h.s, second}).Draw(rt, "store"))
			},
			"restore": func(rt *rapid.T) {
				m.restore(rt, rapid.SampledFrom([]store.Store{h.s, second}).Draw(rt, "store"))
			},
			"": func(rt *rapid.T) { m.hold(rt) },
		})
	})
}

// mark draws a mark: of a state that is there, or a new one.
func (m *model) mark(rt *rapid.T) store.Mark {
	return store.Mark{ID: rapid.SampledFrom([]string{"a", "b", "c", "d", "e", m.states[len(m.states)-1].id}).Draw(rt, "id"), When: Day,
		Who: rapid.SampledFrom([]string{"phone", "phone", "phone", "tablet"}).Draw(rt, "who")}
}

func (m *model) append(rt *rapid.T, s store.Store) {
	mark := m.mark(rt)
	document := rapid.SampledFrom([]string{"1", "1", "1", "2"}).Draw(rt, "document")
	based := max(0, len(m.states)-rapid.SampledFrom([]int{0, 0, 0, 0, 1, -1}).Draw(rt, "behind"))
	seq, err := s.Append(m.h.ctx, m.job, based, store.NewState{Mark: mark, Document: []byte(document)})
	m.answer(rt, kept{mark.ID, mark.Who, document, 0}, based, seq, err)
}

func (m *model) restore(rt *rapid.T, s store.Store) {
	mark := m.mark(rt)
	old := rapid.IntRange(1, len(m.states)).Draw(rt, "old")
	based := max(0, len(m.states)-rapid.SampledFrom([]int{0, 0, 0, 1}).Draw(rt, "behind"))
	seq, err := s.Restore(m.h.ctx, m.job, old, based, mark)
	m.answer(rt, kept{mark.ID, mark.Who, m.states[old-1].document, old}, based, seq, err)
}

// answer holds an answer against the laws, and keeps what was done.
func (m *model) answer(rt *rapid.T, asked kept, based, seq int, err error) {
	want, newest := store.Kind(0), len(m.states)
	for i, s := range m.states {
		if s.id != asked.id {
			continue
		}
		if s != asked {
			want = store.Clash
		} else if err != nil || seq != i+1 {
			rt.Fatalf("%+v again: state %d, %v; it is state %d", asked, seq, err, i+1)
		} else {
			return
		}
	}
	if want == 0 && based != newest {
		want = store.Conflict
	}
	if want != 0 {
		var e *store.Error
		if !errors.As(err, &e) || e.Kind != want || want == store.Conflict && e.Newest != newest {
			rt.Fatalf("%+v on %d of %d: state %d, %v; want an error of kind %d", asked, based, newest, seq, err, want)
		}
		return
	}
	if err != nil || seq != newest+1 {
		rt.Fatalf("%+v on %d of %d: state %d, %v", asked, based, newest, seq, err)
	}
	m.states = append(m.states, asked)
}

// hold holds the whole chain against the model.
func (m *model) hold(rt *rapid.T) {
	j, err := m.h.s.Get(m.h.ctx, m.job)
	if err != nil || j.Newest != len(m.states) {
		rt.Fatalf("%d states, want %d, %v", j.Newest, len(m.states), err)
	}
	for i, want := range m.states {
		s, err := m.h.s.StateAt(m.h.ctx, m.job, i+1)
		if got := (kept{s.ID, s.Who, string(s.Document), s.Restored}); err != nil || got != want || s.Seq != i+1 {
			rt.Fatalf("state %d: %+v, want %+v, %v", i+1, got, want, err)
		}
	}
	history, err := m.h.s.History(m.h.ctx, m.job, 0, store.MostHistory)
	if err != nil || len(history) != len(m.states) {
		rt.Fatalf("a history of %d states, want %d, %v", len(history), len(m.states), err)
	}
}
