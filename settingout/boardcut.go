package settingout

import (
	"context"
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
func columnsOf(blanks []blank, width, kerf int) []column {
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
				if c.used+kerf+b.width > width {
					continue
				}
				// A much shorter piece spoils a long column.
				if c.length-b.length > c.length/3 {
					continue
				}
				if waste := (c.length-b.length)*4 + (width - c.used - kerf - b.width); waste < best {
					best, placed = waste, i
				}
			}
		}
		if placed >= 0 {
			c := &columns[placed]
			c.items = append(c.items, packed{id: b.id, y: c.used + kerf})
			c.used += kerf + b.width
			continue
		}
		columns = append(columns, column{b.length, b.width, []packed{{id: b.id}}})
		if b.width+kerf+50 <= width {
			open = append(open, len(columns)-1)
		}
	}
	return columns
}

// packBoards cuts blanks from boards: columns are cut off a board's length,
// longest first, each from the board it fills best. It is the quick answer that
// plans are compared by; the exact cutter follows for the plan chosen.
func packBoards(blanks []blank, length, width, kerf int) ([]packed, int) {
	places, room := packColumns(blanks, length, width, kerf)
	return places, len(room)
}

// packColumns is packBoards with the room left on each board.
func packColumns(blanks []blank, length, width, kerf int) ([]packed, []int) {
	var room []int
	var out []packed
	// Boards by room left: the first of each room, the next of the same room, and
	// one bit a room to find the least that fits.
	first := make([]int32, length+1)
	some := make([]uint64, length/64+1)
	var next []int32
	columns := columnsOf(blanks, width, kerf)
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
		room[board] -= c.length + kerf
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

// boardCut is how blanks are cut, with what is proven about it. The first boards
// of sheets are bought, the others are pieces of board in hand.
type boardCut struct {
	places []packed
	sheets []boardSheet
	boards int // bought
	bound  int
	method string
	fault  error // a plan of the cutters that does not add up; none of it is used
	tried  bool  // by the two-dimensional cutter
}

// boardSheet is a board or a piece in hand, mm; hand is its index there, −1 for bought.
type boardSheet struct{ length, width, hand int }

// cutBoards cuts blanks from as few boards as it can and proves how few there
// could be, what is in hand taken first. Columns are cut by the exact
// one-dimensional cutter; where that leaves a gap to the bound on a roof of few
// boards, the two-dimensional cutter tries too.
func cutBoards(ctx context.Context, blanks []blank, length, width, kerf int, hand []InHand) boardCut {
	if len(hand) > 0 {
		return cutWithHand(ctx, blanks, length, width, kerf, hand)
	}
	out := cutColumns(ctx, blanks, length, width, kerf)
	if out.boards > out.bound && out.boards <= sheetsTried {
		out.trySheets(ctx, blanks, length, width, kerf, nil)
	}
	out.whole(length, width)
	return out
}

// cutColumns stacks blanks into columns and cuts these exactly.
func cutColumns(ctx context.Context, blanks []blank, length, width, kerf int) boardCut {
	places, n := packBoards(blanks, length, width, kerf)
	out := boardCut{places: places, boards: n}
	out.bound, out.method = boardBound(blanks, length, width, kerf)
	// Pieces wider than half a board cannot lie side by side: their lengths alone
	// bound the number of boards.
	if out.boards > out.bound {
		_, least, err := cutLengths(ctx, wideLengths(blanks, width, kerf), length, kerf)
		if out.noted(err) && least > out.bound {
			out.bound, out.method = least, "pieces wider than half a board cut in one dimension, exactly"
		}
	}
	if out.boards > out.bound {
		columns := columnsOf(blanks, width, kerf)
		lengths := make([]int, len(columns))
		for i, c := range columns {
			lengths[i] = c.length
		}
		bars, _, err := cutLengths(ctx, lengths, length, kerf)
		if out.noted(err) && len(bars) < out.boards {
			out.places, out.boards = nil, len(bars)
			for k, bar := range bars {
				x := 0
				for _, i := range bar {
					for _, it := range columns[i].items {
						it.board, it.x = k, x
						out.places = append(out.places, it)
					}
					x += columns[i].length + kerf
				}
			}
		}
	}
	return out
}

// noted keeps an error of the cutters, and reports whether there was none.
func (o *boardCut) noted(err error) bool {
	if o.fault == nil {
		o.fault = err
	}
	return err == nil
}

// whole makes every sheet a board bought, where none has been named.
func (o *boardCut) whole(length, width int) {
	for len(o.sheets) < o.boards {
		o.sheets = append(o.sheets, boardSheet{length, width, -1})
	}
}

// wideLengths are the lengths of blanks wider than half a board.
func wideLengths(blanks []blank, width, kerf int) []int {
	var wide []int
	for _, b := range blanks {
		if 2*b.width+kerf > width {
			wide = append(wide, b.length)
		}
	}
	return wide
}

// cutWithHand fills pieces in hand first, largest blanks first, cuts the rest from
// boards, and lets the two-dimensional cutter try all together.
func cutWithHand(ctx context.Context, blanks []blank, length, width, kerf int, hand []InHand) boardCut {
	var area int
	wide := []barKind{{length: length, cost: 1, available: -1}}
	for _, h := range hand {
		area += h.LengthMM * min(h.WidthMM, width) * h.Count
		wide = append(wide, barKind{length: h.LengthMM, available: h.Count})
	}
	left, rest, sheets := fillHand(blanks, kerf, hand)
	out := cutBoards(ctx, rest, length, width, kerf, nil)
	n := out.boards
	for i := range left {
		left[i].board += n
	}
	out.places, out.sheets = append(out.places, left...), append(out.sheets, sheets...)
	var blankArea int
	for _, b := range blanks {
		blankArea += b.length * b.width
	}
	out.bound, out.method = max(0, (blankArea-area+length*width-1)/(length*width)), "area of the pieces less what is in hand"
	if cut, err := cutBars(ctx, wideLengths(blanks, width, kerf), wide, kerf,
		0); err == nil && out.noted(cut.fault) && out.boards > out.bound {
		if least := int(math.Ceil(cut.bound - 1e-6)); least > out.bound {
			out.bound, out.method = least, "pieces wider than half a board cut in one dimension, pieces in hand free"
		}
	}
	if out.boards > out.bound && out.boards <= sheetsTried {
		out.trySheets(ctx, blanks, length, width, kerf, hand)
	}
	return out
}

// fillHand cuts blanks from pieces in hand: the largest that fits, where least is
// left. It returns their places, the blanks that are left, and the pieces begun.
func fillHand(blanks []blank, kerf int, hand []InHand) (places []packed, rest []blank, sheets []boardSheet) {
	type free struct{ sheet, x, y, length, width int }
	var room []free
	var all []boardSheet
	for i, h := range hand {
		for k := 0; k < min(h.Count, len(blanks)); k++ {
			room = append(room, free{len(all), 0, 0, h.LengthMM, h.WidthMM})
			all = append(all, boardSheet{h.LengthMM, h.WidthMM, i})
		}
	}
	order := append([]blank(nil), blanks...)
	sort.SliceStable(order, func(i, j int) bool { return order[i].length*order[i].width > order[j].length*order[j].width })
	number := make([]int, len(all))
	for _, b := range order {
		best, waste := -1, math.MaxInt
		for i, f := range room {
			if v := f.length*f.width - b.length*b.width; f.length >= b.length && f.width >= b.width && v < waste {
				best, waste = i, v
			}
		}
		if best < 0 {
			rest = append(rest, b)
			continue
		}
		f := room[best]
		if number[f.sheet] == 0 {
			sheets = append(sheets, all[f.sheet])
			number[f.sheet] = len(sheets)
		}
		places = append(places, packed{b.id, number[f.sheet] - 1, f.x, f.y})
		room[best] = free{f.sheet, f.x + b.length + kerf, f.y, f.length - b.length - kerf, f.width}
		room = append(room, free{f.sheet, f.x, f.y + b.width + kerf, b.length, f.width - b.width - kerf})
	}
	sort.SliceStable(rest, func(i, j int) bool { return rest[i].id < rest[j].id })
	return places, rest, sheets
}

// sheetsTried is the number of boards up to which the two-dimensional cutter is asked.
const sheetsTried = 250

// trySheets asks the two-dimensional cutter and keeps its plan and bound where better.
func (o *boardCut) trySheets(ctx context.Context, blanks []blank, length, width, kerf int, hand []InHand) {
	o.tried = true
	p := cutting.SheetProblem{KerfMM: kerf, KeepLengthMM: 400, KeepWidthMM: 300,
		Sheets: []cutting.Sheet{{Name: "-1", LengthMM: length, WidthMM: width, Cost: 1, Available: -1}}}
	for i, h := range hand {
		p.Sheets = append(p.Sheets, cutting.Sheet{Name: strconv.Itoa(i), LengthMM: h.LengthMM, WidthMM: h.WidthMM, Available: h.Count})
	}
	for i, b := range blanks {
		p.Panels = append(p.Panels, cutting.Panel{Name: strconv.Itoa(i), LengthMM: b.length, WidthMM: b.width, Count: 1})
	}
	plan, err := cutting.SolveSheets(ctx, p)
	if err != nil || !o.noted(cutting.VerifySheets(p, plan)) {
		return
	}
	if least := int(math.Ceil(plan.LowerBound - 1e-6)); least > o.bound {
		o.bound, o.method = least, "two-dimensional cutter"
	}
	var got boardCut
	// Boards bought come first.
	for _, bought := range []bool{true, false} {
		for _, s := range plan.Sheets {
			from, err := strconv.Atoi(s.Sheet)
			if err != nil || (from < 0) != bought {
				continue
			}
			if !got.takeSheet(s, from, blanks) {
				return
			}
		}
	}
	if got.boards < o.boards && len(got.places) == len(blanks) {
		o.places, o.boards, o.sheets = got.places, got.boards, got.sheets
	}
}

// takeSheet adds what the two-dimensional cutter cuts from one sheet; from is the piece
// in hand, below 0 for a board bought. It reports whether every panel is a blank.
func (o *boardCut) takeSheet(s cutting.CutSheet, from int, blanks []blank) bool {
	for k := 0; k < s.Count; k++ {
		for _, q := range s.Placed {
			i, err := strconv.Atoi(q.Panel)
			if err != nil || i < 0 || i >= len(blanks) {
				return false
			}
			o.places = append(o.places, packed{blanks[i].id, len(o.sheets), q.XMM, q.YMM})
		}
		o.sheets = append(o.sheets, boardSheet{s.LengthMM, s.WidthMM, from})
		if from < 0 {
			o.boards++
		}
	}
	return true
}

// boardBound is a proven least number of boards for the blanks: by area, and by
// blanks of which no two share a board.
func boardBound(blanks []blank, length, width, kerf int) (int, string) {
	var area float64
	alone := 0
	for _, b := range blanks {
		area += float64(b.length) * float64(b.width)
		if 2*b.length+kerf > length && 2*b.width+kerf > width {
			alone++
		}
	}
	if byArea := int(math.Ceil(area/(float64(length)*float64(width)) - 1e-9)); byArea >= alone {
		return byArea, "area of the pieces"
	}
	return alone, "pieces of which no two share a board"
}
