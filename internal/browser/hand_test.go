package browser

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// thing is what a person finds on a screen: by what it is and what it is called, as a screen reader tells it.
type thing struct {
	role, name, value string
	described         string
	props             map[string]string
	id                cdp.BackendNodeID
}

// things finds all of a role whose name matches; the role may be empty. Names are as they are told, not as they stand in the code.
func (s *screen) things(role, name string) []thing {
	s.t.Helper()
	return s.thingsIn("", role, name)
}

// thingsIn finds them in a part of the page alone, by its selector; empty for the whole page.
func (s *screen) thingsIn(part, role, name string) []thing {
	s.t.Helper()
	of := regexp.MustCompile("^(?:" + name + ")$")
	doc, err := chromedp.Call(s.ctx, dom.GetDocument, dom.GetDocumentParams{})
	if err != nil {
		s.t.Fatalf("the page: %v", err)
	}
	under := doc.Root.NodeID
	if part != "" {
		found, err := chromedp.Call(s.ctx, dom.QuerySelector, dom.QuerySelectorParams{NodeID: under, Selector: part})
		if err != nil || found.NodeID == 0 {
			return nil
		}
		under = found.NodeID
	}
	got, err := chromedp.Call(s.ctx, accessibility.QueryAXTree, accessibility.QueryAXTreeParams{NodeID: under, Role: role})
	if err != nil {
		return nil // the page has changed meanwhile
	}
	var out []thing
	for _, n := range got.Nodes {
		if n.Ignored || n.BackendDOMNodeID == 0 {
			continue
		}
		x := thingOf(n)
		if of.MatchString(x.name) {
			out = append(out, x)
		}
	}
	return out
}

func thingOf(n *accessibility.Node) thing {
	x := thing{role: textOf(n.Role), name: textOf(n.Name), value: textOf(n.Value), described: textOf(n.Description), props: map[string]string{},
		id: n.BackendDOMNodeID}
	for _, p := range n.Properties {
		x.props[string(p.Name)] = textOf(p.Value)
	}
	return x
}

// focused is what has the focus.
func (s *screen) focused() thing {
	s.t.Helper()
	at, err := chromedp.Call(s.ctx, runtime.Evaluate, runtime.EvaluateParams{Expression: "document.activeElement"})
	if err != nil || at.Result == nil {
		s.t.Fatalf("the focus: %v", err)
	}
	got, err := chromedp.Call(s.ctx, accessibility.GetPartialAXTree, accessibility.GetPartialAXTreeParams{ObjectID: at.Result.ObjectID})
	if err != nil || len(got.Nodes) == 0 {
		return thing{} // what had it is gone
	}
	return thingOf(got.Nodes[0])
}

func textOf(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var text string
	if json.Unmarshal(v.Value, &text) == nil {
		return strings.TrimSpace(text)
	}
	return string(v.Value)
}

// find waits for the one thing of a role and a name.
func (s *screen) find(role, name string) thing {
	s.t.Helper()
	var found []thing
	s.until(fmt.Sprintf("there is one %s called %q", role, name), func() bool {
		found = s.things(role, name)
		return len(found) == 1
	})
	return found[0]
}

// outline is what a screen reader would say of the screen, for a test that failed.
func (s *screen) outline() string {
	got, err := chromedp.Call(s.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	for _, n := range got.Nodes {
		role, name := textOf(n.Role), textOf(n.Name)
		if n.Ignored || name == "" || role == "StaticText" || role == "InlineTextBox" {
			continue
		}
		fmt.Fprintf(&b, "  %s %q", role, name)
		if v := textOf(n.Value); v != "" {
			fmt.Fprintf(&b, " = %q", v)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// at is a place on the screen.
type at struct{ x, y float64 }

// middle is the middle of a thing, brought onto the screen.
func (s *screen) middle(x thing) at {
	s.t.Helper()
	if _, err := chromedp.Call(s.ctx, dom.ScrollIntoViewIfNeeded, dom.ScrollIntoViewIfNeededParams{BackendNodeID: x.id}); err != nil {
		s.t.Fatalf("%s %q cannot be brought onto the screen: %v", x.role, x.name, err)
	}
	got, err := chromedp.Call(s.ctx, dom.GetContentQuads, dom.GetContentQuadsParams{BackendNodeID: x.id})
	if err != nil || len(got.Quads) == 0 {
		s.t.Fatalf("%s %q is nowhere on the screen: %v", x.role, x.name, err)
	}
	var c at
	for i := 0; i < 8; i += 2 {
		c.x, c.y = c.x+got.Quads[0][i]/4, c.y+got.Quads[0][i+1]/4
	}
	return c
}

// tap taps a thing that is found by role and name, with a finger or a mouse as the screen has it.
func (s *screen) tap(role, name string) {
	s.t.Helper()
	var last, c at
	s.until(fmt.Sprintf("the %s called %q stands still", role, name), func() bool {
		last, c = c, s.middle(s.find(role, name))
		return c == last // what is loaded above it moves it
	})
	s.tapAt(c)
}

// tapAt taps a place.
func (s *screen) tapAt(c at) {
	s.t.Helper()
	s.drag(c)
}

// stepsOfDrag are the moves between two places of a drag.
const stepsOfDrag = 8

// drag presses at the first place, moves over the others and lets go at the last.
func (s *screen) drag(from at, over ...at) {
	s.t.Helper()
	s.pointer("down", from)
	last := from
	for _, to := range over {
		for i := 1.0; i <= stepsOfDrag; i++ {
			s.pointer("move", at{last.x + (to.x-last.x)*i/stepsOfDrag, last.y + (to.y-last.y)*i/stepsOfDrag})
		}
		last = to
	}
	s.pointer("up", last)
}

// pointer is one act of finger or mouse.
func (s *screen) pointer(act string, c at) {
	s.t.Helper()
	var err error
	if s.touch {
		q := input.DispatchTouchEventParams{Type: map[string]input.DispatchTouchEventType{"down": input.DispatchTouchEventTypeTouchStart,
			"move": input.DispatchTouchEventTypeTouchMove, "up": input.DispatchTouchEventTypeTouchEnd}[act], TouchPoints: []*input.TouchPoint{}}
		if act != "up" {
			q.TouchPoints = append(q.TouchPoints, &input.TouchPoint{X: c.x, Y: c.y})
		}
		_, err = chromedp.Call(s.ctx, input.DispatchTouchEvent, q)
	} else {
		q := input.DispatchMouseEventParams{Type: map[string]input.DispatchMouseEventType{"down": chromedp.MousePressed,
			"move": chromedp.MouseMoved, "up": chromedp.MouseReleased}[act], X: c.x, Y: c.y, Button: input.MouseButtonLeft, ClickCount: 1}
		if act != "up" {
			q.Buttons = 1
		}
		_, err = chromedp.Call(s.ctx, input.DispatchMouseEvent, q)
	}
	if err != nil {
		s.t.Fatalf("%s at %.0f, %.0f: %v", act, c.x, c.y, err)
	}
}

// press presses keys one after another; names as in chromedp/kb.
func (s *screen) press(keys string, held ...chromedp.Modifier) {
	s.t.Helper()
	s.do(fmt.Sprintf("pressing %q", keys), chromedp.KeyEvent(keys, chromedp.KeyModifiers(held...)))
}

// fill taps a field, takes what is in it and types.
func (s *screen) fill(role, name, text string) {
	s.t.Helper()
	s.until(fmt.Sprintf("the %s called %q has the keys", role, name), func() bool {
		s.tap(role, name)
		return s.focused().id == s.find(role, name).id
	})
	s.press("a", chromedp.ModifierCtrl)
	s.press(text)
}
