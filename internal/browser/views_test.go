package browser

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// give gives a file to the field that asks for one.
func (s *screen) give(field, path string) {
	s.t.Helper()
	x := s.find("button", field)
	s.call("giving "+path, func() error {
		_, err := chromedp.Call(s.ctx, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, BackendNodeID: x.id})
		return err
	})
}

// Lengths are shown in feet and inches, and what is typed is understood in either: bare numbers are feet then, metres bear their m.
func TestFeetAndInches(t *testing.T) {
	s, p := opened(t, "r01-garage", desk)
	s.tap("button", "Survey .*")
	s.chooseIn("Lengths in", "feet")
	row := s.find("button", `2 .*18' 4 1/2"`)
	s.keep("feet")
	s.axe("feet and inches")
	s.tapAt(s.middle(row))
	for _, c := range []struct {
		typed string
		m     float64
	}{{`17' 6"`, 5.334}, {"17", 5.1816}, {"5.2 m", 5.2}} {
		s.fill("textbox", "length", c.typed)
		s.press(kb.Tab)
		s.planned()
		s.kept()
		if got := p.job().Deck.Outline[2][1]; math.Abs(got-c.m) > 1e-4 {
			t.Errorf("%s makes the edge %.4f m long, want %.4f", c.typed, got, c.m)
		}
	}
	s.chooseIn("Lengths in", "metres")
	s.find("button", "2 .*5\\.20 m")
}

// rectangleDXF is 4800 by 3600 of a unit that it does not name.
const rectangleDXF = "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nROOF\n90\n4\n70\n1\n10\n0\n20\n0\n10\n4800\n20\n0\n10\n4800\n20\n3600\n10\n0\n20\n3600\n0\nENDSEC\n0\nEOF\n"

// A drawing that does not say in which unit it is drawn is asked about, in the page.
func TestADrawingWithoutUnitIsAskedAbout(t *testing.T) {
	p := serve(t, t.TempDir())
	s := open(t, p.page, phone)
	path := filepath.Join(t.TempDir(), "extension.dxf")
	if err := os.WriteFile(path, []byte(rectangleDXF), 0o600); err != nil {
		t.Fatal(err)
	}
	s.give("Open a roof file or a drawing.*", path)
	s.find("heading", "In which unit is extension\\.dxf drawn\\?.*")
	s.keep("which-unit")
	s.axe("which unit")
	s.tap("button", "millimetres")
	s.find("heading", "Edge 1 of 4, 4\\.80 m.*")
	if got := p.job().Deck.Outline[2]; got != [2]float64{4.8, 3.6} {
		t.Errorf("the far corner is at %v", got)
	}
}

// Alternatives of one survey are seen side by side, with what changes.
func TestAlternativesStandSideBySide(t *testing.T) {
	s, _ := opened(t, "r01-garage", desk)
	s.tap("button", "Papers.*")
	s.find("button", "Copy as an alternative")
	s.kept()
	s.tap("button", "Copy as an alternative")
	s.until("the copy is open", func() bool { return strings.Contains(s.words(), "(2)") })
	s.planned()
	s.tap("button", "Survey .*")
	s.tap("button", "2 .*5\\.60 m")
	s.fill("textbox", "length", "4.00")
	s.press(kb.Tab)
	s.planned()
	s.kept()
	s.tap("button", "Papers.*")
	s.tapAt(s.middle(s.find("heading", "Alternatives of this survey, side by side")))
	s.until("area and boards stand side by side", func() bool {
		w := eval[string](s, `document.querySelector(".alternatives")?.innerText ?? ""`)
		return strings.Contains(w, "this one") && strings.Contains(w, "17.9 +5.1") && strings.Contains(w, "Garage at Lower Mill")
	})
	s.keep("alternatives")
	s.axe("alternatives side by side")
}

// The beginning is dragged along the clock; the page says that the buckets below are of the plan, and plans from another day.
func TestAStartIsDragged(t *testing.T) {
	s, _ := opened(t, "r01-garage", desk)
	s.tap("button", "The day.*")
	s.give("Give a forecast.*", filepath.Join(root, "examples", "forecast.csv"))
	slider := s.find("slider", "Drag the beginning along the clock")
	s.planned()
	was := s.value(slider)
	s.call("the focus", func() error {
		_, err := chromedp.Call(s.ctx, dom.Focus, dom.FocusParams{BackendNodeID: slider.id})
		return err
	})
	s.press(kb.ArrowRight)
	s.until("the chance follows, and the plan is told apart", func() bool {
		return s.value(slider) != was && strings.Contains(s.words(), "Days and buckets below are of the plan as it was made")
	})
	s.keep("start-dragged")
	s.axe("a start dragged")
	s.press(kb.End)
	s.tap("button", "Plan it from .*")
	s.planned()
	s.until("the job has that day", func() bool { return !strings.Contains(s.words(), "as it was made") })
}

// value is what a thing says of itself now.
func (s *screen) value(x thing) string {
	for _, now := range s.things(x.role, ".*") {
		if now.id == x.id {
			return now.props["valuetext"] + now.value
		}
	}
	return ""
}
