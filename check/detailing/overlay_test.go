package detailing

import (
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/plane"
	"gelwright/roof"
)

// Strip or overlay by the trade's rules (common practice): chipboard is replaced, above a
// quarter wet all is stripped, a third covering is asked about.
func TestOverlayIsRefused(t *testing.T) {
	readings := func(pct ...float64) []roof.Moisture {
		var out []roof.Moisture
		for i, p := range pct {
			out = append(out, roof.Moisture{At: plane.Point{X: float64(i)}, Pct: p})
		}
		return out
	}
	for _, c := range []struct {
		name    string
		work    roof.Work
		wet     []roof.Moisture
		verdict check.Verdict
		says    string
	}{
		{"sound boards", roof.Work{Kind: "overlay", OldDeck: "boards"}, nil, check.Pass, ""},
		{"chipboard", roof.Work{Kind: "overlay", OldDeck: "chipboard"}, nil, check.Fail, "chipboard"},
		{"two of four wet", roof.Work{Kind: "overlay", OldDeck: "OSB"}, readings(12, 19, 24, 12), check.Fail, "50 %"},
		{"one of four wet", roof.Work{Kind: "overlay", OldDeck: "OSB"}, readings(12, 12, 24, 12), check.Pass, ""},
		{"two coverings", roof.Work{Kind: "overlay", OldDeck: "OSB", OldCoverings: 2}, nil, check.Ask, "2 coverings"},
	} {
		r, asked := CheckOverlay(roof.Job{Work: c.work, Decks: []roof.Deck{{Name: "main", Moisture: c.wet}}})
		if !asked || r.Verdict != c.verdict || !strings.Contains(r.Finding, c.says) {
			t.Errorf("%s: %v %+v", c.name, asked, r)
		}
		if r.Verdict == check.Fail && len(r.Remedies) == 0 {
			t.Errorf("%s: refused without a way out", c.name)
		}
	}
	if _, asked := CheckOverlay(roof.Job{Work: roof.Work{Kind: "strip", OldDeck: "chipboard"}}); asked {
		t.Error("a deck that is stripped is no overlay")
	}
}
