package html

import (
	"bytes"
	_ "embed"
	"fmt"
	"html"
	"regexp"
	"strings"

	"gelwright/scene/reading"
	"gelwright/scene/svg"
)

//go:embed paper.css
var styles string

// Options say where a page's links lead.
type Options struct {
	// Lang of the text, as "en-GB".
	Lang string
	// Say puts the words of the page itself into its language; nil leaves them English.
	Say func(string) string
	// Workings is the file in which the figures marked "[12]" are worked out; empty where
	// they stand on this page.
	Workings string
	// Papers are the files that are named in the text, each with the page that takes its place.
	Papers map[string]string
}

// Bytes returns the page. It is well-formed XML as well as HTML, and the same paper gives
// the same bytes.
func Bytes(paper *reading.Node, o Options) []byte {
	if o.Say == nil {
		o.Say = func(text string) string { return text }
	}
	w := &writer{o: o, ids: map[*reading.Node]string{}}
	w.gather(paper)
	w.put("<!DOCTYPE html>\n<html lang=\"%s\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n"+
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>%s</title>\n<style>\n%s</style>\n</head>\n<body>\n"+
		"<a class=\"skip\" href=\"#paper\">%s</a>\n", o.Lang, escape(paper.Text), styles, w.say("To the paper"))
	w.contents()
	w.put("<main id=\"paper\">\n")
	w.all(paper.Of)
	w.put("</main>\n</body>\n</html>\n")
	return w.b.Bytes()
}

type writer struct {
	b       bytes.Buffer
	o       Options
	heads   []*reading.Node
	ids     map[*reading.Node]string
	figures int
	// under is the heading that was written last.
	under string
}

func (w *writer) put(format string, args ...any) { fmt.Fprintf(&w.b, format, args...) }

// say is text of the page itself.
func (w *writer) say(text string) string { return escape(w.o.Say(text)) }

func escape(s string) string { return html.EscapeString(s) }

// gather names the headings of the page.
func (w *writer) gather(n *reading.Node) {
	for i, c := range n.Of {
		if c.Kind == reading.Heading && !contentsAt(n.Of, i) {
			w.heads = append(w.heads, c)
			w.ids[c] = fmt.Sprintf("s%d", len(w.heads))
		}
		w.gather(c)
	}
}

// contentsAt reports whether the contents of the printed page, heading and all, stand there:
// here they are the list at the top.
func contentsAt(list []*reading.Node, i int) bool {
	return list[i].Kind == reading.Contents || list[i].Kind == reading.Heading && i+1 < len(list) && list[i+1].Kind == reading.Contents
}

// contents lists the headings, folded away.
func (w *writer) contents() {
	if len(w.heads) < 2 {
		return
	}
	w.put("<nav aria-label=\"%[1]s\">\n<details>\n<summary>%[1]s</summary>\n<ol>\n", w.say("Contents"))
	for _, h := range w.heads {
		w.put("<li><a href=\"#%s\">%s</a></li>\n", w.ids[h], escape(h.Text))
	}
	w.put("</ol>\n</details>\n</nav>\n")
}

func (w *writer) all(list []*reading.Node) {
	for i, n := range list {
		if !contentsAt(list, i) {
			w.node(n)
		}
	}
}

func (w *writer) node(n *reading.Node) {
	switch n.Kind {
	case reading.Title, reading.Heading, reading.Subheading:
		w.under = n.Text
	}
	switch n.Kind {
	case reading.Section:
		w.put("<section>\n")
		w.all(n.Of)
		w.put("</section>\n")
	case reading.Title:
		w.put("<h1>%s</h1>\n", escape(n.Text))
	case reading.Heading:
		w.put("<h2 id=\"%s\">%s</h2>\n", w.ids[n], w.text(n.Text))
	case reading.Subheading:
		w.put("<h3>%s</h3>\n", w.text(n.Text))
	case reading.Paragraph:
		w.paragraph(n)
	case reading.List:
		w.list(n)
	case reading.Table:
		w.table(n)
	case reading.Figure:
		w.figure(n)
	}
}

func (w *writer) paragraph(n *reading.Node) {
	id, more := places(n)
	class := ""
	if n.Small {
		class = ` class="small"`
	}
	if n.Framed {
		class = ` class="framed"`
	}
	text := w.text(n.Text)
	if n.Strong {
		text = "<strong>" + text + "</strong>"
	}
	w.put("<p%s%s>%s%s</p>\n", id, class, more, text)
}

// places are the marks of a node that links lead to: the first on the element, further ones within.
func places(n *reading.Node) (id, more string) {
	for i, name := range strings.Fields(n.Name) {
		if i == 0 {
			id = fmt.Sprintf(" id=%q", name)
			continue
		}
		more += fmt.Sprintf("<a id=%q></a>", name)
	}
	return id, more
}

// bullet is the label of an item of a list without numbers.
const bullet = "•"

func (w *writer) list(n *reading.Node) {
	tag, class := "ul", ` class="plain"`
	switch label := labelOf(n.Of[0]); {
	case label == bullet:
		class = ""
	case label != "" && strings.Trim(label, "0123456789") == "":
		tag, class = "ol", ""
	}
	w.put("<%s%s>\n", tag, class)
	for _, item := range n.Of {
		label, body := labelOf(item), w.text(item.Last().Text)
		switch {
		case label == "":
			first, rest, _ := strings.Cut(body, "<br/>")
			w.put("<li class=\"whole\"><span aria-hidden=\"true\">☐</span> <strong>%s</strong>", first)
			if rest != "" {
				w.put("<br/>%s", rest)
			}
			w.put("</li>\n")
		case tag == "ol":
			w.put("<li value=\"%s\">%s</li>\n", escape(label), body)
		case class == "":
			w.put("<li>%s</li>\n", body)
		default:
			w.put("<li><b>%s</b> %s</li>\n", escape(label), body)
		}
	}
	w.put("</%s>\n", tag)
}

func labelOf(item *reading.Node) string {
	if item.Of[0].Kind == reading.Label {
		return item.Of[0].Text
	}
	return ""
}

// sheetMM is how wide a drawing is that is shown as large as it can be.
const sheetMM = 150

func (w *writer) figure(n *reading.Node) {
	w.figures++
	s := n.Picture
	class := "sheet"
	if s.WidthMM < sheetMM {
		class = "small"
	}
	says := s.Description
	if says == "" {
		says = s.Title
	}
	drawn := svg.Bytes(s, svg.Options{Fluid: true, IDPrefix: fmt.Sprintf("f%d-", w.figures)})
	w.put("<figure class=\"%s\">\n<div role=\"group\" aria-label=\"%s\" tabindex=\"0\">\n", class, escape(w.o.Say("Drawing: "+s.Title)))
	w.b.Write(drawn)
	w.put("</div>\n<figcaption>%s</figcaption>\n</figure>\n", escape(says))
}

var mark = regexp.MustCompile(`(^|[\s(])\[(\d+)\]`)

// text writes words with their line breaks, marks of workings and names of papers as links.
func (w *writer) text(s string) string {
	s = escape(s)
	s = mark.ReplaceAllString(s, `$1<a class="ref" href="`+w.o.Workings+`#w$2">[$2]</a>`)
	for _, pdf := range []string{"site.pdf", "office.pdf", "workings.pdf"} {
		if page := w.o.Papers[pdf]; page != "" {
			s = strings.ReplaceAll(s, pdf, `<a href="`+page+`">`+page+`</a>`)
		}
	}
	return strings.ReplaceAll(s, "\n", "<br/>\n")
}
