package office_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"gelwright/office"
	"gelwright/store"
)

func TestWordsAreFolded(t *testing.T) {
	for text, want := range map[string]string{
		"Müller":                 "muller",
		"MUELLER, Mueller":       "muller",
		"Weißdorn-Straße 12b":    "weissdorn strasse 12b",
		"Ødegård Łódź Çelik":     "odegard lodz celik",
		"ﬁrring ½ Ⅳ":             "firring 1 2 iv",
		"a a  A":                 "a",
		"–,. ":                   "",
		"o'Brien's":              "o brien s",
		strings.Repeat("x", 90):  strings.Repeat("x", 40),
		"Straße\nÖdenweiler-öst": "strasse odenweiler ost",
	} {
		if got := strings.Join(office.Words(text), " "); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestABeginningFindsItsWord: what begins a word folds to what begins the word's fold.
func TestABeginningFindsItsWord(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		word := []rune(rapid.StringOfN(rapid.SampledFrom([]rune("aeouüäößøAEßœnr")), 1, 12, -1).Draw(rt, "word"))
		n := rapid.IntRange(1, len(word)).Draw(rt, "n")
		if whole, part := office.Fold(string(word)), office.Fold(string(word[:n])); !strings.HasPrefix(whole, part) {
			rt.Fatalf("%q folds to %q, %q to %q", string(word), whole, string(word[:n]), part)
		}
	})
}

func TestWordsOfARoof(t *testing.T) {
	const document = `{"page":{"doc":"no"},"roof":{"name":"Garage","date":"2026-06-03","width":4.2,"decks":[
		{"name":"main","edges":[{"condition":"drip"},{"id":"e2","note":"neighbour's wall"}]}],"site":{"name":"Mill Lane"}}}`
	var got []string
	for _, x := range office.RoofTexts([]byte(document)) {
		if x.In != office.InRoof {
			t.Errorf("%+v is not of the roof", x)
		}
		got = append(got, x.Place+" "+x.Text)
	}
	want := []string{"decks[main].edges[1].condition drip", "decks[main].edges[e2].id e2", "decks[main].edges[e2].note neighbour's wall",
		"decks[main].name main", "name Garage", "site.name Mill Lane"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	for _, none := range []string{`{}`, `[]`, `{`, `{"roof":null}`, ``} {
		if x := office.RoofTexts([]byte(none)); len(x) != 0 {
			t.Errorf("%q has %v", none, x)
		}
	}
	if x := office.RoofTexts([]byte(`{"roof":{"a\u0000":"b\u0000c"}}`)); len(x) != 1 || x[0].Text != "b c" || x[0].Place != "a " {
		t.Errorf("control letters: %q", x)
	}
	many := `{"roof":["` + strings.Repeat(`a","`, 600) + `b"]}`
	if n := len(office.RoofTexts([]byte(many))); n != 500 {
		t.Errorf("%d texts, want 500", n)
	}
}

func TestEverythingTypedIsSearched(t *testing.T) {
	for _, s := range []office.Sheet{
		office.Job{Why: "w1", Note: "w2", Awaits: []office.Awaited{{What: "w3"}}},
		office.Customer{Name: "w1", Address: []string{"w2", "w3"}, Telephone: "w4", Mail: "w5", Note: "w6"},
		office.Site{Name: "w1", Address: []string{"w2"}, Access: "w3", Note: "w4"},
		office.Crew{Name: "w1", People: []string{"w2", "w3"}, Mark: "w4", Note: "w5"},
		office.Day{Note: "w1"},
	} {
		all := ""
		for _, x := range s.Texts() {
			if x.In == "" || x.Place == "" {
				t.Errorf("%+v has no place", x)
			}
			all += " " + x.Text
		}
		raw := string(office.Written(s))
		for n := 1; strings.Contains(raw, fmt.Sprint("w", n)); n++ {
			if !strings.Contains(all, fmt.Sprint("w", n)) {
				t.Errorf("%s: w%d is not searched", raw, n)
			}
		}
	}
	digits := false
	for _, x := range (office.Customer{Telephone: "+44 (0)20 7946-0018"}).Texts() {
		digits = digits || x.Text == "4402079460018"
	}
	if !digits {
		t.Error("a telephone is not found by its digits")
	}
}

func TestQuestionsThatCannotBeAnswered(t *testing.T) {
	for _, q := range []office.Question{{Most: -1}, {Most: store.MostPage + 1}} {
		refuses(t, q.Check(), "most", "1 to 200")
	}
	refuses(t, (&office.Question{Text: strings.Repeat("x", 201)}).Check(), "find", "201")
	refuses(t, (&office.Ask{Kind: "van"}).Check(), "kind", "van")
	refuses(t, (&office.Ask{Kind: office.KindDay, From: "x"}).Check(), "from", "no date")
	refuses(t, (&office.Ask{Kind: office.KindDay, To: "x"}).Check(), "to", "no date")
	refuses(t, (&office.Ask{Kind: office.KindDay, Job: "x"}).Check(), "job", "no id")
	refuses(t, (&office.Ask{Kind: office.KindDay, Crew: "x"}).Check(), "crew", "no id")
	for place, a := range map[string]office.ChartAsk{"stage": {Stage: "sold", Today: today}, "page": {Page: -1, Today: today}, "today": {},
		"find": {Text: "\x01", Today: today}} {
		refuses(t, a.Check(), place, "")
	}
	if err := (&office.ChartAsk{Stage: office.NotTaken, Today: today, Size: store.MostPage}).Check(); err != nil {
		t.Error(err)
	}
}
