package drawing

import (
	"fmt"
	"strconv"

	"gelwright/scene"
)

const (
	blockMM    = 180
	blockRowMM = 11
	blockRows  = 2
)

// blockCell is one field of a title block.
type blockCell struct {
	label, value string
	wide         float64
	bold         bool
}

// titleBlock draws the 180 mm block of ISO 7200 in the lower right corner, in two rows, the
// lower one first.
func (s *Sheet) titleBlock(t Title) scene.Item {
	b := frameOf(s.Format)
	x0, y0 := b.High.X-blockMM, b.Low.Y
	number := fmt.Sprintf("%d of %d", t.Sheet, t.Of)
	if t.Book != "" {
		number += ", " + t.Book
	}
	if t.Change != "" {
		number += ", " + t.Change
	}
	rows := [blockRows][]blockCell{
		{{"Drawing", t.Drawing, 96, true}, {"Scale", s.scaleWords(), 20, true}, {"Date", t.Date, 30, false}, {"Sheet", number, 34, false}},
		{{"Job", t.Job, 66, true}, {"Site", t.Site, 54, false}, {"Reference", t.Reference, 22, false}, {"Drawn by", t.DrawnBy, 38, false}},
	}
	items := []scene.Item{}
	var thin []scene.Path
	for i, row := range rows {
		x, y := x0, y0+float64(i)*blockRowMM
		thin = append(thin, scene.Polyline(scene.Point{X: x0, Y: y + blockRowMM}, scene.Point{X: b.High.X, Y: y + blockRowMM}))
		for j, c := range row {
			if j > 0 {
				thin = append(thin, scene.Polyline(scene.Point{X: x, Y: y}, scene.Point{X: x, Y: y + blockRowMM}))
			}
			c.label, c.value = s.say(c.label), s.say(c.value)
			items = append(items, c.items(x, y)...)
			x += c.wide
		}
	}
	thin = append(thin, scene.Polyline(scene.Point{X: x0, Y: y0}, scene.Point{X: x0, Y: y0 + blockRows*blockRowMM}))
	items = append(items, scene.Shape{Stroke: scene.Pen(scene.Medium), Paths: thin})
	return scene.Group{Meta: scene.Meta{Layer: "sheet", Class: "title-block"}, Items: items}
}

// scaleWords is the scale, or both where the halves of the sheet have their own.
func (s *Sheet) scaleWords() string {
	if s.Scale <= 0 {
		return "none"
	}
	words := "1:" + strconv.FormatFloat(s.Scale, 'f', -1, 64)
	for _, h := range s.Halves {
		if h.Scale != s.Scale {
			words += ", 1:" + strconv.FormatFloat(h.Scale, 'f', -1, 64)
		}
	}
	return words
}

// items letters a cell from its lower left corner: two small lines rather than words that
// are cut off.
func (c blockCell) items(x, y float64) []scene.Item {
	label := scene.Text{At: scene.Point{X: x + 1.5, Y: y + 7.2}, Content: c.label, HeightMM: scene.TextSmall}
	two := wrap(c.value, scene.TextSmall, (c.wide-3)/boldWider)
	if len(two) == 2 && scene.Measure(c.value, scene.TextSmall, c.bold).WidthMM > c.wide-3 {
		label.At.Y = y + 7.9
		out := []scene.Item{label}
		for k, line := range two {
			line, high := fit(line, c.wide-3, c.bold)
			out = append(out, scene.Text{At: scene.Point{X: x + 1.5, Y: y + 4.5 - 3.5*float64(k)}, Content: line,
				HeightMM: min(high, scene.TextSmall), Bold: c.bold})
		}
		return out
	}
	value, high := fit(c.value, c.wide-3, c.bold)
	return []scene.Item{label, scene.Text{At: scene.Point{X: x + 1.5, Y: y + 1.8}, Content: value, HeightMM: high, Bold: c.bold}}
}

// boldWider is how much wider bold lettering may run than the plain that wrap measures.
const boldWider = 1.1

// fit returns lettering that stays within wide mm: usual size, then small, then cut.
func fit(words string, wide float64, bold bool) (string, float64) {
	for _, h := range [...]float64{scene.TextUsual, scene.TextSmall} {
		if scene.Measure(words, h, bold).WidthMM <= wide {
			return words, h
		}
	}
	r := []rune(words)
	for len(r) > 0 && scene.Measure(string(r)+"…", scene.TextSmall, bold).WidthMM > wide {
		r = r[:len(r)-1]
	}
	return string(r) + "…", scene.TextSmall
}
