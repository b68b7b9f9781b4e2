package document

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"gelwright/drawing"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/scene/pdf"
)

// pack is the job pack in the making.
type pack struct {
	*pages
	p    *plan.Plan
	refs *refs
}

// Pack returns the job pack as PDF with the given drawings in it.
func Pack(ctx context.Context, p *plan.Plan, sheets []*drawing.Sheet) ([]byte, error) {
	date, err := time.Parse(time.DateOnly, p.Job.Date)
	if err != nil {
		return nil, fmt.Errorf("date %q: give it as year-month-day, so that the documents can bear it", p.Job.Date)
	}
	running := p.Job.Name
	if p.Job.Reference != "" {
		running = p.Job.Reference + "  " + running
	}
	d := &pack{pages: newPages(date, p.Job.Name, running+"  "+p.Job.Date), p: p, refs: newRefs(p)}
	for _, section := range []func(){
		d.summary, d.worries, d.defaults, func() { d.drawings(sheets) }, d.buckets, d.doseCard, d.method, d.cutLists, d.orderList,
		d.checkSummary, d.safety, d.neighbours, d.records, d.workings,
	} {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("job pack: %w", err)
		}
		section()
	}
	var b bytes.Buffer
	if err := d.f.Output(&b); err != nil {
		return nil, fmt.Errorf("job pack: %w", err)
	}
	return b.Bytes(), nil
}

// drawings puts every sheet on a page of its own size.
func (d *pack) drawings(sheets []*drawing.Sheet) {
	d.section = ""
	for i, s := range sheets {
		pdf.AddPage(d.f, s.Scene)
		if i == 0 {
			d.f.Bookmark("Drawings", 0, 0)
		}
		d.f.Bookmark(s.Scene.Title, 1, 0)
	}
}

// Sheets draws everything the plan has to show, as one numbered set.
func Sheets(p *plan.Plan) ([]*drawing.Sheet, error) {
	more := drawing.PlanSheetCount(p)
	survey, err := drawing.Survey(&p.Job, more)
	if err != nil {
		return nil, err
	}
	rest, err := drawing.PlanSheets(p, len(survey)+1, len(survey)+more)
	if err != nil {
		return nil, err
	}
	return append(survey, rest...), nil
}

// figureBox is one of the large figures of the first page.
type figureBox struct {
	value, unit, words, key string
}

// summary is the first page: what, where, when, how much.
func (d *pack) summary() {
	p := d.p
	d.section = "Summary"
	d.page()
	d.f.Bookmark("Summary", 0, 0)
	d.write(p.Job.Name, sizeTitle, true, 0)
	d.gap(1)
	line := func(label, text string) {
		if text == "" {
			return
		}
		d.font(sizeText, true)
		h := lineMM(sizeText)
		d.f.Text(left, d.y+h*0.78, label)
		d.font(sizeText, false)
		for _, l := range d.wrap(text, d.width()-32) {
			d.font(sizeText, false)
			d.f.Text(left+32, d.y+h*0.78, l)
			d.y += h
		}
	}
	line("Site", p.Job.Site.Name)
	line("Client", p.Job.Client)
	line("Reference", p.Job.Reference)
	line("Prepared", joinNonEmpty(", ", p.Job.PreparedBy, p.Job.Date))
	line("Work", workWords(p.Job))
	line("Roof", roofWords(p.Job))
	line("Rules", p.Country)
	d.gap(4)

	t := p.Totals
	day := d.dayWords()
	boxes := []figureBox{
		{d.num(t.NetM2, 1), "m²", "net roof, " + countWords(len(p.Decks), "deck"), "roof.net"},
		{d.num(t.ResinKG, 0), "kg", "laminating resin to mix", "roof.resin"},
		{d.num(t.CoatKG, 0), "kg", "top coat to mix", "roof.topcoat"},
		{fmt.Sprint(t.Buckets), "", "buckets at " + day, "roof.buckets"},
		{fmt.Sprint(t.Boards), "", "deck boards", "setout." + p.Decks[0].Name + ".boards"},
	}
	d.boxes(boxes)
	d.gap(5)

	d.heading("The decks")
	rows := [][]string{}
	for _, k := range p.Decks {
		fall := "no fall"
		if k.LeastFall > 0 {
			fall = "1:" + d.num(k.LeastFall, 0)
		}
		rows = append(rows, []string{k.Name, d.num(k.NetM2, 2) + " " + d.refs.mark("deck."+k.Name+".net"), d.num(k.EdgeM, 2), fall, d.num(k.HighestMM, 0) + " " + d.refs.mark("deck."+k.Name+".rise"),
			d.num(k.LaminateMM, 2) + " " + d.refs.mark("laminate."+k.Name+".deck.thickness"), d.num(k.GlassPct, 0), d.num(k.ResinKGPerM2, 2) + " " + d.refs.mark("laminate."+k.Name+".deck.resin_rate")})
	}
	table{columns: []column{{head: "deck", share: 22, bold: true}, {head: "net m²", share: 16, number: true}, {head: "edges m", share: 13, number: true}, {head: "least fall", share: 12, number: true},
		{head: "rise mm", share: 14, number: true}, {head: "laminate mm", share: 15, number: true}, {head: "glass %", share: 10, number: true}, {head: "resin kg/m²", share: 16, number: true}}}.draw(d.pages, rows)

	d.heading("The bucket")
	d.write(d.bucketWords(), sizeText, false, 0)
	d.write(p.DoseCard.Convention+" "+p.DoseCard.HabitNote, sizeText, false, 0)
	d.gap(2)
	d.write("Numbers in square brackets point at the workings at the end: formula, source and inputs of each figure. The supplier's data sheets, the local rules and a licensed person outrank everything here.", sizeSmall, false, 0)
}

// boxes sets the large figures side by side.
func (d *pack) boxes(b []figureBox) {
	w := d.width() / float64(len(b))
	const h = 24.0
	d.room(h)
	for i, x := range b {
		at := left + w*float64(i)
		d.f.SetDrawColor(0, 0, 0)
		d.f.SetLineWidth(0.35)
		d.f.Rect(at, d.y, w-2, h, "D")
		d.font(22, true)
		d.f.Text(at+2.5, d.y+10, x.value)
		vw := d.f.GetStringWidth(x.value)
		d.font(sizeText, false)
		if x.unit != "" {
			d.f.Text(at+3.5+vw, d.y+10, x.unit)
		}
		d.font(sizeTiny, false)
		if m := d.refs.mark(x.key); m != "" {
			d.f.Text(at+w-2.6-d.f.GetStringWidth(m), d.y+3.2, m)
		}
		d.font(sizeSmall, false)
		for k, l := range d.wrap(x.words, w-6) {
			d.f.Text(at+2.5, d.y+15.5+float64(k)*lineMM(sizeSmall), l)
		}
	}
	d.y += h
}

func (d *pack) dayWords() string {
	h := d.p.Job.Day.Hours
	if len(h) == 0 {
		return d.num(d.p.Job.Day.DeckC, 0) + " °C"
	}
	low, high := h[0].DeckC, h[0].DeckC
	for _, x := range h {
		low, high = min(low, x.DeckC), max(high, x.DeckC)
	}
	return d.num(low, 0) + " to " + d.num(high, 0) + " °C on the deck"
}

// bucketWords says the usual bucket in one sentence.
func (d *pack) bucketWords() string {
	for _, pass := range d.p.Passes {
		if pass.Kind != "mat" {
			continue
		}
		if pass.Plan == nil {
			return "No bucket can be mixed at this temperature. " + pass.Refusal + "."
		}
		m := pass.Plan.Mixes[0]
		return fmt.Sprintf("First bucket of the laminate: %s kg (%s l) of resin with %s ml (%s g) of catalyst, %s %% by mass, gels in %s to %s minutes; lay it within %s. Chance that every bucket of the day is laid before it gels: %s %%.",
			d.num(m.ResinKG, 2), d.num(m.ResinL, 2), d.num(m.CatalystML, 0), d.num(m.CatalystG, 0), d.num(m.DosePct, 2), d.num(m.Gel.LowMin, 0), d.num(m.Gel.HighMin, 0), d.num(m.LayByMin, 0), d.num(100*pass.Plan.ChanceDay, 0))
	}
	return ""
}

func workWords(j roof.Job) string {
	w := map[string]string{"new": "new build-up", "strip": "strip and renew", "overlay": "overlay of the old covering"}[j.Work.Kind]
	if w == "" {
		w = j.Work.Kind
	}
	if j.Work.OldCovering != "" {
		w += ", old covering: " + j.Work.OldCovering
	}
	if j.Work.FinishBy != "" {
		w += "; to be finished by " + j.Work.FinishBy
	}
	return w
}

func roofWords(j roof.Job) string {
	s := j.Spec
	mats := ""
	for i, g := range s.Layers {
		if i > 0 {
			mats += " + "
		}
		mats += fmt.Sprintf("%g", g)
	}
	text := fmt.Sprintf("%s g/m² mat on %g mm %s, %s top coat", mats, s.Board.ThicknessMM, s.Board.Material, s.TopCoat.Colour)
	if s.Insulation != nil {
		text += fmt.Sprintf(", %s roof with %g mm %s", s.Build, s.Insulation.ThicknessMM, s.Insulation.Material)
	} else {
		text += ", " + s.Build
	}
	return text + "; over: " + j.Use.Below + "; access: " + j.Use.Access
}

func joinNonEmpty(sep string, parts ...string) string {
	out := ""
	for _, p := range parts {
		if p == "" {
			continue
		}
		if out != "" {
			out += sep
		}
		out += p
	}
	return out
}

func countWords(n int, one string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}
