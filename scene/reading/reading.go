package reading

import (
	"strconv"
	"strings"

	"gelwright/scene"
)

// Kind is what a node is.
type Kind int

const (
	// Document is the whole paper; it and Section, List, Item, Table, Row, Contents hold other nodes.
	Document Kind = iota
	Section
	// Title is the heading of the paper, Heading that of a section, Subheading one below.
	Title
	Heading
	Subheading
	Paragraph
	List
	// Item is one Label and one Body.
	Item
	Label
	Body
	Table
	Row
	// Head is a cell that names a column or a row, Cell any other.
	Head
	Cell
	Figure
	// Contents lists links to headings.
	Contents
	Link
)

// Node is one thing that a paper says.
type Node struct {
	Kind Kind
	// Text is what a leaf says, without line breaks of the page's own.
	Text string
	// Of are the nodes within, in the order in which they are read.
	Of []*Node
	// Rowwise is true of a Head that names its row, false of one that names its column.
	Rowwise bool
	// Span is how many columns a cell takes; 0 is one.
	Span int
	// Number is true of a cell whose figures stand under each other, Strong of what is set
	// in bold, Small of what is set small, Tick of a cell with a box to tick.
	Number, Strong, Small, Tick bool
	// Framed is true of a paragraph that nobody may miss: it stands in a frame.
	Framed bool
	// Picture is what a Figure shows.
	Picture *scene.Scene
	// To is the heading that a Link leads to.
	To *Node
	// Name marks the place of a Paragraph or Row for links from other papers; several stand apart by spaces.
	Name string
}

// Add puts nodes at the end of n and returns n.
func (n *Node) Add(of ...*Node) *Node {
	n.Of = append(n.Of, of...)
	return n
}

// Last returns the last node within, nil for none.
func (n *Node) Last() *Node {
	if len(n.Of) == 0 {
		return nil
	}
	return n.Of[len(n.Of)-1]
}

// mostAlt is how many bytes of names a figure is told in: a reader of the screen speaks all
// of it before it can be skipped.
const mostAlt = 1500

// Alt tells what a figure shows: the drawing's title and description, then its named
// pieces, or its lettering where nothing in it is named.
func (n *Node) Alt() string {
	s := n.Picture
	if s == nil {
		return n.Text
	}
	text := strings.TrimSuffix(s.Title, ".") + "."
	if s.Description != "" && s.Description != s.Title {
		text += " " + s.Description
	}
	names := pieceNames(s)
	if len(names) == 0 {
		names = lettering(s)
	}
	for i, name := range names {
		if len(text)+len(name) > mostAlt {
			return text + " And " + plural(len(names)-i) + "."
		}
		sep := "; "
		if i == 0 {
			sep = " It shows: "
		}
		text += sep + strings.TrimSuffix(name, ".")
	}
	if len(names) > 0 {
		text += "."
	}
	return text
}

func plural(n int) string {
	if n == 1 {
		return "one more part that is named"
	}
	return strconv.Itoa(n) + " more parts that are named"
}

// pieceNames are the titles of the drawing's pieces, each once.
func pieceNames(s *scene.Scene) []string {
	var out []string
	seen := map[string]bool{}
	for _, p := range s.Pieces() {
		if !seen[p.Title] {
			seen[p.Title] = true
			out = append(out, p.Title)
		}
	}
	return out
}

// lettering is every line of text on a drawing, in drawing order.
func lettering(s *scene.Scene) []string {
	r := &texts{}
	s.Walk(r)
	return r.out
}

type texts struct{ out []string }

func (t *texts) Shape(scene.Shape) {}
func (t *texts) Open(scene.Meta)   {}
func (t *texts) Close()            {}
func (t *texts) Text(x scene.Text) {
	if c := strings.TrimSpace(x.Content); c != "" {
		t.out = append(t.out, c)
	}
}
