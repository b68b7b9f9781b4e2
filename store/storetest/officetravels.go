package storetest

import (
	"bytes"
	"strings"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

// exported is a job as one file.
func (d *desk) exported(id store.ID) []byte {
	d.Helper()
	var b bytes.Buffer
	d.must(d.s.Export(d.ctx, id, &b))
	return b.Bytes()
}

// imported takes a job in.
func (d *desk) imported(raw []byte) store.Job {
	d.Helper()
	j, err := d.s.Import(d.ctx, bytes.NewReader(raw), int64(len(raw)))
	d.must(err)
	return j
}

// testTravels: a job's sheets go with it, there and back the same; what is there already is joined by rule.
func testTravels(t *testing.T, from, to *desk) {
	job := from.job("Garage", "1 Lane")
	plain := from.exported(job.ID)
	if bytes.Contains(plain, []byte("office.json")) {
		t.Error("a job of which the office keeps nothing has sheets")
	}
	customer := from.put(store.NewID(), 0, office.Customer{Name: "Ada Quill", Telephone: "1"}, "begun")
	from.put(customer.ID, 1, office.Customer{Name: "Ada Quill", Telephone: "020", Mail: "ada@example.org"}, "telephone")
	site := from.put(store.NewID(), 0, office.Site{Name: "Mill", Address: []string{"1 Lane"}, Access: "by the yard"}, "begun")
	crew := from.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	other := from.put(store.NewID(), 0, office.Customer{Name: "nobody's"}, "begun")
	from.put(job.ID, 0, office.Job{Stage: office.Survey, Customer: customer.ID, Reached: []office.Reached{{Stage: office.Survey,
		Date: "2020-06-01"}}}, "moved to survey")
	from.put(job.ID, 1, office.Job{Stage: office.Survey, Customer: customer.ID, Site: site.ID, Note: "dog"}, "note")
	day := from.put(store.NewID(), 0, office.Day{Job: job.ID, Crew: crew.ID, Date: "2026-06-03", Note: "ladder"}, "planned")
	from.put(day.ID, 1, office.Day{Job: job.ID, Crew: crew.ID, Date: "2026-06-04", Note: "ladder"}, "moved")
	gone := from.put(store.NewID(), 0, office.Day{Job: job.ID, Date: "2026-06-05", Off: true}, "taken off")
	raw := from.exported(job.ID)

	to.imported(raw)
	if !bytes.Equal(raw, to.exported(job.ID)) {
		t.Error("there and back it is another file")
	}
	for kind, id := range map[office.Kind]store.ID{office.KindJob: job.ID, office.KindCustomer: customer.ID, office.KindSite: site.ID,
		office.KindCrew: crew.ID, office.KindDay: day.ID} {
		want, err := from.o.Versions(from.ctx, kind, id, 0)
		from.must(err)
		got, err := to.o.Versions(to.ctx, kind, id, 0)
		to.must(err)
		to.same(string(kind), want, got)
	}
	_, err := to.o.Sheet(to.ctx, office.KindCustomer, other.ID)
	to.refuses(err, store.Unknown, "customer")
	if got := to.found(office.Question{Text: "ladder"}); !strings.Contains(got, "note 1") {
		t.Errorf("found: %s", got)
	}
	testTravelsBeside(t, to, raw, job.ID, gone.ID)
}

// testTravelsBeside: where the job is here already its days come in off the calendar, and what is here of customers stays.
func testTravelsBeside(t *testing.T, to *desk, raw []byte, job, gone store.ID) {
	was, err := to.o.Sheet(to.ctx, office.KindJob, job)
	to.must(err)
	customer := was.Sheet.(office.Job).Customer
	to.put(customer, 2, office.Customer{Name: "Ada Quill", Telephone: "020 1", Note: "moved house"}, "telephone")
	beside := to.imported(raw)
	got, err := to.o.Sheet(to.ctx, office.KindJob, beside.ID)
	to.must(err)
	to.same("the sheet of the one beside", was.Sheet, got.Sheet)
	now, err := to.o.Sheet(to.ctx, office.KindCustomer, customer)
	to.must(err)
	if now.Version != 3 || now.Sheet.(office.Customer).Note != "moved house" {
		t.Errorf("the customer here was written over: %+v", now)
	}
	list, err := to.o.Sheets(to.ctx, office.Ask{Kind: office.KindDay, Job: beside.ID})
	to.must(err)
	all, err := to.o.Sheets(to.ctx, office.Ask{Kind: office.KindDay, Job: beside.ID, Away: true})
	to.must(err)
	if len(list) != 0 || len(all) != 2 || all[0].Version != 3 || !strings.Contains(all[0].What, "kept here already") || all[1].Version != 1 {
		t.Errorf("its days: %+v, %+v", list, all)
	}
}

// testTravelsToAFirm: a firm that has the same customer, site and crew under other ids keeps its own; a crew whose mark is another's
// here is put away.
func testTravelsToAFirm(t *testing.T, from, to *desk) {
	job := from.job("Garage", "1 Lane")
	customer := from.put(store.NewID(), 0, office.Customer{Name: "Ada Quill", Telephone: "020", Note: "theirs"}, "begun")
	site := from.put(store.NewID(), 0, office.Site{Name: "Mill", Address: []string{"1 Lane"}}, "begun")
	north := from.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	south := from.put(store.NewID(), 0, office.Crew{Name: "South", Mark: "S"}, "begun")
	from.put(job.ID, 0, office.Job{Customer: customer.ID, Site: site.ID}, "begun")
	first := from.put(store.NewID(), 0, office.Day{Job: job.ID, Crew: north.ID, Date: "2026-06-03"}, "planned")
	second := from.put(store.NewID(), 0, office.Day{Job: job.ID, Crew: south.ID, Date: "2026-06-04"}, "planned")

	ourCustomer := to.put(store.NewID(), 0, office.Customer{Name: "Ada Quill", Telephone: "020", Note: "ours"}, "begun")
	to.put(store.NewID(), 0, office.Customer{Name: "Ada Quill", Telephone: "030"}, "another of that name")
	ourSite := to.put(store.NewID(), 0, office.Site{Name: "Mill", Address: []string{"1 Lane"}, Access: "gate"}, "begun")
	ourNorth := to.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "n"}, "begun")
	to.put(store.NewID(), 0, office.Crew{Name: "Slate", Mark: "S"}, "begun")
	to.imported(from.exported(job.ID))
	got, err := to.o.Sheet(to.ctx, office.KindJob, job.ID)
	to.must(err)
	if j := got.Sheet.(office.Job); j.Customer != ourCustomer.ID || j.Site != ourSite.ID {
		t.Errorf("its customer and site are %s and %s", j.Customer, j.Site)
	}
	for id, want := range map[store.ID]store.ID{first.ID: ourNorth.ID, second.ID: south.ID} {
		r, err := to.o.Sheet(to.ctx, office.KindDay, id)
		to.must(err)
		if r.Sheet.(office.Day).Crew != want {
			t.Errorf("on the roof stands %s, want %s", r.Sheet.(office.Day).Crew, want)
		}
	}
	r, err := to.o.Sheet(to.ctx, office.KindCrew, south.ID)
	to.must(err)
	if c := r.Sheet.(office.Crew); !c.Away || c.Name != "South" {
		t.Errorf("a crew whose mark is another's: %+v", c)
	}
	_, err = to.o.Sheet(to.ctx, office.KindCustomer, customer.ID)
	to.refuses(err, store.Unknown, "customer")
}
