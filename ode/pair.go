package ode

import "math"

// Coefficients of the pair, Dormand & Prince 1980, table 2.
const (
	c2, c3, c4, c5          = 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9
	a21                     = 1.0 / 5
	a31, a32                = 3.0 / 40, 9.0 / 40
	a41, a42, a43           = 44.0 / 45, -56.0 / 15, 32.0 / 9
	a51, a52, a53, a54      = 19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729
	a61, a62, a63, a64, a65 = 9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656
	b1, b3, b4, b5, b6      = 35.0 / 384, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84
	e1, e3, e4, e5, e6, e7  = 71.0 / 57600, -71.0 / 16695, 71.0 / 1920, -17253.0 / 339200, 22.0 / 525, -1.0 / 40
	d1, d3, d4              = -12715105075.0 / 11282082432, 87487479700.0 / 32700410799, -10690763975.0 / 1880347072
	d5, d6, d7              = 701980252875.0 / 199316789632, -1453857185.0 / 822651844, 69997945.0 / 29380423
)

// try computes a step of h from y at t into out and returns its scaled error; k[0]
// holds y′ at t, and k[6] is left with y′ at the end.
func (s *solver) try(t, h float64, y, out []float64) float64 {
	k, w := &s.k, s.tmp
	k1, k2, k3, k4, k5, k6, k7 := k[0], k[1], k[2], k[3], k[4], k[5], k[6]
	for i := range w {
		w[i] = y[i] + h*a21*k1[i]
	}
	s.call(t+c2*h, w, k2)
	for i := range w {
		w[i] = y[i] + h*(a31*k1[i]+a32*k2[i])
	}
	s.call(t+c3*h, w, k3)
	for i := range w {
		w[i] = y[i] + h*(a41*k1[i]+a42*k2[i]+a43*k3[i])
	}
	s.call(t+c4*h, w, k4)
	for i := range w {
		w[i] = y[i] + h*(a51*k1[i]+a52*k2[i]+a53*k3[i]+a54*k4[i])
	}
	s.call(t+c5*h, w, k5)
	for i := range w {
		w[i] = y[i] + h*(a61*k1[i]+a62*k2[i]+a63*k3[i]+a64*k4[i]+a65*k5[i])
	}
	s.call(t+h, w, k6)
	for i := range w {
		out[i] = y[i] + h*(b1*k1[i]+b3*k3[i]+b4*k4[i]+b5*k5[i]+b6*k6[i])
	}
	s.call(t+h, out, k7)
	sum := 0.0
	for i := range w {
		e := h * (e1*k1[i] + e3*k3[i] + e4*k4[i] + e5*k5[i] + e6*k6[i] + e7*k7[i])
		e /= s.o.AbsTol[i] + s.o.RelTol*max(math.Abs(y[i]), math.Abs(out[i]))
		sum += e * e
	}
	return math.Sqrt(sum / float64(len(w)))
}

// Step is the solution over one accepted step, as a polynomial of order four
// (Hairer, Nørsett & Wanner §II.6).
type Step struct {
	From, To float64
	h        float64
	c        [5][]float64
}

func (p *Step) set(s *solver, h float64) {
	p.From, p.To, p.h = s.t, s.t+h, h
	k := &s.k
	for i := range s.y {
		d := s.yn[i] - s.y[i]
		q := h*k[0][i] - d
		p.c[0][i], p.c[1][i], p.c[2][i] = s.y[i], d, q
		p.c[3][i] = d - h*k[6][i] - q
		p.c[4][i] = h * (d1*k[0][i] + d3*k[2][i] + d4*k[3][i] + d5*k[4][i] + d6*k[5][i] + d7*k[6][i])
	}
}

// At fills y with the solution at t, From ≤ t ≤ To.
func (p *Step) At(t float64, y []float64) {
	θ := (t - p.From) / p.h
	θ1 := 1 - θ
	for i := range y {
		y[i] = p.c[0][i] + θ*(p.c[1][i]+θ1*(p.c[2][i]+θ*(p.c[3][i]+θ1*p.c[4][i])))
	}
}
