package mixing

import (
	"cmp"
	"math"
	"slices"

	"gelwright/plane"
)

// A movement joint is as wide as a bandage over it leaves bare: edges within
// breakM of its line belong to it, and may lie past it by pastM.
const (
	breakM = 0.15
	pastM  = 0.03
)

// partedM is how much of the contact of two shapes lies along a break with one shape
// on either side, m.
func partedM(a, b plane.Loop, breaks [][2]plane.Point) float64 {
	if len(breaks) == 0 {
		return 0
	}
	sum := 0.0
	turnA, turnB := a.SignedArea(), b.SignedArea()
	a.Abreast(b, joinTolM, func(x plane.SideBySide) {
		var spans [][2]float64
		for _, line := range breaks {
			if !between(line, x, turnA, turnB) {
				continue
			}
			s, e := line[0].Sub(x.P).Dot(x.U), line[1].Sub(x.P).Dot(x.U)
			s, e = math.Max(x.From, math.Min(s, e)-breakM), math.Min(x.To, math.Max(s, e)+breakM)
			if e > s {
				spans = append(spans, [2]float64{s, e})
			}
		}
		sum += covered(spans)
	})
	return sum
}

// between reports whether a break runs between two sides that are side by side: both
// beside it, and each shape on its own side. turns are the shapes' signed areas.
func between(line [2]plane.Point, x plane.SideBySide, turnA, turnB float64) bool {
	w := line[1].Sub(line[0]).Unit()
	// side is +1 when the shape lies to the left of the break, and off is how far its
	// edge lies from the line on that side.
	beside := func(p, q plane.Point, turn float64) (side, off float64, ok bool) {
		v := q.Sub(p).Unit()
		if math.Abs(w.Cross(v)) > 0.05 {
			return 0, 0, false
		}
		side = math.Copysign(1, turn*w.Dot(v))
		off = side * w.Cross(p.Add(q).Scale(0.5).Sub(line[0]))
		return side, off, off >= -pastM && off <= breakM
	}
	sideA, _, okA := beside(x.P, x.Q, turnA)
	sideB, _, okB := beside(x.R, x.S, turnB)
	return okA && okB && sideA != sideB
}

// covered is the length that spans cover together.
func covered(spans [][2]float64) float64 {
	slices.SortFunc(spans, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	sum, end := 0.0, math.Inf(-1)
	for _, s := range spans {
		if s[1] > end {
			sum += s[1] - math.Max(s[0], end)
			end = s[1]
		}
	}
	return sum
}

// fieldsOf numbers the fields between breaks: cells that are joined, one with the
// other, in the order of their first cells. It is nil when there is one field.
func fieldsOf(cells []Cell, breaks [][2]plane.Point) []int {
	if len(breaks) == 0 {
		return nil
	}
	g := joined(cells, passM, breaks...)
	field := make([]int, len(cells))
	for i := range field {
		field[i] = -1
	}
	n := 0
	for i := range cells {
		if field[i] >= 0 {
			continue
		}
		field[i] = n
		for stack := []int{i}; len(stack) > 0; {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, l := range g.joins[k] {
				if field[l.to] < 0 {
					field[l.to] = n
					stack = append(stack, l.to)
				}
			}
		}
		n++
	}
	if n == 1 {
		return nil
	}
	return field
}

// fields lists the cells of each field in the order in which the fields are laid: the
// farthest from the exit first, unless that cuts another one off.
func (g *ground) fields() [][]int {
	var members [][]int
	for i, f := range g.field {
		for len(members) <= f {
			members = append(members, nil)
		}
		members[f] = append(members[f], i)
	}
	mean := func(cells []int) float64 {
		sum, area := 0.0, 0.0
		for _, i := range cells {
			sum, area = sum+g.fromExit(g.at[i])*g.cells[i].AreaM2, area+g.cells[i].AreaM2
		}
		return sum / area
	}
	slices.SortStableFunc(members, func(a, b []int) int { return cmp.Compare(mean(b), mean(a)) })
	laid := make([]bool, len(g.cells))
	mark := func(cells []int, to bool) {
		for _, i := range cells {
			laid[i] = to
		}
	}
	var order [][]int
	for len(members) > 0 {
		pick := 0
		for k := range members {
			mark(members[k], true)
			seen, free := g.reached(laid), true
			for i := range laid {
				free = free && (laid[i] || seen[i])
			}
			mark(members[k], false)
			if free {
				pick = k
				break
			}
		}
		mark(members[pick], true)
		order = append(order, members[pick])
		members = slices.Delete(members, pick, pick+1)
	}
	return order
}

// returns counts how often an order comes back to a field that it has left unfinished.
func (g *ground) returns(order []int) int {
	if g.field == nil {
		return 0
	}
	begun := map[int]bool{}
	sum := 0
	for k, i := range order {
		if f := g.field[i]; k == 0 || g.field[order[k-1]] != f {
			if begun[f] {
				sum++
			}
			begun[f] = true
		}
	}
	return sum
}

// field of a piece: 0 where there is but one.
func (p *pour) field(piece int) int {
	if p.detail || p.ground.field == nil {
		return 0
	}
	return p.ground.field[piece]
}

// sameField reports whether a bucket lays on in a field that the one before has laid in.
func (p *pour) sameField(before, now []Part) bool {
	return slices.ContainsFunc(now, func(x Part) bool {
		return slices.ContainsFunc(before, func(y Part) bool { return p.field(x.piece) == p.field(y.piece) })
	})
}
