package runoff

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/working"
)

const (
	// shallowMM is the deepest pool that is looked at and not refused: what laps and
	// mat leave on a good roof anyway (common practice).
	shallowMM = 5
	// noPoolMM is a depth that no level shows.
	noPoolMM = 0.5
	// trifleM2 of standing water is rounding and no finding.
	trifleM2 = 0.01
	// spillCellM is the side of the cells over which the way of rising water is sought.
	spillCellM = 0.1
)

// Pool is water that must rise before it can leave.
type Pool struct {
	At plane.Point `json:"at"`
	// DepthMM at its deepest when it begins to leave; 0 where nothing takes it.
	DepthMM float64 `json:"depth_mm"`
	// FedM2 is the plan area whose rain runs into it.
	FedM2 float64 `json:"fed_m2"`
	// To names the outlet or edge it leaves by; empty where nothing takes it.
	To string `json:"to,omitempty"`
}

// spill is where rising water first leaves, and at what level of the deck's surface.
type spill struct {
	edge   int // -1 for an outlet
	outlet int // position among the deck's outlets
	levelM float64
}

// OutletsOf lists the outlets of a deck.
func OutletsOf(d *roof.Deck) []roof.Penetration {
	var out []roof.Penetration
	for _, p := range d.Penetrations {
		if p.Kind == "outlet" {
			out = append(out, p)
		}
	}
	return out
}

// spillFrom finds where water that rises at a place leaves deck i, outlets in without
// taken as blocked; false where nothing takes it. The way over saddles is sought on a
// grid; the level is the drain's own wherever no saddle stands above it.
func (r *router) spillFrom(i int, from plane.Point, without ...int) (spill, bool) {
	d, g := &r.decks[i], &r.geometry[i].Value
	outlets := OutletsOf(d)
	drains := firring.Drains{Outline: d.Outline, Takes: func(e int) bool { return Takes(d, e) }}
	var open []int
	for k, o := range outlets {
		if !slices.Contains(without, k) {
			drains.Outlets = append(drains.Outlets, o.At)
			open = append(open, k)
		}
	}
	step := math.Max(spillCellM, math.Sqrt(g.NetM2/40000))
	grid, err := firring.GridOf(g.Net, step, func(p plane.Point) float64 { return 1000 * g.Surface.HeightM(p) })
	if err != nil {
		return spill{}, false
	}
	filled, toward, err := grid.Filled(drains)
	if err != nil {
		return spill{}, false
	}
	cell, far := -1, math.Inf(1)
	for k, z := range grid.MM {
		if l := grid.At(k).Distance(from); !math.IsNaN(z) && l < far {
			cell, far = k, l
		}
	}
	if cell < 0 {
		return spill{}, false
	}
	level := filled.MM[cell] / 1000
	for n := 0; toward[cell] >= 0 && n < len(toward); n++ {
		cell = toward[cell]
	}
	s := r.nearest(i, grid.At(cell), open)
	// A cell is this much off its neighbours; what rises more is a saddle on the way.
	steepest := 0.0
	for _, f := range g.Surface.Facets {
		steepest = math.Max(steepest, f.Gradient.Length())
	}
	if level > s.levelM+1.5*step*steepest {
		s.levelM = level
	}
	return s, true
}

// nearest is the drain nearest a place of deck i, of its outlets those that are open.
func (r *router) nearest(i int, at plane.Point, open []int) spill {
	d, g := &r.decks[i], &r.geometry[i].Value
	outlets := OutletsOf(d)
	s := spill{edge: -1, outlet: -1}
	near := math.Inf(1)
	for _, k := range open {
		if l := outlets[k].At.Distance(at); l < near {
			near, s.outlet, s.levelM = l, k, g.Surface.HeightM(outlets[k].At)
		}
	}
	for e := range d.Outline {
		if l := d.Outline.Edge(e).Nearest(at).Distance(at); Takes(d, e) && l < near {
			near, s.edge, s.outlet, s.levelM = l, e, -1, LowAlong(g.Surface, d.Outline.Edge(e), 0, 1)
		}
	}
	return s
}

// Takes reports whether water may leave over an edge.
func Takes(d *roof.Deck, e int) bool {
	return d.Edges[e].Condition.TakesWater() || d.Edges[e].Condition == roof.Joins
}

// LowAlong returns the lowest height of the surface along part of an edge, m.
func LowAlong(s plane.Surface, e plane.Edge, from, to float64) float64 {
	low := math.Inf(1)
	const parts = 64
	for k := 0; k <= parts; k++ {
		low = math.Min(low, s.HeightM(e.At(from+(to-from)*float64(k)/parts)))
	}
	return low
}

// route parts deck i by where its water ends, standing water led on to the drain it spills
// to: the one answer for drawings, flows and checks.
func (r *router) route(i int) []leaving {
	d, g := &r.decks[i], &r.geometry[i].Value
	outlets := OutletsOf(d)
	list := []leaving{}
	for _, l := range r.catch(i) {
		if !l.stands || l.area <= trifleM2 {
			list = append(list, l)
			continue
		}
		pool := Pool{At: l.part.At, FedM2: l.area}
		s, ok := r.spillFrom(i, l.part.At)
		if !ok {
			l.lost, l.what = true, "no way out"
		} else {
			l.edge, l.at = s.edge, l.part.At
			l.what = edgeName(d, s.edge)
			if s.outlet >= 0 {
				l.what, l.at = outlets[s.outlet].Name, outlets[s.outlet].At
			}
			l.depthMM = math.Max(0, 1000*(s.levelM-g.Surface.HeightM(l.part.At)))
			pool.DepthMM, pool.To = l.depthMM, l.what
			if l.depthMM < noPoolMM {
				// It runs on: only the exact trace of a drop ended in a corner.
				l.stands = false
				list = append(list, l)
				continue
			}
		}
		r.pools[i] = append(r.pools[i], pool)
		list = append(list, l)
	}
	return list
}

func edgeName(d *roof.Deck, e int) string {
	if e < 0 {
		return ""
	}
	return fmt.Sprintf("edge %d (%s)", e+1, d.Edges[e].Condition)
}

// label names a part on the drawing: how deep it must stand before it leaves, where
// that is more than a shallow pool.
func (l leaving) label() string {
	if l.stands && !l.lost && l.depthMM > shallowMM {
		return fmt.Sprintf("%s, stands %.0f mm first", l.what, l.depthMM)
	}
	return l.what
}

// CheckPools refuses water that has no way out, or only by standing; roofs whose water
// all runs get no line.
func CheckPools(d *roof.Deck, pools []Pool) check.Result {
	r := check.Result{Key: "drainage.standing", Title: "Does all the water find a way out?", Where: "deck " + d.Name, Verdict: check.Caution,
		Clause: working.Source{Title: "water runs off a roof and does not stand on it; a pool of 5 mm is the most that laps explain",
			Standing: working.CommonPractice}}
	var words []string
	for k, p := range pools {
		at := fmt.Sprintf("(%.2f, %.2f)", p.At.X, p.At.Y)
		r.Working = append(r.Working, working.Measured("A", "area that runs into the pool at "+at, p.FedM2, "m²",
			"planes of the deck that lead there"))
		switch {
		case p.To == "":
			r.Verdict, r.Utilisation = check.Fail, 2
			words = append(words, fmt.Sprintf("the rain of %.1f m² runs to %s and has no way out", p.FedM2, at))
		default:
			f := working.Measured("d", "depth at "+at+" before it leaves by "+p.To, p.DepthMM, "mm",
				"level of the drain or saddle less the deck's level, way of rising water by "+
					"priority flood").Keyed(fmt.Sprintf("check.drainage.pool.%s.%d", d.Name, k+1))
			r.Working = append(r.Working, f)
			words = append(words, fmt.Sprintf("the rain of %.1f m² stands at %s, %.0f mm deep, before it leaves by %s", p.FedM2, at, p.DepthMM,
				p.To))
			r.Utilisation = math.Max(r.Utilisation, p.DepthMM/shallowMM)
			if p.DepthMM > shallowMM {
				r.Verdict = check.Fail
			}
		}
		r.Remedies = append(r.Remedies, check.Remedy{Text: wayOut(d, p)})
	}
	r.Finding = strings.Join(words, "; ")
	return r
}

// wayOut says what would let a pool go.
func wayOut(d *roof.Deck, p Pool) string {
	at := fmt.Sprintf("(%.2f, %.2f)", p.At.X, p.At.Y)
	for _, o := range OutletsOf(d) {
		if o.At.Distance(p.At) < 1 {
			return fmt.Sprintf("move outlet %s to %s, where the water runs, or make the falls run to it", o.Name, at)
		}
	}
	e, _, far := d.Outline.Nearest(p.At)
	for _, o := range OutletsOf(d) {
		if e >= 0 && far < 0.2 && o.Name == p.To && d.Outline.Edge(e).Nearest(o.At).Distance(o.At) < 1 {
			return fmt.Sprintf("move outlet %s to edge %d, within 150 mm of where the water runs, or make the falls run to it", o.Name, e+1)
		}
	}
	if e >= 0 && far < 0.2 {
		switch d.Edges[e].Condition {
		case roof.Kerb, roof.Verge:
			return fmt.Sprintf("make edge %d (%s) a drip edge with a gutter, or put an outlet at %s", e+1, d.Edges[e].Condition, at)
		case roof.Wall, roof.Parapet, roof.Tuck, roof.StepUp:
			return fmt.Sprintf("turn the fall away from edge %d (%s), or put an outlet at %s", e+1, d.Edges[e].Condition, at)
		}
	}
	return "put an outlet at " + at + ", or turn the fall"
}
