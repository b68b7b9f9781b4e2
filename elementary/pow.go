package elementary

import "math"

const (
	// ln 2 in two parts; the first is a multiple of 2^-43, like the logarithms of the table, so that sums of both are exact.
	ln2Hi = 0x1.62e42fefa38p-1
	ln2Lo = 0x1.ef35793c7673p-45

	// The argument of the logarithm is taken from this on up to twice as much: its table is centred on one.
	leastMantissa = 0x3fe6955500000000

	surelyEnds = 1100 // a power of e beyond this is 0 or +Inf
)

// Pow returns x to the power y, within 0.51 units in the last place.
//
// Special cases are those of the standard library's Pow: one to any power and any number to the power 0 are 1; otherwise
// NaN goes through; a negative x has a power when y is whole, its sign that of x when y is odd; 0 and infinite x and
// infinite y give what their limits give.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	}
	whole := y == math.Trunc(y)
	odd := whole && math.Abs(y) < 0x1p53 && int64(y)&1 == 1
	negative := math.Signbit(x) && odd
	a := math.Abs(x)
	switch {
	case x < 0 && !whole && !math.IsInf(x, 0):
		return math.NaN()
	case a == 0 || math.IsInf(a, 1) || math.IsInf(y, 0):
		return limit(a, y, negative)
	}
	hi, lo := logarithm(a)
	v := raisedTo(hi, lo, y)
	if negative {
		return -v
	}
	return v
}

// limit returns a^y for a of 0 or infinity, or an infinite y, with a minus where negative.
func limit(a, y float64, negative bool) float64 {
	v := 0.0
	switch {
	case a == 1:
		return 1
	case a > 1 == (y > 0):
		v = math.Inf(1)
	}
	if negative {
		return -v
	}
	return v
}

// raisedTo returns e to the power y·(hi+lo).
func raisedTo(hi, lo, y float64) float64 {
	rough := float64(y * hi)
	if math.Abs(rough) > surelyEnds {
		if rough > 0 {
			return math.Inf(1)
		}
		return 0
	}
	// Both factors are cut to 26 bits, so that the product of their heads is exact.
	yHi := head(y)
	lHi := head(hi)
	eHi := float64(yHi * lHi)
	eLo := float64((y-yHi)*lHi) + float64(y*(hi-lHi+lo))
	switch sum := eHi + eLo; {
	case sum > overflowsAbove:
		return math.Inf(1)
	case sum < underflowsBelow:
		return 0
	case math.Abs(sum) < nearZero:
		return 1 + sum
	}
	return raised(eHi, eLo)
}

// head returns the leading 26 bits of v.
func head(v float64) float64 { return math.Float64frombits(math.Float64bits(v) &^ (1<<27 - 1)) }

// logarithm returns ln x as the sum of two numbers, to about 68 bits, for a positive finite x.
func logarithm(x float64) (hi, lo float64) {
	bits := math.Float64bits(x)
	k := int64(0)
	if bits < 1<<52 { // subnormal
		bits = math.Float64bits(x * 0x1p52)
		k = -52
	}
	above := bits - leastMantissa
	t := &logarithms[above>>(52-partsBits)&(parts-1)]
	k += int64(above) >> 52
	zBits := bits - above&^(1<<52-1)
	// r = z·inverse − 1 is exact; z is split so that the square of r's head is exact too.
	z := math.Float64frombits(zBits)
	zHi := math.Float64frombits((zBits + 1<<31) &^ (1<<32 - 1))
	rHi := float64(zHi*t.inverse) - 1
	rLo := float64((z - zHi) * t.inverse)
	r := rHi + rLo

	n := float64(k)
	t1 := float64(n*ln2Hi) + t.hi
	t2 := t1 + r
	lo1 := float64(n*ln2Lo) + t.lo
	lo2 := t1 - t2 + r
	// −r²/2 in two parts
	half := float64(-0.5 * r)
	halfHi := float64(-0.5 * rHi)
	square := float64(rHi * halfHi)
	sum := t2 + square
	lo3 := float64(rLo * (half + halfHi))
	lo4 := t2 - sum + square
	// r³/3 − r⁴/4 + … + r⁹/9
	r2 := float64(r * r)
	r4 := float64(r2 * r2)
	p := float64(float64(r*r2) * (1.0/3 - float64(r*(1.0/4)) + float64(r2*(1.0/5-float64(r*(1.0/6)))) +
		float64(r4*(1.0/7-float64(r*(1.0/8))+float64(r2*(1.0/9))))))
	lo = lo1 + lo2 + lo3 + lo4 + p
	hi = sum + lo
	return hi, sum - hi + lo
}
