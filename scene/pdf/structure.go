package pdf

import (
	"fmt"
	"strings"
	"unicode/utf16"

	"gelwright/scene/reading"
)

// structure is the tree of what the paper says as objects of the file.
type structure struct {
	// root is the object of the tree's root; first to last are all its objects.
	root, first, last int
	// links of each page, in the order in which they were laid out.
	links map[int][]annotated
}

// annotated is a link with its object, the number it has in the parent tree, and its node.
type annotated struct {
	object, parent int
	node           *reading.Node
}

// builder numbers the elements and writes them.
type builder struct {
	d     *Document
	f     *file
	pages []int
	// number of each node's object.
	number map[*reading.Node]int
	// owner of each marked sequence, by page and number there.
	owner [][]int
	// linked is the annotation of a Link.
	linked map[*reading.Node]int
}

// structure adds the structure tree to the file (ISO 32000-1, 14.7). The annotations of
// links are numbered here and filled in with their pages.
func (d *Document) structure(f *file, pages []int) *structure {
	t := &structure{links: map[int][]annotated{}}
	b := &builder{d: d, f: f, pages: pages, number: map[*reading.Node]int{}, owner: make([][]int, len(pages)+1),
		linked: map[*reading.Node]int{}}
	parents := len(pages)
	for _, l := range d.links {
		n := f.add(nil)
		b.linked[l.node] = n
		t.links[l.page] = append(t.links[l.page], annotated{n, parents, l.node})
		parents++
	}
	for p := range pages {
		b.owner[p+1] = make([]int, d.marked[p+1])
	}
	t.root = f.add(nil)
	t.first = t.root
	tree := f.add(nil)
	top := b.element(d.Says, t.root)
	var nums strings.Builder
	for p := range pages {
		refs := make([]string, len(b.owner[p+1]))
		for i, n := range b.owner[p+1] {
			refs[i] = fmt.Sprintf("%d 0 R", n)
		}
		fmt.Fprintf(&nums, "%d %d 0 R ", p, f.add(fmt.Appendf(nil, "[%s]\n", strings.Join(refs, " "))))
	}
	for p := 1; p <= len(pages); p++ {
		for _, l := range t.links[p] {
			fmt.Fprintf(&nums, "%d %d 0 R ", l.parent, b.number[l.node])
		}
	}
	f.objects[tree] = fmt.Appendf(nil, "<</Nums [%s]>>\n", nums.String())
	f.objects[t.root] = fmt.Appendf(nil, "<</Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R /ParentTreeNextKey %d>>\n", top, tree, parents)
	t.last = len(f.objects) - 1
	return t
}

// says reports whether a node has anything on the pages.
func (b *builder) says(n *reading.Node) bool {
	switch n.Kind {
	case reading.Document, reading.Cell, reading.Head:
		return true
	}
	if len(b.d.marks[n]) > 0 {
		return true
	}
	for _, c := range n.Of {
		if b.says(c) {
			return true
		}
	}
	return false
}

// element writes a node and all below it, and returns its number.
func (b *builder) element(n *reading.Node, parent int) int {
	number := b.f.add(nil)
	b.number[n] = number
	var kids []string
	page := 0
	for _, m := range b.d.marks[n] {
		b.owner[m.page][m.id] = number
		if page == 0 {
			page = m.page
		}
		if m.page == page {
			kids = append(kids, fmt.Sprint(m.id))
		} else {
			kids = append(kids, fmt.Sprintf("<</Type /MCR /Pg %d 0 R /MCID %d>>", b.pages[m.page-1], m.id))
		}
	}
	if annot, ok := b.linked[n]; ok {
		kids = append(kids, fmt.Sprintf("<</Type /OBJR /Obj %d 0 R>>", annot))
	}
	for _, c := range n.Of {
		if b.says(c) {
			kids = append(kids, fmt.Sprintf("%d 0 R", b.element(c, number)))
		}
	}
	var s strings.Builder
	fmt.Fprintf(&s, "<</S /%s /P %d 0 R", tagOf(n), parent)
	if page > 0 {
		fmt.Fprintf(&s, " /Pg %d 0 R", b.pages[page-1])
	}
	b.attributes(&s, n)
	switch len(kids) {
	case 0:
	case 1:
		s.WriteString(" /K " + kids[0])
	default:
		s.WriteString(" /K [" + strings.Join(kids, " ") + "]")
	}
	s.WriteString(">>\n")
	b.f.objects[number] = []byte(s.String())
	return number
}

// attributes says of a heading cell what it heads, of a figure where it stands and what it
// shows, of a list how it is numbered.
func (b *builder) attributes(s *strings.Builder, n *reading.Node) {
	switch n.Kind {
	case reading.Head:
		scope := "Column"
		if n.Rowwise {
			scope = "Row"
		}
		span := ""
		if n.Span > 1 {
			span = fmt.Sprintf(" /ColSpan %d", n.Span)
		}
		fmt.Fprintf(s, " /A <</O /Table /Scope /%s%s>>", scope, span)
	case reading.Cell:
		if n.Span > 1 {
			fmt.Fprintf(s, " /A <</O /Table /ColSpan %d>>", n.Span)
		}
	case reading.Figure:
		box := b.d.boxes[n]
		k := b.d.GetConversionRatio()
		fmt.Fprintf(s, " /Alt %s /A <</O /Layout /Placement /Block /BBox [%.2f %.2f %.2f %.2f]>>", text(n.Alt()), k*box[0], k*box[1],
			k*box[2], k*box[3])
	case reading.List:
		numbering := "None"
		if len(n.Of) > 0 && len(n.Of[0].Of) > 0 {
			switch label := n.Of[0].Of[0].Text; {
			case label == "•":
				numbering = "Disc"
			case strings.Trim(label, "0123456789") == "":
				numbering = "Decimal"
			}
		}
		fmt.Fprintf(s, " /A <</O /List /ListNumbering /%s>>", numbering)
	}
}

// text writes a text string of PDF: UTF-16 with its mark, in hexadecimal, or plain where it is ASCII.
func text(s string) string {
	plain := true
	for _, r := range s {
		plain = plain && r >= ' ' && r < 0x7f
	}
	if plain {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}
