package html

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"gelwright/scene/reading"
)

// table writes a table with the meaning of its heads. On a narrow screen one with many
// columns becomes a card to a row; a grid of figures is moved sideways.
func (w *writer) table(n *reading.Node) {
	over, heads := headsOf(n)
	rows := n.Of
	class := "grid"
	if len(heads) >= fewColumns && named(heads) && filled(n) {
		class = "cards"
	}
	if heads == nil {
		class = "facts"
	}
	w.put("<div class=\"wide\" role=\"group\" aria-label=\"%s\" tabindex=\"0\">\n<table class=\"%s\"%s>\n", escape("Table: "+w.under), class,
		role(class, "table"))
	if heads != nil {
		w.put("<thead%s>\n", role(class, "rowgroup"))
		if over != nil {
			w.headRow(over, class)
			rows = rows[1:]
		}
		w.headRow(heads, class)
		w.put("</thead>\n")
		rows = rows[1:]
	}
	w.put("<tbody%s>\n", role(class, "rowgroup"))
	for i, r := range rows {
		if i > 0 && r.Of[0].Span > 1 {
			w.put("</tbody>\n<tbody%s>\n", role(class, "rowgroup"))
		}
		w.row(r, toldAs(over, heads), class)
	}
	w.put("</tbody>\n</table>\n</div>\n")
}

// fewColumns fit a phone as they are.
const fewColumns = 4

// role says again what an element is where the style of cards would have a reader forget it.
func role(class, is string) string {
	if class != "cards" {
		return ""
	}
	return fmt.Sprintf(" role=%q", is)
}

// headsOf are the heads of the columns, nil for a table whose rows alone have heads, and those
// over several columns, nil for none.
func headsOf(n *reading.Node) (over, heads []*reading.Node) {
	rows := n.Of
	if len(rows) > 1 && slices.ContainsFunc(rows[0].Of, func(h *reading.Node) bool {
		return h.Kind == reading.Head && !h.Rowwise && h.Span > 1
	}) {
		over, rows = rows[0].Of, rows[1:]
	}
	for _, h := range rows[0].Of {
		if h.Kind != reading.Head || h.Rowwise {
			return nil, nil
		}
	}
	return over, rows[0].Of
}

// toldAs are the words that tell a cell's column where no head stands over it: with what stands
// over several, up to its first semicolon.
func toldAs(over, heads []*reading.Node) []string {
	out := make([]string, len(heads))
	for i, h := range heads {
		out[i] = h.Text
	}
	at := 0
	for _, o := range over {
		for range max(o.Span, 1) {
			if about, _, _ := strings.Cut(o.Text, ";"); about != "" && at < len(out) {
				out[at] = about + ", " + out[at]
			}
			at++
		}
	}
	return out
}

func (w *writer) headRow(heads []*reading.Node, class string) {
	w.put("<tr%s>", role(class, "row"))
	for _, h := range heads {
		w.head(h, class)
	}
	w.put("</tr>\n")
}

// named reports whether the heads are words: a grid has figures.
func named(heads []*reading.Node) bool {
	figures := 0
	for _, h := range heads {
		if h.Text != "" && !strings.ContainsFunc(h.Text, unicode.IsLetter) {
			figures++
		}
	}
	return figures <= 1
}

// filled reports whether anything stands below the heads: an empty sheet is to be printed.
func filled(n *reading.Node) bool {
	for _, r := range n.Of {
		for _, c := range r.Of {
			if c.Kind == reading.Cell && c.Text != "" {
				return true
			}
		}
	}
	return false
}

// done heads a column of boxes to tick.
const done = "done"

func (w *writer) head(h *reading.Node, class string) {
	switch {
	case h.Span > 1:
		w.put("<th scope=\"colgroup\" colspan=\"%d\"%s>%s</th>", h.Span, role(class, "columnheader"), w.text(h.Text))
	case h.Text != "":
		w.put("<th scope=\"col\"%s%s>%s</th>", role(class, "columnheader"), number(h), w.text(h.Text))
	case h.Tick:
		w.put("<th scope=\"col\"%s><span class=\"unseen\">%s</span></th>", role(class, "columnheader"), done)
	default:
		w.put("<td%s></td>", role(class, "cell"))
	}
}

func number(n *reading.Node) string {
	if n.Number {
		return ` class="n"`
	}
	return ""
}

func (w *writer) row(r *reading.Node, heads []string, class string) {
	id, more := places(r)
	w.put("<tr%s%s>", id, role(class, "row"))
	for i, c := range r.Of {
		told := ""
		if class == "cards" && i < len(heads) && heads[i] != "" {
			told = fmt.Sprintf(" data-head=\"%s\"", escape(heads[i]))
		}
		text := w.text(c.Text)
		if i == 0 {
			text = more + text
		}
		switch {
		case c.Span > 1:
			w.put("<th scope=\"rowgroup\" colspan=\"%d\"%s>%s</th>", c.Span, role(class, "rowheader"), text)
		case c.Kind == reading.Head:
			w.put("<th scope=\"row\"%s%s%s>%s</th>", role(class, "rowheader"), number(c), told, text)
		case c.Tick:
			w.put("<td class=\"tick\"%s>☐</td>", role(class, "cell"))
		default:
			if c.Strong && text != "" {
				text = "<b>" + text + "</b>"
			}
			w.put("<td%s%s%s>%s</td>", role(class, "cell"), number(c), told, text)
		}
	}
	w.put("</tr>\n")
}
