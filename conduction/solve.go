package conduction

import "math"

// rates fills k with dT/dt at temperatures y and returns the flows.
func (s *Slab) rates(y, k []float64, outer, inner *Face, t float64, drive *Drive, tr *trial) flows {
	n := len(y)
	var f flows
	f.source = s.sources(t, y, drive)
	tr.outerTs, f.outer, _ = outer.balance(y[0], s.gOuter, tr.outerTs)
	tr.innerTs, f.inner, _ = inner.balance(y[n-1], s.gInner, tr.innerTs)
	source, low, up := s.source[:n], s.low[:n], s.up[:n]
	k = k[:n]
	for i, at := range y {
		v := source[i]
		if i > 0 {
			v += low[i] * (y[i-1] - at)
		}
		if i+1 < n {
			v += up[i] * (y[i+1] - at)
		}
		k[i] = v
	}
	k[0] += f.outer / s.capacity[0]
	k[n-1] += f.inner / s.capacity[n-1]
	return f
}

// sources fills s.source (K/s) and s.slope (1/s) and returns the total in W/m².
func (s *Slab) sources(t float64, y []float64, drive *Drive) float64 {
	if drive.Source == nil {
		return 0
	}
	clear(s.source)
	clear(s.slope)
	drive.Source(t, y, s.source, s.slope)
	total := 0.0
	for i := range s.source {
		m := s.cells[i].WidthMM / 1000
		total += s.source[i] * m
		s.source[i] *= m / s.capacity[i]
		s.slope[i] *= m / s.capacity[i]
	}
	return total
}

// Newton's method of a stage.
const (
	newtonRounds = 25
	closeK       = 1e-5 // a correction that ends it, after the first round
	coldCloseK   = 0.3  // one that ends it at once where nothing inside gives off heat
	runawayK     = 1e6  // a correction so large has no solution behind it
	steadyS      = 1e15 // a step that dwarfs every time constant
	shortS       = 1e6  // a step below this is no steady state
)

// solveStage solves y = base + dh·f(t, y) by Newton's method from the guess in
// s.y, and returns the flows at the solution.
func (s *Slab) solveStage(t, dh float64, outer, inner *Face, drive *Drive, tr *trial) (flows, error) {
	n := len(s.y)
	y := s.y
	// Without a source only εσT⁴ bends the balance: Newton's error after a change of
	// δ at the surface is some 1e-4·δ² K, so a small change needs no second look.
	once := 1e-9
	if drive.Source == nil {
		clear(s.source)
		clear(s.slope)
		if dh < shortS {
			once = coldCloseK
		}
	}
	for iter := range newtonRounds {
		total := s.sources(t, y, drive)
		var qo, qi, so, si float64
		tr.outerTs, qo, so = outer.balance(y[0], s.gOuter, tr.outerTs)
		tr.innerTs, qi, si = inner.balance(y[n-1], s.gInner, tr.innerTs)
		s.linear(dh, qo, qi, so, si)
		s.factor()
		s.backSolve(s.rh)
		worst := 0.0
		for i := range n {
			y[i] += s.rh[i]
			if a := math.Abs(s.rh[i]); a > worst || math.IsNaN(a) {
				worst = a
			}
		}
		switch {
		case math.IsNaN(worst) || worst > runawayK:
			return flows{}, ErrNoBalance
		case worst < once || (worst < closeK && iter > 0):
			// The flows belong to the iterate before; carried along their slopes they
			// are those that the linear system balanced, so no heat is lost.
			qo += so * s.rh[0]
			qi += si * s.rh[n-1]
			tr.outerTs += (so/s.gOuter + 1) * s.rh[0]
			tr.innerTs += (si/s.gInner + 1) * s.rh[n-1]
			for i := range n {
				total += s.slope[i] * s.capacity[i] * s.rh[i]
			}
			return flows{qo, qi, total}, nil
		}
	}
	return flows{}, ErrNoBalance
}

// linear writes the equations of a round of Newton's method, for the heat into the outer and the inner
// cell, W/m², and its slopes: the residual into rh, the matrix into (dl, d, du).
func (s *Slab) linear(dh, qo, qi, so, si float64) {
	n := len(s.y)
	// Of one length, so that no index is checked.
	low, up, y, base, source, slope := s.low[:n], s.up[:n], s.y, s.base[:n], s.source[:n], s.slope[:n]
	dl, d, du, rh := s.dl[:n], s.d[:n], s.du[:n], s.rh[:n]
	before := y[0]
	for i, at := range y {
		lo, hi := low[i], up[i] // both 0 beyond the ends
		rate, own := source[i], slope[i]-lo-hi
		if i > 0 {
			rate += lo * (before - at)
		}
		if i+1 < len(y) {
			rate += hi * (y[i+1] - at)
		}
		if i == 0 {
			rate += qo / s.capacity[0]
			own += so / s.capacity[0]
		}
		if i == n-1 {
			rate += qi / s.capacity[i]
			own += si / s.capacity[i]
		}
		rh[i] = base[i] + dh*rate - at
		dl[i] = -dh * lo
		d[i] = 1 - dh*own
		du[i] = -dh * hi
		before = at
	}
}

// factor replaces the tridiagonal matrix (dl, d, du) by its LU factors. The
// matrix of a build-up is diagonally dominant unless a source is steeper than the
// step allows; then the step fails its error test, so no pivoting is done.
func (s *Slab) factor() {
	d := s.d
	dl, du := s.dl[:len(d)], s.du[:len(d)]
	// What one row hands to the next stays out of memory, which would take longer than to reckon with it; so below.
	before, up := 1/d[0], du[0]
	d[0] = before
	for i := 1; i < len(d); i++ {
		low := dl[i] * before
		dl[i] = low
		before = 1 / (d[i] - low*up)
		d[i] = before
		up = du[i]
	}
}

// backSolve solves the factored system in place.
func (s *Slab) backSolve(x []float64) {
	d, dl, du := s.d[:len(x)], s.dl[:len(x)], s.du[:len(x)]
	before := x[0]
	for i := 1; i < len(x); i++ {
		before = x[i] - dl[i]*before
		x[i] = before
	}
	behind := before * d[len(d)-1]
	x[len(x)-1] = behind
	for i := len(x) - 2; i >= 0; i-- {
		behind = (x[i] - du[i]*behind) * d[i]
		x[i] = behind
	}
}

// Settle sets the temperatures to the steady state under the two faces and a
// constant source in W/m³ per cell (nil for none). At least one face must
// exchange heat with something; otherwise it returns ErrNoBalance.
func (s *Slab) Settle(outer, inner Face, wPerM3 []float64) error {
	if err := checkFaces(&outer, &inner, 0); err != nil {
		return err
	}
	exchanges := func(f Face) bool {
		return f.Held || f.ConvectionWPerM2K+f.RadiationWPerM2K+f.RainWPerM2K+f.Emissivity > 0
	}
	if !exchanges(outer) && !exchanges(inner) {
		return ErrNoBalance
	}
	// A stage with a step that dwarfs every time constant is the steady equation.
	copy(s.base, s.temp)
	copy(s.y, s.temp)
	tr := trial{outerTs: s.outerTs, innerTs: s.innerTs}
	drive := Steady(outer, inner, wPerM3)
	if _, err := s.solveStage(0, steadyS, &outer, &inner, &drive, &tr); err != nil {
		return err
	}
	copy(s.temp, s.y)
	tr.outerTs, _, _ = outer.balance(s.temp[0], s.gOuter, tr.outerTs)
	tr.innerTs, _, _ = inner.balance(s.temp[len(s.temp)-1], s.gInner, tr.innerTs)
	s.outerTs, s.innerTs = tr.outerTs, tr.innerTs
	s.nextStepS = 0
	return nil
}
