package storetest

import (
	"strings"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

// lines are the jobs of a chart by their titles, stages and next days.
func (d *desk) lines(ask office.ChartAsk) string {
	d.Helper()
	c, err := d.o.Chart(d.ctx, ask)
	d.must(err)
	var out []string
	for _, l := range c.Lines {
		s := l.Job.Title + " " + string(l.Sheet.Stage)
		if l.Next != "" {
			s += " " + l.Next[8:]
		}
		d.same("the job", d.get(l.Job.ID), l.Job)
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

func testChart(t *testing.T, d *desk) {
	const today = "2026-06-03"
	c, err := d.o.Chart(d.ctx, office.ChartAsk{Today: today})
	d.must(err)
	d.same("an empty chart", office.Chart{Lines: []office.Line{}, Counts: map[office.Stage]int{}}, c)
	a, b, e, f := d.job("A", "1 Lane"), d.job("B", ""), d.job("E", ""), d.job("F", "")
	gone := d.job("Gone", "")
	d.must(d.o.Retire(d.ctx, gone.ID, store.Retirement{When: Day, Who: "Asha"}))
	crew := d.put(store.NewID(), 0, office.Crew{Name: "North", Mark: "N"}, "begun")
	customer := d.put(store.NewID(), 0, office.Customer{Name: "Ada Quill"}, "begun")
	site := d.put(store.NewID(), 0, office.Site{Name: "Mill"}, "begun")
	for _, j := range []store.Job{a, b} {
		d.put(j.ID, 0, office.Job{Stage: office.OnTheRoof, Customer: customer.ID}, "ordered")
	}
	d.put(a.ID, 1, office.Job{Stage: office.OnTheRoof, Customer: customer.ID, Site: site.ID}, "site")
	d.put(e.ID, 0, office.Job{Stage: office.NotTaken, Why: "too dear"}, "not taken")
	for _, date := range []string{"2026-06-02", "2026-06-09", "2026-06-05"} {
		d.put(store.NewID(), 0, office.Day{Job: a.ID, Crew: crew.ID, Date: date}, "planned")
	}
	d.put(store.NewID(), 0, office.Day{Job: b.ID, Date: today}, "planned")
	d.put(store.NewID(), 0, office.Day{Job: a.ID, Date: today, Off: true}, "off")
	if got, want := d.lines(office.ChartAsk{Today: today}), "F enquiry, B on the roof 03, A on the roof 05, E not taken"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got, want := d.lines(office.ChartAsk{Today: "2026-06-06"}), "F enquiry, A on the roof 09, B on the roof, E not taken"; got != want {
		t.Errorf("later: %s, want %s", got, want)
	}
	if got, want := d.lines(office.ChartAsk{Today: today, Size: 2, Page: 1}), "A on the roof 05, E not taken"; got != want {
		t.Errorf("second page: %s, want %s", got, want)
	}
	if got, want := d.lines(office.ChartAsk{Today: today, Stage: office.OnTheRoof}), "B on the roof 03, A on the roof 05"; got != want {
		t.Errorf("one stage: %s, want %s", got, want)
	}
	if got, want := d.lines(office.ChartAsk{Today: today, Open: true}), "B on the roof 03, A on the roof 05"; got != want {
		t.Errorf("open ones: %s, want %s", got, want)
	}
	if c, err := d.o.Chart(d.ctx, office.ChartAsk{Today: today, Open: true, Size: 1}); err != nil || c.Total != 2 {
		t.Errorf("open ones counted: %d (%v)", c.Total, err)
	}
	d.chartLines(today, f, crew.ID)
	_, err = d.o.Chart(d.ctx, office.ChartAsk{Today: "now"})
	d.refuses(err, store.Refused, "today")
}

// chartLines holds what stands on single lines of the chart.
func (d *desk) chartLines(today string, f store.Job, crew store.ID) {
	d.Helper()
	c, err := d.o.Chart(d.ctx, office.ChartAsk{Today: today, Stage: office.Enquiry, Size: 1})
	d.must(err)
	d.same("counts", map[office.Stage]int{office.Enquiry: 1, office.OnTheRoof: 2, office.NotTaken: 1}, c.Counts)
	if c.Total != 1 || c.Lines[0].Job.ID != f.ID || c.Lines[0].Version != 0 {
		d.Errorf("enquiries: %d, %+v", c.Total, c.Lines)
	}
	c, err = d.o.Chart(d.ctx, office.ChartAsk{Today: today, Stage: office.OnTheRoof})
	d.must(err)
	if l := c.Lines[1]; l.CustomerName != "Ada Quill" || l.PlaceName != "Mill" || l.Crew != crew || l.Version != 2 {
		d.Errorf("line of A: %+v", l)
	}
	if l := c.Lines[0]; l.Crew != "" || l.PlaceName != "" {
		d.Errorf("line of B: %+v", l)
	}
	d.grow(f, 2) // changed last
	g := d.job("G", "2 Lane")
	d.grow(g, 2)
	c, err = d.o.Chart(d.ctx, office.ChartAsk{Today: today, Stage: office.Enquiry})
	d.must(err)
	if c.Lines[0].Job.ID != g.ID || c.Lines[0].PlaceName != "2 Lane" {
		d.Errorf("the one changed last first: %+v", c.Lines[0])
	}
}

func testChartFinds(t *testing.T, d *desk) {
	d.job("Garage at Öden Mill", "1 Lane")
	b := d.job("Porch", "")
	customer := d.put(store.NewID(), 0, office.Customer{Name: "Zoë Müller", Note: "pays late"}, "begun")
	site := d.put(store.NewID(), 0, office.Site{Name: "Old Forge"}, "begun")
	d.put(b.ID, 0, office.Job{Customer: customer.ID, Site: site.ID, Note: "red door", Stage: office.Survey}, "begun")
	for text, want := range map[string]string{
		"":                       "Garage at Öden Mill enquiry, Porch survey",
		"oden":                   "Garage at Öden Mill enquiry",
		"GARAGE lane":            "Garage at Öden Mill enquiry",
		"mueller":                "Porch survey",
		"zoe porch forge red":    "Porch survey",
		"orch":                   "", // a word is found by its beginning
		"late":                   "", // what is noted of a customer is not of the job
		"garage porch":           "",
		"1":                      "Garage at Öden Mill enquiry",
		"' OR 1=1 --":            "",
		"–":                      "Garage at Öden Mill enquiry, Porch survey", // no word at all
		strings.Repeat("a", 200): "",
	} {
		if got := d.lines(office.ChartAsk{Today: "2026-06-03", Text: text}); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	c, err := d.o.Chart(d.ctx, office.ChartAsk{Today: "2026-06-03", Text: "muller"})
	d.must(err)
	d.same("counts", map[office.Stage]int{office.Survey: 1}, c.Counts)
}
