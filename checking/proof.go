package checking

import (
	"context"
	"fmt"
	"strings"

	"gelwright/check"
	"gelwright/framing"
	"gelwright/laying"
	"gelwright/roof"
	"gelwright/settingout"
	"gelwright/settingout/proof"
	"gelwright/steps"
	"gelwright/working"
)

// CutFault is the code of a set-out's finding that a cut list does not hold.
const CutFault = "cut.fault"

// ProofInput is a deck as it goes to the roof: set out, with its screws.
type ProofInput struct {
	Deck    roof.Deck
	Spec    roof.Spec
	SetOut  steps.Made[framing.SetOut]
	Framing steps.Made[framing.Framing]
}

// MakeProof proves a set-out from its shapes alone, knowing nothing of how it was made. What
// holds is not worth a line: only faults are answered, each with its place.
func MakeProof(ctx context.Context, in ProofInput) (check.Notes, error) {
	var out check.Notes
	given, under := in.SetOut.Value.Given, in.SetOut.Value.Structural
	upper := &in.Framing.Value.Upper
	deck := in.Deck
	if under != nil {
		// Carrier boards lie on insulation: their joints need no joist.
		deck.Base.Kind = "sound deck"
	}
	found, err := proof.CheckUntil(ctx, deck, in.Spec, given, *upper)
	if err != nil {
		return out, err
	}
	faults := unsaid(found, upper)
	if under != nil {
		if found, err = proof.CheckUntil(ctx, in.Deck, in.Spec, settingout.Given{}, *under); err != nil {
			return out, err
		}
		for _, f := range found {
			// It has no trims and no mat to look at.
			if kind, _, _ := strings.Cut(f.Code, "."); kind == "boards" || kind == "noggin" || kind == "fixings" {
				faults = append(faults, unsaid([]proof.Fault{f}, under)...)
			}
		}
		faults = append(faults, cutFaults(under)...)
	}
	if faults = append(faults, cutFaults(upper)...); len(faults) > 0 {
		out.Answer(refuted(faults), "deck "+in.Deck.Name)
	}
	return out, nil
}

// unsaid leaves out the short, unstaggered or unsupported boards of which the set-out says
// itself that they cannot be helped.
func unsaid(faults []proof.Fault, s *settingout.SetOut) []proof.Fault {
	said := false
	for _, f := range s.Findings {
		said = said || strings.HasPrefix(f.Code, "board.")
	}
	var out []proof.Fault
	for _, f := range faults {
		if !said || !strings.HasPrefix(f.Code, "boards.s") {
			out = append(out, f)
		}
	}
	return out
}

func cutFaults(s *settingout.SetOut) []proof.Fault {
	var out []proof.Fault
	for _, f := range s.Findings {
		if f.Code == CutFault {
			out = append(out, proof.Fault{Code: f.Code, Where: f.Where, Text: f.Text})
		}
	}
	return out
}

// refuted is the result of a set-out that does not hold.
func refuted(faults []proof.Fault) check.Result {
	const most = 5
	var words []string
	for _, f := range faults[:min(most, len(faults))] {
		words = append(words, f.String())
	}
	if n := len(faults) - most; n > 0 {
		words = append(words, fmt.Sprintf("and %d more", n))
	}
	return check.Result{Key: "proof.set_out", Title: "Does the set-out hold?", Verdict: check.Fail, Utilisation: 2,
		Finding: strings.Join(words, "; "),
		Clause:  working.Source{Title: "independent proof of the set-out from its shapes", Standing: working.Derived},
		Remedies: []check.Remedy{
			{Text: "cut nothing from these lists: this is a fault of the program; send the roof file to whoever keeps it, or pin another " +
				"direction of boards or mat and plan again"},
		}}
}

// WayOutInput is the passes with their buckets.
type WayOutInput struct{ Buckets steps.Made[laying.Buckets] }

// MakeWayOutChecks answers for every pass whose way off the roof is not proven.
func MakeWayOutChecks(_ context.Context, in WayOutInput) (check.Notes, error) {
	var out check.Notes
	for _, x := range in.Buckets.Value.Passes {
		if x.Plan == nil || x.Pieces() {
			continue
		}
		for _, r := range x.Plan.Checks("deck " + x.Deck) {
			if r.Verdict == check.Fail {
				out.Answer(r, "")
			}
		}
	}
	return out, nil
}
