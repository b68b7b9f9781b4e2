package margin

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// toldAs is the answer of a sheet to a question, as the page reads it.
func toldAs(t *testing.T, s *Sheet, kind string, question any) string {
	t.Helper()
	raw, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := s.Ask(context.Background(), kind, raw, nil)
	if err != nil {
		t.Fatalf("%s: %v", kind, err)
	}
	if raw, err = json.Marshal(answer); err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// Asked for German, the same roof is answered in German: same keys, paths and figures, other words. English again leaves nothing
// of it, for the plan and what it was made of were not touched.
func TestAnswersInGerman(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "r01-garage.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	ask := PlanAsk{RoofAsk: RoofAsk{Name: "roof.yaml", Text: string(text)}}
	s := NewSheet()
	english, lines := toldAs(t, s, AskPlan, ask), toldAs(t, s, AskOrder, struct{}{})
	if got := toldAs(t, s, AskLanguage, NameAsk{Name: "de"}); got != `{"language":"de"}` {
		t.Errorf("the language is %s", got)
	}
	german, zeilen := toldAs(t, s, AskPlan, ask), toldAs(t, s, AskOrder, struct{}{})
	for _, want := range []string{`"Dach netto"`, `"key":"roof.net"`, "Wie schnell ist das Harz im Wagen", `"path":"`} {
		if !strings.Contains(german, want) {
			t.Errorf("the German answer does not say %s", want)
		}
	}
	if !strings.Contains(zeilen, "Laminierharz, Ganzjahresware") || strings.Contains(zeilen, "Laminating resin") {
		t.Error("the order is not German")
	}
	if a, b := strings.Count(english, `"key":`), strings.Count(german, `"key":`); a != b {
		t.Errorf("%d keys in English, %d in German", a, b)
	}
	toldAs(t, s, AskLanguage, NameAsk{Name: "en"})
	if toldAs(t, s, AskPlan, ask) != english || toldAs(t, s, AskOrder, struct{}{}) != lines {
		t.Error("English is not as it was before")
	}
}
