package document

import (
	"strings"

	"gelwright/scene/reading"
)

// saidTable is a table as it is read: the node of every head and cell by its place on the
// page.
type saidTable struct {
	table *reading.Node
	// over are the heads that stand over several columns.
	over  []*reading.Node
	heads []*reading.Node
	cells [][]*reading.Node
}

// in draws a head into its node, or where heads are repeated into none.
func (s *saidTable) in(p *pages, column int, draw func()) {
	switch {
	case s == nil:
		draw()
	case s.heads[column] == nil:
		p.f.Aside(draw)
	default:
		p.f.In(s.heads[column], draw)
	}
}

// inOver does so for a head over several columns.
func (s *saidTable) inOver(p *pages, i int, draw func()) {
	if s == nil {
		draw()
		return
	}
	p.f.In(s.over[i], draw)
}

// readOver returns the row of heads over several columns, an empty cell where there is none.
func (s *saidTable) readOver(t *table) *reading.Node {
	row, at := &reading.Node{Kind: reading.Row}, 0
	fill := func(to int) {
		for ; at < to; at++ {
			row.Add(&reading.Node{Kind: reading.Cell})
		}
	}
	for _, o := range t.over {
		fill(o.from)
		n := &reading.Node{Kind: reading.Head, Text: o.text, Span: o.before - o.from}
		s.over, at = append(s.over, n), o.before
		row.Add(n)
	}
	fill(len(t.columns))
	return row
}

// sides are the columns at which the lists begin that stand side by side in the table, and how
// many each has: two where the second half of the columns repeats the first, with an empty
// column between them or none.
func (t *table) sides() (begin []int, wide int) {
	n := len(t.columns)
	wide = n / 2
	second := n - wide
	if wide == 0 || second > wide && (t.columns[wide].head != "" || t.columns[wide].tick) {
		return []int{0}, n
	}
	for i, c := range t.columns[:wide] {
		if c != t.columns[second+i] {
			return []int{0}, n
		}
	}
	return []int{0, second}, wide
}

// read returns the table as it is read: lists that stand side by side one after the
// other, under heads that are said once.
func (t *table) read(rows [][]string) *saidTable {
	out := &saidTable{table: &reading.Node{Kind: reading.Table}, heads: make([]*reading.Node, len(t.columns)),
		cells: make([][]*reading.Node, len(rows))}
	sides, wide := t.sides()
	if len(t.over) > 0 {
		out.table.Add(out.readOver(t))
	}
	head := &reading.Node{Kind: reading.Row}
	for i, c := range t.columns[:wide] {
		out.heads[i] = &reading.Node{Kind: reading.Head, Text: c.head, Number: c.number, Tick: c.tick}
		head.Add(out.heads[i])
	}
	out.table.Add(head)
	for i := range rows {
		out.cells[i] = make([]*reading.Node, len(t.columns))
	}
	for _, begin := range sides {
		for i, r := range rows {
			if begin > 0 && across(r) {
				continue // said with the first list
			}
			if row := t.readRow(r, begin, wide, out.cells[i]); row != nil {
				out.table.Add(row)
			}
		}
	}
	for i, r := range rows {
		// Beyond the last item of a list there is nothing to read.
		for k := range r {
			if k < len(t.columns) && out.cells[i][k] == nil {
				out.cells[i][k] = &reading.Node{Kind: reading.Cell}
			}
		}
	}
	return out
}

// readRow returns the row of one list, nil where it has none, and notes its cells.
func (t *table) readRow(r []string, from, wide int, cells []*reading.Node) *reading.Node {
	row := &reading.Node{Kind: reading.Row}
	if across(r) {
		cells[0] = &reading.Node{Kind: reading.Head, Text: strings.TrimPrefix(r[0], acrossRow), Rowwise: true, Span: wide, Strong: true}
		return row.Add(cells[0])
	}
	if from > 0 && len(r) <= from {
		return nil
	}
	named := false
	for k := from; k < from+wide; k++ {
		c := t.columns[k]
		n := &reading.Node{Kind: reading.Cell, Number: c.number, Strong: c.bold, Tick: c.tick}
		if k < len(r) {
			n.Text = r[k]
		}
		if c.bold && !named && !c.tick && n.Text != "" {
			// The first bold column says what the row is of.
			n.Kind, n.Rowwise = reading.Head, true
		}
		named = named || !c.tick && (c.bold || n.Text != "")
		cells[k] = n
		row.Add(n)
	}
	return row
}
