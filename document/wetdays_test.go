package document

import (
	"strings"
	"testing"

	"gelwright/scene"
)

// Drawings that belong to no book come as a page that a phone reads: a heading and a named figure each.
func TestSheetsPage(t *testing.T) {
	s := &scene.Scene{Title: "The day", Description: "Begin at nine.", WidthMM: 200, HeightMM: 100}
	m := readPage(t, "days", SheetsPage("Garage & shed", s, s))
	if len(m.levels) != 3 || m.levels[0] != 1 || len(m.bare) > 0 {
		t.Errorf("headings %v, without title: %v", m.levels, m.bare)
	}
	if text := m.text.String(); strings.Count(text, "Begin at nine.") < 2 || !strings.Contains(text, "Garage & shed") {
		t.Errorf("%q", text)
	}
}
