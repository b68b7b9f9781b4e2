package plane

import (
	"cmp"
	"math"
	"slices"
)

// Region is an area as a set of loops, the interior on the left of each. Which
// hole lies in which outer loop is left open until Parts asks: half planes and
// bands are cut without asking. The zero value is empty.
type Region []Loop

// RegionOf returns the area of polygons that lie clear of each other.
func RegionOf(ps []Polygon) Region {
	var out Region
	for _, p := range ps {
		out = append(out, p.Outer)
		out = append(out, p.Holes...)
	}
	return out
}

// Tidy returns the region with every loop tidied, and without those of which
// nothing is left.
func (r Region) Tidy() Region {
	var out Region
	for _, l := range r {
		if l = l.Tidy(); len(l) >= 3 {
			out = append(out, l)
		}
	}
	return out
}

// Area returns the area less the holes, m².
func (r Region) Area() float64 {
	var sum float64
	for _, l := range r {
		sum += l.SignedArea()
	}
	return sum
}

// Bounds returns the least rectangle around the region.
func (r Region) Bounds() (low, high Point) {
	low, high = nowhere()
	for _, l := range r {
		a, b := l.Bounds()
		low, high = low.least(a), high.most(b)
	}
	return low, high
}

// Contains reports whether q lies in the region; on a side either may be said.
func (r Region) Contains(q Point) bool {
	in := false
	for _, l := range r {
		if l.Contains(q) {
			in = !in
		}
	}
	return in
}

// Distance returns the distance from q to the nearest side, m, inside or out.
func (r Region) Distance(q Point) float64 {
	best := math.Inf(1)
	for _, l := range r {
		best = min(best, l.Distance(q))
	}
	return best
}

// Band keeps low ≤ coordinate ≤ high of one axis (0 x, 1 y).
func (r Region) Band(axis int, low, high float64) Region {
	n := Point{X: 1}
	if axis == 1 {
		n = Point{Y: 1}
	}
	return r.HalfPlane(n, low).HalfPlane(n.Scale(-1), -high)
}

// leastStretchM is the shortest stretch of a line that counts as lying in a region.
const leastStretchM = 1e-6

// Along returns where the line of all points q with dir.Left()·q = off lies in the region, as intervals of dir·q in
// rising order; dir is a unit vector.
func (r Region) Along(dir Point, off float64) [][2]float64 { return r.AppendAlong(nil, dir, off) }

// AppendAlong is [Region.Along] after what is in out already.
func (r Region) AppendAlong(out [][2]float64, dir Point, off float64) [][2]float64 {
	n := dir.Left()
	var few [16]float64
	ts := few[:0]
	for _, l := range r {
		if len(l) == 0 {
			continue
		}
		a := l[0]
		sa := n.Dot(a) - off
		for i := range l {
			b := l[(i+1)%len(l)]
			sb := n.Dot(b) - off
			// A corner on the line counts as left of it: every passage is counted once.
			if (sa >= 0) != (sb >= 0) {
				ta := dir.Dot(a)
				ts = append(ts, ta+sa/n.Dot(a.Sub(b))*(dir.Dot(b)-ta))
			}
			a, sa = b, sb
		}
	}
	slices.Sort(ts)
	for i := 0; i+1 < len(ts); i += 2 {
		if ts[i+1]-ts[i] > leastStretchM {
			out = append(out, [2]float64{ts[i], ts[i+1]})
		}
	}
	return out
}

// Sliver is the area, m², below which a part is nothing anyone could cut.
const Sliver = 1e-5

// Parts splits the region into its connected parts, from left to right. What is
// smaller than Sliver is left out, parts and holes alike.
func (r Region) Parts() []Polygon {
	var out []Polygon
	var sizes []float64
	holes := 0
	for _, l := range r {
		switch a := l.SignedArea(); {
		case a > Sliver:
			out, sizes = append(out, Polygon{Outer: l}), append(sizes, a)
		case a < -Sliver:
			holes++
		}
	}
	if holes > 0 {
		r.pierce(out, sizes)
	}
	if len(out) > 1 {
		slices.SortStableFunc(out, leftFirst)
	}
	return out
}

// pierce gives each hole to the smallest of the parts that it lies in. sizes are
// the areas of the parts' outer loops, m².
func (r Region) pierce(parts []Polygon, sizes []float64) {
	for _, h := range r {
		if h.SignedArea() >= -Sliver {
			continue
		}
		best, middle := -1, h.within()
		for i := range parts {
			if (best < 0 || sizes[i] < sizes[best]) && parts[i].Outer.Contains(middle) {
				best = i
			}
		}
		if best >= 0 {
			parts[best].Holes = append(parts[best].Holes, h)
		}
	}
}

// within is a point a micrometre inside a loop, beside the middle of its longest side. On the
// side itself will not do: where a hole touches the part that it lies in, that lies on both.
func (l Loop) within() Point {
	var longest Edge
	for i, p := range l {
		if e := (Edge{A: p, B: l[(i+1)%len(l)]}); i == 0 || e.Chord() > longest.Chord() {
			longest = e
		}
	}
	in := longest.B.Sub(longest.A).Unit().Left().Scale(1e-6)
	if l.SignedArea() < 0 {
		in = in.Scale(-1)
	}
	return longest.A.Add(longest.B).Scale(0.5).Add(in)
}

// leftFirst orders by the low left corner of the bounds, to a nanometre.
func leftFirst(p, q Polygon) int {
	a, _ := p.Bounds()
	b, _ := q.Bounds()
	switch {
	case math.Abs(a.X-b.X) > 1e-9:
		return cmp.Compare(a.X, b.X)
	case math.Abs(a.Y-b.Y) > 1e-9:
		return cmp.Compare(a.Y, b.Y)
	}
	return 0
}
