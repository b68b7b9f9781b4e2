package rooffile

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gelwright/roof"
)

// examples returns the twelve roofs by file name.
func examples(t testing.TB) map[string]roof.Job {
	t.Helper()
	paths, err := filepath.Glob("../examples/r*.yaml")
	if err != nil || len(paths) != 12 {
		t.Fatalf("%d examples, %v; want 12", len(paths), err)
	}
	out := map[string]roof.Job{}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		job, warnings, err := Read(name, data)
		if err != nil {
			t.Errorf("%s:\n%v", name, err)
			continue
		}
		for _, w := range warnings {
			t.Logf("%v", w)
		}
		out[name] = job
	}
	return out
}

// The areas and lengths of the twelve acceptance roofs, which were worked out apart
// from this program, hold to 1 mm and 0.001 m².
func TestExamplesHaveTheExpectedGeometry(t *testing.T) {
	var want map[string]struct {
		Gross    float64            `json:"gross_m2"`
		Openings float64            `json:"openings_m2"`
		Net      float64            `json:"net_m2"`
		Total    float64            `json:"edge_total_m"`
		Edges    map[string]float64 `json:"edges_m"`
	}
	data, err := os.ReadFile("testdata/expected_geometry.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &want); err != nil {
		t.Fatal(err)
	}
	jobs := examples(t)
	for name, w := range want {
		job, ok := jobs[name]
		if !ok {
			t.Errorf("%s: not read", name)
			continue
		}
		gross, openings, total, edges := 0.0, 0.0, 0.0, map[string]float64{}
		for _, d := range job.Decks {
			gross += d.Outline.Area()
			total += d.Outline.Perimeter()
			for _, o := range d.Openings {
				openings += o.Outline.Area()
			}
			for i := range d.Outline {
				edges[string(d.Edges[i].Condition)] += d.Outline.Edge(i).Length()
			}
		}
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 0.001 {
				t.Errorf("%s: %s %.4f, want %.4f", name, what, got, want)
			}
		}
		near("gross area", gross, w.Gross)
		near("openings", openings, w.Openings)
		near("net area", gross-openings, w.Net)
		near("edges", total, w.Total)
		if len(edges) != len(w.Edges) {
			t.Errorf("%s: conditions %v, want %v", name, edges, w.Edges)
		}
		for condition, length := range w.Edges {
			near(condition, edges[condition], length)
		}
	}
}

// file → Job → file → Job comes back the same.
func TestExamplesSurviveTheRoundTrip(t *testing.T) {
	for name, job := range examples(t) {
		text, err := Write(job)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		again, _, err := Read(name, text)
		if err != nil {
			t.Errorf("%s: what was written cannot be read:\n%v\n%s", name, err, text)
			continue
		}
		if d := cmp.Diff(job, again); d != "" {
			t.Errorf("%s changed on the way (-first +second):\n%s\n%s", name, d, text)
		}
	}
}
