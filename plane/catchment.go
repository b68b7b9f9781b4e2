package plane

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Catchment is the part of a deck whose water goes to one drain.
type Catchment struct {
	Drain
	// Area on plan, openings left out.
	Area []Polygon
	// DeckM2 is the deck drained; OpeningM2 the lids of openings that shed on to
	// it. Rain falls on both.
	DeckM2, OpeningM2 float64
}

// RainM2 is the plan area whose rain reaches the drain, m².
func (c Catchment) RainM2() float64 { return c.DeckM2 + c.OpeningM2 }

// Catchments parts a deck by where its water goes, following the steepest way
// down. outer is the outline whose edges are numbered; takes says whether water
// may leave over an edge; outlets are points that swallow what passes within
// 150 mm. Water that meets a closed edge or an opening runs along it downhill;
// along a level one it parts in the middle. The lid of an opening sheds at the
// opening's lowest corner.
//
// The facets are planes, so their streamlines are straight and every catchment
// is an exact polygon: each facet is cut along the streamlines through all
// corners, its own and those of the facets downhill, and every piece drains as
// its middle does.
func Catchments(s Surface, outer Ring, takes func(edge int) bool, outlets []Point) ([]Catchment, error) {
	if s.falls.Kind == Level {
		return nil, fmt.Errorf("a level deck drains nowhere: give it a fall")
	}
	f := newFlow(s, outer, takes, outlets)
	pieces := map[Drain][]Polygon{}
	deck, lid := map[Drain]float64{}, map[Drain]float64{}
	cuts := f.cuts()
	for k := range s.Facets {
		for _, p := range f.stripsOf(k, cuts[k]) {
			d := f.trace(p.Centroid(), k)
			pieces[d] = append(pieces[d], p)
			deck[d] += p.Area()
		}
	}
	for _, p := range s.Deck {
		for _, h := range p.Holes {
			low := h[0]
			for _, q := range h {
				if s.HeightM(q) < s.HeightM(low)-1e-12 {
					low = q
				}
			}
			from, k, d, done := f.fromCorner(low)
			if !done {
				d = f.trace(from, k)
			}
			lid[d] += math.Abs(h.SignedArea())
		}
	}
	var out []Catchment
	for d := range merged(deck, lid) {
		area, err := Union(pieces[d])
		if err != nil {
			return nil, fmt.Errorf("catchment: %w", err)
		}
		out = append(out, Catchment{Drain: d, Area: area, DeckM2: deck[d], OpeningM2: lid[d]})
	}
	slices.SortFunc(out, func(a, b Catchment) int { return drainOrder(a.Drain, b.Drain) })
	return out, nil
}

func merged(a, b map[Drain]float64) map[Drain]bool {
	out := map[Drain]bool{}
	for d := range a {
		out[d] = true
	}
	for d := range b {
		out[d] = true
	}
	return out
}

// drainOrder puts edges first, then outlets, then standing water.
func drainOrder(a, b Drain) int {
	key := func(d Drain) (kind, number int) {
		switch {
		case d.Edge >= 0:
			return 0, d.Edge
		case d.Outlet >= 0:
			return 1, d.Outlet
		}
		return 2, 0
	}
	kindA, numberA := key(a)
	kindB, numberB := key(b)
	return cmp.Or(cmp.Compare(kindA, kindB), cmp.Compare(numberA, numberB), byPlace(a.At, b.At))
}

// cuts returns for each facet the coordinates, across its flow, of the streamlines
// that part it: through every corner, through the places where water parts on a
// side, and, carried uphill from facet to facet, through those of the facets below.
func (f *flow) cuts() [][]float64 {
	cuts := make([][]float64, len(f.sides))
	for k, sides := range f.sides {
		for _, s := range sides {
			for _, p := range f.partings(s) {
				f.cut(cuts, k, p)
				if m := f.facetBeyond(s, p); m >= 0 {
					f.cut(cuts, m, p)
				}
			}
		}
	}
	// A streamline can climb through each facet at most once.
	for range f.sides {
		grown := false
		for m, sides := range f.sides {
			for _, s := range sides {
				if f.down(m).Dot(s.out) <= -1e-9 {
					grown = f.climb(cuts, m, s) || grown
				}
			}
		}
		if !grown {
			break
		}
	}
	return cuts
}

// cut notes that the streamline through p parts facet k, unless one as good as there does.
func (f *flow) cut(cuts [][]float64, k int, p Point) bool {
	c := f.down(k).Left().Dot(p)
	i := sort.SearchFloat64s(cuts[k], c)
	if i < len(cuts[k]) && cuts[k][i]-c < 1e-8 || i > 0 && c-cuts[k][i-1] < 1e-8 {
		return false
	}
	cuts[k] = append(cuts[k], 0)
	copy(cuts[k][i+1:], cuts[k][i:])
	cuts[k][i] = c
	return true
}

// climb carries the cuts of facet m over its upper side s into the facet above, and
// reports whether any is new there.
func (f *flow) climb(cuts [][]float64, m int, s flowSide) bool {
	n, grown := f.down(m).Left(), false
	ca, cb := n.Dot(s.a), n.Dot(s.b)
	for _, c := range append([]float64(nil), cuts[m]...) {
		if c < min(ca, cb) || c > max(ca, cb) || ca == cb {
			continue
		}
		q := s.a.Add(s.b.Sub(s.a).Scale((c - ca) / (cb - ca)))
		if k := f.facetBeyond(s, q); k >= 0 && f.down(k).Dot(s.out) < -1e-9 {
			grown = f.cut(cuts, k, q) || grown
		}
	}
	return grown
}

// partings returns the points of a side at which water on it can part: its ends,
// the feet of outlets, and on a level side the middles between these.
func (f *flow) partings(s flowSide) []Point {
	out := []Point{s.a, s.b}
	u := s.b.Sub(s.a)
	on := f.outletsOn(s)
	level := math.Abs(f.s.Facets[s.facet].Gradient.Dot(u.Unit())) < flatSlope
	if level && len(on) == 0 {
		return append(out, s.a.Add(s.b).Scale(0.5))
	}
	var feet []Point
	for _, i := range on {
		feet = append(feet, nearestOn(s.a, s.b, f.outlets[i]))
	}
	out = append(out, feet...)
	if level {
		for i := range on {
			for j := range i {
				// Where the two outlets are equally far, not their feet.
				if q, ok := equallyFar(s.a, s.b, f.outlets[on[i]], f.outlets[on[j]]); ok {
					out = append(out, q)
				}
			}
		}
	}
	return out
}

// equallyFar returns the point of a–b that is as far from p as from q.
func equallyFar(a, b, p, q Point) (Point, bool) {
	n, mid := q.Sub(p), p.Add(q).Scale(0.5)
	ha, hb := n.Dot(a.Sub(mid)), n.Dot(b.Sub(mid))
	if (ha > 0) == (hb > 0) {
		return Point{}, false
	}
	return a.Add(b.Sub(a).Scale(ha / (ha - hb))), true
}

// stripsOf parts facet k at the given coordinates across its flow. No corner lies
// between two neighbouring cuts, so each part is a quadrilateral between the
// sides that the middle streamline meets.
func (f *flow) stripsOf(k int, cuts []float64) []Polygon {
	d := f.down(k)
	n := d.Left()
	var out []Polygon
	for i := 0; i+1 < len(cuts); i++ {
		lo, hi := cuts[i], cuts[i+1]
		mid := (lo + hi) / 2
		type crossing struct {
			t float64
			s flowSide
		}
		var meets []crossing
		for _, s := range f.sides[k] {
			ca, cb := n.Dot(s.a), n.Dot(s.b)
			if (ca >= mid) == (cb >= mid) {
				continue
			}
			q := s.a.Add(s.b.Sub(s.a).Scale((mid - ca) / (cb - ca)))
			meets = append(meets, crossing{d.Dot(q), s})
		}
		slices.SortStableFunc(meets, func(a, b crossing) int { return cmp.Compare(a.t, b.t) })
		at := func(s flowSide, c float64) Point {
			ca, cb := n.Dot(s.a), n.Dot(s.b)
			return s.a.Add(s.b.Sub(s.a).Scale((c - ca) / (cb - ca)))
		}
		for j := 0; j+1 < len(meets); j += 2 {
			up, low := meets[j].s, meets[j+1].s
			loop := []Point{at(up, lo), at(low, lo), at(low, hi), at(up, hi)}
			out = append(out, properLoop(withoutRepeats(loop))...)
		}
	}
	return out
}

func withoutRepeats(l []Point) []Point {
	var out []Point
	for i, p := range l {
		if p.Distance(l[(i+1)%len(l)]) > 1e-9 {
			out = append(out, p)
		}
	}
	return out
}

// Trace follows a drop from p down the surface to its drain; see Catchments.
func (s Surface) Trace(p Point, outer Ring, takes func(edge int) bool, outlets []Point) Drain {
	if len(s.Facets) == 0 {
		return Drain{Edge: -1, Outlet: -1, At: p}
	}
	return newFlow(s, outer, takes, outlets).trace(p, s.facetAt(p))
}
