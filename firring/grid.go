package firring

import (
	"container/heap"
	"fmt"
	"math"

	"gelwright/plane"
)

// mostCells bounds a grid.
const mostCells = 1000000

// Grid holds heights at the middles of square cells; NaN where there is no deck.
type Grid struct {
	// Low is the corner of cell (0, 0); StepM the side of a cell.
	Low           plane.Point
	StepM         float64
	Columns, Rows int
	// MM is row by row.
	MM []float64
}

// GridOf reads heightMM at the middle of every cell whose middle lies on the deck.
func GridOf(deck []plane.Polygon, stepM float64, heightMM func(plane.Point) float64) (Grid, error) {
	low, high := plane.BoundsOf(deck)
	if !(stepM > 0) || !(high.X > low.X) || (high.X-low.X)/stepM*(high.Y-low.Y)/stepM > mostCells {
		return Grid{}, fmt.Errorf("a grid of %g m: give a deck with an area and a positive step with fewer than %d cells", stepM, mostCells)
	}
	g := Grid{Low: low, StepM: stepM, Columns: int(math.Ceil((high.X-low.X)/stepM - 1e-9)), Rows: int(math.Ceil((high.Y-low.Y)/stepM - 1e-9))}
	g.MM = make([]float64, g.Columns*g.Rows)
	for i := range g.MM {
		p := g.At(i)
		if plane.ContainsAny(deck, p) {
			g.MM[i] = heightMM(p)
		} else {
			g.MM[i] = math.NaN()
		}
	}
	return g, nil
}

// At returns the middle of cell i.
func (g Grid) At(i int) plane.Point {
	return plane.Point{X: g.Low.X + (float64(i%g.Columns)+0.5)*g.StepM, Y: g.Low.Y + (float64(i/g.Columns)+0.5)*g.StepM}
}

// neighbours calls f with the up to eight cells of deck around cell i.
func (g Grid) neighbours(i int, f func(j int)) {
	c, r := i%g.Columns, i/g.Columns
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			if dr == 0 && dc == 0 || c+dc < 0 || c+dc >= g.Columns || r+dr < 0 || r+dr >= g.Rows {
				continue
			}
			if j := (r+dr)*g.Columns + c + dc; !math.IsNaN(g.MM[j]) {
				f(j)
			}
		}
	}
}

// drainCells returns the cells from which water leaves: those along open edges,
// and the nearest to each outlet on the deck.
func (g Grid) drainCells(d Drains) []int {
	var out []int
	for i, z := range g.MM {
		if math.IsNaN(z) {
			continue
		}
		p := g.At(i)
		if e, _, far := d.Outline.Nearest(p); e >= 0 && far <= g.StepM*0.75 && d.Takes(e) {
			out = append(out, i)
		}
	}
	for _, o := range d.Outlets {
		best, far := -1, math.Inf(1)
		for i, z := range g.MM {
			if l := g.At(i).Distance(o); !math.IsNaN(z) && l < far {
				best, far = i, l
			}
		}
		if best >= 0 {
			out = append(out, best)
		}
	}
	return out
}

// cellQueue hands out cells lowest first, equal ones in the order they came.
type cellQueue []queued

type queued struct {
	mm    float64
	order int
	cell  int
}

func (q cellQueue) Len() int { return len(q) }
func (q cellQueue) Less(i, j int) bool {
	if q[i].mm != q[j].mm {
		return q[i].mm < q[j].mm
	}
	return q[i].order < q[j].order
}
func (q cellQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *cellQueue) Push(x any)   { *q = append(*q, x.(queued)) }
func (q *cellQueue) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}

// Filled returns the grid with every depression filled to the level at which it
// spills towards a drain: from each cell there is then a way to a drain that
// never climbs. toward[i] is the next cell on that way, −1 at a drain.
//
// Method: priority flood (Barnes, Lehman and Mulla 2014), started at the drains
// and not at the rim, for most edges of a roof hold water back.
func (g Grid) Filled(d Drains) (filled Grid, toward []int, err error) {
	filled = g
	filled.MM = append([]float64(nil), g.MM...)
	toward = make([]int, len(g.MM))
	seen := make([]bool, len(g.MM))
	for i := range toward {
		toward[i] = -1
	}
	var q cellQueue
	order := 0
	push := func(i int) {
		seen[i] = true
		heap.Push(&q, queued{filled.MM[i], order, i})
		order++
	}
	for _, i := range g.drainCells(d) {
		if !seen[i] {
			push(i)
		}
	}
	if len(q) == 0 {
		return Grid{}, nil, fmt.Errorf("no open edge and no outlet on the deck: water has nowhere to go")
	}
	for len(q) > 0 {
		i := heap.Pop(&q).(queued).cell
		g.neighbours(i, func(j int) {
			if seen[j] {
				return
			}
			filled.MM[j] = max(filled.MM[j], filled.MM[i])
			toward[j] = i
			push(j)
		})
	}
	for i, z := range g.MM {
		if !math.IsNaN(z) && !seen[i] {
			p := g.At(i)
			return Grid{}, nil, fmt.Errorf("the deck at (%.3f, %.3f) is cut off from every drain: drain that part by itself", p.X, p.Y)
		}
	}
	return filled, toward, nil
}
