package cure

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gelwright/conduction"
	"gelwright/elementary"
)

// Table holds the times to every milestone of one resin on one deck, over temperature,
// dose and film, for answers in well under a microsecond. It is made by [NewTable], not
// changed afterwards, and can be stored as JSON.
type Table struct {
	Law Gel `json:"law"`
	// Grid: °C, per cent by mass, kg of resin on a square metre.
	TempsC       []float64 `json:"temps_c"`
	Pcts         []float64 `json:"pcts"`
	ResinKGPerM2 []float64 `json:"resin_kg_per_m2"`
	// LnMin of each milestone at [temp][pct][resin], flat.
	LnMin [milestones][]float64 `json:"ln_min"`
	// OwnSD is the spread of ln t that a milestone has beyond the gel law's: from what
	// is called hard, and from the shape of the cure after gel.
	OwnSD [milestones]float64 `json:"own_sd"`
	// WorstPct is the greatest error of interpolation found at the middles of all
	// cells, in per cent of the time, by milestone; UsualPct is what 95 % of the cells
	// keep. The worst lie where a thick, hot, strong film begins to run away and its own
	// heat all but finishes the cure.
	WorstPct  [milestones]float64 `json:"worst_pct"`
	UsualPct  [milestones]float64 `json:"usual_pct"`
	LatestMin [milestones]float64 `json:"latest_min"`
	// EarliestMin as in Thresholds.
	EarliestMin [milestones]float64 `json:"earliest_min"`
}

// TableAsk says what a table is for. Zero values take the defaults.
type TableAsk struct {
	Kinetics   Kinetics
	Thresholds Thresholds
	// GlassShare of resin, kg/kg: 0.4 (0 for a top coat: give −1).
	GlassShare float64
	// Deck below the film; 18 mm of board when nil.
	Deck []conduction.Layer
	// LossWPerM2K as in Film.
	LossWPerM2K float64
	// Grids; the law's limits by 3 K and seven doses, and 0.4 to 2.4 kg/m² when nil.
	TempsC, Pcts, ResinKGPerM2 []float64
}

// The grids of a table.
const (
	usualK, narrowK         = 3, 5
	usualDoses, narrowDoses = 7, 5
	usualFilms              = 6
	thinFilm, thickFilm     = 0.4, 2.4 // kg/m² of resin
	narrowShare             = 0.03     // a single film is bracketed so closely
	longestAxis             = 200
)

func (a TableAsk) filled(g *Gel) TableAsk {
	if a.GlassShare == 0 {
		a.GlassShare = 0.4
	}
	a.GlassShare = math.Max(0, a.GlassShare)
	if a.Deck == nil {
		a.Deck = []conduction.Layer{Board(18)}
	}
	if a.TempsC == nil {
		a.TempsC = even(g.MinC, g.MaxC, 1+int(math.Ceil((g.MaxC-g.MinC)/usualK)), false)
	}
	if a.Pcts == nil {
		a.Pcts = even(g.MinPct, g.MaxPct, usualDoses, true)
	}
	if a.ResinKGPerM2 == nil {
		a.ResinKGPerM2 = even(thinFilm, thickFilm, usualFilms, true)
	}
	return a
}

// Narrow returns the question of a small table about one film of resinKGPerM2: every
// 5 K or less and five doses, for a single answer in some tens of milliseconds.
func (a TableAsk) Narrow(g Gel, resinKGPerM2 float64) TableAsk {
	a.TempsC = even(g.MinC, g.MaxC, 1+int(math.Ceil((g.MaxC-g.MinC)/narrowK)), false)
	a.Pcts = even(g.MinPct, g.MaxPct, narrowDoses, true)
	a.ResinKGPerM2 = []float64{(1 - narrowShare) * resinKGPerM2, (1 + narrowShare) * resinKGPerM2}
	return a
}

// even returns n values from a to b, evenly or in even ratio.
func even(a, b float64, n int, ratio bool) []float64 {
	n = max(n, 2)
	out := make([]float64, n)
	for i := range out {
		u := float64(i) / float64(n-1)
		if ratio {
			out[i] = a * elementary.Pow(b/a, u)
		} else {
			out[i] = a + (b-a)*u
		}
	}
	out[n-1] = b
	return out
}

// NewTable runs the film at every point of the grid, on a deck of steady temperature,
// and again at the middle of every cell to find its own greatest error.
func NewTable(ctx context.Context, g Gel, ask TableAsk) (Table, error) {
	a := ask.filled(&g)
	for _, axis := range []struct {
		name string
		v    []float64
	}{{"temperatures", a.TempsC}, {"doses", a.Pcts}, {"films", a.ResinKGPerM2}} {
		if len(axis.v) < 2 || len(axis.v) > longestAxis || !sort.Float64sAreSorted(axis.v) {
			return Table{}, fmt.Errorf("cure: the table's %s %v: give two or more, rising", axis.name, axis.v)
		}
	}
	if err := a.Kinetics.Check(); err != nil {
		return Table{}, err
	}
	t := Table{Law: g, TempsC: a.TempsC, Pcts: a.Pcts, ResinKGPerM2: a.ResinKGPerM2, LatestMin: a.Thresholds.LatestMin,
		EarliestMin: a.Thresholds.EarliestMin}
	// The cap in time is laid over the interpolation, not into it.
	a.Thresholds.LatestMin, a.Thresholds.EarliestMin = [milestones]float64{}, [milestones]float64{}
	for m := range t.LnMin {
		t.LnMin[m] = make([]float64, len(t.TempsC)*len(t.Pcts)*len(t.ResinKGPerM2))
	}
	at := 0
	for _, c := range t.TempsC {
		for _, p := range t.Pcts {
			for _, w := range t.ResinKGPerM2 {
				h, err := a.run(ctx, &g, c, p, w)
				if err != nil {
					return Table{}, err
				}
				for m := range h {
					t.LnMin[m][at] = math.Log(h[m])
				}
				at++
			}
		}
	}
	if err := t.findWorst(ctx, &a, &g); err != nil {
		return Table{}, err
	}
	k := a.Kinetics.Matched(g, refC, refPct)
	up, down := a.Thresholds.shifted(eyeLogit), a.Thresholds.shifted(-eyeLogit)
	for m := Trim; m < milestones; m++ {
		eye := math.Log(k.IsothermalMin(refC, refPct, up.Alpha[m])/k.IsothermalMin(refC, refPct, down.Alpha[m])) / 2
		t.OwnSD[m] = math.Hypot(eye, shapeSD)
	}
	return t, nil
}

func (a *TableAsk) run(ctx context.Context, g *Gel, tempC, pct, resin float64) (Hardening, error) {
	k := a.Kinetics.Matched(*g, tempC, pct)
	r, err := k.Film(ctx, Film{ResinKGPerM2: resin, GlassKGPerM2: a.GlassShare * resin, Deck: a.Deck, Base: []Reading{{0, tempC}},
		LossWPerM2K: a.LossWPerM2K}, pct, a.Thresholds)
	return r.Hardening, err
}

// findWorst compares the middles of the cells with true runs.
func (t *Table) findWorst(ctx context.Context, a *TableAsk, g *Gel) error {
	var all [milestones][]float64
	for i := range len(t.TempsC) - 1 {
		for j := range len(t.Pcts) - 1 {
			for l := range len(t.ResinKGPerM2) - 1 {
				c, p, w := (t.TempsC[i]+t.TempsC[i+1])/2, math.Sqrt(t.Pcts[j]*t.Pcts[j+1]), math.Sqrt(t.ResinKGPerM2[l]*t.ResinKGPerM2[l+1])
				h, err := a.run(ctx, g, c, p, w)
				if err != nil {
					return err
				}
				for m := range h {
					e := 100 * math.Abs(elementary.Exp(t.ln(Milestone(m), c, p, w))/h[m]-1)
					all[m] = append(all[m], e)
				}
			}
		}
	}
	for m := range all {
		_, _, t.UsualPct[m] = fractiles(all[m])
		t.WorstPct[m] = all[m][len(all[m])-1]
	}
	return nil
}

// place finds the cell of v on an axis and how far v lies into it, by f.
func place(axis []float64, v float64, f func(float64) float64) (i int, u float64) {
	i = sort.SearchFloat64s(axis, v) - 1
	i = max(0, min(i, len(axis)-2))
	u = (f(v) - f(axis[i])) / (f(axis[i+1]) - f(axis[i]))
	return i, math.Max(0, math.Min(1, u))
}

func inverseK(c float64) float64 { return 1 / (c + zeroC) }

// ln interpolates ln t, straight in 1/T, ln c and ln of the film; beyond the grid it
// stays at the grid's edge.
func (t *Table) ln(m Milestone, tempC, pct, resin float64) float64 {
	i, u := place(t.TempsC, tempC, inverseK)
	j, v := place(t.Pcts, pct, math.Log)
	l, w := place(t.ResinKGPerM2, resin, math.Log)
	np, nr := len(t.Pcts), len(t.ResinKGPerM2)
	at := func(i, j int) float64 {
		k := (i*np+j)*nr + l
		return t.LnMin[m][k]*(1-w) + t.LnMin[m][k+1]*w
	}
	return (at(i, j)*(1-v)+at(i, j+1)*v)*(1-u) + (at(i+1, j)*(1-v)+at(i+1, j+1)*v)*u
}

// Time returns a milestone on a deck of steady temperature. The range is the law's,
// with the milestone's own on top.
func (t *Table) Time(m Milestone, tempC, pct, resinKGPerM2 float64) (Range, error) {
	if m < 0 || m >= milestones {
		return Range{}, fmt.Errorf("cure: %s is no milestone", m)
	}
	if err := t.Law.Allowed(tempC, pct); err != nil {
		return Range{}, err
	}
	if err := t.filmWithin(resinKGPerM2); err != nil {
		return Range{}, err
	}
	ln, half := t.ln(m, tempC, pct, resinKGPerM2), t.half(m, tempC, pct)
	return t.capped(m, Range{elementary.Exp(ln - half), elementary.Exp(ln), elementary.Exp(ln + half)}), nil
}

func (t *Table) filmWithin(resin float64) error {
	if lo, hi := t.ResinKGPerM2[0], t.ResinKGPerM2[len(t.ResinKGPerM2)-1]; !(resin >= lo-1e-9 && resin <= hi+1e-9) {
		return fmt.Errorf("cure: a film of %g kg/m² of resin: the table holds %.2g to %.2g", resin, lo, hi)
	}
	return nil
}

// half is half the width of the 90 % range of ln t.
func (t *Table) half(m Milestone, tempC, pct float64) float64 {
	_, h := t.Law.predict(tempC, pct)
	return math.Hypot(h, z95*t.OwnSD[m])
}

func (t *Table) capped(m Milestone, r Range) Range {
	th := Thresholds{LatestMin: t.LatestMin, EarliestMin: t.EarliestMin}
	return Range{th.held(m, r.LowMin), th.held(m, r.LikelyMin), th.held(m, r.HighMin)}
}
