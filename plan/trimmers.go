package plan

import (
	"fmt"
	"strings"

	"gelwright/material"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

// Timbers between the joists: noggins under boards' edges, and round openings headers and
// trimming pieces, which carry and are of the joists' own section.

const header, trimmingPiece = "header", "trimming piece"

// Trimmer reports whether a timber between the joists trims an opening: a header or a
// trimming piece, of joist depth. Noggins are the others.
func Trimmer(p settingout.Piece) bool {
	return p.Kind == settingout.Noggin && (p.Role == header || p.Role == trimmingPiece)
}

// between books a timber between the joists, and a header's hangers: one at each end
// (common practice).
func (o *taker) between(number string, p settingout.Piece, base roof.Base) {
	metres := float64(p.LengthMM) / 1000
	if !Trimmer(p) {
		o.use(number, "timber.noggin.100x50", "m", metres)
		return
	}
	section := fmt.Sprintf("%d × %g mm", p.WidthMM, base.JoistDepthMM)
	key := fmt.Sprintf("%dx%g", p.WidthMM, base.JoistDepthMM)
	if base.JoistDepthMM <= 0 {
		section, key = fmt.Sprintf("%d mm wide, as deep as the joists", p.WidthMM), fmt.Sprintf("%d", p.WidthMM)
	}
	class := base.TimberClass
	if class != "" {
		key += "." + strings.ToLower(class)
		class = ", " + class
	}
	o.use(number, o.item(material.Item{Key: "timber.trimmer." + key, Name: "Timber " + section + class + ", for headers and trimming pieces", Kind: material.KindTimber, Unit: "m",
		Packs: []material.Pack{{Quantity: 4.8, Name: "length of 4.8 m"}}, Standing: working.CommonPractice, Note: "the joists' section, counted single: doubled or deeper where the engineer says"}), "m", metres)
	if p.Role != header {
		return
	}
	hanger := o.item(material.Item{Key: "hanger.joist." + key, Name: "Joist hangers for timber " + section, Kind: material.KindFixing, Unit: "piece", Standing: working.CommonPractice,
		Note: "one at each end of a header, with the nails it is made for; the engineer's detail goes before, and says how cut joists and trimming pieces hang on the header"})
	o.counted[hanger] = quantity.Waste{Source: working.Source{Title: "counted, one at each end", Standing: working.CommonPractice}}
	o.use(number, hanger, "piece", 2)
}

// timbers says which timbers are set between the joists; empty where there are none.
func timbers(s *settingout.SetOut) string {
	noggins, headers, pieces := 0, 0, 0
	for _, p := range s.Of(settingout.Noggin) {
		switch p.Role {
		case header:
			headers++
		case trimmingPiece:
			pieces++
		default:
			noggins++
		}
	}
	var parts []string
	if noggins > 0 {
		parts = append(parts, several(noggins, "noggin")+" under unsupported edges")
	}
	var round []string
	if headers > 0 {
		round = append(round, several(headers, "header"))
	}
	if pieces > 0 {
		round = append(round, several(pieces, "trimming piece"))
	}
	if len(round) > 0 {
		words := strings.Join(round, " and ") + " of joist depth round openings"
		if headers > 0 {
			words += ", a joist hanger at each end of a header, doubled where the engineer says"
		}
		parts = append(parts, words)
	}
	return strings.Join(parts, "; ")
}

// several counts in words: "one header", "2 headers".
func several(n int, one string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// intoDeckNote marks a carrier board with an end that no joist lies under.
const intoDeckNote = "no joist at an end: screwed along it into the structural deck"

// intoDeck lists the carrier boards whose ends are screwed into the structural deck.
func intoDeck(s *settingout.SetOut) []string {
	var out []string
	for _, b := range s.Of(settingout.Board) {
		if strings.Contains(b.Note, intoDeckNote) {
			out = append(out, b.Number)
		}
	}
	return out
}
