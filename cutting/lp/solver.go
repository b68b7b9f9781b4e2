package lp

import "math"

// Kind says on which side of its right-hand side a row may be.
type Kind int

const (
	AtLeast Kind = iota
	AtMost
)

const (
	costTol  = 1e-9
	feasTol  = 1e-9
	pivotTol = 1e-8
	zeroTol  = 1e-13
)

// Solver holds a programme and its present basis. The zero value is an empty
// programme with penalty 0; use New.
type Solver struct {
	penalty float64
	kind    []Kind
	rhs     []float64

	cost   []float64
	rows   [][]int32
	vals   [][]float64
	banned []bool
	at     []int32 // row in which a column is basic, −1 when it is not

	// basis[i] is a column, or −1−2r for the slack of row r, −2−2r for its artificial.
	basis []int
	// basic[−1−j] says whether the slack or artificial j is in the basis.
	basic []bool
	inv   [][]float64
	x     []float64
	y     []float64

	pivots int
	list   []int32   // columns worth pricing first
	listed float64   // the best reduced cost when they were listed
	reds   []float64 // work space
	work   []float64
	nz     []int32
}

// New returns an empty programme; penalty is the cost of one unit of violation and
// must exceed every dual price of a solvable programme.
func New(penalty float64) *Solver { return &Solver{penalty: penalty} }

// Rows and Columns return the present size.
func (s *Solver) Rows() int    { return len(s.rhs) }
func (s *Solver) Columns() int { return len(s.cost) }

// Pivots returns the number of basis changes since New.
func (s *Solver) Pivots() int { return s.pivots }

// slackSign is the coefficient of a row's slack; its artificial has the opposite.
func (s *Solver) slackSign(r int) float64 {
	if s.kind[r] == AtMost {
		return 1
	}
	return -1
}

// AddRow adds a row over existing columns and returns its index. The basis grows
// by the row's slack, so the solution may be infeasible until the next Solve.
func (s *Solver) AddRow(kind Kind, rhs float64, cols []int, vals []float64) int {
	r := len(s.rhs)
	s.kind = append(s.kind, kind)
	s.rhs = append(s.rhs, rhs)
	sign := s.slackSign(r)
	row := make([]float64, r+1, r+33)
	act := 0.0
	for t, j := range cols {
		s.rows[j] = append(s.rows[j], int32(r))
		s.vals[j] = append(s.vals[j], vals[t])
		if p := s.at[j]; p >= 0 {
			act += vals[t] * s.x[p]
			for c, v := range s.inv[p] {
				row[c] -= sign * vals[t] * v
			}
		}
	}
	for i := range s.inv {
		s.inv[i] = append(s.inv[i], 0)
	}
	row[r] = sign
	s.inv = append(s.inv, row)
	s.basis = append(s.basis, -1-2*r)
	s.basic = append(s.basic, true, false)
	s.x = append(s.x, sign*(rhs-act))
	s.y = append(s.y, 0)
	return r
}

// AddColumn adds a column and returns its index.
func (s *Solver) AddColumn(cost float64, rows []int32, vals []float64) int {
	s.cost = append(s.cost, cost)
	s.rows = append(s.rows, rows)
	s.vals = append(s.vals, vals)
	s.banned = append(s.banned, false)
	s.at = append(s.at, -1)
	return len(s.cost) - 1
}

// Ban keeps a column at 0 from the next Solve on; Allow takes it back.
func (s *Solver) Ban(col int)         { s.banned[col] = true }
func (s *Solver) Allow(col int)       { s.banned[col] = false }
func (s *Solver) Banned(col int) bool { return s.banned[col] }

// SetRHS changes a row's right-hand side.
func (s *Solver) SetRHS(row int, rhs float64) {
	diff := rhs - s.rhs[row]
	s.rhs[row] = rhs
	if diff == 0 {
		return
	}
	for i := range s.x {
		s.x[i] += s.inv[i][row] * diff
	}
}

// Value returns a column's value, Dual a row's price, Objective the cost with
// penalties, and Violation the sum of artificials and banned columns in use.
func (s *Solver) Value(col int) float64 {
	if p := s.at[col]; p >= 0 {
		return s.x[p]
	}
	return 0
}

func (s *Solver) Dual(row int) float64 { return s.y[row] }

func (s *Solver) Objective() float64 {
	z := 0.0
	for i, j := range s.basis {
		z += s.costOf(j) * s.x[i]
	}
	return z
}

func (s *Solver) Violation() float64 {
	v := 0.0
	for i, j := range s.basis {
		if j < 0 && (-j)%2 == 0 || j >= 0 && s.banned[j] {
			v += math.Max(0, s.x[i])
		}
	}
	return v
}

// ReducedCost returns cost − duals · column at the present duals.
func (s *Solver) ReducedCost(col int) float64 {
	z := s.cost[col]
	for t, r := range s.rows[col] {
		z -= s.y[r] * s.vals[col][t]
	}
	return z
}

// InUse calls f for every column in the basis, by rising row.
func (s *Solver) InUse(f func(col int, value float64)) {
	for i, j := range s.basis {
		if j >= 0 {
			f(j, s.x[i])
		}
	}
}

func (s *Solver) costOf(j int) float64 {
	switch {
	case j >= 0 && s.banned[j]:
		return s.penalty
	case j >= 0:
		return s.cost[j]
	case (-j)%2 == 0:
		return s.penalty
	}
	return 0
}

// State is a copy of a basis, to come back to after rows were added.
type State struct {
	basis []int
	inv   [][]float64
	x, y  []float64
	rhs   []float64
}

// Save copies the basis.
func (s *Solver) Save() *State {
	st := &State{
		basis: append([]int(nil), s.basis...),
		x:     append([]float64(nil), s.x...),
		y:     append([]float64(nil), s.y...),
		rhs:   append([]float64(nil), s.rhs...),
		inv:   make([][]float64, len(s.inv)),
	}
	flat := make([]float64, len(s.inv)*len(s.inv))
	for i, row := range s.inv {
		st.inv[i] = flat[i*len(s.inv) : (i+1)*len(s.inv)]
		copy(st.inv[i], row)
	}
	return st
}

// Restore goes back to a saved basis and takes away the rows added since. Columns
// and bans stay as they are.
func (s *Solver) Restore(st *State) {
	m := len(st.basis)
	if m < len(s.rhs) {
		for j := range s.rows {
			n := len(s.rows[j])
			for n > 0 && int(s.rows[j][n-1]) >= m {
				n--
			}
			s.rows[j], s.vals[j] = s.rows[j][:n], s.vals[j][:n]
		}
	}
	for _, j := range s.basis {
		s.mark(j, -1)
	}
	s.basic = s.basic[:2*m]
	s.kind = s.kind[:m]
	s.rhs = append(s.rhs[:0], st.rhs...)
	s.basis = append(s.basis[:0], st.basis...)
	s.x = append(s.x[:0], st.x...)
	s.y = append(s.y[:0], st.y...)
	s.inv = s.inv[:m]
	for i := range s.inv {
		s.inv[i] = append(s.inv[i][:0], st.inv[i]...)
	}
	for i, j := range s.basis {
		s.mark(j, i)
	}
}

// mark records that a column is basic in a row, or not basic when row is −1.
func (s *Solver) mark(j, row int) {
	if j >= 0 {
		s.at[j] = int32(row)
	} else {
		s.basic[-1-j] = row >= 0
	}
}
