package settingout

import (
	"math"
	"slices"
	"sort"

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
	shape  plane.Region
	a, b   float64 // extent along the row
	low    float64 // extent across
	high   float64
	plain  bool // a plain rectangle
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
			w := row{bay: i, v0: v0, v1: v0 + r.width}
			for _, p := range b.region.Band(1, v0, v0+r.width).Parts() {
				reg := p.Region()
				lo, hi := reg.Bounds()
				if hi.Y-lo.Y < 0.002 || hi.X-lo.X < 0.002 {
					continue
				}
				box := (hi.X - lo.X) * (hi.Y - lo.Y)
				w.runs = append(w.runs, run{shape: reg, a: lo.X, b: hi.X, low: lo.Y, high: hi.Y, plain: math.Abs(box-reg.Area()) < 1e-6})
			}
			if len(w.runs) > 0 {
				rows = append(rows, w)
			}
		}
	}
	return rows
}

// firsts lists where the first joint of a run may be, farthest first.
func firsts(u run, g grid, r boardRules) []float64 {
	reach := u.a + r.length + r.gap/2
	var out []float64
	if g.free {
		rest := math.Mod(u.b-u.a, r.length+r.gap)
		for _, x := range []float64{r.length, rest, r.length / 2, r.length / 3, 2 * r.length / 3, (rest + r.length) / 2, r.length / 4, 3 * r.length / 4, r.length / 2 * 0.98, r.least} {
			if x >= r.least-1e-9 && x <= r.length+1e-9 {
				out = append(out, u.a+x+r.gap/2)
			}
		}
	} else {
		if full := g.below(reach); full-r.gap/2-u.a >= r.least-1e-9 {
			out = append(out, full)
		}
		centres := g.within(u.a, reach+g.play)
		for i := len(centres) - 1; i >= 0; i-- {
			x := centres[i] - g.play
			if x > reach || x-r.gap/2-u.a < r.least-1e-9 {
				continue
			}
			if len(out) == 0 || math.Abs(out[0]-x) > 2*g.play+1e-6 {
				out = append(out, x)
			}
		}
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(out)))
	return out
}

// clear reports whether a joint at x keeps the stagger to all taken joints.
func clear(x float64, taken []float64, stagger float64) bool {
	i := sort.SearchFloat64s(taken, x)
	if i < len(taken) && taken[i]-x < stagger {
		return false
	}
	return i == 0 || x-taken[i-1] >= stagger
}

// jointsFrom lays boards along a run with the first joint given, each as long as
// the stock and the rules allow. It reports false where no lawful laying follows.
//
// reach is the length boards are laid at, shorter than the stock where shorter
// pieces cut to less waste.
func jointsFrom(first float64, u run, g grid, r boardRules, taken []float64, stagger, reach float64) ([]float64, bool) {
	if !clear(first, taken, stagger) {
		return nil, false
	}
	joints := []float64{first}
	for x := first; u.b-x-r.gap/2 > r.length+1e-9; {
		next := g.below(x + reach + r.gap)
		for next-x > r.least && !clear(next, taken, stagger) {
			next = g.below(g.step(next))
		}
		if next-x-r.gap < r.least-1e-9 {
			return nil, false
		}
		joints = append(joints, next)
		x = next
	}
	// A last piece under the least length takes from the one before it.
	for n := len(joints); u.b-joints[n-1]-r.gap/2 < r.least-1e-9; {
		before := u.a
		if n > 1 {
			before = joints[n-2] + r.gap/2
		}
		next := g.below(g.step(joints[n-1]))
		for next-before > r.least && !clear(next, taken, stagger) {
			next = g.below(g.step(next))
		}
		if next-r.gap/2-before < r.least-1e-9 || u.b-next-r.gap/2 > r.length+1e-9 {
			return nil, false
		}
		joints[n-1] = next
	}
	// The last joint moves out on its bearing as far as its board reaches.
	if n := len(joints); n > 1 && !g.free {
		c := g.first + math.Round((joints[n-1]-g.first)/g.spacing)*g.spacing
		next := min(c+g.play, joints[n-2]+r.gap+r.length)
		if next > joints[n-1] && clear(next, taken, stagger) && u.b-next-r.gap/2 >= r.least {
			joints[n-1] = next
		}
	}
	return joints, true
}

// takenBy collects the joints of rows that touch row i and come before it.
func takenBy(rows []row, i int) []float64 {
	var out []float64
	w := rows[i]
	for k := i - 1; k >= 0; k-- {
		o := rows[k]
		touch := o.v0 < w.v1+0.03 && w.v0 < o.v1+0.03
		if !touch {
			if o.bay == w.bay {
				// Rows of a bay come in order: nothing farther back in it touches.
				for k > 0 && rows[k-1].bay == w.bay {
					k--
				}
			}
			continue
		}
		for _, u := range o.runs {
			out = append(out, u.joints...)
		}
	}
	sort.Float64s(out)
	return out
}

// lay sets the joints of all rows, row k trying its firsts from style[k mod n] on.
// It returns how many runs could not keep every rule.
func lay(rows []row, g grid, r boardRules, style []int, tally *broken) {
	for i := range rows {
		taken := takenBy(rows, i)
		for k := range rows[i].runs {
			u := &rows[i].runs[k]
			u.joints = nil
			if u.b-u.a <= r.length+1e-9 {
				if u.b-u.a < r.least-1e-9 && u.plain {
					tally.short++
				}
				continue
			}
			u.joints = bestJoints(*u, g, r, taken, style[i%len(style)], tally)
		}
	}
}

// phases is how many first joints a style counts through before it turns to
// shorter boards: style s starts from first joint s mod phases and lays boards
// s/phases bearings shorter than the stock.
const phases = 8

// shorts is how many such shortenings are tried.
const shorts = 4

// broken counts the rules a laying could not keep.
type broken struct{ stagger, short, unsupported, inLine, narrow int }

func (b broken) total() int { return b.stagger + b.short + b.unsupported + b.inLine + b.narrow }

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

// bestJoints tries the run's first joints in turn from the style's own one; when
// none is lawful it gives up stagger a quarter at a time, then the least piece.
func bestJoints(u run, g grid, r boardRules, taken []float64, style int, tally *broken) []float64 {
	starts := firsts(u, g, r)
	want := max(r.stagger-2*g.play, 0)
	reach := r.length
	if short := style / phases; short > 0 {
		if g.free {
			reach = r.length * (1 - 0.15*float64(short))
		} else {
			reach = max(r.length-float64(short)*g.spacing, r.length/2)
		}
	}
	for _, share := range []float64{1, 0.75, 0.5, 0.25} {
		for j := range starts {
			if joints, ok := jointsFrom(starts[(style%phases+j)%len(starts)], u, g, r, taken, want*share, reach); ok {
				if share < 1 {
					tally.stagger++
				}
				return joints
			}
		}
	}
	loose := r
	loose.least = 0.1
	tally.short++
	for _, stagger := range []float64{want, 0.05, 0} {
		for _, x := range firsts(u, g, loose) {
			if joints, ok := jointsFrom(x, u, g, loose, taken, stagger, r.length); ok {
				return joints
			}
		}
	}
	// Nothing lies on a bearing: joints at equal lengths, noggins under them.
	tally.unsupported++
	n := math.Ceil((u.b - u.a + r.gap) / (r.length + r.gap))
	var joints []float64
	for k := 1.0; k < n; k++ {
		joints = append(joints, u.a+(u.b-u.a)*k/n)
	}
	return joints
}

// sheetsOf cuts the rows at their joints. A row whose joints are those of the same
// row in before is not cut again; before may be nil.
func sheetsOf(rows []row, r boardRules, before *cutRows) cutRows {
	out := cutRows{joints: make([][]float64, len(rows)), sheets: make([][]sheet, len(rows))}
	for i, w := range rows {
		for _, u := range w.runs {
			out.joints[i] = append(append(out.joints[i], u.joints...), u.b)
		}
		if before != nil && slices.Equal(before.joints[i], out.joints[i]) {
			out.sheets[i] = before.sheets[i]
			continue
		}
		out.sheets[i] = cutRow(w, i, r)
	}
	return out
}

// cutRows holds the sheets of each row, and the joints they were cut at.
type cutRows struct {
	joints [][]float64
	sheets [][]sheet
}

func cutRow(w row, i int, r boardRules) []sheet {
	var out []sheet
	for k, u := range w.runs {
		x0 := u.a
		for j := 0; j <= len(u.joints); j++ {
			x1 := u.b
			if j < len(u.joints) {
				x1 = u.joints[j] - r.gap/2
			}
			if u.plain {
				lo, hi := plane.Point{X: x0, Y: u.low}, plane.Point{X: x1, Y: u.high}
				out = append(out, sheet{plane.Polygon{Outer: plane.Loop{lo, {X: x1, Y: u.low}, hi, {X: x0, Y: u.high}}}, lo, hi, i, k})
			} else {
				for _, p := range u.shape.Band(0, x0, x1).Parts() {
					lo, hi := p.Bounds()
					out = append(out, sheet{p, lo, hi, i, k})
				}
			}
			if j < len(u.joints) {
				x0 = u.joints[j] + r.gap/2
			}
		}
	}
	return out
}
