package scene

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"
)

// measurePPEM is the size at which letters are measured: the fonts' own units.
const measurePPEM = 2048

// capHeightEm is the height of a capital H of the fonts in ems, measured from
// the outline by the tests.
const capHeightEm = 1480.0 / 2048

// measured has for each rune of the fonts (package lettering) its number and its advance, rise and drop, plain and bold, in
// 64ths of a font unit; under 0 that of the box for a rune that they lack. Fonts are large and a page needs no
// outlines: 'go test ./scene -run TestLettersAreThoseOfTheFonts -update' measures them anew.
//
//go:embed letters.txt
var measured string

// EmMM returns the body size of lettering whose capitals are heightMM high.
func EmMM(heightMM float64) float64 { return heightMM / capHeightEm }

// Extent is the room a text takes, mm, from its start on the base line.
type Extent struct{ WidthMM, RiseMM, DropMM float64 }

// Measure returns the extent of a line of lettering. A rune that the font lacks
// counts as its missing-glyph box, which is what would be drawn.
func Measure(content string, heightMM float64, bold bool) Extent {
	k := EmMM(heightMM) / measurePPEM / 64
	weight := 0
	if bold {
		weight = 1
	}
	all := letters()
	var e Extent
	for _, r := range content {
		g := all.of(r)[weight]
		e.WidthMM += g.advance * k
		e.RiseMM = max(e.RiseMM, g.rise*k)
		e.DropMM = max(e.DropMM, g.drop*k)
	}
	return e
}

// letter is a glyph's room in 64ths of a font unit.
type letter struct{ advance, rise, drop float64 }

// alphabet is the room of all letters, plain and bold: the usual ones of Latin writing by their number.
type alphabet struct {
	usual  [0x180][2]letter
	others map[rune][2]letter // and these among them
	box    [2]letter          // for a rune that is not there
}

// of is the room of a rune.
func (a *alphabet) of(r rune) [2]letter {
	if r >= 0 && int(r) < len(a.usual) {
		return a.usual[r]
	}
	if l, ok := a.others[r]; ok {
		return l
	}
	return a.box
}

// letters reads what was measured, once.
var letters = sync.OnceValue(func() *alphabet {
	out := &alphabet{others: map[rune][2]letter{}}
	for line := range strings.Lines(measured) {
		var v [7]int
		for i, f := range strings.Fields(line) {
			n, err := strconv.Atoi(f)
			if err != nil {
				panic("scene: letters.txt: " + err.Error()) // our own file, never input
			}
			v[i] = n
		}
		f := func(i int) float64 { return float64(v[i]) }
		l := [2]letter{{f(1), f(2), f(3)}, {f(4), f(5), f(6)}}
		if v[0] < 0 {
			out.box = l
			for r := range out.usual {
				out.usual[r] = l
			}
			continue
		}
		out.others[rune(v[0])] = l
		if v[0] < len(out.usual) {
			out.usual[v[0]] = l
		}
	}
	return out
})

// Lacks returns the runes of content that the fonts cannot draw.
func Lacks(content string) []rune {
	var out []rune
	for _, r := range content {
		if _, ok := letters().others[r]; !ok {
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
