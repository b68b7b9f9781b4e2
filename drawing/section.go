package drawing

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gelwright/language"
	"gelwright/scene"
)

// detailScales are the n of 1:n for sections: the second where the first takes more sheets.
var detailScales = [...]float64{5, 10}

// stuff is a material in section, known by its hatch.
type stuff string

const (
	timber   stuff = "timber"
	board    stuff = "deck board"
	foam     stuff = "insulation"
	masonry  stuff = "wall"
	concrete stuff = "concrete"
	beyond   stuff = "" // seen, not cut
)

var hatches = map[stuff]scene.Hatch{
	timber:   scene.Diagonal(1.7),
	board:    {Lines: []scene.HatchLines{{AngleDeg: 0, SpacingMM: 0.9, ShiftMM: 0.3}}},
	foam:     scene.Cross(45, 3.2),
	masonry:  {Lines: []scene.HatchLines{{AngleDeg: -45, SpacingMM: 3.4}, {AngleDeg: -45, SpacingMM: 3.4, ShiftMM: 0.8}}},
	concrete: {DotsMM: 2.2, Lines: []scene.HatchLines{{AngleDeg: 60, SpacingMM: 6}}},
}

// stuffs in the order of the key.
var stuffs = [...]stuff{board, timber, foam, masonry, concrete}

// cut is one part of a section, in real mm: its region, and the sides that are drawn.
type cut struct {
	stuff  stuff
	region scene.Path
	sides  []scene.Path
}

// note is a part's name with the place it points at, real mm.
type note struct {
	at    scene.Point
	words string
	moved bool // from the side it was meant for
}

// rule is one dimension, real mm: stations along a direction from a point, and
// the offset of its line on paper.
type rule struct {
	from     scene.Point
	alongDeg float64
	stations []float64
	offset   float64
	foot     float64
}

// stroke is a line of the section that is no outline: laminate, trim, flashing.
type stroke struct {
	path scene.Path
	pen  scene.Stroke
	name string
}

// detail is one section. The deck's top boards end at x = 0 with their upper
// face at y = 0; the roof lies on the left, what is beyond on the right.
type detail struct {
	id, title, where string
	// in says its lettering; nil is English.
	in *language.Speaker
	// scale is the n of 1:n where it is not the sheet's.
	scale float64
	// bare leaves its dimensions out: the names of its parts say the sizes too.
	bare        bool
	items       []scene.Item
	box         scene.Box
	cuts        []cut
	strokes     []stroke
	left, right []note
	rules       []rule
}

const (
	reachMM = 210.0 // how far the deck is shown
	skinMM  = 5.0   // middle of the laminate's line above what it lies on
	trimMM  = 1.5   // middle of a trim's line
)

var (
	laminatePen = scene.Pen(0.9)
	trimPen     = scene.Pen(scene.Medium)
	metalPen    = scene.Pen(scene.Thick)
	seenPen     = scene.Pen(scene.Thin)
)

func xy(x, y float64) scene.Point { return scene.Point{X: x, Y: y} }

// rectangle is a cut whose sides named in open ("l", "r", "t", "b") are broken off.
func rectangle(st stuff, x0, y0, x1, y1 float64, open string) cut {
	c := cut{stuff: st, region: scene.Rect(x0, y0, x1, y1)}
	corners := [...]scene.Point{xy(x0, y0), xy(x1, y0), xy(x1, y1), xy(x0, y1)}
	for i, side := range "brtl" {
		if !strings.ContainsRune(open, side) {
			c.sides = append(c.sides, scene.Polyline(corners[i], corners[(i+1)%4]))
		}
	}
	return c
}

// figure is a closed cut of any shape.
func figure(st stuff, points ...scene.Point) cut {
	p := scene.Polygon(points...)
	return cut{st, p, []scene.Path{p}}
}

func (d *detail) cut(cs ...cut) { d.cuts = append(d.cuts, cs...) }

func (d *detail) line(name string, pen scene.Stroke, points ...scene.Point) {
	d.strokes = append(d.strokes, stroke{scene.Polyline(points...), pen, name})
}

func (d *detail) noteLeft(x, y float64, words string) {
	d.left = append(d.left, note{at: xy(x, y), words: words})
}

func (d *detail) noteRight(x, y float64, words string) {
	d.right = append(d.right, note{at: xy(x, y), words: words})
}

// rise dimensions a height from y0 to y1 at x, its line offset mm on paper to the left.
func (d *detail) rise(x, offset float64, ys ...float64) {
	r := rule{from: xy(x, ys[0]), alongDeg: 90, offset: offset, foot: 1}
	if offset < 0 {
		r.foot = -1
	}
	for _, y := range ys {
		r.stations = append(r.stations, y-ys[0])
	}
	d.rules = append(d.rules, r)
}

// width dimensions a breadth at height y, its line offset mm on paper above (or below).
func (d *detail) width(y, offset float64, xs ...float64) {
	r := rule{from: xy(xs[0], y), offset: offset, foot: 1}
	if offset < 0 {
		r.foot = -1
	}
	for _, x := range xs {
		r.stations = append(r.stations, x-xs[0])
	}
	d.rules = append(d.rules, r)
}

// breakLine draws the zigzag of ISO 128 where a part is broken off, from a to b.
func (d *detail) breakLine(a, b scene.Point) {
	dir := b.Sub(a).Unit()
	n := dir.Left()
	m := a.Add(b).Scale(0.5)
	d.line("break", seenPen, a.Sub(dir.Scale(8)), m.Sub(dir.Scale(8)), m.Sub(dir.Scale(4)).Add(n.Scale(8)),
		m.Add(dir.Scale(4)).Sub(n.Scale(8)), m.Add(dir.Scale(8)), b.Add(dir.Scale(8)))
}

const noteColumnMM = 43.0

// clear composes the section with each dimension moved out as far as it must, and without those that nowhere keep
// clear of a note's leader: at a small scale little room is between them.
func (d *detail) clear(scale float64) []scene.Item {
	const stepMM, steps = 3.0, 6
	all := d.rules
	defer func() { d.rules = all }()
	d.rules = nil
	items := d.compose(scale)
	if d.bare {
		return items
	}
	for _, r := range all {
		kept := d.rules
		for k := range steps {
			far := r
			far.offset += math.Copysign(stepMM*float64(k), r.offset)
			d.rules = append(kept[:len(kept):len(kept)], far)
			with := d.compose(scale)
			if !clashing(with) {
				items = with
				break
			}
			d.rules = kept
		}
	}
	return items
}

// clashing reports whether lettering of a section touches other lettering or a line. A section lies about its own
// origin: it is moved on to a sheet that holds all of it, off which any lettering would clash.
func clashing(items []scene.Item) bool {
	const sideMM = 2000.0
	on := scene.Scene{WidthMM: sideMM, HeightMM: sideMM,
		Items: []scene.Item{scene.Group{Place: scene.Transform{Move: xy(sideMM/2, sideMM/2)}, Items: items}}}
	return len(on.Clashes(clashMM)) > 0
}

// clashMM is how near lettering and a line may come.
const clashMM = 0.05

// compose draws the section with the real point (0, 0) at its own origin.
func (d *detail) compose(scale float64) []scene.Item {
	if d.scale > 0 {
		scale = d.scale
	}
	t := scene.Transform{Scale: 1 / scale}
	var body []scene.Item
	for _, c := range d.cuts {
		region := t.Path(c.region)
		body = append(body, scene.Shape{Meta: scene.Meta{Layer: "section"}, Paths: []scene.Path{region}, Filled: true, Fill: scene.White})
		if h, ok := hatches[c.stuff]; ok {
			body = append(body, h.Cut(scene.Meta{Layer: "hatch"}, scene.Black, region)...)
		}
		pen := scene.Pen(scene.Thick)
		if c.stuff == beyond {
			pen = seenPen
		}
		for _, s := range c.sides {
			body = append(body, scene.Shape{Meta: scene.Meta{Layer: "section"}, Paths: []scene.Path{t.Path(s)}, Stroke: pen})
		}
	}
	for _, s := range d.strokes {
		body = append(body, scene.Shape{Meta: scene.Meta{Layer: "section", Class: slug(s.name)}, Paths: []scene.Path{t.Path(s.path)},
			Stroke: s.pen})
	}
	box := scene.BoxOf(body...)
	for _, r := range d.rules {
		c := scene.ChainDimension{Meta: scene.Meta{Layer: "dimensions", Class: "dimension"}, From: t.Point(r.from), AlongDeg: r.alongDeg,
			OffsetMM: r.offset, FootMM: r.foot}
		for i, s := range r.stations {
			c.Stations = append(c.Stations, s/scale)
			if i > 0 {
				c.Labels = append(c.Labels, fmt.Sprintf("%.0f", s-r.stations[i-1]))
			}
		}
		body = append(body, c.Items()...)
	}
	box = box.Join(scene.BoxOf(body...))
	figures := scene.ObstaclesOf(&scene.Scene{Items: body})
	left, right := append([]note{}, d.left...), append([]note{}, d.right...)
	// A note whose leader would cross a figure goes to the other side, once.
	for range len(left) + len(right) {
		if !swap(&left, &right, figures, t, box.Low.X-5, -1) && !swap(&right, &left, figures, t, box.High.X+5, 1) {
			break
		}
	}
	body = append(body, column(left, t, box.Low.X-5, -1)...)
	return append(body, column(right, t, box.High.X+5, 1)...)
}

// swap moves the first note of from whose leader crosses lettering to the other
// side, and reports whether it did.
func swap(from, to *[]note, figures *scene.Obstacles, t scene.Transform, x, side float64) bool {
	seats, _ := seatNotes(*from, t)
	for i, n := range *from {
		if n.moved || figures.FreeLine(xy(x-side*2.5, seats[i]), t.Point(n.at)) {
			continue
		}
		n.moved = true
		*to = append(*to, n)
		*from = append((*from)[:i:i], (*from)[i+1:]...)
		return true
	}
	return false
}

const noteLeadMM = 3.9

// seatNotes sorts notes by height and returns the height of each one's first
// line, and its lines, so that none touches the next.
func seatNotes(notes []note, t scene.Transform) (tops []float64, lines [][]string) {
	sort.SliceStable(notes, func(i, j int) bool { return notes[i].at.Y < notes[j].at.Y })
	var at, half []float64
	for _, n := range notes {
		w := wrap(n.words, scene.TextSmall, noteColumnMM)
		lines = append(lines, w)
		at = append(at, t.Point(n.at).Y)
		half = append(half, (float64(len(w))*noteLeadMM+1.2)/2)
	}
	for i, y := range scene.Spread(at, half) {
		tops = append(tops, y+float64(len(lines[i])-1)*noteLeadMM/2)
	}
	return tops, lines
}

// column letters the notes of one side under each other, in the order of the
// parts' heights, and joins each to its part.
func column(notes []note, t scene.Transform, x, side float64) []scene.Item {
	tops, lines := seatNotes(notes, t)
	across := scene.Start
	if side < 0 {
		across = scene.End
	}
	var items []scene.Item
	for i, top := range tops {
		p := t.Point(notes[i].at)
		items = append(items,
			scene.Line(scene.Meta{Layer: "notes", Class: "leader"}, scene.Pen(scene.Hairline), xy(x-side*0.3, top), xy(x-side*2.5, top), p),
			scene.Shape{Meta: scene.Meta{Layer: "notes"}, Filled: true, Paths: []scene.Path{scene.Circle(p, 0.45)}})
		for k, l := range lines[i] {
			items = append(items, scene.Text{Meta: scene.Meta{Layer: "notes"}, At: xy(x+side*0.5, top-float64(k)*noteLeadMM), Content: l,
				HeightMM: scene.TextSmall, Across: across, Up: scene.Middle})
		}
	}
	return items
}

// wrap breaks words into lines no wider than wide mm, at spaces that may break.
func wrap(words string, high, wide float64) []string {
	var out []string
	line := ""
	for _, w := range strings.Split(words, " ") {
		next := strings.TrimSpace(line + " " + w)
		if line != "" && scene.Measure(next, high, false).WidthMM > wide {
			out = append(out, line)
			next = w
		}
		line = next
	}
	out = append(out, line)
	for i := range out {
		out[i] = strings.ReplaceAll(out[i], "\u00a0", " ")
	}
	return out
}

// spoken lists the parts for those who do not see them.
func (d *detail) spoken() string {
	var parts []string
	for _, n := range append(append([]note{}, d.left...), d.right...) {
		parts = append(parts, strings.ReplaceAll(n.words, "\u00a0", " "))
	}
	return strings.Join(parts, "; ")
}

// speakerOfDetails says the lettering of sections; nil is English.
func speakerOfDetails(ds []*detail) *language.Speaker {
	if len(ds) == 0 {
		return nil
	}
	return ds[0].in
}

// sectionKey lists the hatches used.
func sectionKey(ds []*detail) []KeyEntry {
	used := map[stuff]bool{}
	for _, d := range ds {
		for _, c := range d.cuts {
			used[c.stuff] = true
		}
	}
	var out []KeyEntry
	in := speakerOfDetails(ds)
	box := scene.Rect(0.5, 0.4, 14, 5)
	for _, st := range stuffs {
		if used[st] {
			out = append(out,
				KeyEntry{Words: string(st) + ", cut", Sign: append(hatches[st].Cut(scene.Meta{}, scene.Black, box),
					scene.Shape{Paths: []scene.Path{box}, Stroke: scene.Pen(scene.Medium)})})
		}
	}
	lineSign := func(p scene.Stroke) []scene.Item {
		return []scene.Item{scene.Line(scene.Meta{}, p, xy(0.5, 2.6), xy(14, 2.6))}
	}
	return keyIn(in, append(out,
		KeyEntry{Words: "laminate, drawn thicker", Sign: lineSign(laminatePen)},
		KeyEntry{Words: "trim", Sign: lineSign(trimPen)},
		KeyEntry{Words: "flashing, gutter, frame", Sign: lineSign(metalPen)}))
}
