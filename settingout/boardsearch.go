package settingout

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// boardSearch is what all ways to board a deck share.
type boardSearch struct {
	spec    roof.Spec
	r       boardRules
	lines   [][2]plane.Point
	frames  []framed
	swaps   []bool
	conform bool
	areaM2  float64
	// byArea is a number of boards below which no layout comes, least one below which none
	// comes that keeps the rules.
	byArea, least int
	hand          []InHand
	// most offsets are tried of each frame at first, and styles by styles pairs of phases.
	most, styles int
	packer       packer
	// drips are the edges at which water leaves the deck.
	drips [][2]plane.Point
	// spent are courses that are not used any more.
	spent *courses
}

// framed is the deck seen from one of its corners, along one of the axes.
type framed struct {
	f     plane.Frame
	g     grid
	local []bay
}

// setBoards weighs directions, starting corners, row offsets and joint phases; quick
// boards take the offsets that are met most and hunt for no better.
func setBoards(ctx context.Context, d roof.Deck, spec roof.Spec, net plane.Region, z sizes, quick bool) (boarding, []Candidate, error) {
	s, err := newBoardSearch(d, spec, net, z)
	if err != nil {
		return boarding{}, nil, err
	}
	all, err := s.usual(ctx)
	if err != nil {
		return boarding{}, nil, err
	}
	best, near := s.choose(ctx, all)
	s.prove(ctx, &all[best])
	if spec.SetOut.BoardOffsetM == nil && !quick && s.areaM2 <= huntedM2 {
		all, best = s.hunt(ctx, all, best, near)
	}
	if b := &all[best]; !b.cut.tried && ctx.Err() == nil {
		s.cut(ctx, b)
	}
	all[best].least = s.least
	return all[best], s.candidates(all, best), ctx.Err()
}

// prove looks for a better bound than the area, where a boarding does not reach that.
func (s *boardSearch) prove(ctx context.Context, b *boarding) {
	if v := &s.frames[0]; b.count > s.least && b.broken.total() == 0 && len(s.hand) == 0 && !v.g.free {
		s.least = max(s.least, boardsFor(lengthBound(ctx, v.local, v.g, s.r, b.count)))
	}
}

func newBoardSearch(d roof.Deck, spec roof.Spec, net plane.Region, z sizes) (*boardSearch, error) {
	r, err := rulesFor(spec.Board, z.kerf)
	if err != nil {
		return nil, err
	}
	if err := soundRows(spec.SetOut, r); err != nil {
		return nil, err
	}
	s := &boardSearch{spec: spec, r: r, lines: foldLines(d), swaps: []bool{false}, areaM2: net.Area(), hand: z.handOf(boardName(spec.Board))}
	s.byArea = leastByArea(s.areaM2, r, s.hand)
	s.least = s.byArea
	s.packer = packer{length: upMM(r.length), width: upMM(r.width), kerf: r.kerf}
	s.drips = dripsOf(d)
	bays := baysOf(net, s.lines, r.gap)
	if len(bays) == 0 {
		return nil, fmt.Errorf("deck %q: nothing is left to board after the openings are taken out", d.Name)
	}
	s.most, s.styles = 6, 4
	if s.areaM2 > 1500 {
		s.most, s.styles = 2, 3
	} else if s.areaM2 > 300 {
		s.most, s.styles = 3, 4
	}
	if len(bays) > 1 && s.most == 6 {
		s.swaps = []bool{false, true}
	}
	axes, conform := boardAxes(d, spec)
	s.conform = conform
	for _, axis := range axes {
		for _, f := range framesFor(axis, spec.SetOut.BoardStart) {
			local := make([]bay, len(bays))
			for i, b := range bays {
				local[i] = bay{f.RegionIn(b.region)}
			}
			s.frames = append(s.frames, framed{f, bearings(d, f, r.gap), local})
		}
	}
	return s, nil
}

// usual boards the deck from every corner with the offsets that are met most.
func (s *boardSearch) usual(ctx context.Context) ([]boarding, error) {
	var all []boarding
	for _, v := range s.frames {
		if rows := s.spec.SetOut.BoardRowsM; len(rows) > 0 {
			b := s.bare(v, 0)
			b.rows, b.parted = givenRows(v.local, rows, s.r), true
			if err := s.join(ctx, &b, s.styles); err != nil {
				return nil, err
			}
			all = append(all, b)
			continue
		}
		offsets := offsetsFor(v.local, s.r.pitch, s.most)
		if o := s.spec.SetOut.BoardOffsetM; o != nil {
			offsets = []float64{math.Mod(math.Mod(*o, s.r.pitch)+s.r.pitch, s.r.pitch)}
		}
		for _, offset := range offsets {
			for _, swap := range s.swaps {
				b := s.boarding(v, offset, swap)
				if err := s.join(ctx, &b, s.styles); err != nil {
					return nil, err
				}
				all = append(all, b)
			}
		}
	}
	return all, nil
}

// boarding cuts the deck into rows; join then finds their joints.
func (s *boardSearch) boarding(v framed, offset float64, swap bool) boarding {
	b := s.bare(v, offset)
	b.rows = rowsOf(v.local, lattices(v.local, s.lines, v.f, s.r.pitch, offset, swap), s.r)
	return b
}

// bare is a boarding without rows.
func (s *boardSearch) bare(v framed, offset float64) boarding {
	b := boarding{f: v.f, g: v.g, bays: v.local, spec: s.spec.Board, offsetM: offset, conform: s.conform,
		dir: axisName(v.f.U), leastByArea: s.byArea, least: s.least}
	if b.dir != "x" && b.dir != "y" {
		b.dir = axisName(positive(v.f.U))
	}
	return b
}

// prepare makes the courses of a boarding's rows.
func (s *boardSearch) prepare(b *boarding) {
	b.folds = foldsOf(s.lines, b.f, b.bays, b.rows)
	b.courses = newCourses(b, s.r, &s.packer, s.spent)
	b.courses.ripM = s.ripM(b.f, b.rows)
	s.spent = nil
	b.name = fmt.Sprintf("boards along %s from the %s corner, first row %.3f m", b.dir, cornerName(startOf(b.f)), firstRow(*b))
	if b.parted {
		b.name += ", rows parted at corners"
	}
}

func (s *boardSearch) join(ctx context.Context, b *boarding, styles int) error {
	s.prepare(b)
	return b.bestStyle(ctx, styles)
}

// leastByArea is a number of boards below which no layout comes, whatever its rows and
// joints. Half the gap round every piece belongs to it, so that the pieces cover the
// whole deck; and a saw cut goes with every piece of a board, so that with the saw cut
// they cover no more than the board with one. Where the gap is wider than the saw cut,
// the narrowest strip that is ever laid gains most by it.
func leastByArea(areaM2 float64, r boardRules, hand []InHand) int {
	return max(0, int(math.Ceil(lessHand(areaM2, r, hand)/r.share(r.length, r.width)-byAreaSlack)))
}

// byAreaSlack is let through where an area is a whole number of boards: it is printed
// to square centimetres.
const byAreaSlack = 0.001

// lessHand is an area less what pieces in hand can cover of it.
func lessHand(areaM2 float64, r boardRules, hand []InHand) float64 {
	for _, h := range hand {
		areaM2 -= float64(h.Count) * r.share(float64(h.LengthMM)/1000, float64(h.WidthMM)/1000)
	}
	return areaM2
}

// narrowestM is the least a piece of board measures either way, m.
const narrowestM = 0.05

// share is how much of a deck, m², the pieces of a board can cover with their gaps.
func (r boardRules) share(length, width float64) float64 {
	kerf, gain := float64(r.kerf)/1000, r.gain()
	return gain * gain * (length + kerf) * (width + kerf)
}

// gain is by how much, either way, the narrowest piece covers more with its gap than it
// takes of a board with its saw cut.
func (r boardRules) gain() float64 {
	return max(1, (narrowestM+r.gap)/(narrowestM+float64(r.kerf)/1000))
}

// sortBoardings puts the most promising first.
func sortBoardings(all []boarding) {
	sort.SliceStable(all, func(i, j int) bool { return all[i].better(&all[j].score) })
}

// finalists is how many boardings the exact cutter judges.
const finalists = 4

// choose cuts the columns of the most promising boardings exactly and returns which is best,
// and those whose pieces may be cut from fewer.
func (s *boardSearch) choose(ctx context.Context, all []boarding) (best int, near []boarding) {
	sortBoardings(all)
	// Equals of the last finalist are finalists too, whichever corner they start from.
	n := min(len(all), finalists)
	for n < len(all) && n < 4*finalists && !all[n-1].better(&all[n].score) {
		n++
	}
	for i := 0; i < n; i++ {
		all[i].improve(ctx, workAllowed)
	}
	sortBoardings(all)
	best = -1
	for i := range all[:n] {
		if best >= 0 && all[best].count <= s.least && len(s.hand) == 0 && all[best].broken.total() == 0 {
			break
		}
		s.cutColumns(ctx, &all[i])
		if best < 0 || all[i].better(&all[best].score) {
			best = i
		}
	}
	return best, nearOf(all[:n], &all[best].score)
}

// nearOf are the boardings that were cut and whose pieces may be cut from fewer boards than best's.
func nearOf(list []boarding, best *score) []boarding {
	var near []boarding
	for _, b := range list {
		if b.cut.boards > 0 && !b.cut.tried && b.broken.total() <= best.broken.total() && b.cut.bound < best.count {
			near = append(near, b)
		}
	}
	return near
}

// cut cuts a boarding exactly, as far as both cutters can.
func (s *boardSearch) cut(ctx context.Context, b *boarding) {
	b.settle(s.r)
	b.cut = cutBoards(ctx, b.blanks, upMM(s.r.length), upMM(s.r.width), s.r.kerf, s.hand)
	b.count, b.hand, b.cut.tried = b.cut.boards, s.hand, true
}

// cutColumns cuts a boarding's columns exactly, which takes a fraction of the time; with
// boards in hand all of it.
func (s *boardSearch) cutColumns(ctx context.Context, b *boarding) {
	if len(s.hand) > 0 {
		s.cut(ctx, b)
		return
	}
	b.settle(s.r)
	b.cut = cutColumns(ctx, b.blanks, upMM(s.r.length), upMM(s.r.width), s.r.kerf)
	b.cut.whole(upMM(s.r.length), upMM(s.r.width))
	b.count = b.cut.boards
}

func (s *boardSearch) candidates(all []boarding, best int) []Candidate {
	tried := make([]Candidate, 0, len(all))
	for _, b := range all {
		c := Candidate{Name: b.name, Direction: b.dir, OffsetM: round3(b.offsetM), Items: b.count, Cuts: b.cuts,
			JointM:  round3(b.jointM),
			WasteM2: round3(float64(b.count)*s.r.length*s.r.width - s.areaM2)}
		if b.broken.total() > 0 {
			c.Breaks = b.breaches(s.r).words()
			c.Pin = b.pin()
		}
		tried = append(tried, c)
	}
	return shortlist(tried, all[best].name)
}

func firstRow(b boarding) float64 {
	if len(b.rows) == 0 || len(b.rows[0].runs) == 0 {
		return 0
	}
	u := b.rows[0].runs[0]
	return u.high - u.low
}

// bestStyle tries pairs of joint phases, one for even and one for odd rows.
func (b *boarding) bestStyle(ctx context.Context, styles int) error {
	var w way
	var rival *score
	try := func(style ...int) {
		b.courses.lay(style, &w)
		if s, ok := b.courses.weigh(&w, rival, (*score).better); ok && (rival == nil || s.better(rival)) {
			b.score, b.style, rival = s, style, &b.score
			b.way, w = w, b.way
		}
	}
	for p := 0; p < styles; p++ {
		for q := 0; q < styles; q++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			try(p, q)
		}
	}
	for p := 0; p+2 < styles; p++ {
		try(p, p+1, p+2)
		try(p+2, p+1, p)
	}
	return nil
}

// workAllowed bounds the sheets handled while one boarding is improved.
const workAllowed = 25000

// improve changes the style of one run after another and keeps what is better,
// until nothing is or the allowance of work is used up. Runs that were parted for nothing
// are laid whole again.
func (b *boarding) improve(ctx context.Context, allowed int) {
	lanes := b.courses.lanes
	style := make([]int, len(lanes))
	for i := range lanes {
		if !lanes[i].whole {
			style[i] = b.style[lanes[i].row%len(b.style)]
		}
	}
	b.style = style
	if !b.fewer(ctx) || !b.climb(ctx, allowed) {
		return
	}
	var w way
	for i := range lanes {
		if allowed := 1; lanes[i].whole && style[i] != 0 {
			b.restyle(i, 0, &w, &allowed, (*score).better)
		}
	}
}

// fewerLanes bounds the runs of a deck of which single changes are tried for a board less.
const fewerLanes = 24

// fewer takes the first change of one run's style that saves a board, before changes that only gather waste get in its
// way; it reports false where it was stopped.
func (b *boarding) fewer(ctx context.Context) bool {
	if len(b.courses.lanes) > fewerLanes || b.count <= b.least {
		return true
	}
	saves := func(s, rival *score) bool { return s.count < rival.count && s.broken.total() <= rival.broken.total() }
	var w way
	for i := range b.courses.lanes {
		for s := range b.courses.lanes[i].styles() {
			if ctx.Err() != nil {
				return false
			}
			if allowed := workAllowed; s != b.style[i] && b.restyle(i, s, &w, &allowed, saves) {
				return true
			}
		}
	}
	return true
}

// climb goes round the runs; it reports false where it was stopped.
func (b *boarding) climb(ctx context.Context, allowed int) bool {
	lanes := b.courses.lanes
	var w way
	for changed := true; changed; {
		changed = false
		for i := range lanes {
			for s := range lanes[i].styles() {
				if ctx.Err() != nil {
					return false
				}
				if allowed <= 0 || (b.count <= b.least && b.broken.total() == 0) {
					return true
				}
				if s != b.style[i] && b.restyle(i, s, &w, &allowed, (*score).nearer) {
					changed = true
				}
			}
		}
	}
	return true
}

// restyle lays one run in another style where that does better; w is scratch, and the work
// done is taken off what is allowed.
func (b *boarding) restyle(lane, s int, w *way, allowed *int, beats func(s, rival *score) bool) bool {
	if !b.courses.relay(&b.way, b.style, lane, s, w) && w.broken.laying() >= b.broken.laying() {
		*allowed--
		return false
	}
	*allowed -= b.courses.sheetsOn(w) + 10
	c, ok := b.courses.weigh(w, &b.score, beats)
	if !ok || !beats(&c, &b.score) {
		return false
	}
	b.score, b.style[lane] = c, s
	b.way, *w = *w, b.way
	return true
}

// styles is how many styles there are to lay a run in.
func (l *lane) styles() int {
	switch {
	case !l.jointed:
		return 0
	case l.whole:
		return min(len(l.starts), phases)
	}
	return phases * shorts
}

// nearer orders boardings as better does, but lets waste that lies together count
// before cuts.
func (b *score) nearer(o *score) bool {
	if b.broken.total() == o.broken.total() && b.count == o.count && math.Abs(b.spare-o.spare) > 1 {
		return b.spare > o.spare
	}
	return b.better(o)
}
