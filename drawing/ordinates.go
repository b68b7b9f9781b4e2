package drawing

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/scene"
)

// ordinateM is how far apart the ordinates of a curve stand along its chord.
const ordinateM = 0.2

// curveWords name the radii of a deck's curved edges, for the key.
func curveWords(d roof.Deck) string {
	var radii []string
	for i := range d.Outline {
		if e := d.Outline.Edge(i); !e.Straight() {
			r, _ := e.Arc()
			radii = append(radii, fmt.Sprintf("R %s (edge %d)", scene.Millimetres(r), i+1))
		}
	}
	if radii == nil {
		return ""
	}
	return fmt.Sprintf("curve, %s: its ordinates from the chord, mm, every %.0f mm from the end marked 0", strings.Join(radii, ", "),
		ordinateM*1000)
}

// ordinateAt returns the height of an arc over its chord at a distance from its start.
func ordinateAt(e plane.Edge, alongM float64) float64 {
	r, _ := e.Arc()
	half := e.A.Distance(e.B) / 2
	// The centre lies beyond the chord for a flat arc, and on its other side for one of
	// more than half a circle.
	to := math.Sqrt(max(r*r-half*half, 0))
	if math.Abs(e.Bulge) > 1 {
		to = -to
	}
	x := alongM - half
	return math.Sqrt(max(r*r-x*x, 0)) - to
}

// ordinates letters the curved edges of a deck so that they can be drawn on the boards:
// heights over the chord, at steps along it.
func (s *Sheet) ordinates(d roof.Deck) {
	for i := range d.Outline {
		e := d.Outline.Edge(i)
		if e.Straight() {
			continue
		}
		along := e.B.Sub(e.A).Unit()
		long := e.A.Distance(e.B)
		// An arc of positive bulge lies to the right of its chord.
		up := along.Left().Scale(-math.Copysign(1, e.Bulge))
		angle := scene.Readable(scene.Point(up).AngleDeg())
		s.AddClear(scene.Meta{Class: "chord", Layer: "dimensions"}, scene.Stroke{WidthMM: scene.Hairline, Dash: scene.Chain}, s.At(e.A),
			s.At(e.B))
		label := func(at plane.Point, words string) {
			w := scene.Measure(words, scene.TextSmall, false).WidthMM
			for _, off := range [...]float64{w/2 + 1.5, w/2 + 4, w/2 + 7, -w/2 - 2, -w/2 - 6} {
				c := s.At(at).Add(scene.Point(up).Scale(off))
				b := block{lines: []string{words}, high: scene.TextSmall, lead: 4, layer: "dimensions"}
				if s.Space.FreeQuad(b.quad(c, angle, 0)) {
					s.Add(b.items(c, angle)...)
					return
				}
			}
			s.Unplaced = append(s.Unplaced, "ordinate "+words)
		}
		label(e.A, "0")
		for m := ordinateM; m < long-ordinateM/4; m += ordinateM {
			foot := e.A.Add(along.Scale(m))
			h := ordinateAt(e, m)
			top := foot.Add(up.Scale(h))
			s.AddClear(scene.Meta{Class: "ordinate", Layer: "dimensions"}, scene.Pen(scene.Hairline), s.At(foot), s.At(top))
			label(top, scene.Millimetres(h))
		}
	}
}
