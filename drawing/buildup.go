package drawing

import (
	"fmt"
	"strings"

	"gelwright/plane"
	"gelwright/roof"
)

// layer is one sheet of the build-up, from the deck board down.
type layer struct {
	stuff   stuff
	thickMM float64
	words   string
	// vcl marks a vapour control layer on the layer's upper face.
	vcl bool
}

const (
	joistShownMM = 70.0 // of joists or slab below the deck
	// firringShownMM of a firring, whose height changes along the joist.
	firringShownMM = 30.0
	unknownMM      = 18.0 // drawn where the survey gives no thickness; then not lettered
	coveringMM     = 6.0  // of an old covering that is laid over, drawn thicker than most are
	voidMM         = 50.0 // of a ventilated void whose height the survey does not give
)

func sized(locale, name string, mm float64) string {
	if mm <= 0 {
		return name
	}
	return name + " " + plain(locale, mm)
}

func orUnknown(mm float64) float64 {
	if mm <= 0 {
		return unknownMM
	}
	return mm
}

// layersOf lists the build-up of a deck below the laminate.
func layersOf(job *roof.Job, d roof.Deck) []layer {
	sp := job.Spec
	boards := sized(job.Site.Locale, sp.Board.Material, sp.Board.ThicknessMM)
	top := layer{board, orUnknown(sp.Board.ThicknessMM), boards, false}
	switch ins := sp.Insulation; {
	case sp.Build == "warm" && ins != nil:
		return append(warmLayers(job, d, top), bearing(job, d)...)
	case sp.Build == "cold" && ins != nil:
		return append([]layer{top}, coldLayers(job, d)...)
	}
	out := []layer{top}
	if d.Base.Kind == "sound deck" {
		out = append(out, existing(job, false)...)
	}
	return append(out, bearing(job, d)...)
}

// warmLayers are the board on its insulation and, but on concrete, the deck under that.
func warmLayers(job *roof.Job, d roof.Deck, top layer) []layer {
	sp, ins := job.Spec, job.Spec.Insulation
	words := sized(job.Site.Locale, ins.Material, ins.ThicknessMM)
	if ins.Tapered {
		words += ", tapered"
	}
	boards := top.words
	out := []layer{top, {foam, orUnknown(ins.ThicknessMM), words, false}}
	switch d.Base.Kind {
	case "joists":
		// Boarded twice: the carrier boards over the insulation, and the deck below it.
		out[0].words = "carrier board, " + boards
		out = append(out, layer{board, orUnknown(sp.Board.ThicknessMM), "structural deck, " + boards, sp.VapourLayer()})
	case "sound deck":
		out[0].words = "carrier board, " + boards
		out = append(out, existing(job, sp.VapourLayer())...)
	}
	return out
}

// coldLayers are what lies below the board where the insulation is between the joists.
func coldLayers(job *roof.Job, d roof.Deck) []layer {
	sp, ins := job.Spec, job.Spec.Insulation
	var out []layer
	if d.Base.Kind == "sound deck" {
		out = append(out, existing(job, false)...)
	}
	switch gap := d.Base.JoistDepthMM - ins.ThicknessMM; {
	case sp.VoidMM > 0:
		out = append(out, layer{beyond, sp.VoidMM, sized(job.Site.Locale, "ventilated void", sp.VoidMM), false})
	case gap > 0:
		out = append(out, layer{beyond, gap, sized(job.Site.Locale, "ventilated void", gap), false})
	case d.Base.JoistDepthMM == 0:
		out = append(out, layer{beyond, voidMM, "ventilated void, its height to be measured", false})
	}
	return append(out, layer{foam, orUnknown(ins.ThicknessMM), sized(job.Site.Locale, ins.Material, ins.ThicknessMM) + " between joists",
		false})
}

// bearing is what carries the deck: a slab, or joists with the firrings on them.
func bearing(job *roof.Job, d roof.Deck) []layer {
	sp := job.Spec
	if d.Base.Kind == "concrete" {
		return []layer{{concrete, joistShownMM, "concrete slab", sp.Build == "warm" && sp.VapourLayer()}}
	}
	var out []layer
	if d.Base.Kind == "joists" && job.Work.Kind == "new" && d.Falls.Kind != plane.Level && (sp.Insulation == nil || !sp.Insulation.Tapered) {
		out = append(out, layer{timber, firringShownMM, "firring; its heights stand in the schedule", false})
	}
	words := "joists"
	if d.Base.JoistWidthMM > 0 && d.Base.JoistDepthMM > 0 {
		words = fmt.Sprintf("joists %.0f × %.0f", d.Base.JoistWidthMM, d.Base.JoistDepthMM)
	}
	return append(out, layer{beyond, joistShownMM, words, false})
}

// existing is the deck that stays, and the covering on it that is laid over.
func existing(job *roof.Job, vcl bool) []layer {
	deck := layer{board, unknownMM, "existing deck", false}
	if job.Work.OldDeck != "" {
		deck.words += ", " + job.Work.OldDeck
	}
	if job.Work.Kind != "overlay" || job.Work.OldCovering == "" || job.Work.OldCovering == "none" {
		deck.vcl = vcl
		return []layer{deck}
	}
	cover := layer{beyond, coveringMM, "existing " + job.Work.OldCovering, vcl}
	if job.Work.OldCoverings > 1 {
		cover.words += fmt.Sprintf(", %d coverings", job.Work.OldCoverings)
	}
	return []layer{cover, deck}
}

// laminateWords name the layers of mat and the top coat.
func laminateWords(sp roof.Spec) string {
	var mats []string
	for _, g := range sp.Layers {
		mats = append(mats, fmt.Sprintf("%g", g))
	}
	w := "laminate " + strings.Join(mats, " + ") + " g/m²"
	if sp.TopCoat.Coats > 0 {
		w += ", top coat"
	}
	return w
}

// deckUpTo draws the build-up from the break on the left to x1, with its notes,
// and returns the height of its underside.
func (d *detail) deckUpTo(job *roof.Job, dk roof.Deck, x1 float64, open string) float64 {
	d.noteLeft(-reachMM+40, skinMM, laminateWords(job.Spec))
	y := 0.0
	for i, l := range layersOf(job, dk) {
		low := y - l.thickMM
		o := "l" + open
		if l.words != "" && (l.stuff == beyond || l.stuff == concrete) && l.thickMM == joistShownMM {
			o += "b"
		}
		d.cut(rectangle(l.stuff, -reachMM, low, x1, y, o))
		d.noteLeft(-reachMM+22+14*float64(i%3), (y+low)/2, l.words)
		if l.vcl {
			d.line("vapour control layer", metalPen, xy(-reachMM, y+1.5), xy(x1, y+1.5))
			d.noteLeft(-reachMM+12, y+1.5, "vapour control layer")
		}
		y = low
	}
	if job.Spec.Build == "cold" && job.Spec.VapourLayer() {
		d.line("vapour control layer", metalPen, xy(-reachMM, y-1.5), xy(x1, y-1.5))
		d.noteLeft(-reachMM+12, y-1.5, "vapour control layer")
	}
	top := 12.0
	if job.Spec.Build == "inverted" && job.Spec.Insulation != nil {
		t := orUnknown(job.Spec.Insulation.ThicknessMM)
		// Left out towards the edge, where heights are lettered.
		d.cut(rectangle(foam, -reachMM, 8, -reachMM+55, 8+t, "lr"))
		d.breakLine(xy(-reachMM+55, 8), xy(-reachMM+55, 8+t))
		d.noteLeft(-reachMM+30, 8+t/2, sized(job.Site.Locale, job.Spec.Insulation.Material, job.Spec.Insulation.ThicknessMM)+
			" up to the edge, loose laid and weighted")
		top += t
	}
	d.breakLine(xy(-reachMM, y), xy(-reachMM, top))
	return y
}
