package cutting

import (
	"context"
	"math"
	"math/big"
	"math/bits"

	"gelwright/cutting/lp"
)

// master is the pattern programme of Gilmore and Gomory: a column for each
// pattern, a row for each size (at least what is wanted) and for each stock kind
// with a limit (at most what there is).
type master struct {
	o     *order
	lp    *lp.Solver
	pats  []pattern
	known map[string]int
	// What is still wanted and available in the present dive.
	d, avail []int
	limitRow []int // row of a stock kind, −1 without limit
	unit     float64
	scale    float64 // whole-number duals per cost unit
	sack     knapsack
	centre   []float64 // duals of the best bound so far
	purse    *purse
	treeWork int // work of exact searches still allowed
	rounds   int // pricing rounds done, the master's budget
}

// offersAtOnce is how many patterns a pricing round may add for each stock kind.
const offersAtOnce = 20

// pivotsPerRound cuts the simplex short between pricing rounds: duals on the way are
// as good for finding patterns, and the programme is very degenerate.
const (
	pivotsPerRound = 25
	pivotsToEnd    = 1000
)

// roundLimit is the number of pricing rounds after which an order is given up as
// too hard; it stands in for a time limit and is the same on every machine.
const roundLimit = 30000

func newMaster(o *order) *master {
	m := &master{o: o, lp: lp.New(lpPenalty), known: map[string]int{}, treeWork: treeWork * max(1, o.effort)}
	m.d = append([]int(nil), o.d...)
	m.avail = append([]int(nil), o.avail...)
	most := int64(1)
	for _, c := range o.cost {
		most = max(most, c)
	}
	m.unit = float64(most)
	m.scale = math.Ldexp(1, min(dualBits, dualBits-bits.Len64(uint64(most))+1))
	if m.scale < 1 {
		m.scale = 1
	}
	for i := range o.w {
		m.lp.AddRow(lp.AtLeast, float64(o.d[i]), nil, nil)
	}
	m.limitRow = make([]int, len(o.cap))
	for k := range o.cap {
		m.limitRow[k] = -1
		if o.lim[k] {
			m.limitRow[k] = m.lp.AddRow(lp.AtMost, float64(o.avail[k]), nil, nil)
		}
	}
	return m
}

func key(p pattern) string {
	b := make([]byte, 0, 2+8*len(p.at))
	b = append(b, byte(p.k), byte(p.k>>8))
	for t, i := range p.at {
		n := p.num[t]
		b = append(b, byte(i), byte(i>>8), byte(i>>16), byte(i>>24), byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
	}
	return string(b)
}

// add puts a pattern into the programme and returns its column; known ones are not
// added twice.
func (m *master) add(p pattern) (col int, fresh bool) {
	id := key(p)
	if j, ok := m.known[id]; ok {
		return j, false
	}
	rows := make([]int32, 0, len(p.at)+1)
	vals := make([]float64, 0, len(p.at)+1)
	for t, i := range p.at {
		rows = append(rows, i)
		vals = append(vals, float64(p.num[t]))
	}
	if r := m.limitRow[p.k]; r >= 0 {
		rows, vals = append(rows, int32(r)), append(vals, 1)
	}
	j := m.lp.AddColumn(float64(m.o.cost[p.k])/m.unit, rows, vals)
	m.pats = append(m.pats, p)
	m.known[id] = j
	return j, true
}

// prices are whole-number duals with what an exact knapsack says about them.
type prices struct {
	pi   []int64     // per size, in cost units × scale
	most []int64     // greatest value of a bar, per stock kind
	fill [][]pattern // a filling that has it, then further good ones
}

// price rounds duals (in LP units) down to whole numbers and solves a knapsack for each
// stock kind against what is still wanted.
func (m *master) price(y []float64) prices {
	o := m.o
	q := prices{pi: make([]int64, len(o.w)), most: make([]int64, len(o.cap)), fill: make([][]pattern, len(o.cap))}
	widest := 0
	for k := range o.cap {
		widest = max(widest, o.cap[k])
	}
	for i := range q.pi {
		v := math.Floor(math.Max(0, y[i]) * m.unit * m.scale)
		// No bar may overflow 64 bits; lower duals are valid duals.
		q.pi[i] = int64(math.Min(v, math.Ldexp(1, barBits)/float64(widest/o.w[i])))
	}
	table := widest <= tableWork/len(o.w)
	if table {
		m.sack.fillTable(o.w, q.pi, m.d, widest)
	}
	for k, size := range o.cap {
		if m.avail[k] == 0 {
			continue
		}
		var list []offer
		full := int64(float64(o.cost[k]) * m.scale)
		if table {
			q.most[k], list = max(full, m.sack.best[size]), m.sack.tableOffers(o.w, size, full, offersAtOnce)
		} else {
			q.most[k], list = m.sack.offers(o.w, q.pi, m.d, size, full, offersAtOnce)
		}
		for _, f := range list {
			q.fill[k] = append(q.fill[k], o.sparse(k, f.a))
		}
	}
	return q
}

// bound is a proven lower bound, in cost units, on what the pieces still wanted
// cost, from whole-number duals.
func (m *master) bound(q prices) int64 {
	return dualBound(q, m.d, m.o.cost, m.avail, m.o.lim, m.scale)
}

// dualBound is a proven lower bound, in cost units, from whole-number duals q.pi
// (× scale) and the greatest value q.most of a filling per stock kind. Stock without
// limit scales all duals down until no filling is worth more than its bar (Farley
// 1990); stock with a limit pays the excess for every bar there is (Lagrange).
func dualBound(q prices, d []int, cost []int64, avail []int, lim []bool, scale float64) int64 {
	num, den := int64(1), int64(1) // the factor num/den ≤ 1
	for k := range cost {
		if lim[k] || avail[k] == 0 {
			continue
		}
		full := int64(float64(cost[k]) * scale)
		if q.most[k] > full && less128(full, den, num, q.most[k]) {
			num, den = full, q.most[k]
		}
	}
	total := new(big.Int)
	for i, v := range q.pi {
		t := big.NewInt(v)
		total.Add(total, t.Mul(t, big.NewInt(int64(d[i]))))
	}
	total.Mul(total, big.NewInt(num))
	// total / den is the value; take the limited stocks' excess off it.
	for k := range cost {
		if !lim[k] || avail[k] == 0 {
			continue
		}
		full := int64(float64(cost[k]) * scale)
		over := new(big.Int).Mul(big.NewInt(q.most[k]), big.NewInt(num))
		over.Sub(over, new(big.Int).Mul(big.NewInt(full), big.NewInt(den)))
		if over.Sign() > 0 {
			total.Sub(total, over.Mul(over, big.NewInt(int64(avail[k]))))
		}
	}
	if total.Sign() <= 0 {
		return 0
	}
	unit := new(big.Int).Mul(big.NewInt(den), big.NewInt(int64(scale)))
	total.Add(total, unit)
	total.Sub(total, big.NewInt(1))
	return total.Div(total, unit).Int64()
}

// settle solves the programme to its end, or until the context ends.
func (m *master) settle(ctx context.Context) {
	for n := 0; n < settleSolves && ctx.Err() == nil && !m.lp.Solve(pivotsToEnd); n++ {
	}
}

// outcome says how column generation ended.
type outcome int

const (
	converged outcome = iota // no pattern improves the programme
	settled                  // the rounded bound cannot rise any more
	reached                  // the bound reached the goal given
	stopped                  // context or budget ended
)

// generate adds patterns until the programme is optimal (toEnd), or its bound reaches
// stop, or, not toEnd, the programme costs no more than the best bound, known at the
// start or found. It returns that bound, in cost units.
func (m *master) generate(ctx context.Context, known, stop int64, toEnd bool) (int64, outcome) {
	best := known
	alpha, limit := smoothMost, pivotsPerRound
	rows := m.lp.Rows()
	y := make([]float64, rows)
	mixed := make([]float64, rows)
	for {
		if ctx.Err() != nil || m.rounds >= roundLimit {
			return best, stopped
		}
		m.rounds++
		solved := m.lp.Solve(limit)
		limit = pivotsPerRound
		for r := range y {
			y[r] = m.lp.Dual(r)
			mixed[r] = y[r]
			if m.centre != nil {
				mixed[r] = alpha*m.centre[r] + (1-alpha)*y[r]
			}
		}
		q := m.price(mixed)
		bound := m.bound(q)
		if bound > best || m.centre == nil {
			best = max(best, bound)
			m.centre = append(m.centre[:0], mixed...)
		}
		if best >= stop {
			return best, reached
		}
		z := m.lp.Objective() * m.unit
		if !toEnd && solved && m.lp.Violation() < 1e-7 && float64(best) >= z-1e-6*math.Max(1, z/tolOver) {
			return best, settled
		}
		if m.enter(q, y) {
			if alpha < smoothMost {
				alpha += smoothUp
			}
			continue
		}
		if !solved {
			limit = pivotsToEnd
			continue
		}
		if alpha == 0 || m.centre == nil {
			return best, converged
		}
		m.centre = append(m.centre[:0], mixed...)
		if alpha -= smoothDown; alpha < smoothLeast {
			alpha = 0
		}
	}
}

// enter adds the fillings whose reduced cost at the programme's own duals is
// negative and reports whether there was one.
func (m *master) enter(q prices, y []float64) bool {
	any := false
	for k, list := range q.fill {
		for _, p := range list {
			red := float64(m.o.cost[k]) / m.unit
			for t, i := range p.at {
				red -= y[i] * float64(p.num[t])
			}
			if r := m.limitRow[k]; r >= 0 {
				red -= y[r]
			}
			if red < -1e-8 {
				j, fresh := m.add(p)
				if !fresh && m.lp.Banned(j) {
					continue
				}
				any = any || fresh
			}
		}
	}
	return any
}
