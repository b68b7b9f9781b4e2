package mixing

import (
	"fmt"
	"slices"
	"strings"
)

// laps is which cells lie on the edges of which, in the flow of water.
type laps struct {
	// on holds for each cell those on whose edges it lies; nil when no lap binds.
	on [][]int
	// after is on less the laps that no order can keep, each cell once; before is
	// its converse. Set by keepable, which counts what it leaves out in lost.
	after, before [][]int
	lost          int
}

// Tuck is a lap whose upper side is laid first, since the way off asks for it: the
// lower cell is pushed under the upper one's edge, so that the lap still sheds water.
type Tuck struct {
	Upper     int    `json:"upper"` // index in the input
	Lower     int    `json:"lower"`
	UpperName string `json:"upper_name"`
	LowerName string `json:"lower_name"`
	// LengthM of the lap is made so, of LapM: less where strips are laid in bays.
	LengthM float64 `json:"length_m"`
	LapM    float64 `json:"lap_m"`
}

// along says over how much of the lap, unless it is all.
func (t Tuck) along() string {
	if t.LengthM > t.LapM-0.05 {
		return ""
	}
	return fmt.Sprintf(" along %.1f of %.1f m", t.LengthM, t.LapM)
}

// checkOver makes sure that every lap lies on a cell and no cells lie on one another.
func checkOver(cells []Cell) error {
	for i, c := range cells {
		for _, j := range c.Over {
			switch {
			case j < 0 || j >= len(cells):
				return fmt.Errorf("mixing: cell %q lies over cell %d, and there are %d: give places in the list of cells, from 0", c.Name, j,
					len(cells))
			case j == i:
				return fmt.Errorf("mixing: cell %q lies over itself: take %d out of what it lies over", c.Name, j)
			}
		}
	}
	if ring := ringOf(cells); ring != nil {
		var names []string
		for _, i := range ring {
			names = append(names, fmt.Sprintf("%q", cells[i].Name))
		}
		return fmt.Errorf("mixing: cells lie over one another in a ring, %s: none can be laid first; leave out the lap on which water does "+
			"not run down from one to the other", strings.Join(append(names, names[0]), " over "))
	}
	return nil
}

// ringOf returns cells each of which lies over the next and the last over the first,
// or nil when there are none.
func ringOf(cells []Cell) []int {
	const fresh, open, done = 0, 1, 2
	mark, next := make([]int, len(cells)), make([]int, len(cells))
	for start := range cells {
		if mark[start] != fresh {
			continue
		}
		path := []int{start}
		mark[start] = open
		for len(path) > 0 {
			i := path[len(path)-1]
			if next[i] == len(cells[i].Over) {
				mark[i] = done
				path = path[:len(path)-1]
				continue
			}
			j := cells[i].Over[next[i]]
			next[i]++
			switch mark[j] {
			case fresh:
				mark[j] = open
				path = append(path, j)
			case open:
				return path[slices.Index(path, j):]
			}
		}
	}
	return nil
}

// lapsOf carries the laps of the cells over to their pieces: a piece lies on those
// pieces of the cell below that it meets. It is nil when there are none.
func lapsOf(cells []Cell, pieces []piece) [][]int {
	of := make([][]int, len(cells))
	for k, x := range pieces {
		of[x.of] = append(of[x.of], k)
	}
	on, bound := make([][]int, len(pieces)), false
	for k, x := range pieces {
		for _, j := range cells[x.of].Over {
			for _, below := range of[j] {
				whole := x.whole && pieces[below].whole
				if !slices.Contains(on[k], below) && (whole || x.Shape.Touching(pieces[below].Shape, joinTolM).LengthM > touchM) {
					on[k], bound = append(on[k], below), true
				}
			}
		}
	}
	if !bound {
		return nil
	}
	return on
}

// keepable sorts out the laps that no order can keep: where the only way off from
// the upper cell leads over the lower one, the upper one must be laid first.
func (g *ground) keepable() {
	n := len(g.cells)
	g.after, g.before, g.lost = make([][]int, n), make([][]int, n), 0
	if g.on == nil {
		return
	}
	upper := make([][]int, n)
	for i := range g.on {
		for _, j := range g.on[i] {
			upper[j] = append(upper[j], i)
		}
	}
	laid := make([]bool, n)
	for j := range upper {
		if len(upper[j]) == 0 {
			continue
		}
		laid[j] = true
		seen := g.reached(laid)
		laid[j] = false
		for _, i := range upper[j] {
			if !seen[i] && g.cells[i].AreaM2 > reachM2 {
				g.lost++
				continue
			}
			g.after[i], g.before[j] = append(g.after[i], j), append(g.before[j], i)
		}
	}
}

// tucks counts the laps that an order lays upper side first.
func (g *ground) tucks(order []int) int {
	if g.on == nil {
		return 0
	}
	sum := 0
	laid := make([]bool, len(g.cells))
	for _, i := range order {
		for _, j := range g.on[i] {
			if !laid[j] {
				sum++
			}
		}
		laid[i] = true
	}
	return sum
}

// tucked lists the laps that an order lays upper side first, by the input's cells.
func (p *pour) tucked(order []int) []Tuck {
	if p.ground.on == nil {
		return nil
	}
	var out []Tuck
	at := map[[2]int]int{}
	laid := make([]bool, len(order))
	for _, i := range order {
		for _, j := range p.ground.on[i] {
			if laid[j] {
				continue
			}
			a, b := p.pieces[i].of, p.pieces[j].of
			k, seen := at[[2]int{a, b}]
			if !seen {
				k = len(out)
				at[[2]int{a, b}] = k
				out = append(out, Tuck{Upper: a, Lower: b, UpperName: p.in.Cells[a].Name, LowerName: p.in.Cells[b].Name,
					LapM: p.in.Cells[a].Shape.Touching(p.in.Cells[b].Shape, joinTolM).LengthM})
			}
			out[k].LengthM += p.pieces[i].Shape.Touching(p.pieces[j].Shape, joinTolM).LengthM
		}
		laid[i] = true
	}
	return out
}

// namedTucks is how many laps a note names one by one.
const namedTucks = 12

// tuckNote tells the crew which laps to make by tucking; empty when there are none.
func tuckNote(tucked []Tuck) string {
	if len(tucked) == 0 {
		return ""
	}
	if len(tucked) == 1 {
		t := tucked[0]
		return fmt.Sprintf("%s is laid before %s%s, which it should lie on: leave the low edge of %s dry by the width of the lap and lift "+
			"it, push %s under it, then wet out and roll the lap",
			t.UpperName, t.LowerName, t.along(), t.UpperName, t.LowerName)
	}
	var named []string
	for _, t := range tucked[:min(namedTucks, len(tucked))] {
		named = append(named, t.UpperName+" before "+t.LowerName+t.along())
	}
	more := ""
	if n := len(tucked) - len(named); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return fmt.Sprintf("the way off asks for some pieces to be laid before those they should lie on: %s%s. Leave the low edge of the "+
		"first of each two dry by the width of the lap and lift it, push the second under it, then wet out and roll the lap",
		strings.Join(named, ", "), more)
}
