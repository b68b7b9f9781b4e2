package firring

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// Levels is a measured surface: spot heights joined by a Delaunay triangulation
// and read piecewise linearly. Every value between readings is a weighted mean of
// three of them, so it is as uncertain as they are: ± ToleranceMM.
type Levels struct {
	spots       []roof.SpotHeight
	triangles   [][3]int
	ToleranceMM float64
}

// mostSpots bounds the triangulation, which takes time with the square of their number.
const mostSpots = 2000

// LevelsOf joins measured spot heights. At least three, not on one line.
// Readings at one place must agree within twice the tolerance; they are averaged.
func LevelsOf(spots []roof.SpotHeight, toleranceMM float64) (*Levels, error) {
	if !(toleranceMM >= 0) || math.IsInf(toleranceMM, 0) {
		return nil, fmt.Errorf("level tolerance %g mm: give zero or more", toleranceMM)
	}
	if len(spots) > mostSpots {
		return nil, fmt.Errorf("%d spot heights: at most %d can be joined", len(spots), mostSpots)
	}
	l := &Levels{ToleranceMM: toleranceMM}
	var counts []float64
next:
	for i, s := range spots {
		if v := s.At.X + s.At.Y + s.MM; math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("spot height %d is not a number", i)
		}
		for k, t := range l.spots {
			if s.At.Distance(t.At) < 1e-3 {
				if math.Abs(s.MM-t.MM) > 2*toleranceMM+1e-9 {
					return nil, fmt.Errorf("spot height %d at (%.3f, %.3f) reads %g mm, another there %g mm: measure again", i, s.At.X, s.At.Y, s.MM, t.MM)
				}
				counts[k]++
				l.spots[k].MM += (s.MM - t.MM) / counts[k]
				continue next
			}
		}
		l.spots, counts = append(l.spots, s), append(counts, 1)
	}
	points := make([]plane.Point, len(l.spots))
	for i, s := range l.spots {
		points[i] = s.At
	}
	l.triangles = delaunay(points)
	if len(l.triangles) == 0 {
		return nil, fmt.Errorf("%d spot heights do not span an area: give at least three, not on one line", len(l.spots))
	}
	return l, nil
}

// HeightMM returns the height at p and whether it lies among the readings; beyond
// them the plane of the nearest triangle is carried on, which no tolerance covers.
func (l *Levels) HeightMM(p plane.Point) (mm float64, within bool) {
	best := math.Inf(-1)
	for _, t := range l.triangles {
		a, b, c := l.spots[t[0]], l.spots[t[1]], l.spots[t[2]]
		twice := b.At.Sub(a.At).Cross(c.At.Sub(a.At))
		wb := p.Sub(a.At).Cross(c.At.Sub(a.At)) / twice
		wc := b.At.Sub(a.At).Cross(p.Sub(a.At)) / twice
		wa := 1 - wb - wc
		least := min(wa, wb, wc)
		if least < -1e-9 {
			// How far out, in metres, so that thin triangles do not win.
			q := plane.Polygon{Outer: []plane.Point{a.At, b.At, c.At}}
			least = -1 - q.Distance(p)
		}
		if least > best {
			best, mm = least, wa*a.MM+wb*b.MM+wc*c.MM
		}
		if least >= -1e-9 {
			return mm, true
		}
	}
	return mm, false
}

// delaunay returns the triangles, anticlockwise, of the points by the insertion
// of Bowyer (1981) and Watson (1981).
func delaunay(ps []plane.Point) [][3]int {
	n := len(ps)
	if n < 3 {
		return nil
	}
	low, high := ps[0], ps[0]
	for _, p := range ps {
		low = plane.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = plane.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	size := max(high.X-low.X, high.Y-low.Y)
	mid := low.Add(high).Scale(0.5)
	// Work about the middle, and put the first triangle far out, so that the hull
	// it leaves is convex but for 1e-3 of its size.
	all := make([]plane.Point, n, n+3)
	for i, p := range ps {
		all[i] = p.Sub(mid).Scale(1 / size)
	}
	const far = 1000
	all = append(all, plane.Point{X: -far, Y: -far}, plane.Point{X: far, Y: -far}, plane.Point{X: 0, Y: far})
	triangles := [][3]int{{n, n + 1, n + 2}}
	for i := range n {
		edges := map[[2]int]bool{}
		var order [][2]int
		kept := triangles[:0]
		for _, t := range triangles {
			if !inCircle(all[t[0]], all[t[1]], all[t[2]], all[i]) {
				kept = append(kept, t)
				continue
			}
			for k := range 3 {
				e := [2]int{t[k], t[(k+1)%3]}
				edges[e] = true
				order = append(order, e)
			}
		}
		for _, e := range order {
			if !edges[[2]int{e[1], e[0]}] {
				kept = append(kept, [3]int{e[0], e[1], i})
			}
		}
		triangles = kept
	}
	var out [][3]int
	for _, t := range triangles {
		if t[0] < n && t[1] < n && t[2] < n && all[t[1]].Sub(all[t[0]]).Cross(all[t[2]].Sub(all[t[0]])) > 1e-9 {
			out = append(out, t)
		}
	}
	return out
}

// inCircle reports whether d lies inside the circle of the anticlockwise triangle
// a, b, c; on it, as on a regular grid, counts as outside.
func inCircle(a, b, c, d plane.Point) bool {
	a, b, c = a.Sub(d), b.Sub(d), c.Sub(d)
	det := a.Dot(a)*b.Cross(c) - b.Dot(b)*a.Cross(c) + c.Dot(c)*a.Cross(b)
	return det > 1e-12
}
