package storetest

import (
	"bytes"
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/store"
)

// full is a job with all that a job may have.
func (h *hand) full() store.Job {
	h.Helper()
	source := h.job("Source", "")
	j, err := h.s.Copy(h.ctx, source.ID, store.CopyOrder{Title: "Garage", Mark: h.mark("another way"), Alternative: true})
	h.must(err)
	s := h.state(2)
	s.Title, s.Site, s.Change = "Garage", "1 Lower Mill", []byte("{ \"kind\":\t\"moved\"}\n")
	s.Document = []byte("{\n \"name\" : \"<Öl & Harz>\",\n \"n\": 1e400}\n")
	_, err = h.s.Append(h.ctx, j.ID, 1, s)
	h.must(err)
	_, err = h.s.Restore(h.ctx, j.ID, 1, 2, h.mark("back"))
	h.must(err)
	for _, f := range []store.NewFile{photo("b.jpg", "pixels"), photo("a.jpg", "pixels"), photo("c.jpg", "others"), photo("none", "")} {
		_, err := h.s.PutFile(h.ctx, j.ID, f)
		h.must(err)
	}
	h.must(h.s.Retire(h.ctx, j.ID, store.Retirement{When: Day.Add(time.Hour), Who: "phone"}))
	return h.get(j.ID)
}

// contents are all that a store tells of a job.
type contents struct {
	Job    store.Job
	States []store.State
	Files  []store.File
	Bytes  []string
}

func (h *hand) contents(id store.ID) contents {
	h.Helper()
	out := contents{Job: h.get(id)}
	for n := range out.Job.Newest {
		out.States = append(out.States, h.at(id, n+1))
	}
	var err error
	out.Files, err = h.s.Files(h.ctx, id)
	h.must(err)
	for _, f := range out.Files {
		_, raw, err := h.s.ReadFile(h.ctx, id, f.Name)
		h.must(err)
		out.Bytes = append(out.Bytes, string(raw))
	}
	return out
}

// testExchange exports a job and imports it where it is unknown: it is the same, and is exported with the same bytes.
func testExchange(t *testing.T, h *hand) {
	j := h.full()
	raw, was := h.export(j.ID), h.contents(j.ID)
	there := h.elsewhere()
	if d := cmp.Diff(was.Job, there.imported(raw)); d != "" {
		t.Errorf("told (-want +got):\n%s", d)
	}
	if d := cmp.Diff(was, there.contents(j.ID)); d != "" {
		t.Errorf("kept (-want +got):\n%s", d)
	}
	if !bytes.Equal(there.export(j.ID), raw) {
		t.Error("exported again it has other bytes")
	}
	// It goes on where it is.
	if seq, err := there.s.Append(there.ctx, j.ID, j.Newest, there.state(9)); err != nil || seq != j.Newest+1 {
		t.Errorf("going on: %d, %v", seq, err)
	}
}

// elsewhere is a hand on another store, an empty one.
func (h *hand) elsewhere() *hand {
	s, again := h.open(h)
	return &hand{TB: h.TB, ctx: h.ctx, s: s, again: again, open: h.open, made: 1000}
}

// testImportBeside imports a job where it is known: it is another job, made from it.
func testImportBeside(t *testing.T, h *hand) {
	j := h.full()
	raw, was := h.export(j.ID), h.contents(j.ID)
	got := h.imported(raw)
	if got.ID == j.ID || got.Parent != j.ID || got.ParentSeq != j.Newest || got.Group != got.ID || got.Retired != nil {
		t.Errorf("it is %+v beside %+v", got, j)
	}
	if d := cmp.Diff(was, h.contents(j.ID)); d != "" {
		t.Errorf("the known one is changed:\n%s", d)
	}
	want := was
	want.Job = got
	if d := cmp.Diff(want, h.contents(got.ID)); d != "" {
		t.Errorf("the new one (-want +got):\n%s", d)
	}
	if again := h.imported(raw); again.ID == got.ID || again.ID == j.ID {
		t.Errorf("imported once more it is %s", again.ID)
	}
}

// testImportRefuses gives files that are cut short or changed: nothing of them is kept.
func testImportRefuses(t *testing.T, h *hand) {
	j := h.full()
	raw := h.export(j.ID)
	there := h.elsewhere()
	for _, n := range []int{0, 1, 30, len(raw) / 2, len(raw) - 1} {
		_, err := there.s.Import(h.ctx, bytes.NewReader(raw[:n]), int64(n))
		there.refuses(err, store.Damaged, "nothing of this one was kept")
	}
	at := bytes.Index(raw, []byte("pixels")) // files lie in the archive as they are
	changed := bytes.Clone(raw)
	changed[at] ^= 1
	_, err := there.s.Import(h.ctx, bytes.NewReader(changed), int64(len(changed)))
	there.refuses(err, store.Damaged, "files/")
	ctx, cancel := context.WithCancel(h.ctx)
	cancel()
	if _, err := there.s.Import(ctx, bytes.NewReader(raw), int64(len(raw))); err == nil {
		t.Error("imported after it was called off")
	}
	if p, err := there.s.List(h.ctx, store.Ask{Retired: true}); err != nil || p.Total != 0 {
		t.Errorf("%d jobs are kept, %v", p.Total, err)
	}
	there.imported(raw)
}
