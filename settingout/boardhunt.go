package settingout

import (
	"context"
	"encoding/binary"
	"math"
	"slices"
	"sort"

	"gelwright/plane"
)

// huntAllowed bounds the hunt for one board less: row lattices tried times boards.
const huntAllowed = 1500

// huntStyles by huntStyles pairs of phases are tried of each lattice before it is improved.
const huntStyles = 3

// latticesWeighed bounds how many row lattices are cut and weighed by their bound, from each corner.
const latticesWeighed = 300

// improvedMost is how many boardings are improved, dripsTried how many are joined for the
// sake of whole boards at the drips.
const (
	improvedMost = 80
	dripsTried   = 20
)

// prey is a way to lay the rows that may take fewer boards than the best so far.
type prey struct {
	from   framed
	rows   []row
	offset float64
	bound  float64
	ripM   float64 // of board ripped along drips
	// parted rows have their lines on corners of the deck, which no one offset gives.
	parted bool
}

// huntedM2 is the largest deck that is hunted over, m²: on larger ones a board is under one in a hundred.
const huntedM2 = 300

// joinedApart is the part of the boards by which a way joined quickly may lag behind the best and still be
// improved.
const joinedApart = 7

// closeTried is how many boardings that come close are given to the two-dimensional cutter.
const closeTried = 4

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
func (s *boardSearch) hunt(ctx context.Context, all []boarding, best int, near []boarding) ([]boarding, int) {
	if all[best].count <= s.least || ctx.Err() != nil {
		return all, best
	}
	h := hunting{boardSearch: s, all: all, best: best, near: near, known: map[string]bool{}}
	list := s.lattices(&all[best].score)
	for _, parted := range []bool{false, true} {
		h.chase(ctx, h.some(list, parted))
	}
	h.close(ctx)
	h.exhaust(ctx, list)
	h.wholeAtDrips(ctx, list)
	return h.all, h.best
}

// some are the first of the ways that are parted or not, as many as are allowed.
func (h *hunting) some(list []prey, parted bool) []prey {
	var out []prey
	for i := range list {
		if len(out) < huntAllowed/max(1, h.goal()) && list[i].parted == parted {
			out = append(out, list[i])
		}
	}
	return out
}

// boardingOf is the deck boarded in the rows of prey.
func (s *boardSearch) boardingOf(p *prey) boarding {
	b := s.bare(p.from, p.offset)
	b.rows, b.parted = p.rows, p.parted
	return b
}

// chase joins the ways that can do better by their bound, quickly; the most promising are
// improved and cut exactly.
func (h *hunting) chase(ctx context.Context, list []prey) {
	best := h.all[h.best].score
	var got []boarding
	for i := range list {
		if boardsFor(list[i].bound) >= best.count || ctx.Err() != nil {
			break
		}
		for _, p := range h.bothWays(&list[i]) {
			b := h.boardingOf(&p)
			if h.join(ctx, &b, huntStyles) != nil || b.count > best.count+max(1, best.count/joinedApart) {
				h.spent = b.courses
				continue
			}
			got = append(got, b)
		}
	}
	sort.SliceStable(got, func(i, j int) bool { return got[i].nearer(&got[j].score) })
	for i := range got {
		if ctx.Err() != nil || i >= improvedMost && got[i].count >= h.goal() {
			break
		}
		h.finish(ctx, &got[i])
	}
}

// bothWays are the rows of prey laid from either end.
func (s *boardSearch) bothWays(p *prey) []prey {
	out := []prey{*p}
	for _, v := range s.frames {
		if v.f.U.Dot(p.from.f.U) > -0.5 || v.f.V.Dot(p.from.f.V) < 0.5 {
			continue
		}
		o := *p
		o.from, o.rows = v, nil
		for i := range p.rows {
			w := &p.rows[i]
			if x := rowAt(w.bay, v.local[w.bay], w.v0, w.v1); len(x.runs) > 0 {
				o.rows = append(o.rows, x)
			}
		}
		out = append(out, o)
	}
	return out
}

// finish improves a boarding and cuts its columns exactly, and takes it where it does better.
func (h *hunting) finish(ctx context.Context, b *boarding) {
	best := h.all[h.best].score
	b.improve(ctx, workAllowed/3)
	if b.count == best.count && b.broken.total() <= best.broken.total() {
		b.climb(ctx, workAllowed*2/3)
		if v := b.varied(ctx, best.count); v.count < best.count {
			*b = v
		}
	}
	if ctx.Err() != nil || b.count > best.count || b.broken.total() > best.broken.total() {
		return
	}
	b.settle(h.r)
	key := keyOf(b.blanks)
	if h.known[key] {
		return
	}
	h.known[key] = true
	h.cutColumns(ctx, b)
	switch {
	case b.count < best.count:
		h.take(*b)
	case b.cut.bound < best.count:
		h.near = append(h.near, *b)
	}
}

// goal is how many boards the best so far takes.
func (h *hunting) goal() int { return h.all[h.best].count }

// wholeAtDrips looks among lattices with whole boards along the drips for one that takes
// no more boards than the best.
func (h *hunting) wholeAtDrips(ctx context.Context, list []prey) {
	left := dripsTried
	for i := range list {
		p := &list[i]
		best := h.all[h.best].score
		if left <= 0 || ctx.Err() != nil {
			return
		}
		if boardsFor(p.bound) > best.count || p.ripM >= best.ripM-ripApartM {
			continue
		}
		left--
		b := h.boardingOf(p)
		if h.join(ctx, &b, huntStyles) != nil || b.broken.total() > best.broken.total() || b.count > best.count+1 {
			continue
		}
		if b.improve(ctx, workAllowed/4); b.count <= best.count+1 {
			if h.cutColumns(ctx, &b); b.better(&best) {
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

// lattices lists the ways to lay the rows that may do better than the best, by their bound.
// Each is looked at from one corner: the rows are the same from all of them.
func (s *boardSearch) lattices(best *score) []prey {
	var out []prey
	weigh := func(p prey) {
		if narrowRuns(p.rows) > best.broken.total() {
			return
		}
		p.bound, p.ripM = rowBound(p.rows, s.r), s.ripM(p.from.f, p.rows)
		if least := boardsFor(p.bound); least < best.count || (least == best.count && p.ripM < best.ripM-ripApartM) {
			out = append(out, p)
		}
	}
	if widths := s.spec.SetOut.BoardRowsM; len(widths) > 0 {
		for _, v := range s.frames {
			weigh(prey{from: v, rows: givenRows(v.local, widths, s.r), parted: true})
		}
		return out
	}
	for _, v := range s.canonical() {
		for _, swap := range s.swaps {
			origin := lattices(v.local, s.lines, v.f, s.r.pitch, 0, swap)
			offsets, bounds := workingOffsets(v.local, origin, s.r)
			weighed := 0
			for i, offset := range offsets {
				if boardsFor(bounds[i]) > best.count || weighed >= latticesWeighed {
					continue
				}
				weighed++
				weigh(prey{from: v, offset: offset, rows: rowsOf(v.local, shifted(origin, offset), s.r)})
			}
		}
		for _, rows := range partedRows(v.local, s.r) {
			weigh(prey{from: v, rows: rows, parted: true})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].bound < out[j].bound })
	return out
}

// canonical are the frames from which a deck looks the same however it is turned or
// mirrored: along each axis the one in which more of the deck, and then the first joist, lies
// near the corner; all that are alike.
func (s *boardSearch) canonical() []framed {
	var out []framed
	for i, v := range s.frames {
		first := true
		for k, o := range s.frames {
			if k != i && math.Abs(o.f.U.Dot(v.f.U)) > 0.5 && leans(&o, &v) {
				first = false
			}
		}
		if first {
			out = append(out, v)
		}
	}
	return out
}

// leans reports whether more of the deck lies near the corner in a than in b.
func leans(a, b *framed) bool {
	at := func(v *framed) [3]float64 {
		low, high := boundsOf(v.local)
		c := centroid(v.local).Sub(low.Add(high).Scale(0.5))
		joist := 0.0
		if !v.g.free {
			joist = math.Mod(math.Mod(v.g.first-low.X, v.g.spacing)+v.g.spacing+1e-7, v.g.spacing)
		}
		return [3]float64{c.X, c.Y, joist}
	}
	p, q := at(a), at(b)
	for i := range p {
		if math.Abs(p[i]-q[i]) > 1e-5 {
			return p[i] < q[i]
		}
	}
	return false
}

// boundsOf is the least rectangle round all bays.
func boundsOf(bays []bay) (low, high plane.Point) {
	for i, b := range bays {
		lo, hi := b.region.Bounds()
		if i == 0 {
			low, high = lo, hi
			continue
		}
		low, high = plane.Point{X: min(low.X, lo.X), Y: min(low.Y, lo.Y)}, plane.Point{X: max(high.X, hi.X), Y: max(high.Y, hi.Y)}
	}
	return low, high
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
