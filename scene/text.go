package scene

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The Go fonts (Bigelow & Holmes, BSD licence) letter every drawing, so that a
// text is as long on paper, in a picture and on a page.
var regularFont, boldFont = parseFont(goregular.TTF), parseFont(gobold.TTF)

// measurePPEM is the size at which glyphs are measured: the font's own units.
const measurePPEM = 2048

// capHeightEm is the height of a capital H of the Go fonts in ems, measured from
// the outline by the tests.
const capHeightEm = 1480.0 / 2048

func parseFont(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("scene: embedded font: " + err.Error()) // our own file, never input
	}
	return f
}

// Font returns the parsed letters, for back ends that draw outlines.
func Font(bold bool) *sfnt.Font {
	if bold {
		return boldFont
	}
	return regularFont
}

// FontTTF returns the font file, for back ends that embed it.
func FontTTF(bold bool) []byte {
	if bold {
		return gobold.TTF
	}
	return goregular.TTF
}

// EmMM returns the body size of lettering whose capitals are heightMM high.
func EmMM(heightMM float64) float64 { return heightMM / capHeightEm }

// Extent is the room a text takes, mm, from its start on the base line.
type Extent struct{ WidthMM, RiseMM, DropMM float64 }

// Measure returns the extent of a line of lettering. A rune that the font lacks
// counts as its missing-glyph box, which is what would be drawn.
func Measure(content string, heightMM float64, bold bool) Extent {
	k := EmMM(heightMM) / measurePPEM / 64
	table := &letters()[0]
	if bold {
		table = &letters()[1]
	}
	var buf sfnt.Buffer
	var e Extent
	for _, r := range content {
		var g letter
		if int(r) < len(table) {
			g = table[r]
		} else {
			g = measureLetter(&buf, Font(bold), r)
		}
		e.WidthMM += g.advance * k
		e.RiseMM = max(e.RiseMM, g.rise*k)
		e.DropMM = max(e.DropMM, g.drop*k)
	}
	return e
}

// letter is a glyph's room in 64ths of a font unit.
type letter struct{ advance, rise, drop float64 }

// letters are measured once: the usual ones of Latin writing, plain and bold.
var letters = sync.OnceValue(func() *[2][0x180]letter {
	var out [2][0x180]letter
	var buf sfnt.Buffer
	for r := range rune(0x180) {
		out[0][r] = measureLetter(&buf, regularFont, r)
		out[1][r] = measureLetter(&buf, boldFont, r)
	}
	return &out
})

func measureLetter(buf *sfnt.Buffer, f *sfnt.Font, r rune) letter {
	idx, err := f.GlyphIndex(buf, r)
	if err != nil {
		return letter{}
	}
	b, adv, err := f.GlyphBounds(buf, idx, fixed.I(measurePPEM), font.HintingNone)
	if err != nil {
		return letter{}
	}
	return letter{float64(adv), -float64(b.Min.Y), float64(b.Max.Y)}
}

// Lacks returns the runes of content that the fonts cannot draw.
func Lacks(content string) []rune {
	var buf sfnt.Buffer
	var out []rune
	for _, r := range content {
		if idx, err := regularFont.GlyphIndex(&buf, r); err != nil || idx == 0 {
			out = append(out, r)
		}
	}
	return out
}

// Origin returns where the text's base line starts, and its extent.
func (t Text) Origin() (Point, Extent) {
	e := Measure(t.Content, t.HeightMM, t.Bold)
	var shift Point
	switch t.Across {
	case Middle:
		shift.X = -e.WidthMM / 2
	case End:
		shift.X = -e.WidthMM
	}
	switch t.Up {
	case Middle:
		shift.Y = -t.HeightMM / 2
	case End:
		shift.Y = -t.HeightMM
	}
	return t.At.Add(shift.Turned(t.AngleDeg)), e
}

// Quad returns the four corners of the room the text takes, grown by marginMM,
// anticlockwise from the start of its foot.
func (t Text) Quad(marginMM float64) [4]Point {
	o, e := t.Origin()
	corner := func(x, y float64) Point { return o.Add(Point{x, y}.Turned(t.AngleDeg)) }
	x0, x1 := -marginMM, e.WidthMM+marginMM
	y0, y1 := -e.DropMM-marginMM, e.RiseMM+marginMM
	return [4]Point{corner(x0, y0), corner(x1, y0), corner(x1, y1), corner(x0, y1)}
}

// Readable returns the angle of lettering along a line of direction deg that is
// read from the foot or from the right of the sheet (ISO 129-1): −90 < angle ≤ 90.
func Readable(deg float64) float64 {
	for deg > 90+1e-6 {
		deg -= 180
	}
	for deg <= -90+1e-6 {
		deg += 180
	}
	return deg
}
