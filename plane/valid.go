package plane

import (
	"fmt"
	"math"
	"slices"
)

// FaultKind is what is wrong with an outline.
type FaultKind string

const (
	TooFewCorners FaultKind = "too few corners"
	NotANumber    FaultKind = "not a number"
	RepeatedPoint FaultKind = "repeated point"
	Spike         FaultKind = "spike"
	Crossing      FaultKind = "crosses itself"
	Touching      FaultKind = "touches itself"
	NoArea        FaultKind = "no area"
	HoleOutside   FaultKind = "opening outside the outline"
	HoleCrosses   FaultKind = "opening crosses the outline"
	HoleTouches   FaultKind = "opening touches the outline"
	HolesOverlap  FaultKind = "openings overlap"
	HolesTouch    FaultKind = "openings touch"
)

// Fault is one reason why an outline cannot be worked with. It is an error.
type Fault struct {
	Kind FaultKind
	// Ring is 0 for the outline and 1, 2, … for openings in order.
	Ring int
	// Edge and OtherEdge are the edges concerned; OtherRing is the ring of the
	// second. Edge is −1 where no edge is concerned.
	Edge, OtherRing, OtherEdge int
	// At is the place, m.
	At Point
}

// Error says what, where and how to mend.
func (f Fault) Error() string {
	what := "the outline"
	if f.Ring > 0 {
		what = fmt.Sprintf("opening %d", f.Ring-1)
	}
	at := fmt.Sprintf("at (%.4f, %.4f)", f.At.X, f.At.Y)
	switch f.Kind {
	case TooFewCorners:
		return what + " has too few corners: give at least three, or two with arcs"
	case NotANumber:
		return fmt.Sprintf("%s, corner %d, is not a number: give its x and y in metres", what, f.Edge)
	case RepeatedPoint:
		return fmt.Sprintf("%s repeats the corner %d %s: leave one of them out", what, f.Edge, at)
	case Spike:
		return fmt.Sprintf("%s runs back on itself after edge %d %s: leave the spike out", what, f.Edge, at)
	case Crossing, Touching:
		verb := "cross"
		if f.Kind == Touching {
			verb = "touch"
		}
		return fmt.Sprintf("%s: edges %d and %d %s %s: check the order and the position of their corners", what, f.Edge, f.OtherEdge, verb, at)
	case NoArea:
		return what + " encloses no area: check its corners"
	case HoleOutside:
		return fmt.Sprintf("%s lies outside the outline %s: move it inside or give it to the right deck", what, at)
	case HoleCrosses, HoleTouches:
		verb := "crosses"
		if f.Kind == HoleTouches {
			verb = "touches"
		}
		return fmt.Sprintf("%s: edge %d %s edge %d of the outline %s: move it, or draw it as part of the outline", what, f.Edge, verb,
			f.OtherEdge, at)
	default:
		verb := "overlaps"
		if f.Kind == HolesTouch {
			verb = "touches"
		}
		return fmt.Sprintf("%s %s opening %d %s: part them, or join them into one", what, verb, f.OtherRing-1, at)
	}
}

// validChordM is the chord tolerance at which crossings of arcs are looked for.
const validChordM = 0.0002

// Validate returns everything that keeps the outline and its openings from being
// worked with, arcs included; none when all is well. Points closer than SnapM
// count as repeated and edges closer than that as touching, stricter than the
// simple-features rule, under which openings may touch in a point: no board or
// mat can be cut to such a place.
//
// Faults of the corners alone hide the search for crossings.
func Validate(outer Ring, holes []Ring) []Fault {
	rings := append([]Ring{outer}, holes...)
	var faults []Fault
	for k, r := range rings {
		faults = append(faults, cornerFaults(k, r)...)
	}
	if len(faults) > 0 {
		return faults
	}
	var all [][]chord
	for k, r := range rings {
		c := chordsOf(r)
		all = append(all, c)
		faults = append(faults, selfFaults(k, r, c)...)
	}
	if len(faults) > 0 {
		return faults
	}
	for k := 1; k < len(rings); k++ {
		if f, bad := holeFault(all, k); bad {
			faults = append(faults, f)
		}
		for j := 1; j < k; j++ {
			if f, bad := holePairFault(rings, all, j, k); bad {
				faults = append(faults, f)
			}
		}
	}
	return faults
}

func cornerFaults(k int, r Ring) []Fault {
	var out []Fault
	n := len(r)
	for i, v := range r {
		if !v.real() {
			out = append(out, Fault{Kind: NotANumber, Ring: k, Edge: i, OtherRing: k, OtherEdge: i})
		}
	}
	if len(out) > 0 {
		return out
	}
	arc := slices.ContainsFunc(r, func(v Vertex) bool { return v.Bulge != 0 })
	if n < 2 || n == 2 && !arc {
		return []Fault{{Kind: TooFewCorners, Ring: k, Edge: -1, OtherRing: k, OtherEdge: -1}}
	}
	for i := range r {
		if e := r.Edge(i); e.Chord() < SnapM {
			out = append(out, Fault{Kind: RepeatedPoint, Ring: k, Edge: (i + 1) % n, OtherRing: k, OtherEdge: i, At: e.B})
		}
	}
	if len(out) > 0 {
		return out
	}
	if r.Area() < SnapM*r.Perimeter() {
		// Equal areas on both sides of a crossing cancel: name the crossing then.
		for _, f := range selfFaults(k, r, chordsOf(r)) {
			if f.Kind == Crossing {
				return []Fault{f}
			}
		}
		return []Fault{{Kind: NoArea, Ring: k, Edge: -1, OtherRing: k, OtherEdge: -1, At: r[0].Point}}
	}
	return spikes(k, r)
}

// real reports whether place and bulge are numbers.
func (v Vertex) real() bool {
	for _, x := range [...]float64{v.X, v.Y, v.Bulge} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// spikes finds the corners where a straight edge runs back over the one before.
func spikes(k int, r Ring) []Fault {
	var out []Fault
	n := len(r)
	for i := range r {
		e, f := r.Edge(i), r.Edge((i+1)%n)
		if !e.Straight() || !f.Straight() {
			continue
		}
		u, v := e.Tangent(1), f.Tangent(0)
		reach := min(e.Chord(), f.Chord())
		if u.Dot(v) < 0 && math.Abs(u.Cross(v))*reach < SnapM {
			out = append(out, Fault{Kind: Spike, Ring: k, Edge: i, OtherRing: k, OtherEdge: (i + 1) % n, At: e.B})
		}
	}
	return out
}

// chord is a straight stretch with the edge it belongs to.
type chord struct {
	a, b Point
	edge int
}

func chordsOf(r Ring) []chord {
	var out []chord
	for i := range r {
		e := r.Edge(i)
		n := 1
		if !e.Straight() {
			n = chordCount(e, validChordM)
		}
		for k := 0; k < n; k++ {
			c := chord{e.At(float64(k) / float64(n)), e.At(float64(k+1) / float64(n)), i}
			if k == 0 {
				c.a = e.A
			}
			if k == n-1 {
				c.b = e.B
			}
			out = append(out, c)
		}
	}
	return out
}

func selfFaults(k int, r Ring, cs []chord) []Fault {
	var out []Fault
	seen := map[[2]int]bool{}
	n := len(cs)
	for i := 0; i < n; i++ {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			kind, at := meet(cs[i], cs[j])
			if kind == "" || seen[[2]int{cs[i].edge, cs[j].edge}] {
				continue
			}
			if kind == Touching && bridged(cs, i, j) {
				continue
			}
			seen[[2]int{cs[i].edge, cs[j].edge}] = true
			out = append(out, Fault{Kind: kind, Ring: k, Edge: cs[i].edge, OtherRing: k, OtherEdge: cs[j].edge, At: at})
		}
	}
	return out
}

// bridged reports whether two near chords are only neighbours across one very
// short stretch of the way between them, and so near each other by nature.
func bridged(cs []chord, i, j int) bool {
	const short = 4 * SnapM
	n := len(cs)
	way := func(from, to int) float64 {
		var sum float64
		for k := (from + 1) % n; k != to; k = (k + 1) % n {
			if sum += cs[k].a.Distance(cs[k].b); sum > short {
				return sum
			}
		}
		return sum
	}
	return way(i, j) <= short || way(j, i) <= short
}

// meet says whether two stretches cross or touch within SnapM, and where.
func meet(p, q chord) (FaultKind, Point) {
	if max(p.a.X, p.b.X)+SnapM < min(q.a.X, q.b.X) || max(q.a.X, q.b.X)+SnapM < min(p.a.X, p.b.X) ||
		max(p.a.Y, p.b.Y)+SnapM < min(q.a.Y, q.b.Y) || max(q.a.Y, q.b.Y)+SnapM < min(p.a.Y, p.b.Y) {
		return "", Point{}
	}
	d, e := p.b.Sub(p.a), q.b.Sub(q.a)
	if cross := d.Cross(e); cross != 0 {
		t := q.a.Sub(p.a).Cross(e) / cross
		u := q.a.Sub(p.a).Cross(d) / cross
		lp, lq := SnapM/d.Length(), SnapM/e.Length()
		if t > lp && t < 1-lp && u > lq && u < 1-lq {
			return Crossing, p.a.Add(d.Scale(t))
		}
	}
	for _, c := range []struct{ v, a, b Point }{{p.a, q.a, q.b}, {p.b, q.a, q.b}, {q.a, p.a, p.b}, {q.b, p.a, p.b}} {
		if at := nearestOn(c.a, c.b, c.v); at.Distance(c.v) < SnapM/2 {
			return Touching, c.v
		}
	}
	return "", Point{}
}

// nearestOn returns the point of the stretch a–b nearest to p.
func nearestOn(a, b, p Point) Point {
	d := b.Sub(a)
	l := d.Dot(d)
	if l == 0 {
		return a
	}
	return a.Add(d.Scale(min(1, max(0, p.Sub(a).Dot(d)/l))))
}

// ringsMeet returns the worst meeting of two rings.
func ringsMeet(a, b []chord) (kind FaultKind, at Point, ea, eb int) {
	for _, p := range a {
		for _, q := range b {
			k, where := meet(p, q)
			if k == Crossing {
				return k, where, p.edge, q.edge
			}
			if k == Touching && kind == "" {
				kind, at, ea, eb = k, where, p.edge, q.edge
			}
		}
	}
	return kind, at, ea, eb
}

func chordLoop(cs []chord) Polygon {
	p := Polygon{}
	for _, c := range cs {
		p.Outer = append(p.Outer, c.a)
	}
	return p
}

// within says whether ring a lies inside (+1), outside (−1) or, as far as its
// points tell, on both sides (0) of ring b; points on b count for neither.
func within(a, b []chord) (int, Point) {
	poly := chordLoop(b)
	in, out := false, false
	var outAt Point
	for _, c := range a {
		for _, p := range []Point{c.a, c.a.Add(c.b).Scale(0.5)} {
			if poly.Distance(p) < SnapM {
				continue
			}
			if poly.Contains(p) {
				in = true
			} else if !out {
				out, outAt = true, p
			}
		}
	}
	switch {
	case in && out:
		return 0, outAt
	case in:
		return 1, Point{}
	case out:
		return -1, outAt
	}
	return 0, a[0].a
}

func holeFault(all [][]chord, k int) (Fault, bool) {
	kind, at, e, o := ringsMeet(all[k], all[0])
	side, where := within(all[k], all[0])
	f := Fault{Ring: k, Edge: e, OtherEdge: o, At: at}
	switch {
	case kind == Crossing || side == 0:
		f.Kind = HoleCrosses
		if kind == "" {
			f.At = where
		}
	case side < 0:
		f.Kind, f.At = HoleOutside, where
	case kind == Touching:
		f.Kind = HoleTouches
	default:
		return Fault{}, false
	}
	return f, true
}

func holePairFault(rings []Ring, all [][]chord, j, k int) (Fault, bool) {
	kind, at, e, o := ringsMeet(all[k], all[j])
	a, _ := within(all[k], all[j])
	b, _ := within(all[j], all[k])
	f := Fault{Ring: k, Edge: e, OtherRing: j, OtherEdge: o, At: at}
	switch {
	case kind == Crossing || a >= 0 || b >= 0:
		f.Kind = HolesOverlap
		if kind == "" {
			f.At = rings[k][0].Point
			if a < 0 {
				f.At = rings[j][0].Point
			}
		}
	case kind == Touching:
		f.Kind = HolesTouch
	default:
		return Fault{}, false
	}
	return f, true
}
