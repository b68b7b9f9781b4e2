package joining

import "slices"

// ids are the ids of members, in the order of before, then of what was added by their ids.
func (x *three) ids() []string {
	var out, added []string
	for i := range x.lists[0] {
		out = append(out, x.lists[0][i].id)
	}
	for side := 1; side <= 2; side++ {
		for i := range x.lists[side] {
			if id := x.lists[side][i].id; x.indexes[0][id] == 0 && (side == 1 || x.indexes[1][id] == 0) {
				added = append(added, id)
			}
		}
	}
	slices.Sort(added)
	return append(out, added...)
}

// order is the order of the members that are kept: that of whoever changed it, with what each added behind what it stood behind.
func (w *work) order(a at, all *three, kept map[string]*member) []string {
	was, mine, theirs := all.old(0, kept), all.old(1, kept), all.old(2, kept)
	mineMoved, theirsMoved := !within(mine, was), !within(theirs, was)
	spine := was
	switch {
	case mineMoved && theirsMoved && !slices.Equal(mine, theirs):
		spine = theirs
		if w.differ(a, values(was), values(mine), values(theirs), true, Mine) == Mine {
			spine = mine
		}
	case mineMoved:
		spine = mine
	case theirsMoved:
		spine = theirs
	}
	// What one took away and is kept all the same stands at the end where only the other's order is followed.
	on := setOf(spine)
	for _, id := range was {
		if !on[id] {
			on[id] = true
			spine = append(slices.Clone(spine), id)
		}
	}
	ours, others := behind(all.lists[1], on, kept), behind(all.lists[2], on, kept)
	out := []string{}
	placed := map[string]bool{}
	for _, anchor := range append([]string{""}, spine...) {
		if anchor != "" {
			out = append(out, anchor)
		}
		for _, id := range oneAfterOther(ours[anchor], others[anchor]) {
			if !placed[id] {
				placed[id] = true
				out = append(out, id)
			}
		}
	}
	return out
}

// oneAfterOther is what both added at one place; whoever is called mine, the order is the same.
func oneAfterOther(a, b []string) []string {
	if len(a) > 0 && len(b) > 0 && b[0] < a[0] {
		a, b = b, a
	}
	return append(slices.Clone(a), b...)
}

// old are the kept ids of one of the lists that were there before.
func (x *three) old(i int, kept map[string]*member) []string {
	var out []string
	for k := range x.lists[i] {
		if id := x.lists[i][k].id; kept[id] != nil && x.indexes[0][id] > 0 {
			out = append(out, id)
		}
	}
	return out
}

func setOf(ids []string) map[string]bool {
	out := map[string]bool{}
	for _, id := range ids {
		out[id] = true
	}
	return out
}

// within reports whether ids stand in the order of others.
func within(ids, of []string) bool {
	places := map[string]int{}
	for i, id := range of {
		places[id] = i
	}
	return slices.IsSortedFunc(ids, func(a, b string) int { return places[a] - places[b] })
}

// behind are the members that a side added, by what they stand behind.
func behind(list []member, spine map[string]bool, kept map[string]*member) map[string][]string {
	out := map[string][]string{}
	anchor := ""
	for i := range list {
		id := list[i].id
		switch {
		case spine[id]:
			anchor = id
		case kept[id] != nil:
			out[anchor] = append(out[anchor], id)
		}
	}
	return out
}

func values(ids []string) any {
	out := []any{}
	for _, id := range ids {
		out = append(out, id)
	}
	return out
}
