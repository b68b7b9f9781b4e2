package survey

import "math"

// matrix is a dense square matrix by rows.
type matrix struct {
	n int
	a []float64
}

func newMatrix(n int) matrix { return matrix{n, make([]float64, n*n)} }

func (m matrix) at(i, j int) *float64 { return &m.a[i*m.n+j] }

// inverse returns the inverse of a symmetric positive definite matrix by Cholesky's factors; ok is false where a pivot has lost all
// but a 10⁻¹⁰ of its diagonal, so that the matrix is singular to the digits there are.
func (m matrix) inverse() (_ matrix, ok bool) {
	n := m.n
	l := newMatrix(n)
	for j := range n {
		for i := j; i < n; i++ {
			s := *m.at(i, j)
			for k := range j {
				s -= *l.at(i, k) * *l.at(j, k)
			}
			if i > j {
				*l.at(i, j) = s / *l.at(j, j)
				continue
			}
			if !(s > 1e-10**m.at(j, j)) {
				return matrix{}, false
			}
			*l.at(j, j) = math.Sqrt(s)
		}
	}
	out := newMatrix(n)
	column := make([]float64, n)
	for c := range n {
		clear(column)
		column[c] = 1
		for i := range n {
			for k := range i {
				column[i] -= *l.at(i, k) * column[k]
			}
			column[i] /= *l.at(i, i)
		}
		for i := n - 1; i >= 0; i-- {
			for k := i + 1; k < n; k++ {
				column[i] -= *l.at(k, i) * column[k]
			}
			column[i] /= *l.at(i, i)
			*out.at(i, c) = column[i]
		}
	}
	return out, true
}
