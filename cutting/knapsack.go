package cutting

import (
	"math"
	"sort"
)

// knapsack finds the most valuable filling of a bar, exactly, in whole numbers.
// It holds its work space between calls, which are all for the same sizes.
type knapsack struct {
	best []int64
	take [][]uint64
	part []knapsackPart
	// for the search
	item  []knapsackItem
	steps int
	fits  []int32
}

type knapsackPart struct {
	item, copies int
	top          int64 // best value of the full capacity with this part in it, among parts so far
}

type knapsackItem struct {
	index, w, copies int
	v                int64
	ratio            float64
}

// tableWork is the largest table (sizes × capacity) that is filled at once; above
// it a search is tried first.
const (
	tableWork   = 1500000
	longTable   = 60000000 // the largest table at all
	searchSteps = 300000
	longBar     = 1 << 22 // the longest bar with a table of what fits
)

// solve returns the greatest value Σ v·a with Σ w·a ≤ size and 0 ≤ a ≤ d, and a
// filling that has it. For bars too long for a table and too hard for the search it
// returns the best filling found, with a value that is only an upper bound.
func (k *knapsack) solve(w []int, v []int64, d []int, size int) (int64, []int) {
	if size > tableWork/len(w) {
		val, a, ok := k.search(w, v, d, size, searchSteps)
		if ok {
			return val, a
		}
		if size > longTable/len(w) {
			val, a, ok = k.search(w, v, d, size, searchAgain*searchSteps)
			if !ok {
				val = max(val, k.fraction(size))
			}
			return val, a
		}
	}
	k.fillTable(w, v, d, size)
	return k.best[size], k.trace(w, len(k.part), size)
}

// fraction is the value of the last searched items if they could be split, rounded up.
func (k *knapsack) fraction(size int) int64 {
	sum := int64(0)
	for _, it := range k.item {
		n := min(it.copies, size/it.w)
		sum += int64(n) * it.v
		size -= n * it.w
		if n < it.copies {
			return sum + int64(float64(size)*it.ratio) + 2
		}
	}
	return sum
}

// offer is a filling and its value.
type offer struct {
	value int64
	a     []int
}

// offers returns the best filling first and then good different ones: for each
// size the best filling in which it is the longest piece, as far as worth more than
// floor. The best value is exact when it exceeds floor; else floor is returned.
// Every split of a size's copies counts as a piece of its own here: the best filling
// may end with any of them.
func (k *knapsack) offers(w []int, v []int64, d []int, size int, floor int64, most int) (int64, []offer) {
	var list []offer
	if size > tableWork/len(w) {
		if size/w[len(w)-1] <= fewPieces && size <= longBar {
			if len(k.fits) != size+1 {
				k.fits = fitsFrom(w, size)
			}
			list = solveFew(w, v, d, k.fits, floor)
		} else if val, a := k.solve(w, v, d, size); val > floor {
			list = []offer{{val, a}}
		}
	} else {
		k.fillTable(w, v, d, size)
		return max(floor, k.best[size]), k.tableOffers(w, size, floor, most)
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].value > list[b].value })
	if len(list) == 0 {
		return floor, nil
	}
	return list[0].value, list[:min(most, len(list))]
}

// tableOffers reads fillings off the table that has been filled for capacity ≥ size.
func (k *knapsack) tableOffers(w []int, size int, floor int64, most int) []offer {
	type start struct {
		n     int
		value int64
	}
	if size+1 < len(k.best) { // a shorter bar than the table's: its best filling only
		if k.best[size] <= floor {
			return nil
		}
		return []offer{{k.best[size], k.trace(w, len(k.part), size)}}
	}
	var from []start
	for n, p := range k.part {
		if p.top > floor {
			from = append(from, start{n, p.top})
		}
	}
	sort.SliceStable(from, func(a, b int) bool { return from[a].value > from[b].value })
	var list []offer
	for _, f := range from[:min(most, len(from))] {
		p := k.part[f.n]
		a := k.trace(w, f.n, size-p.copies*w[p.item])
		a[p.item] += p.copies
		list = append(list, offer{f.value, a})
	}
	return list
}

// fillTable is dynamic programming over the capacity; copies are split in powers
// of two. Afterwards best[c] is exact for every c ≤ size.
func (k *knapsack) fillTable(w []int, v []int64, d []int, size int) {
	if cap(k.best) < size+1 {
		k.best = make([]int64, size+1)
	}
	k.best = k.best[:size+1]
	for c := range k.best {
		k.best[c] = 0
	}
	k.part = k.part[:0]
	words := size/64 + 1
	for i := len(w) - 1; i >= 0; i-- {
		copies := min(d[i], size/w[i])
		if v[i] <= 0 {
			continue
		}
		for t := 1; copies > 0; t *= 2 {
			t = min(t, copies)
			copies -= t
			n := len(k.part)
			k.part = append(k.part, knapsackPart{i, t, k.best[size-w[i]*t] + v[i]*int64(t)})
			if n == len(k.take) {
				k.take = append(k.take, nil)
			}
			if len(k.take[n]) < words {
				k.take[n] = make([]uint64, words)
			}
			bits := k.take[n][:words]
			for b := range bits {
				bits[b] = 0
			}
			k.addPart(bits, w[i]*t, v[i]*int64(t))
		}
	}
}

func (k *knapsack) addPart(bits []uint64, w int, v int64) {
	f := k.best
	for c := len(f) - 1; c >= w; c-- {
		if nv := f[c-w] + v; nv > f[c] {
			f[c] = nv
			bits[c>>6] |= 1 << (c & 63)
		}
	}
}

// trace reads the filling of capacity c with the first n parts off the table.
func (k *knapsack) trace(w []int, n, c int) []int {
	a := make([]int, len(w))
	for n--; n >= 0; n-- {
		if k.take[n][c>>6]>>(c&63)&1 == 1 {
			p := k.part[n]
			a[p.item] += p.copies
			c -= p.copies * w[p.item]
		}
	}
	return a
}

// search is depth-first branch and bound with the fractional bound; it gives up
// after limit steps and then returns the best found and false.
func (k *knapsack) search(w []int, v []int64, d []int, size, limit int) (int64, []int, bool) {
	k.item = k.item[:0]
	for i := range w {
		if c := min(d[i], size/w[i]); c > 0 && v[i] > 0 {
			k.item = append(k.item, knapsackItem{i, w[i], c, v[i], float64(v[i]) / float64(w[i])})
		}
	}
	items := k.item
	sort.SliceStable(items, func(a, b int) bool { return items[a].ratio > items[b].ratio })
	lightest := make([]int, len(items)+1)
	lightest[len(items)] = math.MaxInt
	for t := len(items) - 1; t >= 0; t-- {
		lightest[t] = min(lightest[t+1], items[t].w)
	}
	best, bestA := int64(0), make([]int, len(w))
	a := make([]int, len(w))
	k.steps = limit
	var walk func(t, room int, val int64)
	walk = func(t, room int, val int64) {
		if val > best {
			best = val
			copy(bestA, a)
		}
		for ; t < len(items) && lightest[t] <= room; t++ {
			it := items[t]
			if it.w > room {
				continue
			}
			if k.steps <= 0 || !beats(items[t:], room, best-val) {
				return
			}
			k.steps--
			n := min(it.copies, room/it.w)
			for ; n >= 1; n-- {
				a[it.index] = n
				walk(t+1, room-n*it.w, val+int64(n)*it.v)
				if k.steps <= 0 {
					break
				}
			}
			a[it.index] = 0
		}
	}
	walk(0, size, 0)
	return best, bestA, k.steps > 0
}

// beats reports whether the fractional filling of room can exceed need.
func beats(items []knapsackItem, room int, need int64) bool {
	if need < 0 {
		return true
	}
	for _, it := range items {
		n := min(it.copies, room/it.w)
		need -= int64(n) * it.v
		room -= n * it.w
		if need < 0 {
			return true
		}
		if n < it.copies {
			// The part of a piece, rounded up by one against rounding errors.
			return need < int64(float64(room)*it.ratio)+1
		}
	}
	return false
}
