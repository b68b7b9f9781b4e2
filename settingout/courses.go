package settingout

import (
	"math"
	"slices"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// courses are the rows of boards of one frame and offset with all that the ways to lay
// them share: where first joints may be, the layings of each run met so far, and what
// the boards of each come to. A way to lay all of them is then a list of numbers, and
// weighing it takes additions and one quick packing.
type courses struct {
	r          boardRules
	g          grid
	spec       roof.Board
	rows       []row
	folds      []fold
	middle     plane.Point // the deck's centre of area
	full, wide int         // a board, mm
	lanes      []lane
	first      []int32 // the first lane of each row; one more than there are rows
	narrow     int     // runs too narrow to lay
	short      int     // whole runs under the least piece
	print      float64 // of the rows, whatever their joints
	ripM       float64 // of board ripped along drips
	moves      moves
	packer     *packer
	// What follows is scratch.
	joiner  joiner
	key     []int32
	ends    [2][]float64
	sizes   []uint64
	changed []bool
	plain   [1]sheet
	sheets  []sheet
	cuts    [][2]float64
	lengths []float64
	reached []foldEnd
	// Rooms out of which what layings keep is cut.
	sizeRoom   room[uint64]
	lengthRoom room[float64]
	endRoom    room[foldEnd]
}

// lane is a run of a row with the layings found for it.
type lane struct {
	row int
	run *run
	// whole runs are no longer than a board; jointed ones may be parted.
	jointed, whole bool
	starts         []float64
	// near are the lanes of rows before whose joints may come too close to this one's.
	near    []int32
	layings []laying
	spans   [][2]float64 // the stretches of the run cut so far, and what they come to
	cut     []content
}

// laying is one set of joints of a run, and what it comes to.
type laying struct {
	joints []float64
	content
	// crossed are the lengths of the joints, m, in order.
	crossed []float64
	// ends are where the joints reach the folds.
	ends []foldEnd
}

// content is what sheets come to.
type content struct {
	sizes  []uint64 // of their blanks, see sizeOf
	areaMM int      // of the blanks, mm²
	alone  int      // blanks of which no two share a board
	narrow int      // strips too narrow to lay, in a run that is wide enough
	cuts   int
	fixed  int
	laidM2 float64
	print  float64
}

// foldEnd is where a joint reaches a fold from one of its sides.
type foldEnd struct {
	fold, side int
	t          float64
}

// sizeOf packs a blank's length and width, mm, into one number that sorts as they do.
func sizeOf(b blank) uint64 { return uint64(b.length)<<32 | uint64(b.width) }

// touchM is how far apart rows lie at most whose joints keep the stagger, m.
const touchM = 0.03

// newCourses prepares the rows of a boarding. The room that old took up is used again:
// old must not be used any more, and may be nil.
func newCourses(b *boarding, r boardRules, p *packer, old *courses) *courses {
	rows := b.rows
	c := &courses{r: r, g: b.g, spec: b.spec, rows: rows, folds: b.folds, full: upMM(r.length), wide: upMM(r.width), packer: p}
	c.middle, c.narrow, c.joiner = centroid(b.bays), narrowRuns(rows), joiner{g: b.g, r: r}
	if old != nil {
		c.moves.reuse(&old.moves)
		c.joiner.taken, c.joiner.joints, c.key, c.ends, c.sizes = old.joiner.taken, old.joiner.joints, old.key, old.ends, old.sizes
	}
	n := 0
	for i := range rows {
		n += len(rows[i].runs)
	}
	c.lanes = make([]lane, 0, n)
	c.first = make([]int32, 0, len(rows)+1)
	for i := range rows {
		c.first = append(c.first, int32(len(c.lanes)))
		for k := range rows[i].runs {
			c.addLane(i, &rows[i].runs[k])
		}
	}
	c.first = append(c.first, int32(len(c.lanes)))
	c.changed = make([]bool, len(c.lanes))
	return c
}

func (c *courses) addLane(row int, u *run) {
	l := lane{row: row, run: u, whole: u.b-u.a <= c.r.length+1e-9}
	l.jointed = !l.whole || u.b-u.a > 2*c.r.least+c.r.gap
	c.print += 100 * (u.b - u.a) * c.across(u)
	if l.jointed {
		l.starts = firsts(u, c.g, c.r)
		if l.whole {
			// Laid whole, or parted where offcuts come in useful.
			l.starts = slices.DeleteFunc(l.starts, func(x float64) bool { return u.b-x-c.r.gap/2 < c.r.least-1e-9 })
			l.starts = append([]float64{u.b}, l.starts...)
		}
		l.near = c.nearOf(row, u)
	} else if u.b-u.a < c.r.least-1e-9 && u.plain {
		c.short++
	}
	c.lanes = append(c.lanes, l)
	if !l.jointed {
		c.layingOf(&c.lanes[len(c.lanes)-1], nil)
	}
}

// across is how far a run lies from the deck's middle, m.
func (c *courses) across(u *run) float64 { return math.Abs((u.low+u.high)/2 - c.middle.Y) }

// nearOf lists the lanes of earlier rows beside a run of row i whose joints may come
// closer to its own than the stagger.
func (c *courses) nearOf(i int, u *run) []int32 {
	var out []int32
	w := &c.rows[i]
	apart := c.r.stagger + 0.1
	for k := i - 1; k >= 0; k-- {
		o := &c.rows[k]
		if o.v0 >= w.v1+touchM || w.v0 >= o.v1+touchM {
			if o.bay == w.bay {
				// Rows of a bay come in order: nothing farther back in it touches.
				for k > 0 && c.rows[k-1].bay == w.bay {
					k--
				}
			}
			continue
		}
		for n := c.first[k]; n < c.first[k+1]; n++ {
			if l := &c.lanes[n]; l.jointed && l.run.a < u.b+apart && u.a < l.run.b+apart {
				out = append(out, n)
			}
		}
	}
	return out
}

// way is one way to lay the courses: how each lane came to its joints, an index of the
// moves, and the rules broken on the way.
type way struct {
	at     []int32
	broken broken
}

// noMove stands for a lane without joints.
const noMove = -1

// laying is the way's laying of a lane.
func (c *courses) laying(w *way, lane int) *laying {
	return &c.lanes[lane].layings[c.layingAt(w, int32(lane))]
}

func (c *courses) layingAt(w *way, lane int32) int32 {
	if m := w.at[lane]; m != noMove {
		return c.moves.list[m].laying
	}
	return 0
}

// lay lays every row, row k in style[k mod n], into w.
func (c *courses) lay(style []int, w *way) {
	w.at = slices.Grow(w.at[:0], len(c.lanes))[:len(c.lanes)]
	w.broken = broken{short: c.short}
	for i := range c.lanes {
		w.at[i] = noMove
		if l := &c.lanes[i]; l.jointed {
			own := style[l.row%len(style)]
			if l.whole {
				own = 0
			}
			w.at[i] = c.move(int32(i), own, w)
			w.broken.count(c.moves.list[w.at[i]].broken.whole(), 1)
		}
	}
}

// relay lays lane i of a way in another style, and the rows after it that this touches,
// into w. It reports whether any joint moved.
func (c *courses) relay(from *way, style []int, i, s int, w *way) bool {
	w.at = append(w.at[:0], from.at...)
	w.broken = from.broken
	clear(c.changed)
	moved := false
	for n := i; n < len(c.lanes); n++ {
		l := &c.lanes[n]
		if !l.jointed {
			continue
		}
		own := style[n]
		if n == i {
			own = s
		} else if !slices.ContainsFunc(l.near, func(o int32) bool { return c.changed[o] }) {
			continue
		}
		before := &c.moves.list[from.at[n]]
		was, tally := before.laying, before.broken
		w.at[n] = c.move(int32(n), own, w)
		after := &c.moves.list[w.at[n]]
		w.broken.count(tally.whole(), -1)
		w.broken.count(after.broken.whole(), 1)
		if after.laying != was {
			c.changed[n], moved = true, true
		}
	}
	return moved
}

// move returns how a lane is laid in a style beside the lanes laid before it.
func (c *courses) move(n int32, style int, w *way) int32 {
	l := &c.lanes[n]
	if len(l.starts) > 0 {
		style = style/phases*phases + style%phases%len(l.starts)
	}
	c.key = append(c.key[:0], n, int32(style))
	for _, o := range l.near {
		c.key = append(c.key, c.layingAt(w, o))
	}
	m, known := c.moves.find(c.key)
	if known {
		return m
	}
	j := &c.joiner
	j.run, j.taken = l.run, j.taken[:0]
	for _, o := range l.near {
		j.taken = append(j.taken, c.laying(w, int(o)).joints...)
	}
	sort.Float64s(j.taken)
	var broke broken
	j.best(l.starts, style, &broke)
	found := &c.moves.list[m]
	found.laying = c.layingOf(l, j.joints)
	found.broken = tally{int32(broke.stagger), int32(broke.short), int32(broke.unsupported)}
	return m
}

// layingOf finds a laying of a lane by its joints, or works it out.
func (c *courses) layingOf(l *lane, joints []float64) int32 {
	for i := range l.layings {
		if slices.Equal(l.layings[i].joints, joints) {
			return int32(i)
		}
	}
	y := laying{joints: c.lengthRoom.keep(joints)}
	u := l.run
	x0 := u.a
	c.sizes = c.sizes[:0]
	for _, x := range joints {
		c.add(&y, c.contentOf(l, x0, x-c.r.gap/2))
		x0 = x + c.r.gap/2
	}
	c.add(&y, c.contentOf(l, x0, u.b))
	y.sizes = c.sizeRoom.keep(c.sizes)
	across := c.across(u)
	c.lengths = c.lengths[:0]
	for _, x := range joints {
		y.print += 37 * math.Abs(x-c.middle.X) * (1 + across) * (u.high - u.low)
		if u.plain {
			c.lengths = append(c.lengths, u.high-u.low)
			continue
		}
		c.cuts = u.shape.AppendAlong(c.cuts[:0], plane.Point{Y: 1}, -x)
		for _, iv := range c.cuts {
			c.lengths = append(c.lengths, iv[1]-iv[0])
		}
	}
	y.crossed = c.lengthRoom.keep(c.lengths)
	if len(joints) > 0 {
		c.reached = c.reached[:0]
		for i := range c.folds {
			c.ends[0], c.ends[1] = c.ends[0][:0], c.ends[1][:0]
			c.folds[i].addEnds(u, joints, &c.ends)
			for side, ends := range c.ends {
				for _, t := range ends {
					c.reached = append(c.reached, foldEnd{i, side, t})
				}
			}
		}
		y.ends = c.endRoom.keep(c.reached)
	}
	l.layings = append(l.layings, y)
	return int32(len(l.layings) - 1)
}

// add adds what a stretch comes to; its blanks are gathered in c.sizes.
func (c *courses) add(y *laying, part *content) {
	c.sizes = append(c.sizes, part.sizes...)
	y.areaMM += part.areaMM
	y.alone += part.alone
	y.narrow += part.narrow
	y.cuts += part.cuts
	y.fixed += part.fixed
	y.laidM2 += part.laidM2
	y.print += part.print
}

// contentOf is what a run comes to between two places along it; it stands until the next is asked for.
func (c *courses) contentOf(l *lane, x0, x1 float64) *content {
	span := [2]float64{x0, x1}
	if i := slices.Index(l.spans, span); i >= 0 {
		return &l.cut[i]
	}
	var out content
	var room [8]uint64
	sizes := room[:0]
	var sheets []sheet
	if l.run.evenAt(x0, x1) {
		c.plain[0] = sheet{low: plane.Point{X: x0, Y: l.run.low}, high: plane.Point{X: x1, Y: l.run.high}, plain: true}
		sheets = c.plain[:]
	} else {
		c.sheets = cutRun(c.sheets[:0], l.run, x0, x1)
		sheets = c.sheets
	}
	for _, s := range sheets {
		k := blankOf(s, c.full, c.wide, 0)
		f := fixingsOf("", s, c.g, c.spec)
		sizes = append(sizes, sizeOf(k))
		out.areaMM += k.length * k.width
		if 2*k.length+c.r.kerf > c.full && 2*k.width+c.r.kerf > c.wide {
			out.alone++
		}
		if l.run.high-l.run.low >= leastRipM-1e-6 && s.narrow() {
			out.narrow++
		}
		out.cuts += cutsOf(s, k, c.full, c.wide)
		out.fixed += f.Edge + f.Field
		out.laidM2 += s.area()
		out.print += printOf(k)
	}
	out.sizes = c.sizeRoom.keep(sizes)
	l.spans, l.cut = append(l.spans, span), append(l.cut, out)
	return &l.cut[len(l.cut)-1]
}

// sheetsOn is how many sheets of board a way has.
func (c *courses) sheetsOn(w *way) int {
	n := 0
	for i := range c.lanes {
		n += len(c.laying(w, i).sizes)
	}
	return n
}

// weigh works out what a way comes to. With rival not nil it gives up, and reports
// false, as soon as the way cannot beat it.
func (c *courses) weigh(w *way, rival *score, beats func(s, rival *score) bool) (score, bool) {
	s := score{broken: w.broken}
	s.broken.narrow = c.narrow
	if rival != nil && s.broken.total() > rival.broken.total() {
		return s, false
	}
	for i := range c.lanes {
		s.broken.narrow += c.laying(w, i).narrow
	}
	s.broken.inLine = c.inLine(w)
	if rival != nil && s.broken.total() > rival.broken.total() {
		return s, false
	}
	s.print, s.ripM = c.print, c.ripM
	area, alone := 0, 0
	for i := range c.lanes {
		y := c.laying(w, i)
		area += y.areaMM
		alone += y.alone
		s.cuts += y.cuts
		s.fixed += y.fixed
		s.laidM2 += y.laidM2
		s.print += y.print
		for _, m := range y.crossed {
			s.jointM += m
		}
	}
	// No packing takes less than the area, nor less than a board for each blank that
	// shares one with none of its like.
	s.count, s.spare = max((area+c.full*c.wide-1)/(c.full*c.wide), alone), math.Inf(1)
	if rival != nil && !beats(&s, rival) {
		return s, false
	}
	c.sizes = c.sizes[:0]
	for i := range c.lanes {
		c.sizes = append(c.sizes, c.laying(w, i).sizes...)
	}
	s.count, s.spare = c.packer.pack(c.sizes)
	return s, true
}

// inLine counts the places where joints from both sides reach a fold together.
func (c *courses) inLine(w *way) int {
	count := 0
	for f := range c.folds {
		d := &c.folds[f]
		for side := range c.ends {
			c.ends[side] = append(c.ends[side][:0], d.rows[side]...)
		}
		for i := range c.lanes {
			for _, e := range c.laying(w, i).ends {
				if e.fold == f {
					c.ends[e.side] = append(c.ends[e.side], e.t)
				}
			}
		}
		count += together(c.ends)
	}
	return count
}

// laid returns the rows with the joints of a way.
func (c *courses) laid(w *way) []row {
	out := make([]row, len(c.rows))
	n := 0
	for i, r := range c.rows {
		out[i] = r
		out[i].runs = append([]run(nil), r.runs...)
		for k := range out[i].runs {
			if c.lanes[n].jointed {
				out[i].runs[k].joints = c.laying(w, n).joints
			}
			n++
		}
	}
	return out
}
