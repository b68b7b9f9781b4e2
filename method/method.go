package method

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/roof"
	"gelwright/runoff"
	"gelwright/settingout"
	"gelwright/steps"
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

// Input is a job with what was planned for it.
type Input struct {
	Site  roof.Site
	Work  roof.Work
	Spec  roof.Spec
	Decks []Deck
	// Rounds are the decks that are worked on together, in the order of work.
	Rounds  [][]int
	Buckets steps.Made[laying.Buckets]
	// Refused is why the old roof may not be laid over, nil where it may or is not.
	Refused *check.Result
}

// Deck is a deck with what was planned for it.
type Deck struct {
	Deck     roof.Deck
	Falls    steps.Made[runoff.Falls]
	SetOut   steps.Made[framing.SetOut]
	Fields   steps.Made[framing.Fields]
	Framing  steps.Made[framing.Framing]
	Laminate steps.Made[laying.Laminate]
	Renewals []framing.Renewal
}

// upper is the set-out that the laminate lies on, structural that below the insulation.
func (d *Deck) upper() *settingout.SetOut      { return &d.Framing.Value.Upper }
func (d *Deck) structural() *settingout.SetOut { return d.SetOut.Value.Structural }
func (d *Deck) firrings() int                  { return len(d.Falls.Value.Firrings) }

type writer struct {
	in    *Input
	steps []Step
	stage string
	// decks are those now worked on; suffix names the one of a round.
	decks  []int
	suffix string
}

func (w *writer) do(act, why string, figures ...string) {
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage + w.suffix, Act: act, Why: why, Figures: figures})
}

func (w *writer) hold(act, record string, figures ...string) {
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage + w.suffix, Act: act, Hold: true, Record: record, Figures: figures})
}

// Make writes the steps of the job with its own figures: the whole roof stage by stage,
// or, where decks lie at several levels, every stage on one deck before the next below it.
// Steps name the figures that they rest on; see plan.Make for those that were worked out.
func Make(_ context.Context, in Input) ([]Step, error) {
	w := &writer{in: &in}
	w.setUp()
	w.strip()
	for k, decks := range in.Rounds {
		w.round(k)
		w.decks = decks
		w.deck()
		w.trims()
		w.bandage()
		w.laminate(k > 0)
		w.cure()
		w.coat(k > 0)
		w.closeRound(k)
	}
	w.decks, w.suffix = slices.Concat(in.Rounds...), ""
	w.end()
	return w.steps, nil
}

// round opens the work on one deck of a roof of several levels.
func (w *writer) round(k int) {
	if len(w.in.Rounds) == 1 {
		return
	}
	name := w.in.Decks[w.in.Rounds[k][0]].Deck.Name
	w.suffix = ", deck " + name
	if w.in.Work.Kind == "strip" {
		w.stage = stageStrip
		w.do(fmt.Sprintf("Strip deck %s now, and no other.", name), "An open deck below takes the water of the one above.")
	}
}

// closeRound signs one deck off before the next below it is opened.
func (w *writer) closeRound(k int) {
	rounds := w.in.Rounds
	if k+1 >= len(rounds) {
		return
	}
	name, next := w.in.Decks[rounds[k][0]].Deck.Name, w.in.Decks[rounds[k+1][0]].Deck.Name
	w.hold(fmt.Sprintf("Hold: deck %s is watertight and its top coat bears a foot, or a board lies where people cross, before deck %s is opened.", name, next), "who looked, time; how the crew comes down without walking on it")
}

func (w *writer) bandage() {
	s := w.in.Spec
	w.stage = stageBandage
	var metres, resin []string
	for _, i := range w.decks {
		metres = append(metres, "setout."+w.in.Decks[i].Deck.Name+".bandage_m")
		resin = append(resin, "laminate."+w.in.Decks[i].Deck.Name+".upstand.resin")
	}
	w.do(fmt.Sprintf("Wet the deck, lay %g mm bandage over every square-edged board joint and trim flange, %g mm at corners; tear the edges, do not cut them.", s.BandageMM, s.CornerStripMM),
		"A feathered edge makes no step; a cut edge shows and holds water.", metres...)
	w.do("Laminate upstands and kerbs, two layers at every corner, before the field.", "Corners are where roofs leak.", resin...)
}

func (w *writer) cure() {
	w.stage = stageCure
	w.do("Leave it alone until a finger-nail does not mark it and a tap rings hard. Slight tack is right: unwaxed resin stays tacky for the next coat.", "Sanding green laminate tears the glass out.")
	w.hold("Hold point 3"+w.suffix+": laminate hard, no white or dry fibre, no air, edges down.", "time, hardness test, who looked, photographs")
	w.do("Sand spurs and laps only, 40 to 60 grit with extraction; vacuum; wipe with acetone only where dirty and let it flash off ten minutes.", "The surface must be clean and dry, not polished.")
}

func (w *writer) coat(again bool) {
	s := w.in.Spec
	w.stage = stageCoat
	antiSlip := false
	for _, i := range w.decks {
		d := &w.in.Decks[i]
		antiSlip = antiSlip || d.Deck.AntiSlipAll || len(d.Deck.AntiSlip) > 0
		w.do(fmt.Sprintf("Top-coat deck %s at %.2f kg/m² net in %s, cutting in edges first, from the far side towards the exit; the buckets' %.2f kg for each square metre of deck hold trim faces, upstands and %g %% waste too.", d.Deck.Name, s.TopCoat.KGPerM2, coats(s.TopCoat.Coats), coatInBuckets(s, d), s.WastePct.TopCoat),
			"Below 0.4 kg/m² the wax cannot close the surface and it stays sticky; above 0.8 it crazes.", "topcoat."+d.Deck.Name+".wet_film", "topcoat."+d.Deck.Name+".mass")
	}
	if !again {
		w.do("Coat within 24 hours of the laminate. After 48 hours, or rain, abrade all over with 40 grit, wipe and dry first.", "A coat over a glossy, dirty or wet laminate peels in sheets.")
		if s.TopCoat.Coats > 1 {
			w.do("Put the second coat on while the first is gelled but has no wax on it yet (one to two hours), else abrade it.", "Nothing bonds to wax.")
		}
	}
	if s.AggregateKGPerM2 > 0 && antiSlip {
		w.do(fmt.Sprintf("Broadcast aggregate %s into the wet coat at %.1f kg/m², sweep off what is loose when hard, and seal.", s.AggregateGrade, s.AggregateKGPerM2), "Wet slip resistance of 36 or more on the pendulum is wanted.")
	}
}

// end closes joints, flashes what there is to flash, tests and hands over.
func (w *writer) end() {
	w.stage = stageEnd
	h := w.in.holes()
	for _, i := range w.decks {
		w.caps(&w.in.Decks[i])
	}
	if h.flashed {
		w.do("Chase and wedge flashings 25 mm deep, lapping at least 65 mm down over the upstand.", "Sealant alone fails.")
	}
	if fit := joined(h.fitted); fit != "" {
		w.do("Fit "+fit+".", "On a hard coat, so that nothing sinks in or tears.")
	}
	var out []string
	if h.gutter {
		out = append(out, "that it runs into the gutter")
	}
	if h.outlet {
		out = append(out, "down the outlet")
	}
	if h.overflow {
		out = append(out, "out of the overflow when the outlet is stopped")
	}
	where := "at every edge"
	if h.outlet {
		where += " and outlet"
	}
	look := joined(out)
	if look == "" {
		look = "where it goes"
	}
	w.do("Pour a bucket of water "+where+"; look "+look+".", "")
	w.hold("Hold point 4: no ponding after a hose test, no pinholes in raking light, upstands measured.", "photographs, puddles with depth and hours, snags with dates")
	w.do("Hand over: as-built drawings, bucket log, batches, care sheet.", "")
}

// fittings is what of edges and holes a roof has.
type fittings struct {
	flashed, gutter, outlet, overflow bool
	fitted                            []string
}

// holes looks at what there is to flash and to fit.
func (in *Input) holes() fittings {
	var f fittings
	has := map[string]bool{}
	for i := range in.Decks {
		d := &in.Decks[i].Deck
		for _, e := range d.Edges {
			switch {
			case framing.Chased(e):
				f.flashed = true
			case e.Condition == roof.Drip:
				f.gutter = true
			}
		}
		for _, o := range d.Openings {
			has[o.Kind] = true
			f.flashed = f.flashed || o.Kind == "chimney"
		}
		for _, p := range d.Penetrations {
			has[p.Kind] = true
		}
	}
	f.outlet, f.overflow = has["outlet"], has["overflow"]
	for _, k := range [][2]string{{"outlet", "outlets"}, {"overflow", "overflows"}, {"pipe", "pipe collars"}, {"flue", "flue collars"}, {"rooflight", "rooflights"}, {"hatch", "hatches"}} {
		if has[k[0]] {
			f.fitted = append(f.fitted, k[1])
		}
	}
	if f.gutter {
		f.fitted = append(f.fitted, "gutters")
	}
	return f
}

// joined lists words as a person says them: "a, b and c".
func joined(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

func coats(n int) string {
	if n == 1 {
		return "one full wet coat"
	}
	return fmt.Sprintf("%d coats", n)
}

// coatInBuckets is what the buckets of one coat hold for a square metre of deck, kg.
func coatInBuckets(s roof.Spec, d *Deck) float64 {
	if d.Fields.Value.FieldM2 == 0 {
		return s.TopCoat.KGPerM2
	}
	return s.TopCoat.KGPerM2 * d.Laminate.Value.CoatM2 / d.Fields.Value.FieldM2 * (1 + s.WastePct.TopCoat/100)
}

// netOfBuckets says what of a mat bucket is net of the allowance for waste, with the
// first one as the example.
func (in *Input) netOfBuckets() string {
	waste := in.Spec.WastePct.Resin
	if waste == 0 {
		return "the buckets hold no waste."
	}
	for _, p := range in.Buckets.Value.Passes {
		if p.Kind == "mat" && p.Plan != nil && len(p.Plan.Mixes) > 0 {
			x := p.Plan.Mixes[0]
			return fmt.Sprintf("the buckets hold %g %% for waste, so bucket %d of %.2f kg is %.2f kg net on its %.2f m².", waste, x.Number, x.ResinKG, x.ResinKG/(1+waste/100), x.AreaM2)
		}
	}
	return fmt.Sprintf("the buckets hold %g %% for waste.", waste)
}

func (w *writer) setUp() {
	site := w.in.Site
	w.stage = stageSet
	w.do(fmt.Sprintf("Put up edge protection and a safe way up (edge %.1f m above ground); keep people from below.", site.EavesM), "Wet resin is slippery and the ladder is the commonest fall.")
	if slices.ContainsFunc(w.in.Decks, func(d Deck) bool {
		return slices.ContainsFunc(d.Deck.Openings, func(o roof.Opening) bool { return o.Fragile })
	}) {
		w.do("Cover and mark every fragile rooflight before anyone walks near it.", "Nobody sees glass under dust.")
	}
	w.do("Set the mixing place upwind, level and bunded: scale, jug, two eyewash bottles within reach, two extinguishers, lidded bin with water.", "An eye splash of catalyst can blind in seconds.")
	w.do("Keep catalyst and resin apart, in the shade, and only the day's need of catalyst on the roof.", "Catalyst and accelerator explode if they meet neat.")
	if len(site.Neighbours) > 0 {
		w.do("Check that the neighbours have had their notice: "+strings.Join(site.Neighbours, ", ")+".", "Styrene is smelt far below any limit.", "check.exposure.smell")
	}
}

func (w *writer) strip() {
	work := w.in.Work
	if work.Kind == "new" {
		return
	}
	w.stage = stageStrip
	if r := w.in.Refused; r != nil {
		w.hold("Hold: "+r.Finding+". Order nothing and begin nothing: what follows stands only for an answer in writing that outranks this.", "who decided, on what ground")
	}
	if work.AsbestosChecked == "" {
		w.hold("Hold: has the old covering been checked for asbestos? No stripping before the answer.", "who checked, result")
	}
	if work.Kind == "overlay" {
		w.do("Leave the old covering only where it is sound and dry; cut out what is wet or soft to the joists.", "Wet sealed in rots the deck.")
		return
	}
	w.do("Strip no more than can be boarded and made watertight the same day; have the sheet ready.", "A bare deck that is rained on costs one to three days.")
	if len(w.in.Decks) > 1 {
		var names []string
		for _, i := range slices.Concat(w.in.Rounds...) {
			names = append(names, w.in.Decks[i].Deck.Name)
		}
		w.do("Work from the top down, each deck watertight before the next is opened: "+strings.Join(names, ", then ")+".", "Water and boots go downhill.")
	}
}

func (w *writer) deck() {
	s := w.in.Spec
	w.stage = stageDeck
	for _, i := range w.decks {
		d := &w.in.Decks[i]
		w.renew(d)
		if n := d.firrings(); n > 0 {
			act := fmt.Sprintf("Fix %d firrings on deck %s by their numbers, thin end to the low side", n, d.Deck.Name)
			act += fmt.Sprintf(", each screwed down every %.0f mm and near both ends, %d mm into the joist: screws as long as the firring is high there and %d mm", 1000*d.Framing.Value.FirringCentresM, framing.HoldInJoistMM, framing.HoldInJoistMM)
			w.do(act+".", "The fall is made here; the laminate cannot make it. All the uplift of the roof passes through these screws.", "firring."+d.Deck.Name+".greatest")
		}
	}
	for _, i := range w.decks {
		d := &w.in.Decks[i]
		if d.structural() == nil {
			continue
		}
		act := fmt.Sprintf("Lay the structural deck of deck %s on the %s: %d board pieces by their numbers (SB…), %g mm %s%s, joints on joists", d.Deck.Name, bearers(d), len(d.structural().Of(settingout.Board)), s.Board.ThicknessMM, s.Board.Material, lying(d.structural(), &d.Deck))
		if between := framing.Timbers(d.structural()); between != "" {
			act += "; " + between
		}
		w.do(act+fmt.Sprintf("; screw 5.0 × %g mm at %g mm along edges and %g mm in the field.", framing.OnJoistsScrew(s.Board).Mm, s.Board.EdgeFixMM, s.Board.FieldFixMM), "It carries the roof and makes the insulation's bed.", "setout."+framing.StructuralName(d.Deck.Name)+".boards", "setout."+framing.StructuralName(d.Deck.Name)+".fixings")
	}
	if s.Build == "warm" {
		act := "Lay the vapour control layer, laps taped, turned up at every edge"
		if s.Insulation != nil {
			act += fmt.Sprintf("; lay %g mm %s with broken joints", s.Insulation.ThicknessMM, s.Insulation.Material)
		}
		w.do(act+"; keep it dry.", "Warm air that gets past it condenses under the boards.", "check.moisture.peak", "check.thermal.u")
	}
	for _, i := range w.decks {
		w.boards(i)
	}
	w.hold("Hold point 1"+w.suffix+": deck dry (18 % or less), flush, firm, gaps clean, fall checked every 2 m.", "moisture readings (one to every 4 m², at least five), levels, photographs")
}

// boards lays and fixes the boards that the laminate lies on.
func (w *writer) boards(i int) {
	s := w.in.Spec
	d := &w.in.Decks[i]
	job := &d.Deck
	boards := len(d.upper().Of(settingout.Board))
	what, way := "board pieces", lying(d.upper(), job)
	if d.structural() != nil {
		what = "carrier board pieces"
	}
	act := fmt.Sprintf("Lay the %d %s of deck %s by their numbers, %g mm %s%s, %g mm gaps, %g mm at walls", boards, what, d.Deck.Name, s.Board.ThicknessMM, s.Board.Material, way, s.Board.GapMM, s.Board.WallGapMM)
	if between := framing.Timbers(d.upper()); between != "" {
		act += "; " + between
	}
	w.do(act+".", "Joints in line or without support crack the laminate.", "setout."+d.Deck.Name+".boards")
	screw := framing.BoardScrew(s.Board, w.in.Work, job.Base)
	fix := fmt.Sprintf("Screw 5.0 × %g mm into the %s at %g mm along edges and %g mm in the field; heads flush, none closer than 10 mm to an edge.", screw.Mm, bearers(d), s.Board.EdgeFixMM, s.Board.FieldFixMM)
	switch {
	case framing.ThroughInsulation(s):
		into := "every joist"
		if d.firrings() > 0 {
			into = "the firring on every joist"
		}
		fix = fmt.Sprintf("Strike the joist lines; screw through the insulation and the deck below it into %s, %d mm deep, at %g mm, one near each board edge; heads flush.", into, framing.HoldInJoistMM, s.Board.FieldFixMM)
		if ends := framing.IntoDeck(d.upper()); len(ends) > 0 && d.structural() != nil {
			fix += fmt.Sprintf(" No joist lies under an end of %s: screw along those ends into the structural deck at %g mm.", framing.ListOf(ends), math.Min(s.Board.FieldFixMM, s.Board.EdgeFixMM))
		}
	case job.Base.Kind == "sound deck":
		fix = fmt.Sprintf("Find the joists and strike their lines; screw 5.0 × %g mm through new board, old covering and old deck %d mm into the joists, at %g mm along edges and %g mm in the field; heads flush, none closer than 10 mm to an edge. Try one screw first: the old deck's thickness is a guess.", screw.Mm, framing.HoldInJoistMM, s.Board.EdgeFixMM, s.Board.FieldFixMM)
	case job.Base.Kind == "concrete":
		fix = fmt.Sprintf("Fix the boards into the concrete, with plugs or screws made for it and a pull-out test, at %g mm along edges and %g mm in the field; heads flush.", s.Board.EdgeFixMM, s.Board.FieldFixMM)
	}
	w.do(fix, "Proud heads come through as pimples; a screw that ends in an old deck holds nothing down.", "setout."+d.Deck.Name+".fixings", "check.wind."+d.Deck.Name+".F")
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
		w.do("Fix the two drip battens, each screwed every 300 mm, then drip trims: face 10 to 20 mm into the gutter and 10 mm clear of the fascia.", "A drip at the back of the gutter wets the wall.")
	}
	if has[roof.Kerb] || has[roof.Verge] {
		w.do("Screw down the edge timbers and battens every 300 mm; fix raised edge trims at the sides, never across the low side.", "A kerb on the low side is a dam.")
	}
	if has[roof.Wall] || has[roof.Parapet] || has[roof.Tuck] || has[roof.StepUp] {
		w.do("Bed wall fillets on adhesive and nail them to the deck only, never to the wall.", "The deck moves, the wall does not.")
	}
	w.do(fmt.Sprintf("Two beads of adhesive under every flange; clouts every 175 mm, staggered; laps %g mm, the upper over the lower; corners last.", w.in.Spec.TrimLapMM), "Nails alone let trims lift.", metres...)
	for _, i := range w.decks {
		w.joints(&w.in.Decks[i])
	}
	w.hold("Hold point 2"+w.suffix+": every trim tight, laps the right way, corners closed.", "a photograph of each edge")
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
		w.do(fmt.Sprintf("Deck %s, %s: keep the boards %d mm apart and screw a treated batten %d × %d mm to each side of the gap, every 300 mm; bandage its foot and laminate up and over it, never across the gap.", d.Deck.Name, strings.Join(raised, ", "), settingout.JointGapMM, settingout.JointBattenMM, settingout.JointHighMM),
			"What is laminated across a movement joint tears there.", length)
	}
	if len(flush) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: keep the boards %d mm apart, push a backing rod into the gap and mask it; the mat of both fields ends at its edges.", d.Deck.Name, strings.Join(flush, ", "), settingout.JointGapMM),
			"A raised joint across the water would be a dam.", length)
	}
}

// caps closes the movement joints when everything is coated.
func (w *writer) caps(d *Deck) {
	raised, flush := jointNames(d)
	metres := "setout." + d.Deck.Name + ".joint_cap_m"
	if len(raised) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: set the caps by their numbers, laps the upper over the lower, screwed through one side only every 300 mm; close the ends and crossings.", d.Deck.Name, strings.Join(raised, ", ")), "Fixed on both sides the cap stops the joint from moving.", metres)
	}
	if len(flush) > 0 {
		w.do(fmt.Sprintf("Deck %s, %s: bed the flexible strip on both sides and leave it free over the gap; dress its ends over edge and upstand.", d.Deck.Name, strings.Join(flush, ", ")), "The strip takes the movement.", metres)
	}
}

func (w *writer) laminate(again bool) {
	s := w.in.Spec
	w.stage = stageMat
	if again {
		w.do("Measure air, deck, resin and humidity anew, time a test cup, and mix as on the deck above.", "Another hour is another dose.", "dose.habit")
	} else {
		w.goAndMix()
	}
	var rate []string
	for _, p := range w.in.Buckets.Value.Passes {
		if p.Kind != "mat" || !w.on(p.Deck) {
			continue
		}
		rate = append(rate, "laminate."+p.Deck+".deck.resin_rate")
		act := fmt.Sprintf("Deck %s, layer %d (%g g/m²): ", p.Deck, p.Layer, s.Layers[p.Layer-1])
		if p.Refusal != "" {
			w.do(act+p.Refusal, "")
			continue
		}
		n := len(p.Plan.Mixes)
		w.do(act+bucketsInOrder(n, p.Plan.Mixes[0].Number, p.Plan.Mixes[n-1].Number)+" Wet the deck with two thirds, roll the mat in, wait two minutes, wet with the rest, roll out the air.",
			"The binder needs a minute or two to let go; rolling sooner drags the mat.", "laminate."+p.Deck+".deck.resin_rate", "laminate."+p.Deck+".deck.thickness")
	}
	if again {
		return
	}
	w.do(fmt.Sprintf("Lap strips %g mm at sides and %g mm at ends, the upper over the lower; stop when it pulls strings in the bucket.", s.SideLapMM, s.EndLapMM), "Resin worked past gel tears and never bonds.")
	w.do("After each bucket compare what the area took with its net kilograms: "+w.in.netOfBuckets()+" 15 % over the net means a thirsty deck, 10 % under it a dry laminate; stop and look.", "", rate[:min(1, len(rate))]...)
}

// bucketsInOrder names the n buckets of a pass by their numbers.
func bucketsInOrder(n, first, last int) string {
	if n == 1 {
		return fmt.Sprintf("one bucket, number %d, ending at the exit.", first)
	}
	return fmt.Sprintf("%d buckets, numbers %d to %d, in that order, ending at the exit.", n, first, last)
}

// on reports whether a deck is among those now worked on.
func (w *writer) on(deck string) bool {
	for _, i := range w.decks {
		if w.in.Decks[i].Deck.Name == deck {
			return true
		}
	}
	return false
}

// goAndMix is what comes before the first bucket.
func (w *writer) goAndMix() {
	w.do("Measure air, deck and resin, and the humidity. Go only when deck and air are 5 °C or more and rising, the deck is 3 K or more above the dew point now and for the next two hours, humidity 85 % or less, and no rain until an hour after the last gel.", "Dew and rain on uncured resin turn it white and soft.")
	w.do("Time a test cup at the day's temperature with the dose from the bucket table. If it gels outside the printed range, plan again with the cup's time.", "The cup outranks the data sheet.")
	w.do("Weigh the resin, measure the catalyst, stir 60 to 90 seconds scraping the walls, start the clock, write it on the bucket.", "Unstirred catalyst leaves sticky patches.", "dose.habit")
}

// renew writes the steps by which a deck that stays is made sound and dry.
func (w *writer) renew(d *Deck) {
	job := &d.Deck
	for _, r := range d.Renewals {
		w.do(fmt.Sprintf("Deck %s, %s: cut out %.1f × %.1f m around (%.2f, %.2f) back to the middle of sound joists, look at the joists, set noggins under every free edge, and renew it with %s of %g mm level with the old deck; screw at %g mm.", d.Deck.Name, r.Name, r.WideM, r.HighM, r.At.X, r.At.Y, w.in.Spec.Board.Material, w.in.Spec.Board.ThicknessMM, w.in.Spec.Board.EdgeFixMM),
			fmt.Sprintf("%.2f m² are soft; a soft deck holds no screw. Pack or plane to the old deck's thickness.", r.SoftM2))
	}
	if d.structural() != nil || job.Base.Kind != "sound deck" {
		return
	}
	var at []string
	for _, x := range job.Wet() {
		at = append(at, fmt.Sprintf("(%.2f, %.2f) %.0f %%", x.At.X, x.At.Y, x.Pct))
	}
	if len(at) > 0 {
		w.do(fmt.Sprintf("Deck %s: lift the old covering where the deck is wet - %s -, find and stop the leak, dry it to 18 %% or less and measure again; board that does not dry or is soft is renewed like the soft areas, and is not in the order.", d.Deck.Name, strings.Join(at, ", ")),
			"Wet sealed in rots the deck.")
	}
}
