package storetest

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/store"
)

func testCreate(t *testing.T, h *hand) {
	id := store.NewID()
	first := store.NewState{Mark: h.mark("begun"), Title: "Garage", Site: "1 Lower Mill", Document: []byte(" {\"a\" : 1}\n"),
		Change: []byte(`[ ]`)}
	first.When = time.Date(2026, 5, 20, 9, 0, 0, 987654321, time.FixedZone("", 7200))
	j, err := h.s.Create(h.ctx, store.NewJob{ID: id, First: first})
	h.must(err)
	kept := time.Date(2026, 5, 20, 7, 0, 0, 987e6, time.UTC) // the millisecond, in UTC
	want := store.Job{ID: id, Title: "Garage", Site: "1 Lower Mill", Created: kept, Changed: kept, Newest: 1, Group: id}
	for name, got := range map[string]store.Job{"told": j, "kept": h.get(id)} {
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
	first.When = kept
	state := store.State{Entry: store.Entry{Seq: 1, Mark: first.Mark, Title: "Garage", Site: "1 Lower Mill", DocumentBytes: 11},
		Document: first.Document, Change: first.Change}
	if d := cmp.Diff(state, h.at(id, 1)); d != "" {
		t.Errorf("state (-want +got):\n%s", d)
	}
	// Asked again, also after the job went on: the job as it is. Otherwise begun: refused.
	_, err = h.s.Append(h.ctx, id, 1, h.state(2))
	h.must(err)
	first.When = first.When.Add(time.Hour)
	j, err = h.s.Create(h.ctx, store.NewJob{ID: id, First: first})
	h.must(err)
	if j.Newest != 2 {
		t.Errorf("asked again it has %d states, want 2", j.Newest)
	}
	other := first
	other.Document = []byte(`{"a" : 2}`)
	_, err = h.s.Create(h.ctx, store.NewJob{ID: id, First: other})
	h.refuses(err, store.Clash, "began otherwise")
	other = first
	other.ID = "another"
	_, err = h.s.Create(h.ctx, store.NewJob{ID: id, First: other})
	h.refuses(err, store.Clash, "began otherwise")

	if a, b := h.job("A", ""), h.job("A", ""); a.ID == b.ID || !a.ID.Valid() || !b.ID.Valid() {
		t.Errorf("ids %q and %q", a.ID, b.ID)
	}
}

func testAppend(t *testing.T, h *hand) {
	j := h.job("Garage", "1 Lower Mill")
	h.grow(j, 3)
	for n, want := range map[int]string{1: `{"deck": [1,  1]}`, 2: `{"deck": [2,  1]}`, 3: `{"deck": [3,  1]}`, 0: `{"deck": [3,  1]}`} {
		s := h.at(j.ID, n)
		if string(s.Document) != want || len(s.Change) != 0 || s.Title != "Garage" || s.Site != "1 Lower Mill" {
			t.Errorf("state %d: %+v %s", n, s.Entry, s.Document)
		}
	}
	s := h.state(4)
	s.Title, s.Site, s.Change = "Annexe", "2 Lower Mill", []byte(`"x"`)
	_, err := h.s.Append(h.ctx, j.ID, 3, s)
	h.must(err)
	got := h.get(j.ID)
	want := store.Job{ID: j.ID, Title: "Annexe", Site: "2 Lower Mill", Created: j.Created, Changed: s.When, Newest: 4, Group: j.ID}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("job (-want +got):\n%s", d)
	}
	if string(h.at(j.ID, 4).Change) != `"x"` || h.at(j.ID, 3).Title != "Garage" {
		t.Error("a state does not stand as it was given")
	}
	// A title alone takes the site away.
	s = h.state(5)
	s.Title = "Shed"
	_, err = h.s.Append(h.ctx, j.ID, 4, s)
	h.must(err)
	if got := h.get(j.ID); got.Title != "Shed" || got.Site != "" {
		t.Errorf("title %q, site %q", got.Title, got.Site)
	}
}

func testAskedAgain(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	s := h.state(2)
	s.Change = []byte(`{"by": 1}`)
	for try, based := range []int{1, 1, 2, 7} {
		s.When = s.When.Add(time.Duration(try) * time.Hour)
		seq, err := h.s.Append(h.ctx, j.ID, based, s)
		h.must(err)
		if seq != 2 {
			t.Errorf("asked again, state 2 has number %d", seq)
		}
	}
	_, err := h.s.Append(h.ctx, j.ID, 2, h.state(3))
	h.must(err)
	if seq, err := h.s.Append(h.ctx, j.ID, 1, s); err != nil || seq != 2 {
		t.Errorf("asked again later: %d, %v", seq, err)
	}
	if n := h.get(j.ID).Newest; n != 3 {
		t.Errorf("%d states, want 3", n)
	}
	for name, change := range map[string]func(*store.NewState){
		"document": func(s *store.NewState) { s.Document = []byte(`{"deck": [2, 1]}`) },
		"change":   func(s *store.NewState) { s.Change = nil },
		"who":      func(s *store.NewState) { s.Who = "phone" },
		"what":     func(s *store.NewState) { s.What = "edge moved" },
		"title":    func(s *store.NewState) { s.Title = "Shed" },
		"site":     func(s *store.NewState) { s.Title, s.Site = "Garage", "3 Lower Mill" },
	} {
		other := s
		change(&other)
		seq, err := h.s.Append(h.ctx, j.ID, 3, other)
		if err == nil {
			t.Errorf("another %s under the same id was taken as state %d", name, seq)
			continue
		}
		h.refuses(err, store.Clash, "other content")
	}
	// The same id in another job is another state.
	k := h.job("Shed", "")
	if seq, err := h.s.Append(h.ctx, k.ID, 1, s); err != nil || seq != 2 {
		t.Errorf("in another job: %d, %v", seq, err)
	}
}

func testConflict(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	h.grow(j, 3)
	for _, based := range []int{-1, 0, 1, 2, 4, 100} {
		_, err := h.s.Append(h.ctx, j.ID, based, h.state(9))
		h.refuses(err, store.Conflict, "newest state is 3")
		if e := err.(*store.Error); e.Newest != 3 {
			t.Errorf("the conflict says newest %d, want 3", e.Newest)
		}
		_, err = h.s.Restore(h.ctx, j.ID, 1, based, h.mark("back"))
		h.refuses(err, store.Conflict, "newest state is 3")
	}
	if got := h.get(j.ID); got.Newest != 3 || string(h.at(j.ID, 0).Document) != `{"deck": [3,  1]}` {
		t.Errorf("what was refused was kept: %+v", got)
	}
}

func testHistory(t *testing.T, h *hand) {
	j := h.job("Garage", "1 Lower Mill")
	h.grow(j, 60)
	all, err := h.s.History(h.ctx, j.ID, 0, store.MostHistory)
	h.must(err)
	if len(all) != 60 {
		t.Fatalf("%d states, want 60", len(all))
	}
	for i, e := range all {
		if d := cmp.Diff(h.at(j.ID, 60-i).Entry, e); d != "" || e.Seq != 60-i || e.What != "corner moved" || e.Who != "this computer" {
			t.Errorf("entry %d: %+v\n%s", i, e, d)
		}
	}
	for _, c := range []struct{ before, limit, first, n int }{{0, 0, 60, store.UsualPage}, {11, 0, 10, 10}, {60, 2, 59, 2}, {1, 5, 0, 0},
		{99, 1, 60, 1}} {
		got, err := h.s.History(h.ctx, j.ID, c.before, c.limit)
		h.must(err)
		if len(got) != c.n || c.n > 0 && got[0].Seq != c.first {
			t.Errorf("before %d, %d of them: %d, the first %+v", c.before, c.limit, len(got), got)
		}
	}
	for _, limit := range []int{-1, store.MostHistory + 1} {
		_, err := h.s.History(h.ctx, j.ID, 0, limit)
		h.refuses(err, store.Refused, "history")
	}
	_, err = h.s.History(h.ctx, j.ID, -1, 1)
	h.refuses(err, store.Refused, "history")
}

func testRestore(t *testing.T, h *hand) {
	first := h.state(1)
	first.Title, first.Site, first.Change = "Garage", "1 Lower Mill", []byte(`1`)
	j, err := h.s.Create(h.ctx, store.NewJob{First: first})
	h.must(err)
	s := h.state(2)
	s.Title = "Shed"
	_, err = h.s.Append(h.ctx, j.ID, 1, s)
	h.must(err)
	mark := h.mark("back to the first")
	for _, based := range []int{2, 3} { // asked again, as done
		seq, err := h.s.Restore(h.ctx, j.ID, 1, based, mark)
		h.must(err)
		if seq != 3 {
			t.Fatalf("the state brought back has number %d, want 3", seq)
		}
	}
	want := store.State{Entry: store.Entry{Seq: 3, Mark: mark, Title: "Garage", Site: "1 Lower Mill", DocumentBytes: 17, Restored: 1},
		Document: first.Document}
	if d := cmp.Diff(want, h.at(j.ID, 0)); d != "" {
		t.Errorf("state (-want +got):\n%s", d)
	}
	if d := cmp.Diff(s.Document, h.at(j.ID, 2).Document); d != "" {
		t.Errorf("what was left is changed: %s", d)
	}
	if got := h.get(j.ID); got.Title != "Garage" || got.Site != "1 Lower Mill" || !got.Changed.Equal(mark.When) {
		t.Errorf("job: %+v", got)
	}
	_, err = h.s.Restore(h.ctx, j.ID, 2, 3, mark)
	h.refuses(err, store.Clash, "other content")
	for _, seq := range []int{-1, 0, 4} {
		_, err = h.s.Restore(h.ctx, j.ID, seq, 3, h.mark("back"))
		h.refuses(err, store.Unknown, "no such state")
	}
}
