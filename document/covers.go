package document

import (
	"fmt"
	"math"
	"slices"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/settingout"
)

// coversWords names what a bucket covers, with its share where it is not the whole piece.
func (d *pack) coversWords(x laying.Pass, m mixing.Mix) string {
	text := ""
	if x.Pieces() {
		text = joinNonEmpty("; ", d.detailWords(x, m)...)
	} else {
		var whole, part []string
		for _, c := range m.Parts {
			if c.Whole {
				whole = append(whole, c.Name)
			} else {
				part = append(part, c.Name)
			}
		}
		if text = runs(whole); len(part) > 0 {
			text = joinNonEmpty(", ", text, "part of "+runs(once(part)))
		}
	}
	if m.AreaM2 > 0 {
		text += fmt.Sprintf(", %s m²", d.num(m.AreaM2, 1))
	}
	return text
}

// once leaves out what is named before: a bucket may cover two parts of one strip.
func once(names []string) []string {
	var out []string
	for _, n := range names {
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// covered is the pieces of one work, as an edge, that a bucket covers.
type covered struct {
	work        string
	whole, part []string
	metres      float64
}

// detailWords puts strips, and those of which a part is covered, together by the work they belong to: "J3–J17, the left 0.60 m
// of J18: flange, edge 2". Where edges are cut in, their metres stand with them.
func (d *pack) detailWords(x laying.Pass, m mixing.Mix) []string {
	pieces, works := d.worksOf(x)
	kg := map[string]float64{} // of each piece that is covered in parts
	for _, b := range x.Plan.Mixes {
		for _, c := range b.Parts {
			kg[c.Name] += c.KG
		}
	}
	var order []*covered
	of := map[string]*covered{}
	for _, whole := range []bool{true, false} {
		for _, c := range joined(m.Parts) {
			if c.Whole != whole {
				continue
			}
			w := works[c.Name]
			if of[w] == nil {
				of[w] = &covered{work: w}
				order = append(order, of[w])
			}
			g, long := of[w], longMM(pieces[c.Name])/1000
			if whole {
				g.whole, g.metres = append(g.whole, c.Name), g.metres+long
				continue
			}
			g.part, g.metres = append(g.part, d.shareWords(c, pieces[c.Name])), g.metres+long*c.KG/math.Max(kg[c.Name], 1e-9)
		}
	}
	var out []string
	for _, g := range order {
		words := joinNonEmpty(": ", joinNonEmpty(", ", append([]string{runs(g.whole)}, once(g.part)...)...), g.work)
		if x.Kind == laying.CuttingIn {
			words += fmt.Sprintf(", %s m", d.num(g.metres, 2))
		}
		out = append(out, words)
	}
	return out
}

// joined puts shares of a piece together that follow one another: several pots of one line cover them.
func joined(parts []mixing.Part) []mixing.Part {
	const slack = 1e-6
	var out []mixing.Part
	for _, c := range parts {
		at := slices.IndexFunc(out, func(b mixing.Part) bool {
			return b.Name == c.Name && !b.Whole && c.To > c.From && math.Abs(b.To-c.From) < slack
		})
		if at < 0 {
			out = append(out, c)
			continue
		}
		b := &out[at]
		b.To, b.KG = c.To, b.KG+c.KG
		b.Whole = b.From < slack && b.To > 1-slack
	}
	return out
}

// worksOf are the pieces of a pass by their numbers, and the work that each belongs to.
func (d *pack) worksOf(x laying.Pass) (pieces map[string]settingout.Piece, works map[string]string) {
	pieces, works = map[string]settingout.Piece{}, map[string]string{}
	for i := range d.p.Decks {
		if d.p.Decks[i].Name != x.Deck {
			continue
		}
		for _, piece := range d.p.Decks[i].SetOut.Pieces {
			cutIn := x.Kind == laying.CuttingIn && piece.Kind == settingout.Trim
			if cutIn || piece.Kind == settingout.Bandage || piece.Kind == settingout.Patch || piece.Upright {
				pieces[piece.Number], works[piece.Number] = piece, laying.DetailName(piece, &d.p.Job.Decks[i])
			}
		}
	}
	return pieces, works
}

// longMM is how long a piece is on plan.
func longMM(p settingout.Piece) float64 {
	if len(p.Shape) == 0 {
		return 0
	}
	low, high := p.Shape.Extent(p.Shape.LongAxis())
	return 1000 * (high - low)
}

// shareWords says which share of a piece a bucket covers, as a man finds it who looks along the plan: "the left 1.40 m of T1",
// "0.80 to 2.20 m of T1 from its left end".
func (d *pack) shareWords(c mixing.Part, p settingout.Piece) string {
	const slack = 1e-6
	if c.To <= c.From || len(p.Shape) == 0 {
		return "part of " + c.Name
	}
	low, high := "left", "right"
	switch u := p.Shape.LongAxis(); {
	case math.Abs(u.X) >= math.Abs(u.Y):
	case u.Y > 0:
		low, high = "lower", "upper"
	default:
		low, high = "upper", "lower"
	}
	m := longMM(p) / 1000
	switch {
	case c.From < slack:
		return fmt.Sprintf("the %s %s m of %s", low, d.num(c.To*m, 2), c.Name)
	case c.To > 1-slack:
		return fmt.Sprintf("the %s %s m of %s", high, d.num((1-c.From)*m, 2), c.Name)
	}
	return fmt.Sprintf("%s to %s m of %s from its %s end", d.num(c.From*m, 2), d.num(c.To*m, 2), c.Name, low)
}
