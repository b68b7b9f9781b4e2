package lp

import "math"

// Solve finds an optimum from the present basis with at most limit pivots and
// reports whether it got there.
func (s *Solver) Solve(limit int) bool {
	if len(s.rhs) == 0 {
		return true
	}
	s.duals()
	for round := 0; round < 20; round++ {
		s.dual(&limit)
		if !s.primal(&limit) {
			return false
		}
		if s.drifted() {
			s.refactor()
			s.duals()
			continue
		}
		if s.worst() >= -1e-7 {
			return true
		}
	}
	return s.worst() >= -1e-6
}

// duals recomputes y = c_B · B⁻¹.
func (s *Solver) duals() {
	for c := range s.y {
		s.y[c] = 0
	}
	for i, j := range s.basis {
		if cost := s.costOf(j); cost != 0 {
			for c, v := range s.inv[i] {
				s.y[c] += cost * v
			}
		}
	}
}

func (s *Solver) worst() float64 {
	w := 0.0
	for _, v := range s.x {
		w = math.Min(w, v)
	}
	return w
}

// primal runs until no column has a negative reduced cost.
func (s *Solver) primal(limit *int) bool {
	stalled := 0
	for {
		byIndex := stalled > 3*len(s.rhs)+50
		enter, red := s.entering(byIndex)
		if enter == none {
			return true
		}
		if *limit <= 0 {
			return false
		}
		*limit--
		alpha := s.column(enter)
		leave, step := s.leaving(alpha, byIndex)
		if leave < 0 {
			return true // no bound on this column: the caller's costs are negative
		}
		if step > feasTol {
			stalled = 0
		} else {
			stalled++
		}
		s.pivot(enter, leave, alpha, red)
	}
}

const none = math.MinInt

// entering returns the column with the most negative reduced cost, or the first
// negative one when byIndex is set (Bland's rule against cycling).
func (s *Solver) entering(byIndex bool) (int, float64) {
	best, worst := none, -costTol
	for r := range s.rhs {
		sign := s.slackSign(r)
		if red := -sign * s.y[r]; red < worst && !s.isBasic(-1-2*r) {
			best, worst = -1-2*r, red
		}
		if red := s.penalty + sign*s.y[r]; red < worst && !s.isBasic(-2-2*r) {
			best, worst = -2-2*r, red
		}
		if byIndex && best != none {
			return best, worst
		}
	}
	if byIndex {
		for j := range s.cost {
			if s.at[j] < 0 && !s.banned[j] {
				if red := s.ReducedCost(j); red < worst {
					return j, red
				}
			}
		}
		return best, worst
	}
	if j, red := s.fromList(); red < worst && red < 0.5*s.listed {
		return j, red
	}
	if j, red := s.fullScan(); red < worst {
		best, worst = j, red
	}
	return best, worst
}

func (s *Solver) isBasic(j int) bool { return s.basic[-1-j] }

// fromList prices the columns that the last full scan found good.
func (s *Solver) fromList() (int, float64) {
	best, worst := none, 0.0
	for _, j := range s.list {
		if s.at[j] < 0 && !s.banned[j] {
			if red := s.ReducedCost(int(j)); red < worst {
				best, worst = int(j), red
			}
		}
	}
	return best, worst
}

// fullScan prices every column and lists those within a third of the best.
func (s *Solver) fullScan() (int, float64) {
	if cap(s.reds) < len(s.cost) {
		s.reds = make([]float64, len(s.cost), 2*len(s.cost))
	}
	reds := s.reds[:len(s.cost)]
	best, worst := none, -costTol
	for j := range s.cost {
		reds[j] = 0
		if s.at[j] >= 0 || s.banned[j] {
			continue
		}
		red := s.cost[j]
		vals := s.vals[j]
		for t, r := range s.rows[j] {
			red -= s.y[r] * vals[t]
		}
		reds[j] = red
		if red < worst {
			best, worst = j, red
		}
	}
	s.list = s.list[:0]
	s.listed = worst
	for j, red := range reds {
		if red < 0.3*worst {
			s.list = append(s.list, int32(j))
		}
	}
	return best, worst
}

// column returns B⁻¹ · a of a column. The slice is reused.
func (s *Solver) column(j int) []float64 {
	m := len(s.rhs)
	if cap(s.work) < m {
		s.work = make([]float64, m, 2*m)
	}
	alpha := s.work[:m]
	if j < 0 {
		r := (-j - 1) / 2
		sign := s.slackSign(r)
		if (-j)%2 == 0 {
			sign = -sign
		}
		for i := range alpha {
			alpha[i] = sign * s.inv[i][r]
		}
		return alpha
	}
	rows, vals := s.rows[j], s.vals[j]
	for i := range alpha {
		row := s.inv[i]
		v := 0.0
		for t, r := range rows {
			v += row[r] * vals[t]
		}
		alpha[i] = v
	}
	return alpha
}

// leaving is the ratio test: among rows within tolerance of the least ratio it takes
// the one with the largest pivot, or the lowest basis index when byIndex is set.
func (s *Solver) leaving(alpha []float64, byIndex bool) (int, float64) {
	least := math.Inf(1)
	for i, a := range alpha {
		if a > pivotTol {
			least = math.Min(least, (math.Max(0, s.x[i])+feasTol)/a)
		}
	}
	best := -1
	for i, a := range alpha {
		if a <= pivotTol || math.Max(0, s.x[i])/a > least {
			continue
		}
		switch {
		case best < 0,
			byIndex && s.basis[i] < s.basis[best],
			!byIndex && a > alpha[best]:
			best = i
		}
	}
	if best < 0 {
		return -1, 0
	}
	return best, math.Max(0, s.x[best]) / alpha[best]
}

// pivot exchanges the basic column of row leave for column enter, whose reduced
// cost is red.
func (s *Solver) pivot(enter, leave int, alpha []float64, red float64) {
	s.pivots++
	row := s.inv[leave]
	p := alpha[leave]
	s.nz = s.nz[:0]
	for c, v := range row {
		if math.Abs(v) > zeroTol {
			v /= p
			row[c] = v
			s.nz = append(s.nz, int32(c))
			s.y[c] += red * v
		} else {
			row[c] = 0
		}
	}
	step := s.x[leave] / p
	dense := 3*len(s.nz) > len(row)
	for i, a := range alpha {
		if i == leave || math.Abs(a) <= zeroTol {
			continue
		}
		other := s.inv[i][:len(row)]
		if dense {
			for c, v := range row {
				other[c] -= a * v
			}
		} else {
			for _, c := range s.nz {
				other[c] -= a * row[c]
			}
		}
		s.x[i] -= a * step
	}
	s.x[leave] = step
	s.mark(s.basis[leave], -1)
	s.basis[leave] = enter
	s.mark(enter, leave)
}

// dual removes negative values while reduced costs stay at least 0. It stops
// early, without harm, where no column can enter.
func (s *Solver) dual(limit *int) {
	for *limit > 0 {
		leave, worst := -1, -feasTol*10
		for i, v := range s.x {
			if v < worst {
				leave, worst = i, v
			}
		}
		if leave < 0 {
			return
		}
		enter, red := s.dualEntering(s.inv[leave])
		if enter == none {
			return
		}
		*limit--
		alpha := s.column(enter)
		if alpha[leave] > -pivotTol/10 {
			return
		}
		s.pivot(enter, leave, alpha, red)
	}
}

// dualEntering is the dual ratio test for one row of the inverse.
func (s *Solver) dualEntering(row []float64) (int, float64) {
	best, bestRed, bestRatio, bestA := none, 0.0, math.Inf(1), 0.0
	try := func(j int, a, red float64) {
		red = math.Max(red, 0)
		ratio := red / -a
		if ratio < bestRatio-1e-12 || (ratio <= bestRatio+1e-12 && a < bestA) {
			best, bestRed, bestRatio, bestA = j, red, math.Min(ratio, bestRatio), a
		}
	}
	for r := range s.rhs {
		if math.Abs(row[r]) <= pivotTol {
			continue
		}
		sign := s.slackSign(r)
		if a := sign * row[r]; a < -pivotTol && !s.isBasic(-1-2*r) {
			try(-1-2*r, a, -sign*s.y[r])
		}
		if a := -sign * row[r]; a < -pivotTol && !s.isBasic(-2-2*r) {
			try(-2-2*r, a, s.penalty+sign*s.y[r])
		}
	}
	for j := range s.cost {
		if s.at[j] >= 0 || s.banned[j] {
			continue
		}
		a := 0.0
		rows, vals := s.rows[j], s.vals[j]
		for t, r := range rows {
			a += row[r] * vals[t]
		}
		if a < -pivotTol {
			red := s.cost[j]
			for t, r := range rows {
				red -= s.y[r] * vals[t]
			}
			try(j, a, red)
		}
	}
	return best, bestRed
}

// drifted reports whether B·x has left the right-hand side.
func (s *Solver) drifted() bool {
	sum := make([]float64, len(s.rhs))
	for i, j := range s.basis {
		s.addColumn(sum, j, s.x[i])
	}
	for r, v := range sum {
		if math.Abs(v-s.rhs[r]) > 1e-7*math.Max(1, math.Abs(s.rhs[r])) {
			return true
		}
	}
	return false
}

func (s *Solver) addColumn(sum []float64, j int, times float64) {
	if j >= 0 {
		for t, r := range s.rows[j] {
			sum[r] += s.vals[j][t] * times
		}
		return
	}
	r := (-j - 1) / 2
	sign := s.slackSign(r)
	if (-j)%2 == 0 {
		sign = -sign
	}
	sum[r] += sign * times
}

// refactor builds the inverse anew from the columns by elimination; a column that
// has become dependent is replaced by the artificial of a free row.
func (s *Solver) refactor() {
	m := len(s.rhs)
	cols := append([]int(nil), s.basis...)
	for i := 0; i < m; i++ {
		s.mark(s.basis[i], -1)
		s.basis[i] = -2 - 2*i
		for c := range s.inv[i] {
			s.inv[i][c] = 0
		}
		s.inv[i][i] = -s.slackSign(i)
		s.x[i] = -s.slackSign(i) * s.rhs[i]
	}
	for _, j := range s.basis {
		s.basic[-1-j] = true
	}
	free := make([]bool, m)
	for i := range free {
		free[i] = true
	}
	for _, j := range cols {
		alpha := s.column(j)
		best := -1
		for i, a := range alpha {
			if free[i] && math.Abs(a) > pivotTol && (best < 0 || math.Abs(a) > math.Abs(alpha[best])) {
				best = i
			}
		}
		if best < 0 {
			continue
		}
		free[best] = false
		if s.basis[best] == j {
			continue
		}
		s.pivot(j, best, alpha, 0)
	}
}
