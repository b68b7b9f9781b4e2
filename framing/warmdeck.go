package framing

import (
	"context"
	"math"
	"slices"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
	"gelwright/settingout"
)

// TwoDecks reports whether a deck is boarded twice: a warm roof over joists has its
// structural deck below the insulation and the carrier boards above it. Where the
// survey says that boards lie on a sound deck, that deck is the lower one.
func TwoDecks(s roof.Spec, d *roof.Deck) bool {
	return s.Build == "warm" && s.Insulation != nil && d.Base.Kind == "joists"
}

// StructuralName keeps the lower deck's figures apart from the upper's.
func StructuralName(deck string) string { return deck + " structural deck" }

// bothDecks sets out the boards below the insulation, on joists, with noggins, fixed all
// round, and the carrier boards above it with all that lies on them.
func bothDecks(ctx context.Context, d roof.Deck, spec roof.Spec, given settingout.Given) (*settingout.SetOut, settingout.SetOut, error) {
	lower := d
	lower.Name = StructuralName(d.Name)
	lower.MovementJoints = nil // they part the boards that the laminate lies on
	under, over, err := settingout.MakeTwo(ctx, lower, d, spec, given)
	if err != nil {
		return nil, over, err
	}
	over, err = carriers(ctx, d, spec, given, over)
	return structural(under), over, err
}

// structural keeps boards, joints, noggins and fixings of the lower deck.
func structural(s settingout.SetOut) *settingout.SetOut {
	keep := settingout.SetOut{Deck: s.Deck, Joints: s.Joints, Supports: s.Supports, Fixings: s.Fixings}
	for _, p := range s.Pieces {
		if p.Kind == settingout.Board || p.Kind == settingout.Noggin {
			p.Number = lower(p.Number)
			keep.Pieces = append(keep.Pieces, p)
		}
	}
	for i := range keep.Joints {
		keep.Joints[i].A, keep.Joints[i].B = lower(keep.Joints[i].A), lower(keep.Joints[i].B)
	}
	for i := range keep.Fixings {
		keep.Fixings[i].Board = lower(keep.Fixings[i].Board)
	}
	for _, mat := range s.Materials {
		if mat.Kind == settingout.Board {
			keep.Materials = append(keep.Materials, lowered(mat))
		}
	}
	for _, c := range s.Choices {
		if c.About == "boards" {
			keep.Choices = append(keep.Choices, c)
		}
	}
	for _, f := range s.Findings {
		if ofBoards(f) {
			keep.Findings = append(keep.Findings, f)
		}
	}
	for _, f := range s.Figures {
		end := f.Key[strings.LastIndexByte(f.Key, '.')+1:]
		if slices.Contains([]string{"boards", "joints", "fixings", "board_waste"}, end) {
			keep.Figures = append(keep.Figures, f)
		}
	}
	return &keep
}

// ofBoards reports whether a finding is about boards and what bears them.
func ofBoards(f settingout.Finding) bool {
	return strings.HasPrefix(f.Code, "board.") || f.Code == "edge.bearing" || f.Code == "opening.joist"
}

// lowered names boards, and the pieces cut from them, as those of the structural deck.
func lowered(mat settingout.Material) settingout.Material {
	for i := range mat.Stock {
		for k := range mat.Stock[i].Cuts {
			mat.Stock[i].Cuts[k].Piece = lower(mat.Stock[i].Cuts[k].Piece)
		}
	}
	mat.Name = strings.Replace(mat.Name, "board", "structural deck board", 1)
	return mat
}

// lower marks the number of a piece of the structural deck: "SB3", "SN1".
func lower(number string) string { return "S" + number }

// screwLineM parts the lines of screws through insulation into a deck whose joists were
// not surveyed (common practice: joists are mostly 400 mm apart).
const screwLineM = 0.4

// screwLines stands in for joists below a sound deck: lines across the boards.
func screwLines(s *settingout.SetOut, net []plane.Polygon) []settingout.Support {
	boards := s.Of(settingout.Board)
	if len(boards) == 0 {
		return nil
	}
	u := boards[0].Along.Unit()
	n := u.Left()
	low, high := math.Inf(1), math.Inf(-1)
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range net {
		a, b := p.Extent(u)
		low, high = math.Min(low, a), math.Max(high, b)
		a, b = p.Extent(n)
		least, most = math.Min(least, a), math.Max(most, b)
	}
	var out []settingout.Support
	for at := low + 0.05; at < high; at += screwLineM {
		out = append(out, settingout.Support{From: u.Scale(at).Add(n.Scale(least - 1)), To: u.Scale(at).Add(n.Scale(most + 1)),
			WidthMM: 1000 * screwLineM / 2})
	}
	return out
}
