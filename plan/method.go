package plan

import (
	"fmt"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/check/detailing"
	"gelwright/roof"
	"gelwright/settingout"
)

// Step is one act of the method, in the order of work.
type Step struct {
	Number int    `json:"number"`
	Stage  string `json:"stage"`
	// Act is one sentence in the imperative; Why its reason.
	Act string `json:"act"`
	Why string `json:"why,omitempty"`
	// Figures are the keys of the figures it rests on.
	Figures []string `json:"figures,omitempty"`
	// Hold marks a hold point: work stops until somebody has signed.
	Hold bool `json:"hold,omitempty"`
	// Record is what to write down at a hold point.
	Record string `json:"record,omitempty"`
}

// Stages of the work in order.
const (
	stageSet     = "Set up"
	stageStrip   = "Strip"
	stageDeck    = "Deck"
	stageTrims   = "Trims"
	stageBandage = "Bandage and details"
	stageMat     = "Laminate"
	stageCure    = "Cure and sand"
	stageCoat    = "Top coat"
	stageEnd     = "Flash, test and hand over"
)

type writer struct {
	m     *maker
	steps []Step
	stage string
}

func (w *writer) do(act, why string, figures ...string) {
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage, Act: act, Why: why, Figures: w.known(figures)})
}

func (w *writer) hold(act, record string, figures ...string) {
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage, Act: act, Hold: true, Record: record, Figures: w.known(figures)})
}

// known drops keys under which nothing was worked out.
func (w *writer) known(keys []string) []string {
	var out []string
	for _, k := range keys {
		if _, ok := w.m.plan.Workings.Find(k); ok {
			out = append(out, k)
		}
	}
	return out
}

// method writes the steps of the job with its own figures.
func (m *maker) method() error {
	w := &writer{m: m}
	s := m.job.Spec
	d := m.plan.Decks
	w.setUp()
	w.strip()
	w.deck()
	w.trims()
	w.stage = stageBandage
	w.do(fmt.Sprintf("Wet the deck, lay %g mm bandage over every square-edged board joint and trim flange, %g mm at corners; tear the edges, do not cut them.", s.BandageMM, s.CornerStripMM),
		"A feathered edge makes no step; a cut edge shows and holds water.", "setout."+d[0].Name+".bandage_m")
	w.do("Laminate upstands and kerbs, two layers at every corner, before the field.", "Corners are where roofs leak.", "laminate."+d[0].Name+".upstand.resin")
	w.laminate()
	w.stage = stageCure
	w.do("Leave it alone until a finger-nail does not mark it and a tap rings hard. Slight tack is right: unwaxed resin stays tacky for the next coat.", "Sanding green laminate tears the glass out.")
	w.hold("Hold point 3: laminate hard, no white or dry fibre, no air, edges down.", "time, hardness test, who looked, photographs")
	w.do("Sand spurs and laps only, 40 to 60 grit with extraction; vacuum; wipe with acetone only where dirty and let it flash off ten minutes.", "The surface must be clean and dry, not polished.")
	w.stage = stageCoat
	for i := range d {
		w.do(fmt.Sprintf("Top-coat deck %s at %.2f kg/m² net in %s, cutting in edges first, from the far side towards the exit; the buckets' %.2f kg for each square metre of deck hold trim faces, upstands and %g %% waste too.", d[i].Name, s.TopCoat.KGPerM2, coats(s.TopCoat.Coats), coatInBuckets(s, &d[i]), s.WastePct.TopCoat),
			"Below 0.4 kg/m² the wax cannot close the surface and it stays sticky; above 0.8 it crazes.", "topcoat."+d[i].Name+".wet_film", "topcoat."+d[i].Name+".mass")
	}
	w.do("Coat within 24 hours of the laminate. After 48 hours, or rain, abrade all over with 40 grit, wipe and dry first.", "A coat over a glossy, dirty or wet laminate peels in sheets.")
	if s.TopCoat.Coats > 1 {
		w.do("Put the second coat on while the first is gelled but has no wax on it yet (one to two hours), else abrade it.", "Nothing bonds to wax.")
	}
	if s.AggregateKGPerM2 > 0 && m.hasAntiSlip() {
		w.do(fmt.Sprintf("Broadcast aggregate %s into the wet coat at %.1f kg/m², sweep off what is loose when hard, and seal.", s.AggregateGrade, s.AggregateKGPerM2), "Wet slip resistance of 36 or more on the pendulum is wanted.")
	}
	w.stage = stageEnd
	for i := range d {
		w.caps(&d[i])
	}
	w.do("Chase and wedge flashings 25 mm deep, lapping at least 65 mm down over the upstand; fit outlets, rooflights and gutters.", "Sealant alone fails.")
	w.do("Pour a bucket of water at every edge and outlet; look that it runs into the gutter and out of the overflow.", "")
	w.hold("Hold point 4: no ponding after a hose test, no pinholes in raking light, upstands measured.", "photographs, puddles with depth and hours, snags with dates")
	w.do("Hand over: as-built drawings, bucket log, batches, care sheet.", "")
	m.plan.Method = w.steps
	return nil
}

func coats(n int) string {
	if n == 1 {
		return "one full wet coat"
	}
	return fmt.Sprintf("%d coats", n)
}

// coatInBuckets is what the buckets of one coat hold for a square metre of deck, kg.
func coatInBuckets(s roof.Spec, d *Deck) float64 {
	if d.FieldM2 == 0 {
		return s.TopCoat.KGPerM2
	}
	return s.TopCoat.KGPerM2 * d.CoatM2 / d.FieldM2 * (1 + s.WastePct.TopCoat/100)
}

// netOfBuckets says what of a mat bucket is net of the allowance for waste, with the
// first one as the example.
func (m *maker) netOfBuckets() string {
	waste := m.job.Spec.WastePct.Resin
	if waste == 0 {
		return "the buckets hold no waste."
	}
	for _, p := range m.plan.Passes {
		if p.Kind == "mat" && p.Plan != nil && len(p.Plan.Mixes) > 0 {
			x := p.Plan.Mixes[0]
			return fmt.Sprintf("the buckets hold %g %% for waste, so bucket %d of %.2f kg is %.2f kg net on its %.2f m².", waste, x.Number, x.ResinKG, x.ResinKG/(1+waste/100), x.AreaM2)
		}
	}
	return fmt.Sprintf("the buckets hold %g %% for waste.", waste)
}

func (m *maker) hasAntiSlip() bool {
	for _, d := range m.job.Decks {
		if d.AntiSlipAll || len(d.AntiSlip) > 0 {
			return true
		}
	}
	return false
}

func (w *writer) setUp() {
	job := w.m.job
	w.stage = stageSet
	w.do(fmt.Sprintf("Put up edge protection and a safe way up (edge %.1f m above ground); keep people from below.", job.Site.EavesM), "Wet resin is slippery and the ladder is the commonest fall.")
	for _, d := range job.Decks {
		for _, o := range d.Openings {
			if o.Fragile {
				w.do("Cover and mark every fragile rooflight before anyone walks near it.", "Nobody sees glass under dust.")
				goto covered
			}
		}
	}
covered:
	w.do("Set the mixing place upwind, level and bunded: scale, jug, two eyewash bottles within reach, two extinguishers, lidded bin with water.", "An eye splash of catalyst can blind in seconds.")
	w.do("Keep catalyst and resin apart, in the shade, and only the day's need of catalyst on the roof.", "Catalyst and accelerator explode if they meet neat.")
	if len(job.Site.Neighbours) > 0 {
		w.do("Check that the neighbours have had their notice: "+strings.Join(job.Site.Neighbours, ", ")+".", "Styrene is smelt far below any limit.", "check.exposure.smell")
	}
}

func (w *writer) strip() {
	job := w.m.job
	if job.Work.Kind == "new" {
		return
	}
	w.stage = stageStrip
	if r := w.m.plan.RefusedOverlay(); r != nil {
		w.hold("Hold: "+r.Finding+". Order nothing and begin nothing: what follows stands only for an answer in writing that outranks this.", "who decided, on what ground")
	}
	if job.Work.AsbestosChecked == "" {
		w.hold("Hold: has the old covering been checked for asbestos? No stripping before the answer.", "who checked, result")
	}
	if job.Work.Kind == "overlay" {
		w.do("Leave the old covering only where it is sound and dry; cut out what is wet or soft to the joists.", "Wet sealed in rots the deck.")
		return
	}
	w.do("Strip no more than can be boarded and made watertight the same day; have the sheet ready.", "A bare deck that is rained on costs one to three days.")
	if len(job.Decks) > 1 {
		names := make([]string, len(job.Decks))
		for i, k := range w.m.topDown() {
			names[i] = job.Decks[k].Name
		}
		w.do("Work from the top down, each deck watertight before the next is opened: "+strings.Join(names, ", then ")+".", "Water and boots go downhill.")
	}
}

// RefusedOverlay is the failed check that says the old roof may not be overlaid, nil where
// it may, or is not.
func (p *Plan) RefusedOverlay() *check.Result {
	for i := range p.Checks {
		if r := &p.Checks[i]; r.Key == detailing.OverlayKey && r.Verdict == check.Fail {
			return r
		}
	}
	return nil
}

// topDown orders the decks by level, highest first.
func (m *maker) topDown() []int {
	order := make([]int, len(m.job.Decks))
	for i := range order {
		order[i] = i
	}
	for i := 1; i < len(order); i++ {
		for k := i; k > 0 && m.job.Decks[order[k]].LevelM > m.job.Decks[order[k-1]].LevelM; k-- {
			order[k], order[k-1] = order[k-1], order[k]
		}
	}
	return order
}

func (w *writer) deck() {
	m := w.m
	s := m.job.Spec
	w.stage = stageDeck
	for i := range m.plan.Decks {
		d := &m.plan.Decks[i]
		if n := len(d.Firrings); n > 0 {
			w.do(fmt.Sprintf("Fix %d firrings on deck %s by their numbers, thin end to the low side.", n, d.Name), "The fall is made here; the laminate cannot make it.", "firring."+d.Name+".greatest")
		}
	}
	for i := range m.plan.Decks {
		d := &m.plan.Decks[i]
		if d.Structural == nil {
			continue
		}
		noggins := len(d.Structural.Of(settingout.Noggin))
		act := fmt.Sprintf("Lay the structural deck of deck %s on the joists: %d board pieces by their numbers (SB…), %g mm %s, joints on joists", d.Name, len(d.Structural.Of(settingout.Board)), s.Board.ThicknessMM, s.Board.Material)
		if noggins > 0 {
			act += fmt.Sprintf(", %d noggins under unsupported edges", noggins)
		}
		w.do(act+fmt.Sprintf("; screw at %g mm along edges and %g mm in the field.", s.Board.EdgeFixMM, s.Board.FieldFixMM), "It carries the roof and makes the insulation's bed.", "setout."+structuralName(d.Name)+".boards", "setout."+structuralName(d.Name)+".fixings")
	}
	if s.Build == "warm" {
		act := "Lay the vapour control layer, laps taped, turned up at every edge"
		if s.Insulation != nil {
			act += fmt.Sprintf("; lay %g mm %s with broken joints", s.Insulation.ThicknessMM, s.Insulation.Material)
		}
		w.do(act+"; keep it dry.", "Warm air that gets past it condenses under the boards.", "check.moisture.peak", "check.thermal.u")
	}
	for i := range m.plan.Decks {
		d := &m.plan.Decks[i]
		boards := len(d.SetOut.Of(settingout.Board))
		noggins := len(d.SetOut.Of(settingout.Noggin))
		what := "board pieces"
		if d.Structural != nil {
			what = "carrier board pieces"
		}
		act := fmt.Sprintf("Lay the %d %s of deck %s by their numbers, %g mm %s, long edge across the joists, %g mm gaps, %g mm at walls", boards, what, d.Name, s.Board.ThicknessMM, s.Board.Material, s.Board.GapMM, s.Board.WallGapMM)
		if noggins > 0 {
			act += fmt.Sprintf("; %d noggins under unsupported edges", noggins)
		}
		w.do(act+".", "Joints in line or without support crack the laminate.", "setout."+d.Name+".boards")
		fix := fmt.Sprintf("Screw at %g mm along edges and %g mm in the field; heads flush, none closer than 10 mm to an edge.", s.Board.EdgeFixMM, s.Board.FieldFixMM)
		if d.Structural != nil {
			fix = fmt.Sprintf("Strike the joist lines; screw through the insulation into every joist at %g mm, one near each board edge; heads flush.", s.Board.FieldFixMM)
		}
		w.do(fix, "Proud heads come through as pimples.", "setout."+d.Name+".fixings", "check.wind."+d.Name+".F")
	}
	w.hold("Hold point 1: deck dry (18 % or less), flush, firm, gaps clean, fall checked every 2 m.", "moisture readings (one to every 4 m², at least five), levels, photographs")
}

func (w *writer) trims() {
	m := w.m
	w.stage = stageTrims
	has := map[roof.Condition]bool{}
	for _, d := range m.job.Decks {
		for _, e := range d.Edges {
			has[e.Condition] = true
		}
	}
	if has[roof.Drip] || has[roof.StepDown] {
		w.do("Fix the two drip battens, then drip trims: face 10 to 20 mm into the gutter and 10 mm clear of the fascia.", "A drip at the back of the gutter wets the wall.")
	}
	if has[roof.Kerb] || has[roof.Verge] {
		w.do("Fix raised edge trims at the sides, never across the low side.", "A kerb on the low side is a dam.")
	}
	if has[roof.Wall] || has[roof.Parapet] || has[roof.Tuck] || has[roof.StepUp] {
		w.do("Bed wall fillets on adhesive and nail them to the deck only, never to the wall.", "The deck moves, the wall does not.")
	}
	w.do(fmt.Sprintf("Two beads of adhesive under every flange; clouts every 175 mm, staggered; laps %g mm, the upper over the lower; corners last.", m.job.Spec.TrimLapMM), "Nails alone let trims lift.", "setout."+m.plan.Decks[0].Name+".trim_m")
	for i := range m.plan.Decks {
		w.joints(&m.plan.Decks[i])
	}
	w.hold("Hold point 2: every trim tight, laps the right way, corners closed.", "a photograph of each edge")
}

// jointNames lists the movement joints of a deck that are raised, and those that are flush.
func jointNames(d *Deck) (raised, flush []string) {
	for _, j := range d.SetOut.MovementJoints {
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
	length := "setout." + d.Name + ".movement_joints"
	if len(raised) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: keep the boards %d mm apart and screw a treated batten %d × %d mm to each side of the gap, every 300 mm; bandage its foot and laminate up and over it, never across the gap.", d.Name, strings.Join(raised, ", "), settingout.JointGapMM, settingout.JointBattenMM, settingout.JointHighMM),
			"What is laminated across a movement joint tears there.", length)
	}
	if len(flush) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: keep the boards %d mm apart, push a backing rod into the gap and mask it; the mat of both fields ends at its edges.", d.Name, strings.Join(flush, ", "), settingout.JointGapMM),
			"A raised joint across the water would be a dam.", length)
	}
}

// caps closes the movement joints when everything is coated.
func (w *writer) caps(d *Deck) {
	raised, flush := jointNames(d)
	metres := "setout." + d.Name + ".joint_cap_m"
	if len(raised) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: set the caps by their numbers, laps the upper over the lower, screwed through one side only every 300 mm; close the ends and crossings.", d.Name, strings.Join(raised, ", ")), "Fixed on both sides the cap stops the joint from moving.", metres)
	}
	if len(flush) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: bed the flexible strip on both sides and leave it free over the gap; dress its ends over edge and upstand.", d.Name, strings.Join(flush, ", ")), "The strip takes the movement.", metres)
	}
}

func (w *writer) laminate() {
	m := w.m
	s := m.job.Spec
	w.stage = stageMat
	w.do("Measure air, deck and resin, and the humidity. Go only when deck and air are 5 °C or more and rising, the deck is 3 K or more above the dew point now and for the next two hours, humidity 85 % or less, and no rain until an hour after the last gel.", "Dew and rain on uncured resin turn it white and soft.")
	w.do("Time a test cup at the day's temperature with the dose from the bucket table. If it gels outside the printed range, plan again with the cup's time.", "The cup outranks the data sheet.")
	w.do("Weigh the resin, measure the catalyst, stir 60 to 90 seconds scraping the walls, start the clock, write it on the bucket.", "Unstirred catalyst leaves sticky patches.", "dose.habit")
	for _, p := range m.plan.Passes {
		if p.Kind != "mat" {
			continue
		}
		act := fmt.Sprintf("Deck %s, layer %d (%g g/m²): ", p.Deck, p.Layer, s.Layers[p.Layer-1])
		if p.Refusal != "" {
			w.do(act+p.Refusal, "")
			continue
		}
		n := len(p.Plan.Mixes)
		w.do(fmt.Sprintf("%s%d buckets, numbers %d to %d, in that order, ending at the exit. Wet the deck with two thirds, roll the mat in, wait two minutes, wet with the rest, roll out the air.", act, n, p.Plan.Mixes[0].Number, p.Plan.Mixes[n-1].Number),
			"The binder needs a minute or two to let go; rolling sooner drags the mat.", "laminate."+p.Deck+".deck.resin_rate", "laminate."+p.Deck+".deck.thickness")
	}
	w.do(fmt.Sprintf("Lap strips %g mm at sides and %g mm at ends, the upper over the lower; stop when it pulls strings in the bucket.", s.SideLapMM, s.EndLapMM), "Resin worked past gel tears and never bonds.")
	w.do("After each bucket compare what the area took with its net kilograms: "+m.netOfBuckets()+" 15 % over the net means a thirsty deck, 10 % under it a dry laminate; stop and look.", "", "laminate."+m.plan.Decks[0].Name+".deck.resin_rate")
}
