package rooffile

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

const porch = `version: 1
name: Porch
date: 2026-05-12
deck:
  survey:
    walk: 7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left
    measured:
      - {from: A, to: C, length_m: 7.880}
      - {from: A, to: E, length_m: 6.451, tolerance_mm: 4}
      - {at: D, line: [A, B], along_m: 3.2, left_m: 3.2}
      - {at: B, inside_deg: 90.2}
    tolerance: {length_mm: 3, square_deg: 0.4}
    start: [1, 2]
  edges: [drip, kerb, wall, wall, kerb, kerb]
  fall: {towards: south, ratio: 40}
`

// A survey gives the outline, and a file written of it gives the same job again.
func TestTapedOutline(t *testing.T) {
	job, warnings, err := Read("porch.yaml", []byte(porch))
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	d := job.Decks[0]
	if len(d.Outline) != 6 || d.Outline[2].Point.X != 8.2 || math.Abs(d.Outline[2].Point.Y-5.2) > 0.0021 || d.Survey == nil {
		t.Fatalf("%v", d.Outline)
	}
	if s := d.Survey; s.Tolerance.LengthM != 0.003 || s.Tolerance.LengthPerM != 0.0002 || len(s.Measured) != 5 || s.Measured[1].SD != 0.004 {
		t.Errorf("%+v", s)
	}
	text, err := Write(job)
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Read("porch.yaml", text)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	again.Defaults, job.Defaults = nil, nil
	if !reflect.DeepEqual(again, job) {
		t.Errorf("written and read again it differs:\n%s", text)
	}
}

// A walk to the right gives the same roof, each condition at its own edge, seen from above.
func TestTapedTheOtherWayRound(t *testing.T) {
	text := strings.Replace(porch, "walk: 7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left",
		"walk: 5.60 right 3.20 right 2.40 left 4.00 right 3.20 right 7.20 right", 1)
	a, b := strings.Index(text, "    measured:"), strings.Index(text, "  edges:")
	text = text[:a] + "    bearing_deg: 90\n    measured: [{from: A, to: C, length_m: 6.45}, {at: A, inside_deg: 90}]\n" +
		strings.Replace(text[b:], "[drip, kerb, wall, wall, kerb, kerb]", "[kerb, kerb, wall, wall, kerb, drip]", 1)
	job, warnings, err := Read("porch.yaml", []byte(text))
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	d := job.Decks[0]
	if d.Outline.SignedArea() < 0 || math.Abs(d.Outline.Area()-(7.2*3.2+3.2*2.4)) > 0.02 {
		t.Errorf("area %g", d.Outline.SignedArea())
	}
	for i, e := range d.Edges {
		if e.Condition == "drip" {
			if side := d.Outline.Edge(i); math.Abs(side.A.Y) > 0.002 || math.Abs(side.Length()-7.2) > 0.002 {
				t.Errorf("the drip lies at %v", side)
			}
		}
	}
	written, err := Write(job)
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Read("porch.yaml", written)
	if err != nil {
		t.Fatalf("%v in\n%s", err, written)
	}
	if !reflect.DeepEqual(again.Decks[0].Outline, d.Outline) || !reflect.DeepEqual(again.Decks[0].Edges, d.Edges) {
		t.Errorf("written and read again the edges differ:\n%s", written)
	}
}

func TestTapedFaults(t *testing.T) {
	for _, c := range []struct{ name, old, new, code, says string }{
		{"not closing", "4.00 right 2.40", "4.00 right 2.90", "survey.open", "porch.yaml:6:"},
		{"no walk", "walk: 7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left", "bearing_deg: 0", "field.missing", "walk"},
		{"a word", "4.00 right", "4.00 rigth", "survey.walk", "corner D"},
		{"both", "  survey:", "  outline: [[0, 0], [3, 0], [3, 4], [0, 4]]\n  survey:", "outline.twice", "Keep"},
		{"two kinds", "{at: B, inside_deg: 90.2}", "{at: B, inside_deg: 90.2, length_m: 3}", "survey.reading", "porch.yaml:11:"},
		{"no end", "{from: A, to: C, length_m: 7.880}", "{from: A, length_m: 7.880}", "survey.reading", "porch.yaml:8:"},
		{"no line", "line: [A, B], along_m", "along_m", "survey.reading", "porch.yaml:10:"},
		{"no corner", "{at: B, inside", "{at: Q, inside", "survey.reading", "A, B, C, D, E, F"},
		{"itself", "{from: A, to: C,", "{from: A, to: A,", "survey.loose", "porch.yaml:8:"},
		{"edges", "wall, wall, kerb, kerb]", "wall, wall, kerb]", "edge.missing", "edge 6 of 6"},
		{"nail", "{from: A, to: C, length_m: 7.880}", "{from: A, to: nail, length_m: 7.880}", "survey.loose", "nail"},
	} {
		_, _, err := Read("porch.yaml", []byte(strings.Replace(porch, c.old, c.new, 1)))
		faults, _ := err.(Faults)
		found := false
		for _, f := range faults {
			found = found || f.Code == c.code && strings.Contains(f.String(), c.says)
		}
		if !found {
			t.Errorf("%s: no %s with %q in\n%v", c.name, c.code, c.says, err)
		}
	}
}
