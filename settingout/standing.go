package settingout

import (
	"math"
	"sort"

	"gelwright/plane"
	"gelwright/roof"
)

// openingMitreDeg is cut where a trim meets the side of what stands on its edge:
// half of a square internal corner.
const openingMitreDeg = 45.0

// onEdge is an opening that stands on an edge of the outline.
type onEdge struct {
	opening  roof.Opening
	edge     int
	from, to float64 // m along the edge
	// faces run from where the edge meets the opening round it to where the edge
	// goes on, the deck on their left.
	faces []plane.Edge
}

// standing lists the openings that stand on edges, in the order of edges and along them.
func standing(d roof.Deck) []onEdge {
	var out []onEdge
	for _, o := range d.Openings {
		ring := o.Outline
		if ring.SignedArea() > 0 {
			ring = ring.Reversed()
		}
		for k := range ring {
			e := ring.Edge(k)
			if e.Chord() < 0.01 {
				continue
			}
			for i := range d.Outline {
				edge := d.Outline.Edge(i)
				if !edge.Straight() || !e.Straight() {
					continue
				}
				t0, off0 := along(edge, e.A)
				t1, off1 := along(edge, e.B)
				l := edge.Length()
				if off0 > 0.005 || off1 > 0.005 || math.Abs(t1-t0)*l < 0.01 {
					continue
				}
				s := onEdge{opening: o, edge: i, from: min(t0, t1) * l, to: max(t0, t1) * l}
				// The clockwise ring runs against the outline's side it lies on: behind
				// that side its other sides lead round the opening.
				for j := 1; j < len(ring); j++ {
					f := ring.Edge((k + j) % len(ring))
					if alongOutline(d, f) {
						break
					}
					if f.Chord() >= 0.01 {
						s.faces = append(s.faces, f)
					}
				}
				out = append(out, s)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].edge != out[j].edge {
			return out[i].edge < out[j].edge
		}
		return out[i].from < out[j].from
	})
	return out
}

// stretch is a part of an edge, m along it, and whether a movement joint ends it.
type stretch struct {
	from, to float64
	joint    [2]bool
}

// jointCornerM is how near to the end of an edge a movement joint runs into the corner.
const jointCornerM = 0.15

// freeStretches is what of an edge no opening stands on, parted where a movement
// joint comes to it: trims, bandage and upstands do not go across.
func freeStretches(d roof.Deck, edge int, joints []MovementJoint) []stretch {
	free := betweenOpenings(d, edge)
	e := d.Outline.Edge(edge)
	for _, j := range joints {
		for k, p := range [2]plane.Point{j.From, j.To} {
			if j.edge[k] != edge {
				continue
			}
			t, _ := along(e, p)
			half := JointGapMM / 2000.0 / max(0.2, math.Abs(e.Tangent(t).Cross(j.To.Sub(j.From).Unit())))
			var next []stretch
			for _, s := range free {
				lo, hi := t*e.Length()-half, t*e.Length()+half
				// At a corner the corner piece goes with the joint's end.
				if lo < s.from+jointCornerM || hi > s.to-jointCornerM {
					next = append(next, s)
					continue
				}
				a, b := s, s
				a.to, a.joint[1] = lo, true
				b.from, b.joint[0] = hi, true
				next = append(next, a, b)
			}
			free = next
		}
	}
	return free
}

func betweenOpenings(d roof.Deck, edge int) []stretch {
	l := d.Outline.Edge(edge).Length()
	out := []stretch{}
	at := 0.0
	for _, o := range standing(d) {
		if o.edge != edge {
			continue
		}
		if o.from-at > 0.01 {
			out = append(out, stretch{from: at, to: o.from})
		}
		at = max(at, o.to)
	}
	if l-at > 0.01 || at == 0 {
		out = append(out, stretch{from: at, to: l})
	}
	return out
}

// FreeLengthM is the length of an edge less what openings standing on it take up.
func FreeLengthM(d roof.Deck, edge int) float64 {
	var sum float64
	for _, s := range betweenOpenings(d, edge) {
		sum += s.to - s.from
	}
	return sum
}

// FacesM is the length of an opening's sides that stand on the deck: its
// perimeter less what lies on the outline.
func FacesM(d roof.Deck, o roof.Opening) float64 {
	var sum float64
	for i := range o.Outline {
		if e := o.Outline.Edge(i); !alongOutline(d, e) {
			sum += e.Length()
		}
	}
	return sum
}

// carriesOn reports whether the trim of an edge goes on round what stands on it:
// at edges with an upstand it does.
func carriesOn(d roof.Deck, edge int) bool { return conditionOf(d, edge).HasUpstand() }

// turnDeg is the angle on the deck's side where b follows a, degrees.
func turnDeg(a, b plane.Edge) float64 {
	in, out := a.Tangent(1), b.Tangent(0)
	return 180 - math.Atan2(in.Cross(out), in.Dot(out))*180/math.Pi
}

// openingCorner is a corner between an edge's trim and that of a face, or of two faces.
type openingCorner struct {
	at      plane.Point
	in, out plane.Point
	deg     float64
	opening string
	trim    string
}

// openingCorners lists the corners that chimneys on upstand edges make.
func openingCorners(d roof.Deck) []openingCorner {
	var list []openingCorner
	for _, o := range standing(d) {
		if !carriesOn(d, o.edge) || o.opening.Kind != "chimney" || len(o.faces) == 0 {
			continue
		}
		trim := trimFor(conditionOf(d, o.edge))
		add := func(at plane.Point, a, b plane.Edge) {
			list = append(list, openingCorner{at, a.Tangent(1), b.Tangent(0), turnDeg(a, b), o.opening.Name, trim})
		}
		if e, ok := edgeAt(d, o.faces[0].A, false); ok {
			add(o.faces[0].A, e, o.faces[0])
		}
		for k := 0; k+1 < len(o.faces); k++ {
			add(o.faces[k].B, o.faces[k], o.faces[k+1])
		}
		last := o.faces[len(o.faces)-1]
		if e, ok := edgeAt(d, last.B, true); ok {
			add(last.B, last, e)
		}
	}
	return list
}

// edgeAt is the outline's edge at p that goes on behind it, or that comes to it.
func edgeAt(d roof.Deck, p plane.Point, onward bool) (plane.Edge, bool) {
	for i := range d.Outline {
		e := d.Outline.Edge(i)
		t, off := along(e, p)
		at := t * e.Length()
		if off < 0.005 && trimFor(conditionOf(d, i)) != "" && (onward && at < e.Length()-0.01 || !onward && at > 0.01) {
			return e, true
		}
	}
	return plane.Edge{}, false
}

// built reports whether an opening stands on corner i of the outline.
func built(d roof.Deck, i int) bool {
	n := len(d.Outline)
	before := (i + n - 1) % n
	for _, o := range standing(d) {
		if o.edge == i && o.from < 0.01 || o.edge == before && o.to > d.Outline.Edge(before).Length()-0.01 {
			return true
		}
	}
	return false
}
