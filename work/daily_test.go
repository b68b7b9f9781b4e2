package work_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	sheets "gelwright/office"
	"gelwright/store"
	"gelwright/store/backup"
	"gelwright/work"
)

// kindsOf counts work by its kind.
func (o *office) kindsOf() map[string]int {
	o.Helper()
	list, err := o.queue.List(o.Context(), work.Ask{Limit: work.MostListed})
	if err != nil {
		o.Fatal(err)
	}
	out := map[string]int{}
	for _, w := range list {
		out[w.Kind]++
	}
	return out
}

func TestTheDaysWorkIsDoneOnceHoweverManyWorkAtOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		at := &clock{at: time.Date(2026, 5, 12, 4, 0, 0, 0, time.UTC)}
		o.queue.Now = at.now
		dir := filepath.Join(t.TempDir(), "backups")
		how := work.Settings{Beat: 20 * time.Millisecond, Dead: time.Minute, Daily: &work.Daily{AtMin: 5 * 60, Zone: time.UTC},
			Backups: &work.Backups{Dir: dir, Keep: 2}}
		waits := func(rounds int) {
			t.Helper()
			for try := 0; o.kindsOf()["morning"] < rounds || o.kindsOf()["backup"] < rounds; try++ {
				if try == 10000 {
					t.Fatalf("not ordered: %v", o.kindsOf())
				}
				time.Sleep(5 * time.Millisecond)
			}
			o.settled()
		}
		// At four the round of yesterday is the one that was missed.
		for range 3 {
			o.worker(how)
		}
		waits(1)
		at.on(2 * time.Hour) // six o'clock
		waits(2)
		for range 2 {
			at.on(24 * time.Hour)
			waits(1 + o.kindsOf()["morning"])
		}
		// Whoever begins on the same day finds it done.
		o.stop(func() *work.Worker { w, _ := o.queue.Start(t.Context(), how); return w }())
		if k := o.kindsOf(); k["morning"] != 4 || k["backup"] != 4 {
			t.Errorf("in four days: %v", k)
		}
		all, err := os.ReadDir(dir)
		if err != nil || len(all) != 2 || all[0].Name() != "gelwright-2026-05-13.zip" || all[1].Name() != "gelwright-2026-05-14.zip" {
			t.Fatalf("kept: %v (%v)", all, err)
		}
		f, err := os.Open(filepath.Join(dir, all[1].Name()))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if info, err := f.Stat(); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%v (%v)", info, err)
		} else if _, err := backup.Read(t.Context(), f, info.Size()); err != nil {
			t.Errorf("what is kept is no backup: %v", err)
		}
	})
}

func TestABackupThatCannotBeWrittenSaysWhatToDo(t *testing.T) {
	o := open(t, t.TempDir())
	file := filepath.Join(t.TempDir(), "no folder")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	o.worker(work.Settings{Backups: &work.Backups{Dir: file, Keep: 1}})
	w, err := o.queue.Backup(t.Context(), "Asha")
	if err != nil {
		t.Fatal(err)
	}
	if w = o.ended(w.ID); w.State != work.Failed || !strings.Contains(w.Said, "name another folder with --backups") {
		t.Errorf("%+v", w)
	}
}

func TestTheRoundRemindsOfWhatTheOfficeHasOnceADay(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		at := &clock{at: time.Date(2026, 5, 12, 6, 0, 0, 0, time.UTC)}
		o.queue.Now = at.now
		o.worker(work.Settings{})
		sheet := func(job store.ID, s sheets.Job) {
			t.Helper()
			if _, err := o.jobs.Put(t.Context(), sheets.Change{ID: job, When: at.now(), Who: "Asha", What: "written", Sheet: s}); err != nil {
				t.Fatal(err)
			}
		}
		day := func(job store.ID, date string, off bool) {
			t.Helper()
			if _, err := o.jobs.Put(t.Context(), sheets.Change{ID: store.NewID(), When: at.now(), Who: "Asha", What: "put in",
				Sheet: sheets.Day{Job: job, Date: date, Part: sheets.Whole, Off: off}}); err != nil {
				t.Fatal(err)
			}
		}
		reached := func(stage sheets.Stage, date string) []sheets.Reached {
			return []sheets.Reached{{Stage: stage, Date: date}}
		}
		order := o.job("goods not ordered, in seven days", "r01-garage")
		sheet(order, sheets.Job{Stage: sheets.Order, Reached: reached(sheets.Order, "2026-05-11")})
		day(order, "2026-05-19", false)
		later := o.job("goods not ordered, in eight days", "r01-garage")
		sheet(later, sheets.Job{Stage: sheets.Order, Reached: reached(sheets.Order, "2026-05-11")})
		day(later, "2026-05-20", false)
		day(later, "2026-05-14", true)
		bought := o.job("goods ordered", "r01-garage")
		sheet(bought, sheets.Job{Stage: sheets.Order, Ordered: "2026-05-11", Reached: reached(sheets.Order, "2026-05-11")})
		day(bought, "2026-05-14", false)
		comes := o.job("tomorrow, without weather", "r01-garage")
		sheet(comes, sheets.Job{Stage: sheets.OnTheRoof, Reached: reached(sheets.OnTheRoof, "2026-05-11")})
		day(comes, "2026-05-13", false)
		stands := o.job("long at survey", "r01-garage")
		sheet(stands, sheets.Job{Stage: sheets.Survey, Reached: reached(sheets.Survey, "2026-04-27")})
		not := o.job("not long at survey", "r01-garage")
		sheet(not, sheets.Job{Stage: sheets.Survey, Reached: reached(sheets.Survey, "2026-04-28"),
			Awaits: []sheets.Awaited{{What: "customer decides", By: "2026-05-12"}}})
		promised := o.job("promised", "r01-garage")
		sheet(promised, sheets.Job{Stage: sheets.Design, Reached: reached(sheets.Design, "2026-05-01"),
			Awaits: []sheets.Awaited{{What: "The customer's colour", By: "2026-05-11"}}})
		for range 2 {
			w, err := o.queue.Morning(t.Context(), "Asha")
			if err != nil {
				t.Fatal(err)
			}
			o.ended(w.ID)
			o.settled()
		}
		list, err := o.queue.Reminders(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		got := map[store.ID]string{}
		for _, r := range list {
			if got[r.Job] != "" || r.Day != "2026-05-12" {
				t.Errorf("%+v", r)
			}
			got[r.Job] = r.Kind + ": " + r.Said
		}
		for job, want := range map[store.ID]string{
			order:    "order: Its first day on the roof is 2026-05-19, in 7 days, and the goods are not ordered. Order them, or put the day off.",
			comes:    "day: A crew is put in for tomorrow, and nothing is known of its weather. Look at the day, and tell crew and customer.",
			stands:   "stage: It has stood at survey for 15 days, since 2026-04-27. Move it along, or note what it waits for.",
			promised: "promise: The customer's colour was to come by 2026-05-11, 1 day ago. Ask after it.",
		} {
			if got[job] != want {
				t.Errorf("%q, not %q", got[job], want)
			}
		}
		if len(got) != 4 {
			t.Errorf("reminded of %v", got)
		}
		// Another day, another reminder.
		at.on(24 * time.Hour)
		w, err := o.queue.Morning(t.Context(), "Asha")
		if err != nil {
			t.Fatal(err)
		}
		o.ended(w.ID)
		o.settled()
		if more, err := o.queue.Reminders(t.Context()); err != nil || len(more) <= len(list) || more[0].Day != "2026-05-13" {
			t.Errorf("on the next day: %+v (%v)", more, err)
		}
	})
}
