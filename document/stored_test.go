package document

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the forecast's zone on any machine

	"github.com/santhosh-tekuri/jsonschema/v6"

	"gelwright/drawing"
	"gelwright/internal/examples"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/weather"
)

// stored writes a plan and reads it back.
func stored(t *testing.T, p *plan.Plan) (raw []byte, back *plan.Plan) {
	t.Helper()
	raw, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	if back, err = plan.Read(raw); err != nil {
		t.Fatal(err)
	}
	return raw, back
}

// alike fails unless two sets of papers are the same, byte for byte.
func alike(t *testing.T, first, again []File) {
	t.Helper()
	if len(first) != len(again) {
		t.Fatalf("%d papers from the stored plan, %d at first", len(again), len(first))
	}
	for i, f := range first {
		if again[i].Name != f.Name || !bytes.Equal(again[i].Content, f.Content) {
			t.Errorf("%s is not as it was when first made", f.Name)
		}
	}
}

// Every paper is made from a stored plan as when it was planned; and its file is as its
// schema says, by an independent validator (santhosh-tekuri/jsonschema).
func TestStoredPlanGivesTheSamePapers(t *testing.T) {
	schema := planSchema(t)
	for _, name := range examples.Names(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := examples.Plan(t, name)
			raw, back := stored(t, p)
			file, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(file); err != nil {
				t.Errorf("the stored plan against its schema: %v", err)
			}
			first, err := Files(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			again, err := Files(context.Background(), back)
			if err != nil {
				t.Fatal(err)
			}
			alike(t, first, again)
		})
	}
}

func planSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	raw, err := plan.Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("plan.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("plan.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The days ahead join the numbered set, and are stored with the plan: over the night in
// which the clocks are put forward too.
func TestStoredPlanKeepsTheDaysAhead(t *testing.T) {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	p := *examples.Plan(t, "r01-garage")
	from := time.Date(2026, 3, 29, 0, 0, 0, 0, zone) // summer time begins at 1:00
	day := &programme.Day{Zone: zone, From: from, To: from.AddDate(0, 0, 1), Next: "Begin at nine.", MarginK: 3, Members: 1, Light: weather.Daylight{Rise: from.Add(6 * time.Hour), Set: from.Add(18 * time.Hour)}}
	var hours []programme.Hour
	for at := from; at.Before(day.To); at = at.Add(15 * time.Minute) {
		day.Instants = append(day.Instants, programme.Instant{Time: at, Air: programme.Band{Low: 8, Likely: 10, High: 12}, Deck: programme.Band{Low: 9, Likely: 12, High: 15}, Dew: programme.Band{Low: 1, Likely: 2, High: 3}})
		if at.Minute() == 0 {
			hours = append(hours, programme.Hour{Time: at, Verdict: weather.Go, P: 1, Working: true})
		}
	}
	day.Bars = []programme.Bar{{Slot: programme.Slot{Name: "mat", Start: from.Add(9 * time.Hour), End: from.Add(11 * time.Hour)}, From: from.Add(9 * time.Hour), To: from.Add(11 * time.Hour)}}
	p.Ahead = &programme.Ahead{Zone: zone, Days: []*programme.Day{day}, Fortnight: []programme.WorkHours{{Work: "laminate", Hours: hours}}}
	without := len(sheetsOf(t, examples.Plan(t, "r01-garage")))
	if got := len(sheetsOf(t, &p)); got != without+2 {
		t.Errorf("%d sheets with the days ahead and %d without", got, without)
	}
	_, back := stored(t, &p)
	first, err := Files(context.Background(), &p)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Files(context.Background(), back)
	if err != nil {
		t.Fatal(err)
	}
	alike(t, first, again)
}

func sheetsOf(t *testing.T, p *plan.Plan) []string {
	t.Helper()
	set, err := drawing.Books(p)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, s := range set.All() {
		names = append(names, s.Scene.Title)
	}
	return names
}

// What is no plan, or cannot be drawn from, is refused with what to do.
func TestPlansThatCannotBeReadAreRefused(t *testing.T) {
	raw, err := json.Marshal(examples.Plan(t, "r01-garage"))
	if err != nil {
		t.Fatal(err)
	}
	with := func(old, new string) string {
		out := strings.Replace(string(raw), old, new, 1)
		if out == string(raw) {
			t.Fatalf("the plan has no %q", old)
		}
		return out
	}
	for name, c := range map[string]struct{ text, want string }{
		"later":       {with(`"version":2`, `"version":3`), "a later one, or plan the roof anew"},
		"earlier":     {with(`"version":2`, `"version":1`), "plan the roof anew"},
		"no version":  {`{"name":"x"}`, "names no version"},
		"no JSON":     {`decks: []`, "this is no stored plan"},
		"no decks":    {`{"version":2}`, "damaged"},
		"lost figure": {with(`"inputs":["`, `"inputs":["no such figure","`), "which is not written"},
		"other deck":  {with(`"decks":[{"name":"main"`, `"decks":[{"name":"shed"`), "damaged"},
	} {
		_, err := plan.Read([]byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	var newer *plan.NewerError
	if _, err := plan.Read([]byte(with(`"version":2`, `"version":3`))); !errors.As(err, &newer) || newer.Version != 3 {
		t.Errorf("a later version: %v", err)
	}
}

// Whatever the file holds, reading ends with a plan or an error, and a plan that was read
// is drawn or refused.
func FuzzStoredPlan(f *testing.F) {
	raw, err := json.Marshal(examples.Plan(f, "r01-garage"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`{"version":2,"job":{},"decks":[]}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		p, err := plan.Read(raw)
		if err != nil {
			return
		}
		if _, err := drawing.Books(p); err != nil {
			return
		}
		again, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := plan.Read(again); err != nil {
			t.Fatalf("read, and not read again: %v", err)
		}
	})
}
