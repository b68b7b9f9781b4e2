package document

import (
	"strings"

	"gelwright/scene/reading"
)

// column is one column of a table.
type column struct {
	head string
	// share of the width; numbers stand to the right, decimal mark under decimal mark.
	share  float64
	number bool
	bold   bool
	// points of the type; 0 takes the table's.
	points float64
	// tick draws a box to tick in every cell.
	tick bool
	// log, when not zero, draws a cell to write in for each of the words of its cell, so many side by side.
	log int
	// below sets the words of the column under the figures of its row, over the width of the table.
	below bool
}

// table sets rows under a head that is repeated on every page, hairlines between. A
// cell may end in a reference to the workings: "17.92 [3]"; it is set small.
type table struct {
	columns []column
	// over are heads that stand over several columns, none for no such row.
	over   []overhead
	points float64
	// leastMM is the least height of a row: room to write in.
	leastMM float64
	// boxed draws the columns' lines too.
	boxed bool
	// again is drawn above the head on every further page.
	again func()
	// airMM is the room above and below the lines of a row in all; 0 takes the usual.
	airMM float64
	// pad is the room beside the words of a cell, mm; 0 takes the usual.
	pad float64
	// mark of the decimals: "." or ",".
	mark string

	w []float64
	// lead is room before words that follow a column of numbers.
	lead []float64
	// after and marks are the widths, by column, of what stands right of the unit and of
	// the references, so that numbers align.
	after, marks []float64
}

// overhead is the head over columns from to before, which it tells apart from others alike.
type overhead struct {
	from, before int
	text         string
}

const cellPad = 1.1

// fewRows at the end of a table stand on one page, and groupRows under the head of a group with it.
const fewRows, groupRows = 4, 3

// acrossRow begins a row that is one line in bold across the table.
const acrossRow = "§"

// air is the room above and below the lines of a row.
func (t *table) air() float64 {
	if t.airMM > 0 {
		return t.airMM
	}
	return cellPad
}

// padMM is the room beside the words of a cell.
func (t *table) padMM() float64 {
	if t.pad > 0 {
		return t.pad
	}
	return cellPad
}

// unbroken reports whether every cell of rows stands in one line.
func (t table) unbroken(p *pages, rows [][]string) bool {
	t, rows = t.said(p, rows)
	t.widths(p.width())
	for _, r := range rows {
		for i := range t.columns {
			if i >= len(r) {
				break
			}
			p.font(t.size(i), t.columns[i].bold)
			if p.f.GetStringWidth(p.set(r[i])) > t.w[i]-2*t.padMM()+0.01 {
				return false
			}
		}
	}
	return true
}

func (t *table) widths(total float64) {
	sum := 0.0
	for _, c := range t.columns {
		if !c.below {
			sum += c.share
		}
	}
	t.w, t.lead = make([]float64, len(t.columns)), make([]float64, len(t.columns))
	for i, c := range t.columns {
		if c.below {
			continue
		}
		t.w[i] = total * c.share / sum
		if i > 0 && !c.number && t.columns[i-1].number && !t.boxed {
			t.lead[i] = 1.6
		}
	}
}

func (t *table) size(i int) float64 {
	if t.columns[i].points > 0 {
		return t.columns[i].points
	}
	return t.points
}

// parts splits a number's cell at its decimal mark and before its reference.
func (t *table) parts(cell string) (whole, after, ref string) {
	if k := strings.Index(cell, " ["); k >= 0 {
		cell, ref = cell[:k], cell[k+1:]
	}
	if k := strings.LastIndex(cell, t.mark); k >= 0 && !strings.Contains(cell, "–") {
		return cell[:k], cell[k:], ref
	}
	return cell, "", ref
}

// said is the table with its heads, and rows, in the language of the papers.
func (t table) said(p *pages, rows [][]string) (table, [][]string) {
	if p.in == nil {
		return t, rows
	}
	t.columns, t.over = append([]column(nil), t.columns...), append([]overhead(nil), t.over...)
	for i := range t.columns {
		t.columns[i].head = p.in.Say(t.columns[i].head)
	}
	for i := range t.over {
		t.over[i].text = p.in.Say(t.over[i].text)
	}
	out := make([][]string, len(rows))
	for i, r := range rows {
		if across(r) {
			out[i] = append([]string{acrossRow + p.in.Say(strings.TrimPrefix(r[0], acrossRow))}, r[1:]...)
			continue
		}
		out[i] = p.in.SayAll(r)
	}
	return t, out
}

// draw sets the table; a row whose first cell begins with acrossRow is a line across,
// kept with the rows below it.
func (t table) draw(p *pages, rows [][]string) {
	t, rows = t.said(p, rows)
	if t.points == 0 {
		t.points = sizeSmall
	}
	if t.mark == "" {
		t.mark = "."
	}
	t.widths(p.width())
	t.align(p, rows)
	p.gap(0.8)
	said := t.read(rows)
	p.part.Add(said.table)
	first := 0.0
	if len(rows) > 0 {
		first = t.together(p, rows, 0)
	}
	t.head(p, first, said)
	for i, r := range rows {
		h := t.height(p, r)
		if need := t.together(p, rows, i); p.y+need > bottom {
			t.next(p, need)
		}
		if across(r) {
			p.gap(1.4)
			p.f.In(said.cells[i][0], func() { p.write(strings.TrimPrefix(r[0], acrossRow), t.points+0.5, true, 0) })
			p.gap(0.4)
			p.line(left, p.y, pageWidth-right, p.y, 0.18)
			continue
		}
		t.row(p, r, h, said.cells[i])
	}
	p.gap(2)
}

// together is the height of what stands on one page from row i on, mm. Where that is more
// than half a page, rows go one by one and only the head of a group keeps to its first row.
func (t *table) together(p *pages, rows [][]string, i int) float64 {
	sum := func(end int) float64 {
		high := 0.0
		for _, r := range rows[i:end] {
			high += t.height(p, r)
		}
		return high
	}
	if high := sum(keptTo(rows, i)); high <= (bottom-top)/2 {
		return high
	}
	end := i + 1
	for end < len(rows) && across(rows[end-1]) {
		end++
	}
	return sum(end)
}

// keptTo is before which row a page may end that begins with row i: the head of a group keeps
// to the first rows of its group, and the last rows of the table keep together, so that
// neither a head stands alone at the foot of a page nor a row alone on the next.
func keptTo(rows [][]string, i int) int {
	end, n := i+1, len(rows)
	if i == 0 && n <= fewRows {
		return n
	}
	if across(rows[i]) {
		for end < n && end <= i+groupRows && (across(rows[end-1]) || !across(rows[end])) {
			end++
		}
	}
	if last := n - fewRows; n > fewRows+1 && i <= last && last < end {
		return n
	}
	return end
}

// measure returns the height that draw takes where all of it fits on the page, mm.
func (t table) measure(p *pages, rows [][]string) float64 {
	t, rows = t.said(p, rows)
	if t.points == 0 {
		t.points = sizeSmall
	}
	t.widths(p.width())
	p.font(sizeTiny, true)
	lines := 1
	for i, c := range t.columns {
		if c.below {
			continue
		}
		lines = max(lines, len(p.wrap(c.head, t.w[i]-2*t.padMM()-t.lead[i]+0.8)))
	}
	high := 0.8 + t.overMM() + lineMM(sizeTiny)*float64(lines) + 0.6 + 2
	for _, r := range rows {
		high += t.height(p, r)
	}
	return high
}

// next goes on with the table on a new page, under its head, which is read once.
func (t *table) next(p *pages, first float64) {
	p.page()
	p.f.Aside(func() {
		if t.again != nil {
			t.again()
		}
		t.head(p, first, nil)
	})
}

func across(r []string) bool { return len(r) > 0 && strings.HasPrefix(r[0], acrossRow) }

// align measures how far each number column reaches right of its units.
func (t *table) align(p *pages, rows [][]string) {
	t.after, t.marks = make([]float64, len(t.columns)), make([]float64, len(t.columns))
	for i, c := range t.columns {
		if !c.number {
			continue
		}
		for _, r := range rows {
			if across(r) || i >= len(r) {
				continue
			}
			_, after, ref := t.parts(r[i])
			p.font(t.size(i), c.bold)
			t.after[i] = max(t.after[i], p.f.GetStringWidth(after))
			if ref != "" {
				p.font(sizeMark, false)
				t.marks[i] = max(t.marks[i], p.f.GetStringWidth(ref)+0.6)
			}
		}
	}
}

// head sets the heads of the columns; said is nil where they are repeated.
func (t *table) head(p *pages, first float64, said *saidTable) {
	p.font(sizeTiny, true)
	lines := make([][]string, len(t.columns))
	most := 1
	for i, c := range t.columns {
		if c.below {
			continue
		}
		lines[i] = p.wrap(c.head, t.w[i]-2*t.padMM()-t.lead[i]+0.8)
		most = max(most, len(lines[i]))
	}
	h := lineMM(sizeTiny)
	if p.y+h*float64(most)+0.6+first+t.overMM() > bottom && p.y > top {
		p.page()
	}
	t.overheads(p, said)
	p.font(sizeTiny, true)
	x := left
	for i, c := range t.columns {
		said.in(p, i, func() {
			for k, l := range lines[i] {
				at := x + t.padMM() + t.lead[i]
				if c.number {
					at = x + t.w[i] - t.padMM() - t.marks[i] - p.f.GetStringWidth(l)
					at = max(at, x+0.2)
				}
				p.textWithin(at, p.y+h*(float64(k+most-len(lines[i]))+0.78), x+t.w[i], l)
			}
		})
		x += t.w[i]
	}
	p.y += h*float64(most) + 0.6
	p.line(left, p.y, pageWidth-right, p.y, 0.35)
}

// overMM is the room that the row of heads over several columns takes.
func (t *table) overMM() float64 {
	if len(t.over) == 0 {
		return 0
	}
	return 5.4
}

// overheads sets the heads that stand over several columns, each over a hairline.
func (t *table) overheads(p *pages, said *saidTable) {
	const inset, rule = 4.5, 2.0
	p.font(sizeText, true)
	for i, o := range t.over {
		from, before := left, left
		for k, w := range t.w[:o.before] {
			if k < o.from {
				from += w
			}
			before += w
		}
		said.inOver(p, i, func() { p.textWithin(from+inset, p.y+3.6, before, o.text) })
		p.line(from+inset, p.y+4.8, before-rule, p.y+4.8, 0.18)
	}
	p.y += t.overMM()
}

// height of a row, mm.
func (t *table) height(p *pages, cells []string) float64 {
	if across(cells) {
		return lineMM(t.points+0.5) + 1.8
	}
	h := t.leastMM
	for i := range t.columns {
		if i >= len(cells) || t.columns[i].tick || t.columns[i].below {
			continue
		}
		n := 1
		if t.columns[i].log > 0 {
			h = max(h, t.logMM(i, cells[i]))
		} else if !t.columns[i].number {
			n = len(t.lines(p, i, cells[i]))
		}
		h = max(h, float64(n)*lineMM(t.size(i))+t.air())
	}
	return h + t.belowMM(p, cells)
}

func (t *table) lines(p *pages, i int, cell string) []string {
	p.font(t.size(i), t.columns[i].bold)
	return p.wrap(cell, t.w[i]-2*t.padMM()-t.lead[i])
}

func (t *table) row(p *pages, cells []string, h float64, said []*reading.Node) {
	x, begin := left, p.y
	below := t.belowMM(p, cells)
	high := h // of the whole row, and h of its figures
	h -= below
	for i, c := range t.columns {
		if i < len(cells) {
			p.f.In(said[i], func() {
				switch {
				case c.below:
					t.drawBelow(p, cells, p.y+h)
				case c.tick:
					p.f.SetDrawColor(0, 0, 0)
					p.f.SetLineWidth(0.25)
					side := min(4.2, t.w[i]-2*t.padMM(), h-2)
					p.f.Rect(x+t.padMM(), p.y+(h-side)/2, side, side, "D")
				case c.number:
					t.numberCell(p, i, x, h, cells[i])
				case c.log > 0:
					t.logCell(p, i, x, cells[i], high)
				default:
					t.wordsCell(p, i, x, cells[i], h)
				}
			})
		}
		x += t.w[i]
	}
	p.y += high
	p.f.SetDrawColor(150, 150, 150)
	p.f.SetLineWidth(0.18)
	p.f.Line(left, p.y, pageWidth-right, p.y)
	if t.boxed {
		x = left
		for i := 0; i <= len(t.w); i++ {
			foot := p.y
			if i > 0 && i < len(t.w) && t.columns[i].log == 0 {
				foot -= below
			}
			p.f.Line(x, begin, x, foot)
			if i < len(t.w) {
				x += t.w[i]
			}
		}
	}
	p.f.SetDrawColor(0, 0, 0)
}

// base is the base line of the first line in a row: rows with room to write in are
// set in their middle, others from the top.
func (t *table) base(i int, y, h float64, lines int) float64 {
	lh := lineMM(t.size(i))
	if t.leastMM > 0 {
		return y + (h-float64(lines)*lh)/2 + lh*0.78
	}
	return y + 0.5 + lh*0.78
}

func (t *table) wordsCell(p *pages, i int, x float64, cell string, h float64) {
	lines := t.lines(p, i, cell)
	y := t.base(i, p.y, h, len(lines))
	for k, l := range lines {
		p.textWithin(x+t.padMM()+t.lead[i], y+lineMM(t.size(i))*float64(k), x+t.w[i], l)
	}
}

func (t *table) numberCell(p *pages, i int, x, h float64, cell string) {
	whole, after, ref := t.parts(cell)
	y := t.base(i, p.y, h, 1)
	p.font(t.size(i), t.columns[i].bold)
	unit := x + t.w[i] - t.padMM() - t.marks[i] - t.after[i]
	at := max(unit-p.f.GetStringWidth(whole), x+0.2)
	if strings.ContainsAny(whole, "abcdefghijklmnopqrstuvwxyz–") {
		// Words and ranges stand flush with the right.
		at = max(x+t.w[i]-t.padMM()-t.marks[i]-p.f.GetStringWidth(whole), x+0.2)
	}
	p.textWithin(at, y, x+t.w[i], whole+after)
	if ref != "" {
		p.font(sizeMark, false)
		p.textWithin(x+t.w[i]-t.padMM()-t.marks[i]+0.6, y, x+t.w[i]+0.3, ref)
	}
}
