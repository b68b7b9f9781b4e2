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

// Where the lines are drawn, by hand (common practice, no source): a deck of 15 °C is warm, a night that takes 8 K of it within
// twelve hours stops the cure; hard within twelve hours is in time, not within 36 is too late, fully cured within a fortnight is in
// time. A laminate is hard when the next coat may go on, a coat when it is safe from rain.
func TestWhereAPassIsLate(t *testing.T) {
	const hour, day = 60.0, 24 * 60.0
	type pass struct{ deckC, nightC, nightMin, hardLikely, hardHigh, full float64 }
	sound := pass{20, 12, 11 * hour, 6 * hour, 15 * hour, 5 * day}
	for _, c := range []struct {
		name    string
		with    func(*pass)
		verdict check.Verdict
		says    string
	}{
		{"the night takes 8 K", func(*pass) {}, check.Caution, "begin earlier"},
		{"the night takes 7.7 K", func(p *pass) { p.nightC = 12.3 }, check.Caution, "warmer day"},
		{"the deck is just warm", func(p *pass) { p.deckC, p.nightC = 15, 6 }, check.Caution, "begin earlier"},
		{"the deck is not warm", func(p *pass) { p.deckC, p.nightC = 14.4, 6 }, check.Caution, "warmer day"},
		{"cold within twelve hours", func(p *pass) { p.nightMin = 11.7 * hour }, check.Caution, "begin earlier"},
		{"cold after twelve hours", func(p *pass) { p.nightMin = 12.3 * hour }, check.Caution, "warmer day"},
		{"hard within twelve hours", func(p *pass) { p.hardHigh = 11.7 * hour }, check.Pass, ""},
		{"hard after twelve hours", func(p *pass) { p.hardHigh = 12.3 * hour }, check.Caution, "begin earlier"},
		{"hard within 36 hours", func(p *pass) { p.hardLikely, p.hardHigh = 35.5*hour, 50*hour }, check.Caution, "begin earlier"},
		{"hard after 36 hours", func(p *pass) { p.hardLikely, p.hardHigh = 36.5*hour, 50*hour }, check.Fail, "begin earlier"},
		{"cured within a fortnight", func(p *pass) { p.hardHigh, p.full = 8*hour, 13.7*day }, check.Pass, ""},
		{"cured after a fortnight", func(p *pass) { p.hardHigh, p.full = 8*hour, 14.3*day }, check.Caution, "warmer day"},
	} {
		for kind, hard := range map[string]cure.Milestone{"mat": cure.OverCoatFrom, "top coat": cure.RainSafe} {
			p := sound
			c.with(&p)
			w := WetPass{Kind: kind, Layer: 1, MixAtMin: 16 * hour, DeckC: p.deckC,
				Curve: []cure.Moment{{Min: 1, TempC: p.deckC}, {Min: p.nightMin, TempC: p.nightC}, {Min: 3 * day, TempC: p.deckC}}}
			for _, is := range cure.Milestones() {
				after := cure.Range{LowMin: 40, LikelyMin: 160, HighMin: 160}
				switch is {
				case hard:
					after = cure.Range{LowMin: 40, LikelyMin: p.hardLikely, HighMin: p.hardHigh}
				case cure.OverCoatUntil:
					after = cure.Range{LowMin: 3 * day, LikelyMin: 4 * day, HighMin: 5 * day}
				case cure.FullCure:
					after = cure.Range{LowMin: day, LikelyMin: p.full, HighMin: p.full}
				}
				w.Marks = append(w.Marks, WetMark{Milestone: is.String(), is: is, After: after})
			}
			r := window([]*WetPass{&w}, true)
			text := ""
			for _, m := range r.Remedies {
				text += m.Text + "\n"
			}
			if r.Verdict != c.verdict || !strings.Contains(text, c.says) {
				t.Errorf("%s, %s: %s, %q", kind, c.name, r.Verdict, text)
			}
		}
	}
}
