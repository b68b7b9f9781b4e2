package sheet

import (
	"errors"
	"fmt"
	"strings"

	"gelwright/scene"
	"gelwright/scene/code"
	"gelwright/scene/pdf"
)

// Measures of A4 and of its type, mm; heights are those of capitals.
const (
	wideMM, highMM      = 210.0, 297.0
	leftMM, rightMM     = 20.0, 14.0
	topMM, footMM       = 16.0, 14.0
	textMM, headMM      = 2.5, 3.4
	titleMM, printMM    = 5.6, 3.6
	leadMM              = 1.95 // line height over the height of capitals
	stepMM, paragraphMM = 7.0, 1.6
)

// errLong is a page whose words do not fit: the names are longer than any that people type.
var errLong = errors.New("the names of the server are too long for the printed page: give a shorter one with --name")

// PDF is the page for the printer: two sheets of A4. The same facts give the same bytes.
func PDF(f Facts) ([]byte, error) {
	first, second := f.parts()
	one, err := newPaper(1).front(f)
	if err != nil {
		return nil, err
	}
	two := newPaper(2)
	for _, p := range first {
		one.part(p)
	}
	for _, p := range second {
		two.part(p)
	}
	if one.y < footMM || two.y < footMM {
		return nil, errLong
	}
	return pdf.Bytes(f.Made, title, "gelwright", one.s, two.s)
}

// paper is one sheet in the making; y is where the next thing goes, mm from its foot.
type paper struct {
	s *scene.Scene
	y float64
}

func newPaper(n int) *paper {
	p := &paper{s: &scene.Scene{Title: fmt.Sprintf("%s, sheet %d of 2", title, n), WidthMM: wideMM, HeightMM: highMM}, y: highMM - topMM}
	p.s.Add(scene.Text{At: scene.Point{X: wideMM - rightMM, Y: footMM - 6}, Content: fmt.Sprintf("%d of 2", n),
		HeightMM: 1.8, Across: scene.End})
	return p
}

// front writes the head of the first sheet: title, code, addresses and fingerprint.
func (p *paper) front(f Facts) (*paper, error) {
	p.line(title, leftMM, titleMM, true)
	p.y -= 3
	under := p.y
	x := leftMM
	if f.Fetch != "" {
		square, err := code.Square(f.Fetch, scene.Point{X: leftMM - 2, Y: p.y - codeMM}, codeMM)
		if err != nil {
			return nil, err
		}
		p.s.Add(square)
		x = leftMM + codeMM + 3
		p.y -= 2
		p.wrapped("The code leads to the certificate:", x, textMM, false)
		p.wrapped(f.Fetch, x, headMM, true)
	}
	p.y -= 1
	p.wrapped("The server itself:", x, textMM, false)
	p.wrapped(f.Server, x, headMM, true)
	p.y -= 1
	p.wrapped("SHA-256 fingerprint to compare:", x, textMM, false)
	for _, l := range lines(f.Fingerprint, 2) {
		p.line(l, x, printMM, true)
	}
	if f.Fetch != "" {
		p.y = min(p.y, under-codeMM)
	}
	p.y -= 2
	return p, nil
}

// part writes a heading with its words and steps.
func (p *paper) part(x part) {
	p.y -= 3
	p.line(x.head, leftMM, headMM, true)
	p.y -= 0.8
	for _, w := range x.words {
		p.wrapped(w, leftMM, textMM, false)
		p.y -= paragraphMM
	}
	for i, s := range x.steps {
		p.s.Add(scene.Text{At: scene.Point{X: leftMM, Y: p.y - textMM}, Content: number(i), HeightMM: textMM, Bold: true})
		p.wrapped(s, leftMM+stepMM, textMM, false)
		p.y -= paragraphMM
	}
}

// line writes one line.
func (p *paper) line(text string, x, high float64, bold bool) {
	p.y -= high
	p.s.Add(scene.Text{At: scene.Point{X: x, Y: p.y}, Content: text, HeightMM: high, Bold: bold})
	p.y -= high * (leadMM - 1)
}

// wrapped writes words in as many lines as they take; a word that is wider than the sheet, an address, is broken.
func (p *paper) wrapped(text string, x, high float64, bold bool) {
	room := wideMM - rightMM - x
	fits := func(s string) bool { return scene.Measure(s, high, bold).WidthMM <= room }
	line := ""
	for _, w := range strings.Fields(text) {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && !fits(next) {
			p.line(line, x, high, bold)
			next = w
		}
		for !fits(next) {
			n := len(next) - 1
			for n > 1 && !fits(next[:n]) {
				n--
			}
			p.line(next[:n], x, high, bold)
			next = next[n:]
		}
		line = next
	}
	p.line(line, x, high, bold)
}

func number(i int) string { return fmt.Sprintf("%d.", i+1) }

// lines puts groups on lines of n.
func lines(groups []string, n int) []string {
	var out []string
	for len(groups) > 0 {
		k := min(n, len(groups))
		out = append(out, strings.Join(groups[:k], "   "))
		groups = groups[k:]
	}
	return out
}
