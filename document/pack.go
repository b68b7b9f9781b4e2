package document

import (
	"bytes"
	"context"
	"fmt"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/scene/pdf"
	"gelwright/working"
)

// pack is the job pack in the making.
type pack struct {
	*pages
	p    *plan.Plan
	refs *refs
	// shared is known once all figures are marked.
	shared *shared
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
	// summaryEnd is where the first page ends, for the contents below it.
	summaryEnd float64
}

// Pack returns the job pack as PDF with the given drawings in it. Its date is the
// job's; the same plan and sheets give the same bytes.
func Pack(ctx context.Context, p *plan.Plan, sheets []*drawing.Sheet) ([]byte, error) {
	d, err := newPack(ctx, p, sheets, nil)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := d.f.Output(&b); err != nil {
		return nil, fmt.Errorf("job pack: %w", err)
	}
	return b.Bytes(), nil
}

// apartsMM are the distances between workings that are tried, the usual one first.
var apartsMM = [...]float64{1, 0.7, 0.4}

// newPack writes all pages; record, when set, is told of every line of lettering. Where
// the workings would end in a few lines on a page of their own, they are set closer.
func newPack(ctx context.Context, p *plan.Plan, sheets []*drawing.Sheet, record func(placed)) (*pack, error) {
	var first *pack
	var firstLines []placed
	for i, apart := range apartsMM {
		var lines []placed
		var note func(placed)
		if record != nil {
			note = func(x placed) { lines = append(lines, x) }
		}
		d, err := layPack(ctx, p, sheets, note, apart)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			first, firstLines = d, lines
		}
		if !d.thin {
			first, firstLines = d, lines
			break
		}
	}
	for _, x := range firstLines {
		record(x)
	}
	return first, nil
}

// layPack writes all pages with so much between two workings.
func layPack(ctx context.Context, p *plan.Plan, sheets []*drawing.Sheet, record func(placed), apartMM float64) (*pack, error) {
	date, err := jobDate(p)
	if err != nil {
		return nil, err
	}
	if len(p.Decks) == 0 || len(p.Decks) != len(p.Job.Decks) {
		return nil, fmt.Errorf("job pack: the plan has %d decks and its job %d: make the plan again", len(p.Decks), len(p.Job.Decks))
	}
	d := &pack{pages: newPages(date, p.Job.Name, joinNonEmpty("  ·  ", p.Job.Reference, p.Job.Name,
		dateWords(p.Job.Date, p.Job.Site.Locale))), p: p, refs: newRefs(p), apartMM: apartMM}
	d.record = record
	d.f.SetLang("en-GB")
	d.f.SetAuthor(p.Job.PreparedBy, true)
	for _, section := range []func(){
		d.summary, d.worries, d.defaults, func() { d.drawings(sheets) }, d.falls, d.ponds, d.buckets, d.hardAndDoses, d.method,
		d.cutLists, d.offcuts, d.orderList, d.held, d.checkSummary, d.safety, d.neighbours, d.records, d.workings,
	} {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("job pack: %w", err)
		}
		section()
	}
	d.feet()
	d.listContents(d.summaryEnd)
	d.f.SetPage(d.f.PageCount())
	return d, nil
}

// drawings puts every sheet on a page of its own size.
func (d *pack) drawings(sheets []*drawing.Sheet) {
	for i, s := range sheets {
		pdf.AddPage(d.f, s.Scene)
		d.sections[d.f.PageNo()] = ""
		if i == 0 {
			d.y = 0
			d.enter(countWords(len(sheets), "drawing"))
		}
		d.f.Bookmark(s.Scene.Title, 1, 0)
	}
}

// Sheets draws everything the plan has to show as one numbered set: the survey, the
// set-out, the cutting diagrams, how it hardens, and the days ahead.
func Sheets(p *plan.Plan) ([]*drawing.Sheet, error) {
	parts := []struct {
		count int
		make  func(first, of int) ([]*drawing.Sheet, error)
	}{
		{drawing.PlanSheetCount(p), func(first, of int) ([]*drawing.Sheet, error) { return drawing.PlanSheets(p, first, of) }},
		{drawing.CuttingSheetCount(p), func(first, of int) ([]*drawing.Sheet, error) { return drawing.CuttingSheets(p, first, of) }},
		{drawing.CureSheetCount(p), func(first, of int) ([]*drawing.Sheet, error) { return drawing.CureSheets(p, first, of) }},
		{drawing.AheadSheetCount(p.Ahead), func(first, of int) ([]*drawing.Sheet, error) {
			return drawing.AheadSheets(&p.Job, p.Ahead, first, of)
		}},
	}
	more := 0
	for _, part := range parts {
		more += part.count
	}
	set, err := drawing.Survey(&p.Job, more)
	if err != nil {
		return nil, err
	}
	of := len(set) + more
	for _, part := range parts {
		sheets, err := part.make(len(set)+1, of)
		if err != nil {
			return nil, err
		}
		if len(sheets) != part.count {
			return nil, fmt.Errorf("drawings: %d sheets came where %d were told", len(sheets), part.count)
		}
		set = append(set, sheets...)
	}
	return set, nil
}
