package roof

import (
	"fmt"
	"strings"

	"gelwright/internal/iso3166"
	"gelwright/plane"
	"gelwright/working"
)

// Finding is a question or a flag that the survey raises by itself, before any
// physics: something to ask, to measure, or to do.
type Finding struct {
	// Code names the rule for good: "edge.low_kerb".
	Code string `json:"code"`
	// Where is the piece, empty for the whole job.
	Where string `json:"where,omitempty"`
	// Text says what was found with its figures, Remedy what to do.
	Text   string `json:"text"`
	Remedy string `json:"remedy"`
	// Source of the rule with its standing.
	Source working.Source `json:"source"`
}

// Sources of the survey rules.
var (
	tradePractice = working.Source{Title: "roofing trade", Standing: working.CommonPractice}
	bs6229        = working.Source{Title: "BS 6229:2018", Standing: working.Remembered}
	bs6229Fall    = working.Source{Title: "BS 6229:2018", Clause: "falls", Standing: working.Quoted}
	adK           = working.Source{Title: "Approved Document K (England)", Standing: working.Remembered}
	workAtHeight  = working.Source{Title: "Work at Height Regulations 2005 (UK)", Standing: working.Remembered}
	geometry      = working.Source{Title: "geometry of the survey", Standing: working.Derived}
)

type finder struct {
	job  *Job
	list []Finding
}

func (f *finder) add(code, where, text, remedy string, source working.Source) {
	f.list = append(f.list, Finding{Code: code, Where: where, Text: text, Remedy: remedy, Source: f.local(source)})
}

// local is a source as it stands at the site: a British text is the rule in Britain, elsewhere
// it says only that the practice is known.
func (f *finder) local(s working.Source) working.Source {
	if iso3166.Country(f.job.Site.Country) == "GB" || !british(s.Title) {
		return s
	}
	return working.Source{Title: "practice of flat roofs; in Britain " + s.Title, Clause: s.Clause, Standing: working.CommonPractice}
}

func british(title string) bool {
	for _, start := range []string{"BS ", "Approved Document", "Work at Height", "Party Wall"} {
		if strings.HasPrefix(title, start) {
			return true
		}
	}
	return false
}

// assumed reports whether a field holds a default.
func (f *finder) assumed(field string) bool {
	for _, d := range f.job.Defaults {
		if d.Field == field {
			return true
		}
	}
	return false
}

// Findings returns what the survey of a valid job raises by itself, the whole job
// first, then deck by deck. The rules are those of the trade, each with its source
// and standing; they decide nothing that a person has not decided.
func Findings(j Job) []Finding {
	f := &finder{job: &j}
	f.refused()
	f.access()
	f.buildUp()
	f.oldRoof()
	f.people()
	f.sizes()
	f.cascade()
	for i := range j.Decks {
		f.deck(&j.Decks[i], j.DeckPath(i))
	}
	return f.list
}

// plainAreaM2 is the area of all decks without their openings, m².
func (j *Job) plainAreaM2() float64 {
	sum := 0.0
	for i := range j.Decks {
		sum += j.Decks[i].netM2()
	}
	return sum
}

func (d *Deck) netM2() float64 {
	a := d.Outline.Area()
	for _, o := range d.Openings {
		a -= o.Outline.Area()
	}
	return a
}

// heightM is where a fall counts as from height for the rules here: one storey.
const heightM = 3.5

func (f *finder) access() {
	s := f.job.Site
	f.add("height.edge_protection", "", fmt.Sprintf("the roof stands %g m above the ground", s.EavesM),
		"edge protection on every open side before anyone goes up: main rail at 950 mm or more, gaps of 470 mm at most, or work from a tower "+
			"or scaffold", workAtHeight)
	if s.EavesM >= heightM {
		f.add("height.warning", "", fmt.Sprintf("%g m is above one storey: scaffold, and lifting of boards and resin, are to be planned",
			s.EavesM), "order the scaffold and its licence where it stands on the street; allow 10 to 20 % more time", tradePractice)
	}
	if s.Terrain == "0" || s.Terrain == "I" || s.EavesM >= 6 || s.SeaKM > 0 && s.SeaKM <= 2 {
		f.add("wind.hold", "", "the place is exposed to wind", "stop handling boards and mat above 8 to 10 m/s; read a wind gauge on the "+
			"roof, not on the ground", tradePractice)
		f.add("wind.fixings", "", "the place is exposed to wind: closer fixings of the boards at edges and corners",
			"follow the wind check; 100 to 150 mm along the edges is usual in exposed places", tradePractice)
	}
	if f.job.Use.Access == "balcony" || f.job.Use.Access == "walkway" {
		f.add("guard.height", "", "people use this roof: is there a guard 1100 mm high above the finished surface?",
			"have a structural engineer design guard and fixings; fix it to face or kerb, not through the laminate", adK)
		f.add("fire.balcony", "", "how high is the building, and may its balconies hold combustible material?",
			"ask building control before the build-up is chosen", working.Source{Title: "Approved Document B (England), Regulation 7",
				Standing: working.Remembered})
		if n := len(f.job.Spec.Layers); n < 2 {
			f.add("laminate.layers", "", fmt.Sprintf("%d layer of mat where people walk", n), "lay two layers of 450 g/m² or more", tradePractice)
		} else {
			f.add("laminate.layers", "", fmt.Sprintf("%d layers of mat where people walk", n),
				"lay the second before the first is fully hard, or abrade between them", tradePractice)
		}
	}
}

func (f *finder) buildUp() {
	u, s := f.job.Use, f.job.Spec
	switch {
	case u.Below == "unheated" || u.Below == "open":
		if u.Below == "unheated" && s.Insulation == nil {
			f.add("ventilation.unheated", "", "the space below is unheated and the roof has no insulation",
				"ventilate the space at two sides, or the new tight skin drips on cold mornings", tradePractice)
		}
	case s.Insulation == nil:
		f.add("insulation.ask", "", "the space below is heated, and no insulation is given",
			"give spec.insulation, or say why there is none; renewing a roof often brings a duty to insulate", tradePractice)
	}
	if s.Build == "cold" {
		f.add("ventilation.cold", "", "cold deck: is there a clear way for air over the insulation?",
			"50 mm clear over the insulation, open at both ends of every void, 5 m at most between vents; or change to a warm deck", bs6229)
	}
}

func (f *finder) oldRoof() {
	w := f.job.Work
	if w.Kind == "new" {
		return
	}
	if w.AsbestosChecked == "" {
		f.add("asbestos.check", "", "nobody has said that the old roof was checked for asbestos",
			"have it surveyed before anything is cut or lifted; stop and refer if it may hold asbestos",
			working.Source{Title: "Control of Asbestos Regulations 2012 (UK)", Standing: working.Remembered})
	}
	if w.OldCoverings >= 2 {
		f.add("coverings.two", "", fmt.Sprintf("%d coverings lie on each other", w.OldCoverings),
			"strip them: a third layer hides wet and weighs on the joists", tradePractice)
	}
	if w.Kind != "overlay" {
		return
	}
	if w.OldCovering == "felt" {
		f.add("laminate.bitumen", "", "the old surface is bitumen",
			"never laminate on bitumen: styrene softens it, it stains and stops the cure. Lay new boards over it, or strip", tradePractice)
	}
}

// RefusesOverlay reports whether an old deck of a material is replaced and never overlaid
// (common practice).
func RefusesOverlay(oldDeck string) bool { return oldDeck == "chipboard" }

// refused stands before everything else: what follows is idle where the work itself is
// not to be done.
func (f *finder) refused() {
	if w := f.job.Work; w.Kind == "overlay" && RefusesOverlay(w.OldDeck) {
		f.add("overlay.refused", "", "the old deck is "+w.OldDeck+", which swells and rots under a leak: an overlay is refused",
			"replace the deck: set work.kind to strip", tradePractice)
	}
}

func (f *finder) people() {
	s := f.job.Site
	for _, n := range s.Neighbours {
		f.add("neighbour.notice", n, "styrene is smelt far below any limit",
			"give notice 48 hours ahead: dates, what the smell is, close windows, switch off air intakes, a telephone number", tradePractice)
	}
	if s.Enclosed {
		f.add("site.enclosed", "", "the place is enclosed: styrene collects",
			"move the air, measure or wear A2P3 masks, and give notice to everyone around", tradePractice)
	}
	if f.job.Work.FinishBy != "" {
		f.add("programme.fixed_end", "", "the work must end on "+f.job.Work.FinishBy,
			"plan days in hand for weather, and agree what happens if they are used up", tradePractice)
	}
	shared := false
	for i := range f.job.Decks {
		for _, e := range f.job.Decks[i].Edges {
			shared = shared || e.Shared
		}
	}
	if shared {
		f.add("party_wall.notice", "", "walls or parapets are shared with neighbours",
			"is a party wall notice needed? Serve it before the work: two months for a party wall, as a rule",
			working.Source{Title: "Party Wall etc. Act 1996 (England and Wales)", Standing: working.Remembered})
	}
}

// Limits of one piece of laminate (common practice); dark colours take a fifth off.
const (
	largeM2  = 50
	longM    = 10
	darkPart = 0.8
	smallM2  = 4
)

func dark(colour string) bool {
	c := strings.ToLower(colour)
	return strings.Contains(c, "dark") || strings.Contains(c, "black") || strings.Contains(c, "anthracite")
}

func (f *finder) sizes() {
	if a := f.job.plainAreaM2(); a < smallM2 {
		f.add("price.minimum", "", fmt.Sprintf("%.2f m² is a small job: fixed costs outweigh the area", a),
			"price it at the firm's minimum charge, details one by one", tradePractice)
	}
	antiSlip := 0.0
	for i := range f.job.Decks {
		d := &f.job.Decks[i]
		if d.AntiSlipAll {
			antiSlip += d.netM2()
			continue
		}
		for _, r := range d.AntiSlip {
			antiSlip += r.Area()
		}
	}
	if antiSlip > 0 {
		f.add("aggregate.quantity", "", fmt.Sprintf("%.2f m² take aggregate: %.1f kg at %g kg/m²",
			antiSlip, antiSlip*f.job.Spec.AggregateKGPerM2,
			f.job.Spec.AggregateKGPerM2), f.job.Spec.TopCoat.gritWords()+"; allow a fifth more for what is swept off", tradePractice)
	}
}

// gritWords says which coat takes aggregate and what seals it.
func (c TopCoat) gritWords() string {
	if c.Coats < 2 {
		return "broadcast into the wet coat; a second coat would seal it, the plan has one"
	}
	return fmt.Sprintf("broadcast into coat %d while it is wet, sealed by coat %d", c.GritCoat(), c.Coats)
}

// stepMM is the least step between two decks that water drips over.
const stepMM = 150

// cascade follows the water from deck to deck.
func (f *finder) cascade() {
	below := map[string]string{}
	for i := range f.job.Decks {
		d := &f.job.Decks[i]
		for n, e := range d.Edges {
			if e.To == "" || e.Condition != StepDown {
				continue
			}
			below[d.Name] = e.To
			for k := range f.job.Decks {
				if o := &f.job.Decks[k]; o.Name == e.To {
					step := 1000 * (d.LevelM - o.LevelM)
					text := fmt.Sprintf("the step to deck %q is %.0f mm", o.Name, step)
					if step >= stepMM {
						f.add("step.height", d.EdgeWhere(n), text+fmt.Sprintf(", %d mm are wanted: enough", stepMM),
							"carry the lower deck's upstand up behind the drip", tradePractice)
					} else {
						f.add("step.low", d.EdgeWhere(n), text+fmt.Sprintf(", less than %d mm", stepMM), "raise the step, or laminate both decks as one",
							tradePractice)
					}
				}
			}
		}
	}
	for i := range f.job.Decks {
		start := f.job.Decks[i].Name
		if f.fed(start, below) || below[start] == "" {
			continue
		}
		order := []string{start}
		for at := below[start]; at != "" && len(order) <= len(f.job.Decks); at = below[at] {
			order = append(order, at)
		}
		f.add("cascade.order", "", "water runs "+strings.Join(order, " > "),
			"work from the top down, each deck watertight in one day; never strip a deck below one that is still to be stripped", geometry)
	}
}

func (f *finder) fed(deck string, below map[string]string) bool {
	for i := range f.job.Decks {
		if below[f.job.Decks[i].Name] == deck {
			return true
		}
	}
	return false
}

// downAt returns the unit direction that water runs in at a place.
func downAt(falls plane.Falls, at plane.Point) plane.Point {
	switch {
	case len(falls.Planes) == 0:
		return plane.Point{}
	case falls.Kind == plane.ToPoint:
		return falls.Point.Sub(at).Unit()
	case len(falls.Planes) == 2:
		if falls.Line[1].Sub(falls.Line[0]).Cross(at.Sub(falls.Line[0])) < 0 {
			return falls.Planes[1].Down.Unit()
		}
	}
	return falls.Planes[0].Down.Unit()
}
