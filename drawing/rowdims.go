package drawing

import (
	"cmp"
	"math"
	"slices"

	"gelwright/plane"
	"gelwright/runoff"
	"gelwright/scene"
	"gelwright/settingout"
)

// Rows of boards, strips of mat and firrings are measured by running dimensions: a tape
// laid once gives every line.

// axes of a set-out: along its rows and across them, each pointing right, or up where it
// is upright.
type axes struct{ along, across plane.Point }

func axesOf(along plane.Point) axes {
	forward := func(u plane.Point) plane.Point {
		if u.X < -1e-6 || math.Abs(u.X) <= 1e-6 && u.Y < 0 {
			return u.Scale(-1)
		}
		return u
	}
	u := forward(along.Unit())
	return axes{u, forward(u.Left())}
}

// spanOn is how far points reach along a direction, m.
func spanOn(u plane.Point, pts []plane.Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range pts {
		low, high = min(low, p.Dot(u)), max(high, p.Dot(u))
	}
	return low, high
}

// measure draws readings along u, beside the ground on the side that out points to, at
// marks along u. Square to the sheet it is always drawn where the figure has its full room, and otherwise
// where it is clear.
// Words, if any, stand before its zero. It reports whether it was drawn.
func (s *Sheet) measure(u, out plane.Point, ground []plane.Point, marks map[float64]bool, words string) bool {
	if len(marks) < 2 {
		return true
	}
	low := math.Inf(1)
	for m := range marks {
		low = min(low, m)
	}
	_, far := spanOn(out, ground)
	offset := math.Copysign(6, u.Left().Dot(out))
	r := s.runningFrom(u.Scale(low).Add(out.Scale(far)), scene.Point(u).AngleDeg(), stations(marks, low), offset)
	if !s.tryRunning(r) {
		if math.Abs(u.X) > 1e-6 && math.Abs(u.Y) > 1e-6 || s.tight {
			return false
		}
		s.Add(r.Items()...)
	}
	if words == "" {
		return true
	}
	s.nameReadings(r, scene.Point(u), scene.Point(out), words)
	return true
}

// nameReadings puts words to a running dimension: before its zero, beyond its end, or
// else in the widest gap between two readings.
func (s *Sheet) nameReadings(r scene.RunningDimension, u, out scene.Point, words string) {
	b := block{lines: []string{words}, high: scene.TextSmall, lead: 4, layer: "dimensions"}
	wide, _ := b.size()
	angle := scene.Readable(r.AlongDeg)
	try := func(along, beyond float64) bool {
		at := r.From.Add(u.Scale(along)).Add(out.Scale(beyond))
		if !s.Space.FreeQuad(b.quad(at, angle, 0.3)) {
			return false
		}
		s.Add(b.items(at, angle)...)
		return true
	}
	last := r.Stations[len(r.Stations)-1]
	for _, along := range [...]float64{-wide/2 - 3, last + wide/2 + 4} {
		for _, beyond := range [...]float64{8, 11, 14, 4} {
			if try(along, beyond) {
				return
			}
		}
	}
	gaps := make([][2]float64, len(r.Stations))
	for i, m := range r.Stations {
		gaps[i][1] = m
		if i > 0 {
			gaps[i][0] = r.Stations[i-1]
		}
	}
	slices.SortStableFunc(gaps, func(a, b [2]float64) int { return cmp.Compare(b[1]-b[0], a[1]-a[0]) })
	for _, beyond := range [...]float64{8.5, 3.2, 12} {
		for _, g := range gaps {
			if try((g[0]+g[1])/2, beyond) {
				return
			}
		}
	}
	s.Unplaced = append(s.Unplaced, words)
}

// boardRow is boards side by side, between two lines across.
type boardRow struct {
	low, high float64
	boards    []settingout.Piece
}

// rowsOf gathers boards into rows, the lowest first. A board that a sloping edge cuts
// short still belongs to the row most of it lies in.
func rowsOf(boards []settingout.Piece, across plane.Point) []boardRow {
	type reach struct {
		low, high float64
		board     settingout.Piece
	}
	var all []reach
	for _, b := range boards {
		low, high := spanOn(across, b.Shape)
		all = append(all, reach{low, high, b})
	}
	slices.SortStableFunc(all, func(a, b reach) int { return cmp.Compare(b.high-b.low, a.high-a.low) })
	var out []boardRow
	for _, r := range all {
		k := slices.IndexFunc(out, func(o boardRow) bool {
			return min(o.high, r.high)-max(o.low, r.low) > 0.6*(r.high-r.low)
		})
		if k < 0 {
			out, k = append(out, boardRow{low: r.low, high: r.high}), len(out)
		}
		out[k].boards = append(out[k].boards, r.board)
	}
	slices.SortStableFunc(out, func(a, b boardRow) int { return cmp.Compare(a.low, b.low) })
	return out
}

// boardRows measures every row of boards, and the joints of the first row and the second.
func (s *Sheet) boardRows(low, high plane.Point, boards []settingout.Piece) {
	if len(boards) == 0 {
		return
	}
	x := axesOf(boards[0].Along)
	ground := []plane.Point{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}
	rows := rowsOf(boards, x.across)
	a, b := spanOn(x.across, ground)
	lines := map[float64]bool{a: true, b: true}
	for _, r := range rows {
		lines[r.low], lines[r.high] = true, true
	}
	s.measure(x.across, x.along.Scale(-1), ground, lines, "")
	from, _ := spanOn(x.along, ground)
	var before []float64
	for i, r := range rows[:min(len(rows), 2)] {
		joints := map[float64]bool{from: true}
		first := r.boards[0]
		for _, b := range r.boards {
			a, e := spanOn(x.along, b.Shape)
			joints[a], joints[e] = true, true
			if c, _ := spanOn(x.along, first.Shape); a < c {
				first = b
			}
		}
		at := stations(joints, from)
		alike := func(a, b float64) bool { return math.Abs(a-b) < 0.003 }
		if i > 0 && slices.EqualFunc(at, before, alike) {
			continue
		}
		words, out := "", x.across.Scale(-1)
		if len(rows) > 1 {
			words = s.say("row of " + first.Number)
		}
		if i > 0 {
			out = x.across
		}
		s.measure(x.along, out, ground, joints, words)
		before = at
	}
}

// readMM is how far apart on paper both edges of a lap are worth a reading each.
const readMM = 2.2

// stripEdges measures the edges of strips of mat, given in the order of laying. Where
// the scale leaves no room for both edges of a lap, the one on top is measured. It
// reports whether there was room.
func (s *Sheet) stripEdges(laid []settingout.Piece, lapMM float64) bool {
	if len(laid) < 2 {
		return false
	}
	x := axesOf(laid[0].Along)
	var ground []plane.Point
	for _, m := range laid {
		ground = append(ground, m.Shape...)
	}
	low, high := spanOn(x.across, ground)
	marks := map[float64]bool{low: true, high: true}
	for i, m := range laid {
		if math.Abs(m.Along.Dot(x.along)) < 0.99 {
			continue // of another field, which runs the other way
		}
		a, b := spanOn(x.across, m.Shape)
		from, to := spanOn(x.along, m.Shape)
		for _, edge := range [...]float64{a, b} {
			covered := slices.ContainsFunc(laid[i+1:], func(o settingout.Piece) bool {
				c, d := spanOn(x.across, o.Shape)
				f, t := spanOn(x.along, o.Shape)
				return edge > c+sameM && edge < d-sameM && min(t, to)-max(f, from) > 0.5*(to-from)
			})
			if !covered || s.MM(lapMM/1000) >= readMM {
				marks[edge] = true
			}
		}
	}
	// A slanting one may be clear on the other side.
	return s.measure(x.across, x.along.Scale(-1), ground, marks, "") || s.measure(x.across, x.along, ground, marks, "")
}

// firringCentres measures the centre lines of firrings that run alike.
func (s *Sheet) firringCentres(firrings []runoff.Firring, outline plane.Ring) {
	if len(firrings) == 0 {
		return
	}
	x := axesOf(firrings[0].To.Sub(firrings[0].From))
	ground := outline.Chords(chordM)
	low, high := spanOn(x.across, ground)
	marks := map[float64]bool{low: true, high: true}
	for _, f := range firrings {
		if u := f.To.Sub(f.From).Unit(); math.Abs(u.Dot(x.across)) < 1e-3 {
			marks[math.Round(f.From.Dot(x.across)*1000)/1000] = true
		}
	}
	s.measure(x.across, x.along.Scale(-1), ground, marks, "")
}

// stations sorts marks measured from zero, those closer than a gap left out.
func stations(marks map[float64]bool, from float64) []float64 {
	var out []float64
	for m := range marks {
		out = append(out, m-from)
	}
	slices.Sort(out)
	kept := out[:0]
	for _, v := range out {
		if len(kept) == 0 || v-kept[len(kept)-1] > 0.03 {
			kept = append(kept, v)
		}
	}
	return kept
}
