package work_test

import (
	"context"
	"encoding/json"
	"log/slog"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"gelwright/internal/postgrestest"
	sheets "gelwright/office"
	"gelwright/store"
	"gelwright/store/tables"
	"gelwright/work"
)

// office is a folder of jobs with a queue beside it.
type office struct {
	*testing.T
	jobs  *tables.DB
	queue *work.Queue
}

// places are both kinds of database: each gives an office on a place of its own, and a second one on the same.
var places = map[string]func(t *testing.T) func() *office{
	"a folder": func(t *testing.T) func() *office {
		dir := t.TempDir()
		return func() *office { return open(t, dir) }
	},
	"PostgreSQL": func(t *testing.T) func() *office {
		where := postgrestest.New(t) + " " + t.TempDir()
		return func() *office { return open(t, where) }
	},
}

// onBoth runs a test on both databases.
func onBoth(t *testing.T, test func(t *testing.T, open func() *office)) {
	for name, place := range places {
		t.Run(name, func(t *testing.T) { test(t, place(t)) })
	}
}

// open opens a folder of jobs, or a database and its folder, and the queue beside it.
func open(t *testing.T, where string) *office {
	t.Helper()
	db, err := openPlace(t.Context(), where)
	if err != nil {
		t.Fatal(err)
	}
	return beside(t, db)
}

// beside opens the queue in a database of jobs.
func beside(t *testing.T, jobs *tables.DB) *office {
	t.Helper()
	q, err := work.Open(t.Context(), jobs, slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := q.Close(); err != nil {
			t.Error(err)
		}
		if err := jobs.Close(); err != nil {
			t.Error(err)
		}
	})
	return &office{t, jobs, q}
}

// worker starts a worker that is stopped with the test.
func (o *office) worker(how work.Settings) *work.Worker {
	o.Helper()
	w, err := o.queue.Start(o.Context(), how)
	if err != nil {
		o.Fatal(err)
	}
	o.Cleanup(func() { o.stop(w) })
	return w
}

func (o *office) stop(w *work.Worker) {
	if err := w.Stop(context.Background()); err != nil {
		o.Error(err)
	}
}

// roofOf is an example roof as a document of the page.
func roofOf(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	return []byte(`{"roof":` + strings.TrimSpace(string(raw)) + `}`)
}

// job begins a job with an example roof.
func (o *office) job(title, roof string) store.ID {
	o.Helper()
	mark := store.Mark{ID: "s1", When: time.Date(2026, 5, 11, 9, 0, 0, 0, time.UTC), Who: "Asha", What: "drawn"}
	j, err := o.jobs.Create(o.Context(), store.NewJob{First: store.NewState{Mark: mark, Title: title, Document: roofOf(o.T, roof)}})
	if err != nil {
		o.Fatal(err)
	}
	return j.ID
}

// stands writes where a job stands on the office's sheet of it, on top of what is there.
func (o *office) stands(job store.ID, at sheets.Stage) {
	o.Helper()
	now, err := o.jobs.Sheet(o.Context(), sheets.KindJob, job)
	if err != nil {
		o.Fatal(err)
	}
	sheet := sheets.Job{Stage: at}
	if at == sheets.NotTaken {
		sheet.Why = "too dear"
	}
	if _, err := o.jobs.Put(o.Context(), sheets.Change{ID: job, BasedOn: now.Version, When: time.Date(2026, 5, 11, 9, 0, 0, 0, time.UTC),
		Who: "Asha", What: "moved", Sheet: sheet}); err != nil {
		o.Fatal(err)
	}
}

// file keeps a file of a job.
func (o *office) file(job store.ID, name, from string) {
	o.Helper()
	raw, err := os.ReadFile(from)
	if err != nil {
		o.Fatal(err)
	}
	if _, err := o.jobs.PutFile(o.Context(), job, store.NewFile{Name: name, MediaType: "text/csv", When: time.Date(2026, 5, 11, 9, 0, 0, 0, time.UTC),
		Who: "Asha", Bytes: raw}); err != nil {
		o.Fatal(err)
	}
}

// ended waits until a piece of work has ended.
func (o *office) ended(id store.ID) work.Work {
	o.Helper()
	for {
		w, err := o.queue.Get(o.Context(), id)
		if err != nil {
			o.Fatal(err)
		}
		if !w.Ended.IsZero() {
			return w
		}
		select {
		case <-o.Context().Done():
			o.Fatalf("work %s stays %s: %s", w.Title, w.State, w.Said)
		case <-time.After(5 * time.Millisecond):
		}
	}
}

func TestPapersAreMadeOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		job := o.job("Garage", "r01-garage")
		first, err := o.queue.Papers(t.Context(), job, 0, "Asha")
		if err != nil {
			t.Fatal(err)
		}
		again, err := o.queue.Papers(t.Context(), job, 1, "Ben")
		if err != nil || again.ID != first.ID || again.Who != "Asha" {
			t.Errorf("asked for twice it is %s of %s (%v), want the one of Asha, %s", again.ID, again.Who, err, first.ID)
		}
		if first.State != work.Waiting || first.Title != "Papers of Garage, state 1" || first.About != string(job) {
			t.Errorf("ordered: %+v", first)
		}
		o.worker(work.Settings{Version: "1"})
		made := o.ended(first.ID)
		if made.State != work.Done || made.Tries != 1 || made.Done != 2 || made.Whole != 2 || made.Begun.IsZero() || !strings.Contains(made.Said, "papers") {
			t.Fatalf("made: %+v", made)
		}
		files, err := o.jobs.Files(t.Context(), job)
		if err != nil || len(files) != 1 || made.Result != "/api/jobs/"+string(job)+"/files/"+files[0].Name || files[0].MediaType != "application/zip" {
			t.Fatalf("kept: %+v (%v), told as %s", files, err, made.Result)
		}
		// Asked for again they are there; nothing is made.
		third, err := o.queue.Papers(t.Context(), job, 0, "Ben")
		if err != nil || third.ID == first.ID {
			t.Fatal(third, err)
		}
		if w := o.ended(third.ID); w.State != work.Done || w.Result != made.Result || !strings.Contains(w.Said, "before") {
			t.Errorf("asked for again: %+v", w)
		}
		list, err := o.queue.List(t.Context(), work.Ask{About: string(job)})
		if err != nil || len(list) != 2 || list[0].ID != third.ID && list[1].ID != third.ID {
			t.Errorf("listed: %+v (%v)", list, err)
		}
		if open, err := o.queue.List(t.Context(), work.Ask{Open: true}); err != nil || len(open) != 0 {
			t.Errorf("still open: %+v (%v)", open, err)
		}
	})
}

func TestARoofWithFaultsFailsAtOnceInPlainWords(t *testing.T) {
	o := open(t, t.TempDir())
	mark := store.Mark{ID: "s1", When: time.Now(), Who: "Asha"}
	j, err := o.jobs.Create(t.Context(), store.NewJob{First: store.NewState{Mark: mark, Title: "Bad", Document: []byte(`{"roof":{"crew":7}}`)}})
	if err != nil {
		t.Fatal(err)
	}
	w, err := o.queue.Papers(t.Context(), j.ID, 0, "Asha")
	if err != nil {
		t.Fatal(err)
	}
	o.worker(work.Settings{})
	if w = o.ended(w.ID); w.State != work.Failed || w.Tries != 1 || !strings.Contains(w.Said, "crew") || w.Result != "" {
		t.Errorf("failed as %+v", w)
	}
}

func TestCancelledWorkIsNotDone(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		job := o.job("Garage", "r01-garage")
		w, err := o.queue.Papers(t.Context(), job, 0, "Asha")
		if err != nil {
			t.Fatal(err)
		}
		if w, err = o.queue.Cancel(t.Context(), w.ID, "Ben"); err != nil || w.State != work.Cancelled || w.Said != "Cancelled by Ben." || w.Ended.IsZero() {
			t.Fatalf("cancelled: %+v (%v)", w, err)
		}
		o.worker(work.Settings{})
		// What is ordered after it is done after it.
		next, err := o.queue.Papers(t.Context(), job, 0, "Asha")
		if err != nil || next.ID == w.ID {
			t.Fatal(next, err)
		}
		o.ended(next.ID)
		if again, err := o.queue.Get(t.Context(), w.ID); err != nil || again.State != work.Cancelled || again.Tries != 0 {
			t.Errorf("in the end it is %+v (%v)", again, err)
		}
		if _, err := o.queue.Get(t.Context(), store.NewID()); store.KindOf(err) != store.Unknown {
			t.Errorf("work that is not there: %v", err)
		}
	})
}

func TestJobsArePlannedAgainOnceUnderTheSameWeather(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		job, bare := o.job("Garage", "r01-garage"), o.job("Bay", "r03-bay")
		o.file(job, "forecast.csv", "../examples/forecast.csv")
		o.worker(work.Settings{})
		for round, said := range []string{"2 jobs are planned under their weather (0 stand, 1 looked for anew, 2 worked out); of 0 nothing had changed.",
			"0 jobs are planned under their weather (0 stand, 0 looked for anew, 0 worked out); of 2 nothing had changed."} {
			list, err := o.queue.Replan(t.Context(), []store.ID{job, bare}, "Asha")
			if err != nil || len(list) != 1 {
				t.Fatal(list, err)
			}
			if w := o.ended(list[0].ID); w.State != work.Done || w.Said != said || w.Whole != 2 || w.Done != 2 {
				t.Errorf("round %d: %+v", round, w)
			}
		}
		c, err := o.queue.Chance(t.Context(), job)
		if err != nil || c.Verdict == work.Faulty || c.Verdict == work.NoWeather || c.P <= 0 || c.Begin.IsZero() || !c.Finish.After(c.Begin) || c.Target != 0.9 {
			t.Errorf("under its weather: %+v (%v)", c, err)
		}
		if c, err = o.queue.Chance(t.Context(), bare); err != nil || c.Verdict != work.NoWeather || !strings.Contains(c.Reason, "weather service") {
			t.Errorf("without weather: %+v (%v)", c, err)
		}
		raw, err := json.Marshal(c)
		if err != nil || strings.Contains(string(raw), "0001") {
			t.Errorf("times that are none are told: %s (%v)", raw, err)
		}
	})
}
