package pdf

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gelwright/scene"
	"gelwright/scene/lettering"
	"gelwright/scene/reading"
)

// Document is a PDF in the making whose marks are tied to what the paper says. What is
// drawn while a node is open belongs to it; all else is furniture of the page, which a
// reader of the screen passes over.
type Document struct {
	// Language that it is read in, with its country: "en-GB".
	Language string
	*fpdf.Fpdf
	// Says is the paper in reading order; whoever lays it out adds to it.
	Says *reading.Node

	title, author string
	date          time.Time
	// open is the node that lettering goes to, nil for none; figure is true while all
	// that is drawn belongs to it.
	open   *reading.Node
	figure bool
	// running is true where furniture repeats from page to page.
	running bool
	// begun is the sequence that the present page's marks go to; marked by page.
	begun  sequence
	marked []int
	// marks are the sequences of each node, boxes what a figure covers, mm from the foot.
	marks map[*reading.Node][]mark
	boxes map[*reading.Node][4]float64
	links []link
	// runes that were to be lettered, and whether the fonts have them.
	runes map[rune]bool
	// after is where the last lettering of the open node ended, and what it was.
	after ending
}

// sequence is a run of marks in a page's stream.
type sequence struct {
	kind sequenceKind
	node *reading.Node
}

type sequenceKind int

const (
	none sequenceKind = iota
	tagged
	artifact
	pagination
)

// mark is one sequence of a node: the page, from 1, and its number there.
type mark struct{ page, id int }

// link is an area of a page that leads to another.
type link struct {
	page int
	node *reading.Node
}

type ending struct {
	node *reading.Node
	x, y float64
	text string
}

// Language of a paper that is not told another.
const Language = "en-GB"

// New returns an empty document in millimetres, dated as told, without page
// breaks of its own, its fonts registered.
func New(date time.Time, title, author string) *Document {
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetCatalogSort(true)
	f.SetProducer(producer, true)
	f.SetTitle(title, true)
	if author != "" {
		f.SetAuthor(author, true)
	}
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddUTF8FontFromBytes(Family, "", bytes.Clone(lettering.TTF(false)))
	f.AddUTF8FontFromBytes(Family, "B", bytes.Clone(lettering.TTF(true)))
	return &Document{Fpdf: f, Language: Language,
		Says: &reading.Node{Kind: reading.Document, Text: title}, title: title, author: author, date: date.UTC(),
		marked: make([]int, 1), marks: map[*reading.Node][]mark{}, boxes: map[*reading.Node][4]float64{}, runes: map[rune]bool{' ': true}}
}

// In draws what belongs to a node. Within a node that is open already it belongs to that.
func (d *Document) In(n *reading.Node, draw func()) {
	if d.open != nil || d.running {
		draw()
		return
	}
	d.open, d.after = n, ending{}
	draw()
	d.open, d.after = nil, ending{}
}

// Open reports whether lettering belongs to a node, or is said to be furniture.
func (d *Document) Open() bool { return d.open != nil || d.running }

// Aside draws what is repeated from page to page and not read: feet, heads of tables.
func (d *Document) Aside(draw func()) {
	open, running := d.open, d.running
	d.open, d.running = nil, true
	draw()
	d.open, d.running = open, running
}

// into goes on in a sequence of the present page's stream, or begins it.
func (d *Document) into(s sequence) {
	if s == d.begun || d.PageNo() == 0 {
		return
	}
	d.close()
	d.begun = s
	switch s.kind {
	case tagged:
		page := d.PageNo()
		id := d.marked[page]
		d.marked[page]++
		d.marks[s.node] = append(d.marks[s.node], mark{page, id})
		d.RawWriteStr(fmt.Sprintf("/%s <</MCID %d>> BDC", tagOf(s.node), id))
	case artifact:
		d.RawWriteStr("/Artifact BMC")
	case pagination:
		d.RawWriteStr("/Artifact <</Type /Pagination>> BDC")
	}
}

// close ends the sequence of the present page.
func (d *Document) close() {
	if d.begun.kind != none {
		d.RawWriteStr("EMC")
	}
	d.begun = sequence{}
}

// drawn goes into the sequence that lines and areas belong to.
func (d *Document) drawn() {
	switch {
	case d.figure:
		d.into(sequence{tagged, d.open})
	case d.running:
		d.into(sequence{kind: pagination})
	default:
		d.into(sequence{kind: artifact})
	}
}

// AddPageFormat begins a page.
func (d *Document) AddPageFormat(way string, size fpdf.SizeType) {
	d.space()
	d.leave()
	d.Fpdf.AddPageFormat(way, size)
	d.marked = append(d.marked, 0)
}

// SetPage goes back to a page that was begun.
func (d *Document) SetPage(n int) {
	if n != d.PageNo() {
		d.leave()
		d.Fpdf.SetPage(n)
	}
}

func (d *Document) leave() {
	d.close()
	d.after = ending{}
}

// Text letters one line. Between two lines of a node stands a space, so that a reader
// does not run their words together, but not in a word that was broken.
func (d *Document) Text(x, y float64, text string) {
	if text == "" {
		return
	}
	text = d.lettered(text)
	if d.open == nil {
		d.drawn()
		d.Fpdf.Text(x, y, text)
		return
	}
	d.into(sequence{tagged, d.open})
	if !d.figure && d.after.node == d.open && !strings.Contains(d.open.Text, d.after.text+text) {
		d.space()
	}
	d.Fpdf.Text(x, y, text)
	d.after = ending{d.open, x + d.GetStringWidth(text), y, text}
}

// lettered notes the letters that are used. What the fonts lack becomes a question mark: no
// kept file may show the box that stands for a missing letter.
func (d *Document) lettered(text string) string {
	known := true
	for _, r := range text {
		has, met := d.runes[r]
		if !met {
			has = len(scene.Lacks(string(r))) == 0
			d.runes[r] = has
		}
		known = known && has
	}
	if known {
		return text
	}
	d.runes['?'] = true
	return strings.Map(func(r rune) rune {
		if d.runes[r] {
			return r
		}
		return '?'
	}, text)
}

// space sets a space behind the last lettering of the open node.
func (d *Document) space() {
	if d.figure || d.open == nil || d.after.node != d.open || d.begun.node != d.open {
		return
	}
	d.Fpdf.Text(d.after.x, d.after.y, " ")
}

// Line, Rect and DrawPath draw into the figure that is open, or as furniture.
func (d *Document) Line(x0, y0, x1, y1 float64) {
	d.drawn()
	d.Fpdf.Line(x0, y0, x1, y1)
}

// Rect draws an upright rectangle.
func (d *Document) Rect(x, y, w, h float64, style string) {
	d.drawn()
	d.Fpdf.Rect(x, y, w, h, style)
}

// MoveTo begins a path, which DrawPath ends.
func (d *Document) MoveTo(x, y float64) {
	d.drawn()
	d.Fpdf.MoveTo(x, y)
}

// LinkTo makes an area of the present page lead to a page, for a node of kind Link.
func (d *Document) LinkTo(n *reading.Node, x, y, w, h float64, page int) {
	to := d.AddLink()
	d.SetLink(to, 0, page)
	d.Link(x, y, w, h, to)
	d.links = append(d.links, link{d.PageNo(), n})
}

// Output writes the finished document: tagged and fit to be kept.
func (d *Document) Output(w io.Writer) error {
	d.leave()
	var raw bytes.Buffer
	if err := d.Fpdf.Output(&raw); err != nil {
		return fmt.Errorf("laying out the PDF: %w", err)
	}
	out, err := d.archive(raw.Bytes())
	if err != nil {
		return err
	}
	_, err = w.Write(out)
	return err
}

// tagOf is the standard structure type of a node (ISO 32000-1, 14.8.4).
func tagOf(n *reading.Node) string {
	return [...]string{reading.Document: "Document", reading.Section: "Sect", reading.Title: "H1", reading.Heading: "H2",
		reading.Subheading: "H3", reading.Paragraph: "P", reading.List: "L", reading.Item: "LI", reading.Label: "Lbl",
		reading.Body: "LBody", reading.Table: "Table", reading.Row: "TR", reading.Head: "TH", reading.Cell: "TD",
		reading.Figure: "Figure", reading.Contents: "TOC", reading.Link: "Link"}[n.Kind]
}
