package cutting

// liftWork is the greatest cost, in units, up to which costs are listed one by one.
const liftWork = 1000000

// purse knows which costs can be paid with whole bars, and how much length (or
// area) each buys at most.
type purse struct {
	buys []int64 // −1 where a cost cannot be met exactly
	need int64
}

// newPurse lists costs up to most; nil when that is too many or nothing costs.
func newPurse(cost []int64, avail []int, size []int64, need, most int64) *purse {
	if most > liftWork || most <= 0 {
		return nil
	}
	p := &purse{buys: make([]int64, most+1), need: need}
	for c := range p.buys {
		p.buys[c] = -1
	}
	p.buys[0] = 0
	for k, c := range cost {
		if c == 0 {
			p.buys[0] += int64(avail[k]) * size[k]
		}
	}
	for k, c := range cost {
		if c > 0 && c <= most {
			p.addKind(c, min(int64(avail[k]), most/c), size[k])
		}
	}
	return p
}

// addKind allows up to n bars of cost c, in powers of two.
func (p *purse) addKind(c, n, size int64) {
	if (n+1)*c >= int64(len(p.buys)) {
		// As many as can be paid: one forward pass.
		for x := c; x < int64(len(p.buys)); x++ {
			if p.buys[x-c] >= 0 {
				p.buys[x] = max(p.buys[x], p.buys[x-c]+size)
			}
		}
		return
	}
	for t := int64(1); n > 0; t *= 2 {
		t = min(t, n)
		n -= t
		for x := int64(len(p.buys)) - 1; x >= t*c; x-- {
			if p.buys[x-t*c] >= 0 {
				p.buys[x] = max(p.buys[x], p.buys[x-t*c]+t*size)
			}
		}
	}
}

// atLeast is the least cost ≥ bound that whole bars can make up and that buys
// enough; bound itself when nothing is known.
func (p *purse) atLeast(bound int64) int64 {
	if p == nil {
		return bound
	}
	for c := max(bound, 0); c < int64(len(p.buys)); c++ {
		if p.buys[c] >= p.need {
			return c
		}
	}
	return max(bound, int64(len(p.buys)))
}

// below is the greatest cost < cost that whole bars can make up and that buys
// enough; −1 when there is none.
func (p *purse) below(cost int64) int64 {
	if p == nil {
		return cost - 1
	}
	for c := min(cost-1, int64(len(p.buys))-1); c >= 0; c-- {
		if p.buys[c] >= p.need {
			return c
		}
	}
	return -1
}
