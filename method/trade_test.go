package method

import (
	"strings"
	"testing"
)

// What the trade does about a coat is said in the acts, each with its figures: common practice, no source.
func TestTheTradesWordsOnTheCoat(t *testing.T) {
	words := map[string][]string{
		"mask":            {"under the drips", "before anything is mixed"},
		"cut in":          {"by brush", "undersides", "upstands, corners"},
		"reach the edges": {"wet or just gelled", "one to two hours", "abraded first"},
		"tape off":        {"while the coat still gives", "half an hour"},
		"dust off":        {"Sweep and vacuum", "just before the first bucket", "again before the"},
		"sand":            {"40 to 60 grit", "high spots show white", "trims and bandages included", "sweep"},
		"mix":             {"clean, cool bucket for every mix", "to the bottom and into the corners", "when it thickens, stop"},
		"first test":      {"Throw water on the hard coat", "falls to satin within a day or two"},
	}
	all := ""
	for _, a := range acts() {
		all += " " + strings.Join(strings.Fields(a.words), " ")
	}
	for name, list := range words {
		text := all
		if a, ok := acts()[name]; ok {
			text = strings.Join(strings.Fields(a.words), " ")
		}
		for _, want := range list {
			if !strings.Contains(text, want) {
				t.Errorf("%q: no %q in %q", name, want, text)
			}
		}
	}
}
