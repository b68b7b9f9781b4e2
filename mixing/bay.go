package mixing

import (
	"math"

	"gelwright/plane"
)

// bayShare is how much of an edge's open time one stretch of strip may take, so that
// the next strip still meets it wet.
const bayShare = 0.8

// leastBayM is the shortest piece of a cell worth parting off.
const leastBayM = 0.5

// piece is a cell, or the part of one that lies in a bay.
type piece struct {
	Cell
	of    int // index of the input's cell
	bay   int // counted along the strips, field after field
	field int // between movement joints
	whole bool
}

// ruling is the lines at which the strips of one field are parted.
type ruling struct {
	u         plane.Point // along the strips, across the lines
	low, step float64
	n, first  int // bays, and the number of the first
}

// rule spaces the lines of a field so that a stretch of strip is laid while its edge is
// open. The cells are those of the field, at least one.
func rule(cells []Cell, m2PerMin, openMin float64, first int) ruling {
	u := cells[0].axis()
	low, high, slowest := math.Inf(1), math.Inf(-1), 0.0
	for _, c := range cells {
		a, b := c.Shape.Extent(u)
		low, high = math.Min(low, a), math.Max(high, b)
		if b-a > 1e-9 {
			// A metre of this cell's length takes so many minutes.
			slowest = math.Max(slowest, c.AreaM2/(b-a)/m2PerMin)
		}
	}
	n := 1.0
	if longest := bayShare * openMin / slowest; longest < high-low {
		n = math.Ceil((high - low) / math.Max(longest, 2*leastBayM))
	}
	return ruling{u: u, low: low, step: (high - low) / n, n: int(n), first: first}
}

// bays parts the cells by lines across the strips where a whole strip would take
// longer than its edge stays open: then strips are laid bay by bay, and the only
// edges that go off are those between bays. All strips of a field are parted at the
// same lines; bays are counted field after field. field is nil when there is one.
func bays(cells []Cell, field []int, m2PerMin, openMin float64) []piece {
	of := func(i int) int {
		if field == nil {
			return 0
		}
		return field[i]
	}
	var members [][]Cell
	for i, c := range cells {
		for len(members) <= of(i) {
			members = append(members, nil)
		}
		members[of(i)] = append(members[of(i)], c)
	}
	rules, first := make([]ruling, len(members)), 0
	for f := range members {
		rules[f] = rule(members[f], m2PerMin, openMin, first)
		first += rules[f].n
	}
	var out []piece
	for i, c := range cells {
		for _, x := range part(c, i, rules[of(i)]) {
			x.field = of(i)
			out = append(out, x)
		}
	}
	return out
}

// part cuts one cell at the lines low + k·step that leave no scrap on either side.
func part(c Cell, of int, r ruling) []piece {
	u := r.u
	from, to := c.Shape.Extent(u)
	bayOf := func(s float64) int { return r.first + min(r.n-1, max(0, int(math.Floor((s-r.low)/r.step)))) }
	rest, whole := c, true
	var out []piece
	for k := 1; k < r.n; k++ {
		line := r.low + float64(k)*r.step
		if line < from+leastBayM || line > to-leastBayM {
			continue
		}
		first, second := rest.Shape.Below(u, line), rest.Shape.Below(u.Scale(-1), -line)
		share := first.Area() / (first.Area() + second.Area())
		if !(share > 1e-6 && share < 1-1e-6) {
			continue
		}
		cut := rest
		cut.Shape, cut.AreaM2, cut.ResinKG = first, rest.AreaM2*share, rest.ResinKG*share
		rest.Shape, rest.AreaM2, rest.ResinKG = second, rest.AreaM2-cut.AreaM2, rest.ResinKG-cut.ResinKG
		a, b := first.Extent(u)
		out = append(out, piece{Cell: cut, of: of, bay: bayOf((a + b) / 2)})
		whole = false
	}
	a, b := rest.Shape.Extent(u)
	return append(out, piece{Cell: rest, of: of, bay: bayOf((a + b) / 2), whole: whole})
}
