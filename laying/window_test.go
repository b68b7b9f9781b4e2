package laying

import (
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/cure"
)

// A pass on a deck warm by day that the night stops is helped by more of the day, not by a warmer one; on a cold deck, or on one
// that stays warm, it is the other way about. A laminate is late when the next coat may not go on, a coat when rain still harms it.
func TestWhatHelpsALatePass(t *testing.T) {
	for _, c := range []struct {
		kind                   string
		late                   cure.Milestone
		deckC, nightC, hardMin float64
		verdict                check.Verdict
		says, silent           string
	}{
		{"mat", cure.OverCoatFrom, 29, 15, 948, check.Caution, "begin earlier: have its last bucket laid well before 16:56", "warmer day"},
		{"mat", cure.OverCoatFrom, 29, 15, 948, check.Caution, "within the resin's data sheet", "winter grade"},
		{"mat", cure.OverCoatFrom, 29, 15, 948, check.Caution, "cover it for the night", "warm the deck"},
		{"mat", cure.OverCoatFrom, 9, -1, 948, check.Caution, "wait for a warmer day", "begin earlier"},
		{"mat", cure.OverCoatFrom, 20, 17, 948, check.Caution, "wait for a warmer day", "begin earlier"},
		{"mat", cure.OverCoatFrom, 29, 15, 600, check.Pass, "", "begin earlier"},
		{"mat", cure.RainSafe, 29, 15, 948, check.Pass, "", "begin earlier"},
		{"top coat", cure.RainSafe, 29, 15, 948, check.Caution, "cover it for the night", "warm the deck"},
		{"top coat", cure.RainSafe, 9, -1, 948, check.Caution, "wait for a warmer day", "begin earlier"},
		{"top coat", cure.OverCoatFrom, 29, 15, 948, check.Pass, "", "begin earlier"},
	} {
		w := WetPass{Kind: c.kind, Layer: 1, MixAtMin: 16*60 + 56, DeckC: c.deckC,
			Curve: []cure.Moment{{Min: 1, TempC: c.deckC}, {Min: 600, TempC: c.nightC}, {Min: 1500, TempC: c.deckC}}}
		for _, is := range cure.Milestones() {
			w.Marks = append(w.Marks, WetMark{Milestone: is.String(), is: is, After: cure.Range{LowMin: 40, LikelyMin: 160, HighMin: 160}})
			if is == c.late {
				w.Marks[len(w.Marks)-1].After.HighMin = c.hardMin
			}
		}
		r := window([]*WetPass{&w}, true)
		text := ""
		for _, m := range r.Remedies {
			text += m.Text + "\n"
		}
		if r.Verdict != c.verdict || !strings.Contains(text, c.says) || strings.Contains(text, c.silent) {
			t.Errorf("%s, deck %g °C, night %g °C: %s, %q", c.kind, c.deckC, c.nightC, r.Verdict, text)
		}
	}
}
