package cutting

import (
	"context"
	"math/bits"
	"slices"
)

// slab is a rectangle joined together from panels by guillotine joins.
type slab struct {
	l, w          int
	n             tally
	area          int64 // of its panels
	value         float64
	first, second int32 // what it was joined from, −1 for a single panel
	item          int32
	turned        bool
	beside        bool // second lies beside first along the length, else above it
}

// tally counts panels of each type in fields of bits, with a bit to spare behind each.
type tally [2]uint64

// pool is what one sheet is filled from: some types of panel and how many of each.
type pool struct {
	o          *sheetOrder
	l, w       int
	types      []int
	unit       []tally // one panel of each type of the order
	d          []int
	pad, guard tally
	slabs      []slab
	leastSide  int
}

// newPool takes types in the given order as far as their counts can be told apart; all
// reports whether these are all.
func newPool(o *sheetOrder, k int, d, order []int) (p *pool, all bool) {
	s := o.sheets[k]
	p = &pool{o: o, l: s.l, w: s.w, unit: make([]tally, len(o.items)), d: make([]int, len(o.items)), leastSide: min(s.l, s.w)}
	at, word, all := 0, 0, true
	for _, i := range order {
		t := o.items[i]
		n := d[i]
		if n <= 0 || !t.fits(s.l, s.w) {
			continue
		}
		n = min(n, int(s.area()/t.area))
		need := bits.Len(uint(n)) + 1
		if at+need > 64 {
			at, word = 0, word+1
		}
		if word > 1 {
			all = false
			break
		}
		p.types = append(p.types, i)
		p.d[i] = n
		p.unit[i][word] = 1 << at
		p.pad[word] |= (1<<(need-1) - 1 - uint64(n)) << at
		p.guard[word] |= 1 << (at + need - 1)
		p.leastSide = min(p.leastSide, t.l, t.w)
		at += need
	}
	return p, all
}

// add is the sum of two counts, false where it is more than there are.
func (p *pool) add(a, b tally) (tally, bool) {
	c := tally{a[0] + b[0], a[1] + b[1]}
	return c, (c[0]+p.pad[0])&p.guard[0]|(c[1]+p.pad[1])&p.guard[1] == 0
}

// counts are those of a slab by type.
func (p *pool) counts(n tally) []int {
	a := make([]int, len(p.o.items))
	for _, i := range p.types {
		word := 0
		if p.unit[i][0] == 0 {
			word = 1
		}
		a[i] = int(n[word]>>bits.TrailingZeros64(p.unit[i][word])) & (1<<bits.Len(uint(p.d[i])) - 1)
	}
	return a
}

// singles starts the slabs with the panels themselves; value gives each type's worth.
func (p *pool) singles(value func(i int) float64) {
	p.slabs = p.slabs[:0]
	for _, i := range p.types {
		t := p.o.items[i]
		for _, turned := range []bool{false, true} {
			l, w := t.l, t.w
			if turned {
				l, w = w, l
			}
			if turned && !t.turn || l > p.l || w > p.w {
				continue
			}
			p.slabs = append(p.slabs, slab{l: l, w: w, n: p.unit[i], area: t.area, value: value(i), first: -1, item: int32(i), turned: turned})
		}
	}
}

// sheet is the sheet cut as a slab says.
func (p *pool) sheet(k int, s int32) sheetUse {
	root := &part{l: p.l, w: p.w, item: -1}
	p.lay(s, root)
	return sheetUse{k, root, p.counts(p.slabs[s].n), 1}
}

// lay cuts a slab out of the lower left corner of a part.
func (p *pool) lay(s int32, q *part) {
	b := &p.slabs[s]
	q = q.corner(b.l, b.w)
	if b.first < 0 {
		q.item, q.turned = int(b.item), b.turned
		return
	}
	if f := &p.slabs[b.first]; b.beside {
		q.split(true, f.l)
	} else {
		q.split(false, f.w)
	}
	p.lay(b.first, q.a)
	p.lay(b.second, q.b)
}

// joined lists every slab that wastes no more than so much area within itself (P. Wang 1983), as
// long as these are at most most and the joins tried no more than the budget; false where they
// are more. Of slabs of the same panels those are left out that are no less in either side.
func (p *pool) joined(ctx context.Context, waste int64, most int, budget *int) bool {
	p.singles(func(int) float64 { return 0 })
	whole := int64(p.l) * int64(p.w)
	known := map[tally][]int32{}
	for i := range p.slabs {
		known[p.slabs[i].n] = append(known[p.slabs[i].n], int32(i))
	}
	for i := 0; i < len(p.slabs); i++ {
		if *budget -= i + 1; *budget < 0 || len(p.slabs) > most || ctx.Err() != nil {
			return false
		}
		for j := 0; j <= i; j++ {
			a, b := &p.slabs[i], &p.slabs[j]
			area := a.area + b.area
			if area > whole {
				continue
			}
			n, ok := p.add(a.n, b.n)
			if !ok {
				continue
			}
			if l, w := a.l+b.l, max(a.w, b.w); l <= p.l && int64(l)*int64(w)-area <= waste {
				p.keep(known, slab{l: l, w: w, n: n, area: area, first: int32(i), second: int32(j), beside: true})
			}
			if l, w := max(p.slabs[i].l, p.slabs[j].l), p.slabs[i].w+p.slabs[j].w; w <= p.w && int64(l)*int64(w)-area <= waste {
				p.keep(known, slab{l: l, w: w, n: n, area: area, first: int32(i), second: int32(j)})
			}
		}
	}
	return true
}

// keep adds a slab unless one of the same panels is no greater.
func (p *pool) keep(known map[tally][]int32, s slab) {
	list := known[s.n]
	for _, k := range list {
		if o := &p.slabs[k]; o.l <= s.l && o.w <= s.w {
			return
		}
	}
	p.slabs = append(p.slabs, s)
	known[s.n] = append(list, int32(len(p.slabs)-1))
}

// fullest lists the slabs that leave no more than so much of the sheet, one of each set of panels.
func (p *pool) fullest(waste int64) []int32 {
	whole := int64(p.l) * int64(p.w)
	met := map[tally]bool{}
	var out []int32
	for i := range p.slabs {
		if s := &p.slabs[i]; whole-s.area <= waste && !met[s.n] {
			met[s.n] = true
			out = append(out, int32(i))
		}
	}
	slices.SortStableFunc(out, func(a, b int32) int { return int(p.slabs[b].area - p.slabs[a].area) })
	return out
}
