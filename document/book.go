package document

import (
	"bytes"
	"context"
	"fmt"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/html"
)

// books are the papers of a plan, by who reads them: the crew on the roof, the office, and
// whoever asks where a figure comes from. They share one numbering of the workings.
type books struct {
	site, office, workings *pack
}

// all are the books in the order in which figures are marked in them.
func (b *books) all() []*pack { return []*pack{b.site, b.office, b.workings} }

// Books returns the books of a plan as PDF, and then each as a page of HTML that says the same:
// site is what a crew builds from, office what is settled, ordered and sent, workings where every
// figure comes from. Their date is the job's; the same plan and drawings give the same bytes.
func Books(ctx context.Context, p *plan.Plan, set *drawing.Set) ([]File, error) {
	made, err := newBooks(ctx, p, set, nil)
	if err != nil {
		return nil, err
	}
	var out []File
	for _, d := range made.all() {
		var b bytes.Buffer
		if err := d.f.Output(&b); err != nil {
			return nil, fmt.Errorf("%s: %w", d.name, err)
		}
		out = append(out, File{d.name + ".pdf", b.Bytes()})
	}
	for _, d := range made.all() {
		out = append(out, File{d.name + ".html", d.asPage()})
	}
	return out, nil
}

// asPage is the book as a page of HTML.
func (d *pack) asPage() []byte {
	o := html.Options{Lang: d.f.Language, Say: d.in.Say, Workings: "workings.html",
		Papers: map[string]string{"site.pdf": "site.html", "office.pdf": "office.html", "workings.pdf": "workings.html"}}
	if d.name == "workings" {
		o.Workings = ""
	}
	return html.Bytes(d.f.Says, o)
}

// recorder, when set, is told of every line of lettering of a book.
type recorder func(book string, x placed)

// newBooks lays out all pages.
func newBooks(ctx context.Context, p *plan.Plan, set *drawing.Set, record recorder) (*books, error) {
	if len(p.Decks) == 0 || len(p.Decks) != len(p.Job.Decks) {
		return nil, fmt.Errorf("job pack: the plan has %d decks and its job %d: make the plan again", len(p.Decks), len(p.Job.Decks))
	}
	marks := newRefs(p)
	var out books
	var err error
	if out.site, err = newPack(p, "site", "Site book", marks, record); err != nil {
		return nil, err
	}
	if err = out.site.lay(ctx, out.site.siteBook(set.Site)); err != nil {
		return nil, err
	}
	if out.office, err = newPack(p, "office", "Office book", marks, record); err != nil {
		return nil, err
	}
	if err = out.office.lay(ctx, out.office.officeBook(set.Office)); err != nil {
		return nil, err
	}
	out.workings, err = layWorkings(ctx, p, out.office, record)
	return &out, err
}

// siteBook is what a crew builds from, in the order of work.
func (d *pack) siteBook(sheets []*drawing.Sheet) []func() {
	return []func(){d.front, func() { d.drawings(sheets) }, d.cutLists, d.falls, d.buckets, d.afterBuckets, d.records}
}

// afterBuckets puts the dose card, which is hung up whole, where a page has room for it: behind
// the buckets, else between method and safety or behind them.
func (d *pack) afterBuckets() {
	told := false
	card := func(last bool) {
		if !told && (last || d.sections[d.f.PageNo()] != "" && d.y+d.cardMM() <= bottom) {
			d.doseCard()
			told = true
		}
	}
	d.hard()
	card(false)
	d.method()
	card(false)
	d.safety()
	card(true)
}

// officeBook is what is settled, ordered and sent.
func (d *pack) officeBook(sheets []*drawing.Sheet) []func() {
	return []func(){d.officeFront, d.worries, d.survey, d.orderList, d.offcuts, d.checkSummary, d.held, d.ponds, func() { d.drawings(sheets) },
		d.neighbours, d.care}
}

// apartsMM are the distances between workings that are tried, the usual one first.
var apartsMM = [...]float64{1, 0.7, 0.4}

// layWorkings lays the book of workings out. Where it would end in a few lines on a page of
// their own, the workings are set closer.
func layWorkings(ctx context.Context, p *plan.Plan, office *pack, record recorder) (*pack, error) {
	var first *pack
	var firstLines []placed
	for i, apart := range apartsMM {
		var lines []placed
		var note recorder
		if record != nil {
			note = func(_ string, x placed) { lines = append(lines, x) }
		}
		d, err := newPack(p, "workings", "Workings", office.refs, note)
		if err != nil {
			return nil, err
		}
		d.apartMM, d.flags, d.checkSources = apart, office.flags, office.checkSources
		if err := d.lay(ctx, []func(){d.workingsFront, d.workings}); err != nil {
			return nil, err
		}
		if i == 0 || !d.thin {
			first, firstLines = d, lines
		}
		if !d.thin {
			break
		}
	}
	for _, x := range firstLines {
		record(first.name, x)
	}
	return first, nil
}
