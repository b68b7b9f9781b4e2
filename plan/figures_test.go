package plan_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/working"
)

// standings are all there are.
var standings = map[working.Standing]bool{working.Published: true, working.Remembered: true, working.CommonPractice: true,
	working.Quoted: true, working.Example: true, working.Supplier: true, working.Given: true, working.Assumed: true, working.Derived: true}

// traced reports every way in which a figure fails to lead down to something given,
// assumed or read from a named source.
func traced(f *working.Figure, path []string, seen map[*working.Figure]bool, fault func(string)) {
	if seen[f] {
		return
	}
	seen[f] = true
	path = append(path, f.Name)
	where := strings.Join(path, " < ")
	switch {
	case f.Name == "":
		fault(where + ": no name")
	case math.IsNaN(f.Value) || math.IsInf(f.Value, 0):
		fault(fmt.Sprintf("%s: is %v", where, f.Value))
	case !standings[f.Source.Standing]:
		fault(fmt.Sprintf("%s: standing %q", where, f.Source.Standing))
	case f.Source.Title == "" && f.Source.Clause == "" && f.Note == "" && f.By() == "":
		fault(where + ": no source")
	}
	if len(f.Inputs) > 0 && f.By() == "" && f.Text == "" {
		fault(where + ": inputs and no formula")
	}
	// A leaf is given, assumed or read; one that is derived must say from what it was
	// counted or measured (the pieces, the outline, the buckets), or by what proof.
	if len(f.Inputs) == 0 && f.Source.Standing == working.Derived && f.Source.Title == "" && f.Formula == "" &&
		!strings.Contains(f.Name, "proven least") {
		fault(where + ": derived from nothing")
	}
	for _, in := range f.Inputs {
		if in == nil {
			fault(where + ": an input is missing")
			continue
		}
		traced(in, path, seen, fault)
	}
}

func TestEveryFigureLeadsToWhatWasGivenOrRead(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		seen := map[*working.Figure]bool{}
		faults := map[string]bool{}
		for _, key := range p.Workings.Keys() {
			f, ok := p.Workings.Find(key)
			if !ok {
				t.Fatalf("%s: key %q leads nowhere", name, key)
			}
			traced(f, nil, seen, func(text string) { faults[key+": "+text] = true })
		}
		for text := range faults {
			t.Errorf("%s: %s", name, text)
		}
		if len(seen) < 200 {
			t.Errorf("%s: only %d figures", name, len(seen))
		}
	}
}

// TestFiguresOfChecksAreTheirOwn: no check's figure is hidden behind that of another
// deck under the same key.
func TestFiguresOfChecksAreTheirOwn(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		for _, r := range p.Checks {
			for _, f := range r.Working {
				if f.Key == "" {
					continue
				}
				if kept, ok := p.Workings.Find(f.Key); !ok || kept.Value != f.Value {
					t.Errorf("%s: %s at %q: %s is %v here and %v in the ledger", name, r.Key, r.Where, f.Key, f.Value, kept.Value)
				}
			}
		}
	}
}

// TestEveryCheckSaysWhereItComesFrom: a source, a finding, and for a failure a remedy.
func TestEveryCheckSaysWhereItComesFrom(t *testing.T) {
	for _, name := range examples(t) {
		for _, r := range planned(t, name).Checks {
			if r.Title == "" || r.Finding == "" || !standings[r.Clause.Standing] {
				t.Errorf("%s: %s at %q is bare: %+v", name, r.Key, r.Where, r)
			}
			if r.Verdict == "fail" && len(r.Remedies) == 0 {
				t.Errorf("%s: %s at %q fails with no remedy", name, r.Key, r.Where)
			}
		}
	}
}

func TestMethodRestsOnFiguresThereAre(t *testing.T) {
	for _, name := range examples(t) {
		p := planned(t, name)
		holds := 0
		for i, s := range p.Method {
			if s.Number != i+1 || s.Act == "" || s.Stage == "" {
				t.Errorf("%s: step %d: %+v", name, i+1, s)
			}
			if s.Hold {
				holds++
				if s.Record == "" {
					t.Errorf("%s: hold point %d records nothing", name, s.Number)
				}
			}
			for _, k := range s.Figures {
				if _, ok := p.Workings.Find(k); !ok {
					t.Errorf("%s: step %d rests on %q, which is not worked out", name, s.Number, k)
				}
			}
		}
		if holds < 4 {
			t.Errorf("%s: %d hold points", name, holds)
		}
	}
}

func TestSameInputGivesTheSameBytes(t *testing.T) {
	for _, name := range examples(t) {
		if name == "r12-hall.yaml" && testing.Short() {
			continue
		}
		first, err := json.Marshal(planned(t, name))
		if err != nil {
			t.Fatal(err)
		}
		again, err := json.Marshal(anew(t, plan.Input{Job: example(t, name), Catalogue: material.Generic(), Weigh: true}))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Errorf("%s: two runs differ: %s", name, firstDifference(first, again))
		}
	}
}

func firstDifference(a, b []byte) string {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			from := max(0, i-60)
			return fmt.Sprintf("%s | %s", a[from:min(len(a), i+60)], b[from:min(len(b), i+60)])
		}
	}
	return "one is longer"
}

// TestPlanDecodes reads a plan's JSON back; the record of workings is read as what it
// is, a list of figures whose inputs are all there.
func TestPlanDecodes(t *testing.T) {
	for _, name := range examples(t) {
		raw, err := json.Marshal(planned(t, name))
		if err != nil {
			t.Fatal(err)
		}
		var head struct {
			Version  int `json:"version"`
			Workings []struct {
				ID     string         `json:"id"`
				Name   string         `json:"name"`
				Source working.Source `json:"source"`
				Inputs []string       `json:"inputs"`
			} `json:"workings"`
		}
		if err := json.Unmarshal(raw, &head); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if head.Version != plan.Version || len(head.Workings) == 0 {
			t.Errorf("%s: version %d, %d workings", name, head.Version, len(head.Workings))
		}
		ids := map[string]bool{}
		for _, w := range head.Workings {
			if ids[w.ID] {
				t.Errorf("%s: two figures are called %s", name, w.ID)
			}
			ids[w.ID] = true
		}
		for _, w := range head.Workings {
			for _, in := range w.Inputs {
				if !ids[in] {
					t.Errorf("%s: %s rests on %s, which is not there", name, w.ID, in)
				}
			}
		}
		back, err := plan.Read(raw)
		if err != nil {
			t.Errorf("%s: the plan does not decode: %v", name, err)
			continue
		}
		if back.Totals != planned(t, name).Totals || len(back.Checks) != len(planned(t, name).Checks) {
			t.Errorf("%s: the decoded plan differs", name)
		}
		if bytes.Contains(raw, []byte(`"waters":null`)) {
			t.Errorf("%s: a list is null", name)
		}
	}
}

// TestDoneContextEndsThePlan: a caller who has gone away gets an error, not a plan.
func TestDoneContextEndsThePlan(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if p, err := plan.Make(ctx, plan.Input{Job: example(t, "r01-garage.yaml"), Catalogue: material.Generic()}); err == nil {
		t.Errorf("a plan came back: %+v", p.Totals)
	}
}

// By hand: a rooflight of 1.5 × 1 m with a kerb of 150 mm has 5 m of kerb, 150 mm up and
// 50 mm over its top: 5 × 0.200 = 1.000 m² more than the deck without it. A chimney of the
// same size has no top: 5 × 0.150 = 0.750 m².
func TestKerbTopsAreCoated(t *testing.T) {
	job := clone(example(t, "r04-l-shape.yaml"))
	opening := job.Decks[0].Openings[0]
	job.Decks[0].Openings = nil
	bare := planOf(t, job).Decks[0].UpstandM2
	for kind, want := range map[string]float64{"rooflight": 1, "chimney": 0.75} {
		o := opening
		o.Kind = kind
		job.Decks[0].Openings = []roof.Opening{o}
		p := planOf(t, job)
		if got := p.Decks[0].UpstandM2 - bare; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %.4f m² more, want %.3f", kind, got, want)
		}
		f, _ := p.Workings.Find("deck." + p.Decks[0].Name + ".upstand")
		top := slices.ContainsFunc(f.Inputs, func(in *working.Figure) bool { return in.Symbol == "t" && in.Value == 50 })
		if top != (kind == "rooflight") || strings.Contains(f.Method, "(kerb + t)") != top {
			t.Errorf("%s: the working is %q", kind, f.Method)
		}
	}
}
