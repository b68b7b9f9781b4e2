package html

import (
	"fmt"
	"strings"
	"unicode"

	"gelwright/scene/reading"
)

// table writes a table with the meaning of its heads. On a narrow screen one with many
// columns becomes a card to a row; a grid of figures is moved sideways.
func (w *writer) table(n *reading.Node) {
	heads := headsOf(n)
	class := "grid"
	if len(heads) >= fewColumns && named(heads) && filled(n) {
		class = "cards"
	}
	if heads == nil {
		class = "facts"
	}
	w.put("<div class=\"wide\" role=\"group\" aria-label=\"%s\" tabindex=\"0\">\n<table class=\"%s\"%s>\n", escape("Table: "+w.under), class,
		role(class, "table"))
	rows := n.Of
	if heads != nil {
		w.put("<thead%s>\n<tr%s>", role(class, "rowgroup"), role(class, "row"))
		for _, h := range heads {
			w.head(h, class)
		}
		w.put("</tr>\n</thead>\n")
		rows = rows[1:]
	}
	w.put("<tbody%s>\n", role(class, "rowgroup"))
	for i, r := range rows {
		if i > 0 && r.Of[0].Span > 1 {
			w.put("</tbody>\n<tbody%s>\n", role(class, "rowgroup"))
		}
		w.row(r, heads, class)
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

// headsOf are the heads of the columns, nil for a table whose rows alone have heads.
func headsOf(n *reading.Node) []*reading.Node {
	for _, h := range n.Of[0].Of {
		if h.Kind != reading.Head || h.Rowwise {
			return nil
		}
	}
	return n.Of[0].Of
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
	for _, r := range n.Of[1:] {
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

func (w *writer) row(r *reading.Node, heads []*reading.Node, class string) {
	w.put("<tr%s>", role(class, "row"))
	for i, c := range r.Of {
		told := ""
		if class == "cards" && i < len(heads) && heads[i].Text != "" {
			told = fmt.Sprintf(" data-head=\"%s\"", escape(heads[i].Text))
		}
		text := w.text(c.Text)
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
