package laying

import (
	"math"

	"gelwright/mixing"
	"gelwright/plane"
	"gelwright/settingout"
)

// foldNearM is how near to a ridge, hip or valley either strip may lie on top: water
// leaves it, or comes to it, from both sides.
const foldNearM = 0.15

// shingle tells each cell on which cells' edges it lies in the flow of water: where a
// lap runs across the fall the lower strip goes down first. of names the strip of each cell.
func shingle(cells []mixing.Cell, of []int, strips []settingout.Piece, falls plane.Falls) {
	cellsOf := make([][]int, len(strips))
	for i, s := range of {
		cellsOf[s] = append(cellsOf[s], i)
	}
	type box struct{ low, high plane.Point }
	boxes := make([]box, len(strips))
	for i, s := range strips {
		boxes[i].low, boxes[i].high = s.Bounds()
	}
	over := make([][]int, len(strips)) // strips that each one lies on
	for i := range strips {
		for k := i + 1; k < len(strips); k++ {
			low := plane.Point{X: math.Max(boxes[i].low.X, boxes[k].low.X), Y: math.Max(boxes[i].low.Y, boxes[k].low.Y)}
			high := plane.Point{X: math.Min(boxes[i].high.X, boxes[k].high.X), Y: math.Min(boxes[i].high.Y, boxes[k].high.Y)}
			if low.X >= high.X || low.Y >= high.Y {
				continue
			}
			upper, lower, across := lapAcross(strips, i, k, falls)
			if across && !reaches(over, lower, upper) {
				over[upper] = append(over[upper], lower)
			}
		}
	}
	for upper, list := range over {
		for _, lower := range list {
			for _, c := range cellsOf[upper] {
				cells[c].Over = append(cells[c].Over, cellsOf[lower]...)
			}
		}
	}
}

// lapAcross reports whether strips i and k lap across the fall, and which lies higher.
func lapAcross(strips []settingout.Piece, i, k int, falls plane.Falls) (upper, lower int, across bool) {
	u := strips[i].Along
	v := u.Left()
	a, b := extent(strips[i].Shape, u, v), extent(strips[k].Shape, u, v)
	x0, x1 := math.Max(a[0], b[0]), math.Min(a[1], b[1])
	y0, y1 := math.Max(a[2], b[2]), math.Min(a[3], b[3])
	if x1-x0 < 0.01 || y1-y0 < 0.01 {
		return 0, 0, false
	}
	lap := u // the way the lap runs
	if y1-y0 > x1-x0 {
		lap = v
	}
	// Where water runs to a point it crosses a lap in one place and runs along it in another:
	// the place where it crosses most decides.
	var down plane.Point
	crosses := math.Sqrt2 / 2
	const places = 9
	for n := range places {
		t := (float64(n) + 0.5) / places
		at := u.Scale((x0 + x1) / 2).Add(v.Scale(y0 + (y1-y0)*t))
		if lap == u {
			at = u.Scale(x0 + (x1-x0)*t).Add(v.Scale((y0 + y1) / 2))
		}
		if line := falls.Line; line[0] != line[1] && math.Abs(line[1].Sub(line[0]).Unit().Left().Dot(at.Sub(line[0]))) < foldNearM {
			continue
		}
		d := settingout.DownAt(falls, at)
		if c := math.Abs(d.Dot(lap.Left())); d.Length() > 0.5 && c > crosses {
			crosses, down = c, d
		}
	}
	if down.Length() < 0.5 {
		return 0, 0, false
	}
	if down.Dot(centre(a, u, v).Sub(centre(b, u, v))) > 0 {
		return k, i, true
	}
	return i, k, true
}

// extent is the least and greatest coordinate along u and along v.
func extent(shape []plane.Point, u, v plane.Point) [4]float64 {
	e := [4]float64{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for _, p := range shape {
		e[0], e[1] = math.Min(e[0], u.Dot(p)), math.Max(e[1], u.Dot(p))
		e[2], e[3] = math.Min(e[2], v.Dot(p)), math.Max(e[3], v.Dot(p))
	}
	return e
}

func centre(e [4]float64, u, v plane.Point) plane.Point {
	return u.Scale((e[0] + e[1]) / 2).Add(v.Scale((e[2] + e[3]) / 2))
}

// reaches reports whether one gets from a to b over what lies under what: falls to a
// point may ask for laps in a ring, which no order keeps.
func reaches(over [][]int, a, b int) bool {
	seen := map[int]bool{a: true}
	for stack := []int{a}; len(stack) > 0; {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if i == b {
			return true
		}
		for _, k := range over[i] {
			if !seen[k] {
				seen[k] = true
				stack = append(stack, k)
			}
		}
	}
	return false
}
