package plane

import "math"

const (
	// flowEpsM is how far over a line one looks to see what lies there, m.
	flowEpsM = 1e-6
	// cornerEpsM is how far beyond a corner water is followed on, m: clear of the sides that meet in it.
	cornerEpsM = 1e-5
	// flatSlope is a slope that no water follows.
	flatSlope = 1e-7
	// outletReachM is how near water must pass an outlet to go down it, m: half
	// the sump around a common outlet.
	outletReachM = 0.15
	// mostSteps ends a trace that only rounding could keep going.
	mostSteps = 20000
)

// Drain is where water ends. Edge and Outlet are −1 where they do not apply; when
// both are −1 the water stands at At.
type Drain struct {
	// Edge of the outline over which it leaves, or the Outlet that takes it.
	Edge, Outlet int
	// At is the place of standing water.
	At Point
}

// Stands reports whether the water reaches no edge and no outlet.
func (d Drain) Stands() bool { return d.Edge < 0 && d.Outlet < 0 }

// flowSide is a side of a facet, its facet on the left.
type flowSide struct {
	a, b  Point
	facet int
	// out is the unit direction out of the facet.
	out Point
	// edge is the edge of the outline it lies on, −1 inside the deck or at an opening.
	edge int
}

// flow traces water over a surface.
type flow struct {
	s       Surface
	sides   [][]flowSide // by facet
	takes   func(edge int) bool
	outlets []Point
}

func newFlow(s Surface, outer Ring, takes func(edge int) bool, outlets []Point) *flow {
	f := &flow{s: s, takes: takes, outlets: outlets}
	for k, facet := range s.Facets {
		var sides []flowSide
		for _, p := range facet.Area {
			p.sides(func(a, b Point) {
				if a.Distance(b) < 1e-9 {
					return
				}
				side := flowSide{a: a, b: b, facet: k, out: b.Sub(a).Unit().Left().Scale(-1), edge: -1}
				mid := a.Add(b).Scale(0.5)
				if f.facetBeyond(side, mid) < 0 {
					// Half a chord's sagitta and rounding: 2 mm still names the edge.
					if i, _, d := outer.Nearest(mid); d < 2*ChordToleranceM {
						side.edge = i
					}
				}
				sides = append(sides, side)
			})
		}
		f.sides = append(f.sides, sides)
	}
	return f
}

// down is the unit direction of flow on facet k; zero on a level one.
func (f *flow) down(k int) Point { return f.s.Facets[k].Gradient.Unit().Scale(-1) }

// facetBeyond returns the facet on the other side at q, −1 for none.
func (f *flow) facetBeyond(side flowSide, q Point) int {
	q = q.Add(side.out.Scale(flowEpsM))
	for k, facet := range f.s.Facets {
		if k != side.facet && ContainsAny(facet.Area, q) {
			return k
		}
	}
	return -1
}

// trace follows water from p on facet k.
func (f *flow) trace(p Point, k int) Drain {
	for range mostSteps {
		d := f.down(k)
		if d == (Point{}) {
			return f.standing(p)
		}
		side, q, ok := f.firstExit(p, d, k)
		if !ok {
			return f.standing(p)
		}
		if m := f.facetBeyond(side, q); m >= 0 {
			if f.down(m).Dot(side.out) > 1e-9 {
				p, k = q, m
				continue
			}
		} else if side.edge >= 0 && f.takes(side.edge) {
			return Drain{Edge: side.edge, Outlet: -1}
		}
		w, drain, done := f.slide(q, side)
		if done {
			return drain
		}
		if p, k, drain, done = f.fromCorner(w); done {
			return drain
		}
	}
	return f.standing(p)
}

// firstExit returns the first side of facet k that the ray from p along d leaves by.
func (f *flow) firstExit(p, d Point, k int) (side flowSide, q Point, ok bool) {
	best := math.Inf(1)
	for _, s := range f.sides[k] {
		if d.Dot(s.out) < 1e-9 {
			continue
		}
		e := s.b.Sub(s.a)
		cross := d.Cross(e)
		if cross == 0 {
			continue
		}
		t := s.a.Sub(p).Cross(e) / cross
		u := s.a.Sub(p).Cross(d) / cross
		slack := 1e-9 / e.Length()
		if t > -1e-9 && t < best && u >= -slack && u <= 1+slack {
			best, side, q, ok = t, s, p.Add(d.Scale(t)), true
		}
	}
	return side, q, ok
}

// slide takes water at q along a side it cannot cross (a kerb, an opening, a
// valley) down to its lower end. On a level side it goes to the nearest outlet,
// or else to the nearer end.
func (f *flow) slide(q Point, side flowSide) (w Point, drain Drain, done bool) {
	u := side.b.Sub(side.a).Unit()
	slope := f.s.Facets[side.facet].Gradient.Dot(u)
	if math.Abs(slope) < flatSlope {
		if i := nearestOutlet(f.outletsOn(side), f.outlets, q); i >= 0 {
			return q, Drain{Edge: -1, Outlet: i}, true
		}
		if q.Distance(side.a) <= q.Distance(side.b) {
			return side.a, Drain{}, false
		}
		return side.b, Drain{}, false
	}
	w = side.b
	if slope > 0 {
		w = side.a
	}
	first, far := -1, math.Inf(1)
	for _, i := range f.outletsOn(side) {
		at := nearestOn(side.a, side.b, f.outlets[i])
		ahead := at.Sub(q).Dot(w.Sub(q).Unit())
		if ahead >= 0 && ahead < far {
			first, far = i, ahead
		}
	}
	if first >= 0 {
		return q, Drain{Edge: -1, Outlet: first}, true
	}
	return w, Drain{}, false
}

// outletsOn returns the outlets within reach of a side.
func (f *flow) outletsOn(side flowSide) []int {
	var out []int
	for i, o := range f.outlets {
		if nearestOn(side.a, side.b, o).Distance(o) <= outletReachM {
			out = append(out, i)
		}
	}
	return out
}

func nearestOutlet(of []int, outlets []Point, q Point) int {
	best, far := -1, math.Inf(1)
	for _, i := range of {
		if d := outlets[i].Distance(q); d < far {
			best, far = i, d
		}
	}
	return best
}

// fromCorner decides where water goes from a corner w of the facets: over an edge
// that takes it, else down the steepest way, whether across a facet (then p and
// k say from where) or along a side.
func (f *flow) fromCorner(w Point) (p Point, k int, drain Drain, done bool) {
	for range mostSteps {
		for i, o := range f.outlets {
			if o.Distance(w) <= outletReachM {
				return w, 0, Drain{Edge: -1, Outlet: i}, true
			}
		}
		v := f.waysFrom(w)
		switch {
		case v.over >= 0 && (v.outward > 1e-6 || v.facet < 0):
			return w, 0, Drain{Edge: v.over, Outlet: -1}, true
		case v.facet < 0:
			return w, 0, f.standing(w), true
		case v.along.facet < 0:
			// Start beyond the corner, or the sides that meet in it stop the water again.
			return w.Add(f.down(v.facet).Scale(cornerEpsM)), v.facet, Drain{}, false
		}
		next, drain, done := f.slide(w, v.along)
		if done || next.Distance(w) < 1e-12 {
			return w, 0, drain, done
		}
		w = next
	}
	return w, 0, f.standing(w), true
}

// ways are those that water has from a corner: the edge that it runs over most
// steeply, −1 for none, and the steepest facet or side down from it. facet is −1 for
// none; along.facet is −1 where the way leads over the facet itself.
type ways struct {
	over     int
	outward  float64
	facet    int
	steepest float64
	along    flowSide
}

func (f *flow) waysFrom(w Point) ways {
	// An edge along the fall takes what comes to its corner, if nothing leads on down.
	v := ways{over: -1, outward: -2e-9, facet: -1, steepest: flatSlope}
	for k, sides := range f.sides {
		touches := false
		for _, s := range sides {
			if nearestOn(s.a, s.b, w).Distance(w) > flowEpsM {
				continue
			}
			touches = true
			d := f.down(k).Dot(s.out)
			if s.edge >= 0 && f.takes(s.edge) && d > v.outward+1e-9 {
				v.over, v.outward = s.edge, d
			}
		}
		if !touches {
			continue
		}
		g := f.s.Facets[k].Gradient
		if g.Length() > v.steepest && ContainsAny(f.s.Facets[k].Area, w.Add(f.down(k).Scale(cornerEpsM))) {
			v.steepest, v.facet, v.along = g.Length(), k, flowSide{facet: -1}
		}
	}
	for k, sides := range f.sides {
		for _, s := range sides {
			v.downSide(w, k, s, f.s.Facets[k].Gradient)
		}
	}
	return v
}

// downSide takes the side of facet k where it leads down from w more steeply.
func (v *ways) downSide(w Point, k int, s flowSide, gradient Point) {
	for _, end := range [][2]Point{{s.a, s.b}, {s.b, s.a}} {
		if end[0].Distance(w) > flowEpsM {
			continue
		}
		drop := -gradient.Dot(end[1].Sub(end[0]).Unit())
		if drop > v.steepest*(1+1e-9) {
			v.steepest, v.facet, v.along = drop, k, s
		}
	}
}

// standing is the end of water that finds no way on.
func (f *flow) standing(p Point) Drain {
	for i, o := range f.outlets {
		if o.Distance(p) <= outletReachM {
			return Drain{Edge: -1, Outlet: i}
		}
	}
	return Drain{Edge: -1, Outlet: -1, At: p.Snap()}
}
