package document

import (
	"context"
	"fmt"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/pdf"
	"gelwright/scene/reading"
	"gelwright/working"
)

// pack is one book in the making.
type pack struct {
	*pages
	p *plan.Plan
	// name of its file, and what it is called on its pages.
	name, called string
	refs         *refs
	// shared is known once all figures are marked.
	shared *shared
	// like is known once all figures are numbered.
	like *likeness
	// standings remembers how well figures stand.
	standings working.Standings
	// flags are cautions that the checks raise, told with the workings.
	flags []string
	// checkSources by letter, as the checks are marked with them.
	checkSources []string
	// apartMM stands between two workings; thin is set when the last page of them would
	// hold a few lines alone.
	apartMM float64
	thin    bool
	// heldTold is set once what holds the deck is told.
	heldTold bool
	// summaryEnd is where the first page ends, for the contents below it.
	summaryEnd float64
}

// newPack begins a book.
func newPack(p *plan.Plan, name, title string, marks *refs, record recorder) (*pack, error) {
	date, err := jobDate(p)
	if err != nil {
		return nil, err
	}
	called := p.Job.Name + ", " + p.Job.Site.Said.Say(name)
	d := &pack{pages: newPages(date, called, p.Job.PreparedBy, joinNonEmpty("  ·  ", title, p.Job.Reference, p.Job.Name,
		dateWords(p.Job.Date, p.Job.Site.Locale))), p: p, name: name, called: title, refs: marks}
	if name != "workings" {
		if d.in = p.Job.Site.Said; d.in != nil {
			d.f.Language = d.in.Locale()
		}
	}
	if record != nil {
		d.record = func(x placed) { record(name, x) }
	}
	return d, nil
}

// lay writes the sections, then feet and contents.
func (d *pack) lay(ctx context.Context, sections []func()) error {
	for _, section := range sections {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("%s: %w", d.name, err)
		}
		section()
	}
	d.feet()
	d.listContents(d.summaryEnd)
	d.saidIn(d.f.Says)
	d.f.SetPage(d.f.PageCount())
	return nil
}

// drawings puts every sheet on a page of its own size.
func (d *pack) drawings(sheets []*drawing.Sheet) {
	in := &reading.Node{Kind: reading.Section}
	for i, s := range sheets {
		pdf.AddPage(d.f, s.Scene, in, reading.Heading)
		d.sections[d.f.PageNo()] = ""
		if i == 0 {
			d.y = 0
			d.enter(countWords(len(sheets), "drawing"))
			in = d.part.Add(in.Of...)
		}
		d.f.Bookmark(s.Scene.Title, 1, 0)
	}
}
