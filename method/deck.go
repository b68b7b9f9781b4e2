package method

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check/detailing"
	"gelwright/check/moisture"
	"gelwright/framing"
	"gelwright/roof"
	"gelwright/settingout"
)

func (w *writer) setUp() {
	site := w.in.Site
	w.stage = stageSet
	w.do("edge protection", holes{"edge": place(site.EavesM, 1)})
	if slices.ContainsFunc(w.in.Decks, func(d Deck) bool {
		return slices.ContainsFunc(d.Deck.Openings, func(o roof.Opening) bool { return o.Fragile })
	}) {
		w.do("fragile", nil)
	}
	w.do("mixing place", nil)
	w.do("catalyst apart", nil)
	if len(site.Neighbours) > 0 {
		w.do("neighbours", holes{"who": strings.Join(site.Neighbours, ", ")}, "check.exposure.smell")
	}
}

func (w *writer) strip() {
	work := w.in.Work
	if work.Kind == "new" {
		return
	}
	w.stage = stageStrip
	if r := w.in.Refused; r != nil {
		w.hold("overlay refused", holes{"finding": r.Finding})
	}
	if work.AsbestosChecked == "" {
		w.hold("asbestos", nil)
	}
	if work.Kind == "overlay" {
		w.do("overlay", nil)
		return
	}
	w.do("strip", nil)
	if len(w.in.Decks) > 1 {
		var names []string
		for _, i := range slices.Concat(w.in.Rounds...) {
			names = append(names, w.in.Decks[i].Deck.Name)
		}
		w.do("top down", holes{"decks": strings.Join(names, ", then ")})
	}
}

func (w *writer) deck() {
	s := w.in.Spec
	w.stage = stageDeck
	for _, i := range w.decks {
		w.renew(&w.in.Decks[i])
		w.firrings(&w.in.Decks[i])
	}
	if w.in.Work.Sheeted {
		w.do("sheeted", nil)
	}
	for _, i := range w.decks {
		w.structural(&w.in.Decks[i])
	}
	if s.Build == "warm" {
		insulation := ""
		if x := s.Insulation; x != nil {
			insulation = said("insulation", holes{"thick": x.ThicknessMM, "insulation": x.Material, "edges": w.openEdges()})
		}
		w.do("vapour control", holes{"insulation": insulation}, "check.moisture.peak", "check.thermal.u")
	}
	for _, i := range w.decks {
		w.boards(&w.in.Decks[i])
		w.saddles(&w.in.Decks[i])
	}
	w.hold("deck ready", holes{"round": w.suffix, "dry": moisture.LaminateLimitPct})
}

// openEdges says what the insulation ends against at open edges, where there are any.
func (w *writer) openEdges() string {
	for _, i := range w.decks {
		if slices.ContainsFunc(w.in.Decks[i].Deck.Edges, settingout.OpenEdge) {
			return said("edges of the insulation", holes{"wide": settingout.EdgeBearerMM, "centres": timberCentres()})
		}
	}
	return ""
}

func (w *writer) firrings(d *Deck) {
	if n := d.firrings(); n > 0 {
		firrings, numbers, each := fmt.Sprintf("%d firrings", n), "their numbers", "each"
		if n == 1 {
			firrings, numbers, each = "one firring", "its number", "it is"
		}
		w.do("firrings", holes{"firrings": firrings, "numbers": numbers, "each": each, "deck": d.Deck.Name,
			"centres": place(1000*d.Framing.Value.FirringCentresM, 0), "hold": framing.HoldInJoistMM},
			"firring."+d.Deck.Name+".greatest")
	}
}

// structural lays the boards below the insulation, where there are any.
func (w *writer) structural(d *Deck) {
	under, b := d.structural(), w.in.Spec.Board
	if under == nil {
		return
	}
	key := "setout." + framing.StructuralName(d.Deck.Name)
	pieces, numbers := byNumber(len(under.Of(settingout.Board)), "board")
	w.do("structural deck", holes{"deck": d.Deck.Name, "bearers": bearers(d), "pieces": pieces, "numbers": numbers,
		"thick": b.ThicknessMM, "board": b.Material,
		"lying": lying(under, &d.Deck), "timbers": between(under), "screw": framing.OnJoistsScrew(b).MM, "edge": b.EdgeFixMM,
		"field": b.FieldFixMM},
		key+".boards", key+".fixings")
}

// between names the timbers between the joists after a semicolon; empty where there are none.
func between(s *settingout.SetOut) string {
	if words := framing.Timbers(s); words != "" {
		return "; " + words
	}
	return ""
}

// boards lays and fixes the boards that the laminate lies on.
func (w *writer) boards(d *Deck) {
	b := w.in.Spec.Board
	what := "board"
	if d.structural() != nil {
		what = "carrier board"
	}
	pieces, numbers := byNumber(len(d.upper().Of(settingout.Board)), what)
	w.do("boards", holes{"pieces": pieces, "numbers": numbers, "deck": d.Deck.Name, "thick": b.ThicknessMM,
		"board": b.Material,
		"lying": lying(d.upper(), &d.Deck), "gap": b.GapMM, "wall_gap": b.WallGapMM, "timbers": between(d.upper())},
		"setout."+d.Deck.Name+".boards")
	h := holes{"screw": framing.BoardScrew(b, w.in.Work, d.Deck.Base).MM, "bearers": bearers(d), "edge": b.EdgeFixMM, "field": b.FieldFixMM,
		"hold": framing.HoldInJoistMM}
	way := "screws into joists"
	switch {
	case framing.ThroughInsulation(w.in.Spec):
		way, h["into"], h["ends"] = "screws through insulation", "every joist", ""
		if d.firrings() > 0 {
			h["into"] = "the firring on every joist"
		}
		if ends := framing.IntoDeck(d.upper()); len(ends) > 0 && d.structural() != nil {
			h["ends"] = " " + said("ends off joists", holes{"boards": framing.ListOf(ends), "centres": math.Min(b.FieldFixMM, b.EdgeFixMM)})
		}
	case d.Deck.Base.Kind == "sound deck":
		way = "screws over an old deck"
	case d.Deck.Base.Kind == "concrete":
		way = "screws into concrete"
	}
	w.do(way, h, "setout."+d.Deck.Name+".fixings", "check.wind."+d.Deck.Name+".F")
}

// byNumber names so many pieces of a kind of board and whose numbers they are laid by.
func byNumber(count int, what string) (pieces, numbers string) {
	if count == 1 {
		return "one " + what + " piece", "its number"
	}
	return fmt.Sprintf("%d %s pieces", count, what), "their numbers"
}

// bearers is what the boards of a deck lie on.
func bearers(d *Deck) string {
	if d.firrings() > 0 {
		return "firrings"
	}
	return "joists"
}

// lying says how boards as set out lie to the joists: ", long edge across the joists";
// empty where nobody knows the joists.
func lying(s *settingout.SetOut, job *roof.Deck) string {
	if job.Base.Kind != "joists" || job.Base.JoistSpacingMM <= 0 {
		return ", as the board plan shows"
	}
	sin, cos := math.Sincos(job.Base.JoistBearingDeg * math.Pi / 180)
	across, along := 0, 0
	for _, b := range s.Of(settingout.Board) {
		if math.Abs(b.Along.X*cos+b.Along.Y*sin) > math.Sqrt2/2 {
			along++
		} else {
			across++
		}
	}
	switch {
	case along == 0:
		return ", long edge across the joists"
	case across == 0:
		return ", long edge along the joists"
	}
	return fmt.Sprintf(", long edge across the joists but for %d pieces along them", along)
}

// saddles are built behind openings that stand wide across the flow.
func (w *writer) saddles(d *Deck) {
	var names []string
	for _, o := range d.Deck.Openings {
		if detailing.NeedsSaddle(o, &d.Deck) {
			names = append(names, o.Name)
		}
	}
	if len(names) > 0 {
		w.do("saddle", holes{"deck": d.Deck.Name, "openings": joined(names), "centres": timberCentres()})
	}
}

// renew writes the steps by which a deck that stays is made sound and dry.
func (w *writer) renew(d *Deck) {
	b := w.in.Spec.Board
	for _, r := range d.Renewals {
		w.do("soft area", holes{"deck": d.Deck.Name, "name": r.Name, "wide": place(r.WideM, 1), "high": place(r.HighM, 1),
			"x": place(r.At.X, 2), "y": place(r.At.Y, 2),
			"board": b.Material, "thick": b.ThicknessMM, "edge": b.EdgeFixMM, "soft": place(r.SoftM2, 2)})
	}
	if d.structural() != nil || d.Deck.Base.Kind != "sound deck" {
		return
	}
	var at []string
	for _, x := range d.Deck.Wet() {
		at = append(at, fmt.Sprintf("(%.2f, %.2f) %.0f %%", x.At.X, x.At.Y, x.Pct))
	}
	if len(at) > 0 {
		w.do("wet deck", holes{"deck": d.Deck.Name, "where": strings.Join(at, ", "), "dry": moisture.LaminateLimitPct})
	}
}
