package proof

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// Fault is one way in which a set-out does not hold.
type Fault struct {
	// Code is lasting: "boards.cover", "mat.lap".
	Code string `json:"code"`
	// Where names pieces or a place.
	Where string `json:"where"`
	Text  string `json:"text"`
}

// String is the fault on one line.
func (f Fault) String() string { return f.Code + ": " + f.Where + ": " + f.Text }

// checker gathers faults, at most a few of each code.
type checker struct {
	ctx    context.Context
	deck   roof.Deck
	spec   roof.Spec
	plan   settingout.SetOut
	given  settingout.Given
	ground ground
	// fields is the ground less the strips along movement joints: what mat covers.
	fields ground
	faults []Fault
	counts map[string]int
	// samples are points spread over the open deck.
	samples []plane.Point
}

const fewOfEach = 5

func (c *checker) fault(code, where, format string, args ...any) {
	if c.counts[code]++; c.counts[code] <= fewOfEach {
		c.faults = append(c.faults, Fault{code, where, fmt.Sprintf(format, args...)})
	}
}

// Check returns the faults of a set-out from the usual stock; none when it holds.
func Check(d roof.Deck, spec roof.Spec, s settingout.SetOut) []Fault {
	return CheckFrom(d, spec, settingout.Given{}, s)
}

// CheckFrom returns the faults of a set-out from the stock given; none when it holds.
func CheckFrom(d roof.Deck, spec roof.Spec, given settingout.Given, s settingout.SetOut) []Fault {
	faults, _ := CheckUntil(context.Background(), d, spec, given, s) // what is never stopped has no error
	return faults
}

// CheckUntil is CheckFrom until the context is done, which is the only error.
func CheckUntil(ctx context.Context, d roof.Deck, spec roof.Spec, given settingout.Given, s settingout.SetOut) ([]Fault, error) {
	c := &checker{ctx: ctx, deck: d, spec: spec, plan: s, given: given, counts: map[string]int{}}
	c.ground.outline = ringSides(d.Outline)
	for _, o := range d.Openings {
		c.ground.openings = append(c.ground.openings, ringSides(o.Outline))
	}
	c.partFields()
	c.spread()
	boards := c.of(settingout.Board)
	var joints []joint
	for _, part := range []func(){
		func() { c.boardCover(boards) },
		func() { joints = c.joints(boards) },
		func() { c.fourCorners(boards) },
		func() { c.bearings(joints) },
		func() { c.fixings(boards) },
		c.noggins,
		func() { c.stagger(joints) },
		func() { c.bandaged(joints) },
		c.bandageOnDeck,
		func() { c.trims(joints) },
		c.mat,
		func() { c.movement(boards) },
		c.stock,
	} {
		if c.stopped() {
			break
		}
		part()
	}
	return c.faults, ctx.Err()
}

// stopped reports whether nobody waits for the answer any more: every long loop asks.
func (c *checker) stopped() bool { return c.ctx.Err() != nil }

func (c *checker) of(kind settingout.Kind) []shape {
	var out []shape
	for _, p := range c.plan.Pieces {
		if p.Kind == kind {
			out = append(out, shapeOf(p))
		}
	}
	return out
}

func place(p plane.Point) string { return fmt.Sprintf("(%.3f, %.3f)", p.X, p.Y) }

// boardCover: boards lie on the deck, do not overlap, and leave nothing open but
// gaps.
func (c *checker) boardCover(boards []shape) {
	gap := max(c.spec.Board.GapMM/1000, 0)
	reach := max(gap, c.spec.Board.WallGapMM/1000) + 0.002
	// In a corner between two walls the open spot is a gap's diagonal away.
	reach *= math.Sqrt2
	ix := indexOf(boards, reach)
	points := append(c.beside(boards, reach+0.003), c.beside(boards, -0.003)...)
	for _, p := range append(points, c.samples...) {
		if c.stopped() {
			return
		}
		covers, near := 0, math.Inf(1)
		for _, i := range ix.at(p) {
			if contains(boards[i].sides, p) {
				covers++
				near = 0
				continue
			}
			for _, s := range boards[i].sides {
				near = min(near, s.distance(p))
			}
		}
		if covers > 1 {
			c.fault("boards.overlap", place(p), "%d boards lie here", covers)
		}
		if near > reach && !c.inTip(p) {
			c.fault("boards.cover", place(p), "no board within %.0f mm", reach*1000)
		}
	}
	c.boardSizes(boards)
}

// boardSizes checks that every board lies on the deck and is neither more than a board
// nor less than the least piece.
func (c *checker) boardSizes(boards []shape) {
	for _, b := range boards {
		for _, s := range b.sides {
			m := s.middle()
			if on, _ := c.ground.open(m); !on && c.ground.toBoundary(m) > 0.003 {
				c.fault("boards.outside", b.piece.Number, "reaches %.0f mm off the deck", c.ground.toBoundary(m)*1000)
			}
		}
		if b.piece.LengthMM > int(math.Round(c.spec.Board.LengthM*1000)) || b.piece.WidthMM > int(math.Round(c.spec.Board.WidthM*1000)) {
			c.fault("boards.size", b.piece.Number, "%d by %d mm is more than a board", b.piece.LengthMM, b.piece.WidthMM)
		}
		if long := float64(b.piece.LengthMM)/1000 + 0.001; long < c.spec.Board.MinPieceM && !c.narrowHere(b) && !c.told("board.short-piece") {
			c.fault("boards.short", b.piece.Number, "%d mm is under the least piece of %.2f m", b.piece.LengthMM, c.spec.Board.MinPieceM)
		}
		if p := b.piece; p.WidthMM < leastStripMM && p.AreaM2 > float64(p.LengthMM-2)*float64(p.WidthMM-2)/1e6 && !c.told("board.narrow") {
			c.fault("boards.narrow", p.Number, "a strip %d mm wide is under the least of %d mm", p.WidthMM, leastStripMM)
		}
		c.rectangle(b)
	}
}

// leastStripMM is the narrowest strip of board that may be laid without saying so; a millimetre is
// for rounding.
const leastStripMM = 299

// inTip: p lies in a sharp corner of the deck between two wall gaps, where no board
// reaches: a gap g wide leaves g/sin(half the angle) of the tip open.
func (c *checker) inTip(p plane.Point) bool {
	o := c.deck.Outline
	for i := range o {
		n := len(o)
		in, out := o.Edge((i+n-1)%n).Tangent(1), o.Edge(i).Tangent(0)
		half := (math.Pi - math.Atan2(in.Cross(out), in.Dot(out))) / 2
		if half < math.Pi/4 && half > 0.01 && p.Distance(o[i].Point) <= c.spec.Board.WallGapMM/1000/math.Sin(half)+0.004 {
			return true
		}
	}
	return false
}

// told: the plan itself says so.
func (c *checker) told(code string) bool {
	for _, f := range c.plan.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// narrowHere: the deck itself is no longer here than the piece, both ends at its boundary.
func (c *checker) narrowHere(b shape) bool {
	ends := 0
	for _, s := range b.sides {
		if math.Abs(s.b.Sub(s.a).Unit().Dot(b.piece.Along)) < 0.999 && c.ground.toBoundary(s.middle()) < 0.02 {
			ends++
		}
	}
	return ends >= 2
}

// rectangle: the shape lies within the rectangle it is cut from.
func (c *checker) rectangle(b shape) {
	p := b.piece
	left := p.Along.Left()
	for _, s := range b.sides {
		d := s.a.Sub(p.Corner)
		x, y := d.Dot(p.Along), d.Dot(left)
		if x < -0.0015 || y < -0.0015 || x > float64(p.LengthMM)/1000+0.0015 || y > float64(p.WidthMM)/1000+0.0015 {
			c.fault("piece.rectangle", p.Number, "its shape leaves the %d by %d mm it is cut from by (%.1f, %.1f) mm", p.LengthMM, p.WidthMM,
				x*1000, y*1000)
			return
		}
	}
}

// joint is where the sides of two boards face each other.
type joint struct {
	a, b int
	seg  segment
	// end is true for the short ends of boards.
	end bool
}

// joints finds facing sides anew from the shapes.
func (c *checker) joints(boards []shape) []joint {
	gap := max(c.spec.Board.GapMM/1000, 0)
	ix := indexOf(boards, gap+0.005)
	var out []joint
	for i, b := range boards {
		if c.stopped() {
			break
		}
		near := map[int]bool{}
		var list []int
		for x := int(math.Floor(b.low.X)); x <= int(math.Floor(b.high.X)); x++ {
			for y := int(math.Floor(b.low.Y)); y <= int(math.Floor(b.high.Y)); y++ {
				for _, k := range ix[[2]int{x, y}] {
					if k > i && !near[k] {
						near[k] = true
						list = append(list, k)
					}
				}
			}
		}
		sort.Ints(list)
		for _, k := range list {
			out = append(out, facing(i, k, boards, gap)...)
		}
	}
	return out
}

func facing(i, k int, boards []shape, gap float64) []joint {
	a, b := boards[i], boards[k]
	if a.low.X > b.high.X+gap+0.002 || b.low.X > a.high.X+gap+0.002 || a.low.Y > b.high.Y+gap+0.002 || b.low.Y > a.high.Y+gap+0.002 {
		return nil
	}
	var out []joint
	for _, s := range a.sides {
		d := s.b.Sub(s.a).Unit()
		n := d.Left()
		for _, t := range b.sides {
			if t.b.Sub(t.a).Unit().Dot(d) > -0.99999 {
				continue
			}
			off := n.Dot(t.a.Sub(s.a))
			if math.Abs(off) > gap+0.0015 {
				continue
			}
			lo, hi := max(0, d.Dot(t.b.Sub(s.a))), min(s.length(), d.Dot(t.a.Sub(s.a)))
			if hi-lo < 0.02 {
				continue
			}
			mid := n.Scale(off / 2)
			out = append(out, joint{i, k, segment{s.a.Add(d.Scale(lo)).Add(mid), s.a.Add(d.Scale(hi)).Add(mid)},
				math.Abs(d.Dot(a.piece.Along)) < 0.01})
		}
	}
	return out
}

// fourCorners: nowhere do corners of four boards come together.
func (c *checker) fourCorners(boards []shape) {
	reach := 2*max(c.spec.Board.GapMM/1000, 0) + 0.004
	cells := map[[2]int]map[int]plane.Point{}
	size := 0.05
	for i, b := range boards {
		for _, s := range b.sides {
			x, y := int(math.Floor(s.a.X/size)), int(math.Floor(s.a.Y/size))
			for dx := -1; dx <= 1; dx++ {
				for dy := -1; dy <= 1; dy++ {
					k := [2]int{x + dx, y + dy}
					if cells[k] == nil {
						cells[k] = map[int]plane.Point{}
					}
					cells[k][i] = s.a
				}
			}
		}
	}
	for i, b := range boards {
		for _, s := range b.sides {
			k := [2]int{int(math.Floor(s.a.X / size)), int(math.Floor(s.a.Y / size))}
			near := 0
			for j := range cells[k] {
				if c.beyondJoint(s.a, boards[i], boards[j]) {
					continue
				}
				for _, t := range boards[j].sides {
					if t.a.Distance(s.a) <= reach {
						near++
						break
					}
				}
			}
			if near >= 4 && !foldsCross(c.deck, s.a) {
				c.fault("boards.four-corners", boards[i].piece.Number+" "+place(s.a), "%d boards' corners meet", near)
			}
		}
	}
}

// foldsCross: two fold lines meet here, where four bays' corners must.
func foldsCross(d roof.Deck, p plane.Point) bool {
	n := 0
	for _, l := range append([][2]plane.Point{d.Falls.Line}, d.MovementJoints...) {
		if l[0] != l[1] && (segment{l[0], l[1]}).distance(p) < 0.01 {
			n++
		}
	}
	return n >= 2 && onTwoWays(d, p)
}

// onTwoWays: the fold lines through p do not all run the same way.
func onTwoWays(d roof.Deck, p plane.Point) bool {
	var first plane.Point
	for _, l := range append([][2]plane.Point{d.Falls.Line}, d.MovementJoints...) {
		if l[0] == l[1] || (segment{l[0], l[1]}).distance(p) >= 0.01 {
			continue
		}
		way := l[1].Sub(l[0]).Unit()
		if first == (plane.Point{}) {
			first = way
		} else if math.Abs(first.Cross(way)) > 0.02 {
			return true
		}
	}
	return false
}

// lineOfJoists: across direction, first centre and spacing, worked out from the survey.
func (c *checker) lineOfJoists() (across plane.Point, first, spacing, width float64, ok bool) {
	b := c.deck.Base
	if b.Kind != "joists" || b.JoistSpacingMM <= 0 {
		return
	}
	sin, cos := math.Sincos(b.JoistBearingDeg * math.Pi / 180)
	across = plane.Point{X: -sin, Y: cos}
	if across.X < -1e-9 || (math.Abs(across.X) <= 1e-9 && across.Y < 0) {
		across = across.Scale(-1)
	}
	low := math.Inf(1)
	for _, s := range c.ground.outline {
		low = min(low, across.Dot(s.a))
	}
	width = b.JoistWidthMM / 1000
	if width <= 0 {
		width = 0.047
	}
	return across, low + b.JoistOffsetMM/1000, b.JoistSpacingMM / 1000, width, true
}

// bearings: board ends stand on joists, each with 17 mm or more of timber under it.
func (c *checker) bearings(joints []joint) {
	across, first, spacing, width, ok := c.lineOfJoists()
	if !ok || c.allowed("board.direction") || c.allowed("board.unsupported") {
		return
	}
	gap := max(c.spec.Board.GapMM/1000, 0)
	for _, j := range joints {
		d := j.seg.b.Sub(j.seg.a).Unit()
		if math.Abs(d.Dot(across)) > 0.01 || !j.end {
			continue
		}
		x := across.Dot(j.seg.middle())
		off := math.Abs(math.Remainder(x-first, spacing))
		if onFold(c.deck, j.seg) {
			continue
		}
		if bearing := width/2 - off - gap/2; bearing < 0.017 && bearing < width/2-gap/2-0.0015 {
			c.fault("boards.bearing", place(j.seg.middle()), "a joint has %.0f mm of bearing", bearing*1000)
		}
	}
}

// onFold: the joint lies on ridge, hip or valley.
func onFold(d roof.Deck, s segment) bool {
	l := d.Falls.Line
	if l[0] == l[1] {
		return false
	}
	n := l[1].Sub(l[0]).Unit().Left()
	return math.Abs(n.Dot(s.a.Sub(l[0]))) < 0.006 && math.Abs(n.Dot(s.b.Sub(l[0]))) < 0.006
}

// allowed: the plan itself declares the exception.
func (c *checker) allowed(code string) bool {
	for _, f := range c.plan.Findings {
		if f.Code == code {
			return true
		}
	}
	return false
}

// stagger: end joints of boards that touch across a long edge keep their distance.
func (c *checker) stagger(joints []joint) {
	if c.allowed("board.stagger") || c.allowed("board.short-piece") || c.allowed("board.unsupported") {
		return
	}
	// Joints may shift a few millimetres on their joists.
	want := min(c.spec.Board.StaggerM, c.spec.Board.LengthM/2) - 0.012
	var ends []joint
	for _, j := range joints {
		if j.end && !onFold(c.deck, j.seg) {
			ends = append(ends, j)
		}
	}
	for i, a := range ends {
		if c.stopped() {
			return
		}
		da := a.seg.b.Sub(a.seg.a).Unit()
		for _, b := range ends[i+1:] {
			if math.Abs(da.Cross(b.seg.b.Sub(b.seg.a).Unit())) > 0.01 {
				continue
			}
			side := math.Abs(da.Cross(b.seg.a.Sub(a.seg.a)))
			if side < 0.004 && !meets(a.seg, b.seg, 0.02) {
				continue
			}
			if side < want && meetsAlong(da, a.seg, b.seg) {
				c.fault("boards.stagger", place(a.seg.middle())+" and "+place(b.seg.middle()), "end joints %.0f mm apart in neighbouring rows",
					side*1000)
			}
		}
	}
}

// meetsAlong: one ends where the other begins, seen along d.
func meetsAlong(d plane.Point, a, b segment) bool {
	a0, a1 := order(d.Dot(a.a), d.Dot(a.b))
	b0, b1 := order(d.Dot(b.a), d.Dot(b.b))
	return math.Abs(a1-b0) < 0.02 || math.Abs(b1-a0) < 0.02
}

func meets(a, b segment, reach float64) bool {
	return a.a.Distance(b.a) < reach || a.a.Distance(b.b) < reach || a.b.Distance(b.a) < reach || a.b.Distance(b.b) < reach
}

func order(a, b float64) (float64, float64) { return min(a, b), max(a, b) }

// bandaged: every joint but glued tongue and groove lies under bandage.
func (c *checker) bandaged(joints []joint) {
	strips := c.of(settingout.Bandage)
	ix := indexOf(strips, 0)
	for _, j := range joints {
		if !j.end && c.spec.Board.TongueAndGroove && !onFold(c.deck, j.seg) {
			continue
		}
		for _, t := range []float64{0.25, 0.5, 0.75} {
			p := j.seg.a.Add(j.seg.b.Sub(j.seg.a).Scale(t))
			under := false
			for _, i := range ix.at(p) {
				under = under || contains(strips[i].sides, p)
			}
			if !under {
				c.fault("bandage.joint", place(p), "a board joint is not bandaged")
			}
		}
	}
}
