package settingout

import (
	"math"
	"sort"
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

// packBoards cuts blanks from boards: blanks narrower than a board are stacked
// across it into columns, columns are cut off its length. Longest column first,
// each into the board it fills best. It is the quick answer that plans are
// compared by; the exact cutter follows for the plan chosen.
func packBoards(blanks []blank, length, width int) ([]packed, int) {
	order := append([]blank(nil), blanks...)
	sort.SliceStable(order, func(i, j int) bool {
		if order[i].length != order[j].length {
			return order[i].length > order[j].length
		}
		return order[i].width > order[j].width
	})
	type column struct {
		length, used int
		items        []packed
	}
	var columns []column
	open := 0
	for _, b := range order {
		placed := -1
		if b.width < width {
			best := math.MaxInt
			for i := open; i < len(columns); i++ {
				c := &columns[i]
				if c.used+kerfMM+b.width > width {
					continue
				}
				waste := (c.length-b.length)*4 + (width - c.used - kerfMM - b.width)
				// A much shorter piece spoils a long column.
				if c.length-b.length > c.length/3 {
					continue
				}
				if waste < best {
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
	}
	// Columns come longest first; best fit into boards by room left.
	var room []int
	var out []packed
	byRoom := map[int][]int{}
	for _, c := range columns {
		board := -1
		for left := c.length; left <= length; left++ {
			if list := byRoom[left]; len(list) > 0 {
				board = list[0]
				byRoom[left] = list[1:]
				break
			}
			if len(room) == 0 {
				break
			}
		}
		if board < 0 {
			board = len(room)
			room = append(room, length)
		}
		x := length - room[board]
		for _, it := range c.items {
			it.board, it.x = board, x
			out = append(out, it)
		}
		room[board] -= c.length + kerfMM
		if room[board] > 0 {
			byRoom[room[board]] = append(byRoom[room[board]], board)
		}
	}
	return out, len(room)
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
