package sheet

import (
	"strings"

	"gelwright/scene"
	"gelwright/scene/code"
	"gelwright/scene/html"
	"gelwright/scene/reading"
)

// language of the words.
const language = "en-GB"

// codeMM is how wide the square code is.
const codeMM = 46.0

// HTML is the page for a browser or a reader of the screen: nothing is fetched from elsewhere and no script runs.
func HTML(f Facts) ([]byte, error) {
	doc := (&reading.Node{Kind: reading.Document, Text: title}).Add(&reading.Node{Kind: reading.Title, Text: title})
	if f.Fetch != "" {
		picture, err := square(f.Fetch)
		if err != nil {
			return nil, err
		}
		doc.Add(&reading.Node{Kind: reading.Figure, Picture: picture})
	}
	doc.Add(&reading.Node{Kind: reading.Paragraph, Text: "Server: " + f.Server},
		&reading.Node{Kind: reading.Paragraph, Framed: true, Text: "SHA-256 fingerprint of “" + f.Name + "”:\n" +
			strings.Join(lines(f.Fingerprint, 2), "\n")})
	first, second := f.parts()
	for _, p := range append(first, second...) {
		doc.Add(p.node())
	}
	return html.Bytes(doc, html.Options{Lang: language}), nil
}

// square is the code as a drawing of its own.
func square(address string) (*scene.Scene, error) {
	item, err := code.Square(address, scene.Point{}, codeMM)
	if err != nil {
		return nil, err
	}
	s := &scene.Scene{Title: "Square code", Description: "Square code of " + address, WidthMM: codeMM, HeightMM: codeMM}
	s.Add(item)
	return s, nil
}

// node is a part as it is read.
func (p part) node() *reading.Node {
	n := (&reading.Node{Kind: reading.Section}).Add(&reading.Node{Kind: reading.Heading, Text: p.head})
	for _, w := range p.words {
		n.Add(&reading.Node{Kind: reading.Paragraph, Text: w})
	}
	if len(p.steps) > 0 {
		steps := &reading.Node{Kind: reading.List}
		for i, s := range p.steps {
			steps.Add((&reading.Node{Kind: reading.Item}).Add(&reading.Node{Kind: reading.Label, Text: number(i)},
				&reading.Node{Kind: reading.Body, Text: s}))
		}
		n.Add(steps)
	}
	return n
}
