package roof

import (
	"fmt"
	"math"
	"slices"

	"gelwright/plane"
)

// How far joists as drawn may be longer than the clear span given before it is asked what carries them
// between: what lies on the bearers at both ends and stands out over them (common practice, no source).
const (
	joistEndsPart = 0.25
	joistEndsM    = 0.3
)

// joists asks what carries them where they run clearly longer than the span that is given.
func (f *finder) joists(d *Deck, where string) {
	b := d.Base
	if b.Kind != "joists" || b.JoistSpanM <= 0 {
		return
	}
	run := d.joistRunM()
	if run <= b.JoistSpanM*(1+joistEndsPart)+joistEndsM {
		return
	}
	f.add("joists.run", where, fmt.Sprintf("joists as drawn run %.2f m, the span given is %.2f m", run, b.JoistSpanM),
		fmt.Sprintf("turn them (joist_bearing_deg is %g, anticlockwise from +x), or say what carries them between", b.JoistBearingDeg), geometry)
}

// joistRunM is the longest stretch of a joist on the deck, m. Where the outline turns inward a wall or a
// beam is taken to carry them on.
func (d *Deck) joistRunM() float64 {
	s, c := math.Sincos(d.Base.JoistBearingDeg * math.Pi / 180)
	along := plane.Point{X: c, Y: s}
	across := along.Left()
	var carried []float64
	for i, n := 0, len(d.Outline); i < n; i++ {
		if e := d.Outline.Edge(i); d.Outline.Edge((i+n-1)%n).Tangent(1).Cross(e.Tangent(0)) < -math.Sin(5*math.Pi/180) {
			carried = append(carried, e.At(0).Dot(along))
		}
	}
	slices.Sort(carried)
	low, high, near, far := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range d.Outline.Chords(0.01) {
		low, high = min(low, p.Dot(across)), max(high, p.Dot(across))
		near, far = min(near, p.Dot(along)-1), max(far, p.Dot(along)+1)
	}
	longest := 0.0
	step := max(d.Base.JoistSpacingMM, 100) / 1000
	for at := low + d.Base.JoistOffsetMM/1000; at < high; at += step {
		// The first stands on the edge: its line is taken just inside.
		middle := across.Scale(max(at, low+0.001))
		for _, on := range d.Outline.ClipLine(middle.Add(along.Scale(near)), middle.Add(along.Scale(far)), 0.01) {
			longest = max(longest, longestBetween(on[0].Dot(along), on[1].Dot(along), carried))
		}
	}
	return longest
}

// longestBetween is the longest part of a stretch that is cut at rising places, m.
func longestBetween(from, to float64, cuts []float64) float64 {
	if from > to {
		from, to = to, from
	}
	longest := 0.0
	for _, c := range cuts {
		if c > from && c < to {
			longest, from = max(longest, c-from), c
		}
	}
	return max(longest, to-from)
}
