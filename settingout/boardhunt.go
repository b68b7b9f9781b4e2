package settingout

import (
	"context"
	"encoding/binary"
	"math"
	"slices"
	"sort"
)

// huntAllowed bounds the hunt for one board less: row lattices tried times boards.
const huntAllowed = 1500

// huntStyles by huntStyles pairs of phases are tried of each lattice before it is improved.
const huntStyles = 3

// latticesWeighed bounds how many row lattices are weighed by their bound.
const latticesWeighed = 600

// prey is a row lattice that may take fewer boards than the best so far.
type prey struct {
	boarding
	bound float64
	ripM  float64 // of board ripped along drips
}

// huntedM2 is the largest deck that is hunted over, m²: on larger ones a board is under one in a hundred.
const huntedM2 = 300

// closeTried is how many boardings that come close are given to the two-dimensional cutter.
const closeTried = 2

// hunting is a search for one board less.
type hunting struct {
	*boardSearch
	all  []boarding
	best int
	// near are boardings that take as many boards as the best while their blanks may be
	// cut from fewer; known are the lists of blanks met so far.
	near  []boarding
	known map[string]bool
}

// hunt looks for a boarding of fewer boards than the best of all, among all offsets at
// which the list of pieces or what fits beside what on a board can change. Lattices
// that cannot do better by the bound of their rows are not joined at all; the others
// come in the order of that bound, those of one bound together so that the answer does
// not hang on the corner from which the deck is looked at.
func (s *boardSearch) hunt(ctx context.Context, all []boarding, best int) ([]boarding, int) {
	if all[best].count <= s.least || ctx.Err() != nil {
		return all, best
	}
	h := hunting{boardSearch: s, all: all, best: best, known: map[string]bool{}}
	list := s.lattices(&all[best].score)
	left := huntAllowed / max(1, all[best].count)
	for from := 0; from < len(list) && left > 0 && ctx.Err() == nil; {
		if boardsFor(list[from].bound) >= h.goal() {
			break
		}
		to := from + 1
		for to < len(list) && list[to].bound-list[to-1].bound < 1e-7 {
			to++
		}
		h.group(ctx, list[from:to])
		left -= to - from
		from = to
	}
	h.close(ctx)
	h.wholeAtDrips(ctx, list, left)
	return h.all, h.best
}

// goal is how many boards the best so far takes.
func (h *hunting) goal() int { return h.all[h.best].count }

// group joins the lattices of one bound.
func (h *hunting) group(ctx context.Context, list []prey) {
	best := h.all[h.best].score
	for _, p := range list {
		b, ok := h.chase(ctx, p, &best)
		if !ok {
			h.spent = b.courses
			continue
		}
		if b.count < best.count {
			h.take(b)
		} else {
			h.near = append(h.near, b)
		}
	}
}

// wholeAtDrips looks among lattices with whole boards along the drips for one that takes
// no more boards than the best.
func (h *hunting) wholeAtDrips(ctx context.Context, list []prey, left int) {
	for _, p := range list {
		best := h.all[h.best].score
		if left <= 0 || ctx.Err() != nil {
			return
		}
		if boardsFor(p.bound) > best.count || p.ripM >= best.ripM-ripApartM {
			continue
		}
		left--
		b := p.boarding
		if h.join(ctx, &b, huntStyles) != nil || b.broken.total() > best.broken.total() || b.count > best.count+1 {
			continue
		}
		if b.improve(ctx, workAllowed/4); b.count <= best.count+1 {
			if h.cut(ctx, &b); b.better(&best) {
				h.take(b)
			}
		}
	}
}

func (h *hunting) take(b boarding) {
	h.all = append(h.all, b)
	if b.better(&h.all[h.best].score) {
		h.best = len(h.all) - 1
	}
}

// close lets the two-dimensional cutter try what came close, the waste that lies together
// best first.
func (h *hunting) close(ctx context.Context) {
	sort.SliceStable(h.near, func(i, j int) bool { return h.near[i].nearer(&h.near[j].score) })
	tried := 0
	for i := range h.near {
		b := &h.near[i]
		if h.goal() <= h.least || ctx.Err() != nil || tried >= closeTried {
			return
		}
		if b.count > h.goal() || b.cut.bound >= h.goal() {
			continue
		}
		tried++
		if h.cut(ctx, b); b.count < h.goal() {
			h.take(*b)
		}
	}
}

// boardsFor rounds a bound up to whole boards.
func boardsFor(bound float64) int { return int(math.Ceil(bound - 1e-6)) }

// lattices lists the row lattices that may do better than the best, by their bound.
func (s *boardSearch) lattices(best *score) []prey {
	var out []prey
	weighed := 0
	for _, v := range s.frames {
		for _, offset := range criticalOffsets(v.local, s.r) {
			for _, swap := range s.swaps {
				if weighed++; weighed > latticesWeighed*len(s.frames) {
					break
				}
				b := s.boarding(v, offset, swap)
				if narrowRuns(b.rows) > best.broken.total() {
					continue
				}
				bound, ripM := rowBound(b.rows, s.r), s.ripM(&b)
				if least := boardsFor(bound); least < best.count || (least == best.count && ripM < best.ripM-ripApartM) {
					out = append(out, prey{b, bound, ripM})
				}
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].bound < out[j].bound })
	return out
}

// chase joins a lattice and cuts its columns exactly. It reports whether it takes fewer
// boards than the best, or as many with blanks that may be cut from fewer.
func (h *hunting) chase(ctx context.Context, p prey, best *score) (boarding, bool) {
	b := p.boarding
	if h.join(ctx, &b, huntStyles) != nil || b.broken.total() > best.broken.total() || b.count > best.count+1 {
		return b, false
	}
	b.improve(ctx, workAllowed/3)
	if b.count > best.count || b.broken.total() > best.broken.total() {
		return b, false
	}
	b.settle(h.r)
	if b.count < best.count || len(h.hand) > 0 {
		h.cut(ctx, &b)
		return b, b.count < best.count
	}
	if key := keyOf(b.blanks); h.known[key] {
		return b, false
	} else {
		h.known[key] = true
	}
	b.cut = cutColumns(ctx, b.blanks, upMM(h.r.length), upMM(h.r.width), h.r.kerf)
	b.count = b.cut.boards
	b.cut.whole(upMM(h.r.length), upMM(h.r.width))
	return b, b.count < best.count || b.cut.bound < best.count
}

// keyOf is the same for the same blanks in any order.
func keyOf(blanks []blank) string {
	sizes := make([]uint64, len(blanks))
	for i, k := range blanks {
		sizes[i] = sizeOf(k)
	}
	slices.Sort(sizes)
	key := make([]byte, 0, 8*len(sizes))
	for _, v := range sizes {
		key = binary.BigEndian.AppendUint64(key, v)
	}
	return string(key)
}
