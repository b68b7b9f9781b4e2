package settingout

import (
	"fmt"
	"math"

	"gelwright/plane"
	"gelwright/roof"
)

// setCorners places a corner piece wherever two trims meet at an angle.
func setCorners(d roof.Deck, extra []openingCorner, out *SetOut) {
	n := len(d.Outline)
	count := 0
	for i := 0; i < n; i++ {
		if built(d, i) {
			continue
		}
		before, after := (i+n-1)%n, i
		a, b := trimFor(conditionOf(d, before)), trimFor(conditionOf(d, after))
		if a == "" || b == "" {
			continue
		}
		deg := interiorDeg(d.Outline, i)
		if math.Abs(deg-180) < cornerSlack && a == b {
			continue
		}
		side := "external"
		// Seen from the deck a convex corner is external to drips and kerbs, internal to walls.
		wallBoth := a == "trim wall fillet" && b == "trim wall fillet"
		if (deg > 180) != wallBoth {
			side = "internal"
		}
		preformed := math.Abs(deg-90) <= cornerSlack || math.Abs(deg-270) <= cornerSlack
		pair := cornerPair(a, b)
		p := Piece{
			Kind: Corner, Number: number(Corner, count), Order: count + 1, Edge: after, Serves: fmt.Sprintf("corner %d", i+1),
			LengthMM: cornerLegMM, WidthMM: cornerLegMM, Corner: d.Outline[i].Point,
		}
		in, ou := d.Outline.Edge(before).Tangent(1), d.Outline.Edge(after).Tangent(0)
		p.Along = ou
		leg, v := cornerLegMM/1000.0, d.Outline[i].Point
		w := trimFlangeMM / 1000.0
		switch {
		case math.Abs(deg-180) < cornerSlack:
			p.Role, p.Material = "site-formed junction", "site-formed corner"
			p.Shape = []plane.Point{v.Sub(in.Scale(leg)), v.Add(ou.Scale(leg)), v.Add(ou.Scale(leg)).Add(ou.Left().Scale(w)),
				v.Sub(in.Scale(leg)).Add(in.Left().Scale(w))}
		default:
			tip := v.Sub(in.Scale(leg)).Add(ou.Scale(leg))
			if deg > 180 {
				tip = v.Add(in.Left().Add(ou.Left()).Scale(w))
			}
			p.Shape = []plane.Point{v, v.Add(ou.Scale(leg)), tip, v.Sub(in.Scale(leg))}
			if preformed {
				p.Role = "preformed " + side + " corner"
				p.Material = fmt.Sprintf("corner %s %s", side, pair)
			} else {
				p.Role = "site-formed " + side + " corner"
				p.Material = "site-formed corner"
				p.Note = fmt.Sprintf("%.2f° inside the deck: form by hand over a shaped fillet, mitre %.2f°", deg, 90-deg/2)
				out.find("corner.site-formed", fmt.Sprintf("%s, corner %d", d.Name, i+1),
					"the corner is %.2f°, no preformed piece fits: form it on site", deg)
			}
		}
		p.AreaM2 = math.Abs(p.Shape.SignedArea())
		out.Pieces = append(out.Pieces, p)
		count++
	}
	leg, w := cornerLegMM/1000.0, trimFlangeMM/1000.0
	for _, c := range extra {
		side, tip := "internal", c.at.Sub(c.in.Scale(leg)).Add(c.out.Scale(leg))
		if c.deg > 180 {
			side, tip = "external", c.at.Add(c.in.Left().Add(c.out.Left()).Scale(w))
		}
		p := Piece{Kind: Corner, Number: number(Corner, count), Order: count + 1, Edge: -1, Opening: c.opening, Serves: c.opening,
			LengthMM: cornerLegMM, WidthMM: cornerLegMM, Corner: c.at, Along: c.out,
			Role: "preformed " + side + " corner", Material: fmt.Sprintf("corner %s %s", side, c.trim[len("trim "):]),
			Shape: []plane.Point{c.at, c.at.Add(c.out.Scale(leg)), tip, c.at.Sub(c.in.Scale(leg))}}
		if math.Abs(c.deg-90) > cornerSlack && math.Abs(c.deg-270) > cornerSlack {
			p.Role, p.Material = "site-formed "+side+" corner", "site-formed corner"
			p.Note = fmt.Sprintf("%.2f° on the deck's side: form by hand", c.deg)
		}
		p.AreaM2 = math.Abs(p.Shape.SignedArea())
		out.Pieces = append(out.Pieces, p)
		count++
	}
}

// cornerPair names the trims that meet. A corner between two kinds is handed: the
// hand is that on which the first-named trim lies, seen from outside the deck.
func cornerPair(before, after string) string {
	a, b := before[len("trim "):], after[len("trim "):]
	switch {
	case a == b:
		return a
	case a < b:
		return a + " to " + b + ", right hand"
	}
	return b + " to " + a + ", left hand"
}
