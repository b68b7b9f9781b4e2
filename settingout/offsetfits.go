package settingout

import (
	"math"
	"slices"
)

// kindsWeighed bounds the widths of strip that are told apart at one offset, the longest first.
const kindsWeighed = 10

// slice is a stretch of a bay between two corners, with the stretches across it at either end.
type slice struct {
	bay      int
	long     float64
	from, to [][2]float64
}

// offsetScan looks at the strips that a deck is cut into at one row offset after another.
type offsetScan struct {
	r      boardRules
	slices []slice
	strips []strip
	kinds  []int     // width, mm, of each kind of strip that is narrower than a board
	metres []float64 // of each kind
	order  []int     // the kind of each strip, −1 a whole board's
}

func newOffsetScan(bays []bay, r boardRules) *offsetScan {
	o := &offsetScan{r: r}
	for i := range bays {
		var xs []float64
		for _, l := range bays[i].region {
			for _, p := range l {
				xs = append(xs, p.X)
			}
		}
		slices.Sort(xs)
		for n := 0; n+1 < len(xs); n++ {
			if xs[n+1]-xs[n] < 1e-5 {
				continue
			}
			const in = 1e-7
			c := slice{i, xs[n+1] - xs[n], chordsAt(bays[i].region, xs[n]+in), chordsAt(bays[i].region, xs[n+1]-in)}
			if len(c.from) == len(c.to) {
				o.slices = append(o.slices, c)
			}
		}
	}
	return o
}

// at cuts the deck into strips, as stripsOf does rows; origin gives each bay's lattice.
func (o *offsetScan) at(origin []float64) {
	o.strips, o.kinds, o.metres, o.order = o.strips[:0], o.kinds[:0], o.metres[:0], o.order[:0]
	for i := range o.slices {
		s := &o.slices[i]
		base := origin[s.bay]
		for c := range s.from {
			a, b := s.from[c], s.to[c]
			for k := math.Floor((min(a[0], b[0]) - base) / o.r.pitch); base+k*o.r.pitch < max(a[1], b[1]); k++ {
				v0 := base + k*o.r.pitch
				v1 := v0 + o.r.width
				across := min(min(v1, a[1])-max(v0, a[0]), min(v1, b[1])-max(v0, b[0]))
				if across < sliverM {
					continue
				}
				o.strips = append(o.strips, strip{s.long, across})
				o.tell(across, s.long)
			}
		}
	}
}

// tell notes a strip's kind.
func (o *offsetScan) tell(across, long float64) {
	mm := upMM(across)
	if mm >= upMM(o.r.width) {
		o.order = append(o.order, -1)
		return
	}
	i := slices.Index(o.kinds, mm)
	if i < 0 {
		i = len(o.kinds)
		o.kinds, o.metres = append(o.kinds, mm), append(o.metres, 0)
	}
	o.metres[i] += long
	o.order = append(o.order, i)
}

// fits are the sets of two and three strips that lie side by side on a board's width, and the strips that
// are wide enough to lay, a bit each.
func (o *offsetScan) fits() []uint64 {
	var set []uint64
	n := 0
	put := func(yes bool) {
		if n%64 == 0 {
			set = append(set, 0)
		}
		if yes {
			set[n/64] |= 1 << (n % 64)
		}
		n++
	}
	wide, kerf := upMM(o.r.width), o.r.kerf
	kinds := o.longest()
	for i, a := range kinds {
		put(a >= int(leastRipM*1000))
		for j, b := range kinds[i:] {
			put(a+b+kerf <= wide)
			for _, c := range kinds[i+j:] {
				put(a+b+c+2*kerf <= wide)
			}
		}
	}
	return set
}

// longest are the widths of the kinds of which there is most, in the order met.
func (o *offsetScan) longest() []int {
	if len(o.kinds) <= kindsWeighed {
		return o.kinds
	}
	least := slices.Sorted(slices.Values(o.metres))[len(o.kinds)-kindsWeighed]
	var out []int
	for i, mm := range o.kinds {
		if o.metres[i] >= least && len(out) < kindsWeighed {
			out = append(out, mm)
		}
	}
	return out
}

// heldBy reports whether every bit of a is in b.
func heldBy(a, b []uint64) bool {
	for i := range a {
		if a[i]&^b[i] != 0 {
			return false
		}
	}
	return true
}

// workingOffsets lists the offsets of the rows, in whole millimetres below the pitch, that no other stands
// for. Between two offsets at which a row line meets a corner the strips stay the same but for their widths, and what
// can be cut from a board's width changes only where two or three strips begin or cease to fit
// beside each other: of all offsets between such lines those remain at which most fits. origin gives the lattices
// at offset 0. With each offset comes the bound of its strips.
func workingOffsets(bays []bay, origin []float64, r boardRules) (offsets, bounds []float64) {
	type stand struct {
		mm    int
		set   []uint64
		bound float64
	}
	var list, group []stand
	var before []int
	o := newOffsetScan(bays, r)
	for mm := range int(math.Round(r.pitch * 1000)) {
		o.at(shifted(origin, float64(mm)/1000))
		if !slices.Equal(before, o.order) {
			list, group = append(list, group...), group[:0]
			before = append(before[:0], o.order...)
		}
		set := o.fits()
		if slices.ContainsFunc(group, func(s stand) bool { return heldBy(set, s.set) }) {
			continue
		}
		group = slices.DeleteFunc(group, func(s stand) bool { return heldBy(s.set, set) })
		group = append(group, stand{mm, set, stripBound(o.strips, r)})
	}
	for _, s := range append(list, group...) {
		offsets, bounds = append(offsets, float64(s.mm)/1000), append(bounds, s.bound)
	}
	return offsets, bounds
}

// shifted are lattices moved by an offset.
func shifted(origin []float64, by float64) []float64 {
	out := make([]float64, len(origin))
	for i := range out {
		out[i] = origin[i] + by
	}
	return out
}
