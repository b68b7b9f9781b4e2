package plane

import (
	"math"
	"sort"
)

// Cover is the answer of a coverage check.
type Cover struct {
	// TargetM2 is the area that had to be covered.
	TargetM2 float64
	// UncoveredM2 is what no piece covers, and Uncovered where that is, largest first.
	UncoveredM2 float64
	Uncovered   []Polygon
	// OutsideM2 is the area of pieces beyond the target.
	OutsideM2 float64
}

// Complete reports whether at most toleranceM2 is left bare.
func (c Cover) Complete(toleranceM2 float64) bool { return c.UncoveredM2 <= toleranceM2 }

// Covered checks pieces against the area they must cover. It knows nothing of how
// the pieces were made.
func Covered(target, pieces []Polygon) (Cover, error) {
	target, err := Union(target)
	if err != nil {
		return Cover{}, err
	}
	all, err := Union(pieces)
	if err != nil {
		return Cover{}, err
	}
	bare, err := Difference(target, all)
	if err != nil {
		return Cover{}, err
	}
	sort.SliceStable(bare, func(i, j int) bool { return bare[i].Area() > bare[j].Area() })
	c := Cover{TargetM2: TotalArea(target), UncoveredM2: TotalArea(bare), Uncovered: bare}
	c.OutsideM2 = max(0, TotalArea(all)-(c.TargetM2-c.UncoveredM2))
	return c, nil
}

// LeastLap returns the least overlap, m, across the direction alongRad between a
// strip and the next one to its left, and where; negative where they gape.
// It looks only where both are present and the next reaches beyond the first:
// where a slanting edge ends both, no lap is needed. ok is false when the two
// never lie side by side.
func LeastLap(first, next Polygon, alongRad float64) (lapM float64, at Point, ok bool) {
	u := turn(Point{1, 0}, alongRad)
	v := u.Left()
	var stations []float64
	for _, p := range []Polygon{first, next} {
		for _, l := range p.Region() {
			for _, q := range l {
				stations = append(stations, u.Dot(q))
			}
		}
	}
	// The tops of the two may cross between their corners.
	if both, err := Intersection([]Polygon{first}, []Polygon{next}); err == nil {
		for _, p := range both {
			for _, q := range p.Outer {
				stations = append(stations, u.Dot(q))
			}
		}
	}
	sort.Float64s(stations)
	lapM = math.Inf(1)
	for i := 0; i+1 < len(stations); i++ {
		s, t := stations[i], stations[i+1]
		if t-s < 1e-6 {
			continue
		}
		for _, x := range []float64{s + 1e-7, t - 1e-7} {
			_, top, a := section(first, u, v, x)
			low, high, b := section(next, u, v, x)
			if !a || !b || high <= top+1e-6 {
				continue
			}
			if lap := top - low; lap < lapM {
				lapM, at, ok = lap, u.Scale(x).Add(v.Scale(low)), true
			}
		}
	}
	return lapM, at, ok
}

// section returns the outermost bounds of the polygon across at station x along.
func section(p Polygon, u, v Point, x float64) (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	p.sides(func(a, b Point) {
		s, t := u.Dot(a), u.Dot(b)
		if (s > x) == (t > x) {
			return
		}
		y := v.Dot(a) + (x-s)/(t-s)*(v.Dot(b)-v.Dot(a))
		low, high = min(low, y), max(high, y)
	})
	return low, high, low < high
}
