package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"gelwright/store"
)

// testWritersAtOnce has eight writers, half of them through a second opening, append to one job, put files and read, each trying
// again after a conflict: every change is there once, in a chain without a gap.
func testWritersAtOnce(t *testing.T, h *hand) {
	const writers, each = 8, 12
	j := h.job("Garage", "")
	second := h.again()
	var all sync.WaitGroup
	fails := make(chan error, writers)
	for w := range writers {
		s := h.s
		if w%2 == 1 {
			s = second
		}
		all.Go(func() { fails <- h.writer(s, j.ID, w, each) })
	}
	all.Wait()
	close(fails)
	for err := range fails {
		h.must(err)
	}
	got := h.get(j.ID)
	if got.Newest != 1+writers*each {
		t.Fatalf("%d states, want %d", got.Newest, 1+writers*each)
	}
	seen, last := map[string]bool{}, map[int]int{}
	for n := 2; n <= got.Newest; n++ {
		var w, i int
		s := h.at(j.ID, n)
		if _, err := fmt.Sscanf(s.ID, "w%d-%d", &w, &i); err != nil || seen[s.ID] || i != last[w] {
			t.Fatalf("state %d is %q after %d of its writer, %v", n, s.ID, last[w], err)
		}
		seen[s.ID], last[w] = true, i+1
	}
	files, err := second.Files(h.ctx, j.ID)
	h.must(err)
	if len(files) != writers {
		t.Errorf("%d files, want %d", len(files), writers)
	}
}

// writer appends its states, each on top of whatever is newest.
func (h *hand) writer(s store.Store, job store.ID, w, each int) error {
	file := photo(fmt.Sprintf("w%d.jpg", w), fmt.Sprint("pixels of ", w/2)) // two writers, the same bytes
	if _, err := s.PutFile(h.ctx, job, file); err != nil {
		return err
	}
	based := 1
	for i := range each {
		state := store.NewState{Mark: store.Mark{ID: fmt.Sprintf("w%d-%d", w, i), When: Day, Who: "phone"}, Document: []byte("[]")}
		for {
			seq, err := s.Append(h.ctx, job, based, state)
			if err == nil {
				based = seq
				break
			}
			var e *store.Error
			if !errors.As(err, &e) || e.Kind != store.Conflict {
				return err
			}
			based = e.Newest
		}
		if _, err := s.List(h.ctx, store.Ask{Text: "garage"}); err != nil {
			return err
		}
	}
	return nil
}

// testBegunAtOnce has eight begin the same job, then eight another job each with an id that all of them took: the one is begun once
// and all are told, of the others one is kept and the rest are refused.
func testBegunAtOnce(t *testing.T, h *hand) {
	second := h.again()
	for _, same := range []bool{true, false} {
		id, said := store.NewID(), make(chan error)
		for n := range 8 {
			s, first := h.s, store.NewState{Mark: store.Mark{ID: "s1", When: Day, Who: "phone"}, Title: "Garage", Document: []byte("[1]")}
			if n%2 == 1 {
				s = second
			}
			if !same {
				first.Document = fmt.Append(nil, n)
			}
			go func() {
				_, err := s.Create(h.ctx, store.NewJob{ID: id, First: first})
				said <- err
			}()
		}
		kept := 0
		for range 8 {
			switch err := <-said; {
			case err == nil:
				kept++
			case same || store.KindOf(err) != store.Clash:
				t.Error(err)
			}
		}
		if want := map[bool]int{true: 8, false: 1}[same]; kept != want || h.get(id).Newest != 1 {
			t.Errorf("the same: %v: %d were told that it is kept, want %d", same, kept, want)
		}
	}
}
