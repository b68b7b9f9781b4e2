package detailing

import (
	"fmt"
	"strings"

	"gelwright/check"
	"gelwright/roof"
)

// OverlayKey is the key of the check whether an overlay may be done at all: when it fails
// nothing is to be ordered or begun.
const OverlayKey = "detailing.overlay"

// CheckOverlay returns the verdict on an overlay as such, before anything is asked of how
// it is built; false where the old roof is not overlaid. Chipboard swells and rots under a
// leak, and of a deck that is wet over more than a quarter all is stripped: both refuse
// it. Two coverings already there are asked about (common practice).
func CheckOverlay(job roof.Job) (check.Result, bool) {
	if job.Work.Kind != "overlay" {
		return check.Result{}, false
	}
	r := check.Result{Key: OverlayKey, Title: "May the old roof be overlaid?", Verdict: check.Pass,
		Clause: practice("strip or overlay, by what the survey found")}
	var refused, asked []string
	if roof.RefusesOverlay(job.Work.OldDeck) {
		refused = append(refused, "the old deck is "+job.Work.OldDeck+", which swells and rots under a leak")
	}
	for i := range job.Decks {
		if share, of := job.Decks[i].WetShare(); of > 0 && share > roof.WetPart/100.0 {
			refused = append(refused, fmt.Sprintf("%.0f %% of the moisture readings of deck %s are wet, and above %d %% all is stripped",
				100*share, job.Decks[i].Name, roof.WetPart))
		}
	}
	if job.Work.OldCoverings >= 2 {
		asked = append(asked, fmt.Sprintf("%d coverings lie on each other: a third hides wet and weighs on the joists", job.Work.OldCoverings))
	}
	strip := check.Remedy{Text: "replace the deck: set work.kind to strip", Field: "work.kind", Value: "strip"}
	switch {
	case len(refused) > 0:
		r.Verdict, r.Utilisation = check.Fail, 2
		r.Finding = "the overlay is refused: " + strings.Join(append(refused, asked...), "; ")
		r.Remedies = []check.Remedy{strip}
	case len(asked) > 0:
		r.Verdict, r.CallFor = check.Ask, "whoever knows what the joists carry and what cores of the old coverings show"
		r.Finding = strings.Join(asked, "; ")
		r.Remedies = []check.Remedy{strip}
	default:
		r.Finding = "nothing that the survey found refuses it"
	}
	return r, true
}
