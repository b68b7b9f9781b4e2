package plan_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"

	"gelwright/firmfile"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/working"
)

// seen are the documents that somebody had before him when their values were taken over. No
// text of a standard is among them: what is known of those is quoted by others.
var seen = []string{"NIOSH Pocket Guide to Chemical Hazards (2005)", "40 CFR 63 subpart VVVV",
	"Säämänen et al. 1991, Appl Occup Environ Hyg",
	"R. Barnes, C. Lehman, D. Mulla: Priority-flood, Computers & Geosciences 62 (2014)"}

// sources visits every source that a plan shows: of its figures down to the leaves, of its
// checks and of its findings.
func sources(p *plan.Plan, visit func(where string, s working.Source, leaf *working.Figure)) {
	done := map[*working.Figure]bool{}
	var walk func(at string, f *working.Figure)
	walk = func(at string, f *working.Figure) {
		if f == nil || done[f] {
			return
		}
		done[f] = true
		at += " < " + f.Name
		if len(f.Inputs) == 0 {
			visit(at, f.Source, f)
		} else {
			visit(at, f.Source, nil)
		}
		for _, in := range f.Inputs {
			walk(at, in)
		}
	}
	for _, key := range p.Workings.Keys() {
		f, _ := p.Workings.Find(key)
		walk(key, f)
	}
	for _, r := range p.Checks {
		visit(r.Key, r.Clause, nil)
		for _, f := range r.Working {
			walk(r.Key, f)
		}
	}
}

// holdsField reports whether a text of YAML holds a field: "decks[main].base.joist_span_m".
func holdsField(t *testing.T, raw []byte, field string) bool {
	t.Helper()
	var root map[string]any
	if err := yaml.Unmarshal(raw, &root); err != nil {
		t.Fatal(err)
	}
	var at any = root
	for _, part := range regexp.MustCompile(`[^.\[\]]+|\[[^\]]*\]`).FindAllString(field, -1) {
		key := strings.Trim(part, "[]")
		switch v := at.(type) {
		case map[string]any:
			next, ok := v[key]
			if !ok && key == "decks" {
				if one, single := v["deck"]; single {
					next, ok = []any{one}, true
				}
			}
			if !ok {
				return false
			}
			at = next
		case []any:
			found := false
			for i, x := range v {
				m, _ := x.(map[string]any)
				if name, _ := m["name"].(string); name == key || fmt.Sprint(i) == key || len(v) == 1 && key == "main" {
					at, found = x, true
					break
				}
			}
			if !found {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// A figure is given only where the file that it names holds the field that it names.
func TestGivenIsOnlyWhatSomebodyWrote(t *testing.T) {
	for _, name := range examples(t) {
		raw, err := os.ReadFile(filepath.Join("..", "examples", name))
		if err != nil {
			t.Fatal(err)
		}
		given := 0
		sources(planned(t, name), func(where string, s working.Source, _ *working.Figure) {
			if s.Standing != working.Given {
				return
			}
			given++
			if s.Title != name || !holdsField(t, raw, s.Clause) {
				t.Errorf("%s: %s: %q of %q is not written there", name, where, s.Clause, s.Title)
			}
		})
		if given < 8 {
			t.Errorf("%s: only %d figures are given: the file says more than that", name, given)
		}
	}
}

// No file of the examples brings a supplier's data sheet: what stands in for one is invented
// and says so.
func TestInventedDataSaysSo(t *testing.T) {
	for _, name := range examples(t) {
		invented := 0
		sources(planned(t, name), func(where string, s working.Source, _ *working.Figure) {
			if s.Standing == working.Supplier || strings.Contains(s.Title, "data sheet") {
				t.Errorf("%s: %s: %s: there is no data sheet", name, where, s)
			}
			if s.Standing == working.Example {
				invented++
			}
		})
		if invented < 5 {
			t.Errorf("%s: %d invented figures: gel points, densities and limits of dose are", name, invented)
		}
	}
}

// Published is what was seen in the document named.
func TestPublishedIsOnlyWhatWasSeen(t *testing.T) {
	for _, name := range examples(t) {
		sources(planned(t, name), func(where string, s working.Source, _ *working.Figure) {
			if s.Standing != working.Published {
				return
			}
			for _, document := range seen {
				if s.Title == document {
					return
				}
			}
			t.Errorf("%s: %s: %s was not seen: it is quoted at second hand or from memory", name, where, s.Title)
		})
	}
}

// One requirement has one standing, wherever it is shown: as a figure of the same name from
// the same document, and as the clause of a check.
func TestOneRequirementHasOneLabel(t *testing.T) {
	labels := map[string]working.Standing{}
	for _, name := range examples(t) {
		sources(planned(t, name), func(where string, s working.Source, leaf *working.Figure) {
			key := s.Title + ", " + s.Clause
			if leaf != nil {
				key += ": " + leaf.Name
			}
			if was, ok := labels[key]; ok && was != s.Standing {
				t.Errorf("%s: %s: %q is %q here and %q elsewhere", name, where, key, s.Standing, was)
			}
			labels[key] = s.Standing
		})
	}
}

// What the firm's file gives is the supplier's or given; what it leaves out stays invented.
func TestTheFirmsSheetTakesTheExamplesPlace(t *testing.T) {
	const text = `version: 1
crew: {people: 3}
waste_pct: {resin: 6}
resins:
  - key: resin.all-season
    density_kg_per_l: 1.12
    gel_points: [{temp_c: 20, catalyst_pct: 2, low_min: 18, high_min: 24}, {temp_c: 10, catalyst_pct: 2.5, low_min: 35, high_min: 45}]
`
	firm, _, err := firmfile.Read("firm.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	job := example(t, "r01-garage.yaml")
	firm.Fill(&job)
	p, err := plan.Make(context.Background(), plan.Input{Cache: shared, Job: job, Catalogue: firm.Over(material.Generic())})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]working.Standing{}
	sources(p, func(_ string, s working.Source, leaf *working.Figure) {
		if leaf != nil {
			got[leaf.Name] = s.Standing
			if s.Standing == working.Given && s.Title != "firm.yaml" && strings.Contains(s.Clause, "crew") {
				t.Errorf("%s of %s", s.Clause, s.Title)
			}
		}
	})
	for name, want := range map[string]working.Standing{
		"density of Laminating resin, all-season": working.Supplier, "least dose": working.Example, "styrene fraction": working.Example,
		"density of Waxed top coat, pigmented": working.Example, "people": working.Given, "laid in a man-hour": working.Assumed,
		"left in buckets, sleeves and rollers": working.Given, "left in buckets and sleeves": working.Assumed,
		"density of catalyst": working.Assumed,
	} {
		if got[name] != want {
			t.Errorf("%s is %q, want %q", name, got[name], want)
		}
	}
	evidence := false
	sources(p, func(_ string, s working.Source, _ *working.Figure) {
		evidence = evidence || s.Title == "2 gel points of the data sheet" && s.Standing == working.Supplier
	})
	if !evidence {
		t.Error("the firm's gel points are not shown as its supplier's")
	}
}
