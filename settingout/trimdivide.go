package settingout

import (
	"context"
	"math"
	"slices"
	"sort"

	"gelwright/roof"
)

// division is the trims of a deck laid and cut, with what they cost.
type division struct {
	out  SetOut
	runs []trimRun
	cost float64
	// of is what each kind costs.
	of map[string]float64
	// stubs is what they cost with closing pieces down to the least length.
	stubs float64
}

// trimRun is one stretch of edge with the trims that lie on it.
type trimRun struct {
	material string
	lengths  []int
}

// trimRunner numbers the trims of a deck as they are laid.
type trimRunner struct {
	d        roof.Deck
	z        sizes
	stock    int // the length edges are divided by, mm
	lap      int
	shortest int // closing piece, mm
	wishes   wishes
	runs     []trimRun
	count    int
	out      *SetOut
	known    map[trimKey]trimsKnown // from other layings of the same deck, divided by the same length
}

// trimKey is what the division of a stretch hangs on, within a deck.
type trimKey struct {
	run, total, shortest int
	wish                 wish
}

// trimsKnown is a stretch divided.
type trimsKnown struct {
	lengths []int
	clean   bool
}

// wish is how a stretch is to be divided: with a closing piece of that length, mm,
// should it be shorter, and with one piece more than there need be.
type wish struct {
	closing int
	more    bool
}

// wishes are by place in runs.
type wishes map[int]wish

// with returns the same wishes but for one stretch.
func (w wishes) with(run int, this wish) wishes {
	out := wishes{run: this}
	for k, v := range w {
		if k != run {
			out[k] = v
		}
	}
	return out
}

// layer lays and cuts the trims of a deck with closing pieces no shorter than that.
type layer func(shortest int, w wishes, z sizes) (division, error)

// searchTrials bounds the search for closing pieces that fit the stock.
const searchTrials = 300

// divided lays the trims along edges divided by one length. Closing pieces of a
// good length may not fit what is left of the lengths where stubs would have; another
// division is then looked for that needs no more stock than the stubs.
func divided(ctx context.Context, d roof.Deck, spec roof.Spec, z sizes, stockMM int, given *SetOut) (division, error) {
	known := map[trimKey]trimsKnown{}
	lay := func(shortest int, w wishes, z sizes) (division, error) {
		c := *given
		c.Pieces, c.Findings, c.Materials = slices.Clip(given.Pieces), slices.Clip(given.Findings), slices.Clip(given.Materials)
		r := &trimRunner{d: d, z: z, stock: stockMM, lap: int(math.Round(spec.TrimLapMM)), shortest: shortest, wishes: w, out: &c, known: known}
		r.setTrims()
		of, err := trimStock(ctx, z, &c)
		out := division{out: c, runs: r.runs, of: of}
		for _, m := range c.Materials {
			out.cost += of[m.Name]
		}
		return out, err
	}
	best, err := lay(trimLikedMM, nil, z)
	if err != nil {
		return best, err
	}
	stubs, err := lay(trimLeastMM, nil, z)
	if err != nil {
		return best, err
	}
	if best.cost > stubs.cost+1e-9 {
		f := fitter{lay: lay, z: z, done: func() bool { return ctx.Err() != nil }}
		fit, err := f.fitInHand(stubs)
		if err != nil {
			return best, err
		}
		if fit.cost < best.cost-1e-9 {
			best = fit
		}
	}
	best.stubs = math.Min(stubs.cost, best.cost)
	return best, nil
}

// fitInHand looks for a division first as if nothing were in hand, then from
// there with what is in hand: so having more never costs more.
func (f *fitter) fitInHand(stubs division) (division, error) {
	if z := f.z; len(z.inHand) > 0 {
		f.z.inHand = nil
		bare, err := f.lay(trimLeastMM, nil, f.z)
		if err != nil {
			return bare, err
		}
		if err := f.fit(bare); err != nil {
			return f.best, err
		}
		f.z, f.trials = z, 0
	}
	err := f.fit(stubs)
	return f.best, err
}

// fitter changes the division of one stretch at a time for as long as that saves.
type fitter struct {
	lay    layer
	done   func() bool // reports that time is up
	z      sizes
	wishes wishes
	best   division
	trials int
}

// fit looks for a division that costs no more than the one with stubs: by other
// closing pieces, and where these do not do, by one piece more on one stretch.
func (f *fitter) fit(stubs division) error {
	var err error
	if f.best, err = f.lay(trimLikedMM, f.wishes, f.z); err != nil {
		return err
	}
	for better := true; better; {
		if better, err = f.closings(f.best, f.wishes, stubs); err != nil {
			return err
		}
		for j := 0; j < len(f.best.runs) && !better; j++ {
			if !f.dear(f.best.runs[j].material, stubs) || f.wishes[j].more {
				continue
			}
			w := f.wishes.with(j, wish{more: true})
			var from division
			if better, from, err = f.try(w); err != nil || better {
				continue
			}
			if better, err = f.closings(from, w, stubs); err != nil {
				return err
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// dear reports whether a kind of trim costs more than with stubs.
func (f *fitter) dear(material string, stubs division) bool {
	return f.best.of[material] > stubs.of[material]+1e-9
}

// closings tries other closing pieces on each stretch of what is too dear, from a
// division and its wishes.
func (f *fitter) closings(from division, w wishes, stubs division) (bool, error) {
	for i, r := range from.runs {
		if len(r.lengths) < 2 || !f.dear(r.material, stubs) {
			continue
		}
		for _, c := range worthTrying(from, i, f.z) {
			better, _, err := f.try(w.with(i, wish{closing: c, more: w[i].more}))
			if better || err != nil {
				return better, err
			}
		}
	}
	return false, nil
}

// try lays out by these wishes and keeps the division if it is cheaper.
func (f *fitter) try(w wishes) (bool, division, error) {
	if f.trials++; f.trials > searchTrials || f.done() {
		return false, f.best, nil
	}
	got, err := f.lay(trimLikedMM, w, f.z)
	if err != nil || got.cost > f.best.cost-1e-9 || len(got.out.Findings) > len(f.best.out.Findings) {
		return false, got, err
	}
	f.best, f.wishes = got, w
	return true, got, nil
}

// worthTrying lists closing pieces of a stretch worth a trial: those that, or whose
// neighbour, would fill what a length with another stretch's trims leaves.
func worthTrying(of division, run int, z sizes) []int {
	r := of.runs[run]
	longest := slices.Max(z.trims)
	// Closing piece and neighbour share what whole lengths leave.
	both := -(len(r.lengths) - 2) * slices.Max(r.lengths)
	for _, l := range r.lengths {
		both += l
	}
	list := []int{(both + 1) / 2}
	for k, other := range of.runs {
		if k == run || other.material != r.material {
			continue
		}
		for _, l := range other.lengths {
			// Full centimetres: saw and tape leave a little.
			left := (longest - l - z.kerf) / 10 * 10
			list = append(list, left, both-left, l)
		}
	}
	sort.Ints(list)
	list = slices.Compact(list)
	return slices.DeleteFunc(list, func(c int) bool { return c < trimLikedMM || 2*c > both+1 })
}

// undivided is a free stretch of an edge, mm, to be divided into trims.
type undivided struct {
	total, lap, stock int
	avoid             []int // board joints
}

// near reports whether a joint whose first piece ends there comes too near to a
// corner or a board joint.
func (s undivided) near(end int) bool {
	// Twice its middle, so that an odd lap is the same from both ends.
	middle, clear := 2*end-s.lap, 2*trimClearMM
	if middle < clear || 2*s.total-middle < clear {
		return true
	}
	i := sort.Search(len(s.avoid), func(k int) bool { return 2*s.avoid[k] > middle-clear })
	return i < len(s.avoid) && 2*s.avoid[i] < middle+clear
}

// nearFor is near, with the least end down to which its answer stays the same.
func (s undivided) nearFor(end int) (bool, int) {
	middle, clear := 2*end-s.lap, 2*trimClearMM
	// down is the least end whose middle is at least twice.
	down := func(twice int) int { return (twice + s.lap + 1) >> 1 }
	if 2*s.total-middle < clear {
		return true, down(2*s.total - clear + 1)
	}
	if middle < clear {
		return true, math.MinInt32
	}
	i := sort.Search(len(s.avoid), func(k int) bool { return 2*s.avoid[k] > middle-clear })
	if i < len(s.avoid) && 2*s.avoid[i] < middle+clear {
		// As long as this joint is less than clear above the middle, and itself the lowest or not.
		return true, down(max(2*s.avoid[i]-clear+1, clear))
	}
	if i > 0 {
		return false, down(max(2*s.avoid[i-1]+clear, clear))
	}
	return false, down(clear)
}

// mirrored is the same from the other end of the edge.
func (s undivided) mirrored() undivided {
	m := s
	m.avoid = make([]int, len(s.avoid))
	for i, x := range s.avoid {
		m.avoid[len(s.avoid)-1-i] = s.total - x
	}
	return m
}

// trimLengths divides an edge into trims: whole lengths and one closing piece,
// its place in the run and, where need be, its neighbours' lengths chosen so that
// no joint comes within the clear distance of a corner or a board joint. No piece is
// shorter than shortest where that can be, nor than the least length; the closing
// piece has the length wished for, where it can and would be shorter.
// clean is false where that is impossible; then the plainest division is given.
func trimLengths(s undivided, shortest int, w wish) (lengths []int, clean bool) {
	if s.total <= s.stock && !w.more {
		return []int{s.total}, true
	}
	least := (s.total - s.lap + s.stock - s.lap - 1) / (s.stock - s.lap)
	if w.more {
		least++
	}
	for n := least; n <= least+1; n++ {
		for _, short := range slices.Compact([]int{shortest, trimLeastMM}) {
			closing := []int{w.closing, short}
			if short < shortest {
				// No good length can be had: as long as can be.
				closing = []int{w.closing, min(shortest, (s.total+(n-1)*s.lap)/n), short}
			}
			for _, c := range closing {
				if c < short {
					continue
				}
				if l := s.closed(n, short, c); l != nil {
					return l, true
				}
			}
			if l := s.clearOf(n, short); l != nil {
				return l, true
			}
		}
	}
	// All pieces together cover the stretch and the laps between them.
	sum := s.total + (least-1)*s.lap
	for k := 0; k < least; k++ {
		lengths = append(lengths, (sum+k)/least)
	}
	return lengths, false
}

// closed tries the closing piece in every slot, from both ends; nil if none will do.
func (s undivided) closed(n, shortest, wish int) []int {
	mirrored := s.mirrored()
	for _, step := range []int{0, 10, 20, 50} {
		for slot := n - 1; slot >= 0; slot-- {
			if l, ok := s.whole(n, slot, step, shortest, wish); ok {
				return l
			}
			if l, ok := mirrored.whole(n, slot, step, shortest, wish); ok {
				slices.Reverse(l)
				return l
			}
		}
	}
	return nil
}

// whole tries whole lengths with the closing piece in one slot; a joint too
// near something draws its own piece back in steps, which lengthens the closing piece.
func (s undivided) whole(n, slot, step, shortest, wish int) ([]int, bool) {
	l := make([]int, n)
	for k := range l {
		l[k] = s.stock
	}
	l[slot] = s.total + (n-1)*s.lap - (n-1)*s.stock
	if l[slot] < wish {
		// A closing piece too short takes from a neighbour.
		other := (slot + 1) % n
		need := wish - l[slot]
		l[slot] += need
		l[other] -= need
	}
	for round := 0; round < 400; round++ {
		end, ok := 0, true
		for k := 0; k < n-1; k++ {
			end += l[k]
			if k > 0 {
				end -= s.lap
			}
			if !s.near(end) {
				continue
			}
			ok = false
			if step == 0 {
				return nil, false
			}
			// Draw back this joint: shorten k, lengthen the next that has room.
			if k == slot {
				if l[k+1]-step < shortest || l[k]+step > s.stock {
					return nil, false
				}
				l[k] += step
				l[k+1] -= step
				break
			}
			give := slot
			if l[give]+step > s.stock || l[k]-step < shortest {
				return nil, false
			}
			l[k] -= step
			l[give] += step
			break
		}
		if ok {
			for _, v := range l {
				if v < shortest || v > s.stock {
					return nil, false
				}
			}
			return l, true
		}
	}
	return nil, false
}

// clearOf finds n lengths that keep every joint clear, wherever there are any; nil
// where there are none. Joint by joint it marks every millimetre that the joint can
// be drawn back by from where whole lengths would put it.
func (s undivided) clearOf(n, shortest int) []int {
	slack := n*s.stock - s.total - (n-1)*s.lap
	if slack < 0 || slack > n*(s.stock-shortest) {
		return nil
	}
	// latest is the largest draw of the joint before that is no more than x, -1 for none.
	buffer := make([]int32, (n+3)*(slack+1))
	take := func() []int32 {
		out := buffer[: slack+1 : slack+1]
		buffer = buffer[slack+1:]
		return out
	}
	latest, next := take(), take()
	came := make([][]int32, n+1)
	for k := 1; k <= n; k++ {
		came[k] = take()
		last := int32(-1)
		whole := k*(s.stock-s.lap) + s.lap
		// near is true up to this draw, or false, without asking for each.
		near, until := false, -1
		for x := range came[k] {
			came[k][x] = -1
			if p := latest[x]; p >= 0 && x-int(p) <= s.stock-shortest {
				if k < n && x > until {
					near, until = s.nearFor(whole - x)
					until = whole - until
				}
				if k == n || !near {
					came[k][x], last = p, int32(x)
				}
			}
			next[x] = last
		}
		latest, next = next, latest
	}
	if came[n][slack] < 0 {
		return nil
	}
	l := make([]int, n)
	for k, x := n, slack; k > 0; k-- {
		before := int(came[k][x])
		l[k-1] = s.stock - (x - before)
		x = before
	}
	return l
}
