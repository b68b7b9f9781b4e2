package method

import (
	"slices"
	"strings"

	"gelwright/framing"
	"gelwright/roof"
	"gelwright/settingout"
)

// timberCentres is how far apart battens and edge timbers are screwed, mm.
func timberCentres() string { return place(1000*framing.TimberFixM, 0) }

func (w *writer) trims() {
	w.stage = stageTrims
	has := map[roof.Condition]bool{}
	var metres []string
	for _, i := range w.decks {
		metres = append(metres, "setout."+w.in.Decks[i].Deck.Name+".trim_m")
		for _, e := range w.in.Decks[i].Deck.Edges {
			has[e.Condition] = true
		}
	}
	if has[roof.Drip] || has[roof.StepDown] {
		w.do("drip battens", holes{"centres": timberCentres()})
	}
	if has[roof.Kerb] || has[roof.Verge] {
		w.do("edge timbers", holes{"centres": timberCentres()})
	}
	if has[roof.Wall] || has[roof.Parapet] || has[roof.Tuck] || has[roof.StepUp] {
		w.do("wall fillets", nil)
	}
	w.do("trims", holes{"clouts": framing.CloutMM, "lap": w.in.Spec.TrimLapMM}, metres...)
	for _, i := range w.decks {
		w.joints(&w.in.Decks[i])
	}
	w.hold("trims tight", holes{"round": w.suffix})
}

// jointNames lists the movement joints of a deck that are raised, and those that are flush.
func jointNames(d *Deck) (raised, flush []string) {
	for _, j := range d.upper().MovementJoints {
		list := &flush
		if j.Raised {
			list = &raised
		}
		if !slices.Contains(*list, j.Name) {
			*list = append(*list, j.Name)
		}
	}
	return raised, flush
}

// joints prepares the movement joints of a deck before anything is laminated.
func (w *writer) joints(d *Deck) {
	raised, flush := jointNames(d)
	length := "setout." + d.Deck.Name + ".movement_joints"
	if len(raised) > 0 {
		w.do("raised joints", holes{"deck": d.Deck.Name, "joints": strings.Join(raised, ", "), "gap": settingout.JointGapMM,
			"wide": settingout.JointBattenMM,
			"high": settingout.JointHighMM, "centres": timberCentres()}, length)
	}
	if len(flush) > 0 {
		w.do("flush joints", holes{"deck": d.Deck.Name, "joints": strings.Join(flush, ", "), "gap": settingout.JointGapMM}, length)
	}
}

// caps closes the movement joints when everything is coated.
func (w *writer) caps(d *Deck) {
	raised, flush := jointNames(d)
	metres := "setout." + d.Deck.Name + ".joint_cap_m"
	if len(raised) > 0 {
		w.do("joint caps", holes{"deck": d.Deck.Name, "joints": strings.Join(raised, ", "), "centres": timberCentres()}, metres)
	}
	if len(flush) > 0 {
		w.do("joint strips", holes{"deck": d.Deck.Name, "joints": strings.Join(flush, ", ")}, metres)
	}
}
