package elementary

import (
	"math"
	"math/big"
)

// The reference: exponential, logarithm and error function to 160 bits and more, by series that share nothing with the package.

const referenceBits = 240

func large(x float64) *big.Float { return new(big.Float).SetPrec(referenceBits).SetFloat64(x) }

func fraction(a, b int64) *big.Float {
	return new(big.Float).SetPrec(referenceBits).Quo(large(float64(a)), large(float64(b)))
}

func sum(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(referenceBits).Add(a, b) }
func less(a, b *big.Float) *big.Float {
	return new(big.Float).SetPrec(referenceBits).Sub(a, b)
}
func times(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(referenceBits).Mul(a, b) }
func over(a, b *big.Float) *big.Float  { return new(big.Float).SetPrec(referenceBits).Quo(a, b) }

func negligible(term, of *big.Float) bool {
	return term.Sign() == 0 || of.Sign() != 0 && term.MantExp(nil) < of.MantExp(nil)-referenceBits
}

// bigExp is the exponential series of x/2^n, squared n times.
func bigExp(x *big.Float) *big.Float {
	if x.Sign() == 0 {
		return large(1)
	}
	n := max(0, x.MantExp(nil)+12)
	small := new(big.Float).SetPrec(referenceBits).SetMantExp(x, -n)
	v, term := large(1), large(1)
	for i := int64(1); ; i++ {
		term = over(times(term, small), large(float64(i)))
		if negligible(term, v) {
			break
		}
		v = sum(v, term)
	}
	for range n {
		v = times(v, v)
	}
	return v
}

// artanhSeries is 2·artanh(u) = 2(u + u³/3 + u⁵/5 + …).
func artanhSeries(u *big.Float) *big.Float {
	u2, power, v := times(u, u), u, large(0)
	for i := 1; ; i += 2 {
		term := over(power, large(float64(i)))
		if negligible(term, v) {
			break
		}
		v = sum(v, term)
		power = times(power, u2)
	}
	return times(large(2), v)
}

var bigLn2 = artanhSeries(fraction(1, 3)) // ln 2 = 2 artanh(1/3)

func bigLog(x *big.Float) *big.Float {
	m := new(big.Float).SetPrec(referenceBits)
	k := x.MantExp(m) // m in [½, 1)
	if m.Cmp(large(0.75)) < 0 {
		m, k = times(m, large(2)), k-1
	}
	u := over(less(m, large(1)), sum(m, large(1)))
	return sum(artanhSeries(u), times(bigLn2, large(float64(k))))
}

// bigErfc is 1 − 2/√π·Σ (−1)^n x^(2n+1)/(n!(2n+1)), with as many bits more as cancel.
func bigErfc(x float64) *big.Float {
	prec := uint(referenceBits + 4*x*x)
	with := func() *big.Float { return new(big.Float).SetPrec(prec) }
	x2 := with().SetFloat64(x)
	x2.Mul(x2, x2)
	power, v := with().SetFloat64(x), with()
	for n := int64(0); ; n++ {
		term := with().Quo(power, with().SetInt64(2*n+1))
		if term.Sign() == 0 || n > 20 && term.MantExp(nil) < -int(prec) {
			break
		}
		if n%2 == 1 {
			term.Neg(term)
		}
		v.Add(v, term)
		power.Quo(power.Mul(power, x2), with().SetInt64(n+1))
	}
	rootPi := with().Sqrt(bigPi(prec))
	v.Quo(v.Mul(v, with().SetInt64(2)), rootPi)
	return with().Sub(with().SetInt64(1), v)
}

// bigPi is J. Machin's 16 arctan(1/5) − 4 arctan(1/239).
func bigPi(prec uint) *big.Float {
	with := func(v int64) *big.Float { return new(big.Float).SetPrec(prec).SetInt64(v) }
	arctan := func(n int64) *big.Float {
		power, v := with(1), with(0)
		power.Quo(power, with(n))
		for i := int64(1); power.MantExp(nil) > -int(prec)-4; i += 2 {
			term := with(0).Quo(power, with(i))
			if i%4 == 3 {
				term.Neg(term)
			}
			v.Add(v, term)
			power.Quo(power, with(n*n))
		}
		return v
	}
	a, b := arctan(5), arctan(239)
	return a.Sub(a.Mul(a, with(16)), b.Mul(b, with(4)))
}

// ulps returns how far got is from want, in units in the last place of want (of the least number where want is subnormal).
func ulps(got float64, want *big.Float) float64 {
	unit := math.Ldexp(1, max(want.MantExp(nil)-53, -1074))
	d := less(large(got), want)
	v, _ := over(d, large(unit)).Float64()
	return math.Abs(v)
}
