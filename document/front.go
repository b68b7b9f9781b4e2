package document

import (
	"fmt"
	"strings"

	"gelwright/check"
	"gelwright/scene/pdf"
)

// miniatureMM is how wide the roof at a glance stands on a first page, miniatureHighMM how high.
const miniatureMM, miniatureHighMM = 58.0, 42.0

// cover begins a book: its title over a heavy rule.
func (d *pack) cover(why string) {
	d.section = d.called
	d.page()
	d.f.Bookmark(d.called, 0, 0)
	d.font(sizeTiny, true)
	d.text(left, d.y+2, strings.ToUpper(d.called))
	d.y += 3
	d.write(d.p.Job.Name, sizeTitle, true, 0)
	d.gap(0.5)
	d.line(left, d.y, pageWidth-right, d.y, 0.7)
	d.gap(2)
	if why != "" {
		d.write(why, sizeSmall, false, 0)
		d.gap(1)
	}
}

// atAGlance sets whose roof it is beside a small plan of it.
func (d *pack) atAGlance() {
	y := d.y
	d.facts(d.width() - miniatureMM - 4)
	below := d.y
	small := d.miniature(miniatureMM, miniatureHighMM)
	pdf.Draw(d.f, small, pageWidth-right-miniatureMM, y)
	d.y = max(below, y+small.HeightMM) + 2
}

// front is the site book's first page: what, where, when to start, in which order, what to
// worry about, where the way out is and whom to call.
func (d *pack) front() {
	p := d.p
	d.cover("")
	d.atAGlance()
	d.boxes([]figureBox{
		{d.num(p.Totals.NetM2, 1), "m²", "net roof, " + countWords(len(p.Decks), "deck"), d.refs.mark("roof.net")},
		{d.num(p.Totals.ResinKG, 0), "kg", "laminating resin to mix", d.refs.mark("roof.resin")},
		{d.num(p.Totals.CoatKG, 0), "kg", "top coat to mix", d.refs.mark("roof.topcoat")},
		{fmt.Sprint(p.Totals.Buckets), "", oneOr(p.Totals.Buckets, "bucket") + ", " + d.dayWords(), d.refs.mark("roof.buckets")},
		{fmt.Sprint(p.Totals.Boards), "", "deck " + oneOr(p.Totals.Boards, "board") + " to buy", d.deckMarks("setout.", ".boards")},
	})
	d.gap(1)
	d.bucketOfTheDay()
	d.orderOfWork()
	d.worstOf(mostWorries, "office.pdf")
	d.wayOutAndPhones()
	d.summaryEnd = d.y + 2
	if d.f.PageNo() > 1 {
		d.summaryEnd = pageHeight
	}
}

// mostWorries stand on the first page; the office has them all.
const mostWorries = 3

// worstOf names the worst few of what to worry about, and where they all stand.
func (d *pack) worstOf(most int, where string) {
	list, _ := d.worst()
	d.heading("What to worry about", 14)
	if len(list) == 0 {
		d.write("Nothing stands open.", sizeText, false, 0)
		return
	}
	for i, l := range list[:min(most, len(list))] {
		d.hanging(fmt.Sprint(i+1), d.local(strings.TrimSuffix(short(l, 150), ".")+"."), sizeSmall+0.3, 5)
	}
	if len(list) > most {
		d.write(fmt.Sprintf("All %d stand in %s, each with what would settle it.", len(list), where), sizeSmall, false, 5)
	}
}

// orderOfWork lists the stages with their steps; the days of the wet work stand above.
func (d *pack) orderOfWork() {
	d.heading("Order of work, by the steps of the method", 30)
	type stage struct {
		name        string
		first, last int
	}
	var stages []stage
	for _, s := range d.p.Method {
		if k := len(stages) - 1; k >= 0 && stages[k].name == s.Stage {
			stages[k].last = s.Number
			continue
		}
		stages = append(stages, stage{s.Stage, s.Number, s.Number})
	}
	var rows [][]string
	for _, s := range stages {
		rows = append(rows, []string{"", s.name, numbersWords(s.first, s.last), ""})
	}
	columns := []column{{share: 6, tick: true}, {head: "stage", share: 42, bold: true}, {head: "steps", share: 14},
		{head: "done on, by", share: 27}}
	d.table(table{columns: append(columns, columns...), leastMM: 5.4}, sideBySide(rows, len(columns)))
}

// wayOutAndPhones is where the last bucket ends, and lines for whom to call.
func (d *pack) wayOutAndPhones() {
	d.heading("Way out and telephone", 14)
	open := "The way out is checked after every bucket."
	for _, x := range d.p.Passes {
		if x.Plan != nil && x.AreaM2 > 0 && !x.Plan.WayOut.Holds {
			open = "The way out is " + wayOut(x) + " (" + passName(x) + ", deck " + x.Deck + ")."
			break
		}
	}
	var at []string
	for i := range d.p.Job.Decks {
		k := &d.p.Job.Decks[i]
		words := fmt.Sprintf("at %s / %s m", d.num(k.Exit.X, 1), d.num(k.Exit.Y, 1))
		if e, _, _ := k.Outline.Nearest(k.Exit); e < len(k.Edges) {
			words = fmt.Sprintf("on edge %d (%s)", e+1, k.Edges[e].Condition)
		}
		if len(d.p.Job.Decks) > 1 {
			words = "deck " + k.Name + " " + words
		}
		at = append(at, words)
	}
	d.write("Off the roof by the ladder, marked Exit on every drawing: "+strings.Join(at, "; ")+". Work ends there. "+open, sizeSmall+0.3,
		false, 0)
	d.blanks([]string{"Foreman", "Office", "Emergency", "Eye hospital"}, []float64{44, 44, 44, 46})
}

// officeFront begins the office book with what stands open and how the decks are.
func (d *pack) officeFront() {
	d.cover("What is to settle, to order, to check and to send. The crew's book is site.pdf; where a figure in square brackets comes from " +
		"stands in workings.pdf. The supplier's data sheets, the local rules and a licensed person outrank everything here.")
	d.atAGlance()
	d.tallies()
	d.worstOf(mostWorries, "what to settle first, below")
	d.deckTable()
	d.summaryEnd = d.y + 3
}

// tallies counts what stands open.
func (d *pack) tallies() {
	_, counts := d.worst()
	x, y := left, d.y
	for _, t := range []struct {
		n     int
		words string
	}{{counts[check.Fail], "fail"}, {counts[check.Ask], "to answer"}, {counts[check.Caution], "to look at"},
		{len(d.p.Findings), "from the survey"}, {counts[check.Pass], "pass"}, {len(d.p.Job.Defaults), "defaults taken"}} {
		d.font(sizeHead, true)
		n := fmt.Sprint(t.n)
		nw := d.f.GetStringWidth(n)
		d.text(x, y+5.4, n)
		d.font(sizeSmall, false)
		d.text(x+nw+1.4, y+5.4, t.words)
		x += nw + 1.4 + d.f.GetStringWidth(t.words) + 7
	}
	d.y += 8
}

// workingsFront begins the book of workings with what was taken where the file is silent.
func (d *pack) workingsFront() {
	d.cover("What was taken where the roof file is silent, and formula, source and inputs of every figure marked in site.pdf and office.pdf.")
	d.defaults()
	d.summaryEnd = pageHeight
}
