package survey

import (
	"context"
	"math"
	"slices"

	"gelwright/plane"
)

// adjusted is a network in its least-squares place.
type adjusted struct {
	n   *Network
	e   []ends
	at  []plane.Point
	q   matrix // cofactors of the coordinates x0, y0, x1 …, m², on the datum of the inner constraints
	obs []row
	sum float64 // weighted squares of the residuals
	// spare counts what chance may move, for an adjustment with exact corners.
	spare int
}

// row is a measurement linearised at the adjusted place.
type row struct {
	points [3]int // -1 where there is none
	d      [3]plane.Point
	misfit float64 // measured less adjusted, metres or radians
	sd     float64
}

func (a *adjusted) rows(at []plane.Point) []row {
	out := make([]row, len(a.n.Measurements))
	for i := range out {
		m, e := &a.n.Measurements[i], a.e[i]
		third := plane.Point{}
		if e.at >= 0 {
			third = at[e.at]
		}
		observed, d := m.observed(at[e.from], at[e.to], third)
		out[i] = row{[3]int{e.from, e.to, e.at}, d, m.misfit(observed), m.sd()}
	}
	return out
}

func squares(rows []row) float64 {
	sum := 0.0
	for _, r := range rows {
		sum += r.misfit * r.misfit / (r.sd * r.sd)
	}
	return sum
}

// normal adds a measurement's part to the normal equations.
func (r *row) normal(n matrix, right []float64) {
	for i, p := range r.points {
		if p < 0 {
			continue
		}
		w := 1 / (r.sd * r.sd)
		right[2*p] += w * r.d[i].X * r.misfit
		right[2*p+1] += w * r.d[i].Y * r.misfit
		for k, o := range r.points {
			if o < 0 {
				continue
			}
			*n.at(2*p, 2*o) += w * r.d[i].X * r.d[k].X
			*n.at(2*p, 2*o+1) += w * r.d[i].X * r.d[k].Y
			*n.at(2*p+1, 2*o) += w * r.d[i].Y * r.d[k].X
			*n.at(2*p+1, 2*o+1) += w * r.d[i].Y * r.d[k].Y
		}
	}
}

// inner are the three movements of the whole that no tape sees, as orthonormal columns: along x, along y, and turning.
func inner(at []plane.Point) [3][]float64 {
	var g [3][]float64
	for i := range g {
		g[i] = make([]float64, 2*len(at))
	}
	middle := plane.Point{}
	for _, p := range at {
		middle = middle.Add(p.Scale(1 / float64(len(at))))
	}
	norm, unit := 0.0, 1/math.Sqrt(float64(len(at)))
	for i, p := range at {
		g[0][2*i], g[1][2*i+1] = unit, unit
		l := p.Sub(middle).Left()
		g[2][2*i], g[2][2*i+1] = l.X, l.Y
		norm += l.Dot(l)
	}
	for i := range g[2] {
		g[2][i] /= math.Sqrt(norm)
	}
	return g
}

// solve returns the cofactors at a place and the step from there; ok is false where the network is loose.
func (a *adjusted) solve(at []plane.Point, rows []row) (q matrix, step []float64, ok bool) {
	size := 2 * len(at)
	n, right := newMatrix(size), make([]float64, size)
	for i := range rows {
		rows[i].normal(n, right)
	}
	// N + cGGᵀ is regular where N lacks nothing but the movements G, and its inverse less GGᵀ/c is the pseudo-inverse of N.
	c := 0.0
	for i := range size {
		c += *n.at(i, i) / float64(size)
	}
	g := inner(at)
	for i := range size {
		for k := range size {
			*n.at(i, k) += c * (g[0][i]*g[0][k] + g[1][i]*g[1][k] + g[2][i]*g[2][k])
		}
	}
	if q, ok = n.inverse(); !ok {
		return q, nil, false
	}
	for i := range size {
		for k := range size {
			*q.at(i, k) -= (g[0][i]*g[0][k] + g[1][i]*g[1][k] + g[2][i]*g[2][k]) / c
		}
	}
	step = make([]float64, size)
	for i := range size {
		for k := range size {
			step[i] += *q.at(i, k) * right[k]
		}
	}
	return q, step, true
}

// settle walks a sketch into its least-squares place by Gauss and Newton, a step halved where it does not help.
func (n *Network) settle(ctx context.Context, s *sketch, e []ends) (*adjusted, error) {
	a := &adjusted{n: n, e: e, at: slices.Clone(s.at)}
	rows := a.rows(a.at)
	a.sum = squares(rows)
	loose := &Fault{-1, "the measurements hold the corners too loosely: some lie almost in one line",
		"Measure a diagonal, or an offset from a line across"}
	for range 60 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		q, step, ok := a.solve(a.at, rows)
		if !ok {
			return nil, loose
		}
		a.q, a.obs = q, rows
		moved := 0.0
		for _, d := range step {
			moved = max(moved, math.Abs(d))
		}
		if moved < 1e-10 {
			return a, nil
		}
		helped := false
		for range 30 {
			next := make([]plane.Point, len(a.at))
			for i, p := range a.at {
				next[i] = p.Add(plane.Point{X: step[2*i], Y: step[2*i+1]})
			}
			nextRows := a.rows(next)
			if sum := squares(nextRows); sum <= a.sum*(1+1e-12) {
				a.at, rows, a.sum, helped = next, nextRows, sum, true
				break
			}
			for i := range step {
				step[i] /= 2
			}
		}
		if !helped {
			return a, nil
		}
	}
	return a, nil
}

// variance of what a row observes, in its unit squared, from the cofactors.
func (a *adjusted) variance(r *row) float64 { return a.covariance(r, r) }

func (a *adjusted) covariance(r, s *row) float64 {
	sum := 0.0
	for i, p := range r.points {
		if p < 0 {
			continue
		}
		for k, o := range s.points {
			if o < 0 {
				continue
			}
			sum += r.d[i].X**a.q.at(2*p, 2*o)*s.d[k].X + r.d[i].X**a.q.at(2*p, 2*o+1)*s.d[k].Y +
				r.d[i].Y**a.q.at(2*p+1, 2*o)*s.d[k].X + r.d[i].Y**a.q.at(2*p+1, 2*o+1)*s.d[k].Y
		}
	}
	return sum
}
