package plan

import (
	"gelwright/settingout"
)

// Pieces returns every piece of the deck, those of the structural deck first.
func (d *Deck) Pieces() []settingout.Piece {
	if d.Structural == nil {
		return d.SetOut.Pieces
	}
	return append(append([]settingout.Piece(nil), d.Structural.Pieces...), d.SetOut.Pieces...)
}

// Materials returns every material cut for the deck, those of the structural deck first.
func (d *Deck) Materials() []settingout.Material {
	if d.Structural == nil {
		return d.SetOut.Materials
	}
	return append(append([]settingout.Material(nil), d.Structural.Materials...), d.SetOut.Materials...)
}

// Choices returns what was weighed in setting out, those of the structural deck first.
func (d *Deck) Choices() []settingout.Choice {
	if d.Structural == nil {
		return d.SetOut.Choices
	}
	// Boards lie twice: each choice says which it is about.
	named := func(name string, choices []settingout.Choice) []settingout.Choice {
		out := append([]settingout.Choice(nil), choices...)
		for i := range out {
			if out[i].About == "boards" {
				out[i].About = name
			}
		}
		return out
	}
	return append(named("structural deck boards", d.Structural.Choices), named("carrier boards", d.SetOut.Choices)...)
}

// Notes returns the findings of the set-out, those of the structural deck first.
func (d *Deck) Notes() []settingout.Finding {
	if d.Structural == nil {
		return d.SetOut.Findings
	}
	return append(append([]settingout.Finding(nil), d.Structural.Findings...), d.SetOut.Findings...)
}
