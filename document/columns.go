package document

import "strings"

// What is printed small and is long stands in what the figures of a table leave it, or below them: the widths of the figures
// follow from what is printed in them.

// byContent gives every column the width of its widest cell and of the longest word of its head, mm, and flex what is left: it
// returns the table and that, which may be less than nothing. A column to write in keeps its width. Without a flex, -1, all share
// what is left, and where too much is taken the column to write in, the last, gives way. Lines of heads stand whole where room is
// no want.
func (t table) byContent(p *pages, rows [][]string, flex int) (table, float64) {
	t, rows = t.said(p, rows)
	if wide, room := t.fitted(p, rows, flex, wideHead, p.width()); room >= leastFlexMM || flex < 0 && room >= 0 {
		return wide, room
	}
	return t.fitted(p, rows, flex, narrowHead, p.width())
}

// Letters of a line of a head that is not broken, where there is room and where there is little.
const wideHead, narrowHead = 10, 5

// leastFlexMM is the least width of the column that takes what is left, mm.
const leastFlexMM = 30.0

// fitted is byContent with lines of a head of so many letters unbroken, for a table of so many mm.
func (t table) fitted(p *pages, rows [][]string, flex, letters int, room float64) (table, float64) {
	if t.points == 0 {
		t.points = sizeSmall
	}
	if t.mark == "" {
		t.mark = "."
	}
	t.columns = append([]column(nil), t.columns...)
	t.widths(p.width())
	t.align(p, rows)
	for i := range t.columns {
		c := &t.columns[i]
		switch {
		case i == flex || c.below:
			continue
		case c.log == 0 && !c.tick:
			c.share = t.naturalMM(p, rows, i, letters)
		}
		room -= c.share
	}
	if flex < 0 {
		last := &t.columns[len(t.columns)-1]
		last.share = max(last.share+min(room, 0), leastLogMM)
		return t, room
	}
	t.columns[flex].share = max(room, 0)
	return t, room
}

// leastLogMM is the least width of a cell in which a man writes an hour, mm.
const leastLogMM = 11.0

// naturalMM is how wide a column is that breaks none of its cells, mm; head and cells are said already.
func (t *table) naturalMM(p *pages, rows [][]string, i, letters int) float64 {
	c, wide := t.columns[i], 0.0
	p.font(sizeTiny, true)
	for _, word := range headWords(c.head, letters) {
		wide = max(wide, p.f.GetStringWidth(clean(word))-0.8)
	}
	p.font(t.size(i), c.bold)
	for _, r := range rows {
		if across(r) || i >= len(r) {
			continue
		}
		for line := range strings.SplitSeq(r[i], "\n") {
			if c.number {
				whole, _, _ := t.parts(line)
				wide = max(wide, p.f.GetStringWidth(clean(whole))+t.after[i]+t.marks[i])
				continue
			}
			wide = max(wide, p.f.GetStringWidth(clean(line)))
		}
	}
	return wide + 2*t.padMM() + t.lead[i] + 0.1
}

// headWords are what of a head stands on one line: lines of so few letters as they are, else word by word.
func headWords(head string, short int) []string {
	var out []string
	for line := range strings.SplitSeq(head, "\n") {
		if len([]rune(line)) <= short {
			out = append(out, line)
			continue
		}
		out = append(out, strings.Fields(line)...)
	}
	return out
}

// indentMM is how far words below the figures of a row are set in.
const indentMM = 8.0

// belowOf is the column whose words stand below the figures, -1 for none.
func (t *table) belowOf() int {
	for i, c := range t.columns {
		if c.below {
			return i
		}
	}
	return -1
}

// belowLines are the words below the figures of a row, over the width of all columns but one to write in at the end.
func (t *table) belowLines(p *pages, cells []string) []string {
	i := t.belowOf()
	if i < 0 || i >= len(cells) || cells[i] == "" {
		return nil
	}
	wide := -indentMM - t.padMM()
	for k, c := range t.columns {
		if c.log == 0 || k < len(t.columns)-1 {
			wide += t.w[k]
		}
	}
	p.font(t.size(i), false)
	p.in.Made(t.columns[i].head + ": " + cells[i])
	return p.wrap(t.columns[i].head+": "+cells[i], wide)
}

// belowMM is the room of the words below the figures of a row.
func (t *table) belowMM(p *pages, cells []string) float64 {
	if n := len(t.belowLines(p, cells)); n > 0 {
		return float64(n)*lineMM(t.size(t.belowOf())) + 0.6
	}
	return 0
}

// drawBelow sets the words below the figures, which end at y.
func (t *table) drawBelow(p *pages, cells []string, y float64) {
	size := t.size(t.belowOf())
	for k, l := range t.belowLines(p, cells) {
		p.font(size, false)
		p.textWithin(left+indentMM, y+lineMM(size)*(float64(k)+0.7), pageWidth-right, l)
	}
}
