package elementary

import "math"

// The approximations below are those of s_erf.c of FreeBSD's mathematical library, which came with this notice:
//
// ====================================================
// Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved.
//
// Developed at SunPro, a Sun Microsystems, Inc. business.
// Permission to use, copy, modify, and distribute this
// software is freely granted, provided that this notice
// is preserved.
// ====================================================
var (
	// erf x / x − 1 up to 0.84375, a quotient of polynomials in x²
	nearTop = []float64{
		1.28379167095512558561e-01, -3.25042107247001499370e-01, -2.84817495755985104766e-02,
		-5.77027029648944159157e-03, -2.37630166566501626084e-05,
	}
	nearBottom = []float64{
		1, 3.97917223959155352819e-01, 6.50222499887672944485e-02,
		5.08130628187576562776e-03, 1.32494738004321644526e-04, -3.96022827877536812320e-06,
	}
	// erf x − 0.84506… round 1, in x − 1
	oneTop = []float64{
		-2.36211856075265944077e-03, 4.14856118683748331666e-01, -3.72207876035701323847e-01,
		3.18346619901161753674e-01, -1.10894694282396677476e-01, 3.54783043256182359371e-02,
		-2.16637559486879084300e-03,
	}
	oneBottom = []float64{
		1, 1.06420880400844228286e-01, 5.40397917702171048937e-01,
		7.18286544141962662868e-02, 1.26171219808761642112e-01, 1.36370839120290507362e-02,
		1.19844998467991074170e-02,
	}
	// ln(x·erfc x) + x² + 0.5625 up to 1/0.35, in 1/x²
	midTop = []float64{
		-9.86494403484714822705e-03, -6.93858572707181764372e-01, -1.05586262253232909814e+01,
		-6.23753324503260060396e+01, -1.62396669462573470355e+02, -1.84605092906711035994e+02,
		-8.12874355063065934246e+01, -9.81432934416914548592e+00,
	}
	midBottom = []float64{
		1, 1.96512716674392571292e+01, 1.37657754143519042600e+02,
		4.34565877475229228821e+02, 6.45387271733267880336e+02, 4.29008140027567833386e+02,
		1.08635005541779435134e+02, 6.57024977031928170135e+00, -6.04244152148580987438e-02,
	}
	// the same beyond, up to 28
	farTop = []float64{
		-9.86494292470009928597e-03, -7.99283237680523006574e-01, -1.77579549177547519889e+01,
		-1.60636384855821916062e+02, -6.37566443368389627722e+02, -1.02509513161107724954e+03,
		-4.83519191608651397019e+02,
	}
	farBottom = []float64{
		1, 3.03380607434824582924e+01, 3.25792512996573918826e+02,
		1.53672958608443695994e+03, 3.19985821950859553908e+03, 2.55305040643316442583e+03,
		4.74528541206955367215e+02, -2.24409524465858183362e+01,
	}
)

const (
	erfOne     = 8.45062911510467529297e-01 // erf 1, to 24 bits
	nearEnd    = 0.84375
	oneEnd     = 1.25
	midEnd     = 1 / 0.35
	vanishesAt = 28 // erfc is 0 to any double beyond
	twoFrom    = 6  // erfc of less than −6 is 2 to any double
)

// Erfc returns the complementary error function 1 − erf x, within 2 units in the last place; beyond 26.5, where it is
// subnormal, within the least number.
//
// Special cases: Erfc(+Inf) = 0, Erfc(−Inf) = 2, Erfc(NaN) = NaN.
func Erfc(x float64) float64 {
	a := math.Abs(x)
	switch {
	case math.IsNaN(x):
		return x
	case a < nearEnd:
		return erfcNear(x)
	case a < oneEnd:
		s := a - 1
		q := polynomial(s, oneTop) / polynomial(s, oneBottom)
		if x < 0 {
			return 1 + erfOne + q
		}
		return 1 - erfOne - q
	case x < -twoFrom:
		return 2
	case x >= vanishesAt:
		return 0
	}
	s := 1 / float64(a*a)
	q := 0.0
	if a < midEnd {
		q = polynomial(s, midTop) / polynomial(s, midBottom)
	} else {
		q = polynomial(s, farTop) / polynomial(s, farBottom)
	}
	z := math.Float64frombits(math.Float64bits(a) &^ (1<<32 - 1)) // so few bits that its square is exact
	r := Exp(-float64(z*z)-0.5625) * Exp(float64((z-a)*(z+a))+q) / a
	if x < 0 {
		return 2 - r
	}
	return r
}

// erfcNear is Erfc for |x| < 0.84375.
func erfcNear(x float64) float64 {
	z := float64(x * x)
	y := polynomial(z, nearTop) / polynomial(z, nearBottom)
	xy := float64(x * y)
	if x < 0.25 {
		return 1 - (x + xy)
	}
	return 0.5 - (x - 0.5 + xy)
}

// polynomial returns c[0] + c[1]·x + c[2]·x² + …
func polynomial(x float64, c []float64) float64 {
	v := c[len(c)-1]
	for i := len(c) - 2; i >= 0; i-- {
		v = float64(v*x) + c[i]
	}
	return v
}
