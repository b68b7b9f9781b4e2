package cutting

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	// beamSteps parts slabs by the area of their panels, in parts of a sheet; of each part as many are kept as
	// the beam is wide.
	beamSteps = 24
	// beamShare is how much of a slab may be wasted within it.
	beamShare = 0.2
)

// beam joins panels to slabs, the smallest first, and keeps of each size those that waste
// least; it returns the slab of most value, −1 where there is none. value is what a panel of each type is worth, dice shuffles what is kept
// a little.
func (p *pool) beam(value func(i int) float64, wide int, dice *rand.Rand) int32 {
	p.singles(value)
	b := beaming{pool: p, dice: dice, wide: wide, known: map[tally][]int32{}, jitter: float64(p.leastSide*p.leastSide) / jitterPart}
	for i := range b.steps {
		b.steps[i].worst = math.Inf(1)
	}
	singles := len(p.slabs)
	for i := range singles {
		b.file(int32(i), b.worse(&p.slabs[i]))
	}
	for step := range b.steps {
		b.work(step)
	}
	best := int32(-1)
	for i := range p.slabs {
		if best < 0 || p.slabs[i].value > p.slabs[best].value {
			best = int32(i)
		}
	}
	return best
}

// beaming is the state of a beam.
type beaming struct {
	*pool
	dice   *rand.Rand
	wide   int
	jitter float64
	known  map[tally][]int32
	steps  [beamSteps + 1]shelf
	done   []int32
}

// shelf is the slabs of one size, and a limit above which none more is taken.
type shelf struct {
	list  []scored
	worst float64
}

// scored is a slab with what speaks against it.
type scored struct {
	at    int32
	worse float64
}

func byWorse(x, y scored) int { return cmp.Compare(x.worse, y.worse) }

// worse is the part of a slab that is lost within it, with what cannot be used beside it.
func (b *beaming) worse(s *slab) float64 {
	l, w := s.l, s.w
	if b.l-l < b.leastSide {
		l = b.l
	}
	if b.w-w < b.leastSide {
		w = b.w
	}
	return (float64(int64(l)*int64(w)-s.area) + b.jitter*b.dice.Float64()) / float64(s.area)
}

// shelfOf is where a slab of so much area goes.
func (b *beaming) shelfOf(area int64) *shelf {
	return &b.steps[area*beamSteps/(int64(b.l)*int64(b.w))]
}

func (b *beaming) file(i int32, worse float64) {
	s := b.shelfOf(b.slabs[i].area)
	s.list = append(s.list, scored{i, worse})
	if len(s.list) >= shelfOver*b.wide {
		slices.SortStableFunc(s.list, byWorse)
		s.list = s.list[:3*b.wide]
		s.worst = s.list[len(s.list)-1].worse
	}
}

// work joins the best slabs of a size with all that are kept already.
func (b *beaming) work(step int) {
	kept := 0
	for kept < b.wide && len(b.steps[step].list) > 0 {
		list := b.steps[step].list
		b.steps[step].list = nil
		slices.SortStableFunc(list, byWorse)
		for _, s := range list {
			if kept == b.wide {
				return
			}
			if b.beaten(s.at) {
				continue
			}
			kept++
			b.known[b.slabs[s.at].n] = append(b.known[b.slabs[s.at].n], s.at)
			b.done = append(b.done, s.at)
			for _, o := range b.done {
				b.join(s.at, o)
			}
		}
	}
}

// beaten reports whether a slab of the same panels that is no greater is kept.
func (b *beaming) beaten(i int32) bool {
	s := &b.slabs[i]
	for _, k := range b.known[s.n] {
		if o := &b.slabs[k]; o.l <= s.l && o.w <= s.w {
			return true
		}
	}
	return false
}

func (b *beaming) join(i, j int32) {
	x, y := &b.slabs[i], &b.slabs[j]
	n, ok := b.add(x.n, y.n)
	area := x.area + y.area
	if !ok || area > int64(b.l)*int64(b.w) {
		return
	}
	s := slab{n: n, area: area, value: x.value + y.value, first: i, second: j}
	if s.l, s.w, s.beside = x.l+y.l, max(x.w, y.w), true; s.l <= b.l {
		b.put(s)
	}
	x, y = &b.slabs[i], &b.slabs[j]
	if s.l, s.w, s.beside = max(x.l, y.l), x.w+y.w, false; s.w <= b.w {
		b.put(s)
	}
}

// put files a slab that wastes little.
func (b *beaming) put(s slab) {
	worse := b.worse(&s)
	if worse < beamShare && worse < b.shelfOf(s.area).worst {
		b.slabs = append(b.slabs, s)
		b.file(int32(len(b.slabs)-1), worse)
	}
}
