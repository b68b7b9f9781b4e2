package settingout

import (
	"math"
	"sort"

	"gelwright/plane"
)

// rect is a rectangle on a board or a run, mm.
type rect struct{ x, y, l, w int }

func (r rect) area() int { return r.l * r.w }

// keeps reports whether a leftover is worth keeping: long enough one way and not
// narrower than what is kept at all the other.
func (r rect) keeps(keep int) bool {
	return max(r.l, r.w) >= keep && min(r.l, r.w) >= min(LeastKeepMM, keep)
}

// leftovers returns the largest clear rectangles beside what is taken, largest
// first, each clear of the one before, as far as they are worth keeping. A saw cut
// is lost next to everything taken.
func leftovers(taken []rect, length, width, kerf, keep int) []rect {
	blocks := append([]rect(nil), taken...)
	var out []rect
	for len(out) < 4 {
		r := largestClear(blocks, length, width, kerf)
		if !r.keeps(keep) {
			return out
		}
		out = append(out, r)
		blocks = append(blocks, r)
	}
	return out
}

// largestClear is the largest rectangle that keeps a saw cut off all blocks. Its
// sides lie on the stock's sides or a saw cut off a block.
func largestClear(blocks []rect, length, width, kerf int) rect {
	xs := []int{0, length}
	for _, b := range blocks {
		xs = append(xs, min(b.x+b.l+kerf, length), max(b.x-kerf, 0))
	}
	xs = distinct(xs)
	var best rect
	for i, x0 := range xs {
		for k := len(xs) - 1; k > i; k-- {
			l := xs[k] - x0
			if l*width <= best.area() {
				break
			}
			// The clear heights over this stretch of length.
			bars := [][2]int{}
			for _, b := range blocks {
				if b.x-kerf < xs[k] && b.x+b.l+kerf > x0 {
					bars = append(bars, [2]int{b.y - kerf, b.y + b.w + kerf})
				}
			}
			sort.Slice(bars, func(a, c int) bool { return bars[a][0] < bars[c][0] })
			at := 0
			for _, b := range append(bars, [2]int{width, width}) {
				if h := min(b[0], width) - at; h > 0 && h*l > best.area() {
					best = rect{x0, at, l, h}
				}
				at = max(at, b[1])
			}
		}
	}
	return best
}

func distinct(v []int) []int {
	sort.Ints(v)
	out := v[:0]
	for i, x := range v {
		if i == 0 || x != out[len(out)-1] {
			out = append(out, x)
		}
	}
	return out
}

// rasterMM is how finely leftovers within a piece's blank are sought.
const rasterMM = 10

// spareWithin is the largest rectangle in a piece's blank that its shape leaves: of
// a triangle's other half, a curve's waste, a hole for an opening. It lies a saw cut
// off the shape and is found to 10 mm, on the safe side. Its corner is counted from
// the blank's.
func spareWithin(p Piece, kerf, keep int) (rect, bool) {
	if blank := float64(p.LengthMM) * float64(p.WidthMM) / 1e6; blank-p.AreaM2 < float64(keep*min(LeastKeepMM, keep))/1e6 {
		return rect{}, false
	}
	left := p.Along.Left()
	local := func(l []plane.Point) plane.Loop {
		out := make(plane.Loop, len(l))
		for i, q := range l {
			d := q.Sub(p.Corner)
			out[i] = plane.Point{X: d.Dot(p.Along), Y: d.Dot(left)}
		}
		return out
	}
	shape := plane.Region{local(p.Shape)}
	for _, h := range p.Holes {
		shape = append(shape, local(h))
	}
	nx, ny := p.LengthMM/rasterMM, p.WidthMM/rasterMM
	high := make([]int, nx) // clear cells below, in each column
	var best rect
	step, k := rasterMM/1000.0, float64(kerf)/1000
	for row := 0; row < ny; row++ {
		for i := range high {
			high[i]++
		}
		for _, q := range shape.Band(1, float64(row)*step-k, float64(row+1)*step+k).Parts() {
			lo, hi := q.Outer.Bounds()
			for i := max(0, int(math.Floor((lo.X-k)/step))); i < min(nx, int(math.Ceil((hi.X+k)/step))); i++ {
				high[i] = 0
			}
		}
		best = tallest(high, row, best)
	}
	return best, best.keeps(keep)
}

// tallest is the largest rectangle under the skyline that ends in this row, if it
// beats the best so far.
func tallest(high []int, row int, best rect) rect {
	type step struct{ from, h int }
	var stack []step
	for i := 0; i <= len(high); i++ {
		h := 0
		if i < len(high) {
			h = high[i]
		}
		from := i
		for len(stack) > 0 && stack[len(stack)-1].h > h {
			top := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if r := (rect{top.from * rasterMM, (row + 1 - top.h) * rasterMM, (i - top.from) * rasterMM, top.h * rasterMM}); r.area() > best.area() {
				best = r
			}
			from = top.from
		}
		if len(stack) == 0 || stack[len(stack)-1].h < h {
			stack = append(stack, step{from, h})
		}
	}
	return best
}

func offcutsOf(lists ...[]rect) []Offcut {
	var out []Offcut
	for _, list := range lists {
		for _, r := range list {
			out = append(out, Offcut{XMM: r.x, YMM: r.y, LengthMM: r.l, WidthMM: r.w})
		}
	}
	return out
}
