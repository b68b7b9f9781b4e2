package cutting

import "sort"

// The quick filling of one sheet: items one by one into the free part where they
// fit best, every choice of sorting and of the first cut's direction tried.

type sheetSort int

const (
	byArea sheetSort = iota
	byLength
	byWidth
	byLongSide
	sheetSorts
)

type splitRule int

const (
	splitShortLeft splitRule = iota // the first cut leaves the larger remaining part whole
	splitLongLeft
	splitAcross
	splitAlong
	splitRules
)

func (o *sheetOrder) sorted(by sheetSort) []int {
	idx := make([]int, len(o.items))
	for i := range idx {
		idx[i] = i
	}
	sort.SliceStable(idx, func(a, b int) bool {
		x, y := o.items[idx[a]], o.items[idx[b]]
		switch by {
		case byLength:
			return x.l > y.l || (x.l == y.l && x.w > y.w)
		case byWidth:
			return x.w > y.w || (x.w == y.w && x.l > y.l)
		case byLongSide:
			p, q := max(x.l, x.w), max(y.l, y.w)
			return p > q || (p == q && x.area > y.area)
		}
		return x.area > y.area
	})
	return idx
}

// greedySheet fills an l × w sheet from the demand d in the given item order.
func (o *sheetOrder) greedySheet(l, w int, d []int, idx []int, rule splitRule) (*part, []int, int64) {
	root := &part{l: l, w: w, item: -1}
	free := []*part{root}
	a := make([]int, len(o.items))
	var got int64
	for _, i := range idx {
		t := o.items[i]
		for a[i] < d[i] {
			at, turned := bestPart(free, t)
			if at < 0 {
				break
			}
			q := free[at]
			free = append(free[:at], free[at+1:]...)
			il, iw := t.l, t.w
			if turned {
				il, iw = iw, il
			}
			x, y := q.put(i, il, iw, turned, rule.across(q.l-il, q.w-iw))
			for _, r := range []*part{x, y} {
				if r != nil && o.useful(r, d, a) {
					free = append(free, r)
				}
			}
			a[i]++
			got += t.area
		}
	}
	return root, a, got
}

func (o *sheetOrder) useful(r *part, d, a []int) bool {
	for i, t := range o.items {
		if a[i] < d[i] && t.fits(r.l, r.w) {
			return true
		}
	}
	return false
}

func (r splitRule) across(leftL, leftW int) bool {
	switch r {
	case splitShortLeft:
		return leftL >= leftW
	case splitLongLeft:
		return leftL < leftW
	case splitAcross:
		return true
	}
	return false
}

// bestPart chooses the free part whose shorter leftover side is least.
func bestPart(free []*part, t panelType) (at int, turned bool) {
	at = -1
	best := 0
	for n, q := range free {
		for _, turn := range []bool{false, true} {
			l, w := t.l, t.w
			if turn {
				if !t.turn {
					continue
				}
				l, w = w, l
			}
			if l > q.l || w > q.w {
				continue
			}
			if left := min(q.l-l, q.w-w); at < 0 || left < best {
				at, turned, best = n, turn, left
			}
		}
	}
	return at, turned
}

// sequence cuts sheet after sheet, each time taking the filling with the lowest
// cost per area, and repeating it while demand lasts. It returns nil when the
// stock runs out.
func (o *sheetOrder) sequence(fill func(k int, d []int) (*part, []int, int64), demand, left []int) []sheetUse {
	d := append([]int(nil), demand...)
	left = append([]int(nil), left...)
	var uses []sheetUse
	for remaining(d) > 0 {
		var best sheetUse
		var bestGot int64
		for k, s := range o.sheets {
			if left[k] == 0 {
				continue
			}
			root, a, got := fill(k, d)
			if got > 0 && (bestGot == 0 || float64(s.cost)*float64(bestGot) < float64(o.sheets[best.k].cost)*float64(got)) {
				best, bestGot = sheetUse{k, root, a, left[k]}, got
			}
		}
		if bestGot == 0 {
			return nil
		}
		for i, n := range best.a {
			if n > 0 {
				best.times = min(best.times, d[i]/n)
			}
		}
		for i, n := range best.a {
			d[i] -= n * best.times
		}
		left[best.k] -= best.times
		uses = append(uses, best)
	}
	return uses
}

func (o *sheetOrder) available() []int {
	left := make([]int, len(o.sheets))
	for k, s := range o.sheets {
		left[k] = s.avail
	}
	return left
}

func (o *sheetOrder) demand() []int {
	d := make([]int, len(o.items))
	for i, t := range o.items {
		d[i] = t.d
	}
	return d
}

func (o *sheetOrder) costOf(uses []sheetUse) int64 {
	var c int64
	for _, u := range uses {
		c += o.sheets[u.k].cost * int64(u.times)
	}
	return c
}

// firstPlan tries every rule for whole plans, and once the best rule sheet by sheet.
func (o *sheetOrder) firstPlan(bound int64) []sheetUse {
	var best []sheetUse
	try := func(uses []sheetUse) bool {
		if uses != nil && (best == nil || o.costOf(uses) < o.costOf(best)) {
			best = uses
		}
		return best != nil && o.costOf(best) <= bound
	}
	orders := make([][]int, sheetSorts)
	for by := range orders {
		orders[by] = o.sorted(sheetSort(by))
	}
	for _, idx := range orders {
		for rule := splitRule(0); rule < splitRules; rule++ {
			if try(o.sequence(func(k int, d []int) (*part, []int, int64) {
				return o.greedySheet(o.sheets[k].l, o.sheets[k].w, d, idx, rule)
			}, o.demand(), o.available())) {
				return best
			}
		}
	}
	try(o.sequence(func(k int, d []int) (*part, []int, int64) {
		return o.bestGreedy(k, d, orders)
	}, o.demand(), o.available()))
	return best
}

// bestGreedy is the fullest of all greedy fillings of one sheet.
func (o *sheetOrder) bestGreedy(k int, d []int, orders [][]int) (*part, []int, int64) {
	var root *part
	var a []int
	var got int64
	for _, idx := range orders {
		for rule := splitRule(0); rule < splitRules; rule++ {
			if r, b, g := o.greedySheet(o.sheets[k].l, o.sheets[k].w, d, idx, rule); g > got {
				root, a, got = r, b, g
			}
		}
	}
	return root, a, got
}
