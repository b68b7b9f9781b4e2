package proof

import (
	"math"

	"gelwright/plane"
)

// Points that are looked at: so many for a square metre of the deck's bounds, within two
// ends. What lies along the sides of pieces, where every strip left bare and every piece
// moved begins, is looked at besides (see beside), so that few do inside.
const (
	samplesPerM2  = 150
	fewestSamples = 1500
	mostSamples   = 12000
)

// spread fills samples with points over the deck: the additive sequence of the plastic
// number (R2), which leaves no grid line unvisited.
func (c *checker) spread() {
	low, high := c.deck.Outline.Bounds()
	n := min(max(int(samplesPerM2*(high.X-low.X)*(high.Y-low.Y)), fewestSamples), mostSamples)
	const a1, a2 = 0.7548776662466927, 0.5698402909980532
	for k := 1; k <= n; k++ {
		x, y := math.Mod(0.5+a1*float64(k), 1), math.Mod(0.5+a2*float64(k), 1)
		p := plane.Point{X: low.X + x*(high.X-low.X), Y: low.Y + y*(high.Y-low.Y)}
		if on, clear := c.ground.open(p); on && clear > 0.004 {
			c.samples = append(c.samples, p)
		}
	}
}

// besideEveryM is how far points along the sides of boards are apart, m; farther where
// there would be more than besideMost of them.
const (
	besideEveryM = 0.15
	besideMost   = 6000
)

// beside lists points of the open deck along all sides of shapes, so far out, m; inside
// with a negative distance.
func (c *checker) beside(shapes []shape, outM float64) []plane.Point {
	total := 0.0
	for _, b := range shapes {
		for _, s := range b.sides {
			total += s.length()
		}
	}
	every := max(besideEveryM, total/besideMost)
	var out []plane.Point
	for _, b := range shapes {
		for _, s := range b.sides {
			along := s.b.Sub(s.a)
			steps := max(1, int(s.length()/every))
			off := along.Unit().Left().Scale(-outM)
			for k := range steps {
				p := s.a.Add(along.Scale((float64(k) + 0.5) / float64(steps))).Add(off)
				if on, clear := c.ground.open(p); on && clear > 0.004 {
					out = append(out, p)
				}
			}
		}
	}
	return out
}
