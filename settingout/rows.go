package settingout

import (
	"math"
	"slices"

	"gelwright/plane"
)

// saw and bearing constants. Sources: board laying facts of NSAI Agrément
// certificate 02/0093 for the bearing; the rest is common practice.
const (
	// leastBearingM is how much of a board's end must lie on a joist, m.
	leastBearingM = 0.020
	// leastRipM is the narrowest strip of board that is laid, m.
	leastRipM = 0.300
	// usualJoistM is taken where the survey gives no joist width.
	usualJoistM = 0.047
)

// boardRules are the lengths that govern boards, m.
type boardRules struct {
	length, width, gap, pitch, least, stagger float64
	kerf                                      int // mm
	glued                                     bool
}

// grid is where end joints may be: within play of a bearing's centre, or
// anywhere when the boards lie on a deck.
type grid struct {
	free           bool
	first, spacing float64
	play, width    float64
}

// below returns the greatest allowed joint position not above x.
func (g grid) below(x float64) float64 {
	if g.free {
		return x
	}
	k := math.Floor((x - g.first + g.play + 1e-9) / g.spacing)
	return min(x, g.first+k*g.spacing+g.play)
}

// step returns the greatest allowed position clearly below the bearing x stands on.
func (g grid) step(x float64) float64 {
	if g.free {
		return x - 0.05
	}
	k := math.Round((x - g.first) / g.spacing)
	return g.first + (k-1)*g.spacing + g.play
}

// countWithin is how many bearings' centres lie between two positions.
func (g grid) countWithin(a, b float64) int {
	if g.free || !(g.spacing > 0) {
		return 0
	}
	n := 0
	for k := math.Ceil((a - g.first - 1e-9) / g.spacing); g.first+k*g.spacing <= b+1e-9; k++ {
		n++
	}
	return n
}

// within lists the bearings' centres between two positions.
func (g grid) within(a, b float64) []float64 {
	if g.free || !(g.spacing > 0) {
		return nil
	}
	var out []float64
	for k := math.Ceil((a - g.first - 1e-9) / g.spacing); ; k++ {
		x := g.first + k*g.spacing
		if x > b+1e-9 {
			return out
		}
		out = append(out, x)
	}
}

// run is one connected stretch of a row.
type run struct {
	shape plane.Region
	a, b  float64 // extent along the row
	low   float64 // extent across
	high  float64
	plain bool // a plain rectangle
	// even are the stretches on which a run that is none fills the row from low to high.
	even   [][2]float64
	joints []float64
}

// row is one course of boards.
type row struct {
	bay    int
	v0, v1 float64
	runs   []run
}

// sheet is one piece of board in local coordinates.
type sheet struct {
	shape    plane.Polygon
	low      plane.Point
	high     plane.Point
	row, run int
	// plain sheets fill the rectangle from low to high; their shape may be left out.
	plain bool
}

// area of the sheet, m².
func (s *sheet) area() float64 {
	if s.plain {
		return (s.high.X - s.low.X) * (s.high.Y - s.low.Y)
	}
	return s.shape.Area()
}

// narrow reports whether a sheet is a strip too narrow to lay; a tip that the deck's own shape
// makes is none.
func (s *sheet) narrow() bool {
	high := s.high.Y - s.low.Y
	return high < leastRipM-1e-6 && (s.high.X-s.low.X)*high-s.area() < 1e-5
}

// rowsOf cuts the bays into courses. origin gives each bay's lattice.
func rowsOf(bays []bay, origin []float64, r boardRules) []row {
	var rows []row
	for i, b := range bays {
		low, high := b.region.Bounds()
		first := math.Floor((low.Y - origin[i] + 1e-6) / r.pitch)
		for k := first; ; k++ {
			v0 := origin[i] + k*r.pitch
			if v0 >= high.Y-1e-6 {
				break
			}
			if w := rowAt(i, b, v0, v0+r.width); len(w.runs) > 0 {
				rows = append(rows, w)
			}
		}
	}
	return rows
}

// rowAt cuts one course out of a bay.
func rowAt(i int, b bay, v0, v1 float64) row {
	w := row{bay: i, v0: v0, v1: v1}
	for _, p := range b.region.Band(1, v0, v1).Parts() {
		reg := p.Region()
		lo, hi := reg.Bounds()
		if hi.Y-lo.Y < 0.002 || hi.X-lo.X < 0.002 {
			continue
		}
		box := (hi.X - lo.X) * (hi.Y - lo.Y)
		u := run{shape: reg, a: lo.X, b: hi.X, low: lo.Y, high: hi.Y, plain: math.Abs(box-reg.Area()) < 1e-6}
		if !u.plain {
			u.even = evenOf(&u)
		}
		w.runs = append(w.runs, u)
	}
	return w
}

// evenOf lists the stretches between corners on which a run fills the row, joined.
func evenOf(u *run) [][2]float64 {
	var xs []float64
	for _, l := range u.shape {
		for _, p := range l {
			xs = append(xs, p.X)
		}
	}
	slices.Sort(xs)
	fills := func(x float64) bool {
		c := chordsAt(u.shape, x)
		return len(c) == 1 && c[0][0] < u.low+1e-9 && c[0][1] > u.high-1e-9
	}
	var out [][2]float64
	for n := 0; n+1 < len(xs); n++ {
		const in = 1e-6
		if xs[n+1]-xs[n] < 3*in || !fills(xs[n]+in) || !fills(xs[n+1]-in) {
			continue
		}
		if k := len(out); k > 0 && xs[n]-out[k-1][1] < 3*in && fills(xs[n]) {
			out[k-1][1] = xs[n+1]
			continue
		}
		out = append(out, [2]float64{xs[n], xs[n+1]})
	}
	return out
}

// evenAt reports whether a run fills the row between two places.
func (u *run) evenAt(x0, x1 float64) bool {
	if u.plain {
		return true
	}
	for _, e := range u.even {
		if x0 >= e[0] && x1 <= e[1] {
			return true
		}
	}
	return false
}

// broken counts the rules a laying could not keep.
type broken struct{ stagger, short, unsupported, inLine, narrow int }

func (b broken) total() int { return b.stagger + b.short + b.unsupported + b.inLine + b.narrow }

// laying is how many of the rules broken are those of laying run by run.
func (b broken) laying() int { return b.stagger + b.short + b.unsupported }

// count adds the rules of laying that o broke, n times.
func (b *broken) count(o broken, n int) {
	b.stagger += n * o.stagger
	b.short += n * o.short
	b.unsupported += n * o.unsupported
}

// narrowRuns counts the rows' runs that are too narrow to lay: a ripping along a drip edge
// is where the trim is nailed.
func narrowRuns(rows []row) int {
	n := 0
	for _, w := range rows {
		for _, u := range w.runs {
			if u.high-u.low < leastRipM-1e-6 {
				n++
			}
		}
	}
	return n
}

// sheetsOf cuts the rows at their joints.
func sheetsOf(rows []row, r boardRules) []sheet {
	var out []sheet
	for i := range rows {
		for k := range rows[i].runs {
			u := &rows[i].runs[k]
			from := len(out)
			x0 := u.a
			for _, x := range u.joints {
				out = cutRun(out, u, x0, x-r.gap/2)
				x0 = x + r.gap/2
			}
			out = cutRun(out, u, x0, u.b)
			for n := range out[from:] {
				out[from+n].row, out[from+n].run = i, k
			}
		}
	}
	return out
}

// cutRun appends the sheets that a run is cut into between two places along it.
func cutRun(out []sheet, u *run, x0, x1 float64) []sheet {
	if u.evenAt(x0, x1) {
		lo, hi := plane.Point{X: x0, Y: u.low}, plane.Point{X: x1, Y: u.high}
		return append(out, sheet{plain: true, shape: plane.Polygon{Outer: plane.Loop{lo, {X: x1, Y: u.low}, hi, {X: x0, Y: u.high}}},
			low: lo, high: hi})
	}
	for _, p := range u.shape.Band(0, x0, x1).Parts() {
		lo, hi := p.Bounds()
		out = append(out, sheet{shape: p, low: lo, high: hi})
	}
	return out
}
