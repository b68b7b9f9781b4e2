package settingout

import "slices"

// packer packs blanks as packColumns does and only says what comes of it: how many
// boards, and how the room left on them lies. It keeps its buffers, so that packing
// allocates nothing.
type packer struct {
	length, width, kerf int
	columns             []stack
	open                []int32
	room                []int
	first, next         []int32
	some                []uint64
}

// stack is a column as far as its packing depends on it.
type stack struct{ length, used int }

// pack sorts sizes (see sizeOf) and returns the number of boards and the sum of
// squares, mm², of the room left on them.
func (p *packer) pack(sizes []uint64) (boards int, spare float64) {
	slices.Sort(sizes)
	p.stacks(sizes)
	if p.first == nil {
		p.first = make([]int32, p.length+1)
		p.some = make([]uint64, p.length/64+1)
	}
	clear(p.some)
	room, next := p.room[:0], p.next[:0]
	for i := range p.columns {
		c := &p.columns[i]
		board := -1
		if left := leastFrom(p.some, c.length); left >= 0 {
			board = int(p.first[left]) - 1
			if p.first[left] = next[board]; p.first[left] == 0 {
				p.some[left/64] &^= 1 << (left % 64)
			}
		} else {
			board = len(room)
			room = append(room, p.length)
			next = append(next, 0)
		}
		room[board] -= c.length + p.kerf
		if left := room[board]; left > 0 {
			next[board] = 0
			if p.some[left/64]&(1<<(left%64)) != 0 {
				next[board] = p.first[left]
			}
			p.first[left] = int32(board) + 1
			p.some[left/64] |= 1 << (left % 64)
		}
	}
	p.room, p.next = room, next
	for _, left := range room {
		spare += float64(left) * float64(left)
	}
	return len(room), spare
}

// stacks puts blanks, in ascending order of size, into columns as columnsOf does.
func (p *packer) stacks(sizes []uint64) {
	p.columns, p.open = p.columns[:0], p.open[:0]
	begin := 0 // columns before it are too long for what is still to come
	for n := len(sizes) - 1; n >= 0; n-- {
		length, width := int(sizes[n]>>32), int(sizes[n]&(1<<32-1))
		placed := -1
		if width < p.width {
			for begin < len(p.open) && tooLong(p.columns[p.open[begin]].length, length) {
				begin++
			}
			best := 1<<63 - 1
			for _, i := range p.open[begin:] {
				c := &p.columns[i]
				if c.used+p.kerf+width > p.width {
					continue
				}
				if waste := (c.length-length)*4 + (p.width - c.used - p.kerf - width); waste < best {
					best, placed = waste, int(i)
				}
			}
		}
		if placed >= 0 {
			p.columns[placed].used += p.kerf + width
			continue
		}
		p.columns = append(p.columns, stack{length, width})
		if width+p.kerf+50 <= p.width {
			p.open = append(p.open, int32(len(p.columns)-1))
		}
	}
}

// tooLong reports whether a column is spoilt by a piece that is much shorter.
func tooLong(column, piece int) bool { return column-piece > column/3 }
