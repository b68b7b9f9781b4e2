package document

import (
	"fmt"
	"slices"
	"strings"

	"gelwright/working"
)

// likeness knows which workings go the same way: formula, sources and the inputs' symbols are
// alike, values and names may differ. Of such figures the first is worked in full and the others
// are rows of what differs.
type likeness struct {
	d      *pack
	shapes map[*working.Figure]string
	// full are the places of the figures that are worked in full, by how they are worked.
	full map[string]int
}

// workedAs tells of a figure without a number that another with one goes the same way, and what
// differs; false where none does.
func (l *likeness) workedAs(f *working.Figure) (string, bool) {
	at, ok := l.full[l.of(f)]
	if !ok {
		return "", false
	}
	return fmt.Sprintf("worked as [%d]", at+1) + l.differing(l.d.refs.order[at], f), true
}

// differing is what differs of a figure from one that goes the same way: "; k = 1.5 kg".
func (l *likeness) differing(full, f *working.Figure) string {
	text := ""
	first, items := l.items(full), l.items(f)
	for i, it := range items {
		if i > 0 && !it.equal(first[i]) {
			text += fmt.Sprintf("; %s = %s", it.label, it.words(likeItem{source: first[i].source}))
		}
	}
	return text
}

// of is how a figure is worked: equal for figures that go the same way.
func (l *likeness) of(f *working.Figure) string {
	if s, ok := l.shapes[f]; ok {
		return s
	}
	var b strings.Builder
	b.WriteString(strings.Join([]string{f.Symbol, f.By(), f.Source.String(), string(l.d.standings.RestsOn(f)), f.Note}, "|"))
	for _, run := range l.terms(f) {
		fmt.Fprintf(&b, "(%s)", l.kind(run[0]))
	}
	if len(f.Inputs) > mostInputs {
		b.WriteString("…")
	}
	l.shapes[f] = b.String()
	return b.String()
}

// kind of an input: with a number of its own, given, or worked there.
func (l *likeness) kind(in *working.Figure) string {
	switch {
	case l.d.own(in) != nil:
		return in.Symbol + "#"
	case len(in.Inputs) == 0:
		return in.Symbol + "=" + longSource(in)
	}
	return l.of(in)
}

// longSource is where a value comes from when it takes so many words that rows which say it
// again would be no shorter than a working.
func longSource(in *working.Figure) string {
	const many = 70
	if s := in.Source.String(); len(s) > many {
		return s
	}
	return ""
}

// terms parts the inputs of a figure into runs of one kind, as the terms of a sum are.
func (l *likeness) terms(f *working.Figure) [][]*working.Figure {
	var out [][]*working.Figure
	last := ""
	for _, in := range listed(f) {
		kind := l.kind(in)
		if k := len(out) - 1; k >= 0 && kind == last {
			out[k] = append(out[k], in)
			continue
		}
		out, last = append(out, []*working.Figure{in}), kind
	}
	return out
}

// likeItem is one value on the way to a figure, or the values of several terms of a sum.
type likeItem struct {
	label, unit string
	values      []string
	// marks of the values that have a number of their own.
	marks  []string
	source string
}

func (a likeItem) equal(b likeItem) bool {
	return a.label == b.label && a.unit == b.unit && a.source == b.source && slices.Equal(a.values, b.values)
}

// items are the values of a figure and of what is worked with it, in the order of its full working.
func (l *likeness) items(f *working.Figure) []likeItem {
	out := []likeItem{l.item(f)}
	for _, run := range l.terms(f) {
		var terms []likeItem
		for k, in := range run {
			of := l.inputItems(in)
			if k == 0 {
				terms = of
				continue
			}
			for i := range of {
				terms[i].values = append(terms[i].values, of[i].values...)
				terms[i].marks = append(terms[i].marks, of[i].marks...)
			}
		}
		out = append(out, terms...)
	}
	if more := len(f.Inputs) - mostInputs; more > 0 {
		out = append(out, likeItem{label: "further", values: []string{fmt.Sprint(more)}, marks: []string{""}})
	}
	for i, it := range out {
		if !slices.ContainsFunc(it.values, func(v string) bool { return v != it.values[0] }) {
			out[i].values = it.values[:1] // the same in all terms
		}
	}
	return out
}

// item is the value of a figure alone.
func (l *likeness) item(f *working.Figure) likeItem {
	label := f.Symbol
	if label == "" {
		label = f.Name
	}
	value := l.d.quantity(f)
	if f.Text == "" {
		value = strings.TrimSuffix(strings.TrimSuffix(value, f.Unit), " "+working.UnitOf(f.Value, f.Unit))
	}
	return likeItem{label: label, unit: f.Unit, values: []string{strings.TrimSpace(value)}, marks: []string{""}}
}

func (l *likeness) inputItems(in *working.Figure) []likeItem {
	own := l.d.own(in)
	switch {
	case own != nil:
		it := l.item(in)
		it.marks[0] = l.d.refs.of(own)
		return []likeItem{it}
	case len(in.Inputs) == 0:
		it := l.item(in)
		it.source = l.d.origin(in)
		return []likeItem{it}
	}
	return l.items(in)
}

// kin are the places in the numbering of figures that go the same way, in order.
type kin []int

// leastKin are so many that rows are shorter than workings.
const leastKin = 2

// kins finds them among the numbered figures by the place of the first; in tells for a figure that
// is a row only the place of the one that is worked in full.
func (l *likeness) kins(order []*working.Figure) (first map[int]kin, in map[int]int) {
	byShape := map[string]kin{}
	var shapes []string
	for i, f := range order {
		if len(f.Inputs) == 0 {
			continue
		}
		s := l.of(f)
		if byShape[s] == nil {
			shapes = append(shapes, s)
		}
		byShape[s] = append(byShape[s], i)
	}
	first, in = map[int]kin{}, map[int]int{}
	for _, s := range shapes {
		k := byShape[s]
		l.full[s] = k[0]
		if len(k) < leastKin {
			continue
		}
		first[k[0]] = k
		for _, i := range k[1:] {
			in[i] = k[0]
		}
	}
	return first, in
}

// kinTable is what differs between kin: heads and a row for each, rows that say the same in one.
type kinTable struct {
	called  string
	columns []likeItem
	rows    []kinRow
}

// kinRow is figures of which the same is said.
type kinRow struct {
	numbers []int
	of      []string
	items   []likeItem
}

// table of kin, the first included.
func (l *likeness) table(order []*working.Figure, k kin) kinTable {
	items := make([][]likeItem, len(k))
	for i, n := range k {
		items[i] = l.items(order[n])
	}
	before, after := keysAround(order, k)
	var t kinTable
	if before+after != "" {
		t.called = before + "…" + after
	}
	var columns []int
	for c := range items[0] {
		if c == 0 || differs(items, c) {
			columns = append(columns, c)
			t.columns = append(t.columns, columnOf(items, c))
		}
	}
	for i, n := range k {
		row := kinRow{numbers: []int{n + 1}, of: []string{called(order[n], before, after)}}
		for _, c := range columns {
			row.items = append(row.items, items[i][c])
		}
		if at := slices.IndexFunc(t.rows, row.same); at >= 0 && t.called != "" {
			t.rows[at].numbers = append(t.rows[at].numbers, n+1)
			t.rows[at].of = append(t.rows[at].of, row.of...)
			continue
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// same reports whether two rows say the same.
func (r kinRow) same(o kinRow) bool { return slices.EqualFunc(r.items, o.items, likeItem.equal) }

// called is what a row is of: the part of its key that the others do not share, else its name.
func called(f *working.Figure, before, after string) string {
	if before+after != "" {
		return f.Key[len(before) : len(f.Key)-len(after)]
	}
	return joinNonEmpty(", ", f.Name, f.Key)
}

// keysAround are the beginning and the end that the keys of kin share, up to a point, where all
// have one name; both empty where names tell them apart.
func keysAround(order []*working.Figure, k kin) (before, after string) {
	name := order[k[0]].Name
	var keys []string
	for _, i := range k {
		f := order[i]
		if f.Key == "" || f.Name != name {
			return "", ""
		}
		keys = append(keys, f.Key)
	}
	before, after = keys[0], keys[0]
	for _, key := range keys[1:] {
		for !strings.HasPrefix(key, before) {
			before = before[:len(before)-1]
		}
		for !strings.HasSuffix(key, after) {
			after = after[1:]
		}
	}
	before = before[:strings.LastIndex(before, ".")+1]
	if p := strings.Index(after, "."); p >= 0 {
		after = after[p:]
	} else {
		after = ""
	}
	if slices.ContainsFunc(keys, func(key string) bool { return len(key) < len(before)+len(after) }) {
		after = ""
	}
	return before, after
}

// differs reports whether the item is not the same in all.
func differs(items [][]likeItem, c int) bool {
	return slices.ContainsFunc(items, func(of []likeItem) bool { return !of[c].equal(items[0][c]) })
}

// columnOf is what all rows have in common of an item: its symbol, and unit and source where they
// are the same in all.
func columnOf(items [][]likeItem, c int) likeItem {
	out := likeItem{label: items[0][c].label, unit: items[0][c].unit, source: items[0][c].source}
	for _, of := range items {
		if of[c].unit != out.unit {
			out.unit = ""
		}
		if of[c].source != out.source {
			out.source = ""
		}
	}
	return out
}

// mostTerms of a sum stand in a row.
const mostTerms = 6

// words of an item: its values with their marks, behind the unit that is not said in the head of
// its column, and where it comes from when that is not the same in all.
func (a likeItem) words(column likeItem) string {
	var out []string
	for i, v := range a.values[:min(len(a.values), mostTerms)] {
		out = append(out, joinNonEmpty(" ", v, a.unitBut(column), a.marks[i]))
	}
	if n := len(a.values) - mostTerms; n > 0 {
		out = append(out, fmt.Sprintf("%d more", n))
	}
	text := strings.Join(out, "; ")
	if column.source != a.source {
		text = joinNonEmpty(" ", text, a.source)
	}
	return text
}

// unitBut is the unit, where the column does not say it.
func (a likeItem) unitBut(column likeItem) string {
	if a.unit == column.unit {
		return ""
	}
	return a.unit
}

// head of a column.
func (a likeItem) head() string { return joinNonEmpty(" ", a.label, a.unit) }
