package cutting

import "sort"

// grid holds the places where a cut of a sheet can matter: sums of item sides
// (Herz 1972), thinned to raster points (Terno, Lindemann, Scheithauer 1987).
type grid struct {
	l, w           int
	ps, qs         []int // rising; ps along the length, qs along the width
	allP, allQ     []int // the sums themselves, before thinning
	allAtP, allAtQ []int // index of the greatest sum ≤ x
	atP            []int // atP[x]: index of the greatest point ≤ x, −1 below the first
	atQ            []int

	value  []int64 // per (p, q), row by row of p
	spent  int64   // steps of all fillings so far
	choice []int32 // 0 nothing; > 0 item·2 + turned + 1; < 0 a cut, see cutAt
	cut    []int32 // point index of the cut
}

const (
	nothing   int32 = 0
	cutAcross int32 = -1
	cutAlong  int32 = -2
)

// sums returns all sums of the given sides up to limit, each side used at most
// copies[i] times, without 0.
func sums(sides, copies []int, limit int) []bool {
	can := make([]bool, limit+1)
	can[0] = true
	used := make([]int, limit+1)
	for i, s := range sides {
		for x := range used {
			used[x] = 0
		}
		for x := s; x <= limit; x++ {
			if !can[x] && can[x-s] && used[x-s] < copies[i] {
				can[x] = true
				used[x] = used[x-s] + 1
			}
		}
	}
	return can
}

// raster thins the sums: x matters only as what is left beside another sum.
func raster(can []bool) []int {
	limit := len(can) - 1
	below := make([]int, limit+1)
	for x := 1; x <= limit; x++ {
		below[x] = below[x-1]
		if can[x] {
			below[x] = x
		}
	}
	keep := map[int]bool{}
	for x := 0; x <= limit; x++ {
		if can[x] && below[limit-x] > 0 {
			keep[below[limit-x]] = true
		}
	}
	var out []int
	for x := range keep {
		out = append(out, x)
	}
	sort.Ints(out)
	return out
}

func newGrid(o *sheetOrder, l, w int) *grid {
	g := &grid{l: l, w: w}
	var ls, ws, lc, wc []int
	for _, t := range o.items {
		if t.fits(l, w) {
			ls, lc = append(ls, t.l), append(lc, t.d)
			ws, wc = append(ws, t.w), append(wc, t.d)
			if t.turn {
				ls, lc = append(ls, t.w), append(lc, t.d)
				ws, wc = append(ws, t.l), append(wc, t.d)
			}
		}
	}
	g.allP, g.ps, g.atP = points(ls, lc, l)
	g.allQ, g.qs, g.atQ = points(ws, wc, w)
	g.allAtP, g.allAtQ = lookUp(g.allP, l), lookUp(g.allQ, w)
	return g
}

// points returns the fewer of two sets that are both enough: all sums with the
// copies wanted, or the raster points of the sums with any number of copies. (The
// proof for raster points needs any number.)
func points(sides, copies []int, limit int) (all, at, index []int) {
	for x, can := range sums(sides, copies, limit) {
		if can && x > 0 {
			at = append(at, x)
		}
	}
	all = at
	many := make([]int, len(copies))
	for i := range many {
		many[i] = limit
	}
	if r := raster(sums(sides, many, limit)); len(r) < len(at) {
		at = r
	}
	return all, at, lookUp(at, limit)
}

// lookUp returns, for each x up to limit, the index of the greatest point ≤ x, −1
// below the first.
func lookUp(at []int, limit int) []int {
	index := make([]int, limit+1)
	n := -1
	for x := range index {
		for n+1 < len(at) && at[n+1] <= x {
			n++
		}
		index[x] = n
	}
	return index
}

// work is the number of steps of one filling of the grid.
func (g *grid) work() int64 {
	p, q := int64(len(g.ps)), int64(len(g.qs))
	return p * q * (p + q) / 4
}

// solve finds, for each point, the most valuable guillotine cutting when every item
// may be cut any number of times (Gilmore, Gomory 1966; Cintra and others 2008).
// Exact in whole numbers.
func (g *grid) solve(o *sheetOrder, v []int64) {
	np, nq := len(g.ps), len(g.qs)
	g.spent += g.work()
	if g.value == nil {
		g.value, g.choice, g.cut = make([]int64, np*nq), make([]int32, np*nq), make([]int32, np*nq)
	}
	for i := range g.value {
		g.value[i], g.choice[i] = 0, nothing
	}
	for n, t := range o.items {
		if v[n] <= 0 {
			continue
		}
		g.single(t.l, t.w, v[n], int32(n*2+1))
		if t.turn {
			g.single(t.w, t.l, v[n], int32(n*2+2))
		}
	}
	for i, p := range g.ps {
		row := g.value[i*nq : (i+1)*nq]
		for j := range row {
			if i > 0 && g.value[(i-1)*nq+j] > row[j] {
				g.copyFrom(i*nq+j, (i-1)*nq+j)
			}
			if j > 0 && row[j-1] > row[j] {
				g.copyFrom(i*nq+j, i*nq+j-1)
			}
		}
		for a := 0; a < i && 2*g.ps[a] <= p; a++ {
			b := g.atP[p-g.ps[a]]
			if b < 0 {
				continue
			}
			va, vb := g.value[a*nq:(a+1)*nq], g.value[b*nq:(b+1)*nq]
			for j := range row {
				if s := va[j] + vb[j]; s > row[j] {
					row[j] = s
					g.choice[i*nq+j], g.cut[i*nq+j] = cutAcross, int32(a)
				}
			}
		}
		for j, q := range g.qs {
			if j > 0 && row[j-1] > row[j] {
				g.copyFrom(i*nq+j, i*nq+j-1)
			}
			best := row[j]
			for a := 0; a < j && 2*g.qs[a] <= q; a++ {
				if b := g.atQ[q-g.qs[a]]; b >= 0 {
					if s := row[a] + row[b]; s > best {
						best = s
						g.choice[i*nq+j], g.cut[i*nq+j] = cutAlong, int32(a)
					}
				}
			}
			row[j] = best
		}
	}
}

// copyFrom takes over what a smaller rectangle holds.
func (g *grid) copyFrom(to, from int) {
	g.value[to], g.choice[to], g.cut[to] = g.value[from], g.choice[from], g.cut[from]
}

// single offers one item at the least point that holds it.
func (g *grid) single(l, w int, v int64, choice int32) {
	i := sort.SearchInts(g.ps, l)
	j := sort.SearchInts(g.qs, w)
	if i == len(g.ps) || j == len(g.qs) {
		return
	}
	if at := i*len(g.qs) + j; v > g.value[at] {
		g.value[at], g.choice[at] = v, choice
	}
}

// top is the value of the whole sheet.
func (g *grid) top() int64 { return g.at(g.l, g.w) }

func (g *grid) at(l, w int) int64 {
	i, j := g.atP[l], g.atQ[w]
	if i < 0 || j < 0 {
		return 0
	}
	return g.value[i*len(g.qs)+j]
}

// cutting builds the part tree of the best cutting; an item is placed at most left[i] times
// and left is counted down; what would be surplus stays empty.
func (g *grid) cutting(o *sheetOrder, left []int) *part {
	root := &part{l: g.l, w: g.w, item: -1}
	g.build(o, root, left)
	return root
}

func (g *grid) build(o *sheetOrder, q *part, left []int) {
	i, j := g.atP[q.l], g.atQ[q.w]
	if i < 0 || j < 0 {
		return
	}
	at := i*len(g.qs) + j
	switch c := g.choice[at]; c {
	case nothing:
	case cutAcross:
		q.split(true, g.ps[g.cut[at]])
		g.build(o, q.a, left)
		g.build(o, q.b, left)
	case cutAlong:
		q.split(false, g.qs[g.cut[at]])
		g.build(o, q.a, left)
		g.build(o, q.b, left)
	default:
		n, turned := int(c-1)/2, (c-1)%2 == 1
		if left[n] == 0 {
			return
		}
		left[n]--
		l, w := o.items[n].l, o.items[n].w
		if turned {
			l, w = w, l
		}
		q.put(n, l, w, turned, q.l-l >= q.w-w)
	}
}

// split cuts an empty part in two.
func (q *part) split(across bool, at int) {
	q.across, q.at = across, at
	q.a, q.b = &part{l: q.l, w: q.w, item: -1}, &part{l: q.l, w: q.w, item: -1}
	if across {
		q.a.l, q.b.l = at, q.l-at
	} else {
		q.a.w, q.b.w = at, q.w-at
	}
}

// corner cuts the lower left corner of a length and a width out of an empty part, its length first, and gives it.
func (q *part) corner(l, w int) *part {
	if q.l > l {
		q.split(true, l)
		q = q.a
	}
	if q.w > w {
		q.split(false, w)
		q = q.a
	}
	return q
}
