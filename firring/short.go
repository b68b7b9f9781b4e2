package firring

import (
	"math"
)

const (
	// shortM is the least length of a firring that can be nailed, m; offMM how far the
	// top of a joined piece may be off the designed surface (both common practice: the
	// second is within the tolerance of the boards over it).
	shortM = 0.1
	offMM  = 2
)

// spot is a height along a joist.
type spot struct{ t, mm float64 }

// bit is a firring in the making: profile is the surface it passes under.
type bit struct {
	stretch
	h       [2]float64
	profile []spot
}

// off is how far the straight top is off the surface at most, mm.
func (b bit) off() float64 {
	worst := 0.0
	for _, p := range b.profile {
		top := b.h[0] + (b.h[1]-b.h[0])*(p.t-b.t[0])/(b.t[1]-b.t[0])
		worst = max(worst, math.Abs(top-p.mm))
	}
	return worst
}

func (b bit) length() float64 { return b.t[1] - b.t[0] }

// then joins a bit to the one after it.
func (b bit) then(o bit) bit {
	out := b
	out.t[1], out.h[1], out.skew[1] = o.t[1], o.h[1], o.skew[1]
	out.profile = append(append([]spot(nil), b.profile...), o.profile...)
	return out
}

// meetM is how far apart ends may be that meet.
const meetM = 1e-3

// meets reports whether o begins where b ends.
func (b bit) meets(o bit) bool {
	return math.Abs(o.t[0]-b.t[1]) < meetM && math.Abs(o.aside-b.aside) < 1e-6
}

// upTo parts a bit at t.
func (b bit) upTo(t float64) (before, after bit) {
	before, after = b, b
	mm := b.profile[0].mm
	before.profile, after.profile = nil, nil
	for i, p := range b.profile {
		if i > 0 && b.profile[i-1].t <= t && t <= p.t && p.t > b.profile[i-1].t {
			q := b.profile[i-1]
			mm = q.mm + (p.mm-q.mm)*(t-q.t)/(p.t-q.t)
		}
	}
	for _, p := range b.profile {
		if p.t < t {
			before.profile = append(before.profile, p)
		} else if p.t > t {
			after.profile = append(after.profile, p)
		}
	}
	cut := spot{t, mm}
	before.profile, after.profile = append(before.profile, cut), append([]spot{cut}, after.profile...)
	before.t[1], before.h[1], before.skew[1] = t, mm, 0
	after.t[0], after.h[0], after.skew[0] = t, mm, 0
	return before, after
}

// mergeShort joins pieces that are too short to nail to a neighbour, where the straight
// top of both stays near the surface; else it lengthens them to the least length at the
// neighbour's cost. A short piece without a neighbour stays.
func mergeShort(list []bit) []bit {
	for i := 0; i < len(list); i++ {
		if list[i].length() >= shortM {
			continue
		}
		before, after := i > 0 && list[i-1].meets(list[i]), i+1 < len(list) && list[i].meets(list[i+1])
		var joined [2]bit
		best := -1
		if before {
			joined[0], best = list[i-1].then(list[i]), 0
		}
		if after {
			joined[1] = list[i].then(list[i+1])
			if best < 0 || joined[1].off() < joined[0].off()-1e-9 {
				best = 1
			}
		}
		switch {
		case best < 0:
		case joined[best].off() <= offMM:
			k := i - 1 + best
			list[k] = joined[best]
			list = append(list[:k+1], list[k+2:]...)
			i = max(k-1, -1)
		case best == 0 && list[i-1].length() > 2*shortM:
			a, b := list[i-1].upTo(list[i].t[1] - shortM)
			list[i-1], list[i] = a, b.then(list[i])
		case best == 1 && list[i+1].length() > 2*shortM:
			a, b := list[i+1].upTo(list[i].t[0] + shortM)
			list[i], list[i+1] = list[i].then(a), b
		}
	}
	return list
}

// toldMM is the least that is said to be off the surface.
const toldMM = 0.05

// piece is the finished firring on joist j.
func (b bit) piece(j joist, widthM float64) Piece {
	p := Piece{Joist: j.number, From: b.at(b.t[0]), To: b.at(b.t[1]), FromMM: b.h[0], ToMM: b.h[1], SkewDeg: b.skew,
		AsideMM: mmPerM * math.Abs(b.aside)}
	if off := b.off(); off > toldMM {
		p.OffMM = off
	}
	p.CutFromM = Fitted{From: b.t[0], To: b.t[1], SkewDeg: b.skew}.LongestM(widthM)
	return p
}

// Short reports whether a piece is under the least length that can be nailed by itself.
func (p Piece) Short() bool { return p.From.Distance(p.To) < shortM-1e-6 }
