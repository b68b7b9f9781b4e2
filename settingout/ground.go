package settingout

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// chordToleranceM is how far a chord may leave the arc it stands for.
const chordToleranceM = 0.002

// netDeck returns the deck less its openings, its outline moved inward by byM,
// each opening grown by growM, and less the slots of movement joints.
func netDeck(d roof.Deck, byM func(edge int) float64, growM func(o roof.Opening) float64, slots []plane.Loop) (plane.Region, error) {
	outer := plane.Mitred(d.Outline.Sides(chordToleranceM), byM)
	if outer.SignedArea() <= 0 {
		return nil, fmt.Errorf("deck %q: the outline has no area or runs clockwise: give its corners anticlockwise", d.Name)
	}
	var taken []plane.Loop
	for _, o := range d.Openings {
		grow := growM(o)
		ring := o.Outline
		if ring.SignedArea() < 0 {
			ring = ring.Reversed()
		}
		taken = append(taken, plane.Mitred(ring.Sides(chordToleranceM), func(int) float64 { return -grow }))
	}
	net, err := outer.Without(append(taken, slots...))
	if err != nil {
		return nil, fmt.Errorf("deck %q: %w", d.Name, err)
	}
	return net, nil
}

// foldLines are the lines over which boards are bandaged wide: ridge, hip or valley.
// Movement joints part the deck before it comes to them.
func foldLines(d roof.Deck) [][2]plane.Point {
	var out [][2]plane.Point
	switch d.Falls.Kind {
	case plane.Ridge, plane.Hip, plane.Valley:
		if d.Falls.Line[0] != d.Falls.Line[1] {
			out = append(out, d.Falls.Line)
		}
	}
	return out
}

// bay is a part of the deck between fold lines.
type bay struct {
	region plane.Region
}

// baysOf splits a region at lines, leaving gapM between the sides.
func baysOf(r plane.Region, lines [][2]plane.Point, gapM float64) []bay {
	var bays []bay
	for _, p := range r.Parts() {
		bays = append(bays, bay{p.Region()})
	}
	for _, line := range lines {
		var next []bay
		n := line[1].Sub(line[0]).Unit().Left()
		c := n.Dot(line[0])
		for _, b := range bays {
			if !runsThrough(b.region, line) {
				next = append(next, b)
				continue
			}
			for _, half := range []plane.Region{b.region.HalfPlane(n, c+gapM/2), b.region.HalfPlane(n.Scale(-1), -c+gapM/2)} {
				for _, p := range half.Parts() {
					next = append(next, bay{p.Region()})
				}
			}
		}
		bays = next
	}
	return bays
}

// runsThrough reports whether the line has a stretch of 0.1 m or more inside the region.
func runsThrough(r plane.Region, line [2]plane.Point) bool {
	length := line[0].Distance(line[1])
	steps := int(math.Ceil(length/0.05)) + 1
	d := line[1].Sub(line[0]).Scale(1 / float64(steps))
	n := d.Unit().Left().Scale(0.01)
	run := 0
	for i := 0; i < steps; i++ {
		p := line[0].Add(d.Scale(float64(i) + 0.5))
		if r.Contains(p.Add(n)) && r.Contains(p.Sub(n)) {
			if run++; float64(run)*d.Length() >= 0.1 {
				return true
			}
		} else {
			run = 0
		}
	}
	return false
}
