package storetest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"gelwright/store"
)

// titles asks for jobs and gives their titles in order.
func (h *hand) titles(ask store.Ask) string {
	h.Helper()
	p, err := h.s.List(h.ctx, ask)
	h.must(err)
	var out []string
	for _, j := range p.Jobs {
		if d := cmp.Diff(h.get(j.ID), j); d != "" {
			h.Errorf("listed otherwise than kept:\n%s", d)
		}
		out = append(out, j.Title)
	}
	return strings.Join(out, " ")
}

func testList(t *testing.T, h *hand) {
	if p, err := h.s.List(h.ctx, store.Ask{}); err != nil || p.Total != 0 || len(p.Jobs) != 0 {
		t.Errorf("an empty store lists %+v, %v", p, err)
	}
	a := h.job("Garage", "1 Lower Mill, Ödenweiler")
	h.job("Porch", "7 Church Lane")
	h.job("Hall_50%", "2 Lower Mill")
	h.grow(a, 3) // changed last
	for ask, want := range map[store.Ask]string{
		{}:                          "Garage Hall_50% Porch",
		{Text: "lower mill"}:        "Garage Hall_50%",
		{Text: "MILL gar"}:          "Garage",
		{Text: "öden"}:              "Garage",
		{Text: "ÖDEN"}:              "Garage",
		{Text: "_50%"}:              "Hall_50%",
		{Text: "%"}:                 "Hall_50%",
		{Text: "  "}:                "Garage Hall_50% Porch",
		{Text: "nowhere"}:           "",
		{Text: "' OR 1=1 --"}:       "",
		{Text: string(a.ID)[:8]}:    "Garage",
		{Size: 2}:                   "Garage Hall_50%",
		{Size: 2, Page: 1}:          "Porch",
		{Size: 2, Page: 2}:          "",
		{Text: "lane", Size: 1}:     "Porch",
		{Size: 1, Page: 1_000_0000}: "",
	} {
		if got := h.titles(ask); got != want {
			t.Errorf("%+v: %q, want %q", ask, got, want)
		}
	}
	p, err := h.s.List(h.ctx, store.Ask{Text: "mill", Size: 1})
	h.must(err)
	if p.Total != 2 || len(p.Jobs) != 1 {
		t.Errorf("%d of %d jobs, want 1 of 2", len(p.Jobs), p.Total)
	}
	for i := range store.UsualPage {
		h.job(fmt.Sprintf("Deck-%d", i), "")
	}
	if p, err = h.s.List(h.ctx, store.Ask{}); err != nil || len(p.Jobs) != store.UsualPage || p.Total != store.UsualPage+3 {
		t.Errorf("%d of %d jobs, %v", len(p.Jobs), p.Total, err)
	}
	for _, ask := range []store.Ask{{Page: -1}, {Size: -1}, {Size: store.MostPage + 1}} {
		_, err := h.s.List(h.ctx, ask)
		h.refuses(err, store.Refused, "page")
	}
}

func testCopy(t *testing.T, h *hand) {
	j := h.job("Garage", "1 Lower Mill")
	h.grow(j, 3)
	_, err := h.s.PutFile(h.ctx, j.ID, photo("a.jpg", "pixels"))
	h.must(err)
	order := store.CopyOrder{ID: store.NewID(), Title: "Garage again", Mark: h.mark("copied")}
	k, err := h.s.Copy(h.ctx, j.ID, order)
	h.must(err)
	want := store.Job{ID: order.ID, Title: "Garage again", Site: "1 Lower Mill", Created: order.Mark.When, Changed: order.Mark.When,
		Newest: 1, Group: order.ID, Parent: j.ID, ParentSeq: 3}
	if d := cmp.Diff(want, k); d != "" {
		t.Errorf("copy (-want +got):\n%s", d)
	}
	s := h.at(k.ID, 1)
	if string(s.Document) != `{"deck": [3,  1]}` || len(s.Change) != 0 || s.What != "copied" {
		t.Errorf("its state: %+v", s)
	}
	if _, raw, err := h.s.ReadFile(h.ctx, k.ID, "a.jpg"); err != nil || string(raw) != "pixels" {
		t.Errorf("its file: %q, %v", raw, err)
	}
	h.copiedApart(j, k, order)
	_, err = h.s.Copy(h.ctx, j.ID, store.CopyOrder{Mark: h.mark("copied")})
	h.refuses(err, store.Refused, "title")
	if n, err := h.s.Copy(h.ctx, j.ID, store.CopyOrder{Title: "Third", Mark: h.mark("copied")}); err != nil || !n.ID.Valid() || n.ID == k.ID {
		t.Errorf("a copy without an id: %+v, %v", n, err)
	}
}

// copiedApart has source and copy go their own ways, and asks for the copy again: it is the one that was made, without what the
// source has got since.
func (h *hand) copiedApart(j, k store.Job, order store.CopyOrder) {
	h.Helper()
	_, err := h.s.Append(h.ctx, j.ID, 3, h.state(4))
	h.must(err)
	_, err = h.s.PutFile(h.ctx, j.ID, photo("b.jpg", "more"))
	h.must(err)
	h.grow(k, 2)
	order.Mark.When = order.Mark.When.Add(time.Hour)
	again, err := h.s.Copy(h.ctx, j.ID, order)
	h.must(err)
	files, err := h.s.Files(h.ctx, k.ID)
	h.must(err)
	if again.ID != k.ID || again.Newest != 2 || again.ParentSeq != 3 || len(files) != 1 {
		h.Errorf("asked again: %+v with %d files", again, len(files))
	}
	if got := h.at(j.ID, 0); string(got.Document) != `{"deck": [4,  1]}` {
		h.Errorf("the source: %s", got.Document)
	}
	same := store.NewState{Mark: order.Mark, Title: order.Title, Site: "1 Lower Mill", Document: h.at(k.ID, 1).Document}
	if _, err := h.s.Create(h.ctx, store.NewJob{ID: k.ID, First: same}); store.KindOf(err) != store.Clash {
		h.Errorf("the copy was taken for a job that began by itself: %v", err)
	}
	for name, change := range map[string]func(*store.CopyOrder){
		"title":       func(o *store.CopyOrder) { o.Title = "Other" },
		"alternative": func(o *store.CopyOrder) { o.Alternative = true },
		"mark":        func(o *store.CopyOrder) { o.Mark.ID = "other" },
	} {
		other := order
		change(&other)
		if _, err := h.s.Copy(h.ctx, j.ID, other); store.KindOf(err) != store.Clash {
			h.Errorf("another %s under the same id: %v", name, err)
		}
	}
}

func testAlternatives(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	other := h.job("Other", "")
	alternative := func(of store.ID, title string) store.Job {
		k, err := h.s.Copy(h.ctx, of, store.CopyOrder{Title: title, Mark: h.mark("another way"), Alternative: true})
		h.must(err)
		return k
	}
	felt := alternative(j.ID, "two outlets")
	third := alternative(felt.ID, "tapered") // an alternative of an alternative is one of the same survey
	_, err := h.s.Copy(h.ctx, j.ID, store.CopyOrder{Title: "by itself", Mark: h.mark("copied")})
	h.must(err)
	if felt.Group != j.ID || third.Group != j.ID || third.Parent != felt.ID || other.Group != other.ID {
		t.Errorf("groups %s %s %s, parent %s", felt.Group, third.Group, other.Group, third.Parent)
	}
	titles := func(of store.ID) string {
		list, err := h.s.Alternatives(h.ctx, of)
		h.must(err)
		var out []string
		for _, a := range list {
			out = append(out, a.Title)
		}
		return strings.Join(out, ", ")
	}
	for _, of := range []store.ID{j.ID, felt.ID, third.ID} {
		if got, want := titles(of), "Garage, two outlets, tapered"; got != want {
			t.Errorf("alternatives: %s, want %s", got, want)
		}
	}
	if got := titles(other.ID); got != "Other" {
		t.Errorf("alternatives of a job by itself: %s", got)
	}
	h.must(h.s.Retire(h.ctx, felt.ID, store.Retirement{When: Day, Who: "phone"}))
	if a, b := titles(j.ID), titles(felt.ID); a != "Garage, tapered" || b != "Garage, two outlets, tapered" {
		t.Errorf("with one retired: %s; asked of it: %s", a, b)
	}
}

func testRetire(t *testing.T, h *hand) {
	j := h.job("Garage", "")
	h.job("Shed", "")
	r := store.Retirement{When: Day.Add(time.Hour), Who: "phone"}
	h.must(h.s.Retire(h.ctx, j.ID, r))
	h.must(h.s.Retire(h.ctx, j.ID, store.Retirement{When: Day.Add(2 * time.Hour), Who: "tablet"})) // it is retired already
	if got := h.get(j.ID); got.Retired == nil || *got.Retired != r {
		t.Errorf("retired: %+v", got.Retired)
	}
	if a, b := h.titles(store.Ask{}), h.titles(store.Ask{Retired: true}); a != "Shed" || b != "Shed Garage" {
		t.Errorf("listed: %q; with retired ones: %q", a, b)
	}
	if a, b := h.titles(store.Ask{Text: "gar"}), h.titles(store.Ask{Text: "gar", Retired: true}); a != "" || b != "Garage" {
		t.Errorf("found: %q; with retired ones: %q", a, b)
	}
	h.grow(j, 2)
	if got := h.get(j.ID); got.Retired == nil || got.Newest != 2 {
		t.Errorf("appended to: %+v", got)
	}
	r.Back = true
	h.must(h.s.Retire(h.ctx, j.ID, r))
	h.must(h.s.Retire(h.ctx, j.ID, r))
	if got := h.titles(store.Ask{}); got != "Garage Shed" {
		t.Errorf("brought back: %q", got)
	}
	h.refuses(h.s.Retire(h.ctx, j.ID, store.Retirement{When: Day}), store.Refused, "who")
}

// testUnknown asks everything of a job that is not there.
func testUnknown(t *testing.T, h *hand) {
	for id, want := range map[store.ID]store.Kind{store.NewID(): store.Unknown, "": store.Refused, "../x": store.Refused} {
		_, get := h.s.Get(h.ctx, id)
		_, appended := h.s.Append(h.ctx, id, 1, h.state(1))
		_, at := h.s.StateAt(h.ctx, id, 1)
		_, history := h.s.History(h.ctx, id, 0, 0)
		_, restore := h.s.Restore(h.ctx, id, 1, 1, h.mark(""))
		_, copied := h.s.Copy(h.ctx, id, store.CopyOrder{Title: "A", Mark: h.mark("")})
		_, alternatives := h.s.Alternatives(h.ctx, id)
		retire := h.s.Retire(h.ctx, id, store.Retirement{When: Day, Who: "phone"})
		_, put := h.s.PutFile(h.ctx, id, photo("a.jpg", "x"))
		_, _, read := h.s.ReadFile(h.ctx, id, "a.jpg")
		_, files := h.s.Files(h.ctx, id)
		export := h.s.Export(h.ctx, id, &strings.Builder{})
		for _, err := range []error{get, appended, at, history, restore, copied, alternatives, retire, put, read, files, export} {
			h.refuses(err, want, "job")
		}
	}
	j := h.job("Garage", "")
	for _, seq := range []int{-1, 2} {
		_, err := h.s.StateAt(h.ctx, j.ID, seq)
		h.refuses(err, store.Unknown, "no such state")
	}
}

// testRefused gives what may not be kept, at the edge of each limit and just beyond it.
func testRefused(t *testing.T, h *hand) {
	long := strings.Repeat("ö", store.MostText)
	taken := 0
	document := func(n int) []byte { return []byte(`"` + strings.Repeat("x", n-2) + `"`) }
	for _, c := range []struct {
		name   string
		change func(*store.NewState)
		want   store.Kind // 0: it is kept
	}{
		{"title", func(s *store.NewState) { s.Title = long }, 0},
		{"title longer", func(s *store.NewState) { s.Title = long + "x" }, store.TooLarge},
		{"no title", func(s *store.NewState) { s.Title = "" }, store.Refused},
		{"two lines", func(s *store.NewState) { s.Title = "a\nb" }, store.Refused},
		{"no text", func(s *store.NewState) { s.Title = "a\xff" }, store.Refused},
		{"site longer", func(s *store.NewState) { s.Site = long + "x" }, store.TooLarge},
		{"who longer", func(s *store.NewState) { s.Who = long + "x" }, store.TooLarge},
		{"nobody", func(s *store.NewState) { s.Who = "" }, store.Refused},
		{"what longer", func(s *store.NewState) { s.What = long + "x" }, store.TooLarge},
		{"nothing said", func(s *store.NewState) { s.What = "" }, 0},
		{"no id", func(s *store.NewState) { s.ID = "" }, store.Refused},
		{"id", func(s *store.NewState) { s.ID = strings.Repeat("aZ09._-z", 8) }, 0},
		{"id longer", func(s *store.NewState) { s.ID = strings.Repeat("x", store.MostStateID+1) }, store.Refused},
		{"id with a space", func(s *store.NewState) { s.ID = "a b" }, store.Refused},
		{"no time", func(s *store.NewState) { s.When = time.Time{} }, store.Refused},
		{"1970", func(s *store.NewState) { s.When = time.Unix(0, 0) }, 0},
		{"1969", func(s *store.NewState) { s.When = time.Unix(-1, 0) }, store.Refused},
		{"year 9999", func(s *store.NewState) { s.When = time.Date(9999, 12, 31, 23, 0, 0, 0, time.UTC) }, 0},
		{"year 10000", func(s *store.NewState) { s.When = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) }, store.Refused},
		{"no document", func(s *store.NewState) { s.Document = nil }, store.Refused},
		{"no JSON", func(s *store.NewState) { s.Document = []byte(`{"a":`) }, store.Refused},
		{"4 MB", func(s *store.NewState) { s.Document = document(store.MostDocumentBytes) }, 0},
		{"more", func(s *store.NewState) { s.Document = document(store.MostDocumentBytes + 1) }, store.TooLarge},
		{"change no JSON", func(s *store.NewState) { s.Change = []byte("x") }, store.Refused},
		{"change more", func(s *store.NewState) { s.Change = document(store.MostDocumentBytes + 1) }, store.TooLarge},
	} {
		s := h.state(1)
		s.Title = "Garage"
		c.change(&s)
		j, err := h.s.Create(h.ctx, store.NewJob{First: s})
		if c.want != 0 {
			h.refuses(err, c.want, "")
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		taken++
		got := h.at(j.ID, 1)
		if got.Title != s.Title || !got.When.Equal(s.When) || got.ID != s.ID || string(got.Document) != string(s.Document) {
			t.Errorf("%s: it is not as it was given", c.name)
		}
	}
	if p, err := h.s.List(h.ctx, store.Ask{}); err != nil || p.Total != taken {
		t.Errorf("%d jobs are kept, want %d, %v", p.Total, taken, err)
	}
	j := h.job("Garage", "")
	s := h.state(2)
	s.Site = "a site alone"
	_, err := h.s.Append(h.ctx, j.ID, 1, s)
	h.refuses(err, store.Refused, "title")
	_, err = h.s.Create(h.ctx, store.NewJob{ID: "ABCDEF", First: s})
	h.refuses(err, store.Refused, "ABCDEF")
	if n := h.get(j.ID).Newest; n != 1 {
		t.Errorf("%d states, want 1", n)
	}
}
