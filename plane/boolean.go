package plane

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// emptyM2 is the area below which a piece is rounding and not material: a
// square of 0.01 mm.
const emptyM2 = 1e-10

// grids are the roundings, m, at which an overlay is tried in turn, 0 being none.
// Corners that miss each other by a rounding error can lead an overlay in floating
// point quite astray; on a grid of a nanometre they fall together. Every result
// is checked, and the first that holds is taken.
var grids = [...]float64{0, 1e-9, 1e-8, 1e-7, 1e-6}

// ErrOverlay is returned when no rounding gives a result that adds up.
var ErrOverlay = errors.New("the areas cannot be laid over each other: corners lie too close together; round them to 0.1 mm")

// Union returns the area covered by any of the polygons.
func Union(ps []Polygon) ([]Polygon, error) {
	all, err := unionOnce(ps)
	if err == nil || len(ps) < 3 {
		return all, err
	}
	// All at once failed: one after the other there is less to go wrong at a time.
	all = nil
	for _, p := range ps {
		if all, err = unionOnce(append(all, p)); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func unionOnce(ps []Polygon) ([]Polygon, error) {
	from := originOf(ps)
	var err error
	for _, grid := range grids {
		var g geom.Geometry
		if g, err = unionGeometry(ps, from, grid); err != nil {
			continue
		}
		if out := tidyPolygons(polygonsOf(g, from)); len(ps) <= 1 || unionHolds(ps, out) {
			return out, nil
		}
	}
	if err == nil {
		err = ErrOverlay
	}
	return nil, err
}

// Intersection returns the area covered both by one of a and by one of b.
func Intersection(a, b []Polygon) ([]Polygon, error) {
	in, _, err := overlay(a, b)
	return in, err
}

// Difference returns the area of a that none of b covers.
func Difference(a, b []Polygon) ([]Polygon, error) {
	_, out, err := overlay(a, b)
	return out, err
}

// overlay returns what of a lies inside b and what outside. The two must add up
// to a, and each lie where it should.
func overlay(a, b []Polygon) (in, out []Polygon, err error) {
	if a, err = Union(a); err != nil {
		return nil, nil, err
	}
	if b, err = Union(b); err != nil {
		return nil, nil, err
	}
	if len(a) == 0 || len(b) == 0 {
		return nil, a, nil
	}
	from, whole := originOf(a), TotalArea(a)
	for _, grid := range grids {
		ga, e1 := unionGeometry(a, from, grid)
		gb, e2 := unionGeometry(b, from, grid)
		if err = errors.Join(e1, e2); err != nil {
			continue
		}
		i, e1 := geom.Intersection(ga, gb)
		d, e2 := geom.Difference(ga, gb)
		if err = errors.Join(e1, e2); err != nil {
			continue
		}
		in, out = tidyPolygons(polygonsOf(i, from)), tidyPolygons(polygonsOf(d, from))
		if math.Abs(TotalArea(in)+TotalArea(out)-whole) > overlayTolerance(a) {
			continue
		}
		if liesWithin(in, a, b) && liesWithin(out, a, nil) && clearOf(out, b) && coversRest(a, b, out) {
			return in, out, nil
		}
	}
	if err == nil {
		err = ErrOverlay
	}
	return nil, nil, err
}

// Without returns the area of a loop less those of others, which may overlap each
// other and reach beyond it. They are taken out one after the other, where they
// lie: for a few openings in a deck that is quicker than Difference, which is asked
// when the areas do not add up.
func (l Loop) Without(taken []Loop) (Region, error) {
	whole := Polygon{Outer: l}
	net := whole.geometry(Point{})
	if err := net.Validate(); err != nil {
		return nil, fmt.Errorf("the outline crosses or touches itself: %w", err)
	}
	most, holes := math.Abs(l.SignedArea()), make([]Polygon, 0, len(taken))
	least := most
	var failed error
	for i, t := range taken {
		hole := Polygon{Outer: t}
		g := hole.geometry(Point{})
		if err := g.Validate(); err != nil {
			return nil, fmt.Errorf("opening or joint %d crosses or touches itself: %w", i+1, err)
		}
		if failed == nil {
			net, failed = geom.Difference(net, g)
		}
		holes, least = append(holes, hole), least-hole.Area()
	}
	if failed == nil {
		out, slack := RegionOf(polygonsOf(net, Point{})), overlayTolerance(append(holes, whole))
		if a := out.Area(); a >= least-slack && a <= most+slack {
			return out.Tidy(), nil
		}
	}
	out, err := Difference([]Polygon{whole}, holes)
	return RegionOf(out).Tidy(), err
}

// overlayTolerance is what rounding to the coarsest grid can change in area, m².
func overlayTolerance(ps []Polygon) float64 {
	var round float64
	for _, p := range ps {
		round += p.Perimeter()
	}
	return 1e-9 + 2e-6*round
}

// unionHolds reports whether u is the union of ps, as far as areas and probes
// tell: no corner or middle of a side of a union lies within any of its parts,
// and all of every part lies within the union.
func unionHolds(ps, u []Polygon) bool {
	var most float64
	for _, p := range ps {
		most = max(most, p.Area())
	}
	area, slack := TotalArea(u), overlayTolerance(ps)
	return area >= most-slack && area <= TotalArea(ps)+slack && liesWithin(ps, u, nil) && liesWithin(u, ps, nil) && clearOf(u, ps)
}

// probeM is how far, m, a probe must lie on the wrong side before it counts.
const probeM = 1e-5

// probes calls f with the corners and the middles of the sides of all polygons,
// until f returns false.
func probes(ps []Polygon, f func(q Point) bool) bool {
	for _, p := range ps {
		for _, l := range p.Region() {
			for i, q := range l {
				if !f(q) || !f(q.Add(l[(i+1)%len(l)]).Scale(0.5)) {
					return false
				}
			}
		}
	}
	return true
}

// strictlyIn reports whether q lies in one of the polygons, away from its sides.
func strictlyIn(ps []Polygon, q Point) bool {
	for _, p := range ps {
		if p.Contains(q) && !p.sideWithin(q, probeM) {
			return true
		}
	}
	return false
}

// strictlyOut reports whether q lies in none of the polygons and away from all.
func strictlyOut(ps []Polygon, q Point) bool {
	return !ContainsAny(ps, q) && !slices.ContainsFunc(ps, func(p Polygon) bool { return p.sideWithin(q, probeM) })
}

// liesWithin reports whether ps lies within a and, if given, within b.
func liesWithin(ps, a, b []Polygon) bool {
	inside := func(q Point) bool {
		return !strictlyOut(a, q) && (b == nil || !strictlyOut(b, q))
	}
	for _, p := range ps {
		if at := p.Inner(); p.Area() > 1e-6 && !p.sideWithin(at, probeM) && !inside(at) {
			return false
		}
	}
	return probes(ps, inside)
}

// clearOf reports whether no probe of ps lies within one of qs.
func clearOf(ps, qs []Polygon) bool {
	return probes(ps, func(q Point) bool { return !strictlyIn(qs, q) })
}

// coversRest reports whether the probes of a that b leaves lie in rest.
func coversRest(a, b, rest []Polygon) bool {
	return probes(a, func(q Point) bool { return !strictlyOut(b, q) || !strictlyOut(rest, q) })
}

func nearestSide(ps []Polygon, q Point) float64 {
	best := math.Inf(1)
	for _, p := range ps {
		best = min(best, p.Distance(q))
	}
	return best
}

// originOf returns the whole-metre corner that overlays are worked about.
func originOf(ps []Polygon) Point {
	low, _ := BoundsOf(ps)
	if math.IsInf(low.X, 0) || math.IsNaN(low.X) || math.IsInf(low.Y, 0) || math.IsNaN(low.Y) {
		return Point{}
	}
	return Point{math.Floor(low.X), math.Floor(low.Y)}
}

// unionGeometry joins the polygons, moved by −from and rounded to the grid.
func unionGeometry(ps []Polygon, from Point, grid float64) (geom.Geometry, error) {
	var gs []geom.Geometry
	for _, p := range ps {
		if len(p.Outer) < 3 {
			continue
		}
		p = p.mapped(func(q Point) Point { return q.Sub(from) })
		if grid > 0 {
			p = rounded(p, grid)
			if len(p.Outer) < 3 {
				continue
			}
		}
		g := p.geometry(Point{})
		if err := g.Validate(); err != nil {
			return geom.Geometry{}, fmt.Errorf("an area is not a proper polygon: %w", err)
		}
		gs = append(gs, g)
	}
	switch len(gs) {
	case 0:
		return geom.Geometry{}, nil
	case 1:
		return gs[0], nil
	}
	g, err := geom.UnionMany(gs)
	if err != nil {
		return geom.Geometry{}, fmt.Errorf("union of areas: %w", err)
	}
	return g, nil
}

// rounded returns the polygon on a grid, without repeated points and without
// loops that have no area left.
func rounded(p Polygon, grid float64) Polygon {
	var out Polygon
	for i, l := range p.Region() {
		var kept Loop
		for _, q := range l {
			q = Point{math.Round(q.X/grid) * grid, math.Round(q.Y/grid) * grid}
			if len(kept) == 0 || kept[len(kept)-1] != q {
				kept = append(kept, q)
			}
		}
		for len(kept) > 1 && kept[0] == kept[len(kept)-1] {
			kept = kept[:len(kept)-1]
		}
		switch {
		case math.Abs(kept.SignedArea()) <= emptyM2 && i == 0:
			return Polygon{}
		case math.Abs(kept.SignedArea()) <= emptyM2:
		case i == 0:
			out.Outer = kept
		default:
			out.Holes = append(out.Holes, kept)
		}
	}
	return out
}

// tidyPolygons drops what is only rounding and puts the rest in a fixed order:
// by the low left corner, each loop starting at its lowest leftmost point.
func tidyPolygons(ps []Polygon) []Polygon {
	out := ps[:0]
	for _, p := range ps {
		if p.Area() <= emptyM2 {
			continue
		}
		p.Outer.startLow()
		holes := p.Holes[:0]
		for _, h := range p.Holes {
			if math.Abs(h.SignedArea()) > emptyM2 {
				h.startLow()
				holes = append(holes, h)
			}
		}
		p.Holes = holes
		slices.SortStableFunc(p.Holes, func(a, b Loop) int { return byPlace(a[0], b[0]) })
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b Polygon) int { return byPlace(a.Outer[0], b.Outer[0]) })
	return out
}

// byPlace orders points from left to right, and those in one column from below.
func byPlace(a, b Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }
