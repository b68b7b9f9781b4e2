package cutting

// few is the knapsack for bars that hold few pieces of a long table of sizes in a
// fine unit: sizes are tried longest first, and the last piece is
// looked up. It is exact.
type few struct {
	w     []int
	v     []int64
	d     []int
	sufV  []int64
	sufAt []int
	sufR  []float64
	least int
	fits  []int32
	a     []int
	best  int64
	bestA []int
}

// solveFew returns, for each size, the best filling in which it is the longest
// piece, if worth more than floor; fits is that of fitsFrom.
func solveFew(w []int, v []int64, d []int, fits []int32, floor int64) []offer {
	size := len(fits) - 1
	n := len(w)
	f := &few{w: w, v: v, d: d, fits: fits, a: make([]int, n), bestA: make([]int, n)}
	f.sufV, f.sufAt, f.sufR = make([]int64, n+1), make([]int, n+1), make([]float64, n+1)
	f.sufAt[n] = -1
	f.least = size + 1
	for i := n - 1; i >= 0; i-- {
		f.sufV[i], f.sufAt[i], f.sufR[i] = f.sufV[i+1], f.sufAt[i+1], f.sufR[i+1]
		if d[i] == 0 || v[i] <= 0 {
			continue
		}
		f.least = min(f.least, w[i])
		if v[i] > f.sufV[i] {
			f.sufV[i], f.sufAt[i] = v[i], i
		}
		f.sufR[i] = max(f.sufR[i], float64(v[i])/float64(w[i]))
	}
	var list []offer
	for i := f.first(0, size); i < n; i++ {
		if v[i] <= 0 || d[i] == 0 {
			continue
		}
		f.best = floor
		f.a[i] = 1
		from := i
		if d[i] == 1 {
			from++
		}
		if bound := f.most(from, size-w[i]); v[i]+bound > floor {
			f.walk(from, size-w[i], v[i])
		}
		f.a[i] = 0
		if f.best > floor {
			list = append(list, offer{f.best, append([]int(nil), f.bestA...)})
		}
	}
	return list
}

// first returns the first size from i on that fits room.
func (f *few) first(i, room int) int { return max(i, int(f.fits[room])) }

// fitsFrom returns, for each room up to size, the first size that fits it.
func fitsFrom(w []int, size int) []int32 {
	fits := make([]int32, size+1)
	i := len(w)
	for room := range fits {
		for i > 0 && w[i-1] <= room {
			i--
		}
		fits[room] = int32(i)
	}
	return fits
}

// most bounds what sizes from i on add in the given room.
func (f *few) most(i, room int) int64 {
	return min(int64(room/f.least)*f.sufV[i], int64(float64(room)*f.sufR[i])+2)
}

func (f *few) walk(i, room int, val int64) {
	i = f.first(i, room)
	pieces := room / f.least
	if pieces <= 1 {
		f.close(i, pieces, val)
		return
	}
	f.close(i, 0, val)
	for ; i < len(f.w); i++ {
		if val+f.most(i, room) <= f.best {
			return
		}
		if f.v[i] <= 0 || f.d[i] == f.a[i] {
			continue
		}
		f.a[i]++
		from := i
		if f.a[i] == f.d[i] {
			from++
		}
		f.walk(from, room-f.w[i], val+f.v[i])
		f.a[i]--
	}
}

// close looks the last piece up, if there is room for one, and keeps the filling if
// it is the best.
func (f *few) close(i, pieces int, val int64) {
	last := -1
	if pieces == 1 {
		last = f.sufAt[i]
	}
	if last >= 0 {
		val += f.v[last]
	}
	if val <= f.best {
		return
	}
	f.best = val
	copy(f.bestA, f.a)
	if last >= 0 {
		f.bestA[last]++
	}
}
