package storetest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"gelwright/store"
)

// Open opens a store that is empty; again opens the same one beside it, as another process would. Both are closed at the end of
// the test.
type Open func(t testing.TB) (s store.Store, again func() store.Store)

// Exercise runs the whole contract on an implementation.
func Exercise(t *testing.T, open Open) {
	for _, c := range []struct {
		name string
		test func(*testing.T, *hand)
	}{
		{"Create", testCreate}, {"Append", testAppend}, {"AskedAgain", testAskedAgain}, {"Conflict", testConflict},
		{"History", testHistory}, {"Restore", testRestore}, {"List", testList}, {"Copy", testCopy}, {"Alternatives", testAlternatives},
		{"Retire", testRetire}, {"Files", testFiles}, {"FileNames", testFileNames}, {"FileOrder", testFileOrder},
		{"Refused", testRefused}, {"Unknown", testUnknown},
		{"Exchange", testExchange}, {"ImportBesideTheKnown", testImportBeside}, {"ImportRefuses", testImportRefuses},
		{"WritersAtOnce", testWritersAtOnce}, {"BegunAtOnce", testBegunAtOnce}, {"Model", testModel},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, opened(t, open)) })
	}
}

// WritersAtOnce runs the part of the contract that writes at once, for the race detector.
func WritersAtOnce(t *testing.T, open Open) { testWritersAtOnce(t, opened(t, open)) }

func opened(t *testing.T, open Open) *hand {
	s, again := open(t)
	return &hand{TB: t, ctx: context.Background(), s: s, again: again, open: open}
}

// hand is a test with a store in it.
type hand struct {
	testing.TB
	ctx   context.Context
	s     store.Store
	again func() store.Store
	open  Open
	made  int
}

// Day is a morning from which the tests count; they read no clock either.
var Day = time.Date(2026, 5, 20, 7, 30, 0, 123e6, time.UTC)

// mark is a mark with an id of its own, a minute after the one before.
func (h *hand) mark(what string) store.Mark {
	h.made++
	return store.Mark{ID: fmt.Sprintf("s-%d", h.made), When: Day.Add(time.Duration(h.made) * time.Minute), Who: "this computer", What: what}
}

// state is a new state whose document says n.
func (h *hand) state(n int) store.NewState {
	return store.NewState{Mark: h.mark("corner moved"), Document: fmt.Appendf(nil, `{"deck": [%d,  1]}`, n)}
}

// job is a job that was begun with document 1.
func (h *hand) job(title, site string) store.Job {
	h.Helper()
	first := h.state(1)
	first.Title, first.Site = title, site
	j, err := h.s.Create(h.ctx, store.NewJob{First: first})
	h.must(err)
	return j
}

// grow appends documents 2 to n to a job of one state.
func (h *hand) grow(j store.Job, n int) {
	h.Helper()
	for i := 1; i < n; i++ {
		seq, err := h.s.Append(h.ctx, j.ID, i, h.state(i+1))
		h.must(err)
		if seq != i+1 {
			h.Fatalf("state %d has number %d", i+1, seq)
		}
	}
}

func (h *hand) must(err error) {
	h.Helper()
	if err != nil {
		h.Fatal(err)
	}
}

// refuses fails unless err is of a kind and says where and, but for what is unknown, what to do.
func (h *hand) refuses(err error, want store.Kind, words string) {
	h.Helper()
	var e *store.Error
	if !errors.As(err, &e) || e.Kind != want {
		h.Fatalf("%v is of kind %d, want %d", err, store.KindOf(err), want)
	}
	if e.Place == "" || e.Found == "" || !strings.Contains(err.Error(), words) {
		h.Errorf("%q does not say place and finding with %q", err, words)
	}
	if strings.Contains(err.Error(), "\n") {
		h.Errorf("%q has more than one line", err)
	}
}

func (h *hand) get(id store.ID) store.Job {
	h.Helper()
	j, err := h.s.Get(h.ctx, id)
	h.must(err)
	return j
}

func (h *hand) at(id store.ID, seq int) store.State {
	h.Helper()
	s, err := h.s.StateAt(h.ctx, id, seq)
	h.must(err)
	return s
}

// export is a job as one file; it must be the same twice.
func (h *hand) export(id store.ID) []byte {
	h.Helper()
	var a, b bytes.Buffer
	h.must(h.s.Export(h.ctx, id, &a))
	h.must(h.s.Export(h.ctx, id, &b))
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		h.Fatal("the same job was exported with other bytes")
	}
	return a.Bytes()
}

func (h *hand) imported(raw []byte) store.Job {
	h.Helper()
	j, err := h.s.Import(h.ctx, bytes.NewReader(raw), int64(len(raw)))
	h.must(err)
	return j
}
