package firring

import (
	"math"
	"sort"
)

// Fitted is one straight timber that lies within an area along a line, places along it
// in metres.
type Fitted struct {
	// From and To are the ends of its middle line.
	From, To float64
	// SkewDeg is how far the end at From and the one at To are off square, degrees:
	// positive where the left side, looking from From to To, reaches further towards To.
	SkewDeg [2]float64
}

const (
	// squareDeg is how far off square an end may be that is still cut square, steepDeg
	// the skewest cut that is made: beyond it the end is cut square, within the area.
	squareDeg = 1
	steepDeg  = 75
	// hairM keeps a timber's sides off the area's own sides.
	hairM = 1e-4
	// straightM is how far a boundary may bend across the timber's width, m, and one
	// skew cut still follow it.
	straightM = 0.002
)

// Fit returns the timbers widthM wide that lie within an area along a line, in order.
// chords gives the stretches in which the parallel line offM to the left of it lies in
// the area.
func Fit(widthM float64, chords func(offM float64) [][2]float64) []Fitted {
	half := widthM/2 - hairM
	middle := chords(0)
	if half <= 0 {
		out := make([]Fitted, len(middle))
		for i, m := range middle {
			out[i] = Fitted{From: m[0], To: m[1]}
		}
		return out
	}
	left, right := chords(half), chords(-half)
	var out []Fitted
	for _, m := range middle {
		for _, l := range left {
			for _, r := range right {
				from, to := max(m[0], l[0], r[0]), min(m[1], l[1], r[1])
				if to-from < 1e-6 {
					continue
				}
				c := Fitted{From: from, To: to}
				if at, deg, ok := skew(m[0], l[0], r[0], half); ok {
					c.From, c.SkewDeg[0] = at, deg
				}
				if at, deg, ok := skew(m[1], l[1], r[1], half); ok {
					c.To, c.SkewDeg[1] = at, deg
				}
				out = append(out, c)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].From < out[j].From })
	return out
}

// skew is the end of a timber whose middle, left and right lines end at m, l and r.
func skew(m, l, r, half float64) (at, deg float64, ok bool) {
	deg = math.Atan2(l-r, 2*half) * 180 / math.Pi
	if math.Abs(deg) <= squareDeg || math.Abs(deg) > steepDeg || math.Abs(m-(l+r)/2) > straightM {
		return 0, 0, false
	}
	return m, deg, true
}

// Without takes stretches out of others.
func Without(list, gone [][2]float64) [][2]float64 {
	for _, g := range gone {
		var next [][2]float64
		for _, s := range list {
			if g[1] <= s[0] || g[0] >= s[1] {
				next = append(next, s)
				continue
			}
			if g[0] > s[0] {
				next = append(next, [2]float64{s[0], g[0]})
			}
			if g[1] < s[1] {
				next = append(next, [2]float64{g[1], s[1]})
			}
		}
		list = next
	}
	return list
}

// LongestM is the length of the timber a cut is made from: to its farthest points.
func (c Fitted) LongestM(widthM float64) float64 {
	from, to := math.Inf(1), math.Inf(-1)
	for _, side := range []float64{1, -1} {
		from = min(from, c.From+side*widthM/2*math.Tan(c.SkewDeg[0]*math.Pi/180))
		to = max(to, c.To+side*widthM/2*math.Tan(c.SkewDeg[1]*math.Pi/180))
	}
	return to - from
}
