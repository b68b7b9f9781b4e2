package programme

import (
	"context"
	"math/bits"
	"slices"
)

// label is what can still come of a stage begun at some quarter: the members in which
// it and everything after it holds at planned times, and when that ends.
type label struct {
	mask uint64
	end  int32
	// The next stage: its variant, candidate and label there.
	next    int32
	of      int32
	variant int8
}

// later is a label of any candidate from some quarter on.
type later struct {
	mask uint64
	end  int32
	cand int32
	of   int32
}

// table holds the labels of one stage in one variant.
type table struct {
	at     []int32 // candidate quarters, rising
	first  []int32 // by quarter: the first candidate at or after it
	labels [][]label
	after  [][]later // by candidate: the best from it on; nil once the stage before it is searched
	// fresh marks, by candidate, those of its first labels that are not behind one of the candidate
	// before it; nil where the table is looked into through no window that closes.
	fresh []uint64
}

// refresh marks the fresh labels of the candidate after one, whose labels are known now.
func (t *table) refresh(c int) {
	if t.fresh == nil || c+1 >= len(t.at) {
		return
	}
	for k, l := range t.labels[c+1][:min(64, len(t.labels[c+1]))] {
		if !slices.ContainsFunc(t.labels[c], func(x label) bool { return x.mask&l.mask == l.mask && x.end <= l.end }) {
			t.fresh[c+1] |= 1 << k
		}
	}
}

// kept bounds the labels of one state in a first run, keptQuick on the day itself,
// keptProof in a run that has only to show that there is nothing better.
const (
	kept      = 48
	keptQuick = 12
	keptProof = 512
)

// search is one run over the stages from..end.
type search struct {
	p      *Prepared
	from   int
	lo     int32
	tables [][2]*table
	proven bool
	// Labels of fewer members than least, or that end at before or later, are of no
	// use; more than most of one state are dropped.
	least  int
	before int32
	most   int
	// better is the place of the label that was better than the last that was refused.
	better int
	// few is how many members the label of the fewest has in a list that is full.
	few int
	// dropped is set where a label was dropped from the list that is being made.
	dropped bool
	// was is how the candidate after the one that is looked at is followed, next how that one is; parted is where groups works.
	was, next ways
	parted    []group
	// held keeps the labels of all stages; open what lies open after each candidate of a stage, which only
	// the stage before it asks for: one shelf is filled while the other is read.
	held shelf[label]
	open [2]shelf[later]
	// laid is where join works.
	laid []later
}

// shelf keeps many short lists side by side.
type shelf[T any] struct {
	boards [][]T
	at     int // the board that is filled
}

// onBoard is how many items one board of a shelf has room for.
const onBoard = 1 << 13

// keep gives a copy of a list that stays as it is until the shelf is cleared; nil for an empty one.
func (h *shelf[T]) keep(list []T) []T {
	if len(list) == 0 {
		return nil
	}
	for ; ; h.at++ {
		if h.at == len(h.boards) {
			h.boards = append(h.boards, make([]T, 0, max(onBoard, len(list))))
		}
		if b := h.boards[h.at]; cap(b)-len(b) >= len(list) {
			h.boards[h.at] = append(b, list...)
			return h.boards[h.at][len(b):len(h.boards[h.at]):len(h.boards[h.at])]
		}
	}
}

// clear makes room for other lists in place of those that are kept.
func (h *shelf[T]) clear() {
	for i := range h.boards {
		h.boards[i] = h.boards[i][:0]
	}
	h.at = 0
}

// run goes through the stages backwards, for starts at the quarter lo or later.
func (s *search) run(ctx context.Context) error {
	p, from := s.p, s.from
	s.tables, s.proven = make([][2]*table, len(p.in.Stages)), true
	for i := len(p.in.Stages) - 1; i >= from; i-- {
		if err := ctx.Err(); err != nil {
			return err
		}
		s.open[i&1].clear()
		for v := range p.stages[i].variants {
			s.tables[i][v] = s.stage(i, v)
		}
		if i+1 < len(p.in.Stages) {
			for _, t := range s.tables[i+1] {
				if t != nil {
					t.after = nil
				}
			}
		}
	}
	s.open = [2]shelf[later]{}
	return nil
}

func (s *search) stage(i, v int) *table {
	p := s.p
	ok := p.stages[i].ok[v]
	t := &table{first: make([]int32, p.n+2)}
	for q := s.lo; int(q) < p.n; q++ {
		t.first[q] = int32(len(t.at))
		if ok[q] != 0 {
			t.at = append(t.at, q)
		}
	}
	for q := range s.lo {
		t.first[q] = 0
	}
	t.first[p.n], t.first[p.n+1] = int32(len(t.at)), int32(len(t.at))
	t.labels = make([][]label, len(t.at))
	t.after = make([][]later, len(t.at))
	if p.in.Stages[i].Join.bounded() {
		t.fresh = make([]uint64, len(t.at))
	}
	var list []label
	s.was = ways{planned: s.was.planned[:0], again: s.was.again[:0]}
	for c := len(t.at) - 1; c >= 0; c-- {
		q := t.at[c]
		if i == len(p.in.Stages)-1 {
			s.dropped = false
			list = s.last(list[:0], i, v, q, ok[q])
		} else {
			list = s.onward(list, i, v, q, ok[q])
		}
		if c+1 < len(t.at) && slices.Equal(list, t.labels[c+1]) {
			t.labels[c] = t.labels[c+1] // a night's wait has the same ends from every hour
		} else {
			t.labels[c] = s.held.keep(list)
		}
		t.refresh(c)
		var after []later
		if c+1 < len(t.at) {
			after = t.after[c+1]
		}
		t.after[c] = s.join(&s.open[i&1], after, t.labels[c], int32(c))
	}
	return t
}

// last makes the labels of the last stage: for each end the members ended by then.
func (s *search) last(list []label, i, v int, q int32, mask uint64) []label {
	p := s.p
	if p.stages[i].finish[v] == nil {
		return s.add(list, label{mask: mask, end: q + p.stages[i].quarters[v], next: -1})
	}
	for left := mask; left != 0; left &= left - 1 {
		end := p.endOf(i, v, bits.TrailingZeros64(left), q)
		set := uint64(0)
		for all := mask; all != 0; all &= all - 1 {
			if m := bits.TrailingZeros64(all); p.endOf(i, v, m, q) <= end {
				set |= 1 << m
			}
		}
		list = s.add(list, label{mask: set, end: end, next: -1})
	}
	return list
}

// group is the members that share a window.
type group struct {
	w    window
	mask uint64
}

// opening is the members to which the candidates of the next stage from one to before another lie open.
type opening struct {
	from, to int32
	set      uint64
}

// ways is how a stage begun at a quarter is followed: the openings of the next stage as planned, and again. Those that close
// are each of the members that share a window; those that do not are each of all who are ready by then.
type ways struct {
	planned, again []opening
	closing        bool
}

// same reports whether a stage is followed as from the quarter before it: then it has the same labels.
func (w *ways) same(x *ways) bool {
	return w.closing == x.closing && slices.Equal(w.planned, x.planned) && slices.Equal(w.again, x.again)
}

// onward joins a stage begun at a candidate to what may follow it; the list is that of the candidate after it, where there is one.
func (s *search) onward(list []label, i, v int, q int32, mask uint64) []label {
	s.leads(&s.next, s.groups(i, v, q, mask), i)
	if s.next.same(&s.was) {
		return list
	}
	s.was, s.next = s.next, s.was
	list, s.dropped = list[:0], false
	next := s.tables[i+1][0]
	if s.was.closing {
		list = s.within(list, next, s.was.planned)
	} else {
		list = s.from0(list, next, 0, s.was.planned)
	}
	if again := s.tables[i+1][1]; again != nil {
		list = s.from0(list, again, 1, s.was.again)
	}
	return list
}

// groups parts the members in which a stage is begun at a quarter by their windows into the next.
func (s *search) groups(i, v int, q int32, mask uint64) []group {
	groups := s.parted[:0]
	for left := mask; left != 0; left &= left - 1 {
		m := bits.TrailingZeros64(left)
		w := s.p.follows(i+1, v, m, q, s.p.endOf(i, v, m, q))
		found := false
		for g := range groups {
			if groups[g].w == w {
				groups[g].mask |= 1 << m
				found = true
				break
			}
		}
		if !found {
			groups = append(groups, group{w, 1 << m})
		}
	}
	s.parted = groups
	return groups
}

// leads finds the ways of groups out of stage i.
func (s *search) leads(w *ways, groups []group, i int) {
	next := s.tables[i+1][0]
	w.planned, w.again, w.closing = w.planned[:0], w.again[:0], false
	for _, g := range groups {
		w.closing = w.closing || g.w.a1 != never
	}
	if w.closing {
		n := int32(s.p.n)
		for _, g := range groups {
			w.planned = append(w.planned, opening{next.first[min(g.w.a0, n)], next.first[max(min(g.w.a1, n), -1)+1], g.mask})
		}
	} else {
		w.planned = s.ready(w.planned, next, groups, func(w window) int32 { return w.a0 })
	}
	if again := s.tables[i+1][1]; again != nil {
		w.again = s.ready(w.again, again, groups, func(w window) int32 { return w.b0 })
	}
}

// ready finds for each time at which some are ready those that are ready by then, and what lies open to them.
func (s *search) ready(out []opening, next *table, groups []group, ready func(window) int32) []opening {
	slices.SortFunc(groups, func(a, b group) int { return int(int64(ready(a.w)) - int64(ready(b.w))) })
	set := uint64(0)
	for g := 0; g < len(groups); {
		at := ready(groups[g].w)
		for ; g < len(groups) && ready(groups[g].w) == at; g++ {
			set |= groups[g].mask
		}
		if int(at) > s.p.n || int(next.first[at]) >= len(next.at) {
			break
		}
		out = append(out, opening{next.first[at], int32(len(next.at)), set})
	}
	return out
}

// follows is the window of stage i after the one before it in its variant: one that is not to be left alone between two breaks is not
// followed after a break.
func (p *Prepared) follows(i, before, m int, begun, ended int32) window {
	w := p.windowAfter(i, m, begun, ended)
	if before == 1 && p.in.Stages[i-1].NotAlone {
		w.b0 = never
	}
	return w
}

// from0 takes what lies open from a time on.
func (s *search) from0(list []label, next *table, variant int8, open []opening) []label {
	for _, o := range open {
		for _, l := range next.after[o.from] {
			if m := l.mask & o.set; m != 0 {
				list = s.add(list, label{mask: m, end: l.end, next: l.cand, of: l.of, variant: variant})
			}
		}
	}
	return list
}

// within takes what lies inside windows that close.
func (s *search) within(list []label, next *table, open []opening) []label {
	low, high := int32(len(next.at)), int32(0)
	for _, o := range open {
		low, high = min(low, o.from), max(high, o.to)
	}
	before := uint64(0)
	for c := low; c < high; c++ {
		set := openAt(open, c)
		fresh := ^uint64(0)
		if set == before && !s.dropped {
			fresh = next.fresh[c] // the others would be refused: they are behind what was laid before
		}
		before = set
		if set == 0 || fresh == 0 && len(next.labels[c]) <= 64 {
			continue
		}
		for of, l := range next.labels[c] {
			if of < 64 && fresh>>of&1 == 0 && !s.dropped {
				continue
			}
			if m := l.mask & set; m != 0 {
				list = s.add(list, label{mask: m, end: l.end, next: c, of: int32(of)})
			}
		}
	}
	return list
}

// openAt is the members to which a candidate lies open.
func openAt(open []opening, c int32) uint64 {
	set := uint64(0)
	for i := range open {
		if o := &open[i]; o.from <= c && c < o.to {
			set |= o.set
		}
	}
	return set
}

// add keeps a label unless another holds in the same members and more, as soon.
func (s *search) add(list []label, l label) []label {
	if s.useless(list, &l) {
		return list
	}
	worse := false
	for i := range list {
		x := &list[i]
		both := x.mask & l.mask
		if both == l.mask && x.end <= l.end {
			s.better = i
			return list
		}
		worse = worse || both == x.mask && x.end >= l.end
	}
	if worse {
		list = slices.DeleteFunc(list, func(x label) bool { return x.mask&l.mask == x.mask && x.end >= l.end })
	}
	return s.bound(append(list, l))
}

// useless reports without a look at all of a list that a label would not stay in it.
func (s *search) useless(list []label, l *label) bool {
	if s.least > 1 && bits.OnesCount64(l.mask) < s.least || l.end >= s.before {
		return true
	}
	// What was better than the last that was refused is often better than this one too.
	if s.better < len(list) {
		if x := &list[s.better]; x.mask&l.mask == l.mask && x.end <= l.end {
			return true
		}
	}
	// It would be dropped again.
	return len(list) == s.most && s.dropped && bits.OnesCount64(l.mask) < s.few
}

// bound drops the label of the fewest members from a list that is too long.
func (s *search) bound(list []label) []label {
	if len(list) > s.most {
		s.proven, s.dropped = false, true
		worst := fewest(list)
		list = slices.Delete(list, worst, worst+1)
	}
	if len(list) == s.most {
		s.few = bits.OnesCount64(list[fewest(list)].mask)
	}
	return list
}

// fewest is the first of the labels of the fewest members.
func fewest(list []label) int {
	worst, least := 0, 65
	for i := range list {
		if n := bits.OnesCount64(list[i].mask); n < least {
			worst, least = i, n
		}
	}
	return worst
}

// behind reports whether one of a list is better: as soon in as many members, and not the same.
func (l *label) behind(list []later) bool {
	for i := range list {
		if x := &list[i]; x.mask&l.mask == l.mask && x.end <= l.end && (x.mask != l.mask || x.end != l.end) {
			return true
		}
	}
	return false
}

// join lays the labels of an earlier candidate over the best of the later ones. Of
// equals the earlier is kept: work that can be done is done.
func (s *search) join(on *shelf[later], after []later, labels []label, cand int32) []later {
	if !slices.ContainsFunc(labels, func(l label) bool { return !l.behind(after) }) {
		return after
	}
	out := append(s.laid[:0], after...)
	for of, l := range labels {
		k := 0
		if l.behind(out) {
			continue
		}
		for _, x := range out {
			if x.mask&l.mask == x.mask && x.end >= l.end {
				continue
			}
			out[k] = x
			k++
		}
		out = append(out[:k], later{l.mask, l.end, cand, int32(of)})
		if len(out) > s.most {
			s.proven = false
			worst := 0
			for i := range out {
				if bits.OnesCount64(out[i].mask) < bits.OnesCount64(out[worst].mask) {
					worst = i
				}
			}
			out = slices.Delete(out, worst, worst+1)
		}
	}
	s.laid = out
	return on.keep(out)
}
