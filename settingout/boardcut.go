package settingout

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"sort"
	"strconv"

	"gelwright/cutting"
)

// blank is the rectangle a piece is cut from, mm.
type blank struct {
	length, width int
	id            int
}

// upMM rounds metres up to whole millimetres, forgiving a tenth of one.
func upMM(m float64) int { return int(math.Ceil(m*1000 - 0.1)) }

// packed is where a blank lies on its board.
type packed struct {
	id, board, x, y int
}

// column is blanks stacked across the board; its length is the longest's.
type column struct {
	length, used int
	items        []packed
}

// columnsOf stacks blanks narrower than a board into columns, longest first, each
// where it wastes least; a full-width blank is a column by itself.
func columnsOf(blanks []blank, width int) []column {
	order := append([]blank(nil), blanks...)
	sort.SliceStable(order, func(i, j int) bool {
		if order[i].length != order[j].length {
			return order[i].length > order[j].length
		}
		return order[i].width > order[j].width
	})
	var columns []column
	var open []int // columns with room
	for _, b := range order {
		placed := -1
		if b.width < width {
			best := math.MaxInt
			for _, i := range open {
				c := &columns[i]
				if c.used+kerfMM+b.width > width {
					continue
				}
				// A much shorter piece spoils a long column.
				if c.length-b.length > c.length/3 {
					continue
				}
				if waste := (c.length-b.length)*4 + (width - c.used - kerfMM - b.width); waste < best {
					best, placed = waste, i
				}
			}
		}
		if placed >= 0 {
			c := &columns[placed]
			c.items = append(c.items, packed{id: b.id, y: c.used + kerfMM})
			c.used += kerfMM + b.width
			continue
		}
		columns = append(columns, column{b.length, b.width, []packed{{id: b.id}}})
		if b.width+kerfMM+50 <= width {
			open = append(open, len(columns)-1)
		}
	}
	return columns
}

// packBoards cuts blanks from boards: columns are cut off a board's length,
// longest first, each from the board it fills best. It is the quick answer that
// plans are compared by; the exact cutter follows for the plan chosen.
func packBoards(blanks []blank, length, width int) ([]packed, int) {
	places, room := packColumns(blanks, length, width)
	return places, len(room)
}

// packColumns is packBoards with the room left on each board.
func packColumns(blanks []blank, length, width int) ([]packed, []int) {
	var room []int
	var out []packed
	// Boards by room left: the first of each room, the next of the same room, and
	// one bit a room to find the least that fits.
	first := make([]int32, length+1)
	some := make([]uint64, length/64+1)
	var next []int32
	columns := columnsOf(blanks, width)
	for i := range columns {
		c := &columns[i]
		board := -1
		if left := leastFrom(some, c.length); left >= 0 {
			board = int(first[left]) - 1
			if first[left] = next[board]; first[left] == 0 {
				some[left/64] &^= 1 << (left % 64)
			}
		} else {
			board = len(room)
			room = append(room, length)
			next = append(next, 0)
		}
		x := length - room[board]
		for _, it := range c.items {
			it.board, it.x = board, x
			out = append(out, it)
		}
		room[board] -= c.length + kerfMM
		if left := room[board]; left > 0 {
			next[board] = first[left]
			first[left] = int32(board) + 1
			some[left/64] |= 1 << (left % 64)
		}
	}
	return out, room
}

// leastFrom returns the lowest set bit not below from, −1 when there is none.
func leastFrom(set []uint64, from int) int {
	w := from / 64
	if w >= len(set) {
		return -1
	}
	word := set[w] &^ (1<<(from%64) - 1)
	for word == 0 {
		if w++; w >= len(set) {
			return -1
		}
		word = set[w]
	}
	return w*64 + bits.TrailingZeros64(word)
}

// boardCut is how blanks are cut, with what is proven about it.
type boardCut struct {
	places []packed
	boards int
	bound  int
	method string
}

// cutBoards cuts blanks from as few boards as it can and proves how few there
// could be. Columns are cut by the exact one-dimensional cutter; where that leaves
// a gap to the bound on a roof of few boards, the two-dimensional cutter tries too.
func cutBoards(ctx context.Context, blanks []blank, length, width int) boardCut {
	places, n := packBoards(blanks, length, width)
	out := boardCut{places, n, boardBound(blanks, length, width), "area, and pieces of which no two share a board"}
	// Pieces wider than half a board cannot lie side by side: their lengths alone
	// bound the number of boards.
	var wide []int
	for _, b := range blanks {
		if 2*b.width+kerfMM > width {
			wide = append(wide, b.length)
		}
	}
	if out.boards > out.bound {
		if _, least, err := cutLengths(ctx, wide, length); err == nil && least > out.bound {
			out.bound, out.method = least, "pieces wider than half a board cut in one dimension, exactly"
		}
	}
	if out.boards > out.bound {
		columns := columnsOf(blanks, width)
		lengths := make([]int, len(columns))
		for i, c := range columns {
			lengths[i] = c.length
		}
		if bars, _, err := cutLengths(ctx, lengths, length); err == nil && len(bars) < out.boards {
			out.places, out.boards = nil, len(bars)
			for k, bar := range bars {
				x := 0
				for _, i := range bar {
					for _, it := range columns[i].items {
						it.board, it.x = k, x
						out.places = append(out.places, it)
					}
					x += columns[i].length + kerfMM
				}
			}
		}
	}
	if out.boards > out.bound && out.boards <= sheetsTried {
		out.trySheets(ctx, blanks, length, width)
	}
	return out
}

// sheetsTried is the number of boards up to which the two-dimensional cutter is asked.
const sheetsTried = 250

// trySheets asks the two-dimensional cutter and keeps its plan and bound where better.
func (o *boardCut) trySheets(ctx context.Context, blanks []blank, length, width int) {
	p := cutting.SheetProblem{Sheets: []cutting.Sheet{{Name: "board", LengthMM: length, WidthMM: width, Cost: 1, Available: -1}}, KerfMM: kerfMM, KeepLengthMM: 400, KeepWidthMM: 300}
	for i, b := range blanks {
		p.Panels = append(p.Panels, cutting.Panel{Name: strconv.Itoa(i), LengthMM: b.length, WidthMM: b.width, Count: 1})
	}
	plan, err := cutting.SolveSheets(ctx, p)
	if err != nil {
		return
	}
	if least := int(math.Ceil(plan.LowerBound - 1e-6)); least > o.bound {
		o.bound, o.method = least, "two-dimensional cutter"
	}
	n := 0
	var places []packed
	for _, s := range plan.Sheets {
		for k := 0; k < s.Count; k++ {
			for _, q := range s.Placed {
				i, err := strconv.Atoi(q.Panel)
				if err != nil || i < 0 || i >= len(blanks) {
					return
				}
				places = append(places, packed{blanks[i].id, n, q.XMM, q.YMM})
			}
			n++
		}
	}
	if n < o.boards && len(places) == len(blanks) {
		o.places, o.boards = places, n
	}
}

// cutLengths cuts lengths from stock of one length by the exact cutter: for each
// stock length the indices cut from it, and the proven least number of stock lengths.
func cutLengths(ctx context.Context, lengths []int, stock int) (bars [][]int, least int, err error) {
	p := cutting.Problem{Stocks: []cutting.Stock{{Name: "stock", LengthMM: stock, Cost: 1, Available: -1}}, KerfMM: kerfMM, KeepMM: 500}
	queue := map[int][]int{}
	for i, l := range lengths {
		queue[l] = append(queue[l], i)
	}
	sizes := make([]int, 0, len(queue))
	for l := range queue {
		sizes = append(sizes, l)
	}
	sort.Sort(sort.Reverse(sort.IntSlice(sizes)))
	for _, l := range sizes {
		p.Pieces = append(p.Pieces, cutting.Piece{Name: strconv.Itoa(l), LengthMM: l, Count: len(queue[l])})
	}
	plan, err := cutting.Solve(ctx, p)
	if err != nil {
		return nil, 0, fmt.Errorf("cutting %d lengths: %w", len(lengths), err)
	}
	for _, b := range plan.Bars {
		for k := 0; k < b.Count; k++ {
			var bar []int
			for _, c := range b.Cuts {
				take := min(c.Count, len(queue[c.LengthMM]))
				bar = append(bar, queue[c.LengthMM][:take]...)
				queue[c.LengthMM] = queue[c.LengthMM][take:]
			}
			bars = append(bars, bar)
		}
	}
	return bars, int(math.Ceil(plan.LowerBound - 1e-6)), nil
}

// boardBound is a proven least number of boards for the blanks: by area, and by
// blanks of which no two share a board.
func boardBound(blanks []blank, length, width int) int {
	var area float64
	alone := 0
	for _, b := range blanks {
		area += float64(b.length) * float64(b.width)
		if 2*b.length+kerfMM > length && 2*b.width+kerfMM > width {
			alone++
		}
	}
	return max(alone, int(math.Ceil(area/(float64(length)*float64(width))-1e-9)))
}
