package drawing

import (
	"fmt"
	"math"

	"gelwright/language"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// Format is a sheet of ISO 216.
type Format struct {
	Name              string
	WidthMM, HeightMM float64
}

// The sheets that a drawing may take, the more usual first: what a printer in a van holds.
var formats = [...]Format{
	{"A4 portrait", 210, 297},
	{"A4 landscape", 297, 210},
}

// Scales of ISO 5455 that building drawings use, largest first, as the n of 1:n.
var scales = [...]float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

const (
	bindingMM = 20 // left margin, ISO 5457
	marginMM  = 10 // the other three
	keyGapMM  = 3
)

// Title is what the title block says: the fields of ISO 7200 that a roof needs.
type Title struct {
	Job, Reference, Site, Drawing, Date, DrawnBy string
	// Change says what is new since the last issue; nothing when empty.
	Change string
	// Seat, when set, is the half of a sheet that the drawing shares with another.
	Seat *Format
	// Locale sets the decimal mark of the lettering: "de-DE".
	Locale string
	// In says the lettering in the language of the papers; nil is English.
	In *language.Speaker
	// Book in which the sheets are counted; empty for sheets that stand in none.
	Book      string
	Sheet, Of int
}

// TitleOf fills in what the job knows; Number tells the sheet's number when all are drawn.
func TitleOf(job *roof.Job, name string) Title {
	return Title{Job: job.Name, Reference: job.Reference, Site: job.Site.Name, Drawing: name, Date: job.Date, DrawnBy: job.PreparedBy,
		Locale: job.Site.Locale, In: job.Site.Said, Sheet: 1, Of: 1}
}

// keyIn is a key in the language of the papers.
func keyIn(in *language.Speaker, key []KeyEntry) []KeyEntry {
	if in == nil {
		return key
	}
	out := append([]KeyEntry(nil), key...)
	for i := range out {
		out[i].Words = in.Say(out[i].Words)
	}
	return out
}

// say is lettering in the language of the papers.
func (s *Sheet) say(text string) string { return s.title.In.Say(text) }

// words is a block of lettering in the language of the papers.
func (s *Sheet) words(lines ...string) block { return words(s.title.In.SayAll(lines)...) }

// Sheet is a drawing in the making: its scene, its scale, and where plan
// coordinates lie on it.
type Sheet struct {
	Scene  *scene.Scene
	Format Format
	// Scale is the n of 1:n.
	Scale float64
	// Origin is the paper point of plan coordinate (0, 0).
	Origin scene.Point
	// Figure is the part of the sheet that is free for the drawing.
	Figure scene.Box
	// Space knows what is already drawn.
	Space *scene.Obstacles
	// Unplaced lists lettering for which no room was found; it is missing from
	// the drawing and should be told beside it.
	Unplaced []string
	// unsized are pieces that bear their number and not their size.
	unsized []LabelledShape
	// Halves are the drawings that share the sheet, where it is shared.
	Halves []*Sheet
	// Office tells that the sheet is for the desk: nobody on the roof works from it.
	Office bool
	title  Title
	block  int // where the title block stands among the scene's items
	key    scene.Box
	// apart is the key of a half that has no room for it.
	apart  []KeyEntry
	locale string
	// tight is set where little room is kept round the figure.
	tight bool
	// numbers is set where pieces bear their numbers alone, in the least letters where they must.
	numbers bool
	// Lettered once the pieces are known.
	nameOpenings, nameExit func()
}

// Layout says how much room a drawing needs.
type Layout struct {
	// Low and High bound the figure in plan metres.
	Low, High plane.Point
	// Left, Right, Top and Bottom are kept round it for dimensions, paper mm.
	Left, Right, Top, Bottom float64
	// Key entries stand beside the title block or above it.
	Key []KeyEntry
	// Largest is the n of the largest scale allowed: 20 for plans, 5 for details.
	Largest float64
	// Only, when set, is the one scale to draw at.
	Only float64
	// NorthDeg is the true bearing of +y; North leaves the arrow out when false.
	North    bool
	NorthDeg float64
	// KeyPlan shows which part of the deck the sheet holds; nil leaves it out.
	KeyPlan *keyPlan
	// BarScale is left out of sheets without a scaled figure.
	NoBarScale bool
}

// KeyEntry is one line of the key: a sign drawn in a box of 14 × 5 mm whose
// lower left corner is the origin, and its words.
type KeyEntry struct {
	Words string
	Sign  []scene.Item
}

const (
	keySignMM  = 16.0
	keyRowMM   = 6.0
	keyColumn  = 56.0 // three to a sheet that stands upright
	northMM    = 22.0 // with the bar scale beside it
	barScaleMM = 12.0
	keyPlanMM  = 23.0
)

// NewSheet picks the largest scale of ISO 5455 at which the figure fits A4, or the
// half of it that the title names, and draws frame, title block, key,
// bar scale and north arrow. It fails only when the figure fits at no scale.
func NewSheet(t Title, l Layout) (*Sheet, error) {
	w, h := l.High.X-l.Low.X, l.High.Y-l.Low.Y
	if !(w >= 0 && h >= 0) || math.IsInf(w, 0) || math.IsInf(h, 0) {
		return nil, fmt.Errorf("drawing %q: its figure has no extent (%g × %g m): check the outline's coordinates", t.Drawing, w, h)
	}
	l.Key = keyIn(t.In, l.Key)
	on := formats[:]
	var apart []KeyEntry
	if t.Seat != nil {
		// What both halves need stands beside the title block.
		on, l.North, l.NoBarScale = []Format{*t.Seat}, false, true
		if t.Seat.keyless() {
			apart, l.Key = l.Key, nil
		}
	}
	for _, n := range scales {
		if n < l.Largest || l.Only != 0 && n != l.Only {
			continue
		}
		for _, f := range on {
			figure, key, ok := zones(f, l)
			wide, high := w*1000/n+l.Left+l.Right, h*1000/n+l.Bottom+l.Top
			if !ok || wide > figure.Width() || high > figure.Height() {
				continue
			}
			s := emptySheet(t, l, f, n, figure, key)
			s.apart = apart
			// The figure with its margins stands in the middle of its room.
			x := figure.Low.X + (figure.Width()-wide)/2 + l.Left
			y := figure.Low.Y + (figure.Height()-high)/2 + l.Bottom
			s.Origin = scene.Point{X: x - l.Low.X*1000/n, Y: y - l.Low.Y*1000/n}
			return s, nil
		}
	}
	return nil, fmt.Errorf("drawing %q: a figure of %.1f × %.1f m does not fit A4 at 1:%g: draw its parts on sheets of their own",
		t.Drawing, w, h, scales[len(scales)-1])
}

// BlankSheet returns a sheet without a scale, for what is not a figure of the
// roof: a day on its clock, a table. format is the name of one: "A4 landscape".
// Its Figure is the free part; At has no meaning on it.
func BlankSheet(t Title, format string, key []KeyEntry) (*Sheet, error) {
	for _, f := range formats {
		if f.Name != format {
			continue
		}
		l := Layout{Key: keyIn(t.In, key), NoBarScale: true}
		figure, k, ok := zones(f, l)
		if !ok {
			return nil, fmt.Errorf("drawing %q: a key of %d lines does not fit %s", t.Drawing, len(key), format)
		}
		return emptySheet(t, l, f, 0, figure, k), nil
	}
	return nil, fmt.Errorf("drawing %q: %q is no sheet: take A4 portrait or A4 landscape", t.Drawing, format)
}

// emptySheet draws frame, title block and key.
func emptySheet(t Title, l Layout, f Format, n float64, figure, key scene.Box) *Sheet {
	l.Key = keyIn(t.In, l.Key)
	s := &Sheet{Format: f, Scale: n, Figure: figure, key: key, locale: t.Locale, title: t,
		Scene: &scene.Scene{Title: t.Drawing, Description: describe(t, n), WidthMM: f.WidthMM, HeightMM: f.HeightMM}}
	if f.half() {
		s.block = -1
		s.caption(t.In.Say(t.Drawing))
	} else {
		s.frame()
		s.block = len(s.Scene.Items)
		s.Scene.Add(s.titleBlock(t))
	}
	s.drawKey(l)
	s.Space = scene.ObstaclesOf(s.Scene)
	s.Space.Within = figure
	return s
}

func describe(t Title, n float64) string {
	if n == 0 {
		return fmt.Sprintf("%s. %s, sheet %d of %d, %s.", t.Job, t.Drawing, t.Sheet, t.Of, t.Date)
	}
	return fmt.Sprintf("%s. %s, sheet %d of %d, scale 1:%g, %s.", t.Job, t.Drawing, t.Sheet, t.Of, n, t.Date)
}

// keyRows is how many rows of keyRowMM the key takes, north arrow and bar scale included.
func (l Layout) blocks() []float64 {
	var out []float64
	switch {
	case l.North:
		out = append(out, northMM)
	case !l.NoBarScale:
		out = append(out, barScaleMM)
	}
	if l.KeyPlan != nil {
		out = append(out, keyPlanMM)
	}
	for _, e := range l.Key {
		out = append(out, e.roomMM())
	}
	return out
}

// columns flows the blocks into columns no higher than high and returns how many.
func columns(blocks []float64, high float64) int {
	n, used := 1, 0.0
	for _, b := range blocks {
		if used > 0 && used+b > high {
			n++
			used = 0
		}
		used += b
	}
	return n
}

// zones divides the sheet between figure and key. A landscape A4 has its key in
// a strip on the right, upright sheets above the title block, halves at their foot.
func zones(f Format, l Layout) (figure, key scene.Box, ok bool) {
	frame := frameOf(f)
	blocks := l.blocks()
	left := frame.Low.X
	foot, top := frame.Low.Y+blockRows*blockRowMM, frame.High.Y
	switch {
	case f.keyless():
		foot = frame.Low.Y // beside the caption there is room for a leader
	case f.half():
		foot, top = frame.Low.Y, frame.High.Y-captionHighMM
	}
	box := func(x0, y0, x1, y1 float64) scene.Box {
		return scene.Box{Low: scene.Point{X: x0, Y: y0}, High: scene.Point{X: x1, Y: y1}, Set: true}
	}
	inner := func(b scene.Box) scene.Box { return b.Grown(-1) }
	if len(blocks) == 0 {
		return inner(box(left, foot, frame.High.X, top)), scene.Box{}, true
	}
	highest := 0.0
	for _, b := range blocks {
		highest = max(highest, b)
	}
	if f.Name == "A4 landscape" {
		x := frame.High.X - keyColumn - 2*keyGapMM
		key = box(x+keyGapMM, foot+keyGapMM, frame.High.X-keyGapMM, frame.High.Y-keyGapMM)
		return inner(box(left, foot, x, frame.High.Y)), key, columns(blocks, key.Height()) == 1
	}
	fits := int((frame.Width() - keyGapMM) / (keyColumn + keyGapMM))
	high := highest
	for columns(blocks, high) > fits {
		high++
	}
	if high > frame.Height()/2 {
		return figure, key, false
	}
	above := foot + high + 2*keyGapMM
	key = box(left+keyGapMM, foot+keyGapMM, frame.High.X, above-keyGapMM)
	return inner(box(left, above, frame.High.X, top)), key, true
}

func frameOf(f Format) scene.Box {
	if f.half() {
		return scene.Box{High: scene.Point{X: f.WidthMM, Y: f.HeightMM}, Set: true}
	}
	return scene.Box{Low: scene.Point{X: bindingMM, Y: marginMM}, High: scene.Point{X: f.WidthMM - marginMM, Y: f.HeightMM - marginMM},
		Set: true}
}

// At returns where a plan point lies on the sheet.
func (s *Sheet) At(p plane.Point) scene.Point {
	k := 1000 / s.Scale
	return s.Origin.Add(scene.Point{X: p.X * k, Y: p.Y * k})
}

// MM returns a plan length in paper mm.
func (s *Sheet) MM(m float64) float64 { return m * 1000 / s.Scale }

// Ring returns an outline on the sheet, arcs kept.
func (s *Sheet) Ring(r plane.Ring) scene.Path {
	p := scene.Path{Closed: true, Vertices: make([]scene.Vertex, len(r))}
	for i, v := range r {
		p.Vertices[i] = scene.Vertex{Point: s.At(v.Point), Bulge: v.Bulge}
	}
	return p
}

// Add draws items and takes note of the room they take.
func (s *Sheet) Add(items ...scene.Item) {
	s.Scene.Add(items...)
	s.Space.Add(items...)
}

var sheetLayer = scene.Meta{Layer: "sheet"}

// frame draws the border line of ISO 5457 with its centring marks.
func (s *Sheet) frame() {
	b := frameOf(s.Format)
	mid := b.Centre()
	line := func(x0, y0, x1, y1 float64) scene.Path {
		return scene.Polyline(scene.Point{X: x0, Y: y0}, scene.Point{X: x1, Y: y1})
	}
	s.Scene.Add(
		scene.Shape{Meta: sheetLayer, Stroke: scene.Pen(scene.Heavy), Paths: []scene.Path{scene.Rect(b.Low.X, b.Low.Y, b.High.X, b.High.Y)}},
		scene.Shape{Meta: sheetLayer, Stroke: scene.Pen(scene.Heavy), Paths: []scene.Path{
			line(mid.X, b.High.Y, mid.X, b.High.Y+5), line(mid.X, b.Low.Y, mid.X, b.Low.Y-5),
			line(b.Low.X, mid.Y, b.Low.X-5, mid.Y), line(b.High.X, mid.Y, b.High.X+5, mid.Y)}},
	)
}

// Number makes the sheet the nth of a set: how many there are is known when all are drawn.
func (s *Sheet) Number(n, of int) {
	s.title.Sheet, s.title.Of = n, of
	if s.block < 0 {
		return
	}
	s.Scene.Description = describe(s.title, s.Scale)
	s.Scene.Items[s.block] = s.titleBlock(s.title)
}
