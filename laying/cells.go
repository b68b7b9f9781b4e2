package laying

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/mixing"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/steps"
)

// WetWorkInput is a deck set out whose wet work is parted into passes and cells.
type WetWorkInput struct {
	Deck     roof.Deck
	Spec     roof.Spec
	SetOut   steps.Made[framing.SetOut]
	Fields   steps.Made[framing.Fields]
	Laminate steps.Made[Laminate]
	// LayM2PerManHour is the crew's pace, laminating one layer.
	LayM2PerManHour float64
}

// WetWork is the wet work of a deck, pass by pass, before anything is mixed.
type WetWork struct {
	Deck string
	// Exits are where people leave the deck; Breaks the lines at which the laminate ends.
	Exits  []plane.Point
	Breaks [][2]plane.Point
	// Details are bandage, upstands and patches, laid first; none where there are none.
	Details []mixing.Detail
	// Layers of mat and coats of top coat, the lowest first.
	Layers [][]mixing.Cell
	Coats  [][]mixing.Cell
	// CutIns are what each coat is cut in on before its field, CutInM2 their area.
	CutIns  [][]mixing.Detail
	CutInM2 float64
	check.Notes
}

// Laid is a specification without what the wet work does not ask: another colour, or another
// allowance for screws, parts no pass anew.
func Laid(s roof.Spec) roof.Spec {
	s.TopCoat = Coated(s.TopCoat)
	s.WastePct = roof.Waste{Resin: s.WastePct.Resin, TopCoat: s.WastePct.TopCoat}
	s.Insulation, s.VCL, s.VoidMM, s.VoidVented, s.SetOut = nil, false, 0, "", roof.Pins{}
	return s
}

// Coated is a top coat without its colour.
func Coated(c roof.TopCoat) roof.TopCoat {
	c.Colour = ""
	return c
}

// MakeWetWork parts the wet work of a deck into passes, and each pass into what one bucket
// after another can cover.
func MakeWetWork(ctx context.Context, in WetWorkInput) (WetWork, error) {
	spec := in.Spec
	rate, more := rates(spec), 1+spec.WastePct.Resin/100
	out := WetWork{Deck: in.Deck.Name, Exits: []plane.Point{in.Deck.Exit}, Breaks: breaks(in.SetOut.Value.Upper.MovementJoints),
		Details: in.details(rate, more)}
	for layer := 1; layer <= len(spec.Layers); layer++ {
		cells, err := in.matCells(ctx, layer, rate, more)
		if err != nil {
			return out, err
		}
		out.Layers = append(out.Layers, cells)
	}
	// The field goes over the same ground as the first layer, and over the edges that were cut
	// in, out of the bucket of the cell beside them.
	perM2 := spec.TopCoat.KGPerM2 * in.Laminate.Value.CoatM2 / in.Fields.Value.FieldM2 * (1 + spec.WastePct.TopCoat/100)
	for range spec.TopCoat.Coats {
		out.Coats = append(out.Coats, mixing.AtRate(out.Layers[0], perM2))
		out.CutIns = append(out.CutIns, in.cutIns())
	}
	if f := out.Figure(cutInM2(&in)); f != nil {
		out.CutInM2 = f.Value
	}
	return out, nil
}

// breaks are the lines at which the laminate ends on both sides.
func breaks(joints []settingout.MovementJoint) [][2]plane.Point {
	var out [][2]plane.Point
	for _, j := range joints {
		out = append(out, [2]plane.Point{j.From, j.To})
	}
	return out
}

// matCells turns the field strips of one layer into cells that do not overlap: each
// keeps what no strip before it covered, so that their areas add up to the deck's.
func (in *WetWorkInput) matCells(ctx context.Context, layer int, rate zoneRates, more float64) ([]mixing.Cell, error) {
	d := &in.Fields.Value
	var strips []settingout.Piece
	for _, p := range in.SetOut.Value.Upper.Of(settingout.Mat) {
		if p.Layer == layer && !p.Upright {
			strips = append(strips, p)
		}
	}
	slope := d.FieldM2 / plane.TotalArea(d.Fields)
	var cells []mixing.Cell
	var of []int // the strip each cell is of
	var before covered
	for i, p := range strips {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		own, err := before.lay(p, d.Fields)
		if err != nil {
			return nil, err
		}
		net := plane.TotalArea(own)
		if net < 1e-6 {
			continue
		}
		kg := rate.of(layer, p.AreaM2, net, slope)
		for k, part := range own {
			a := part.Area()
			if a < 1e-4 && len(own) > 1 {
				// A sliver left by the overlay: its resin goes with the largest part.
				continue
			}
			name := p.Number
			if k > 0 {
				name = fmt.Sprintf("%s%c", p.Number, 'a'+rune(k))
			}
			of = append(of, i)
			cells = append(cells, mixing.Cell{Name: name, Strip: p.Order, Shape: part.Outer, Along: p.Along, AreaM2: a * slope,
				ResinKG: kg * a / net * more})
		}
	}
	evenUp(cells, d.FieldM2)
	shingle(cells, of, strips, in.Deck.Falls)
	return cells, nil
}

// of is the resin of a strip of a layer, kg: what its mat takes, what the deck drinks of the
// lowest, and a tissue over the last. areaM2 is the strip's, netM2 on plan what it covers anew.
func (z *zoneRates) of(layer int, areaM2, netM2, slope float64) float64 {
	kg := z.layer[layer-1] * areaM2
	if layer == 1 {
		kg += z.soak * netM2 * slope
	}
	if layer == len(z.layer) && z.tissue > 0 {
		kg += z.tissue * netM2
	}
	return kg
}

// evenUp gives slivers' area back, so that the cells' areas add up to the deck's to the last
// digit.
func evenUp(cells []mixing.Cell, fieldM2 float64) {
	sum := 0.0
	for _, c := range cells {
		sum += c.AreaM2
	}
	if sum > 0 && math.Abs(sum-fieldM2) < 0.01*fieldM2 {
		for i := range cells {
			cells[i].AreaM2 *= fieldM2 / sum
		}
	}
}

// covered is what strips laid before cover, with their bounds.
type covered []struct {
	area      plane.Polygon
	low, high plane.Point
}

// lay lays a strip and returns what it covers of the deck that nothing before it did.
func (c *covered) lay(p settingout.Piece, fields []plane.Polygon) ([]plane.Polygon, error) {
	low, high := p.Bounds()
	deck := around(fields, low, high)
	poly := plane.Polygon{Outer: p.Shape, Holes: p.Holes}
	own, err := plane.Intersection([]plane.Polygon{poly}, deck)
	if err != nil {
		// A strip that an opening cuts right through may have an outline that touches
		// itself; what it covers is then its rectangle as far as the deck goes.
		poly = blank(p)
		if own, err = plane.Intersection([]plane.Polygon{poly}, deck); err != nil {
			return nil, fmt.Errorf("mat %s: %w", p.Number, err)
		}
	}
	var near []plane.Polygon
	for _, b := range *c {
		if b.low.X < high.X && low.X < b.high.X && b.low.Y < high.Y && low.Y < b.high.Y {
			near = append(near, b.area)
		}
	}
	if len(near) > 0 {
		if own, err = plane.Difference(own, near); err != nil {
			return nil, err
		}
	}
	*c = append(*c, struct {
		area      plane.Polygon
		low, high plane.Point
	}{poly, low, high})
	return own, nil
}

// around returns what of a deck matters between low and high: its outlines, and only
// the openings that reach in there. A large roof has scores of them.
func around(net []plane.Polygon, low, high plane.Point) []plane.Polygon {
	reaches := func(a, b plane.Point) bool { return a.X <= high.X && low.X <= b.X && a.Y <= high.Y && low.Y <= b.Y }
	var out []plane.Polygon
	for _, p := range net {
		if !reaches(p.Bounds()) {
			continue
		}
		here := plane.Polygon{Outer: p.Outer}
		for _, h := range p.Holes {
			if reaches((plane.Polygon{Outer: h}).Bounds()) {
				here.Holes = append(here.Holes, h)
			}
		}
		out = append(out, here)
	}
	return out
}

// blank is the rectangle that a piece is cut to, as it lies.
func blank(p settingout.Piece) plane.Polygon {
	along := p.Along.Scale(float64(p.LengthMM) / 1000)
	across := p.Along.Left().Scale(float64(p.WidthMM) / 1000)
	return plane.Polygon{Outer: []plane.Point{p.Corner, p.Corner.Add(along), p.Corner.Add(along).Add(across), p.Corner.Add(across)}}
}

// DetailName is what the buckets call the work that a strip of bandage, a patch or an
// upstand's mat belongs to: "flange, edge 2".
func DetailName(p settingout.Piece, deck *roof.Deck) string {
	switch {
	case p.Opening != "":
		return p.Opening
	case penetration(deck, p.Serves) != "":
		return penetration(deck, p.Serves) + " " + p.Serves
	case p.Kind == settingout.Patch && opening(deck, p.Serves):
		return p.Serves
	case p.Kind == settingout.Patch && p.Edge < 0:
		return p.Role + ", " + p.Serves
	case p.Edge >= 0 && p.Upright:
		return fmt.Sprintf("upstand, edge %d", p.Edge+1)
	case p.Edge >= 0:
		what := map[bool]string{true: "trim", false: "flange"}[p.Kind == settingout.Trim]
		return fmt.Sprintf("%s, edge %d", what, p.Edge+1)
	case p.MovementJoint():
		return "movement " + p.Serves
	case p.Role == "joint end":
		return "ends and crossings of movement joints"
	case p.Role == "fold":
		return foldWords(deck)
	case p.Role != "board joint":
		return p.Role
	}
	return "board joints"
}

// penetration is the kind of the pipe, outlet or the like of a name; empty where a deck has none.
func penetration(deck *roof.Deck, name string) string {
	for _, x := range deck.Penetrations {
		if x.Name == name {
			return x.Kind
		}
	}
	return ""
}

func opening(deck *roof.Deck, name string) bool {
	for _, o := range deck.Openings {
		if o.Name == name {
			return true
		}
	}
	return false
}

// foldWords names the lines over which a deck's bandage is wide.
func foldWords(deck *roof.Deck) string {
	var words []string
	switch deck.Falls.Kind {
	case plane.Ridge, plane.Hip, plane.Valley:
		words = append(words, string(deck.Falls.Kind))
	case plane.ToPoint:
		words = append(words, "valleys to the outlet")
	}
	if words == nil {
		return "changes of slope"
	}
	return strings.Join(words, " and ")
}

// details lists the strips of bandage, upstands and patches, those of one edge, joint group
// or opening one after another.
func (in *WetWorkInput) details(rate zoneRates, more float64) []mixing.Detail {
	deck := &in.Deck
	var order []string
	of := map[string][]mixing.Detail{}
	for _, p := range in.SetOut.Value.Upper.Pieces {
		var perM2 float64
		switch {
		case p.Kind == settingout.Bandage:
			perM2 = 0.45*in.Spec.ResinToGlass + rate.soak
		case p.Kind == settingout.Mat && p.Upright:
			perM2 = rate.layer[0] + rate.soak
		case p.Kind == settingout.Patch:
			perM2 = rate.layer[0] // it lies on laminate that has drunk already
		default:
			continue
		}
		name := DetailName(p, deck)
		item := mixing.Detail{Name: p.Number, Of: name, KG: p.AreaM2 * perM2 * more}
		// Bandage goes down at 25 to 35 m a man-hour, upstands at half the rate of a deck.
		if p.Kind == settingout.Bandage {
			item.ManMinutes = float64(p.LengthMM) / 1000 / 30 * 60
		} else {
			item.ManMinutes = p.AreaM2 / (in.LayM2PerManHour / 2) * 60
		}
		if !(item.KG > 0 && item.ManMinutes > 0) {
			continue
		}
		if of[name] == nil {
			order = append(order, name)
		}
		of[name] = append(of[name], item)
	}
	var out []mixing.Detail
	for _, name := range order {
		out = append(out, of[name]...)
	}
	return out
}
