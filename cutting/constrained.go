package cutting

import (
	"container/heap"
	"context"
)

// built is a rectangle put together from items by guillotine joins.
type built struct {
	l, w  int
	n     []uint16
	value int64
	upper int64
	item  int
	turn  bool
	beside,
	above *built // second half of a join: beside along the length, above along the width
	first *built
	index int
}

// limitedPlate finds the most valuable guillotine cutting of one sheet with at
// most d copies of each item: rectangles are joined bottom-up, the most promising
// first, where the promise is the value inside plus the most that the rest of the
// sheet could add with unlimited copies (Viswanathan, Bagchi 1993). It stops at
// the first whole promise that is kept, hence optimal, or after budget joins.
type limitedPlate struct {
	o      *sheetOrder
	v      []int64
	d      []int
	g      *grid
	rest   []int64 // per (l, w) point: the most that can be added outside
	open   builtHeap
	closed []*built
	seen   map[string]bool
	best   *built
	budget int
	made   int
}

type builtHeap []*built

func (h builtHeap) Len() int { return len(h) }
func (h builtHeap) Less(a, b int) bool {
	if h[a].upper != h[b].upper {
		return h[a].upper > h[b].upper
	}
	if h[a].value != h[b].value {
		return h[a].value > h[b].value
	}
	return h[a].index < h[b].index
}
func (h builtHeap) Swap(a, b int) { h[a], h[b] = h[b], h[a] }
func (h *builtHeap) Push(x any)   { *h = append(*h, x.(*built)) }
func (h *builtHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// bestPlate returns the cutting, its value, and whether it is proven the best. It
// returns at once (unproven, with nothing) when even the relaxed value does not
// exceed floor.
func (o *sheetOrder) bestPlate(ctx context.Context, g *grid, v []int64, d []int, floor int64, budget *int) (root *part, value int64,
	proven bool) {
	p := &limitedPlate{o: o, v: v, d: d, g: g, seen: map[string]bool{}, budget: *budget}
	defer func() { *budget = p.budget }()
	wanted := append([]int64(nil), v...)
	for i, n := range d {
		if n == 0 {
			wanted[i] = 0
		}
	}
	g.solve(o, wanted)
	if g.top() <= floor {
		return nil, floor, true
	}
	p.outside()
	least := floor
	for i, t := range o.items {
		if d[i] == 0 || v[i] <= 0 {
			continue
		}
		for _, turn := range []bool{false, true} {
			if turn && !t.turn {
				continue
			}
			b := &built{l: t.l, w: t.w, n: make([]uint16, len(d)), value: v[i], item: i, turn: turn}
			if turn {
				b.l, b.w = b.w, b.l
			}
			b.n[i] = 1
			p.offer(b, &least)
		}
	}
	for p.open.Len() > 0 {
		if p.budget <= 0 || ctx.Err() != nil {
			return p.tree(), least, false
		}
		b := heap.Pop(&p.open).(*built)
		if b.upper <= least {
			break
		}
		p.closed = append(p.closed, b)
		for _, c := range p.closed {
			p.join(b, c, &least)
		}
	}
	return p.tree(), least, true
}

// tree turns the best rectangle into a part tree, nil when there is none.
func (p *limitedPlate) tree() *part {
	if p.best == nil {
		return nil
	}
	root := &part{l: p.g.l, w: p.g.w, item: -1}
	p.best.lay(root)
	return root
}

// join puts two rectangles side by side and one above the other.
func (p *limitedPlate) join(a, b *built, least *int64) {
	p.budget--
	for i, n := range a.n {
		if int(n)+int(b.n[i]) > p.d[i] {
			return
		}
	}
	if a.l+b.l <= p.g.l {
		p.offer(&built{l: a.l + b.l, w: max(a.w, b.w), item: -1, first: a, beside: b}, least)
	}
	if a.w+b.w <= p.g.w {
		p.offer(&built{l: max(a.l, b.l), w: a.w + b.w, item: -1, first: a, above: b}, least)
	}
}

// offer keeps a rectangle if it fits, is new and promises more than the best so far.
func (p *limitedPlate) offer(b *built, least *int64) {
	if b.l > p.g.l || b.w > p.g.w {
		return
	}
	if b.first != nil {
		second := b.beside
		if second == nil {
			second = b.above
		}
		b.value = b.first.value + second.value
	}
	b.upper = b.value + p.rest[p.g.allAtP[b.l]*len(p.g.allQ)+p.g.allAtQ[b.w]]
	if b.upper <= *least {
		return
	}
	if b.first != nil {
		second := b.beside
		if second == nil {
			second = b.above
		}
		b.n = make([]uint16, len(p.d))
		for i := range b.n {
			b.n[i] = b.first.n[i] + second.n[i]
		}
	}
	id := b.id()
	if p.seen[id] {
		return
	}
	p.seen[id] = true
	if b.value > *least {
		*least, p.best = b.value, b
	}
	p.made++
	b.index = p.made
	heap.Push(&p.open, b)
}

func (b *built) id() string {
	s := make([]byte, 0, 8+2*len(b.n))
	s = append(s, byte(b.l), byte(b.l>>8), byte(b.l>>16), byte(b.w), byte(b.w>>8), byte(b.w>>16))
	for _, n := range b.n {
		s = append(s, byte(n), byte(n>>8))
	}
	return string(s)
}

// outsideWork is the number of steps that filling rest takes.
func (g *grid) outsideWork() int64 {
	p, q := int64(len(g.allP)), int64(len(g.allQ))
	return p * q * (p + q) / 2
}

// outside fills rest: the most that joins around a rectangle can add. Rectangles
// have sides that are sums of item sides, so rest is kept at those only.
func (p *limitedPlate) outside() {
	g := p.g
	nw := len(g.allQ)
	p.rest = make([]int64, len(g.allP)*nw)
	for i := len(g.allP) - 1; i >= 0; i-- {
		for j := nw - 1; j >= 0; j-- {
			l, w := g.allP[i], g.allQ[j]
			var best int64 // the empty space may also be left over
			if i+1 < len(g.allP) {
				best = p.rest[(i+1)*nw+j]
			}
			if j+1 < nw {
				best = max(best, p.rest[i*nw+j+1])
			}
			for _, u := range g.allP {
				if l+u > g.l {
					break
				}
				best = max(best, p.rest[g.allAtP[l+u]*nw+j]+g.at(u, w))
			}
			for _, u := range g.allQ {
				if w+u > g.w {
					break
				}
				best = max(best, p.rest[i*nw+g.allAtQ[w+u]]+g.at(l, u))
			}
			p.rest[i*nw+j] = best
		}
	}
}

// lay cuts a built rectangle out of the lower left corner of a part.
func (b *built) lay(q *part) {
	q = q.corner(b.l, b.w)
	switch {
	case b.item >= 0:
		q.item, q.turned = b.item, b.turn
	case b.beside != nil:
		q.split(true, b.first.l)
		b.first.lay(q.a)
		b.beside.lay(q.b)
	default:
		q.split(false, b.first.w)
		b.first.lay(q.a)
		b.above.lay(q.b)
	}
}
