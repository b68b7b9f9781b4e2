package cutting

// bestStockFor returns for each filled amount the stock kind whose bar holds it at
// the least cost among those with bars left, or −1.
func (o *order) bestStockFor(filled int, left []int) int {
	best := -1
	for k, size := range o.cap {
		if size < filled || left[k] == 0 {
			continue
		}
		if best < 0 || o.cost[k] < o.cost[best] || (o.cost[k] == o.cost[best] && size < o.cap[best]) {
			best = k
		}
	}
	return best
}

func remaining(d []int) int {
	n := 0
	for _, x := range d {
		n += x
	}
	return n
}

// fill is a way to choose the pieces of one bar of the given size from what is
// still wanted.
type fill func(size int, d []int) []int

// greedyFill takes the longest piece that fits, again and again (first fit
// decreasing, seen from the bar).
func (o *order) greedyFill(size int, d []int) []int {
	a := make([]int, len(o.w))
	for i, w := range o.w {
		if d[i] > 0 && w <= size {
			a[i] = min(d[i], size/w)
			size -= a[i] * w
		}
	}
	return a
}

// bySequence cuts bar after bar: of all stock kinds it takes the one whose filled
// bar is cheapest by the length it yields, repeats that pattern while demand
// lasts, and goes on. It returns nil when the stock runs out.
func (o *order) bySequence(f fill) []use {
	d := append([]int(nil), o.d...)
	left := append([]int(nil), o.avail...)
	var uses []use
	for remaining(d) > 0 {
		bestK, bestFill := -1, 0
		var best []int
		for k, size := range o.cap {
			if left[k] == 0 {
				continue
			}
			a := f(size, d)
			got := 0
			for i, n := range a {
				got += n * o.w[i]
			}
			if got == 0 {
				continue
			}
			k2 := o.bestStockFor(got, left)
			if bestK < 0 || o.betterYield(k2, got, bestK, bestFill) {
				bestK, bestFill, best = k2, got, a
			}
		}
		if bestK < 0 {
			return nil
		}
		times := left[bestK]
		for i, n := range best {
			if n > 0 {
				times = min(times, d[i]/n)
			}
		}
		for i, n := range best {
			d[i] -= n * times
		}
		left[bestK] -= times
		uses = append(uses, use{o.sparse(bestK, best), times})
	}
	return uses
}

// betterYield compares cost per length cut, then the larger amount.
func (o *order) betterYield(k, got, k2, got2 int) bool {
	a, b := float64(o.cost[k])*float64(got2), float64(o.cost[k2])*float64(got)
	if a != b {
		return a < b
	}
	return got > got2
}

// bestFit is best fit decreasing for one kind of stock (the first given), with
// equal pieces handled together bar by bar. It returns nil when bars run out.
func (o *order) bestFit(k int) []use {
	type bin struct {
		room int
		of   pattern
	}
	n := remaining(o.d)
	if n > bestFitMost {
		return nil
	}
	size := o.cap[k]
	byRoom := make(map[int][]*bin)
	rooms := newRoomSet(size)
	var bins []*bin
	for i, w := range o.w {
		for c := 0; c < o.d[i]; c++ {
			r := rooms.atLeast(w)
			var b *bin
			if r < 0 {
				if len(bins) == o.avail[k] || w > size {
					return nil
				}
				b = &bin{size, pattern{k: k}}
				bins = append(bins, b)
			} else {
				list := byRoom[r]
				b = list[len(list)-1]
				byRoom[r] = list[:len(list)-1]
				if len(list) == 1 {
					rooms.drop(r)
				}
			}
			b.room -= w
			b.of.put(i)
			byRoom[b.room] = append(byRoom[b.room], b)
			rooms.add(b.room)
		}
	}
	var uses []use
	for _, b := range bins {
		uses = append(uses, use{b.of, 1})
	}
	return uses
}

// roomSet is a sorted set of free lengths.
type roomSet struct{ sorted []int }

func newRoomSet(int) *roomSet { return &roomSet{} }

func (s *roomSet) find(v int) int {
	lo, hi := 0, len(s.sorted)
	for lo < hi {
		mid := (lo + hi) / 2
		if s.sorted[mid] < v {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// atLeast returns the least member ≥ v, or −1.
func (s *roomSet) atLeast(v int) int {
	if i := s.find(v); i < len(s.sorted) {
		return s.sorted[i]
	}
	return -1
}

func (s *roomSet) add(v int) {
	i := s.find(v)
	if i < len(s.sorted) && s.sorted[i] == v {
		return
	}
	s.sorted = append(s.sorted, 0)
	copy(s.sorted[i+1:], s.sorted[i:])
	s.sorted[i] = v
}

func (s *roomSet) drop(v int) {
	i := s.find(v)
	s.sorted = append(s.sorted[:i], s.sorted[i+1:]...)
}

// slackFill is the minimum bin slack step of Gupta and Ho (1999) in the form MBS′
// of Fleszar and Hindi (2002): the bar starts with the longest piece, then the
// set of further pieces that leaves the least is sought by a search with a
// counted budget.
func (o *order) slackFill(budget int) fill {
	return func(size int, d []int) []int {
		a := make([]int, len(o.w))
		first := 0
		for first < len(d) && (d[first] == 0 || o.w[first] > size) {
			first++
		}
		if first == len(d) {
			return a
		}
		least := 0
		for i := range d {
			if d[i] > 0 {
				least = o.w[i]
			}
		}
		best := append([]int(nil), a...)
		a[first] = 1
		copy(best, a)
		bestRoom := size - o.w[first]
		steps := budget
		var search func(i, room int)
		search = func(i, room int) {
			if room < bestRoom {
				bestRoom = room
				copy(best, a)
			}
			for ; i < len(o.w) && room >= least; i++ {
				if bestRoom == 0 || steps <= 0 {
					return
				}
				if o.w[i] > room || a[i] >= d[i] {
					continue
				}
				steps--
				a[i]++
				search(i, room-o.w[i])
				a[i]--
			}
		}
		search(first, bestRoom)
		return best
	}
}

// firstPlan returns the cheapest of the quick plans, or nil when none fits the
// stock in hand.
func (o *order) firstPlan(goal int64) []use {
	var best []use
	try := func(uses []use) bool {
		if uses != nil && (best == nil || o.costOf(uses) < o.costOf(best)) {
			best = uses
		}
		return best != nil && o.costOf(best) <= goal
	}
	if try(o.bySequence(o.greedyFill)) {
		return best
	}
	for k := range o.cap {
		if try(o.bestFit(k)) {
			return best
		}
	}
	try(o.bySequence(o.slackFill(slackSteps)))
	return best
}
