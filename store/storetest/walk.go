package storetest

import (
	"encoding/gob"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"gelwright/store"
)

// walker draws acts, and has a process that serves a store and a model do them.
type walker struct {
	t     *testing.T
	draw  *rand.Rand
	model *whole
	ids   []store.ID
	start func() *exec.Cmd
	child *served
	kills int
}

// served is a process that serves a store.
type served struct {
	cmd     *exec.Cmd
	in      io.WriteCloser
	acts    *gob.Encoder
	answers *gob.Decoder
}

// Walk draws acts of every kind, as many as steps, and holds what a store says in another process against a model. About every
// fiftieth time the process is killed while it does the act; another opens the store, and is asked the same again. At last all that
// is kept is held against the model. start makes the process, not yet started, which runs Serve on its standard input and output.
func Walk(t *testing.T, steps int, seed uint64, start func() *exec.Cmd) {
	w := &walker{t: t, draw: rand.New(rand.NewPCG(seed, 6)), model: &whole{map[store.ID]*wholeJob{}}, start: start}
	for n := range 24 {
		w.ids = append(w.ids, store.ID(fmt.Sprintf("%032x", uint64(n)*0x9e3779b97f4a7c15)))
	}
	t.Logf("seed %d, %d steps", seed, steps)
	w.begin()
	kinds := map[string]int{}
	for step := range steps {
		a := w.act()
		kinds[a.Do]++
		w.step(fmt.Sprintf("seed %d, step %d", seed, step), a, w.draw.IntN(50) == 0)
	}
	w.all(fmt.Sprintf("seed %d, at last", seed))
	w.end()
	t.Logf("%d kills, acts %v", w.kills, kinds)
	if w.kills < steps/200 {
		t.Errorf("%d kills in %d steps: too few to prove anything", w.kills, steps)
	}
}

func (w *walker) begin() {
	w.t.Helper()
	c := &served{cmd: w.start()}
	in, err := c.cmd.StdinPipe()
	if err != nil {
		w.t.Fatal(err)
	}
	out, err := c.cmd.StdoutPipe()
	if err != nil {
		w.t.Fatal(err)
	}
	if err := c.cmd.Start(); err != nil {
		w.t.Fatal(err)
	}
	c.in, c.acts, c.answers = in, gob.NewEncoder(in), gob.NewDecoder(out)
	w.child = c
}

// end kills the process.
func (w *walker) end() {
	w.child.cmd.Process.Kill()
	w.child.in.Close()
	w.child.cmd.Wait()
}

// step has both do an act, and compares.
func (w *walker) step(place string, a act, kill bool) {
	w.t.Helper()
	if err := w.child.acts.Encode(a); err != nil {
		w.t.Fatalf("%s: %v", place, err)
	}
	if kill {
		w.kills++
		time.Sleep(time.Duration(w.draw.IntN(4000)) * time.Microsecond)
		w.end()
		w.begin()
		if err := w.child.acts.Encode(a); err != nil {
			w.t.Fatalf("%s: %v", place, err)
		}
	}
	var got answer
	if err := w.child.answers.Decode(&got); err != nil {
		w.t.Fatalf("%s: %s: %v", place, a.Do, err)
	}
	want := w.model.does(a)
	said := got.Said
	got.Said = ""
	if a.Do == "export" && want.Kind == 0 && got.Seq > 0 {
		got.Seq = 0
	}
	if d := gocmp.Diff(want, got, cmpopts.EquateEmpty()); d != "" {
		w.t.Fatalf("%s (killed: %v): %+v\nsaid %q (-want +got):\n%s", place, kill, a, said, d)
	}
}

// all holds everything that is kept against the model.
func (w *walker) all(place string) {
	w.t.Helper()
	for page := range 2 {
		w.step(place, act{Do: "list", Ask: store.Ask{Size: 13, Page: page, Retired: true}}, false)
	}
	for _, id := range w.ids {
		acts := []act{{Do: "get"}, {Do: "files"}, {Do: "alternatives"}, {Do: "history", Seq: store.MostHistory}}
		if j := w.model.jobs[id]; j != nil {
			for seq := range j.states {
				acts = append(acts, act{Do: "state", Seq: seq + 1})
			}
			for name := range j.files {
				acts = append(acts, act{Do: "read", File: store.NewFile{Name: name}})
			}
		}
		for _, a := range acts {
			a.Job = id
			w.step(place, a, false)
		}
	}
}

// one draws one of several.
func one[T any](w *walker, of ...T) T { return of[w.draw.IntN(len(of))] }

func (w *walker) mark() store.Mark {
	return store.Mark{ID: fmt.Sprint("s", w.draw.IntN(300)), When: Day.Add(time.Duration(w.draw.IntN(50)) * time.Hour),
		Who: one(w, "phone", "phone", "tablet"), What: one(w, "", "corner moved")}
}

func (w *walker) state() store.NewState {
	s := store.NewState{Mark: w.mark(), Document: fmt.Appendf(nil, "[%d%s]", w.draw.IntN(5), strings.Repeat(", 1", w.draw.IntN(3)*500))}
	if w.draw.IntN(3) == 0 {
		s.Title, s.Site = one(w, "Garage", "Öltank", "Porch_50%"), one(w, "", "1 Lower Mill", "7 Church Lane")
	}
	if w.draw.IntN(3) == 0 {
		s.Change = []byte(`{"kind": "moved"}`)
	}
	return s
}

// act draws an act: mostly one that is done, sometimes one that is refused, or was done already.
func (w *walker) act() act {
	a := act{Job: one(w, w.ids...), Do: one(w, "create", "append", "append", "append", "append", "restore", "copy", "retire", "put", "put",
		"get", "list", "alternatives", "state", "history", "files", "read", "export")}
	newest := 0
	if j := w.model.jobs[a.Job]; j != nil {
		newest = j.Newest
	}
	a.Based = newest - one(w, 0, 0, 0, 0, 0, 1, -1)
	a.Seq = one(w, newest, 1, 0, w.draw.IntN(newest+2))
	switch a.Do {
	case "create":
		a.New.ID, a.New.First = a.Job, w.state()
		a.New.First.Title = one(w, "Garage", "Porch")
	case "append":
		a.New.First = w.state()
	case "restore":
		a.New.First.Mark = w.mark()
	case "copy":
		a.Order = store.CopyOrder{ID: one(w, w.ids...), Title: one(w, "Garage", "Another"), Mark: w.mark(), Alternative: one(w, true, false)}
	case "retire":
		a.Retirement = store.Retirement{When: w.mark().When, Who: "phone", Back: one(w, true, false)}
	case "put", "read":
		a.File = store.NewFile{Name: one(w, "a.jpg", "Öl.jpg", "B", "_1"), MediaType: one(w, "image/jpeg", "image/jpeg", "image/png"),
			When: w.mark().When, Who: "phone", Bytes: []byte(strings.Repeat(one(w, "pixels", "others"), w.draw.IntN(3)*300))}
	case "history":
		a.Based, a.Seq = max(0, a.Based), one(w, 1, 3, store.MostHistory)
	case "list":
		a.Ask = store.Ask{Text: one(w, "", "garage", "ÖL", "mill por", "%", "lane"), Page: w.draw.IntN(3),
			Size: one(w, 1, 4, 30), Retired: one(w, true, false)}
	}
	return a
}
