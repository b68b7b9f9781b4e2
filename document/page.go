package document

import (
	"fmt"
	"math"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gelwright/language"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/reading"
)

// Page measures, mm: A4 with room for a binder's holes on the left.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
	left       = 20.0
	right      = 12.0
	top        = 14.0
	foot       = 16.0
	columnGap  = 6.0
	lineGap    = 1.32 // line height over type height
	pointMM    = 25.4 / 72
)

// Type sizes, points.
const (
	sizeTitle = 22.0
	sizeHead  = 15.0
	sizeSub   = 11.0
	sizeText  = 9.5
	sizeSmall = 8.2
	sizeTiny  = 7.0 // the least that is read; marks of references alone are smaller
	sizeMark  = 5.8
)

// entry is one line of the contents.
type entry struct {
	title string
	page  int
	part  *reading.Node
}

// placed is one piece of lettering as it stands on a page, for a test that looks
// whether anything runs over an edge.
type placed struct {
	page           int
	x, y, wide, mm float64 // start and base line, width, and the right limit it must keep
	points         float64 // size of the type
	text           string
}

// pages writes text pages from top to bottom, beginning a new one when one is full.
type pages struct {
	f *pdf.Document
	y float64
	// part is the section that is being read, sub the kind of the headings within it.
	part *reading.Node
	sub  reading.Kind
	// first is the part that the contents end.
	first *reading.Node
	// loose is lettering that stands in no paragraph, its last base line and page.
	loose     *reading.Node
	looseY    float64
	loosePage int
	// running stands in the foot of every text page, beside the page's section.
	running  string
	section  string
	sections map[int]string
	// columns the page is parted into, and the one being written; columnTop is where
	// they begin on this page.
	columns, column int
	columnTop       float64
	plain           int // text pages begun
	// contents are the sections with the page each begins on.
	contents []entry
	record   func(placed)
	// in says everything in the language of the papers; nil is English.
	in *language.Speaker
}

func newPages(date time.Time, title, author, running string) *pages {
	f := pdf.New(date, title, author)
	return &pages{f: f, part: f.Says, sub: reading.Heading, running: running, sections: map[int]string{}, columns: 1}
}

// feet writes the foot of every text page, once all pages are there: the section that
// page belongs to, its number and how many there are. Drawings have a title block.
func (p *pages) feet() {
	f := p.f
	of := f.PageCount()
	for n := 1; n <= of; n++ {
		section := p.sections[n]
		if section == "" {
			continue
		}
		f.SetPage(n)
		f.Aside(func() { p.footOf(section, n, of) })
	}
	f.SetTextColor(0, 0, 0)
}

func (p *pages) footOf(section string, n, of int) {
	f := p.f
	// The library repeats no setting it believes to hold; each page needs its own.
	p.font(1, false)
	f.SetTextColor(60, 60, 60)
	f.SetDrawColor(120, 120, 120)
	f.SetLineWidth(0.18)
	f.Line(left, bottom+4, pageWidth-right, bottom+4)
	p.font(sizeTiny, false)
	p.text(left, bottom+8, p.running)
	words := p.set(fmt.Sprintf("%s, page %d of %d", section, n, of))
	p.text(pageWidth-right-f.GetStringWidth(words), bottom+8, words)
}

// listContents writes the contents at the foot of the first page, in three columns,
// where there is room for them below y.
func (p *pages) listContents(y float64) {
	const columns, rowMM, headMM = 3, 4.6, 7.0
	rows := (len(p.contents) + columns - 1) / columns
	begin := bottom - headMM - rowMM*float64(rows)
	if begin < y {
		return
	}
	p.f.SetPage(1)
	p.font(1, false)
	p.f.SetTextColor(0, 0, 0)
	p.line(left, begin, pageWidth-right, begin, 0.35)
	heading, list := &reading.Node{Kind: reading.Heading, Text: inThisPack}, &reading.Node{Kind: reading.Contents}
	if p.first != nil {
		p.first.Add(heading, list)
	}
	p.font(sizeSmall, true)
	p.f.In(heading, func() { p.text(left, begin+5, heading.Text) })
	wide := (pageWidth - left - right - (columns-1)*columnGap) / columns
	p.font(sizeSmall, false)
	for i, e := range p.contents {
		x, at := left+(wide+columnGap)*float64(i/rows), begin+headMM+rowMM*(float64(i%rows)+0.78)
		number := fmt.Sprint(e.page)
		n := &reading.Node{Kind: reading.Link, Text: number + " " + e.title, To: e.part}
		list.Add(n)
		p.f.In(n, func() {
			p.textWithin(x, at, x+wide, number)
			p.textWithin(x+8, at, x+wide+columnGap, e.title)
			p.f.LinkTo(n, x, at-rowMM*0.78, wide, rowMM, e.page)
		})
	}
}

// inThisPack heads the contents.
const inThisPack = "In this pack"

// clean puts what the lettering has in place of what it lacks.
func clean(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return r > 0xff }) < 0 || len(scene.Lacks(text)) == 0 {
		return text
	}
	text = replaced(text)
	for _, r := range scene.Lacks(text) {
		text = strings.ReplaceAll(text, string(r), "?")
	}
	return text
}

// replaced writes in other letters what the lettering lacks and the plan uses.
func replaced(text string) string {
	return strings.NewReplacer("✗", "×", "✓", "√", "☐", "", "⇒", "→", "⅓", "1/3", "∛", "cube root of ", "ₖ", "k", "‑", "-", "⌈",
		"round up (", "⌉", ")", "⌊", "round down (", "⌋", ")").Replace(text)
}

// set is a text as it is lettered: in the language of the papers, without what the lettering lacks.
func (p *pages) set(text string) string { return clean(p.in.Say(text)) }

// text letters one line in the present font and takes note of the room it takes.
func (p *pages) text(x, y float64, text string) { p.textWithin(x, y, pageWidth-right, text) }

// textWithin does so where a narrower limit than the page's holds.
func (p *pages) textWithin(x, y, limit float64, text string) {
	text = p.set(text)
	if p.record != nil {
		points, _ := p.f.GetFontSize()
		p.record(placed{page: p.f.PageNo(), x: x, y: y, wide: p.f.GetStringWidth(text), mm: limit, points: points, text: text})
	}
	if !p.f.Open() {
		p.f.In(p.stray(y, text), func() { p.f.Text(x, y, text) })
		return
	}
	p.f.Text(x, y, text)
}

// stray returns the paragraph of lettering that stands in none: one to a base line.
func (p *pages) stray(y float64, text string) *reading.Node {
	if p.loose != nil && p.loose == p.part.Last() && p.loosePage == p.f.PageNo() && math.Abs(y-p.looseY) < 0.5 {
		p.loose.Text += " " + text
		p.in.Made(p.loose.Text)
		return p.loose
	}
	p.loose, p.looseY, p.loosePage = &reading.Node{Kind: reading.Paragraph, Text: text}, y, p.f.PageNo()
	p.part.Add(p.loose)
	return p.loose
}

// as draws one thing that is read as the kind and text given, in the present section.
func (p *pages) as(k reading.Kind, text string, draw func()) {
	p.say(&reading.Node{Kind: k, Text: text}, draw)
}

// say draws what a node says, within the node that is open where there is one.
func (p *pages) say(n *reading.Node, draw func()) {
	if p.f.Open() {
		draw()
		return
	}
	p.part.Add(n)
	p.f.In(n, draw)
}

// listed returns label and body of a new item of the list that is being read, or of a new one.
func (p *pages) listed(mark, text string) (label, body *reading.Node) {
	label, body = &reading.Node{Kind: reading.Label, Text: mark}, &reading.Node{Kind: reading.Body, Text: text}
	list := p.part.Last()
	if list == nil || list.Kind != reading.List || mark == "1" || (mark == bulletMark) != (list.Of[0].Of[0].Text == bulletMark) {
		list = &reading.Node{Kind: reading.List}
		p.part.Add(list)
	}
	list.Add((&reading.Node{Kind: reading.Item}).Add(label, body))
	return label, body
}

// listedWhole returns the body of a new item without a label, of the list that is being read or
// of a new one.
func (p *pages) listedWhole(text string) *reading.Node {
	list := p.part.Last()
	if list == nil || list.Kind != reading.List {
		list = &reading.Node{Kind: reading.List}
		p.part.Add(list)
	}
	body := &reading.Node{Kind: reading.Body, Text: text}
	list.Add((&reading.Node{Kind: reading.Item}).Add(body))
	return body
}

// toWrite stands in what is read where the page has a line to write on.
const toWrite = "________"

// bulletMark begins an item of a list without numbers.
const bulletMark = "•"

// newPart begins a part of the paper.
func (p *pages) newPart() {
	p.part = &reading.Node{Kind: reading.Section}
	p.f.Says.Add(p.part)
}

// leftMM is the left edge of the present column, width its width.
func (p *pages) leftMM() float64 { return left + float64(p.column)*(p.width()+columnGap) }

func (p *pages) width() float64 {
	return (pageWidth - left - right - columnGap*float64(p.columns-1)) / float64(p.columns)
}

// begin starts a section on a new page, with a bookmark.
func (p *pages) begin(title, why string) {
	p.columns, p.column = 1, 0
	p.section = title
	p.page()
	p.enter(title)
	p.title(title, why)
}

// follow starts a section below what is there when mm of it fit on the page, else on a
// new one.
func (p *pages) follow(title, why string, mm float64) {
	if p.sections[p.f.PageNo()] == "" || p.y+mm > bottom {
		p.begin(title, why)
		return
	}
	p.gap(5)
	p.section = title
	if n := p.f.PageNo(); p.sections[n] != title {
		p.sections[n] += ", " + strings.ToLower(title[:1]) + title[1:]
	}
	p.enter(title)
	p.title(title, why)
}

// enter puts a section that begins here into bookmarks and contents.
func (p *pages) enter(title string) {
	p.f.Bookmark(title, 0, p.y)
	p.newPart()
	p.contents = append(p.contents, entry{title, p.f.PageNo(), p.part})
}

// titleMM is the room that the heading of a section takes that follows what is there, mm.
func (p *pages) titleMM(why string) float64 {
	p.font(sizeSmall, false)
	return 5 + lineMM(sizeHead) + 4 + lineMM(sizeSmall)*float64(len(p.wrap(why, p.width())))
}

// title sets a section's heading over a heavy rule, and under it what it is for.
func (p *pages) title(title, why string) {
	p.sub = reading.Subheading
	p.as(reading.Heading, title, func() { p.write(title, sizeHead, true, 0) })
	p.gap(0.6)
	p.line(left, p.y, pageWidth-right, p.y, 0.7)
	p.gap(1.4)
	if why != "" {
		p.write(why, sizeSmall, false, 0)
	}
	p.gap(2)
}

func (p *pages) page() {
	p.f.AddPageFormat("P", fpdf.SizeType{Wd: pageWidth, Ht: pageHeight})
	p.sections[p.f.PageNo()] = p.section
	p.y, p.column, p.columnTop = top, 0, top
	p.plain++
}

// parted divides what is left of the page, and all pages up to the next section, into
// columns.
func (p *pages) parted(columns int) {
	p.columns, p.column, p.columnTop = columns, 0, p.y
}

const bottom = pageHeight - foot

// room goes on in the next column or page when less than mm is left.
func (p *pages) room(mm float64) {
	if p.y+mm <= bottom || p.y <= p.columnTop {
		return
	}
	if p.column+1 < p.columns {
		p.column++
		p.y = p.columnTop
		return
	}
	p.page()
}

func (p *pages) gap(mm float64) { p.y += mm }

func lineMM(points float64) float64 { return points * pointMM * lineGap }

func (p *pages) font(points float64, bold bool) {
	style := ""
	if bold {
		style = "B"
	}
	p.f.SetFont(pdf.Family, style, points)
}

// wrap breaks text into lines no wider than mm, in the present font. A word that is
// wider alone is broken where it must.
func (p *pages) wrap(text string, mm float64) []string {
	var out []string
	for _, para := range strings.Split(p.in.Say(text), "\n") {
		para = clean(para)
		line, wide := "", 0.0
		space := p.f.GetStringWidth(" ")
		for _, word := range p.words(para) {
			w := p.f.GetStringWidth(word)
			for w > mm && len([]rune(word)) > 1 {
				if line != "" {
					out = append(out, line)
					line = ""
				}
				head, tail := p.broken(word, mm)
				out = append(out, head)
				word, w = tail, p.f.GetStringWidth(tail)
			}
			if line != "" && wide+space+w > mm {
				out = append(out, line)
				line = ""
			}
			if line == "" {
				line, wide = word, w
			} else {
				line, wide = line+" "+word, wide+space+w
			}
		}
		out = append(out, line)
	}
	p.in.Made(out...)
	p.in.Made(strings.Join(out, " "))
	return out
}

// units stay with their number.
var units = map[string]bool{"%": true, "°C": true, "K": true, "m": true, "m²": true, "m³": true, "mm": true, "kg": true, "g": true,
	"l": true, "ml": true, "min": true, "minutes": true, "kN/m²": true, "kg/m²": true, "W/m²K": true, "l/s": true, "N": true, "kN": true,
	"m/s": true, "points": true, "ppm": true}

// words parts a paragraph at its spaces, but not between a number and its unit.
func (p *pages) words(para string) []string {
	var out []string
	for _, w := range strings.Fields(para) {
		if k := len(out) - 1; k >= 0 && units[strings.TrimRight(w, ".,;:)'")] && len(out[k]) < 12 {
			if last := out[k][len(out[k])-1]; last >= '0' && last <= '9' {
				out[k] += " " + w
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// broken parts a word that is too wide, after a mark where there is one.
func (p *pages) broken(word string, mm float64) (head, tail string) {
	r := []rune(word)
	cut := len(r) - 1
	for cut > 1 && p.f.GetStringWidth(string(r[:cut])) > mm {
		cut--
	}
	for k := cut; k > cut/2; k-- {
		if strings.ContainsRune("._,/-–×", r[k-1]) {
			cut = k
			break
		}
	}
	return string(r[:cut]), string(r[cut:])
}

// write sets a paragraph over the column's width, indented.
func (p *pages) write(text string, points float64, bold bool, indent float64) {
	if !p.f.Open() {
		n := &reading.Node{Kind: reading.Paragraph, Text: text, Strong: bold, Small: points < sizeText-1}
		p.part.Add(n)
		p.f.In(n, func() { p.lines(text, points, bold, indent) })
		return
	}
	p.lines(text, points, bold, indent)
}

// lines sets the lines of a paragraph.
func (p *pages) lines(text string, points float64, bold bool, indent float64) {
	p.font(points, bold)
	h := lineMM(points)
	lines := p.wrap(text, p.width()-indent)
	// No single line of a paragraph stands alone at the foot.
	p.room(h * float64(min(len(lines), 2)))
	for _, l := range lines {
		p.room(h)
		p.font(points, bold)
		p.textWithin(p.leftMM()+indent, p.y+h*0.78, p.leftMM()+p.width(), l)
		p.y += h
	}
}

// heading sets a heading within a section, with at least mm of what follows it on the
// same page.
func (p *pages) heading(text string, mm float64) {
	p.room(lineMM(sizeSub) + 4.5 + mm)
	if p.y > p.columnTop {
		p.gap(3.5)
	}
	p.as(p.sub, text, func() { p.write(text, sizeSub, true, 0) })
	p.gap(1)
}

// line draws a straight line.
func (p *pages) line(x0, y0, x1, y1, wide float64) {
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetLineWidth(wide)
	p.f.Line(x0, y0, x1, y1)
}

// bullet sets one item of a list with a hanging indent.
func (p *pages) bullet(mark, text string) { p.hanging(mark, text, sizeText, 7) }

// hanging sets a mark and a paragraph beside it, indented.
func (p *pages) hanging(mark, text string, points, indent float64) {
	p.font(points, false)
	h := lineMM(points)
	lines := p.wrap(text, p.width()-indent)
	p.room(h * float64(min(len(lines), 4)))
	p.font(points, true)
	label, body := p.listed(mark, text)
	p.f.In(label, func() { p.text(p.leftMM(), p.y+h*0.78, mark) })
	p.f.In(body, func() {
		for _, l := range lines {
			p.room(h)
			p.font(points, false)
			p.textWithin(p.leftMM()+indent, p.y+h*0.78, p.leftMM()+p.width(), l)
			p.y += h
		}
	})
	p.gap(0.8)
}
