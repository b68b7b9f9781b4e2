package drawing

import (
	"math"

	"gelwright/plane"
)

// heights tells how high the finished deck lies above its lowest corner, from
// the falls as surveyed.
type heights struct {
	falls plane.Falls
	lowM  float64
	known bool
}

// heightsOf sets the lowest corner of the outline to zero.
func heightsOf(f plane.Falls, outline plane.Ring) heights {
	h := heights{falls: f, known: f.Kind != plane.Level && len(f.Planes) > 0}
	for _, p := range f.Planes {
		h.known = h.known && p.Ratio > 0
	}
	if !h.known {
		return h
	}
	low := math.Inf(1)
	for _, p := range outline.Chords(0.001) {
		low = min(low, h.raw(p))
	}
	if f.Kind == plane.ToPoint {
		low = min(low, h.raw(f.Point))
	}
	h.lowM = low
	return h
}

// raw is the height against the fall's own line or point, m.
func (h heights) raw(p plane.Point) float64 {
	f := h.falls
	switch {
	case f.Kind == plane.ToPoint:
		return p.Distance(f.Point) / f.Planes[0].Ratio
	case len(f.Planes) < 2:
		return -p.Dot(f.Planes[0].Down.Unit()) / f.Planes[0].Ratio
	}
	q := f.Planes[h.side(p)]
	return -p.Sub(f.Line[0]).Dot(q.Down.Unit()) / q.Ratio
}

// side returns 0 left of the fall line, 1 right of it.
func (h heights) side(p plane.Point) int {
	if h.falls.Line[1].Sub(h.falls.Line[0]).Cross(p.Sub(h.falls.Line[0])) >= 0 {
		return 0
	}
	return 1
}

// aboveLowMM is the height at p, mm above the deck's lowest corner.
func (h heights) aboveLowMM(p plane.Point) float64 { return (h.raw(p) - h.lowM) * 1000 }
