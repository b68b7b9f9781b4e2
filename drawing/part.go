package drawing

import (
	"fmt"
	"math"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
	"gelwright/settingout"
)

// part is a rectangle of a deck whose pieces would not be readable on one sheet with
// the rest. A nil part is all of the deck, and one of none is all of it with room for what
// reaches beyond its outline.
type part struct {
	low, high plane.Point
	// n of of parts, each drawn at scale.
	n, of int
	scale float64
	// numbers tells that pieces bear their numbers alone, so that a sheet holds more of them.
	numbers bool
}

// numbersAlone reports whether pieces bear their numbers and nothing else.
func (w *part) numbersAlone() bool { return w != nil && w.numbers }

// partScales are the n of 1:n at which the pieces of a part are lettered: the first where few
// parts do, the second for a hall.
var partScales = [...]float64{50, 100}

// mostParts are so many that a smaller scale is better than more of them.
const mostParts = 4

// fewPieces find room on one sheet at any scale.
const fewPieces = 40

// partsOf parts a deck into as few rectangles as fit a sheet, parted along movement joints
// where such lie near. It returns one nil part when the whole can be read.
func partsOf(p *plan.Plan, i, pieces int) []*part {
	d := &p.Job.Decks[i]
	low, high := d.Outline.Bounds()
	wide, deep := high.X-low.X, high.Y-low.Y
	const room = 16.0
	l := Layout{Low: low, High: high, Left: room, Right: room, Top: room, Bottom: room, Largest: planLargest, North: true,
		Key: make([]KeyEntry, 3)}
	if s, err := fitPlan(Title{}, l); err != nil || s.Scale <= partScales[0] || pieces <= fewPieces {
		return []*part{nil}
	}
	across, down := 1, 1
	l.Left, l.Right, l.Top, l.Bottom, l.KeyPlan = partRoomMM, partRoomMM, partRoomMM, partRoomMM, &keyPlan{}
	l.Key = []KeyEntry{{Words: twoLines}, {Words: twoLines}, {Words: twoLines}, {Words: twoLines}}
	for _, scale := range partScales {
		l.Only = scale
		if a, d := fewestParts(l, wide, deep); across*down == 1 || a*d > 0 && a*d < across*down {
			across, down = max(a, 1), max(d, 1)
		}
		if n := across * down; n > 1 && n <= mostParts {
			break
		}
	}
	if across*down == 1 {
		return []*part{nil}
	}
	xs, ys := cutsOf(d, low.X, high.X, across, true), cutsOf(d, low.Y, high.Y, down, false)
	var out []*part
	for y := down - 1; y >= 0; y-- {
		for x := range across {
			out = append(out, &part{low: plane.Point{X: xs[x], Y: ys[y]}, high: plane.Point{X: xs[x+1], Y: ys[y+1]}, n: len(out) + 1,
				of: across * down, scale: l.Only})
		}
	}
	return out
}

// twoLines is as long as most entries of a key.
const twoLines = "noggin; the numbers of those in one line stand together"

// partRoomMM is kept round a part: little is lettered there.
const partRoomMM = 5

// fewestParts is into how many parts, across and down, a figure is divided so that each fits
// a sheet of the layout; none when hundreds would not.
func fewestParts(l Layout, wide, deep float64) (across, down int) {
	const most = 60
	for n := 1; n <= most; n++ {
		best := math.Inf(1)
		for a := 1; a <= n; a++ {
			if n%a != 0 {
				continue
			}
			l.High = plane.Point{X: l.Low.X + wide/float64(a), Y: l.Low.Y + deep/float64(n/a)}
			if _, err := NewSheet(Title{}, l); err != nil {
				continue
			}
			if slim := math.Abs(math.Log(wide / float64(a) / (deep / float64(n/a)))); slim < best {
				best, across, down = slim, a, n/a
			}
		}
		if !math.IsInf(best, 1) {
			break
		}
	}
	return across, down
}

// cutsOf divides a stretch evenly, each cut moved to a movement joint that is near.
func cutsOf(d *roof.Deck, from, to float64, n int, upright bool) []float64 {
	step := (to - from) / float64(n)
	out := []float64{from}
	for k := 1; k < n; k++ {
		at := from + step*float64(k)
		cut := at
		for _, j := range d.MovementJoints {
			v, end := j[0].Y, j[1].Y
			if upright {
				v, end = j[0].X, j[1].X
			}
			if math.Abs(v-end) < 1e-6 && math.Abs(v-at) < 0.2*step && (cut == at || math.Abs(v-at) < math.Abs(cut-at)) {
				cut = v
			}
		}
		out = append(out, cut)
	}
	return append(out, to)
}

// all reports whether the part is the whole deck.
func (w *part) all() bool { return w == nil || w.of == 0 }

// roomMM is kept round the figure for running dimensions.
func (w *part) roomMM() float64 {
	if w.all() {
		return 16
	}
	return partRoomMM
}

// sheet of a part at the scale of all parts: entries of the key, the last first, give way to
// the figure. All of a deck takes the largest scale that holds it.
func (w *part) sheet(t Title, l Layout) (*Sheet, error) {
	if !w.all() && w.scale > 0 {
		at, key := l, l.Key
		at.Only = w.scale
		for n := len(key); n >= 0; n-- {
			at.Key = key[:n]
			if s, err := NewSheet(t, at); err == nil {
				return s, nil
			}
		}
	}
	return fitPlan(t, l)
}

// name of a part's drawing.
func (w *part) name(of string) string {
	if w.all() {
		return of
	}
	return fmt.Sprintf("%s, part %d of %d", of, w.n, w.of)
}

// holds reports whether the middle of a piece lies in the part: a piece is drawn on one
// sheet only, whole.
func (w *part) holds(shape []plane.Point) bool {
	if w.all() {
		return true
	}
	low, high := plane.Loop(shape).Bounds()
	x, y := (low.X+high.X)/2, (low.Y+high.Y)/2
	return x >= w.low.X && x < w.high.X && y >= w.low.Y && y < w.high.Y
}

// shows reports whether something that reaches from low to high is to be seen on it.
func (w *part) shows(low, high plane.Point) bool {
	const edgeM = 0.3
	if w.all() {
		return true
	}
	x, y := (low.X+high.X)/2, (low.Y+high.Y)/2
	return x > w.low.X-edgeM && x < w.high.X+edgeM && y > w.low.Y-edgeM && y < w.high.Y+edgeM
}

// around widens the part to hold all of the pieces that are drawn on it.
func (w *part) around(shapes ...[]plane.Point) *part {
	if w == nil {
		return nil
	}
	out := *w
	for _, s := range shapes {
		if w.holds(s) {
			low, high := plane.Loop(s).Bounds()
			out.low = plane.Point{X: min(out.low.X, low.X), Y: min(out.low.Y, low.Y)}
			out.high = plane.Point{X: max(out.high.X, high.X), Y: max(out.high.Y, high.Y)}
		}
	}
	return &out
}

// outline is what of the deck's outline lies on the part's sheet.
func (w *part) outline(s *Sheet, r plane.Ring) []scene.Path {
	const slackM = 0.01
	box := plane.Rectangle(w.low.X-slackM, w.low.Y-slackM, w.high.X+slackM, w.high.Y+slackM)
	pts := r.Chords(chordM)
	var out []scene.Path
	for i, a := range pts {
		for _, line := range box.ClipLine(a, pts[(i+1)%len(pts)], plane.ChordToleranceM) {
			out = append(out, scene.Polyline(s.At(line[0]), s.At(line[1])))
		}
	}
	return out
}

// clip is what of a line lies on the part.
func (w *part) clip(a, b plane.Point) [][2]plane.Point {
	if w.all() {
		return [][2]plane.Point{{a, b}}
	}
	return plane.Rectangle(w.low.X, w.low.Y, w.high.X, w.high.Y).ClipLine(a, b, plane.ChordToleranceM)
}

// window is the part, with what hangs over the deck's outline beside it.
func (w *part) window(deck plane.Ring) (low, high plane.Point) {
	const overhangM = 1.0
	low, high = w.low, w.high
	from, to := deck.Bounds()
	if low.X == from.X {
		low.X -= overhangM
	}
	if low.Y == from.Y {
		low.Y -= overhangM
	}
	if high.X == to.X {
		high.X += overhangM
	}
	if high.Y == to.Y {
		high.Y += overhangM
	}
	return low, high
}

// cut returns what of narrow pieces lies on the part: a strip of bandage runs on over
// several, and bears its number on each. What hangs over the deck's outline is kept.
func (w *part) cut(pieces []settingout.Piece, deck plane.Ring) []settingout.Piece {
	if w.all() {
		return pieces
	}
	const leastM2 = 0.002
	low, high := w.window(deck)
	window := []plane.Polygon{{Outer: []plane.Point{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}}}
	var out []settingout.Piece
	for _, x := range pieces {
		a, b := x.Bounds()
		if a.X >= low.X && b.X <= high.X && a.Y >= low.Y && b.Y <= high.Y {
			out = append(out, x)
			continue
		}
		if a.X >= high.X || b.X <= low.X || a.Y >= high.Y || b.Y <= low.Y {
			continue
		}
		here, err := plane.Intersection([]plane.Polygon{{Outer: x.Shape, Holes: x.Holes}}, window)
		if err != nil {
			continue
		}
		for _, c := range here {
			if c.Area() > leastM2 {
				x.Shape, x.Holes = c.Outer, c.Holes
				out = append(out, x)
				break
			}
		}
	}
	return out
}

// keyPlan is the deck small, with the part on the sheet hatched.
type keyPlan struct {
	outline   []plane.Point
	low, high plane.Point
}

// items draws the key plan in its place in the key.
func (k *keyPlan) items(at scene.Point) []scene.Item {
	const wide, high = 40.0, 16.0
	low, top := plane.Loop(k.outline).Bounds()
	if len(k.outline) < 3 {
		return nil
	}
	scale := min(wide/(top.X-low.X), high/(top.Y-low.Y))
	to := func(p plane.Point) scene.Point {
		return at.Add(scene.Point{X: 2 + (p.X-low.X)*scale, Y: 5.5 + (p.Y-low.Y)*scale})
	}
	pts := make([]scene.Point, len(k.outline))
	for i, p := range k.outline {
		pts[i] = to(p)
	}
	a, b := to(plane.Point{X: max(k.low.X, low.X), Y: max(k.low.Y, low.Y)}), to(plane.Point{X: min(k.high.X, top.X), Y: min(k.high.Y, top.Y)})
	here := scene.Rect(a.X, a.Y, b.X, b.Y)
	g := scene.Group{Meta: scene.Meta{Layer: "key", Class: "key-plan", Title: "Key plan"}}
	g.Items = append(g.Items, scene.Diagonal(1.4).Cut(scene.Meta{}, scene.Black, here)...)
	g.Items = append(g.Items, scene.Shape{Paths: []scene.Path{here}, Stroke: scene.Pen(scene.Thin)},
		scene.Shape{Paths: []scene.Path{scene.Polygon(pts...)}, Stroke: scene.Pen(scene.Medium)},
		scene.Text{At: at.Add(scene.Point{X: 2, Y: 1.2}), Content: "key plan: hatched is on this sheet", HeightMM: scene.TextSmall})
	return []scene.Item{g}
}

// groundOf is the outlines of shapes.
func groundOf(shapes []LabelledShape) [][]plane.Point {
	out := make([][]plane.Point, len(shapes))
	for i, s := range shapes {
		out[i] = s.Shape
	}
	return out
}
