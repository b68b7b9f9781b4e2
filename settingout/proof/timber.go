package proof

import (
	"math"

	"gelwright/plane"
	"gelwright/settingout"
)

// fixings: every board is fixed, in two places at least, and what is counted by zone is
// what is counted by board.
func (c *checker) fixings(boards []shape) {
	if len(c.plan.Fixings) == 0 {
		return
	}
	count := map[string]settingout.Fixings{}
	for _, f := range c.plan.Fixings {
		if _, twice := count[f.Board]; twice {
			c.fault("fixings.board", f.Board, "is counted twice")
		}
		count[f.Board] = f
	}
	for _, b := range boards {
		f := count[b.piece.Number]
		if n := f.Edge + f.Field; n < 4 {
			c.fault("fixings.none", b.piece.Number, "%d by %d mm, is held by %d screws", b.piece.LengthMM, b.piece.WidthMM, n)
		}
		zones := 0
		for _, n := range f.Zones {
			zones += n
		}
		if len(f.Zones) > 0 && zones > f.Edge+f.Field {
			c.fault("fixings.zones", b.piece.Number, "%d screws in its zones, %d on the board", zones, f.Edge+f.Field)
		}
	}
}

// noggins: timbers between joists lie under the deck, and those across the joists reach
// from joist to joist, to the deck's edge, or to another timber.
func (c *checker) noggins() {
	across, first, spacing, width, ok := c.lineOfJoists()
	list := c.of(settingout.Noggin)
	ix := indexOf(list, 0.003)
	for i, s := range list {
		c.timberOnDeck(s)
		if !ok || s.piece.Role != "board edge" && s.piece.Role != "header" || math.Abs(s.piece.Along.Dot(across)) < 0.99 {
			continue
		}
		for _, t := range s.sides {
			d := t.b.Sub(t.a).Unit()
			if math.Abs(d.Dot(across)) > 0.9 || t.length() < width/2 {
				continue
			}
			p := t.middle()
			onJoist := math.Abs(math.Abs(math.Remainder(across.Dot(p)-first, spacing))-width/2) < 0.003
			atEdge := c.ground.toBoundary(p) < max(c.spec.Board.WallGapMM/1000, 0)+width/2
			if !onJoist && !atEdge && !onOther(p, i, ix.at(p), list) {
				c.fault("noggin.bearing", s.piece.Number+" "+place(p), "ends between joists")
			}
		}
	}
}

// timberOnDeck checks that no side of a timber reaches off the deck.
func (c *checker) timberOnDeck(s shape) {
	for _, t := range s.sides {
		for _, p := range []plane.Point{t.a, t.middle()} {
			if on, _ := c.ground.open(p); on {
				continue
			}
			if far := c.ground.toBoundary(p); far > 0.003 {
				c.fault("noggin.outside", s.piece.Number, "reaches %.0f mm off the deck", far*1000)
			}
		}
	}
}

// onOther reports whether p lies on a side of one of the timbers near it but timber own.
func onOther(p plane.Point, own int, near []int, list []shape) bool {
	for _, k := range near {
		for _, x := range list[k].sides {
			if k != own && x.distance(p) < 0.003 {
				return true
			}
		}
	}
	return false
}

// wraps: a bandage of this role goes up or down something, or over an edge.
func wraps(p settingout.Piece) bool {
	switch p.Role {
	case "board joint", "fold", "flange", "trim lap":
		return false
	}
	return true
}

// bandageOnDeck: what lies flat on the deck does not reach past its edge or into an
// opening, and is as long as its shape.
func (c *checker) bandageOnDeck() {
	for _, s := range c.of(settingout.Bandage) {
		if wraps(s.piece) {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, t := range s.sides {
			at := s.piece.Along.Dot(t.a)
			low, high = min(low, at), max(high, at)
			for _, p := range []plane.Point{t.a, t.middle()} {
				if on, _ := c.ground.open(p); !on && c.ground.toBoundary(p) > 0.005 {
					c.fault("bandage.outside", s.piece.Number, "%s strip reaches %.0f mm off the deck", s.piece.Role, c.ground.toBoundary(p)*1000)
				}
			}
		}
		// At a movement joint a strip is torn to the joint's line on the roof, over a trim's
		// lap in a sharp corner to the deck's edge.
		if long := (high - low) * 1000; s.piece.Role != "trim lap" && len(c.plan.MovementJoints) == 0 && len(s.sides) <= 5 &&
			math.Abs(long-float64(s.piece.LengthMM)) > 2 {
			c.fault("bandage.length", s.piece.Number, "is %.0f mm long on plan, %d mm in the list", long, s.piece.LengthMM)
		}
	}
}
