package plane

import "math"

// Side is one straight stretch of an outline with the number of the edge it belongs to.
type Side struct {
	A, B Point
	Edge int
}

// mostChordsOfArc bounds the sides that one arc is parted into.
const mostChordsOfArc = 512

// Sides returns the outline as straight stretches, arcs as chords within toleranceM.
func (r Ring) Sides(toleranceM float64) []Side {
	var out []Side
	for i := range r {
		e := r.Edge(i)
		if e.Straight() {
			out = append(out, Side{e.A, e.B, i})
			continue
		}
		n := 2
		r, a := e.Arc()
		if step := 2 * math.Acos(1-min(toleranceM, r/2)/r); step > 0 {
			n = min(max(int(math.Ceil(a/step)), 2), mostChordsOfArc)
		}
		for k := 0; k < n; k++ {
			out = append(out, Side{e.At(float64(k) / float64(n)), e.At(float64(k+1) / float64(n)), i})
		}
	}
	return out
}

// Mitred moves every side to its left by its edge's own distance (m), which may be
// negative, and returns the loop through the new corners. The distances are small
// beside the sides: nothing is made of a side that would vanish.
func Mitred(sides []Side, byM func(edge int) float64) Loop {
	var out Loop
	n := len(sides)
	for i := range sides {
		p, q := sides[(i+n-1)%n], sides[i]
		dp, dq := p.B.Sub(p.A).Unit(), q.B.Sub(q.A).Unit()
		hp, hq := byM(p.Edge), byM(q.Edge)
		corner := q.A
		if hp == 0 && hq == 0 {
			out = append(out, corner)
			continue
		}
		ap, aq := corner.Add(dp.Left().Scale(hp)), corner.Add(dq.Left().Scale(hq))
		cross := dp.Cross(dq)
		if math.Abs(cross) < 1e-6 {
			out = append(out, ap)
			if math.Abs(hp-hq) > 1e-9 {
				out = append(out, aq)
			}
			continue
		}
		t := aq.Sub(ap).Cross(dq) / cross
		out = append(out, ap.Add(dp.Scale(t)))
	}
	return out.tidy()
}
