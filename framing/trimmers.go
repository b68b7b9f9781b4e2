package framing

import (
	"fmt"
	"strings"

	"gelwright/settingout"
)

// Timbers between the joists: noggins under boards' edges, and round openings headers and
// trimming pieces, which carry and are of the joists' own section.

const Header, trimmingPiece = "header", "trimming piece"

// Trimmer reports whether a timber between the joists trims an opening: a header or a
// trimming piece, of joist depth. Noggins are the others.
func Trimmer(p settingout.Piece) bool {
	return p.Kind == settingout.Noggin && (p.Role == Header || p.Role == trimmingPiece)
}

// Timbers says which timbers are set between the joists; empty where there are none.
func Timbers(s *settingout.SetOut) string {
	noggins, headers, pieces := 0, 0, 0
	for _, p := range s.Of(settingout.Noggin) {
		switch p.Role {
		case Header:
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

// IntoDeck lists the carrier boards whose ends are screwed into the structural deck.
func IntoDeck(s *settingout.SetOut) []string {
	var out []string
	for _, b := range s.Of(settingout.Board) {
		if strings.Contains(b.Note, intoDeckNote) {
			out = append(out, b.Number)
		}
	}
	return out
}
