package cure

import (
	"errors"
	"math"
)

// normalEquations gathers a least-squares problem with Gaussian priors.
type normalEquations struct {
	dim int
	a   [][]float64
	b   []float64
}

func (p *normalEquations) grow() {
	if p.a != nil {
		return
	}
	p.a = make([][]float64, p.dim)
	for i := range p.a {
		p.a[i] = make([]float64, p.dim)
	}
	p.b = make([]float64, p.dim)
}

// prior adds a Gaussian belief about one unknown.
func (p *normalEquations) prior(i int, mean, sd float64) {
	p.grow()
	w := 1 / (sd * sd)
	p.a[i][i] += w
	p.b[i] += w * mean
}

// observe adds y = x·θ with a weight, the inverse of its variance.
func (p *normalEquations) observe(x [3]float64, y, weight float64) {
	p.grow()
	for i := range x {
		for j := range x {
			p.a[i][j] += weight * x[i] * x[j]
		}
		p.b[i] += weight * x[i] * y
	}
}

var errSingular = errors.New("the points do not fix the law")

func (p *normalEquations) solve3() (mean [3]float64, cov [3][3]float64, err error) {
	m, v, err := p.solve()
	if err != nil {
		return mean, cov, err
	}
	copy(mean[:], m)
	for i := range cov {
		copy(cov[i][:], v[i])
	}
	return mean, cov, nil
}

// solve returns the posterior mean and covariance by Cholesky's method, after
// scaling the unknowns to a unit diagonal.
func (p *normalEquations) solve() (mean []float64, cov [][]float64, err error) {
	n := p.dim
	scale := make([]float64, n)
	for i := range scale {
		if !(p.a[i][i] > 0) || math.IsInf(p.a[i][i], 0) {
			return nil, nil, errSingular
		}
		scale[i] = 1 / math.Sqrt(p.a[i][i])
	}
	l := make([][]float64, n)
	for i := range l {
		l[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			s := p.a[i][j] * scale[i] * scale[j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				if !(s > 1e-13) {
					return nil, nil, errSingular
				}
				l[i][i] = math.Sqrt(s)
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	backward := func(b []float64) []float64 {
		x := make([]float64, n)
		for i := range x {
			s := b[i]
			for k := range i {
				s -= l[i][k] * x[k]
			}
			x[i] = s / l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			s := x[i]
			for k := i + 1; k < n; k++ {
				s -= l[k][i] * x[k]
			}
			x[i] = s / l[i][i]
		}
		return x
	}
	b := make([]float64, n)
	for i := range b {
		b[i] = p.b[i] * scale[i]
	}
	mean = backward(b)
	cov = make([][]float64, n)
	for j := range cov {
		clear(b)
		b[j] = 1
		cov[j] = backward(b)
		for i := range cov[j] {
			cov[j][i] *= scale[i] * scale[j]
		}
	}
	for i := range mean {
		mean[i] *= scale[i]
	}
	return mean, cov, nil
}
