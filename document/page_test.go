package document

import (
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"gelwright/scene/reading"
)

// marked is what a page of HTML says, read as XML.
type marked struct {
	ids, links   map[string]bool
	levels       []int
	tables       int
	bare         []string // tables without heads, drawings without a title
	text         strings.Builder
	open         []string
	heads, title bool
}

func readPage(t *testing.T, name string, page []byte) *marked {
	t.Helper()
	m := &marked{ids: map[string]bool{}, links: map[string]bool{}}
	d := xml.NewDecoder(bytes.NewReader(page))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return m
		}
		if err != nil {
			t.Fatalf("%s is not well-formed: %v", name, err)
		}
		switch x := tok.(type) {
		case xml.StartElement:
			m.begin(t, name, x)
		case xml.EndElement:
			m.end(x.Name.Local)
		case xml.CharData:
			if in := m.open; len(in) > 0 && in[len(in)-1] != "style" {
				m.text.Write(x)
			}
		}
	}
}

func (m *marked) begin(t *testing.T, name string, x xml.StartElement) {
	t.Helper()
	is := x.Name.Local
	m.open = append(m.open, is)
	for _, a := range x.Attr {
		switch a.Name.Local {
		case "id":
			if m.ids[a.Value] {
				t.Errorf("%s: two elements have the id %q", name, a.Value)
			}
			m.ids[a.Value] = true
		case "href", "src":
			m.links[a.Value] = true
		}
	}
	switch is {
	case "h1", "h2", "h3":
		m.levels = append(m.levels, int(is[1]-'0'))
	case "table":
		m.tables++
		m.heads = false
	case "svg":
		m.title = false
	case "th":
		m.heads = true
	case "title":
		m.title = true
	case "script", "iframe", "link", "img", "object":
		t.Errorf("%s: element %s: the page is to stand alone", name, is)
	}
}

func (m *marked) end(is string) {
	m.open = m.open[:len(m.open)-1]
	if is == "table" && !m.heads || is == "svg" && !m.title {
		m.bare = append(m.bare, is)
	}
}

var external = regexp.MustCompile(`^(#.+|(site|office|workings)\.html(#w\d+)?)$`)

// Every book comes as a page of HTML too: well-formed, standing alone, headings in order, tables with heads, drawings with
// titles, links that lead somewhere, and every word of the paper on it.
func TestBooksAsPages(t *testing.T) {
	names := []string{"r01-garage", "r03-bay", "r12-hall"}
	if testing.Short() {
		names = names[:2]
	}
	for _, name := range names {
		l := written(t, name)
		pages := map[string]*marked{}
		for _, d := range l.all() {
			pages[d.name+".html"] = readPage(t, name+"/"+d.name, d.asPage())
		}
		for _, d := range l.all() {
			m, at := pages[d.name+".html"], name+", "+d.name+".html"
			if len(m.bare) > 0 || m.tables == 0 {
				t.Errorf("%s: %d tables; without heads or title: %v", at, m.tables, m.bare)
			}
			last := 0
			for _, h := range m.levels {
				if h > last+1 || h == 1 && last > 0 {
					t.Errorf("%s: a heading of level %d follows one of level %d", at, h, last)
				}
				last = h
			}
			for link := range m.links {
				if !external.MatchString(link) {
					t.Errorf("%s: the link %q leads out", at, link)
					continue
				}
				to, id, some := strings.Cut(link, "#")
				if to == "" {
					to = d.name + ".html"
				}
				if some && !pages[to].ids[id] {
					t.Errorf("%s: the link %q leads nowhere", at, link)
				}
			}
			text := strings.Join(strings.Fields(m.text.String()), "")
			contents := false
			readAll(d.f.Says, func(n *reading.Node) {
				contents = contents || n.Kind == reading.Contents
				words := n.Text
				if n.Kind == reading.Link || n.Text == inThisPack {
					return
				}
				for _, paper := range []string{"site", "office", "workings"} {
					words = strings.ReplaceAll(words, paper+".pdf", paper+".html")
				}
				if w := strings.Join(strings.Fields(words), ""); w != "" && n.Kind != reading.Document && n.Kind != reading.Label && !strings.Contains(text, w) {
					t.Errorf("%s does not say %q", at, n.Text)
				}
			})
		}
	}
}
