package storetest

import (
	"fmt"
	"strings"
	"testing"

	"gelwright/office"
	"gelwright/store"
)

// found is an answer as text: the kinds with their totals and what was found.
func (d *desk) found(q office.Question) string {
	d.Helper()
	list, err := d.o.Search(d.ctx, q)
	d.must(err)
	var out []string
	for _, f := range list {
		s := fmt.Sprintf("%s %d:", f.In, f.Total)
		for _, h := range f.Hits {
			s += fmt.Sprintf(" [%s %s: %s]", h.Kind, h.Place, h.Text)
			if h.Job != "" && h.Title != d.get(h.Job).Title {
				d.Errorf("%+v has not its job's title", h)
			}
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}

func testSearch(t *testing.T, d *desk) {
	first := d.state(1)
	first.Title, first.Site, first.What = "Garage", "Öden Mill", "corner moved"
	first.Document = []byte(`{"roof":{"name":"Garage","decks":[{"name":"main","note":"Mill side, lead flashing"}]}}`)
	j, err := d.s.Create(d.ctx, store.NewJob{First: first})
	d.must(err)
	_, err = d.s.PutFile(d.ctx, j.ID, photo("mill-2.jpg", "x"))
	d.must(err)
	customer := d.put(store.NewID(), 0, office.Customer{Name: "Ada Mill", Telephone: "020 7946 0018", Note: "mill key"},
		"customer of the mill")
	d.put(store.NewID(), 0, office.Site{Name: "Old Mill", Access: "by the miller"}, "site")
	d.put(store.NewID(), 0, office.Crew{Name: "Millers", Mark: "M"}, "crew")
	d.put(j.ID, 0, office.Job{Customer: customer.ID, Awaits: []office.Awaited{{What: "Mill owner decides"}}}, "customer named")
	for text, want := range map[string]string{
		"mill": "title 1: [job site: Öden Mill]; place 1: [site name: Old Mill]; customer 1: [customer name: Ada Mill]; " +
			"crew 1: [crew name: Millers]; note 3: [job waits: Mill owner decides] [site access: by the miller] [customer note: mill key]; " +
			"file 1: [job mill-2.jpg: mill-2.jpg]; roof 1: [job decks[main].note: Mill side, lead flashing]; " +
			"history 1: [customer version: customer of the mill]",
		"MILL öden":    "title 1: [job site: Öden Mill]",
		"flash mill":   "roof 1: [job decks[main].note: Mill side, lead flashing]",
		"moved corner": "history 1: [job state: corner moved]",
		"named":        "history 1: [job version: customer named]",
		"02079460018":  "customer 1: [customer telephone, digits: 02079460018]",
		"7946 0018":    "customer 1: [customer telephone: 020 7946 0018]",
		"ill":          "",
		"":             "",
		"–":            "",
		"mill nothing": "",
		"%":            "",
		"m":            "crew 1: [crew mark: M]",
		"' OR 1=1 -- ": "",
	} {
		if got := d.found(office.Question{Text: text}); got != want {
			t.Errorf("%q:\n%s\nwant\n%s", text, got, want)
		}
	}
	got, want := d.found(office.Question{Text: "mill", Most: 1}), "note 3: [job waits: Mill owner decides]; file"
	if !strings.Contains(got, want) {
		t.Errorf("one of each kind: %s", got)
	}
	_, err = d.o.Search(d.ctx, office.Question{Text: "x", Most: -1})
	d.refuses(err, store.Refused, "most")
}

// testSearchFollows: what is changed is found as it is now, by whoever looks; history stays.
func testSearchFollows(t *testing.T, d *desk) {
	j := d.job("Garage", "")
	id := store.NewID()
	d.put(id, 0, office.Customer{Name: "Ada"}, "begun as Ada")
	if got := d.found(office.Question{Text: "garage ", Most: 1}); got != "title 1: [job title: Garage]" {
		t.Errorf("begun: %s", got)
	}
	next := d.state(2)
	next.Title, next.Document, next.What = "Barn", []byte(`{"roof":{"name":"Barn"}}`), "renamed"
	_, err := d.s.Append(d.ctx, j.ID, 1, next)
	d.must(err)
	_, err = d.s.PutFile(d.ctx, j.ID, photo("west.jpg", "x"))
	d.must(err)
	d.put(id, 1, office.Customer{Name: "Bo"}, "her brother")
	second := d.second()
	for text, want := range map[string]string{"garage": "", "barn": "title 1: [job title: Barn]; roof 1: [job name: Barn]",
		"west": "file 1: [job west.jpg: west.jpg]", "renamed": "history 1: [job state: renamed]",
		"corner": "history 1: [job state: corner moved]",
		"ada":    "history 1: [customer version: begun as Ada]", "bo": "customer 1: [customer name: Bo]",
		"brother": "history 1: [customer version: her brother]"} {
		here := d.found(office.Question{Text: text})
		if here != want {
			t.Errorf("%q: %s, want %s", text, here, want)
		}
		beside := *d
		beside.o = second
		if got := beside.found(office.Question{Text: text}); got != want {
			t.Errorf("beside, %q: %s, want %s", text, got, want)
		}
	}
	copied, err := d.s.Copy(d.ctx, j.ID, store.CopyOrder{Title: "Shed", Mark: d.mark("copied")})
	d.must(err)
	if got := d.found(office.Question{Text: "west"}); got != "file 2: [job west.jpg: west.jpg] [job west.jpg: west.jpg]" {
		t.Errorf("copied with its files: %s", got)
	}
	d.must(d.o.Retire(d.ctx, copied.ID, store.Retirement{When: Day, Who: "Asha"}))
	if got := d.found(office.Question{Text: "shed"}); got != "title 1: [job title: Shed]" {
		t.Errorf("a retired job: %s", got)
	}
}

// testListFolds: the list of jobs finds words as the office does, umlauts and marks aside, and parts of words as they are written.
func testListFolds(t *testing.T, d *desk) {
	d.job("Müllers Garage", "Öden 3")
	d.job("Porch", "Lower-Mill")
	for text, want := range map[string]string{"mueller": "Müllers Garage", "MULLER oeden": "Müllers Garage", "arage": "Müllers Garage",
		"müllers": "Müllers Garage", "lower-mill": "Porch", "öden porch": "", "ulle": "", "–": ""} {
		p, err := d.s.List(d.ctx, store.Ask{Text: text})
		d.must(err)
		got := ""
		for _, j := range p.Jobs {
			got += j.Title
		}
		if got != want || p.Total != len(p.Jobs) {
			t.Errorf("%q: %q of %d, want %q", text, got, p.Total, want)
		}
	}
}
