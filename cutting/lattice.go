package cutting

import "context"

// lattice holds every set of panels that can be cut from one sheet, the smaller sets first: a
// set can be only if each of its parts can. With a set stand the least rectangles that hold it.
type lattice struct {
	o       *sheetOrder
	sets    []panelSet
	corners []corner
	child   childTable
	// Scratch.
	ids   []int32
	front []corner
	types []int16
}

// panelSet is a set of panels, by what it has more than another: its highest type.
type panelSet struct {
	parent int32
	area   int64
	from   int32 // its corners
	n      int16
	count  int16 // of panels
	typ    int16
	again  int16  // how many of this type are in it
	fits   uint32 // a bit for each kind of sheet that it can be cut from
	below  uint32 // and for each from which a panel more can be cut with it
}

// corner is the far corner of a rectangle that holds a set, and what it is joined from.
type corner struct {
	l, w          int32
	first, second int32 // −1 a single panel
	item          int16
	beside, turn  bool
}

const (
	// latticeSets, latticeCorners and latticeWork bound a lattice, for each unit of effort; no sheet of more than latticePanels
	// panels is listed.
	latticeSets    = 150000
	latticeCorners = 1500000
	latticeWork    = 150000000
	latticePanels  = 12
)

// newLattice lists the sets, or returns nil where they are too many.
func newLattice(ctx context.Context, o *sheetOrder) *lattice {
	t := &lattice{o: o, child: newChildTable()}
	t.sets = append(t.sets, panelSet{parent: -1, typ: -1})
	effort := max(1, o.effort)
	work := latticeWork * effort
	for i := 0; i < len(t.sets); i++ {
		if i%askEvery == 0 && ctx.Err() != nil {
			return nil
		}
		s := t.sets[i]
		for typ := max(0, s.typ); int(typ) < len(o.items); typ++ {
			again := int16(1)
			if typ == s.typ {
				again += s.again
			}
			if int(again) > o.items[typ].d {
				continue
			}
			work -= t.extend(int32(i), typ, again)
			if len(t.sets) > latticeSets*effort || len(t.corners) > latticeCorners*effort || work < 0 || s.count >= latticePanels {
				return nil
			}
		}
	}
	return t
}

// kinds are the kinds of sheet that a set fits.
func (t *lattice) kinds(s *panelSet) uint32 {
	var out uint32
	for i := s.from; i < s.from+int32(s.n); i++ {
		for k, f := range t.o.sheets {
			if c := &t.corners[i]; int(c.l) <= f.l && int(c.w) <= f.w {
				out |= 1 << k
			}
		}
	}
	return out
}

// fits reports whether a rectangle fits some sheet.
func (t *lattice) fits(l, w int32) bool {
	for _, s := range t.o.sheets {
		if int(l) <= s.l && int(w) <= s.w {
			return true
		}
	}
	return false
}

// extend adds the set of one panel more, where it can be cut, and returns the work done.
func (t *lattice) extend(parent int32, typ, again int16) int {
	p := &t.o.items[typ]
	s := panelSet{parent: parent, typ: typ, again: again, count: t.sets[parent].count + 1, area: t.sets[parent].area + p.area}
	t.front = t.front[:0]
	work := 1
	if s.count == 1 {
		t.put(corner{l: int32(p.l), w: int32(p.w), first: -1, item: typ})
		if p.turn {
			t.put(corner{l: int32(p.w), w: int32(p.l), first: -1, item: typ, turn: true})
		}
	} else if !t.roomFor(s.area) || !t.parts(parent, typ) {
		return int(s.count)
	} else {
		work = t.join(int(s.count))
	}
	if len(t.front) == 0 {
		return work
	}
	s.from, s.n = int32(len(t.corners)), int16(len(t.front))
	t.corners = append(t.corners, t.front...)
	t.sets = append(t.sets, s)
	id := int32(len(t.sets) - 1)
	t.child.put(parent, typ, id)
	fits := t.kinds(&t.sets[id])
	t.sets[id].fits = fits
	for bit := 0; s.count > 1 && bit < int(s.count); bit++ {
		t.sets[t.ids[len(t.ids)^1<<bit]].below |= fits
	}
	return work
}

func (t *lattice) roomFor(area int64) bool {
	for _, s := range t.o.sheets {
		if area <= s.area() {
			return true
		}
	}
	return false
}

// parts finds the sets that the parts of parent and one panel more are, by bits of their panels; false where one
// cannot be cut.
func (t *lattice) parts(parent int32, typ int16) bool {
	t.types = append(t.typesOf(parent, t.types[:0]), typ)
	n := len(t.types)
	t.ids = append(t.ids[:0], 0)
	for bit := range n {
		for m := range 1 << bit {
			if bit == n-1 && m == 1<<bit-1 {
				break // the set itself
			}
			id := t.child.get(t.ids[m], t.types[bit])
			if id < 0 {
				return false
			}
			t.ids = append(t.ids, id)
		}
	}
	return true
}

// typesOf lists a set's panels by rising type.
func (t *lattice) typesOf(id int32, out []int16) []int16 {
	for ; id > 0; id = t.sets[id].parent {
		out = append(out, t.sets[id].typ)
	}
	for i, k := 0, len(out)-1; i < k; i, k = i+1, k-1 {
		out[i], out[k] = out[k], out[i]
	}
	return out
}

// join puts the parts of a set together in every way.
func (t *lattice) join(n int) int {
	all := 1<<n - 1
	work := all
	for m := 1; m < all; m += 2 { // the first panel is in the one part
		a, b := &t.sets[t.ids[m]], &t.sets[t.ids[all^m]]
		work += int(a.n) * int(b.n)
		for i := a.from; i < a.from+int32(a.n); i++ {
			x := &t.corners[i]
			for k := b.from; k < b.from+int32(b.n); k++ {
				y := &t.corners[k]
				t.put(corner{l: x.l + y.l, w: max(x.w, y.w), first: i, second: k, beside: true})
				t.put(corner{l: max(x.l, y.l), w: x.w + y.w, first: i, second: k})
			}
		}
	}
	return work
}

// put keeps a rectangle that fits a sheet unless one is known that is no greater.
func (t *lattice) put(c corner) {
	for i := range t.front {
		if f := &t.front[i]; f.l <= c.l && f.w <= c.w {
			return
		}
	}
	if !t.fits(c.l, c.w) {
		return
	}
	out := t.front[:0]
	for _, f := range t.front {
		if f.l < c.l || f.w < c.w {
			out = append(out, f)
		}
	}
	t.front = append(out, c)
}

// counts are a set's panels by type.
func (t *lattice) counts(id int32) []int {
	a := make([]int, len(t.o.items))
	for ; id > 0; id = t.sets[id].parent {
		a[t.sets[id].typ]++
	}
	return a
}

// sheet is a sheet of a kind cut into a set that fits it.
func (t *lattice) sheet(k int, id int32) sheetUse {
	o, s := t.o, &t.sets[id]
	root := &part{l: o.sheets[k].l, w: o.sheets[k].w, item: -1}
	for i := s.from; i < s.from+int32(s.n); i++ {
		if c := &t.corners[i]; int(c.l) <= root.l && int(c.w) <= root.w {
			t.lay(i, root)
			break
		}
	}
	return sheetUse{k, root, t.counts(id), 1}
}

// lay cuts a rectangle out of the lower left corner of a part.
func (t *lattice) lay(i int32, q *part) {
	c := &t.corners[i]
	if q.l > int(c.l) {
		q.split(true, int(c.l))
		q = q.a
	}
	if q.w > int(c.w) {
		q.split(false, int(c.w))
		q = q.a
	}
	if c.first < 0 {
		q.item, q.turned = int(c.item), c.turn
		return
	}
	if f := &t.corners[c.first]; c.beside {
		q.split(true, int(f.l))
	} else {
		q.split(false, int(f.w))
	}
	t.lay(c.first, q.a)
	t.lay(c.second, q.b)
}

// childTable finds a set from one with a panel less, by open addressing.
type childTable struct {
	keys []uint64 // 0 for none
	ids  []int32
	n    int
}

func newChildTable() childTable {
	return childTable{keys: make([]uint64, 1<<12), ids: make([]int32, 1<<12)}
}

func childKey(parent int32, typ int16) uint64 { return (uint64(parent)<<16 | uint64(typ)) + 1 }

func (c *childTable) slot(key uint64) int {
	mask := len(c.keys) - 1
	h := key * 0x9E3779B97F4A7C15
	at := int(h>>32) & mask
	for c.keys[at] != 0 && c.keys[at] != key {
		at = (at + 1) & mask
	}
	return at
}

func (c *childTable) get(parent int32, typ int16) int32 {
	key := childKey(parent, typ)
	if at := c.slot(key); c.keys[at] == key {
		return c.ids[at]
	}
	return -1
}

func (c *childTable) put(parent int32, typ int16, id int32) {
	if 2*c.n >= len(c.keys) {
		keys, ids := c.keys, c.ids
		c.keys, c.ids = make([]uint64, 2*len(keys)), make([]int32, 2*len(keys))
		for i, k := range keys {
			if k != 0 {
				at := c.slot(k)
				c.keys[at], c.ids[at] = k, ids[i]
			}
		}
	}
	c.n++
	at := c.slot(childKey(parent, typ))
	c.keys[at], c.ids[at] = childKey(parent, typ), id
}
