package document

import (
	"fmt"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gelwright/scene/pdf"
)

// Page measures, mm: A4 with room for a binder's holes on the left.
const (
	pageWidth  = 210.0
	pageHeight = 297.0
	left       = 20.0
	right      = 12.0
	top        = 14.0
	foot       = 16.0
	lineGap    = 1.32 // line height over type height
	pointMM    = 25.4 / 72
)

// Type sizes, points.
const (
	sizeTitle = 20.0
	sizeHead  = 13.0
	sizeText  = 9.5
	sizeSmall = 8.0
	sizeTiny  = 6.8
)

// pages writes text pages from top to bottom, beginning a new one when one is full.
type pages struct {
	f       *fpdf.Fpdf
	y       float64
	running string // what stands in the foot
	section string
	// plain counts text pages, for a test that looks at their number.
	plain int
}

func newPages(date time.Time, title, running string) *pages {
	f := pdf.New(date, title)
	f.AliasNbPages("{pages}")
	p := &pages{f: f, running: running}
	f.SetFooterFunc(func() {
		w, h := f.GetPageSize()
		if w > pageWidth+1 || p.section == "" {
			return // drawings have their own title block
		}
		f.SetFont(pdf.Family, "", sizeTiny)
		f.SetTextColor(60, 60, 60)
		f.SetDrawColor(120, 120, 120)
		f.SetLineWidth(0.18)
		f.Line(left, h-foot+4, w-right, h-foot+4)
		f.SetXY(left, h-foot+5)
		f.CellFormat(0, 4, p.running, "", 0, "L", false, 0, "")
		f.SetXY(left, h-foot+5)
		f.CellFormat(w-left-right, 4, fmt.Sprintf("%s, page %d of {pages}", p.section, f.PageNo()), "", 0, "R", false, 0, "")
		f.SetTextColor(0, 0, 0)
	})
	return p
}

func (p *pages) width() float64 { return pageWidth - left - right }

// begin starts a section on a new page, with a bookmark.
func (p *pages) begin(title, why string) {
	p.section = title
	p.page()
	p.f.Bookmark(title, 0, 0)
	p.write(title, sizeHead, true, 0)
	if why != "" {
		p.write(why, sizeSmall, false, 0)
	}
	p.gap(2)
}

func (p *pages) page() {
	p.f.AddPageFormat("P", fpdf.SizeType{Wd: pageWidth, Ht: pageHeight})
	p.y = top
	p.plain++
}

// room begins a new page when less than mm is left.
func (p *pages) room(mm float64) {
	if p.y+mm > pageHeight-foot {
		p.page()
	}
}

func (p *pages) gap(mm float64) { p.y += mm }

func lineMM(points float64) float64 { return points * pointMM * lineGap }

func (p *pages) font(points float64, bold bool) {
	style := ""
	if bold {
		style = "B"
	}
	p.f.SetFont(pdf.Family, style, points)
}

// wrap breaks text into lines no wider than mm, in the present font. A word that is
// wider alone is broken where it must.
func (p *pages) wrap(text string, mm float64) []string {
	var out []string
	for _, para := range strings.Split(text, "\n") {
		line := ""
		for _, word := range strings.Fields(para) {
			for p.f.GetStringWidth(word) > mm && len([]rune(word)) > 1 {
				r := []rune(word)
				cut := len(r) - 1
				for cut > 1 && p.f.GetStringWidth(string(r[:cut])) > mm {
					cut--
				}
				if line != "" {
					out = append(out, line)
					line = ""
				}
				out = append(out, string(r[:cut]))
				word = string(r[cut:])
			}
			try := word
			if line != "" {
				try = line + " " + word
			}
			if p.f.GetStringWidth(try) > mm && line != "" {
				out = append(out, line)
				line = word
				continue
			}
			line = try
		}
		out = append(out, line)
	}
	return out
}

// write sets a paragraph over the page's width, indented.
func (p *pages) write(text string, points float64, bold bool, indent float64) {
	p.font(points, bold)
	h := lineMM(points)
	for _, l := range p.wrap(text, p.width()-indent) {
		p.room(h)
		p.font(points, bold)
		p.f.Text(left+indent, p.y+h*0.78, l)
		p.y += h
	}
}

// heading sets a heading within a section and keeps it with what follows.
func (p *pages) heading(text string) {
	p.room(20)
	p.gap(3)
	p.write(text, sizeText+1.5, true, 0)
	p.gap(1)
}

// rule draws a hairline over the width.
func (p *pages) rule() {
	p.f.SetDrawColor(0, 0, 0)
	p.f.SetLineWidth(0.18)
	p.f.Line(left, p.y, pageWidth-right, p.y)
}

// bullet sets one item of a list with a hanging indent.
func (p *pages) bullet(mark, text string) {
	p.font(sizeText, false)
	h := lineMM(sizeText)
	lines := p.wrap(text, p.width()-7)
	p.room(h * float64(min(len(lines), 3)))
	p.font(sizeText, true)
	p.f.Text(left, p.y+h*0.78, mark)
	for _, l := range lines {
		p.room(h)
		p.font(sizeText, false)
		p.f.Text(left+7, p.y+h*0.78, l)
		p.y += h
	}
	p.gap(0.8)
}
