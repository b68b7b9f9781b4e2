package takeoff

import (
	"fmt"
	"math"
	"strings"

	"gelwright/material"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/working"
)

// What is forgotten on an order and fetched on the day: common practice throughout, with no
// source but the trade.
const (
	pasteCornerKG = 0.2  // bonding paste for the fillet of a corner formed on site, kg
	pasteKGPerM   = 0.03 // and at laps, gaps over 2 mm and screw heads, for each metre of trim, kg/m
	maskSheetM    = 1.1  // how far a pre-taped sheet hangs below an edge or up a wall, m
	gutterLapM    = 0.05 // lost at each joint of a gutter, m
	gutterPieceM  = 4.0
	copingPieceM  = 2.5
	copingDripMM  = 45.0 // coping over the wall on each side, mm
	feltM3PerM2   = 0.02 // stripped covering, tipped loose, for each layer, m³/m²
	deckM3PerM2   = 0.03 // deck boards of 18 mm that come off with it, tipped loose, m³/m²
)

// sundries books what goes with the edges, openings and the strip of one deck beside
// trims and laminate: filler, masking, gutters, rooflights, coping, and what is carted away.
func (o *taker) sundries(d *Deck, prefix string) {
	job := &d.Deck
	for i, e := range job.Edges {
		length, name := job.Outline.Edge(i).Length(), fmt.Sprintf("%sedge %d", prefix, i+1)
		if e.Condition == roof.Joins {
			continue
		}
		o.use(name, "mask.tape", "m", length)
		o.use(name, "mask.sheet", "m²", length*maskSheetM)
		switch e.Condition {
		case roof.Drip:
			joints := math.Max(0, math.Ceil(length/gutterPieceM-1e-9)-1)
			o.use(name, "gutter.length", "m", length+joints*gutterLapM)
		case roof.Parapet:
			o.use(name, o.coping(e), "m", length+math.Max(0, math.Ceil(length/copingPieceM-1e-9)-1)*gutterLapM)
		}
	}
	for _, p := range d.Framing.Value.Upper.Pieces {
		switch {
		case p.Kind == settingout.Corner && strings.HasPrefix(p.Material, "site-formed"):
			o.use(prefix+p.Number, "filler.paste", "kg", pasteCornerKG)
		case p.Kind == settingout.Trim:
			o.use(prefix+p.Number, "filler.paste", "kg", pasteKGPerM*float64(p.LengthMM)/1000)
		}
	}
	for _, h := range job.Openings {
		if h.Kind == "rooflight" || h.Kind == "hatch" {
			o.use(prefix+h.Name, o.unitOver(h), "piece", 1)
		}
	}
	o.carted(d)
}

// coping describes the cover of a parapet by the wall it lies on.
func (o *taker) coping(e roof.Edge) string {
	wide := e.WidthMM + 2*copingDripMM
	return o.item(material.Item{Key: fmt.Sprintf("coping.%g", e.WidthMM), Kind: material.KindTrim, Unit: "m", Standing: working.CommonPractice,
		Name:  fmt.Sprintf("Coping %.0f mm wide, for a parapet of %g mm, with drips and fixings", wide, e.WidthMM),
		Packs: []material.Pack{{Quantity: copingPieceM, Name: "length of 2.5 m"}}, Note: "cross out where the old coping goes back"})
}

// unitOver describes the rooflight or hatch on a kerb, by the kerb's outside.
func (o *taker) unitOver(h roof.Opening) string {
	low, high := h.Outline.Bounds()
	// To a hundredth of a millimetre first, so that where the roof lies tips no half millimetre.
	wide, deep := math.Round((high.X-low.X)*1e5)/100, math.Round((high.Y-low.Y)*1e5)/100
	// The longer side first, whichever way the roof is drawn.
	size := fmt.Sprintf("%.0f × %.0f mm", math.Max(wide, deep), math.Min(wide, deep))
	return o.item(material.Item{Key: "fitting." + h.Kind + "." + strings.NewReplacer(" mm", "", " × ", "x").Replace(size),
		Name: strings.ToUpper(h.Kind[:1]) + h.Kind[1:] + " unit for an opening of " + size + ", with seal and fixings", Kind: material.KindTrim,
		Unit: "piece", Standing: working.CommonPractice, Note: "measure the kerb when it stands; cross out where the old unit goes back"})
}

// carted books what is stripped, tipped loose. Asbestos goes with those who may take it.
func (o *taker) carted(d *Deck) {
	w := o.in.Work
	if w.Kind != "strip" || strings.Contains(strings.ToLower(w.OldCovering), "asbestos") {
		return
	}
	m2 := d.Geometry.Value.GrossM2
	m3 := m2 * feltM3PerM2 * float64(max(1, w.OldCoverings))
	if d.Deck.Base.Kind == "joists" {
		m3 += m2 * deckM3PerM2
	}
	o.use("deck "+d.Deck.Name, "waste.strip", "m³", m3)
}
