package document

import (
	"fmt"
	"strings"

	"gelwright/check"
	"gelwright/check/detailing"
	"gelwright/laying"
	"gelwright/roof"
	"gelwright/scene/reading"
)

// figureBox is one of the large figures of the first page.
type figureBox struct {
	value, unit, words, mark string
}

// A fact may take two lines, the roof three, and all of them so many: a note of a page is read
// in the roof file.
const mostFactLines = 11

// facts says whose roof it is and what it will be, on the left of the first page.
func (d *pack) facts(wide float64) {
	const label = 21.0
	var told [][2]string
	said := &reading.Node{Kind: reading.Table}
	d.part.Add(said)
	for _, f := range [][2]string{
		{"Site", d.p.Job.Site.Name}, {"Client", d.p.Job.Client}, {"Reference", d.p.Job.Reference}, {"Date", d.date()},
		{"Prepared", d.p.Job.PreparedBy},
		{"Work", d.workWords()}, {"Roof", d.local(roofWords(d.p.Job))},
		{"Note", d.p.Job.Note},
	} {
		if f[1] != "" {
			told = append(told, f)
		}
	}
	spare := mostFactLines - len(told)
	for _, f := range told {
		about, says := &reading.Node{Kind: reading.Head, Text: f[0], Rowwise: true}, &reading.Node{Kind: reading.Cell, Text: f[1]}
		said.Add((&reading.Node{Kind: reading.Row}).Add(about, says))
		d.font(sizeText, true)
		h := lineMM(sizeText)
		d.f.In(about, func() { d.text(left, d.y+h*0.78, f[0]) })
		d.font(sizeText, false)
		most := 1 + min(1, spare)
		if f[0] == "Roof" {
			most = 3
		}
		lines := d.fewLines(f[1], wide-label, most)
		spare = max(spare-len(lines)+1, 0)
		d.f.In(says, func() {
			for _, l := range lines {
				d.textWithin(left+label, d.y+h*0.78, left+wide, l)
				d.y += h
			}
		})
		d.y += 0.5
	}
}

// deckMarks joins the marks of a figure that every deck has of its own.
func (d *pack) deckMarks(before, after string) string {
	var keys []string
	for _, k := range d.p.Decks {
		keys = append(keys, before+k.Name+after)
	}
	return d.refs.marks(keys)
}

// boxes sets the large figures side by side.
func (d *pack) boxes(b []figureBox) {
	w := d.width() / float64(len(b))
	const h = 20.0
	d.room(h)
	for i, x := range b {
		at := left + w*float64(i)
		wide := w - 2
		if i == len(b)-1 {
			wide = w
		}
		d.f.SetDrawColor(0, 0, 0)
		d.f.SetLineWidth(0.5)
		d.f.Rect(at, d.y, wide, h, "D")
		d.as(reading.Paragraph, joinNonEmpty(" ", x.value, x.unit, x.words, x.mark), func() { d.boxed(x, at, wide) })
	}
	d.y += h
}

// boxed letters one large figure: what it is of is read before where it comes from.
func (d *pack) boxed(x figureBox, at, wide float64) {
	d.font(23, true)
	d.text(at+2.2, d.y+9.5, x.value)
	vw := d.f.GetStringWidth(x.value)
	if x.unit != "" {
		d.font(sizeSub, false)
		d.textWithin(at+3.4+vw, d.y+9.5, at+wide, x.unit)
	}
	d.font(sizeSmall, false)
	for k, l := range d.wrap(x.words, wide-4) {
		d.textWithin(at+2.2, d.y+14+float64(k)*lineMM(sizeSmall), at+wide, l)
	}
	d.font(sizeMark, false)
	if first, _, several := strings.Cut(x.mark, "]"); several && d.f.GetStringWidth(x.mark) > wide-2 {
		x.mark = first + "] …"
	}
	d.textWithin(at+wide-1-d.f.GetStringWidth(x.mark), d.y+2.8, at+wide, x.mark)
}

// lowPointWorries are the decks on which water stands, where no check weighs it.
func (d *pack) lowPointWorries() (list []string) {
	standing := map[string]bool{}
	for _, r := range d.p.Checks {
		standing[r.Where] = standing[r.Where] || r.Key == "drainage.standing"
	}
	for _, k := range d.p.Decks {
		// Where a check weighs the standing water it stands with its verdict.
		if k.LowPointFault != "" && !standing["deck "+k.Name] {
			list = append(list, "Deck "+k.Name+": "+k.LowPointFault)
		}
	}
	return list
}

// worst lists what to worry about, worst first, in a few words each.
func (d *pack) worst() (list []string, counts map[check.Verdict]int) {
	counts = map[check.Verdict]int{}
	if r := d.p.RefusedOverlay(); r != nil {
		list = append(list, r.Title+" "+capital(r.Finding))
	}
	for _, x := range d.p.Passes {
		if x.Refusal != "" {
			list = append(list, capital(passName(x))+" on deck "+x.Deck+": "+x.Refusal)
			break
		}
	}
	list = append(list, d.lowPointWorries()...)
	for _, r := range d.p.Checks {
		counts[r.Verdict]++
	}
	for _, v := range []check.Verdict{check.Fail, check.Ask, check.Caution} {
		for _, g := range d.alikeChecks(v) {
			if v == check.Fail && g.result.Key == detailing.OverlayKey {
				continue // it stands first
			}
			list = append(list, g.result.Title+" "+capital(g.result.Finding))
		}
	}
	for _, g := range d.alikeFindings() {
		if d.saidByCheck(g.finding) {
			continue
		}
		list = append(list, capital(g.finding.Text))
	}
	return list, counts
}

// saidByCheck reports whether a failed check says the same as a finding.
func (d *pack) saidByCheck(f roof.Finding) bool {
	return f.Code == "overlay.refused" && d.p.RefusedOverlay() != nil
}

// short cuts a text at a word, not to run over the first page.
func short(text string, most int) string {
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	cut := strings.TrimRight(string(r[:most]), " ")
	if k := strings.LastIndex(cut, " "); k > 0 {
		cut = cut[:k]
	}
	return cut + " …"
}

func (d *pack) deckTable() {
	d.heading("The decks", 12)
	var rows [][]string
	for _, k := range d.p.Decks {
		fall := "none"
		if k.LeastFall > 0 {
			fall = "1:" + d.num(k.LeastFall, 0)
		}
		rows = append(rows, []string{k.Name, with(d.num(k.NetM2, 2), d.refs.mark("deck."+k.Name+".net")),
			with(d.num(k.EdgeM, 2), d.refs.mark("deck."+k.Name+".gross")), fall, with(d.num(k.HighestMM, 0), d.refs.mark("deck."+k.Name+".rise")),
			with(d.num(k.LaminateMM, 2), d.refs.mark("laminate."+k.Name+".deck.thickness")),
			with(d.num(k.GlassPct, 0), d.refs.mark("laminate."+k.Name+".deck.glass_fraction")),
			with(d.num(k.ResinKGPerM2, 2), d.refs.mark("laminate."+k.Name+".deck.resin_rate"))})
	}
	d.table(table{columns: []column{{head: "deck", share: 24, bold: true}, {head: "net m²", share: 17, number: true},
		{head: "edges m", share: 13, number: true}, {head: "least fall", share: 12, number: true},
		{head: "rise mm", share: 15, number: true}, {head: "laminate mm", share: 16, number: true},
		{head: "glass %", share: 13, number: true}, {head: "resin kg/m²", share: 16, number: true}}, points: sizeText}, rows)
}

// table draws a table in the job's locale.
func (d *pack) table(t table, rows [][]string) {
	t.mark = d.num(0.5, 1)[1:2]
	t.draw(d.pages, rows)
}

// dayWords is how warm the deck is while buckets are mixed.
func (d *pack) dayWords() string {
	low, high, any := 0.0, 0.0, false
	for _, x := range d.p.Passes {
		if x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			_, deckC, _ := d.p.Schedule.At(m.Day, m.MixAtMin)
			if !any {
				low, high, any = deckC, deckC, true
			}
			low, high = min(low, deckC), max(high, deckC)
		}
	}
	if !any {
		low, high = d.p.Job.Day.DeckC, d.p.Job.Day.DeckC
	}
	if d.num(low, 0) == d.num(high, 0) {
		return d.num(low, 0) + " °C"
	}
	return d.num(low, 0) + " to " + d.num(high, 0) + " °C"
}

// fewOf keeps the first of many like sentences, and how many there are: a part may be past
// its window dozens of times.
func fewOf(text string) string {
	const most = 2
	list := strings.Split(text, "; ")
	if len(list) <= most {
		return text
	}
	return fmt.Sprintf("%s; and %d more alike", list[0], len(list)-1)
}

// mixKey is the prefix of the figures of one bucket.
func mixKey(x laying.Pass, number int) string {
	pass := "details"
	switch x.Kind {
	case "mat":
		pass = fmt.Sprintf("mat%d", x.Layer)
	case laying.CuttingIn:
		pass = fmt.Sprintf("cutin%d", x.Layer)
	case "top coat":
		pass = fmt.Sprintf("coat%d", x.Layer)
	}
	return fmt.Sprintf("mix.%s.%s.%d", x.Deck, pass, number)
}

// workWords is the kind of work, and that it is refused where a check refuses it.
func (d *pack) workWords() string {
	w := workWords(d.p.Job)
	if d.p.RefusedOverlay() != nil {
		return "REFUSED: see what to worry about – " + w
	}
	return w
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
		w += "; to be finished by " + dateWords(j.Work.FinishBy, j.Site.Locale)
	}
	return w
}

func roofWords(j roof.Job) string {
	s := j.Spec
	var mats []string
	for _, g := range s.Layers {
		mats = append(mats, fmt.Sprintf("%g", g))
	}
	text := fmt.Sprintf("%s g/m² mat on %g mm %s, %s top coat", strings.Join(mats, " + "), s.Board.ThicknessMM, s.Board.Material,
		s.TopCoat.Colour)
	if s.Insulation != nil {
		text += fmt.Sprintf(", %s roof with %g mm %s", s.Build, s.Insulation.ThicknessMM, s.Insulation.Material)
	} else {
		text += ", " + s.Build
	}
	return text + "; over: " + j.Use.Below + "; access: " + j.Use.Access
}

func joinNonEmpty(sep string, parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, sep)
}

func countWords(n int, one string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// oneOr is a word that follows a number printed apart from it.
func oneOr(n int, one string) string {
	if n == 1 {
		return one
	}
	return one + "s"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}
