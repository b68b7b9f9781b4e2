package storetest

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gelwright/office"
	"gelwright/store"
)

// Office is a store that keeps the office's sheets beside its jobs.
type Office interface {
	store.Store
	office.Keeper
}

// OpenOffice is Open for a store with an office.
type OpenOffice func(t testing.TB) (s Office, again func() Office)

// ExerciseOffice runs the contract of an office on an implementation.
func ExerciseOffice(t *testing.T, open OpenOffice) {
	for _, c := range []struct {
		name string
		test func(*testing.T, *desk)
	}{
		{"Sheets", testSheets}, {"Overtaken", testOvertaken}, {"PointsAt", testPointsAt}, {"Days", testDays}, {"DaysTogether", testDaysTogether},
		{"Chart", testChart},
		{"ChartFinds", testChartFinds}, {"Search", testSearch}, {"SearchFollows", testSearchFollows},
		{"ListFolds", testListFolds}, {"SheetsAtOnce", testSheetsAtOnce},
		{"SheetsModel", testSheetsModel},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, openDesk(t, open)) })
	}
	t.Run("Travels", func(t *testing.T) { testTravels(t, openDesk(t, open), openDesk(t, open)) })
	t.Run("TravelsToAFirm", func(t *testing.T) { testTravelsToAFirm(t, openDesk(t, open), openDesk(t, open)) })
}

// SheetsAtOnce runs the part of the contract that writes at once, for the race detector.
func SheetsAtOnce(t *testing.T, open OpenOffice) { testSheetsAtOnce(t, openDesk(t, open)) }

// desk is a hand with an office.
type desk struct {
	*hand
	o      Office
	second func() Office
}

func openDesk(t *testing.T, open OpenOffice) *desk {
	o, again := open(t)
	return &desk{hand: &hand{TB: t, ctx: context.Background(), s: o}, o: o, second: again}
}

// put keeps a sheet that must be kept.
func (d *desk) put(id store.ID, basedOn int, sheet office.Sheet, what string) office.Record {
	d.Helper()
	r, err := d.o.Put(d.ctx, d.change(id, basedOn, sheet, what))
	d.must(err)
	return r
}

// change is a change by Asha, a minute after the one before.
func (d *desk) change(id store.ID, basedOn int, sheet office.Sheet, what string) office.Change {
	m := d.mark(what)
	return office.Change{ID: id, BasedOn: basedOn, When: m.When, Who: "Asha", What: what, Sheet: sheet}
}

func (d *desk) same(what string, want, got any) {
	d.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		d.Errorf("%s (-want +got):\n%s", what, diff)
	}
}

func testSheets(t *testing.T, d *desk) {
	id := store.NewID()
	made := d.put(id, 0, office.Customer{Name: "Ada Quill", Address: []string{"1 Lane", "Upper Mill"}}, "begun")
	want := office.Record{Kind: office.KindCustomer, ID: id, Version: 1, When: made.When, Who: "Asha", What: "begun",
		Sheet: office.Customer{Name: "Ada Quill", Address: []string{"1 Lane", "Upper Mill"}}}
	d.same("made", want, made)
	changed := d.put(id, 1, office.Customer{Name: "Ada Quill", Away: true}, "put away")
	other := d.put(store.NewID(), 0, office.Customer{Name: "Bo Reed"}, "begun")
	for name, from := range map[string]Office{"here": d.o, "beside": d.second()} {
		got, err := from.Sheet(d.ctx, office.KindCustomer, id)
		d.must(err)
		d.same(name, changed, got)
		versions, err := from.Versions(d.ctx, office.KindCustomer, id, 0)
		d.must(err)
		d.same(name+", versions", []office.Record{changed, made}, versions)
		one, err := from.Versions(d.ctx, office.KindCustomer, id, 1)
		d.must(err)
		d.same(name+", one version", []office.Record{changed}, one)
		list, err := from.Sheets(d.ctx, office.Ask{Kind: office.KindCustomer})
		d.must(err)
		d.same(name+", offered", []office.Record{other}, list)
		list, err = from.Sheets(d.ctx, office.Ask{Kind: office.KindCustomer, Away: true})
		d.must(err)
		if len(list) != 2 {
			t.Errorf("%s: %d with those put away", name, len(list))
		}
	}
	_, err := d.o.Sheet(d.ctx, office.KindSite, id) // an id of another kind
	d.refuses(err, store.Unknown, "site")
	_, err = d.o.Versions(d.ctx, office.KindCrew, id, 0)
	d.refuses(err, store.Unknown, "crew")
	_, err = d.o.Versions(d.ctx, office.KindCustomer, id, store.MostHistory+1)
	d.refuses(err, store.Refused, "versions")
	_, err = d.o.Sheet(d.ctx, "van", id)
	d.refuses(err, store.Refused, "van")
	_, err = d.o.Put(d.ctx, d.change(store.NewID(), 0, office.Customer{}, ""))
	d.refuses(err, store.Refused, "name")
}

// testOvertaken: of two changes of one version the second is told what is there now and what differs, and nothing is written over.
func testOvertaken(t *testing.T, d *desk) {
	id := store.NewID()
	was := office.Site{Name: "Mill", Access: "ladder", Note: "dog"}
	d.put(id, 0, was, "begun")
	first := d.change(id, 1, office.Site{Name: "Mill", Access: "scaffold", Note: "dog"}, "scaffold")
	now, err := d.o.Put(d.ctx, first)
	d.must(err)
	late := d.change(id, 1, office.Site{Name: "Mill", Access: "ladder", Note: "two dogs"}, "dogs")
	late.Who = "Bo"
	_, err = d.second().Put(d.ctx, late)
	d.refuses(err, store.Conflict, "Asha changed it meanwhile (version 2: scaffold)")
	var o *office.Overtaken
	if !errors.As(err, &o) {
		t.Fatalf("%v says nothing of what is there", err)
	}
	d.same("what is there now", now, o.Now)
	d.same("what the two make", office.Join(was, late.Sheet, now.Sheet), o.Join)
	again, err := d.o.Put(d.ctx, first) // the answer got lost
	d.must(err)
	d.same("asked again", now, again)
	d.put(id, 2, office.Site{Name: "Mill", Access: "scaffold", Note: "two dogs"}, "joined")
	again, err = d.o.Put(d.ctx, first) // and once more, when others have gone on
	d.must(err)
	d.same("asked again later", now, again)
	for name, change := range map[string]func(*office.Change){
		"who": func(c *office.Change) { c.Who = "Bo" }, "what": func(c *office.Change) { c.What = "other" },
		"sheet": func(c *office.Change) { c.Sheet = was }, "begun twice": func(c *office.Change) { c.BasedOn = 0 },
	} {
		c := first
		change(&c)
		if _, err := d.o.Put(d.ctx, c); store.KindOf(err) != store.Conflict {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err = d.o.Put(d.ctx, d.change(id, 9, was, "from the future"))
	d.refuses(err, store.Unknown, "version 9")
	if got, _ := d.o.Sheet(d.ctx, office.KindSite, id); got.Version != 3 {
		t.Errorf("version %d, want 3", got.Version)
	}
}

// testPointsAt: a sheet names only what is there, and no two crews have one mark.
func testPointsAt(t *testing.T, d *desk) {
	job := d.job("Garage", "")
	none := store.NewID()
	for words, s := range map[string]office.Sheet{"job": office.Day{Job: none, Date: "2026-06-03"},
		"crew": office.Day{Job: job.ID, Crew: none, Date: "2026-06-03"}} {
		_, err := d.o.Put(d.ctx, d.change(store.NewID(), 0, s, ""))
		d.refuses(err, store.Unknown, words)
	}
	for words, s := range map[string]office.Sheet{"customer": office.Job{Customer: none}, "site": office.Job{Site: none}} {
		_, err := d.o.Put(d.ctx, d.change(job.ID, 0, s, ""))
		d.refuses(err, store.Unknown, words)
	}
	_, err := d.o.Put(d.ctx, d.change(none, 0, office.Job{}, ""))
	d.refuses(err, store.Unknown, "job")
	_, err = d.o.Sheet(d.ctx, office.KindJob, none)
	d.refuses(err, store.Unknown, "job")
	got, err := d.o.Sheet(d.ctx, office.KindJob, job.ID)
	d.must(err)
	d.same("a job without a sheet", office.Record{Kind: office.KindJob, ID: job.ID, When: job.Created,
		Sheet: office.Filled(office.Job{})}, got)
	north := store.NewID()
	d.put(north, 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	other := store.NewID()
	_, err = d.o.Put(d.ctx, d.change(other, 0, office.Crew{Name: "Night", Mark: "n"}, "begun"))
	d.refuses(err, store.Clash, "North has the mark n")
	d.put(north, 1, office.Crew{Name: "North", Mark: "N", People: []string{"Asha"}}, "its own mark stays")
	d.put(north, 2, office.Crew{Name: "North", Mark: "N", Away: true}, "put away")
	d.put(other, 0, office.Crew{Name: "Night", Mark: "n"}, "the mark is free")
}

func testDays(t *testing.T, d *desk) {
	job, other := d.job("Garage", ""), d.job("Porch", "")
	crew := d.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	on := func(j store.ID, date string, off bool) office.Record {
		return d.put(store.NewID(), 0, office.Day{Job: j, Crew: crew.ID, Date: date, Off: off}, "planned")
	}
	third, first := on(job.ID, "2026-06-03", false), on(job.ID, "2026-06-01", false)
	second := on(other.ID, "2026-06-02", false)
	gone := on(job.ID, "2026-06-02", true)
	if third.Sheet.(office.Day).Part != office.Whole {
		t.Errorf("a day without a part is %+v", third.Sheet)
	}
	for _, c := range []struct {
		ask  office.Ask
		want []office.Record
	}{
		{office.Ask{}, []office.Record{first, second, third}},
		{office.Ask{Job: job.ID}, []office.Record{first, third}},
		{office.Ask{Job: job.ID, Away: true}, []office.Record{first, gone, third}},
		{office.Ask{From: "2026-06-02", To: "2026-06-02"}, []office.Record{second}},
		{office.Ask{From: "2026-06-02"}, []office.Record{second, third}},
		{office.Ask{To: "2026-06-01"}, []office.Record{first}},
		{office.Ask{Crew: crew.ID, From: "2026-06-03"}, []office.Record{third}},
		{office.Ask{Crew: store.NewID()}, []office.Record{}},
	} {
		c.ask.Kind = office.KindDay
		got, err := d.o.Sheets(d.ctx, c.ask)
		d.must(err)
		d.same(fmt.Sprintf("%+v", c.ask), c.want, got)
	}
	_, err := d.o.Sheets(d.ctx, office.Ask{Kind: office.KindDay, From: "yesterday"})
	d.refuses(err, store.Refused, "from")
}
