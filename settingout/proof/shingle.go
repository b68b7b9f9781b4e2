package proof

import (
	"math"

	"gelwright/plane"
)

// downAt is the way water runs at p by the falls as given: square to the slope of its
// side of a ridge, hip or valley, towards the point of a deck that falls to one. ok is
// false on a fold, near the point, and where nothing falls.
func (c *checker) downAt(p plane.Point) (down plane.Point, ok bool) {
	f := c.deck.Falls
	switch f.Kind {
	case plane.OneWay:
		if len(f.Planes) == 1 {
			down = f.Planes[0].Down.Unit()
		}
	case plane.Ridge, plane.Hip, plane.Valley:
		if len(f.Planes) != 2 || f.Line[0] == f.Line[1] {
			return down, false
		}
		near := 0.01
		if f.Kind != plane.Valley {
			// One side's mat laps over the top on to the other's: no water comes from above there.
			near = max(c.spec.SideLapMM, c.spec.EndLapMM)/1000 + 0.01
		}
		switch off := f.Line[1].Sub(f.Line[0]).Unit().Cross(p.Sub(f.Line[0])); {
		case off > near:
			down = f.Planes[0].Down.Unit()
		case off < -near:
			down = f.Planes[1].Down.Unit()
		}
	case plane.ToPoint:
		if v := f.Point.Sub(p); v.Length() > 0.1 {
			down = v.Unit()
		}
	}
	return down, down.Length() > 0.5
}

// shingle: where the cut side of a later piece runs across the fall it is the
// later piece's low side; water runs over the lap, not into it.
func (c *checker) shingle(where string, pieces []shape) {
	// A short end may lie within the side lap of its neighbour: there the lap
	// itself keeps the water out.
	least := 2*c.spec.SideLapMM/1000 + 0.05
	ix := indexOf(pieces, 0)
	for i, s := range pieces {
		if c.stopped() {
			return
		}
		for _, t := range s.sides {
			if t.length() < least {
				continue
			}
			steps := max(1, int(t.length()/0.25))
			for n := 0; n < steps; n++ {
				c.shingleAt(where, t.a.Add(t.b.Sub(t.a).Scale((float64(n)+0.5)/float64(steps))), t, i, pieces, ix)
			}
		}
	}
}

// shingleAt looks at one place p on side t of piece i.
func (c *checker) shingleAt(where string, p plane.Point, t segment, i int, pieces []shape, ix index) {
	d := t.b.Sub(t.a).Unit()
	down, ok := c.downAt(p)
	if !ok || math.Abs(d.Dot(down)) > 0.2 || c.fields.toBoundary(p) < 0.01 {
		return
	}
	// The outside of an anticlockwise side lies to its right; the side that looks uphill
	// must lie under: its piece is laid first.
	out := d.Left().Scale(-1)
	if out.Dot(down) >= 0 {
		return
	}
	for _, k := range ix.at(p) {
		if k != i && contains(pieces[k].sides, p) && pieces[i].piece.Order > pieces[k].piece.Order {
			c.fault("mat.shingle", where+" "+pieces[i].piece.Number+" over "+pieces[k].piece.Number,
				"the upper edge lies on top of the lap, facing the water at %s", place(p))
		}
	}
}
