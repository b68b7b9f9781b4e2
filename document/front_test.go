package document

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/internal/examples"
	"gelwright/laying"
)

// The first page is one page, whatever its names, reasons, worries, decks and buckets; nothing
// runs off it, and the way out and the telephone stand on it.
func TestSummaryIsOnePage(t *testing.T) {
	long := strings.Repeat("a reason that goes on and on, with 12.5 °C and 3 min of it, ", 12)
	for _, reason := range []string{"short", long} {
		for _, decks := range []int{1, 4, 25} {
			p := *examples.Plan(t, "r01-garage")
			p.Job.Name, p.Job.Client, p.Job.Note = "Garage "+reason, "Client "+reason, reason
			p.Job.Reference, p.Job.PreparedBy = "FR "+reason, "Firm "+reason
			p.Job.Site.Name, p.Job.Work.OldCovering = "Site "+reason, reason
			p.Schedule.Verdict, p.Schedule.Reason, p.Schedule.AnyDayFrom = laying.NotSure, reason, "2026-05-12"
			steps := p.Method
			p.Method = nil
			passes, decksOf, jobDecks := p.Passes, p.Decks[0], p.Job.Decks[0]
			p.Passes, p.Decks, p.Job.Decks = nil, nil, nil
			p.Checks = slices.Clone(p.Checks)
			for i := range decks {
				name := fmt.Sprintf("deck number %d", i)
				decksOf.Name, jobDecks.Name = name, name
				p.Decks, p.Job.Decks = append(p.Decks, decksOf), append(p.Job.Decks, jobDecks)
				for _, s := range steps {
					s.Stage, s.Number = s.Stage+", "+name, len(p.Method)+1
					p.Method = append(p.Method, s)
				}
				for _, x := range passes {
					x.Deck = name
					p.Passes = append(p.Passes, x)
					x.Plan, x.Refusal = nil, reason
					p.Passes = append(p.Passes, x)
				}
				p.Checks = append(p.Checks, check.Result{Key: "wind.uplift", Title: fmt.Sprintf("Will deck %d hold?", i), Verdict: check.Fail,
					Finding: reason})
			}
			var all []placed
			d, err := newPack(&p, "site", "Site book", newRefs(&p), func(_ string, x placed) { all = append(all, x) })
			if err != nil {
				t.Fatal(err)
			}
			d.front()
			if n := d.f.PageCount(); n != 1 || d.y > bottom {
				t.Errorf("%d decks, reasons of %d letters: %d pages, %.0f mm down the last of %.0f", decks, len(reason), n, d.y, bottom)
			}
			said := ""
			for _, x := range all {
				said += x.text + " "
				if over := x.x + x.wide - x.mm; over > 0.4 || x.x < left-0.1 {
					t.Errorf("%d decks: %q stands from %.1f to %.1f, off its place", decks, x.text, x.x, x.x+x.wide)
				}
			}
			for _, want := range []string{"DO NOT BEGIN", "of that start by itself", "No bucket can be mixed", "Eye hospital", "Exit on every drawing", "stand in office.pdf"} {
				if !strings.Contains(said, want) {
					t.Errorf("%d decks, reasons of %d letters: the page does not say %q", decks, len(reason), want)
				}
			}
		}
	}
}
