package mixing

import (
	"math"

	"gelwright/plane"
)

// passM is the least width of a way between two cells that a person walks through:
// a little more than a scaffold board. A cell of less than tipM2 is a tip that one lays
// from the cell beside it, however narrow their joint.
const (
	passM = 0.3
	tipM2 = 0.6
)

// touchM is the least length, m, of a joint or lap: pieces that meet along less touch
// at a corner only, and neither binds the other.
const touchM = 0.02

// joinTolM is how far apart two edges may run and still be one joint: a lap of mat.
const joinTolM = 0.12

// link is a neighbour and the length of the joint with it.
type link struct {
	to      int
	lengthM float64
}

// ground is the cells as places to stand on: joints between them and the ways out.
type ground struct {
	cells []Cell
	bay   []int         // of each cell, counted along the strips; nil when there is one
	at    []plane.Point // centroids
	joins [][]link      // every joint
	walks [][]int       // joints wide enough to walk through
	exit  []bool        // cells one leaves the roof from
	door  []plane.Point // where on such a cell
	exits []plane.Point
	// field numbers the fields between movement joints; nil when there is one.
	field []int
	laps
	// cutOff names cells that no walk joins to the exit: they get a way off of their own.
	cutOff []string
	// walked is where cuts works: it is asked for every cell of every order.
	walked []int
	// seen and stack are where reached works.
	seen  []bool
	stack []int
}

// survey finds the joints of the cells and the ways across and off them.
func survey(cells []Cell, exits []plane.Point, breaks ...[2]plane.Point) *ground {
	g := joined(cells, passM, breaks...)
	g.exits = append(g.exits, exits...)
	g.findExits()
	g.after, g.before = make([][]int, len(cells)), make([][]int, len(cells))
	return g
}

// joined finds the joints of the cells; one shorter than widthM cannot be walked
// through. Along a break people walk over, but no edge there waits wet for another.
func joined(cells []Cell, widthM float64, breaks ...[2]plane.Point) *ground {
	n := len(cells)
	g := &ground{cells: cells, joins: make([][]link, n), walks: make([][]int, n), exit: make([]bool, n), door: make([]plane.Point, n)}
	type box struct{ lo, hi plane.Point }
	boxes := make([]box, n)
	for i, c := range cells {
		g.at = append(g.at, c.Shape.Centroid())
		lx, hx := c.Shape.Extent(plane.Point{X: 1})
		ly, hy := c.Shape.Extent(plane.Point{Y: 1})
		boxes[i] = box{plane.Point{X: lx, Y: ly}, plane.Point{X: hx, Y: hy}}
	}
	for i := range cells {
		for j := i + 1; j < n; j++ {
			a, b := boxes[i], boxes[j]
			if a.lo.X > b.hi.X+joinTolM || b.lo.X > a.hi.X+joinTolM || a.lo.Y > b.hi.Y+joinTolM || b.lo.Y > a.hi.Y+joinTolM {
				continue
			}
			if c := cells[i].Shape.Touching(cells[j].Shape, joinTolM); c.LengthM > math.Min(touchM, widthM) {
				if wet := c.LengthM - partedM(cells[i].Shape, cells[j].Shape, breaks); wet > math.Min(touchM, widthM) {
					g.joins[i] = append(g.joins[i], link{j, wet})
					g.joins[j] = append(g.joins[j], link{i, wet})
				}
				if c.LengthM >= widthM || min(cells[i].AreaM2, cells[j].AreaM2) < tipM2 {
					g.walks[i], g.walks[j] = append(g.walks[i], j), append(g.walks[j], i)
				}
			}
		}
	}
	return g
}

// findExits marks the cells nearest each exit, then gives every part of the roof
// that no walk joins to one a way off of its own, where it lies nearest to an exit.
func (g *ground) findExits() {
	for _, e := range g.exits {
		best := math.Inf(1)
		d, p := make([]float64, len(g.cells)), make([]plane.Point, len(g.cells))
		for i, c := range g.cells {
			p[i], d[i] = c.Shape.Closest(e)
			best = math.Min(best, d[i])
		}
		for i := range d {
			if d[i] <= best+0.05 && !g.exit[i] {
				g.exit[i], g.door[i] = true, p[i]
			}
		}
	}
	for {
		seen := g.reached(nil)
		far, at := math.Inf(1), -1
		for i := range g.cells {
			if d := g.fromExit(g.at[i]); !seen[i] && d < far {
				far, at = d, i
			}
		}
		if at < 0 {
			return
		}
		var off plane.Point
		best := math.Inf(1)
		for _, e := range g.exits {
			if p, d := g.cells[at].Shape.Closest(e); d < best {
				off, best = p, d
			}
		}
		g.exit[at], g.door[at] = true, off
		g.cutOff = append(g.cutOff, g.cells[at].Name)
	}
}

func (g *ground) fromExit(p plane.Point) float64 {
	d := math.Inf(1)
	for _, e := range g.exits {
		d = math.Min(d, e.Distance(p))
	}
	return d
}

// reached floods from the exits over cells that are not laid. Its answer is lent: the next call writes over it.
func (g *ground) reached(laid []bool) []bool {
	if len(g.seen) != len(g.cells) {
		g.seen = make([]bool, len(g.cells))
	}
	seen, stack := g.seen, g.stack[:0]
	clear(seen)
	for i := range g.cells {
		if g.exit[i] && (laid == nil || !laid[i]) {
			seen[i] = true
			stack = append(stack, i)
		}
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, j := range g.walks[i] {
			if !seen[j] && (laid == nil || !laid[j]) {
				seen[j] = true
				stack = append(stack, j)
			}
		}
	}
	g.stack = stack
	return seen
}

// WayOut is the proof that nobody is trapped.
type WayOut struct {
	Holds bool `json:"holds"`
	// Steps proven: after each, every cell still to be laid is joined to an exit by
	// cells still to be laid, so those who lay them can walk off.
	Steps int `json:"steps"`
	// BrokenAfter names the step after which it fails, and Trapped a cell cut off.
	BrokenAfter string `json:"broken_after,omitempty"`
	Trapped     string `json:"trapped,omitempty"`
	// OwnWayOff names cells that no walk joins to the exit even on the bare deck.
	OwnWayOff []string `json:"own_way_off,omitempty"`
}

// reachM2 is a scrap that is finished at arm's length from wherever one stands.
const reachM2 = 0.05

// prove floods what is not yet laid after every step.
func (g *ground) prove(order []int) WayOut {
	w := WayOut{OwnWayOff: g.cutOff}
	laid := make([]bool, len(g.cells))
	for _, i := range order {
		laid[i] = true
		seen := g.reached(laid)
		for j := range g.cells {
			if !laid[j] && !seen[j] && g.cells[j].AreaM2 > reachM2 {
				w.BrokenAfter, w.Trapped = g.cells[i].Name, g.cells[j].Name
				return w
			}
		}
		w.Steps++
	}
	w.Holds = w.Steps == len(g.cells)
	return w
}

// removable marks the cells that can be laid next without cutting any other unlaid
// cell off: those that are not articulation points of the unlaid ground joined to
// an outside that all exits lead to (Tarjan's low points).
func (g *ground) removable(laid []bool) []bool { return g.cuts(laid, nil) }

// cuts is removable; of each cell that is not, it writes into off, where that is not nil, one that it would cut off.
func (g *ground) cuts(laid []bool, off []int) []bool {
	n := len(g.cells)
	outside := n
	if len(g.walked) != 6*(n+1) {
		g.walked = make([]int, 6*(n+1))
	}
	part := func(k int) []int { return g.walked[k*(n+1) : (k+1)*(n+1) : (k+1)*(n+1)] }
	// Low points and parents are written when a cell is first met.
	depth, next, low, parent := part(0), part(1), part(2), part(3)
	clear(g.walked[:2*(n+1)])
	ok, doors := g.dry(laid, part(4)[:0])
	stack := append(part(5)[:0], outside)
	depth[outside], low[outside], parent[outside] = 1, 1, -1
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		if i != outside && next[i] == 0 && g.exit[i] {
			low[i] = 1 // an exit leads outside
		}
		around := g.around(i, doors)
		if next[i] < len(around) {
			j := around[next[i]]
			next[i]++
			switch {
			case laid[j]:
			case depth[j] == 0:
				depth[j], low[j], parent[j] = depth[i]+1, depth[i]+1, i
				stack = append(stack, j)
			case j != parent[i]:
				low[i] = min(low[i], depth[j])
			}
			continue
		}
		stack = stack[:len(stack)-1]
		if p := parent[i]; p >= 0 {
			low[p] = min(low[p], low[i])
			if p != outside && low[i] >= depth[p] {
				ok[p] = false
				if off != nil {
					off[p] = i
				}
			}
		}
	}
	return ok
}

// dry marks the cells that are not laid, and adds to doors those of them that one leaves the roof from.
func (g *ground) dry(laid []bool, doors []int) ([]bool, []int) {
	dry := make([]bool, len(laid))
	for i := range dry {
		if dry[i] = !laid[i]; dry[i] && g.exit[i] {
			doors = append(doors, i)
		}
	}
	return dry, doors
}

// around is what a cell walks to, or, from outside all cells, the doors.
func (g *ground) around(i int, doors []int) []int {
	if i == len(g.cells) {
		return doors
	}
	return g.walks[i]
}

// age is the sum over all joints of their length times the minutes between the
// laying of their two sides; order must hold every cell once. perM2 is minutes for a m².
func (g *ground) age(order []int, perM2 float64) float64 {
	when := make([]float64, len(g.cells))
	t := 0.0
	for _, i := range order {
		dt := g.cells[i].AreaM2 * perM2
		when[i] = t + dt/2
		t += dt
	}
	sum := 0.0
	for i := range g.joins {
		for _, l := range g.joins[i] {
			if l.to > i {
				sum += l.lengthM * math.Abs(when[i]-when[l.to])
			}
		}
	}
	return sum
}

// late is the length of joint whose first side would be older than openMin.
func (g *ground) late(order []int, perM2, openMin float64) float64 {
	when := make([]float64, len(g.cells))
	t := 0.0
	for _, i := range order {
		dt := g.cells[i].AreaM2 * perM2
		when[i] = t + dt/2
		t += dt
	}
	sum := 0.0
	for i := range g.joins {
		for _, l := range g.joins[i] {
			if l.to > i && math.Abs(when[i]-when[l.to]) > openMin {
				sum += l.lengthM
			}
		}
	}
	return sum
}
