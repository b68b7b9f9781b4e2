package runoff

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/steps"
)

// leaving is the part of a deck that drains at one place.
type leaving struct {
	what   string
	edge   int // -1 for an outlet
	at     plane.Point
	stands bool
	// lost water finds no drain; depthMM is how deep it stands before it leaves.
	lost    bool
	depthMM float64
	// standing is the part of area that leaves only once a pool deeper than a trifle is full.
	standing float64
	area     float64
	part     plane.Catchment
}

// Water is what leaves the roof at one place, with the deck areas it comes from.
type Water struct {
	Name   string  `json:"name"`
	AreaM2 float64 `json:"area_m2"`
	// StandsM2 of it leaves only once a pool deeper than 5 mm is full, or never.
	StandsM2 float64 `json:"stands_m2,omitempty"`
	// OutletMM is the outlet's diameter; Edge the edge it leaves over, −1 for none; Lost water
	// is taken by nothing.
	OutletMM float64 `json:"-"`
	Edge     int     `json:"-"`
	Lost     bool    `json:"-"`
}

// Drain is the ground that drains to one edge or outlet.
type Drain struct {
	To     string          `json:"to"`
	AreaM2 float64         `json:"area_m2"`
	Area   []plane.Polygon `json:"area"`
}

// WatersInput is all decks of a roof with their surfaces: water goes from one to the next.
type WatersInput struct {
	Decks    []roof.Deck
	Geometry []steps.Made[Geometry]
}

// Waters is where the water of each deck goes.
type Waters struct{ Decks []DeckWaters }

// DeckWaters is where the water of one deck goes.
type DeckWaters struct {
	Waters []Water
	Drains []Drain
	Pools  []Pool
	// SaddlesMM is for each outlet the level over which water leaves when it is blocked, mm;
	// infinite where nothing else takes it.
	SaddlesMM []float64
}

// MakeWaters leads the water of every deck to where it leaves.
func MakeWaters(_ context.Context, in WatersInput) (Waters, error) {
	r := router{decks: in.Decks, geometry: in.Geometry, pools: make([][]Pool, len(in.Decks))}
	for i := range in.Decks {
		r.routes = append(r.routes, r.route(i))
	}
	var out Waters
	for i := range in.Decks {
		d := DeckWaters{Waters: r.waters(i), Drains: r.drains(i), Pools: r.pools[i]}
		for k, o := range OutletsOf(&in.Decks[i]) {
			saddle := math.Inf(1)
			if s, ok := r.spillFrom(i, o.At, k); ok {
				saddle = 1000 * s.levelM
			}
			d.SaddlesMM = append(d.SaddlesMM, saddle)
		}
		out.Decks = append(out.Decks, d)
	}
	return out, nil
}

// router follows water over the decks of a roof.
type router struct {
	decks    []roof.Deck
	geometry []steps.Made[Geometry]
	// routes are the parts of each deck by where its water ends.
	routes [][]leaving
	pools  [][]Pool
}

// drains lists the parts of a deck for its drawing, by the same way as the flows.
func (r *router) drains(i int) []Drain {
	var out []Drain
	for _, l := range r.routes[i] {
		if len(l.part.Area) > 0 {
			out = append(out, Drain{To: l.label(), AreaM2: l.area, Area: l.part.Area})
		}
	}
	return out
}

// catch parts one deck by where its water goes. A deck that has no fall, or
// nothing to take its water, drains as a whole to a place that is not known.
func (r *router) catch(i int) []leaving {
	d, g := &r.decks[i], &r.geometry[i].Value
	var outlets []plane.Point
	var names []string
	for _, p := range d.Penetrations {
		if p.Kind == "outlet" {
			outlets = append(outlets, p.At)
			names = append(names, p.Name)
		}
	}
	cs, err := plane.Catchments(g.Surface, d.Outline, func(e int) bool { return Takes(d, e) }, outlets)
	if err != nil {
		return []leaving{{what: "not known: " + err.Error(), edge: -1, area: g.NetM2, lost: true}}
	}
	var list []leaving
	for _, c := range cs {
		l := leaving{edge: -1, area: c.RainM2(), part: c, what: "not drained"}
		switch {
		case c.Stands():
			l.stands = true
		case c.Outlet >= 0 && c.Outlet < len(names):
			l.what, l.at = names[c.Outlet], outlets[c.Outlet]
		case c.Edge >= 0:
			l.edge = c.Edge
			l.what = edgeName(d, c.Edge)
		}
		list = append(list, l)
	}
	return list
}

// below returns the deck that takes what leaves over an edge: the one named, or the
// highest lower deck whose outline the middle of the edge lies on or in.
func (r *router) below(i, edge int) int {
	d := &r.decks[i]
	if to := d.Edges[edge].To; to != "" {
		for k := range r.decks {
			if r.decks[k].Name == to {
				return k
			}
		}
	}
	e := d.Outline.Edge(edge)
	out := e.Tangent(0.5).Left().Scale(-0.02)
	at := e.At(0.5).Add(out)
	best := -1
	for k := range r.decks {
		o := &r.decks[k]
		if k == i || !plane.ContainsAny(r.geometry[k].Value.Net, at) {
			continue
		}
		lower := o.LevelM < d.LevelM || d.Edges[edge].Condition == roof.BoxGutter
		if lower && (best < 0 || o.LevelM > r.decks[best].LevelM) {
			best = k
		}
	}
	return best
}

// leavingFrom sums the routed parts of a deck by drain: standing water counts to the
// drain it spills to, for that is what the drain must carry once the pool is full.
// What nothing takes stays by itself.
func (r *router) leavingFrom(i int) []leaving {
	var list []leaving
	for _, l := range r.routes[i] {
		if l.stands && !l.lost && l.depthMM > shallowMM {
			l.standing = l.area
		}
		k := slices.IndexFunc(list, func(x leaving) bool { return x.edge == l.edge && x.what == l.what && x.lost == l.lost })
		if k < 0 {
			list = append(list, l)
			continue
		}
		list[k].area += l.area
		list[k].standing += l.standing
		list[k].part.Area = append(append([]plane.Polygon(nil), list[k].part.Area...), l.part.Area...)
	}
	return slices.DeleteFunc(list, func(l leaving) bool { return l.area == 0 })
}

// fromAbove sums what decks above shed on to deck i and leaves it at drain n of
// leavingFrom(i): water that comes over a step is taken to leave where the drop lands.
// passed holds the decks the water has come through, so that decks which name each
// other do not send it round.
func (r *router) fromAbove(i, n int, passed []int) float64 {
	sum := 0.0
	passed = append(append([]int(nil), passed...), i)
	for k := range r.decks {
		if slices.Contains(passed, k) {
			continue
		}
		for j, w := range r.leavingFrom(k) {
			if w.edge < 0 {
				continue
			}
			c := r.decks[k].Edges[w.edge].Condition
			if (c != roof.StepDown && c != roof.BoxGutter) || r.below(k, w.edge) != i {
				continue
			}
			sum += (w.area + r.fromAbove(k, j, passed)) * r.share(i, k, w.edge, n)
		}
	}
	return sum
}

// share is the part of what drops along an upper edge that leaves deck i at its drain
// n, by tracing a hundred drops along it.
func (r *router) share(i, upper, upperEdge, n int) float64 {
	e := r.decks[upper].Outline.Edge(upperEdge)
	out := e.Tangent(0.5).Left().Scale(-0.02)
	const drops = 100
	hit, all := 0, 0
	drains := r.leavingFrom(i)
	for drop := 0; drop < drops; drop++ {
		at := e.At((float64(drop) + 0.5) / drops).Add(out)
		for k, w := range drains {
			if plane.ContainsAny(w.part.Area, at) {
				all++
				if k == n {
					hit++
				}
				break
			}
		}
	}
	if all == 0 {
		// Nothing lands on the deck as drawn: all of it is counted once.
		if n == 0 {
			return 1
		}
		return 0
	}
	return float64(hit) / float64(all)
}

// waters sums the catchments of a deck by the edge or outlet they leave at, with
// what comes down from decks above.
func (r *router) waters(i int) []Water {
	d := &r.decks[i]
	out := []Water{}
	for n, w := range r.leavingFrom(i) {
		if e := w.edge; e >= 0 && (d.Edges[e].Condition == roof.StepDown || d.Edges[e].Condition == roof.BoxGutter) && r.below(i, e) >= 0 {
			continue // it goes on to the deck below
		}
		x := Water{Name: fmt.Sprintf("%s, %s", d.Name, w.what), AreaM2: w.area + r.fromAbove(i, n, nil), StandsM2: w.standing, Edge: w.edge,
			Lost: w.lost}
		if w.lost {
			x.StandsM2 = w.area
		}
		for _, o := range OutletsOf(d) {
			if w.edge < 0 && o.Name == w.what {
				x.OutletMM = o.DiameterMM
			}
		}
		out = append(out, x)
	}
	return out
}
