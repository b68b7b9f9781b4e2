package document

import "strings"

// column is one column of a table.
type column struct {
	head string
	// share of the width; numbers stand to the right.
	share  float64
	number bool
	bold   bool
	// points of the type; 0 takes the table's.
	points float64
}

// table sets rows under a head that is repeated on every page, hairlines between.
type table struct {
	columns []column
	points  float64
	// leastMM is the least height of a row: room to write in.
	leastMM float64
	// boxed draws the columns' lines too.
	boxed bool
}

const cellPad = 1.2

func (t table) widths(total float64) []float64 {
	sum := 0.0
	for _, c := range t.columns {
		sum += c.share
	}
	out := make([]float64, len(t.columns))
	for i, c := range t.columns {
		out[i] = total * c.share / sum
	}
	return out
}

func (t table) size(i int) float64 {
	if t.columns[i].points > 0 {
		return t.columns[i].points
	}
	return t.points
}

// draw sets the table; a row whose first cell begins with "§" is a line across in bold.
func (t table) draw(p *pages, rows [][]string) {
	if t.points == 0 {
		t.points = sizeSmall
	}
	w := t.widths(p.width())
	t.head(p, w)
	for _, r := range rows {
		if len(r) > 0 && strings.HasPrefix(r[0], "§") {
			p.room(18)
			if p.y == top {
				t.head(p, w)
			}
			p.gap(1.2)
			p.write(strings.TrimPrefix(r[0], "§"), t.points+0.5, true, 0)
			p.gap(0.4)
			p.rule()
			continue
		}
		t.row(p, w, r)
	}
	p.gap(2)
}

func (t table) head(p *pages, w []float64) {
	p.room(14)
	x := left
	var lines [][]string
	most := 1
	p.font(sizeTiny, true)
	for i, c := range t.columns {
		l := p.wrap(c.head, w[i]-2*cellPad)
		lines = append(lines, l)
		most = max(most, len(l))
	}
	h := lineMM(sizeTiny)
	for i, c := range t.columns {
		for k, l := range lines[i] {
			at := x + cellPad
			if c.number {
				at = x + w[i] - cellPad - p.f.GetStringWidth(l)
			}
			p.f.Text(at, p.y+h*(float64(k+most-len(lines[i]))+0.78), l)
		}
		x += w[i]
	}
	p.y += h*float64(most) + 0.6
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetLineWidth(0.35)
	p.f.Line(left, p.y, pageWidth-right, p.y)
}

func (t table) row(p *pages, w []float64, cells []string) {
	lines := make([][]string, len(t.columns))
	h := t.leastMM
	for i := range t.columns {
		if i >= len(cells) {
			continue
		}
		p.font(t.size(i), t.columns[i].bold)
		lines[i] = p.wrap(cells[i], w[i]-2*cellPad)
		h = max(h, float64(len(lines[i]))*lineMM(t.size(i))+0.9)
	}
	if p.y+h > pageHeight-foot {
		p.page()
		t.head(p, w)
	}
	x := left
	for i, c := range t.columns {
		size := t.size(i)
		p.font(size, c.bold)
		lh := lineMM(size)
		for k, l := range lines[i] {
			at := x + cellPad
			if c.number {
				at = x + w[i] - cellPad - p.f.GetStringWidth(l)
			}
			p.f.Text(at, p.y+0.45+lh*(float64(k)+0.78), l)
		}
		x += w[i]
	}
	top := p.y
	p.y += h
	p.f.SetDrawColor(150, 150, 150)
	p.f.SetLineWidth(0.18)
	p.f.Line(left, p.y, pageWidth-right, p.y)
	if t.boxed {
		x = left
		for i := 0; i <= len(w); i++ {
			p.f.Line(x, top, x, p.y)
			if i < len(w) {
				x += w[i]
			}
		}
	}
}
