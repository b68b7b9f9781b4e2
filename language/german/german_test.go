package german

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"gelwright/language"
)

func TestEveryFileIsRead(t *testing.T) {
	if _, err := readAll(); err != nil {
		t.Fatal(err)
	}
	if got := language.NewSpeaker(Catalogue()).Say("Wet resin is slippery."); got != "Nasses Harz ist rutschig." {
		t.Errorf("got %q", got)
	}
}

func TestDays(t *testing.T) {
	// DIN 5008 writes a day as 20. Mai 2026 or 20.05.2026 (from memory).
	s := language.NewSpeaker(Catalogue())
	for english, want := range map[string]string{"Wed 20 May 2026": "Mi. 20. Mai 2026", "2026-05-20": "20.05.2026", "20 May": "20. Mai",
		"Tue 12.05.2026": "Di. 12.05.2026"} {
		if got := s.Say(english); got != want {
			t.Errorf("%s: %q, want %q", english, got, want)
		}
	}
}

var figure = regexp.MustCompile(`[0-9]+(?:[.,][0-9]+)?`)

// No figure is lost, added or changed between the languages: a slip here is a wrong dose. Figures that German writes as words, or
// the other way round, are counted in digits in both.
func TestFiguresAgree(t *testing.T) {
	files, err := texts.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	figures := func(text string) []string {
		text = regexp.MustCompile(`%\[[0-9]\]`).ReplaceAllString(text, "%")
		found := figure.FindAllString(text, -1)
		for i := range found {
			found[i] = strings.ReplaceAll(found[i], ",", ".")
		}
		slices.Sort(found)
		return found
	}
	for _, f := range files {
		raw, err := texts.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		key := ""
		for i, line := range strings.Split(string(raw), "\n") {
			switch {
			case line == "" || line[0] == '#':
			case line[0] != ' ':
				key = line
			case !slices.Equal(figures(key), figures(line)):
				t.Errorf("%s:%d: figures %v in %q, %v in %q", f.Name(), i+1, figures(key), key, figures(line), line)
			}
		}
	}
}
