package plan_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"gelwright/plan"
	"gelwright/roof"
)

// An overlay's screws reach 35 mm into the joists (common practice): new board 18, two
// coverings of 5, old deck 18, 35 held = 81 mm, so 90. The 50 mm screws that remain are
// those of the renewed soft area, which lies on the joists.
func TestOverlayScrewsReachTheJoists(t *testing.T) {
	p := planned(t, "r07-overlay.yaml")
	if l := lineOf(p, "screw.deck.5x90"); l == nil || !strings.Contains(l.Description, "joists") || l.Net < 500 {
		t.Errorf("boards: %+v", l)
	}
	if l := lineOf(p, "screw.5x50"); l != nil && (len(l.Pieces) != 1 || l.Pieces[0] != "soft area 1") {
		t.Errorf("50 mm screws for %v", l.Pieces)
	}
	wants(t, p, "through new board, old covering and old deck 35 mm into the joists")
	// Joists 400 mm apart, screws every 300 mm and near each board's ends: some 8 to 13 on a
	// square metre hold the wind, not the 27 to 35 that are driven.
	for _, r := range p.Checks {
		if _, gives, ok := strings.Cut(r.Finding, "the specification gives "); ok && strings.HasPrefix(r.Key, "wind") {
			if n, err := strconv.ParseFloat(gives, 64); err != nil || n < 6 || n > 16 {
				t.Errorf("%s: %s", r.Where, r.Finding)
			}
		}
	}
}

func wants(t *testing.T, p *plan.Plan, words string) {
	t.Helper()
	for _, s := range p.Method {
		if strings.Contains(s.Act, words) {
			return
		}
	}
	t.Errorf("no step says %q", words)
}

func refuses(t *testing.T, p *plan.Plan, words string) {
	t.Helper()
	for _, s := range p.Method {
		if strings.Contains(s.Act, words) {
			t.Errorf("step %d says %q", s.Number, s.Act)
		}
	}
}

// A warm roof on firrings: what passes the insulation bites into the firring, and every
// firring is held down by screws of its own, every 600 mm at most.
func TestFirringsHaveFixingsOfTheirOwn(t *testing.T) {
	p := planned(t, "r04-l-shape.yaml")
	l := lineOf(p, "screw.through-insulation")
	if l == nil || !strings.Contains(l.Description, "firrings") || !strings.Contains(l.Note, "screws of its own") {
		t.Fatalf("through the insulation: %+v", l)
	}
	held := map[string]bool{}
	for _, l := range p.Order.Schedule.Lines {
		if strings.HasPrefix(l.MaterialKey, "screw.timber.") {
			for _, n := range l.Pieces {
				held[n] = true
			}
		}
	}
	least := 0.0
	for _, d := range p.Decks {
		for _, f := range d.Firrings {
			least += math.Ceil(f.LengthM/0.6-1e-9) + 1
			if !held[f.Number] {
				t.Errorf("firring %s is held by nothing", f.Number)
			}
		}
	}
	n := 0.0
	for _, l := range p.Order.Schedule.Lines {
		if strings.HasPrefix(l.MaterialKey, "screw.timber.") {
			n += l.Net
		}
	}
	if least == 0 || n < least {
		t.Errorf("%.0f screws for firrings that take %.0f", n, least)
	}
	wants(t, p, "35 mm into the joist")
}

// A balcony's drip of L m takes a screw every 300 mm and one more in each of its two
// battens: 60 mm through the first (25 + 35), 90 mm (2 × 25 + 35, rounded up) through both.
func TestBattensAndKerbsAreFixed(t *testing.T) {
	p := planned(t, "r01-garage.yaml")
	for _, key := range []string{"screw.timber.5x60", "screw.timber.5x90", "screw.timber.5x110"} {
		if l := lineOf(p, key); l == nil || l.Net < 4 {
			t.Errorf("%s: %+v", key, l)
		}
	}
	// Kerbs of 150 mm: 150 + 18 + 35 is longer than is driven straight, so two askew.
	p = planned(t, "r12-hall.yaml")
	if l := lineOf(p, "screw.timber.5x100"); l == nil || l.Pieces[0] != "RL01" || math.Mod(l.Net, 2) != 0 {
		t.Errorf("kerbs: %+v", l)
	}
}

// Insulation between joists below a deck that stays cannot be put in from above: it is
// there already. A soft place of 1.2 × 0.9 m is cut out half a bay of 400 mm further on
// every side, 1.6 × 1.3 m, which one board of 2.44 × 1.22 m yields.
func TestOverlayOrdersNoInsulationAndRenewsSoftDeck(t *testing.T) {
	p := planned(t, "r07-overlay.yaml")
	if l := lineOf(p, "insulation."); l != nil {
		t.Errorf("ordered %v of %s", l.Ordered, l.Description)
	}
	if s := strings.Join(p.Order.Schedule.Notes, "|"); !strings.Contains(s, "no insulation") {
		t.Errorf("the order does not say why: %s", s)
	}
	r := p.Decks[0].Renewals
	if len(r) != 1 || math.Abs(r[0].SoftM2-1.08) > 1e-9 || math.Abs(r[0].CutM2-1.6*1.3) > 1e-9 || r[0].Boards != 1 {
		t.Fatalf("renewals %+v", r)
	}
	if l := lineOf(p, "board."); l.Net != float64(p.Totals.Boards+1) {
		t.Errorf("%g boards, %d set out and one for the soft area", l.Net, p.Totals.Boards)
	}
	wants(t, p, "cut out 1.6 × 1.3 m")
	wants(t, p, "(5.90, 0.80) 27 %")
	// Stripped down to the joists all is put in anew.
	job := clone(example(t, "r07-overlay.yaml"))
	job.Work.Kind, job.Decks[0].Base = "strip", roof.Base{Kind: "joists", JoistSpacingMM: 400, JoistWidthMM: 47, JoistDepthMM: 147,
		JoistSpanM: 2.4, TimberClass: "C24"}
	p = planOf(t, job)
	if l := lineOf(p, "insulation."); l == nil || len(p.Decks[0].Renewals) != 0 {
		t.Errorf("stripped: insulation %v, renewals %v", l, p.Decks[0].Renewals)
	}
}

// Decks at several levels are finished one after another from the top down, each signed
// off before the next is opened.
func TestCascadeIsWorkedDeckByDeck(t *testing.T) {
	p := planned(t, "r11-three-levels.yaml")
	var order []string
	for _, s := range p.Method {
		if _, deck, ok := strings.Cut(s.Stage, ", deck "); ok && (len(order) == 0 || order[len(order)-1] != deck) {
			order = append(order, deck)
		}
	}
	if got := strings.Join(order, " "); got != "upper middle lower" {
		t.Errorf("decks in the order %s", got)
	}
	for _, words := range []string{"Hold point 1, deck middle", "Hold point 2, deck lower", "Hold point 3, deck upper",
		"before deck middle is opened", "before deck lower is opened", "Strip deck middle now"} {
		wants(t, p, words)
	}
	// One level: one round.
	for _, s := range planned(t, "r04-l-shape.yaml").Method {
		if strings.Contains(s.Stage, ", deck ") {
			t.Errorf("step %d: %s", s.Number, s.Stage)
		}
	}
}

// The method speaks only of what the roof has, and of boards as they were set out.
func TestMethodSpeaksOfWhatIsThere(t *testing.T) {
	p := planned(t, "r01-garage.yaml") // no wall, outlet or rooflight
	for _, words := range []string{"Chase", "outlet", "rooflight", "overflow"} {
		refuses(t, p, words)
	}
	wants(t, p, "long edge across the joists")
	wants(t, planned(t, "r07-overlay.yaml"), "Chase and wedge flashings")
	refuses(t, planned(t, "r07-overlay.yaml"), "across the joists") // nobody knows them
	job := clone(example(t, "r01-garage.yaml"))
	job.Spec.SetOut.BoardDirection = "x"
	if d := job.Decks[0].Base.JoistBearingDeg; d != 0 && d != 180 {
		job.Spec.SetOut.BoardDirection = "y"
	}
	wants(t, planOf(t, job), "long edge along the joists")
}

// Screws are named by what they hold: no firrings where none are.
func TestScrewsAreNamedByWhatTheyHold(t *testing.T) {
	for name, firrings := range map[string]bool{"r02-dormer.yaml": true, "r01-garage.yaml": false} {
		found := false
		for _, l := range planned(t, name).Order.Schedule.Lines {
			if strings.HasPrefix(l.MaterialKey, "screw.timber.") && strings.Contains(l.Description, "firrings") {
				found = true
			}
		}
		if found != firrings {
			t.Errorf("%s: screws for firrings on the list: %v", name, found)
		}
	}
}
