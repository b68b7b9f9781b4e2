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
	bay   int // counted along the strips
	whole bool
}

// bays parts the cells by lines across the strips where a whole strip would take
// longer than its edge stays open: then strips are laid bay by bay, and the only
// edges that go off are those between bays. All strips are parted at the same lines.
func bays(cells []Cell, m2PerMin, openMin float64) []piece {
	u := cells[0].axis()
	low, high, slowest := math.Inf(1), math.Inf(-1), 0.0
	for _, c := range cells {
		a, b := reach(c.Shape, u)
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
	var out []piece
	for i, c := range cells {
		out = append(out, part(c, i, u, low, (high-low)/n, int(n))...)
	}
	return out
}

// part cuts one cell at the lines low + k·step that leave no scrap on either side.
func part(c Cell, of int, u plane.Point, low, step float64, n int) []piece {
	from, to := reach(c.Shape, u)
	bayOf := func(s float64) int { return min(n-1, max(0, int(math.Floor((s-low)/step)))) }
	rest, whole := c, true
	var out []piece
	for k := 1; k < n; k++ {
		line := low + float64(k)*step
		if line < from+leastBayM || line > to-leastBayM {
			continue
		}
		first, second := below(rest.Shape, u, line), below(rest.Shape, u.Scale(-1), -line)
		share := polygonArea(first) / (polygonArea(first) + polygonArea(second))
		if !(share > 1e-6 && share < 1-1e-6) {
			continue
		}
		cut := rest
		cut.Shape, cut.AreaM2, cut.ResinKG = first, rest.AreaM2*share, rest.ResinKG*share
		rest.Shape, rest.AreaM2, rest.ResinKG = second, rest.AreaM2-cut.AreaM2, rest.ResinKG-cut.ResinKG
		a, b := reach(first, u)
		out = append(out, piece{Cell: cut, of: of, bay: bayOf((a + b) / 2)})
		whole = false
	}
	a, b := reach(rest.Shape, u)
	return append(out, piece{Cell: rest, of: of, bay: bayOf((a + b) / 2), whole: whole})
}
