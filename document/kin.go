package document

import (
	"fmt"
	"strings"

	"gelwright/scene/reading"
)

// kin sets what differs between figures that are worked alike, below the first of them: as a
// table or, where that is shorter or the columns are too many, as a paragraph to each row.
func (d *pack) kin(t kinTable) {
	wide, fits := d.kinWidths(t)
	lines := d.kinSays(t)
	d.font(sizeTiny, false)
	paragraphs, grid := 0, 0
	for _, l := range lines {
		paragraphs += len(d.wrap(l.text, d.width()-kinIndentMM))
	}
	for _, r := range append([][]string{t.headCells()}, t.rowCells()...) {
		grid += len(d.kinCells(r, wide))
	}
	if fits && grid <= paragraphs {
		d.kinGrid(t, wide)
		return
	}
	for _, l := range lines {
		d.write(l.text, sizeTiny, false, kinIndentMM)
		d.part.Last().Name = l.names
	}
}

// Measures of the rows of kin, mm.
const (
	kinGapMM    = 2.2
	kinIndentMM = 3.0
	// leastKinMM is how narrow numbers and names may stand, broken over lines.
	leastKinMM = 18.0
)

// kinWidths are the widths of the columns: numbers and names share what the values leave; false
// where they do not fit.
func (d *pack) kinWidths(t kinTable) (wide []float64, fits bool) {
	wide = make([]float64, len(t.columns)+2)
	d.font(sizeTiny, true)
	for _, r := range append([][]string{t.headCells()}, t.rowCells()...) {
		for c, cell := range r {
			wide[c] = max(wide[c], d.f.GetStringWidth(d.set(cell))+kinGapMM)
		}
	}
	left := d.width() - kinIndentMM
	for _, w := range wide[2:] {
		left -= w
	}
	if wide[0]+wide[1] > left {
		wide[0] = min(wide[0], max(left/2, left-wide[1]))
		wide[1] = left - wide[0]
	}
	return wide, min(wide[0], wide[1]) >= leastKinMM || wide[0]+wide[1] < left
}

func (t kinTable) headCells() []string {
	out := []string{"no.", t.called}
	for _, c := range t.columns {
		out = append(out, c.head())
	}
	return out
}

func (t kinTable) rowCells() [][]string {
	var out [][]string
	for _, r := range t.rows {
		row := []string{r.marks(), strings.Join(r.of, ", ")}
		for c, it := range r.items {
			row = append(row, it.words(t.columns[c]))
		}
		out = append(out, row)
	}
	return out
}

// marks are the numbers of a row as they stand beside figures.
func (r kinRow) marks() string {
	var out []string
	for _, n := range r.numbers {
		out = append(out, fmt.Sprintf("[%d]", n))
	}
	return strings.Join(out, " ")
}

// names are the places in the book that links to these figures lead to; the first is worked
// above under its own.
func (r kinRow) names(first int) string {
	var out []string
	for _, n := range r.numbers {
		if n != first {
			out = append(out, fmt.Sprintf("w%d", n))
		}
	}
	return strings.Join(out, " ")
}

// first is the number of the figure that is worked in full.
func (t kinTable) first() int { return t.rows[0].numbers[0] }

func (d *pack) kinGrid(t kinTable, wide []float64) {
	table, h := &reading.Node{Kind: reading.Table}, lineMM(sizeTiny)
	d.part.Add(table)
	head := &reading.Node{Kind: reading.Row}
	for c, text := range t.headCells() {
		head.Add(&reading.Node{Kind: reading.Head, Text: text, Number: c > 1})
	}
	table.Add(head)
	d.font(sizeTiny, true)
	heads := d.kinCells(t.headCells(), wide)
	d.room(h * float64(len(heads)+1))
	d.kinRow(head, wide, heads, true)
	for i, cells := range t.rowCells() {
		row := &reading.Node{Kind: reading.Row, Name: t.rows[i].names(t.first())}
		for c, text := range cells {
			row.Add(&reading.Node{Kind: reading.Cell, Text: text, Number: c > 1})
		}
		table.Add(row)
		d.font(sizeTiny, false)
		lines := d.kinCells(cells, wide)
		at := [2]int{d.f.PageNo(), d.column}
		d.room(h * float64(len(lines)))
		if at != [2]int{d.f.PageNo(), d.column} {
			d.f.Aside(func() { d.kinRow(nil, wide, heads, true) })
		}
		d.kinRow(row, wide, lines, false)
	}
}

// kinCells breaks numbers and names of a row over lines.
func (d *pack) kinCells(cells []string, wide []float64) [][]string {
	var columns [][]string
	most := 1
	for c, text := range cells {
		lines := []string{text}
		if c < 2 {
			lines = d.wrap(text, wide[c]-kinGapMM+0.2)
		}
		columns, most = append(columns, lines), max(most, len(lines))
	}
	out := make([][]string, most)
	for k := range out {
		for _, lines := range columns {
			text := ""
			if k < len(lines) {
				text = lines[k]
			}
			out[k] = append(out[k], text)
		}
	}
	return out
}

// kinRow letters one row; row is nil where it is a head that is repeated.
func (d *pack) kinRow(row *reading.Node, wide []float64, lines [][]string, bold bool) {
	h := lineMM(sizeTiny)
	x := d.leftMM() + kinIndentMM
	for c := range wide {
		draw := func() {
			d.font(sizeTiny, bold)
			for k, line := range lines {
				if text := line[c]; text != "" {
					at := x
					if c > 1 {
						at = x + wide[c] - kinGapMM - d.f.GetStringWidth(d.set(text))
					}
					d.textWithin(at, d.y+h*(float64(k)+0.78), x+wide[c], text)
				}
			}
		}
		if row == nil {
			draw()
		} else {
			d.f.In(row.Of[c], draw)
		}
		x += wide[c]
	}
	d.y += h * float64(len(lines))
}

// kinLine is a row as a paragraph, and the places that links lead to.
type kinLine struct{ text, names string }

// kinSays are the rows as paragraphs, but for the one that is worked above.
func (d *pack) kinSays(t kinTable) []kinLine {
	var out []kinLine
	for _, r := range t.rows {
		if len(r.numbers) == 1 && r.numbers[0] == t.first() {
			continue
		}
		var says []string
		for c, it := range r.items {
			says = append(says, it.label+" = "+it.words(likeItem{source: t.columns[c].source}))
		}
		text := joinNonEmpty(": ", strings.Join(r.of, ", "), strings.Join(says, "; "))
		out = append(out, kinLine{r.marks() + " " + text + ".", r.names(t.first())})
	}
	return out
}

// pointers say where figures stand that are rows below another; places come in pairs, of the
// figure and of the one it stands with.
func (d *pack) pointers(places []int) {
	if len(places) == 0 {
		return
	}
	var with []string
	first, last := places[0]+1, places[len(places)-2]+1
	for i := 1; i < len(places); i += 2 {
		with = append(with, fmt.Sprintf("[%d]", places[i]+1))
	}
	numbers := fmt.Sprintf("[%d]", first)
	if last > first {
		numbers += fmt.Sprintf(" to [%d]", last)
	}
	d.f.SetTextColor(70, 70, 70)
	d.write(numbers+": worked as "+strings.Join(once(with), ", ")+", and told there.", sizeTiny, false, 0)
	d.f.SetTextColor(0, 0, 0)
	d.gap(d.apartMM)
}
