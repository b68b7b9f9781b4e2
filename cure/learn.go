package cure

import (
	"fmt"
	"math"
	"sort"

	"gelwright/working"
)

// GelLog is one gel seen on site, in a cup or a small bucket.
type GelLog struct {
	TempC       float64 `json:"temp_c"`
	CatalystPct float64 `json:"catalyst_pct"` // by mass
	Min         float64 `json:"min"`          // from mixing to gel
	// Drum names the batch; "" is a drum of its own, unknown.
	Drum string `json:"drum,omitempty"`
}

// Drum is what the logs say of one drum of resin: the law with that drum's own offset in it.
type Drum struct {
	Name string        `json:"name"`
	Mean [3]float64    `json:"mean"`
	Cov  [3][3]float64 `json:"cov"`
	// Offset of ln t from the resin's own level, with its standard deviation.
	Offset   float64 `json:"offset"`
	OffsetSD float64 `json:"offset_sd"`
	Gels     int     `json:"gels"`
}

// ForDrum returns the law of a drum that was logged; ok is false, and the law the
// resin's own, for one that was not.
func (g Gel) ForDrum(name string) (law Gel, ok bool) {
	for _, d := range g.Drums {
		if d.Name == name {
			g.Mean, g.Cov, g.DrumSD = d.Mean, d.Cov, 0
			g.Evidence = fmt.Sprintf("%d gels of drum %s, over %s", d.Gels, d.Name, g.Evidence)
			return g, true
		}
	}
	return g, false
}

// LogVerdict is what was made of one entry.
type LogVerdict struct {
	Log GelLog `json:"log"`
	// Weight from 0 to 1.25: what the entry was allowed to say; about 1 for an ordinary one.
	Weight float64 `json:"weight"`
	// Miss is ln of seen over expected, in standard deviations of the noise.
	Miss float64 `json:"miss"`
	// Doubtful entries should be looked at: a slip of the pen, the thermometer, the jug.
	Doubtful bool `json:"doubtful"`
}

// Learned tells what the logs changed.
type Learned struct {
	Gels  int `json:"gels"`
	Drums int `json:"drums"`
	// Before and After are the range at 20 °C and 2 %, or at the limits nearest to that.
	Before Range `json:"before"`
	After  Range `json:"after"`
	// Entries in the order given.
	Entries []LogVerdict `json:"entries"`
	// Rounds of reweighting until nothing moved.
	Rounds  int               `json:"rounds"`
	Figures []*working.Figure `json:"-"`
}

const (
	// How many observations the prior spreads are worth: weak, so that a dozen gels
	// speak for themselves.
	noiseWorth, drumWorth = 6.0, 4.0
	learnRounds           = 200
	doubtfulMiss          = 3.5
	// No site is so even that its gels repeat better than this, in ln t.
	leastNoise = 0.02
)

// Learn updates a law by gels seen on site.
//
//	ln t = a + (E/R)(1/T − 1/T0) − n·ln(c/c0) + drum + noise
//
// with the law's mean and covariance as Gaussian prior, an offset for each drum drawn
// from a normal distribution, and noise of Student's t with 4 degrees of freedom, so
// that one wrong entry loses its weight instead of moving the rest. Solved by iterative
// reweighting (expectation and maximisation; K. L. Lange, R. J. A. Little and J. M. G. Taylor,
// J. Am. Stat. Assoc. 84, 1989, 881–896, from memory), which also estimates both spreads
// from a weak prior. An entry that cannot be is an error that names it.
func Learn(prior Gel, logs []GelLog) (Gel, Learned, error) {
	for i, l := range logs {
		if !(l.Min > 0 && l.CatalystPct > 0 && l.CatalystPct <= 10 && l.TempC > -30 && l.TempC < 60) || math.IsInf(l.Min, 0) {
			return Gel{}, Learned{},
				fmt.Errorf("cure: gel log %d: %g min at %g °C with %g %%: correct it (minutes, °C, %% by mass) or leave it out", i+1, l.Min,
					l.TempC, l.CatalystPct)
		}
	}
	report := Learned{Gels: len(logs), Entries: make([]LogVerdict, len(logs))}
	report.Before = prior.usual()
	if len(logs) == 0 {
		report.After = report.Before
		return prior, report, nil
	}
	p, err := newLearning(prior, logs)
	if err != nil {
		return Gel{}, Learned{}, err
	}
	for report.Rounds = 1; report.Rounds < learnRounds; report.Rounds++ {
		moved, err := p.round()
		if err != nil {
			return Gel{}, Learned{}, fmt.Errorf("cure: learning from %d gels: %w", len(logs), err)
		}
		if moved < 1e-9 {
			break
		}
	}
	g := p.law(prior, logs)
	if !(g.Mean[1] > 0 && g.Mean[2] > 0) {
		return Gel{}, Learned{},
			fmt.Errorf("cure: the logs say that warmth or catalyst slows the gel (E %.0f kJ/mol, n %.2f): check their temperatures and doses",
				g.Mean[1], g.Mean[2])
	}
	for i, l := range logs {
		miss := p.miss[i] / p.σ
		report.Entries[i] = LogVerdict{Log: l, Weight: p.w[i], Miss: miss, Doubtful: math.Abs(miss) > doubtfulMiss}
	}
	report.Drums, report.After = len(p.names), g.usual()
	report.Figures = g.learnedFigures(prior, report)
	return g, report, nil
}

// usual is the range at 20 °C and 2 %, or as near as the limits allow.
func (g *Gel) usual() Range {
	r, _ := g.Time(math.Max(g.MinC, math.Min(g.MaxC, refC)), math.Max(g.MinPct, math.Min(g.MaxPct, refPct)))
	return r
}

// learning is the state of the reweighting. Unknowns: a, E, n, one offset a drum.
type learning struct {
	x     [][3]float64
	y     []float64
	drum  []int
	names []string

	inverse [3][3]float64 // of the prior's covariance
	mean0   [3]float64
	σ, τ    float64
	σ0, τ0  float64

	w, miss []float64
	m       []float64
	v       [][]float64
}

func newLearning(prior Gel, logs []GelLog) (*learning, error) {
	p := &learning{mean0: prior.Mean, σ0: prior.NoiseSD, τ0: math.Max(prior.DrumSD, leastDrum)}
	if !prior.HeavyTails {
		// A scale of t that has the same 90 % range as the normal spread.
		p.σ0 *= z95 / t4q95
	}
	p.σ0 = math.Max(p.σ0, leastNoise)
	p.σ, p.τ = p.σ0, p.τ0
	inv := normalEquations{dim: 3}
	inv.grow()
	for i := range 3 {
		for j := range 3 {
			inv.a[i][j] = prior.Cov[i][j]
		}
		// A certain parameter is as good as certain.
		inv.a[i][i] += 1e-10 * math.Max(1, prior.Mean[i]*prior.Mean[i])
	}
	_, precision, err := inv.solve()
	if err != nil {
		return nil, fmt.Errorf("cure: the covariance of the law is not one: %w", err)
	}
	for i := range 3 {
		copy(p.inverse[i][:], precision[i])
	}
	index := map[string]int{}
	for i, l := range logs {
		name := l.Drum
		if name == "" {
			name = fmt.Sprintf("\x00%d", i) // a drum of its own
		}
		if _, seen := index[name]; !seen {
			index[name] = len(p.names)
			p.names = append(p.names, name)
		}
		p.drum = append(p.drum, index[name])
		p.x = append(p.x, regressors(l.TempC, l.CatalystPct))
		p.y = append(p.y, math.Log(l.Min))
		p.w = append(p.w, 1)
		p.miss = append(p.miss, 0)
	}
	return p, nil
}

// round solves with the present weights and spreads, then renews both; it returns how
// far the solution moved.
func (p *learning) round() (moved float64, err error) {
	n := 3 + len(p.names)
	q := normalEquations{dim: n}
	q.grow()
	for i := range 3 {
		for j := range 3 {
			q.a[i][j] = p.inverse[i][j]
			q.b[i] += p.inverse[i][j] * p.mean0[j]
		}
	}
	for d := 3; d < n; d++ {
		q.a[d][d] = 1 / (p.τ * p.τ)
	}
	for i, x := range p.x {
		w := p.w[i] / (p.σ * p.σ)
		d := 3 + p.drum[i]
		q.observe(x, p.y[i], w)
		q.a[d][d] += w
		q.b[d] += w * p.y[i]
		for j := range x {
			q.a[d][j] += w * x[j]
			q.a[j][d] += w * x[j]
		}
	}
	m, v, err := q.solve()
	if err != nil {
		return 0, err
	}
	for i := range m {
		if p.m == nil {
			moved = 1
			break
		}
		moved = math.Max(moved, math.Abs(m[i]-p.m[i])/math.Sqrt(v[i][i]))
	}
	p.m, p.v = m, v
	ss := noiseWorth * p.σ0 * p.σ0
	for i, x := range p.x {
		d := 3 + p.drum[i]
		p.miss[i] = p.y[i] - dot(x, [3]float64(m[:3])) - m[d]
		r2 := p.miss[i]*p.miss[i] + p.spread(x, d)
		p.w[i] = (noiseNu + 1) / (noiseNu + r2/(p.σ*p.σ))
		ss += p.w[i] * r2
	}
	p.σ = math.Sqrt(ss / (noiseWorth + float64(len(p.y))))
	st := drumWorth * p.τ0 * p.τ0
	for d := 3; d < n; d++ {
		st += m[d]*m[d] + v[d][d]
	}
	p.τ = math.Sqrt(st / (drumWorth + float64(len(p.names))))
	return moved, nil
}

// spread is the variance of x·θ + drum d.
func (p *learning) spread(x [3]float64, d int) float64 {
	s := p.v[d][d]
	for i := range x {
		s += 2 * x[i] * p.v[i][d]
		for j := range x {
			s += x[i] * p.v[i][j] * x[j]
		}
	}
	return s
}

// law turns the solution into a law.
func (p *learning) law(prior Gel, logs []GelLog) Gel {
	g := prior
	copy(g.Mean[:], p.m[:3])
	for i := range 3 {
		copy(g.Cov[i][:], p.v[i][:3])
	}
	g.NoiseSD, g.DrumSD, g.HeavyTails, g.Brand = p.σ, p.τ, true, false
	for _, l := range logs {
		g.see(l.TempC, l.CatalystPct)
	}
	g.Evidence = fmt.Sprintf("%d gels logged on site, over %s", len(logs), prior.Evidence)
	g.Standing = working.Given
	count := make([]int, len(p.names))
	for _, d := range p.drum {
		count[d]++
	}
	g.Drums = nil
	for i, name := range p.names {
		if name[0] == 0 {
			continue
		}
		d := 3 + i
		own := Drum{Name: name, Mean: g.Mean, Cov: g.Cov, Offset: p.m[d], OffsetSD: math.Sqrt(p.v[d][d]), Gels: count[i]}
		own.Mean[0] += p.m[d]
		for j := range 3 {
			own.Cov[0][j] += p.v[d][j]
			own.Cov[j][0] += p.v[j][d]
		}
		own.Cov[0][0] += p.v[d][d]
		g.Drums = append(g.Drums, own)
	}
	sort.Slice(g.Drums, func(i, j int) bool { return g.Drums[i].Name < g.Drums[j].Name })
	return g
}

func (g *Gel) learnedFigures(prior Gel, r Learned) []*working.Figure {
	logs := working.Source{Title: fmt.Sprintf("%d gels logged on site", r.Gels), Standing: working.Given}
	bayes := working.Source{Title: "Bayesian update with Student's t noise and drum offsets", Standing: working.Derived}
	var out []*working.Figure
	for i, p := range []struct{ symbol, name, unit string }{{"a", "ln of the gel time in minutes at 20 °C and 2 %", ""},
		{"E", "activation energy of the gel", "kJ/mol"}, {"n", "dose exponent", ""}} {
		h0, h1 := z95*sqrt(prior.Cov[i][i]), z95*sqrt(g.Cov[i][i])
		before := working.Constant(p.symbol+"0", p.name+", before", prior.Mean[i], p.unit,
			working.Source{Title: prior.Evidence, Standing: prior.Standing}).Between(prior.Mean[i]-h0, prior.Mean[i]+h0)
		out = append(out,
			working.Method(p.symbol, "posterior of ln t = x·θ + drum + noise, nearest to all gels and what was known before").Run(p.name,
				g.Mean[i], p.unit, bayes,
				before, working.Constant("N", "gels", float64(r.Gels), "", logs)).Between(g.Mean[i]-h1, g.Mean[i]+h1))
	}
	return out
}
