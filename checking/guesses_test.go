package checking

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/check"
	"gelwright/roof"
)

// strangers are defaults that say nothing of strength: none of them softens any check.
var strangers = []string{"decks[main].base.joist_offset_mm", "decks[main].base.joist_bearing_deg", "decks[main].base.edge_bearing",
	"decks[main].base.kind", "day.air_c", "spec.top_coat.colour", "site.terrain"}

// Every row of the table, both ways: a default that bears turns a failure into a question and a
// pass into a caution; one that does not turns neither; and a failure that stays one however the
// guess turns out is a failure.
func TestWhichDefaultsSoftenWhichCheck(t *testing.T) {
	yes, no := func() bool { return true }, func() bool { return false }
	softened := func(key, field string, v check.Verdict, passes func() bool) check.Result {
		r := check.Result{Key: key, Verdict: v, Finding: "found", CallFor: "a structural engineer"}
		soften(&r, []roof.Default{{Field: field, Value: "1", Why: "guess"}}, passes)
		return r
	}
	for _, row := range resting {
		for _, f := range row.fields {
			field := "decks[main]." + f
			if strings.HasPrefix(f, "spec.") {
				field = f
			}
			if r := softened(row.check, field, check.Pass, yes); r.Verdict != check.Caution || len(r.Flags) != 1 {
				t.Errorf("%s: a pass on %s: %+v", row.check, field, r)
			}
			want := check.Fail
			if row.fails {
				want = check.Ask
			}
			if r := softened(row.check, field, check.Fail, yes); r.Verdict != want {
				t.Errorf("%s: a failure on %s that need not be one: %s", row.check, field, r.Verdict)
			}
			if r := softened(row.check, field, check.Fail, no); r.Verdict != check.Fail {
				t.Errorf("%s: a failure whatever %s is: %s", row.check, field, r.Verdict)
			}
		}
		for _, field := range strangers {
			for _, v := range []check.Verdict{check.Pass, check.Fail, check.Ask, check.Caution} {
				if r := softened(row.check, field, v, yes); r.Verdict != v || len(r.Flags) > 0 || r.Finding != "found" {
					t.Errorf("%s: %s turned %s into %+v", row.check, field, v, r)
				}
			}
		}
	}
}

// A guess on another deck says nothing of this one.
func TestGuessesAreThoseOfTheDeck(t *testing.T) {
	job := &roof.Job{Decks: []roof.Deck{{Name: "a"}, {Name: "b"}}, Defaults: []roof.Default{
		{Field: "decks[a].base.joist_depth_mm"}, {Field: "decks[b].base.joist_span_m"}, {Field: "decks[b].base.joist_offset_mm"},
		{Field: "spec.insulation.lambda_w_per_mk"}, {Field: "day.air_c"}}}
	var got []string
	for _, g := range GuessesOf(job, 1) {
		got = append(got, g.Field)
	}
	if want := []string{"decks[b].base.joist_span_m", "spec.insulation.lambda_w_per_mk"}; !slices.Equal(got, want) {
		t.Errorf("guesses of deck b: %q, want %q", got, want)
	}
}

// Every check that the packages under check answer with stands in the table.
func TestEveryCheckSaysWhatItRestsOn(t *testing.T) {
	key := regexp.MustCompile(`Key:\s+"([a-z]+\.[a-z.\-]+)"`)
	found := 0
	for _, glob := range []string{"../check/*/*.go", "*.go"} {
		files, err := filepath.Glob(glob)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			raw, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range key.FindAllStringSubmatch(string(raw), -1) {
				found++
				if _, ok := restsOn(m[1]); !ok {
					t.Errorf("%s: check %q says nowhere which defaults it may rest on", f, m[1])
				}
			}
		}
	}
	if found < 25 {
		t.Errorf("only %d checks found", found)
	}
}
