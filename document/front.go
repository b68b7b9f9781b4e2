package document

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/scene/pdf"
	"gelwright/scene/reading"
	"gelwright/settingout"
)

// miniatureMM is how wide the roof at a glance stands on a first page, miniatureHighMM how high.
const miniatureMM, miniatureHighMM = 58.0, 42.0

// cover begins a book: its title over a heavy rule.
func (d *pack) cover(why string) {
	d.section = d.called
	d.page()
	d.newPart()
	d.first, d.sub = d.part, reading.Heading
	d.f.Bookmark(d.called, 0, 0)
	d.font(sizeTiny, true)
	called := strings.ToUpper(d.in.Say(d.called))
	d.in.Made(called)
	d.as(reading.Paragraph, called, func() { d.text(left, d.y+2, called) })
	d.y += 3
	size := sizeTitle
	if d.font(size, true); len(d.wrap(d.p.Job.Name, d.width())) > 1 {
		size = sizeHead
		d.font(size, true)
	}
	d.as(reading.Title, d.p.Job.Name, func() { d.setLines(d.fewLines(d.p.Job.Name, d.width(), 2), size, true) })
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
	pdf.Draw(d.f, small, pageWidth-right-miniatureMM, y, d.part)
	d.y = max(below, y+small.HeightMM) + 2
}

// front is the site book's first page, and always one: what, where, when to start, in which
// order, what to worry about, where the way out is and whom to call. What has no fixed length
// takes the room that the rest leaves, and says where all of it stands.
func (d *pack) front() {
	p := d.p
	d.cover("")
	d.notRead()
	d.atAGlance()
	d.boxes([]figureBox{
		{d.num(p.Totals.NetM2, 1), "m²", "net roof, " + countWords(len(p.Decks), "deck"), d.refs.mark("roof.net")},
		{d.num(p.Totals.ResinKG, 0), "kg", "laminating resin to mix", d.refs.mark("roof.resin")},
		{d.num(p.Totals.CoatKG, 0), "kg", "top coat to mix", d.refs.mark("roof.topcoat")},
		{fmt.Sprint(p.Totals.Buckets), "", oneOr(p.Totals.Buckets, "bucket") + ", " + d.dayWords(), d.refs.mark("roof.buckets")},
		{fmt.Sprint(p.Totals.Boards), "", "deck " + oneOr(p.Totals.Boards, "board") + " to buy", d.deckMarks("setout.", ".boards")},
	})
	d.gap(1)
	exit := d.exitLines()
	wayOutMM := headingMM + float64(len(exit))*lineMM(sizeWay) + phonesMM
	worriesMM := headingMM + 2*(2*lineMM(sizeWorry)+hangingGapMM) + lineMM(sizeSmall)
	order, orderRows := d.stages(bottom - d.y - d.leastWetMM() - headingMM - worriesMM - wayOutMM)
	d.bucketOfTheDay(bottom - headingMM - order.measure(d.pages, orderRows) - worriesMM - wayOutMM)
	d.heading("Order of work, by the steps of the method", 0)
	d.table(order, orderRows)
	d.worstOf(mostWorries, "office.pdf", bottom-wayOutMM)
	d.wayOutAndPhones(exit)
	d.summaryEnd = d.y + 2
}

// Room on the first page, mm: a heading with what is above and below it, the lines for
// telephone numbers, and the gap below an item of a list.
const headingMM, phonesMM, hangingGapMM = 11.0, 10.0, 0.8

// Sizes of type on the first page: worries, and the way out.
const sizeWorry, sizeWay = sizeSmall + 0.3, sizeSmall + 0.3

// mostWorries stand on the first page; the office has them all.
const mostWorries = 3

// mostWorryRunes is about two lines of a worry.
const mostWorryRunes = 150

// worstOf names the worst few of what to worry about, as far as they fit above until, and where
// they all stand.
func (d *pack) worstOf(most int, where string, until float64) {
	list, _ := d.worst()
	d.heading("What to worry about", 0)
	if len(list) == 0 {
		d.write("Nothing stands open.", sizeText, false, 0)
		return
	}
	told := 0
	for told < min(most, len(list)) {
		text := strings.TrimRight(short(d.in.Say(d.local(list[told])), mostWorryRunes), ".")
		if !strings.HasSuffix(text, "…") {
			text += "."
		}
		d.in.Made(text)
		d.font(sizeWorry, false)
		high := float64(len(d.wrap(text, d.width()-5)))*lineMM(sizeWorry) + hangingGapMM
		if d.y+high+lineMM(sizeSmall) > until && told > 0 {
			break
		}
		told++
		d.hanging(fmt.Sprint(told), text, sizeWorry, 5)
	}
	if len(list) > told {
		d.write(fmt.Sprintf("All %d stand in %s, each with what would settle it.", len(list), where), sizeSmall, false, 5)
	}
}

// stages are the stages of the work with their steps, two side by side, as many as fit in so many
// millimetres; the method has all of them, and the days of the wet work stand above.
func (d *pack) stages(mostMM float64) (table, [][]string) {
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
	columns := []column{{share: 6, tick: true}, {head: "stage", share: 42, bold: true}, {head: "steps", share: 14},
		{head: "done on, by", share: 27}}
	t := table{columns: append(columns, columns...), leastMM: 5.4}
	for n := len(stages); ; n-- {
		var rows [][]string
		for _, s := range stages[:n] {
			rows = append(rows, []string{"", s.name, numbersWords(s.first, s.last), ""})
		}
		if left := len(stages) - n; left > 0 {
			rows = append(rows, []string{"", fmt.Sprintf("and %d more, in the method", left), "", ""})
		}
		if out := sideBySide(rows, len(columns)); n == 0 || t.measure(d.pages, out) <= mostMM {
			return t, out
		}
	}
}

// leastWetMM is the room that the stages leave the wet work: verdict, refusals and its passes, which a crew asks for first; about ten of
// them, for a roof of many decks.
func (d *pack) leastWetMM() float64 {
	const mostRowsMM, noteMM = 62.0, 4.0
	t, rows := d.wetTable()
	high := headingMM + min(t.measure(d.pages, rows), mostRowsMM)
	d.font(sizeText, true)
	if words := d.local(d.p.Schedule.Headline()); words != "" {
		high += frameMM + lineMM(sizeText)*float64(len(d.fewLines(words, d.width()-6, mostVerdict)))
	}
	if d.p.Schedule.AnyDayFrom != "" {
		high += noteMM
	}
	return high + lineMM(sizeText)*float64(len(d.refusedLines(mostRefused)))
}

// Lines of the verdict and of the refusals that the first page has room for.
const mostVerdict, mostRefused = 4, 3

// mostExitLines say where people leave the roof; every drawing shows it.
const mostExitLines = 3

// exitLines say where the way off the roof is and whether the last bucket leaves it open.
func (d *pack) exitLines() []string {
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
		words := d.exitWords(k)
		if len(d.p.Job.Decks) > 1 {
			words = "deck " + k.Name + " " + words
		}
		at = append(at, words)
	}
	d.font(sizeWay, false)
	return d.fewLines(open+" Off the roof where work ends, marked Exit on every drawing: "+strings.Join(at, "; ")+".",
		d.width(), mostExitLines)
}

// atExitM is how near to a door, or to an edge, the exit lies to be by it or over it, m.
const atExitM = 1.0

// exitWords say how people leave a deck as far as the roof file tells: through a hatch, by a
// door whose sill stands there, or over an edge that no wall stands on. Whether a ladder or a
// scaffold stands there it does not tell.
func (d *pack) exitWords(k *roof.Deck) string {
	for _, o := range k.Openings {
		if o.Kind == "hatch" {
			if away, in := o.Outline.Outline().Away(k.Exit); in || away < atExitM/2 {
				return "through hatch " + o.Name
			}
		}
	}
	e, at, away := k.Outline.Nearest(k.Exit)
	if e < 0 || e >= len(k.Edges) || away > atExitM {
		return fmt.Sprintf("at %s / %s m", d.num(k.Exit.X, 1), d.num(k.Exit.Y, 1))
	}
	edge := &k.Edges[e]
	along := k.Outline[e].Point.Distance(at)
	for _, s := range edge.Thresholds {
		if along > s.FromM-atExitM && along < s.ToM+atExitM {
			return fmt.Sprintf("by the door on edge %d", e+1)
		}
	}
	how := "over"
	if edge.Condition.HasUpstand() || edge.Condition == roof.Joins || edge.Condition == roof.BoxGutter {
		how = "at"
	}
	return fmt.Sprintf("%s edge %d (%s)", how, e+1, edge.Condition)
}

// wayOutAndPhones is where the last bucket ends, and lines for whom to call.
func (d *pack) wayOutAndPhones(exit []string) {
	d.heading("Way out and telephone", 0)
	d.setLines(exit, sizeWay, false)
	d.blanks([]string{"Foreman", "Office", "Emergency", "Eye hospital"}, []float64{44, 44, 44, 46})
}

// fewLines wraps a text in the present font and ends it with dots after the most lines.
func (d *pack) fewLines(text string, wide float64, most int) []string {
	lines := d.wrap(text, wide)
	if len(lines) <= most {
		return lines
	}
	last := strings.TrimRight(lines[most-1], " ,;:.")
	for d.f.GetStringWidth(clean(last+" …")) > wide && strings.Contains(last, " ") {
		last = last[:strings.LastIndex(last, " ")]
	}
	lines = append(lines[:most-1:most-1], last+" …")
	d.in.Made(last+" …", strings.Join(lines, " "))
	return lines
}

// setLines sets lines that are wrapped already.
func (d *pack) setLines(lines []string, points float64, bold bool) {
	if len(lines) == 0 {
		return
	}
	d.as(reading.Paragraph, strings.Join(lines, " "), func() {
		d.font(points, bold)
		for _, l := range lines {
			d.text(left, d.y+lineMM(points)*0.78, l)
			d.y += lineMM(points)
		}
	})
}

// mostBefore is so many letters of what comes before a pass that stand on the first page.
const mostBefore = 90

// bucketOfTheDay says on which day and at which hour each pass is laid, and how warm it is
// then, as far as it fits above until; doses stand in the bucket tables alone, each beside the
// temperatures it holds for.
func (d *pack) bucketOfTheDay(until float64) {
	s := &d.p.Schedule
	d.heading("The wet work", 0)
	if words := d.local(s.Headline()); words != "" {
		d.font(sizeText, true)
		d.frame(d.fewLines(words, d.width()-6, mostVerdict))
	}
	if s.Verdict == laying.NotSure {
		d.write("A chance in the table is of that start by itself and no order to begin: what it opens must be closed by what follows.",
			sizeSmall, true, 0)
	}
	if s.AnyDayFrom != "" {
		d.write(fmt.Sprintf("Any day from %s on was asked for; the job is dated %s.", dateWords(s.AnyDayFrom, d.p.Job.Site.Locale), d.date()),
			sizeSmall, true, 0)
	}
	d.font(sizeText, true)
	refused := d.refusedLines(mostRefused)
	t, rows := d.wetTable()
	until -= float64(len(refused)) * lineMM(sizeText)
	if all := len(rows); all > 0 {
		for n := all - 1; n > 0 && d.y+t.measure(d.pages, rows) > until; n-- {
			rows = append(rows[:n:n], []string{fmt.Sprintf("and %d more", all-n), "in the bucket tables"})
		}
		d.table(t, rows)
	}
	d.setLines(refused, sizeText, true)
}

// refusedLines say for which passes no bucket can be mixed, and why, in the present font.
func (d *pack) refusedLines(most int) []string {
	var names []string
	why := ""
	for _, x := range d.p.Passes {
		if x.Refusal == "" {
			continue
		}
		name := passName(x)
		if len(d.p.Decks) > 1 {
			name += ", " + x.Deck
		}
		names = append(names, name)
		if why == "" {
			why = x.Refusal
		}
	}
	if len(names) == 0 {
		return nil
	}
	const few = 3
	list := strings.Join(names, "; ")
	if len(names) > few {
		list = fmt.Sprintf("%s and %d more", strings.Join(names[:few], "; "), len(names)-few)
	}
	return d.fewLines("No bucket can be mixed for "+list+": "+d.local(why)+".", d.width(), most)
}

// gangsTogether makes one stretch of those that gangs lay at the same time, its mixes in the order of their hours.
func gangsTogether(days []wetDay) []wetDay {
	var out []wetDay
	for _, w := range days {
		if k := len(out) - 1; k >= 0 && w.gang != "" && out[k].gang != "" && w.day == out[k].day && w.part == out[k].part &&
			w.pass.Key() == out[k].pass.Key() {
			out[k].gangs++
			out[k].mixes = append(slices.Clone(out[k].mixes), w.mixes...)
			slices.SortStableFunc(out[k].mixes, func(a, b mixing.Mix) int { return cmp.Compare(a.MixAtMin, b.MixAtMin) })
			continue
		}
		w.gangs = 1
		out = append(out, w)
	}
	return out
}

// wetTable is a row for each stretch of wet work; what no row says has no column.
func (d *pack) wetTable() (table, [][]string) {
	s := &d.p.Schedule
	var rows [][]string
	for _, w := range gangsTogether(d.wetDays()) {
		day := fmt.Sprintf("day %d", w.day)
		if s.Forecast() {
			day = d.dateOf(w.day)
		}
		first, last := w.mixes[0], w.mixes[len(w.mixes)-1]
		_, fromC, pailC := s.At(w.day, first.MixAtMin)
		_, toC, _ := s.At(w.day, last.MixAtMin)
		chance, before, end := "", "", ""
		if w.part != nil {
			before, end = short(d.in.Say(d.local(fewOf(w.part.First))), mostBefore), clockWords(w.part.EndMin)
			d.in.Made(before)
			if s.Forecast() {
				chance = d.num(100*w.part.P, 0) + " %"
			}
		}
		name := w.name()
		if len(d.p.Decks) > 1 {
			name += ", " + w.pass.Deck
		}
		rows = append(rows, []string{name, day, clockWords(first.MixAtMin), end, d.num(fromC, 0) + "–" + d.num(toC, 0), d.num(pailC, 0),
			countWords(len(w.mixes), "bucket"), chance, before})
	}
	t := table{columns: []column{{head: "pass", share: 30, bold: true}, {head: "day", share: 27}, {head: "first bucket", share: 14},
		{head: "ends", share: 12}, {head: "deck °C", share: 14}, {head: "pail °C", share: 11}, {head: "buckets", share: 18},
		{head: "chance", share: 13}, {head: "before it", share: 36}}}
	for _, c := range [...]int{8, 7} {
		if longest(rows, c) > 0 {
			continue
		}
		t.columns[0].share += t.columns[c].share
		t.columns = slices.Delete(t.columns, c, c+1)
		for i, r := range rows {
			rows[i] = slices.Delete(r, c, c+1)
		}
	}
	return t, rows
}

// officeFront begins the office book with what stands open and how the decks are.
func (d *pack) officeFront() {
	d.cover("What is to settle, to order, to check and to send. The crew's book is site.pdf; where a figure in square brackets comes from " +
		"stands in workings.pdf. The supplier's data sheets, the local rules and a licensed person outrank everything here.")
	d.atAGlance()
	d.tallies()
	d.worstOf(mostWorries, "what to settle first, below", bottom)
	d.deckTable()
	d.heldInFront()
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
		n, nw := fmt.Sprint(t.n), 0.0
		d.as(reading.Paragraph, n+" "+t.words, func() {
			d.font(sizeHead, true)
			nw = d.f.GetStringWidth(n)
			d.text(x, y+5.4, n)
			d.font(sizeSmall, false)
			d.text(x+nw+1.4, y+5.4, t.words)
		})
		x += nw + 1.4 + d.f.GetStringWidth(d.set(t.words)) + 7
	}
	d.y += 8
}

// workingsFront begins the book of workings with what was taken where the file is silent.
func (d *pack) workingsFront() {
	d.cover("What was taken where the roof file is silent, and formula, source and inputs of every figure marked in site.pdf and office.pdf.")
	d.defaults()
	d.keptRows()
	d.summaryEnd = pageHeight
}

// keptRows is what is written in the roof file to have the same rows of boards again, deck by deck; nothing where an offset gives them.
func (d *pack) keptRows() {
	first := true
	for i := range d.p.Decks {
		for _, c := range d.p.Decks[i].Choices() {
			_, pin, found := strings.Cut(c.Text, settingout.ToKeepRows)
			if !found {
				continue
			}
			if first {
				d.heading("To keep the rows of boards", 10)
				first = false
			}
			d.bullet("•", fmt.Sprintf("Deck %s, %s: %s", d.p.Decks[i].Name, c.About, pin))
		}
	}
}
