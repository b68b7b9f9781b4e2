package takeoff

import (
	"fmt"
	"math"
	"strings"

	"gelwright/framing"
	"gelwright/material"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/working"
)

// What is bought for edges, openings and penetrations beside trims and laminate
// (common practice throughout).
const (
	flashingPieceM = 1.5                        // longest piece of a metal flashing, m
	flashingLapM   = 0.1                        // its lap, m
	wedgeM         = 0.45                       // wedges in the chase, m
	sealantM       = 3.1                        // a 310 ml cartridge in a joint of 10 × 10 mm, m
	kerbTimberMM   = settingout.KerbThicknessMM // width of the timber of a kerb around an opening, mm
	kerbCourseMM   = 225                        // highest timber in one piece; higher kerbs take courses, mm
	battenMM       = settingout.BattenMM        // thickness of a batten behind a trim, mm
	mostSheetM2    = 100                        // bare deck that is open at one time, m²
)

// buildUpMM is what lies between the top of the boards and the bearing of a kerb's timber,
// as drawn in section: boards, insulation over the deck, and the structural deck under it.
func buildUpMM(s roof.Spec, base roof.Base) float64 {
	b := s.Board.ThicknessMM
	if !framing.ThroughInsulation(s) {
		return b
	}
	b += s.Insulation.ThicknessMM
	if base.Kind == "joists" {
		b += s.Board.ThicknessMM
	}
	return b
}

// edgesAndHoles books flashings, raised-edge timber, kerbs, fittings and the night's
// sheet of one deck to the edges, openings and penetrations that they serve.
func (o *taker) edgesAndHoles(d *Deck, prefix string) {
	job := &d.Deck
	o.edges(job, prefix)
	for _, h := range job.Openings {
		around := h.Outline.Perimeter()
		if h.Kind == "chimney" {
			o.flashing(prefix+h.Name, around)
			continue
		}
		// It stands in the opening, from its bearing below the build-up to its top.
		highMM := h.KerbMM + buildUpMM(o.in.Spec, job.Base)
		courses := math.Max(1, math.Ceil(highMM/kerbCourseMM-1e-9))
		// Butted at the corners: each takes its own width more.
		o.use(prefix+h.Name, o.timber("kerbs of openings", highMM/courses, kerbTimberMM), "m",
			courses*(around+float64(len(h.Outline))*kerbTimberMM/1000))
		for i := range h.Outline {
			at := courses * framing.Places(h.Outline.Edge(i).Length(), framing.TimberFixM)
			o.fixTimber(prefix+h.Name, "kerbs of openings", math.Min(highMM/courses, kerbCourseMM), at)
		}
	}
	for _, p := range job.Penetrations {
		size := fmt.Sprintf("%g mm", p.DiameterMM)
		if p.DiameterMM == 0 {
			size = fmt.Sprintf("%g × %g mm", p.WidthMM, p.DepthMM)
		}
		switch p.Kind {
		case "outlet":
			o.use(prefix+p.Name, o.fitting("outlet", "Roof outlet with flange to laminate to, and leaf guard", size), "piece", 1)
		case "overflow":
			o.use(prefix+p.Name, o.fitting("overflow", "Overflow spout through an upstand, flanged", size), "piece", 1)
		case "pipe", "flue":
			words := "Collar for a pipe, with clamp or weathering ring"
			if p.Kind == "flue" {
				words = "Collar for a hot flue, with storm cowl and air space"
			}
			o.use(prefix+p.Name, o.fitting("collar-"+p.Kind, words, size), "piece", 1)
		}
	}
	if o.in.Work.Kind != "overlay" {
		o.use("deck "+job.Name, "sheet.temporary", "m²", math.Min(d.Geometry.Value.GrossM2+d.Geometry.Value.EdgeM*0.5, mostSheetM2))
	}
}

// edges books what every edge takes beside its trim.
func (o *taker) edges(job *roof.Deck, prefix string) {
	for i, e := range job.Edges {
		length, name := job.Outline.Edge(i).Length(), fmt.Sprintf("%sedge %d", prefix, i+1)
		if settingout.OpenEdge(e) && framing.ThroughInsulation(o.in.Spec) {
			high := o.in.Spec.Insulation.ThicknessMM
			o.use(name, o.timber("edges of the insulation", high, settingout.EdgeBearerMM), "m", length)
			o.fixTimber(name, "edges of the insulation", high, framing.Places(length, framing.TimberFixM))
		}
		switch {
		case framing.Chased(e):
			o.flashing(name, length)
		case e.Condition == roof.Kerb || e.Condition == roof.Verge:
			o.use(name, o.timber("raised edges", e.HeightMM, settingout.EdgeTimberMM(e)), "m", length)
			o.use(name, "timber.batten.50x25", "m", length)
			o.fixTimber(name, edgeTimbers, e.HeightMM+o.in.Spec.Board.ThicknessMM, framing.Places(length, framing.TimberFixM))
			o.fixTimber(name, battens, battenMM, framing.Places(length, framing.TimberFixM))
		}
	}
}

// flashing books a chased cover flashing with its laps, wedges and sealant.
func (o *taker) flashing(name string, length float64) {
	laps := math.Max(0, math.Ceil((length-flashingLapM)/(flashingPieceM-flashingLapM)-1e-9)-1)
	o.use(name, "flashing.cover", "m", length+laps*flashingLapM)
	o.use(name, "flashing.wedge", "piece", math.Ceil(length/wedgeM-1e-9)+1)
	o.use(name, "sealant.wall", "piece", length/sealantM)
}

// timber describes sawn timber by its use and section.
func (o *taker) timber(use string, heightMM, widthMM float64) string {
	key := fmt.Sprintf("timber.%s.%gx%g", strings.ReplaceAll(use, " ", "-"), heightMM, widthMM)
	return o.item(material.Item{Key: key, Name: fmt.Sprintf("Timber %g mm high, %g mm wide, treated, for %s", heightMM, widthMM, use),
		Kind: material.KindTimber, Unit: "m",
		Packs: []material.Pack{{Quantity: 4.8,
			Name: "length of 4.8 m"}}, Standing: working.CommonPractice, Note: "the finished height above the deck: rip it from the next size up"})
}

func (o *taker) fitting(kind, words, size string) string {
	return o.item(material.Item{Key: "fitting." + kind + "." + strings.NewReplacer(" mm", "", " × ", "x").Replace(size),
		Name: words + ", " + size, Kind: material.KindTrim, Unit: "piece", Standing: working.CommonPractice})
}

// throughScrew names the screw that holds carrier board and insulation, by the length
// that the build-up asks for.
func (o *taker) throughScrew(d *Deck) string {
	s, work := o.in.Spec, o.in.Work
	below := s.Board.ThicknessMM
	least, into, apart := 2*below+s.Insulation.ThicknessMM+framing.HoldInJoistMM, "joists", ""
	words := fmt.Sprintf("%.0f", framing.ScrewLengthMM(least))
	if n := work.OldCoverings; work.Kind == "overlay" {
		least += float64(max(1, n)) * framing.CoveringMM
		words = fmt.Sprintf("%.0f", framing.ScrewLengthMM(least))
	}
	note := fmt.Sprintf("carrier board %g + insulation %g + deck below %g + %d mm held in the joist", s.Board.ThicknessMM,
		s.Insulation.ThicknessMM, below, framing.HoldInJoistMM)
	if !framing.TwoDecks(s, &d.Deck) {
		note += "; the deck below is taken as thick as the new boards: measure it"
	}
	if work.Kind == "overlay" {
		note += fmt.Sprintf("; the old covering is taken as %d mm", max(1, work.OldCoverings)*framing.CoveringMM)
	}
	if low, high := runoff.FirringRange(d.Falls.Value.Firrings); len(d.Falls.Value.Firrings) > 0 {
		into, apart = "firrings", "firrings."
		note = strings.Replace(note, "held in the joist", "held in the firring",
			1) + fmt.Sprintf("; firrings of %.0f to %.0f mm lie below: the screw bites into the firring, and the firring is held to its joist "+
			"by screws of its own", low, high)
	}
	if s.Insulation.Tapered {
		words += " to " + fmt.Sprintf("%.0f", framing.ScrewLengthMM(least+d.Geometry.Value.HighestMM))
		note += "; the insulation is tapered: sort lengths by the board plan"
	}
	return o.item(material.Item{Key: "screw.through-insulation." + apart + strings.ReplaceAll(words, " to ", "-"),
		Name: "Screws through insulation into " + into + ", 4.8 × " + words + " mm", Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 50, Name: "box of 50"},
			{Quantity: 100, Name: "box of 100"}}, Standing: working.CommonPractice, Note: note})
}

// insulation names the layer with its thickness, in the catalogue's packs where it has them.
func (o *taker) insulation() string {
	layer := o.in.Spec.Insulation
	thick := fmt.Sprintf("%g mm", layer.ThicknessMM)
	if layer.Tapered {
		thick = fmt.Sprintf("tapered, %g mm at the thin end", layer.ThicknessMM)
	}
	if ins, err := o.in.Catalogue.InsulationOf(insulationName(layer.Material)); err == nil {
		// The catalogue holds a kind of board; the job says how thick.
		for i := range o.items {
			if o.items[i].Key == ins.Key && !strings.Contains(o.items[i].Name, thick) {
				o.items[i].Name += ", " + thick
			}
		}
		return ins.Key
	}
	return o.item(material.Item{Key: "insulation." + strings.ReplaceAll(strings.ToLower(layer.Material), " ", "-"),
		Name: layer.Material + ", " + thick, Kind: material.KindInsulation, Unit: "m²", Standing: working.CommonPractice})
}

// aggregate finds the grade that the file names.
func (o *taker) aggregate() string {
	grade := strings.NewReplacer("–", "-", "mm", "", " ", "").Replace(o.in.Spec.AggregateGrade)
	if grade == "" {
		grade = "0.5-1.2"
	}
	return o.item(material.Item{Key: "aggregate." + grade,
		Name: "Anti-slip aggregate, sharp, " + strings.ReplaceAll(grade, "-",
			"–") + " mm", Kind: material.KindAggregate, Unit: "kg", KGPerUnit: 1,
		Packs: []material.Pack{{Quantity: 25, Name: "25 kg bag"}}, Hazards: []string{"silica dust: pour low, mask"},
		Standing: working.CommonPractice})
}
