package browser

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// In German, on phone and desk: the choice is kept and says so to readers of the screen, lengths have a comma and are typed with
// either mark, and no word runs out of its place.
func TestInGerman(t *testing.T) {
	for name, l := range map[string]look{"phone": phone, "desk": desk} {
		t.Run(name, func(t *testing.T) {
			s, p := opened(t, "r01-garage", l)
			s.chooseIn("Language", "D")
			s.until("the page is German", func() bool { return eval[string](s, `document.documentElement?.lang ?? ""`) == "de" })
			s.planned()
			s.tap("button", "Aufmaß .*")
			row := s.find("button", `2 .*5,60 m`)
			s.keep("german-" + name)
			s.axe("German, " + name)
			s.tapAt(s.middle(row))
			for typed, m := range map[string]float64{"5,20": 5.2, "5.4": 5.4} {
				s.fill("textbox", "Länge", typed)
				s.press(kb.Tab)
				s.planned()
				s.kept()
				if got := p.job().Deck.Outline[2][1]; math.Abs(got-m) > 1e-4 {
					t.Errorf("%s makes the edge %.4f m long, want %.4f", typed, got, m)
				}
			}
			for _, view := range []string{"Aufbau", "Der Tag", "Zu klären", "Bestellung", "Papiere"} {
				s.tap("button", view+".*")
				s.keep("german-" + strings.ToLower(strings.ReplaceAll(view, " ", "-")) + "-" + name)
				if wide := eval[int](s, `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
					t.Errorf("%s runs %d px out of the screen", view, wide)
				}
			}
			s.axe("the papers in German, " + name)
		})
	}
}
