package movement

import "math"

// Field is a rectangle to be parted, with what the joints must keep clear of.
type Field struct {
	LowX, LowY, HighX, HighY float64
	// Openings: joints keep ClearM away from them.
	Openings []Span2
	// Corners are re-entrant corners: a joint there relieves them, so it is preferred.
	CornersX, CornersY []float64
	// DearX and DearY weigh a metre of joint that stands at an x (it runs along y), and at
	// a y: 1 where water runs along it, more where it lies across the water and must be
	// flush; 0 is 1.
	DearX, DearY float64
}

// Span2 is a rectangle on plan, m.
type Span2 struct{ LowX, LowY, HighX, HighY float64 }

// ClearM is how far a joint stays from an opening's kerb.
const ClearM = 0.3

// squarerM weighs, in metres of joint, how far from square a part is: it decides between equals only.
const squarerM = 1e-3

// Positions returns where movement joints part a field so that no part is longer than
// sideM or larger than areaM2: x positions of joints along y, and y positions of
// joints along x. Of all grids that keep the limits and stay clear of the openings it
// takes the one with the fewest metres of joint, those across the water weighed, then
// the squarest parts; when none stays clear, the one with the fewest metres.
func Positions(f Field, areaM2, sideM float64) (xs, ys []float64) {
	w, h := f.HighX-f.LowX, f.HighY-f.LowY
	var busyX, busyY [][2]float64
	for _, o := range f.Openings {
		busyX = append(busyX, [2]float64{o.LowX - ClearM, o.HighX + ClearM})
		busyY = append(busyY, [2]float64{o.LowY - ClearM, o.HighY + ClearM})
	}
	limit := int(math.Ceil(math.Max(w, h)/sideM)) + int(math.Ceil(w*h/areaM2)) + 1
	dearX, dearY := math.Max(f.DearX, 1), math.Max(f.DearY, 1)
	best, bestClear := math.Inf(1), false
	for i := 1; i <= limit; i++ {
		for j := 1; j <= limit; j++ {
			a, b := w/float64(i), h/float64(j)
			if a > sideM+1e-9 || b > sideM+1e-9 || a*b > areaM2+1e-9 {
				continue
			}
			x, okX := place(f.LowX, w, i, busyX, f.CornersX, math.Min(sideM, areaM2/b))
			y, okY := place(f.LowY, h, j, busyY, f.CornersY, math.Min(sideM, areaM2/widest(f.LowX, f.HighX, x)))
			cost := dearX*float64(i-1)*h + dearY*float64(j-1)*w + squarerM*math.Abs(a-b)
			if free := okX && okY; free && !bestClear || free == bestClear && cost < best {
				best, bestClear, xs, ys = cost, free, x, y
			}
		}
	}
	return xs, ys
}

// widest returns the widest part between joints.
func widest(low, high float64, at []float64) float64 {
	most, last := 0.0, low
	for _, v := range at {
		most, last = math.Max(most, v-last), v
	}
	return math.Max(most, high-last)
}

// place puts n−1 joints evenly over a length, moved off what is busy and on to
// corners that are near, as long as no part grows beyond mostM; ok is false when one
// could not be kept clear.
func place(low, length float64, n int, busy [][2]float64, corners []float64, mostM float64) (out []float64, ok bool) {
	ok = true
	last := low
	for k := 1; k < n; k++ {
		at := low + length*float64(k)/float64(n)
		var candidates []float64
		for _, c := range corners {
			if math.Abs(c-at) < length/float64(n)/2 {
				candidates = append(candidates, c)
			}
		}
		candidates = append(candidates, at)
		for _, b := range busy {
			if at > b[0] && at < b[1] {
				candidates = append(candidates, b[0], b[1])
			}
		}
		chosen, found := at, false
		for _, c := range candidates {
			// What is left must still fit into the parts to come.
			if c > last+1e-6 && c <= last+mostM+1e-9 && low+length-c <= mostM*float64(n-k)+1e-9 && clear(c, busy) {
				chosen, found = c, true
				break
			}
		}
		ok = ok && found
		out = append(out, chosen)
		last = chosen
	}
	return out, ok
}

func clear(at float64, busy [][2]float64) bool {
	for _, b := range busy {
		if at > b[0]+1e-9 && at < b[1]-1e-9 {
			return false
		}
	}
	return true
}
