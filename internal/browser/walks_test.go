package browser

import (
	"fmt"
	"math"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// blank begins a blank roof.
func blank(t *testing.T, l look) (*screen, *serving) {
	t.Helper()
	p := serve(t, t.TempDir())
	s := open(t, p.page, l)
	s.tap("button", "One blank roof")
	s.until("the sheet is there", func() bool { return eval[bool](s, `document.querySelector(".sheet-svg") !== null`) })
	return s, p
}

// measured presses the keys of the tape's pad: the digits of a length, then what follows it.
func (s *screen) measured(length, then string) {
	s.t.Helper()
	for _, d := range length {
		s.tap("button", regexp.QuoteMeta(string(d)))
	}
	s.tap("button", then)
}

// answered chooses what each edge meets, as the page asks one after another.
func (s *screen) answered(conditions ...string) {
	s.t.Helper()
	for i, c := range conditions {
		s.find("heading", fmt.Sprintf("Edge %d of %d, .*", i+1, len(conditions)))
		s.tapAt(s.middle(s.within(".asking", "radio", c)))
	}
	s.find("heading", "Which way does the water run\\?")
}

// within finds a thing by role and name inside a part of the page that a person sees as one, where its list says the same once more.
func (s *screen) within(part, role, name string) thing {
	s.t.Helper()
	var found []thing
	s.until(fmt.Sprintf("there is one %s called %q in %s", role, name, part), func() bool {
		found = s.thingsIn(part, role, name)
		return len(found) == 1
	})
	return found[0]
}

// From a sketch with seven lengths and two diagonals to the site papers, with a thumb and nothing but what the screen says: an L
// with a chimney at its wall. One side is called a metre short; the page finds it and mends it.
func TestFromASketchToTheSitePapersWithAThumb(t *testing.T) {
	s, p := blank(t, phone)
	s.tap("button", "Call the tape")
	for _, side := range [][2]string{{"7.2", "left"}, {"3.2", "left"}, {"4", "right"}, {"2.4", "left"}, {"3.2", "left"}} {
		s.measured(side[0], side[1])
	}
	s.measured("4.6", "that was the last side")
	s.until("it says that it does not close", func() bool { return strings.Contains(s.text(), "the tape does not close") })
	s.measured("7.88", "next")
	s.until("it asks for the diagonal that tells most", func() bool { return strings.Contains(s.words(), "Diagonal A to E") })
	s.measured("6.45", "next")
	s.find("button", "Make F–A 5\\.60 m")
	s.keep("tape-blunder")
	s.axe("the tape with a blunder in it")
	s.tap("button", "Make F–A 5\\.60 m")
	s.until("the tape closes", func() bool { return strings.Contains(s.words(), "The tape closes") })
	s.keep("tape-mended")
	s.tap("button", "done")
	s.answered("drip", "kerb", "wall", "wall", "kerb", "drip")
	s.keep("which-way")
	s.axe("which way the water runs")
	s.tap("button", "to edge 1, drip")
	s.planned()
	s.tap("button", "chimney")
	wall := s.find("image", "Edge 3, wall, 4\\.00 m")
	s.tapAt(s.middle(wall))
	s.fill("textbox", "off edge 4, wall", "1.20")
	s.press(kb.Tab)
	s.planned()
	s.keep("chimney-placed")
	s.axe("a chimney placed")
	s.tap("button", "Papers.*")
	s.find("link", "Site book.*PDF.*")
	s.kept()
	job := p.job()
	if got := fmt.Sprint(job.Deck.Survey.Walk, job.Deck.Openings[0].From, job.Deck.Openings[0].To); got != "7.2 left 3.2 left 4 right 2.4 left 3.2 left 5.6[4.4 2.75] [5 3.2]" {
		t.Errorf("kept is %s", got)
	}
	href := eval[string](s, `[...document.querySelectorAll("a")].find((a) => a.href.endsWith("site.pdf")).getAttribute("href")`)
	w, err := http.Get(strings.TrimSuffix(p.url, "/") + href)
	if err != nil || w.StatusCode != http.StatusOK {
		t.Fatalf("%s: %v %v", href, w, err)
	}
	w.Body.Close()
}

// With the keyboard alone: the tape is called, each edge said, the fall turned, a paper reached. No pointer is moved.
func TestWithTheKeyboardAlone(t *testing.T) {
	p := serve(t, t.TempDir())
	s := open(t, p.page, desk)
	s.walkTo("button", "One blank roof")
	s.press(kb.Enter)
	s.walkTo("button", "Call the tape")
	s.press(kb.Enter)
	s.until("the tape is in hand", func() bool { return strings.Contains(s.words(), "Type the first length") })
	s.press("4.8")
	s.press("l")
	s.press("3.6")
	s.press("l")
	s.press("4.8")
	s.press("l")
	s.press("3.6")
	s.press(kb.Enter)
	s.until("a diagonal is asked for", func() bool { return strings.Contains(s.words(), "Diagonal A to C") })
	s.press("6.0")
	s.press(kb.Enter)
	s.until("the tape closes", func() bool { return strings.Contains(s.words(), "The tape closes") })
	s.walkTo("button", "done")
	s.press(kb.Enter)
	for i, right := range []int{0, 2, 3, 2} { // drip, kerb, wall, kerb, as they stand in the row
		s.find("heading", fmt.Sprintf("Edge %d of 4, .*", i+1))
		s.walkTo("radio", "drip")
		for range right {
			s.press(kb.ArrowRight)
		}
		s.press(kb.Enter)
	}
	s.find("heading", "Which way does the water run\\?")
	s.walkTo("button", "to edge 1, drip")
	s.press(kb.Enter)
	s.planned()
	// On the sheet: the next thing is chosen with a key, and moved with the arrows.
	s.walkTo("group", "Roof: 1 deck.*")
	s.press(kb.PageDown)
	s.keep("keyboard-alone")
	s.walkTo("button", "Papers.*")
	s.press(kb.Enter)
	s.find("link", "Site book.*PDF.*")
	s.walkTo("link", "Site book.*PDF.*")
	if job := p.job(); job.Deck.Survey.Walk != "4.8 left 3.6 left 4.8 left 3.6" || fmt.Sprint(job.Deck.Edges) != "[drip kerb wall kerb]" || job.Deck.Fall.Towards != "south" {
		t.Errorf("kept is %+v", job)
	}
}

// An outline is drawn on the sheet with keys: a corner, a direction by an arrow, a length, and so round; Enter on a corner closes it.
func TestAnOutlineIsDrawnWithKeys(t *testing.T) {
	s, p := blank(t, desk)
	s.walkTo("group", "Roof: an empty sheet")
	s.press(kb.Enter)
	for _, side := range [][2]string{{kb.ArrowRight, "4.8"}, {kb.ArrowUp, "3.6"}, {kb.ArrowLeft, "4.8"}} {
		s.press(side[0])
		s.press(side[1])
		s.press(kb.Enter)
	}
	s.keep("drawn-with-keys")
	s.press(kb.Enter)
	s.find("heading", "Edge 1 of 4, 4\\.80 m.*")
	s.press("z", chromedp.ModifierCtrl)
	s.until("the sheet is blank again", func() bool { return len(s.things("group", "Roof: an empty sheet")) == 1 })
	s.press("z", chromedp.ModifierCtrl, chromedp.ModifierShift)
	s.find("heading", "Edge 1 of 4, 4\\.80 m.*")
	s.kept()
	o := p.job().Deck.Outline
	if w, h := o[1][0]-o[0][0], o[2][1]-o[1][1]; len(o) != 4 || math.Abs(w-4.8) > 1e-6 || math.Abs(h-3.6) > 1e-6 {
		t.Errorf("drawn is %v", o)
	}
}

// walkTo goes with Tab until the thing is reached, as whoever has no pointer does.
func (s *screen) walkTo(role, name string) {
	s.t.Helper()
	of := regexp.MustCompile("^(?:" + name + ")$")
	for range 200 {
		if x := s.focused(); x.role == role && of.MatchString(x.name) {
			return
		}
		s.press(kb.Tab)
	}
	s.keep("failed-" + s.t.Name())
	s.t.Fatalf("with Tab alone nobody comes to the %s called %q; the focus is on %+v", role, name, s.focused())
}

// A fall is dragged: its arrow turns, and the heights of the corners, the line of a ridge and the plan follow.
func TestAFallIsDragged(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.tap("button", "Survey .*")
	arrow := s.middle(s.find("image", "Fall 1:40 of deck .*"))
	was := s.heights()
	s.drag(arrow, at{arrow.x + 160, arrow.y})
	s.until("the water runs east", func() bool { return len(s.things("button", "one way, east.*")) == 1 })
	s.planned()
	if now := s.heights(); now == was || len(strings.Fields(now)) != 4 {
		t.Errorf("the heights are %q, before the drag %q", now, was)
	}
	if job := p.job(); job.Deck.Fall.Towards != "east" {
		t.Errorf("kept is %+v", job.Deck.Fall)
	}
	s.keep("fall-dragged")
	for _, kind := range []string{"ridge", "valley"} {
		s.chooseIn("how the water runs", kind)
		s.until("there are two planes", func() bool { return len(s.things("image", "Fall .*, .*")) == 1 && strings.Contains(s.text(), kind) })
		s.planned()
		end := s.middle(s.find("image", kind+", end 1"))
		before := s.heights()
		s.drag(end, at{end.x + 60, end.y})
		s.until("the heights follow the "+kind, func() bool {
			return s.heights() != before && eval[bool](s, `document.querySelector(".stale") === null`)
		})
		s.keep("fall-" + kind)
	}
	s.axe("a fall with a valley")
}

// heights are those of the corners, as they stand beside them on the sheet.
func (s *screen) heights() string {
	return eval[string](s, `[...document.querySelectorAll(".corner-height")].map((x) => x.textContent).join(" ")`)
}

// chooseIn chooses a word in a field.
func (s *screen) chooseIn(field, word string) {
	s.t.Helper()
	x := s.find("combobox", field)
	s.call("the focus", func() error {
		_, err := chromedp.Call(s.ctx, dom.Focus, dom.FocusParams{BackendNodeID: x.id})
		return err
	})
	s.press(word)
}

// A hall stays usable while its outline is dragged: the outline is drawn at every frame that the browser shows, though the plan
// takes long; at the end the plan follows.
func TestAHallIsDragged(t *testing.T) {
	p := serve(t, t.TempDir(), "--open", filepath.Join(root, "examples", "r12-hall.yaml"))
	s := open(t, p.page, desk)
	s.planned()
	s.tap("button", "Survey .*")
	edge := s.middle(s.find("image", "Edge 2, .*"))
	eval[bool](s, `(() => { window.frames_ = []; window.drawn_ = new Set(); const step = (t) => { window.frames_.push(t);
		window.drawn_.add(document.querySelector(".outline").getAttribute("d")); window.frame_ = requestAnimationFrame(step); }; requestAnimationFrame(step); return true; })()`)
	s.pointer("down", edge)
	for i := 1.0; i <= 90; i++ {
		s.pointer("move", at{edge.x + i, edge.y})
	}
	s.pointer("up", at{edge.x + 90, edge.y})
	type seen struct{ Shown, Drawn, Worst float64 }
	got := eval[seen](s, `(() => { cancelAnimationFrame(window.frame_); const f = window.frames_, d = f.slice(1).map((t, i) => t - f[i]).sort((a, b) => a - b);
		return {shown: 1000 * d.length / (f.at(-1) - f[0]), drawn: window.drawn_.size, worst: d.at(-1)}; })()`)
	t.Logf("%.0f frames a second while the hall is dragged, %.0f outlines drawn, the longest wait %.0f ms", got.Shown, got.Drawn, got.Worst)
	if got.Drawn < 5 {
		t.Errorf("only %.0f outlines were drawn between finger down and finger up", got.Drawn)
	}
	s.planned()
	s.press("z", chromedp.ModifierCtrl)
	s.planned()
	s.keep("hall-dragged")
}
