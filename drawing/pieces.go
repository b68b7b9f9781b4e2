package drawing

import (
	"fmt"
	"math"
	"slices"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// LabelledShape is one piece of a set-out plan: a board, a strip of mat, the
// ground of a bucket.
type LabelledShape struct {
	// ID is unique on the sheet; Label is what is written on the piece ("7"), Sub
	// a second line where there is room ("1000 × 3200").
	ID, Label, Sub string
	// Sized tells that Sub is the size to cut by: told beside the drawing where there is no room.
	Sized bool
	Shape []plane.Point
	Holes []plane.Loop
	// Tint fills the piece; nil leaves it clear. Hatch is cut round the lettering.
	Tint  *scene.Colour
	Hatch scene.Hatch
	Class string
	// Title is what a screen reader says: "Strip 7, 1000 × 3200 mm, second layer".
	Title string
	// Dash of the outline; full when empty.
	Dash scene.Dash
}

// paths of the piece on paper.
func (l LabelledShape) paths(s *Sheet) []scene.Path {
	one := func(pts []plane.Point) scene.Path {
		out := make([]scene.Point, len(pts))
		for i, p := range pts {
			out[i] = s.At(p)
		}
		return scene.Polygon(out...)
	}
	paths := []scene.Path{one(l.Shape)}
	for _, h := range l.Holes {
		paths = append(paths, one(h))
	}
	return paths
}

// seatOf is where a piece's lettering went.
type seatOf struct {
	b     block
	at    scene.Point
	angle float64
	in    bool
}

// PlacePieces draws numbered pieces: tint, hatch, outline, and the lettering
// inside, at the roomiest place, upright if need be, or outside with a leader.
// No lettering lies on another's or on any outline. Draw dimensions before. Pieces
// that could not be numbered are told at the edge of the figure. Where pieces lap, the
// later one in the list lies on top.
func PlacePieces(s *Sheet, pieces []LabelledShape) {
	placePieces(s, pieces)
	s.tellUnplaced()
}

// placePieces is PlacePieces for sheets on which more is lettered afterwards.
func placePieces(s *Sheet, pieces []LabelledShape) {
	// All outlines count as obstacles before any label is seated.
	for _, p := range pieces {
		s.Space.Add(scene.Shape{Paths: p.paths(s), Stroke: scene.Pen(scene.Thin)})
	}
	before := len(s.Scene.Items)
	for _, name := range []*func(){&s.nameOpenings, &s.nameExit} {
		if *name != nil {
			(*name)()
			*name = nil
		}
	}
	// A name may stand on a piece, whose tint would cover it.
	names := slices.Clone(s.Scene.Items[before:])
	s.Scene.Items = s.Scene.Items[:before]
	seats := make([]seatOf, len(pieces))
	for i, p := range pieces {
		if seats[i] = s.seatInside(p); seats[i].in {
			s.Space.Add(seats[i].b.items(seats[i].at, seats[i].angle)...)
		}
	}
	for i, p := range pieces {
		s.drawPiece(p, seats[i])
		if p.Sized && p.Sub != "" && len(seats[i].b.lines) < 2 {
			s.unsized = append(s.unsized, p)
		}
	}
	s.Scene.Add(names...)
	s.numberBeside(pieces, seats)
}

// drawPiece draws a piece, its hatch left out round the number within it.
func (s *Sheet) drawPiece(p LabelledShape, seat seatOf) {
	paths := p.paths(s)
	g := scene.Group{Meta: scene.Meta{ID: p.ID, Class: p.Class, Title: p.Title, Layer: "pieces"}}
	if p.Tint != nil {
		g.Items = append(g.Items, scene.Shape{Paths: paths, Filled: true, Fill: *p.Tint})
	}
	cut := paths
	if seat.in {
		q := seat.b.quad(seat.at, seat.angle, 0.6)
		cut = append(append([]scene.Path{}, paths...), scene.Polygon(q[:]...))
	}
	g.Items = append(g.Items, p.Hatch.Cut(scene.Meta{Class: scene.Backdrop}, scene.Black, cut...)...)
	g.Items = append(g.Items, scene.Shape{Paths: paths, Stroke: scene.Stroke{WidthMM: scene.Medium, Dash: p.Dash}})
	if seat.in {
		g.Items = append(g.Items, seat.b.items(seat.at, seat.angle)...)
	}
	s.Scene.Add(g)
}

// manyPieces are more than leaders across the sheet could serve: then a number stands
// close by or is listed.
const manyPieces = 800

// besideOf reports whether a point lies on none of the pieces. A grid of 5 mm on the
// paper says which pieces are near: a large roof has thousands.
func besideOf(s *Sheet, pieces []LabelledShape) func(scene.Point) bool {
	const cellMM = 5
	type cell struct{ x, y int }
	at := func(p scene.Point) cell { return cell{int(math.Floor(p.X / cellMM)), int(math.Floor(p.Y / cellMM))} }
	grounds := make([][][]scene.Point, len(pieces))
	near := map[cell][]int{}
	for i, p := range pieces {
		grounds[i] = corners(p.paths(s))
		low, high := scene.Point{X: math.Inf(1), Y: math.Inf(1)}, scene.Point{X: math.Inf(-1), Y: math.Inf(-1)}
		for _, r := range grounds[i] {
			for _, q := range r {
				low.X, low.Y = min(low.X, q.X), min(low.Y, q.Y)
				high.X, high.Y = max(high.X, q.X), max(high.Y, q.Y)
			}
		}
		if low.X > high.X {
			continue
		}
		for x := at(low).x; x <= at(high).x; x++ {
			for y := at(low).y; y <= at(high).y; y++ {
				near[cell{x, y}] = append(near[cell{x, y}], i)
			}
		}
	}
	return func(c scene.Point) bool {
		for _, i := range near[at(c)] {
			if holds(c, grounds[i]) {
				return false
			}
		}
		return true
	}
}

// seen is the place on a piece nearest its roomiest one where no later piece covers it.
func (s *Sheet) seen(g grounds, i int) scene.Point {
	const aroundMM, offMM = 25, 0.4
	paths := make([]scene.Path, len(g.rings[i]))
	for k, r := range g.rings[i] {
		paths[k] = scene.Polygon(r...)
	}
	pole, _ := poleOfInaccessibility(0.3, paths...)
	if len(g.rings) > manyPieces || g.top(pole) == i {
		return pole
	}
	for _, c := range near(pole, aroundMM, 1) {
		if b := g.boxes[i]; c.X > b.Low.X && c.X < b.High.X && c.Y > b.Low.Y && c.Y < b.High.Y && g.top(c) == i &&
			clearance(c, g.rings[i]) > offMM && g.clearOf(c, i, 2*offMM) {
			return c
		}
	}
	return pole
}

func labelBlock(label, sub string, high float64) block {
	b := block{lines: []string{label}, high: high, lead: high * 1.6, bold: true, layer: "pieces"}
	if sub != "" {
		b.lines = append(b.lines, sub)
	}
	return b
}

// seatInside looks for room: label and sub, then the label alone, at usual and at
// small size, level first and then upright, from the roomiest place outward.
func (s *Sheet) seatInside(p LabelledShape) seatOf {
	paths := p.paths(s)
	pole, room := poleOfInaccessibility(0.3, paths...)
	box := scene.Box{}
	for _, q := range paths[0].Points(0.1) {
		box = box.Take(q)
	}
	reach := min(max(box.Width(), box.Height())/2, 40)
	rings := corners(paths)
	places := near(pole, reach, max(1.5, min(room, 4)))
	angles := []float64{0, 90}
	if box.Height() > 2*box.Width() {
		angles = []float64{90, 0}
	}
	if a := scene.Readable(s.lengthwise(p)); math.Abs(math.Remainder(a, 90)) > 1 {
		angles = append(angles, a)
	}
	var tries []block
	if p.Sub != "" && p.Label != "" {
		large := labelBlock(p.Label, p.Sub, scene.TextSmall)
		large.first, large.lead = scene.TextUsual, 4.8
		tries = append(tries, large, labelBlock(p.Label, p.Sub, scene.TextSmall))
	}
	if p.Label != "" {
		tries = append(tries, labelBlock(p.Label, "", scene.TextUsual), labelBlock(p.Label, "", scene.TextSmall))
	}
	for _, b := range tries {
		w, h := b.size()
		for _, angle := range angles {
			for _, c := range places {
				q := quadAt(c, w+1.2, h+1.2, angle)
				if inside(q, rings) && s.Space.FreeQuad(q) {
					return seatOf{b, c, angle, true}
				}
			}
		}
	}
	return s.seatTight(p.Label, rings, places, angles)
}

// tightSeat is a height of lettering, and the air that it has in all, mm.
type tightSeat struct{ highMM, airMM float64 }

// tightest are the seats that a number takes where no other is left.
func (s *Sheet) tightest() []tightSeat {
	seats := []tightSeat{{scene.TextSmall, 0.8}}
	if s.numbers {
		seats = append(seats, tightSeat{scene.TextLeast, 0.4})
	}
	return seats
}

// seatTight seats a number alone in a piece that is little wider than it is high.
func (s *Sheet) seatTight(label string, rings [][]scene.Point, places []scene.Point, angles []float64) seatOf {
	if label == "" {
		return seatOf{}
	}
	for _, try := range s.tightest() {
		b := labelBlock(label, "", try.highMM)
		w, _ := b.size()
		for _, angle := range angles {
			for _, c := range places {
				q := quadAt(c, w+try.airMM, try.highMM+try.airMM, angle)
				if inside(q, rings) && s.Space.FreeQuad(q) {
					return seatOf{b, c, angle, true}
				}
			}
		}
	}
	return seatOf{}
}

// lengthwise is the direction of the piece's longest side on paper, degrees.
func (s *Sheet) lengthwise(p LabelledShape) float64 {
	best, angle := 0.0, 0.0
	for i, a := range p.Shape {
		v := s.At(p.Shape[(i+1)%len(p.Shape)]).Sub(s.At(a))
		if v.Length() > best+1e-9 {
			best, angle = v.Length(), v.AngleDeg()
		}
	}
	return angle
}

// alongside letters a piece that is a mere bar (a firring, a trim) beside it and
// along it, where no other piece lies.
func (s *Sheet) alongside(p LabelledShape, beside func(scene.Point) bool) bool {
	pole, room := poleOfInaccessibility(0.2, p.paths(s)...)
	angle := s.lengthwise(p)
	b := labelBlock(p.Label, "", scene.TextSmall)
	w, _ := b.size()
	long := 0.0
	for i, a := range p.Shape {
		long = max(long, s.At(a).Distance(s.At(p.Shape[(i+1)%len(p.Shape)])))
	}
	// A figure or two read better upright, with a leader: 6 and 9 on their side are alike.
	if room > 1.4 || long < w*0.8 || len([]rune(p.Label)) < 3 {
		return false
	}
	along := scene.Point{X: 1}.Turned(angle)
	read := scene.Readable(angle)
	for _, shift := range [...]float64{0, 0.2, -0.2, 0.35, -0.35} {
		for _, side := range [...]float64{1, -1} {
			c := pole.Add(along.Scale(shift * (long - w))).Add(along.Left().Scale(side * (room + 2.3)))
			half := along.Scale(w / 2)
			if s.Space.FreeQuad(b.quad(c, read, 0.2)) && beside(c) && beside(c.Add(half)) && beside(c.Sub(half)) {
				s.Add(b.items(c, read)...)
				return true
			}
		}
	}
	return false
}

// RunningDimensions measures stations (m, rising) from a plan point along a
// direction, as a tape laid once reads; offsetMM is on paper, positive to the left.
func RunningDimensions(s *Sheet, from plane.Point, alongDeg float64, stationsM []float64, offsetMM float64) {
	r := s.runningFrom(from, alongDeg, stationsM, offsetMM)
	if !s.tryRunning(r) {
		s.Add(r.Items()...)
	}
}

// runningFrom makes the dimension that RunningDimensions draws.
func (s *Sheet) runningFrom(from plane.Point, alongDeg float64, stationsM []float64, offsetMM float64) scene.RunningDimension {
	r := scene.RunningDimension{Meta: scene.Meta{Class: "dimension", Layer: "dimensions"}, From: s.At(from), AlongDeg: alongDeg,
		OffsetMM: offsetMM, FootMM: math.Copysign(2, offsetMM)}
	for _, m := range stationsM {
		if m < sameM {
			continue // the origin is drawn by itself
		}
		r.Stations = append(r.Stations, s.MM(m))
		r.Labels = append(r.Labels, scene.Millimetres(m))
	}
	return r
}

// tryRunning draws the dimension where it is clear, further out when something stands
// in the way, as the exit may.
func (s *Sheet) tryRunning(r scene.RunningDimension) bool {
	for extra := 0.0; extra <= 12; extra += 3 {
		far := r
		far.OffsetMM += math.Copysign(extra, r.OffsetMM)
		if items := far.Items(); s.clear(items) {
			s.Add(items...)
			return true
		}
	}
	return false
}

// AddClear draws a straight line under what is lettered already: it is broken
// wherever it would pass through lettering. For joists and other lines that lie
// behind numbered pieces; call it after PlacePieces.
func (s *Sheet) AddClear(m scene.Meta, st scene.Stroke, a, b scene.Point) {
	var paths []scene.Path
	for _, p := range s.Space.Parts(a, b, 0.6) {
		paths = append(paths, scene.Polyline(p[0], p[1]))
	}
	if paths != nil {
		s.Add(scene.Shape{Meta: m, Paths: paths, Stroke: st})
	}
}

// SetOutSheet begins a set-out plan of one deck: outline, openings, joints and
// exit on a sheet with key and title, but no edge names and no dimensions, so
// that the pieces have the room. roomMM is kept on each side for running dimensions.
func SetOutSheet(job *roof.Job, deck int, t Title, roomMM float64, key []KeyEntry) (*Sheet, error) {
	return setOutPart(job, deck, nil, t, roomMM, key)
}

// setOutPart is SetOutSheet for a part of a deck too large for one sheet; all of it when
// the part is nil.
func setOutPart(job *roof.Job, deck int, w *part, t Title, roomMM float64, key []KeyEntry) (*Sheet, error) {
	if deck < 0 || deck >= len(job.Decks) || len(job.Decks[deck].Outline) < 2 {
		return nil, fmt.Errorf("drawing %q: the job has no deck number %d with an outline", t.Drawing, deck+1)
	}
	d := job.Decks[deck]
	low, high := d.Outline.Bounds()
	l := Layout{Low: low, High: high, Key: key, Largest: planLargest, North: true, NorthDeg: job.Site.BearingDeg}
	l.margins(t.Seat, roomMM)
	if w != nil {
		l.Low, l.High = w.low, w.high
	}
	if !w.all() {
		l.KeyPlan = &keyPlan{d.Outline.Chords(chordM), w.low, w.high}
	}
	s, err := w.sheet(t, l)
	if err != nil {
		return nil, err
	}
	s.tight, s.numbers = !w.all() || t.Seat != nil, w.numbersAlone()
	id := slug(d.Name)
	outline := []scene.Path{s.Ring(d.Outline)}
	if !w.all() {
		outline = w.outline(s, d.Outline)
	}
	s.Add(scene.Shape{Meta: scene.Meta{ID: "deck-" + id, Class: "deck", Title: deckTitle(d), Layer: "outline"}, Paths: outline,
		Stroke: scene.Pen(scene.Thick)})
	for i, o := range d.Openings {
		if w.shows(o.Outline.Bounds()) {
			s.drawOpening(id, i, o)
		}
	}
	s.nameOpenings = func() {
		for _, o := range d.Openings {
			if w.shows(o.Outline.Bounds()) {
				s.nameOpening(o)
			}
		}
	}
	if w.shows(d.Exit, d.Exit) {
		s.showExit(id, d)
	}
	return s, nil
}

// margins are kept round the figure, less of them on a half.
func (l *Layout) margins(seat *Format, roomMM float64) {
	l.Left, l.Right, l.Top, l.Bottom = roomMM, roomMM, roomMM, roomMM
	if seat == nil {
		return
	}
	up := min(roomMM, halfRoomMM/2)
	l.Left, l.Right, l.Top, l.Bottom = min(roomMM, halfRoomMM), min(roomMM, halfRoomMM), up, up
	if seat.keyless() {
		up = min(up, keylessUpMM)
		l.Top, l.Bottom = up+captionHighMM, up
	}
}

// showExit draws the exit, and letters it when the dimensions are there, beside the deck,
// which the pieces will fill.
func (s *Sheet) showExit(id string, d roof.Deck) {
	s.drawExit(id, d)
	exit := s.words("Exit")
	exit.bold, exit.high, exit.layer = true, scene.TextUsual, "exit"
	s.nameExit = func() {
		rings := corners([]scene.Path{s.Ring(d.Outline)})
		outside := func(p scene.Point) bool { return !holds(p, rings) }
		if !s.beside(s.At(d.Exit), exit, 3.5, 40, outside) {
			s.leader(s.At(d.Exit), exit, 3.5, 60, nil)
		}
	}
}

// fitPlan takes the largest scale that A4 holds.
func fitPlan(t Title, l Layout) (*Sheet, error) {
	return largest(func(n float64) (*Sheet, error) {
		at := l
		at.Only = n
		return NewSheet(t, at)
	}, l.Largest)
}

// largest tries scales from n of 1:n down; make returns a sheet at one scale.
func largest(make func(n float64) (*Sheet, error), n float64) (*Sheet, error) {
	var last error
	for _, scale := range scales {
		if scale < n {
			continue
		}
		s, err := make(scale)
		if err == nil {
			return s, nil
		}
		last = err
	}
	return nil, last
}
