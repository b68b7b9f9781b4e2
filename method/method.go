package method

import (
	"context"
	"slices"

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
	// Hardening is how every pass hardens; People at LayM2PerManHour lay it.
	Hardening       steps.Made[laying.Hardening]
	People          int
	LayM2PerManHour float64
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

// do adds an act to the method, hold a hold point, with the keys of the figures it rests on.
func (w *writer) do(name string, h holes, figures ...string) {
	a := acts()[name]
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage + w.suffix, Act: fill(a.words, h), Why: fill(a.why, h),
		Figures: figures})
}

func (w *writer) hold(name string, h holes) {
	a := acts()[name]
	w.steps = append(w.steps, Step{Number: len(w.steps) + 1, Stage: w.stage + w.suffix, Act: fill(a.words, h), Hold: true, Record: a.record})
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
		w.do("strip this deck", holes{"deck": name})
	}
}

// closeRound signs one deck off before the next below it is opened.
func (w *writer) closeRound(k int) {
	rounds := w.in.Rounds
	if k+1 >= len(rounds) {
		return
	}
	w.hold("round closed", holes{"deck": w.in.Decks[rounds[k][0]].Deck.Name, "next": w.in.Decks[rounds[k+1][0]].Deck.Name})
}
