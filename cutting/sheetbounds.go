package cutting

import "math/bits"

// dffBound is the bound by pairs of dual feasible functions, one for each side of
// the sheet (Fekete, Schepers 2004; Boschetti, Mingozzi 2003), for one sheet kind;
// 0 with several. A panel that may be turned counts the way that gives less.
func (o *sheetOrder) dffBound() int64 {
	if len(o.sheets) != 1 {
		return 0
	}
	s := o.sheets[0]
	fs, gs := functions(s.l), functions(s.w)
	var best int64
	for _, f := range fs {
		for _, g := range gs {
			unit := f.one * g.one
			var hi, lo, carry uint64
			for _, t := range o.items {
				var v int64 = -1
				if t.l <= s.l && t.w <= s.w {
					v = f.of(t.l) * g.of(t.w)
				}
				if t.turn && t.w <= s.l && t.l <= s.w {
					if u := f.of(t.w) * g.of(t.l); v < 0 || u < v {
						v = u
					}
				}
				h, l := bits.Mul64(uint64(v), uint64(t.d))
				lo, carry = bits.Add64(lo, l, 0)
				hi, _ = bits.Add64(hi, h, carry)
			}
			q, r := bits.Div64(hi, lo, uint64(unit))
			if r > 0 {
				q++
			}
			best = max(best, int64(q))
		}
	}
	return best * s.cost
}

// feasible is a dual feasible function on whole lengths: of(x) for 0 ≤ x ≤ size, so
// that lengths that fit together in size add up to at most one.
type feasible struct {
	of  func(x int) int64
	one int64
}

// functions returns the identity, the threshold functions U(ε) at some ε, and the
// step functions u(k).
func functions(size int) []feasible {
	fs := []feasible{{func(x int) int64 { return int64(x) }, int64(size)}}
	for part := 2; part <= functionsOfSide; part++ {
		for _, eps := range []int{size / part, size/part - 1} {
			if eps < 1 || 2*eps > size {
				continue
			}
			fs = append(fs, feasible{func(x int) int64 {
				switch {
				case x > size-eps:
					return int64(size)
				case x < eps:
					return 0
				}
				return int64(x)
			}, int64(size)})
		}
	}
	for k := 1; k <= functionsOfSide; k++ {
		fs = append(fs, feasible{func(x int) int64 {
			if (k+1)*x%size == 0 {
				return int64(x) * int64(k)
			}
			return int64((k+1)*x/size) * int64(size)
		}, int64(size) * int64(k)})
	}
	return fs
}
