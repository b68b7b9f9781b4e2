package cutting

import "math/bits"

// ceilDiv returns a/b rounded up for a ≥ 0, b > 0.
func ceilDiv(a, b int64) int64 { return (a + b - 1) / b }

// quickBound is a proven lower bound in cost units without a linear programme.
func (o *order) quickBound() int64 {
	if len(o.cap) == 1 {
		return o.barBound() * o.cost[0]
	}
	return o.lengthBound()
}

// lengthBound fills the cheapest length first, as if pieces could be split.
func (o *order) lengthBound() int64 {
	total := 0
	for i, w := range o.w {
		total += w * o.d[i]
	}
	used := make([]bool, len(o.cap))
	bound := int64(0)
	for total > 0 {
		best := -1
		for k := range o.cap {
			if used[k] {
				continue
			}
			// cost[k]/cap[k] < cost[best]/cap[best], in 128 bits
			if best < 0 || less128(o.cost[k], int64(o.cap[best]), o.cost[best], int64(o.cap[k])) {
				best = k
			}
		}
		if best < 0 {
			return bound // stock too short for the order: nothing to bound
		}
		used[best] = true
		if n := total / o.cap[best]; n >= o.avail[best] {
			bound += o.cost[best] * int64(o.avail[best])
			total -= o.cap[best] * o.avail[best]
			continue
		}
		whole := total / o.cap[best]
		bound += o.cost[best] * int64(whole)
		hi, lo := bits.Mul64(uint64(o.cost[best]), uint64(total-whole*o.cap[best]))
		q, r := bits.Div64(hi, lo, uint64(o.cap[best]))
		if r > 0 {
			q++
		}
		return bound + int64(q)
	}
	return bound
}

// less128 reports a·b < c·d for non-negative factors.
func less128(a, b, c, d int64) bool {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	return h1 < h2 || (h1 == h2 && l1 < l2)
}

// barBound is the least number of bars of the one stock size by the bound L2 of
// Martello and Toth (1990), which is never below that of the volume, and the dual
// feasible functions u(k) of Fekete and Schepers (2001).
func (o *order) barBound() int64 {
	best := o.l2()
	for k := int64(1); k <= stepFunctions; k++ {
		best = max(best, o.dffSteps(k))
	}
	return best
}

// l2 is Martello and Toth's bound, over all thresholds that are piece sizes ≤ C/2.
func (o *order) l2() int64 {
	size := o.cap[0]
	var best int64
	for t := 0; t <= len(o.w); t++ {
		alpha := 0
		if t < len(o.w) {
			alpha = o.w[t]
			if 2*alpha > size {
				continue
			}
		}
		var big, half, halfLen, small int64
		for i, w := range o.w {
			switch {
			case w > size-alpha:
				big += int64(o.d[i])
			case 2*w > size:
				half += int64(o.d[i])
				halfLen += int64(w) * int64(o.d[i])
			case w >= alpha:
				small += int64(w) * int64(o.d[i])
			}
		}
		b := big + half
		if over := small - (half*int64(size) - halfLen); over > 0 {
			b += ceilDiv(over, int64(size))
		}
		best = max(best, b)
	}
	return best
}

// dffSteps is the bound of u(k): x → x when (k+1)x is whole, else ⌊(k+1)x⌋/k, with
// x the share of a bar.
func (o *order) dffSteps(k int64) int64 {
	size := int64(o.cap[0])
	// In units of size·k so that both branches are whole.
	hi, lo := uint64(0), uint64(0)
	for i, w := range o.w {
		var v int64
		if (k+1)*int64(w)%size == 0 {
			v = int64(w) * k
		} else {
			v = (k + 1) * int64(w) / size * size
		}
		h, l := bits.Mul64(uint64(v), uint64(o.d[i]))
		var c uint64
		lo, c = bits.Add64(lo, l, 0)
		hi, _ = bits.Add64(hi, h, c)
	}
	if unit := uint64(size * k); hi < unit {
		q, r := bits.Div64(hi, lo, unit)
		if r > 0 {
			q++
		}
		return int64(q)
	}
	return 0
}
