package drawing

import (
	"fmt"
	"strings"

	"gelwright/plan"
	"gelwright/roof"
	"gelwright/scene"
)

// A small roof is a stamp on a sheet of its own: where half a sheet holds it at the same
// scale, two drawings share one.

// captionHighMM is the room for the name of a drawing over its half.
const captionHighMM = 6.5

// halves of A4 between its frame and title block: side by side, and one over the other with
// a strip for north arrow and bar scale below them.
var halves = [...]Format{
	{"half of A4 landscape", 133.5, 168},
	{"half of A4 portrait", 180, 116},
}

// keylessHalf is half of A4 portrait for a figure that leaves no room for a key: the keys of both halves stand beside
// north arrow and bar scale, in a strip that is as high as they need.
var keylessHalf = Format{"half of A4 portrait, key apart", 180, 114.5}

// band is a third of A4 portrait, for a deck that is long and shallow as a gutter is: three drawings of it share a sheet, and
// below them stands what the keys of all three say.
var band = Format{"third of A4 portrait, key apart", 180, 62}

// bandsOnSheet is how many bands stand on a sheet.
const bandsOnSheet = 3

// keyless reports whether the format's key stands beside the title block.
func (f Format) keyless() bool { return f == keylessHalf || f == band }

// upright reports whether parts of the format stand one over the other.
func (f Format) upright() bool { return f == halves[1] || f.keyless() }

// halfRoomMM is kept beside the figure of a half for dimensions, and half of it above and below.
const halfRoomMM = 10.0

// half reports whether the format is a part of a sheet: half of it, or a band.
func (f Format) half() bool { return strings.HasPrefix(f.Name, "half") || f == band }

// seat is a half, and the n of 1:n at which it holds a deck.
type seat struct {
	format Format
	scale  float64
}

// deckSeat is the half that holds a deck at the scale of a whole sheet; nil when none does.
func deckSeat(job *roof.Job, deck int) *seat {
	const room = 16.0
	low, high := job.Decks[deck].Outline.Bounds()
	l := Layout{Low: low, High: high, Left: room, Right: room, Top: room, Bottom: room, Largest: planLargest, North: true,
		Key: []KeyEntry{{Words: twoLines}, {Words: twoLines}, {Words: twoLines}}}
	whole, err := fitPlan(Title{}, l)
	if err != nil {
		return nil
	}
	l.Left, l.Right, l.Top, l.Bottom = halfRoomMM, halfRoomMM, halfRoomMM/2, halfRoomMM/2
	for _, f := range halves {
		l.Only = whole.Scale
		if _, err := NewSheet(Title{Seat: &f}, l); err == nil {
			return &seat{f, whole.Scale}
		}
	}
	return nil
}

// keylessUpMM is kept above and below the figure of a keyless half.
const keylessUpMM = 3.0

// keylessSeat is the half without a key that holds a deck at the scale of a whole sheet; nil when none does.
func keylessSeat(job *roof.Job, deck int, whole float64) *seat {
	low, high := job.Decks[deck].Outline.Bounds()
	l := Layout{Low: low, High: high, Largest: planLargest, Only: whole}
	l.margins(&keylessHalf, halfRoomMM)
	if _, err := NewSheet(Title{Seat: &keylessHalf}, l); err != nil {
		return nil
	}
	return &seat{keylessHalf, whole}
}

// fewUnlettered is the share of the pieces on a sheet that may be told beside it, found between their neighbours.
const fewUnlettered = 0.05

// fewOnHalf is that share where it saves a sheet.
const fewOnHalf = 0.07

// numbered adds a drawing of pieces found by their numbers: on one sheet where all but a few have room, else as parts does.
func (k *deckDrawings) numbered(what string, pieces int, draw func(w *part, t Title) (*Sheet, error)) {
	if !k.whole && len(partsOf(k.p, k.deck, pieces)) > 1 {
		low, high := k.p.Job.Decks[k.deck].Outline.Bounds()
		all := &part{low: low, high: high, numbers: true}
		most := int(fewUnlettered * float64(pieces))
		s, err := draw(all, TitleOf(&k.p.Job, k.at(what)))
		if err == nil && len(s.Unplaced) <= most {
			make := func(t Title) (*Sheet, error) {
				if t.Seat == nil {
					return s, nil
				}
				half, err := draw(all, t)
				if err == nil && float64(len(half.Unplaced)) > fewOnHalf*float64(pieces) {
					err = fmt.Errorf("%d of %d numbers have no room on half a sheet", len(half.Unplaced), pieces)
				}
				return half, err
			}
			k.list = append(k.list, planDrawing{name: k.at(what), make: make, deck: k.deck, seat: keylessSeat(&k.p.Job, k.deck, s.Scale)})
			return
		}
	}
	k.parts(what, pieces, draw)
}

// PlanSheets draws what the plan adds to the survey: firrings, boards, trims, mat by
// layer, buckets in their order, wind zones and where the water goes; one question a
// figure, deck by deck, two small figures a sheet, or three where that saves one.
func PlanSheets(p *plan.Plan) ([]*Sheet, error) {
	var out []*Sheet
	for list := planDrawings(p); len(list) > 0; {
		n := 1
		for n < len(list) && list[n].deck == list[0].deck {
			n++
		}
		pairs := collator{job: &p.Job}
		if err := pairs.all(list[:n]); err != nil {
			return nil, err
		}
		if bands := (collator{job: &p.Job, banded: true}); shallow(&p.Job, list[0]) {
			if err := bands.all(list[:n]); err != nil {
				return nil, err
			}
			if len(bands.out) < len(pairs.out) {
				pairs = bands
			}
		}
		out, list = append(out, pairs.out...), list[n:]
	}
	return out, nil
}

// shallow reports whether a band holds the deck of a drawing.
func shallow(job *roof.Job, d planDrawing) bool {
	low, high := job.Decks[d.deck].Outline.Bounds()
	return d.seat != nil && (high.Y-low.Y)*1000/d.seat.scale <= band.HeightMM-captionHighMM
}

// all puts the drawings of a deck on sheets.
func (c *collator) all(list []planDrawing) error {
	for ; len(list) > 0; list = list[1:] {
		if c.banded && c.bands(list) {
			list = list[bandsOnSheet-1:]
			continue
		}
		if err := c.take(list[0]); err != nil {
			return fmt.Errorf("drawing %q: %w", list[0].name, err)
		}
	}
	return c.alone()
}

// bands draws the first of a list as bands of one sheet, as large and as fully lettered as on half a sheet; false where they
// are not of one book, or have no room so.
func (c *collator) bands(list []planDrawing) bool {
	if c.waiting != nil || len(list) < bandsOnSheet {
		return false
	}
	var figures []*Sheet
	for _, d := range list[:bandsOnSheet] {
		if d.seat == nil || d.office != list[0].office {
			return false
		}
		t := TitleOf(c.job, d.name)
		half, err := d.make(seated(t, d.seat.format))
		if err != nil {
			return false
		}
		s, err := d.make(seated(t, band))
		if err != nil || s.Format != band || s.Scale > d.seat.scale || tellsLess(s, half) {
			return false
		}
		figures = append(figures, s)
	}
	all := together(c.job, figures, list[0].office)
	if all == nil {
		return false
	}
	c.out = append(c.out, all)
	return true
}

// tellsLess reports whether a drawing has left out a number, a size or a dimension that another of the same has.
func tellsLess(a, b *Sheet) bool {
	return len(a.Unplaced) > len(b.Unplaced) || len(a.unsized) > len(b.unsized) || a.measured() < b.measured()
}

// measured is how many dimensions stand on the drawing.
func (s *Sheet) measured() int {
	n := 0
	for _, x := range s.Scene.Items {
		if text, ok := x.(scene.Text); ok && text.Layer == "dimensions" {
			n++
		}
	}
	return n
}

// seated is a title of a drawing that is to fit a part of a sheet.
func seated(t Title, f Format) Title {
	t.Seat = &f
	return t
}

// collator puts two halves on a sheet, as long as they are of one deck; or three bands, where it is told to.
type collator struct {
	job    *roof.Job
	banded bool
	out    []*Sheet
	// waiting has its figure drawn for half a sheet, and as yet no companion.
	waiting *planDrawing
	figure  *Sheet
}

func (c *collator) take(d planDrawing) error {
	if c.waiting != nil && (c.waiting.deck != d.deck || c.waiting.office != d.office || d.seat == nil) {
		if err := c.alone(); err != nil {
			return err
		}
	}
	if d.seat != nil {
		t := TitleOf(c.job, d.name)
		t.Seat = &d.seat.format
		s, err := d.make(t)
		switch {
		case err != nil || !s.Format.half() || s.Scale > d.seat.scale:
			// It needs a sheet of its own.
		case c.waiting == nil:
			c.waiting, c.figure = &d, s
			return nil
		default:
			if both := together(c.job, []*Sheet{c.figure, s}, d.office); both != nil {
				c.out, c.waiting = append(c.out, both), nil
				return nil
			}
		}
		if err := c.alone(); err != nil {
			return err
		}
	}
	return c.whole(d)
}

// alone draws the one that waits on a sheet of its own.
func (c *collator) alone() error {
	if c.waiting == nil {
		return nil
	}
	d := *c.waiting
	c.waiting = nil
	return c.whole(d)
}

func (c *collator) whole(d planDrawing) error {
	s, err := d.make(TitleOf(c.job, d.name))
	if err != nil {
		return err
	}
	s.Office = d.office
	c.out = append(c.out, s)
	return nil
}

// together puts the parts of a sheet, of one format and scale, on it; nil where their keys have no room.
func together(job *roof.Job, parts []*Sheet, office bool) *Sheet {
	name, unplaced := nameOf(parts), []string(nil)
	var apart []KeyEntry
	for _, x := range parts {
		if x.Format != parts[0].Format {
			return nil
		}
		unplaced, apart = append(unplaced, x.Unplaced...), append(apart, x.apart...)
	}
	t, part, f := TitleOf(job, name), parts[0].Format, formats[1]
	if part.upright() {
		f = formats[0]
	}
	s := &Sheet{Format: f, Scale: parts[0].Scale, locale: parts[0].locale, title: t, Office: office, Halves: parts,
		Scene:    &scene.Scene{Title: name, Description: describe(t, parts[0].Scale), WidthMM: f.WidthMM, HeightMM: f.HeightMM},
		Unplaced: unplaced}
	s.frame()
	s.block = len(s.Scene.Items)
	s.Scene.Add(s.titleBlock(t))
	frame := frameOf(f)
	foot := frame.Low.Y + blockRows*blockRowMM
	strip := scene.Point{X: frame.Low.X, Y: frame.Low.Y - 1}
	if part.upright() {
		strip.Y = foot
	}
	for i, h := range s.Halves {
		at := scene.Point{X: frame.Low.X + float64(i)*part.WidthMM, Y: foot}
		from, to := at, scene.Point{X: at.X, Y: frame.High.Y}
		if part.upright() {
			at = scene.Point{X: frame.Low.X, Y: frame.High.Y - float64(i+1)*part.HeightMM}
			from = at.Add(scene.Point{Y: part.HeightMM})
			to = scene.Point{X: frame.High.X, Y: from.Y}
		}
		s.Scene.Add(scene.Group{Meta: scene.Meta{Class: "half", Title: h.Scene.Title}, Place: scene.Transform{Move: at},
			Items: named(h.Scene.Items, fmt.Sprintf("%c-", 'a'+i))})
		if i > 0 {
			s.Scene.Add(scene.Line(scene.Meta{Layer: "sheet"}, scene.Pen(scene.Thin), from, to))
		}
	}
	if part.keyless() {
		if !s.keysBeside(strip, float64(len(parts))*part.HeightMM, apart) {
			return nil
		}
		s.north(strip.Add(scene.Point{X: 6, Y: 9}), job.Site.BearingDeg)
		s.barScale(strip.Add(scene.Point{X: 14, Y: 4}))
		return s
	}
	s.north(strip.Add(scene.Point{X: 8, Y: 11}), job.Site.BearingDeg)
	s.barScale(strip.Add(scene.Point{X: 24, Y: 6}))
	return s
}

// nameOf is the name of a sheet that holds several drawings: that of each, and their deck once where they are of one.
func nameOf(parts []*Sheet) string {
	_, deck, one := strings.Cut(parts[0].title.Drawing, ", deck ")
	for _, x := range parts {
		one = one && strings.HasSuffix(x.title.Drawing, ", deck "+deck)
	}
	var names []string
	for i, x := range parts {
		name := x.title.Drawing
		if one {
			name = strings.TrimSuffix(name, ", deck "+deck)
			if i > 0 {
				name = strings.ToLower(name[:1]) + name[1:]
			}
		}
		names = append(names, name)
	}
	if one {
		names[len(names)-1] += ", deck " + deck
	}
	return strings.Join(names, "; ")
}

// keysBeside draws the keys of a sheet's parts, which are so high together, what several have once, right of north arrow and bar
// scale; false where they have no room.
func (s *Sheet) keysBeside(strip scene.Point, partsMM float64, key []KeyEntry) bool {
	const fromMM, airMM = 60.0, 1.0
	said := map[string]bool{}
	var once []KeyEntry
	for _, e := range key {
		if !said[e.Words] {
			said[e.Words], once = true, append(once, e)
		}
	}
	frame := frameOf(s.Format)
	top := frame.High.Y - partsMM
	s.key = scene.Box{Low: strip.Add(scene.Point{X: fromMM, Y: airMM}), High: scene.Point{X: frame.High.X, Y: top - airMM}, Set: true}
	l := Layout{Key: once, NoBarScale: true}
	if columns(l.blocks(), s.key.Height()) > int((s.key.Width()+keyGapMM)/(keyColumn+keyGapMM)) {
		return false
	}
	s.drawKey(l)
	return true
}

// named gives the items of one half names that the other's do not have.
func named(items []scene.Item, before string) []scene.Item {
	out := make([]scene.Item, len(items))
	for i, x := range items {
		switch x := x.(type) {
		case scene.Shape:
			x.ID = prefixed(before, x.ID)
			out[i] = x
		case scene.Text:
			x.ID = prefixed(before, x.ID)
			out[i] = x
		case scene.Group:
			x.ID = prefixed(before, x.ID)
			x.Items = named(x.Items, before)
			out[i] = x
		}
	}
	return out
}

func prefixed(before, id string) string {
	if id == "" {
		return ""
	}
	return before + id
}

// caption names a half over its figure.
func (s *Sheet) caption(name string) {
	words, high := fit(name, s.Format.WidthMM-6, true)
	s.Scene.Add(scene.Text{Meta: scene.Meta{Layer: "key", Class: "caption"}, At: scene.Point{X: 3, Y: s.Format.HeightMM - 4.8},
		Content:  s.say(words),
		HeightMM: high, Bold: true})
}
