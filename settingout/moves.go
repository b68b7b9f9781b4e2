package settingout

import "slices"

// moves are the ways in which lanes were found to be laid, by lane, style and the
// layings of the lanes near.
type moves struct {
	slots []int32 // 1 + index of list, 0 for none; a power of two of them
	list  []move
	keys  []int32
}

type move struct {
	hash   uint64
	key    int32 // where its key begins in keys
	laying int32
	broken tally
}

// tally is the rules that a lane's laying breaks.
type tally struct{ stagger, short, unsupported int32 }

// whole is the tally among all rules.
func (t tally) whole() broken {
	return broken{stagger: int(t.stagger), short: int(t.short), unsupported: int(t.unsupported)}
}

// find returns the index of a key, and false where it is new.
func (m *moves) find(key []int32) (int32, bool) {
	if 2*len(m.list) >= len(m.slots) {
		m.grow()
	}
	h := uint64(14695981039346656037)
	for _, k := range key {
		h = (h ^ uint64(uint32(k))) * 0x9E3779B97F4A7C15
		h ^= h >> 29
	}
	mask := uint64(len(m.slots) - 1)
	at := h & mask
	for ; m.slots[at] != 0; at = (at + 1) & mask {
		// The lane comes first in a key and decides its length.
		e := &m.list[m.slots[at]-1]
		if e.hash == h && m.keys[e.key] == key[0] && slices.Equal(m.keys[e.key:int(e.key)+len(key)], key) {
			return m.slots[at] - 1, true
		}
	}
	if len(m.list) == cap(m.list) {
		m.list = slices.Grow(m.list, max(128, len(m.list)))
		m.keys = slices.Grow(m.keys, max(512, len(m.keys)))
	}
	m.list = append(m.list, move{hash: h, key: int32(len(m.keys))})
	m.keys = append(m.keys, key...)
	m.slots[at] = int32(len(m.list))
	return int32(len(m.list) - 1), false
}

// reuse takes over the room of other moves, which are forgotten.
func (m *moves) reuse(old *moves) {
	clear(old.slots)
	m.slots, m.list, m.keys = old.slots, old.list[:0], old.keys[:0]
}

func (m *moves) grow() {
	m.slots = make([]int32, max(256, 2*len(m.slots)))
	mask := uint64(len(m.slots) - 1)
	for i := range m.list {
		at := m.list[i].hash & mask
		for m.slots[at] != 0 {
			at = (at + 1) & mask
		}
		m.slots[at] = int32(i + 1)
	}
}

// room is a store of which stretches are kept: many small slices at the cost of one.
type room[T any] struct{ free []T }

// roomSize is how much is taken at a time.
const roomSize = 1024

// keep returns a copy of v, nil for none.
func (r *room[T]) keep(v []T) []T {
	n := len(v)
	if n == 0 {
		return nil
	}
	if n > len(r.free) {
		r.free = make([]T, max(n, roomSize))
	}
	out := r.free[:n:n]
	r.free = r.free[n:]
	copy(out, v)
	return out
}
