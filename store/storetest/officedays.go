package storetest

import (
	"errors"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

// testDaysTogether: several sheets are kept as one change, or none of them, and the laws are held of all of them together: the days
// of a roof move over one another, and no crew stands twice on one roof on one day.
func testDaysTogether(t *testing.T, d *desk) {
	job, other := d.job("Garage", ""), d.job("Porch", "")
	crew := d.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	day := func(date string) office.Day {
		return office.Day{Job: job.ID, Crew: crew.ID, Date: date, Part: office.Whole}
	}
	var changes []office.Change
	for _, date := range []string{"2026-06-01", "2026-06-02", "2026-06-03"} {
		changes = append(changes, d.change(store.NewID(), 0, day(date), "planned"))
	}
	put := func(changes ...office.Change) ([]office.Record, error) { return d.o.PutAll(d.ctx, changes) }
	dates := func() string {
		list, err := d.second().Sheets(d.ctx, office.Ask{Kind: office.KindDay, Job: job.ID})
		d.must(err)
		out := ""
		for _, r := range list {
			out += " " + r.Sheet.(office.Day).Date[8:]
		}
		return out
	}
	run, err := put(changes...)
	d.must(err)
	if dates() != " 01 02 03" || len(run) != 3 || run[2].ID != changes[2].ID {
		t.Fatalf("planned: %s, %+v", dates(), run)
	}
	again, err := put(changes...)
	d.must(err)
	d.same("asked again", run, again)

	move := func(i, basedOn int, date string) office.Change {
		return d.change(run[i].ID, basedOn, day(date), "moved")
	}
	_, err = put(move(0, 1, "2026-06-02"), move(1, 1, "2026-06-03"), move(2, 1, "2026-06-04"))
	d.must(err)
	if dates() != " 02 03 04" {
		t.Errorf("moved over one another: %s", dates())
	}
	_, err = put(move(0, 2, "2026-06-03"))
	d.refuses(err, store.Clash, "N North stands on this roof on 2026-06-03 already")
	afternoon := day("2026-06-03")
	afternoon.Part = office.Afternoon
	_, err = put(d.change(store.NewID(), 0, afternoon, "a part of a day too"))
	d.refuses(err, store.Clash, "already")
	_, err = put(move(0, 2, "2026-06-08"), move(1, 2, "2026-06-04"))
	d.refuses(err, store.Clash, "2026-06-04 already")
	_, err = put(move(0, 2, "2026-06-08"), move(1, 1, "2026-06-09"))
	var late *office.Overtaken
	if !errors.As(err, &late) || late.Now.ID != run[1].ID {
		t.Errorf("the second was overtaken: %v", err)
	}
	if dates() != " 02 03 04" {
		t.Errorf("refused, and changed to %s", dates())
	}
	// Another roof on that day is a warning of the calendar, not a refusal; so is another crew, and a day that is off.
	off := day("2026-06-03")
	off.Off = true
	elsewhere, nobody := day("2026-06-03"), day("2026-06-03")
	elsewhere.Job, nobody.Crew = other.ID, ""
	for _, s := range []office.Day{off, elsewhere, nobody, nobody} {
		_, err = put(d.change(store.NewID(), 0, s, "planned"))
		d.must(err)
	}
	none, err := put()
	d.must(err)
	d.same("nothing", []office.Record{}, none)
	_, err = put(move(0, 2, "2026-06-10"), d.change(store.NewID(), 0, day("soon"), ""))
	d.refuses(err, store.Refused, "date")
}
