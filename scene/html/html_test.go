package html

import (
	"bytes"
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/scene"
	"gelwright/scene/reading"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sample holds every kind of node.
func sample() *reading.Node {
	leaf := func(k reading.Kind, text string) *reading.Node { return &reading.Node{Kind: k, Text: text} }
	item := func(label, text string) *reading.Node {
		n := &reading.Node{Kind: reading.Item}
		if label != "" {
			n.Add(leaf(reading.Label, label))
		}
		return n.Add(leaf(reading.Body, text))
	}
	head := func(text string, number bool) *reading.Node {
		return &reading.Node{Kind: reading.Head, Text: text, Number: number}
	}
	row := func(cells ...*reading.Node) *reading.Node { return (&reading.Node{Kind: reading.Row}).Add(cells...) }
	drawing := &scene.Scene{Title: "Roof at a glance", Description: "Two rectangles <no scale>.", WidthMM: 58, HeightMM: 42}
	drawing.Add(scene.Shape{Meta: scene.Meta{ID: "deck", Title: "Deck A"}, Paths: []scene.Path{scene.Rect(5, 5, 50, 40)}, Stroke: scene.Pen(0.5)})
	return (&reading.Node{Kind: reading.Document, Text: "Shed & porch, site"}).Add(
		(&reading.Node{Kind: reading.Section}).Add(leaf(reading.Title, "Shed & porch"),
			(&reading.Node{Kind: reading.Table}).Add(row(&reading.Node{Kind: reading.Head, Text: "Site", Rowwise: true}, leaf(reading.Cell, "Mill <west>"))),
			leaf(reading.Paragraph, "17.9 m² net roof [1]\nSee office.pdf."), &reading.Node{Kind: reading.Figure, Picture: drawing},
			&reading.Node{Kind: reading.Figure, Picture: drawing}, leaf(reading.Heading, "In this pack"),
			(&reading.Node{Kind: reading.Contents}).Add(leaf(reading.Link, "2 Method"))),
		(&reading.Node{Kind: reading.Section}).Add(leaf(reading.Heading, "Buckets"), leaf(reading.Subheading, "1 of 2 Bandage"),
			&reading.Node{Kind: reading.Paragraph, Text: "[7] Dose = 2 %", Strong: true, Name: "w7"},
			&reading.Node{Kind: reading.Paragraph, Text: "DO NOT BEGIN: 82 %", Framed: true},
			&reading.Node{Kind: reading.Paragraph, Text: "a list's field decks[0] is no mark", Small: true},
			(&reading.Node{Kind: reading.Table}).Add(
				row(&reading.Node{Kind: reading.Head, Tick: true}, head("no.", false), head("mix at", false), head("resin kg", true), head("", false)),
				row(&reading.Node{Kind: reading.Head, Text: "Break of 20 min", Rowwise: true, Span: 5}),
				row(&reading.Node{Kind: reading.Cell, Tick: true}, &reading.Node{Kind: reading.Head, Text: "1", Rowwise: true, Strong: true},
					leaf(reading.Cell, "08:00"), &reading.Node{Kind: reading.Cell, Text: "1.92 [3]", Number: true, Strong: true}, leaf(reading.Cell, "")),
				row(&reading.Node{Kind: reading.Head, Text: "Day 2", Rowwise: true, Span: 5})),
			(&reading.Node{Kind: reading.Table}).Add(
				row(leaf(reading.Cell, ""), &reading.Node{Kind: reading.Head, Text: "Resin; slow catalyst", Span: 2},
					&reading.Node{Kind: reading.Head, Text: "Top coat", Span: 2}),
				row(head("°C", true), head("ml", true), head("g", true), head("ml", true), head("g", true)),
				row(&reading.Node{Kind: reading.Head, Text: "5", Rowwise: true}, leaf(reading.Cell, "38"), leaf(reading.Cell, "40"),
					leaf(reading.Cell, "33"), leaf(reading.Cell, "30"))),
			(&reading.Node{Kind: reading.Table}).Add(row(head("y \\ x", false), head("0.0", true), head("0.5", true), head("1.0", true)),
				row(&reading.Node{Kind: reading.Head, Text: "0.5", Rowwise: true}, leaf(reading.Cell, "12"), leaf(reading.Cell, "13"), leaf(reading.Cell, "14")))),
		(&reading.Node{Kind: reading.Section}).Add(leaf(reading.Heading, "Method"),
			(&reading.Node{Kind: reading.List}).Add(item("1", "Sweep."), item("", "2  Deck dry?\nsigned ________")),
			(&reading.Node{Kind: reading.List}).Add(item("•", "Never back into the bottle.")),
			(&reading.Node{Kind: reading.List}).Add(item("a", "A source."))))
}

func TestGolden(t *testing.T) {
	got := Bytes(sample(), Options{Lang: "en-GB", Workings: "workings.html", Papers: map[string]string{"office.pdf": "office.html"}})
	path := filepath.Join("testdata", "paper.html")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: run with -update to write it", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the page is another than %s: look at it in a browser, then run with -update", path)
	}
}

// The page is well-formed, its ids are its own, and what is said in the file is escaped.
func TestWellFormed(t *testing.T) {
	page := Bytes(sample(), Options{Lang: "en-GB"})
	ids := map[string]bool{}
	for d := xml.NewDecoder(bytes.NewReader(page)); ; {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			if a.Name.Local == "id" && ids[a.Value] {
				t.Errorf("two elements have the id %q", a.Value)
			} else if a.Name.Local == "id" {
				ids[a.Value] = true
			}
		}
	}
	for _, want := range []string{"f1-deck", "f2-deck", "s1", "s2", "w7", "paper"} {
		if !ids[want] {
			t.Errorf("no element has the id %q", want)
		}
	}
	for _, want := range []string{"Shed &amp; porch", "Mill &lt;west&gt;", `<a class="ref" href="#w1">[1]</a>`, "decks[0] is no mark",
		`<li value="1">Sweep.</li>`, `<th scope="rowgroup" colspan="5"`,
		`<th scope="colgroup" colspan="2" role="columnheader">Top coat</th>`, `data-head="Resin, ml"`, `data-head="Top coat, ml"`} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if n := strings.Count(string(page), "In this pack"); n != 0 {
		t.Error("the contents of the printed page stand here too")
	}
	if bytes.Contains(page, []byte("<script")) || bytes.Contains(page, []byte("http://")) && strings.Count(string(page), "http://") != 1+2 {
		t.Errorf("the page has a script or leads elsewhere: %d addresses", bytes.Count(page, []byte("http://")))
	}
	if s := fmt.Sprint(string(page)); s != string(Bytes(sample(), Options{Lang: "en-GB"})) {
		t.Error("the same paper gave another page")
	}
}
