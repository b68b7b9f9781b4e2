package elementary

import "math"

const (
	parts     = 128 // parts of an octave in the tables
	partsBits = 7

	// ln 2 / 128 in two parts; the first is a multiple of 2^-43, so that its product with a whole number is exact under 1024.
	ln2PartHi = 0x1.62e42fefap-8
	ln2PartLo = 0x1.cf79abc9e3b3ap-47

	partsPerLn2 = parts / math.Ln2
	toWhole     = 0x1.8p52 // added and taken away again, it leaves the nearest whole number

	overflowsAbove  = 0x1.62e42fefa39efp9  // the greatest x with a finite exponential
	underflowsBelow = -0x1.74910d52d3051p9 // below it even the least number is too large
	plainBelow      = 512                  // with |x| under it the result is neither subnormal nor infinite
	nearZero        = 0x1p-54
)

// Exp returns e to the power x, within 0.51 units in the last place.
//
// Special cases: Exp(+Inf) = +Inf, Exp(NaN) = NaN; above 709.78 it returns +Inf, below −745.13 it returns 0.
func Exp(x float64) float64 {
	if a := math.Abs(x); !(a < plainBelow) || a < nearZero {
		switch {
		case a < nearZero:
			return 1 + x
		case math.IsNaN(x) || x > overflowsAbove:
			return x * math.Inf(1)
		case x < underflowsBelow:
			return 0
		}
	}
	return raised(x, 0)
}

// raised returns e to the power x + tail, where tail is small beside the last place of x and x between the two bounds.
func raised(x, tail float64) float64 {
	shifted := float64(x*partsPerLn2) + toWhole
	whole := shifted - toWhole
	k := int64(whole)
	r := x - float64(whole*ln2PartHi) - float64(whole*ln2PartLo) + tail
	t := &powersOfTwo[k&(parts-1)]
	r2 := r * r
	p := t.tail + r + float64(r2*(1.0/2+float64(r*(1.0/6)))) + float64(float64(r2*r2)*(1.0/24+float64(r*(1.0/120))))
	exponent := k >> partsBits
	if exponent > -1022 && exponent < 1023 {
		scale := math.Float64frombits(t.bits + uint64(exponent)<<52)
		return scale + float64(scale*p)
	}
	return atTheEnds(t.bits, exponent, p)
}

// atTheEnds puts the power of two to scale·(1+p) where a plain one would overflow, or would round a subnormal result twice.
func atTheEnds(bits uint64, exponent int64, p float64) float64 {
	if exponent > 0 {
		scale := math.Float64frombits(bits + uint64(exponent-1)<<52)
		return (scale + float64(scale*p)) * 2
	}
	scale := math.Float64frombits(bits + uint64(exponent+1022)<<52)
	y := scale + float64(scale*p)
	if y < 1 {
		// Added to one, y is rounded where the subnormal number will end, with what the first rounding lost.
		lost := scale - y + float64(scale*p)
		hi := 1 + y
		lost += 1 - hi + y
		y = hi + lost - 1
	}
	return y * 0x1p-1022
}
